"""A household's habits: how much water goes in a day, how irregular the days are, when in the day it runs, and for what.

Learned from settled stretches (so many litres between two readings), recent days weighing more; before there is data a prior of
frugal life on the road stands in, marked as such. What comes out is a predictive distribution of the indoor use over any stretch of
the future (leaning.py), wide while little is known. All sums fade geometrically, so a year of log costs no more than a week.

Use is counted per person-equivalent: `people ** SCALE`, since a second person does not quite double the water.
Pure: no clock, no randomness; Habits is plain data. May import: `dayparts`, `leaning`, `settled` and the standard library.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from math import sqrt

from state import dayparts
from state.leaning import Leaning
from state.lightclass import TYPE_CHECKING, Any, asdict, dataclass, field

if TYPE_CHECKING:
    from state.settled import Settled

LITRES_PER_PERSON_DAY = 20.0
"""The middle of what frugal households on the road use, 12 to 31 litres per person and day. Common practice, no source; above the
Sphere Handbook's minimum of 15 litres (Water supply standard 1)."""

PRIOR_DAYS = 1.0
"""How many days of own data weigh as much as that prior."""

SCALE = 0.88
"""Use grows as people to this power: the simulated homes of the project's reference figures use 141 litres for one person and 2 x 130
for two, and log(260 / 141) / log 2 = 0.88."""

DAY_CV = 0.43
"""Spread of one day's use over its mean before own data are known; measured homes had 0.17 to 0.80."""

CV_BLOCKS = 3.0
"""How many days of own data weigh as much as that spread."""

HOUSEHOLD_CV = 0.35
"""How far the mean of a household not known yet lies from that prior: 12 to 31 litres, at the 10 and 90 % points."""

EARLY = 1.6
"""While few days are known their own spread is itself doubtful, so the variance is wider by EARLY / (4 + days): what a Student's t
does for a normal. Tuned on measured homes."""

LEAST_BLOCK = 0.7
"""From so many effective days on, gathered stretches count as a day for the spread."""

CLOCK_CV = 0.2
"""How far, in days, the clock is off over a stretch that begins and ends at opposite hours; at like hours it cancels out."""

MEAN_HALF_LIFE = 22.0
SPREAD_HALF_LIFE = 60.0
CLOCK_HALF_LIFE = 30.0
"""Days after which a day weighs half: for the mean, the spread, the shape of the day. Tuned on measured homes."""

DRIFT_CV = 0.03
"""How far, over its mean, the pace of the coming days wanders from that of the past ones. Tuned on measured homes."""

WEEKEND_CV = 0.10
"""How far weekends differ from other days from home to home, over the mean: the prior against which a seen difference is weighed, so
that a pattern counts only where the days carry it. Tuned on measured homes (0.57 to 1.9 among them)."""

SUPPLY_DAYS = 14.0
"""How many days on one supply it takes until half of a seen difference between hookup and tank is believed."""

LONG_ABSENCE_SECONDS = 12 * 3600.0
"""Shorter outings are part of a household's habits and stay in its days."""


@dataclass
class Habits:
    """Fading sums, per person-equivalent. [effective days, litres, litres squared per day]

    days, litres: for the mean. blocks, slow_days, slow_litres, square: for the spread from day to day. open_*: the stretches since the
    last whole day closed (open_hours: how much of each hour of the clock they cover).
    supply: by `hookup` and `tank`, days and litres. week: days and litres of weekends, then of other days.
    hours: the day's shape, as learned; clock: cumulative, with its prior. uses: activity to litres and count.
    """

    days: float = 0.0
    litres: float = 0.0
    blocks: float = 0.0
    slow_days: float = 0.0
    slow_litres: float = 0.0
    square: float = 0.0
    open_days: float = 0.0
    open_litres: float = 0.0
    open_weekend: float = 0.0
    open_hours: list[float] = field(default_factory=lambda: [0.0] * 24)
    clock_noise: float = 0.0
    total_days: float = 0.0
    supply: dict[str, list[float]] = field(default_factory=lambda: {"hookup": [0.0, 0.0], "tank": [0.0, 0.0]})
    week: list[float] = field(default_factory=lambda: [0.0] * 4)
    hours: list[float] = field(default_factory=lambda: [0.0] * 24)
    clock: list[float] = field(default_factory=lambda: dayparts.shape([0.0] * 24))
    uses: dict[str, list[float]] = field(default_factory=dict)
    use_days: float = 0.0


@dataclass(frozen=True)
class Stretch:
    """A piece of the future with one number of people aboard and one supply; `factor` scales the habits (what-ifs)."""

    start: datetime
    end: datetime
    people: float
    supply: str = "tank"
    factor: float = 1.0


def new() -> Habits:
    """The habits of a household nothing is known about."""
    return Habits()


def to_data(habits: Habits) -> dict[str, Any]:
    """Habits as JSON-able data."""
    return asdict(habits)


def from_data(data: Mapping[str, Any]) -> Habits:
    """The inverse of `to_data`; unknown keys raise TypeError."""
    return Habits(**data)


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
    _learn_mean(habits, days, litres, settled.supply)
    weekend = dayparts.weekend_days(habits.clock, settled.start, settled.end) * present
    _learn_uses(habits, settled, days, equivalents)
    _learn_spread(habits, days, litres, weekend)
    if settled.away_seconds <= 0.0:
        rate = mean_rate(habits)
        if rate > 0.0:
            dayparts.learn(habits.hours, settled.start, settled.end, litres / rate, CLOCK_HALF_LIFE)
            habits.clock = dayparts.shape(habits.hours)


def _learn_mean(habits: Habits, days: float, litres: float, supply: str) -> None:
    fade = 0.5 ** (days / MEAN_HALF_LIFE)
    habits.days = habits.days * fade + days
    habits.litres = habits.litres * fade + litres
    habits.total_days += days
    for name, sums in habits.supply.items():
        sums[0], sums[1] = sums[0] * fade, sums[1] * fade
        if name == supply:
            sums[0], sums[1] = sums[0] + days, sums[1] + litres


def weekend_factors(habits: Habits) -> tuple[float, float]:
    """(weekend, other days): how a day's use compares with the mean day; 1, 1 unless the days seen carry a difference.

    The seen difference d with variance v is shrunk to d * t / (t + v), t the variance of such differences from home to home.
    """
    weekend_days, weekend_litres, other_days, other_litres = habits.week
    if weekend_days < 1.5 or other_days < 1.5:
        return 1.0, 1.0
    mean = (weekend_litres + other_litres) / (weekend_days + other_days)
    if mean <= 0.0:
        return 1.0, 1.0
    seen = (weekend_litres / weekend_days - other_litres / other_days) / mean
    doubt = day_spread(habits) ** 2 * (1.0 / weekend_days + 1.0 / other_days)
    kept = seen * WEEKEND_CV**2 / (WEEKEND_CV**2 + doubt)
    kept = max(-0.7, min(0.9, kept))
    return 1.0 + kept * 5.0 / 7.0, 1.0 - kept * 2.0 / 7.0


def _learn_spread(habits: Habits, days: float, litres: float, weekend: float) -> None:
    """Irregularity, and the week, are judged by whole days: stretches are gathered until about a day is full."""
    habits.open_days += days
    habits.open_litres += litres
    habits.open_weekend += weekend
    if habits.open_days < LEAST_BLOCK:
        return
    days, litres, weekend = habits.open_days, habits.open_litres, habits.open_weekend / habits.open_days
    astray = abs((sum(habits.open_hours) + 12.0) % 24.0 - 12.0) / 12.0
    habits.open_days = habits.open_litres = habits.open_weekend = 0.0
    habits.open_hours = [0.0] * 24
    fade = 0.5 ** (days / SPREAD_HALF_LIFE)
    habits.blocks = habits.blocks * fade + 1.0
    habits.slow_days = habits.slow_days * fade + days
    habits.slow_litres = habits.slow_litres * fade + litres
    habits.square = habits.square * fade + litres * litres / days
    habits.clock_noise = habits.clock_noise * fade + CLOCK_CV**2 * astray / days
    habits.week = [each * fade for each in habits.week]
    if 0.25 < weekend < 0.75:
        return  # across the border of a weekend: tells nothing of it
    first = 0 if weekend >= 0.75 else 2
    habits.week[first] += days
    habits.week[first + 1] += litres


def _learn_uses(habits: Habits, settled: Settled, days: float, equivalents: float) -> None:
    fade = 0.5 ** (days / MEAN_HALF_LIFE)
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
    days, litres = habits.days, habits.litres
    rate = (PRIOR_DAYS * LITRES_PER_PERSON_DAY + litres) / (PRIOR_DAYS + days)
    other = "tank" if supply == "hookup" else "hookup"
    if supply is None or rate <= 0.0 or habits.supply[other][0] < 1.0:
        return rate
    own_days, own_litres = habits.supply[supply]
    if own_days <= 0.0:
        return rate
    return rate + (own_litres / own_days - rate) * own_days / (own_days + SUPPLY_DAYS)


def day_spread(habits: Habits) -> float:
    """Standard deviation of one day's use over the mean rate. [ratio]"""
    rate = mean_rate(habits)
    prior = DAY_CV * DAY_CV
    if habits.slow_days <= 0.0 or rate <= 0.0:
        return DAY_CV
    slow = habits.slow_litres / habits.slow_days
    seen = max(
        0.0, habits.square - 2.0 * slow * habits.slow_litres + slow * slow * (habits.slow_days - habits.clock_noise)
    )
    reference = max(slow, 0.3 * rate, 1e-9) ** 2
    freedom = max(0.0, habits.blocks - 1.0)
    return sqrt((CV_BLOCKS * prior + seen / reference) / (CV_BLOCKS + freedom))


@dataclass(frozen=True)
class Clock:
    """How a household's use is laid out in time: hours of the day, days of the week."""

    cumulative: list[float]
    weekend: float
    other: float

    def days(self, start: datetime, end: datetime) -> float:
        """Effective days from start to end; a weekend day of one who uses more then counts for more than 1. [days]"""
        whole = dayparts.effective_days(self.cumulative, start, end)
        if self.weekend == self.other or whole <= 0.0:
            return whole
        weekend = dayparts.weekend_days(self.cumulative, start, end)
        return self.other * (whole - weekend) + self.weekend * weekend


def clock_of(habits: Habits) -> Clock:
    """The household's clock, made once for a question."""
    return Clock(habits.clock, *weekend_factors(habits))


def predict(habits: Habits, stretches: Iterable[Stretch]) -> Leaning:
    """The use over some pieces of the future together, as a distribution. [litres]"""
    return Leaning(*_predicted(habits, stretches))


def _predicted(habits: Habits, stretches: Iterable[Stretch]) -> tuple[float, float]:
    clock = clock_of(habits)
    mean = irregular = 0.0
    for piece in stretches:
        days = clock.days(piece.start, piece.end)
        daily = mean_rate(habits, piece.supply) * persons(piece.people) * piece.factor
        mean += daily * days
        irregular += daily * daily * days
    return mean, spread_of(mean, irregular, *doubts(habits))


def doubts(habits: Habits) -> tuple[float, float]:
    """(variance of a day, squared doubt of the mean), both over the mean squared and widened while few days are known."""
    cv = day_spread(habits)
    early = 1.0 + EARLY / (4.0 + habits.blocks)
    of_mean = 1.0 / (1.0 / HOUSEHOLD_CV**2 + habits.days / (early * cv * cv))
    return cv * cv * early, of_mean + DRIFT_CV * DRIFT_CV


def spread_of(mean: float, irregular: float, of_day: float, of_mean: float) -> float:
    """Standard deviation of a total. The days' own irregularity grows with time; that the household's mean is not quite known, and that
    its pace wanders, with its square.

    mean: [litres]. irregular: sum of (litres a day) squared times days. of_day, of_mean: see `doubts`. Returns: [litres]
    """
    return sqrt(of_day * irregular + of_mean * mean * mean)


def use(habits: Habits, start: datetime, end: datetime, people: float, supply: str = "tank") -> Leaning:
    """Predictive distribution of the indoor use from start to end with so many people at home. [litres]"""
    return predict(habits, (Stretch(start, end, people, supply),))


def rate(habits: Habits, start: datetime, end: datetime, people: float, supply: str = "tank") -> tuple[float, float]:
    """Mean and standard deviation of the indoor use from start to end; nobody away. [litres]"""
    return _predicted(habits, (Stretch(start, end, people, supply),))
