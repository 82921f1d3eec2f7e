"""How quick the program is, as ratios to a floor measured in the same run: `python -m tests.bench_speed`, a few minutes.

    --rounds N          rounds of fresh processes (default 15)
    --events N,N,...    lengths of the log (default 10,1000,100000; 1000000 takes some minutes more)
    --only NAME         cold, flat, warm, past, piped or typing

Medians throughout. Needs an otherwise idle machine: then two runs differ by a twentieth or so.
"""

from __future__ import annotations

import argparse
import shutil
import sqlite3
import sys
import tempfile
import time
from datetime import timedelta
from itertools import chain
from pathlib import Path
from statistics import median, quantiles

from assistant import open_conversation
from tests import longlog
from tests.stopwatch import FLOOR, NOW, Program, table
from tests.talking import at

YEAR = 7000
COLD = {
    "shower used 2 gal": 5.0,
    "status": 5.0,
    "can we make it to Sunday": 7.0,
}
"""Phrase: the most that it may take, as a multiple of the floor."""

OPENS = "from assistant import open_conversation as o; t = o({db!r}); t.refresh()"
LATE = "shower used 2 gal yesterday evening"
SAID = (
    "shower used 2 gal",
    "dishes 1 gal",
    "two flushes",
    "status",
    "hands 0.2 gal",
    "make that 0.3",
    "undo",
    "coffee 0.3 gal",
)


PAST = (
    "how much water in January",
    "compare this month with last",
    "who uses the most",
    "how many showers did we take this year",
    "how much have we used this year",
    "how much does a shower use",
    "when did we last dump grey",
    "what did we use yesterday",
)


def log_of(folder: Path, events: int, program: Program) -> Path:
    """A log of that length in which something was said today already: its world is kept, and the copy of the day is made."""
    path = longlog.make(folder / f"{events}.db", events)
    first = program.says(path, "hands 0.1 gal", now=longlog.END.isoformat())
    seconds, weight = program.runs(first)[0], program.memory(first)
    if events >= 100_000:
        print(f"{events} events read and folded for the first time, and copied: {seconds:.1f} s, then {weight:.0f} MiB")
    return path


def cold(folder: Path, program: Program, rounds: int) -> None:
    """One phrase, from nothing to the answer on the screen and the turn on the disk, with a year of log."""
    db = log_of(folder, YEAR, program)
    timed = program.compared({phrase: program.says(db, phrase) for phrase in COLD}, rounds)
    floor = timed[FLOOR]
    rows = [
        [name, f"{1e3 * one:.0f}", f"{one / floor:.1f}", f"{COLD[name]:.0f}" if name in COLD else ""]
        for name, one in timed.items()
    ]
    print(f"\nCold, {YEAR} events of log\n" + table(["", "ms", "times the floor", "at most"], rows))


def flat(folder: Path, program: Program, rounds: int, lengths: list[int]) -> None:
    """The same with logs of all lengths, and what a correction costs; how large the log and the process are."""
    logs = {events: log_of(folder, events, program) for events in lengths}
    commands: dict[str, list[str]] = {}
    for events, db in logs.items():
        for phrase in ("shower used 2 gal", "status", "undo", LATE):
            commands[f"{events}: {phrase}"] = program.says(db, phrase)
        commands[f"{events}: open"] = [sys.executable, "-c", OPENS.format(db=str(db))]
    timed = program.compared(commands, rounds)
    rows = []
    for name in ("shower used 2 gal", "status", "open", "undo", LATE):
        first = timed[f"{lengths[0]}: {name}"]
        limit = "2.0" if name in ("undo", LATE) else "1.3"
        if name in ("undo", LATE):
            first = timed[f"{lengths[0]}: shower used 2 gal"]
        found = [timed[f"{events}: {name}"] for events in lengths]
        rows.append([name, *(f"{1e3 * one:.0f} ({one / first:.2f})" for one in found), limit])
    heavy = [
        max(program.memory(program.says(db, phrase)) for phrase in ("shower used 2 gal", "status", LATE))
        for db in logs.values()
    ]
    rows.append(["memory, MiB", *(f"{one:.0f}" for one in heavy), "80"])
    rows.append(["disk, bytes an event", *(f"{_size(db) / events:.0f}" for events, db in logs.items()), "200"])
    kept = [_kept(db) for db in logs.values()]
    rows.append(["of that kept worlds", *(f"{size / events:.0f}" for events, size in zip(logs, kept, strict=True)), ""])
    print(
        "\nFlat in the log: ms (times the shortest log; corrections: times a plain report)\n"
        + table(["", *map(str, lengths), "at most"], rows)
    )


def _size(db: Path) -> int:
    with sqlite3.connect(db) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return db.stat().st_size


def _kept(db: Path) -> int:
    with sqlite3.connect(db) as connection:
        return int(connection.execute("SELECT coalesce(sum(length(world)), 0) FROM snapshots").fetchone()[0])


def warm(folder: Path, program: Program, turns: int = 800) -> None:
    """A conversation that goes on in one process, over a year of log, each turn on the disk before it is answered."""
    db = log_of(folder, YEAR + 1, program)
    seconds: dict[str, list[float]] = {}
    ours: dict[str, list[float]] = {}
    bare: list[float] = []
    with open_conversation(db) as talk:
        talk.strict = True
        for place in range(turns):
            phrase = SAID[place % len(SAID)]
            begun, worked = time.perf_counter(), time.process_time()
            talk.say(phrase, now=at("09T08:00") + timedelta(seconds=20 * place))
            if place >= len(SAID):
                ours.setdefault(phrase, []).append(time.process_time() - worked)
                seconds.setdefault(phrase, []).append(time.perf_counter() - begun)
                bare += _commits(
                    folder / "bare.db", 1
                )  # turn by turn, so that what else the disk does slows both alike
    rows = [[name, *_shown(some), *_shown(ours[name])] for name, some in seconds.items()]
    rows.append(["all", *_shown([*chain(*seconds.values())]), *_shown([*chain(*ours.values())])])
    rows += [["a bare commit of SQLite", *_shown(bare), "", ""], ["at most", "5", "15", "", ""]]
    print(
        "\nWarm, a turn with its commit\n"
        + table(["", "median, ms", "99 %, ms", "of it computing: median", "99 %"], rows)
    )


def past(folder: Path, program: Program, events: int = 100_000) -> None:
    """Questions about all of a long log, or a part of it long past, in a conversation that goes on."""
    db = log_of(folder, events + 4, program)
    rows = []
    with open_conversation(db) as talk:
        talk.strict = True
        for place, phrase in enumerate(("status", *PAST)):
            begun, worked = time.perf_counter(), time.process_time()
            talk.say(phrase, now=at("09T08:00") + timedelta(seconds=20 * place))
            found = time.perf_counter() - begun, time.process_time() - worked
            rows.append([phrase, *(f"{one:.2f}" for one in found)])
    print(
        f"\nThe past, {events} events of log\n" + table(["", "s", "of it computing"], [*rows, ["at most", "0.3", ""]])
    )


def _shown(seconds: list[float]) -> list[str]:
    return [f"{1e3 * median(seconds):.1f}", f"{1e3 * quantiles(seconds, n=100)[98]:.1f}"]


def _commits(path: Path, count: int) -> list[float]:
    """Seconds of so many commits of one short row each, in the mode in which the log is written."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("CREATE TABLE IF NOT EXISTS rows (text)")
    seconds = []
    for _ in range(count):
        begun = time.perf_counter()
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("INSERT INTO rows VALUES (?)", ("x" * 200,))
        connection.execute("COMMIT")
        seconds.append(time.perf_counter() - begun)
    connection.close()
    return seconds


def piped(folder: Path, program: Program, lines: int = 1000) -> None:
    """A thousand lines of standard input, each on the disk before the next, against as many bare commits."""
    db = log_of(folder, YEAR + 2, program)
    words = [
        f"[{(at('09T08:00') + timedelta(seconds=30 * place)).isoformat()}] hands 0.{1 + place % 4} gal"
        for place in range(lines)
    ]
    seconds, _ = program.runs(
        [sys.executable, "-m", "assistant", "--db", str(db), "--now", NOW], "\n".join(words).encode()
    )
    bare = sum(_commits(folder / "piped.db", lines))
    print(
        f"\nPiped: {lines} lines in {seconds:.2f} s, {1e3 * seconds / lines:.2f} ms a line; "
        f"{lines} bare commits of SQLite {bare:.2f} s: {seconds / bare:.1f} times"
    )


def typing(logs: dict[int, Path]) -> None:
    """Keys in the chat, from the press to the letter on the screen, gauges and ghost included, with logs of all lengths."""
    rows = [[str(events), *_shown(_keys(db))] for events, db in logs.items()]
    print(
        "\nTyping: a key to its letter on the screen, the test's own reading of the screen included\n"
        + table(["events", "median, ms", "99 %, ms"], [*rows, ["at most", "20", ""]])
    )


def _keys(db: Path, lines: int = 4) -> list[float]:
    """Seconds that each key took, in a chat on a real pseudo-terminal."""
    from tests.terminal import CTRL_C, Terminal

    text, seconds = "shower used 2 gal and dishes", []
    terminal = Terminal(db, now=NOW)
    terminal.wait("bye leaves")
    terminal.settle(1.0)
    terminal.at_once()
    for _ in range(lines):
        for place, letter in enumerate(text, start=1):
            begun = time.perf_counter()
            terminal.keys(letter)
            while terminal.typed() != text[:place]:
                terminal.read()
            seconds.append(time.perf_counter() - begun)
            terminal.settle(0.01)
        terminal.keys(CTRL_C)
        terminal.wait(lambda: not terminal.typed())
    terminal.close()
    return seconds


def main() -> None:
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("--rounds", type=int, default=15)
    reader.add_argument("--events", default="10,1000,100000")
    reader.add_argument("--only", default="")
    told = reader.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="ullage-speed-"))
    try:
        (folder / "program").mkdir()
        program = Program(folder / "program")
        if told.only in ("", "cold"):
            cold(folder, program, told.rounds)
        if told.only in ("", "flat"):
            flat(folder, program, told.rounds, [int(part) for part in told.events.split(",")])
        if told.only in ("", "warm"):
            warm(folder, program)
        if told.only in ("", "past"):
            past(folder, program)
        if told.only in ("", "piped"):
            piped(folder, program)
        if told.only in ("", "typing"):
            lengths = [int(part) for part in told.events.split(",")]
            typing({events: log_of(folder, events + 3, program) for events in lengths})
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main()
