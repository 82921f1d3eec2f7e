"""Why: the readings, entries, shares and steps behind a level, so that a person with a pencil gets the same."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from assistant.answers import workings
from assistant.answers.words import noun
from assistant.say import amounts, findings, times
from assistant.scene import Answer, Scene, which_tank
from grammar.intents import Ask
from state.ahead import forecast
from state.lightclass import Any, replace
from state.water import explain
from state.water.explain import Line

ALWAYS = frozenset({"start", "level", "capacity", "room"})
"""Lines that stand there even with nothing in them; a step that is nothing to the pencil is left out."""

MOMENT = timedelta(milliseconds=1)

DECIMALS, FACTOR_DECIMALS = 1, 2
"""What is added up has one decimal and adds up exactly; what is multiplied has two, so that a pencil gets the same tenth."""


def answer(ask: Ask, scene: Scene) -> Answer:
    """The arithmetic of the last answer's tank, or of the one named; for a forecast, its odds as well."""
    topic = str(scene.last.get("topic", ""))
    if workings.knows(topic) and ask.subject in (None, topic) and ask.tank in (None, scene.last.get("tank")):
        return workings.answer(topic, scene)
    tank = _tank(ask, scene)
    if tank is None:
        return Answer("Nothing to explain yet: I know no tanks.", {"topic": "explain"})
    lines = as_heard(_lines(tank, scene), tank, scene)
    shown = _added_up(lines, scene)
    said = [_line(line, tank, scene) for line in shown if line.kind in ALWAYS or _pencil(line.litres, scene)]
    odds = _odds(tank, scene) if ask.subject in ("make_it", "what_if", "runway") else []
    text = "\n".join([*[one for one in said if one], *odds, *_gaps(lines, tank, scene)])
    facts = {"topic": "explain", "tank": tank, "lines": [_fact(line) for line in lines]}
    return Answer(text, facts)


def _lines(tank: str, scene: Scene) -> list[Line]:
    """The arithmetic from its beginning on, however long the log before it."""
    if tank.casefold() not in scene.world.rig.tanks:
        raise KeyError(tank)
    found = scene.lately(lambda entries: explain.beginning(entries, tank) is not None)
    first = explain.beginning(found, tank)
    if first is None:
        return explain.level_lines(scene.entries, scene.world, scene.now, tank)
    before = scene.past.world(first.at - MOMENT)
    later = [entry for entry in found if entry.at >= first.at]
    return explain.level_lines(later, scene.world, scene.now, tank, before)


def as_heard(lines: list[Line], tank: str, scene: Scene) -> list[Line]:
    """The lines with the level that goes with the room as it is said, so that capacity less level is the room.

    Close to full or empty the middles of the two cut distributions do not add up to the capacity; the room is what every answer
    tells, so the step at the tank's bounds is made to lead there.
    """
    last = {line.kind: line for line in lines if line.kind in ("level", "capacity", "room")}
    steps = [line for line in lines if line.kind not in ("within", "level", "capacity", "room")]
    room, capacity = last["room"].litres, last["capacity"].litres
    fresh = scene.world.rig.tanks[tank].kind == "fresh"
    level = room if fresh else max(0.0, _pencil(capacity, scene) - _pencil(room, scene))
    within = level - sum(line.litres for line in steps)
    bounds = [Line("within", within)] if _pencil(within, scene) else []
    shown = Line("level", level, last["level"].at, last["level"].detail)
    return [*steps, *bounds, shown, *([] if fresh else [last["capacity"]]), last["room"]]


def _pencil(litres: float, scene: Scene) -> float:
    """Litres as they stand on the paper, rounded in the person's units."""
    one = _unit_litres(scene)
    return round(litres / one, DECIMALS) * one


def _added_up(lines: list[Line], scene: Scene) -> list[Line]:
    """The lines in tenths of the person's unit, the steps adding up to the level shown: the tenth that rounding leaves over goes to
    the steps that it changes least, first to those that show no working of their own."""
    steps = [line for line in lines if line.kind not in ("level", "capacity", "room")]
    level = next(line for line in lines if line.kind == "level")
    tenth = _unit_litres(scene) / 10**DECIMALS
    whole = [round(line.litres / tenth) for line in steps]
    over = round(level.litres / tenth) - sum(whole)
    sign = 1 if over > 0 else -1

    def cost(place: int) -> tuple[bool, float]:
        line = steps[place]
        return line.kind in ("unlogged", "expected"), abs((whole[place] + sign) * tenth - line.litres)

    for place in sorted((n for n in range(len(steps)) if whole[n]), key=cost)[: abs(over)]:
        whole[place] += sign
    rounded = [replace(line, litres=count * tenth) for line, count in zip(steps, whole, strict=True)]
    return [*rounded, *lines[len(steps) :]]


def _unit_litres(scene: Scene) -> float:
    from state.units import to_litres

    return to_litres(1.0, amounts.UNIT_OF[scene.units][0])


def _gaps(lines: list[Line], tank: str, scene: Scene) -> list[str]:
    """The latest thing that history shows of this tank since the arithmetic begins; a gap with the day it was seen."""
    begun = lines[0].at
    since = [
        one for one in scene.world.findings if one.tank in (tank, None) and (begun is None or one.at >= begun)
    ]  # fmt: skip
    if not since:
        return []
    one = since[-1]
    if one.reference != "level-contradicts":
        return [said] if (said := findings.sentence(one, scene)) else []
    more = "more" if (one.litres or 0.0) > 0 else "less"
    gap = scene.amount(abs(one.litres or 0.0))
    return [f"What you told {times.exactly(one.at, scene.now)} was {gap} {more} than I had."]


def _tank(ask: Ask, scene: Scene) -> str | None:
    tanks = scene.world.rig.tanks
    name = ask.tank or scene.last.get("tank")
    if name is not None:
        found = scene.world.rig.find(str(name))
        if found is not None:
            return found.name.casefold()
        same = [tank.name.casefold() for tank in tanks.values() if tank.kind == name]
        if len(same) == 1:
            return same[0]
        if ask.tank is not None:
            raise which_tank(str(name), scene.world.rig)
    waste = [tank.name.casefold() for tank in scene.world.rig.of_kind("grey")]
    return waste[0] if waste else next(iter(tanks), None)


def _figure(litres: float, scene: Scene) -> str:
    """A pencil figure: one decimal and the unit."""
    short = amounts.UNIT_OF[scene.units][1]
    return f"{litres / _unit_litres(scene):.{DECIMALS}f} {short}"


def _signed(line: Line, scene: Scene) -> str:
    sign = "minus" if line.litres < 0 else "plus"
    return f"{sign} {_figure(abs(line.litres), scene)}"


def _line(line: Line, tank: str, scene: Scene) -> str:
    say = LINES.get(line.kind)
    return say(line, tank, scene) if say is not None else ""


def _start(line: Line, tank: str, scene: Scene) -> str:
    if line.detail["why"] == "begin":
        return f"{tank.capitalize()}, taken as half full until told: {_figure(line.litres, scene)}"
    what = {"dump": "dumped", "fill": "filled", "valve": "valve opened", "level": "as you saw it"}[line.detail["why"]]
    when = f" {times.exactly(line.at, scene.now)}" if line.at is not None else ""
    return f"{tank.capitalize()}, {what}{when}: {_figure(line.litres, scene)}"


def _entries(line: Line, tank: str, scene: Scene) -> str:
    activity, count = line.detail.get("activity"), line.detail.get("count")
    if line.detail.get("gave_way"):
        return f"{_signed(line, scene)}, as the meter counted less than was logged"
    if activity is None:
        return f"{_signed(line, scene)} from {amounts.counted(int(count or 0), 'other entry').replace('entrys', 'entries')}"
    return f"{_signed(line, scene)} from {noun(activity)}, {amounts.times(int(count or 0))}"


def _unlogged(line: Line, tank: str, scene: Scene) -> str:
    rest, share = line.detail.get("rest"), line.detail.get("share")
    metered, logged = line.detail.get("metered"), line.detail.get("logged")
    if rest is None or share is None:
        return f"{_signed(line, scene)} that nobody logged"
    if metered is None or logged is None:
        return f"{_signed(line, scene)}: {_factor(rest, scene)} unlogged times {share:.3f}"
    return (
        f"{_signed(line, scene)}: metered {_factor(metered, scene)} less {_factor(logged, scene)} logged "
        f"is {_factor(rest, scene)}, times {share:.3f}"
    )


def _expected(line: Line, tank: str, scene: Scene) -> str:
    hours, rest, share = line.detail["hours"], line.detail["rest"], line.detail["share"]
    minutes = round(hours * 60)
    long = f"{round(hours)} hours" if hours >= 1.5 else "one minute" if minutes <= 1 else f"{minutes} minutes"
    stretch = f"the {long} since the last reading" if line.detail.get("read") else f"{long} that no reading covers"
    return f"{_signed(line, scene)} expected in {stretch}: {_factor(rest, scene)} times {share:.3f}"


def _factor(litres: float, scene: Scene) -> str:
    """A figure that goes into a product, without empty decimals."""
    if litres < 0.0:
        return f"minus {_factor(-litres, scene)}"
    short = amounts.UNIT_OF[scene.units][1]
    return f"{amounts.plain(round(litres / _unit_litres(scene), FACTOR_DECIMALS))} {short}"


def _plain(words: str) -> Callable[[Line, str, Scene], str]:
    return lambda line, tank, scene: f"{_signed(line, scene)}, {words}"


def _within(line: Line, tank: str, scene: Scene) -> str:
    if line.litres > 0:
        than = "less was drawn" if scene.world.rig.tanks[tank].kind == "fresh" else "more ran in"
        return f"{_signed(line, scene)}: it can't be emptier than empty, so {than} than reckoned"
    less = "there was less in it" if scene.world.rig.tanks[tank].kind == "fresh" else "less ran in"
    return f"{_signed(line, scene)}: nothing has run over, so {less} than reckoned"


def _brim(line: Line, tank: str, scene: Scene) -> str:
    return f"{_signed(line, scene)}, {'missing when it was filled to the brim' if line.litres > 0 else 'more than it can hold'}"


def _level(line: Line, tank: str, scene: Scene) -> str:
    return f"Makes {_figure(line.litres, scene)} in it"


def _capacity(line: Line, tank: str, scene: Scene) -> str:
    told = line.detail.get("told")
    learned = told is not None and abs(float(told) - line.litres) > 0.01 * float(told)
    tail = f", learned; told was {_figure(float(told), scene)}" if learned and told is not None else ""
    return f"It holds {_figure(line.litres, scene)}{tail}"


def _room(line: Line, tank: str, scene: Scene) -> str:
    what = "left to draw" if scene.world.rig.tanks[tank].kind == "fresh" else "of room"
    low, high = _figure(line.detail["p10"], scene), _figure(line.detail["p90"], scene)
    return f"So {_figure(line.litres, scene)} {what}, most likely {low.rsplit(' ', 1)[0]} to {high}"


LINES: dict[str, Callable[[Line, str, Scene], str]] = {
    "start": _start,
    "entries": _entries,
    "unlogged": _unlogged,
    "expected": _expected,
    "stated": _plain("unexplained: what you saw against what I had"),
    "haul": _plain("hauled away"),
    "rinse": _plain("rinsed in"),
    "fill": _plain("filled in"),
    "brim": _brim,
    "overflow": _plain("more than it can hold"),
    "shown": _plain("by what dumps have shown of where the water goes"),
    "other": _plain("other"),
    "within": _within,
    "level": _level,
    "capacity": _capacity,
    "room": _room,
}


def _odds(tank: str, scene: Scene) -> list[str]:
    """Use until the end asked about against the room: the last step from a level to a chance."""
    until = scene.last.get("until")
    if until is None:
        return []
    made = forecast.make_it(scene.world, scene.now, datetime.fromisoformat(str(until)), (), scene.belief)
    use = made.use_litres
    between = f"{_figure(use['p10'], scene)} to {_figure(use['p90'], scene)}"
    text = f"Use until {times.exactly(made.until, scene.now)}: {_figure(use['p50'], scene)}, {between}"
    now = scene.belief.tanks[tank]
    chance = next((each.probability for name, each in made.tanks.items() if name.casefold() == tank), 1.0)
    if now.kind == "fresh" or now.flowing or made.assumes or now.share.mean < MEANT:
        return [f"{text}; {tank} lasts with {amounts.percent(chance)}"]
    taken = _figure(use["p50"] * now.share.mean, scene)
    return [f"{text}; times {now.share.mean:.3f} makes {taken} into {tank}, which fits with {amounts.percent(chance)}"]


MEANT = 0.05
"""A tank that takes less of the use than this lives on other things; the sum is then no explanation."""


def _fact(line: Line) -> dict[str, Any]:
    return {"kind": line.kind, "litres": line.litres, "at": line.at, **line.detail}
