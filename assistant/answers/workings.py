"""Why: the arithmetic and the source behind an answer of the round, so that a person with a pencil gets the same.

What the last answer was about comes from its memo (`scene.last`). May import: state, assistant.say, assistant.scene, assistant.answers.
"""

from __future__ import annotations

from collections.abc import Callable

from assistant.answers import due as due_answers
from assistant.say import amounts
from assistant.scene import Answer, Scene
from state import figures_safety as figures
from state.care import checklist, dose, pressure, rinse, upkeep
from state.lightclass import Any
from state.water import weight

NO_SOURCE = "common practice, no published source"


def knows(topic: str) -> bool:
    """Whether the last answer is one that is explained here and not from a tank's ledger."""
    return topic in WORKINGS


def answer(topic: str, scene: Scene) -> Answer:
    """The working of the last answer, a line a step."""
    lines = WORKINGS[topic](scene.last, scene)
    return Answer("\n".join(lines), {"topic": "explain", "of": topic, "lines": lines})


def _dose(last: dict[str, Any], scene: Scene) -> list[str]:
    if last.get("drinking"):
        return [
            "The rows are the official tables' own, none of them computed.",
            f"Source: {figures.EPA_EMERGENCY}; {figures.CDC_EMERGENCY}.",
        ]
    litres, target, percent = last.get("litres"), last.get("mg_per_litre"), last.get("percent")
    if litres is None or target is None or percent is None:
        return [
            "Litres of water times the target in mg per litre, over ten times the per cent, is the bleach in millilitres."
        ]
    mg = litres * target
    made = dose.bleach(litres, target, percent)
    return [
        f"{_litres(litres, scene)} times {amounts.plain(target)} mg per litre is {mg:.0f} mg of chlorine.",
        f"{amounts.plain(percent)} % bleach has {percent * 10:.0f} mg in a millilitre, "
        f"so {made:.1f} mL ({made / dose.ML_PER_FLUID_OUNCE:.2f} fl oz).",
        "A household label's per cent is by weight, so the water gets 2 to 6 % more than that.",
        f"Target from {figures.SANITISE_MG_PER_LITRE.source}. Six hours from {figures.CONTACT_HOURS.source}.",
    ]


def _litres(litres: float, scene: Scene) -> str:
    return f"{litres:.1f} L" if scene.units == "metric" else f"{scene.exact(litres)} ({litres:.1f} L)"


def _weight(last: dict[str, Any], scene: Scene) -> list[str]:
    heavy = weight.density()
    unit = amounts.UNIT_OF[scene.units][0]
    from state.units import to_litres

    each = to_litres(1.0, unit) * heavy
    scale, short = (amounts.KILOGRAMS_PER_POUND, "lb") if scene.units == "us" else (1.0, "kg")
    noun = "litre" if scene.units == "metric" else "gallon"
    lines = [
        f"A {noun} of water weighs {each / scale:.3f} {short} at {figures.TANK_CELSIUS.value:.0f} °C (Tanaka et al., Metrologia 38, 2001)."
    ]
    for name, tank in scene.belief.tanks.items():
        litres = tank.level.quantile(0.5)
        lines.append(
            f"{name.capitalize()}: {_figure(litres, scene)} times that is {litres * heavy / scale:.0f} {short}."
        )
    if scene.world.rig.heater_litres:
        litres = scene.world.rig.heater_litres
        lines.append(f"Heater: {_figure(litres, scene)}, full, is {litres * heavy / scale:.0f} {short}.")
    return lines


def _figure(litres: float, scene: Scene) -> str:
    from state.units import from_litres

    unit, short = amounts.UNIT_OF[scene.units]
    return f"{from_litres(litres, unit):.1f} {short}"


def _rinse(last: dict[str, Any], scene: Scene) -> list[str]:
    tank = scene.world.rig.find(str(last.get("tank") or "black"))
    if tank is None:
        return ["What surely fits is the capacity less the level that is not passed with 95 % certainty."]
    found = rinse.limit(scene.world, scene.now, tank)
    by_level = tank.litres - found.upper_level_litres
    lines = [
        f"{tank.name.capitalize()} holds {_figure(tank.litres, scene)}; about {_figure(found.level_litres, scene)} are in it, "
        f"with 95 % certainty not above {_figure(found.upper_level_litres, scene)}.",
        f"That leaves {_figure(by_level, scene)}.",
    ]
    if found.litres < by_level - 0.05:
        lines.append(f"Its usable size is not sure either, so with 95 % certainty {_figure(found.litres, scene)} fit.")
    if found.minutes is not None and found.flow_litres_per_minute is not None:
        lines.append(
            f"At {amounts.flow(found.flow_litres_per_minute, scene.units)} that is {found.minutes:.1f} minutes."
        )
    return lines


def _due(last: dict[str, Any], scene: Scene) -> list[str]:
    rows = [
        row
        for row in upkeep.due(scene.world, scene.now)
        if last.get("item") in (None, row.item) and row.standing != "never"
    ]
    if not rows:
        return ["An item counts from the day that you say it was done; until then it has no date."]
    lines = []
    for row in rows[:3]:
        done = f"last done {scene.day(row.last)}" if row.last else "counted from the day you told me"
        whose = "your interval" if row.interval.own else "common practice, the label goes first"
        through = (
            f"; {_figure(row.litres_since, scene)} through the meter since"
            if row.interval.litres and row.litres_since is not None
            else ""
        )
        name = due_answers.capital(due_answers.name(row.item))
        lines.append(f"{name}: {done}, every {due_answers.interval_words(row, scene)} ({whose}){through}.")
    return lines


def _checklist(last: dict[str, Any], scene: Scene) -> list[str]:
    """The reason of the step that is to be done now."""
    items = checklist.steps(scene.world, str(last.get("list", "leaving")), scene.now)
    at = checklist.current(items)
    if at is None:
        return ["All its steps are seen to."]
    return [due_answers.capital(f"{items[at].why}.")]


def _pressure(last: dict[str, Any], scene: Scene) -> list[str]:
    top = amounts.pressure(pressure.limit(scene.world), scene.units)
    whose = "your rig's limit" if "pressure" in scene.world.rig.limits else NO_SOURCE
    low, high = pressure.setting(scene.world)
    return [
        f"Alarm above {top}: {whose}.",
        f"Ceiling {amounts.pressure(figures.CODE_CEILING_KPA.value, scene.units)}: {figures.CODE_CEILING_KPA.source}.",
        f"Setting {amounts.pressure(low, scene.units)} to {amounts.pressure(high, scene.units)}: {NO_SOURCE}.",
    ]


WORKINGS: dict[str, Callable[[dict[str, Any], Scene], list[str]]] = {
    "dose": _dose,
    "weight": _weight,
    "rinse_limit": _rinse,
    "due": _due,
    "checklist": _checklist,
    "pressure": _pressure,
}
