"""A household's habits: how much water goes in a day, how irregular the days are, when in the day it runs, and for what.

Learned from settled stretches (so many litres between two readings); before there is data a prior of frugal life on the road stands in,
marked as such. How far back the days tell of those to come is learned too (ways.py). What comes out is a predictive distribution of the
indoor use over any stretch of the future (leaning.py), wide while little is known. All sums fade, so a year of log costs no more than a week.

Use is counted per person-equivalent: `people ** SCALE`, since a second person does not quite double the water.
Pure: no clock, no randomness; Habits is plain data. May import: `dayparts`, `leaning`, `settled`, `ways` and the standard library.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from itertools import accumulate
from math import sqrt

from state.habits import dayparts, ways
from state.leaning import Leaning
from state.lightclass import TYPE_CHECKING, Any, asdict, dataclass, field

if TYPE_CHECKING:
    from state.settled import Settled

LITRES_PER_PERSON_DAY = ways.FIRST_LEVEL
"""The middle of what frugal households on the road use, 12 to 31 litres per person and day. Common practice, no source; above the
Sphere Handbook's minimum of 15 litres (Water supply standard 1)."""

SCALE = 0.88
"""Use grows as people to this power: the simulated homes of the project's reference figures use 141 litres for one person and 2 x 130
for two, and log(260 / 141) / log 2 = 0.88."""

LEAST_BLOCK = 0.7
"""Stretches are gathered until they come to so many effective days: less says nothing of how days differ."""

MEMORY_DAYS = 22.0
CLOCK_HALF_LIFE = 30.0
"""Days after which a day weighs half: in the plain sums, in the shape of the day. Tuned on measured homes."""

LEAST_FACTOR, LEAST_RATE = 0.05, 0.4
"""However little went so far, a little is expected: of a mean day, and litres a day."""

SUPPLY_DAYS = 14.0
"""How many days on one supply it takes until half of a seen difference between hookup and tank is believed."""

LOGGED, LOGGED_SD = 0.87, 0.2
GUESSED_SD = 0.35
"""What part of its water a household logs that logs most days, and how far that differs; how far figures for uses whose volume nobody said are
off from household to household. Common practice, no source."""

LONG_ABSENCE_SECONDS = 12 * 3600.0
"""Shorter outings are part of a household's habits and stay in its days."""


@dataclass
class Habits:
    """Fading sums, per person-equivalent. [effective days, litres]

    life: how days hang together; mixed: what they come to. days, litres: plain sums. open_*: the stretches since the last whole day closed,
    by weekday and by hour of the clock. supply: by `hookup` and `tank`, days and litres. hours: the day's shape, as learned; clock:
    cumulative, with its prior. uses: activity to litres and count. off: of the pace, squared, by how it was told [ratio squared].
    """

    life: ways.Ways = field(default_factory=ways.Ways)
    mixed: ways.Mixture = field(default_factory=lambda: ways.mixed(ways.Ways()))
    days: float = 0.0
    litres: float = 0.0
    open_litres: float = 0.0
    open_week: list[float] = field(default_factory=lambda: [0.0] * ways.WEEK)
    open_hours: list[float] = field(default_factory=lambda: [0.0] * 24)
    open_days: float = 0.0
    total_days: float = 0.0
    supply: dict[str, list[float]] = field(default_factory=lambda: {"hookup": [0.0, 0.0], "tank": [0.0, 0.0]})
    hours: list[float] = field(default_factory=lambda: [0.0] * 24)
    clock: list[float] = field(default_factory=lambda: dayparts.shape([0.0] * 24))
    uses: dict[str, list[float]] = field(default_factory=dict)
    use_days: float = 0.0
    off: float = 0.0


def new() -> Habits:
    """The habits of a household nothing is known about."""
    return Habits()


def to_data(habits: Habits) -> dict[str, Any]:
    """Habits as JSON-able data."""
    return asdict(habits)


def from_data(data: Mapping[str, Any]) -> Habits:
    """The inverse of `to_data`; unknown keys raise TypeError."""
    own = {"life": ways.Ways(**data["life"]), "mixed": ways.Mixture(**data["mixed"])}
    return Habits(**{**data, **own})


def persons(people: float) -> float:
    """Person-equivalents of so many people; in proportion below one (somebody aboard for part of the time), 0 for nobody."""
    return people**SCALE if people >= 1.0 else max(0.0, people)


def learn(habits: Habits, settled: Settled) -> None:
    """Take in one settled stretch: what was used from its start to its end, by so many people. Changes `habits` in place.

    A long absence takes its share out of the stretch; the short outings of a day belong to the household's habits and stay in.
    """
    whole = dayparts.effective_days(habits.clock, settled.start, settled.end)
    length = (settled.end - settled.start).total_seconds()
    if whole <= 0.0 or length <= 0.0 or settled.litres < 0.0:
        return
    present = 1.0
    if settled.away_seconds >= LONG_ABSENCE_SECONDS or settled.away_seconds >= 0.9 * length:
        present = max(0.0, 1.0 - settled.away_seconds / length)
    equivalents = persons(settled.people)
    if whole * present < 1e-3 or equivalents < 0.1:
        return
    for hour, covered in enumerate(dayparts.hours_between(settled.start, settled.end)):
        habits.open_hours[hour] += present * covered
    # the open day is measured anew as a whole: readings at the same hours are then whole days apart, however the clock is learned
    days = dayparts.days_of(habits.clock, habits.open_hours) - habits.open_days
    litres = settled.litres / equivalents
    _learn_sums(habits, days, litres, settled.supply)
    habits.off += (settled.off * settled.off - habits.off) * min(1.0, days / habits.days)
    _learn_uses(habits, settled, days, equivalents)
    for weekday, part in enumerate(dayparts.by_weekday(habits.clock, settled.start, settled.end)):
        habits.open_week[weekday] += present * part
    habits.open_days += days
    habits.open_litres += litres
    if habits.open_days >= LEAST_BLOCK:
        _learn_ways(habits, settled.end)
    if settled.away_seconds <= 0.0:
        rate = mean_rate(habits)
        if rate > 0.0:
            dayparts.learn(habits.hours, settled.start, settled.end, litres / rate, CLOCK_HALF_LIFE)
            habits.clock = dayparts.shape(habits.hours)


def _learn_sums(habits: Habits, days: float, litres: float, supply: str) -> None:
    fade = 0.5 ** (days / MEMORY_DAYS)
    habits.days = habits.days * fade + days
    habits.litres = habits.litres * fade + litres
    habits.total_days += days
    for name, sums in habits.supply.items():
        sums[0], sums[1] = sums[0] * fade, sums[1] * fade
        if name == supply:
            sums[0], sums[1] = sums[0] + days, sums[1] + litres


def _learn_ways(habits: Habits, end: datetime) -> None:
    """About a day is full: what it was, is taken in as a whole."""
    part = habits.open_days / max(1e-9, sum(habits.open_week))
    astray = abs((sum(habits.open_hours) + 12.0) % 24.0 - 12.0) / 12.0
    on = [part * each for each in habits.open_week]
    ways.learn(habits.life, on, habits.open_litres, dayparts.share_gone(habits.clock, end), astray)
    habits.mixed = ways.mixed(habits.life)
    habits.open_days = habits.open_litres = 0.0
    habits.open_week, habits.open_hours = [0.0] * ways.WEEK, [0.0] * 24


def _learn_uses(habits: Habits, settled: Settled, days: float, equivalents: float) -> None:
    fade = 0.5 ** (days / MEMORY_DAYS)
    habits.use_days = habits.use_days * fade + days
    for sums in habits.uses.values():
        sums[0], sums[1] = sums[0] * fade, sums[1] * fade
    for activity, litres, count in settled.entries or ():
        sums = habits.uses.setdefault(activity, [0.0, 0.0])
        sums[0] += litres / equivalents
        sums[1] += count / equivalents


def mean_rate(habits: Habits, supply: str | None = None) -> float:
    """Litres per person-equivalent and effective day. `supply`: where the household behaves differently on the hookup and on its tank.

    The difference is believed by the weight of the days on that supply, and not at all before the other was seen.
    """
    rate = max(LEAST_RATE, habits.mixed.level)
    other = "tank" if supply == "hookup" else "hookup"
    if supply is None or habits.supply[other][0] < 1.0:
        return rate
    own_days, own_litres = habits.supply[supply]
    if own_days <= 0.0:
        return rate
    return rate + (own_litres / own_days - rate) * own_days / (own_days + SUPPLY_DAYS)


def by_log(habits: Habits, litres: float, days: float, people: float, guessed: float) -> tuple[float, float, float]:
    """What a household uses that has nothing but its log to tell, by the days learned from and a stretch of which so many litres are logged.

    A household logs the part LOGGED of its water, and uses FIRST_LEVEL, each as far as such things are known; both are taken as log-normal.
    days: effective days of the stretch times person-equivalents. guessed: what part of its uses were told without a volume.
    Returns: what is usually logged in such a stretch, what is not, and by what part of itself the pace so found may be off. [litres, litres,
    ratio]
    """
    if days <= 0.0 or litres <= 0.0:
        return 0.0, 0.0, 0.0
    aboard, before = persons(people), sum(sums[0] for sums in habits.uses.values())
    logged = (before * aboard + litres) / (habits.use_days * aboard + days)
    doubt, common = LOGGED_SD**2 + (GUESSED_SD * guessed) ** 2, ways.HOUSEHOLD_CV**2
    by_part = common / (common + doubt)
    level = (logged / LOGGED) ** by_part * ways.FIRST_LEVEL ** (1.0 - by_part)
    return logged * days, max(0.0, level - logged) * days, sqrt(doubt * by_part)


def day_spread(habits: Habits) -> float:
    """Standard deviation of one day's use over the mean rate. [ratio]"""
    return sqrt(habits.mixed.of_day) / mean_rate(habits)


def week_factors(habits: Habits) -> list[float]:
    """How each weekday, from Monday, compares with the mean day; all about 1 unless the days seen carry a difference."""
    rate = mean_rate(habits)
    return [max(LEAST_FACTOR, 1.0 + each / rate) for each in habits.mixed.week]


@dataclass(frozen=True)
class Clock:
    """How a household's use is laid out in time: hours of the day, days of the week (`before`: factors of the weekdays before each)."""

    cumulative: list[float]
    factors: list[float]
    before: list[float]

    def days(self, start: datetime, end: datetime) -> float:
        """Effective days from start to end; a weekday on which more is used counts for more than 1. [days]"""
        return self.span(start, end)[0]

    def span(self, start: datetime, end: datetime) -> tuple[float, float]:
        """(effective days, the same with all weekdays alike). [days]"""
        if end <= start:
            return 0.0, 0.0
        a, whole_a = self._place(start)
        b, whole_b = self._place(dayparts.as_local(end, start))
        return b - a, whole_b - whole_a

    def cut(self, at: datetime) -> float:
        """How much more irregular a stretch is for beginning, or ending, at such a moment within a day. [days]"""
        gone = dayparts.share_gone(self.cumulative, at)
        return ways.CUT * gone * (1.0 - gone)

    def _place(self, at: datetime) -> tuple[float, float]:
        number, gone = dayparts.day_number(at), dayparts.share_gone(self.cumulative, at)
        weeks, weekday = divmod(number, ways.WEEK)
        return weeks * self.before[-1] + self.before[weekday] + self.factors[weekday] * gone, number + gone


def clock_of(habits: Habits) -> Clock:
    """The household's clock, made once for a question."""
    factors = week_factors(habits)
    return Clock(habits.clock, factors, list(accumulate(factors, initial=0.0)))


def doubts(habits: Habits) -> tuple[float, float]:
    """(variance of each day, variance that all days share), both over the mean squared and widened while few days are known."""
    square = mean_rate(habits) ** 2
    return habits.mixed.each / square, habits.mixed.shared / square + habits.off


def spread_of(mean: float, irregular: float, days: float, cuts: float, doubt: tuple[float, float]) -> float:
    """Standard deviation of a total. The days' own irregularity grows with time; that the household's mean is not quite known, and that
    its pace wanders, with its square.

    mean: [litres]. irregular: sum of (litres a day) squared times days. days: in all. cuts: see Clock.cut, of both ends. doubt: see `doubts`.
    Returns: [litres]
    """
    if days > 0.0:
        irregular += (mean / days) ** 2 * cuts * min(1.0, days)
    return sqrt(doubt[0] * irregular + doubt[1] * mean * mean)


def use(habits: Habits, start: datetime, end: datetime, people: float, supply: str = "tank") -> Leaning:
    """Predictive distribution of the indoor use from start to end with so many people at home. [litres]"""
    return Leaning(*rate(habits, start, end, people, supply))


def rate(habits: Habits, start: datetime, end: datetime, people: float, supply: str = "tank") -> tuple[float, float]:
    """Mean and standard deviation of the indoor use from start to end; nobody away. [litres]"""
    clock, daily = clock_of(habits), mean_rate(habits, supply) * persons(people)
    days, whole = clock.span(start, end)
    cuts = clock.cut(start) + clock.cut(end)
    return daily * days, spread_of(daily * days, daily * daily * days, whole, cuts, doubts(habits))
