"""Facts and half-sentences that the forecast's answers share: tanks as the interface names them, what gives out and when, the pace."""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.say import amounts, times
from assistant.scene import Scene
from state.ahead.forecast import TankOutlook, habits_of
from state.habits import pace
from state.lightclass import Any

KNOWN_AFTER_DAYS = 2.0
"""From so many days of own record on an answer no longer says that it goes by what people usually use."""


NEARLY = 0.03
"""With so little of its size left a tank is as good as full, or empty: nobody sees the difference."""


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


def would(tank: TankOutlook, scene: Scene) -> str:
    """ "grey would be full around Sunday evening"."""
    verb = "run dry" if tank.kind == "fresh" else "be full"
    at = tank.gives_out["p50"] or tank.gives_out["p10"]
    if at is None:
        return f"{tank.name} lasts"
    spent = given_out(tank, scene)
    if spent:
        return f"{tank.name} is {spent}"
    return f"{tank.name} would {verb} {when(at, scene)}"


def given_out(tank: TankOutlook, scene: Scene) -> str:
    """ "full already, as far as I can tell", "as good as empty"; nothing said of a tank that has some way to go."""
    at, state = tank.gives_out["p50"] or tank.gives_out["p10"], "empty" if tank.kind == "fresh" else "full"
    if at is not None and at <= scene.now:
        return f"{state} already, as far as I can tell"
    left = tank.now.room.quantile(0.5)
    return f"as good as {state}" if at is not None and left < NEARLY * tank.now.capacity.mean else ""


def when(at: datetime, scene: Scene) -> str:
    """A forecast moment, as rough as it is: "this evening", "on Sunday morning", "around Sunday 21 June"."""
    return times.on(scene.moment(at))


def room_then(tank: TankOutlook, scene: Scene) -> str:
    """ "about 8 gal of room left in grey", "about 8 gal left in fresh"."""
    level = tank.level.quantile(0.5)
    if tank.kind == "fresh":
        return f"{scene.amount(level)} left in {tank.name}"
    return f"{scene.amount(max(0.0, tank.now.capacity.mean - level))} of room left in {tank.name}"


def outlook_days(time: timedelta) -> str:
    """ "14 hours", "a day and a half", "three days": a length of the forecast, as rough as it is."""
    hours = time.total_seconds() / 3600.0
    if abs(hours) < 20:
        return amounts.counted(max(1, round(abs(hours))), "hour")
    halves = round(abs(hours) / 12.0)
    if halves == 3:
        return "a day and a half"
    return amounts.counted(max(1, round(abs(hours) / 24.0)), "day")


def own_pace(scene: Scene) -> float:
    """Litres a whole day, as the household stands now."""
    return pace.mean_rate(habits_of(scene.world), scene.world.supply) * pace.persons(scene.people)


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
