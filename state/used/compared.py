"""This stretch of days against the one before: what moved, whose, by how much, and whether days like these differ so by chance.

Each day is one figure; two sets of days are compared by Welch's test, since a busier week is also a more irregular one. Where many
activities and people are looked at, some move by chance alone: a part counts as moved only if it would among that many (Bonferroni).
Pure. May import: `usage`, `entry`.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from math import exp, inf, lgamma, log, sqrt

from state.entry import Entry
from state.lightclass import Literal, dataclass
from state.used import usage
from state.used.usage import Flow

CHANCE = 0.05
"""A difference that chance makes less often than this is told as one. The usual level, a convention."""

LEAST_DAYS = 3
"""With fewer days on a side nothing is said of chance."""

LEAST_SPREAD = 0.1
"""Days are never taken to be more alike than this part of their mean: a few equal days prove no habit. Common practice, no source."""


@dataclass(frozen=True)
class Moved:
    """What one sort of use takes a day now, and took before. by_chance: how often days like these would differ as much by chance; None
    where too few days are known. real: whether it is told as a difference. [litres a day; probability]"""

    kind: Literal["total", "activity", "person", "unlogged"]
    name: str
    now: float
    before: float
    by_chance: float | None
    real: bool

    @property
    def more(self) -> float:
        return self.now - self.before


def compare(
    entries: Sequence[Entry], flowed: Sequence[Flow], start: datetime, end: datetime, since: datetime
) -> list[Moved]:
    """The days from start to end against as many before, as far back as `since`: the total first, then what moved most.

    Only whole days of 24 hours count, the latest ending at `end`. flowed: see usage.flows.
    """
    near = [entry for entry in entries if entry.at >= since]
    now, before = _days(near, flowed, start, end), _days(near, flowed, max(since, start - (end - start)), start)
    total = _moved("total", "total", [day.litres for day in now], [day.litres for day in before], 1)
    names = sorted({name for day in (*now, *before) for name in day.by_activity})
    people = sorted({name for day in (*now, *before) for name in day.by_person})
    looked_at = len(names) + len(people) + 1
    parts = [
        _moved("activity", name, _of(now, "by_activity", name), _of(before, "by_activity", name), looked_at)
        for name in names
    ] + [
        _moved("person", name, _of(now, "by_person", name), _of(before, "by_person", name), looked_at)
        for name in people
    ]
    parts.append(_moved("unlogged", "unlogged", [d.unlogged for d in now], [d.unlogged for d in before], looked_at))
    return [total, *sorted(parts, key=lambda part: -abs(part.more))]


def _days(entries: Sequence[Entry], flowed: Sequence[Flow], start: datetime, end: datetime) -> list[usage.Used]:
    count = int((end - start) / timedelta(days=1) + 1e-6)
    edges = [end - timedelta(days=count - k) for k in range(count + 1)]
    return usage.in_parts(entries, flowed, edges)


def _of(days: Sequence[usage.Used], by: str, name: str) -> list[float]:
    """The litres a day of one activity or person; a day without it is a day of nothing."""
    return [getattr(day, by)[name].litres if name in getattr(day, by) else 0.0 for day in days]


def _moved(
    kind: Literal["total", "activity", "person", "unlogged"],
    name: str,
    now: list[float],
    before: list[float],
    looked_at: int,
) -> Moved:
    known = min(len(now), len(before)) >= LEAST_DAYS
    chance = welch(now, before, LEAST_SPREAD) if known else None
    real = chance is not None and chance * looked_at < CHANCE
    return Moved(kind, name, _mean(now), _mean(before), chance, real)


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0


def welch(a: Sequence[float], b: Sequence[float], least_spread: float = 0.0) -> float:
    """How often two sets of so many values differ in the mean by as much, or more, if nothing but chance is between them.

    Args: a, b: at least two values each. least_spread: of the values over their mean, at least.
    Returns: the two-sided p. [probability] Raises: ValueError for fewer than two values.
    Source: B. L. Welch, Biometrika 34 (1947) 28-35; NIST/SEMATECH e-Handbook, 1.3.5.3 (both from memory; checked against scipy.stats.ttest_ind).
    """
    if min(len(a), len(b)) < 2:
        raise ValueError("Welch's test needs two values on each side")
    floor = (least_spread * 0.5 * (_mean(a) + _mean(b))) ** 2
    parts = [max(_variance(values), floor) / len(values) for values in (a, b)]
    error = sum(parts)
    if error <= 0.0:
        return 1.0 if _mean(a) == _mean(b) else 0.0
    freedom = error**2 / sum(part**2 / (len(values) - 1) for part, values in zip(parts, (a, b), strict=True))
    t = (_mean(a) - _mean(b)) / sqrt(error)
    return incomplete_beta(freedom / 2.0, 0.5, freedom / (freedom + t * t))


def _variance(values: Sequence[float]) -> float:
    mean = _mean(values)
    return sum((value - mean) ** 2 for value in values) / (len(values) - 1)


def incomplete_beta(a: float, b: float, x: float) -> float:
    """The regularised incomplete beta function I_x(a, b), by its continued fraction (Lentz).

    Args: a, b: > 0. x: 0 to 1. Source: NIST Digital Library of Mathematical Functions, 8.17.22 (from memory; checked against scipy.special).
    """
    if x <= 0.0 or x >= 1.0:
        return 0.0 if x <= 0.0 else 1.0
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - incomplete_beta(b, a, 1.0 - x)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log(1.0 - x)) / a
    c, d, value = 1.0, 0.0, 1.0
    for m in range(300):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)) if m else 1.0
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        before = value
        for term in (even, odd) if m else (odd,):
            d = 1.0 / _off_zero(1.0 + term * d)
            c = _off_zero(1.0 + term / c)
            value *= c * d
        if abs(value - before) < 1e-14 * abs(value):
            break
    return front / value if value else inf


def _off_zero(value: float) -> float:
    return value if abs(value) > 1e-300 else 1e-300
