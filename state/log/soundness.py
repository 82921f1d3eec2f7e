"""Is a log whole? Everything that must hold of the file and of what it tells, looked at in full.

`problems` are what must not be; `notes` are what a person may want to know of a whole log (a clock that jumped back, a correction of
an event that did not come through). May import: sqlite3, `events`, `faults`, `fold`, `history`, `kept`, `migrations`, `opening`, `records`.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise
from pathlib import Path

from state.entry import Entry
from state.lightclass import dataclass
from state.log import migrations
from state.log.faults import LogError, fault, from_sqlite
from state.log.fingerprint import fingerprint
from state.log.kept import unpacked
from state.log.opening import connect_to_read
from state.log.records import EVENTS, TURNS, entry_of, references, turn_of
from state.log.rows import Heard, to_json

AT_ONCE = timedelta(minutes=2)

BALANCE = 1e-6
"""How far the places may be from summing to nothing, in litres per event: what adding in floating point leaves."""


@dataclass(frozen=True)
class Look:
    """What a full look found. `events`, `turns`: how many could be read."""

    problems: tuple[str, ...]
    notes: tuple[str, ...]
    events: int
    turns: int


def problems(path: Path) -> tuple[str, ...]:
    """What is wrong with the log at `path`, each as a sentence; nothing if it is whole."""
    try:
        return look(path, folded=False).problems
    except LogError as error:
        return (error.message,)


def look(path: Path, folded: bool = True) -> Look:
    """Look at everything. folded: also at what follows from the events. Raises: LogError if the file cannot be opened as a log."""
    try:
        connection = connect_to_read(path)
    except sqlite3.Error as error:
        raise from_sqlite(error, path) from error
    except UnicodeDecodeError as error:
        raise fault("damaged", path) from error
    try:
        return _look(connection, folded)
    except (sqlite3.Error, UnicodeDecodeError) as error:
        return Look((f"The file itself is damaged: {error}.",), (), 0, 0)
    finally:
        connection.close()


def _look(connection: sqlite3.Connection, folded: bool) -> Look:
    wrong = [
        f"The file itself is damaged: {text}."
        for (text,) in connection.execute("PRAGMA integrity_check(20)")
        if text != "ok"
    ]
    wrong += [f"A row of {table} belongs to nothing." for table, *_ in connection.execute("PRAGMA foreign_key_check")]
    wrong += _of_shape(connection)
    turns = dict(_turns(connection, wrong))
    entries = list(_entries(connection, turns, wrong))
    wrong += list(_of_fields(entries))
    notes = [*_of_references(entries), *_of_times(entries)]
    if folded and not wrong:
        wrong += _of_ledger(connection, entries)
    return Look(tuple(wrong), tuple(notes), len(entries), len(turns))


def _of_shape(connection: sqlite3.Connection) -> list[str]:
    """Tables, triggers and views as the migrations make them."""
    fresh = sqlite3.connect(":memory:", isolation_level=None)
    migrations.migrate(fresh)
    shape = "SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%'"
    found = set(connection.execute(shape))
    wanted = set(fresh.execute(shape))
    fresh.close()
    return [f"The {kind} {name} is missing or was changed." for kind, name, _ in sorted(wanted - found)]


def _turns(connection: sqlite3.Connection, wrong: list[str]) -> Iterator[tuple[int, Heard]]:
    for place, row in enumerate(connection.execute(f"{TURNS} ORDER BY turns.turn"), start=1):
        if row[0] != place and not any(text.startswith("Turns are") for text in wrong):
            wrong.append(f"Turns are missing before turn {row[0]}.")
        try:
            turn = turn_of(row)
        except (ValueError, LookupError, TypeError, OverflowError):
            wrong.append(f"Turn {row[0]} was changed or damaged.")
            continue
        yield turn.number, (row[1], row[2], turn.heard)


def _entries(connection: sqlite3.Connection, turns: dict[int, Heard], wrong: list[str]) -> Iterator[Entry]:
    for place, row in enumerate(connection.execute(f"{EVENTS} ORDER BY seq"), start=1):
        if row[0] != place and not any(text.startswith("Events are") for text in wrong):
            wrong.append(f"Events are missing before event {row[0]}.")
        try:
            yield entry_of(row, turns)
        except LookupError:
            if row[2] in turns:
                wrong.append(f"Event {row[0]} is of a kind that is not known.")
        except (ValueError, TypeError, OverflowError):
            wrong.append(f"Event {row[0]} was changed or damaged.")


def _of_fields(entries: list[Entry]) -> Iterator[str]:
    from state import events

    for entry in entries:
        try:
            events.check(entry.fields())
        except (ValueError, KeyError) as error:
            yield f"Event {entry.seq} ({entry.kind}) has a field that cannot be: {str(error).splitlines()[0]}."


def _of_references(entries: list[Entry]) -> Iterator[str]:
    ids = {entry.id for entry in entries}
    for entry in entries:
        for id in references(entry.fields()):
            if id not in ids:
                yield f"Event {entry.seq} ({entry.kind}) is about {id}, which is not in the log."


def _of_times(entries: list[Entry]) -> Iterator[str]:
    """Jumps of the clock; what two devices or two programs wrote at once is none."""
    back = [
        one.seq for before, one in pairwise(entries) if one.heard_at < before.heard_at - AT_ONCE and one.id > before.id
    ]
    if back:
        yield f"The clock stood earlier than before {len(back)} times (first at event {back[0]})."


def _of_ledger(connection: sqlite3.Connection, entries: list[Entry]) -> list[str]:
    """Water is neither made nor lost, and a kept world is the one that the events make."""
    from state.log.history import effective
    from state.log.ordering import as_one_log
    from state.water.fold import fold, snapshot

    wrong = []
    total = sum(fold(effective(as_one_log(entries))).balances.values())
    if abs(total) > BALANCE * max(1, len(entries)):
        wrong.append(f"The places do not sum to nothing: {total:.6f} litres are over.")
    kept = connection.execute(
        "SELECT seq, world FROM snapshots WHERE version LIKE ? ORDER BY seq DESC LIMIT 1",
        (f"{fingerprint()}:%",),
    )
    for seq, held in kept.fetchall():  # the latest, with which the next turn starts
        again = snapshot(fold(effective(as_one_log(entries[:seq]))))
        world = unpacked(seq, held)
        if world is None or json.loads(world) != json.loads(to_json(again)):
            wrong.append(f"The world that was kept after event {seq} is not the one that the events make.")
    return wrong
