"""An outing as it is told: whether it is over or still to come, and on which day they came back."""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.interpret.context import Context
from assistant.scene import AskBack
from grammar.intents import Away
from grammar.when import When

EVENING = 17
NOON = 12


def guard_going(meaning: Away, context: Context) -> None:
    """ "Out all day", said in the evening; "we're off in the morning": whether it is over, or still to come."""
    said = meaning.text.casefold()
    if context.now.hour >= EVENING and any(day in said for day in ("all day", "whole day", "all afternoon")):
        raise AskBack("Are you back now? If you are still out, say for example: away till nine.", "statement")
    if "in the morning" in said and meaning.when is not None and not meaning.when.has_day:
        raise AskBack(
            "For a while, or for good? Say for example: away tomorrow, or: leaving tomorrow at nine.", "statement"
        )


def the_same_day(when: When | None, context: Context) -> datetime | None:
    """ "Went out yesterday at nine, came back at five": the first such hour after they went."""
    out = context.booked_before("away")
    if out is None or when is None or when.hour is None or when.has_day or out["at"].date() == context.now.date():
        return None
    if when.half or when.part or when.hour > NOON:
        return None
    hours = (when.hour % NOON, when.hour % NOON + NOON)
    found = [out["at"].replace(hour=hour, minute=when.minute) + timedelta(days=day) for day in (0, 1) for hour in hours]
    later = [one for one in found if out["at"] < one <= context.now]
    return min(later, default=None)
