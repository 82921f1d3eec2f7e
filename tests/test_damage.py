"""A damaged log: never taken for truth, never written to, and what can be saved of it is saved."""

from __future__ import annotations

import random
import sqlite3
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from state.log import pages
from state.log.faults import LogError
from state.log.salvage import salvage
from state.log.soundness import look, problems
from state.log.store import Log
from tests.logbook import event, filled, program, turn

IN_A_PAGE = 80
"""At most so many short events stand in one page."""


def damaged(data: bytes, how: str, chance: random.Random) -> bytes:
    """A bit flipped, an end cut off, a page overwritten."""
    changed = bytearray(data)
    if how == "flipped":
        changed[chance.randrange(len(changed))] ^= 1 << chance.randrange(8)
    elif how == "cut":
        del changed[chance.randrange(len(changed)) :]
    else:
        at = chance.randrange(len(changed) // 4096) * 4096
        changed[at : at + 4096] = chance.randbytes(4096)
    return bytes(changed)


@pytest.mark.parametrize("how", ["flipped", "cut", "overwritten"])
def test_damage_is_never_taken_for_truth(db: Path, tmp_path: Path, how: str) -> None:
    """Whatever is read from a damaged file is what was written; else it is a fault; the file stays; salvage brings over only truth."""
    with Log.open(filled(db, 100, each=2)) as log:
        truth = {entry.id: entry.fields() for entry in log.entries()}
    whole, chance = db.read_bytes(), random.Random(how)
    met = Counter[str]()
    for run in range(25):
        path, new = tmp_path / f"{run}.db", tmp_path / f"{run}.new"
        path.write_bytes(damaged(whole, how, chance))
        before = path.read_bytes()
        try:
            with Log.open(path) as log:
                read = log.entries()
            assert all(truth[entry.id] == entry.fields() for entry in read)
            met["read"] += 1
            if len(read) < len(truth):
                assert problems(path)
        except LogError as error:
            met[error.reference] += 1
        assert path.read_bytes() == before or not before, "a damaged file was written to"
        try:
            salvage(path, new)
        except LogError as error:
            met[error.reference] += 1
            continue
        with Log.open(new) as log:
            brought = {entry.id: entry.fields() for entry in log.entries()}
        for id, fields in brought.items():
            assert {**fields, "heard": ""} == {**truth[id], "heard": ""}
        assert problems(new) == ()
        assert how == "cut" or len(brought) >= len(truth) - IN_A_PAGE
    assert met["read"] < 25 or how == "flipped"


def test_salvage_of_a_sound_log_brings_everything(db: Path, tmp_path: Path) -> None:
    """Also what stands in the journal only, and rows too long for a page."""
    with Log.open(filled(db, 30, each=2)) as log:
        log.append(turn("x" * 30_000), [event(), event("note", text="y" * 1900)])
        found = salvage(db, tmp_path / "new.db")
        assert (found.events, found.turns, found.missing) == (62, 31, ())
        with Log.open(tmp_path / "new.db") as new:
            assert [entry.fields() for entry in new.entries()] == [entry.fields() for entry in log.entries()]


def test_salvage_tells_what_is_missing_and_overwrites_nothing(db: Path, tmp_path: Path) -> None:
    """A row whose guard does not fit is left out and its place named."""
    filled(db, 5)
    connection = sqlite3.connect(db)
    connection.execute("DROP TRIGGER events_only_added_u")
    connection.execute("UPDATE events SET litres = 9.0 WHERE seq = 3")
    connection.commit()
    connection.close()
    with pytest.raises(LogError, match="damaged"), Log.open(db) as log:
        log.entries()
    assert look(db).problems == (
        "The trigger events_only_added_u is missing or was changed.",
        "Event 3 was changed or damaged.",
    )
    done = program("--salvage", str(tmp_path / "new.db"), "--db", str(db))
    assert done.returncode == 0
    assert "4 events in 5 turns came through" in done.stdout and "Missing: event 3." in done.stdout
    assert program("--salvage", str(tmp_path / "new.db"), "--db", str(db)).returncode == 4


def test_a_kept_world_that_is_not_what_the_events_make_is_found(db: Path) -> None:
    """The check folds all anew and compares; the cache is no part of the truth, and dropping it mends this."""
    from state.log.fingerprint import fingerprint
    from state.water.fold import fold, snapshot

    filled(db)
    with Log.open(db) as log:
        world = snapshot(fold(log.entries()[:2]))
        log.save_snapshot(2, world, fingerprint())
        assert look(db).problems == ()
        log.drop_snapshots()
        log.save_snapshot(3, world, fingerprint())
        assert look(db).problems == ("The world that was kept after event 3 is not the one that the events make.",)
        log.drop_snapshots()
    assert look(db).problems == ()


# ---------------------------------------------------------------- pages, against sqlite3 itself

VALUES = (
    st.none()
    | st.integers(-(1 << 63), (1 << 63) - 1)
    | st.floats(allow_nan=False)
    | st.text(max_size=9000)
    | st.binary(max_size=9000)
)


@settings(max_examples=30)
@given(st.lists(st.tuples(VALUES, VALUES), max_size=25), st.sampled_from([512, 1024, 4096, 65536]))
def test_rows_read_from_the_pages_are_those_that_sqlite_reads(
    tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[object, object]], size: int
) -> None:
    """Every type, every size of page, rows that overflow; sqlite3 is the reference."""
    path = tmp_path_factory.mktemp("pages") / "any.db"
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA page_size = {size}")
    connection.execute("CREATE TABLE held (place INTEGER PRIMARY KEY, one, other)")
    usable = [row for row in rows if all(not isinstance(value, str) or value.isprintable() for value in row)]
    connection.executemany("INSERT INTO held (one, other) VALUES (?, ?)", usable)
    connection.commit()
    wanted = {
        place: [None, one, other] for place, one, other in connection.execute("SELECT place, one, other FROM held")
    }
    connection.close()
    found = {rowid: values for rowid, values in pages.rows(path.read_bytes()) if len(values) == 3}
    assert found == wanted


@given(st.binary(max_size=3000), st.binary(max_size=3000))
def test_pages_of_anything_are_read_without_harm(file: bytes, journal: bytes) -> None:
    """Bytes that never were a database give rows or none, never an error."""
    list(pages.rows(b"SQLite format 3\0\x02\x00" + file, b"\x37\x7f\x06\x82" + journal))
