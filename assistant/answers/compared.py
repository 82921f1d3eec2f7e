"""What changed against the days before, what was used against the usual, and what saves most: questions of the record that end in a number.

May import: `history`, `outlooks`, `scene`, state's compared, savings and forecast.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from assistant.answers import outlooks
from assistant.answers.history import and_now, flows_of, span_of
from assistant.answers.outlooks import capital, outlook_days
from assistant.answers.words import noun
from assistant.say import amounts
from assistant.scene import Answer, Scene
from grammar.intents import Ask
from state.ahead import forecast, savings
from state.ahead.savings import Saving
from state.habits import dayparts
from state.lightclass import replace
from state.used import compared, usage
from state.used.compared import Moved

TWO_WEEKS = timedelta(days=14)


def answer(ask: Ask, scene: Scene) -> Answer:
    """By `subject`: `changed`, `saves` or `against usual`."""
    if ask.subject == "against usual":
        return against_usual(ask, scene)
    return saves(scene) if ask.subject == "saves" else changed(ask, scene)


ALIKE = 0.15
"""A use within this part of the usual one is called about as usual; our own choice, no source."""


def against_usual(ask: Ask, scene: Scene) -> Answer:
    """What was used in a day, or the stretch named, beside what is usual in as much time: of today, by this hour."""
    start, end, named = span_of(ask if ask.when is not None else replace(ask, subject="today"), scene)
    start, end = max(start, min(scene.world.began or start, scene.now)), min(end, scene.now)
    found = usage.used(scene.since(start), flows_of(scene, start, end), start, and_now(end, scene))
    habits = forecast.habits_of(scene.world)
    days = dayparts.effective_days(habits.clock, start, end)
    usual = outlooks.own_pace(scene) * days
    facts = {"topic": "history", "from": start, "until": end, "litres": found.litres, "usual_litres": usual, "rows": []}
    measure = f"the {scene.rounded(usual)} that {'people usually use' if outlooks.is_guess(scene) else 'are usual'}"
    measure += " by this hour" if end == scene.now else ""
    if found.litres <= 0.0:
        return Answer(f"{capital(named)}: nothing logged or metered, against {measure}.", facts)
    part = found.litres / max(usual, 1e-6) - 1.0
    verdict = "much like" if abs(part) < ALIKE else "more than" if part > 0 else "less than"
    rest = "" if found.total is not None else " Only what was logged is counted, as no reading tells the rest."
    return Answer(f"{capital(named)}: {scene.amount(found.litres)}, {verdict} {measure}.{rest}", facts)


def changed(ask: Ask, scene: Scene) -> Answer:
    """The last seven days (or the stretch asked about) against as long before: the total, what moved most, and whether by chance."""
    start, end, _ = span_of(ask, scene)
    end = min(end, scene.now)
    from_ = start - (end - start)
    known = max(from_, scene.world.began or start)
    moved = compared.compare(scene.since(from_), flows_of(scene, from_, end), start, end, known)
    rows = [
        {"kind": one.kind, "name": one.name, "litres_per_day": one.now, "before_litres_per_day": one.before,
         "by_chance": one.by_chance, "real": one.real}
        for one in moved
    ]  # fmt: skip
    facts = {"topic": "history", "from": start, "until": end, "rows": rows}
    total, *parts = moved
    if total.before < 0.05 and ask.when is None and ask.activity is None:
        return against_usual(ask, scene)
    if total.before < 0.05:
        return Answer("There is nothing before that to compare with.", facts)
    return Answer(f"{_total_words(total, scene)}. {_part_words(total, parts, scene)}".strip(), facts)


def _total_words(total: Moved, scene: Scene) -> str:
    """ "11 gal a day against 9 gal before, more than chance makes"."""
    text = f"{scene.rounded(total.now)} a day against {scene.rounded(total.before)} before"
    if total.by_chance is None:
        return f"{text}, too few days to tell from chance"
    if total.real:
        return f"{text}, {'more' if total.more > 0 else 'less'} than chance explains"
    return f"{text}, no more of a difference than chance makes"


def _part_words(total: Moved, parts: Sequence[Moved], scene: Scene) -> str:
    """What moved beyond chance, and whose; else what moved most, said as what it is."""
    real = [one for one in parts if one.real and one.kind != "person"]
    people = [one for one in parts if one.real and one.kind == "person"]
    if real:
        said = " and ".join(_one(one, scene) for one in real[:2])
        whose = f", {people[0].name}'s above all" if people and people[0].more * real[0].more > 0 else ""
        return f"{capital(said)}{whose}."
    if people:
        return f"{capital(_one(people[0], scene))}."
    most = next((one for one in parts if one.kind != "person"), None)
    if most is None or abs(most.more) < 0.1 * max(total.before, 1e-9):
        return ""
    return f"{capital(_one(most, scene))}, which may be chance."


def _one(one: Moved, scene: Scene) -> str:
    """ "showers take 1.5 gal a day more"."""
    name = "what is not logged" if one.kind == "unlogged" else noun(one.name) if one.kind == "activity" else one.name
    verb = "makes" if one.kind == "unlogged" else "uses" if one.kind == "person" else "went"
    litres = f"{scene.rounded(abs(one.more))} a day"
    if one.kind == "activity":
        return f"{name} {verb} {'up' if one.more > 0 else 'down'} by {litres}"
    return f"{name} {verb} {litres} {'more' if one.more > 0 else 'less'}"


def saves(scene: Scene) -> Answer:
    """Which habit has the most to give, as time won until the first tank gives out; by what was logged in the last two weeks."""
    recent = usage.uses(scene.since(scene.now - TWO_WEEKS), scene.now - TWO_WEEKS)
    names = list(dict.fromkeys(entry.activity for entry in recent))
    first, found = savings.savings(scene.world, scene.now, names, scene.belief)
    rows = [
        {"name": one.activity, "litres_per_day": one.litres_per_day, "saves_litres_per_day": one.part * one.litres_per_day,
         "part": one.part, "hours": _hours(one.less), "hours_off_the_rig": _hours(one.off), "tank": first}
        for one in found
    ]  # fmt: skip
    facts = {"topic": "history", "rows": rows}
    if not found:
        return Answer("Nothing is logged yet; in most homes on wheels showers and dishes have the most to give.", facts)
    return Answer(_saves_words(first, found, scene), facts)


def _hours(time: timedelta | None) -> float | None:
    return None if time is None else time.total_seconds() / 3600.0


def _saves_words(first: str | None, found: Sequence[Saving], scene: Scene) -> str:
    best, *rest = found
    if first is None or best.off is None or best.less is None:
        text = f"{capital(noun(best.activity))}: {scene.amount(best.part * best.litres_per_day)} a day could be saved there"
        return f"{text}; no tank gives out as it is." if first is None else f"{text}."
    verb = "run dry" if scene.world.rig.tanks[first.casefold()].kind == "fresh" else "fill"
    text = f"{capital(noun(best.activity))}: {_less(best)} lets {first} {verb} {outlook_days(best.less)} later"
    if best.part < 1.0:
        text += f", none aboard {outlook_days(best.off)}"
    then = next((one for one in rest if one.less is not None and one.less >= timedelta(hours=1)), None)
    if then is None or then.less is None:
        return f"{text}."
    return f"{text}. Then {noun(then.activity)}, {_less(then)}: {outlook_days(then.less)}."


def _less(one: Saving) -> str:
    """ "half the water", "40 % less", "none aboard"."""
    if one.part >= 1.0:
        return "none aboard"
    return "half the water" if one.part == 0.5 else f"{amounts.percent(one.part)} less"
