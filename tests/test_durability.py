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
import sqlite3
import stat
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from state import copies
from state.faults import LogError
from state.salvage import salvage
from state.soundness import look, problems
from state.store import Log
from tests.logbook import NOON, ROOT, event, filled, program, turn
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
    time.sleep(chance.uniform(0, within))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    told = b""
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
    within = 1.5 * usual_seconds(folder)
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
    ("pwrite64", "EIO", {"disk-fault"}),
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
    from state import faults

    for reference in faults._SENTENCES:
        error = faults.fault(reference, "/there/water.db")
        assert error.message.endswith(". Nothing was recorded.") and "/there/water.db" in error.message
        assert error.hint.endswith(".")
    assert {*faults._BY_NAME.values(), *faults._BY_ERRNO.values()} <= set(faults._SENTENCES)


# ---------------------------------------------------------------- damage


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
    with Log.open(filled(db, 40, each=2)) as log:
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
        assert how == "cut" or len(brought) >= len(truth) - 50
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
    connection.execute("UPDATE events SET body = replace(body, '7.0', '9.0') WHERE seq = 3")
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


# ---------------------------------------------------------------- eight at once


def eight_at_once(path: Path, turns: int) -> float:
    """Eight processes append so many turns of one event each to a log that none of them has made; returns seconds."""
    start = time.monotonic()
    children = []
    for worker in range(8):
        child = os.fork()
        if child == 0:  # pragma: no cover: another process
            status = 1
            try:
                with Log.open(path) as log:
                    for number in range(turns):
                        (entry,) = log.append(turn(f"{worker} {number}"), [event()])
                        assert entry.heard == f"{worker} {number}"
                status = 0
            finally:
                os._exit(status)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * 8
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
    said = b"shower used 2 gal\n" * 250
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
    assert all(out.count(b'"recorded"') >= 250 and err == b"" for out, err in outputs)
    assert look(db).events == 2000
    print(f"\neight programs, 250 turns each: {time.monotonic() - start:.1f} s")


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
    filled(db, copies.FIRST)
    start = date(2026, 12, 31) - timedelta(days=39)
    for number in range(40):
        copies.roll(db, start + timedelta(days=number), copies.FIRST)
    days = [path.stem for path in copies.rolling(db)]
    assert days == ["2026-12-31", "2026-12-30", "2026-12-29", "2026-12-28", "2026-12-27", "2026-12-20", "2026-12-13"]
    assert all(problems(path) == () for path in copies.rolling(db))
    assert stat.S_IMODE(copies.folder_of(db).stat().st_mode) == 0o700


def test_no_copy_of_next_to_nothing_nor_twice_a_day(db: Path) -> None:
    """A fresh log is soon said again; one copy a day is enough."""
    filled(db)
    assert copies.roll(db, NOON.date(), 3) is None
    assert copies.roll(db, NOON.date(), copies.FIRST) is not None
    assert copies.roll(db, NOON.date(), copies.FIRST) is None


def test_the_conversation_keeps_copies_by_itself(db: Path) -> None:
    """Once something was logged that day, at its end."""
    filled(db, copies.FIRST)
    program("--db", str(db), "status")
    assert copies.rolling(db) == []
    program("--db", str(db), "shower used 2 gal")
    (copy,) = copies.rolling(db)
    assert look(copy).events == copies.FIRST + 1


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
