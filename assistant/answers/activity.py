"""How much does a shower use, who uses the most. May import: `outlooks`, `history`, `scene`, state's usage and typical."""

from __future__ import annotations

from assistant.answers import outlooks
from assistant.answers.history import span_of
from assistant.answers.words import noun
from assistant.say import amounts, times
from assistant.say.flowing import run_for
from assistant.scene import Answer, Scene
from grammar.intents import Ask
from state.habits import typical
from state.lightclass import Any
from state.sums import Sum
from state.used import usage


def answer(ask: Ask, scene: Scene) -> Answer:
    """One activity where one is named, one person where one is named, else who and what takes the most."""
    if ask.subject == "a day":
        return _a_day(scene)
    if ask.subject == "between":
        return _between(ask, scene)
    if ask.activity is not None:
        return _activity(ask.activity, ask.people[0] if ask.people else None, ask.minutes, scene)
    if ask.when is not None:
        return _lately(ask, scene)
    rows = _rows(scene.world.sums)
    if ask.people:
        rows = [row for row in rows if (row["person"] or "").casefold() == ask.people[0].casefold()]
        return Answer(_person_words(ask.people[0], rows, scene), {"topic": "activity", "rows": rows})
    return Answer(_most_words(rows, scene, _least(ask)), {"topic": "activity", "rows": rows})


def _between(ask: Ask, scene: Scene) -> Answer:
    """ "Who used more, Ana or Joss": what is logged for each; whoever speaks ("") has what is logged without a name."""
    sums, opening = scene.world.sums, ""
    if ask.when is not None:
        start, end, name = span_of(ask, scene)
        sums, opening = usage.by_person(usage.uses(scene.since(start), start, end)), f"{outlooks.capital(name)}: "
    rows = [row for row in _rows(sums) if ask.activity in (None, row["activity"])]
    totals = {
        person: sum(row["total"] for row in rows if (row["person"] or "").casefold() == person.casefold())
        for person in ask.people
    }
    ranked = sorted(totals, key=lambda person: -totals[person])
    parts = [
        f"{person or 'without a name, as you tell your own'}, "
        f"{scene.amount(totals[person]) if totals[person] else 'nothing logged'}"
        for person in ranked
    ]
    facts = {"topic": "activity", "people": ranked, "rows": rows}
    return Answer(f"{opening}{outlooks.capital('; '.join(parts))}.", facts)


def _least(ask: Ask) -> bool:
    """ "Who uses the least"."""
    return "least" in ask.text.casefold().split()


def _lately(ask: Ask, scene: Scene) -> Answer:
    """Who and what took the most of a stretch: "who used the most yesterday"."""
    start, end, name = span_of(ask, scene)
    rows = _rows(usage.by_person(usage.uses(scene.since(start), start, end)))
    if ask.people:
        rows = [row for row in rows if (row["person"] or "").casefold() == ask.people[0].casefold()]
    facts = {"topic": "activity", "from": start, "until": end, "rows": rows}
    if not rows:
        return Answer(
            f"{outlooks.capital(name)}: nothing logged{f' for {ask.people[0]}' if ask.people else ''}.", facts
        )
    words = _person_words(ask.people[0], rows, scene) if ask.people else _most_words(rows, scene, _least(ask))
    return Answer(
        f"{outlooks.capital(name)}: {words if words[1].isupper() or ask.people else words[0].lower() + words[1:]}",
        facts,
    )


def _a_day(scene: Scene) -> Answer:
    """What is used in a whole day by all aboard, as the forecast takes it."""
    found = outlooks.pace_facts(scene)
    daily, people = found["litres_per_day"], scene.people
    rows = _rows(scene.world.sums)
    ground = (
        "by what people usually use, until I know yours"
        if outlooks.is_guess(scene)
        else f"over {amounts.counted(round(found['days_seen']), 'day')}"
    )
    text = f"{outlooks.capital(scene.amount(daily))} a day for {amounts.people(people)}, {ground}."
    return Answer(text, {"topic": "activity", "litres_per_day": daily, "pace": found, "rows": rows})


def _rows(sums: dict[tuple[str, str | None], Sum]) -> list[dict[str, Any]]:
    """Largest total first. [litres]"""
    rows = [
        {
            "activity": activity,
            "person": person,
            "n": each.n,
            "mean": each.mean,
            "low": each.low,
            "high": each.high,
            "total": each.litres,
        }
        for (activity, person), each in sums.items()
    ]
    return sorted(rows, key=lambda row: -row["total"])


def _activity(activity: str, person: str | None, minutes: float | None, scene: Scene) -> Answer:
    sums = {key: each for key, each in scene.world.sums.items() if key[0].casefold() == activity.casefold()}
    rows = _rows(sums)
    if person is not None:
        rows = [row for row in rows if (row["person"] or "").casefold() == person.casefold()]
    usual = typical.typical(scene.world, activity, person)
    if minutes:
        litres = typical.typical(scene.world, activity, person, minutes).mean
        facts = {"topic": "activity", "activity": activity, "typical_litres": litres, "minutes": minutes, "rows": rows}
        return Answer(f"{outlooks.capital(run_for(minutes, activity, scene))}: {scene.amount(litres)}.", facts)
    facts = {"topic": "activity", "activity": activity, "typical_litres": usual.mean, "rows": rows}
    seen = usage.together(sums.values()) if person is None and sums else None
    n = sum(row["n"] for row in rows)
    name = f"{person}'s {noun(activity)}" if person else noun(activity)
    if n == 0:
        text = f"Nothing logged for {name} yet; I reckon with {amounts.some(usual.mean, scene.units)}, as people usually use."
        return Answer(text, facts)
    measured = [row for row in rows if row["low"] is not None]
    mean = seen.mean if seen is not None and seen.mean else sum(row["mean"] * row["n"] for row in rows) / n
    text = f"{name[0].upper()}{name[1:]}: {scene.amount(mean)} on average over {n} logged"
    if measured:
        low, high = min(row["low"] for row in measured), max(row["high"] for row in measured)
        if high > low * 1.02:
            text += f", from {scene.exact(low)} to {scene.exact(high)}"
    return Answer(f"{text}.{_people_words(rows, scene) if person is None else ''}", facts)


def _people_words(rows: list[dict[str, Any]], scene: Scene) -> str:
    named = [row for row in rows if row["person"] is not None]
    if len(named) < 2:
        return ""
    parts = [f"{row['person']} {scene.amount(row['mean'])}" for row in sorted(named, key=lambda row: -row["mean"])]
    return f" {times.listed(parts)}."


def _person_words(person: str, rows: list[dict[str, Any]], scene: Scene) -> str:
    if not rows:
        return f"I have nothing logged for {person}."
    total = sum(row["total"] for row in rows)
    return f"{person}: {scene.amount(total)} logged, most of it {noun(rows[0]['activity'])}."


def _most_words(rows: list[dict[str, Any]], scene: Scene, least: bool = False) -> str:
    """Who and what took the most, or the least, of what is logged."""
    pick, word = (min, "least") if least else (max, "most")
    if not rows:
        return f"Nothing is logged yet, so I can't tell what uses the {word}."
    people: dict[str, float] = {}
    for row in rows:
        if row["person"] is not None:
            people[row["person"]] = people.get(row["person"], 0.0) + row["total"]
    activities: dict[str, float] = {}
    for row in rows:
        activities[row["activity"]] = activities.get(row["activity"], 0.0) + row["total"]
    top = pick(activities, key=lambda name: activities[name])
    most = f"{outlooks.capital(word)} goes for {noun(top)}: {scene.amount(activities[top])} of {scene.rounded(sum(activities.values()))} logged."
    if not people:
        return most
    who = pick(people, key=lambda name: people[name])
    if len(people) == 1:
        return f"{most} {who} is the only one logged by name, with {scene.amount(people[who])}."
    return f"Of those logged by name {who} uses the {word}, {scene.amount(people[who])}. {most}"
