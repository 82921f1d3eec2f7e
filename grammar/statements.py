"""Statements of a phrase: its pieces divided into clauses, each read whole by a frame, in the cheapest way that leaves nothing over.

May import: chunks, clause, intents, the frames.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rig_frames, round_frames, tank_frames, trip_frames, use_frames  # noqa: F401  (they enter their frames)
from grammar.chunks import Piece, pieces
from grammar.clause import Clause, Growing
from grammar.intents import Intent
from grammar.tokens import Tok
from lightclass import replace

LONGEST_CLAUSE = 16
MOST_PIECES = 1200
_CLAUSE, _INSIDE, _COMMA, _UNJOINED, _JOINER, _SCENE = 10.0, 3.0, 1.0, 6.0, 0.01, 2.0

Best = list[tuple[float, list[Intent]] | None]


def pieces_of(text: str, toks: Sequence[Tok]) -> list[Piece]:
    """The pieces of tokens without what carries nothing, self-corrections resolved."""
    kept = [tok for tok in toks if not _light(tok)]
    return _self_corrected(pieces(kept, text))


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
                del kept[back:]
                i = j
                continue
        kept.append(piece)
        i += 1
    return kept


def _same_sort(one: Piece, other: Piece) -> bool:
    if one.kind != other.kind:
        return False
    return one.kind != "word" or any(one.has(cls) and other.has(cls) for cls in ("ACT", "METER", "SERVICE", "SITE"))


# ---------------------------------------------------------------- the division into clauses


def statements(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """The meanings of the cheapest division of the tokens into clauses that frames read whole; None if there is none."""
    parts = pieces_of(text, toks)
    size = len(parts)
    if not size or size > MOST_PIECES:
        return None
    best: Best = [None] * (size + 1)
    best[0] = (0.0, [])
    for i in range(size):
        here = best[i]
        if here is None:
            continue
        _pass_over(best, parts, i, here)
        if not _joiner(parts[i]) or parts[i].has("NEXTSTOP"):
            _clauses_from(best, parts, i, here, text)
    final = best[size]
    if final is None or not final[1]:
        return None
    return _shared_time(_shared_sensor(_distinct(final[1]), parts), parts)


def _shared_sensor(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """ "sensors: fresh 2/3, grey 1/3": what stands first goes for all."""
    head = next((piece for piece in parts if not _empty(piece)), None)
    if head is None or not head.has("SENSOR"):
        return made
    return [replace(one, basis="sensor") if isinstance(one, say.Level) else one for one in made]


def _pass_over(best: Best, parts: Sequence[Piece], i: int, here: tuple[float, list[Intent]]) -> None:
    """Joiners, words without weight and the scenery round a report need no clause."""
    piece = parts[i]
    if _joiner(piece) or _empty(piece):
        _better(best, i + 1, here[0] + _JOINER, here[1])
    elif piece.has("SCENE"):
        _better(best, i + 1, here[0] + _SCENE, here[1])


def _clauses_from(best: Best, parts: Sequence[Piece], i: int, here: tuple[float, list[Intent]], text: str) -> None:
    joined = i == 0 or parts[i - 1].has("AND", "THEN", "COMMA", "BUT", "SCENE") or _empty(parts[i - 1])
    growing, inner = Growing(), 0.0
    for j in range(i, min(len(parts), i + LONGEST_CLAUSE)):
        piece = parts[j]
        again = _ellipsis(parts, i, j + 1, here[1])
        if again is not None:
            _better(best, j + 1, here[0] + _CLAUSE + 1, [*here[1], again])
        if not growing.add(piece):
            if j - i >= 4:
                return
            continue
        if not _joiner(piece):
            made = growing.readings()
            if made and not (len(made) > 1 and made[1][0] == made[0][0] and made[1][1] != made[0][1]):
                rank, meanings = made[0]
                said = text[parts[i].start : piece.end]
                meanings = tuple(replace(one, text=text[parts[i].start : piece.end]) for one in meanings)
                if not joined and not (_weighty(meanings[0]) and (not here[1] or _weighty(here[1][-1]))):
                    continue
                cost = here[0] + _CLAUSE + (0 if joined else _UNJOINED) + inner - 0.1 * rank
                _better(best, j + 1, cost, [*here[1], *(replace(one, text=said) for one in meanings)])
        inner += (
            _INSIDE if piece.has("AND", "THEN", "BUT") and j > i else _COMMA if piece.has("COMMA") and j > i else 0.0
        )


def _weighty(meaning: Intent) -> bool:
    """Whether a meaning says enough to stand beside another without a joiner ("dishes a gallon coffee a quart")."""
    if isinstance(meaning, say.Use):
        told = meaning.amount is not None or meaning.count is not None or meaning.before is not None
        return told or (meaning.done and bool(meaning.people))
    if isinstance(meaning, say.Fill | say.Level | say.Rinse):
        return meaning.tank is not None and (meaning.amount is not None or isinstance(meaning, say.Fill))
    if isinstance(meaning, say.Dump):
        return bool(meaning.tanks) or meaning.every
    if isinstance(meaning, say.Back | say.Away | say.Depart | say.Party):
        return meaning.text.casefold().startswith(("we", "i ", "i'm", "just"))
    return not isinstance(meaning, say.ResetSomething)


def _joiner(piece: Piece) -> bool:
    return piece.has("AND", "THEN", "COMMA", "BUT", "COLON")


def _empty(piece: Piece) -> bool:
    return piece.kind == "word" and piece.toks[0].has("FILLER", "SELF", "WATER")


def _better(best: Best, place: int, cost: float, meanings: list[Intent]) -> None:
    now = best[place]
    if now is None or cost < now[0]:
        best[place] = (cost, meanings)


def _ellipsis(parts: Sequence[Piece], i: int, j: int, before: Sequence[Intent]) -> Intent | None:
    """ "Ana showered with 2, Joss with 3": the same thing by somebody else, of another amount."""
    last = before[-1] if before else None
    if not isinstance(last, say.Use) or not i or j - i > 4 or not parts[i - 1].has("COMMA", "AND", "BUT"):
        return None
    clause = Clause(parts[i:j])
    amount = clause.get("amount")
    if not clause.people or amount is None or amount.value is None or last.before is not None:
        return None
    if any(
        piece.kind not in ("people", "amount") and not piece.has("PREP", "FILLER", "USE", "AT")
        for piece in clause.pieces
    ):
        return None
    unit = amount.unit or (last.amount.unit if last.amount else None)
    return replace(last, people=clause.people, amount=replace(amount, unit=unit), count=None, minutes=None)


def _distinct(made: list[Intent]) -> list[Intent]:
    """The meanings without repetitions of one that cannot happen twice ("turned city water off and the pump on")."""
    kept: list[Intent] = []
    for one in made:
        bare = replace(one, text="")
        if isinstance(one, say.Supply | say.Valve | say.Dump | say.ResetMeter) and any(
            replace(other, text="") == bare for other in kept
        ):
            continue
        kept.append(one)
    return kept


def _shared_time(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """A time at the very start of the phrase goes for all its clauses that have none of their own."""
    first = made[0].when
    lead = next((piece for piece in parts if not _empty(piece)), None)
    if first is None or len(made) == 1 or lead is None or lead.kind != "when":
        return made
    return [one if one.when is not None else replace(one, when=first) for one in made]
