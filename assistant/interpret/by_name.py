"""The entries that are named to be taken back: by kind, activity, tank, item or place, and of several of them by person, amount, day,
hour, or place in the row ("the five gallon shower", "the second fill", "yesterday's bath").

May import: `context`, grammar's rejoinders and spans, state.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from assistant.interpret.context import LATELY, Context
from assistant.say import times
from assistant.scene import AskBack
from grammar import spans
from grammar import when as calendar
from grammar.rejoinders import Undo
from state.entry import Entry
from state.log.history import effective
from state.log.ordering import as_one_log

_READINGS = ("meter", "level")
_A_DAY = timedelta(hours=24)
_ABOUT = timedelta(minutes=45)
"""How far from the hour that was said an entry may lie."""
_CLOSE, _CLOSE_LITRES = 0.02, 0.1
"""How far from the amount that was said, as a share of it and at least. [1, litres]"""


def named(meaning: Undo, context: Context, but: Sequence[Entry] = (), to: str = "take back") -> Entry:
    """The event that still counts and is, as corrected, what was named, beside those already found: told last, where no more is said.

    Raises: AskBack if there is none, or if what is said of it leaves more than one.
    """
    if meaning.nth is None and meaning.amount is None and meaning.when is None:
        for log in context.windows():
            for one in sorted(effective(as_one_log(log)), key=lambda one: -one.seq):
                if _is_called(one, meaning, context) and not any(one.id == other.id for other in but):
                    return one
        raise _none(meaning, context, to)
    found = [one for one in told_of(meaning, context) if not any(one.id == other.id for other in but)]
    if not found:
        raise _none(meaning, context, to)
    if meaning.nth is not None:
        place = meaning.nth - 1 if meaning.nth > 0 else len(found) - 2
        if not 0 <= place < len(found):
            raise AskBack(f"I find {_listed(found, context)}. Which entry do you mean?", "statement")
        return found[place]
    if len(found) > 1 and not meaning.twin:
        raise AskBack(
            f"I find {_listed(found, context)}. " + _say_which(meaning, found, context, to),
            "statement",
        )
    return found[-1]


def _say_which(meaning: Undo, found: Sequence[Entry], context: Context, to: str) -> str:
    day = day_of(found[-1], context)
    if to == "take back":
        return f"Say for example: undo the second {meaning.what} {day}."
    return f"Undo the one that is wrong, for example: undo the second {meaning.what} {day}. Then say it again."


def _none(meaning: Undo, context: Context, to: str) -> AskBack:
    what = meaning.what or ""
    if meaning.amount is not None:
        measured = (
            meaning.amount.text if meaning.amount.unit else context.scene.exact(context.volume(meaning.amount).litres)
        )
        what = f"{measured} {what}"
    what = what if meaning.whose is None else f"{what} of {meaning.whose}"
    when = f" {times.named(meaning.when.text)}" if meaning.when is not None and meaning.when.text else ""
    return AskBack(f"I find no {what}{when} to {to}. Which entry do you mean?", "statement")


def _listed(found: Sequence[Entry], context: Context) -> str:
    count = ("only one", "two", "three")[len(found) - 1] if len(found) < 4 else str(len(found))
    return f"{count}: {times.listed([times.exactly(one.at, context.now) for one in found[-4:]])}"


def day_of(one: Entry, context: Context) -> str:
    if one.at.date() == context.now.date():
        return "today"
    return "yesterday" if (context.now.date() - one.at.date()).days == 1 else f"on {one.at:%A}"


def told_of(meaning: Undo, context: Context) -> list[Entry]:
    """Those of which an amount, a moment or a place in the row was said, in the order in which they happened. Without a day those of the
    day on which the latest of them was."""
    fits = _fits(meaning, context)
    found: list[Entry] = []
    for log in context.windows():
        live = [one for one in effective(as_one_log(log)) if _is_called(one, meaning, context) and fits(one)]
        if not live:
            continue
        first, last = _stretch(meaning, live[-1].at, context)
        found = [one for one in live if first <= one.at < last]
        if found and log[0].heard_at <= first:  # nothing logged earlier can have happened later
            break
    return found


def _stretch(meaning: Undo, latest: datetime, context: Context) -> tuple[datetime, datetime]:
    when = meaning.when
    if when is None or not (when.has_day or when.part):
        day = latest.replace(hour=0, minute=0, second=0, microsecond=0)
        return (day, day + _A_DAY) if meaning.nth is not None else (latest - _A_DAY, latest + _A_DAY)
    return spans.span(when, context.now)


def _fits(meaning: Undo, context: Context) -> Callable[[Entry], bool]:
    """Whether the amount and the hour are those that were said."""
    volume = context.volume(meaning.amount).litres if meaning.amount is not None else None
    when = meaning.when
    hour = calendar.past(when, context.now).at if when is not None and when.hour is not None else None
    day = spans.span(when, context.now) if when is not None and (when.has_day or when.part) else None

    def fit(one: Entry) -> bool:
        litres = one.get("litres")
        if volume is not None and (litres is None or abs(litres - volume) > max(_CLOSE_LITRES, _CLOSE * volume)):
            return False
        if day is not None and not day[0] <= one.at < day[1]:
            return False
        return hour is None or abs(one.at - hour) <= _ABOUT

    return fit


def _is_called(one: Entry, meaning: Undo, context: Context) -> bool:
    name = (meaning.what or "").casefold()
    if meaning.whose is not None and (one.get("person") or "").casefold() != meaning.whose.casefold():
        return False
    if name.endswith(" level") and one.kind == "level" and one.get("tank") == name.removesuffix(" level"):
        return True
    kinds = _READINGS if name == "reading" else (name,)
    return (
        one.kind in kinds
        or name in (one.get("activity"), one.get("tank"), one.get("item"))
        or _is_of(one, name, context)
    )


def _is_of(one: Entry, place: str, context: Context) -> bool:
    """Whether it is a stop planned at that place, or an arrival there that was told just now: who has long arrived cancels nothing."""
    told_now = one.kind == "arrive" and context.now - one.heard_at <= LATELY
    return (one.kind == "stop" or told_now) and (one.get("site") or "").casefold() == place
