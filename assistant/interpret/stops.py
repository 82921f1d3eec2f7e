"""Stops to come: where the rig will be, and from when to when."""

from __future__ import annotations

from datetime import datetime

from assistant.interpret.context import Context, Draft
from assistant.scene import AskBack, CannotBe
from grammar import when as calendar
from grammar.intents import Stop


def stop(meaning: Stop, context: Context) -> list[Draft]:
    """A stop to come; without a start it follows the stop before it, or the present stay."""
    start = _after_the_last(meaning, context) if meaning.start is not None else _end_before(context)
    until = None
    if meaning.nights is not None:
        if start is None:
            raise AskBack(f"From when at {meaning.site or 'the next stop'}?", "when")
        until = context.after_nights(meaning.nights, start)
    elif meaning.until is not None:
        until = context.end_of_stay(meaning.until, None, start)
    if start is not None and until is not None and until <= start:
        raise CannotBe("That stop would end before it begins, so nothing was recorded.")
    if meaning.loose and not _surely_ahead(meaning, context):
        context.guard("stop-or-outing", f"Is {meaning.site} the next stop, for the night?", "yes", ["yes", "no"])
    return [
        {
            "kind": "stop",
            "at": context.now,
            "site": meaning.site,
            "from": start,
            "until": until,
            "water": meaning.water,
            "sewer": meaning.sewer,
        }
    ]


def _surely_ahead(meaning: Stop, context: Context) -> bool:
    """ "At Otter Flats on Friday for two nights": on the Friday gone they would be over. Told without them it may be no stay."""
    if meaning.start is None or meaning.nights is None:
        return False
    came = calendar.past(meaning.start, context.now).at
    return came is not None and (came > context.now or context.after_nights(meaning.nights, came) <= context.now)


def _after_the_last(meaning: Stop, context: Context) -> datetime | None:
    """When a stop begins; "then Harbor Lane from Thursday" is the Thursday behind the stop before it."""
    start = context.to_come(meaning.start)
    then = meaning.text.casefold().startswith(("then", "after", "followed", "and then"))
    begun = [one["start"] for one in context.so_far().stops]
    last = max((one for one in begun if one is not None), default=None) if then else None
    if start is None or last is None or start > last or meaning.start is None or meaning.start.weekday is None:
        return start
    return calendar.future(meaning.start, last).at


def _end_before(context: Context) -> datetime | None:
    """When the last stop ends that is known by then, or else the stay; what the phrase has told before counts."""
    world = context.so_far()
    known = [one["until"] for one in world.stops if one["until"] is not None and one["until"] > context.now]
    ends: datetime | None = max(known) if known else world.stay.until
    return ends
