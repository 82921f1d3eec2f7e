"""The changes of a what-if, from words to the forecast's own: amounts to litres, days to moments; and back into a phrase.

May import: `interpret.context`, `scene`, state's outlook.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from assistant.answers import words
from assistant.answers.outlooks import own_pace
from assistant.answers.ways import minutes_words
from assistant.interpret.context import Context
from assistant.say import amounts, times
from assistant.scene import AskBack, Scene
from grammar import intents
from grammar.when import When
from state.ahead.altered import guests_ahead, own_party
from state.ahead.outlook import Change
from state.ahead.runs import TOTE_LITRES
from state.habits.typical import typical
from state.lightclass import replace


def changes_of(said: Sequence[intents.Change], scene: Scene) -> list[Change]:
    """Each change with litres and moments. Raises AskBack or CannotBe where one has no sense."""
    context = Context(scene)
    return [each for change in said for each in _each_time(_one(change, context), change.a_day, scene)]


SO_LONG = timedelta(days=21)
"""For so long an errand done again and again is reckoned with, where no end of it is said."""
HOUR_OF_ERRANDS = 10


def _each_time(change: Change, a_day: float | None, scene: Scene) -> list[Change]:
    """An errand done again and again, once for each time; any other change as it is."""
    if a_day is None or a_day <= 0.0:
        return [change]
    at = scene.now.replace(hour=HOUR_OF_ERRANDS, minute=0, second=0, microsecond=0)
    at += timedelta(days=0 if at > scene.now else 1)
    end, made = change.until or scene.now + SO_LONG, list[Change]()
    while at < end and len(made) < MOST_ERRANDS:
        made.append(replace(change, start=at, until=None))
        at += timedelta(days=1.0 / a_day)
    return made


MOST_ERRANDS = 42


LONGEST_SHOWER = 60.0
"""A what-if of longer than this is a slip. [minutes]"""


def _one(change: intents.Change, context: Context) -> Change:
    scene = context.scene
    start = context.begins(change.when)
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
        litres, count = _held_to(change.amount, context), _part_left(change.amount, context)
    if change.what in ("dump", "fill") and (change.count or 1) > 1:
        raise AskBack(
            f"When each time? Say for example: what if we {change.what} on Thursday and on Saturday.", "change"
        )
    if change.what == "haul" or (change.what == "use" and change.count is not None and change.count != 1):
        litres = _counted(change, litres, context)
    if change.what == "use" and change.activity is None and litres is None:
        raise AskBack("How much water would that take?", "amount")
    if change.minutes is not None and change.minutes > LONGEST_SHOWER:
        raise AskBack(
            "For how long would the water run? Say for example: what if we take two minute showers.", "change"
        )
    if change.what == "rain":
        raise AskBack(
            "Rain alone changes nothing that I count. What would you do otherwise? Say for example: what if we skip showers.",
            "change",
        )
    if change.what == "skip" and change.more and not guests_ahead(scene.world, scene.now):
        raise AskBack("How many are they? Say for example: what if two of us skip showers.", "change")
    people = float(own_party(scene.world)) if change.what == "party" and not change.more else None
    people = people if change.people is None else change.people
    if change.what == "party" and people is None:
        raise AskBack("How many are they? Say for example: what if we have two guests.", "change")
    tank = context.tank(change.tank).name if change.tank is not None else None
    return Change(
        change.what, change.activity, litres, change.minutes, count, people, change.more, tank, start, until
    )  # fmt: skip


def _counted(change: intents.Change, litres: float | None, context: Context) -> float:
    """So many tote runs, a full tote each where no more was said; so many showers, of so much each or the usual. [litres]"""
    if change.what == "haul":
        each = context.scene.world.rig.tote_litres or TOTE_LITRES if litres is None else litres
        return each * (change.count or 1.0)
    if litres is not None:  # "three showers, 2 gallons": in all, unless said of each
        each_said = change.amount is not None and change.amount.each
        return litres * (change.count or 1.0) if each_said else litres
    return typical(context.scene.world, change.activity or "other").mean * (change.count or 1.0)


def _part_left(amount: intents.Amount, context: Context) -> float | None:
    """What is left of the use: a half as said, or so many litres of what goes in a day as things stand."""
    daily = _held_to(amount, context)
    return amount.value if daily is None else daily / max(own_pace(context.scene), 1e-6)


def _held_to(amount: intents.Amount, context: Context) -> float | None:
    """Litres a day that people will keep to, if so much a day was said."""
    if not str(amount.unit).endswith("/day"):
        return None
    litres = context.volume(replace(amount, unit=str(amount.unit).removesuffix("/day"))).litres or 0.0
    return litres * max(1, context.scene.people) if amount.each else litres


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


def _runs_words(change: intents.Change, amount: str) -> str:
    """ "a tote run", "three tote runs of 15 gal of grey", "two loads of fresh"."""
    count, into = round(change.count or 1), change.tank == "fresh"
    runs = amounts.counted(count, "load" if into else "tote run") if count > 1 else "a load" if into else "a tote run"
    fresh = " of fresh" if into and "water" not in amount else ""
    return f"{runs}{f' of {amount}' if amount else ''}{fresh}"


def _errand_words(change: intents.Change, amount: str) -> str:
    """ "with a tote run of 5 gallons once a day", "dumping grey every other day"."""
    often = f"{_how_often(change.a_day or 1.0)}{_when(change)}"
    if change.what == "use":
        return f"{_use_words(replace(change, when=None, until=None), amount)} {often.removeprefix('once ')}"
    if change.what == "haul":
        return f"with {_runs_words(change, amount)} {often}"
    done = "dumping" if change.what == "dump" else "filling"
    return f"{done} {change.tank} {often}" if change.tank else f"{done} {often}"


SINGLY = ("shower", "bath")


def _use_words(change: intents.Change, amount: str) -> str:
    """ "with laundry on top tomorrow", "with two showers on top", "with three showers fewer"."""
    count, name = round(change.count or 1), change.activity
    if name is None:
        said = amount
    elif abs(count) > 1 or count < 0:
        said = (
            amounts.counted(abs(count), name) if name in SINGLY else f"{words.noun(name)} {amounts.times(abs(count))}"
        )
    else:
        said = f"a {name}" if name in SINGLY else words.noun(name)
    return f"with {said} {'fewer' if count < 0 else 'on top'}{_when(change)}"


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


def _for_whom(change: intents.Change, scene: Scene) -> str:
    """ " for two of you", " for the guests"; nothing where it goes for all."""
    if change.more:
        return " for the guests"
    return f" for {amounts.number(round(change.people))} of you" if change.people and scene.people > 1 else ""


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
    alone = " for one of you" if people == 1 < scene.people else ""
    if change.a_day is not None:
        return _errand_words(change, amount)
    phrases = {
        "skip": f"without {noun}{_for_whom(change, scene)}{_for_how_long(change)}",
        "minutes": f"with {noun} of {minutes_words(change.minutes or 0.0)}{_when(change)}",
        "amount": f"with {amount} the water for {noun}" if _is_share(change) else f"with {noun} of {amount}",
        "party": f"{_party_words(people, change.more) if change.people is not None else 'without the guests'}{_when(change)}",
        "absence": f"with nobody there{_when(change)}",
        "haul": f"after {_runs_words(change, amount)}{_when(change)}",
        "dump": f"after {f'dumping {tank}' if change.tank else 'a dump'}{_when(change)}",
        "use": _use_words(change, amount),
        "late": _stay_words(change, scene) if change.what == "late" else "",
        "fill": f"with fresh filled{_when(change)}",
        "often": f"with {words.noun(change.activity or '')} {_how_often(change.count or 0.0)}{alone}",
        "share": f"using {amount}"
        if str(change.amount and change.amount.unit).endswith("/day")
        else f"using {amount} the water",
    }
    return phrases.get(change.what, change.what)
