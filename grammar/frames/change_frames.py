"""A level that was and one that is: "fresh was 10 gal and is now 30", "grey went from a quarter to half". What is now counts.

May import: clause, chunks, intents.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar.intents import Amount, Intent
from grammar.lightclass import Literal, dataclass, replace
from grammar.pieces.chunks import Piece
from grammar.pieces.clause import VOLUMES, Clause, frame
from grammar.when import When

_WAS = frozenset("was were".split())


@frame(
    "level then and now",
    "BE ISAT MOVED",
    "tanks amount between when ISAT MOVED FULLNESS TANKWORD LEVELWORD NEARLY AUX FROM SENSOR SCENE BEFORE",
    rank=2,
    twice="amount when",
)
def then_and_now(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    """Two levels of a tank, the one told as past, the other as present."""
    if not clause.tanks or clause.tanks == ("*",):
        return None
    told = _told(clause.pieces)
    if told is None:
        return None
    was, now, when = told
    amount = _as_said(now.amount, was.amount)
    if amount is None or (when is not None and (when.seconds or when.period)):
        return None
    if len(clause.tanks) > 1 and amount.unit not in ("fraction", "percent"):
        return None
    basis: Literal["seen", "sensor"] = "sensor" if clause.word("SENSOR") else "seen"
    when = None if when is not None and when.now else when
    seen = next((piece.value for piece in clause.pieces[: now.start] if piece.kind == "when"), None)
    dated = was.start < now.start and seen is not None and seen is not when and seen.has_hour
    earlier = [
        say.Level(tank=tank, amount=_as_said(was.amount, amount), basis=basis, nearly=was.nearly, when=seen)
        for tank in clause.tanks
        if dated
    ]  # "was half full at noon and is 2/3 now": both were seen
    later = [say.Level(tank=tank, amount=amount, basis=basis, nearly=now.nearly, when=when) for tank in clause.tanks]
    return (*earlier, *later)


@dataclass(frozen=True)
class _Told:
    """A level among the pieces: from where to where it stands. `nearly`: "nearly full"."""

    amount: Amount
    start: int
    end: int
    nearly: bool = False


def told_twice(clause: Clause) -> bool:
    """Whether a clause tells two levels, of which one may be past."""
    return len(_levels(clause.pieces)) > 1


def _levels(pieces: Sequence[Piece]) -> list[_Told]:
    """The levels that the pieces tell, "half full" as one."""
    found: list[_Told] = []
    for n, piece in enumerate(pieces):
        amount = _level(piece)
        last = found[-1] if found else None
        if amount is None:
            continue
        if last is not None and last.end == n and piece.has("FULLNESS") and last.amount.unit in ("fraction", "percent"):
            whole = 1 if last.amount.unit == "fraction" else 100
            share = last.amount if amount.value else replace(last.amount, value=whole - (last.amount.value or 0))
            found[-1] = replace(last, amount=share, end=n + 1)
        else:
            nearly = n > 0 and pieces[n - 1].has("NEARLY")
            found.append(_Told(amount, n, n + 1, nearly))
    return found


def _told(pieces: Sequence[Piece]) -> tuple[_Told, _Told, When | None] | None:
    """What it was, what it is, and when it was seen to be that."""
    moved = next((n for n, piece in enumerate(pieces) if piece.has("MOVED")), None)
    between = next((piece.value for piece in pieces if piece.kind == "between"), None)
    levels = _levels(pieces)
    times = [(n, piece.value) for n, piece in enumerate(pieces) if piece.kind == "when"]
    last = times[-1][1] if times else None
    if between is not None:
        first, second = (_Told(amount, 0, 0) for amount in between)
        return (first, second, last) if moved is not None and not levels else None
    if len(levels) != 2:
        return None
    first, second = levels
    if moved is not None:
        onto = any(piece.has("TO") for piece in pieces[first.end : second.start])
        return (first, second, last) if moved < first.start and onto else None
    turn = next((n for n in range(first.end, second.start) if pieces[n].has(*_TURNS)), first.end)
    leads = _tense([*pieces[: first.start], *pieces[first.end : turn]])
    follows = _tense([*pieces[turn : second.start], *pieces[second.end :]])
    if leads == "past" and follows == "present":
        later = next((value for n, value in times if n > first.start), None)
        return first, second, None if later is None or _part_of_the_past(pieces, first.end, later) else later
    if leads == "present" and follows == "past":
        return second, first, next((value for n, value in times if n < second.start), None)
    return None


def _part_of_the_past(pieces: Sequence[Piece], end: int, later: When) -> bool:
    """ "was half this morning and is now a quarter": the morning is when it was half."""
    turn = next((n for n in range(end, len(pieces)) if pieces[n].has(*_TURNS)), len(pieces))
    return any(piece.kind == "when" and piece.value is later for piece in pieces[end:turn])


_TURNS = ("AND", "BUT", "COMMA", "SEMI", "STOP", "BE", "ISAT")
"""Where what is told of the one level ends."""


def _tense(pieces: Sequence[Piece]) -> str | None:
    """Whether the words tell what was or what is."""
    words = {word for piece in pieces if piece.kind == "word" for word in piece.toks[0].text.split()}
    now = any(piece.kind == "when" and piece.value.now for piece in pieces)
    if not _WAS.isdisjoint(words) or words & {"stood", "sat"}:
        return None if now else "past"
    present = any(piece.has("BE", "ISAT") for piece in pieces) and words & {"is", "are", "at", "'s"}
    return "present" if now or present else None


def _level(piece: Piece) -> Amount | None:
    if piece.kind == "amount":
        able = piece.value.unit in (*VOLUMES, "fraction", "percent", None)
        return piece.value if able and piece.value.value is not None and not piece.value.bound else None
    if piece.kind == "word" and piece.has("FULLNESS"):
        tok = piece.toks[0]
        return Amount(float(tok.senses["FULLNESS"].value), "fraction", text=tok.text)
    return None


def _as_said(now: Amount, was: Amount) -> Amount | None:
    """What it is, in the unit that was said with either."""
    if now.unit is None:
        return replace(now, unit=was.unit) if was.unit in VOLUMES or was.unit == "percent" else None
    return now
