"""The log: every turn with what was said and answered, and every event that it booked, in one file that is only ever added to.

Invariants: a turn and its events are one transaction, on disk (fsync) before `append` returns; rows are never updated or deleted;
`seq` and `turn` count up without a gap; ids are unique; a row whose guard does not fit its content is never handed out. Not here:
what the events mean (fold.py), undo and amend (history.py), and what to do about a damaged file (salvage.py).
The hot path is plain sqlite3: sqlite_utils is loaded only to make or migrate a file (migrations.py).
May import: sqlite3, the standard library, `entry`, `records`, `rows`, `faults`, `migrations`, `checks`, `kept`.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime

from state import checks
from state.entry import Entry
from state.lightclass import TYPE_CHECKING, Any
from state.log import kept
from state.log.codes import CODE
from state.log.faults import LogError, LogMoved, fault, from_sqlite, from_system
from state.log.opening import connect, connect_to_read, identity, patiently, roll_back
from state.log.records import (
    EVENTS,
    IMPORTED,
    LATEST_IDS,
    TURNS,
    WORDS,
    Turn,
    add_event,
    add_turn,
    entry_of,
    heard_of,
    references,
    turn_of,
    with_id,
)
from state.log.rows import EPOCH, MILLISECOND, Heard, stamp

if TYPE_CHECKING:
    from pathlib import Path
    from types import TracebackType

    from state.log.opening import Patience

__all__ = ["Log", "LogError", "LogMoved", "Turn", "new_id"]

AHEAD = 2 * 86_400_000  # milliseconds that another device's clock may be ahead and still be followed
AT_HAND = 32  # turns that may be kept in hand
_DIGITS = "0123456789abcdefghjkmnpqrstvwxyz"  # base 32 without i, l, o, u: sorts as it counts
_last_id = 0
EVERY = 1 << 62  # beyond any place in a log


def new_id(now: datetime | None = None) -> str:
    """A new event's id: 20 characters that sort in the order of making, from the time in milliseconds and 52 random bits.

    Later than every id that this process has made or read, whatever the clock does and wherever those came from: sorting by id
    never puts an effect before its cause, and gives the same order on every device (a hybrid logical clock).

    now: the time to put in; left out, it is the device's own clock, which keeps the order even when a turn is said at a pretended time.
    """
    global _last_id
    since = (now - EPOCH) // MILLISECOND if now is not None else time.time_ns() // 1_000_000
    drawn = (since % (1 << 48)) << 52 | int.from_bytes(os.urandom(7)) >> 4
    if drawn <= _last_id:
        drawn = _last_id + 1 + int.from_bytes(os.urandom(4))
    _last_id = drawn
    return "".join(_DIGITS[drawn >> shift & 31] for shift in range(95, -1, -5))


def _observe(id: str) -> None:
    """Let ids to come be later than this one; one that claims to be from far ahead is not believed."""
    global _last_id
    if len(id) != 20:
        return
    value = 0
    for digit in id:
        place = _DIGITS.find(digit)
        if place < 0:
            return
        value = value << 5 | place
    if value > _last_id and (value >> 52) - time.time_ns() // 1_000_000 < AHEAD:
        _last_id = value


class Log:
    """An opened log. Use as a context manager; one thread at a time."""

    def __init__(
        self,
        path: Path | str,
        connection: sqlite3.Connection | None,
        read_only: bool,
        patience: Patience | None = None,
    ) -> None:
        self.place, self.read_only = os.fspath(path), read_only
        self._connection = connection
        self._file = identity(path) if connection else None
        self.grew = False
        self.patience = patience
        self._latest: list[Turn] = []
        _observe(self.latest_id(EVERY))

    @classmethod
    def open(cls, path: Path | str, *, read_only: bool = False, patience: Patience | None = None) -> Log:
        """Open the log, make it if it is missing, migrate it if it is older.

        Args:
            read_only: change nothing; a missing log reads as empty.
            patience: told of how many events are about to be worked through, where that takes longer than a second.
        Raises: LogError.
        """
        if read_only and not os.path.exists(path):
            return cls(path, None, True)
        try:
            connection = connect_to_read(path) if read_only else connect(path, patience)
        except sqlite3.Error as error:
            raise from_sqlite(error, path) from error
        except UnicodeDecodeError as error:  # even the names in the file, or the error about them, are no text
            raise fault("damaged", path) from error
        except OSError as error:
            raise from_system(error, path) from error
        try:
            return cls(path, connection, read_only, patience)
        except LogError:
            connection.close()
            raise

    @property
    def path(self) -> Path:
        """Where the log lies, as a path; `place` is the same as text, at no cost."""
        from pathlib import Path

        return Path(self.place)

    def close(self) -> None:
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    def __enter__(self) -> Log:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    # ------------------------------------------------------------ writing

    def append(
        self, turn: Turn, events: Sequence[Mapping[str, Any]] = (), *, seen_seq: int | None = None
    ) -> list[Entry]:
        """Add a turn and the events it books: all or nothing, and on disk when this returns. Sets `turn.number`.

        Args:
            events: fields of the contract with id, kind, at, heard_at; each is checked against its model first.
            seen_seq: the last seq that the caller has read; if the log has grown since, nothing is written.
        Returns: the events as they will be read back.
        Raises: ValueError (a wrong field, an id already there, a reference to nothing), LogMoved, LogError.
        """
        checked = [_checked({**event, "heard": event.get("heard") or turn.heard}) for event in events]
        with self.writing() as connection:
            last = self._last_seq(connection)
            if seen_seq is not None and last != seen_seq:
                raise LogMoved
            turn.number = self._last_turn(connection) + 1
            add_turn(connection, turn)
            booked = []
            for seq, fields in enumerate(checked, start=last + 1):
                self._must_exist(connection, fields)
                booked.append(add_event(connection, seq, turn, fields))
        self.grew = self.grew or bool(booked)
        for entry in booked:
            _observe(entry.id)
        return booked

    @staticmethod
    def _must_exist(connection: sqlite3.Connection, fields: Mapping[str, Any]) -> None:
        for other in references(fields):
            condition, values = with_id(other)
            if connection.execute(f"SELECT 1 FROM events WHERE {condition}", values).fetchone() is None:
                raise ValueError(f"{fields['kind']} of {other}, which is not in the log")

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Nobody else writes while this lasts: for a turn that others have outrun again and again. What is appended inside is on
        disk only when this has ended. Raises: LogError."""
        with self.writing():
            yield

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction: committed at the end, undone on any error. Waits for other writers. Inside another of these, a part of it."""
        connection = self._writable()
        if connection.in_transaction:
            yield connection
            return
        try:
            patiently(lambda: connection.execute("BEGIN IMMEDIATE"))
            if identity(self.place) != self._file:
                raise fault("replaced", self.place)
            yield connection
            patiently(lambda: connection.execute("COMMIT"))
        except sqlite3.IntegrityError as error:
            roll_back(connection)
            raise ValueError(f"the log refuses this: {error}") from error
        except sqlite3.Error as error:
            roll_back(connection)
            raise from_sqlite(error, self.place) from error
        except BaseException:
            roll_back(connection)
            raise

    def _writable(self) -> sqlite3.Connection:
        if self._connection is None or self.read_only:
            raise fault("log-read-only", self.place)
        return self._connection

    # ------------------------------------------------------------ reading

    def entries(self, after_seq: int = 0, up_to: int | None = None) -> list[Entry]:
        """The events booked after that place (and up to that other one), in the order of the log, those taken back too.

        Raises: LogError if a row is damaged.
        """
        last = up_to if up_to is not None else EVERY
        rows = self._rows(f"{EVENTS} WHERE seq > ? AND seq <= ? ORDER BY seq", after_seq, last)
        if not rows:
            return []
        try:
            _observe(max(row[1] for row in rows))
            numbers = [row[2] for row in rows]
            turns = self._heard(min(numbers), max(numbers))
            if rows[-1][0] != after_seq + len(rows):
                raise ValueError("places count up without a gap")
            return [entry_of(row, turns) for row in rows]
        except (ValueError, LookupError, TypeError, OverflowError) as error:
            raise fault("damaged", self.place) from error

    def turns(self, last: int = 20) -> list[Turn]:
        """The last so many turns, latest last; turns that came in by an import are not among them.

        What was read of them for the turn before is at hand still: only those that came since are read.
        """
        held = self._latest if 0 < last <= len(self._latest) else []
        after = held[-1].number if held else 0
        told = f"{TURNS} WHERE outcome <> ? AND turns.turn > ? ORDER BY turns.turn DESC LIMIT ?"
        rows = self._rows(told, CODE[IMPORTED], after, last)
        try:
            fresh = [turn_of(row) for row in reversed(rows)]
        except (ValueError, LookupError, TypeError, OverflowError) as error:
            raise fault("damaged", self.place) from error
        found = [*held, *fresh][-last:] if last > 0 else []
        if last <= AT_HAND:
            self._latest = found
        return list(found)

    def imported_turns(self, first: int = 0) -> frozenset[int]:
        """The turns that came in by an import, of those from that one on: what another device said, which an undo here leaves alone."""
        rows = self._rows("SELECT turn FROM turns WHERE turn >= ? AND outcome = ?", first, CODE[IMPORTED])
        return frozenset(int(row[0]) for row in rows)

    def last_seq(self) -> int:
        """The place of the latest event; 0 for an empty log."""
        rows = self._rows("SELECT coalesce(max(seq), 0) FROM events")
        return int(rows[0][0]) if rows else 0

    def latest_id(self, up_to_seq: int) -> str:
        """The last id, in their order, of the events up to that place; "" if there are none."""
        return max((str(id) for (id,) in self._rows(LATEST_IDS, {"seq": up_to_seq}) if id is not None), default="")

    def first_since(self, moment: datetime) -> int | None:
        """The place of the first event that happened at that moment or later, as first told; None if there is none."""
        found = self._rows("SELECT min(seq) FROM events WHERE at >= ?", stamp(moment)[0])
        return int(found[0][0]) if found and found[0][0] is not None else None

    def first_of(self, ids: Collection[str]) -> int | None:
        """The place of the first of these events; None if the log has none of them."""
        asked = [with_id(id) for id in ids]
        found = [self._rows(f"SELECT seq FROM events WHERE {condition}", *values) for condition, values in asked]
        return min((int(rows[0][0]) for rows in found if rows), default=None)

    def told_groups(self) -> dict[int, str]:
        """For turns that came in parts from another device: the name they came with (merge.py)."""
        return dict(
            self._rows(
                "SELECT turn, json_extract(rest, '$.group') FROM events WHERE json_type(rest, '$.group') = 'text'"
            )
        )

    def _heard(self, first: int, last: int) -> dict[int, Heard]:
        """When and in what words those turns were said. Raises ValueError if one of them is damaged."""
        return dict(map(heard_of, self._rows(f"{WORDS} WHERE turn BETWEEN ? AND ?", first, last)))

    def _rows(self, statement: str, *values: Any) -> list[tuple[Any, ...]]:
        if self._connection is None:
            return []
        connection = self._connection
        try:
            given = values[0] if values and isinstance(values[0], dict) else values
            return patiently(lambda: connection.execute(statement, given).fetchall())
        except sqlite3.Error as error:
            raise from_sqlite(error, self.place) from error
        except UnicodeDecodeError as error:
            raise fault("damaged", self.place) from error

    @staticmethod
    def _last_seq(connection: sqlite3.Connection) -> int:
        return int(connection.execute("SELECT coalesce(max(seq), 0) FROM events").fetchone()[0])

    @staticmethod
    def _last_turn(connection: sqlite3.Connection) -> int:
        return int(connection.execute("SELECT coalesce(max(turn), 0) FROM turns").fetchone()[0])

    # ------------------------------------------------------------ the cache of folded worlds: never part of the truth

    def save_snapshot(self, seq: int, world: Mapping[str, Any], version: str, instead_of: Collection[int] = ()) -> None:
        """Keep a folded world for a faster start (kept.py), in place of those at the other places. Failing is no fault."""
        if self._connection is not None and not self.read_only and not self._connection.in_transaction:
            kept.save(self._connection, seq, world, version, instead_of)

    def load_snapshot(
        self, version: str, before: int | None = None, but: Collection[int] = ()
    ) -> tuple[int, dict[str, Any]] | None:
        """The latest kept world of that version, with the place up to which it was folded; None if there is none that fits this log.

        before: only one folded up to an earlier place than that. but: and to none of these.
        """
        try:
            return kept.load(self._rows, version, before, but)
        except (LogError, ValueError):
            return None

    def drop_snapshots(self) -> None:
        """Forget every kept world."""
        with self.writing() as connection:
            connection.execute("DELETE FROM snapshots")


def _checked(event: Mapping[str, Any]) -> dict[str, Any]:
    try:
        return checks.check(event)
    except KeyError as error:
        raise ValueError(f"{event.get('kind')!r} is no kind of event") from error
