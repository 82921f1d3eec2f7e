"""Copies of the log, the way back, and eight processes that write at once."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
import time
from datetime import date, timedelta
from pathlib import Path

import pytest

from state.log import copies, daily
from state.log.faults import LogError
from state.log.soundness import look, problems
from state.log.store import Log
from tests.logbook import NOON, ROOT, event, filled, in_eight_processes, program, turn
from tests.victim import log_and_tell

# ---------------------------------------------------------------- eight at once


def eight_at_once(path: Path, turns: int) -> float:
    """Eight processes append so many turns of one event each to a log that none of them has made; returns seconds."""
    start = time.monotonic()

    def work(worker: int) -> None:
        with Log.open(path) as log:
            for number in range(turns):
                (entry,) = log.append(turn(f"{worker} {number}"), [event()])
                assert entry.heard == f"{worker} {number}"

    in_eight_processes(work)
    return time.monotonic() - start


def all_there(path: Path, turns: int) -> None:
    """Every turn once, each worker's in its own order, none in another's."""
    with Log.open(path) as log:
        heard = [entry.heard.split() for entry in log.entries()]
        assert [entry.turn for entry in log.entries()] == list(range(1, 8 * turns + 1))
    for worker in range(8):
        assert [int(number) for who, number in heard if who == str(worker)] == list(range(turns))
    assert problems(path) == ()


def test_eight_processes_log_at_once_and_nothing_is_lost(db: Path) -> None:
    """Also while the log is being made; no lock error is seen."""
    eight_at_once(db, 12)
    all_there(db, 12)


@pytest.mark.bench
def test_eight_processes_with_two_hundred_and_fifty_turns_each(db: Path) -> None:
    """The long form."""
    seconds = eight_at_once(db, 250)
    all_there(db, 250)
    print(f"\neight processes, 250 turns each: 2,000 events in {seconds:.1f} s, none lost, no lock error, order sane")


@pytest.mark.bench
def test_eight_whole_programs_at_once(db: Path) -> None:
    """Through standard input, each turn decided on what the others logged."""
    said = b"shower used 2 gal\n" * 60
    command = [sys.executable, "-m", "assistant", "--json", "--db", str(db)]
    start = time.monotonic()
    talks = [
        subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        for _ in range(8)
    ]
    for talk in talks:
        assert talk.stdin
        talk.stdin.write(said)
        talk.stdin.close()
    outputs = [(talk.stdout.read(), talk.stderr.read()) for talk in talks if talk.stdout and talk.stderr]
    assert [talk.wait() for talk in talks] == [0] * 8
    assert all(out.count(b"\n") == 60 and err == b"" for out, err in outputs)
    assert look(db).events == 480
    print(f"\neight programs, 60 turns each: {time.monotonic() - start:.1f} s")


# ---------------------------------------------------------------- copies


def test_a_copy_is_consistent_while_others_write(db: Path, tmp_path: Path) -> None:
    """Whole turns only, and sound, at any moment."""
    filled(db, 2, each=2)
    child = os.fork()
    if child == 0:  # pragma: no cover: another process
        log_and_tell(db, 300, os.open(os.devnull, os.O_WRONLY))
        os._exit(0)
    counts = []
    for run in range(8):
        counts.append(copies.back_up(db, tmp_path / f"{run}.db"))
        assert problems(tmp_path / f"{run}.db") == ()
        assert counts[-1] % 2 == 0
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    assert counts == sorted(counts)
    assert stat.S_IMODE((tmp_path / "0.db").stat().st_mode) == 0o600


def test_a_copy_overwrites_nothing_but_an_older_copy(db: Path, tmp_path: Path) -> None:
    """Not the log, not a letter, not another program's file."""
    filled(db)
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear Ana")
    for target in (letter, db, tmp_path, tmp_path / "no" / "such" / "folder.db"):
        with pytest.raises(LogError):
            copies.back_up(db, target)
    assert letter.read_text() == "Dear Ana"
    assert copies.back_up(db, tmp_path / "copy.db") == copies.back_up(db, tmp_path / "copy.db") == 3
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_rolling_copies_are_few_and_reach_back(db: Path) -> None:
    """Forty days: the last three, and one of each of four weeks before; each is whole."""
    filled(db, daily.FIRST)
    start = date(2026, 12, 31) - timedelta(days=39)
    for number in range(40):
        copies.roll(db, start + timedelta(days=number), daily.FIRST)
    days = [path.stem for path in copies.rolling(db)]
    assert days == ["2026-12-31", "2026-12-30", "2026-12-29", "2026-12-28", "2026-12-27", "2026-12-20", "2026-12-13"]
    assert all(problems(path) == () for path in copies.rolling(db))
    assert stat.S_IMODE(copies.folder_of(db).stat().st_mode) == 0o700


def test_no_copy_of_next_to_nothing_nor_twice_a_day(db: Path) -> None:
    """A fresh log is soon said again; one copy a day is enough."""
    filled(db)
    assert copies.roll(db, NOON.date(), 3) is None
    assert copies.roll(db, NOON.date(), daily.FIRST) is not None
    assert copies.roll(db, NOON.date(), daily.FIRST) is None


def test_the_conversation_keeps_copies_by_itself(db: Path) -> None:
    """Once something was logged that day, at its end."""
    filled(db, daily.FIRST)
    program("--db", str(db), "status")
    assert copies.rolling(db) == []
    program("--db", str(db), "shower used 2 gal")
    (copy,) = copies.rolling(db)
    assert look(copy).events == daily.FIRST + 1


def test_going_back_keeps_the_log_as_it_was(db: Path, tmp_path: Path) -> None:
    """Refused when something would be left behind, done with --replace, and undone by going back to what was kept."""
    filled(db)
    copies.back_up(db, tmp_path / "copy.db")
    with Log.open(db) as log:
        log.append(turn("later"), [event()])
        with pytest.raises(LogError, match="holds 1 event"):
            copies.restore(db, tmp_path / "copy.db", NOON)
        assert log.last_seq() == 4
        done = copies.restore(db, tmp_path / "copy.db", NOON, replace=True)
        assert (done.events, done.lost) == (3, 1)
        with pytest.raises(LogError, match="moved or replaced"):
            log.append(turn("into the void"), [event()])
    assert done.kept is not None
    assert (look(db).events, look(done.kept).events) == (3, 4)
    assert copies.restore(db, done.kept, NOON).events == 4
    with Log.open(db) as log:
        log.append(turn("and on"), [event()])
        assert log.last_seq() == 5


def test_going_back_from_a_damaged_log_or_none(db: Path, tmp_path: Path) -> None:
    """No --replace is needed; a copy that is not whole is not taken."""
    filled(db)
    copies.back_up(db, tmp_path / "copy.db")
    data = db.read_bytes()
    db.write_bytes(data[:4096] + bytes(4096) + data[8192:])
    (tmp_path / "bad.db").write_bytes(db.read_bytes())
    with pytest.raises(LogError, match="not whole"):
        copies.restore(db, tmp_path / "bad.db", NOON)
    assert copies.restore(db, tmp_path / "copy.db", NOON).events == 3
    db.unlink()
    assert copies.restore(db, tmp_path / "copy.db", NOON).kept is None
    assert problems(db) == ()
