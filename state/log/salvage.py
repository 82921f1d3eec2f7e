"""What can still be read of a damaged log, brought into a new one. The damaged file is only read.

Only rows whose guard fits are believed, so nothing that was flipped or half written comes through as if it were true. Places and turns
are counted anew; ids, times and words stay. May import: `faults`, `older`, `pages`, `records`, `rows`, `store`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from state.entry import Entry
from state.lightclass import TYPE_CHECKING, Any, dataclass
from state.log import older, pages
from state.log.faults import LogError, fault, from_system
from state.log.records import UNKNOWN, Turn, add_event, add_turn, entry_of, guarded, turn_of
from state.log.rows import checksum, stamp
from state.log.store import Log

if TYPE_CHECKING:
    from typing import TypeVar

    T = TypeVar("T")

TURN_WIDTH, RECENT_WIDTH, EVENT_WIDTH, OLDER_WIDTH = 6, 5, 12, 8
"""How many columns the tables turns, recent and events have, and how many both turns and events had in versions 1 and 2."""

LITRES = 8


@dataclass(frozen=True)
class Salvaged:
    """`events`, `turns`: how many came through. `missing`: places (first, last) of events that did not, among those that did.
    `since`, `until`: when the first and the last of those that came through happened."""

    events: int
    turns: int
    missing: tuple[tuple[int, int], ...]
    since: datetime | None = None
    until: datetime | None = None


def salvage(damaged: Path, new: Path) -> Salvaged:
    """Bring what can be read of `damaged` into the new log `new`. Raises: LogError; `new` must not be there yet."""
    if new.exists():
        raise LogError("in-the-way", f"{new} is there already, and it was left as it is.", "Name a new file.")
    try:
        file = damaged.read_bytes()
        journal = Path(f"{damaged}-wal")
        held = journal.read_bytes() if journal.exists() else b""
    except FileNotFoundError:
        raise fault("missing", damaged) from None
    except OSError as error:
        raise from_system(error, damaged) from error
    turns, events = _sorted_out(pages.rows(file, held))
    entries = _entries(turns, events)
    if not entries:
        raise LogError("nothing-left", f"No event could be read from {damaged}.", "Bring a backup back with --restore.")
    with Log.open(new) as log, log.writing() as connection:
        numbers: dict[int, Turn] = {}
        for number in sorted({*turns, *(entry.turn for entry in entries)}):
            turn = turns.get(number) or _stand_in(next(entry for entry in entries if entry.turn == number))
            turn.number = len(numbers) + 1
            numbers[number] = turn
            add_turn(connection, turn)
        for seq, entry in enumerate(entries, start=1):
            add_event(connection, seq, numbers[entry.turn], entry.fields())
    moments = [entry.at for entry in entries]
    return Salvaged(len(entries), len(turns), _gaps([entry.seq for entry in entries]), min(moments), max(moments))


WRONG = (ValueError, TypeError, LookupError, AttributeError, OverflowError)
"""What a row that is none of ours, or was damaged, may lead to."""


def _sorted_out(found: Iterable[pages.Row]) -> tuple[dict[int, Turn], dict[int, tuple[Any, ...]]]:
    """Turns by number and rows of events by place, of which the guard fits. Rows of an older shape of the file are brought to the
    present one; where there are both, the present one counts."""
    by_width: dict[int, list[tuple[Any, ...]]] = {}
    for rowid, values in found:
        if values and values[0] is None:
            by_width.setdefault(len(values), []).append((rowid, *values[1:]))
    recent = {row[1]: row[1:] for row in by_width.get(RECENT_WIDTH, ()) if checksum(*row[1:4]) == row[4]}
    turns = _whole(by_width.get(OLDER_WIDTH, ()), older.turn_of)
    turns |= _whole(by_width.get(TURN_WIDTH, ()), lambda row: turn_of((*row, *recent.get(row[0], UNKNOWN))))
    heard = {number: turn.heard for number, turn in turns.items()}
    events = _whole(by_width.get(OLDER_WIDTH, ()), lambda row: guarded(older.event_of(row, heard.get(row[2], ""))))
    events |= _whole(by_width.get(EVENT_WIDTH, ()), lambda row: _readable(_as_stored(row)))
    return turns, events


def _whole(rows: Iterable[tuple[Any, ...]], read: Callable[[tuple[Any, ...]], T]) -> dict[int, T]:
    """What those of the rows that are whole say, by their place."""
    whole = {}
    for row in rows:
        with suppress(*WRONG):
            whole[row[0]] = read(row)
    return whole


def _as_stored(row: tuple[Any, ...]) -> tuple[Any, ...]:
    """A page holds whole litres as integers, to save bytes."""
    litres = row[LITRES]
    return (*row[:LITRES], float(litres) if litres is not None else None, *row[LITRES + 1 :])


def _readable(row: tuple[Any, ...]) -> tuple[Any, ...]:
    entry_of(row, {row[2]: (row[4], row[5], "")})
    return row


def _entries(turns: dict[int, Turn], events: dict[int, tuple[Any, ...]]) -> list[Entry]:
    entries = []
    for seq in sorted(events):
        row = events[seq]
        turn = turns.get(row[2])
        heard = (*stamp(turn.heard_at), turn.heard) if turn else (row[4], row[5], "")
        entries.append(entry_of(row, {row[2]: heard}))
    return entries


def _stand_in(entry: Entry) -> Turn:
    """For events whose turn did not come through: what was said is lost, what happened is not."""
    return Turn(entry.heard_at, entry.heard, "recorded", "")


def _gaps(places: list[int]) -> tuple[tuple[int, int], ...]:
    gaps, next_place = [], 1
    for place in places:
        if place > next_place:
            gaps.append((next_place, place - 1))
        next_place = place + 1
    return tuple(gaps)
