"""Ways out of a no: what would make it last, cheapest first, each computed and with the odds it gives.

A way is tried in the forecast exactly as a what-if is; none is guessed. May import: `forecast`, `outlook`, `pace`, `typical`.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from math import ceil

from state import altered, forecast, pace, weight
from state.belief import Belief
from state.forecast import MakeIt, TankOutlook
from state.lightclass import dataclass, replace
from state.outlook import Change, told
from state.typical import typical
from state.world import World

TOTE_LITRES = 37.85411784
"""A tote, where the rig's own was not told: 10 US gallons. Common practice, no source."""

LEAST_LITRES_PER_PERSON_DAY = 7.5
"""Under this a budget is no advice. Sphere Handbook, water supply standard 1: basic needs 7.5 to 15 litres."""

MOST_TRIPS = 6


@dataclass(frozen=True)
class Way:
    """kind: `budget` (litres a day), `minutes` (of a shower), `skip` (an activity left out), `move` (a planned use put off), `fill`
    (fresh, now), `haul` (trips of `litres` each, by `at`), `carry` (the same, fresh fetched), `dump` (by `at`). probability: with it.
    cost: effort, for the order. changes: the what-if it is, where it is one. kilograms: of a full tote."""

    kind: str
    probability: float
    cost: float
    tank: str | None = None
    litres: float | None = None
    count: int | None = None
    minutes: float | None = None
    activity: str | None = None
    at: datetime | None = None
    kilograms: float | None = None
    changes: tuple[Change, ...] = ()


def ways_out(
    world: World, now: datetime, until: datetime, made: MakeIt, levels: Belief | None = None, tank: str | None = None
) -> list[Way]:
    """Ways that raise the odds of lasting until then, cheapest first; empty where nothing needs to be done or nothing helps.

    `tank`: only this one was asked about; the odds are its own.
    """
    plain = made.probability if tank is None else made.tanks[tank].probability
    if plain >= made.safety or until <= now:
        return []
    if tank is not None:
        made = replace(made, tanks={tank: made.tanks[tank]}, binding=tank, probability=plain)

    def odds(*changes: Change) -> float:
        return forecast.chance(world, now, until, changes, levels, tank)

    found: list[Way] = []
    for way in (_fill, _budget, _minutes, _skip, _moved, _tote, _dump):
        found += way(world, now, made, odds)
    better = [way for way in found if way.probability >= plain + 0.02]
    return sorted(better, key=lambda way: (way.probability < made.safety - 0.005, way.cost))


Odds = Callable[..., float]


def _fill(world: World, now: datetime, made: MakeIt, odds: Odds) -> list[Way]:
    """Fresh from the tap of the site, while there is one."""
    if not world.stay.water or not any(
        tank.kind == "fresh" and tank.probability < made.safety for tank in made.tanks.values()
    ):
        return []
    change = Change("fill", start=now)
    return [Way("fill", odds(change), 1.0, tank="fresh", at=now, changes=(change,))]


def _budget(world: World, now: datetime, made: MakeIt, odds: Odds) -> list[Way]:
    daily = made.budget_litres_per_day
    if daily is None or daily < LEAST_LITRES_PER_PERSON_DAY * max(1, world.people):
        return []
    thrift = 1.0 - daily / max(made.pace_litres_per_day, 1e-6)
    return [Way("budget", made.safety, 2.0 + 6.0 * max(0.0, thrift), litres=daily, tank=made.binding)]


def _minutes(world: World, now: datetime, made: MakeIt, odds: Odds) -> list[Way]:
    """The longest shower, in half minutes, that reaches the safety asked for; else one minute."""
    best = None
    for half_minutes in (8, 6, 4, 3, 2):
        change = Change("minutes", "shower", minutes=half_minutes / 2)
        cuts = altered.Cuts(world, forecast.habits_of(world))
        if cuts.part(change) <= 0.05:
            continue
        best = Way("minutes", odds(change), 3.0, activity="shower", minutes=half_minutes / 2, changes=(change,))
        if best.probability >= made.safety:
            break
    return [best] if best else []


def _skip(world: World, now: datetime, made: MakeIt, odds: Odds) -> list[Way]:
    """The activity that takes most, among those that can be left out or done elsewhere."""
    cuts = altered.Cuts(world, forecast.habits_of(world))
    activity = max(("shower", "laundry", "bath", "outside"), key=cuts.litres_a_day)
    if cuts.litres_a_day(activity) <= 0.0:
        return []
    change = Change("skip", activity)
    return [Way("skip", odds(change), 5.0, activity=activity, changes=(change,))]


def _moved(world: World, now: datetime, made: MakeIt, odds: Odds) -> list[Way]:
    """A planned use put off until after the moment asked about."""
    ways = []
    for expected in world.expected:
        at = told(expected, "start") or now
        if told(expected, "what") == "use" and now <= at < made.until:
            activity = told(expected, "activity") or "other"
            litres = told(expected, "litres") or typical(world, activity).mean
            change = Change("use", activity, litres=-litres, start=at)
            ways.append(Way("move", odds(change), 2.5, activity=activity, litres=litres, at=at, changes=(change,)))
    return ways


def _tote(world: World, now: datetime, made: MakeIt, odds: Odds) -> list[Way]:
    """Tote runs, each before the tank gets tight, as few as reach the safety asked for: waste away, or fresh in where there is no tap."""
    fresh = (
        []
        if world.stay.water
        else [t for t in made.tanks.values() if t.kind == "fresh" and t.probability < made.safety]
    )
    tight = [made.tanks[name] for name in (_tight_waste(made),) if name is not None] + fresh
    return [way for tank in tight for way in (_runs(world, now, made, odds, tank),) if way is not None]


def _runs(world: World, now: datetime, made: MakeIt, odds: Odds, tank: TankOutlook) -> Way | None:
    each = min(world.rig.tote_litres or TOTE_LITRES, max(tank.now.capacity.mean * 0.9, 1.0))
    at = last_good_moment(tank.gives_out["p10"], now)
    best: Way | None = None
    for trips in range(1, MOST_TRIPS + 1):
        apart = max(timedelta(hours=1), (made.until - at) / (trips + 1))
        changes = tuple(Change("haul", tank=tank.name, litres=each, start=at + i * apart) for i in range(trips))
        chance = odds(*changes)
        if best is None or chance > best.probability + 0.01:
            best = Way(
                "carry" if tank.kind == "fresh" else "haul", chance, 6.0 + trips, tank=tank.name, litres=each, count=trips, at=at,
                kilograms=weight.of_litres(each) + (world.rig.tote_tare_kilograms or 0.0), changes=changes,
            )  # fmt: skip
        if chance >= made.safety:
            break
    return best


def _dump(world: World, now: datetime, made: MakeIt, odds: Odds) -> list[Way]:
    """A drive to a dump station: the last moment that is early enough."""
    waste = _tight_waste(made)
    if waste is None:
        return []
    at = last_good_moment(made.tanks[waste].gives_out["p10"], now)
    change = Change("dump", start=at)
    return [Way("dump", odds(change), 9.0, tank=waste, at=at, changes=(change,))]


def last_good_moment(gives_out: datetime | None, now: datetime) -> datetime:
    """An hour before the tank could be full with a chance of one in ten, on the whole hour; not before now."""
    if gives_out is None:
        return now
    return max(now, (gives_out - timedelta(hours=1)).replace(minute=0, second=0, microsecond=0))


def _tight_waste(made: MakeIt) -> str | None:
    tight = [tank for tank in made.tanks.values() if tank.kind != "fresh" and tank.probability < made.safety]
    return min(tight, key=lambda tank: tank.probability).name if tight else None


def showers_of(world: World, litres: float) -> int:
    """How many of this household's showers so many litres are, rounded up."""
    return ceil(litres / max(typical(world, "shower").mean, 1e-6) - 1e-9)


def daily_need(world: World) -> float:
    """Litres a day below which nobody should be sent: basic needs of all aboard."""
    return LEAST_LITRES_PER_PERSON_DAY * max(1.0, pace.persons(world.people))
