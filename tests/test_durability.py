"""Nothing acknowledged is ever lost, no half turn is ever there, and a fault of the disk is told in a sentence.

The short form runs with the suite. The long one (2,000 kills, every writing system call, eight times 250 turns) prints its table:

    pytest tests/test_durability.py -m bench -s
"""

from __future__ import annotations

import os
import random
import select
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from state.log.faults import LogError
from state.log.soundness import look, problems
from state.log.store import Log
from tests.logbook import ROOT, event, filled, program, turn
from tests.victim import log_and_tell

# ---------------------------------------------------------------- what must hold after anything


def must_hold(path: Path, acknowledged: set[str], full: bool = True) -> int:
    """Every acknowledged event is there, turns are whole, the log is sound and takes the next turn. Returns the number of events."""
    with Log.open(path) as log:
        entries = log.entries()
        assert acknowledged <= {entry.id for entry in entries}, "an acknowledged event is gone"
        assert set(Counter(entry.turn for entry in entries).values()) <= {2}, "half a turn is there"
        log.append(turn("the next call works"), [event(), event()])
    if full:
        assert problems(path) == ()
    return len(entries)


def acknowledged_in(told: bytes) -> set[str]:
    """Ids of the complete lines only: what a reader at the other end could have seen."""
    whole = told[: told.rfind(b"\n") + 1].decode()
    return {id for line in whole.splitlines() if line.startswith("ack ") for id in line.split()[1:]}


# ---------------------------------------------------------------- killed at a random moment


def usual_seconds(folder: Path) -> float:
    """How long it takes here and now to make a log and append ten turns; loads what the children need."""
    start = time.monotonic()
    for name in ("warm.db", "timed.db"):
        start = time.monotonic()
        log_and_tell(folder / name, 10, os.open(os.devnull, os.O_WRONLY))
    return time.monotonic() - start


def killed_run(path: Path, chance: random.Random, within: float) -> set[str]:
    """Fork a process that logs, kill it at a random moment within so many seconds, return what it had acknowledged."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:  # pragma: no cover: ends by SIGKILL
        os.close(reading)
        log_and_tell(path, 10_000, writing)
        os._exit(0)
    os.close(writing)
    told = b""
    if chance.random() < 0.6:  # once it is at work; else from the start on, while it opens or makes the log
        told = os.read(reading, 4096)
    time.sleep(chance.uniform(0, within))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while piece := os.read(reading, 65536):
        told += piece
    os.close(reading)
    return acknowledged_in(told)


def killed_often(folder: Path, runs: int, seed: int) -> tuple[int, int]:
    """So many kills over logs that live through several of them; returns acknowledged events and logs used."""
    chance = random.Random(seed)
    acknowledged: set[str] = set()
    total = logs = 0
    path = folder / "0.db"
    within = usual_seconds(folder)
    for run in range(runs):
        if run % 20 == 0:  # a new log now and then, so that making one is also interrupted
            path, acknowledged, logs = folder / f"{run}.db", set(), logs + 1
        fresh = killed_run(path, chance, within)
        acknowledged |= fresh
        total += len(fresh)
        must_hold(path, acknowledged, full=run % 10 == 9)
    return total, logs


def test_a_process_killed_at_a_random_moment_loses_nothing_it_acknowledged(tmp_path: Path) -> None:
    """From the making of the log on."""
    total, _ = killed_often(tmp_path, 25, seed=8)
    assert total > 20, "the processes were killed before they did anything"


@pytest.mark.bench
def test_two_thousand_kills(tmp_path: Path) -> None:
    """The long form."""
    total, logs = killed_often(tmp_path, 2000, seed=2026)
    print(f"\n2,000 kills at random moments over {logs} logs: {total} events acknowledged, none lost, no half turn")


def test_the_whole_program_killed_at_a_random_moment(db: Path) -> None:
    """What was printed is in the log: the answer comes after the commit."""
    chance = random.Random(3)
    printed = 0
    for _ in range(2):
        command = [sys.executable, "-m", "assistant", "--json", "--db", str(db)]
        with subprocess.Popen(command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as talk:
            assert talk.stdin and talk.stdout
            talk.stdin.write(b"shower used 2 gal and dishes used 1 gal\n" * 200)
            talk.stdin.flush()
            talk.stdout.readline()
            printed += 1
            until = time.monotonic() + chance.uniform(0, 0.2)
            while time.monotonic() < until and select.select([talk.stdout], [], [], 0.01)[0]:
                printed += bool(talk.stdout.readline())
            talk.kill()
            printed += talk.stdout.read().count(b"\n")
        with Log.open(db) as log:
            entries = log.entries()
        assert len(entries) >= 2 * printed
        assert set(Counter(entry.turn for entry in entries).values()) == {2}
        assert problems(db) == ()


# ---------------------------------------------------------------- killed, or denied, inside a system call

CALLS = ("pwrite64", "fdatasync", "fsync", "ftruncate", "unlink", "write", "openat", "mkdir")
MAKING, GOING_ON = "making", "going on"


def can_trace() -> bool:
    if not shutil.which("strace"):
        return False
    tried = subprocess.run(["strace", "-e", "trace=none", "true"], capture_output=True, check=False)
    return tried.returncode == 0


traced = pytest.mark.skipif(not can_trace(), reason="strace is not there, or may not trace here")


def under_strace(path: Path, inject: str, calls: str, turns: int = 2) -> tuple[int, bytes]:
    """Run the victim with this injection; returns the exit status and what it told."""
    command = [
        "strace",
        "-f",
        "-qq",
        "-o",
        os.devnull,
        "-e",
        f"trace={calls}",
        "-P",
        str(path),
        "-P",
        f"{path}-wal",
        "-P",
        f"{path}-shm",
    ]
    command += ["-P", f"{path}-journal", "-e", inject, sys.executable, "-m", "tests.victim", str(path), str(turns)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, timeout=120, check=False)
    return done.returncode, done.stdout


def prepared(folder: Path, where: str) -> tuple[Path, set[str]]:
    """A log that is still to be made, or one with events in it and more in its journal."""
    path = folder / f"{time.monotonic_ns()}.db"
    held: set[str] = set()
    if where == GOING_ON:
        with Log.open(path) as log:
            for number in range(3):
                held |= {entry.id for entry in log.append(turn(f"before {number}"), [event(), event()])}
            shutil.copy(path, f"{path}.kept")
            shutil.copy(f"{path}-wal", f"{path}.kept-wal")
        shutil.move(f"{path}.kept", path)  # as after a crash: the last turns are in the journal only
        shutil.move(f"{path}.kept-wal", f"{path}-wal")
    return path, held


def killed_inside(folder: Path, where: str, call: str, step: int, first: int = 1) -> int:
    """Kill inside every step-th of these calls, until a run ends in peace; returns how many runs were killed."""
    for killed, place in enumerate(range(first, 10_000, step)):
        path, held = prepared(folder, where)
        status, told = under_strace(path, f"inject={call}:signal=SIGKILL:when={place}", call)
        if path.exists():
            must_hold(path, held | acknowledged_in(told))
        if status == 0:
            return killed
    raise AssertionError("it never ends in peace")


@traced
@pytest.mark.parametrize(
    ("where", "call", "step", "first"), [(GOING_ON, "pwrite64", 9, 4), (MAKING, "fdatasync", 5, 2)]
)
def test_killed_inside_a_writing_call(tmp_path: Path, where: str, call: str, step: int, first: int) -> None:
    """A few of the places; the long form takes every one of every call."""
    assert killed_inside(tmp_path, where, call, step, first) >= 1


@traced
@pytest.mark.bench
def test_killed_inside_every_writing_call(tmp_path: Path) -> None:
    """Every place of every call that touches the log's files, while it is made and while it goes on."""
    print()
    for where in (MAKING, GOING_ON):
        for call in CALLS:
            killed = killed_inside(tmp_path, where, call, 1)
            print(
                f"{where:9} killed inside {call:10} {killed:4} times: every acknowledged event there, no half turn, log whole"
            )


DENIALS = [
    ("pwrite64", "ENOSPC", {"disk-full"}),
    ("fdatasync", "EIO", {"disk-fault"}),
    ("pwrite64", "EIO", {"disk-fault", "disk-full"}),  # SQLite tells of an index that cannot grow, but not why
    ("openat", "EACCES", {"cannot-open", "no-permission", "log-read-only"}),
]


def denied(folder: Path, call: str, error: str, references: set[str], place: int) -> bool:
    """Deny this call from the place-th on; True if the victim came to notice."""
    path, held = prepared(folder, GOING_ON)
    status, told = under_strace(path, f"inject={call}:error={error}:when={place}+", call)
    assert status == 0, told
    faults = [line.split()[1].decode() for line in told.splitlines() if line.startswith(b"fault")]
    assert set(faults) <= references, faults
    must_hold(path, held | acknowledged_in(told))
    if faults and place == 1:
        assert not told.startswith(b"ack"), "it acknowledged what could not be written"
    return bool(faults)


@traced
@pytest.mark.parametrize(("call", "error", "references"), DENIALS[:2], ids=lambda value: str(value))
def test_a_disk_that_refuses_is_told_and_does_no_harm(
    tmp_path: Path, call: str, error: str, references: set[str]
) -> None:
    """Full, or faulty, from some moment on: a named fault, what was acknowledged stays, and when the disk is well again it goes on."""
    assert denied(tmp_path, call, error, references, 1)
    denied(tmp_path, call, error, references, 5)


@traced
@pytest.mark.bench
def test_a_disk_that_refuses_anywhere(tmp_path: Path) -> None:
    """The long form: from every place on."""
    print()
    for call, error, references in DENIALS:
        places = 1
        while denied(tmp_path, call, error, references, places):
            places += 1
        print(
            f"{call} {error}: denied from each of {places - 1} places on, each told as {' or '.join(sorted(references))}"
        )


# ---------------------------------------------------------------- places that cannot be written


def as_nobody(act: Callable[[], object]) -> str:
    """Do it in a child without privileges; returns the reference of the fault it met, or "" if it met none."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:  # pragma: no cover: another process
        try:
            if os.getuid() == 0:
                os.setgid(65534)
                os.setuid(65534)
            act()
            os.write(writing, b"-")
        except LogError as error:
            os.write(writing, error.reference.encode())
        except BaseException as error:
            os.write(writing, repr(error).encode())
        os._exit(0)
    os.close(writing)
    os.waitpid(child, 0)
    told = os.read(reading, 4096).decode()
    os.close(reading)
    return "" if told == "-" else told


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that anybody may enter, unlike pytest's own."""
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o777)
        yield Path(folder)


def test_a_folder_that_cannot_be_written(open_folder: Path) -> None:
    """Reading works, writing is told; nothing is made."""
    path = filled(open_folder / "water.db")
    os.chmod(path, 0o666)
    os.chmod(open_folder, 0o555)
    before = path.read_bytes()

    def read() -> None:
        with Log.open(path, read_only=True) as log:
            assert len(log.entries()) == 3

    assert as_nobody(lambda: Log.open(path)) == "log-read-only"
    assert as_nobody(read) == ""
    assert as_nobody(lambda: Log.open(open_folder / "new.db")) == "no-permission"
    os.chmod(open_folder, 0o777)
    assert path.read_bytes() == before
    assert [each.name for each in open_folder.iterdir()] == ["water.db"]


def test_a_file_that_may_not_be_read_or_written(open_folder: Path) -> None:
    """No permission, or read only: a sentence each, and the file stays as it is."""
    path = filled(open_folder / "water.db")
    os.chmod(path, 0o000)
    assert as_nobody(lambda: Log.open(path)) in ("no-permission", "cannot-open")
    os.chmod(path, 0o444)
    assert as_nobody(lambda: Log.open(path)) == "log-read-only"
    os.chmod(path, 0o600)
    assert problems(path) == ()


@pytest.mark.parametrize("name", ["", "file/water.db", "x" * 300, "null\0byte"])
def test_a_place_where_no_log_can_be(tmp_path: Path, name: str) -> None:
    """A folder, a file taken for a folder, an endless name."""
    (tmp_path / "file").write_text("a file")
    with pytest.raises((LogError, ValueError)):
        Log.open(tmp_path / name)


def test_a_full_disk_as_sqlite_itself_tells_it(db: Path) -> None:
    """Nothing of the turn is there, and once there is space it goes on."""
    filled(db)
    with Log.open(db) as log:
        with log.writing() as connection:
            pages = connection.execute("PRAGMA page_count").fetchone()[0]
        assert log._connection is not None
        log._connection.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(LogError) as caught:
            log.append(turn("x" * 20_000), [event()])
        assert caught.value.reference == "disk-full"
        assert "Nothing was recorded" in str(caught.value)
        log._connection.execute("PRAGMA max_page_count = 1000000")
        assert len(log.append(turn("x" * 20_000), [event()])) == 1
        assert log.last_seq() == 4


def test_every_fault_has_its_sentence() -> None:
    """Each stands alone, says that nothing was recorded, and what to do."""
    from state.log import faults

    for reference in faults._SENTENCES:
        error = faults.fault(reference, "/there/water.db")
        assert error.message.endswith(". Nothing was recorded.") and "/there/water.db" in error.message
        assert error.hint.endswith(".")
    assert {*faults._BY_NAME.values(), *faults._BY_ERRNO.values()} <= set(faults._SENTENCES)


# ---------------------------------------------------------------- clocks


def test_a_clock_that_jumps_breaks_nothing(db: Path) -> None:
    """Back, ahead, across zones and daylight-saving changes: the log stays whole, and the look tells of the jump."""
    said = (
        "[2026-03-08T01:59:59-07:00] shower used 2 gal\n"
        "[2026-03-08T03:00:00-06:00] dishes used 1 gal\n"
        "[2026-11-01T01:30:00-06:00] shower used 2 gal\n"
        "[2026-11-01T01:30:00-07:00] shower used 2 gal\n"
        "[2024-02-29T12:00:00+13:00] shower used 2 gal\n"
        "[2199-01-01T00:00:00+00:00] status\n"
        "[1970-01-01T00:00:00+00:00] status\n"
        "[2026-11-02T12:00:00-12:00] undo\n"
    )
    done = program("--json", "--db", str(db), stdin=said)
    assert done.stderr == ""
    assert len(done.stdout.splitlines()) == 8
    seen = look(db)
    assert seen.problems == ()
    assert any(note.startswith("The clock stood earlier") for note in seen.notes)
