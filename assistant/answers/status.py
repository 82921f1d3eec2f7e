"""How full, how much room, how we are doing: the tanks as believed now."""

from __future__ import annotations

from assistant.say import times
from assistant.say.room import capital, is_unknown, is_vague, over
from assistant.scene import Answer, AskBack, CannotBe, Scene, which_tank
from grammar import when as calendar
from grammar.intents import Ask
from grammar.when import When
from state.lightclass import Any, replace
from state.water.belief import TankBelief


def answer(ask: Ask, scene: Scene) -> Answer:
    """All tanks, or the one asked about; as they stand, or as they stood at a moment that has passed."""
    if ask.when is not None:
        return _at_that_time(ask, ask.when, scene)
    if ask.until is not None or ask.site is not None:
        from assistant.answers import levels_then

        return levels_then.answer(ask, scene)
    tanks = scene.belief.tanks
    facts = {"topic": "status", "tanks": [tank_facts(tank, scene) for tank in tanks.values()]}
    if ask.tank is not None:
        found = scene.world.rig.find(ask.tank)
        if found is None or found.name.casefold() not in tanks:
            named = [tank for tank in tanks.values() if tank.kind == ask.tank]
            if len(named) != 1:
                raise which_tank(ask.tank, scene.world.rig)
            tank = named[0]
        else:
            tank = tanks[found.name.casefold()]
        return Answer(_one(tank, scene), facts, memo={"tank": tank.name})
    return Answer(_all(list(tanks.values()), scene), facts)


def _at_that_time(ask: Ask, when: When, scene: Scene) -> Answer:
    """ "how full was grey on Monday at noon": by what had happened until then."""
    found = calendar.past(when if when.has_hour else replace(when, part="evening"), scene.now)
    at = scene.world.stay.since if when.arrival else found.at
    if found.problem:
        raise CannotBe(found.problem)
    if at is None:
        raise AskBack("At what time do you mean?", "when")
    at = min(at, scene.now)
    then = Scene(scene.past.world(at), at, scene.past, scene.last)
    if not then.belief.tanks:
        return Answer(f"{times.begun(times.exactly(at, scene.now))}: I knew of no tank yet.", {"tanks": []})
    now = answer(replace(ask, when=None), then)
    said = " ".join(PAST.get(word, word) for word in now.text.split(" "))
    now.facts["at"] = at.isoformat()
    return replace(now, text=f"{times.begun(times.exactly(at, scene.now))}: {said[:1].lower()}{said[1:]}")


PAST = {"holds": "held", "has": "had", "is": "was", "runs": "ran", "are": "were", "run": "ran"}
"""The verbs of this module's sentences, as they go for a time that has passed."""


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


def _all(tanks: list[TankBelief], scene: Scene) -> str:
    """Every tank in two or three short sentences: the waste, the fresh, and those of which nothing is known."""
    order = {"grey": 0, "black": 1, "fresh": 2}
    flowing = [tank.name for tank in tanks if tank.flowing]
    unknown = [tank.name for tank in tanks if is_unknown(tank) and not tank.flowing]
    told_of = sorted((t for t in tanks if t.name not in (*flowing, *unknown)), key=lambda one: order[one.kind])
    waste = [tank for tank in told_of if tank.kind != "fresh"]
    said = [", ".join(_short(tank, scene) for tank in waste)] if waste else []
    said += [_short(tank, scene) for tank in told_of if tank.kind == "fresh"]
    if flowing:
        said.append(f"{times.listed(flowing)} {'run' if len(flowing) > 1 else 'runs'} straight to the sewer")
    if unknown:
        said.append(f"how full {times.listed(unknown)} {'are' if len(unknown) > 1 else 'is'} I don't know yet")
    return f"{'. '.join(capital(one) for one in said)}."


NEARLY_EMPTY = 0.03
"""A waste tank with less than this part of what it holds is called nearly empty."""


def _short(tank: TankBelief, scene: Scene) -> str:
    """ "grey holds about 15 gal with room for 21 gal", "fresh has about 30 gal left"."""
    room = tank.room.quantile(0.5)
    rough = ", at a rough guess" if is_vague(tank) else ""
    if tank.kind == "fresh":
        return f"{tank.name} has {scene.amount(room)} left{rough}"
    beyond = over(tank.name, scene)
    if beyond == "surely":
        return f"{tank.name} should have run over by what was told"
    if beyond or scene.amount(room) == "nothing":
        return f"{tank.name} is about full{rough}"
    if held(tank) < NEARLY_EMPTY * tank.capacity.mean:
        return f"{tank.name} is nearly empty with room for {scene.rounded(room)}"
    believed = _as_believed(tank, scene)
    whole = f" of {believed}," if believed else ""
    return f"{tank.name} holds {scene.amount(held(tank))}{whole} with room for {scene.rounded(room)}{rough}"


def _as_believed(tank: TankBelief, scene: Scene) -> str:
    """ "what I take to be 29 gal": where a waste tank seems to hold less or more than was told, without which the numbers would not add up."""
    believed, size = tank.capacity.mean, told(tank, scene)
    return "" if abs(believed - size) < SAME_SIZE * size else f"what I take to be {scene.rounded(believed)}"


SAME_SIZE = 0.03
"""A tank believed to be as large as was told, to within this part, is called that."""


def held(tank: TankBelief) -> float:
    """What is in it, so that it and the room add up to what the tank is believed to hold. [litres]

    Near full the middles of the two cut distributions do not, and whoever hears both would stumble.
    """
    return max(0.0, tank.capacity.mean - tank.room.quantile(0.5))


def _one(tank: TankBelief, scene: Scene) -> str:
    """One tank with its doubt, in two sentences at most."""
    room = tank.room
    name, size = tank.name.capitalize(), told(tank, scene)
    if tank.flowing:
        return f"{name} runs straight to the sewer, with its valve open."
    if is_unknown(tank):
        return f"How full {tank.name} is I don't know yet. Tell me once: {tank.name} is half full, say, or that it was dumped or filled."
    if tank.kind == "fresh":
        first = f"{name} has {scene.amount(room.quantile(0.5))} left of {scene.exact(size)}"
    else:
        if over(tank.name, scene) == "surely":
            return f"By what was told {tank.name} should have run over by now. If it was dumped, say so; if not, look at it before more goes in."
        believed = tank.capacity.mean
        whole = _as_believed(tank, scene) or scene.exact(size)
        part = round(100 * held(tank) / believed) if believed else 0
        first = f"{name} holds {scene.amount(held(tank))} of {whole}, {part} %, and has room for {scene.rounded(room.quantile(0.5))}"
    most = max(size, room.quantile(0.5))  # the true size is in doubt too, but nobody thinks of it so
    low, high = min(room.points["p10"], most), min(room.points["p90"], most)
    if high - low <= 0.06 * size:
        return f"{first}."
    what = "What is left" if tank.kind == "fresh" else "The room"
    return f"{first}. {what} is most likely between {scene.rounded(low).rsplit(' ', 1)[0]} and {scene.rounded(high)}."
