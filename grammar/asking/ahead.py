"""Questions that lean on the forecast and on the record: the ways out, the last good moment, what changed, what saves most.

They stand before the general rules of questions.py; a rule takes its question only if nothing is left over.
May import: asked, clause, intents, piece_meanings, when.
"""

from __future__ import annotations

from grammar.asking.asked import SMALL, Rules, rule
from grammar.intents import Ask
from grammar.lightclass import replace
from grammar.pieces.clause import Clause
from grammar.pieces.piece_meanings import Length
from grammar.when import When

_SMALL = (*SMALL, "TANKWORD", "IT", "FUTURE")


def _kind(clause: Clause) -> str | None:
    tok = clause.word("AHEADQ")
    return tok.senses["AHEADQ"].value if tok is not None else None


def _nothing_else(clause: Clause, *classes: str) -> bool:
    """Only the question's own words, moments, tanks, and what carries nothing."""
    return all(
        piece.kind in ("when", "until", "tanks", "since", "duration", "every") or piece.has("AHEADQ", *_SMALL, *classes)
        for piece in clause.pieces
    )


def _until(clause: Clause) -> When | None:
    found: When | None = clause.get("until") or clause.when
    length = clause.get("duration")
    if found is None and isinstance(length, Length) and length.days >= 1.5:
        return When(whole_days=round(length.days), text=f"{length.number:g} {length.unit}s")
    return found


def _tank(clause: Clause) -> str | None:
    return clause.tanks[0] if len(clause.tanks) == 1 and clause.tanks != ("*",) else None


@rule("AHEADQ")
def _ways(clause: Clause) -> Ask | None:
    """ "what else can we do", "how can we make it to Sunday"."""
    kind = _kind(clause)
    if kind not in ("ways", "others") or not _nothing_else(clause, "MAKEIT", "QWORD", "AROUND", "ABOUT", "BEFORE"):
        return None
    return Ask(topic="make_it", subject=kind, until=_until(clause), tank=_tank(clause))


@rule("AHEADQ")
def _latest(clause: Clause) -> Ask | None:
    """ "what's the latest we can dump", "the last good moment to dump grey"."""
    if _kind(clause) != "latest" or not clause.has("DUMP", "HAUL", "FILL", "DUMPINGQ", "RUNOUT"):
        return None
    if not _nothing_else(
        clause, "DUMP", "HAUL", "FILL", "DUMPINGQ", "RUNOUT", "QWORD", "TANK", "TOTE", "DO", "LEFT", "SHOW"
    ):
        return None
    return Ask(topic="runway", subject="latest fill" if clause.has("FILL") else "latest", tank=_tank(clause))


_MUST = ("have to", "need", "must", "should", "gotta", "got to", "required to", "forced to")
_ASKED = frozenset(("do", "does", "will", "would", "must", "are", "is", "am", "should", "could", "might"))
_FILLING = ("fill", "filling", "filled", "refill", "refilling", "top up", "top off", "water")
_DUMPING = ("dump", "dumping", "dumped", "empty", "emptying", "emptied", "pump out", "pumping out", "pumped out")


@rule("until when duration LEAVINGQ STAYEND DEPART LEAVE SITE NEXTSTOP")
def _must(clause: Clause) -> Ask | None:
    """ "do we have to dump before Saturday", "will we need water before we leave": whether the errand falls due by then."""
    toks = [tok.text for piece in clause.pieces for tok in piece.toks if not tok.has("FILLER", "COMMA", "QMARK")]
    said = f" {' '.join(toks)} "
    words = said.split()
    doing = next((what for what, said_as in _ERRANDS if any(f" {one} " in said for one in said_as)), None)
    if not words or words[0] not in _ASKED or not any(f" {must} " in said for must in _MUST) or doing is None:
        return None
    until: When | None = clause.get("until")
    if until is None and clause.when is not None:
        until = replace(clause.when, through=True) if _a_day(clause) else clause.when
    if until is None:
        until = When(stay_end=True) if clause.has("LEAVINGQ", "STAYEND", "DEPART", "LEAVE") else _until(clause)
    site = clause.value("SITE") or ("next" if clause.has("NEXTSTOP") else None) if until is None else None
    if (
        (until is None and site is None)
        or clause.has("NEG", "ACT", "ACTS", "VALVE")
        or clause.get("amount") is not None
    ):
        return None
    return Ask(topic="make_it", subject=f"must {doing}", until=until, tank=_tank(clause), site=site)


@rule("AUX LEFT RUNOUT")
def _must_ever(clause: Clause) -> Ask | None:
    """ "do we need to dump", "do we have to fill up soon": when it falls due."""
    toks = [tok.text for piece in clause.pieces for tok in piece.toks if not tok.has("COMMA", "QMARK")]
    said = f" {' '.join(toks)} "
    doing = next((what for what, said_as in _ERRANDS if any(f" {one} " in said for one in said_as)), None)
    asks = (
        said.split()[:1]
        and said.split()[0] in _ASKED
        and any(f" {must} " in said for must in _MUST if must != "should")
    )
    plain = (
        clause.index("until") < 0
        and clause.when is None
        and not clause.has("NEG", "ACT", "ACTS", "VALVE", "QWORD", "LEAVINGQ", "BEFORE", "SERVICE")
    )
    if doing is None or not asks or not plain or clause.get("amount") is not None or clause.get("duration") is not None:
        return None
    return Ask(topic="runway", subject=doing, tank=_tank(clause))


_ERRANDS = (("dump", _DUMPING), ("fill", _FILLING))


def _a_day(clause: Clause) -> bool:
    """Whether a day is named as a whole, not as what the errand comes before."""
    return not clause.has("BEFORE", "UNTIL") and clause.when is not None and not clause.when.has_hour


@rule("AHEADQ COMPARE")
def _record(clause: Clause) -> Ask | None:
    """ "what changed this week", "what saves the most", "this stay"."""
    kind = _kind(clause)
    if kind in ("changed", "saves") and _nothing_else(clause, "MOST", "QWORD", "USE"):
        return Ask(topic="history", subject=kind, when=clause.when or clause.get("since"))
    if (
        clause.has("COMPARE")
        and clause.when is not None
        and _nothing_else(clause, "COMPARE", "QWORD", "USE", "HISTORY", "WHICH", "AND")
    ):
        return Ask(topic="history", subject="changed", when=clause.when)
    if kind in ("stay", "last stay") and _nothing_else(clause, "QWORD", "USE", "HISTORY", "SHOW"):
        return Ask(topic="history", subject=kind)
    return None


@rule("QWORD")
def _how(clause: Clause) -> Ask | None:
    """A bare "how?": the way there, after a no; else how it is known."""
    words = [tok.text for piece in clause.pieces for tok in piece.toks if not tok.has("FILLER", "QMARK", "STOP")]
    return Ask(topic="explain", subject="how") if words == ["how"] else None


@rule("AVERAGE")
def _against_usual(clause: Clause) -> Ask | None:
    """ "did we use more than usual today", "is that less than normal": the day, or the stretch named, against what is usual by then."""
    more = any(tok.text in _MORE_OR_LESS for cls in ("BOUND", "MOST", "LESS") for tok in clause.words(cls))
    plain = _nothing_else(clause, "BOUND", "MOST", "LESS", "AVERAGE", "USE", "HISTORY", "WHICH", "PARTICLE")
    asks = any(piece.has("AUX", "BE", "QMARK") for piece in (clause.pieces[0], clause.pieces[-1]))
    subject = "changed" if clause.when is None else "against usual"
    told = more and plain and asks and clause.has("AVERAGE")
    return Ask(topic="history", subject=subject, when=clause.when) if told else None


_MORE_OR_LESS = ("more than", "less than", "above", "below", "over", "under", "fewer than")


AHEAD = Rules("OTHER REPORTED NEWACT", _ways, _latest, _must, _must_ever, _record, _against_usual, _how)


def ask_ahead(clause: Clause) -> Ask | None:
    """The question of these that a clause asks; None if it is none, or if a word of it is unknown or of somebody else."""
    return AHEAD.first(clause)
