"""Rows as versions 1 and 2 of the log's file had them, brought to the present shape: for the migration of a whole log, and for what a
damaged file still holds. May import: sqlite3, `records`, `released`, `rows`.
"""

from __future__ import annotations

import json
import sqlite3
from zlib import crc32

from state.lightclass import Any
from state.log.records import IMPORTED, Turn, add_row, add_turn
from state.log.released import CODE_3, KINDS_1, WHAT_3
from state.log.rows import columns, moment

FROM_AFAR = '{"imported":true}'
"""The memo of a turn that came from another device."""


def turn_of(row: tuple[Any, ...]) -> Turn:
    """The turn of a row as it was. Raises ValueError, TypeError if the row is damaged."""
    number, at, offset, outcome, heard, answer, memo, guard = row
    if _checksum(number, at, offset, outcome, heard, answer, memo) != guard:
        raise ValueError(f"turn {number} does not fit its guard")
    if memo == FROM_AFAR:
        outcome, memo = IMPORTED, ""
    return Turn(moment(at, offset), heard, outcome, answer, json.loads(memo) if memo else {}, number)


def event_of(row: tuple[Any, ...], heard: str) -> tuple[Any, ...]:
    """The row of an event as it was, as it is now, without its guard. heard: the words of its turn.

    Raises: ValueError, KeyError, TypeError if the row is damaged.
    """
    seq, id, turn, kind, at, offset, body, guard = row
    if _checksum(seq, id, turn, kind, at, offset, body) != guard:
        raise ValueError(f"event {seq} does not fit its guard")
    if kind not in KINDS_1:  # a turn's row, as a page tells it
        raise KeyError(kind)
    return seq, id, turn, CODE_3[kind], at, offset, *columns(kind, json.loads(body), heard, CODE_3, WHAT_3)


def carry_over(connection: sqlite3.Connection) -> None:
    """The rows of turns_2 and events_2 into the tables as they are now.

    Raises: sqlite3.DatabaseError if one of them is damaged: such a log is salvaged, not migrated.
    """
    try:
        words: dict[int, str] = {}
        for row in connection.execute(
            "SELECT turn, heard_at, offset, outcome, heard, answer, memo, guard FROM turns_2 ORDER BY turn"
        ):
            turn = turn_of(row)
            words[turn.number] = turn.heard
            add_turn(connection, turn)
        for row in connection.execute("SELECT seq, id, turn, kind, at, offset, body, guard FROM events_2 ORDER BY seq"):
            add_row(connection, event_of(row, words[row[2]]))
    except (ValueError, KeyError, TypeError, OverflowError) as error:
        malformed = sqlite3.DatabaseError(str(error))
        malformed.sqlite_errorname = "SQLITE_CORRUPT"
        raise malformed from error


def _checksum(*parts: Any) -> int:
    return crc32("\x1f".join(map(str, parts)).encode("utf-8", "replace"))
