"""When a booked event was, is to be, or until when, as a correction would have it.

Is not: which event is meant (corrections.py). May import: `context`, `readings`, `trip`, grammar's intents and when, state.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.interpret import trip
from assistant.interpret.context import Context
from assistant.interpret.readings import guard_amended
from assistant.scene import AskBack, CannotBe
from grammar.intents import Expect
from grammar.rejoinders import Fragment
from grammar.when import When
from state.entry import Entry
from state.lightclass import Any

OF_A_STAY = ("arrive", "stay")
WITH_END = (*OF_A_STAY, "party", "away", "stop", "expect")
AHEAD = ("stop", "expect")

Fields = dict[str, Any]


def moments(target: Entry, change: Fragment, context: Context) -> Fields:
    """When it was, is to be, or until when: a day said of what has an end and lies ahead is the end."""
    kind, when, until = target.kind, change.when, change.until
    if when is None and until is None:
        return {}
    if kind == "frost":
        return {"at": _of_that_night(target, when, context)} if when is not None else {}
    if kind in AHEAD:
        return _ahead(target, when, until, context)
    fields: Fields = {}
    if until is None and when is not None and kind in WITH_END and (kind == "stay" or _is_end(when, target, context)):
        when, until = None, when
    if when is not None:
        fields["at"] = _at_its_hour(target, when, context)
        if kind == "meter":
            fields |= guard_amended(context, target, target.litres, fields["at"])
    if until is not None and kind in WITH_END:
        fields["until"] = context.end_of_stay(until) if kind in OF_A_STAY else context.to_come(until)
    return fields


def _of_that_night(target: Entry, when: When, context: Context) -> datetime | None:
    """ "No, tomorrow" of a frost told for tonight: tomorrow night."""
    at = context.scene.future(when).at
    if at is None or when.has_hour or not when.has_day or when.seconds is not None:
        return at
    then = target.at.astimezone(at.tzinfo)
    return at.replace(hour=then.hour, minute=then.minute)


def _at_its_hour(target: Entry, when: When, context: Context) -> datetime:
    """ "No, that was on Tuesday" of what was yesterday evening: Tuesday evening; "no, at seven": yesterday at seven. What was told as it
    happened has no hour of its own to keep."""
    at = context.happened(when, of_today=False)
    told = abs(target.heard_at - target.at) > JUST_THEN
    if not told or when.seconds is not None or when.now or when.arrival or when.stay_end:
        return at
    then = target.at.astimezone(at.tzinfo)
    if not when.has_day and when.has_hour:
        return min(at.replace(year=then.year, month=then.month, day=then.day), context.now)
    if when.has_day and not when.has_hour and when.part is None:
        return min(at.replace(hour=then.hour, minute=then.minute, second=then.second), context.now)
    return at


JUST_THEN = timedelta(minutes=1)


def _is_end(when: When, target: Entry, context: Context) -> bool:
    """ "Make that Saturday" of "at Cedar Flat till Friday": the end, since it was told just now that they came."""
    if target.get("until") is None or not when.has_day or when.seconds is not None or when.which == "last":
        return False
    if (when.day_offset is not None and when.day_offset <= 0) or (when.whole_days is not None and when.whole_days <= 0):
        return False
    if target.at.date() != target.heard_at.astimezone(target.at.tzinfo).date():
        raise AskBack('Is that the day it began, or the one it ends? Say for example "until Friday".', "until")
    return True


def _ahead(target: Entry, when: When | None, until: When | None, context: Context) -> Fields:
    """The stretch of something to come, as the booker makes it of the days now said."""
    start, end = target.get("start"), target.get("until")
    a_day = target.get("what") == "absence" and start is not None and end is not None and start.date() == end.date()
    if when is not None and until is None and start is not None and end is not None and not a_day:
        raise AskBack('From then on, or until then? Say for example "until Sunday".', "until")
    if until is None and when is not None and start is None and end is not None:
        when, until = None, when
    if target.kind == "stop":
        begins = context.to_come(when) if when is not None else start
        ends = context.end_of_stay(until, None, begins) if until is not None else end
    else:
        told = Expect(what="absence" if target.what == "absence" else "party", start=when, until=until, people=1)
        made = trip.expect(told, context)[0]
        begins = made["from"] if when is not None else start
        ends = made["until"] if until is not None or a_day else end
    if begins is not None and ends is not None and ends <= begins:
        raise CannotBe("That would end before it begins, so nothing was recorded.")
    return {name: value for name, value, old in (("from", begins, start), ("until", ends, end)) if value != old}
