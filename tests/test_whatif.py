"""What if: each change works in its own direction, on the tanks it concerns, and nothing is recorded."""

from __future__ import annotations

from copy import deepcopy
from datetime import timedelta

import pytest

from state.ahead import altered, forecast, whatif
from state.ahead.outlook import Change
from state.habits.typical import typical
from tests.rigs import DAY, MONDAY, believed, world

NOW = MONDAY + timedelta(hours=8)
UNTIL = NOW + 3 * DAY


def test_nothing_of_the_world_changes() -> None:
    """A comparison leaves world and belief as they were."""
    own, levels = world(), believed({"grey": 40.0})
    before = deepcopy(own)
    whatif.compare(own, NOW, UNTIL, (Change("skip", "shower"), Change("party", people=2, more=True)), levels)
    assert own == before


def test_the_present_course_is_the_plain_forecast() -> None:
    """And the gain is the difference of the two chances."""
    own, levels = world(), believed({"grey": 40.0})
    both = whatif.compare(own, NOW, UNTIL, (Change("skip", "shower"),), levels)
    assert both.present == forecast.make_it(own, NOW, UNTIL, (), levels)
    assert both.gain == pytest.approx(both.changed.probability - both.present.probability)
    assert both.gain > 0.05


def test_skipping_showers_spares_grey_and_not_black() -> None:
    """Showers drain to grey: black's odds and level stay; grey's level falls by what showers would have been."""
    own, levels = world(), believed({"grey": 40.0, "black": 100.0})
    both = whatif.compare(own, NOW, UNTIL, (Change("skip", "shower"),), levels)
    assert both.changed.tanks["black"].level.mean == pytest.approx(both.present.tanks["black"].level.mean)
    spared = both.present.tanks["grey"].level.mean - both.changed.tanks["grey"].level.mean
    cuts = altered.Cuts(own, own.habits)
    showers = cuts.litres_a_day("shower") * 2**0.88 * 3
    assert spared == pytest.approx(showers, rel=0.05)


def test_minutes_are_weighed_against_the_usual_shower() -> None:
    """At 4 litres a minute, half the usual shower's time saves half of what skipping saves; longer showers than usual cost."""
    own, levels = world(), believed({"grey": 40.0})
    own.flow_litres_per_minute = 4.0
    usual = typical(own, "shower").mean / 4.0
    skip = whatif.compare(own, NOW, UNTIL, (Change("skip", "shower"),), levels)
    half = whatif.compare(own, NOW, UNTIL, (Change("minutes", "shower", minutes=usual / 2),), levels)
    longer = whatif.compare(own, NOW, UNTIL, (Change("minutes", "shower", minutes=usual * 2),), levels)

    def saved(one: whatif.WhatIf) -> float:
        return one.present.tanks["grey"].level.mean - one.changed.tanks["grey"].level.mean

    assert saved(half) == pytest.approx(saved(skip) / 2, rel=0.01)
    assert longer.gain < 0


def test_a_habit_changes_only_for_its_time() -> None:
    """Skipping for one day of three saves a third, about."""
    own, levels = world(), believed({"grey": 40.0})
    day = whatif.compare(own, NOW, UNTIL, (Change("skip", "shower", start=NOW, until=NOW + DAY),), levels)
    all_ = whatif.compare(own, NOW, UNTIL, (Change("skip", "shower"),), levels)
    saved = [one.present.use_litres["p50"] - one.changed.use_litres["p50"] for one in (day, all_)]
    assert saved[0] == pytest.approx(saved[1] / 3, rel=0.1)


def test_own_log_tells_how_much_an_activity_is() -> None:
    """A household that showers for 15 of its 20 litres a person-equivalent gains more by skipping than one that showers for 3."""
    gains = []
    for litres in (3.0, 15.0):
        own = world()
        own.habits.use_days = 30.0
        own.habits.uses["shower"] = [30.0 * litres, 30.0]
        gains.append(whatif.compare(own, NOW, UNTIL, (Change("skip", "shower"),), believed({"grey": 50.0})).gain)
    assert gains[1] > gains[0] + 0.1


def test_no_habit_can_bring_use_below_nothing() -> None:
    """However large the skipped parts, some use is left."""
    own = world()
    own.habits.use_days = 30.0
    own.habits.uses = {name: [30.0 * 30.0, 30.0] for name in ("shower", "dishes", "toilet")}
    changes = tuple(Change("skip", name) for name in ("shower", "dishes", "toilet"))
    made = forecast.make_it(own, NOW, UNTIL, changes, believed({"grey": 40.0}))
    assert made.use_litres["p50"] > 0


def test_leaving_a_day_late_moves_the_sewer_away() -> None:
    """Harbor Lane's sewer is reached a day later: the odds of getting there fall."""
    own, levels = world(until=NOW + 2 * DAY), believed({"grey": 60.0})
    own.stops = [{"site": "Harbor Lane", "start": NOW + 2 * DAY, "until": NOW + 9 * DAY, "water": True, "sewer": True}]
    on_time = forecast.chance(own, NOW, NOW + 5 * DAY, (), levels)
    late = forecast.chance(own, NOW, NOW + 5 * DAY, (Change("late", until=NOW + 3 * DAY),), levels)
    assert late < on_time - 0.1


def test_runway_comparison_counts_days() -> None:
    """Without showers the first tank gives out later; with two guests sooner."""
    own, levels = world(), believed({"grey": 40.0})
    spared = whatif.compare_runway(own, NOW, (Change("skip", "shower"),), levels)
    guests = whatif.compare_runway(own, NOW, (Change("party", people=2, more=True),), levels)
    assert spared.gain_days is not None and spared.gain_days > 0.2
    assert guests.gain_days is not None and guests.gain_days < -0.5


def test_half_as_much_water_halves_the_use() -> None:
    """A share of all use is that share, and of every tank that fills."""
    own, levels = world(), believed({"grey": 40.0, "black": 100.0})
    both = whatif.compare(own, NOW, UNTIL, (Change("share", count=0.5),), levels)
    assert both.changed.use_litres["p50"] == pytest.approx(both.present.use_litres["p50"] / 2, rel=0.05)
    assert both.changed.tanks["black"].level.mean < both.present.tanks["black"].level.mean


def test_showers_as_often_as_now_change_nothing_and_half_as_often_save_half() -> None:
    """So many a day are weighed against how often it is done now; one person's habit counts for one of those aboard."""
    own, levels = world(), believed({"grey": 40.0})
    cuts = altered.Cuts(own, own.habits)
    now = cuts.litres_a_day("shower") / typical(own, "shower").mean

    def saved(change: Change) -> float:
        one = whatif.compare(own, NOW, UNTIL, (change,), levels)
        return one.present.tanks["grey"].level.mean - one.changed.tanks["grey"].level.mean

    skip = saved(Change("skip", "shower"))
    assert saved(Change("often", "shower", count=now)) == pytest.approx(0.0, abs=1e-6)
    assert saved(Change("often", "shower", count=now / 2)) == pytest.approx(skip / 2, rel=0.01)
    alone = saved(Change("often", "shower", count=now / 2, people=1))
    assert 0 < alone < skip / 2
    assert saved(Change("often", "shower", count=now * 2)) < 0
