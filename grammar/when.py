"""A time as said, and the pure step from it to a date once a "now" is given.

`When` holds the words' own meaning ("last Monday evening", "in three days", "the 15th"); `past` and `future` turn it into
moments, `spans.py` into stretches. No clock is read here: now is an argument. The fixed readings of the parts of the day and of
weekdays are those of the project's interface. May import: the standard library only.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

from grammar.lightclass import Literal, dataclass, replace

# Hours of the parts of a day where no hour is said: fixed by the interface. `dawn`, `dusk`: common practice, no source.
HOURS: dict[str, time] = {
    "morning": time(8), "midday": time(12), "afternoon": time(15), "evening": time(19, 30), "night": time(21, 30),
    "midnight": time(0), "dawn": time(6), "dusk": time(20, 30),
}  # fmt: skip
MONTHS = tuple(("January February March April May June July August September October November December").split())
DAYS = tuple(("Monday Tuesday Wednesday Thursday Friday Saturday Sunday").split())
DAY_ALONE = time(10)
CHECK_OUT = time(11)
UNTOLD = ("stay", "then")  # "at the last stop", "an hour before that": gone by, and no date follows from it


@dataclass(frozen=True)
class When:
    """`text`: the words as said. A day is one of `day_offset` (yesterday -1), `weekday` (Monday 0), `day` of month with or without
    `month` and `year`, or a `period` (`week`, `weekend`, `month`, `year`, `day`, `night`, `hour`; those of UNTOLD) with `edge`.
    `which`: last, this, next, or "week after" ("Friday week"); `further`: one beyond that ("the week before last", "the Sunday after next").
    `part`: part of the day. `hour`, `minute`, `half` ("am", "pm"). `seconds`: an exact distance from now ("an hour ago" is negative),
    `whole_days`: a distance in days. `count`: "the last three days". `stay_end`: check-out. `arrival`: when this stay began. `through`: to
    the end of the day named. `since`: from then on. `strokes`: "6/8", the first number the month (else: `day_first`)."""

    text: str = ""
    day_offset: int | None = None
    weekday: int | None = None
    which: Literal["last", "this", "next", "week after"] | None = None
    further: bool = False
    day: int | None = None
    month: int | None = None
    year: int | None = None
    period: str | None = None
    edge: Literal["start", "middle", "end"] | None = None
    part: str | None = None
    hour: int | None = None
    minute: int = 0
    half: Literal["am", "pm"] | None = None
    seconds: float | None = None
    whole_days: float | None = None
    count: float | None = None
    stay_end: bool = False
    arrival: bool = False
    through: bool = False
    since: bool = False
    now: bool = False
    strokes: bool = False

    @property
    def has_day(self) -> bool:
        """Whether a day was named in any way."""
        told = (self.day_offset, self.weekday, self.day, self.month, self.period, self.seconds, self.whole_days)
        return any(value is not None for value in told)

    @property
    def has_hour(self) -> bool:
        return self.hour is not None or self.part is not None


def day_first(when: When) -> When:
    """The date of one who says the day before the month; as it stands where only one order makes a date."""
    if not when.strokes or when.day is None or when.month is None or when.day > 12:
        return when
    return replace(when, day=when.month, month=when.day)


@dataclass(frozen=True)
class Moment:
    """A moment found. `say_date`: another date could have been meant, so the answer must say it. `problem`: a sentence when there is
    no such moment (30 February), `at` is then None. `end_of_stay`: it means the end of the stay and none was known."""

    at: datetime | None
    say_date: bool = False
    problem: str = ""
    end_of_stay: bool = False


def past(when: When, now: datetime) -> Moment:
    """The moment that a report means; may lie after now, if that is what was said."""
    if when.now or when.stay_end:
        return Moment(now)
    if when.seconds is not None:
        return Moment(now + timedelta(seconds=when.seconds))
    if when.arrival or when.period in UNTOLD:
        return Moment(None)
    try:
        day, doubt = day_past(when, now)
    except ValueError as problem:
        return Moment(None, problem=str(problem))
    if when.hour is None and when.part is None:
        return Moment(_no_hour_past(day, now), doubt)
    at = _at(day, _hour(when, now, day, back=True), now)
    if when.part == "midnight" and when.hour is None and when.has_day:
        at += timedelta(days=1)
    if when.part == "night" and when.hour is not None and at.hour < SMALL_HOURS:
        at += timedelta(days=1)  # "at three last night": the night goes on past its midnight
    if _half_open(when) and " 0" not in f" {when.text}" and day == now.date() and at + timedelta(hours=12) <= now:
        at += timedelta(hours=12)  # "at two" said at three in the afternoon
    if when.hour is None and timedelta(0) < at - now <= timedelta(hours=2.5):
        return Moment(now, doubt)  # "tonight", said at nine of something done; how early is our own choice
    if not when.has_day and at > now + timedelta(minutes=5):
        # "at ten" said at eight in the morning, of something done: ten last night
        half_a_day = at - timedelta(hours=12)
        at = half_a_day if _half_open(when) and half_a_day <= now else at - timedelta(days=1)
        doubt = True
    return Moment(at, doubt)


SMALL_HOURS = 5  # the night goes on until then


def future(when: When, now: datetime, stay_until: datetime | None = None) -> Moment:
    """The moment that a question or a plan means; a day alone is 10:00, the end of the stay its own hour."""
    if when.now:
        return Moment(now)
    if when.seconds is not None:
        return Moment(now + timedelta(seconds=when.seconds))
    if when.stay_end and not when.has_day:
        last = stay_until.date() if stay_until is not None and when.has_hour else None
        at = _at(last, _hour_future(when, last, now), now) if last is not None else stay_until
        return Moment(at, end_of_stay=at is None)
    try:
        day, doubt = _day_future(when, now)
    except ValueError as problem:
        return Moment(None, problem=str(problem))
    at = _at(day, _hour_future(when, day, now), now)
    if when.part == "midnight" and when.hour is None:
        at += timedelta(days=1)
    if when.part == "night" and when.hour is not None and at.hour < SMALL_HOURS:
        at += timedelta(days=1)  # "till three tonight": the night goes on past its midnight
    if when.through and not when.has_hour:
        weekend = when.period == "weekend"
        at = _at(day + timedelta(days=weekend), HOURS["night"] if weekend else time(23, 59), now)
    if not when.has_day and at <= now:
        at += timedelta(hours=12) if _half_open(when) and at + timedelta(hours=12) > now else timedelta(days=1)
    elif when.weekday is not None and when.which is None and when.day is None and at <= now:
        at += timedelta(days=7)
    return Moment(at, doubt)


def nearer(when: When, now: datetime) -> Literal["past", "future", "either"]:
    """Which side of now a bare day lies on more naturally ("laundry on Thursday"): the nearer one; `either`, if the weekday just gone is
    nearer by a day at most: few tell so late of what they did."""
    if when.seconds is not None:
        return "past" if when.seconds <= 0 else "future"
    if when.which == "last" or (when.day_offset is not None and when.day_offset < 0):
        return "past"
    if when.which == "next" or (when.day_offset is not None and when.day_offset > 0) or when.stay_end:
        return "future"
    back, ahead = past(when, now).at, future(when, now).at
    if back is None or ahead is None:
        return "either"
    behind, before = now - back, ahead - now
    if behind < timedelta(0):
        return "future"
    if before <= timedelta(0):
        return "past"
    if timedelta(0) <= before - behind <= timedelta(days=1) and when.weekday is not None:
        return "either"
    return "past" if behind < before else "future"


# ---------------------------------------------------------------- days


def day_past(when: When, now: datetime) -> tuple[date, bool]:
    """The day meant, and whether another could have been."""
    today = now.date()
    if when.whole_days is not None:
        return today + timedelta(days=round(when.whole_days)), False
    if when.day_offset is not None:
        return today + timedelta(days=when.day_offset), False
    if when.weekday is not None and when.day is not None:
        return _named_date(when, today, back=True), False
    if when.weekday is not None:
        if when.which == "this":
            return _week_start(today) + timedelta(days=when.weekday), True
        back = (today.weekday() - when.weekday) % 7
        if when.which == "last" and back == 0:
            back = 7
        if when.which == "next":
            return _week_start(today) + timedelta(days=7 * step(when) + when.weekday), True
        return today - timedelta(days=back + 7 * when.further), when.which is not None or back == 0
    if when.period is not None:
        return period_day(when, today, back=True), True
    if when.day is not None or when.month is not None:
        found = _date_of(when, today, back=True)
        return found, _another_month(when, found, today)
    return today, False


def _day_future(when: When, now: datetime) -> tuple[date, bool]:
    """The day meant, and whether another could have been."""
    today = now.date()
    if when.whole_days is not None:
        return today + timedelta(days=round(when.whole_days)), False
    if when.day_offset is not None:
        return today + timedelta(days=when.day_offset), False
    if when.weekday is not None and when.day is not None:
        return _named_date(when, today, back=False), False
    if when.weekday is not None:
        return _weekday_future(when, today, now), when.which is not None or when.weekday == today.weekday()
    if when.period is not None:
        weekend = when.period == "weekend" and when.which is None and today.weekday() < 5
        month_end = when.period == "month" and when.edge == "end" and when.which != "next"
        return period_day(when, today, back=False), not weekend and not month_end
    if when.day is not None or when.month is not None:
        found = _date_of(when, today, back=False)
        return found, _another_month(when, found, today)
    return today, False


def _another_month(when: When, found: date, today: date) -> bool:
    """Whether a day of the month was taken for one of another month, or a day of the year for one of another year."""
    if when.year is not None:
        return False
    return found.year != today.year if when.month is not None else found.month != today.month


def _weekday_future(when: When, today: date, now: datetime) -> date:
    assert when.weekday is not None
    if when.which == "next":
        return _week_start(today) + timedelta(days=7 * step(when) + when.weekday)
    if when.which == "this":
        return _week_start(today) + timedelta(days=when.weekday)
    if when.which == "last":
        return today - timedelta(days=(today.weekday() - when.weekday) % 7 or 7)
    ahead = (when.weekday - today.weekday()) % 7
    if ahead == 0:  # the weekday that is today: a week ahead unless an hour still to come is said
        later = when.has_hour and _at(today, _hour_future(when, today, now), now) > now
        ahead = 0 if later else 7
    return today + timedelta(days=ahead + (7 if when.which == "week after" else 0))


def _named_date(when: When, today: date, back: bool) -> date:
    """ "Friday 19 June": the date, which must be that day of the week."""
    found = _date_of(when, today, back)
    if found.weekday() != when.weekday:
        month = MONTHS[found.month - 1]
        raise ValueError(f"{found.day} {month} is a {DAYS[found.weekday()]}, not a {DAYS[when.weekday or 0]}.")
    return found


def _week_start(today: date) -> date:
    return today - timedelta(days=today.weekday())


def _date_of(when: When, today: date, back: bool) -> date:
    """The calendar date; without a month or year the last or next one that exists."""
    day = when.day or 1
    if when.year is not None and when.month is not None:
        return _real(when.year, when.month, day)
    if when.month is not None:
        for year in (
            (today.year, today.year - 1, today.year - 2, today.year - 3) if back else range(today.year, today.year + 9)
        ):
            if _exists(year, when.month, day):
                found = date(year, when.month, day)
                if (found <= today) if back else (found >= today):
                    return found
        return _real(today.year, when.month, day)
    month = date(today.year, today.month, 1)
    for _ in range(14):
        if _exists(month.year, month.month, day):
            found = date(month.year, month.month, day)
            if (found <= today) if back else (found >= today):
                return found
        month = (month - timedelta(days=1)).replace(day=1) if back else (month + timedelta(days=32)).replace(day=1)
    return _real(today.year, today.month, day)


def days_in(year: int, month: int) -> int:
    return 31 if month == 12 else (date(year, month + 1, 1) - timedelta(days=1)).day


def _exists(year: int, month: int, day: int) -> bool:
    return 1 <= month <= 12 and 1 <= day <= days_in(year, month)


def _real(year: int, month: int, day: int) -> date:
    if not _exists(year, month, day):
        name = MONTHS[month - 1] if 1 <= month <= 12 else f"month {month}"
        raise ValueError(f"There is no {day} {name}.")
    return date(year, month, day)


def step(when: When) -> int:
    """How many weeks, months or years on: last -1, "before last" -2."""
    return {"last": -1, "next": 1}.get(when.which or "", 0) * (2 if when.further else 1)


def period_day(when: When, today: date, back: bool) -> date:
    """The day that a week, weekend, month or year stands for: its edge, else its last day, Saturday for a weekend."""
    on = step(when)
    if when.period == "weekend":
        saturday = _week_start(today) + timedelta(days=5 + 7 * on)
        if when.which is None and saturday < today and not back:
            saturday = today if today.weekday() == 6 and when.through else saturday + timedelta(days=7)
        if when.which is None and back and saturday > today:
            saturday -= timedelta(days=7)
        return saturday + timedelta(days=1) if when.edge == "end" else saturday
    if when.period == "week":
        monday = _week_start(today) + timedelta(days=7 * on)
        if when.edge is None and on:  # "next week" as a moment: seven days on
            return today + timedelta(days=7 * on)
        return monday + timedelta(days={"start": 0, "middle": 2}.get(when.edge or "end", 6))
    if when.period == "month":
        month, year = (when.month or today.month), today.year
        index = year * 12 + month - 1 + (0 if when.month else on)
        year, month = divmod(index, 12)
        days = days_in(year, month + 1)
        if when.edge is None and on:
            return date(year, month + 1, min(today.day, days))
        return date(year, month + 1, {"start": 1, "middle": 15}.get(when.edge or "end", days))
    if when.period == "year":
        return date(today.year + on, 12, 31) if when.edge != "start" else date(today.year + on, 1, 1)
    if when.period == "day":
        return today + timedelta(days=on)
    return today + timedelta(days=on)


# ---------------------------------------------------------------- hours


def _at(day: date, hour: time, now: datetime) -> datetime:
    return datetime.combine(day, hour, now.tzinfo)


def _no_hour_past(day: date, now: datetime) -> datetime:
    """A past day without an hour is its noon; today is now."""
    return now if day == now.date() else datetime.combine(day, time(12), now.tzinfo)


def in_order(whens: Sequence[When | None], now: datetime) -> list[When | None]:
    """Hours without "am" or "pm" of several things told in one phrase, settled so that they follow one another and have all passed:
    "dumped at eight and filled at nine" said in the evening is the morning's."""
    found, before = list(whens), now
    open_hours = [n for n, one in enumerate(found) if one is not None and _half_open(one) and not one.has_day]
    if len(open_hours) < 2:
        return found
    for n in reversed(open_hours):
        one = found[n]
        at = past(one, before).at if one is not None else None
        if one is None or at is None or at.date() != now.date():
            return list(whens)
        found[n], before = replace(one, half="am" if at.hour < 12 else "pm"), at
    return found


def _half_open(when: When) -> bool:
    return when.hour is not None and when.half is None and when.part is None and 1 <= when.hour <= 12


def _hour(when: When, now: datetime, day: date, back: bool) -> time:
    if when.hour is None:
        return HOURS[when.part or "midday"]
    hour = _of_24(when)
    if _half_open(when) and when.has_day and back and day < now.date() and hour < 6:
        hour += 12  # "yesterday at five": the afternoon
    return time(hour % 24, when.minute)


def _hour_future(when: When, day: date, now: datetime) -> time:
    if when.hour is None:
        if when.part is not None:
            return HOURS[when.part]
        if when.stay_end:
            return CHECK_OUT
        return DAY_ALONE
    hour = _of_24(when)
    if _half_open(when) and (when.has_day or when.stay_end) and hour < 6:
        hour += 12
    return time(hour % 24, when.minute)


def _of_24(when: When) -> int:
    hour = when.hour or 0
    if hour > 12:
        return hour
    if when.half == "pm" or (when.half is None and when.part in ("afternoon", "evening", "dusk")):
        return hour % 12 + 12
    if when.half is None and when.part == "night":
        return hour % 12 + 12 if 6 <= hour <= 11 else hour % 12
    if when.half is None and when.part == "midday":
        return 12 if hour == 12 else hour % 12 + 12 if hour < 5 else hour
    if when.half == "am" or when.part in ("morning", "dawn"):
        return hour % 12
    return hour
