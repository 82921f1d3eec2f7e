"""Ways out of a no: each computed as a what-if, cheapest first, none where nothing is wrong."""

from __future__ import annotations

import random
from datetime import datetime, timedelta

import pytest

from state.ahead import advice, forecast
from state.ahead.outlook import Change
from state.ahead.runs import Way
from state.habits.typical import typical
from state.water.belief import Belief
from state.world import World
from tests.rigs import DAY, MONDAY, believed, world

NOW = MONDAY + timedelta(hours=8)
UNTIL = NOW + 3 * DAY


def ways(grey: float, **more: object) -> tuple[forecast.MakeIt, list[Way]]:
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


def two_sides() -> tuple[World, Belief, forecast.MakeIt, list[Way]]:
    """On the pump at a site without a tap, with a 30-litre tote: grey nearly full, fresh nearly empty."""
    own, levels = world(supply="tank"), believed({"grey": 75.0, "fresh": 75.0}, supply="tank")
    own.stay.water, own.rig.tote_litres = False, 30.0
    made = forecast.make_it(own, NOW, UNTIL, (), levels)
    return own, levels, made, advice.ways_out(own, NOW, UNTIL, made, levels)


def test_when_both_sides_fail_one_way_carries_both() -> None:
    """Grey and fresh both give out: the errands for both are one way, its odds the forecast's with all of them; neither side alone will
    do, and no errand for one side is called a way out that reaches."""
    own, levels, made, found = two_sides()
    assert all(made.tanks[name].probability < 0.5 for name in ("grey", "fresh"))
    way = next(way for way in found if way.kind == "joined")
    assert {part.kind for part in way.parts} >= {"carry"} and way.probability >= 0.895
    assert way.probability == pytest.approx(forecast.chance(own, NOW, UNTIL, way.changes, levels), abs=1e-6)
    for part in way.parts:
        assert forecast.chance(own, NOW, UNTIL, part.changes, levels) < 0.5
    assert all(way.kind not in ("haul", "carry", "dump", "fill") or way.probability < 0.5 for way in found)


def test_the_budget_is_one_for_both_sides() -> None:
    """The lower of what grey and fresh can bear: with only one of them tight the budget would be larger."""
    own, _, made, _ = two_sides()
    both = made.budget_litres_per_day
    easier = [believed({"grey": g, "fresh": f}, supply="tank") for g, f in ((5.0, 75.0), (75.0, 145.0))]
    one = [forecast.make_it(own, NOW, UNTIL, (), each).budget_litres_per_day for each in easier]
    assert both is not None and all(each is not None and both <= each + 1e-6 for each in one)


def test_no_trip_is_told_that_is_not_needed() -> None:
    """Of every way that reaches the safety, each trip, dump or fill left out alone takes it below."""
    own, levels, made, found = two_sides()
    for way in (way for way in found if way.probability >= made.safety and (way.moments or way.parts)):
        errands = [change for change in way.changes if change.what in ("haul", "dump", "fill")]
        habits = [change for change in way.changes if change not in errands]
        for left_out in errands:
            fewer = [change for change in errands if change is not left_out]
            per_kind = [change.tank for change in errands]
            if per_kind.count(left_out.tank) > 1:
                assert forecast.chance(own, NOW, UNTIL, (*habits, *fewer), levels) < made.safety


@pytest.mark.parametrize("tote", [20.0, 60.0, 120.0])
def test_a_tote_run_takes_no_more_than_is_there_by_then(tote: float) -> None:
    """However large the tote: at each run the tank is believed to hold that much (fresh: to have room for it), the runs before counted."""
    own, levels = world(supply="tank"), believed({"grey": 40.0, "fresh": 85.0}, supply="tank")
    own.stay.water, own.rig.tote_litres = False, tote
    made = forecast.make_it(own, NOW, UNTIL + 2 * DAY, (), levels)
    runs = 0
    for way in advice.ways_out(own, NOW, UNTIL + 2 * DAY, made, levels):
        for part in way.parts or (way,):
            if part.kind not in ("haul", "carry"):
                continue
            for place, change in enumerate(part.changes):
                assert change.start is not None and change.litres is not None
                then = forecast.make_it(own, NOW, change.start, part.changes[:place], levels).tanks[part.tank or ""]
                level = then.level.quantile(0.5)
                there = level if part.kind == "haul" else then.now.capacity.mean - level
                assert change.litres <= there + 0.2
                runs += 1
    assert runs > 0


def test_fresh_is_filled_before_the_tap_is_left() -> None:
    """Leaving the tap tomorrow evening for two dry days: fill then, not now; filled now the odds are no better."""
    own, levels = (
        world(supply="tank", until=NOW + 1.4 * DAY),
        believed({"fresh": 100.0}, supply="tank", share={"grey": 0.4}),
    )
    own.stay.water = True
    made = forecast.make_it(own, NOW, UNTIL + DAY, (), levels)
    way = next(way for way in advice.ways_out(own, NOW, UNTIL + DAY, made, levels) if way.kind == "fill")
    assert way.moments == (NOW + 1.4 * DAY,) and way.here
    now_filled = forecast.chance(own, NOW, UNTIL + DAY, (Change("fill", start=NOW),), levels)
    assert way.probability > now_filled


def test_a_sewer_at_hand_makes_a_dump_easy() -> None:
    """At a site with a sewer and the valve shut, the dump is here, not a drive, and comes first."""
    own, levels = world(), believed({"grey": 100.0})
    own.stay.sewer = True
    made = forecast.make_it(own, NOW, UNTIL, (), levels)
    way = advice.ways_out(own, NOW, UNTIL, made, levels)[0]
    assert way.kind == "dump" and way.here and way.probability >= 0.9


def test_as_few_showers_off_the_rig_as_do() -> None:
    """The number of showers taken elsewhere reaches the safety; one fewer does not."""
    own, levels = world(), believed({"grey": 38.0})
    own.habits.uses["shower"] = [own.habits.use_days * 12.0, own.habits.use_days * 1.5]
    made = forecast.make_it(own, NOW, UNTIL, (), levels)
    way = next(way for way in advice.ways_out(own, NOW, UNTIL, made, levels) if way.kind == "off")
    each = way.changes[0].litres
    assert way.probability >= 0.9 and way.count is not None and each is not None
    usual = typical(own, "shower").mean
    times = way.count / (1.0 - each / usual)
    fewer = Change("amount", "shower", litres=usual * (1.0 - (way.count - 1) / times))
    assert forecast.chance(own, NOW, UNTIL, (fewer,), levels) < 0.9


def test_thrift_and_errands_join_where_neither_does_it() -> None:
    """A long stay beyond what six totes carry: leaving out showers beside fewer trips is offered, and its odds are the forecast's."""
    own, levels = world(), believed({"grey": 80.0})
    own.rig.tote_litres = 20.0
    own.habits.uses["shower"] = [own.habits.use_days * 10.0, own.habits.use_days]
    until = NOW + 8 * DAY
    made = forecast.make_it(own, NOW, until, (), levels)
    found = advice.ways_out(own, NOW, until, made, levels)
    way = next(way for way in found if way.parts and way.parts[0].kind in ("skip", "minutes", "off"))
    assert way.probability == pytest.approx(forecast.chance(own, NOW, until, way.changes, levels), abs=1e-6)


def test_one_tank_asked_about_has_a_budget_of_its_own() -> None:
    """Asked about black, the budget is black's, not that of grey, which gives out first."""
    own, levels = world(), believed({"grey": 100.0, "black": 106.0}, share={"grey": 0.85, "black": 0.1})
    made = forecast.make_it(own, NOW, UNTIL, (), levels)
    own_budget = [way.litres for way in advice.ways_out(own, NOW, UNTIL, made, levels, "black") if way.kind == "budget"]
    desk = advice.Desk.of(own, NOW, made, levels, "black")
    budget = advice.budget_of(desk)
    assert budget is not None and made.budget_litres_per_day is not None and budget >= made.budget_litres_per_day
    assert all(litres == budget for litres in own_budget)


def random_question(rng: random.Random) -> tuple[World, Belief, datetime, datetime]:
    """Any supply, party, tap, sewer, tote, stop ahead, planned laundry, levels and end."""
    now = MONDAY + timedelta(hours=rng.uniform(0, 24))
    until = rng.choice([None, now + rng.uniform(-1, 6) * DAY])
    own = world(supply=rng.choice(["hookup", "tank"]), until=until, people=rng.choice([1, 2, 4]))
    own.stay.water, own.stay.sewer = rng.choice([True, False, None]), rng.choice([True, False, None])
    own.rig.tote_litres = rng.choice([None, 20.0, 60.0, 300.0])
    if rng.random() < 0.5:
        start = now + rng.uniform(0.2, 3) * DAY
        stop = {"site": "Cedar Flat", "start": start, "until": rng.choice([None, start + 2 * DAY])}
        own.stops = [{**stop, "water": rng.choice([True, False, None]), "sewer": rng.choice([True, False, None])}]
    if rng.random() < 0.3:
        own.expected = [{"what": "use", "start": now + DAY, "until": None, "activity": "laundry", "litres": 40.0}]
    levels = believed(
        {"grey": rng.uniform(0, 140), "fresh": rng.uniform(0, 150), "black": rng.uniform(0, 110)},
        supply=own.supply, share_sd=rng.choice([0.0, 0.1]), capacity_sd=rng.choice([0.0, 8.0]), flowing=rng.choice([(), ("grey",)]),
    )  # fmt: skip
    return own, levels, now, now + rng.uniform(0.01, 10) * DAY


def test_whatever_the_trip_a_way_keeps_what_it_promises() -> None:
    """20 random trips, for all tanks and for one: each way's odds are those of the whole forecast with its changes, better than doing
    nothing, and every errand lies between now and the end."""
    rng = random.Random(7)
    seen = set()
    for _ in range(20):
        own, levels, now, until = random_question(rng)
        made = forecast.make_it(own, now, until, (), levels)
        for tank in (None, "grey", "fresh"):
            plain = made.probability if tank is None else made.tanks[tank].probability
            for way in advice.ways_out(own, now, until, made, levels, tank):
                seen.add(way.kind)
                assert way.probability >= plain + 0.0199
                assert all(now <= at <= until for at in way.moments)
                if way.changes:
                    whole = forecast.chance(own, now, until, way.changes, levels, tank)
                    assert way.probability == pytest.approx(whole, abs=1e-6)
    assert seen >= {"budget", "minutes", "haul", "dump", "fill", "joined"}
