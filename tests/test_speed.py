"""A guard against becoming slow: ratios with wide bounds, and what a one-shot must not load. The figures: tests/bench_speed.py."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests import longlog
from tests.logbook import ROOT
from tests.stopwatch import FLOOR, NOW, Program

ROUNDS = 5
HEAVY = (
    "argparse calendar dataclasses hashlib importlib.metadata inspect lark locale logging pathlib pickle pint prompt_toolkit pydantic random"
    " shutil sqlite_utils state.copies state.events state.older statistics tempfile textwrap typing unittest urllib.parse uuid zoneinfo"
).split()
"""Each of these takes a tenth of Python's own start or more, and none is needed to book a use or to tell a level."""

SAID = ("shower used 2 gal", "status", "can we make it to Sunday", "meter 90", "undo")

LOADED = """
import sys
import assistant.__main__ as door
for phrase in sys.argv[3:]:
    assert door.main(["--db", sys.argv[1], "--now", sys.argv[2], phrase]) == 0, phrase
print(" ".join(sys.modules))
"""


@pytest.fixture(scope="module")
def timed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    """Each phrase over a short log, and one over a long one, in turn with the floor. [seconds]"""
    folder = tmp_path_factory.mktemp("speed")
    program = Program(folder)
    logs = {events: longlog.make(folder / f"{events}.db", events) for events in (100, 2000)}
    for db in logs.values():
        program.runs(program.says(db, "hands 0.1 gal", now=longlog.END.isoformat()))
    commands = {
        phrase: program.says(logs[100], phrase)
        for phrase in ("shower used 2 gal", "status", "can we make it to Sunday")
    }
    return program.compared(commands | {"status, long": program.says(logs[2000], "status")}, ROUNDS)


def test_a_turn_loads_nothing_that_it_does_not_need(tmp_path: Path) -> None:
    """Start-up is what a phone feels: no model, unit or grammar library, and none of the standard library's heavy modules."""
    db = longlog.make(tmp_path / "water.db", 20)  # so short that no copy of the day is made
    done = subprocess.run(
        [sys.executable, "-S", "-c", LOADED, str(db), NOW, *SAID],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert not set(HEAVY) & set(done.stdout.splitlines()[-1].split())


def test_a_one_shot_is_a_few_times_the_start_of_python(timed: dict[str, float]) -> None:
    """About three and a half times, measured at rest; twice that is let pass, for the sake of busy machines."""
    assert timed["shower used 2 gal"] < 7 * timed[FLOOR]
    assert timed["status"] < 7 * timed[FLOOR]
    assert timed["can we make it to Sunday"] < 9 * timed[FLOOR]


def test_a_turn_costs_the_same_with_a_long_log(timed: dict[str, float]) -> None:
    """Twenty times the events, the same time; folding them anew would take twice as long."""
    assert timed["status, long"] < 1.6 * timed["status"]
