"""A time as said, as a stretch that is asked about: yesterday, this week, in May, since Friday. Now is an argument.

May import: when.
"""

from __future__ import annotations

from datetime import datetime, time, timedelta

from grammar.lightclass import replace
from grammar.when import When, day_past, past, period_day, step

PART_SPANS: dict[str, tuple[int, int]] = {  # hours of a stretch asked about
    "morning": (5, 12), "midday": (11, 14), "afternoon": (12, 18), "evening": (17, 23), "night": (20, 28), "midnight": (23, 25),
    "dawn": (4, 8), "dusk": (18, 22),
}  # fmt: skip


def span(when: When, now: datetime) -> tuple[datetime, datetime]:
    """From and to (exclusive) of a stretch asked about: yesterday, this week, in May, since Friday."""
    start = now.replace(hour=0, minute=0, second=0, microsecond=0)
    if when.since:
        begin, _ = span(replace(when, since=False), now)
        return (past(when, now).at or begin) if when.has_hour else begin, now
    if when.seconds is not None:
        return now + timedelta(seconds=min(when.seconds, 0)), now
    if when.count is not None:
        return _last_few(when, now)
    if when.now:
        return start, start + timedelta(days=1)
    if when.period in ("week", "weekend", "month", "year"):
        return _period_span(when, start)
    if when.month is not None and when.day is None:
        year = when.year or (now.year if when.month <= now.month else now.year - 1)
        first = start.replace(year=year, month=when.month, day=1)
        return first, _months_on(first, 1)
    day, _ = day_past(when, now)
    begin = datetime.combine(day, time(0), now.tzinfo)
    if when.part is not None:
        low, high = PART_SPANS[when.part]
        return begin + timedelta(hours=low), begin + timedelta(hours=high)
    return begin, begin + timedelta(days=1)


def _months_on(first: datetime, months: int) -> datetime:
    index = first.year * 12 + first.month - 1 + months
    return first.replace(year=index // 12, month=index % 12 + 1, day=1)


def _period_span(when: When, start: datetime) -> tuple[datetime, datetime]:
    on = step(when)
    if when.period == "week":
        monday = start - timedelta(days=start.weekday()) + timedelta(days=7 * on)
        return monday, monday + timedelta(days=7)
    if when.period == "weekend":
        saturday = datetime.combine(period_day(when, start.date(), back=on <= 0), time(0), start.tzinfo)
        return saturday, saturday + timedelta(days=2)
    if when.period == "month":
        first = _months_on(start.replace(day=1), on)
        return first, _months_on(first, 1)
    first = start.replace(month=1, day=1, year=start.year + on)
    return first, first.replace(year=first.year + 1)


def _last_few(when: When, now: datetime) -> tuple[datetime, datetime]:
    count = when.count or 1
    days = {"hour": 1 / 24, "day": 1, "night": 1, "week": 7, "month": 30.4375, "year": 365.25}.get(
        when.period or "day", 1
    )
    length = timedelta(days=min(count * days, 36500))
    return (now, now + length) if when.which == "next" else (now - length, now)
