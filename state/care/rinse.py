"""Rinsing a waste tank through its port: what surely still fits, how long that runs, what is running now. Pure.

May import: belief, pace, passing, pressure, world.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from state.care import pressure
from state.habits import pace
from state.lightclass import dataclass
from state.water import belief, passing
from state.world import Tank, World

SURE = 0.95
HOSE_METRES, HOSE_MILLIMETRES = 15.24, 12.7  # 50 ft of half-inch hose, the usual one; a wider one is faster still
USUAL_BLACK_LITRES = 115.0  # about 30 US gallons: common practice, no source; only used where no black tank was told


@dataclass(frozen=True)
class Limit:
    """`litres`: what fits with 95 % certainty; 0 when it may be full already. `stop_at_reading_litres`: the rinse meter then, if its
    reading is known; what was rinsed since it was read has moved it. `minutes`: at the flow, if that is known. `valve_open`: it runs
    out, so nothing is limited. `flow_is_old`: the flow was measured before this stay. `soonest_minutes`: what an unrestricted hose would
    need at this site's pressure; less than that it cannot take, and where nobody timed the flow it is all there is to warn with."""

    tank: str
    litres: float
    level_litres: float
    upper_level_litres: float
    stop_at_reading_litres: float | None
    minutes: float | None
    flow_litres_per_minute: float | None
    flow_is_old: bool
    valve_open: bool
    soonest_minutes: float


def limit(world: World, now: datetime, tank: Tank, flow: float | None = None) -> Limit:
    """What may run through the rinse into a tank whose valve is closed: the told capacity less the level that is not
    passed with 95 %
    certainty; less still where the true capacity is believed to be smaller.

    Args: flow: litres a minute, if just said; else the measured one. Raises: ValueError if flow is not positive.
    """
    if flow is not None and flow <= 0:
        raise ValueError("a flow is above zero")
    believed = belief.believe(world, now).tanks[tank.name.casefold()]
    upper = belief.upper_level(world, now, tank.name.casefold(), SURE)
    litres = max(0.0, min(tank.litres - upper, believed.room.quantile(1.0 - SURE)))
    rate = flow if flow is not None else world.flow_litres_per_minute
    meter = world.meters["rinse"]
    return Limit(
        tank.name,
        litres,
        believed.level.quantile(0.5),
        upper,
        _wrapped(world, meter.litres + world.rinsed + litres) if meter.known else None,
        litres / rate if rate else None,
        rate,
        flow is None and rate is not None and _older_than_stay(world),
        tank.name.casefold() in world.open_valves,
        litres / fastest_flow(world),
    )


def fastest_flow(world: World) -> float:
    """What a rinse hose of half an inch and 15 m can give at most, at the pressure last read here or else at the limit. [litres/minute]"""
    read = pressure.at_site(world, world.stay.site)
    return pressure.hose_flow(
        read.last if read is not None and read.last > 0 else pressure.limit(world), HOSE_METRES, HOSE_MILLIMETRES
    )


def _wrapped(world: World, reading: float) -> float:
    top = world.rig.rollover.get("rinse")
    return reading % top if top else reading


def _older_than_stay(world: World) -> bool:
    return world.flow_at is not None and world.stay.since is not None and world.flow_at < world.stay.since


@dataclass(frozen=True)
class Running:
    tank: str
    since: datetime
    until: datetime
    left: timedelta


def running(world: World, now: datetime) -> Running | None:
    """The rinse that runs at this moment, with the time it still has; None if none does."""
    if world.rinse_run is None:
        return None
    tank, since, until = world.rinse_run
    return Running(tank, since, until, until - now) if since <= now < until else None


def other_meter(
    world: World, meter: str, litres: float, now: datetime, litres_a_day: float | None = None
) -> str | None:
    """The meter that a reading was more likely meant for, or None when it fits the one that was named.

    A reading fits a meter if it lies above the last one by no more than could have run: through the inlet three times
    the usual use
    for the time that has passed and a filling of fresh, through the rinse twice the black tank. A reset is no reason
    to doubt:
    nothing is said when the reading fits neither.

    Args: litres_a_day: the household's use; None takes what its habits say.
    """
    other = "rinse" if meter == "inlet" else "inlet"
    if not world.meters[other].known or not world.meters[meter].known:
        return None
    if litres_a_day is None:
        day = timedelta(days=1)
        litres_a_day = pace.rate(
            passing.habits_of(world), now, now + day, max(1.0, float(world.aboard(now))), "hookup"
        )[0]
    own_fits = _fits(world, meter, litres, now, litres_a_day)
    return other if not own_fits and _fits(world, other, litres, now, litres_a_day) else None


def _fits(world: World, meter: str, litres: float, now: datetime, litres_a_day: float) -> bool:
    state = world.meters[meter]
    if meter == "rinse":
        black = sum(tank.litres for tank in world.rig.of_kind("black")) or USUAL_BLACK_LITRES
        most = 2.0 * black
    else:
        days = (now - state.at).total_seconds() / 86400 if state.at else 0.0
        fresh = sum(tank.litres for tank in world.rig.of_kind("fresh"))
        most = 3.0 * litres_a_day * (days + 0.25) + fresh
    return state.litres <= litres <= state.litres + most
