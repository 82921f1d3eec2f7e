"""What an owner's own tools get: the view by day of the log's file, the table for a spreadsheet, the versions a script may ask for."""

from __future__ import annotations

import csv
import json
import sqlite3
from collections.abc import Sequence
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant import spreadsheet, version
from state.log import history, migrations
from state.log.store import Log
from tests.logbook import NOON, event, filled, program, turn
from tests.talking import GALLON, Talk

DEEDS = st.lists(
    st.tuples(
        st.sampled_from(["use", "level", "undo", "redo", "amend", "amend person"]),
        st.integers(0, 9),
        st.integers(1, 40),
    ),
    max_size=14,
)


def _told(log: Log, deeds: Sequence[tuple[str, int, int]]) -> None:
    """Events of these kinds, each correction about one of those before it, as the conversation makes them: an undo of anything, a
    redo of an undo, an amendment of an event."""
    made: list[dict[str, Any]] = []
    for kind, which, litres in deeds:
        about = [one for one in made if kind == "undo" or one["kind"] == ("undo" if kind == "redo" else "use")]
        of = about[which % len(about)]["id"] if about else ""
        if kind in ("undo", "redo") and of:
            fields = event(kind, of=(of,) if kind == "undo" else of)
        elif kind.startswith("amend") and of:
            fields = event(
                "amend", of=of, **({"person": "Ana"} if kind.endswith("person") else {"litres": float(litres)})
            )
        elif kind == "level":
            fields = event("level", tank="grey", fraction=litres / 40)
        else:
            fields = event(activity="shower", litres=float(litres), at=NOON.replace(minute=which))
        log.append(turn(kind), [fields])
        made.append(fields)


@given(deeds=DEEDS)
def test_the_view_by_day_counts_as_the_program_does(
    deeds: Sequence[tuple[str, int, int]], tmp_path_factory: Any
) -> None:
    """SQL and Python come to the same: what is taken back, and how much it was after all corrections."""
    path = tmp_path_factory.mktemp("view") / "water.db"
    with Log.open(path) as log:
        _told(log, deeds)
        entries = log.entries()
    gone = history.undone(entries)
    tool = sqlite3.connect(path)
    rows = {row[0]: row[1:] for row in tool.execute("SELECT id, time, person, litres, taken_back FROM by_day")}
    tool.close()
    assert {id for id, row in rows.items() if row[3]} == gone
    for entry in history.effective(entries):
        assert rows[entry.id] == (f"{entry.at:%H:%M:%S}", entry.get("person"), entry.get("litres"), 0)


def _steps(path: Path) -> int:
    """How many hundred instructions SQLite's machine takes for a sum of every day."""
    steps = 0

    def count() -> int:
        nonlocal steps
        steps += 1
        return 0

    tool = sqlite3.connect(path)
    tool.set_progress_handler(count, 100)
    tool.execute("SELECT day, sum(litres) FROM by_day WHERE kind = 'use' AND NOT taken_back GROUP BY day").fetchall()
    tool.close()
    return steps


def test_the_view_by_day_grows_no_faster_than_the_log(tmp_path: Path) -> None:
    """Four times the events, with undos among them, cost four times the work and a little."""
    counts = []
    for turns in (100, 400):
        path = filled(tmp_path / f"{turns}.db", turns)
        with Log.open(path) as log:
            for entry in log.entries()[::10]:
                log.append(turn("undo"), [event("undo", of=(entry.id,))])
        counts.append(_steps(path))
    assert counts[1] < 6 * counts[0]


def test_the_table_is_read_by_other_programs_and_counts_as_the_log_does(tmp_path: Path) -> None:
    """Python's csv module and SQL over the file come to the same sum; what was taken back is not in it, what was corrected is as corrected."""
    talk = Talk(tmp_path / "water.db")
    for phrase in (
        "shower used 2 gal",
        "make that 3",
        "dishes 1 gal",
        "undo",
        'note: smells of "eggs", and\nmore',
        "ana: laundry 8 gal",
    ):
        assert talk.say(phrase).outcome == "recorded", phrase
    talk.close()
    done = program("--export", "--csv", "--db", str(tmp_path / "water.db"))
    assert done.returncode == 0
    rows = list(csv.DictReader(StringIO(done.stdout, newline="")))
    uses = [row for row in rows if row["kind"] == "use"]
    assert [(row["what"], row["person"], row["amount"], row["unit"]) for row in uses] == [
        ("shower", "", "3", "gal"),
        ("laundry", "Ana", "8", "gal"),
    ]
    tool = sqlite3.connect(tmp_path / "water.db")
    ((summed,),) = tool.execute("SELECT sum(litres) FROM by_day WHERE kind = 'use' AND NOT taken_back").fetchall()
    tool.close()
    assert (
        sum(float(row["litres"]) for row in uses)
        == pytest.approx(summed, abs=0.01)
        == pytest.approx(11 * GALLON, abs=0.01)
    )
    assert any(
        row["what"] == "Heron Bend" and "sewer=no; until=2026-06-14T11:00:00-06:00; water=yes" in row["fields"]
        for row in rows
    )


def test_the_table_is_told_in_the_units_of_the_person(tmp_path: Path) -> None:
    """Litres always, and beside them what the person says."""
    talk = Talk(tmp_path / "water.db")
    talk.say("use litres")
    talk.say("shower used 9 litres")
    line = list(csv.DictReader(spreadsheet.lines(talk.conversation.effective, talk.conversation.world.rig.units)))[-1]
    talk.close()
    assert (line["amount"], line["unit"], line["litres"]) == ("9", "L", "9")


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)"])
def test_no_text_becomes_a_formula_or_a_second_line(tmp_path: Path, text: str) -> None:
    """A note from an import may hold anything; a spreadsheet would run it."""
    with Log.open(tmp_path / "water.db") as log:
        log.append(turn(text), [event("note", text=f"{text}\n\x1b[2J")])
        (line,) = list(csv.DictReader(spreadsheet.lines(log.entries(), "us")))
    assert line["said"] == f"'{text}" and not {"\n", "\x1b"} & set("".join(line.values()))


def test_the_columns_are_as_described() -> None:
    """A column that goes or moves needs a new version, and the page for owners names each."""
    assert spreadsheet.VERSION == 1 and spreadsheet.COLUMNS[:14] == (
        "date", "time", "utc_offset", "kind", "what", "person", "count", "amount", "unit", "litres", "estimated", "fields", "said", "id",
    )  # fmt: skip
    page = (Path(spreadsheet.__file__).parent.parent / "state" / "log.md").read_text(encoding="utf-8")
    assert all(f"`{name}`" in page for name in spreadsheet.COLUMNS)


def test_a_script_can_ask_for_the_versions_it_relies_on() -> None:
    """`--version --json`, without a log; `--version` alone is for people."""
    done = program("--version", "--json")
    assert json.loads(done.stdout) == {"ullage": version.version(), "json": 1, "csv": 1, "log": migrations.VERSION}
    assert program("--version").stdout == f"ullage {version.version()}\n"


def test_a_table_is_only_made_of_an_export() -> None:
    """--csv alone is a wrong command line."""
    assert program("--csv", "status").returncode == 2
