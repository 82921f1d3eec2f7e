"""How often something would be done, and how much less would be used in all: "every other day", "once a day", "half as much water".

Reads the tokens of a what-if, in any order. May import: clause, tokens, intents.
"""

from __future__ import annotations

from grammar.hearing.tokens import Tok
from grammar.intents import Amount
from grammar.pieces.clause import Clause
from grammar.pieces.piece_meanings import Length

_A = ("A", "EACH", "EVERY", "PER")
_DAILY = ("daily", "every day", "each day", "every morning", "every night", "every evening", "each morning")
_LONGEST_UNIT = ("day", "night", "week", "month")


def _toks(clause: Clause) -> list[Tok]:
    return [tok for piece in clause.pieces for tok in piece.toks if not tok.has("FILLER") or tok.has("A", "TIMES")]


def _days(tok: Tok) -> float | None:
    """The length that a unit of time names. [days]"""
    if tok.has("PERDAY") or (tok.has("HABIT") and tok.text in _DAILY):
        return 1.0
    if not tok.has("TIMEUNIT") or tok.senses["TIMEUNIT"].value not in _LONGEST_UNIT:
        return None
    return Length(1.0, tok.senses["TIMEUNIT"].value).days


def _every(toks: list[Tok], i: int) -> float | None:
    """ "every day", "every 3 days", "every other day": the days between, from the token after "every". [days]"""
    step = 1.0
    if i < len(toks) and _days(toks[i]) is None:
        if toks[i].has("SECOND"):
            step = 3.0 if toks[i].text == "third" else 2.0
        elif toks[i].number is not None or toks[i].ordinal:
            step = toks[i].number or float(toks[i].ordinal or 1)
        else:
            return None
        i += 1
    unit = _days(toks[i]) if i < len(toks) else None
    return step * unit if unit is not None and step > 0 else None


def times_a_day(clause: Clause) -> float | None:
    """How often a day the activity of a clause would be done; None where that is not said. [1/day]"""
    toks = _toks(clause)
    for i, tok in enumerate(toks):
        between = _every(toks, i + 1) if tok.has("EVERY") else None
        if between is None and _days(tok) is not None and (tok.has("PERDAY", "HABIT") or (i and toks[i - 1].has(*_A))):
            between = _days(tok)
        if between is not None:
            return _count(toks, i) / between
    return None


def _count(toks: list[Tok], end: int) -> float:
    """ "twice", "three times", "one shower" before the unit of time; once where nothing is said."""
    for i, tok in enumerate(toks[:end]):
        if tok.has("TIMES"):
            return float(tok.senses["TIMES"].value)
        if tok.number is not None and i + 1 < len(toks) and toks[i + 1].has("TIMESWORD", "RUNS", "ACT", "ACTS"):
            return tok.number
    return 1.0


def every_other_one(clause: Clause) -> bool:
    """ "skip every other shower"."""
    toks = _toks(clause)
    return any(
        tok.has("EVERY") and toks[i + 1].has("SECOND") and toks[i + 2].has("ACT") for i, tok in enumerate(toks[:-2])
    )


def share_of_all(clause: Clause) -> Amount | None:
    """The part of the present use that would be left: "half as much", "a third less", "cut our use by 20 percent", "twice as much"."""
    toks = _toks(clause)
    texts = [tok.text for tok in toks]
    amount = clause.get("amount")
    value = amount.value if amount is not None and amount.unit in ("fraction", "percent") else None
    if value is not None and amount.unit == "percent":
        value /= 100.0
    about = clause.has("WATER", "USE", "USAGE", "HISTORY", "CUT") or "much" in texts
    if not about or clause.has("ACT", "ACTS", "METER", "DUMP", "HAUL", "FILL", "TANK"):
        return None
    if clause.has("HALVE"):
        return Amount(0.5, "fraction", text="half")
    doubled = any(tok.has("TIMES") and tok.senses["TIMES"].value == "2" for tok in toks) and "much" in texts
    if doubled or "double" in texts:
        return Amount(2.0, "fraction", text="twice")
    if value is None or not 0 < value < 1:
        return None
    left = clause.has("CUT") and any(text in ("to", "down to", "back to") for text in texts)
    less = not left and (clause.has("CUT") or any(text.split()[0] == "less" for text in texts))
    more = clause.has("MORE") or "more" in texts
    kept = 1.0 - value if less else 1.0 + value if more else value
    return Amount(kept, "fraction", text="half" if abs(kept - 0.5) < 0.001 else f"{round(kept * 100)} % of")
