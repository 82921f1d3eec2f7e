"""Errands that save a tank, each at the last good moment: tote runs that the tank can fill by then, dumps, fills before the tap is left.

Makes ways, and says nothing of their joint odds: that is advice.py. Pure. May import: `course`, `errands`, `forecast`, `outlook`, `weight`.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from state.ahead import forecast
from state.ahead.course import Course
from state.ahead.errands import ERRANDS, Trial, relieved, set_back
from state.ahead.outlook import Change, has_water, stops_ahead, told
from state.lightclass import dataclass, field, replace
from state.water import weight
from state.world import World

TOTE_LITRES = 37.85411784
"""A tote, where the rig's own was not told: 10 US gallons. Common practice, no source."""

HALF_HOUR = timedelta(minutes=30)

LEAST_LOAD = 0.25
"""A run with less than this part of a tote is not worth the walk."""

MOST_TRIPS = 6
FEW_TRIPS = 3
"""More trips with the tote than this are more bother than a drive to a dump station. Our own choice, no source."""
MOST_TIMES = 3
"""More dumps, or fills, than this and the answer is another trip."""


@dataclass(frozen=True)
class Way:
    """kind: `budget` (litres a day), `minutes` (of a shower), `skip` (an activity left out), `off` (so many times of it done off the
    rig), `move` (a planned use at `at` put off until after `until`), `fill` (fresh, by `at`), `haul` (trips of `litres` each, the first
    by `at`), `carry` (the same, fresh fetched), `dump` (by `at`), `joined` (all of `parts`). probability: with it. cost: effort, for the
    order. moments: of every trip, dump or fill. changes: the what-if it is, where it is one. kilograms: of a full tote. here: where
    the rig stands, no drive."""

    kind: str
    probability: float
    cost: float
    tank: str | None = None
    litres: float | None = None
    count: int | None = None
    minutes: float | None = None
    activity: str | None = None
    at: datetime | None = None
    until: datetime | None = None
    kilograms: float | None = None
    here: bool = False
    site: str | None = None
    moments: tuple[datetime, ...] = ()
    changes: tuple[Change, ...] = ()
    parts: tuple[Way, ...] = ()

    @property
    def errands(self) -> list[Change]:
        return [change for change in self.changes if change.what in ERRANDS]


Window = tuple[datetime, datetime, str | None]
"""From, to, site: a stretch in which a tank can be set back."""


@dataclass
class Maker:
    """Makes the errands for tanks that fail. risk: the chance of giving out that each of them may be left with. easiest: one choice for
    a side is enough, a few totes before a drive. most: dumps, or fills, at most."""

    world: World
    now: datetime
    until: datetime
    trial: Trial
    risk: float
    easiest: bool = False
    most: int = MOST_TIMES
    _good: dict[int, tuple[Course, datetime]] = field(default_factory=dict)

    def waste(self, tight: Sequence[Course]) -> list[list[Way]]:
        """Choices for the waste side: totes for each tank that fails, or a dump, which empties them all."""
        if not tight:
            return []
        hauls = [way for way in (self.totes(course) for course in tight) if way is not None]
        few = all((way.count or 1) <= FEW_TRIPS for way in hauls)
        if self.easiest and few and len(hauls) == len(tight):
            return [hauls]
        dump = self.dump(tight)
        return [*([hauls] if len(hauls) == len(tight) else []), *([[dump]] if dump is not None else [])]

    def fresh(self, tight: Sequence[Course]) -> list[list[Way]]:
        """Choices for fresh: filled where there is a tap on the way, water carried in where there is none."""
        if not tight:
            return []
        fills = [way for way in (self.fill(course) for course in tight) if way is not None]
        carried = [] if self.world.stay.water else [way for way in (self.totes(c) for c in tight) if way is not None]
        return [side for side in (fills, carried) if len(side) == len(tight)]

    def totes(self, course: Course) -> Way | None:
        """Tote runs, as few as leave the tank with the risk allowed, each at the last good moment; no more in them than is believed to be
        there by then (of waste), or to fit by then (of fresh)."""
        size = self.world.rig.tote_litres or TOTE_LITRES
        tank = self.trial.desk.levels.tanks[course.name.casefold()]
        each = size
        moments: list[datetime] = []
        while len(moments) < MOST_TRIPS and course.lasts(self.until) < 1.0 - self.risk:
            at = self.last_good(course)
            level = forecast.level_at(course, tank, at).quantile(0.5)
            there = tank.capacity.mean - level if course.kind == "fresh" else level
            if not moments:
                each = min(size, there)
            if there < each - 0.1 or each < LEAST_LOAD * size:
                break
            course = relieved(course, at, each)
            moments.append(at)
        if not moments:
            return None
        changes = tuple(Change("haul", tank=course.name, litres=each, start=at) for at in moments)
        return Way(
            "carry" if course.kind == "fresh" else "haul", course.lasts(self.until), 6.0 + len(moments), tank=course.name,
            litres=each, count=len(moments), at=moments[0], moments=tuple(moments), changes=changes,
            kilograms=weight.of_litres(each) + (self.world.rig.tote_tare_kilograms or 0.0),
        )  # fmt: skip

    def dump(self, tight: Sequence[Course]) -> Way | None:
        """A dump at the sewer of this site, or a drive to a dump station: by the last moment that is early enough, again if need be."""
        here = bool(self.world.stay.sewer)
        leaves = self._leaves() if here else self.until
        moments = self.moments(tight, [(self.now, leaves, self.world.stay.site if here else None)])
        if not moments:
            return None
        at = [moment for moment, _ in moments]
        changes = tuple(Change("dump", start=moment) for moment in at)
        each = 1.5 if here else 9.0
        name = min(tight, key=lambda course: course.lasts(self.until)).name
        return Way("dump", 0.0, each * len(at), tank=name, count=len(at), at=at[0], here=here, moments=tuple(at), changes=changes)  # fmt: skip

    def fill(self, course: Course) -> Way | None:
        """Fresh filled before it runs short and before the tap is left, here or at a stop on the way."""
        windows: list[Window] = []
        if self.world.stay.water:
            windows.append((self.now, self._leaves(), self.world.stay.site))
        for start, end, stop in stops_ahead(self.world, self.now):
            if has_water(stop) and start < self.until:
                windows.append((start, min(end or self.until, self.until), told(stop, "site")))
        moments = self.moments([course], windows)
        if not moments:
            return None
        at = [moment for moment, _ in moments]
        here = all(site == self.world.stay.site for _, site in moments)
        changes = tuple(Change("fill", start=moment) for moment in at)
        return Way(
            "fill", 0.0, 1.0 * len(at), tank=course.name, count=len(at), at=at[0], here=here, site=moments[-1][1],
            moments=tuple(at), changes=changes,
        )  # fmt: skip

    def moments(self, courses: Sequence[Course], windows: Sequence[Window]) -> list[tuple[datetime, str | None]]:
        """When to set the tanks back, each time as late as is good and possible, until they last. A tank that is set back later has more
        left at the end, so the latest good moment is never worse than an earlier one."""
        found: list[tuple[datetime, str | None]] = []
        courses = list(courses)
        while len(found) < self.most and any(course.lasts(self.until) < 1.0 - self.risk for course in courses):
            good = min(self.last_good(course) for course in courses if course.lasts(self.until) < 1.0 - self.risk)
            last = found[-1][0] if found else None
            fitting = [(min(end, good), site) for start, end, site in windows if start <= good]
            fitting = [one for one in fitting if last is None or one[0] > last]
            if not fitting:
                break
            found.append(max(fitting, key=lambda one: one[0]))
            courses = [set_back(course, found[-1][0]) for course in courses]
        return found

    def last_good(self, course: Course) -> datetime:
        """The last good moment for a tank that does not last: an hour before its chance of having given out is the risk allowed, found to
        the half hour, which is fine enough for an errand (course.gives_out is finer and takes twice as long)."""
        held = self._good.get(id(course))
        if held is None:
            low, high = 0, int((self.until - self.now) / HALF_HOUR) + 1
            while high - low > 1:
                middle = (low + high) // 2
                safe = course.lasts(self.now + middle * HALF_HOUR) >= 1.0 - self.risk
                low, high = (middle, high) if safe else (low, middle)
            held = self._good[id(course)] = (course, last_good_moment(self.now + low * HALF_HOUR, self.now))
        return held[1]

    def _leaves(self) -> datetime:
        """When this place is left, at the latest the moment asked about."""
        ahead = [start for start, _, _ in stops_ahead(self.world, self.now) if start > self.now]
        known = [at for at in (self.world.stay.until, *ahead[:1]) if at is not None and at > self.now]
        return min([*known, self.until])


def without(way: Way, place: int) -> Way:
    """The way with one of its trips, dumps or fills left out. Raises ValueError for the only one."""
    if len(way.moments) < 2:
        raise ValueError("a way needs at least one moment")
    moments = (*way.moments[:place], *way.moments[place + 1 :])
    changes = (*way.changes[:place], *way.changes[place + 1 :])
    cost = way.cost * len(moments) / len(way.moments) if way.kind in ("dump", "fill") else way.cost - 1.0
    return replace(way, moments=moments, changes=changes, count=len(moments), at=moments[0], cost=cost)


def last_good_moment(gives_out: datetime | None, now: datetime) -> datetime:
    """An hour before the tank could give out with the risk that is taken, on the whole hour; not before now."""
    if gives_out is None:
        return now
    return max(now, (gives_out - timedelta(hours=1)).replace(minute=0, second=0, microsecond=0))
