"""The changes of a what-if, from words to the forecast's own: amounts to litres, days to moments; and back into a phrase.

May import: `interpret.context`, `scene`, state's outlook.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from assistant.answers import words
from assistant.interpret.context import Context
from assistant.say import amounts, times
from assistant.scene import AskBack, Scene
from grammar import intents
from grammar.when import When
from state.outlook import Change
from state.typical import typical


def changes_of(said: Sequence[intents.Change], scene: Scene) -> list[Change]:
    """Each change with litres and moments. Raises AskBack or CannotBe where one has no sense."""
    context = Context(scene)
    return [_one(change, context) for change in said]


LONGEST_SHOWER = 60.0
"""A what-if of longer than this is a slip. [minutes]"""


def _one(change: intents.Change, context: Context) -> Change:
    scene = context.scene
    start = context.to_come(change.when) if change.when is not None else None
    until = context.to_come(change.until) if change.until is not None else None
    if change.what == "absence" and start is not None and until is None:
        start, until = _whole_day(change.when, scene)
    if change.what == "late":
        until = _new_end(change, context)
    elif change.what == "skip" and change.count is not None and until is None:
        until = (start or scene.now) + timedelta(days=change.count)
    elif change.what == "skip" and start is not None and until is None:
        start, until = _whole_day(change.when, scene)
    litres = _litres(change, context)
    count = change.count
    if change.what == "share" and change.amount is not None:
        litres, count = None, change.amount.value
    if (
        litres is not None
        and change.what == "use"
        and change.count
        and change.amount is not None
        and change.amount.each
    ):
        litres *= change.count
    if change.what == "use" and change.activity is None and litres is None:
        raise AskBack("How much water would that take?", "amount")
    if change.minutes is not None and change.minutes > LONGEST_SHOWER:
        raise AskBack(
            "For how long would the water run? Say for example: what if we take two minute showers.", "change"
        )
    tank = context.tank(change.tank).name if change.tank is not None else None
    return Change(
        change.what, change.activity, litres, change.minutes, count, change.people, change.more, tank, start, until
    )  # fmt: skip


def _litres(change: intents.Change, context: Context) -> float | None:
    """The litres of a change, also as a share of the usual ("half the showers' water")."""
    amount = change.amount
    if amount is None or change.what == "share":
        return None
    if change.activity is not None and amount.unit in ("fraction", "percent") and amount.value is not None:
        share = amount.value / (100.0 if amount.unit == "percent" else 1.0)
        return share * typical(context.scene.world, change.activity).mean
    return context.volume(amount).litres


def _whole_day(when: When | None, scene: Scene) -> tuple[datetime | None, datetime | None]:
    at = scene.future(when).at if when is not None else None
    if at is None:
        return None, None
    start = max(at.replace(hour=0, minute=0), scene.now)
    return start, at.replace(hour=0, minute=0) + timedelta(days=1)


def _new_end(change: intents.Change, context: Context) -> datetime:
    """When the stay would end: as said, or so many nights on from now, or from the end as it stands (`more`)."""
    if change.until is not None:
        until = context.end_of_stay(change.until)
    elif change.more or change.count is None:
        until = context.stay_longer(change.count or 1)
    else:
        until = context.after_nights(change.count)
    if until is None:
        raise AskBack("Until when do you stay as it is?", "until")
    if until <= context.now:
        raise AskBack("That would be before now. Until when?", "until")
    return until


NOUNS = {"shower": "showers", "bath": "baths", "outside": "rinsing outside", "toilet": "flushing", "dishes": "dishes"}


def describe(said: Sequence[intents.Change], scene: Scene) -> str:
    """The changes in a few words, to begin the answer with: "without showers", "with two more people"."""
    return times.listed([_words(change, scene) for change in said])


def _party_words(people: int, more: bool) -> str:
    """ "with two more people", "with one person"."""
    count = amounts.WORDS[people] if 0 <= people < len(amounts.WORDS) else str(people)
    return f"with {count} {'more ' if more else ''}{'person' if people == 1 else 'people'}"


def _stay_words(change: intents.Change, scene: Scene) -> str:
    """ "leaving two days later", "leaving earlier"."""
    until, planned = _new_end(change, Context(scene)), scene.stay_until
    if planned is None:
        return "leaving later"
    days = round((until - planned).total_seconds() / 86400.0)
    if abs(days) < 1:
        return "leaving earlier" if until < planned else "leaving later"
    return f"leaving {amounts.counted(abs(days), 'day')} {'earlier' if days < 0 else 'later'}"


def _when(change: intents.Change) -> str:
    """ " on Friday", " from Friday till Sunday": when it would be, as said, for a day that was misheard to be heard."""
    said = [when.text for when in (change.when, change.until) if when is not None and when.text]
    if said and said[0].split()[0].capitalize() in times.DAYS:
        said[0] = f"on {said[0]}"
    return "".join(f" {each}" for each in said)


def _for_how_long(change: intents.Change) -> str:
    """ " on Friday", " till Saturday", " for two days"."""
    if change.count is not None:
        return f" for {amounts.counted(round(change.count), 'day')}"
    return _when(change)


def _how_often(times_a_day: float) -> str:
    """ "once a day", "every 2 days", "3 times a week"."""
    often = (
        (1.0, "once a day"),
        (2.0, "twice a day"),
        (0.5, "every other day"),
        (1 / 7, "once a week"),
        (2 / 7, "twice a week"),
    )
    said = next((words_ for rate, words_ in often if abs(rate - times_a_day) < 0.01), None)
    if said is not None:
        return said
    if times_a_day > 1:
        return f"{amounts.plain(times_a_day, 1)} times a day"
    days = 1.0 / max(times_a_day, 1e-3)
    return (
        f"every {round(days)} days"
        if abs(days - round(days)) < 0.05
        else f"{amounts.plain(times_a_day * 7, 1)} times a week"
    )


def _is_share(change: intents.Change) -> bool:
    return change.amount is not None and change.amount.unit in ("fraction", "percent")


def _words(change: intents.Change, scene: Scene) -> str:
    noun = NOUNS.get(change.activity or "", change.activity or "")
    people = int(change.people or 0)
    amount = change.amount.text if change.amount is not None and change.amount.text else ""
    tank = change.tank or "the tank"
    phrases = {
        "skip": f"without {noun}{_for_how_long(change)}",
        "minutes": f"with {noun} of {amounts.plain(change.minutes or 0.0, 1)} minutes{_when(change)}",
        "amount": f"with {amount} the water for {noun}" if _is_share(change) else f"with {noun} of {amount}",
        "party": f"{_party_words(people, change.more)}{_when(change)}",
        "absence": f"with nobody there{_when(change)}",
        "haul": f"after a tote run{f' of {amount}' if amount else ''}{_when(change)}",
        "dump": f"after {f'dumping {tank}' if change.tank else 'a dump'}{_when(change)}",
        "use": f"with {words.noun(change.activity) if change.activity else amount} on top{_when(change)}",
        "late": _stay_words(change, scene) if change.what == "late" else "",
        "fill": f"with fresh filled{_when(change)}",
        "often": f"with {words.noun(change.activity or '')} {_how_often(change.count or 0.0)}{' for one of you' if people == 1 else ''}",
        "share": f"using {amount} the water",
    }
    return phrases.get(change.what, change.what)
