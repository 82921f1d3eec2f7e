"""How full, how much room, how we are doing: the tanks as believed now."""

from __future__ import annotations

from typing import Any

from assistant.say import times
from assistant.say.echo import is_unknown
from assistant.scene import Answer, AskBack, Scene
from grammar.intents import Ask
from state.belief import TankBelief


def answer(ask: Ask, scene: Scene) -> Answer:
    """All tanks, or the one asked about."""
    tanks = scene.belief.tanks
    if not tanks:
        return Answer(
            'I know no tanks yet. Tell me their sizes, for example: "grey tank 36 gal".',
            {"topic": "status", "tanks": []},
        )
    facts = {"topic": "status", "tanks": [tank_facts(tank, scene) for tank in tanks.values()]}
    if ask.tank is not None:
        found = scene.world.rig.find(ask.tank)
        if found is None or found.name.casefold() not in tanks:
            named = [tank for tank in tanks.values() if tank.kind == ask.tank]
            if len(named) != 1:
                raise AskBack(
                    f"I know no {ask.tank} tank. Which one: {times.listed(list(tanks), 'or')}?", "tank", list(tanks)
                )
            tank = named[0]
        else:
            tank = tanks[found.name.casefold()]
        return Answer(_one(tank, scene), facts, memo={"tank": tank.name})
    order = {"grey": 0, "black": 1, "fresh": 2}
    said = [_short(tank, scene) for tank in sorted(tanks.values(), key=lambda one: order[one.kind])]
    return Answer(f"{'. '.join(said)}.", facts)


def tank_facts(tank: TankBelief, scene: Scene) -> dict[str, Any]:
    """A tank as the interface names it. [litres]"""
    return {
        "name": tank.name,
        "kind": tank.kind,
        "capacity_litres": told(tank, scene),
        "level_litres": tank.level.points,
        "room_litres": tank.room.points,
    }


def told(tank: TankBelief, scene: Scene) -> float:
    """The capacity as told; what is learned about it shows in the room. [litres]"""
    return scene.world.rig.tanks[tank.name.casefold()].litres


def _short(tank: TankBelief, scene: Scene) -> str:
    """ "Grey: about 15 gal in it, room for 21"."""
    level, room = tank.level.quantile(0.5), tank.room.quantile(0.5)
    name = tank.name.capitalize()
    if tank.flowing:
        return f"{name} runs straight to the sewer"
    if is_unknown(tank):
        return f"How full {tank.name} is I don't know yet"
    if tank.kind == "fresh":
        return f"{name} has {scene.amount(room)} left"
    return f"{name} holds {scene.amount(level)} with room for {scene.rounded(room)}"


def _one(tank: TankBelief, scene: Scene) -> str:
    """One tank with its doubt, in two sentences at most."""
    level, room = tank.level, tank.room
    name, size = tank.name.capitalize(), scene.exact(told(tank, scene))
    if is_unknown(tank):
        return f"How full {tank.name} is I don't know yet. Tell me once: {tank.name} is half full, say, or that it was dumped or filled."
    if tank.kind == "fresh":
        first = f"{name} has {scene.amount(room.quantile(0.5))} left of {size}"
        spread = room.points
    else:
        part = round(100 * level.quantile(0.5) / told(tank, scene)) if told(tank, scene) else 0
        first = f"{name} holds {scene.amount(level.quantile(0.5))} of {size}, {part} percent, and has room for {scene.rounded(room.quantile(0.5))}"
        spread = room.points
    wide = spread["p90"] - spread["p10"]
    if wide > 0.06 * told(tank, scene):
        low, high = scene.rounded(spread["p10"]), scene.rounded(spread["p90"])
        noun = "left" if tank.kind == "fresh" else "room"
        low_number = low.rsplit(" ", 1)[0]
        return f"{first}. I'm fairly sure of {low_number} to {high} {noun}."
    return f"{first}."
