"""Plan the next two weeks, where should we dump: the stops ahead with what to do at each. May import: `ways`, `scene`, state's plan."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from assistant.answers.outlooks import capital, outlook_days
from assistant.answers.ways import each_by
from assistant.answers.words import noun
from assistant.say import amounts, odds, times
from assistant.scene import Answer, CannotBe, Scene
from grammar import spans
from grammar.intents import Ask
from grammar.when import When
from state.ahead import forecast
from state.ahead import plan as planning
from state.ahead.outlook import told
from state.ahead.plan import Plan, Row, Stop, Task
from state.lightclass import Any

MANY_TOTES = 3
"""More totes than this at one stop, and a drive to a dump station is named first."""


LEAST_SAFETY, MOST_SAFETY = 50.0, 99.0
"""The safeties that a plan is made for. [percent]"""

NO_RISK = 0.01
"""A stop that lowers the odds by less than this is no risk. [probability]"""

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
    counted = _counted_in(horizon, scene)
    return Answer(_words(made, scene) + (f"\nCounted in: {counted}." if counted else ""), facts)


def _safety(ask: Ask) -> float | None:
    """The safety asked for in the phrase; None for the rig's own, or the usual 90 %. A plan for certain there is not."""
    if ask.percent is None:
        return None
    if not LEAST_SAFETY <= ask.percent <= MOST_SAFETY:
        raise CannotBe(f"I plan for {LEAST_SAFETY:g} to {MOST_SAFETY:g} %; nothing is certain, and less is no plan.")
    return ask.percent / 100.0


def _horizon(ask: Ask, scene: Scene) -> datetime:
    """As far as was said; else to the end of what is known of the trip."""
    if ask.nights is not None:
        return scene.now + timedelta(days=max(1.0, ask.nights))
    said = ask.until or ask.when
    if said is not None and not said.now:  # "what's planned now"
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
    lines = [_line(row, before, scene) for row, before in zip(made.rows, [None, *made.rows], strict=False)]
    if len(made.rows) == 1 and made.rows[0].stop.here:
        lines.append("I know no stop after this one; tell me where you go next and I plan the dumps and fills.")
    elif not made.feasible:
        lines.append(
            f"I find no way to keep it {amounts.percent(made.safety)} safe throughout; a dump or a fill on the way is needed."
        )
    unsure = [row.stop for row in made.rows if _unsure(row.stop)] if made.errands else []
    if unsure:
        what = (
            "water or a sewer"
            if unsure[0].water is None and unsure[0].sewer is None
            else "a sewer"
            if unsure[0].sewer is None
            else "water"
        )
        where = unsure[0].site or ("this site" if unsure[0].here else "the next stop")
        lines.append(f"Whether {where} has {what} I don't know; tell me, it may spare you some of this.")
    return "\n".join(lines)


def _counted_in(horizon: datetime, scene: Scene) -> str:
    """What is planned beside the stops, in the order of time: "laundry, 8 gal, on Thursday and four people from Friday until Sunday"."""
    found = []
    for one in scene.world.expected:
        start, until = told(one, "start") or scene.now, told(one, "until")
        if start < horizon and (until > scene.now if until is not None else start >= scene.now):
            found.append((max(start, scene.now), _expected_words(one, scene)))
    return times.listed([words for _, words in sorted(found)])


def _expected_words(one: Any, scene: Scene) -> str:
    what, start, until, litres = (told(one, name) for name in ("what", "start", "until", "litres"))
    if what in ("party", "absence"):
        who = "nobody" if what == "absence" or not told(one, "people") else amounts.people(round(told(one, "people")))
        begins = f" from {scene.exactly(start)}" if start is not None and start > scene.now else ""
        return f"{who} aboard{begins}" + (f" until {scene.exactly(until)}" if until is not None else "")
    volume = f", {scene.exact(litres)}," if litres is not None else ""
    tank = told(one, "tank") or "waste"
    done = {"haul": f"a tote run of {tank}", "dump": f"dumping {tank}"}.get(what) or noun(
        told(one, "activity") or "other"
    )
    return f"{done}{volume} {times.on(scene.day(start or scene.now))}"


def _unsure(stop: Stop) -> bool:
    """Whether water or a sewer was left open; it is planned for as if there were none."""
    return stop.sewer is None or stop.water is None


def _line(row: Row, before: Row | None, scene: Scene) -> str:
    """A stop, what to do there, and the odds from now until it is left. before: the stop before it."""
    stop = row.stop
    name = stop.site or ("Here" if stop.here else "the next stop")
    open_end = stop.here and (scene.stay_until is None or scene.stay_until <= scene.now)
    until = f"for the next {outlook_days(stop.leave - scene.now)}" if open_end else f"until {scene.exactly(stop.leave)}"
    tasks = times.listed(
        [_task_words(task, count, scene, row.drives.get(task.what, ()), stop) for task, count in _together(row.tasks)]
    )
    chance = odds.said(row.probability) if row.probability < 0.985 else "it lasts"
    tight = f", with {row.tight} the tight one" if row.tight is not None and row.probability < 0.9 else ""
    if not tasks and before is not None and row.probability > before.probability - NO_RISK:
        return f"{capital(name)} {until}: {'dump there' if stop.sewer else 'nothing to do'}, nothing risked."
    if not tasks:
        return f"{capital(name)} {until}: {chance}{tight}."
    if stop.sewer and all(task.what == "dump" for task in row.tasks) and _of_waste(row.tight, scene):
        at_hand = "the sewer is at hand" if stop.here else "the sewer is there"
        return f"{capital(name)} {until}: {tasks}; {at_hand}, so no more is needed."
    return f"{capital(name)} {until}: {tasks}. Then {chance}{tight}."


def _of_waste(tank: str | None, scene: Scene) -> bool:
    found = scene.world.rig.find(tank) if tank is not None else None
    return found is None or found.kind != "fresh"


def _together(tasks: Sequence[Task]) -> list[tuple[Task, int]]:
    """Totes of one sort at one stop are said as one, by the first; each dump and fill by itself."""
    found: dict[tuple[str, object], tuple[Task, int]] = {}
    for task in tasks:
        key = (task.what, task.tank if task.what.startswith("tote") else task.at)
        first, count = found.get(key, (task, 0))
        found[key] = (first, count + task.count)
    return list(found.values())


def _task_words(task: Task, count: int, scene: Scene, drives: Sequence[datetime] = (), stop: Stop | None = None) -> str:
    by_then = "now" if task.at <= scene.now + timedelta(hours=1) else times.by(task.at, scene.now)
    if task.what == "dump":
        leaving = stop is not None and stop.here and task.at == stop.leave
        return "dump before you leave" if leaving else f"dump {by_then}" if stop is not None and stop.here else "dump"
    if task.what == "fill":
        leaving = stop is None or task.at == stop.leave
        return "leave with fresh full" if leaving else f"fill fresh {by_then}"
    return _totes_words(task, count, scene, drives)


def _totes_words(task: Task, count: int, scene: Scene, drives: Sequence[datetime]) -> str:
    """The totes; where they are many and drives would do as well, those first; where they are too many, those alone."""
    out = task.what == "tote out"
    drive = ""
    if drives:
        drive = f"{'drive to a dump station' if out else 'fetch fresh by driving to a tap'}{each_by(drives, scene)}"
    if drive and count > HOPELESS_TOTES:
        return drive
    of = f" of {task.tank}" if out and task.tank else ""
    totes = f"{'take away' if out else 'carry in'} {amounts.counted(count, 'tote')}{of}, {scene.rounded(task.litres or 0.0)}"
    each = " each" if count > 1 else ""
    if drive and out and count > MANY_TOTES:
        return f"{drive}, or {totes}{each}"
    return f"{totes}{each}, {'the first ' if count > 1 else ''}{times.by(task.at, scene.now)}"


def _where(what: str, made: Plan, scene: Scene) -> str:
    """The first place to dump or fill, and the tote runs before it."""
    tasks = [(row, task) for row in made.rows for task in row.tasks]
    first = next(((row.stop, task.at) for row, task in tasks if task.what == what), None) or _first_with(what, made)
    sort = "tote out" if what == "dump" else "tote in"
    before = [(row, task) for row, task in tasks if task.what == sort and (first is None or task.at <= first[1])]
    totes = [task for _, task in before]
    drives = _drives_of([row for row, _ in before], sort)
    if first is not None:
        stop, at = first
        text = f"{'Dump' if what == 'dump' else 'Fill'} at {stop.site or ('this site' if stop.here else 'the next stop')}, {scene.exactly(at)}"
        if totes:
            return f"{text}; before that {_task_words(totes[0], len(totes), scene, drives)}."
        return f"{text}; until then it should last."
    if totes:
        return f"No stop that I know has a {'sewer' if what == 'dump' else 'tap'}, so {_task_words(totes[0], len(totes), scene, drives)}."
    known = f"until {scene.exactly(made.rows[-1].stop.leave)}" if made.rows else "for what I know of the trip"
    return f"No need to {what} {known}, as things stand."


def _drives_of(rows: Sequence[Row], sort: str) -> list[datetime]:
    """The drives that stand for all the totes of these rows; none where they do not for one of them."""
    found = {row.stop.arrive: row.drives.get(sort, ()) for row in rows}
    return sorted({at for drives in found.values() for at in drives}) if all(found.values()) else []


def _first_with(what: str, made: Plan) -> tuple[Stop, datetime] | None:
    """Where totes are needed, the first stop ahead that has what they stand in for, even if the plan can do without it."""
    sort = "tote out" if what == "dump" else "tote in"
    if not any(task.what == sort for row in made.rows for task in row.tasks):
        return None
    fitting = (
        row.stop for row in made.rows if not row.stop.here and (row.stop.sewer if what == "dump" else row.stop.water)
    )
    return next(((stop, stop.arrive) for stop in fitting), None)
