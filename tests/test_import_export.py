"""Two logs become one: by id, all or nothing, in any order, as often as one likes; what looks logged twice is asked about."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant import open_conversation
from state.entry import Entry
from state.log.history import effective
from state.log.merge import BadLine, export, merge
from state.log.ordering import as_one_log
from state.log.soundness import look
from state.log.store import Log, new_id
from state.log.twins import twins
from state.water.fold import snapshot
from tests.examples import examples
from tests.logbook import NOON, event, filled, program, turn
from tests.test_store import FULL


@cache
def empty() -> bytes:
    """An empty log's bytes: making one anew for each example would take most of the time."""
    with tempfile.TemporaryDirectory() as folder:
        Log.open(Path(folder) / "empty.db").close()
        return (Path(folder) / "empty.db").read_bytes()


@contextmanager
def logs(number: int) -> Iterator[list[Log]]:
    with tempfile.TemporaryDirectory() as folder, ExitStack() as stack:
        for place in range(number):
            (Path(folder) / f"{place}.db").write_bytes(empty())
        yield [stack.enter_context(Log.open(Path(folder) / f"{place}.db")) for place in range(number)]


def told(log: Log) -> list[str]:
    return list(export(log))


def counted(log: Log) -> list[dict[str, Any]]:
    """The events that count, without the place that each has in this log."""
    return [entry.fields() for entry in effective(as_one_log(log.entries()))]


def test_out_and_in_again_gives_the_same_log(db: Path) -> None:
    """Same lines, same events, same turns; a second time changes nothing."""
    filled(db, 4, each=2)
    with logs(1) as (other,), Log.open(db) as log:
        lines = told(log)
        assert len(merge(other, lines).added) == 8
        assert told(other) == lines
        assert [entry.turn for entry in other.entries()] == [1, 1, 2, 2, 3, 3, 4, 4]
        again = merge(other, lines)
        assert (again.added, again.known) == ([], 8)
        assert told(other) == lines


# ---------------------------------------------------------------- as a property

PHONE = st.lists(
    st.tuples(
        st.sampled_from(["use", "meter", "dump", "two", "undo", "amend", "redo"]),
        st.integers(0, 3),
        st.integers(0, 400),
    ),
    max_size=7,
)


def play(log: Log, deeds: Sequence[tuple[str, int, int]]) -> None:
    """Log these deeds, as one phone's owner would; times coincide on purpose."""
    for deed, hour, number in deeds:
        at = NOON + timedelta(hours=hour)
        entries = log.entries()
        if deed in ("undo", "amend", "redo"):
            wanted = [entry for entry in entries if (entry.kind == "undo") == (deed == "redo") and entry.kind != "redo"]
            if not wanted:
                continue
            of = wanted[number % len(wanted)].id
            made = [event(deed, at, of=of, **({"litres": float(number)} if deed == "amend" else {}))]
        elif deed == "two":
            made = [event(at=at, activity="shower", litres=float(number)), event(at=at, activity="dishes", litres=2.0)]
        else:
            own = {
                "use": {"activity": "shower", "litres": 1.0 + number},
                "meter": {"litres": float(number)},
                "dump": {"tank": "grey"},
            }
            made = [event(deed, at, **own[deed])]
        log.append(turn(f"{deed} {number}", at), made)


@settings(max_examples=examples(15))
@given(PHONE, PHONE, PHONE)
def test_merging_is_commutative_associative_and_idempotent(
    one: Sequence[tuple[str, int, int]], two: Sequence[tuple[str, int, int]], three: Sequence[tuple[str, int, int]]
) -> None:
    """Three phones, one of which had the first one's log from the start: any order of merging gives the same lines, and the same
    events that count, in the same order."""
    with logs(7) as (a, b, c, *fresh):
        play(a, one)
        merge(b, told(a))
        play(b, two)
        play(c, three)
        parts = [told(a), told(b), told(c)]
        for place, order in zip(fresh, [(0, 1, 2), (2, 1, 0), (1, 2, 0), (1, 0, 2)], strict=True):
            for part in order:
                merge(place, parts[part])
        for part in parts:
            assert merge(fresh[0], part).added == []
        merge(c, told(b))  # grouped the other way: first two together, then the whole
        outcomes = {tuple(told(place)) for place in [*fresh, c]}
        assert len(outcomes) == 1
        assert [counted(place) for place in [*fresh, c]] == [counted(c)] * 5


@settings(max_examples=examples(25))
@given(PHONE, st.randoms(use_true_random=False))
def test_an_export_taken_in_parts_gives_the_whole(deeds: Sequence[tuple[str, int, int]], random: Any) -> None:
    """Lines of one turn that arrive apart, the later first, still belong to one turn and can be taken back in one breath."""
    with logs(2) as (log, other):
        play(log, deeds)
        lines = [line for line in told(log) if json.loads(line)["kind"] not in ("undo", "redo", "amend")]
        random.shuffle(lines)
        for line in lines:
            merge(other, [line])
        turns: dict[str, set[int]] = {}
        for entry in other.entries():
            turns.setdefault(
                next(json.loads(line)["turn"] for line in lines if json.loads(line)["id"] == entry.id), set()
            ).add(entry.turn)
        assert all(len(numbers) == 1 for numbers in turns.values())
        assert sorted(told(other)) == sorted(lines)


def test_two_phones_that_merged_believe_the_same(db: Path) -> None:
    """Both said things of the same minute; after each took in the other's, also with the talk open, the worlds are one."""
    mine, theirs = db, db.with_name("theirs.db")
    rig = ["grey tank 36 gal", "fresh tank 40 gal", "two people", "dumped grey"]
    with open_conversation(mine) as here:
        for text in rig:
            assert here.say(text, now=NOON).outcome == "recorded"
    with Log.open(mine) as log, Log.open(theirs) as other:
        merge(other, told(log))
    later = NOON + timedelta(hours=2)
    with open_conversation(mine) as here, open_conversation(theirs) as there:
        for gallons in (2, 3):
            assert here.say(f"shower used {gallons} gal", now=later).outcome == "recorded"
            assert there.say(f"dishes used {gallons} gal", now=later).outcome == "recorded"
        assert there.say("make that 1", now=later).outcome == "recorded"
        assert here.say("grey is a quarter full", now=later).outcome == "recorded"
        merge(here.log, told(there.log))
        merge(there.log, told(here.log))
        here.refresh(), there.refresh()
        assert told(here.log) == told(there.log)
        assert snapshot(here.world) == snapshot(there.world)
        assert here.world.balances["grey"] != 0
    assert look(mine).problems == look(theirs).problems == ()


# ---------------------------------------------------------------- files that lie

GOOD = {"id": "abcdefghijk", "kind": "use", "at": "2026-06-09T12:00:00-06:00", "activity": "shower", "litres": 7.5}
LIES: dict[str, tuple[str, str]] = {
    "no JSON": ("shower used 2 gal", "not JSON"),
    "half a line": (json.dumps(GOOD)[:-9], "not JSON"),
    "a list": ("[1, 2]", "not an event"),
    "deep nesting": ("[" * 60_000, "not JSON"),
    "deep nesting in a field": (json.dumps({**GOOD, "said": 1})[:-2] + "[" * 9000 + "]" * 9000 + "}", ""),
    "no id": (json.dumps({**GOOD, "id": None}), "id"),
    "a strange id": (json.dumps({**GOOD, "id": "'; DROP TABLE events"}), "id"),
    "no such kind": (json.dumps({**GOOD, "kind": "flood"}), "flood"),
    "a kind that is no word": (json.dumps({**GOOD, "kind": ["use"]}), "kind"),
    "no offset": (json.dumps({**GOOD, "at": "2026-06-09T12:00:00"}), "at"),
    "a date that is none": (json.dumps({**GOOD, "at": "2026-02-30T12:00:00Z"}), "at"),
    "the year one": (json.dumps({**GOOD, "at": "0001-01-01T00:00:00Z"}), "date"),
    "the year 9999": (json.dumps({**GOOD, "at": "9999-12-31T23:59:59-12:00"}), "date"),
    "NaN": (json.dumps({**GOOD, "litres": float("nan")}), "not JSON"),
    "infinite": (json.dumps(GOOD).replace("7.5", "1e999"), "litres"),
    "huge": (json.dumps({**GOOD, "litres": 10**30}), "litres"),
    "a number of 5000 digits": (json.dumps(GOOD).replace("7.5", "9" * 5000), "JSON"),
    "negative": (json.dumps({**GOOD, "litres": -1}), "litres"),
    "a field of another kind": (json.dumps({**GOOD, "site": "Heron Bend"}), "site"),
    "a name without end": (json.dumps({**GOOD, "activity": "x" * 500}), "activity"),
    "undo of nothing": (
        json.dumps({"id": "abcdefghijx", "kind": "undo", "at": GOOD["at"], "of": "nowhere00000"}),
        "nowhere",
    ),
    "undo of itself": (
        json.dumps({"id": "abcdefghijx", "kind": "undo", "at": GOOD["at"], "of": "abcdefghijx"}),
        "itself",
    ),
    "a name from inside": (json.dumps({**GOOD, "kind": "amend", "of": "zbcdefghijk", "seq": 7}), "seq"),
    "a change into what cannot be": (
        json.dumps({"id": "abcdefghijx", "kind": "amend", "at": GOOD["at"], "of": "zbcdefghijk", "litres": "lots"}),
        "litres",
    ),
    "a level of nothing": (
        json.dumps({"id": "abcdefghijx", "kind": "level", "at": GOOD["at"], "tank": "grey"}),
        "litres and fraction",
    ),
    "overlong": (json.dumps({**GOOD, "heard": "x" * 200_000}), "long"),
}


@pytest.mark.parametrize("lie", sorted(LIES))
def test_a_line_that_lies_is_named_and_nothing_is_added(db: Path, lie: str) -> None:
    """The good line before it is not added either."""
    filled(db)
    line, word = LIES[lie]
    other = json.dumps({**GOOD, "id": "zbcdefghijk"})
    with Log.open(db) as log:
        before = told(log)
        with pytest.raises(BadLine, match="line 3") as caught:
            merge(log, [other, "", line])
        assert word in str(caught.value)
        assert len(str(caught.value)) < 300
        assert told(log) == before


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)
NAMES = [
    "id",
    "kind",
    "at",
    "heard_at",
    "heard",
    "said",
    "turn",
    "of",
    "litres",
    "activity",
    "tank",
    "until",
    "from",
    "person",
]
KINDS = st.sampled_from([*FULL, "undo", "redo", "amend", "flood"])
MOMENTS = st.datetimes().map(lambda at: at.isoformat() + "Z") | st.just("2026-06-09T12:00:00-06:00")


@settings(max_examples=examples(80))
@given(
    st.dictionaries(st.sampled_from(NAMES), JSON, max_size=6),
    KINDS,
    MOMENTS,
    st.booleans(),
)
def test_whatever_a_line_holds_it_is_taken_or_named(own: dict[str, Any], kind: str, at: str, usual: bool) -> None:
    """Anything in any field: either an event that the log then gives back, or a bad line; never another error, never half."""
    fields = (
        {
            name: value.isoformat() if isinstance(value, datetime) else value
            for name, value in FULL.get(kind, {}).items()
        }
        if usual
        else {}
    )
    line = json.dumps({"id": "abcdefghijk", "kind": kind, "at": at, **fields, **own})
    with logs(1) as (log,):
        try:
            added = merge(log, [line]).added
        except BadLine:
            assert log.last_seq() == 0
            return
        assert told(log)
        assert merge(log, told(log)).added == [] and len(added) == 1


def test_two_events_under_one_id_are_refused(db: Path) -> None:
    """Whether the other is in the log or in the file; the same again is no contradiction."""
    filled(db, 1)
    with Log.open(db) as log:
        (line,) = told(log)
        assert merge(log, [line, line]).added == []
        with pytest.raises(BadLine, match="another event"):
            merge(log, [line.replace('"activity":"shower"', '"activity":"bath"')])
        twice = json.dumps(GOOD)
        with pytest.raises(BadLine, match="line 2: another event"):
            merge(log, [twice, twice.replace("7.5", "8.5")])
        assert len(merge(log, [twice, twice]).added) == 1


def test_a_line_needs_no_more_than_the_event(db: Path) -> None:
    """Written by hand: without words, without the time of hearing."""
    with Log.open(db) as log:
        (entry,) = merge(log, [json.dumps(GOOD)]).added
        assert (entry.litres, entry.heard, entry.heard_at) == (7.5, "", entry.at)


def test_turns_of_another_device_are_no_part_of_the_talk_here(db: Path) -> None:
    """A pending question stays pending."""
    filled(db, 2)
    with logs(1) as (mine,), Log.open(db) as theirs:
        mine.append(turn("dumped", outcome="asked", pending={"slot": "tank"}))
        merge(mine, told(theirs))
        assert [each.heard for each in mine.turns()] == ["dumped"]
        assert mine.last_seq() == 2


# ---------------------------------------------------------------- the same happening, logged twice


def entry(minutes: float = 0, kind: str = "use", **fields: Any) -> Entry:
    at = NOON + timedelta(minutes=minutes)
    own = {"activity": "shower", "litres": 7.5} if kind == "use" else {}
    return Entry({"id": new_id(), "kind": kind, "at": at, "heard_at": at, "heard": "", "said": (), **own, **fields})


TWINS = [
    ("a shower told by both", entry(), entry(4, litres=7.9), True),
    ("of different people", entry(person="Ana"), entry(4, person="Joss"), False),
    ("one names the person", entry(person="Ana"), entry(4), True),
    ("of another size", entry(), entry(4, litres=15.0), False),
    ("one of them typical", entry(), entry(4, litres=10.0, estimated=True), True),
    ("another activity", entry(), entry(4, activity="dishes"), False),
    ("an hour apart", entry(), entry(60), False),
    ("dumped grey, both", entry(kind="dump", tank="grey"), entry(3, kind="dump", tank="Grey"), True),
    ("one grey, one black", entry(kind="dump", tank="grey"), entry(3, kind="dump", tank="black"), False),
    (
        "the same reading",
        entry(kind="meter", meter="inlet", litres=157.1),
        entry(2, kind="meter", meter="inlet", litres=157.1),
        True,
    ),
    ("two notes", entry(kind="note", note="a"), entry(1, kind="note", note="a"), False),
]


@pytest.mark.parametrize(("story", "here", "there", "same"), TWINS, ids=[row[0] for row in TWINS])
def test_what_may_be_one_happening(story: str, here: Entry, there: Entry, same: bool) -> None:
    """Within minutes, same kind, object and size, no two people named."""
    assert [(pair.here.id, pair.there.id) for pair in twins([here, there], [there.id])] == (
        [(here.id, there.id)] if same else []
    )


def test_what_one_phone_logged_twice_is_its_own_affair() -> None:
    """Two showers logged here are two showers; so are two that came in together."""
    pair = [entry(), entry(2)]
    assert twins(pair, []) == []
    assert twins(pair, [one.id for one in pair]) == []


def test_each_event_has_one_twin_at_most() -> None:
    """Two showers here and two there are two pairs, not four."""
    here, there = [entry(), entry(6)], [entry(1), entry(7)]
    pairs = twins(sorted([*here, *there], key=lambda one: one.at), [one.id for one in there])
    assert [(pair.here.id, pair.there.id) for pair in pairs] == [(here[0].id, there[0].id), (here[1].id, there[1].id)]


# ---------------------------------------------------------------- through the door


def test_twins_are_shown_and_kept_until_somebody_says(db: Path, tmp_path: Path) -> None:
    """Both count after an import; with --same the later one of the pair is taken back on either device, and only once."""
    other = tmp_path / "other.db"
    for path, minutes in ((db, 0), (other, 3)):
        with Log.open(path) as log:
            log.append(
                turn("shower used 2 gal", NOON + timedelta(minutes=minutes)),
                [event(at=NOON + timedelta(minutes=minutes))],
            )
    first, second = (program("--export", "--db", str(path)).stdout for path in (db, other))
    shown = program("--import", "-", "--db", str(db), stdin=second)
    assert shown.returncode == 0
    assert "Perhaps logged twice" in shown.stdout
    assert "--same" in shown.stdout
    with Log.open(db) as log:
        assert len(counted(log)) == 2
    assert program("--import", "-", "--same", "--db", str(other), stdin=first).returncode == 0
    with Log.open(other) as log:
        assert [one["at"] for one in counted(log)] == [NOON]
    assert (
        program("--import", "-", "--db", str(db), stdin=program("--export", "--db", str(other)).stdout).returncode == 0
    )
    with Log.open(db) as log:
        assert len(counted(log)) == 1


def test_import_says_what_it_did_and_names_a_bad_line(db: Path, tmp_path: Path) -> None:
    """Exit 0 and the counts; exit 1, the file and the line; exit 4 when the file is missing; no control character gets through."""
    filled(db)
    lines = tmp_path / "log.jsonl"
    lines.write_text(json.dumps({**GOOD, "litres": 99}) + "\n")
    assert program("--import", str(lines), "--db", str(db)).stdout == "1 event added, 0 were here already.\n"
    assert program("--import", str(lines), "--db", str(db), "--json").stdout == (
        '{"added": 0, "known": 1, "twins": [], "taken_back": []}\n'
    )
    lines.write_text(json.dumps(GOOD) + "\n" + json.dumps({**GOOD, "kind": "\x1b[2Jflood"}) + "\n")
    done = program("--import", str(lines), "--db", str(db))
    assert (done.returncode, done.stdout) == (1, "")
    assert "line 2" in done.stderr and "Nothing was added" in done.stderr and "\x1b" not in done.stderr
    assert program("--import", str(tmp_path / "none"), "--db", str(db)).returncode == 4
