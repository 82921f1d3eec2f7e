"""What if: the forecast with habits or plans changed, beside the present course, in two sentences. Nothing is recorded.

May import: `forecast`, `outlooks`, `changes`, `scene`, state's whatif.
"""

from __future__ import annotations

from datetime import datetime

from assistant.answers import outlooks
from assistant.answers.changes import changes_of, describe
from assistant.answers.ends import asked_before, end_of
from assistant.answers.forecast import make_it_facts, runway_facts
from assistant.answers.outlooks import capital
from assistant.say import amounts, odds
from assistant.scene import Answer, AskBack, Scene, which_tank
from grammar.intents import Ask
from state.ahead import advice, altered, forecast, whatif
from state.ahead.forecast import MakeIt, Runway, TankOutlook
from state.habits.typical import typical
from state.lightclass import Any, replace


def answer(ask: Ask, scene: Scene) -> Answer:
    """The same question with habits or plans changed, beside the present course. Nothing is recorded."""
    if not ask.changes:
        raise AskBack("What if what? Say for example: what if we skip showers.", "change")
    changes = changes_of(ask.changes, scene)
    asked = ask.until is not None or ask.nights is not None
    late = next((each.until for each in changes if each.what == "late" and each.until is not None), None)
    if late is not None and not asked:
        return _what_if_longer(late, changes, ask, scene)
    until = end_of(ask, scene) if asked or _stay_ahead(scene) or asked_before(scene) else None
    named, ask = ask.tank, replace(ask, tank=ask.tank or (None if asked else _tank_before(scene)))
    about = {"topic": "what_if", "until": until.isoformat() if until else None, "asked_tank": ask.tank}
    if until is None:
        return _what_if_runway(changes, ask, scene, about)
    both = whatif.compare(scene.world, scene.now, until, changes, scene.belief)
    facts = {
        "topic": "what_if",
        **make_it_facts(both.changed),
        "present": make_it_facts(both.present),
        "difference": both.gain,
    }
    then, now = both.changed, both.present
    tight = then.tanks[then.binding] if then.binding is not None else None
    if ask.tank is not None:
        then, now, tight = _of_tank(ask.tank, then, now, scene)
        facts |= {"tank": tight.name, "probability": then.probability, "difference": then.probability - now.probability}
    opening = (
        f"{capital(describe(ask.changes, scene))}: {odds.said(then.probability)}{_for_tank(ask, tight)} to last until "
        f"{scene.exactly(until)}"
    )
    text = f"{opening}, {_against(then.probability, now.probability)} {_what_then(then, now, tight, changes, scene)}"
    if named is None and ask.tank is not None:
        text += _all_together(both.changed, then, scene)
    return Answer(text, facts, (), {**about, "tank": tight.name if tight is not None else None})


def _of_tank(name: str, then: MakeIt, now: MakeIt, scene: Scene) -> tuple[MakeIt, MakeIt, TankOutlook]:
    """The two courses with nothing but the tank that was named in them. Raises AskBack for one that is not aboard."""
    key = name.casefold()
    if key not in then.tanks:
        raise which_tank(name, scene.world.rig)
    alone = [
        replace(one, binding=key, probability=one.tanks[key].probability, tanks={key: one.tanks[key]})
        for one in (then, now)
    ]
    return alone[0], alone[1], then.tanks[key]


def _tank_before(scene: Scene) -> str | None:
    """The tank that the question before was of: "will fresh last till Monday", "and what if we skip showers"."""
    tank = scene.last.get("asked_tank") if asked_before(scene) is not None else None
    return str(tank) if tank is not None and str(tank).casefold() in scene.belief.tanks else None


WORSE = 0.1
"""By so much less likely with every tank in it than with the one asked about, and it is said. [probability]"""


def _all_together(every: MakeIt, one: MakeIt, scene: Scene) -> str:
    """What an answer about one tank would hide: that another gives out first."""
    tight = every.tanks[every.binding] if every.binding is not None else None
    if tight is None or every.probability > one.probability - WORSE:
        return ""
    return f" With every tank it is {amounts.percent(every.probability)}: {outlooks.would(tight, scene)}."


def _for_tank(ask: Ask, tight: TankOutlook | None) -> str:
    return f" for {tight.name}" if ask.tank is not None and tight is not None else ""


def _what_if_longer(until: datetime, changes: list[whatif.Change], ask: Ask, scene: Scene) -> Answer:
    """A stay that ends at another time: whether that is reached, beside the end as it stands."""
    then = forecast.make_it(scene.world, scene.now, until, tuple(changes), scene.belief)
    facts: dict[str, Any] = {"topic": "what_if", **make_it_facts(then)}
    text = f"{capital(describe(ask.changes, scene))}: {odds.said(then.probability)} to last until {scene.dated_exactly(until)}"
    if _stay_ahead(scene):
        now = forecast.make_it(scene.world, scene.now, scene.until(None), (), scene.belief)
        facts |= {"present": make_it_facts(now), "difference": then.probability - now.probability}
        text += f", against {amounts.percent(now.probability)} until {scene.exactly(now.until)} as planned"
    tight = then.tanks[then.binding] if then.binding is not None else None
    about = {
        "topic": "what_if",
        "tank": then.binding,
        "until": scene.stay_until.isoformat() if scene.stay_until else until.isoformat(),
    }
    return Answer(f"{text}. {_what_of(then, tight, scene)}", facts, (), about)


def _what_of(then: MakeIt, tight: TankOutlook | None, scene: Scene) -> str:
    """What is left at the end, or when the tight tank gives out."""
    if tight is None:
        return "Nothing gives out."
    if then.probability >= then.safety - advice.NEAR:
        return f"There would be {outlooks.room_then(tight, scene)}."
    return f"{capital(outlooks.would(tight, scene))}."


def _what_then(then: MakeIt, now: MakeIt, tight: TankOutlook | None, changes: list[whatif.Change], scene: Scene) -> str:
    """The second sentence: when it gives out now, what is left, or why a change that was meant to save does not."""
    cuts = altered.Cuts(scene.world, forecast.habits_of(scene.world))
    longer = next((each for each in changes if each.what == "minutes" and cuts.part(each) < -0.05), None)
    if longer is not None:
        usual = scene.amount(typical(scene.world, longer.activity or "shower").mean)
        return f"That is more than your usual {longer.activity}, {usual}."
    if tight is not None and then.probability < then.safety - advice.NEAR:
        before, after = now.tanks[tight.name].gives_out["p50"], tight.gives_out["p50"]
        named = not outlooks.given_out(tight, scene)
        apart = named and before is not None and after is not None and abs((after - before).total_seconds()) > 6 * 3600
        if apart and before is not None and after is not None and scene.moment(before) != scene.moment(after):
            return f"{capital(outlooks.would(tight, scene))} instead of {scene.moment(before)}."
    return _what_of(then, tight, scene)


def _stay_ahead(scene: Scene) -> bool:
    return scene.stay_until is not None and scene.stay_until > scene.now


def _against(then: float, now: float) -> str:
    if abs(then - now) < 0.015:
        return "much the same as now."
    return f"against {amounts.percent(now)} as things stand."


def _what_if_runway(changes: list[whatif.Change], ask: Ask, scene: Scene, about: dict[str, Any]) -> Answer:
    both = whatif.compare_runway(scene.world, scene.now, changes, scene.belief)
    gain = both.gain_days
    facts = {
        "topic": "what_if",
        **runway_facts(both.changed),
        "present": runway_facts(both.present),
        "difference_days": gain,
    }
    text = f"{capital(describe(ask.changes, scene))}: {_first_words(both.changed, scene)}"
    if gain is not None and abs(gain) >= 0.2:
        text += f", {_days(abs(gain))} {'later' if gain > 0 else 'sooner'} than as things stand."
    elif gain is not None:
        text += ", much the same as now."
    else:
        text += f"; as things stand {_first_words(both.present, scene)}."
    return Answer(text, facts, (), {**about, "tank": both.changed.first})


def _first_words(left: Runway, scene: Scene) -> str:
    if left.first is None:
        return f"no tank gives out within {forecast.HORIZON.days} days"
    return outlooks.would(left.tanks[left.first], scene)


def _days(days: float) -> str:
    """ "half a day", "two days"."""
    if days < 0.75:
        return f"{max(1, round(days * 24))} hours" if days < 0.4 else "half a day"
    return amounts.counted(round(days), "day")
