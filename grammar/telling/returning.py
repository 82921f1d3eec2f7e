"""Who is away, and beside it "back": when they mean to return, or that they have.

May import: intents, when.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.when import When


def to_return(out: say.Expect, home: Intent) -> When | None:
    """When they mean to be back from an absence to come: on the day it begins, if no other is said."""
    if not isinstance(home, say.Away | say.Back) or not home.text.casefold().startswith(("back", "home")):
        return None
    end = home.until if isinstance(home, say.Away) else home.when
    if out.until is not None or out.start is None or end is None or end.now or end.seconds is not None:
        return None
    if end.weekday is not None or end.day is not None or end.day_offset is not None or end.period is not None:
        return end
    return replace(out.start, part=end.part, hour=end.hour, minute=end.minute, half=end.half, text=end.text)


def bare_absence(out: say.Away) -> bool:
    """Whether it says no more than that nobody is there."""
    return (out.when, out.until, out.hours) == (None, None, None)


def to_be_back(out: say.Away, home: say.Back) -> bool:
    """Whether "back" beside "heading out" tells when they mean to return: nothing says that both are over."""
    now = home.when is not None and home.when.now
    return (
        (out.when is None or out.when.now)
        and not now
        and home.text.casefold().split()[:1] in (["back"], ["home"], ["will"])
    )


def returned(out: say.Away | say.Depart, home: say.Back) -> bool:
    """ "Out all day, back now", "left at 7, back at 7:45", "left and came back": an outing that is over, and no departure for good."""
    if home.to_come or (isinstance(out, say.Depart) and out.site is not None):
        return False
    words = home.text.casefold().split()
    now = (home.when is not None and home.when.now) or "now" in words or "again" in words
    over = out.when is not None and not out.when.now and (isinstance(out, say.Depart) or now)
    at_once = isinstance(out, say.Depart) and out.when is None and words[:1] not in (["back"], ["home"], ["will"])
    return over or at_once or (isinstance(out, say.Away) and now and out.until is None and not out.bare)
