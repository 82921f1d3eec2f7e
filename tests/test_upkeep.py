"""Upkeep: due by days and by metered litres, own intervals, snooze, and the one line a day."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from state.care import upkeep
from state.entry import Entry
from state.water.round import HANDLERS
from state.world import World

T0 = datetime(2026, 6, 9, 8, tzinfo=UTC)
DAY = timedelta(days=1)


def take(world: World, kind: str, at: datetime = T0, **fields: object) -> None:
    full = {"every_days": None, "every_litres": None, "drop": False, "snooze_until": None} if kind == "upkeep" else {}
    HANDLERS[kind](
        world, Entry({"id": "x", "kind": kind, "at": at, "heard_at": at, "heard": "", "said": (), **full, **fields})
    )


def row(world: World, now: datetime, item: str) -> upkeep.Due:
    found = upkeep.one(world, now, item)
    assert found is not None
    return found


def test_filter_is_due_three_months_after_it_was_changed() -> None:
    """90 days by common practice, counted from the change."""
    world = World()
    take(world, "service", item="water_filter")
    found = row(world, T0 + 10 * DAY, "water_filter")
    assert (found.due, found.by, found.standing) == (T0 + 90 * DAY, "days", "later")
    assert row(world, T0 + 80 * DAY, "water_filter").standing == "soon"
    assert row(world, T0 + 91 * DAY, "water_filter").standing == "overdue"


def test_filter_is_due_by_the_litres_through_it_when_they_come_first() -> None:
    """1000 gal by common practice: 2000 L in 20 days leave 1785 L, at that pace 17.85 days."""
    world = World()
    take(world, "service", item="water_filter")
    world.meters["inlet"].litres_through = 2000.0
    found = row(world, T0 + 20 * DAY, "water_filter")
    assert found.by == "litres"
    assert found.litres_left == pytest.approx(1785.0)
    assert found.due is not None
    assert (found.due - T0).total_seconds() / 86400 == pytest.approx(20 + 17.85, abs=0.01)


def test_litres_count_from_the_change_not_from_the_first_reading() -> None:
    """What ran before the change does not count."""
    world = World()
    world.meters["inlet"].litres_through = 3000.0
    take(world, "service", item="water_filter")
    world.meters["inlet"].litres_through = 3100.0
    assert row(world, T0 + 5 * DAY, "water_filter").litres_since == pytest.approx(100.0)


def test_litres_past_their_end_are_overdue_now() -> None:
    """More through than the interval: overdue, with a date that has passed."""
    world = World()
    take(world, "service", item="water_filter")
    world.meters["inlet"].litres_through = 4000.0
    found = row(world, T0 + 20 * DAY, "water_filter")
    assert found.standing == "overdue"
    assert found.due is not None and found.due <= T0 + 20 * DAY


def test_what_was_never_done_has_no_date() -> None:
    """The tool does not know when, and does not make a date up."""
    found = row(World(), T0, "sanitise")
    assert (found.standing, found.due, found.last) == ("never", None, None)


def test_own_interval_replaces_the_usual_one_and_counts_from_its_telling() -> None:
    """Every 30 days, said today and never done before: due in 30 days."""
    world = World()
    take(world, "upkeep", item="hose", every_days=30.0)
    assert row(world, T0 + DAY, "hose").due == T0 + 30 * DAY
    take(world, "service", T0 + 10 * DAY, item="Hose")
    assert row(world, T0 + 11 * DAY, "hose").due == T0 + 40 * DAY


def test_own_item_with_own_words_is_kept() -> None:
    """ "Check the wet-bay hoses every 90 days" is an item like any other."""
    world = World()
    take(world, "upkeep", item="Check the wet-bay hoses", every_days=90.0)
    assert "check the wet-bay hoses" in [one.item for one in upkeep.due(world, T0)]


def test_dropped_item_is_gone_until_told_again() -> None:
    """No more reminders for it; a new interval takes it up again."""
    world = World()
    take(world, "upkeep", item="hose", drop=True)
    assert upkeep.one(world, T0, "hose") is None
    take(world, "upkeep", item="hose", every_days=10.0)
    assert row(world, T0, "hose").due == T0 + 10 * DAY


def test_snoozed_item_is_still_until_then_and_comes_back() -> None:
    """Put off for a week: said nothing for a week, then overdue again; done, it is forgotten."""
    world = World()
    take(world, "service", item="water_filter")
    now = T0 + 100 * DAY
    take(world, "upkeep", now, item="water_filter", snooze_until=now + 7 * DAY)
    assert row(world, now + DAY, "water_filter").standing == "snoozed"
    assert upkeep.unasked(world, now + DAY, None) == []
    assert row(world, now + 8 * DAY, "water_filter").standing == "overdue"
    take(world, "service", now + DAY, item="water_filter")
    assert row(world, now + 2 * DAY, "water_filter").standing == "later"


def test_heater_items_need_a_heater() -> None:
    """No anode is due where no heater was told."""
    world = World()
    assert "anode" not in upkeep.items(world)
    world.rig.heater_litres = 22.0
    assert "anode" in upkeep.items(world)


def test_most_pressing_stands_first_and_unknown_ones_last() -> None:
    """Overdue before later, never-done at the end."""
    world = World()
    take(world, "service", T0 - 100 * DAY, item="water_filter")
    take(world, "service", item="sanitise")
    standings = [one.standing for one in upkeep.due(world, T0)]
    assert standings[:2] == ["overdue", "later"]
    assert set(standings[2:]) == {"never"}


@given(st.lists(st.integers(0, 24 * 60), min_size=1, max_size=12))
def test_unasked_line_comes_at_most_once_a_day(minutes: list[int]) -> None:
    """However often something is said in a day, overdue upkeep is brought up once."""
    world = World()
    take(world, "service", T0 - 100 * DAY, item="water_filter")
    shown: datetime | None = None
    days: list[object] = []
    for minute in sorted(minutes):
        now = T0 + timedelta(minutes=minute)
        if upkeep.unasked(world, now, shown):
            shown = now
            days.append(now.date())
    assert len(days) == len(set(days))
    assert days
