"""Will it last: the chance that no tank gives out until a moment, when each does, and what may be used until then.

Joins what is believed (belief.py), the household's habits (pace.py) and the known future (outlook.py). Fresh counts down while the rig
runs on its tank, waste counts up, unless it runs off through an open valve. The chance is P(use x share <= room), jointly over the
tanks, in closed form (course.py). Pure: no clock, no database, no randomness; the same on every run.
May import: `belief`, `course`, `outlook`, `pace`, `routes`, `typical`, `spread`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from math import sqrt

from state.ahead import altered
from state.ahead.course import Course, Flow, Intake, Leg, legs_of, mean_of_least
from state.ahead.outlook import Change, Happening, Outlook, Piece, look_ahead
from state.figures import LEFTOVER, LEFTOVER_SD
from state.habits import pace
from state.habits.typical import typical
from state.lightclass import Literal, dataclass
from state.spread import Spread
from state.water import belief, routes
from state.water.belief import Belief, TankBelief
from state.world import World

HORIZON = timedelta(days=60)
"""Beyond this a tank is said never to give out."""

SAFE = 0.9
"""The chance that a budget is made for, unless the rig's own `safety` limit says otherwise."""


@dataclass(frozen=True)
class TankOutlook:
    """One tank's future. gives_out: p10, p50, p90, None where that lies beyond the horizon. level: at the moment asked about. [litres]"""

    name: str
    kind: str
    probability: float
    gives_out: dict[str, datetime | None]
    level: Spread
    now: TankBelief


Demand = tuple[Intake, float, float]
"""What a tank must still take or give at a moment: its room, the whole days until then, and litres that errands make up for."""


@dataclass(frozen=True)
class MakeIt:
    """probability: joint, that nothing gives out until `until`. binding: the tank that is the tightest, None where none ever gives out.
    budget_litres_per_day: what may be used each whole day to get there with `safety`; None where nothing binds. use_litres: p10, p50,
    p90 of what will be used. assumes: dumps nobody planned but anybody would make (at a sewer). [litres]"""

    until: datetime
    probability: float
    binding: str | None
    tanks: dict[str, TankOutlook]
    budget_litres_per_day: float | None
    pace_litres_per_day: float
    use_litres: dict[str, float]
    safety: float
    assumes: tuple[Happening, ...] = ()


@dataclass(frozen=True)
class Runway:
    """first: the tank that gives out first, None if none does within the horizon."""

    first: str | None
    tanks: dict[str, TankOutlook]


@dataclass(frozen=True)
class UsesLeft:
    """count: p10, p50, p90 of the showers (or whatever is asked about) that still fit, nothing else used; None where nothing limits them.
    enough: the chance that as many as were asked about fit, None where no number was."""

    count: dict[str, int] | None
    binding: str | None
    litres_each: float
    enough: float | None = None


def make_it(
    world: World, now: datetime, until: datetime, change: Sequence[Change] = (), levels: Belief | None = None
) -> MakeIt:
    """The chance that no tank gives out from now to `until`, and all that goes with it.

    Args:
        until: aware; a moment before now is taken as now.
        change: a what-if; applies to the forecast only.
        levels: the belief at now, if the caller has it.
    """
    until = max(now, until)
    scene = Voyage.of(world, now, max(now + HORIZON, until), change, levels)
    limits = {course.name: course.pace_limits(until) for course in scene.courses}
    joint = mean_of_least([nodes for each in limits.values() for nodes in each])
    held = next((one.litres for one in change if one.what == "share" and one.litres is not None), None)
    if held is not None:  # "what if we keep to five gallons a day": meant as the budget is that it may come from
        joint = scene.kept_to(until, held)
    tanks = scene.tanks(until, {name: mean_of_least(each) for name, each in limits.items()})
    use = scene.all_use.between(now, until)
    points = {name: use.quantile(p) if use.mean > 0 else 0.0 for name, p in POINTS}
    safety = world.rig.limits.get("safety", SAFE)
    return MakeIt(
        until, joint, tightest(tanks), tanks, scene.budget(until, safety), scene.daily_pace(), points, safety,
        tuple(h for h in scene.outlook.happenings if h.assumed and h.at < until),
    )  # fmt: skip


def runway(world: World, now: datetime, change: Sequence[Change] = (), levels: Belief | None = None) -> Runway:
    """When each tank gives out, and which comes first."""
    scene = Voyage.of(world, now, now + HORIZON, change, levels)
    tanks = scene.tanks(now + HORIZON, {})
    dated = [(tank.gives_out["p50"], name) for name, tank in tanks.items() if tank.gives_out["p50"] is not None]
    return Runway(min(dated, key=lambda item: item[0])[1] if dated else None, tanks)


def chance(
    world: World,
    now: datetime,
    until: datetime,
    change: Sequence[Change] = (),
    levels: Belief | None = None,
    tank: str | None = None,
    side: Literal["fresh", "waste"] | None = None,
) -> float:
    """Only the chance that nothing gives out until then: what trying out ways needs. `tank`: that this one does not; `side`: that no tank
    of that side does. [probability]"""
    if until <= now:
        return 1.0
    scene = Voyage.of(world, now, until, change, levels)
    courses = [
        course
        for course in scene.courses
        if (tank is None or course.name == tank) and (side is None or (course.kind == "fresh") == (side == "fresh"))
    ]
    return mean_of_least([nodes for course in courses for nodes in course.pace_limits(until)])


POINTS = (("p10", 0.1), ("p50", 0.5), ("p90", 0.9))


def tightest(tanks: dict[str, TankOutlook]) -> str | None:
    """The tank with the least chance; among equals the one that gives out first; None where none ever does."""
    far = datetime.max.replace(tzinfo=None)

    def rank(tank: TankOutlook) -> tuple[float, datetime]:
        at = tank.gives_out["p50"] or tank.gives_out["p10"]
        return (round(tank.probability, 6), at.replace(tzinfo=None) - (at.utcoffset() or timedelta(0)) if at else far)

    mortal = [t for t in tanks.values() if t.probability < 1.0 - 1e-6 or any(t.gives_out.values())]
    return min(mortal, key=rank).name if mortal else None


@dataclass
class Voyage:
    """The forecast's working desk: the outlook and one course a tank, made once for a question."""

    world: World
    now: datetime
    horizon: datetime
    outlook: Outlook
    levels: Belief
    courses: list[Course]
    all_use: Flow

    @classmethod
    def of(
        cls,
        world: World,
        now: datetime,
        horizon: datetime,
        change: Sequence[Change] = (),
        levels: Belief | None = None,
        assume: bool = True,
    ) -> Voyage:
        levels = levels or belief.believe(world, now)
        outlook = look_ahead(world, now, horizon, change, assume)
        habits = habits_of(world)
        priors = routes.shares(world.rig)
        courses = [_course(world, tank, outlook, habits, priors) for tank in levels.tanks.values()]
        cuts = altered.Cuts(world, habits)
        everything = Flow.along(habits, outlook.pieces, lambda piece: 1.0 - cuts.of_all(piece))
        return cls(world, now, horizon, outlook, levels, courses, everything)

    def tanks(self, at: datetime, chances: dict[str, float]) -> dict[str, TankOutlook]:
        """What each tank comes to by `at`; `chances`: those already known."""
        found = {}
        for course in self.courses:
            chance = chances[course.name] if course.name in chances else course.lasts(at)
            gives_out = {name: course.gives_out(p, self.now, self.horizon) for name, p in POINTS}
            tank = self.levels.tanks[course.name.casefold()]
            found[course.name] = TankOutlook(
                course.name, course.kind, chance, gives_out, level_at(course, tank, at), tank
            )
        return found

    def daily_pace(self) -> float:
        """Litres a whole day, as things stand."""
        people = next((piece.people for piece in self.outlook.pieces if piece.people > 0), float(self.world.people))
        return pace.mean_rate(habits_of(self.world), self.world.supply) * pace.persons(people)

    def budget(self, until: datetime, safety: float) -> float | None:
        """Litres a whole day that keep every tank with chance `safety` until then; None where nothing binds. 0 where even none is safe."""
        if until <= self.now:
            return None
        demands = [demand for course in self.courses for demand in _demands(course, until)]
        if not demands:
            return None
        high = 1.0
        while _held_to(high, demands) >= safety and high < 1e5:
            high *= 2.0
        low = 0.0
        for _ in range(30):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if _held_to(middle, demands) >= safety else (low, middle)
        return low

    def kept_to(self, until: datetime, daily: float) -> float:
        """Chance that no tank gives out where people hold to so many litres a whole day, as to a budget. [probability]"""
        return _held_to(daily, [demand for course in self.courses for demand in _demands(course, until)])


def habits_of(world: World) -> pace.Habits:
    """The world's habits; those of an unknown household where nothing was learned."""
    return world.habits if isinstance(world.habits, pace.Habits) else pace.new()


def _shift(room: Spread, slack: float) -> Spread:
    return Spread(room.mean + slack, room.sd, room.low + slack, room.high + slack)


def _held_to(daily: float, demands: Sequence[Demand]) -> float:
    """Chance that every tank takes, or gives, so many litres a whole day. [probability]"""
    product = 1.0
    for intake, days, slack in demands:
        product *= Intake(_shift(intake.room, slack), intake.share, intake.covariance).chance(daily * days)
    return product


def _demands(course: Course, until: datetime) -> list[Demand]:
    """(intake, effective days, slack) for each moment of each leg at which the tank must still have room."""
    found = []
    for leg in course.legs:
        end = min(until, leg.end)
        if end <= leg.start:
            continue
        moments = [(t, leg.slack(t, before=True)) for t, _ in leg.reliefs if t < end] + [(end, leg.slack(end))]
        for at, slack in moments:
            days = course.flow.days_between(leg.start, at)
            if days > 1e-6:
                found.append((leg.intake, days, slack))
    return found


def _course(
    world: World, tank: TankBelief, outlook: Outlook, habits: pace.Habits, priors: dict[str, tuple[float, float]]
) -> Course:
    cuts = altered.Cuts(world, habits)
    key = tank.name.casefold()
    if tank.kind == "fresh":
        shares = world.rig.of_kind("fresh")
        share = Spread(1.0 / max(1, len(shares)), 0.0)
        flow = Flow.along(
            habits, outlook.pieces, lambda piece: (1.0 - cuts.of_all(piece)) if piece.supply == "tank" else 0.0
        )
        now, then = Intake(tank.room, share), Intake(tank.capacity, share)
    else:
        flowing = tank.flowing
        prior = priors.get(key, (0.5, 0.2))
        usual = tank.share if not flowing and tank.share.mean > 1e-3 else Spread(prior[0], prior[1], 0.0, 1.0)
        here_until = outlook.pieces[0].start if not outlook.pieces else _leaves(outlook)
        flow = Flow.along(
            habits, outlook.pieces,
            lambda piece: 0.0 if piece.running_off or (flowing and piece.start < here_until) else 1.0 - cuts.of_tank(piece, key, usual.mean),
        )  # fmt: skip
        left = tank.capacity.mean * LEFTOVER
        emptied = Spread(
            tank.capacity.mean - left, sqrt(tank.capacity.sd**2 + (tank.capacity.mean * LEFTOVER_SD) ** 2), 0.0
        )
        now, then = Intake(tank.room, usual, 0.0 if flowing else tank.room_share_cov), Intake(emptied, usual)
    own = [h for h in outlook.happenings if _concerns(h, tank)]
    legs = legs_of(now, then, outlook.now, outlook.horizon, own, _own_litres(world, tank, outlook))
    return Course(tank.name, tank.kind, flow, legs, then)


def _leaves(outlook: Outlook) -> datetime:
    """When the present place is left, as far as it is known."""
    first = outlook.pieces[0]
    for piece in outlook.pieces:
        if piece.site != first.site or (piece.running_off != first.running_off):
            return piece.start
    return outlook.horizon


def _concerns(happening: Happening, tank: TankBelief) -> bool:
    if happening.what == "use":
        return True
    if happening.what == "fill":
        return tank.kind == "fresh"
    if tank.kind == "fresh":
        return happening.what == "haul" and (happening.tank or "").casefold() == tank.name.casefold()
    if happening.tank is None:
        return happening.what == "dump" or tank.kind == "grey"
    return happening.tank.casefold() == tank.name.casefold()


def _own_litres(world: World, tank: TankBelief, outlook: Outlook) -> Callable[[Happening], float]:
    """How many litres of a planned use come out of, or into, this tank."""

    def litres(happening: Happening) -> float:
        activity = happening.activity or "other"
        amount = happening.litres if happening.litres is not None else typical(world, activity).mean
        piece = _piece_at(outlook, happening.at)
        if tank.kind == "fresh":
            return amount if piece is not None and piece.supply == "tank" else 0.0
        if tank.flowing or (piece is not None and piece.running_off):
            return 0.0
        return amount * dict(routes.parts(world.rig, activity)).get(tank.name.casefold(), 0.0)

    return litres


def _piece_at(outlook: Outlook, at: datetime) -> Piece | None:
    return next((piece for piece in outlook.pieces if piece.start <= at < piece.end), None)


def level_at(course: Course, tank: TankBelief, at: datetime, after: bool = False) -> Spread:
    """The level at a moment of the future: the last leg's start plus its share of the use, between empty and full.

    `after`: what happens at that very moment (a fill on leaving) has happened. Returns: [litres]
    """
    legs = [leg for leg in course.legs if leg.start < at or (after and leg.start == at)] or course.legs[:1]
    leg: Leg = legs[-1]
    use, share = course.flow.between(leg.start, at), leg.intake.share
    taken = use.mean * share.mean - leg.slack(at)
    spread = (use.sd * share.mean) ** 2 + (use.mean * share.sd) ** 2 + (use.sd * share.sd) ** 2
    if leg is course.legs[0]:
        start, sd = tank.level.mean, tank.level.sd
    else:
        start, sd = (
            (tank.capacity.mean, tank.capacity.sd) if tank.kind == "fresh" else (tank.capacity.mean * LEFTOVER,) * 2
        )
    mean = start - taken if tank.kind == "fresh" else start + taken
    return Spread(mean, sqrt(sd * sd + spread), 0.0, max(1e-6, tank.capacity.mean))


def uses_left(
    world: World,
    now: datetime,
    levels: Belief | None = None,
    activity: str = "shower",
    asked: int | None = None,
    minutes: float | None = None,
) -> UsesLeft:
    """How often something can still be done with what is in the tanks, if the water were used for nothing else. minutes: each so long."""
    levels = levels or belief.believe(world, now)
    each = typical(world, activity, None, minutes)
    drains = dict(routes.parts(world.rig, activity))
    limits: list[tuple[str, Spread, float]] = []
    for tank in levels.tanks.values():
        part = 1.0 if tank.kind == "fresh" else drains.get(tank.name.casefold(), 0.0)
        counts = world.supply == "tank" if tank.kind == "fresh" else not tank.flowing
        if counts and part > 0.0:
            limits.append((tank.name, tank.room, part))
    if not limits:
        return UsesLeft(None, None, each.mean)

    def enough(n: float) -> float:
        product = 1.0
        for _, room, part in limits:
            doubt = sqrt(room.sd**2 + n * (each.sd * part) ** 2)
            product *= 1.0 - Spread(room.mean, doubt, room.low, room.high).cdf(n * each.mean * part)
        return product

    count = {name: _most(enough, 1.0 - p) for name, p in POINTS}
    binding = min(limits, key=lambda item: item[1].quantile(0.5) / item[2])[0]
    return UsesLeft(count, binding, each.mean, enough(asked) if asked else None)


def _most(enough: Callable[[float], float], chance: float) -> int:
    """The largest whole n for which enough(n) >= chance, by doubling and halving."""
    if enough(1) < chance:
        return 0
    low, high = 1, 2
    while enough(high) >= chance and high < 4096:
        low, high = high, high * 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if enough(middle) >= chance else (low, middle)
    return low
