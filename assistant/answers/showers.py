"""How many showers are left, and how long each may be. May import: `scene`, state's forecast, altered, pace, typical, figures."""

from __future__ import annotations

from assistant.say import amounts
from assistant.scene import Answer, Scene
from grammar.intents import Ask
from state import altered, figures, forecast, pace, typical


def answer(ask: Ask, scene: Scene) -> Answer:
    """Showers that still fit if the water goes for nothing else; the tank that limits them. Or how long each may be."""
    if ask.subject == "minutes":
        return _minutes(ask, scene)
    left = forecast.showers_left(scene.world, scene.now, scene.belief)
    facts = {"topic": "showers", "count": left.count, "binding": left.binding, "litres_each": left.litres_each}
    each = amounts.quarter(left.litres_each, scene.units)
    if left.count is None:
        return Answer("As many as you like: nothing aboard limits them here.", facts, (), {"topic": "showers"})
    middle, low, high = left.count["p50"], left.count["p10"], left.count["p90"]
    limit = f"before {left.binding} is {'empty' if _is_fresh(left.binding, scene) else 'full'}"
    if middle == 0:
        return Answer(
            f"None, as far as I can tell: {left.binding} is the limit.",
            facts,
            (),
            {"topic": "showers", "tank": left.binding},
        )
    span = f", {low} to {high}" if low != high else ""
    text = f"About {amounts.counted(middle, 'shower')}{span}, at {each} each {limit}, if nothing else is used."
    return Answer(text, facts, (), {"topic": "showers", "tank": left.binding})


def _minutes(ask: Ask, scene: Scene) -> Answer:
    """How long each shower may be to get to the end asked about, all else as it is: what a day's budget leaves for showers, over the
    showers of a day, at the flow told or the published one. Raises AskBack if no end is known."""
    until = scene.until(ask.until)
    made = forecast.make_it(scene.world, scene.now, until, (), scene.belief)
    cuts = altered.Cuts(scene.world, forecast.habits_of(scene.world))
    aboard, each = pace.persons(scene.world.people), typical.typical(scene.world, "shower").mean
    flow = scene.world.flow_litres_per_minute or figures.FLOW_LITRES_PER_MINUTE["shower"]
    present = cuts.litres_a_day("shower") * aboard
    a_day = present / max(each, 1e-6)
    facts = {
        "topic": "showers",
        "until": until,
        "binding": made.binding,
        "litres_per_minute": flow,
        "showers_per_day": a_day,
    }
    memo = {"topic": "showers", "tank": made.binding, "until": until.isoformat()}
    if made.binding is None or made.budget_litres_per_day is None or a_day <= 0.0:
        return Answer(
            "As long as you like: nothing aboard limits them before then.", {**facts, "minutes": None}, (), memo
        )
    left = made.budget_litres_per_day - (made.pace_litres_per_day - present)
    minutes = max(0.0, left / a_day / flow)
    facts |= {"minutes": minutes, "litres_each": minutes * flow}
    goal = f"to last until {scene.exactly(until)} for {amounts.percent(made.safety)}"
    if minutes < SHORTEST:
        return Answer(
            f"There is nothing left for showers {goal}, all else as it is. Ask what else you can do.", facts, (), memo
        )
    often = amounts.plain(a_day, 1)
    text = f"About {amounts.counted(max(1, round(minutes)), 'minute')} each {goal}, with {often} showers a day at {scene.exact(flow)} a minute."
    return Answer(text, facts, (), memo)


SHORTEST = 0.5
"""Below this it is no shower. [minutes]"""


def _is_fresh(name: str | None, scene: Scene) -> bool:
    return name is not None and scene.belief.tanks[name.casefold()].kind == "fresh"
