"""Statements of a phrase: its pieces divided into clauses, each read whole by a frame, in the cheapest way that leaves nothing over.

May import: chunks, clause, carried_over, intents, joined, the frames.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from grammar import intents as say
from grammar.frames import (  # noqa: F401  (they enter their frames)
    absence_frames,
    change_frames,
    fill_frames,
    flow_frames,
    frost_frames,
    guest_frames,
    meter_frames,
    rig_frames,
    rig_lists,
    round_frames,
    shared_uses,
    supply_frames,
    tank_frames,
    trip_frames,
    use_frames,
    valve_frames,
)
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.chunks import Piece, pieces
from grammar.pieces.clause import Calls, Clause, Growing, calls_of
from grammar.telling.accounted import leaves_out, speaker
from grammar.telling.borders import cut_off, did_too, hangs_on, of_the_place, weighty
from grammar.telling.carried_over import GOES_ON, LONGEST_ELLIPSIS
from grammar.telling.in_all import whole_and_parts
from grammar.telling.joined import is_empty, joined

LONGEST_CLAUSE = 24
_CLAUSE, _INSIDE, _COMMA, _UNJOINED, _JOINER, _SCENE, _LED = 10.0, 3.0, 1.0, 6.0, 0.01, 2.0, 0.02

_MOST_RANK = 0.4


class Way:
    """The cheapest way to read the pieces up to a place: its cost, the way before it, what it adds, and the last meaning so far."""

    __slots__ = ("before", "cost", "last", "made")

    def __init__(self, cost: float, before: Way | None, made: tuple[Intent, ...], last: Intent | None) -> None:
        self.cost, self.before, self.made, self.last = cost, before, made, last

    def all(self) -> list[Intent]:
        """The meanings of the whole way, in order."""
        found: list[Intent] = []
        way: Way | None = self
        while way is not None:
            found.extend(reversed(way.made))
            way = way.before
        return found[::-1]


Best = list[Way | None]


def pieces_of(text: str, toks: Sequence[Tok]) -> list[Piece]:
    """The pieces of tokens without what carries nothing, self-corrections resolved."""
    return list(clause_of(text, toks).pieces)


def clause_of(text: str, toks: Sequence[Tok]) -> Clause:
    """All pieces of tokens as one clause, which is not to be changed."""
    key = (text, *map(id, toks))
    for known, _, clause in _latest:  # a sentence is looked at several times, as a question, a statement, a reply
        if known == key:
            return clause
    made = Clause(_self_corrected(pieces([tok for tok in toks if not _light(tok)], text)))
    _latest[:] = [(key, list(toks), made)]
    return made


_latest: list[tuple[tuple[object, ...], list[Tok], Clause]] = []
"""The key, the tokens (kept, so that their ids stay theirs) and the clause of the last sentence."""


def _light(tok: Tok) -> bool:
    return tok.known and tok.senses.keys() <= {"FILLER", "ART", "ADJ"}


def _self_corrected(found: list[Piece]) -> list[Piece]:
    """ "two no three gallons": of two pieces of one kind with a word of correction between them, the later counts."""
    kept: list[Piece] = []
    i = 0
    while i < len(found):
        piece = found[i]
        if piece.has("FIX") and kept and i + 1 < len(found):
            j = i + 1
            while j < len(found) and found[j].has("FIX", "COMMA", "IT", "BE"):
                j += 1
            back = next((k for k in range(len(kept) - 1, max(-1, len(kept) - 3), -1) if not kept[k].has("COMMA")), None)
            if j < len(found) and back is not None and _same_sort(kept[back], found[j]):
                kept[back:] = [_of_its_unit(kept[back], found[j])]
                i = j + 1
                continue
        kept.append(piece)
        i += 1
    return kept


def _of_its_unit(wrong: Piece, right: Piece) -> Piece:
    """ "dishes 3 quarts, make that 4": quarts too."""
    if right.kind != "amount" or right.value.unit is not None or wrong.value.unit is None:
        return right
    return Piece(right.kind, replace(right.value, unit=wrong.value.unit), right.toks)


def _same_sort(one: Piece, other: Piece) -> bool:
    if one.kind != other.kind:
        return False
    return one.kind != "word" or any(one.has(cls) and other.has(cls) for cls in ("ACT", "METER", "SERVICE", "SITE"))


# ---------------------------------------------------------------- the division into clauses


def statements(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """The meanings of the cheapest division of the tokens into clauses that frames read whole; None if there is none."""
    shared = whole_and_parts(text, toks, statements)
    if shared is not None:
        return shared or None
    parts = pieces_of(text, toks)
    size = len(parts)
    if not size:
        return None
    joins, calls = [_joiner(part) for part in parts], [calls_of(part) for part in parts]
    best: Best = [None] * (size + 1)
    best[0] = Way(0.0, None, (), None)
    for i in range(size):
        here = best[i]
        if here is None:
            continue
        _pass_over(best, parts, i, here)
        if not joins[i] or parts[i].has("NEXTSTOP"):
            _clauses_from(best, parts, joins, calls, i, here, text)
    final = best[size]
    if final is None or final.last is None:
        return None
    made = final.all()
    return None if _of_whom(made) or _or_put_in(made) or _back_after(made) else joined(made, parts)


def _or_put_in(made: Sequence[Intent]) -> bool:
    """ "filled fresh and used 5 gal": whether that went in or was used besides is not said."""
    return any(
        isinstance(one, say.Fill) and one.amount is None and isinstance(other, say.Use) and other.amount is not None
        and other.activity is None and other.unknown_activity is None and "used" in other.text.casefold().split()
        for one, other in itertools.pairwise(made)
    )  # fmt: skip


def _back_after(made: Sequence[Intent]) -> bool:
    """ "two nights at Cedar Flat, then back here": to come as well, and nobody's return now; where "here" is, is not known."""
    return any(isinstance(one, say.Stop) and isinstance(other, say.Back) for one, other in itertools.pairwise(made))


def _of_whom(made: Sequence[Intent]) -> bool:
    """ "Ana and Bo showered, he used 3 and she used 2": which of them that was is not said."""
    return any(
        isinstance(one, say.Use) and isinstance(other, say.Use) and len(one.people) > 1 and not other.people
        and other.amount is not None and other.text.casefold().startswith(("he ", "she "))
        for one, other in itertools.pairwise(made)
    )  # fmt: skip


def _of_the_site(parts: Sequence[Piece], i: int) -> bool:
    """ "sewer and water": what the site gives, and no word without weight."""
    return of_the_place(parts, i) or (
        parts[i].has("WATERHERE") and any(part.has("SEWERHERE", "NOSEWER") for part in parts[max(0, i - 3) : i])
    )


def _pass_over(best: Best, parts: Sequence[Piece], i: int, here: Way) -> None:
    """Joiners, words without weight and the scenery round a report need no clause."""
    piece = parts[i]
    if (
        speaker(piece)
        and here.last is not None
        and _joiner(parts[i - 1])
        and (i + 1 == len(parts) or _joiner(parts[i + 1]))
    ):
        return  # "Ana showered, then me": somebody who did it
    if _joiner(piece) or (is_empty(piece) and not _of_the_site(parts, i)):
        _better(best, i + 1, Way(here.cost + _JOINER, here, (), here.last))
    elif piece.has("SCENE") and not (isinstance(here.last, say.Party) and piece.toks[0].text.startswith("for ")):
        _better(best, i + 1, Way(here.cost + _SCENE, here, (), here.last))


def _clauses_from(
    best: Best, parts: Sequence[Piece], joins: Sequence[bool], calls: Sequence[Calls], i: int, here: Way, text: str
) -> None:
    """All clauses that begin at piece `i`. joins: which pieces are joiners; calls: the frames that each piece calls up."""
    joined = i == 0 or parts[i - 1].has("AND", "THEN", "COMMA", "BUT", "SCENE") or is_empty(parts[i - 1])
    if of_the_place(parts, i) if joined else hangs_on(parts, i):
        return
    base = here.cost + _CLAUSE + (0 if joined else _UNJOINED)
    if parts[i].kind == "amount" and i and i + 1 < len(parts) and joins[i + 1]:
        base += _LED  # "mopped the floor, 1 gal, hosed the bikes": rather the floor's
    growing = Growing()
    alive = joined or here.last is None or weighty(here.last)  # else no clause follows without a joiner
    goes_on = GOES_ON.get(type(here.last)) if here.last is not None and i else None
    and_again = parts[i].has("AGAIN") and parts[i].toks[0].text.startswith("and")
    listed = goes_on is not None and (and_again or parts[i - 1].has("COMMA", "AND", "BUT", "THEN"))
    for j in range(i, min(len(parts), i + LONGEST_CLAUSE)):
        piece = parts[j]
        alive = growing.add(piece, calls[j]) and alive
        if goes_on is not None and j - i < LONGEST_ELLIPSIS and (listed or piece.has("TOO")):
            again = goes_on(here.last, growing.clause)
            if again is not None:
                _better(best, j + 1, Way(here.cost + _CLAUSE + 1, here, (again,), again))
        if (not alive and (goes_on is None or j - i >= LONGEST_ELLIPSIS)) or did_too(parts, i, j):
            return
        known = best[j + 1]
        if cut_off(parts, j):
            continue  # "used 2 on", "dishes, 3 on": of what, stands behind it
        if alive and not joins[j] and (known is None or known.cost > base - _MOST_RANK):
            made = growing.readings()
            if made and not (len(made) > 1 and made[1][0] == made[0][0] and made[1][1] != made[0][1]):
                rank, meanings = made[0]
                if any(joins[i:j]) and leaves_out(parts[i : j + 1], joins[i : j + 1], meanings):
                    continue
                meanings = tuple(replace(one, text=text[parts[i].start : piece.end]) for one in meanings)
                if joined or weighty(meanings[0]):
                    _better(best, j + 1, Way(base - 0.1 * rank, here, meanings, meanings[-1]))
        if j > i and joins[j]:
            base += _INSIDE if piece.has("AND", "THEN", "BUT") else _COMMA if piece.has("COMMA") else 0.0


def _joiner(piece: Piece) -> bool:
    return piece.has("AND", "THEN", "COMMA", "BUT", "COLON")


def _better(best: Best, place: int, way: Way) -> None:
    now = best[place]
    if now is None or way.cost < now.cost:
        best[place] = way
