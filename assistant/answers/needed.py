"""Do we have to dump before Saturday, do we need to fill before we leave: whether an errand falls due by then, and until when it can wait.

May import: `ends`, `forecast`, `outlooks`, `scene`, state's forecast and runs.
"""

from __future__ import annotations

from assistant.answers import outlooks
from assistant.answers.ends import end_of
from assistant.answers.forecast import asked_tank, make_it_facts
from assistant.answers.outlooks import capital
from assistant.say import odds
from assistant.scene import Answer, Scene
from grammar.intents import Ask
from state.ahead import forecast, runs
from state.ahead.forecast import TankOutlook, tightest

SUBJECTS = frozenset({"must dump", "must fill"})


def answer(ask: Ask, scene: Scene) -> Answer:
    """The chance that the errand is needed: that a tank of its side gives out by the moment asked about."""
    until = end_of(ask, scene)
    made = forecast.make_it(scene.world, scene.now, until, (), scene.belief)
    fresh = ask.subject == "must fill"
    own = {name: each for name, each in made.tanks.items() if (each.kind == "fresh") == fresh}
    tank = asked_tank(ask, scene)
    named = tank if tank in own else None
    tight = named or tightest(own)
    lasts = forecast.chance(scene.world, scene.now, made.until, (), scene.belief, named, "fresh" if fresh else "waste")
    facts = make_it_facts(made, tight) if tight is not None else make_it_facts(made)
    facts |= {"topic": "make_it", "probability": lasts, "binding": tight, "needed": 1.0 - lasts}
    memo = {"topic": "make_it", "tank": tight, "until": until.isoformat()}
    errand = "fill" if fresh else "dump"
    if tight is None:
        end = scene.exactly(made.until)
        return Answer(f"No: nothing makes you {errand} before {end}, as things stand.", facts, (), memo)
    then = _then(made.tanks[tight], lasts < made.safety, scene)
    return Answer(f"{capital(odds.said(1.0 - lasts))}: {then}", facts, (), memo)


def _then(tank: TankOutlook, due: bool, scene: Scene) -> str:
    """When it gives out and until when the errand can wait; or what is left then."""
    at = tank.gives_out["p50"]
    would = outlooks.would(tank, scene) if at is not None else f"{tank.name} lasts"
    if not due:
        return f"{would}."
    by = runs.last_good_moment(tank.gives_out["p10"], scene.now)
    if by <= scene.now:
        return f"{would}. To be safe do it now."
    return f"{would}. To be safe do it by {scene.exactly(by)}."
