"""Households that have nothing but their log to tell: no meter, no brim, no look at a tank. What is learned of their days, and how sure."""

from __future__ import annotations

import random
from datetime import datetime, timedelta, timezone
from statistics import fmean, pstdev

import numpy as np
import pytest
from scipy import stats

from state.ahead import forecast
from state.habits import pace, ways
from state.settled import Settled
from state.water import fold
from state.world import World
from tests.households import DAY, Stream, Teller, Telling, fair, generated, told_at

START = datetime(2026, 3, 2, tzinfo=timezone(timedelta(hours=-6)))
HOURS = (6.5, 9.0, 13.0, 18.5, 21.0)


def told(days: list[float], people: int = 2, *, without: frozenset[int] = frozenset()) -> World:
    """A household on a hookup without a meter that logs so many litres a day in five uses; on days `without`, one small use only."""
    world = World()

    def tell(kind: str, at: datetime, **fields: object) -> None:
        seq = world.events + 1
        fold.advance(world, told_at(kind, at, seq, **fields))

    tell("rig", START, what="tank", tank="grey", tank_kind="grey", litres=300.0)
    tell("party", START, people=people)
    tell("arrive", START, site="Pine Hollow", water=True, sewer=False)
    for number, litres in enumerate(days):
        for hour in HOURS:
            at = START + timedelta(days=number, hours=hour)
            if number not in without:
                tell("use", at, activity="shower", litres=litres / len(HOURS))
            elif hour == HOURS[0]:
                tell("use", at, activity="handwash", litres=0.5)
    return world


def test_the_days_of_a_log_are_as_irregular_as_they_were() -> None:
    """Each day filled up towards the pace by itself would be half as irregular as it was."""
    random_ = random.Random(3)
    days = [40.0 * random_.gammavariate(6.0, 1 / 6.0) for _ in range(60)]
    habits = forecast.habits_of(told(days))
    spread = pace.day_spread(habits) * pace.mean_rate(habits) * pace.persons(2)
    assert spread == pytest.approx(pstdev(days), rel=0.25)


def test_idle_days_count_and_a_day_hardly_logged_does_not() -> None:
    """Every third day at a third of the others is how they live; of a regular household a day with one hand wash was not all logged."""
    uneven = forecast.habits_of(told([45.0, 45.0, 15.0] * 15))
    steady = forecast.habits_of(told([42.0, 38.0] * 15))
    forgot = forecast.habits_of(told([42.0, 38.0] * 15, without=frozenset({9, 17, 22})))
    assert pace.mean_rate(uneven) < 0.95 * pace.mean_rate(forecast.habits_of(told([45.0] * 45)))
    assert pace.mean_rate(forgot) == pytest.approx(pace.mean_rate(steady), rel=0.05)


def test_a_little_more_is_believed_than_is_logged_and_it_does_not_dwindle() -> None:
    """Two months of a log tell no more of what it leaves out than two weeks do."""
    early, late = forecast.habits_of(told([40.0] * 14)), forecast.habits_of(told([40.0] * 70))
    logged = 40.0 / pace.persons(2)
    assert 1.02 * logged < pace.mean_rate(early) < 1.2 * logged
    assert pace.mean_rate(late) == pytest.approx(pace.mean_rate(early), rel=0.03)


def test_what_a_log_leaves_out_stays_in_doubt() -> None:
    """However many alike days are logged, a week's use is less sure than where a meter tells it."""
    logged, metered = forecast.habits_of(told([40.0, 36.0] * 20)), pace.new()
    for number in range(40):
        at = START + number * DAY
        pace.learn(metered, Settled(at, at + DAY, (40.0, 36.0)[number % 2], 0.0, 2, "hookup", 0.0))
    now = START + 40 * DAY
    by_log, by_meter = (pace.use(habits, now, now + 7 * DAY, 2, "hookup") for habits in (logged, metered))
    assert by_meter.sd / by_meter.mean < 0.08
    assert 0.12 < by_log.sd / by_log.mean < 0.25
    for number in range(60):
        at = now + number * DAY
        pace.learn(logged, Settled(at, at + DAY, (40.0, 36.0)[number % 2], 0.0, 2, "hookup", 0.0))
    later = pace.use(logged, now + 60 * DAY, now + 67 * DAY, 2, "hookup")
    assert later.sd / later.mean < 0.5 * by_log.sd / by_log.mean


@pytest.mark.parametrize(("rate", "guessed"), [(11.0, 0.0), (19.0, 0.4), (30.0, 1.0)])
def test_what_a_log_leaves_out_is_bayes_rule_on_a_grid(rate: float, guessed: float) -> None:
    """Level and part both log-normal about their middles, the logged rate known: the median and spread of the level, by brute force."""
    logs = np.linspace(np.log(2.0), np.log(200.0), 20001)
    part_sd = (pace.LOGGED_SD**2 + (pace.GUESSED_SD * guessed) ** 2) ** 0.5
    weight = stats.norm.pdf(logs, np.log(ways.FIRST_LEVEL), ways.HOUSEHOLD_CV)
    weight *= stats.norm.pdf(np.log(rate) - logs, np.log(pace.LOGGED), part_sd)
    weight /= weight.sum()
    mean = float((weight * logs).sum())
    sd = float(((weight * (logs - mean) ** 2).sum()) ** 0.5)
    usually, missing, off = pace.by_log(pace.new(), 3.0 * rate, 3.0, 2.0, guessed)
    assert usually == pytest.approx(3.0 * rate)
    assert missing == pytest.approx(max(0.0, 3.0 * (float(np.exp(mean)) - rate)), abs=1e-6)
    assert off == pytest.approx(sd, rel=1e-6)
    assert pace.by_log(pace.new(), 0.0, 3.0, 2.0, guessed) == (0.0, 0.0, 0.0)


def test_ranges_hold_for_households_that_only_log() -> None:
    """Eight households of our own that log nine uses in ten: the 80 % range of the next three days holds in 70 to 92 of 100 evenings."""
    held = []
    for seed in range(8):
        home: Stream = generated(seed, people=1 + seed % 4)
        run = Teller(home, fair(home, random.Random(seed)), Telling(readings_a_day=0, logs=0.9), seed).live(45)
        world, entries = World(), iter(run.entries)
        entry = next(entries, None)
        for day in range(8, 41):
            at = home.start + timedelta(days=day, hours=20.75)
            while entry is not None and entry.at <= at:
                fold.advance(world, entry)
                entry = next(entries, None)
            came = sum(litres for when, _, litres in home.uses if at <= when < at + 3 * DAY)
            use = pace.use(forecast.habits_of(world), at, at + 3 * DAY, world.people, "hookup")
            held.append(0.1 <= use.cdf(came) <= 0.9)
    assert 0.70 <= fmean(held) <= 0.92
