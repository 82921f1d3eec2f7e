"""Water fetched and poured in, told in two steps: what the neighbours decide of such words.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

CARRIED = frozenset(("carried got lugged hauled took carted bought").split())
"""Words that also take water away, besides those of FETCHED."""

_ON_THE_WAY = "WATER PREP ART WATERHERE HOOKUP VESSEL SCENE AND FILLER AWAYWORD COMMA SITEWORD THEN A SELF ADJ PARTICLE IN FROM OF".split()
_INTO = ("PREP", "ART", "IN", "TANKWORD", "WATER", "FILLER", "AWAYWORD")
_POURED = frozenset(("poured put tipped emptied added pumped got let").split())
_COUNTED = ("NUMBER", "ABOUT", "AROUND", "A", "ART", "VESSEL", "OF", "FILLER", "WATER")


def fetched(toks: Sequence[Tok]) -> list[Tok]:
    """ "carried 20 litres from the tap and poured it in the tank" is "put 20 litres in": one filling, however many steps it took.
    What was fetched is kept as it was said, so that two jugs of five are ten."""
    found = list(toks)
    start = next((n for n, tok in enumerate(found) if _fetching(tok)), None)
    pour = next((n for n in range(len(found) - 1, 0, -1) if _pouring(found, n)), None)
    if start is None or pour is None or pour < start + 3:
        return found
    begin = start + 1 + (found[start + 1].has("PARTICLE", "BACK"))
    units = [n for n in range(begin, pour) if found[n].has("UNIT")]
    if len(units) != 1 or units[0] == begin or found[units[0] - 1].number is None:
        return found
    end = units[0] + 1
    while found[end].has("VESSEL"):
        end += 1
    if not all(tok.number is not None or tok.has(*_COUNTED) for tok in found[begin : end - 1] if not tok.has("UNIT")):
        return found
    if not all(tok.has(*_ON_THE_WAY) and not tok.has("TANK", "TANKWORD", "TOTE") for tok in found[end:pour]):
        return found
    tail = found[pour + (2 if found[pour + 1].has("IT") else 1) :]
    into = 0
    while into < len(tail) and (
        tail[into].has(*_INTO) or (tail[into].has("TANK") and tail[into].senses["TANK"].value == "fresh")
    ):
        into += 1
    if (
        not tail
        or tail[0].text not in ("in", "into", "to")
        or (into < len(tail) and not tail[into].has("COMMA", "STOP", "AND", "DAY", "THEN"))
    ):
        return found
    poured = replace(found[pour], senses=sense("PUT", "fresh", "past"))
    return [*found[:start], poured, *found[begin:end], *tail[into:]]


def _fetching(tok: Tok) -> bool:
    return tok.has("FETCHED") or tok.text in CARRIED


def _pouring(toks: Sequence[Tok], n: int) -> bool:
    """ "poured it in", "emptied them into", "tipped into"."""
    return (
        toks[n].text in _POURED and n + 1 < len(toks) and (toks[n + 1].has("IT") or toks[n + 1].text in ("in", "into"))
    )


def by_the_vessel(toks: Sequence[Tok]) -> list[Tok]:
    """ "carried two buckets of grey away, 9 litres each": two runs; "of waste" is what any haul is of."""
    found = list(toks)
    if not any(tok.has("HAUL", "TAKEAWAY") and _past(tok) for tok in found) or any(tok.has("PUT") for tok in found):
        return found
    for n in range(len(found) - 2, 0, -1):
        here, after, of = found[n], found[n + 1], found[n + 2] if n + 2 < len(found) else None
        if of is not None and here.number is not None and after.has("VESSEL") and of.has("OF"):
            found[n + 1 : n + 3] = [replace(after, text="times", senses=sense("TIMESWORD", "times"))]
    waste = next(
        (
            n
            for n, tok in enumerate(found)
            if tok.text in _WASTE and not tok.has("TANK") and n and found[n - 1].has("OF", "TIMESWORD")
        ),
        None,
    )
    if waste is not None:
        del found[waste - found[waste - 1].has("OF") : waste + 1]
    return found


_WASTE = ("waste", "waste water", "wastewater")


def _past(tok: Tok) -> bool:
    return any(one.form == "past" for one in tok.senses.values())


def went_in(toks: Sequence[Tok], i: int) -> Tok:
    """ "filled up, 118 litres went in", "filled fresh, took 30 gallons": how much it took."""
    tok = toks[i]
    filled = any(other.has("FILL") and other.senses["FILL"].form == "past" for other in toks[:i])
    if not filled or tok.text not in ("went in", "took", "it took"):
        return tok
    beside = toks[i - 1] if tok.text == "went in" else toks[i + 1] if i + 1 < len(toks) else None
    counted = beside is not None and (
        beside.has("UNIT") if tok.text == "went in" else beside.has("NUMBER", "ABOUT", "AROUND", "FRACTION")
    )
    acts = any(other.has("ACT", "ACTS", "TIMEUNIT", "TOTE") for other in toks)
    return replace(tok, senses=sense("USE", "use", "past")) if counted and not acts else tok


_FAR = 9  # tokens between what was done and where


def poured_in(toks: Sequence[Tok]) -> list[Tok]:
    """ "dumped three cubes into the fresh tank": put in, and nothing let out."""
    found = list(toks)
    for i, tok in enumerate(toks):
        if not tok.has("DUMP") or tok.senses["DUMP"].form != "past":
            continue
        near = range(i + 1, min(i + _FAR, len(toks)))
        into = next((j for j in near if toks[j].text in ("in", "into", "inside") or toks[j].has("COMMA", "STOP")), None)
        if into is None or toks[into].has("COMMA", "STOP"):
            continue
        rest = [other for other in toks[into + 1 : into + 4] if not other.has("ART")]
        if rest and rest[0].has("TANK") and rest[0].senses["TANK"].value == "fresh" and toks[into - 1].text != "let":
            found[i] = replace(tok, senses=sense("PUT", "put", "past"))
    return found


def so_much_it_was(toks: Sequence[Tok]) -> list[Tok]:
    """ "took a half full tote of grey to the dump, so seven and a half gallons": the amount said last says it in full."""
    so = next(
        (n for n in range(len(toks) - 1, 0, -1) if toks[n].text in ("so", "so that is", "so about", "meaning")), None
    )
    if so is None or not any(_a_tote(tok) for tok in toks[:so]):
        return list(toks)
    rest = [tok for tok in toks[so + 1 :] if not tok.has("STOP", "FILLER", "ABOUT", "AROUND", "BE", "IT")]
    if [tok.has(cls) for tok, cls in zip(rest, ("NUMBER", "UNIT"), strict=False)] != [True, True] or len(rest) != 2:
        return list(toks)
    head = [
        tok
        for tok in toks[:so]
        if not tok.has("FRACTION", "FULLNESS", "COMMA") and not (tok.has("UNIT") and _a_tote(tok))
    ]
    return [*head, *toks[so + 1 :]]


def _a_tote(tok: Tok) -> bool:
    return tok.has("TOTE") or (tok.has("UNIT") and tok.senses["UNIT"].value == "tote")
