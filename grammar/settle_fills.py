"""Water fetched and poured in, told in two steps: what the neighbours decide of such words.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.lightclass import replace
from grammar.tokens import Tok, sense

_FETCHED = frozenset(("carried brought fetched bought got collected lugged hauled took carted").split())
_ON_THE_WAY = (
    "WATER",
    "PREP",
    "ART",
    "WATERHERE",
    "HOOKUP",
    "VESSEL",
    "SCENE",
    "AND",
    "FILLER",
    "AWAYWORD",
    "COMMA",
    "SITEWORD",
    "THEN",
    "A",
    "SELF",
    "ADJ",
)
_INTO = ("PREP", "ART", "IN", "TANKWORD", "WATER", "FILLER", "AWAYWORD")
_POURED = frozenset(("poured put tipped emptied added pumped got let").split())


def fetched(toks: Sequence[Tok]) -> list[Tok]:
    """ "carried 20 litres from the tap and poured it in the tank" is "put 20 litres in": one filling, however many steps it took."""
    found = list(toks)
    start = next((n for n, tok in enumerate(found) if tok.text in _FETCHED), None)
    pour = next(
        (
            n
            for n, tok in enumerate(found)
            if tok.has("PUT") and tok.text in _POURED and n + 1 < len(found) and found[n + 1].has("IT")
        ),
        None,
    )
    if start is None or pour is None or pour < start + 3:
        return found
    amount = next((n for n in range(start + 1, pour) if found[n].has("UNIT")), None)
    if amount is None or found[amount - 1].number is None or amount - 1 > start + 2:
        return found
    if not all(tok.has(*_ON_THE_WAY) and not tok.has("TANK", "TANKWORD", "TOTE") for tok in found[amount + 1 : pour]):
        return found
    tail = found[pour + 2 :]
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
    return [*found[:start], poured, *found[amount - 1 : amount + 1], *tail[into:]]


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
