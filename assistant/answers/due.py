"""What falls due, one item or all; the line shown unasked; the dates as a calendar file.

May import: state, assistant.say, assistant.scene, grammar.intents.
"""

from __future__ import annotations

from datetime import datetime

from assistant.say import amounts, times
from assistant.scene import Answer, Scene
from grammar import spans
from grammar.intents import Ask
from state.care import ical, upkeep
from state.care.upkeep import Due
from state.lightclass import Any

NAMES = {
    "water_filter": "the water filter",
    "sanitise": "sanitising the fresh tank",
    "hose": "the drinking water hose",
    "washers": "the hose washers",
    "regulator": "the pressure regulator",
    "anode": "the heater's anode",
    "heater_flush": "flushing the heater",
}
MOST_ROWS = 4


def name(item: str) -> str:
    """An item as it is spoken about; the owner's own words stay as they are."""
    return NAMES.get(item, item.replace("_", " "))


def _spoken(item: str) -> str:
    """The item inside a sentence: own words in quotes, since they may be a sentence of their own."""
    return NAMES.get(item) or f'"{name(item)}"'


def answer(ask: Ask, scene: Scene) -> Answer:
    """Everything due, the one item asked about, or the calendar file itself."""
    subject = (ask.subject or "").casefold()
    rows = upkeep.due(scene.world, scene.now)
    if subject in ("calendar", "ical"):
        return calendar(rows, scene)
    facts: dict[str, Any] = {"topic": "due", "rows": [_fact(row) for row in rows]}
    memo = {"topic": "due"}
    if subject:
        return _one(subject, rows, facts, memo, scene)
    told = [row for row in rows if row.standing != "never"]
    end = spans.span(ask.when, scene.now)[1] if ask.when is not None else None
    pressing = [row for row in told if _presses(row, end)]
    never = [row for row in rows if row.standing == "never"]
    if not told:
        text = "Nothing is on record yet. When you have done something say for example: changed the water filter."
    elif pressing:
        text = capital("; ".join(phrase(row, scene) for row in pressing[:MOST_ROWS])) + "."
        if len(pressing) > MOST_ROWS:
            text += f" {len(pressing) - MOST_ROWS} more after that."
    else:
        text = f"Nothing {'by then' if end else 'in the next two weeks'}. First comes {_first(told[0], scene)}."
    if told and never:
        text += f" I don't know when these were last done: {times.listed([name(row.item) for row in never[:3]])}."
    return Answer(text, facts, (), memo)


def _presses(row: Due, end: datetime | None) -> bool:
    """Due by the end of the stretch asked about, else within two weeks; what was put off does not press."""
    if end is None or row.standing == "snoozed":
        return row.standing in ("overdue", "soon")
    return row.due is not None and row.due < end


def _one(subject: str, rows: list[Due], facts: dict[str, Any], memo: dict[str, Any], scene: Scene) -> Answer:
    row = _find(subject, rows)
    if row is None:
        text = f"I keep no date for {name(subject)}. Say for example: remind me to check the {subject.removeprefix('the ')} every 90 days."
        return Answer(text, facts, (), memo)
    facts["rows"], facts["item"] = [_fact(row)], row.item
    memo["item"] = row.item
    if row.standing == "never":
        every = interval_words(row, scene)
        text = (
            f"I don't know when {name(row.item)} was last done; usual is every {every}. Tell me when you have done it."
        )
    else:
        last = f", last done {scene.day(row.last)}" if row.last else ""
        text = capital(f"{phrase(row, scene)}{last}.")
    return Answer(text, facts, (), memo)


def _find(subject: str, rows: list[Due]) -> Due | None:
    wanted = subject.replace(" ", "_").removeprefix("the_")
    for row in rows:
        if wanted in (row.item, row.item.replace(" ", "_")):
            return row
    hits = [row for row in rows if wanted in row.item.replace(" ", "_") or subject in name(row.item)]
    return hits[0] if len(hits) == 1 else None


def phrase(row: Due, scene: Scene) -> str:
    """ "the water filter is due Thursday", "… was due Monday 1 June", "… has run 1,020 of its 1,000 gal"."""
    item = _spoken(row.item)
    if row.standing == "never" or row.due is None:
        return f"{item}, never told"
    if row.standing == "snoozed" and row.snoozed_until is not None:
        return f"{item}, put off to {scene.day(row.snoozed_until)}"
    if row.by == "litres" and row.litres_left is not None and row.litres_left <= 0:
        return f"{item} is due: {scene.rounded(row.litres_since or 0.0)} of its {scene.rounded(row.interval.litres or 0.0)} have run through"
    verb = "was due" if row.standing == "overdue" else "is due"
    by = "" if row.by == "days" else f", at the rate of late ({scene.rounded(row.litres_left or 0.0)} left)"
    return f"{item} {verb} {scene.day(row.due)}{by}"


def _first(row: Due, scene: Scene) -> str:
    """The item that comes next: "the water filter, due Thursday"."""
    said = phrase(row, scene)
    item = _spoken(row.item)
    return f"{item}, {said.removeprefix(f'{item} is ')}" if said.startswith(f"{item} is due") else said


def interval_words(row: Due, scene: Scene) -> str:
    parts = []
    if row.interval.days:
        days = round(row.interval.days)
        months = round(days / 30.4)
        parts.append(
            f"{days} days"
            if days < 60
            else amounts.counted(months, "month")
            if months < 24
            else f"{round(days / 365)} years"
        )
    if row.interval.litres:
        parts.append(scene.rounded(row.interval.litres))
    return " or ".join(parts)


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _fact(row: Due) -> dict[str, Any]:
    return {
        "item": row.item,
        "due": row.due,
        "days_left": row.days_left,
        "litres_left": row.litres_left,
        "standing": row.standing,
        "last": row.last,
        "every_days": row.interval.days,
        "every_litres": row.interval.litres,
        "own": row.interval.own,
        "snoozed_until": row.snoozed_until,
    }


def unasked(scene: Scene, last_shown: datetime | None) -> str | None:
    """One line about what is overdue, at most once a day; None when there is nothing to say."""
    rows = upkeep.unasked(scene.world, scene.now, last_shown)
    if not rows:
        return None
    more = f", and {len(rows) - 1} more" if len(rows) > 1 else ""
    return f"By the way: {phrase(rows[0], scene)}{more}."


SPOKEN = "That is a calendar file, to be kept and not to be read aloud: ullage due calendar, into a file that ends in dot ics."


def calendar(rows: list[Due], scene: Scene) -> Answer:
    """The file's own text, so that `ullage due calendar > due.ics` is all that is needed."""
    entries = [
        ical.Entry(
            row.item,
            max(row.due, scene.now).astimezone(scene.now.tzinfo).date(),
            capital(name(row.item)),
            _description(row, scene),
        )
        for row in rows
        if row.due is not None and row.days_left is not None and row.days_left < 3660
    ]
    text = ical.calendar(entries, scene.now)
    facts = {
        "topic": "due",
        "rows": [_fact(row) for row in rows],
        "calendar": text,
        "entries": len(entries),
        "spoken": SPOKEN,
    }
    return Answer(text.replace("\r\n", "\n").rstrip("\n"), facts)


def _description(row: Due, scene: Scene) -> str:
    last = f"Last done {times.full_day(row.last, scene.now)}. " if row.last else ""
    whose = "Your interval" if row.interval.own else "Common practice, the maker's label goes first"
    return f"{last}Every {interval_words(row, scene)}. {whose}."
