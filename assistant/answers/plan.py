"""Plan the next two weeks, where should we dump: the stops ahead with what to do at each. May import: `scene`, state's plan."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from assistant.answers.outlooks import capital
from assistant.say import amounts, odds, times
from assistant.scene import Answer, CannotBe, Scene
from grammar import spans
from grammar.intents import Ask
from grammar.when import When
from state import forecast
from state import plan as planning
from state.lightclass import Any
from state.plan import Plan, Row, Task

MANY_TOTES = 3
"""More totes than this at one stop, and a drive to a dump station is named first."""


LEAST_SAFETY, MOST_SAFETY = 50.0, 99.0
"""The safeties that a plan is made for. [percent]"""

HOPELESS_TOTES = 8
"""More than this, and totes are no way any more."""


def answer(ask: Ask, scene: Scene) -> Answer:
    """The whole plan, or only where to dump or fill, by `subject`."""
    horizon = _horizon(ask, scene)
    safety = _safety(ask)
    made = planning.plan(scene.world, scene.now, horizon, safety, scene.belief)
    facts = {
        "topic": "plan",
        "until": horizon,
        "errands": made.errands,
        "safety": made.safety,
        "feasible": made.feasible,
        "rows": [_row_facts(row) for row in made.rows],
    }
    if ask.subject in ("dump", "fill"):
        return Answer(_where(ask.subject, made, scene), facts)
    return Answer(_words(made, scene), facts)


def _safety(ask: Ask) -> float | None:
    """The safety asked for in the phrase; None for the rig's own, or the usual 90 %. A plan for certain there is not."""
    if ask.percent is None:
        return None
    if not LEAST_SAFETY <= ask.percent <= MOST_SAFETY:
        raise CannotBe(
            f"I plan for {LEAST_SAFETY:g} to {MOST_SAFETY:g} percent; nothing is certain, and less is no plan."
        )
    return ask.percent / 100.0


def _horizon(ask: Ask, scene: Scene) -> datetime:
    """As far as was said; else to the end of what is known of the trip."""
    if ask.nights is not None:
        return scene.now + timedelta(days=max(1.0, ask.nights))
    said = ask.until or ask.when
    if said is not None:
        return min(max(_end(said, scene), scene.now + timedelta(hours=1)), scene.now + forecast.HORIZON)
    return planning.horizon_of(scene.world, scene.now)


LENGTHS = {"day": 1, "night": 1, "week": 7, "weekend": 7, "month": 30}
"""Days of "the next two weeks"."""


def _end(said: When, scene: Scene) -> datetime:
    """The end of "the next two weeks", of "this week", or the moment of "to Friday"."""
    if said.count is not None and said.period in LENGTHS:
        return scene.now + timedelta(days=said.count * LENGTHS[said.period])
    return spans.span(said, scene.now)[1] if said.period is not None else scene.until(said)


def _row_facts(row: Row) -> dict[str, Any]:
    return {
        "stop": row.stop.site,
        "arrive": row.stop.arrive,
        "leave": row.stop.leave,
        "water": row.stop.water,
        "sewer": row.stop.sewer,
        "level_at_arrival_litres": row.levels,
        "do": [_task_facts(task) for task in row.tasks],
        "probability": row.probability,
        "tight": row.tight,
    }


def _task_facts(task: Task) -> dict[str, Any]:
    own = {"what": task.what, "at": task.at, "count": task.count, "litres": task.litres, "tank": task.tank}
    return {name: value for name, value in own.items() if value is not None}


def _words(made: Plan, scene: Scene) -> str:
    if not made.rows:
        return 'I know no stops ahead. Say for example: "next Cedar Flat from Sunday for four nights, no hookups".'
    lines = [_line(row, scene) for row in made.rows]
    if len(made.rows) == 1 and made.rows[0].stop.here:
        lines.append("I know no stop after this one; tell me where you go next and I plan the dumps and fills.")
    elif not made.feasible:
        lines.append(
            f"I find no way to keep it {amounts.percent(made.safety)} safe throughout; a dump or a fill on the way is needed."
        )
    return "\n".join(lines)


def _line(row: Row, scene: Scene) -> str:
    stop = row.stop
    name = stop.site or ("Here" if stop.here else "the next stop")
    open_end = stop.here and scene.stay_until is None
    until = (
        f"for the next {amounts.counted((stop.leave - scene.now).days, 'day')}"
        if open_end
        else f"until {scene.exactly(stop.leave)}"
    )
    tasks = times.listed([_task_words(task, count, scene) for task, count in _together(row.tasks)])
    chance = odds.said(row.probability) if row.probability < 0.985 else "it lasts"
    tight = f", with {row.tight} the tight one" if row.tight is not None and row.probability < 0.9 else ""
    if not tasks:
        return f"{capital(name)} {until}: {chance}{tight}."
    return f"{capital(name)} {until}: {tasks}. Then {chance}{tight}."


def _together(tasks: Sequence[Task]) -> list[tuple[Task, int]]:
    """Totes of one sort at one stop are said as one, by the first."""
    found: dict[tuple[str, str | None], tuple[Task, int]] = {}
    for task in tasks:
        first, count = found.get((task.what, task.tank), (task, 0))
        found[task.what, task.tank] = (first, count + task.count)
    return list(found.values())


def _task_words(task: Task, count: int, scene: Scene) -> str:
    if task.what == "dump":
        return "dump"
    if task.what == "fill":
        return "leave with fresh full"
    out = task.what == "tote out"
    of = f" of {task.tank}" if out and task.tank else ""
    totes = f"{'take away' if out else 'carry in'} {amounts.counted(count, 'tote')}{of}, {scene.rounded(task.litres or 0.0)}"
    each = " each" if count > 1 else ""
    by = times.by(task.at, scene.now)
    if count > HOPELESS_TOTES:
        return f"{'drive to a dump station' if out else 'fetch fresh by driving to a tap'} {by}"
    if out and count > MANY_TOTES:
        return f"drive to a dump station {by}, or {totes}{each}"
    return f"{totes}{each}, {'the first ' if count > 1 else ''}{by}"


def _where(what: str, made: Plan, scene: Scene) -> str:
    """The first place to dump or fill, and the tote runs before it."""
    tasks = [(row, task) for row in made.rows for task in row.tasks]
    totes = [task for _, task in tasks if task.what == ("tote out" if what == "dump" else "tote in")]
    at = next((row for row, task in tasks if task.what == what), None)
    verb = "Dump" if what == "dump" else "Fill"
    if at is not None:
        when = scene.exactly(at.stop.arrive if what == "dump" else at.stop.leave)
        place = at.stop.site or "the next stop"
        text = f"{verb} at {place}, {when}"
        return (
            f"{text}; before that {_task_words(totes[0], len(totes), scene)}."
            if totes
            else f"{text}; until then it should last."
        )
    if totes:
        return f"No stop that I know has a {'sewer' if what == 'dump' else 'tap'}, so {_task_words(totes[0], len(totes), scene)}."
    known = f"until {scene.exactly(made.rows[-1].stop.leave)}" if made.rows else "for what I know of the trip"
    return f"No need to {what} {known}, as things stand."
