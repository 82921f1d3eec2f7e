"""A drive for each time that a tank must be set back at a stop, instead of more totes than anybody carries.

A tote takes a part of a tank, a drive to a dump station (or a tap) all of it: how many drives stand for so many totes is reckoned as they
are, each as late as is safe, with the rest of the plan as it was. Pure. May import: `course`, `errands`, `forecast`, `outlook`, `runs`.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from state.ahead import runs
from state.ahead.course import Course, mean_of_least
from state.ahead.errands import Trial, set_back
from state.ahead.forecast import Voyage
from state.ahead.outlook import Change

MOST_DRIVES = 6
"""More than this, and it is another trip."""

NEAR = 0.005
"""Odds so close count as the same. [probability]"""


def drives(
    desk: Voyage, rest: Sequence[Change], totes: Sequence[Change], start: datetime, end: datetime, fresh: bool, safety: float
) -> tuple[datetime, ...]:  # fmt: skip
    """The moments of the drives from start to end that are as good as the totes there, until then and later; empty where none are.

    rest: what else the plan does. fresh: drives to a tap, else to a dump station.
    """
    trial = Trial(desk, end)
    side = [course for course in trial.courses(rest) if (course.kind == "fresh") == fresh]
    carried = [course for course in trial.courses([*rest, *totes]) if (course.kind == "fresh") == fresh]
    least = [(at, min(safety, _joint(carried, at)) - NEAR) for at in (end, desk.horizon)]

    def good(moments: Sequence[datetime]) -> bool:
        driven = side
        for moment in moments:
            driven = [set_back(course, moment) for course in driven]
        return all(_joint(driven, at) >= odds for at, odds in least)

    # what was risked before the stop is risked already; each tank may add its part to it
    risk = 1.0 - _joint(side, max(start, desk.now)) * (1.0 - (1.0 - safety) / max(1, len(side)))
    maker = runs.Maker(desk.world, desk.now, end, trial, risk, most=MOST_DRIVES)
    found = [at for at, _ in maker.moments(side, [(max(start, desk.now), end, None)])]
    if found and found[-1] < end and not good(found):
        # what was carried last would be missed at the stops to come: so the tanks are set back once more on leaving
        found.append(end)
    if not good(found):
        return ()
    for i in reversed(range(len(found))):
        fewer = [*found[:i], *found[i + 1 :]]
        found = fewer if good(fewer) else found
    return tuple(found)


def _joint(courses: Sequence[Course], at: datetime) -> float:
    return mean_of_least([nodes for course in courses for nodes in course.pace_limits(at)])
