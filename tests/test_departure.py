"""Leaving, as the conversation books it: challenged while anything is out, open or running, and asked about again on arrival."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from assistant.interpret import trip
from assistant.interpret.context import Context
from assistant.scene import AskBack, Scene
from grammar.intents import Depart
from state.care import checklist
from state.entry import Entry
from state.water.fold import advance, fold
from state.world import World

T0 = datetime(2026, 6, 9, 8, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
GEAR = ("regulator", "hose", "splitter", "meter", "chocks")


def entry(kind: str, at: datetime = T0, **fields: Any) -> Entry:
    return Entry(
        {"id": f"{kind}{at:%d%H%M%S}", "kind": kind, "at": at, "heard_at": at, "heard": "", "said": (), **fields}
    )


def leave(world: World, now: datetime, yes: bool) -> tuple[list[dict[str, Any]], list[str]]:
    """Says "we left", and answers every question with yes (or gives up at the first); gives what is booked and what was asked."""
    confirmed: set[str] = set()
    asked: list[str] = []
    while True:
        try:
            return trip.depart(Depart(), Context(Scene(world, now, list), None, frozenset(confirmed))), asked
        except AskBack as question:
            asked.append(question.text)
            if not yes or len(asked) > 5:
                return [], asked
            confirmed.add(question.slot.partition("?")[2])


def start() -> World:
    return fold([
        entry("rig", what="tank", tank="grey", tank_kind="grey", litres=100.0, gone=False),
        entry("rig", what="tank", tank="black", tank_kind="black", litres=100.0, gone=False),
        entry("arrive", site="Otter Flats", water=True, sewer=True, until=None),
    ])  # fmt: skip


def test_clean_departure_is_booked_without_a_word() -> None:
    """Nothing out, nothing open: no question."""
    drafts, asked = leave(start(), T0 + MINUTE, yes=False)
    assert [draft["kind"] for draft in drafts] == ["depart"]
    assert asked == []


def test_each_obstacle_is_asked_about_and_a_no_books_nothing() -> None:
    """Hose out, black open, rinse running: three questions, each by name; not answered with yes, nothing is booked."""
    world = start()
    for event in (
        entry("gear", T0 + MINUTE, item="hose", where="out"),
        entry("valve", T0 + MINUTE, tank="black", open=True),
        entry("rinse", T0 + MINUTE, tank="black", litres=10.0, minutes=9.0, estimated=True),
    ):
        advance(world, event)
    drafts, asked = leave(world, T0 + 2 * MINUTE, yes=False)
    assert drafts == [] and len(asked) == 1
    drafts, asked = leave(world, T0 + 2 * MINUTE, yes=True)
    assert [draft["kind"] for draft in drafts] == ["depart"]
    assert len(asked) == 3
    assert "hose" in asked[0] and "black" in asked[1] and "rinse" in asked[2]


@pytest.mark.parametrize("seed", range(200))
def test_no_order_of_steps_lets_a_departure_with_gear_out_pass_in_silence(seed: int) -> None:
    """200 random courses over several stays: a departure is booked without a question exactly when nothing is out or open, and what was
    out at a departure that was confirmed all the same is what is asked after at the next place."""
    chance = random.Random(seed)
    world, now = start(), T0
    out: set[str] = set()
    open_valves: set[str] = set()
    for _ in range(40):
        now += MINUTE
        word = chance.choice(["gear", "gear", "gear", "valve", "leave"])
        if word == "gear":
            item, where = chance.choice(GEAR), chance.choice(["out", "stowed", "lost"])
            (out.add if where == "out" else out.discard)(item)
            advance(world, entry("gear", now, item=item.title(), where=where))
        elif word == "valve":
            tank, is_open = chance.choice(["grey", "black"]), chance.random() < 0.4
            (open_valves.add if is_open else open_valves.discard)(tank)
            advance(world, entry("valve", now, tank=tank, open=is_open))
        else:
            silent, asked = leave(world, now, yes=False)
            assert bool(silent) == (not out and not open_valves)
            assert bool(asked) == bool(out or open_valves)
            drafts, questions = leave(world, now, yes=True)
            assert drafts and len(questions) == bool(out) + bool(open_valves)
            for item in out:
                assert any(item in question for question in questions)
            advance(world, entry("depart", now))
            now += MINUTE
            advance(
                world,
                entry(
                    "arrive", now, site=chance.choice(["Cedar Flat", "Harbor Lane"]), water=True, sewer=True, until=None
                ),
            )
            open_valves.clear()
            assert set(checklist.left_behind(world)) == out
