"""The log: what is put in comes out, all of a turn or nothing, and nothing is ever changed."""

from __future__ import annotations

import sqlite3
import stat
import subprocess
import sys
import zlib
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from state import events
from state.log import codes, records, rows
from state.log.store import Log, LogMoved, new_id
from tests.logbook import NOON, ROOT, event, filled, turn


def test_an_event_comes_back_as_it_was_put_in(db: Path) -> None:
    """Fields, defaults, moments with their offsets, the words and the quantity as said."""
    said = {"field": "litres", "value": 2.0, "unit": "gallon", "text": "2 gal"}
    put = event(activity="shower", litres=7.570823568, person="Ana", said=(said,))
    with Log.open(db) as log:
        (returned,) = log.append(turn(), [put])
    with Log.open(db) as log:
        (read,) = log.entries()
    assert read.fields() == returned.fields() == events.check({**put, "heard": "shower used 2 gal"})
    assert (read.seq, read.turn) == (1, 1)
    assert read.at.utcoffset() == timedelta(hours=-6)


FULL: dict[str, dict[str, Any]] = {
    "use": {
        "activity": "shower",
        "litres": 7.5,
        "count": 2,
        "person": "Ana",
        "minutes": 4.0,
        "from_litres": 1.0,
        "to_litres": 8.5,
    },
    "meter": {"litres": 41.5, "meter": "rinse", "reset_before": True},
    "meter_reset": {},
    "fill": {"litres": 20.0, "to_full": True, "through_meter": False},
    "dump": {"tank": "grey"},
    "haul": {"tank": "grey", "litres": 45.0, "estimated": True},
    "level": {"tank": "black", "fraction": 0.5, "basis": "sensor"},
    "rinse": {"litres": 30.0},
    "arrive": {"site": "Heron Bend", "water": True, "sewer": False, "until": NOON + timedelta(days=5)},
    "stay": {"until": NOON},
    "depart": {},
    "supply": {"from": "hookup"},
    "valve": {"tank": "grey", "open": True},
    "party": {"people": 4, "until": NOON},
    "away": {"until": NOON},
    "back": {},
    "pressure": {"kpa": 330.9},
    "flow": {"litres_per_minute": 7.5},
    "service": {"item": "water_filter"},
    "gear": {"item": "regulator", "where": "out"},
    "rig": {"what": "tank", "tank": "grey", "tank_kind": "grey", "litres": 136.0},
    "stop": {"site": "Cedar Flat", "from": NOON, "until": NOON, "water": False},
    "expect": {"what": "party", "from": NOON, "until": NOON, "people": 4},
    "frost": {"low_celsius": -4.0},
    "upkeep": {"item": "hose", "every_days": 90.0, "snooze_until": NOON},
    "step": {"list": "leaving", "text": "lock the wet bay", "mark": "done"},
    "teach": {"word": "suds", "means": "dishes"},
    "note": {"text": "sulphur smell\x00\x1b[31m"},
}


@pytest.mark.parametrize("kind", sorted(FULL))
def test_every_kind_of_event_comes_back(db: Path, kind: str) -> None:
    """Each kind with its fields filled, and taken back, brought back and amended."""
    put = event(kind, **FULL[kind]) if FULL[kind] else event(kind)
    undo = event("undo", of=(put["id"],))
    redo = event("redo", of=undo["id"])
    amend = event("amend", of=put["id"], litres=3, until=NOON)
    with Log.open(db) as log:
        told = log.append(turn("\udcff of many"), [put, undo, redo, amend])
        read = log.entries()
    assert [(one.fields(), one.turn, one.seq) for one in told] == [(one.fields(), one.turn, one.seq) for one in read]
    assert [entry.fields() for entry in read] == [
        events.check({**one, "heard": "? of many"}) for one in (put, undo, redo, amend)
    ]


def test_every_kind_is_tried_above() -> None:
    """A new kind of event gets its line in the table."""
    assert set(FULL) | {"undo", "redo", "amend"} == set(events.MODELS)


def test_defaults_used_in_reading_are_those_of_the_models() -> None:
    """rows.DEFAULTS is written by hand for speed: it must say what the models of events.py say."""
    envelope = {"id", "kind", "at", "heard_at", "heard", "said"}
    for kind, model in events.MODELS.items():
        told = {
            field.alias or name: field.default
            for name, field in model.model_fields.items()
            if name not in envelope and not field.is_required()
        }
        assert rows.DEFAULTS[kind] == told, kind


def test_a_turn_is_all_or_nothing(db: Path) -> None:
    """A turn whose last event is wrong leaves neither itself nor its other events."""
    filled(db, 1)
    taken = event()
    with Log.open(db) as log:
        log.append(turn(), [taken])
        for wrong in (
            event("use", activity="shower", litres=-1.0),
            event("nonsense"),
            event("use", activity="shower", litres=float("nan")),
            event("undo", of="nothingthere"),
            {**event(), "id": taken["id"]},
            {**event(), "at": datetime(2026, 1, 1)},
            {**event(), "at": datetime(1, 1, 1, tzinfo=UTC)},
        ):
            with pytest.raises(ValueError):
                log.append(turn("two in one"), [event(), wrong])
        assert len(log.entries()) == 2
        assert [each.heard for each in log.turns()] == ["shower 0", "shower used 2 gal"]


def test_turns_come_back_latest_last_with_their_memo(db: Path) -> None:
    """A pending question survives the process."""
    with Log.open(db) as log:
        log.append(turn("first", outcome="answered"))
        log.append(turn("second", outcome="asked", pending={"slot": "tank", "words": ["grüß", "\ud83d\ude00"]}))
    with Log.open(db) as log:
        first, second = log.turns()
        assert (first.number, first.heard, first.memo) == (1, "first", {})
        assert second.memo["pending"]["slot"] == "tank"
        assert [each.heard for each in log.turns(last=1)] == ["second"]
        assert log.last_seq() == 0


def test_words_that_are_no_text_are_kept_as_well_as_can_be(db: Path) -> None:
    """Halves of characters, as invalid UTF-8 leaves them, are replaced; the rest stays."""
    with Log.open(db) as log:
        (entry,) = log.append(turn("note \udcff!"), [event("note", text="a \ufffd b")])
        assert entry.heard == "note ?!"
        assert log.turns()[0].heard == "note ?!"


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE events SET kind = 10",
        "DELETE FROM events",
        "DELETE FROM turns",
        "UPDATE turns SET heard = ''",
        "INSERT OR REPLACE INTO events SELECT * FROM events",
        "REPLACE INTO events SELECT seq + 5, id, turn, kind, at, offset, what, person, litres, said, rest, guard FROM events LIMIT 1",
        "INSERT OR REPLACE INTO turns SELECT * FROM turns",
        "UPDATE OR REPLACE events SET seq = 2 WHERE seq = 1",
    ],
)
def test_nothing_is_ever_changed_not_even_by_another_tool(db: Path, statement: str) -> None:
    """On a plain connection too, with no setting of ours."""
    filled(db)
    other = sqlite3.connect(db)
    before = other.execute("SELECT * FROM events").fetchall()
    with pytest.raises(sqlite3.IntegrityError, match="only added to"):
        other.execute(statement)
    other.rollback()
    assert other.execute("SELECT * FROM events").fetchall() == before
    other.close()


def test_unknown_kinds_and_homeless_events_are_turned_away(db: Path) -> None:
    """Constraints hold where foreign keys are on, as the program has them."""
    filled(db)
    with Log.open(db) as log, pytest.raises(ValueError), log.writing() as connection:
        connection.execute("INSERT INTO events VALUES (9, 'abcdefghij', 1, 999, 0, 0, NULL, NULL, NULL, NULL, NULL, 0)")
    with Log.open(db) as log, pytest.raises(ValueError), log.writing() as connection:
        connection.execute("INSERT INTO events VALUES (9, 'abcdefghij', 77, 1, 0, 0, NULL, NULL, NULL, NULL, NULL, 0)")
    with Log.open(db) as log:
        assert log.last_seq() == 3


def test_the_log_is_for_its_owner_only(db: Path) -> None:
    """Mode 0600 in a folder of 0700, and so is what SQLite keeps beside it."""
    with Log.open(db) as log:
        log.append(turn(), [event()])
        modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in db.parent.iterdir()}
    assert modes == {"water.db": 0o600, "water.db-wal": 0o600, "water.db-shm": 0o600}
    assert stat.S_IMODE(db.parent.stat().st_mode) == 0o700


def test_ids_sort_as_they_are_made_even_when_the_clock_goes_back(db: Path) -> None:
    """Lowercase, at most 26 characters, unique; later than any read from the log."""
    ids = [new_id() for _ in range(2000)] + [new_id(NOON) for _ in range(10)]
    assert ids == sorted(set(ids))
    assert all(len(one) <= 26 and one == one.lower() and one.isalnum() for one in ids)
    ahead = new_id(datetime.now(UTC) + timedelta(hours=9))
    with Log.open(db) as log:
        log.append(turn(), [{**event(), "id": ahead}])
        log.entries()
    assert new_id() > ahead


def test_an_id_from_far_ahead_is_not_followed(db: Path) -> None:
    """A line that claims the year 2199 does not drag all later ids with it."""
    code = (
        "import sys\nfrom datetime import *\nfrom pathlib import Path\nfrom tests.logbook import *\n"
        "far = '7zzzzzzzzzzzzzzzzzzz'\n"
        "with Log.open(Path(sys.argv[1])) as log:\n    log.append(turn(), [{**event(), 'id': far}]); log.entries()\n"
        "assert new_id() < far\n"
    )
    subprocess.run([sys.executable, "-c", code, str(db)], check=True, cwd=ROOT)


def test_a_log_that_grew_since_it_was_read_is_not_written_to(db: Path) -> None:
    """Two at once: the second must read again before it decides."""
    filled(db)
    with Log.open(db) as one, Log.open(db) as other:
        seen = one.last_seq()
        other.append(turn(), [event()])
        with pytest.raises(LogMoved):
            one.append(turn(), [event()], seen_seq=seen)
        assert len(one.entries(after_seq=seen)) == 1
        one.append(turn(), [event()], seen_seq=seen + 1)
        assert one.last_seq() == 5


def test_a_turn_taken_alone_is_outrun_by_nobody(db: Path) -> None:
    """Others wait while it lasts; it is on disk when it has ended, and not at all if it fails; the cache is left alone meanwhile."""
    filled(db)
    with Log.open(db) as one, Log.open(db, read_only=True) as other:
        with one.alone():
            one.save_snapshot(3, {}, "a")
            assert len(one.append(turn(), [event(), event()], seen_seq=3)) == 2
            assert other.last_seq() == 3
        assert other.last_seq() == 5
        with pytest.raises(RuntimeError), one.alone():
            one.append(turn(), [event()])
            raise RuntimeError
        assert (other.last_seq(), one.last_seq()) == (5, 5)
        assert one.load_snapshot("a") is None


def test_reading_only_changes_nothing_and_needs_no_log(db: Path) -> None:
    """A missing log reads as an empty one and is not made; a log read only is not touched."""
    with Log.open(db, read_only=True) as log:
        assert (log.entries(), log.turns(), log.last_seq()) == ([], [], 0)
    assert not db.parent.exists()
    filled(db)
    before = db.read_bytes()
    with Log.open(db, read_only=True) as log:
        assert len(log.entries()) == 3
    assert db.read_bytes() == before


def test_snapshots_are_a_cache_and_no_more(db: Path) -> None:
    """Kept by version, replaced by later ones, gone without loss, never ahead of the log."""
    filled(db)
    with Log.open(db) as log:
        assert log.load_snapshot("a") is None
        log.save_snapshot(2, {"people": 2}, "a")
        log.save_snapshot(3, {"people": 3}, "a")
        log.save_snapshot(1, {"people": 1}, "a")
        assert log.load_snapshot("a") == (3, {"people": 3})
        assert log.load_snapshot("b") is None
        log.save_snapshot(2, {"people": 9}, "b")
        assert log.load_snapshot("a") is None
        log.drop_snapshots()
        assert log.load_snapshot("b") is None
        log.save_snapshot(99, {}, "b")
        assert log.load_snapshot("b") is None
        assert len(log.entries()) == 3


def test_the_view_by_day_serves_other_tools(db: Path) -> None:
    """Local day and time, what and how much, and whether it was taken back."""
    late = datetime(2026, 6, 9, 23, 30, tzinfo=timezone(timedelta(hours=-6)))
    put = event(at=late, activity="shower", litres=7.5, person="Ana")
    undo = event("undo", of=(put["id"],))
    with Log.open(db) as log:
        log.append(turn(at=late), [put])
        log.append(turn("undo"), [undo])
    tool = sqlite3.connect(db)
    (row,) = tool.execute(
        "SELECT day, time, what, person, litres, taken_back FROM by_day WHERE kind = 'use'"
    ).fetchall()
    tool.close()
    assert row == ("2026-06-09", "23:30:00", "shower", "Ana", 7.5, 1)


@given(
    at=st.datetimes(datetime(1901, 1, 1), datetime(2199, 1, 1), timezones=st.timezones()),
    litres=st.floats(0, 1e6, allow_nan=False),
    person=st.none() | st.text(min_size=1, max_size=20).filter(lambda text: text.strip()),
)
def test_packing_loses_nothing_but_what_is_finer_than_a_millisecond(
    at: datetime, litres: float, person: str | None
) -> None:
    """Any moment in any zone, any number, any name."""
    fields = events.check(event(at=at, activity="shower", litres=litres, person=person))
    packed = rows.pack(fields, fields["heard_at"], "x")
    entry = rows.unpack(1, 1, packed, (*packed[2:4], "x"))
    assert timedelta(0) <= at - entry.at < timedelta(milliseconds=1)
    assert abs((entry.at.utcoffset() or timedelta()) - (at.utcoffset() or timedelta())) <= timedelta(seconds=30)
    assert entry.litres == litres
    assert entry.person == fields["person"]


def test_the_hot_path_loads_no_slow_library(db: Path) -> None:
    """Reading a log starts neither pydantic nor sqlite_utils nor pint."""
    filled(db)
    code = (
        "import sys\nfrom state.log.store import Log\n"
        f"with Log.open({str(db)!r}) as log: assert len(log.entries()) == 3\n"
        "slow = {'pydantic', 'sqlite_utils', 'pint', 'lark', 'prompt_toolkit'} & set(sys.modules)\nassert not slow, slow\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)


def test_an_event_takes_less_than_two_hundred_bytes(db: Path) -> None:
    """All in all: its index, a turn of its own with words, answer and memo, the room that pages leave, tables and triggers."""
    said = ({"field": "litres", "value": 2.0, "unit": "gallon", "text": "2 gal"},)
    with Log.open(db) as log, log.writing() as connection:
        for number in range(1, 2001):
            told = turn(at=NOON + timedelta(minutes=number), about={"topic": "status", "tank": "grey"})
            told.number = number
            records.add_turn(connection, told)
            put = event(at=told.heard_at, activity="shower", litres=7.570823568, said=said)
            records.add_event(connection, number, told, events.check({**put, "heard": told.heard}))
    connection = sqlite3.connect(db)
    (pages,) = connection.execute("PRAGMA page_count").fetchone()
    connection.close()
    assert 4096 * pages / 2000 < 200


@pytest.mark.parametrize("made", ["here", "elsewhere"])
def test_an_event_is_found_and_added_at_the_same_cost_in_a_log_of_any_length(tmp_path: Path, made: str) -> None:
    """SQLite's machine takes as many instructions to look for an id, and to see that a new one is new, in eight times the log."""
    counts = []
    for length in (100, 800):
        with Log.open(tmp_path / f"{length}.db") as log, log.writing() as connection:
            told = turn()
            told.number = 1
            records.add_turn(connection, told)
            ids = [new_id() if made == "here" else f"madebyaprogram{number:04}" for number in range(length + 1)]
            for seq, id in enumerate(ids[:-1], start=1):
                records.add_event(connection, seq, told, events.check({**event(), "id": id}))
            steps = [0]

            def step(steps: list[int] = steps) -> int:
                steps[0] += 1
                return 0

            connection.set_progress_handler(step, 1)
            assert log.first_of([ids[length // 2]]) == length // 2 + 1
            assert log.latest_id(length) == ids[-2]
            records.add_event(connection, length + 1, told, events.check({**event(), "id": ids[-1]}))
            connection.set_progress_handler(None, 0)
            counts.append(steps[0])
    assert counts[1] < 2 * counts[0]


def test_answers_and_memos_are_kept_of_the_latest_turns_only(db: Path) -> None:
    """The words of every turn stay; what was said and what the next turn needs goes when nobody can ask for it any more."""
    with Log.open(db) as log:
        for number in range(records.RECENT + 3):
            log.append(turn(f"status {number}", outcome="answered", about={"place": number}))
    with Log.open(db) as log:
        turns = log.turns(last=1000)
        assert [each.heard for each in turns] == [f"status {number}" for number in range(records.RECENT + 3)]
        assert [each.memo for each in turns[3:]] == [
            {"about": {"place": number + 3}} for number in range(records.RECENT)
        ]
        assert {each.answer for each in turns[3:]} == {"Shower, 2 gal."}
        assert [(each.answer, each.memo) for each in turns[:3]] == [("", {})] * 3


def test_numbers_for_words_are_never_given_anew() -> None:
    """Logs on people's disks hold them: the list may only grow at its end, and then the table in the file does too."""
    told = zlib.crc32(" ".join(codes.NAMES).encode())
    assert (len(codes.NAMES), told) == (82, 693598245)
    assert len(codes.CODE) == len(codes.NAMES) < 128 and set(events.MODELS) <= set(codes.NAMES)


@given(
    words=st.text(max_size=30),
    said=st.lists(
        st.tuples(
            st.sampled_from(["litres", "kpa"]),
            st.none() | st.floats(0, 1e6),
            st.none() | st.sampled_from(["gallon", "cubic_furlong", "litre"]),
            st.text(max_size=9),
        ),
        max_size=3,
    ),
    own=st.booleans(),
)
def test_quantities_come_back_as_they_were_said(words: str, said: list[Any], own: bool) -> None:
    """Any words, any unit, words of the phrase or others, a phrase of the event's own."""
    heard = " and ".join([words, *(text for *_, text in said)]) if own else words
    told = [{"field": field, "value": value, "unit": unit, "text": text} for field, value, unit, text in said]
    fields = events.check({**event(litres=1.0, activity="shower", said=told), "heard": heard})
    packed = rows.pack(fields, fields["heard_at"], words)
    assert rows.unpack(1, 1, packed, (*packed[2:4], words)).fields() == fields
