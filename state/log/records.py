"""Turns and events as rows of the log's tables, and back: which columns there are, what guards them, how an event is found by its id.

The words of a turn stay; its answer and its memo are kept for the last `RECENT` turns only, each in a place that is used again: nothing
needs them later. May import: sqlite3, `codes`, `rows`, `entry`.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from datetime import datetime

from state.entry import Entry
from state.lightclass import Any, dataclass, field
from state.log.codes import CODE, NAMES
from state.log.rows import Heard, checksum, moment, pack, stamp, to_json, unpack

RECENT = 128
"""So many turns back the answer and the memo are kept. The conversation looks back a dozen."""

IMPORTED = "imported"
"""The outcome of a turn that came from another device: no part of the talk on this one."""

EVENTS = "SELECT seq, id, turn, kind, at, offset, what, person, litres, said, rest, guard FROM events"
TURNS = (
    "SELECT turns.turn, heard_at, offset, outcome, heard, turns.guard, recent.turn, answer, memo, recent.guard"
    f" FROM turns LEFT JOIN recent ON recent.place = turns.turn % {RECENT} AND recent.turn = turns.turn"
)
WORDS = "SELECT turn, heard_at, offset, outcome, heard, guard FROM turns"
UNKNOWN = (None, None, None, None)
"""What `TURNS` tells of the answer and the memo of a turn long ago."""


@dataclass
class Turn:
    """One turn as said and answered. `memo`: what the next turn needs to know (a pending question…), JSON-able.
    `number`: its place, given by the log. One read back from long ago has neither answer nor memo."""

    heard_at: datetime
    heard: str
    outcome: str
    answer: str
    memo: dict[str, Any] = field(default_factory=dict)
    number: int = 0


def add_turn(connection: sqlite3.Connection, turn: Turn) -> None:
    """Insert the turn under its number. Raises ValueError, sqlite3.Error."""
    at, offset = stamp(turn.heard_at)
    row = (turn.number, at, offset, CODE[turn.outcome], storable(turn.heard))
    connection.execute("INSERT INTO turns VALUES (?, ?, ?, ?, ?, ?)", (*row, checksum(*row)))
    if turn.outcome != IMPORTED:
        told = (turn.number, storable(turn.answer), to_json(turn.memo) if turn.memo else "")
        row_of_recent = (turn.number % RECENT, *told, checksum(*told))
        connection.execute("INSERT OR REPLACE INTO recent VALUES (?, ?, ?, ?, ?)", row_of_recent)


def add_event(
    connection: sqlite3.Connection, seq: int, turn: Turn, fields: Mapping[str, Any], group: str = ""
) -> Entry:
    """Insert an event with checked fields; `group`: the name its turn came with. Returns it as it will be read back.

    Raises: ValueError, sqlite3.Error.
    """
    packed = pack(fields, turn.heard_at, turn.heard, group)
    id, *own = packed
    add_row(connection, (seq, id, turn.number, *own))
    return unpack(seq, turn.number, packed, (*stamp(turn.heard_at), storable(turn.heard)))


def add_row(connection: sqlite3.Connection, row: tuple[Any, ...]) -> None:
    """Insert the row of an event, all but its guard. Raises sqlite3.Error."""
    connection.execute("INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", guarded(row))


def guarded(row: tuple[Any, ...]) -> tuple[Any, ...]:
    """The row of an event with its guard."""
    return (*row, checksum(*row))


def entry_of(row: tuple[Any, ...], turns: Mapping[int, Heard]) -> Entry:
    """The event of a row. Raises ValueError, LookupError or TypeError if the row is damaged."""
    seq, id, turn, *own, guard = row
    if checksum(*row[:-1]) != guard:
        raise ValueError(f"event {seq} does not fit its guard")
    return unpack(seq, turn, (id, *own), turns[turn])


def heard_of(row: tuple[Any, ...]) -> tuple[int, Heard]:
    """The number of the turn of a row of `WORDS`, and what its events need of it. Raises ValueError if the row is damaged."""
    number, at, offset, _, heard, guard = row
    if checksum(*row[:-1]) != guard:
        raise ValueError(f"turn {number} does not fit its guard")
    return number, (at, offset, heard)


def turn_of(row: tuple[Any, ...]) -> Turn:
    """The turn of a row of `TURNS`. Raises ValueError, LookupError, TypeError if the row is damaged."""
    number, (at, offset, heard) = heard_of(row[:6])
    again, answer, memo, other_guard = row[6:]
    if again is not None and checksum(again, answer, memo) != other_guard:
        raise ValueError(f"the answer of turn {number} does not fit its guard")
    return Turn(moment(at, offset), heard, NAMES[row[3]], answer or "", json.loads(memo) if memo else {}, number)


def storable(text: str) -> str:
    """The text with its half characters (from invalid UTF-8) replaced."""
    return text.encode("utf-8", "replace").decode("utf-8")


def references(fields: Mapping[str, Any]) -> tuple[str, ...]:
    """The ids of the events that this one is about; `of` names something else in a rig's limit."""
    if fields["kind"] not in ("undo", "redo", "amend"):
        return ()
    of = fields["of"]
    return (of,) if isinstance(of, str) else tuple(of)


OWN_LENGTH = 20
"""Ids that this program makes are as long as that, and begin with the moment of making, of which an index is kept (migrations.py)."""


def with_id(id: str) -> tuple[str, tuple[str, ...]]:
    """The condition, with its values, under which an event has that id. The plus keeps SQLite from putting the value of `id` into the
    first condition, for which it then would not use the index."""
    if len(id) == OWN_LENGTH:
        return f"length(id) = {OWN_LENGTH} AND substr(id, 1, 13) = ? AND +id = ?", (id[:13], id)
    return f"length(id) <> {OWN_LENGTH} AND id = ?", (id,)


LATEST_IDS = f"""
SELECT max(id) FROM events WHERE length(id) = {OWN_LENGTH} AND seq <= :seq AND substr(id, 1, 13) = (
  SELECT substr(id, 1, 13) FROM events WHERE length(id) = {OWN_LENGTH} AND seq <= :seq ORDER BY substr(id, 1, 13) DESC LIMIT 1)
UNION ALL
SELECT * FROM (SELECT id FROM events WHERE length(id) <> {OWN_LENGTH} AND seq <= :seq ORDER BY id DESC LIMIT 1)
"""
"""The last ids, in their order, of the events up to the place `seq`: of those made by this program, and of others."""
