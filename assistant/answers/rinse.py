"""How much may run through the rinse into a closed tank, how long that is, and what a running rinse still has.

May import: state, assistant.say, assistant.scene, grammar.intents.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from assistant.say import amounts, times
from assistant.say.room import is_unknown
from assistant.scene import Answer, AskBack, CannotBe, Scene, which_tank
from grammar.intents import Ask
from state import units
from state.care import rinse
from state.lightclass import Any
from state.world import Tank


def answer(ask: Ask, scene: Scene) -> Answer:
    """The rinse limit; or the time left when a running rinse was asked about."""
    if (ask.subject or "").casefold() in ("running", "left", "countdown"):
        return running(scene)
    tank = _tank(ask, scene)
    flow = _flow(ask, scene)
    found = rinse.limit(scene.world, scene.now, tank, flow)
    facts = {
        "topic": "rinse_limit",
        "tank": found.tank,
        "litres": found.litres,
        "level_litres": found.level_litres,
        "upper_level_litres": found.upper_level_litres,
        "stop_at_reading_litres": found.stop_at_reading_litres,
        "minutes": found.minutes,
        "litres_per_minute": found.flow_litres_per_minute,
        "certainty": rinse.SURE,
        "valve_open": found.valve_open,
        "soonest_minutes": found.soonest_minutes,
    }
    memo = {"topic": "rinse_limit", "tank": found.tank}
    if found.valve_open:
        return Answer(
            f"With the {found.tank} valve open it runs out as it comes in, so run it until it is clear.",
            facts,
            ("rinse-backflow",),
            memo,
        )
    return Answer(_sentence(found, scene), facts, ("rinse-closed:limit", "rinse-backflow"), memo)


def _sentence(found: rinse.Limit, scene: Scene) -> str:
    smallest = 0.95 if scene.units == "metric" else 0.9
    if found.litres < smallest and is_unknown(scene.belief.tanks[found.tank.casefold()]):
        return f"Nobody has told yet how full {found.tank} is, so nothing is sure to fit. Tell me, or dump it first."
    if found.litres < smallest:
        return f"Nothing: {found.tank} may be full already. Dump it first."
    parts = [f"At most {whole(found.litres, scene)} into {found.tank} with its valve closed"]
    if found.stop_at_reading_litres is not None:
        parts.append(f"stop when the rinse meter says {scene.exact(_floor(found.stop_at_reading_litres, scene))}")
    if found.minutes is not None and found.flow_litres_per_minute is not None:
        old = ", measured before you came here" if found.flow_is_old else ""
        parts.append(f"{_minutes(found.minutes)} at {amounts.flow(found.flow_litres_per_minute, scene.units)}{old}")
    text = "; ".join(parts) + "."
    if found.minutes is None:
        text += f" An open hose can do that in {_minutes(found.soonest_minutes)}; to get your minutes say for example 1 gallon took 25 seconds."
    return text


def whole(litres: float, scene: Scene) -> str:
    """A limit is rounded down, never up: to half gallons, or litres."""
    return scene.exact(_floor(litres, scene))


def _floor(litres: float, scene: Scene) -> float:
    unit = amounts.UNIT_OF[scene.units][0]
    step = 1.0 if scene.units == "metric" else 0.5
    return units.to_litres(units.from_litres(litres, unit) // step * step, unit)


def _minutes(minutes: float) -> str:
    """Rounded down: whole minutes from ten on, halves below, seconds under one."""
    if minutes < 1:
        return f"{int(minutes * 60)} seconds"
    step = 1.0 if minutes >= 10 else 0.5
    value = minutes // step * step
    return f"{amounts.plain(value, 1)} minute{'' if value == 1 else 's'}"


def _tank(ask: Ask, scene: Scene) -> Tank:
    rig = scene.world.rig
    if ask.tank is not None:
        found = rig.find(ask.tank)
        if found is None:
            raise which_tank(ask.tank, rig)
        if found.kind == "fresh":
            raise AskBack(
                f"Fresh is filled, not rinsed. Which waste tank: {times.listed([tank.name for tank in rig.waste()], 'or')}?",
                "tank",
                [tank.name for tank in rig.waste()],
            )
        return found
    black = rig.of_kind("black")
    if len(black) == 1:
        return black[0]
    if not black:
        raise which_tank("black", rig)
    names = [tank.name for tank in black]
    raise AskBack(f"Into which tank: {times.listed(names, 'or')}?", "tank", names)


def _flow(ask: Ask, scene: Scene) -> float | None:
    amount = ask.amount
    if amount is None or amount.value is None or not amount.unit or "/" not in amount.unit:
        return None
    unit = amount.unit
    if scene.units == "imperial" and unit.startswith("gallon"):
        unit = f"imperial_{unit}"
    rate = units.convert(amount.value, unit, "litre/minute")
    if rate <= 0:
        raise CannotBe("A flow has to be more than nothing.")
    return rate


def told_run(last: Mapping[str, Any], now: datetime) -> rinse.Running | None:
    """The rinse that was started by the clock while its flow is still asked for: nothing of it is booked, and yet it runs.

    last: the memory of the latest turn.
    """
    run = last.get("rinse_run")
    if not isinstance(run, dict):
        return None
    since, until = datetime.fromisoformat(run["since"]), datetime.fromisoformat(run["until"])
    return rinse.Running(run["tank"], since, until, until - now) if since <= now < until else None


def runs(scene: Scene) -> rinse.Running | None:
    """The rinse that runs now, booked or not."""
    return rinse.running(scene.world, scene.now) or told_run(scene.last, scene.now)


def running(scene: Scene) -> Answer:
    """How long the rinse that was started still runs."""
    run = runs(scene)
    facts = {"topic": "rinse_limit", "running": run is not None}
    if run is None:
        last = scene.world.rinse_run
        if last is not None and timedelta(0) <= scene.now - last[2] < timedelta(hours=2):
            return Answer(f"The rinse should have stopped {_ago(scene.now - last[2])} ago. Is it off?", facts)
        return Answer("No rinse is running that I know of.", facts)
    facts |= {"tank": run.tank, "until": run.until, "left_seconds": run.left.total_seconds()}
    left = _ago(run.left)
    kept = {name: scene.last[name] for name in ("rinse_run",) if name in scene.last}
    return Answer(
        f"The {run.tank} rinse has {left} to go, until {times.clock(run.until.astimezone(scene.now.tzinfo))}.",
        facts,
        ("rinse-closed",),
        {"topic": "rinse_limit", "tank": run.tank, **kept},
    )


def _ago(span: timedelta) -> str:
    minutes, seconds = divmod(int(span.total_seconds()), 60)
    if not minutes:
        return f"{seconds} seconds"
    said = f"{minutes} minute{'' if minutes == 1 else 's'}"
    return f"{said} {seconds} seconds" if seconds and minutes < 10 else said
