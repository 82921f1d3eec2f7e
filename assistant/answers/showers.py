"""How many showers are left. May import: `scene`, state's forecast."""

from __future__ import annotations

from assistant.say import amounts
from assistant.scene import Answer, Scene
from grammar.intents import Ask
from state import forecast


def answer(ask: Ask, scene: Scene) -> Answer:
    """Showers that still fit if the water goes for nothing else; the tank that limits them."""
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


def _is_fresh(name: str | None, scene: Scene) -> bool:
    return name is not None and scene.belief.tanks[name.casefold()].kind == "fresh"
