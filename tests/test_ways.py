"""Ways of life: each filter against linear algebra and scipy, their odds against densities, and what kind of household each is for."""

from __future__ import annotations

import random
from math import log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from state.habits import ways
from state.habits.ways import WAYS, Ways

NAMES = [way.name for way in WAYS]


def day(weekday: int, days: float = 1.0) -> list[float]:
    """A day of the week, or a part of it."""
    return [days if j == weekday % 7 else 0.0 for j in range(7)]


def lived(litres: list[float], *, share: float = 0.9) -> Ways:
    """After so many days from a Monday on, read at the same hour."""
    own = Ways()
    for i, each in enumerate(litres):
        ways.learn(own, day(i), each, share, 0.0)
    return own


def whole(cov: list[list[float]]) -> np.ndarray:
    """The symmetric matrix that is told by its rows up to the diagonal."""
    lower = np.array([row + [0.0] * (len(cov) - len(row)) for row in cov])
    return lower + np.tril(lower, -1).T


def odds(own: Ways, name: str) -> float:
    return own.odds[NAMES.index(name)]


@pytest.mark.parametrize("name", ["steady", "by the week", "changing", "routine"])
def test_a_way_is_bayesian_regression_with_cuts_that_neighbours_share(name: str) -> None:
    """All at once by numpy: theta ~ N(prior), level a random walk, covariance of stretches tridiagonal from the shared cuts (a generalised
    least squares problem; C. E. Rasmussen, C. K. I. Williams, Gaussian Processes for Machine Learning, MIT Press 2006, eq. 2.23, from memory)."""
    k, way, rng = NAMES.index(name), WAYS[NAMES.index(name)], random.Random(3)
    own, on, litres, shares = Ways(), [], [], []
    for i in range(25):
        on.append(
            [a + b for a, b in zip(day(i, rng.uniform(0.4, 1.0)), day(i + 1, rng.uniform(0.1, 0.6)), strict=True)]
        )
        litres.append(rng.gammavariate(9.0, 3.0))
        shares.append(rng.uniform(0.05, 0.95))
        ways.learn(own, on[-1], litres[-1], shares[-1], 0.0)
    days = np.array([sum(each) for each in on])
    prior = whole(ways._first_cov(way))[:-1, :-1]
    rows = np.column_stack([days, np.array(on)]) if way.size > 2 else days[:, None]
    cuts = ways.CUT * np.array([s * (1 - s) for s in shares])
    cov = rows @ prior @ rows.T + np.diag(days) + np.diag(cuts) + np.diag([0.0, *cuts[:-1]])
    cov -= np.diag(cuts[:-1], 1) + np.diag(cuts[:-1], -1)
    walked = way.drift * np.cumsum(days)
    walk = np.minimum.outer(walked, walked)
    cov += walk * np.outer(days, days)
    to_level = rows @ prior[:, 0] + days * walked
    mean = ways.FIRST_LEVEL + to_level @ np.linalg.solve(cov, np.array(litres) - days * ways.FIRST_LEVEL)
    assert own.mean[k][0] == pytest.approx(mean, rel=1e-6)
    assert own.cov[k][0][0] == pytest.approx(
        prior[0, 0] + walked[-1] - to_level @ np.linalg.solve(cov, to_level), rel=1e-6
    )
    if way.size > 2:
        tuesday = rows @ prior[:, 2]
        expected = tuesday @ np.linalg.solve(cov, np.array(litres) - days * ways.FIRST_LEVEL)
        assert own.mean[k][2] == pytest.approx(expected, rel=1e-6, abs=1e-9)


def test_odds_go_with_students_t() -> None:
    """The density that a way gave to a day is scipy.stats.t's, with as many degrees of freedom as days, about its own mean and spread."""
    own = lived([30.0, 44.0, 25.0, 51.0, 38.0])
    expected = []
    for k, way in enumerate(WAYS):
        unit, mean, cov = ways.variance_of_day(own, k), own.mean[k], whole(own.cov[k])
        cov[0, 0] += way.drift
        seen = np.array([1.0, *day(5), -1.0]) if way.size > 2 else np.array([1.0, -1.0])
        spread = seen @ cov @ seen + 1.0 + ways.CUT * 0.25
        freedom = ways.DAY_BLOCKS + own.seen
        density = stats.t.logpdf(70.0, freedom, loc=seen @ np.array(mean), scale=(unit * spread) ** 0.5)
        expected.append(log(own.odds[k]) + density)
    weights = np.exp(np.array(expected) - max(expected))
    ways.learn(own, day(5), 70.0, 0.5, 0.0)
    found = np.maximum(weights / weights.sum(), ways.LEAST_ODDS)
    assert own.odds == pytest.approx(list(found / found.sum()), rel=1e-6)


def test_a_steady_household_is_told_from_its_whole_past() -> None:
    """Twenty households of sixty days drawn one by one: the level is within 4 % of their plain mean, and steady ways have most of the odds."""
    rng = random.Random(1)
    of_steady = []
    for _ in range(20):
        litres = [rng.gammavariate(11.0, 40.0 / 11.0) for _ in range(60)]
        own = lived(litres)
        assert ways.level(own) == pytest.approx(float(np.mean(litres)), rel=0.04)
        of_steady.append(odds(own, "steady") + odds(own, "by the week"))
    assert np.mean(of_steady) > 0.8


def test_a_change_of_pace_is_followed_within_days() -> None:
    """Three weeks at 20 litres, then 36: after ten days the level has come half of the way, where a plain mean is at 32 %."""
    come = []
    for seed in range(10):
        rng = random.Random(seed)
        own = lived([m * rng.gammavariate(16.0, 1 / 16.0) for m in [20.0] * 21 + [36.0] * 10])
        come.append((ways.level(own) - 20.0) / 16.0)
    assert np.mean(come) > 0.5
    assert min(come) > 0.36


def test_a_laundry_day_is_a_routine() -> None:
    """25 litres a day and 60 on Saturdays: after seven weeks more than half of the difference is known; without a pattern the spread is 13 litres."""
    rng = random.Random(5)
    own = lived([(60.0 if i % 7 == 5 else 25.0) * rng.gammavariate(25.0, 1 / 25.0) for i in range(49)])
    assert ways.level(own) + ways.differences(own)[5] > 25.0 + 0.55 * 35.0
    assert ways.level(own) + ways.differences(own)[6] == pytest.approx(25.0, rel=0.2)
    assert ways.mixed(own).of_day ** 0.5 < 11.0


def test_spread_goes_with_use() -> None:
    """The same irregularity at a tenth of the litres is a tenth of the spread."""
    rng = random.Random(6)
    shape = [rng.gammavariate(9.0, 1 / 9.0) for _ in range(60)]
    much, little = lived([60.0 * x for x in shape]), lived([6.0 * x for x in shape])
    ratio = (ways.mixed(much).of_day / ways.mixed(little).of_day) ** 0.5
    assert ratio == pytest.approx(10.0, rel=0.1)


def test_doubts_are_the_moments_of_the_ways_together() -> None:
    """Total variance of the mixture by numpy: a week's total varies by 7 x each day's own and 49 x the shared part, drawn way by way."""
    rng = random.Random(7)
    own = lived([rng.gammavariate(6.0, 5.0) for _ in range(30)])
    wider = 1.0 + ways.EARLY / (4.0 + own.seen)
    means, variances = [], []
    for k, way in enumerate(WAYS):
        unit, cov = wider * ways.variance_of_day(own, k), whole(own.cov[k])
        week = np.array([7.0, *[1.0] * 7]) if way.size > 2 else np.array([7.0])
        means.append(week @ np.array(own.mean[k][:-1]))
        variances.append(unit * (7.0 * (1 - way.tie) + 49.0 * way.tie + week @ cov[:-1, :-1] @ week))
    p = np.array(own.odds)
    expected = p @ np.array(variances) + p @ (np.array(means) - p @ np.array(means)) ** 2
    found = ways.mixed(own)
    assert 7 * found.each + 49 * found.shared == pytest.approx(expected, rel=0.06)


@given(
    st.lists(
        st.tuples(st.floats(0.01, 9.0), st.floats(0.0, 800.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0)), max_size=40
    )
)
def test_odds_and_variances_stay_sound(stretches: list[tuple[float, float, float, float]]) -> None:
    """Whatever is told: odds add up to 1, no way is ruled out, no variance is negative, nothing is infinite."""
    own = Ways()
    for i, (days, litres, share, astray) in enumerate(stretches):
        ways.learn(own, [days / 7.0] * 7 if days > 1.0 else day(i, days), litres, share, astray)
    assert sum(own.odds) == pytest.approx(1.0)
    assert min(own.odds) >= 0.9 * ways.LEAST_ODDS
    assert all(row[i] >= -1e-9 for cov in own.cov for i, row in enumerate(cov))
    assert 0.0 <= ways.level(own) < 1e6
    found = ways.mixed(own)
    assert all(0.0 < each < 1e12 for each in (found.of_day, found.each, found.shared))
