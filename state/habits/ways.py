"""How a household's days hang together: a few ways of life, weighed against each other by how well each foretold what came.

A stretch of `days` effective days, with `on[j]` of them on weekday j, between two readings at times a and b:

    litres = days x level + sum of on[j] x difference[j] + cut(b) - cut(a) + error,   error variance = V x days

level wanders by a variance of `drift` x V a day; difference (of a weekday from the mean day) has a prior of the way's own; cut is how far a
day's water runs ahead of its usual course at the moment of a reading, so what one stretch has too much the next has too little: variance
CUT x V x share x (1 - share) of the day gone by. Each way of life is a static Kalman filter of these, in units of V, and V is learned beside it
(normal-inverse-gamma, the surprise is a Student t: M. West, J. Harrison, Bayesian Forecasting and Dynamic Models, 2nd ed., Springer 1997,
sections 4.5 and 12.2; sections from memory). Odds of a way go with the density it gave to what came (ibid., multi-process models, class I).

A steady household is so forecast from its whole past, a drifting one from its last weeks, one with a laundry day by the weekday; nobody
chooses. Closed form, a fixed number of sums. Litres are those of one person-equivalent (see pace.py). Pure. May import: the standard library.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, lgamma, log, log1p
from operator import mul

from state.lightclass import dataclass, field

WEEK = 7


@dataclass(frozen=True)
class Way:
    """odds: before data. drift: variance of the level's wandering in a day. weekend, weekday: prior variance of the difference of all
    weekends, and of each weekday by itself. tie: covariance of any two coming days, for what wanders faster than the level. [units of V]"""

    name: str
    odds: float
    drift: float = 0.0001
    weekend: float = 0.0
    weekday: float = 0.0
    tie: float = 0.0

    @property
    def size(self) -> int:
        """How many quantities its filter holds: level, weekdays where they matter, the cut."""
        return 2 + (WEEK if self.weekday > 0.0 else 0)


WAYS = (
    Way("steady", 0.477),
    Way("by the week", 0.515, drift=0.001, weekend=0.08, weekday=0.08, tie=0.07),
    Way("changing", 0.003, drift=0.02, tie=0.15),
    Way("routine", 0.005, drift=0.0005, weekend=0.4, weekday=0.4, tie=0.03),
)
"""Tuned on measured and simulated homes, those of odd and of even place looked at apart and then each home left out in turn; tried on other
simulated homes, on their days drawn anew one by one, and on households of our own making."""

LEAST_ODDS = 1e-4
"""No way of life is ever ruled out: a household may change."""

FIRST_LEVEL = 20.0
"""Level before data. [litres per person-equivalent and day] See pace.LITRES_PER_PERSON_DAY."""

DAY_CV = 0.37
"""Spread of one day over its mean before own data are known; measured homes had 0.17 to 0.80."""

DAY_BLOCKS = 2.5
"""How many days of own data weigh as much as that spread."""

HOUSEHOLD_CV = 0.35
"""How far the mean of a household not known yet lies from FIRST_LEVEL: 12 to 31 litres, at the 10 and 90 % points."""

LEVEL_DAYS = (DAY_CV / HOUSEHOLD_CV) ** 2
"""How many days of own data weigh as much as FIRST_LEVEL: as many as tell a mean as exactly as the two spreads do."""

MEMORY_DAYS = 60.0
"""Days after which a day weighs half in the spread."""

LEAST_LEVEL = 0.3
"""The prior of the spread is that part of FIRST_LEVEL at least: a household that uses nothing yet may begin to."""

MOST_SURPRISE = 12.0
"""A single stretch counts with three and a half standard deviations at most in the spread: a burst hose is not a habit."""

CUT = 0.5
"""See above. Tuned on simulated homes: of days drawn one by one, parts of a day make up for each other."""

CLOCK_CV = 0.25
"""How far, in days, the clock is off over a stretch that begins and ends at opposite hours; at like hours it cancels out."""

EARLY = 1.0
"""The variance of days to come is wider than that of days gone by 1 + EARLY / (4 + days): what a Student's t does for a normal."""


def _first_cov(way: Way) -> list[list[float]]:
    rows = [[0.0] * (i + 1) for i in range(way.size)]
    rows[0][0] = 1.0 / LEVEL_DAYS
    for i in range(WEEK if way.size > 2 else 0):
        for j in range(i + 1):
            together = way.weekend * _contrast(i) * _contrast(j)
            rows[1 + i][1 + j] = together + way.weekday * ((i == j) - 1.0 / WEEK)
    return rows


def _contrast(weekday: int) -> float:
    """Weekends against other days, adding up to nothing over a week."""
    return 5.0 / 7.0 if weekday >= 5 else -2.0 / 7.0


@dataclass
class Ways:
    """What is believed, a row for each of WAYS. mean: level, differences of the weekdays, cut at the last reading [litres]. cov: theirs, in
    units of V, rows up to the diagonal. scatter: fading sum of squared surprises over the squared level; seen: of how many stretches."""

    odds: list[float] = field(default_factory=lambda: [way.odds for way in WAYS])
    mean: list[list[float]] = field(default_factory=lambda: [[FIRST_LEVEL] + [0.0] * (w.size - 1) for w in WAYS])
    cov: list[list[list[float]]] = field(default_factory=lambda: [_first_cov(way) for way in WAYS])
    scatter: list[float] = field(default_factory=lambda: [0.0] * len(WAYS))
    seen: float = 0.0


def variance_of_day(ways: Ways, k: int) -> float:
    """V of one way: how far a day strays. [litres squared]"""
    return (DAY_BLOCKS * DAY_CV**2 + ways.scatter[k]) / (DAY_BLOCKS + ways.seen) * _scale(ways.mean[k]) ** 2


def _scale(mean: Sequence[float]) -> float:
    """The level that irregularity is measured by: spread goes with use. [litres]"""
    return max(mean[0], LEAST_LEVEL * FIRST_LEVEL)


def learn(ways: Ways, on: Sequence[float], litres: float, share: float, astray: float) -> None:
    """Take in a stretch. on: effective days by weekday, from Monday. litres: used. share: of the day's water usually gone at its end.
    astray: 0 where it begins and ends at the same hour, 1 at opposite ones. Changes `ways` in place."""
    days = sum(on)
    if days <= 0.0:
        return
    told = [_learn(ways, k, days, on, litres, share * (1.0 - share), astray) for k in range(len(WAYS))]
    best = max(told)
    odds = [p * exp(each - best) for p, each in zip(ways.odds, told, strict=True)]
    whole = sum(odds)
    odds = [max(LEAST_ODDS, p / whole) for p in odds]
    whole = sum(odds)
    ways.odds = [p / whole for p in odds]
    ways.seen = ways.seen * 0.5 ** (days / MEMORY_DAYS) + 1.0


def _learn(ways: Ways, k: int, days: float, on: Sequence[float], litres: float, parted: float, astray: float) -> float:
    """One way's step; returns the logarithm of the density it gave to the litres, but for a constant."""
    way, mean, cov, unit = WAYS[k], ways.mean[k], ways.cov[k], variance_of_day(ways, k)
    scale = _scale(mean)
    cov[0][0] += way.drift * days
    seen = [days, *on, -1.0] if way.size > 2 else [days, -1.0]
    towards = _times(cov, seen)
    cut = CUT * parted
    noise = days + cut + CLOCK_CV**2 * astray * mean[0] * mean[0] / unit
    spread = sum(map(mul, towards, seen)) + noise
    surprise = litres - sum(map(mul, mean, seen))
    for i, row in enumerate(cov):
        part = towards[i] / spread
        mean[i] += part * surprise
        cov[i] = [c - part * t for c, t in zip(row, towards, strict=False)]
    mean[0] = max(0.0, mean[0])
    # the cut at the end of this stretch takes the place of that at its start
    mean[-1] = cut / spread * surprise
    cov[-1] = [-t * cut / spread for t in towards]
    cov[-1][-1] = cut - cut * cut / spread
    freedom = DAY_BLOCKS + ways.seen
    square = surprise * surprise / spread
    seen_scatter = min(square, MOST_SURPRISE * unit) / (scale * scale)
    ways.scatter[k] = ways.scatter[k] * 0.5 ** (days / MEMORY_DAYS) + seen_scatter
    return (
        lgamma(0.5 * (freedom + 1.0)) - lgamma(0.5 * freedom) - 0.5 * log(freedom * unit * spread)
        - 0.5 * (freedom + 1.0) * log1p(square / (freedom * unit))
    )  # fmt: skip


def _times(cov: Sequence[Sequence[float]], x: Sequence[float]) -> list[float]:
    """A symmetric matrix, told by its rows up to the diagonal, times a vector that is mostly 0."""
    found = [0.0] * len(x)
    for j, weight in enumerate(x):
        if weight == 0.0:
            continue
        for i, c in enumerate(cov[j]):
            found[i] += weight * c
        for i in range(j + 1, len(x)):
            found[i] += weight * cov[i][j]
    return found


def level(ways: Ways) -> float:
    """The expected use of a mean day. [litres]"""
    return sum(p * mean[0] for p, mean in zip(ways.odds, ways.mean, strict=True))


def differences(ways: Ways) -> list[float]:
    """How far each weekday, from Monday, is expected to lie from the mean day. [litres]"""
    found = [0.0] * WEEK
    for p, mean in zip(ways.odds, ways.mean, strict=True):
        for j, each in enumerate(mean[1:-1]):
            found[j] += p * each
    return found


@dataclass(frozen=True)
class Mixture:
    """What the ways come to together, reckoned once a stretch. level: the expected use of a mean day. week: how far each weekday, from Monday,
    lies from it. [litres] of_day: variance of a day about its expectation. each, shared: variances of a day to come, what differs from day
    to day and what all share; they hold what the ways leave open and how far they are apart. [litres squared]"""

    level: float
    week: list[float]
    of_day: float
    each: float
    shared: float


def mixed(ways: Ways) -> Mixture:
    """All ways together, by their odds."""
    middle, usual = level(ways), differences(ways)
    wider, most = 1.0 + EARLY / (4.0 + ways.seen), (HOUSEHOLD_CV * max(middle, LEAST_LEVEL * FIRST_LEVEL)) ** 2
    unknown = sum(difference * difference for difference in usual) / WEEK
    of_day = each = shared = 0.0
    for k, (way, p) in enumerate(zip(WAYS, ways.odds, strict=True)):
        variance, mean, cov = variance_of_day(ways, k), ways.mean[k], ways.cov[k]
        unit = wider * variance
        pattern = unknown
        if way.size > 2:
            pattern = sum(unit * cov[j][j] + (mean[j] - usual[j - 1]) ** 2 for j in range(1, WEEK + 1)) / WEEK
        of_day += p * variance
        each += p * (unit * (1.0 - way.tie) + pattern)
        shared += p * (min(most, unit * cov[0][0]) + unit * way.tie + (mean[0] - middle) ** 2)
    return Mixture(middle, usual, of_day, each, shared)
