"""Questions that want a sum of the record: totals, counts of dumps and fills, the day that took the most, one stretch against another,
and what nobody logged.

May import: asked, clause, deeds, intents, lightclass, outlook_questions, when.
"""

from __future__ import annotations

from grammar.asking.asked import SMALL, Test, did, one_tank, q
from grammar.asking.outlook_questions import is_over
from grammar.frames.deeds import activity
from grammar.intents import Ask
from grammar.pieces.clause import Clause
from grammar.when import When

_SMALL = (*SMALL, "POSS", "FOR")


def _span(clause: Clause) -> When | None:
    found: When | None = clause.when or clause.get("since")
    return found


def _said(clause: Clause) -> str:
    return " ".join(tok.text for piece in clause.pieces for tok in piece.toks)


def _nothing_else(clause: Clause, *classes: str) -> bool:
    return all(
        piece.kind in ("when", "since", "until", "people") or piece.has(*_SMALL, *classes) for piece in clause.pieces
    )


def _is_past(when: When) -> bool:
    """Whether a stretch lies behind, or has begun."""
    running = when.which == "this" and when.period in ("week", "month", "year")
    return is_over(when) or when.since or when.day_offset == 0 or running


def _leaked(clause: Clause) -> Ask | None:
    """ "How much did we lose to the leak", "how much leaked": what ran that nobody can have used."""
    if not clause.has("LEAK") or not q(clause, "howmuch", "howmany", "what") or clause.get("amount") is not None:
        return None
    plain = _nothing_else(clause, "LEAK", "QWORD", "UNIT", "USE", "DO", "PARTICLE", "COST")
    return Ask(topic="history", subject="leaked", when=_span(clause)) if plain else None


def _total(clause: Clause) -> Ask | None:
    """ "What's today's total", "total for last week"."""
    when = _span(clause)
    if when is None or not clause.has("TOTAL") or clause.tanks or clause.get("amount") is not None:
        return None
    if not _nothing_else(clause, "TOTAL", "QWORD", "USE", "USAGE", "HISTORY", "SHOW"):
        return None
    behind = _is_past(when) or when.weekday is not None or when.month is not None
    return Ask(topic="history", when=when, people=clause.people) if behind else None


def _between(clause: Clause) -> Ask | None:
    """ "How much did we use between Monday and Thursday", "how much from Monday to Friday"."""
    whens = [piece.value for piece in clause.pieces if piece.kind in ("when", "since", "until")]
    joined = clause.has("BETWEEN") or (clause.get("since") is not None and clause.get("until") is not None)
    if len(whens) != 2 or not joined or not (q(clause, "howmuch", "what", "howmany") or clause.has("USAGE", "TOTAL")):
        return None
    modal = any(tok.text in ("will", "would", "can", "should", "could") for tok in clause.words("AUX"))
    if modal or clause.has("LEFT", "ROOM", "MAKEIT", "RUNOUT", "BLEACH", "DUMP", "FILL"):
        return None
    return Ask(topic="history", when=whens[0], until=whens[1], activity=activity(clause), people=clause.people)


def _than(clause: Clause) -> Ask | None:
    """ "Did we use less than last week", "how much more than yesterday": the stretch that goes on against the one named."""
    words = _said(clause).split()
    more = next((n for n, word in enumerate(words) if word in ("more", "less", "fewer", "better", "worse")), -1)
    if more < 0 or "than" not in words[more:] or clause.tanks or clause.get("amount") is not None:
        return None
    opens = q(clause, "howmuch", "what") or clause.pieces[0].has("AUX", "AHEADQ", "BE", "QMARK")
    when = _span(clause)
    usual = any(word in ("usual", "normal", "average", "before", "usually", "normally") for word in words[more:])
    if opens and usual and clause.when is not None and "before" not in words[more:] and activity(clause) is None:
        return Ask(topic="history", subject="against usual", when=clause.when)
    if not opens or (when is None and not usual) or (when is not None and not is_over(when)):
        return None
    if when is not None and when.day_offset == -1:
        return Ask(topic="history", subject="by now")
    period = when.period if when is not None else None
    this = When(period=period, which="this", text=f"this {period}") if period in ("month", "year") else None
    return Ask(topic="history", subject="changed", when=this, activity=activity(clause))


_DAYS = ("day", "days")
_LEAST = ("least", "lowest", "smallest", "min", "minimum")


def _peak(clause: Clause) -> Ask | None:
    """ "Which day did we use the most", "what was our best day": the day that took the most, or the least."""
    words = _said(clause).split()
    named = clause.value("PEAKDAY")
    least = named == "least" or (named is None and not frozenset(_LEAST).isdisjoint(words))
    day = any(word in _DAYS for word in words) or (q(clause, "when") and did(clause) and clause.has("USE", "HISTORY"))
    if named is None and not (day and clause.has("MOST")):
        return None
    modal = any(tok.text in ("will", "would", "can", "should", "could", "may") for tok in clause.words("AUX"))
    aside = (
        clause.has("DUMP", "FILL", "MAKEIT", "PLANQ", "WALK", "SERVICE") or clause.tanks or activity(clause) is not None
    )
    if modal or aside or clause.get("amount") is not None or q(clause, "who", "howmuch", "howmany"):
        return None
    when = _span(clause)
    behind = when is not None and (_is_past(when) or when.month is not None)
    return Ask(topic="history", subject="least in a day" if least else "most in a day", when=when if behind else None)


_COUNTED = (("DUMP", "dump"), ("FILL", "fill"), ("HAUL", "haul"), ("RINSE", "rinse"))
_NOUNS = {"dumps": "dump", "fills": "fill", "refills": "fill", "tote runs": "haul", "rinses": "rinse"}


def _times(clause: Clause) -> Ask | None:
    """ "How many times have we dumped this month", "how often did we fill up last week", "how many dumps since May"."""
    if not q(clause, "howmany", "howoften") or clause.get("amount") is not None or activity(clause) is not None:
        return None
    kind = next((_NOUNS[word] for word in _NOUNS if f" {word} " in f" {_said(clause)} "), None)
    if kind is None and (did(clause) or clause.has("BE")) and (q(clause, "howoften") or clause.has("TIMESWORD")):
        kind = next((name for cls, name in _COUNTED if clause.has(cls)), None)
    modal = any(tok.text in ("will", "would", "can", "should", "could", "must", "do") for tok in clause.words("AUX"))
    when = _span(clause)
    ahead = clause.get("until") is not None and clause.index("until") >= 0 and clause.get("since") is None
    ahead = (
        ahead or clause.has("LEAVINGQ", "STAYEND") or any(tok.text.startswith("need") for tok in clause.words("RUNOUT"))
    )
    if kind is None or modal or ahead or (when is not None and not _is_past(when) and when.month is None):
        return None
    return Ask(topic="history", subject=f"{kind}s", tank=one_tank(clause), when=when)


def _since_done(clause: Clause) -> Ask | None:
    """ "How much have we used since we dumped grey", "how many gallons since the last fill": from the last of its kind on."""
    kind = next((name for cls, name in (("DUMP", "dump"), ("FILL", "fill")) if clause.has(cls)), None)
    if (
        kind is None
        or not clause.has("SINCE")
        or not (q(clause, "howmuch", "howmany", "what") or clause.has("USAGE", "TOTAL"))
    ):
        return None
    if clause.has("TIMEUNIT", "LEFT", "ROOM") or clause.get("amount") is not None or _span(clause) is not None:
        return None
    return Ask(topic="history", subject=f"since {kind}", tank=one_tank(clause), activity=activity(clause))


_NOT_LOGGED = frozenset(("log", "record", "logged", "recorded", "enter", "note"))


def _unlogged(clause: Clause) -> Ask | None:
    """ "What's unaccounted for", "how much went unlogged this week", "how much did we not log"."""
    negated = clause.has("NEG") and did(clause) and not _NOT_LOGGED.isdisjoint(_said(clause).split())
    if not clause.has("UNLOGGED") and not negated:
        return None
    asks = q(clause, "what", "howmuch", "howmany", "where") or clause.has("SHOW", "AUX", "BE", "QMARK")
    return (
        Ask(topic="history", subject="unlogged", when=_span(clause))
        if asks and _nothing_else(clause, *_BESIDE)
        else None
    )


_BESIDE = ("UNLOGGED", "NEG", "QWORD", "USE", "USAGE", "HISTORY", "SHOW", "SWITCH", "THEREARE", "LEFT", "TOTAL", "AND")


TALLIES: tuple[Test, ...] = (_leaked, _total, _between, _than, _peak, _times, _since_done, _unlogged)


def ask_tally(clause: Clause) -> Ask | None:
    """The question of these that a clause asks; None if it is none, or if a word of it is unknown or of somebody else."""
    if any(piece.kind == "word" and not piece.toks[0].known for piece in clause.pieces) or clause.has(
        "OTHER", "REPORTED", "NEWACT"
    ):
        return None
    return next((found for rule in TALLIES if (found := rule(clause)) is not None), None)
