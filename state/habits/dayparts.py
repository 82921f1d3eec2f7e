"""The shape of a household's day: what share of a day's water each hour carries, learned, and integrated over any stretch of time.

A stretch is measured in *effective days*: a whole day is 1, a night is little, a morning is much. Local hours are those of the
stretch's own UTC offset. Before data the shape is a published one; readings a few hours apart and logged uses move it.
May import: the standard library only.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

# 24 hourly fractions of a home's draws, mornings and evenings carrying most. Source: default schedule shipped with the package
# ochre-nrel 0.9.2 (BSD licence), restated in the project's reference figures; used for shape, not for level.
PRIOR_HOURS: tuple[float, ...] = (
    0.012, 0.006, 0.004, 0.005, 0.010, 0.034, 0.078, 0.086, 0.080, 0.067, 0.056, 0.047,
    0.040, 0.035, 0.033, 0.031, 0.038, 0.051, 0.060, 0.060, 0.055, 0.048, 0.038, 0.026,
)  # fmt: skip

PRIOR_DAYS = 12.0
"""How many days of the household's own clock weigh as much as the published shape (tuned on measured homes)."""

_EPOCH = datetime(2019, 12, 30).toordinal()
"""A Monday, to count from."""


def shape(hours: Sequence[float]) -> list[float]:
    """25 cumulative shares, from 0.0 at midnight to 1.0 at the next, of the learned `hours` (day-equivalents, 24 of them) and the prior."""
    raw = [PRIOR_DAYS * prior + own for prior, own in zip(PRIOR_HOURS, hours, strict=True)]
    total = sum(raw)
    cumulative, running = [0.0], 0.0
    for hour in raw:
        running += hour / total
        cumulative.append(running)
    cumulative[24] = 1.0
    return cumulative


def effective_days(cumulative: Sequence[float], start: datetime, end: datetime) -> float:
    """Effective days from start to end (aware; end not before start, else 0). [days]"""
    if end <= start:
        return 0.0
    return _place(cumulative, as_local(end, start)) - _place(cumulative, start)


def hours_between(start: datetime, end: datetime) -> list[float]:
    """How long each hour of the local clock lasts between two moments. [24 x hours]"""
    whole, rest = divmod(max(0.0, (end - start).total_seconds()), 86400.0)
    found = [whole] * 24
    hour, into, rest = start.hour, start.minute / 60.0 + start.second / 3600.0, rest / 3600.0
    while rest > 0.0:
        step = min(rest, 1.0 - into)
        found[hour] += step
        hour, into, rest = (hour + 1) % 24, 0.0, rest - step
    return found


def days_of(cumulative: Sequence[float], hours: Sequence[float]) -> float:
    """Effective days of so much of each hour. [days]"""
    return sum(each * (cumulative[i + 1] - cumulative[i]) for i, each in enumerate(hours))


def by_weekday(cumulative: Sequence[float], start: datetime, end: datetime) -> list[float]:
    """The effective days by the weekday that they fall on, from Monday. [7 x days]"""
    if end <= start:
        return [0.0] * 7
    return [
        b - a for a, b in zip(_weekdays(cumulative, start), _weekdays(cumulative, as_local(end, start)), strict=True)
    ]


def _weekdays(cumulative: Sequence[float], at: datetime) -> list[float]:
    weeks, today = divmod(day_number(at), 7)
    found = [weeks + (1.0 if weekday < today else 0.0) for weekday in range(7)]
    found[today] += share_gone(cumulative, at)
    return found


def as_local(at: datetime, other: datetime) -> datetime:
    """The same moment in the time of another one's place."""
    return at.astimezone(other.tzinfo) if at.utcoffset() != other.utcoffset() else at


def day_number(at: datetime) -> int:
    """Days since a Monday."""
    return at.toordinal() - _EPOCH


def share_gone(cumulative: Sequence[float], at: datetime) -> float:
    """How much of its day's water has usually gone by then. [0 to 1]"""
    low = cumulative[at.hour]
    part = at.minute / 60.0 + at.second / 3600.0
    return low + part * (cumulative[at.hour + 1] - low)


def _place(cumulative: Sequence[float], at: datetime) -> float:
    return day_number(at) + share_gone(cumulative, at)


def learn(hours: list[float], start: datetime, end: datetime, days: float, half_life_days: float) -> None:
    """Take in that `days` (day-equivalents of water) were used from start to end; stretches over 14 hours say nothing of the clock.

    Changes `hours` in place. Within the stretch the water is laid out by the shape believed so far (a step of the EM algorithm).
    """
    length = (end - start).total_seconds() / 3600.0
    if not 0.0 < length <= 14.0:
        return
    cumulative = shape(hours)
    whole = effective_days(cumulative, start, end)
    if whole <= 0.0:
        return
    fade = 0.5 ** (length / 24.0 / half_life_days)
    for hour in range(24):
        hours[hour] *= fade
    at, share = start, min(days, 3.0) / whole
    while at < end:
        after = min(end, at.replace(minute=0, second=0, microsecond=0) + timedelta(hours=1))
        hours[at.hour] += share * effective_days(cumulative, at, after)
        at = after
