"""How full a tank will be: on Friday, on arriving at the next stop, on leaving.

May import: `ends`, `forecast`, `outlooks`, `status`, `scene`, state's forecast.
"""

from __future__ import annotations

from assistant.answers import outlooks
from assistant.answers.ends import end_of, stop_of
from assistant.answers.forecast import asked_tank
from assistant.answers.outlooks import tank_facts
from assistant.say import times
from assistant.scene import Answer, Scene, which_tank
from grammar.intents import Ask
from state.ahead import forecast
from state.ahead.forecast import TankOutlook


def answer(ask: Ask, scene: Scene) -> Answer:
    """All tanks, or the one asked about, as they would stand at that moment if nobody dumps, fills or hauls more than is planned."""
    until = end_of(ask, scene)
    made = forecast.make_it(scene.world, scene.now, until, (), scene.belief)
    tank = asked_tank(ask, scene)
    if ask.tank is not None and tank is None:
        raise which_tank(ask.tank, scene.world.rig)
    told = [made.tanks[tank]] if tank is not None else list(made.tanks.values())
    stop = stop_of(ask, scene)
    place = f", {'leaving' if ask.until is not None else 'arriving at'} {stop.name}" if stop is not None else ""
    said = ", ".join(_level(each, scene) for each in told)
    assumed = (
        f" That takes a dump at {made.assumes[0].site} for granted." if made.assumes and made.assumes[0].site else ""
    )
    facts = {
        "topic": "status",
        "until": made.until,
        "tanks": [tank_facts(each, until=True) for each in made.tanks.values()],
    }
    text = f"{times.begun(scene.exactly(made.until))}{place}: {said}, as things stand.{assumed}"
    memo = {"tank": tank, "site": stop.site if stop is not None else None}
    return Answer(text, facts, (), memo)


def _level(tank: TankOutlook, scene: Scene) -> str:
    """ "grey about 20 gal of 32 gal, most likely between 16 and 24 gal"; "fresh dry by then"."""
    if tank.now.flowing:
        return f"{tank.name} runs to the sewer as it does now"
    at, level = tank.gives_out["p50"], tank.level
    if at is not None and tank.probability < 0.5:
        return outlooks.would(tank, scene)
    low, high = (scene.rounded(max(0.0, level.quantile(p))) for p in (0.1, 0.9))
    between = f" (between {low.rsplit(' ', 1)[0]} and {high})" if low != high else ""
    return f"{tank.name} would hold {scene.amount(max(0.0, level.quantile(0.5)))}{between}"
