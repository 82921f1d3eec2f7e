"""What saves most: for each activity the time until the first tank gives out, if it were done off the rig, or with less water.

Each is the forecast with that habit changed, as a what-if is. Pure. May import: `altered`, `forecast`, `outlook`, `usage`.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from state.ahead import altered, forecast
from state.ahead.forecast import Voyage
from state.ahead.outlook import Change
from state.habits import pace
from state.habits.typical import typical
from state.lightclass import dataclass
from state.used.usage import SAVES
from state.water.belief import Belief
from state.world import World

MOST = 6
"""So many activities are tried, those that take most."""

LESS = 0.25
"""What part can be spared of an activity that SAVES does not name. Common practice, no source."""


@dataclass(frozen=True)
class Saving:
    """litres_per_day: what the activity takes. part: of its water that thrift can spare. off, less: how much later the first tank gives
    out with it done off the rig, and with that part spared; None where no tank gives out either way, or none any more. [litres a day;
    ratio; time]"""

    activity: str
    litres_per_day: float
    part: float
    off: timedelta | None
    less: timedelta | None


def savings(
    world: World, now: datetime, activities: Iterable[str], levels: Belief | None = None
) -> tuple[str | None, list[Saving]]:
    """The tank that gives out first (None if none does), and the activities by what they can give, the most first."""
    left = forecast.runway(world, now, (), levels)
    first = left.first
    plain = left.tanks[first].gives_out["p50"] if first is not None else None
    cuts = altered.Cuts(world, forecast.habits_of(world))
    persons = pace.persons(world.aboard(now))
    chosen = sorted(((cuts.litres_a_day(name) * persons, name) for name in activities), reverse=True)[:MOST]

    def later(change: Change) -> timedelta | None:
        if first is None or plain is None:
            return None
        desk = Voyage.of(world, now, now + forecast.HORIZON, [change], levels)
        course = next(course for course in desk.courses if course.name == first)
        at = course.gives_out(0.5, now, now + forecast.HORIZON)
        return at - plain if at is not None else None

    found = []
    for litres, name in chosen:
        if litres <= 0.0:
            continue
        part = SAVES.get(name, LESS)
        less = Change("amount", name, litres=typical(world, name).mean * (1.0 - part))
        found.append(Saving(name, litres, part, later(Change("skip", name)), later(less)))
    nothing = timedelta(0)
    return first, sorted(found, key=lambda one: (-(one.less or nothing), -one.litres_per_day * one.part))
