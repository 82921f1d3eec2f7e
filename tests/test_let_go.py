"""A grey tank let go, in a household that nothing tells how much it uses: what that says of the rate of use, once and again."""

from __future__ import annotations

from math import exp, sqrt

import numpy as np
import pytest
from scipy import stats

from state.habits import pace
from state.water import holding, passing
from state.world import World
from tests.folding import START, Story

DAY = 24.0


def _dumping(every: float, times: int, grey: float, *, sewer: bool, told: float = 0.0) -> World:
    """Two people who log nothing and dump their grey tank so many days apart. told: they say each time that it is that full."""
    story = Story(rigged=False)
    for kind, litres in (("grey", grey), ("black", 110.0)):
        story.tell("rig", 0, what="tank", tank=kind, tank_kind=kind, litres=litres)
    story.tell("party", 0, people=2)
    story.tell("arrive", 0, site="Heron Bend", water=True, sewer=sewer)
    for number in range(times + 1):
        if number and told:
            story.tell("level", every * DAY * number, tank="grey", fraction=told)
        story.tell("dump", every * DAY * number, tank="grey")
    return story.world()


def _rate(world: World) -> tuple[float, float]:
    own = passing.belief_of(world)
    place = own.at[passing.RATE]
    return own.mean[place], sqrt(own.cov[place][place])


def _daily(world: World) -> float:
    """What two people who log nothing are taken to use in a day. [litres]"""
    return pace.mean_rate(passing.habits_of(world)) * pace.persons(2) * (1.0 + _rate(world)[0])


def test_not_having_run_over_tells_as_much_once_as_ten_times() -> None:
    """The same stretch again says nothing new of a rate that is the same in both; it once halved the expected use within weeks."""
    once, often = _rate(_dumping(5.0, 1, 100.0, sewer=True)), _rate(_dumping(5.0, 10, 100.0, sewer=True))
    assert once[0] < -0.05
    assert often == pytest.approx(once, abs=0.02)


def test_a_longer_stretch_without_running_over_tells_more_and_a_shorter_one_nothing() -> None:
    longer, shorter = (_dumping(days, 1, 100.0, sewer=True) for days in (6.5, 5.0))
    assert _rate(longer)[0] < _rate(shorter)[0] - 0.02
    story = Story(grey=100.0)
    del story.entries[-1]
    story.tell("arrive", 0.5, site="Heron Bend", water=True, sewer=True)
    story.tell("dump", 6.5 * DAY, tank="grey")
    after = _rate(story.world())
    story.tell("dump", 11.0 * DAY, tank="grey")
    assert _rate(story.world()) == pytest.approx(after, abs=1e-9)


def test_that_a_tank_has_not_run_over_cuts_the_rate_off_as_brute_force_does() -> None:
    """Against a grid of rates, where share and split are as believed; the chance of a slip takes a little off."""
    world = _dumping(4.0, 1, 100.0, sewer=True)
    own = passing.belief_of(world)
    start, rate = _dumping(4.0, 0, 100.0, sewer=True), own.at[passing.RATE]
    before = passing.belief_of(start)
    mean, sd = before.mean[rate], sqrt(before.cov[rate][rate])
    passing.pass_time(start, start.at + 4 * passing.DAY)  # type: ignore[operator]
    level, most = before.at[passing.level_of("grey")], before.at[passing.capacity_of("grey")]
    fits, room = {most: holding.BRIM, level: -1.0}, holding.BRIM * before.mean[most] - before.mean[level]
    slope = before.covariance(fits, {rate: 1.0}) / sd**2
    rest = before.variance(fits) - slope * slope * sd * sd
    rates = np.linspace(mean - 6 * sd, mean + 6 * sd, 20001)
    weight = stats.norm(mean, sd).pdf(rates) * stats.norm.cdf((room + slope * (rates - mean)) / sqrt(rest))
    theirs = (rates * weight).sum() / weight.sum()
    assert _rate(world)[0] == pytest.approx(theirs, abs=0.04)


def test_where_there_is_no_drain_a_dumped_tank_was_probably_fairly_full() -> None:
    """A tank of 500 litres every week is more than two people are first taken to use; at a sewer it may be let go at any level."""
    errand, drain = (_dumping(7.0, 3, 500.0, sewer=sewer) for sewer in (False, True))
    assert _rate(drain)[0] == pytest.approx(0.0, abs=0.03)
    assert _daily(errand) > 1.2 * _daily(drain)
    assert _rate(errand)[1] < _rate(drain)[1]


def test_how_full_is_a_habit_so_many_dumps_tell_the_rate_no_better_than_the_habit_is_known() -> None:
    few, many = _rate(_dumping(7.0, 6, 250.0, sewer=False)), _rate(_dumping(7.0, 40, 250.0, sewer=False))
    assert many[1] > 0.8 * few[1]
    assert many[1] > 0.15


def test_stretches_of_uneven_length_do_not_drive_the_rate_down_over_a_year() -> None:
    """The tank is let go at the same level each time, and days differ: in litres that scatter was laid to a smaller rate and a smaller habit."""
    rates = []
    for rounds in (1, 10):
        story = Story(rigged=False)
        for kind, litres in (("grey", 320.0), ("black", 300.0)):
            story.tell("rig", 0, what="tank", tank=kind, tank_kind=kind, litres=litres)
        story.tell("party", 0, people=2)
        story.tell("arrive", 0, site="Heron Bend", water=True, sewer=False)
        at = 0.0
        for days in (0.0, *(4.5, 11.0, 6.0, 9.5, 7.0) * rounds):
            at += DAY * days
            story.tell("dump", at, tank="grey")
        rates.append(_rate(story.world())[0])
    assert rates[1] == pytest.approx(rates[0], abs=0.1)


def test_a_tank_that_is_always_called_half_full_before_it_is_dumped_teaches_that_habit_not_the_rate() -> None:
    world = _dumping(4.0, 6, 200.0, sewer=False, told=0.5)
    own = passing.belief_of(world)
    habit = exp(own.mean[own.at["habit:grey"]])
    assert 0.45 < habit < 0.65


def test_where_a_reading_will_tell_a_dump_tells_nothing_of_the_rate() -> None:
    story = Story(grey=300.0)
    story.meter(24, 40.0)
    story.tell("dump", 60, tank="grey")
    own = passing.belief_of(story.world())
    assert "habit:grey" not in own.at
    assert own.mean[own.at[passing.RATE]] == 0.0


def _flushing(days: int, *, sewer: bool, weekly: bool = False) -> World:
    """Two people without a meter who log a shower, dishes and a flush a day, and let their black tank of 40 litres go sooner than that fills it."""
    story = Story(rigged=False)
    for kind, litres in (("grey", 900.0), ("black", 40.0)):
        story.tell("rig", 0, what="tank", tank=kind, tank_kind=kind, litres=litres)
    story.tell("party", 0, people=2)
    story.tell("arrive", 0, site="Heron Bend", water=True, sewer=sewer)
    for kind in ("grey", "black"):
        story.tell("dump", 0, tank=kind)
    for day in range(days):
        story.use(DAY * day + 13.0, 7.0)
        story.use(DAY * day + 14.0, 5.0, "dishes")
        story.use(DAY * day + 15.0, 3.0, "toilet")
        if day and (day % 7 == 0 if weekly else day in (3, 8, 12, 17, 20, 25)):
            story.tell("dump", DAY * day + 20.0, tank="black")
    return story.world()


def test_a_black_tank_let_go_where_there_is_no_drain_tells_of_the_rate_too() -> None:
    """Its flushes are in the log: what it holds besides, of which the books know too little, is that more is used than they say."""
    told, silent = _rate(_flushing(26, sewer=False)), _rate(_flushing(26, sewer=True))
    assert told[0] > silent[0] + 0.05
    assert told[1] < silent[1]


def test_who_dumps_black_on_its_day_tells_less_of_the_rate() -> None:
    on_its_day, when_full = _rate(_flushing(29, sewer=False, weekly=True)), _rate(_flushing(29, sewer=False))
    assert on_its_day[1] > when_full[1]


def _half_logged(days: int, *, sewer: bool) -> World:
    """Two people who use 56 litres a day, say half of it, and dump 220 litres of grey whenever it is four fifths full."""
    story = Story(rigged=False)
    for kind, litres in (("grey", 220.0), ("black", 110.0)):
        story.tell("rig", 0, what="tank", tank=kind, tank_kind=kind, litres=litres)
    story.tell("party", 0, people=2)
    story.tell("arrive", 0, site="Heron Bend", water=True, sewer=sewer)
    story.tell("dump", 0, tank="grey")
    level = 0.0
    for day in range(days):
        for hours in (2.0, 13.0, 20.0):
            story.use(DAY * day + hours, 28.0 / 3)
        level += 50.0
        if level >= 0.8 * 220.0:
            story.tell("dump", DAY * day + 22.0, tank="grey")
            level = 0.0
    return story.world()


def test_errands_to_the_dump_keep_the_pace_from_falling_to_what_is_logged() -> None:
    errand, drain = (pace.mean_rate(passing.habits_of(_half_logged(40, sewer=sewer))) for sewer in (False, True))
    assert errand > drain + 0.6


def test_entries_without_a_meter_are_learned_from_before_anything_was_looked_at() -> None:
    """How unlogged water splits follows the log from the second day on, not from the first dump on."""
    story = Story()
    del story.entries[-1]
    for day in range(6):
        for hours, activity in ((1.0, "toilet"), (2.0, "shower"), (14.0, "toilet")):
            story.use(DAY * day + hours, 8.0, activity)
    own = passing.belief_of(story.world())
    assert own.mean[own.at[passing.share_of("black")]] > 0.2


def test_a_household_that_says_nothing_is_forecast_by_its_dumps_and_with_their_doubt() -> None:
    """300 litres each six days where grey is let go fairly full: its pace is learned; at a drain, where it may hold anything, it is not."""
    errand, drain = (passing.habits_of(_dumping(6.0, 8, 400.0, sewer=sewer)) for sewer in (False, True))
    assert pace.mean_rate(drain) == pace.mean_rate(pace.new())
    assert pace.mean_rate(errand) > pace.mean_rate(drain) + 2.0
    assert 0.15 < sqrt(errand.off) < passing.FIRST_RATE_VAR**0.5
    assert drain.off == 0.0
    mean, sd = pace.rate(errand, START, START + 7 * passing.DAY, 2.0)
    assert sd > 0.9 * sqrt(errand.off) * mean


def test_what_dumps_told_of_the_litres_stays_when_the_pace_learns_it() -> None:
    """The expected use of a day is the same before and after, though the pace has taken it over from the rate."""
    world = _dumping(6.0, 8, 400.0, sewer=False)
    assert 0.75 * 0.8 * 400.0 / 6.0 < _daily(world) * 8.0 / 9.0 < 1.1 * 0.8 * 400.0 / 6.0
