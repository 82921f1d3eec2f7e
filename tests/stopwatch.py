"""Timing by fresh processes: the program as installed (its modules compiled), against the least that any such program does."""

from __future__ import annotations

import compileall
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from statistics import median

from tests.logbook import ROOT

FLOOR = "python -c 'import sqlite3'"
NOW = "2026-06-09T08:00-06:00"
WEIGHED = "import resource, subprocess, sys; subprocess.run(sys.argv[1:]); print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"


class Program:
    """A copy of the packages with their bytecode, as an installation has it, so that nothing is compiled while the watch runs."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for name in ("assistant", "grammar", "state"):
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        compileall.compile_dir(folder, quiet=2)
        self.env = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}

    def says(self, db: Path, *words: str, now: str = NOW) -> list[str]:
        return [sys.executable, "-m", "assistant", "--db", str(db), "--now", now, *words]

    def runs(self, command: Sequence[str], stdin: bytes = b"") -> tuple[float, str]:
        """Run it once: seconds of the wall clock, and what it printed."""
        begun = time.perf_counter()
        done = subprocess.run(command, cwd=self.folder, env=self.env, input=stdin, capture_output=True, check=False)
        seconds = time.perf_counter() - begun
        assert done.returncode in (0, 1, 3), done.stderr.decode()
        return seconds, done.stdout.decode()

    def memory(self, command: Sequence[str]) -> float:
        """The most memory that it takes. Started by a small process: one started from here would be counted as large as this one. [MiB]"""
        return float(self.runs([sys.executable, "-S", "-c", WEIGHED, *command])[1].splitlines()[-1]) / 1024

    def compared(
        self, commands: Mapping[str, Sequence[str]], rounds: int, before: Callable[[str], None] = lambda name: None
    ) -> dict[str, float]:
        """All of them in turn, round after round, the floor among them, so that what else the machine does slows all alike.
        Medians. [seconds]

        before: done, unwatched, before each run of a command of that name.
        """
        watched = {FLOOR: [sys.executable, "-c", "import sqlite3"], **commands}
        timed: dict[str, list[float]] = {name: [] for name in watched}
        for place in range(rounds + 1):  # the first round only warms the disk's cache
            for name, command in watched.items():
                before(name)
                seconds, _ = self.runs(command)
                if place:
                    timed[name].append(seconds)
        return {name: median(seconds) for name, seconds in timed.items()}


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Columns as wide as they need, the first to the left, the others to the right."""
    widths = [max(len(row[column]) for row in [head, *rows]) for column in range(len(head))]
    lines = [
        "  ".join(
            [row[0].ljust(widths[0]), *(cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True))]
        )
        for row in [head, ["-" * width for width in widths], *rows]
    ]
    return "\n".join(lines)
