"""Whether a clause accounts for all its parts: a frame takes the words of other reports as well, since they may also tell where or how
("the pressure with the hose out is 48"). Where such words stand apart, behind a comma or an "and", and tell something by themselves that the
whole does not hold, the clause is two.

May import: chunks, clause, carried_over, intents.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar.intents import Intent
from grammar.lightclass import fields, replace
from grammar.pieces.chunks import Piece
from grammar.pieces.clause import Clause, Growing, calls_of
from grammar.telling.carried_over import GOES_ON, LONGEST_ELLIPSIS


def leaves_out(pieces: Sequence[Piece], joins: Sequence[bool], made: Sequence[Intent]) -> bool:
    """Whether a part of these pieces, between two joiners, tells what `made` does not: without it the rest means the same."""
    parts = _parts(joins)
    for n, (start, end) in enumerate(parts if len(parts) > 1 else ()):
        if n and _somebody_else(pieces[start:end], made):
            return True
        told = _meaning(pieces[start:end]) or (_going_on(made[-1], pieces, start, end) if n else ())
        slight = not told or all(_slight(one) or _held(one, made) for one in told)
        if not _lone_thing(pieces[start:end]) and (slight or _only_where(pieces[start:end], made)):
            continue
        rest = [*pieces[: parts[n - 1][1]], *pieces[end:]] if n else pieces[parts[1][0] :]
        if _bare(_meaning(rest)) == _bare(made):
            return True
    return False


def _somebody_else(part: Sequence[Piece], made: Sequence[Intent]) -> bool:
    """ "Ana showered, I did": "I" by itself beside a use that is only somebody else's."""
    named = any(isinstance(one, say.Use) and one.people and "" not in one.people for one in made)
    return (
        named and speaker(part[0]) and all(speaker(piece) or piece.has("AUX", "DO", "TOO", "FILLER") for piece in part)
    )


def _lone_thing(part: Sequence[Piece]) -> bool:
    """ "55 psi, meter and hose outside": a thing that is only named, so that what is told of it stands behind it."""
    return len(part) == 1 and part[0].has("GEAR") and not part[0].has("ACT")


def speaker(piece: Piece) -> bool:
    """ "I", "me": who speaks, alone."""
    return piece.has("SELF") and piece.toks[0].text in ("i", "me")


def _only_where(part: Sequence[Piece], made: Sequence[Intent]) -> bool:
    """ "hosed the mats and the steps outside": things for which the water of the whole was used."""
    used = [one.activity for one in made if isinstance(one, say.Use)]
    things = [piece.toks[0].senses["ACT"].value if piece.has("ACT") else None for piece in part]
    return None not in things and not set(things).isdisjoint(used)


def _parts(joins: Sequence[bool]) -> list[tuple[int, int]]:
    """Where each part begins and ends."""
    found: list[tuple[int, int]] = []
    start = None
    for n, joiner in enumerate((*joins, True)):
        if not joiner and start is None:
            start = n
        elif joiner and start is not None:
            found.append((start, n))
            start = None
    return found


def _meaning(pieces: Sequence[Piece]) -> tuple[Intent, ...]:
    """What pieces mean as a clause of their own."""
    growing = Growing()
    for piece in pieces:
        if not growing.add(piece, calls_of(piece)):
            return ()
    made = growing.readings()
    return made[0][1] if made else ()


def _going_on(last: Intent, pieces: Sequence[Piece], start: int, end: int) -> tuple[Intent, ...]:
    """What some pieces mean as a clause that goes on from the meaning of those before them."""
    goes_on = GOES_ON.get(type(last))
    if goes_on is None or end - start > LONGEST_ELLIPSIS:
        return ()
    said = " ".join(tok.text for piece in pieces[:start] for tok in piece.toks)
    made = goes_on(replace(last, text=said), Clause(pieces[start:end]))
    return () if made is None else (made,)


def _bare(made: Sequence[Intent]) -> tuple[Intent, ...]:
    return tuple(replace(one, text="") for one in made)


def _slight(one: Intent) -> bool:
    """Whether a meaning by itself says too little to be a report: of "it", or only perhaps one."""
    bare = isinstance(one, say.Use) and one.activity is None and one.unknown_activity is None
    return bare or bool(getattr(one, "it", False) or getattr(one, "loose", False))


def _held(one: Intent, made: Sequence[Intent]) -> bool:
    """Whether a meaning only says once more what another says: "broke camp and left at ten"."""
    told = [field.name for field in fields(one) if field.name != "text" and getattr(one, field.name)]
    return any(
        type(other) is type(one) and all(getattr(other, name) == getattr(one, name) for name in told) for other in made
    )
