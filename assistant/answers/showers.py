"""How many showers, baths or loads are left, whether so many fit, and how long each shower may be.

May import: `scene`, `words`, state's forecast, altered, pace, typical, figures.
"""

from __future__ import annotations

from assistant.answers.ways import minutes_words
from assistant.answers.words import noun
from assistant.say import amounts, odds
from assistant.say.flowing import run_for
from assistant.say.room import capital
from assistant.scene import Answer, Scene
from grammar.intents import Ask
from state import figures
from state.ahead import altered, forecast
from state.habits import pace, typical

COUNTED: dict[str, tuple[str, str]] = {
    "shower": ("shower", "showers"), "bath": ("bath", "baths"), "laundry": ("load of laundry", "loads of laundry"), "toilet": ("flush", "flushes"),
    "shave": ("shave", "shaves"), "dishes": ("round of dishes", "rounds of dishes"),
}  # fmt: skip


def answer(ask: Ask, scene: Scene) -> Answer:
    """Showers (or whatever is named) that still fit if the water goes for nothing else; the tank that limits them. Or how long each may be."""
    if ask.subject == "minutes":
        return _minutes(ask, scene)
    activity = ask.activity or "shower"
    asked = scene.people if ask.subject == "everyone" else ask.count
    left = forecast.uses_left(scene.world, scene.now, scene.belief, activity, asked, ask.minutes)
    facts = {
        "topic": "showers",
        "activity": activity,
        "count": left.count,
        "binding": left.binding,
        "litres_each": left.litres_each,
    }
    if ask.minutes:
        facts |= {"minutes": ask.minutes}
    if asked:
        facts |= {"asked": asked, "probability": left.enough if left.count is not None else 1.0}
    memo = {"topic": "showers", "tank": left.binding}
    if left.count is None:
        return Answer("As many as you like: nothing aboard limits them here.", facts, (), {"topic": "showers"})
    if left.count["p90"] == 0:
        return Answer(f"None, as far as I can tell: {left.binding} is the limit.", facts, (), memo)
    limit = f"before {left.binding} is {'empty' if _is_fresh(left.binding, scene) else 'full'}"
    each = f"at {amounts.quarter(left.litres_each, scene.units)} each"
    if ask.minutes:
        each = f"of {run_for(ask.minutes, activity, scene)}, {amounts.quarter(left.litres_each, scene.units)} each,"
    text = f"{capital(_so_many(left.count, activity))}, {each} {limit}, if nothing else is used."
    if asked and left.enough is not None:
        text = f"{capital(odds.said(left.enough))}. {text}"
    return Answer(text, facts, (), memo)


def _so_many(count: dict[str, int], activity: str) -> str:
    """ "about 15 showers, 12 to 19", "perhaps one bath, more likely none", "coffee about four times, 2 to 7"."""
    middle, low, high = count["p50"], count["p10"], count["p90"]
    span = f", {low} to {high}" if low != high else ""
    one, many = COUNTED.get(activity, ("", ""))
    if middle == 0:
        most = (
            f"{amounts.number(high)} {one if high == 1 else many}" if one else f"{noun(activity)} {amounts.times(high)}"
        )
        return f"{most} at the most, and likelier none"
    if one:
        return f"about {amounts.number(middle)} {one if middle == 1 else many}{span}"
    return f"{noun(activity)} about {amounts.times(middle)}{span}"


def _minutes(ask: Ask, scene: Scene) -> Answer:
    """How long each shower may be to get to the end asked about, all else as it is: what a day's budget leaves for showers, over the
    showers of a day, at the flow told or the published one. Raises AskBack if no end is known."""
    until = scene.until(ask.until)
    made = forecast.make_it(scene.world, scene.now, until, (), scene.belief)
    cuts = altered.Cuts(scene.world, forecast.habits_of(scene.world))
    aboard, each = pace.persons(scene.people), typical.typical(scene.world, "shower").mean
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
    text = f"About {at_most_minutes(minutes)} each {goal}, with {often} showers a day at {scene.exact(flow)} a minute."
    return Answer(text, facts, (), memo)


SHORTEST = 0.5
"""Below this it is no shower. [minutes]"""


def at_most_minutes(minutes: float) -> str:
    """ "half a minute", "one and a half minutes": rounded down, since longer ones would not last for the odds that are told."""
    long = int(minutes / SHORTEST) * SHORTEST
    return "half a minute" if long < 1.0 else minutes_words(long)


def _is_fresh(name: str | None, scene: Scene) -> bool:
    return name is not None and scene.belief.tanks[name.casefold()].kind == "fresh"
