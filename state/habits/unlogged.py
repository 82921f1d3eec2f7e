"""How much goes unlogged: what this household uses beyond what it says, learned from metered stretches.

    unlogged = sum over day parts of a_part x (pace of that part) + b x logged + error,   error variance = scatter x day's pace x pace

A household that logs everything drives every a to 0, one that logs nothing drives them to 1; b tells whether typical entries run high or
low. The five coefficients are a Bayesian linear regression (a static Kalman filter, see filter.py) that slowly forgets: what was
learned gives way to the prior's doubt.
Source: T. Hastie, R. Tibshirani, J. Friedman, The Elements of Statistical Learning, 2nd ed., Springer 2009, section 3.4.1 (ridge as
Bayesian regression; section from memory). Pure. May import: the standard library.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import sqrt

from state.lightclass import dataclass, field, replace

NAMES = ("night", "morning", "day", "evening")
PARTS = len(NAMES)

COMMON_VAR = 0.30**2
OWN_VAR = 0.12**2
LOGGED_VAR = 0.15**2
FIRST_PACE, FIRST_LOGGED = 1.0, -0.85
"""Before anything is metered: the household uses its pace in all, what it logs is part of that, and a little goes unlogged even where all
seems to be logged. Common practice, no source."""

FORGET_DAYS = 25.0
SCATTER = 0.2
FIRST_DAY_LITRES = 40.0
SCATTER_WEIGHT = 2.0
SCATTER_MEMORY = 60.0
SCATTER_MOST = 6.0
"""A surprise counts for no more than so many times the usual one, squared: days of washing and of guests are rare, and a spread that has room
for them is too wide four times in five."""


@dataclass
class Unlogged:
    """mean: of a_night, a_morning, a_day, a_evening, b. told, towards: what stretches told of them, as information at a scatter of 1, and
    that times where they point. scatter: variance of a day's error over the square of a day's pace. [ratio] day: that pace. [litres] n:
    stretches seen. paced, logged: litres of pace and of entries in them, fading like what they told."""

    mean: list[float] = field(default_factory=lambda: [FIRST_PACE] * PARTS + [0.0])
    told: list[list[float]] = field(default_factory=lambda: [[0.0] * (PARTS + 1) for _ in range(PARTS + 1)])
    towards: list[float] = field(default_factory=lambda: [0.0] * (PARTS + 1))
    scatter: float = SCATTER
    day: float = FIRST_DAY_LITRES
    n: float = 0.0
    paced: float = 0.0
    logged: float = 0.0

    def copy(self) -> Unlogged:
        told = [list(row) for row in self.told]
        return replace(self, mean=list(self.mean), told=told, towards=list(self.towards))

    def first(self) -> float:
        """The prior's middle of each a: what goes unlogged of a pace, where of `paced` so much was logged of late."""
        part = self.logged / self.paced if self.paced > 0.0 else 0.0
        return max(0.0, FIRST_PACE + FIRST_LOGGED * part)

    def information(self) -> list[list[float]]:
        """Inverse covariance of the coefficients: what the prior tells, and the stretches at the scatter as it is taken to be now."""
        part = 1.0 / self.scatter
        return [
            [first + part * each for first, each in zip(row, told, strict=True)]
            for row, told in zip(FIRST_TOLD, self.told, strict=True)
        ]


ROUNDING = 1e-14
"""What elimination leaves of a diagonal is no less than this part of it, whatever rounding says."""


def factor(matrix: list[list[float]]) -> list[list[float]]:
    """The lower L with L L^T = matrix, symmetric and positive definite (Cholesky); its rows end at the diagonal."""
    rows: list[list[float]] = []
    for i, row in enumerate(matrix):
        own: list[float] = []
        for j, other in enumerate(rows):
            rest = row[j]
            for k in range(j):
                rest -= own[k] * other[k]
            own.append(rest / other[j])
        rest = row[i]
        for each in own:
            rest -= each * each
        own.append(sqrt(max(rest, ROUNDING * row[i])))
        rows.append(own)
    return rows


def half(lower: list[list[float]], x: Sequence[float]) -> list[float]:
    """L^-1 x. Its square is x^T M^-1 x, for M = L L^T: three times as quick as the inverse itself, and a reading needs no more."""
    out: list[float] = []
    for row, rest in zip(lower, x, strict=True):
        for each, other in zip(row, out, strict=False):
            rest -= each * other
        out.append(rest / row[-1])
    return out


def solve(lower: list[list[float]], x: Sequence[float]) -> list[float]:
    """M^-1 x, for M = L L^T."""
    out = half(lower, x)
    for i in range(len(out) - 1, -1, -1):
        out[i] /= lower[i][i]
        for k in range(i):
            out[k] -= lower[i][k] * out[i]
    return out


def _prior_told() -> list[list[float]]:
    """The prior's information: the parts of the day hang together, entries stray by themselves."""
    size = PARTS + 1
    cov = [[COMMON_VAR + (OWN_VAR if i == j else 0.0) for j in range(PARTS)] + [0.0] for i in range(PARTS)]
    lower = factor([*cov, [0.0] * PARTS + [LOGGED_VAR]])
    return [solve(lower, [float(j == i) for j in range(size)]) for i in range(size)]


FIRST_TOLD = _prior_told()
FIRST_TOWARDS = [sum(row[:PARTS]) for row in FIRST_TOLD]
"""Where the prior points, for a middle of 1 of each a."""


def part_of(hour: int) -> int:
    """The day part of an hour of the local clock."""
    if hour < 5 or hour >= 22:
        return 0
    return 1 if hour < 10 else 2 if hour < 17 else 3


def next_change(at: datetime) -> datetime:
    """The next moment at which the day part changes."""
    for hour in (5, 10, 17, 22):
        if at.hour < hour:
            return at.replace(hour=hour, minute=0, second=0, microsecond=0)
    return at.replace(hour=5, minute=0, second=0, microsecond=0) + timedelta(days=1)


def expect(habits: Unlogged, pace: Sequence[float], logged: float) -> float:
    """Expected unlogged use of a stretch. pace: what the household uses in all, by day part; logged: what was said. [litres] Not below 0."""
    mean, first = habits.mean, 1.0 / (1.0 + habits.n) ** 2
    learned = sum(a * e for a, e in zip(mean, pace, strict=False)) + mean[PARTS] * logged
    guessed = FIRST_PACE * sum(pace) + FIRST_LOGGED * logged
    return max(0.0, first * guessed + (1.0 - first) * learned)


def error_variance(habits: Unlogged, pace_litres: float) -> float:
    """How far unlogged use strays, beside the coefficients' own doubt, where the pace would be so much. [litres squared]"""
    return habits.scatter * habits.day * pace_litres


def logged_parts(habits: Unlogged) -> dict[str, float]:
    """What part of its water this household logs, by day part (0 to 1). Before anything is metered, a guess."""
    return {name: min(1.0, max(0.0, 1.0 - habits.mean[part])) for part, name in enumerate(NAMES)}


def doubt(habits: Unlogged, pace: Sequence[float]) -> float:
    """Variance of the unlogged fraction of the pace, from the coefficients alone. [ratio squared]"""
    total = sum(pace)
    x = [each / total for each in pace] if total > 0.0 else [1.0] + [0.0] * (PARTS - 1)
    return _square(half(factor(habits.information()), [*x, 0.0]))


def _square(x: Sequence[float]) -> float:
    return sum(each * each for each in x)


def learn(habits: Unlogged, pace: Sequence[float], logged: float, unlogged: float, days: float) -> None:
    """Take in a metered stretch. unlogged: metered less logged; below 0 where entries ran high. [litres] days: its length.

    What stretches told fades by half in FORGET_DAYS, the prior does not. So a coefficient that they do not tell apart from another is
    never doubted more than at first; growing the covariance instead lets such doubt run away, until rounding decides. And all is weighed
    at the scatter as it is taken to be now: a household that turns out to be steady soon leaves the prior behind, one whose ways change
    looks scattered at first, and then what it told before counts for less.
    Source: L. Ljung, S. Gunnarsson, Adaptation and tracking in system identification: a survey, Automatica 26 (1990), on exponential
    forgetting and its windup (from memory); the estimate is ridge regression with fading weights, checked with numpy in the tests.
    """
    total = sum(pace)
    if total <= 0.0:
        return
    x = [*pace, logged]
    told, places, keep = habits.told, range(PARTS + 1), 0.5 ** (min(days, 60.0) / FORGET_DAYS)
    for row in told:
        for j in places:
            row[j] *= keep
    noise = error_variance(habits, total) + 0.1
    spread = _square(half(factor(habits.information()), x)) + noise
    residual = unlogged - sum(a * each for a, each in zip(habits.mean, x, strict=True))
    weight = habits.scatter / noise
    for i in places:
        habits.towards[i] = habits.towards[i] * keep + x[i] * unlogged * weight
        for j in places:
            told[i][j] += x[i] * x[j] * weight
    # the part of the surprise that is scatter, not ignorance
    seen = residual * residual * noise / (spread * total * habits.day)
    habits.n += 1.0
    habits.paced, habits.logged = habits.paced * keep + total, habits.logged * keep + logged
    habits.scatter += (min(seen, SCATTER_MOST * habits.scatter) - habits.scatter) / (
        SCATTER_WEIGHT + min(habits.n, SCATTER_MEMORY)
    )
    habits.scatter = max(0.0005, habits.scatter)
    middle = habits.first()
    towards = [
        middle * first + each / habits.scatter for first, each in zip(FIRST_TOWARDS, habits.towards, strict=True)
    ]
    mean = solve(factor(habits.information()), towards)
    habits.mean = [min(1.6, max(0.0, each)) for each in mean[:PARTS]] + mean[PARTS:]
