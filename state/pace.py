"""A household's habits: how much water goes in a day, how irregular the days are, when in the day it runs, and for what.

Learned from settled stretches (so many litres between two readings), recent days weighing more; before there is data a prior of
frugal life on the road stands in, marked as such. What comes out is a predictive distribution of the indoor use over any stretch of
the future, gamma in form, wide while little is known. All sums fade geometrically, so a year of log costs no more than a week.

Use is counted per person-equivalent: `people ** SCALE`, since a second person does not quite double the water.
Pure: no clock, no randomness; Habits is plain data. May import: `dayparts`, `gamma`, `settled` and the standard library.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from datetime import datetime
from math import sqrt
from typing import TYPE_CHECKING, Any

from state import dayparts
from state.gamma import Gamma

if TYPE_CHECKING:
    from state.settled import Settled

LITRES_PER_PERSON_DAY = 20.0
"""The middle of what frugal households on the road use, 12 to 31 litres per person and day. Common practice, no source; above the
Sphere Handbook's minimum of 15 litres (Water supply standard 1)."""

PRIOR_DAYS = 2.0
"""How many days of own data weigh as much as that prior."""

SCALE = 0.88
"""Use grows as people to this power: the simulated homes of the project's reference figures use 141 litres for one person and 2 x 130
for two, and log(260 / 141) / log 2 = 0.88."""

DAY_CV = 0.45
"""Spread of one day's use over its mean before own data are known; measured homes had 0.17 to 0.80."""

CV_BLOCKS = 4.0
"""How many days of own data weigh as much as that spread."""

MEAN_HALF_LIFE = 18.0
SPREAD_HALF_LIFE = 60.0
CLOCK_HALF_LIFE = 30.0
"""Days after which a day weighs half: for the mean, the spread, the shape of the day. Tuned on measured homes."""

DRIFT_CV = 0.10
"""How far, over its mean, the pace of the coming days wanders from that of the past ones. Tuned on measured homes."""

SUPPLY_DAYS = 14.0
"""How many days on one supply it takes until half of a seen difference between hookup and tank is believed."""


@dataclass(slots=True)
class Habits:
    """Fading sums, per person-equivalent. [effective days, litres, litres squared per day]

    days, litres: for the mean. blocks, slow_days, slow_litres, square: for the spread from day to day. open_*: the stretches since the
    last whole day closed. supply: by `hookup` and `tank`, days and litres. hours: the day's shape. uses: activity to litres and count.
    """

    days: float = 0.0
    litres: float = 0.0
    blocks: float = 0.0
    slow_days: float = 0.0
    slow_litres: float = 0.0
    square: float = 0.0
    open_days: float = 0.0
    open_litres: float = 0.0
    total_days: float = 0.0
    supply: dict[str, list[float]] = field(default_factory=lambda: {"hookup": [0.0, 0.0], "tank": [0.0, 0.0]})
    hours: list[float] = field(default_factory=lambda: [0.0] * 24)
    uses: dict[str, list[float]] = field(default_factory=dict)
    use_days: float = 0.0


@dataclass(frozen=True, slots=True)
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
    """Person-equivalents of so many people; 0 for nobody."""
    return max(0.0, people) ** SCALE if people > 0 else 0.0


def learn(habits: Habits, settled: Settled) -> None:
    """Take in one settled stretch: what was used from its start to its end, by so many people. Changes `habits` in place.

    A long absence takes its share out of the stretch; the short outings of a day belong to the household's habits and stay in.
    """
    cumulative = dayparts.shape(habits.hours)
    days = dayparts.effective_days(cumulative, settled.start, settled.end)
    length = (settled.end - settled.start).total_seconds()
    if days <= 0.0 or length <= 0.0 or settled.litres < 0.0:
        return
    if settled.away_seconds >= LONG_ABSENCE_SECONDS or settled.away_seconds >= 0.9 * length:
        days *= max(0.0, 1.0 - settled.away_seconds / length)
    equivalents = persons(settled.people)
    if days < 1e-4 or equivalents <= 0.0:
        return
    litres = settled.litres / equivalents
    _learn_mean(habits, days, litres, settled.supply)
    _learn_spread(habits, days, litres)
    _learn_uses(habits, settled, days, equivalents)
    if settled.away_seconds <= 0.0:
        rate = mean_rate(habits)
        if rate > 0.0:
            dayparts.learn(habits.hours, settled.start, settled.end, litres / rate, CLOCK_HALF_LIFE)


LONG_ABSENCE_SECONDS = 12 * 3600.0


def _learn_mean(habits: Habits, days: float, litres: float, supply: str) -> None:
    fade = 0.5 ** (days / MEAN_HALF_LIFE)
    habits.days = habits.days * fade + days
    habits.litres = habits.litres * fade + litres
    habits.total_days += days
    for name, sums in habits.supply.items():
        sums[0], sums[1] = sums[0] * fade, sums[1] * fade
        if name == supply:
            sums[0], sums[1] = sums[0] + days, sums[1] + litres


def _learn_spread(habits: Habits, days: float, litres: float) -> None:
    """Irregularity is judged by whole days: stretches are gathered until about a day is full."""
    habits.open_days += days
    habits.open_litres += litres
    if habits.open_days < 0.8:
        return
    days, litres = habits.open_days, habits.open_litres
    habits.open_days = habits.open_litres = 0.0
    fade = 0.5 ** (days / SPREAD_HALF_LIFE)
    habits.blocks = habits.blocks * fade + 1.0
    habits.slow_days = habits.slow_days * fade + days
    habits.slow_litres = habits.slow_litres * fade + litres
    habits.square = habits.square * fade + litres * litres / days


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
    seen = max(0.0, habits.square - 2.0 * slow * habits.slow_litres + slow * slow * habits.slow_days)
    reference = max(slow, 0.3 * rate, 1e-9) ** 2
    freedom = max(0.0, habits.blocks - 1.0)
    return sqrt((CV_BLOCKS * prior + seen / reference) / (CV_BLOCKS + freedom))


def predict(habits: Habits, stretches: Iterable[Stretch]) -> Gamma:
    """The use over some pieces of the future together, as a gamma distribution. [litres]

    Three doubts add up: the days' own irregularity (grows with time), the household's mean not being known, its pace wandering (both
    grow with the square of time).
    """
    cumulative = dayparts.shape(habits.hours)
    cv = day_spread(habits)
    mean = irregular = 0.0
    for piece in stretches:
        days = dayparts.effective_days(cumulative, piece.start, piece.end)
        daily = mean_rate(habits, piece.supply) * persons(piece.people) * piece.factor
        mean += daily * days
        irregular += daily * daily * days
    return Gamma(mean, sqrt(cv * cv * irregular + mean * mean * doubt_of_mean(habits, cv)))


def doubt_of_mean(habits: Habits, cv: float) -> float:
    """Squared relative doubt of the mean rate itself, its wandering included."""
    return cv * cv / (PRIOR_DAYS + habits.days) + DRIFT_CV * DRIFT_CV


def use(habits: Habits, start: datetime, end: datetime, people: float, supply: str = "tank") -> Gamma:
    """Predictive distribution of the indoor use from start to end with so many people at home. [litres]"""
    return predict(habits, (Stretch(start, end, people, supply),))


def rate(habits: Habits, start: datetime, end: datetime, people: float, supply: str = "tank") -> tuple[float, float]:
    """Mean and standard deviation of the indoor use from start to end; nobody away. [litres]"""
    expected = use(habits, start, end, people, supply)
    return expected.mean, expected.sd
