"""How one tank fares along an outlook: the use that fits into it, and the chance that it has not given out by a moment.

A tank's future falls into legs: from now, and from each dump or fill on. In a leg the tank takes `share` of the household's use, less
what is hauled, and gives out when that exceeds its room. Room and share are uncertain: they are put on a small fixed grid of nodes
(Gauss rules), and for each node the use that fits is compared with the forecast of use in closed form. No simulation.

The household's pace is one: the same lively or thrifty course of days runs through all tanks and legs. So each node is turned into
the percentile of pace at which it gives out, and the joint chance is the mean of the smallest of them.
Pure. May import: `outlook`, `pace`, `leaning`, `spread`.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from functools import lru_cache
from math import prod, sqrt

from state.ahead.outlook import Happening, Piece
from state.habits import pace
from state.leaning import Leaning
from state.lightclass import dataclass, field
from state.spread import Spread, z_of

Nodes = list[tuple[float, float]]
"""(value, weight), weights adding up to 1."""

# Gauss-Legendre rule of 7 points on (0, 1), for the quantiles of the room. Source: Abramowitz and Stegun, table 25.4 (from memory).
_P7 = (
    0.025446043828621,
    0.129234407200303,
    0.297077424311301,
    0.5,
    0.702922575688699,
    0.870765592799697,
    0.974553956171379,
)
_W4 = (0.064742483084435, 0.139852695744638, 0.190915025252559, 0.208979591836735)
_W7 = (*_W4, *_W4[2::-1])
# Gauss-Hermite rule of 3 points for a standard normal: exact to the fifth moment.
_Z3 = (-sqrt(3.0), 0.0, sqrt(3.0))
_W3 = (1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0)

CLOSE, CLOSE_SECONDS = 2e-3, 600.0
"""A moment of giving out is near enough when its chance is, or when it is known to ten minutes."""


@dataclass(frozen=True)
class Intake:
    """What one tank can take, and its part in the use. room: what fits, or can be drawn. share: of the use it has to do with.
    covariance: of room and share. [litres; ratio; litres]"""

    room: Spread
    share: Spread
    covariance: float = 0.0

    def chance(self, litres: float, share_factor: float = 1.0) -> float:
        """P(litres of use fit): closed form in the room, three points in the share. [probability]"""
        share_sd = self.share.sd
        slope = 0.0 if share_sd < 1e-6 else self.covariance / (share_sd * share_sd)
        rest = sqrt(max(0.0, self.room.sd**2 - slope * slope * share_sd * share_sd))
        total = 0.0
        for z, weight in zip(_Z3, _W3, strict=True):
            share = min(1.0, max(1e-3, self.share.mean + z * share_sd)) * share_factor
            room = Spread(self.room.mean + slope * z * share_sd, rest, self.room.low, self.room.high)
            total += weight * (1.0 - room.cdf(litres * share))
        return total


@dataclass(frozen=True)
class Grid:
    """The nodes of an intake: rooms, shares and weights of each, with the correlation of room and share."""

    room: list[float]
    share: list[float]
    weight: list[float]


@lru_cache(maxsize=64)
def grid_of(intake: Intake) -> Grid:
    """The nodes of an intake: made once, however many errands and habits are tried on it."""
    share_sd = intake.share.sd
    sure = share_sd < 1e-6
    slope = 0.0 if sure else intake.covariance / (share_sd * share_sd)
    rest = sqrt(max(0.0, intake.room.sd**2 - slope * slope * share_sd * share_sd))
    grid = Grid([], [], [])
    for z, outer in ((0.0, 1.0),) if sure else zip(_Z3, _W3, strict=True):
        share = min(1.0, max(1e-3, intake.share.mean + z * share_sd))
        room = Spread(intake.room.mean + slope * z * share_sd, rest, intake.room.low, intake.room.high)
        for p, inner in zip(_P7, _W7, strict=True):
            grid.room.append(room.quantile(p))
            grid.share.append(share)
            grid.weight.append(outer * inner)
    return grid


@dataclass(frozen=True)
class Limits:
    """What was reckoned before for one intake, by start, moment and slack. The intake is kept, so that its id stays its own."""

    intake: Intake
    grid: Grid
    known: dict[tuple[datetime, datetime, float], Nodes]


@dataclass
class Flow:
    """The use that concerns one tank, summed along the pieces, so that a forecast to any moment costs a look-up.

    Arrays over the ends of the pieces: mean litres, day-by-day irregularity (litres squared, before the spread), effective days.
    _sums_at, _limits: what was reckoned before; trying out errands asks for the same moments again and again.
    """

    habits: pace.Habits
    clock: pace.Clock
    pieces: Sequence[Piece]
    daily: list[float]
    mean: list[float] = field(default_factory=list)
    irregular: list[float] = field(default_factory=list)
    days: list[float] = field(default_factory=list)
    starts: list[datetime] = field(default_factory=list)
    doubts: tuple[float, float] = (0.0, 0.0)
    _sums_at: dict[datetime, tuple[float, float, float, float]] = field(default_factory=dict)
    _limits: dict[int, Limits] = field(default_factory=dict)

    @classmethod
    def along(cls, habits: pace.Habits, pieces: Sequence[Piece], factor: Callable[[Piece], float]) -> Flow:
        """`factor`: what part of the household's usual use in a piece concerns the tank; 0 where it does not at all."""
        clock = pace.clock_of(habits)
        daily = [
            pace.mean_rate(habits, piece.supply) * pace.persons(piece.people) * factor(piece)
            if piece.people > 0
            else 0.0
            for piece in pieces
        ]
        flow = cls(habits, clock, pieces, daily)
        flow.doubts = pace.doubts(habits)
        mean = irregular = days = 0.0
        for piece, per_day in zip(pieces, daily, strict=True):
            flow.mean.append(mean)
            flow.irregular.append(irregular)
            flow.days.append(days)
            flow.starts.append(piece.start)
            length, whole = clock.span(piece.start, piece.end)
            mean += per_day * length
            irregular += per_day * per_day * length
            days += whole if per_day > 0 else 0.0
        return flow

    def _sums(self, at: datetime) -> tuple[float, float, float, float]:
        found = self._sums_at.get(at)
        if found is None:
            found = self._sums_at[at] = self._summed(at)
        return found

    def _summed(self, at: datetime) -> tuple[float, float, float, float]:
        """Mean, irregularity and days up to a moment, and how much a cut at that moment adds to the irregularity."""
        if not self.starts:
            return 0.0, 0.0, 0.0, 0.0
        i = max(0, bisect_right(self.starts, at) - 1)
        end = min(at, self.pieces[i].end)
        length, whole = self.clock.span(self.starts[i], end)
        per_day = self.daily[i]
        return (
            self.mean[i] + per_day * length,
            self.irregular[i] + per_day * per_day * length,
            self.days[i] + (whole if per_day > 0 else 0.0),
            self.clock.cut(at),
        )

    def between(self, start: datetime, end: datetime) -> Leaning:
        """Predictive distribution of this use from start to end. [litres]"""
        mean0, irregular0, days0, cut0 = self._sums(start)
        mean1, irregular1, days1, cut1 = self._sums(end)
        mean, irregular = max(0.0, mean1 - mean0), max(0.0, irregular1 - irregular0)
        return Leaning(mean, pace.spread_of(mean, irregular, days1 - days0, cut0 + cut1, self.doubts))

    def limits(self, intake: Intake, start: datetime, at: datetime, slack: float) -> Nodes:
        """For each node of what a tank can take from `start` on: the percentile of pace above which it has given out at a moment. `slack`:
        litres hauled less litres planned on top by then."""
        held = self._limits.get(id(intake))
        if held is None:
            held = self._limits[id(intake)] = Limits(intake, grid_of(intake), {})
        found = held.known.get((start, at, slack))
        if found is None:
            grid = held.grid
            fits = [(room + slack) / share for room, share in zip(grid.room, grid.share, strict=True)]
            found = list(zip(self.between(start, at).cdfs(fits), grid.weight, strict=True))
            held.known[start, at, slack] = found
        return found

    def days_between(self, start: datetime, end: datetime) -> float:
        """Effective days on which this use goes on. [days]"""
        return self._sums(end)[2] - self._sums(start)[2]


@dataclass
class Leg:
    """A stretch between two dumps (or fills). `reliefs`: (moment, litres hauled away). `extras`: (moment, litres planned on top, in
    the tank's own litres). `running_off`: nothing collects, the tank cannot give out."""

    start: datetime
    end: datetime
    intake: Intake
    reliefs: list[tuple[datetime, float]] = field(default_factory=list)
    extras: list[tuple[datetime, float]] = field(default_factory=list)

    def slack(self, at: datetime, before: bool = False) -> float:
        """Litres hauled less litres planned on top, up to `at`; `before`: what happens at that very moment left out."""
        hauled = sum(litres for when, litres in self.reliefs if when < at or (when == at and not before))
        return hauled - sum(litres for when, litres in self.extras if when <= at)


@dataclass
class Course:
    """One tank's whole future: its legs, and the use that concerns it. `set_back`: what it can take after a dump or fill."""

    name: str
    kind: str
    flow: Flow
    legs: list[Leg]
    set_back: Intake

    def pace_limits(self, at: datetime) -> list[Nodes]:
        """Per leg begun before `at`: the percentiles of pace above which the tank has given out by then."""
        found: list[Nodes] = []
        for leg in self.legs:
            end = min(at, leg.end)
            if leg.start >= at and found:
                break
            checks = [t for t, _ in leg.reliefs if t < end]
            moments = [(t, leg.slack(t, before=True)) for t in checks] + [(end, leg.slack(end))]
            limits = [self.flow.limits(leg.intake, leg.start, t, slack) for t, slack in moments]
            found.append(limits[0] if len(limits) == 1 else [min(node) for node in zip(*limits, strict=True)])
        return found

    def lasts(self, at: datetime) -> float:
        """Chance that the tank has not given out by `at`. [probability]"""
        return mean_of_least(self.pace_limits(at))

    def gives_out(self, p: float, now: datetime, horizon: datetime) -> datetime | None:
        """The moment by which it has given out with probability p; None if that lies beyond the horizon."""
        whole = (horizon - now).total_seconds()

        def short(seconds: float) -> float:
            return 1.0 - self.lasts(now + timedelta(seconds=seconds)) - p

        low, high = 0.0, whole
        at_low, at_high = short(low), short(high)
        if at_high < 0.0:
            return None
        if at_low >= 0.0:
            return now
        guess = self._first_guess(p, now, horizon)
        for _ in range(40):
            middle = min(max(guess, low + 0.02 * (high - low)), high - 0.02 * (high - low))
            found = short(middle)
            if abs(found) < CLOSE:
                return now + timedelta(seconds=middle)
            if found >= 0.0:
                high, at_high = middle, found
            else:
                low, at_low = middle, found
            if high - low < CLOSE_SECONDS:
                break
            # the secant inside the bracket, kept from creeping along one end
            guess = low + (high - low) * min(0.9, max(0.1, -at_low / max(at_high - at_low, 1e-12)))
        return now + timedelta(seconds=high)

    def _first_guess(self, p: float, now: datetime, horizon: datetime) -> float:
        """Seconds until the p-th quantile of the use that fits is what is used on average."""
        leg, whole = self.legs[0], (horizon - now).total_seconds()
        use = self.flow.between(now, horizon)
        if use.mean <= 0:
            return whole
        fits = leg.intake.room.quantile(0.5) / max(1e-3, leg.intake.share.mean)
        part = min(1.0, fits / use.mean)
        doubt = (use.sd / use.mean) / sqrt(max(part, 1e-3))
        return whole * min(1.0, part * max(0.1, 1.0 + min(doubt, 0.6) * z_of(p)))


def mean_of_least(limits: Iterable[Nodes]) -> float:
    """E[min of independent discrete quantities], each given as (value in 0..1, weight)."""
    every = list(limits)
    if not every:
        return 1.0
    if len(every) == 1:
        return sure(sum(value * weight for value, weight in every[0]))
    total, previous, above = 0.0, 0.0, [1.0] * len(every)
    for value, k, weight in sorted((value, k, weight) for k, nodes in enumerate(every) for value, weight in nodes):
        if value > previous:
            beyond = prod(above)
            if beyond <= 1e-12:
                break
            total += (value - previous) * beyond
            previous = value
        above[k] -= weight
    return sure(total)


def sure(chance: float) -> float:
    """A chance that is 1 but for rounding is 1."""
    return 1.0 if chance > 1.0 - 1e-9 else chance


def legs_of(first: Intake, fresh_start: Intake, start: datetime, end: datetime, happenings: Sequence[Happening],
            own: Callable[[Happening], float]) -> list[Leg]:  # fmt: skip
    """The legs of one tank. `fresh_start`: the intake after a dump or fill. `own`: litres of a planned use that concern this tank."""
    legs = [Leg(start, end, first)]
    for happening in happenings:
        leg = legs[-1]
        if happening.what in ("dump", "fill"):
            leg.end = happening.at
            legs.append(Leg(happening.at, end, fresh_start))
        elif happening.what == "haul":
            leg.reliefs.append((happening.at, happening.litres or 0.0))
        elif happening.what == "use":
            leg.extras.append((happening.at, own(happening)))
    return legs
