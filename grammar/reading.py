"""What comes of reading a phrase: its meanings, or why there are none; and the names of this rig that the reader is given.

May import: intents, when.
"""

from __future__ import annotations

from grammar.intents import Intent
from grammar.lightclass import Any, dataclass, fields, is_dataclass, replace
from grammar.when import When, day_first


@dataclass(frozen=True)
class Repair:
    heard: str
    taken: str


@dataclass(frozen=True)
class Reading:
    """A phrase understood whole. `meanings` in the order said. `repairs`: misspellings mended on the way. `confirm`: a repair
    could change what is booked in a big way, so it must be asked ("Did you mean …?") with `as_read` as the mended phrase. `left`: what
    was not understood beside it, in the words of the phrase; such a reading is only offered, unless these are mere remarks. `denied`: what is
    left tells what was not done."""

    meanings: tuple[Intent, ...]
    repairs: tuple[Repair, ...] = ()
    confirm: bool = False
    as_read: str = ""
    left: tuple[str, ...] = ()
    denied: bool = False


@dataclass(frozen=True)
class NotUnderstood:
    """`reference`: kebab-case name of the misunderstanding. `message`: a sentence that stands alone. `words`: (start, end) places
    in the phrase that were not understood. `hint`: the nearest phrase that works."""

    reference: str
    message: str
    words: tuple[tuple[int, int], ...] = ()
    hint: str = ""


@dataclass(frozen=True)
class Impossible:
    """Understood, but it cannot be true whatever the rig: a negative volume, 30 February."""

    reference: str
    message: str
    hint: str = ""


@dataclass(frozen=True)
class Names:
    """Names of this rig that the reader may meet: known people, sites, tanks (beyond fresh, grey, black), own activities, gear and
    service items, and taught words (word → what it means, in words). All compared without case. `day_first`: "6/8" is the sixth of August here."""

    people: tuple[str, ...] = ()
    sites: tuple[str, ...] = ()
    tanks: tuple[str, ...] = ()
    activities: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    taught: tuple[tuple[str, str], ...] = ()
    day_first: bool = False


def days_first(value: Any) -> Any:
    """A meaning with the dates in it as one understands them who says the day before the month."""
    if isinstance(value, When):
        return day_first(value)
    if isinstance(value, tuple):
        return tuple(days_first(one) for one in value)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    changed = {one.name: days_first(getattr(value, one.name)) for one in fields(value)}
    return replace(value, **changed)
