"""An amount told in two units: "a gallon and a quart for the dishes", "1 gal 2 qt", "two litres and 500 ml".

May import: lightclass, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

CALLED_FOR = frozenset(["UNIT"])

_IN_ONE = {
    "gallon": {"quart": 4, "pint": 8, "cup": 16, "fluid_ounce": 128},
    "imperial_gallon": {"imperial_quart": 4, "quart": 4, "imperial_pint": 8, "pint": 8},
    "quart": {"pint": 2, "cup": 4, "fluid_ounce": 32},
    "pint": {"cup": 2, "fluid_ounce": 16},
    "litre": {"centilitre": 100, "millilitre": 1000},
}
"""How many of the smaller unit make one of the greater."""

_ENDS = ("COMMA", "STOP", "SEMI", "THEN", "QMARK", "COLON")
_WHOSE = ("ACT", "ACTS", "WASH", "TANK", "METER", "PERSON", "KIN", "NAMEWORD", "OTHER")
_SEVERAL = ("TIMES", "TIMESWORD", "GROUP", "PAIR", "ACTS", "TANKS", "EVERY")


def sums(toks: list[Tok]) -> list[Tok]:
    """The tokens with an amount in two units told in the greater one, where both are of the same thing."""
    if sum(tok.has("UNIT") for tok in toks) < 2:
        return toks
    n = 0
    while n < len(toks):
        first = _amount_at(toks, n)
        joined = first[1] if first else n
        if first is not None and joined < len(toks):
            apart = toks[joined].has("AND") or toks[joined].text in ("plus", "+")
            second = _amount_at(toks, joined + apart)
            if second is not None and _of_one(toks, n, second[1], apart):
                whole = _sum_of(toks[first[1] - 1], first[0], toks[second[1] - 1], second[0])
                if whole is not None:
                    number = replace(toks[n], senses=sense("NUMBER"), number=whole, fraction=None, ordinal=None)
                    unit = replace(toks[first[1] - 1], end=toks[second[1] - 1].end)
                    toks = [*toks[:n], number, unit, *toks[second[1] :]]
                    continue  # "1 gal 1 qt 1 pt"
        n += 1
    return toks


def _amount_at(toks: Sequence[Tok], n: int) -> tuple[float, int] | None:
    """The number of an amount that begins here, and the place behind its unit."""
    if n >= len(toks):
        return None
    tok, at = toks[n], n + 1
    number = tok.number if tok.number is not None else tok.fraction
    if number is None and (tok.has("A") or tok.text in ("a", "an")):
        number = 1.0
    elif tok.number is None and tok.fraction is not None:
        while at < len(toks) and toks[at].has("OF", "A"):
            at += 1
    if number is None or at >= len(toks) or not toks[at].has("UNIT"):
        return None
    return number, at + 1


def _sum_of(great: Tok, many: float, small: Tok, few: float) -> float | None:
    """So many of the greater unit; None where the second is no part of one of them."""
    parts = _IN_ONE.get(great.senses["UNIT"].value, {}).get(small.senses["UNIT"].value)
    return many + few / parts if parts is not None and 0 < few < parts else None


def _of_one(toks: Sequence[Tok], start: int, end: int, apart: bool) -> bool:
    """Whether both amounts are of the same thing: not "dishes a gallon and a quart for the dog", nor "two showers, a gallon and a quart"."""
    if start and toks[start - 1].has("TO", "OR", "DASH", "BETWEEN", "NUMBER", "FROM", "MINUS"):
        return False
    if end < len(toks) and toks[end].has("MORE", "VESSEL", "TO", "DASH", "OR", "LATER", "TIMEUNIT", "NUMBER") and apart:
        return False
    if end < len(toks) and toks[end].has("VESSEL", "UNIT"):
        return False
    head = max((n + 1 for n in range(start) if toks[n].has("STOP", "SEMI", "QMARK", "UNIT")), default=0)
    before, after = toks[head:start], list[Tok]()
    for tok in toks[end:]:
        if tok.has(*_ENDS, "AND"):
            break
        after.append(tok)
    told = [tok for tok in before if tok.has(*_WHOSE)]
    if told and any(tok.has("ACT", "ACTS", "TANK", "PERSON", "NAMEWORD") for tok in after):
        return False
    if not apart:
        return True
    kinds = [cls for tok in told for cls in ("ACT", "TANK", "PERSON", "NAMEWORD", "METER") if tok.has(cls)]
    several = () if head and toks[head - 1].has("UNIT") else ("AND",)  # "Ana and Joss showered, …"
    counted = any(tok.has(*_SEVERAL, *several) or (tok.number is not None and tok.number > 1) for tok in before)
    return len(kinds) == len(set(kinds)) and not counted
