"""Facts and half-sentences that the forecast's answers share: tanks as the interface names them, what gives out and when, ways out."""

from __future__ import annotations

from datetime import datetime

from assistant.say import amounts, times
from assistant.scene import Scene
from state import advice, pace
from state.advice import Way
from state.forecast import TankOutlook, habits_of
from state.lightclass import Any

KNOWN_AFTER_DAYS = 2.0
"""From so many days of own record on an answer no longer says that it goes by common practice."""


def tank_facts(tank: TankOutlook, *, until: bool) -> dict[str, Any]:
    """A tank as in the interface; `until`: with its chance of lasting and its level then."""
    own: dict[str, Any] = {
        "name": tank.name,
        "kind": tank.kind,
        "capacity_litres": tank.now.capacity.mean,
        "level_litres": tank.now.level.points,
        "room_litres": tank.now.room.points,
        "gives_out_at": dict(tank.gives_out),
    }
    if until:
        own["probability"] = tank.probability
        own["level_then_litres"] = tank.level.points
    return own


def facts_of_way(way: Way) -> dict[str, Any]:
    """A way out, only with what it has."""
    own = {
        "kind": way.kind, "probability": way.probability, "tank": way.tank, "litres": way.litres, "count": way.count,
        "minutes": way.minutes, "activity": way.activity, "at": way.at, "kilograms": way.kilograms,
    }  # fmt: skip
    return {name: value for name, value in own.items() if value is not None}


def would(tank: TankOutlook, scene: Scene) -> str:
    """ "grey would be full around Sunday evening"."""
    verb = "run dry" if tank.kind == "fresh" else "be full"
    at = tank.gives_out["p50"] or tank.gives_out["p10"]
    if at is None:
        return f"{tank.name} lasts"
    if at <= scene.now:
        return f"{tank.name} is {'empty' if tank.kind == 'fresh' else 'full'} already, as far as I can tell"
    return f"{tank.name} would {verb} {when(at, scene)}"


def when(at: datetime, scene: Scene) -> str:
    """A forecast moment, as rough as it is: "this evening", "on Sunday morning", "around Sunday 21 June"."""
    said = scene.moment(at)
    return f"on {said}" if said.split()[0] in times.DAYS else said


def room_then(tank: TankOutlook, scene: Scene) -> str:
    """ "about 8 gal of room left in grey", "about 8 gal left in fresh"."""
    level = tank.level.quantile(0.5)
    if tank.kind == "fresh":
        return f"{scene.amount(level)} left in {tank.name}"
    return f"{scene.amount(max(0.0, tank.now.capacity.mean - level))} of room left in {tank.name}"


def way_words(way: Way, scene: Scene, count_odds: bool = True) -> str:
    """One way out as the end of "To get there, ...": "keep to about 5 gal a day (90 %)"."""
    odds = f" ({amounts.percent(way.probability)})" if count_odds else ""
    return WAYS[way.kind](way, scene) + odds


def _budget(way: Way, scene: Scene) -> str:
    litres = way.litres or 0.0
    showers = advice.showers_of(scene.world, max(0.0, own_pace(scene) - litres))
    fewer = f", {amounts.counted(showers, 'shower')} fewer," if 0 < showers <= 6 else ""
    return f"keep to {scene.amount(litres)} a day{fewer}".rstrip(",")


def _minutes(way: Way, scene: Scene) -> str:
    return f"keep showers to {minutes_words(way.minutes or 0.0)}"


def minutes_words(minutes: float) -> str:
    """ "two minutes", "one and a half minutes"."""
    whole = int(minutes)
    if minutes == whole:
        return amounts.counted(whole, "minute")
    return "one and a half minutes" if whole == 1 else f"{amounts.plain(minutes, 1)} minutes"


def _skip(way: Way, scene: Scene) -> str:
    noun = {"shower": "showers", "bath": "baths", "outside": "rinsing outside"}.get(
        way.activity or "", way.activity or ""
    )
    return f"leave out {noun}"


def _move(way: Way, scene: Scene) -> str:
    return f"put off the {way.activity}"


def _fill(way: Way, scene: Scene) -> str:
    return "fill fresh at the tap now"


def _haul(way: Way, scene: Scene) -> str:
    return f"make {amounts.counted(way.count or 1, 'tote run')} of {_loads(way, scene)}"


def _carry(way: Way, scene: Scene) -> str:
    return f"bring in {amounts.counted(way.count or 1, 'tote')} of {_loads(way, scene)}"


def _loads(way: Way, scene: Scene) -> str:
    """ "10 gal each, 83 lb, by Friday at 9:00"."""
    litres = scene.rounded(way.litres or 0.0)
    weight = amounts.weight(way.kilograms or 0.0, scene.units)
    several = (way.count or 1) > 1
    by = times.by(way.at, scene.now) if way.at is not None and way.at > scene.now else "now"
    return f"{litres}, {weight}{' each, the first' if several else ','} {by}"


def _dump(way: Way, scene: Scene) -> str:
    return f"dump {times.by(way.at, scene.now)}" if way.at is not None and way.at > scene.now else "dump now"


WAYS = {
    "budget": _budget, "minutes": _minutes, "skip": _skip, "move": _move, "fill": _fill, "haul": _haul, "carry": _carry, "dump": _dump,
}  # fmt: skip


def own_pace(scene: Scene) -> float:
    """Litres a whole day, as the household stands now."""
    return pace.mean_rate(habits_of(scene.world), scene.world.supply) * pace.persons(scene.world.people)


def is_guess(scene: Scene) -> bool:
    """Too little of the household's own is known; common practice carries the answer."""
    return habits_of(scene.world).total_days < KNOWN_AFTER_DAYS


def pace_facts(scene: Scene) -> dict[str, Any]:
    """What the forecast takes the household's day to be, and on what ground."""
    habits = habits_of(scene.world)
    return {
        "litres_per_day": own_pace(scene),
        "spread_of_a_day": pace.day_spread(habits),
        "days_seen": habits.total_days,
        "basis": "common practice" if is_guess(scene) else "own record",
    }


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]
