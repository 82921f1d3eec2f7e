"""Ways out of a no: what would make it last, cheapest first, each computed and with the odds it gives.

A way is tried in the forecast exactly as a what-if is; none is guessed. Two sides may fail together, waste and fresh: then the errands
for both are one way, and its odds are joint. Thrift and errands join where neither does it alone.
May import: `altered`, `errands`, `forecast`, `outlook`, `pace`, `runs`, `typical`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from itertools import product
from math import ceil

from state.ahead import altered, runs
from state.ahead.errands import Trial
from state.ahead.forecast import MakeIt, Voyage, habits_of
from state.ahead.outlook import HABIT_CHANGES, Change, told
from state.ahead.runs import Way
from state.habits import pace
from state.habits.typical import typical
from state.lightclass import dataclass, replace
from state.water.belief import Belief
from state.world import World

LEAST_LITRES_PER_PERSON_DAY = 7.5
"""Under this a budget is no advice. Sphere Handbook, water supply standard 1: basic needs 7.5 to 15 litres."""

SHOWER_MINUTES = (4.0, 3.0, 2.0, 1.5, 1.0)
"""The lengths of shower that are proposed, longest first: nobody times a shower more finely. [minutes]"""

OFF_THE_RIG = ("shower", "laundry", "bath", "outside")
"""What can be left out for a few days, or done elsewhere."""

NEAR = 0.005
"""So close to the safety asked for counts as reaching it. [probability]"""

A_DRIVE = 9.0
"""The effort from which on something easier is looked for: a drive to a dump station, or more than two tote runs."""

WORTH = 0.02
"""A way that moves the odds by less is not told. [probability]"""


@dataclass
class Desk:
    """What the makers of ways work on. plain: the odds as things stand; trial: the courses as things stand."""

    world: World
    now: datetime
    made: MakeIt
    levels: Belief | None
    only: str | None
    plain: float
    trial: Trial

    @classmethod
    def of(cls, world: World, now: datetime, made: MakeIt, levels: Belief | None, only: str | None) -> Desk:
        voyage = Voyage.of(world, now, made.until, (), levels)
        plain = made.probability if only is None else made.tanks[only].probability
        return cls(world, now, made, levels, only, plain, Trial(voyage, made.until, only))

    @property
    def safety(self) -> float:
        return self.made.safety

    def with_habits(self, changes: Sequence[Change]) -> Trial:
        """The courses with habits changed: the use itself is another."""
        habits = [change for change in changes if change.what in HABIT_CHANGES]
        return Trial(Voyage.of(self.world, self.now, self.made.until, habits, self.levels), self.made.until, self.only)

    def odds(self, *changes: Change) -> float:
        """With such changes, errands or habits. [probability]"""
        thrifty = any(change.what in HABIT_CHANGES for change in changes)
        trial = self.with_habits(changes) if thrifty else self.trial
        return trial.chance(change for change in changes if change.what not in HABIT_CHANGES)

    def reaches(self, way: Way) -> bool:
        return way.probability >= self.safety - NEAR


def ways_out(
    world: World, now: datetime, until: datetime, made: MakeIt, levels: Belief | None = None, tank: str | None = None
) -> list[Way]:
    """Ways that raise the odds of lasting until then, cheapest first; those that do not reach the safety asked for come after, the likeliest
    first. Empty where nothing needs to be done or nothing helps.

    `tank`: only this one was asked about; the odds are its own.
    """
    plain = made.probability if tank is None else made.tanks[tank].probability
    if plain >= made.safety or until <= now:
        return []
    desk = Desk.of(world, now, made, levels, tank)
    thrift = [way for make in (_budget, _minutes, _off, _moved) for way in make(desk)]
    found = [*thrift, *_errands(desk, desk.trial)]
    if not any(desk.reaches(way) and way.cost < A_DRIVE for way in found):
        found += _thrift_and_errands(desk, thrift)
    better = [way for way in found if way.probability >= plain + WORTH]
    return sorted(better, key=lambda way: (0.0, way.cost) if desk.reaches(way) else (1.0, -way.probability))


# ---------------------------------------------------------------- thrift


def _budget(desk: Desk) -> list[Way]:
    """Litres a day: one budget for all the tanks, since it is one household's use that fills or empties them."""
    daily = budget_of(desk)
    if daily is None or daily < LEAST_LITRES_PER_PERSON_DAY * max(1, desk.world.aboard(desk.now)):
        return []
    thrift = 1.0 - daily / max(desk.made.pace_litres_per_day, 1e-6)
    return [Way("budget", desk.safety, 2.0 + 6.0 * max(0.0, thrift), tank=desk.only or desk.made.binding, litres=daily)]


def budget_of(desk: Desk) -> float | None:
    """What may be used each whole day: for all tanks together, or for the one asked about. [litres a day]"""
    if desk.only is None:
        return desk.made.budget_litres_per_day
    own = [course for course in desk.trial.desk.courses if course.name == desk.only]
    return replace(desk.trial.desk, courses=own).budget(desk.made.until, desk.safety)


def _minutes(desk: Desk) -> list[Way]:
    """The longest shower that reaches the safety asked for; else the shortest."""
    cuts = altered.Cuts(desk.world, habits_of(desk.world))
    tried = [Change("minutes", "shower", minutes=length) for length in SHOWER_MINUTES]
    tried = [change for change in tried if cuts.part(change) > 0.05]
    if not tried:
        return []
    place = _first(len(tried), lambda i: desk.odds(tried[i]) >= desk.safety)
    change = tried[place]
    return [
        Way("minutes", desk.odds(change), 3.0, activity="shower", minutes=change.minutes, changes=(change,)),
    ]


def _off(desk: Desk) -> list[Way]:
    """The activity that takes most of those that can be left out or done elsewhere: as few times of it as reach the safety asked for."""
    cuts = altered.Cuts(desk.world, habits_of(desk.world))
    activity = max(OFF_THE_RIG, key=cuts.litres_a_day)
    usual = typical(desk.world, activity).mean
    times = int(_litres_until(desk, cuts.litres_a_day(activity)) / max(usual, 1e-6) + 0.5)
    if times < 1:
        return []

    def changed(count: int) -> Change:
        if count >= times:
            return Change("skip", activity)
        return Change("amount", activity, litres=usual * (1.0 - count / times))

    count = 1 + _first(times, lambda i: desk.odds(changed(i + 1)) >= desk.safety)
    all_of_them = count >= times
    cost = 5.0 if all_of_them else 3.5 + 1.5 * count / times
    way = Way(
        "skip" if all_of_them else "off", desk.odds(changed(count)), cost, activity=activity, count=count,
        changes=(changed(count),),
    )  # fmt: skip
    return [way]


def _litres_until(desk: Desk, litres_a_day: float) -> float:
    """What an activity takes until the moment asked about, if it takes so much a day of a person-equivalent. [litres]"""
    rate = pace.mean_rate(habits_of(desk.world))
    use = desk.trial.desk.all_use.between(desk.now, desk.made.until).mean
    return use * litres_a_day / rate if rate > 0.0 else 0.0


def _first(count: int, good: Callable[[int], bool]) -> int:
    """The first of so many places that is good, if each after a good one is good too; the last one where none is."""
    low, high = 0, count - 1
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if good(middle) else (middle + 1, high)
    return low


def _moved(desk: Desk) -> list[Way]:
    """A planned use put off: until the tanks are set back after it, or until after the moment asked about."""
    ways = []
    for expected in desk.world.expected:
        at = told(expected, "start") or desk.now
        if told(expected, "what") != "use" or not desk.now <= at < desk.made.until:
            continue
        activity = told(expected, "activity") or "other"
        litres = told(expected, "litres") or typical(desk.world, activity).mean
        change = Change("use", activity, litres=-litres, start=at)
        way = Way("move", desk.odds(change), 2.5, activity=activity, litres=litres, at=at, until=desk.made.until, changes=(change,))  # fmt: skip
        ways.append(way)
    return ways


# ---------------------------------------------------------------- errands, alone and together


def _errands(desk: Desk, trial: Trial, thrift: Way | None = None) -> list[Way]:
    """Every choice of one errand for each side that fails, as one way each. `thrift`: what the trial's habits are."""
    tight = [course for course in trial.courses() if course.lasts(desk.made.until) < desk.safety]
    if not tight:
        return []
    risk = (1.0 - desk.safety) / len(tight)  # so that all of them together are safe enough (Bonferroni)
    maker = runs.Maker(desk.world, desk.now, desk.made.until, trial, risk, easiest=thrift is not None)
    waste = [course for course in tight if course.kind != "fresh"]
    fresh = [course for course in tight if course.kind == "fresh"]
    sides = [side for side in (maker.waste(waste), maker.fresh(fresh)) if side]
    ways = []
    for choice in product(*sides):
        errands = _as_few(trial, [part for parts in choice for part in parts], desk.safety)
        parts = [*([thrift] if thrift is not None else []), *errands]
        ways.append(together(parts, trial.chance(change for part in parts for change in part.errands)))
    return ways


def _as_few(trial: Trial, parts: list[Way], safety: float) -> list[Way]:
    """The errands without those trips, dumps or fills that are not needed after all: tanks share one pace, so each is often safe enough
    with a little more risk than its part."""
    for place, part in enumerate(parts):
        i = len(part.moments) - 1
        while i >= 0 and len(parts[place].moments) > 1:
            fewer = [*parts[:place], runs.without(parts[place], i), *parts[place + 1 :]]
            if trial.chance(change for each in fewer for change in each.errands) >= safety:
                parts = fewer
            i -= 1
    return parts


def together(parts: Sequence[Way], probability: float) -> Way:
    """Several ways that are gone together, with their joint odds; a single one is itself."""
    if len(parts) == 1:
        return replace(parts[0], probability=probability)
    changes = tuple(change for part in parts for change in part.changes)
    return Way("joined", probability, sum(part.cost for part in parts), changes=changes, parts=tuple(parts))


def _thrift_and_errands(desk: Desk, thrift: Sequence[Way]) -> list[Way]:
    """Where neither thrift nor a tote does it alone: the thrift that moves the odds most, and the errands still needed beside it."""
    habits = [way for way in thrift if any(change.what in HABIT_CHANGES for change in way.changes)]
    if not habits:
        return []
    best = max(habits, key=lambda way: way.probability)
    return [way for way in _errands(desk, desk.with_habits(best.changes), best) if way.parts]


def showers_of(world: World, litres: float) -> int:
    """How many of this household's showers so many litres are, rounded up."""
    return ceil(litres / max(typical(world, "shower").mean, 1e-6) - 1e-9)
