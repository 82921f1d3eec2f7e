"""What is in each tank at a moment, and how sure that is: the filter carried forward to now and read off as spreads.

Pure: `believe` changes nothing. May import: what `passing` may, `spread`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from math import inf, sqrt

from state.lightclass import dataclass, replace
from state.spread import Spread, centred
from state.water import holding, passing, sizes
from state.water.filter import Filter
from state.water.split import Split, covariance, recentre
from state.world import Tank, TankKind, World

LEAST_VAR = 0.05**2
PRIOR_UNLOGGED_LITRES = 40.0
"""How many settled litres it takes until the routes of logged uses weigh as much as the shares of unlogged ones."""

FAR = 4.0
"""No tank holds more than this many standard deviations of its capacity above it: about twice that of the odd sort of tank (sizes.py)."""

COMPOSITION_SD = 0.03
"""How far the mix of activities of the days to come, and so the share, wanders from the long run. Common practice, no source."""


@dataclass(frozen=True)
class TankBelief:
    """level: what is in it. room: what still fits; for fresh what can still be drawn. Both cut to 0 and what the tank can at
    most hold. [litres]

    share: the part of all future indoor use that goes there: for fresh 1 on the tank supply, 0 on the hookup; 0 for a waste tank whose
    valve is open. room_share_cov: their covariance. flowing: its valve is open. since: when it was last emptied, filled or stated.
    sources: what the level rests on, newest first (`reading`, `stated`, `dump`, `expected`, `nothing`).
    """

    name: str
    kind: TankKind
    capacity: Spread
    level: Spread
    room: Spread
    share: Spread
    room_share_cov: float
    flowing: bool
    since: datetime | None
    sources: tuple[str, ...] = ()


class Tanks(Mapping[str, TankBelief]):
    """What is believed of each tank of a rig, by key, in the rig's order. Reckoned when it is looked at: most turns speak of one."""

    def __init__(self, keys: Iterable[str], reckon: Callable[[str], TankBelief]) -> None:
        self._found: dict[str, TankBelief | None] = dict.fromkeys(keys)
        self._reckon = reckon

    def __getitem__(self, key: str) -> TankBelief:
        found = self._found[key]
        if found is None:
            found = self._found[key] = self._reckon(key)
        return found

    def __contains__(self, key: object) -> bool:
        return key in self._found

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


@dataclass(frozen=True)
class Belief:
    """at: the moment. tanks: by key."""

    at: datetime
    tanks: Tanks


def believe(world: World, now: datetime) -> Belief:
    """Levels, room and shares at `now` (aware; before the last event counts as then)."""
    world = at_moment(world, now)
    own = passing.belief_of(world)
    holding.look_back(world, now)
    for key in holding.watched(world):
        holding.not_run_over(world, key, now)
    split = recentre(own, world)
    return Belief(now, Tanks(world.rig.tanks, lambda key: _tank(world, own, split, key, world.rig.tanks[key])))


def at_moment(world: World, now: datetime) -> World:
    """A copy of the world with expected use booked up to `now`. Only what time changes is copied."""
    moved = replace(
        world,
        filter=passing.belief_of(world).copy(),
        open={
            supply: replace(interval, pace=list(interval.pace), weights=dict(interval.weights))
            for supply, interval in world.open.items()
        },
        balances=dict(world.balances),
        gone=dict(world.gone),
        told=world.told.copy(),
    )
    passing.pass_time(moved, now)
    return moved


def upper_level(world: World, now: datetime, tank: str, p: float = 0.95) -> float:
    """The level that is not exceeded with probability p. [litres] Raises KeyError for an unknown tank."""
    return believe(world, now).tanks[tank.casefold()].level.quantile(p)


def _tank(world: World, own: Filter, split: Split, key: str, tank: Tank) -> TankBelief:
    level, most = own.at[passing.level_of(key)], own.at[passing.capacity_of(key)]
    top = own.mean[most]
    flowing = key in world.open_valves
    # a full tank holds what it can hold, which is itself not quite known
    limit = top + FAR * sqrt(max(0.0, own.cov[most][most]))
    fits = {most: 1.0, level: -1.0}
    capacity = centred(sizes.parts_of(own, split, tank, {most: 1.0}, top), top, 0.0, inf)
    held = sizes.parts_of(own, split, tank, {level: 1.0}, own.mean[level], LEAST_VAR)
    if tank.kind == "fresh":
        inside = room = centred(held, own.mean[level], 0.0, limit)
        share, cov = Spread(1.0 if world.supply == "tank" else 0.0, 0.0), 0.0
    else:
        # what is in it and what still fits are two sides of one thing: their middles make up the capacity
        free = top - own.mean[level]
        room = centred(sizes.parts_of(own, split, tank, fits, free, LEAST_VAR), free, 0.0, limit)
        inside = centred(held, top - room.quantile(0.5), 0.0, limit)
        share, cov = (Spread(0.0, 0.0), 0.0) if flowing else _future_share(world, own, split, key, fits)
    return TankBelief(tank.name, tank.kind, capacity, inside, room, share, cov, flowing, world.since.get(key))


def _future_share(world: World, own: Filter, split: Split, key: str, fits: dict[int, float]) -> tuple[Spread, float]:
    """Logged uses go where they are known to go, unlogged ones by the learned share; both in the proportion of late.

    Of the kinds of household (split.py) the likelier one is looked ahead with: a use to come is no place to hedge between two.
    """
    routed = world.routed
    unlogged = routed.get("unlogged", 0.0) + PRIOR_UNLOGGED_LITRES
    total = sum(routed.values()) + PRIOR_UNLOGGED_LITRES
    part = unlogged / total
    share, meter = own.at[passing.share_of(key)], own.at[passing.METER]
    mean = part * own.mean[share] + routed.get(key, 0.0) / total
    direction = {share: part, meter: mean}
    sd = sqrt(max(0.0, covariance(own, split, direction, direction)) + COMPOSITION_SD**2)
    return Spread(min(1.0, mean), sd, 0.0, 1.0), covariance(own, split, fits, direction)
