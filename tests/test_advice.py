"""Ways out of a no: each computed as a what-if, cheapest first, none where nothing is wrong."""

from __future__ import annotations

from datetime import timedelta

import pytest

from state import advice, forecast
from state.outlook import Change
from tests.rigs import DAY, MONDAY, believed, world

NOW = MONDAY + timedelta(hours=8)
UNTIL = NOW + 3 * DAY


def ways(grey: float, **more: object) -> tuple[forecast.MakeIt, list[advice.Way]]:
    own, levels = world(), believed({"grey": grey, "fresh": 100.0})
    for name, value in more.items():
        setattr(own, name, value)
    made = forecast.make_it(own, NOW, UNTIL, (), levels)
    return made, advice.ways_out(own, NOW, UNTIL, made, levels)


def test_no_advice_where_it_lasts() -> None:
    """Safe enough: nothing to do."""
    made, found = ways(5.0)
    assert made.probability >= 0.9 and found == []


def test_every_way_keeps_what_it_promises() -> None:
    """The odds of a way are those of the forecast with its changes, within a thousandth; those that reach safety come first."""
    made, found = ways(50.0)
    assert made.probability < 0.5 and found
    for way in found:
        assert way.probability >= made.probability + 0.02
        if way.changes:
            again = forecast.chance(world(), NOW, UNTIL, way.changes, believed({"grey": 50.0, "fresh": 100.0}))
            assert way.probability == pytest.approx(again, abs=1e-3)
    reach = [way.probability >= 0.895 for way in found]
    assert reach == sorted(reach, reverse=True)
    costs = [way.cost for way, good in zip(found, reach, strict=True) if good]
    assert costs == sorted(costs)


def test_tote_runs_are_as_few_as_do() -> None:
    """With a 20-litre tote: the number proposed reaches the safety, one less does not; a full one weighs 20 kg of water (density of
    water at 20 °C 998.2 kg/m3, IAPWS-95, reference figures) and comes before the tank can be full."""
    own = world()
    own.rig.tote_litres = 20.0
    levels = believed({"grey": 70.0, "fresh": 100.0})
    made = forecast.make_it(own, NOW, UNTIL, (), levels)
    way = next(way for way in advice.ways_out(own, NOW, UNTIL, made, levels) if way.kind == "haul")
    assert way.count is not None and way.count >= 2 and way.at is not None and way.at >= NOW
    assert way.probability >= 0.9
    fewer = forecast.chance(own, NOW, UNTIL, way.changes[:-1], levels)
    assert fewer < 0.9
    assert way.kilograms == pytest.approx(19.96, abs=0.05)
    early = made.tanks["grey"].gives_out["p10"]
    assert early is not None and way.at <= max(early, NOW)


def test_the_last_good_moment_to_dump_is_early_enough() -> None:
    """Until then the odds are at least 90 %; a day later they are not."""
    _, found = ways(80.0)
    way = next(way for way in found if way.kind == "dump")
    levels = believed({"grey": 80.0, "fresh": 100.0})
    assert way.at is not None
    assert forecast.chance(world(), NOW, way.at, (), levels) >= 0.9
    assert forecast.chance(world(), NOW, way.at + DAY, (), levels) < 0.9


def test_a_budget_below_basic_needs_is_no_advice() -> None:
    """Under 7.5 litres a person and day (Sphere Handbook, water supply standard 1) nobody is told to make do."""
    _, found = ways(125.0)
    assert all(way.kind != "budget" for way in found)
    _, found = ways(50.0)
    assert any(way.kind == "budget" and (way.litres or 0) >= 15.0 for way in found)


def test_planned_laundry_can_be_moved() -> None:
    """A load of 40 litres told for tomorrow: leaving it for later is offered, with the odds of its never being."""
    _, found = ways(
        30.0, expected=[{"what": "use", "start": NOW + DAY, "until": None, "activity": "laundry", "litres": 40.0}]
    )
    way = next(way for way in found if way.kind == "move")
    plain = forecast.chance(world(), NOW, UNTIL, (), believed({"grey": 30.0, "fresh": 100.0}))
    assert way.activity == "laundry"
    assert way.probability == pytest.approx(plain, abs=1e-6)


def test_fresh_is_filled_first_while_there_is_a_tap() -> None:
    """On the pump with a tap at hand and fresh the tight tank: filling comes first."""
    own, levels = world(supply="tank"), believed({"fresh": 60.0}, supply="tank")
    own.stay.water = True
    made = forecast.make_it(own, NOW, UNTIL, (), levels)
    found = advice.ways_out(own, NOW, UNTIL, made, levels)
    assert made.binding == "fresh" and found[0].kind == "fill"
    own.stay.water = False
    assert all(way.kind != "fill" for way in advice.ways_out(own, NOW, UNTIL, made, levels))


def test_the_longest_showers_that_do_are_proposed() -> None:
    """Where shorter showers reach the safety, a longer one of the list would not."""
    own, levels = world(), believed({"grey": 38.0, "fresh": 100.0})
    own.flow_litres_per_minute = 4.0
    own.habits.uses["shower"] = [own.habits.use_days * 8.0, own.habits.use_days * 0.5]
    made = forecast.make_it(own, NOW, UNTIL, (), levels)
    way = next(way for way in advice.ways_out(own, NOW, UNTIL, made, levels) if way.kind == "minutes")
    assert way.minutes is not None
    longer = forecast.chance(own, NOW, UNTIL, (Change("minutes", "shower", minutes=way.minutes + 0.5),), levels)
    assert longer <= way.probability


def test_fresh_can_be_fetched_where_there_is_no_tap() -> None:
    """On the pump without a tap: totes of fresh are offered, enough of them, and never waste totes."""
    own, levels = world(supply="tank"), believed({"fresh": 70.0}, supply="tank")
    own.stay.water = False
    made = forecast.make_it(own, NOW, UNTIL, (), levels)
    way = next(way for way in advice.ways_out(own, NOW, UNTIL, made, levels) if way.kind == "carry")
    assert way.tank == "fresh" and way.probability >= 0.9
    assert forecast.chance(own, NOW, UNTIL, way.changes[:-1], levels) < 0.9
