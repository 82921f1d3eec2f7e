"""Will it last: against closed forms by scipy and against simulated first passages; then the known future, piece by piece."""

from __future__ import annotations

import random
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from scipy import integrate, stats

from state.ahead import forecast
from state.ahead.outlook import Change, look_ahead
from state.habits import pace
from state.leaning import POWER, Leaning
from tests.rigs import CAPACITY, DAY, MONDAY, believed, lived, world

NOW = MONDAY + timedelta(hours=8)


# ---------------------------------------------------------------- against outside


@pytest.mark.parametrize("level", [20.0, 60.0, 90.0])
@pytest.mark.parametrize(("share_sd", "covariance"), [(0.0, 0.0), (0.05, 0.0), (0.05, 0.15)])
def test_chance_is_the_integral_over_use_room_and_share(level: float, share_sd: float, covariance: float) -> None:
    """P(use x share <= room) by numerical integration over use, with scipy.stats.norm for room less use x share at each use."""
    own, levels = world(), believed({"grey": level, "fresh": 100.0}, share_sd=share_sd, covariance=covariance)
    until = NOW + 2.5 * DAY
    made = forecast.make_it(own, NOW, until, (), levels)
    use = pace.use(own.habits, NOW, until, 2, "hookup")

    def density(z: float) -> float:
        litres = use.scale * max(0.0, 1.0 + use.spread * z) ** POWER
        sd = (16.0 + (litres * share_sd) ** 2 - 2 * litres * covariance) ** 0.5
        return float(stats.norm.sf(0.9 * litres, 140.0 - level, sd) * stats.norm.pdf(z))

    expected = integrate.quad(density, -6, 6, limit=200)[0]
    assert made.tanks["grey"].probability == pytest.approx(expected, abs=0.012)


def paths(own_pace: float, cv: float, count: int, seed: int) -> np.ndarray:
    """Hourly use of `count` courses of 20 days by one household whose days are independent (numpy). [litres, cumulative]"""
    rng = np.random.default_rng(seed)
    shape = 1 / cv**2
    days = rng.gamma(shape, own_pace / shape, size=(count, 20))
    return np.cumsum(days, axis=1)


def test_give_out_agrees_with_simulated_first_passages() -> None:
    """20,000 courses of gamma days, mean 40 and spread 0.3, into a grey tank with 100 litres of room, sd 4 (numpy): the share of courses that
    have filled it by each midnight is within 4 points of the forecast's, as soon as the habits are well known."""
    habits = lived(
        200, [float(x) for x in np.random.default_rng(5).gamma(1 / 0.09, 40 * 0.09, 200)], start=MONDAY - 200 * DAY
    )
    own, levels = world(habits=habits), believed({"grey": 40.0})
    rng = np.random.default_rng(6)
    room = rng.normal(100.0, 4.0, 20000)
    mean = pace.mean_rate(habits) * pace.persons(2)
    used = paths(mean, 0.3, 20000, 7)
    for days in (1, 2, 3, 4, 5):
        simulated = float(np.mean(0.9 * used[:, days - 1] <= room))
        # weekends are learned for this household too: the chance is that of the mean day, so a little noise of theirs is allowed
        assert forecast.chance(own, MONDAY, MONDAY + days * DAY, (), levels) == pytest.approx(simulated, abs=0.04)


@pytest.mark.bench
def test_first_passage_against_100_000_courses() -> None:
    """Prints the forecast beside 100,000 simulated first passages, day by day, for three households of different irregularity."""
    for cv in (0.2, 0.4, 0.7):
        days_lived = [float(x) for x in np.random.default_rng(1).gamma(1 / cv**2, 40 * cv**2, 300)]
        own = world(habits=lived(300, days_lived, start=MONDAY - 300 * DAY))
        levels = believed({"grey": 40.0})
        mean = pace.mean_rate(own.habits) * pace.persons(2)
        used = paths(mean, cv, 100000, 2)
        room = np.random.default_rng(3).normal(100.0, 4.0, 100000)
        for days in range(1, 8):
            simulated = float(np.mean(0.9 * used[:, days - 1] <= room))
            said = forecast.chance(own, MONDAY, MONDAY + days * DAY, (), levels)
            print(f"cv {cv}  day {days}  simulated {simulated:.3f}  said {said:.3f}  {said - simulated:+.3f}")
            assert said == pytest.approx(simulated, abs=0.06)


def test_joint_chance_is_between_product_and_least() -> None:
    """One household's pace runs through all tanks: the joint chance lies between independence and the weakest tank, and here against
    20,000 common courses (numpy) within 2 points."""
    own, levels = world(supply="tank"), believed({"grey": 40.0, "fresh": 106.0}, supply="tank")
    until = NOW + 2.5 * DAY
    made = forecast.make_it(own, NOW, until, (), levels)
    singles = [tank.probability for tank in made.tanks.values()]
    assert np.prod(singles) < made.probability <= min(singles)
    use = pace.use(own.habits, NOW, until, 2, "tank")
    z = np.random.default_rng(1).normal(size=20000)
    litres = use.scale * np.maximum(0.0, 1.0 + use.spread * z) ** POWER
    grey, fresh = np.random.default_rng(2).normal(100.0, 4.0, 20000), np.random.default_rng(3).normal(106.0, 4.0, 20000)
    assert made.probability == pytest.approx(float(np.mean((0.9 * litres <= grey) & (litres <= fresh))), abs=0.02)


def test_moments_of_giving_out_are_where_the_chance_says() -> None:
    """At p10, p50 and p90 the chance of having given out is 0.1, 0.5, 0.9."""
    own, levels = world(), believed({"grey": 50.0}, share_sd=0.05)
    points = forecast.make_it(own, NOW, NOW + DAY, (), levels).tanks["grey"].gives_out
    for name, p in (("p10", 0.1), ("p50", 0.5), ("p90", 0.9)):
        at = points[name]
        assert at is not None
        assert 1 - forecast.chance(own, NOW, at, (), levels) == pytest.approx(p, abs=0.01)
    assert points["p10"] < points["p50"] < points["p90"]  # type: ignore[operator]


def test_budget_keeps_the_promised_odds() -> None:
    """Using exactly the budget each whole day, a household gets there with 90 %, by scipy.stats.norm over room alone."""
    own, levels = world(), believed({"grey": 60.0})
    made = forecast.make_it(own, MONDAY, MONDAY + 3 * DAY, (), levels)
    assert made.budget_litres_per_day is not None
    assert stats.norm.sf(0.9 * made.budget_litres_per_day * 3, 80.0, 4.0) == pytest.approx(0.9, abs=0.005)


def test_budget_follows_the_safety_that_the_owner_asks_for() -> None:
    """A limit of 0.99 makes a smaller budget than 0.8."""
    own, levels = world(), believed({"grey": 60.0})
    budgets = []
    for safety in (0.8, 0.99):
        own.rig.limits["safety"] = safety
        budgets.append(forecast.make_it(own, NOW, NOW + 3 * DAY, (), levels).budget_litres_per_day or 0.0)
    assert budgets[0] > budgets[1]


# ---------------------------------------------------------------- which tanks count


def test_fresh_counts_only_on_the_tank_supply() -> None:
    """An almost empty fresh tank does not matter on the hookup, and binds on the tank."""
    for supply, binding in (("hookup", "grey"), ("tank", "fresh")):
        made = forecast.make_it(
            world(supply=supply), NOW, NOW + 3 * DAY, (), believed({"fresh": 20.0, "grey": 50.0}, supply=supply)
        )
        assert made.binding == binding
        assert (made.tanks["fresh"].probability > 0.99) == (supply == "hookup")


def test_waste_with_an_open_valve_never_gives_out() -> None:
    """Grey runs to the sewer: chance 1, no moment; the rest as it was."""
    made = forecast.make_it(
        world(), NOW, NOW + 9 * DAY, (), believed({"grey": 130.0, "black": 10.0}, flowing=("grey",))
    )
    assert made.tanks["grey"].probability == 1.0
    assert made.tanks["grey"].gives_out == {"p10": None, "p50": None, "p90": None}
    assert made.binding != "grey"


def test_nothing_binds_where_nothing_gives_out() -> None:
    """On the hookup with both valves open: no binding tank, no budget, chance 1."""
    made = forecast.make_it(world(), NOW, NOW + 9 * DAY, (), believed({"fresh": 50.0}, flowing=("grey", "black")))
    assert (made.binding, made.budget_litres_per_day, made.probability) == (None, None, 1.0)
    assert forecast.runway(world(), NOW, (), believed({"fresh": 50.0}, flowing=("grey", "black"))).first is None


def test_asking_for_a_moment_that_has_passed_is_asking_for_now() -> None:
    """The chance up to now is that of not having given out already."""
    made = forecast.make_it(world(), NOW, NOW - DAY, (), believed({"grey": 60.0}))
    assert made.until == NOW and made.probability > 0.999
    full = forecast.make_it(world(), NOW, NOW, (), believed({"grey": 160.0}))
    assert full.tanks["grey"].gives_out["p50"] - NOW < timedelta(hours=1)  # type: ignore[operator]


def test_ten_in_the_morning_and_the_night_of_a_day_differ() -> None:
    """Mornings and evenings carry the use: more is lost from Sunday 10:00 to Sunday 22:00 than from 22:00 to 6:00."""
    own, levels = world(), believed({"grey": 44.0})
    chances = [forecast.chance(own, NOW, MONDAY + 2 * DAY + timedelta(hours=hour), (), levels) for hour in (10, 22, 30)]
    assert chances[0] - chances[1] > 2 * (chances[1] - chances[2]) > 0


def test_longer_is_never_likelier() -> None:
    """The chance falls with time, whatever is planned."""
    own, levels = world(), believed({"grey": 40.0, "black": 80.0})
    changes = (Change("haul", tank="grey", litres=40.0, start=NOW + DAY), Change("dump", start=NOW + 4 * DAY))
    chances = [forecast.chance(own, NOW, NOW + timedelta(hours=6 * i), changes, levels) for i in range(1, 40)]
    assert all(later <= earlier + 1e-9 for earlier, later in pairwise(chances))


# ---------------------------------------------------------------- known future


def chance(*changes: Change, grey: float = 40.0, days: float = 3.0) -> float:
    return forecast.chance(world(), NOW, NOW + days * DAY, changes, believed({"grey": grey}))


def test_guests_make_it_less_likely_and_an_absence_more() -> None:
    """Two guests for two days, or two days away, within three."""
    plain = chance()
    assert chance(Change("party", people=2, more=True, start=NOW, until=NOW + 2 * DAY)) < plain - 0.2
    assert chance(Change("absence", start=NOW, until=NOW + 2 * DAY)) > plain + 0.1


def test_known_facts_of_the_world_count_as_what_ifs_do() -> None:
    """A party, an absence, a laundry and a tote run that were told are the same as the changes of a what-if."""
    levels = believed({"grey": 40.0})
    facts = (
        ({"what": "party", "start": NOW + DAY, "until": NOW + 2 * DAY, "people": 4}, Change("party", people=4, start=NOW + DAY, until=NOW + 2 * DAY)),
        ({"what": "absence", "start": NOW + DAY, "until": NOW + 2 * DAY}, Change("absence", start=NOW + DAY, until=NOW + 2 * DAY)),
        ({"what": "use", "start": NOW + DAY, "until": None, "activity": "laundry", "litres": 30.0}, Change("use", "laundry", 30.0, start=NOW + DAY)),
        ({"what": "haul", "start": NOW + DAY, "until": None, "tank": "grey", "litres": 40.0},
         Change("haul", tank="grey", litres=40.0, start=NOW + DAY)),
        ({"what": "dump", "start": NOW + DAY, "until": None, "tank": "grey"}, Change("dump", tank="grey", start=NOW + DAY)),
    )  # fmt: skip
    for fact, change in facts:
        own = world()
        own.expected = [fact]
        told = forecast.chance(own, NOW, NOW + 3 * DAY, (), levels)
        assert told == pytest.approx(chance(change), abs=1e-9)
        assert told != pytest.approx(chance(), abs=1e-3)


def test_a_temporary_party_goes_home() -> None:
    """Four till tomorrow, two afterwards: more likely than four throughout, less than two throughout."""
    own, levels = world(people=4), believed({"grey": 40.0})
    throughout = forecast.chance(own, NOW, NOW + 3 * DAY, (), levels)
    own.party_until, own.party_base = NOW + DAY, 2
    for_a_day = forecast.chance(own, NOW, NOW + 3 * DAY, (), levels)
    two = forecast.chance(world(), NOW, NOW + 3 * DAY, (), levels)
    assert throughout < for_a_day < two


def test_a_haul_must_come_in_time() -> None:
    """40 litres taken away before the tank fills help; the same a day after it has filled do not help much."""
    early = chance(Change("haul", tank="grey", litres=40.0, start=NOW + DAY), grey=60.0)
    late = chance(Change("haul", tank="grey", litres=40.0, start=NOW + 2.7 * DAY), grey=60.0)
    assert early > late + 0.3 > chance(grey=60.0)


def test_a_dump_begins_a_new_leg() -> None:
    """After a dump tomorrow the odds for three days are those of two days into an empty tank."""
    own = world()
    dumped = forecast.chance(own, NOW, NOW + 3.9 * DAY, (Change("dump", start=NOW + DAY),), believed({"grey": 60.0}))
    fresh_start = forecast.chance(own, NOW + DAY, NOW + 3.9 * DAY, (), believed({"grey": 1.4}, sd=1.4))
    assert dumped == pytest.approx(fresh_start, abs=0.02)


def test_a_stop_with_a_sewer_ends_the_worry_about_waste() -> None:
    """At Harbor Lane with sewer from the day after tomorrow waste is dumped on arriving; the dump is named as assumed."""
    own = world(until=NOW + 2 * DAY)
    own.stops = [{"site": "Harbor Lane", "start": NOW + 2 * DAY, "until": NOW + 9 * DAY, "water": True, "sewer": True}]
    levels = believed({"grey": 30.0})
    made = forecast.make_it(own, NOW, NOW + 8 * DAY, (), levels)
    assert made.probability == pytest.approx(forecast.chance(own, NOW, NOW + 2 * DAY, (), levels), abs=0.01)
    assert made.assumes and made.assumes[0].site == "Harbor Lane"
    alone = world(until=NOW + 2 * DAY)
    assert forecast.chance(alone, NOW, NOW + 8 * DAY, (), levels) < 0.05


def test_a_dry_stop_draws_on_fresh() -> None:
    """On the hookup now, no water from tomorrow on: fresh counts from then."""
    own = world(until=NOW + DAY)
    own.stops = [{"site": "Cedar Flat", "start": NOW + DAY, "until": NOW + 5 * DAY, "water": False, "sewer": False}]
    levels = believed({"grey": 0.0, "fresh": 60.0})
    made = forecast.make_it(own, NOW, NOW + 4 * DAY, (), levels)
    assert made.binding == "fresh" and made.tanks["fresh"].probability < 0.2
    filled = forecast.chance(own, NOW, NOW + 4 * DAY, (Change("fill", start=NOW),), levels)
    assert filled > made.probability + 0.2


def test_outlook_has_no_gaps() -> None:
    """Pieces follow one another from now to the horizon, whatever overlaps in what was told."""
    own = world(until=NOW + 2 * DAY)
    chance_ = random.Random(3)
    for _ in range(100):

        def some() -> datetime:
            return NOW + timedelta(hours=chance_.uniform(-48, 300))

        own.stops = [
            {
                "site": "A",
                "start": some(),
                "until": some(),
                "water": chance_.random() < 0.5,
                "sewer": chance_.random() < 0.5,
            }
            for _ in range(chance_.randrange(4))
        ]
        own.expected = [
            {"what": "party", "start": some(), "until": some(), "people": 3},
            {"what": "absence", "start": some(), "until": some()},
        ]
        horizon = NOW + 10 * DAY
        outlook = look_ahead(own, NOW, horizon, (Change("skip", "shower", start=some(), until=some()),))
        assert outlook.pieces[0].start == NOW and outlook.pieces[-1].end == horizon
        assert all(a.end == b.start for a, b in pairwise(outlook.pieces))


# ---------------------------------------------------------------- levels then, showers, runway


def test_level_then_is_level_now_and_its_share_of_the_use() -> None:
    """The middle of the level at `until` is the level now plus 0.9 of the expected use, with the use's spread."""
    own, levels = world(), believed({"grey": 30.0})
    made = forecast.make_it(own, NOW, NOW + 2 * DAY, (), levels)
    use: Leaning = pace.use(own.habits, NOW, NOW + 2 * DAY, 2, "hookup")
    then = made.tanks["grey"].level
    assert then.mean == pytest.approx(30.0 + 0.9 * use.mean)
    assert then.sd == pytest.approx((16.0 + (0.9 * use.sd) ** 2) ** 0.5)
    assert then.quantile(0.01) >= 0.0 and then.quantile(0.99) <= CAPACITY["grey"]


def test_runway_names_the_tank_that_gives_out_first() -> None:
    """Grey half full gives out before black; its moments are those of the make-it question."""
    levels = believed({"grey": 70.0, "black": 20.0})
    left = forecast.runway(world(), NOW, (), levels)
    assert left.first == "grey"
    assert left.tanks["grey"].gives_out == forecast.make_it(world(), NOW, NOW + DAY, (), levels).tanks["grey"].gives_out


def test_showers_left_fit_the_room() -> None:
    """75 litres of room, sd 4, and showers of 7.57 litres (2 US gal by common practice): about nine or ten, no more at 10 % than at 90 %."""
    left = forecast.uses_left(world(), NOW, believed({"grey": 65.0}))
    assert left.count is not None and left.binding == "grey"
    assert left.count["p10"] <= left.count["p50"] <= left.count["p90"]
    assert 8 <= left.count["p50"] <= 10
    assert forecast.uses_left(world(), NOW, believed({"grey": 140.0})).count["p50"] == 0  # type: ignore[index]
    assert forecast.uses_left(world(), NOW, believed({}, flowing=("grey",))).count is None


def test_a_rig_without_tanks_is_no_error() -> None:
    """Nothing is told of tanks: nothing binds."""
    own = world()
    own.rig.tanks.clear()
    made = forecast.make_it(own, NOW, NOW + DAY)
    assert (made.probability, made.binding, made.tanks) == (1.0, None, {})
    assert forecast.runway(own, NOW).first is None
    assert forecast.uses_left(own, NOW).count is None


def test_forecasts_are_the_same_on_every_run() -> None:
    """No randomness, no clock: equal arguments, equal answers."""
    one, other = (forecast.make_it(world(), NOW, NOW + 3 * DAY, (), believed({"grey": 60.0})) for _ in range(2))
    assert one == other


def test_a_tote_run_empties_one_tank_only() -> None:
    """With two grey tanks a tote run without a name is the first one's: the galley's odds stay."""
    own = world()
    own.rig.tanks["galley"] = type(own.rig.tanks["grey"])("galley", "grey", 60.0)
    changes = (Change("haul", litres=40.0, start=NOW + DAY),)
    outlook = look_ahead(own, NOW, NOW + 3 * DAY, changes)
    assert [happening.tank for happening in outlook.happenings] == ["grey"]
