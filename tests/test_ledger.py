"""Double entry: nothing is lost, order of telling does not matter, a snapshot is the world."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from state import figures
from state.entry import Entry
from state.log import history
from state.water import belief, fold, ledger, passing
from state.world import World
from tests.examples import examples
from tests.folding import Story, event, hour
from tests.logbook import ROOT

TANKS = ("fresh", "grey", "black", "galley")
ACTIVITIES = ("shower", "dishes", "toilet", "drinking", "cooking", "outside", "rock tumbling")


def random_fields(random_: random.Random, kind: str, reading: list[float]) -> dict[str, Any]:
    litres = round(random_.uniform(0, 60), 2)
    tank = random_.choice(TANKS)
    if kind == "meter":
        reading[0] = max(0.0, reading[0] + random_.choice([litres, litres, -2 * litres, 0.0]))
        return {
            "litres": reading[0],
            "meter": random_.choice(["inlet", "inlet", "rinse"]),
            "reset_before": random_.random() < 0.05,
        }
    if kind == "use":
        fields: dict[str, Any] = {
            "activity": random_.choice(ACTIVITIES),
            "litres": litres / 6,
            "estimated": random_.random() < 0.4,
            "person": random_.choice([None, "Ana", "Joss"]),
        }
        if random_.random() < 0.1:
            fields |= {"from_litres": reading[0], "to_litres": reading[0] + litres / 6}
        return fields
    if kind == "level":
        return random_.choice(
            [{"tank": tank, "fraction": round(random_.random(), 2)}, {"tank": tank, "litres": litres}]
        ) | {"basis": random_.choice(["seen", "sensor"])}
    return {
        "fill": {"tank": "fresh", "litres": random_.choice([None, litres]), "to_full": random_.random() < 0.6},
        "dump": {"tank": tank if tank != "fresh" else "grey"},
        "haul": {"tank": "grey", "litres": litres},
        "rinse": {"tank": "black", "litres": litres},
        "valve": {"tank": random_.choice(["grey", "black"]), "open": random_.random() < 0.5},
        "supply": {"source": random_.choice(["hookup", "tank"])},
        "arrive": {"site": "Cedar Flat", "water": random_.choice([True, False, None]), "sewer": None},
        "party": {"people": random_.randint(0, 5), "until": random_.choice([None, hour(40)])},
        "rig": {"what": "tank", "tank": tank, "tank_kind": tank if tank != "galley" else "grey", "litres": 60 + litres,
                "gone": random_.random() < 0.1},
    }.get(kind, {})  # fmt: skip


KINDS = (
    ["use"] * 12 + ["meter"] * 5 + ["level", "fill", "dump", "haul", "rinse", "valve", "supply", "arrive", "depart", "party"]
    + ["away", "back", "rig", "meter_reset"]
)  # fmt: skip


def random_history(seed: int, size: int) -> list[Entry]:
    random_ = random.Random(seed)
    reading, hours, entries = [0.0], 0.0, list(Story().entries)
    for _ in range(size):
        hours += random_.choice([0.0, 0.2, 1.0, 6.0])
        kind = random_.choice(KINDS)
        entries.append(event(kind, hours, len(entries) + 1, **random_fields(random_, kind, reading)))
    return entries


def program_of(code: str, **env: str) -> str:
    """What a process of its own prints."""
    told = {**os.environ, "PYTHONPATH": str(ROOT), **env}
    return subprocess.run(
        [sys.executable, "-c", code], env=told, cwd=ROOT, capture_output=True, check=True, text=True
    ).stdout


def levels(world: World) -> dict[str, float]:
    own = passing.belief_of(world)
    return {key: own.mean[own.at[passing.level_of(key)]] for key in world.rig.tanks}


def test_conservation_over_ten_thousand_random_events() -> None:
    """The sum over all accounts stays zero to 1e-9 litres."""
    world = fold.fold(random_history(7, 10_000))
    assert world.events > 10_000
    assert abs(ledger.total(world)) < 1e-9 * max(1.0, max(abs(each) for each in world.balances.values()) / 1000)
    assert not [finding for finding in world.findings if finding.reference == "unusable-event"]


@settings(max_examples=examples(60), deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 120))
def test_any_history_conserves_and_the_belief_is_the_balance(seed: int, size: int) -> None:
    """Nothing raises, nothing is lost, the middle of every level is what the ledger says, and every variance is one."""
    world = fold.fold(random_history(seed, size))
    assert abs(ledger.total(world)) < 1e-7
    for key, level in levels(world).items():
        assert abs(world.balances[key] - level) < 1e-6
    own = passing.belief_of(world)
    for place, row in enumerate(own.cov):
        assert row[place] >= 0.0
        for other, value in enumerate(row):
            assert abs(value - own.cov[other][place]) < 1e-6
            assert value * value <= row[place] * own.cov[other][other] * (1 + 1e-6) + 1e-6
    assert not [finding for finding in world.findings if finding.reference == "unusable-event"]


@settings(max_examples=examples(30), deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 80))
def test_postings_add_up_to_the_balances(seed: int, size: int) -> None:
    """Every posting is positive and between two accounts; replayed on paper they give the same balances."""
    book: list[Any] = []
    world = fold.fold(random_history(seed, size), book=book)
    paper: dict[str, float] = {}
    for posting in book:
        assert posting.litres > 0 and posting.source != posting.target
        paper[posting.source] = paper.get(posting.source, 0.0) - posting.litres
        paper[posting.target] = paper.get(posting.target, 0.0) + posting.litres
    for account, balance in world.balances.items():
        assert abs(paper.get(account, 0.0) - balance) < 1e-6


@settings(max_examples=examples(30), deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 80), st.integers(0, 80))
def test_a_snapshot_taken_anywhere_continues_to_the_same_world(seed: int, size: int, cut: int) -> None:
    """Written down as JSON and taken up again after any event: the same world at the end, to the last bit."""
    entries = random_history(seed, size)
    whole = fold.fold(entries)
    part = fold.fold(entries[:cut])
    data = json.loads(json.dumps(fold.snapshot(part)))
    again = fold.restore(data)
    assert again == part and fold.snapshot(again) == data
    assert fold.fold(entries[cut:], again) == whole


@settings(max_examples=examples(30), deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 60))
def test_backdated_events_fold_as_if_told_in_order(seed: int, size: int) -> None:
    """Telling the same happenings in any order gives the same ledger."""
    entries = random_history(seed, size)
    # no two at the same moment: among those the order of telling decides
    spaced = [entry.replaced({"at": hour(index * 0.5)}) for index, entry in enumerate(entries)]
    shuffled = spaced[:]
    random.Random(seed).shuffle(shuffled)
    retold = [Entry(entry.fields(), seq, seq) for seq, entry in enumerate(shuffled, 1)]
    one, two = fold.fold(history.effective(spaced)), fold.fold(history.effective(retold))
    assert one.balances == two.balances and one.filter == two.filter


WORLD = """
import json
from state.water import fold
from tests.test_ledger import random_history
print(json.dumps(fold.snapshot(fold.fold(random_history(5, 600)))))
"""


def test_the_same_events_make_the_same_world_in_every_process() -> None:
    """To the last bit and in the same order, whatever order sets have there: a world kept by one process is taken up by the next."""
    told = [program_of(WORLD, PYTHONHASHSEED=seed) for seed in ("1", "2", "3", "4")]
    assert '"typicals"' in told[0]
    assert told[1:] == told[:-1]


def test_replay_equals_live() -> None:
    """Advancing event by event, asking for the belief in between, changes nothing."""
    entries = random_history(3, 200)
    live = World()
    for entry in entries:
        fold.advance(live, entry)
        belief.believe(live, entry.at)
    assert live == fold.fold(entries)


def test_asking_what_is_believed_changes_nothing() -> None:
    """`believe` works on a copy, however far ahead it looks."""
    world = fold.fold(random_history(5, 150))
    before = json.dumps(fold.snapshot(world))
    belief.believe(world, hour(500))
    assert json.dumps(fold.snapshot(world)) == before


def test_an_unusable_event_becomes_a_finding() -> None:
    """A hand-made event without its fields does not stop the fold."""
    broken = Entry({"id": "x" * 12, "kind": "dump", "at": hour(1)}, 99, 99)
    world = fold.fold([*Story().entries, broken, event("use", 2, 100, activity="shower", litres=5.0)])
    assert [finding.reference for finding in world.findings] == ["unusable-event"]
    assert world.open["hookup"].logged == 5.0


def test_a_thousand_events_fold_in_a_fraction_of_a_second() -> None:
    """At least 5,000 events a second on a slow machine; measured here with a wide margin."""
    import time

    entries = random_history(11, 3000)
    began = time.process_time()
    fold.fold(entries)
    assert len(entries) / (time.process_time() - began) > 2000


def test_a_meter_that_is_never_read_does_not_make_the_world_grow() -> None:
    """Uses that drained alike are kept as their sum, those of which nobody said what for as well; the open stretch holds all their litres."""
    story = Story()
    for day in range(40):
        for place, activity in enumerate(("shower", "dishes", "toilet", "other")):
            story.use(24 * day + place + 1, 3.0 + place + day % 3, activity, estimated=day % 2 == 1)
        if day == 20:
            story.tell("dump", 24 * day + 6, tank="grey")
    interval = story.world().open["hookup"]
    uses = [entry for entry in story.entries if entry.kind == "use"]
    assert len(interval.entries) <= 4 * 2 * 2  # activities, estimated or not, before and after the dump
    assert sum(one.count for one in interval.entries) == len(uses)
    assert sum(one.litres for one in interval.entries) == pytest.approx(sum(use.litres for use in uses))
    assert all(sum(part for _, part, _ in one.parts) == pytest.approx(1.0) for one in interval.entries)


def test_uses_kept_as_their_sum_give_way_as_they_would_one_by_one() -> None:
    """Typical showers and dishes as told come to 20 litres too many: what was typical shrinks by that, on both sides of a dump.

    By pencil: 10 x 6 litres of showers (typical) and 10 x 2 of dishes (told) before the reading of 60: 20 are over, so the showers were
    40. Half of them ran off with the dump, so half of what they give back comes out of the tank; what a dump leaves behind is in it besides.
    """
    story = Story()
    for place in range(10):
        story.use(1 + place, 6.0, "shower", estimated=True)
        story.use(1.5 + place, 2.0, "dishes")
        if place == 4:
            story.tell("dump", 5.8, tank="grey")
    story.meter(12, 60.0)
    assert story.world().balances["grey"] == pytest.approx(figures.LEFTOVER * 136.0 + 5 * 4.0 + 5 * 2.0)
