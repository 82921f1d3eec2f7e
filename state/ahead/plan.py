"""The stops ahead as an itinerary: what to arrive with, where to dump and fill, where it gets tight, with the fewest errands.

An errand is a dump at a stop with a sewer (everything emptied, ready to leave), a fill at a stop with water (fresh full on leaving),
or a tote carried: away for waste, in for fresh. Between two errands that set a tank back, the use must fit with the stated chance;
what does not fit is carried in totes. Waste and fresh do not meet, so each is a shortest path over the stops where it can be set back:
the fewest errands, exactly (checked in the tests against exhaustive search and a general solver). Among plans with as few errands the
one that dumps latest is kept, and a tote counts for more than a stop.
Pure. May import: `forecast`, `course`, `drives`, `outlook`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from itertools import pairwise

from state.ahead import forecast, runs
from state.ahead.course import Course, mean_of_least
from state.ahead.drives import drives
from state.ahead.forecast import SAFE, Voyage
from state.ahead.outlook import Change, has_water, stops_ahead, told
from state.lightclass import dataclass, field
from state.water.belief import Belief
from state.world import World

MOST_TOTES = 30
TOTE_EFFORT = 1.001
"""A tote is an errand as any other, and the worse one among equals."""

MOST_HERE = 12
"""More dumps, or fills, than this at the present site are not planned singly."""

OPEN_END = timedelta(days=1)
"""How far a plan looks into a stop whose end was not told."""

LATER = 1e-6


@dataclass(frozen=True)
class Stop:
    """A stop of the itinerary, the present one among them. leave None: open end, the horizon."""

    site: str | None
    arrive: datetime
    leave: datetime
    water: bool | None
    sewer: bool | None
    here: bool = False


@dataclass(frozen=True)
class Place:
    """From when to when a side is kept set back; the same moment twice for a single dump or fill."""

    arrive: datetime
    leave: datetime


@dataclass(frozen=True)
class Task:
    """what: `dump`, `fill`, `tote out` (waste away), `tote in` (fresh fetched). count, litres: of the totes, each."""

    what: str
    at: datetime
    count: int = 1
    litres: float | None = None
    tank: str | None = None


@dataclass(frozen=True)
class Row:
    """A stop and what to do there. levels: litres in each tank on arrival, p10, p50, p90. probability: that nothing gives out until
    leaving, if the plan is kept. tight: the tank that is tightest there. drives: to a dump station, or for fresh to a tap, that are as good
    as the totes there."""

    stop: Stop
    levels: dict[str, dict[str, float]]
    tasks: tuple[Task, ...]
    probability: float
    tight: str | None
    drives: dict[str, tuple[datetime, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Plan:
    """rows by stop; errands: dumps, fills and totes in all; safety: what it was made for; feasible: every stretch meets it."""

    rows: list[Row]
    errands: int
    safety: float
    feasible: bool


@dataclass
class Schedule:
    """A choice along a chain of places where a tank can be set back. stops: indices used. totes: per stretch between them."""

    cost: float
    stops: list[int] = field(default_factory=list)
    totes: list[int] = field(default_factory=list)


def fewest(n: int, totes: Callable[[int, int], int | None]) -> Schedule | None:
    """The cheapest way from the start (-1) to the end (n) over n optional places, each used costing one errand.

    Args:
        n: number of places, in order of time.
        totes: (i, j) -> how many totes the stretch from place i to place j needs (i from -1, j up to n); None where it cannot be done.
    Returns: None where there is no way at all.
    """
    best: list[Schedule | None] = [None] * (n + 1)
    for j in range(n + 1):
        for i in range(-1, j):
            before = Schedule(0.0) if i < 0 else best[i]
            if before is None:
                continue
            needed = totes(i, j)
            if needed is None:
                continue
            # a later place is a shade better, so that ties are settled and nothing is done before it must be
            cost = before.cost + needed * TOTE_EFFORT + (0.0 if j == n else 1.0 - LATER * (j + 1))
            held = best[j]
            if held is None or cost < held.cost - 1e-12:
                best[j] = Schedule(cost, [*before.stops, *([] if j == n else [j])], [*before.totes, needed])
    return best[n]


def itinerary(world: World, now: datetime, horizon: datetime) -> list[Stop]:
    """The present stay and the stops ahead up to the horizon, without overlaps."""
    ahead = stops_ahead(world, now)
    first_leave = min(
        [t for t in (world.stay.until, ahead[0][0] if ahead else None) if t is not None and t > now] or [horizon]
    )
    stops = []
    if world.stay.ended is None and not world.stay.on_the_road and (not ahead or ahead[0][0] > now):
        stops.append(
            Stop(world.stay.site, now, min(first_leave, horizon), world.stay.water, world.stay.sewer, here=True)
        )
    for i, (start, until, stop) in enumerate(ahead):
        after = ahead[i + 1][0] if i + 1 < len(ahead) else None
        leave = min([t for t in (until, after) if t is not None] or [horizon])
        if start < min(leave, horizon):
            stops.append(Stop(told(stop, "site"), start, min(leave, horizon), has_water(stop), told(stop, "sewer")))
    return stops


def horizon_of(world: World, now: datetime, least: timedelta = timedelta(days=14)) -> datetime:
    """The end of what is known: the last stop's leaving (of one without an end, a day of it), at the latest 60 days on; two weeks where
    nothing is known."""
    ends = [until or start + OPEN_END for start, until, _ in stops_ahead(world, now)]
    ends += [world.stay.until] if world.stay.until is not None else []
    known = max((end for end in ends if end > now), default=now + least)
    return min(max(known, now + timedelta(hours=1)), now + forecast.HORIZON)


def plan(
    world: World, now: datetime, horizon: datetime, safety: float | None = None, levels: Belief | None = None
) -> Plan:
    """The itinerary until the horizon with the fewest errands at a stated safety (else the rig's own, else 0.9)."""
    safety = safety if safety is not None else world.rig.limits.get("safety", SAFE)
    stops = itinerary(world, now, horizon)
    desk = Voyage.of(world, now, horizon, (), levels, assume=False)
    tasks: list[Task] = []
    feasible = True
    for kind, done in (("waste", "dump"), ("fresh", "fill")):
        courses = [c for c in desk.courses if (c.kind == "fresh") == (kind == "fresh")]
        where = places(world, courses, stops, safety, done)
        made, met = _schedule(world, courses, where, now, horizon, safety, done)
        tasks += made
        feasible = feasible and met
    tasks.sort(key=lambda task: task.at)
    rows = _rows(desk, stops, tasks, safety)
    return Plan(rows, sum(task.count for task in tasks), safety, feasible)


def places(world: World, courses: Sequence[Course], stops: Sequence[Stop], safety: float, done: str) -> list[Place]:
    """Where a side can be set back: a stop ahead from arriving to leaving (it gives water, or takes waste, all the while); the present
    one, while its tanks are in use, on leaving and at each moment by which it must be, if it is to be lived through.

    Later is never worse, and no schedule can do with fewer before any moment than the one that waits each time as long as it may; so
    no other moments need to be tried.
    """
    found = []
    for stop in stops:
        if not (stop.sewer if done == "dump" else stop.water):
            continue
        if not stop.here:
            found.append(Place(stop.arrive, stop.leave))
            continue
        at, first = stop.arrive, True
        while len(found) < MOST_HERE and chance_between(courses, at, stop.leave, 0.0, first) < safety:
            needed = moment_of_need(courses, at, stop.leave, 0.0, safety, first)
            if needed <= at and not first:
                break
            found.append(Place(needed, needed))
            at, first = needed, False
        found.append(Place(stop.leave, stop.leave))
    return found


def _schedule(
    world: World, courses: Sequence[Course], where: Sequence[Place], now: datetime, horizon: datetime, safety: float, done: str
) -> tuple[list[Task], bool]:  # fmt: skip
    each = world.rig.tote_litres or runs.TOTE_LITRES

    def stretch(i: int, j: int) -> tuple[datetime, datetime]:
        return (now if i < 0 else where[i].leave), (horizon if j == len(where) else where[j].arrive)

    def totes(i: int, j: int) -> int | None:
        start, end = stretch(i, j)
        return totes_needed(courses, start, end, each, safety, first=i < 0)

    found = fewest(len(where), totes)
    if found is None:
        return [], False
    tasks = [Task(done, where[k].leave if done == "fill" else where[k].arrive) for k in found.stops]
    bounds = [-1, *found.stops, len(where)]
    for (i, j), count in zip(pairwise(bounds), found.totes, strict=True):
        start, end = stretch(i, j)
        for carried in range(count):
            at = moment_of_need(courses, start, end, carried * each, safety, first=i < 0)
            tank = _tightest(courses, start, at + timedelta(hours=1), i < 0)
            tasks.append(Task("tote in" if done == "fill" else "tote out", at, 1, each, tank))
    return tasks, True


def chance_between(
    courses: Sequence[Course], start: datetime, end: datetime, relief: float = 0.0, first: bool = False
) -> float:
    """Chance that none of the tanks, set back at `start` (or as believed now, `first`), gives out by `end`. [probability]"""
    limits = []
    for course in courses:
        intake = course.legs[0].intake if first else course.set_back
        limits.append(course.flow.limits(intake, start, end, relief))
    return mean_of_least(limits)


def totes_needed(
    courses: Sequence[Course], start: datetime, end: datetime, each: float, safety: float, first: bool = False
) -> int | None:
    """The fewest totes that make a stretch safe enough; None where more than MOST_TOTES would be needed."""
    if end <= start or not courses or chance_between(courses, start, end, 0.0, first) >= safety:
        return 0
    if chance_between(courses, start, end, MOST_TOTES * each, first) < safety:
        return None
    low, high = 0, MOST_TOTES
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (
            (low, middle) if chance_between(courses, start, end, middle * each, first) >= safety else (middle, high)
        )
    return high


def moment_of_need(
    courses: Sequence[Course], start: datetime, end: datetime, relief: float, safety: float, first: bool
) -> datetime:
    """The last moment, to the hour, at which the stretch is still safe with only so much carried. relief: [litres]"""
    low, high = 0, max(0, int((end - start).total_seconds() // 3600))
    while high - low > 1:
        middle = (low + high) // 2
        safe = chance_between(courses, start, start + timedelta(hours=middle), relief, first) >= safety
        low, high = (middle, high) if safe else (low, middle)
    return start + timedelta(hours=low)


def _tightest(courses: Sequence[Course], start: datetime, end: datetime, first: bool) -> str | None:
    return min(courses, key=lambda course: chance_between([course], start, end, 0.0, first)).name if courses else None


def _rows(plain: Voyage, stops: Sequence[Stop], tasks: Sequence[Task], safety: float) -> list[Row]:
    world, now = plain.world, plain.now
    changes = [change for task in tasks for change in as_changes(task, stops)]
    rows = []
    horizon = max((stop.leave for stop in stops), default=now)
    desk = Voyage.of(world, now, max(horizon, now + timedelta(hours=1)), changes, plain.levels, assume=False)
    for stop in stops:
        here = tuple(task for task in tasks if stop.arrive <= task.at <= stop.leave and _belongs(task, stop, stops))
        at_arrival, until = {}, stop.leave
        chances = {course.name: course.lasts(until) for course in desk.courses}
        for course in desk.courses:
            tank = desk.levels.tanks[course.name.casefold()]
            # a fill belongs to the leaving of the stop before, a dump to the arriving here
            spread = forecast.level_at(course, tank, stop.arrive, after=course.kind == "fresh")
            at_arrival[course.name] = spread.points
        joint = mean_of_least([nodes for course in desk.courses for nodes in course.pace_limits(until)])
        tight = min(chances, key=lambda name: chances[name]) if chances else None
        tight = tight if tight is not None and chances[tight] < 0.995 else None
        rows.append(Row(stop, at_arrival, here, joint, tight, _drives(plain, stop, here, tasks, stops, safety)))
    return rows


def _drives(
    desk: Voyage, stop: Stop, here: Sequence[Task], tasks: Sequence[Task], stops: Sequence[Stop], safety: float
) -> dict[str, tuple[datetime, ...]]:
    """By what the totes of a stop are for, the drives that would do as well."""
    found = {}
    for what in ("tote out", "tote in"):
        carried = [task for task in here if task.what == what]
        if carried:
            rest = [change for task in tasks if task not in carried for change in as_changes(task, stops)]
            totes = [change for task in carried for change in as_changes(task, stops)]
            found[what] = drives(desk, rest, totes, stop.arrive, stop.leave, what == "tote in", safety)
    return found


def _belongs(task: Task, stop: Stop, stops: Sequence[Stop]) -> bool:
    """A task at the very moment of a change of stops belongs to the one it can be done at."""
    fitting = [s for s in stops if s.arrive <= task.at <= s.leave]
    if task.what == "dump":
        fitting = [s for s in fitting if s.sewer and s.arrive == task.at] or fitting
    elif task.what == "fill":
        fitting = [s for s in fitting if s.water and s.leave == task.at] or fitting
    return bool(fitting) and fitting[0] is stop


def as_changes(task: Task, stops: Sequence[Stop]) -> list[Change]:
    """The task as changes of the forecast; a dump empties on arriving and again on leaving."""
    if task.what == "dump":
        stop = next((s for s in stops if s.sewer and s.arrive == task.at and not s.here), None)
        leave = [Change("dump", start=stop.leave)] if stop is not None else []
        return [Change("dump", start=task.at), *leave]
    if task.what == "fill":
        return [Change("fill", start=task.at)]
    litres = (task.litres or 0.0) * task.count
    return [Change("haul", tank=task.tank, litres=litres, start=task.at)]


__all__ = ["Plan", "Row", "Schedule", "Stop", "Task", "fewest", "horizon_of", "itinerary", "plan"]
