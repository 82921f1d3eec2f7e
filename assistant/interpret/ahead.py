"""Whether a use told with a day is a plan, or was done on the day just gone."""

from __future__ import annotations

from datetime import timedelta

from assistant.interpret.context import Context
from assistant.say import times
from grammar import when as calendar
from grammar.intents import Use

_EVERYDAY = frozenset("shower dishes handwash teeth shave face toilet cooking drinking coffee".split())
NEARLY_AS_NEAR = timedelta(days=2)
"""By so much the weekday gone may be further off than the one to come, and still be meant. Our own choice, no source."""


def _hardly_planned(meaning: Use, context: Context) -> bool:
    """ "Shower 2 gal Monday", said on a Friday: what is done every day and was measured is seldom a plan."""
    when = meaning.when
    if when is None or when.weekday is None or when.which is not None or when.day is not None or meaning.amount is None:
        return False
    gone, ahead = calendar.past(when, context.now).at, calendar.future(when, context.now).at
    if meaning.activity not in _EVERYDAY or gone is None or ahead is None or gone >= context.now:
        return False
    return (context.now - gone) - (ahead - context.now) < NEARLY_AS_NEAR


JUST_GONE = timedelta(days=2)
"""A weekday gone for less is the one that is meant, where nothing speaks of a plan. Our own choice, no source."""


def _rather_planned(meaning: Use, context: Context) -> bool:
    """ "Washing the dog on Saturday, 4 gal", "bath on Saturday": told so of a day to come as well as of the one gone."""
    when = meaning.when
    if when is None or when.weekday is None or when.which is not None or when.day is not None:
        return False
    gone = calendar.past(when, context.now).at
    long_gone = gone is not None and context.now - gone >= JUST_GONE
    return meaning.done is None or (long_gone and meaning.amount is None and meaning.count is None)


def _part_gone(meaning: Use, context: Context) -> bool:
    """ "Morning shower 2 gal", said in the evening: this morning's."""
    when = meaning.when
    if when is None or when.part is None or when.has_day or when.hour is not None:
        return False
    gone = calendar.past(when, context.now).at
    return gone is not None and gone.date() == context.now.date() and gone <= context.now


def is_ahead(meaning: Use, context: Context) -> bool:
    """ "Laundry on Thursday, 8 gal": the Thursday that is nearer; asked where both are equally near, or the words are rather those of a plan."""
    assert meaning.when is not None
    if meaning.when.arrival or meaning.when.period in calendar.UNTOLD:
        return False
    if meaning.when.hour is not None and not meaning.when.has_day and meaning.amount is not None:
        return False  # "dishes at seven, 2 gal": an hour alone with what it took is a report
    side = calendar.nearer(meaning.when, context.now)
    if _part_gone(meaning, context):
        return False
    if side == "past" and _rather_planned(meaning, context):
        side = "either"
    if side == "either" or (side == "future" and _hardly_planned(meaning, context)):
        at = context.scene.future(meaning.when).at
        assert at is not None
        context.guard("planned", f"Is that planned for {times.full_day(at, context.now)}?", "when")
    if side == "past":
        return False
    at = context.scene.future(meaning.when).at
    if at is not None and at.date() == context.now.date():  # "shower tonight 2 gal": a plan, or the hour is wrong
        said = times.exactly(at, context.now)
        context.guard(
            "planned", f"{said[0].upper()}{said[1:]} is still to come. Shall I count on it as a plan?", "when"
        )
    return True
