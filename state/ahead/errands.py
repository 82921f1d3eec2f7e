"""Errands tried on a forecast that is already made: a tote run, a dump, a fill or a planned use moved, at the cost of one tank's legs.

A tank's use does not change with an errand, only the room that it meets; so courses are made once for a question, and each errand
only cuts or relieves the legs of the tank that it concerns. Held equal to the forecast made anew (tests/test_errands.py).
Pure. May import: `course`, `forecast`, `outlook`, `routes`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from state.ahead.course import Course, Leg, Nodes, mean_of_least
from state.ahead.forecast import Voyage
from state.ahead.outlook import Change
from state.lightclass import dataclass, field
from state.water import routes

ERRANDS = frozenset({"haul", "dump", "fill", "use"})
"""The changes of a what-if that are errands; the others are habits, and change the use itself."""


@dataclass
class Trial:
    """The courses of a question, and the moment asked about. only: the one tank asked about, None for all. _limits: a tank that an
    errand leaves alone is not reckoned again."""

    desk: Voyage
    until: datetime
    only: str | None = None
    _limits: dict[tuple[str, tuple[Change, ...]], list[Nodes]] = field(default_factory=dict)

    def courses(self, errands: Iterable[Change] = ()) -> list[Course]:
        """The courses that count, with the errands carried out."""
        kept = [course for course in self.desk.courses if self.only is None or course.name == self.only]
        for errand in errands:
            kept = [self._with(course, errand) for course in kept]
        return kept

    def chance(self, errands: Iterable[Change] = ()) -> float:
        """That nothing gives out until the moment asked about. [probability]"""
        tried = tuple(errands)
        limits = []
        for course in self.courses():
            own = tuple(errand for errand in tried if concerns(errand, course))
            if (course.name, own) not in self._limits:
                for errand in own:
                    course = self._with(course, errand)
                self._limits[course.name, own] = course.pace_limits(self.until)
            limits += self._limits[course.name, own]
        return mean_of_least(limits)

    def _with(self, course: Course, errand: Change) -> Course:
        at = max(errand.start or self.desk.now, self.desk.now)
        if not concerns(errand, course):
            return course
        if errand.what == "haul":
            return relieved(course, at, errand.litres or 0.0)
        if errand.what == "use":
            return burdened(course, at, self._own_litres(course, errand, at))
        return set_back(course, at)

    def _own_litres(self, course: Course, errand: Change, at: datetime) -> float:
        """What of a planned use comes out of, or into, this tank. [litres]"""
        piece = next((piece for piece in self.desk.outlook.pieces if piece.start <= at < piece.end), None)
        litres = errand.litres or 0.0
        if course.kind == "fresh":
            return litres if piece is not None and piece.supply == "tank" else 0.0
        if (piece is not None and piece.running_off) or self.desk.levels.tanks[course.name.casefold()].flowing:
            return 0.0
        parts = dict(routes.parts(self.desk.world.rig, errand.activity or "other"))
        return litres * parts.get(course.name.casefold(), 0.0)


def concerns(errand: Change, course: Course) -> bool:
    """Whether an errand has to do with a tank: a fill with fresh, a dump with waste, a tote run with the tank named."""
    if errand.what == "use":
        return True
    if errand.what == "haul":
        return (errand.tank or "").casefold() == course.name.casefold()
    fits = (course.kind == "fresh") == (errand.what == "fill")
    return fits and (errand.tank is None or errand.tank.casefold() == course.name.casefold())


def relieved(course: Course, at: datetime, litres: float) -> Course:
    """The course with so much taken out of a waste tank, or brought into fresh, at a moment. [litres]"""
    leg = course.legs[_leg_at(course.legs, at)]
    return _instead(course, leg, Leg(leg.start, leg.end, leg.intake, sorted([*leg.reliefs, (at, litres)]), leg.extras))


def burdened(course: Course, at: datetime, litres: float) -> Course:
    """The course with a planned use on top at a moment; negative: one that was planned falls away. [litres of the tank's own]"""
    leg = course.legs[_leg_at(course.legs, at)]
    return _instead(course, leg, Leg(leg.start, leg.end, leg.intake, leg.reliefs, sorted([*leg.extras, (at, litres)])))


def _instead(course: Course, leg: Leg, changed: Leg) -> Course:
    legs = [changed if each is leg else each for each in course.legs]
    return Course(course.name, course.kind, course.flow, legs, course.set_back)


def set_back(course: Course, at: datetime) -> Course:
    """The course with the tank emptied (or fresh filled) at a moment: the leg ends there, and another begins."""
    legs = list(course.legs)
    place = _leg_at(legs, at)
    leg = legs[place]
    before = Leg(leg.start, at, leg.intake, [r for r in leg.reliefs if r[0] < at], [e for e in leg.extras if e[0] < at])
    after = Leg(
        at, leg.end, course.set_back, [r for r in leg.reliefs if r[0] >= at], [e for e in leg.extras if e[0] >= at]
    )
    legs[place : place + 1] = [before, after]
    return Course(course.name, course.kind, course.flow, legs, course.set_back)


def _leg_at(legs: Sequence[Leg], at: datetime) -> int:
    return max(i for i, leg in enumerate(legs) if leg.start <= at or i == 0)
