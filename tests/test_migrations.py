"""The shape of the log's file: every version ever released opens, newer ones and other people's files are left alone."""

from __future__ import annotations

import json
import os
import shutil
import signal
import sqlite3
from collections.abc import Callable
from contextlib import suppress
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from assistant import open_conversation
from state.log import codes, migrations, older, records, rows
from state.log.faults import LogError
from state.log.merge import export, merge
from state.log.salvage import salvage
from state.log.soundness import look
from state.log.store import Log
from tests.logbook import NOON, event, filled, in_eight_processes, turn

LOGS = Path(__file__).parent / "logs"
RELEASED = sorted(LOGS.glob("version-*.sqlite"))


def test_there_is_a_log_of_every_version() -> None:
    """A new version brings its fixture along."""
    assert [path.stem for path in RELEASED] == [f"version-{number}" for number in range(1, migrations.VERSION + 1)]


def as_now(line: str) -> dict[str, Any]:
    """A line of an export of old, as today's export has it: the text of a step went by another name."""
    own: dict[str, Any] = json.loads(line)
    return {"text" if own["kind"] == "step" and name == "step" else name: value for name, value in own.items()}


@pytest.mark.parametrize("old", RELEASED, ids=lambda path: path.stem)
def test_a_log_of_a_released_version_opens_and_goes_on(old: Path, db: Path) -> None:
    """All its events, as exported then; it is whole, takes a new turn, and its own words are still there."""
    db.parent.mkdir()
    shutil.copy(old, db)
    with Log.open(db) as log:
        lines = [json.loads(line) for line in export(log)]
        assert lines == [as_now(line) for line in old.with_suffix(".jsonl").read_text(encoding="utf-8").splitlines()]
        assert log.turns(last=1)[0].memo == {"pending": {"slot": "until"}}
        log.append(turn(), [event()])
        assert len(log.entries()) == len(lines) + 1
    assert look(db).problems == ()


@pytest.mark.parametrize("old", RELEASED, ids=lambda path: path.stem)
def test_an_export_of_a_released_version_can_be_merged(old: Path, db: Path) -> None:
    """The lines that it wrote are still taken."""
    lines = old.with_suffix(".jsonl").read_text(encoding="utf-8").splitlines()
    with Log.open(db) as log:
        assert len(merge(log, lines).added) == len(lines)


TALK = LOGS / "talk-2.sqlite"
"""A conversation as version 2 wrote it: quantities as said, corrections, what another device told, a question that is still open."""

OLDER = sorted([*RELEASED[:-1], TALK])


def _by_day(path: Path) -> list[tuple[object, ...]]:
    """What an owner's own tool sees, to the fifteen digits that SQLite writes; `said` has no place in the view any more."""

    def plain(told: str) -> str:
        own = json.loads(told, parse_float=lambda number: f"{float(number):.14g}")
        return json.dumps({**own, "said": 0}, sort_keys=True)

    tool = sqlite3.connect(path)
    tool.create_function("plain", 1, plain)
    rows = tool.execute(
        "SELECT seq, day, time, kind, person, round(litres, 9), heard, taken_back, changed_later, id, plain(fields) FROM by_day"
    ).fetchall()
    tool.close()
    return rows


def test_a_talk_of_an_older_version_goes_on(db: Path) -> None:
    """Every field of every event, the view for other tools, the open question, and what came from another device."""
    db.parent.mkdir()
    shutil.copy(TALK, db)
    before = _by_day(db)
    with open_conversation(db) as talk:
        lines = TALK.with_suffix(".jsonl").read_text(encoding="utf-8").splitlines()
        assert [json.loads(line) for line in export(talk.log)] == [as_now(line) for line in lines]
        assert len(talk.log.imported_turns()) == 3
        assert [turn.outcome for turn in talk.log.turns(last=3)] == ["asked", "recorded", "asked"]
        assert _by_day(db) == before
        reply = talk.say("yes", now=NOON + timedelta(minutes=10))
        assert (reply.outcome, [one["kind"] for one in reply.recorded]) == ("recorded", ["use"])
    assert look(db).problems == ()


def _dumped(path: Path, steps: int) -> list[str]:
    """The whole file after the steps up to that one, as statements."""
    tool = sqlite3.connect(path, isolation_level=None)
    migrations.migrate(tool, migrations.STEPS[:steps])
    lines = list(tool.iterdump())
    tool.close()
    return lines


@pytest.mark.parametrize("old", [TALK, LOGS / "version-1.sqlite"], ids=lambda path: path.stem)
def test_a_released_step_never_changes(old: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever words, fields and kinds are added to today's lists, the first three steps make the same file, byte for byte of its rows."""
    plain, later = tmp_path / "plain.db", tmp_path / "later.db"
    for path in (plain, later):
        shutil.copy(old, path)
    before = _dumped(plain, 3)
    for number, name in enumerate(("Heron Bend", "galley", "hose", "gallon", "tea"), start=len(codes.NAMES)):
        monkeypatch.setitem(codes.CODE, name, number)
    monkeypatch.setattr(codes, "NAMES", (*codes.NAMES, "tea"))
    monkeypatch.setitem(rows.WHAT, "pressure", "kpa")
    monkeypatch.setitem(rows.WHAT, "teach", "word")
    monkeypatch.setitem(rows.DEFAULTS, "thaw", {})
    assert _dumped(later, 3) == before


def test_three_steps_make_the_shape_that_was_released(tmp_path: Path) -> None:
    """Tables, rules, view and numbers of words are those of the log that version 3 left behind."""

    def shape(path: Path) -> list[tuple[object, ...]]:
        tool = sqlite3.connect(path, isolation_level=None)
        migrations.migrate(tool, migrations.STEPS[:3])
        found = [
            *tool.execute("SELECT type, name, sql FROM sqlite_master ORDER BY type, name"),
            *tool.execute("SELECT code, name FROM codes ORDER BY code"),
        ]
        tool.close()
        return found

    shutil.copy(LOGS / "version-3.sqlite", tmp_path / "released.db")
    assert shape(tmp_path / "new.db") == shape(tmp_path / "released.db")


def _cut_off(rows: int) -> Callable[..., None]:
    """As add_row, but the process dies with that row."""
    left = [rows]

    def add(connection: sqlite3.Connection, row: tuple[Any, ...]) -> None:
        left[0] -= 1
        if not left[0]:
            os.kill(os.getpid(), signal.SIGKILL)
        records.add_row(connection, row)

    return add


@pytest.mark.parametrize("rows", [1, 20])
def test_a_migration_that_is_killed_leaves_the_older_log(db: Path, rows: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Killed amid the rows; the next one begins anew, and nothing is missing."""
    db.parent.mkdir()
    shutil.copy(TALK, db)
    monkeypatch.setattr(older, "add_row", _cut_off(rows))
    child = os.fork()
    if child == 0:  # pragma: no cover: another process
        with suppress(BaseException):
            Log.open(db)
        os._exit(0)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL
    monkeypatch.undo()
    tool = sqlite3.connect(db)
    assert migrations.version_of(tool) == 2
    tool.close()
    with Log.open(db) as log:
        lines = TALK.with_suffix(".jsonl").read_text(encoding="utf-8").splitlines()
        assert [json.loads(line) for line in export(log)] == [as_now(line) for line in lines]
    assert look(db).problems == ()


@pytest.mark.parametrize("old", OLDER, ids=lambda path: path.stem)
def test_an_older_log_can_be_salvaged(old: Path, tmp_path: Path) -> None:
    """From its pages, without migrating it: every event, and what the next turn needs."""
    new = tmp_path / "new.db"
    assert salvage(old, new).missing == ()
    with Log.open(new) as log:
        lines = old.with_suffix(".jsonl").read_text(encoding="utf-8").splitlines()
        assert [json.loads(line) for line in export(log)] == [as_now(line) for line in lines]
        assert "pending" in log.turns(last=1)[0].memo
    assert look(new).problems == ()


@pytest.mark.parametrize("table", ["turns", "events"])
def test_a_damaged_older_log_is_not_migrated(db: Path, table: str) -> None:
    """What does not fit its guard is not brought over as if it were true; the log stays, and what is whole can be salvaged."""
    db.parent.mkdir()
    shutil.copy(TALK, db)
    tool = sqlite3.connect(db)
    tool.execute(f"DROP TRIGGER {table}_only_added_u")
    tool.execute(f"UPDATE {table} SET offset = 0 WHERE rowid = 5")
    tool.commit()
    tool.close()
    for read_only in (True, False):
        with pytest.raises(LogError, match="damaged"):
            Log.open(db, read_only=read_only)
    tool = sqlite3.connect(db)
    assert migrations.version_of(tool) == 2
    tool.close()
    with Log.open(TALK, read_only=True) as log:
        count = log.last_seq()
    assert salvage(db, db.with_name("new.db")).events == count - (table == "events")


def _note_column(connection: sqlite3.Connection) -> None:
    connection.execute("ALTER TABLE turns ADD COLUMN place TEXT")


def _failing(connection: sqlite3.Connection) -> None:
    connection.execute("ALTER TABLE turns ADD COLUMN place TEXT")
    raise sqlite3.OperationalError("no")


def test_a_step_that_fails_leaves_the_log_as_it_was(db: Path) -> None:
    """Each step is one transaction, its number included."""
    filled(db)
    connection = sqlite3.connect(db, isolation_level=None)
    with pytest.raises(sqlite3.OperationalError):
        migrations.migrate(connection, (*migrations.STEPS, _failing))
    assert migrations.version_of(connection) == migrations.VERSION
    assert "place" not in [row[1] for row in connection.execute("PRAGMA table_info(turns)")]
    connection.close()
    assert look(db).problems == ()


def test_an_older_log_is_copied_before_it_is_migrated(db: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A made-up next version runs its step on the log; the log as it was stands beside it, for its owner only."""
    filled(db)
    monkeypatch.setattr(migrations, "VERSION", migrations.VERSION + 1)
    monkeypatch.setattr(
        migrations,
        "migrate",
        lambda connection, do=migrations.migrate: do(connection, (*migrations.STEPS, _note_column)),
    )
    with Log.open(db) as log:
        assert len(log.entries()) == 3
    kept = db.with_name(f"water.db.version-{migrations.VERSION - 1}")
    assert kept.stat().st_mode & 0o777 == 0o600
    monkeypatch.undo()
    assert look(kept).problems == ()
    with pytest.raises(LogError, match="newer version"):
        Log.open(db)


@pytest.mark.parametrize("read_only", [False, True])
def test_a_newer_log_is_refused_and_left_as_it_is(db: Path, read_only: bool) -> None:
    """One clear sentence; not a byte changes."""
    filled(db)
    connection = sqlite3.connect(db)
    connection.execute(f"PRAGMA user_version = {migrations.VERSION + 1}")
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
    before = db.read_bytes()
    with pytest.raises(LogError) as caught:
        Log.open(db, read_only=read_only)
    assert caught.value.reference == "newer"
    assert db.read_bytes() == before


@pytest.mark.parametrize("read_only", [False, True])
@pytest.mark.parametrize("content", ["text", "other", "zeros"])
def test_a_file_that_is_no_log_is_refused_and_left_as_it_is(db: Path, content: str, read_only: bool) -> None:
    """A letter, another program's database, a page of zeros."""
    db.parent.mkdir()
    if content == "other":
        connection = sqlite3.connect(db)
        connection.execute("CREATE TABLE shopping (item)")
        connection.commit()
        connection.close()
    else:
        db.write_bytes(b"Dear diary, " * 900 if content == "text" else bytes(8192))
    before = db.read_bytes()
    with pytest.raises(LogError) as caught:
        Log.open(db, read_only=read_only)
    assert caught.value.reference == "not-a-log"
    assert db.read_bytes() == before


def test_an_empty_file_becomes_a_log(db: Path) -> None:
    """What is left when the very first call was killed at its very first step."""
    db.parent.mkdir()
    db.touch()
    filled(db)
    assert look(db).problems == ()


@pytest.mark.parametrize("at", ["user_version", "application_id", "sqlite_master"])
def test_a_log_that_another_program_makes_meanwhile_is_no_strange_file(db: Path, at: str) -> None:
    """The version is read at one moment: wherever another program's making of the log comes in between, it is 0 or the new one."""
    db.parent.mkdir()
    ours, theirs = (sqlite3.connect(db, isolation_level=None) for _ in range(2))
    ours.execute("PRAGMA journal_mode = WAL")

    def made_now(statement: str) -> None:
        if at in statement:
            migrations.migrate(theirs)

    ours.set_trace_callback(made_now)
    version = migrations.version_of(ours)
    ours.set_trace_callback(None)
    assert version in (0, migrations.VERSION) and migrations.version_of(ours) == migrations.VERSION
    ours.close()
    theirs.close()


def test_a_new_log_is_never_seen_half_made(db: Path) -> None:
    """All steps of a new file are one transaction: nobody finds an older version to copy and to migrate, whenever he looks or is killed."""
    db.parent.mkdir()
    connection = sqlite3.connect(db, isolation_level=None)
    said: list[str] = []
    connection.set_trace_callback(said.append)
    migrations.migrate(connection)
    connection.close()
    assert [one for one in said if one.startswith("COMMIT")] == ["COMMIT"]
    filled(db.with_name("other.db"))
    assert not [path.name for path in db.parent.iterdir() if "version" in path.name]


def test_an_older_log_opened_by_eight_programs_at_once_is_copied_once(db: Path) -> None:
    """All of them get in, the log is migrated, and the copy beside it is the log as it was."""
    db.parent.mkdir()
    shutil.copy(RELEASED[0], db)

    def work(_: int) -> None:
        with Log.open(db) as log:
            log.append(turn(), [event()])

    in_eight_processes(work)
    assert look(db).problems == ()
    beside = [path.name for path in db.parent.iterdir() if "version" in path.name]
    assert beside == ["water.db.version-1"]
    kept = sqlite3.connect(db.with_name(beside[0]))
    assert migrations.version_of(kept) == 1
    kept.close()
