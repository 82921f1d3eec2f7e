"""A time as said, and the pure step from it to a date once a "now" is given.

`When` holds the words' own meaning ("last Monday evening", "in three days", "the 15th"); `past`, `future` and `span` turn it into
moments. No clock is read here: now is an argument. The fixed readings of the parts of the day and of weekdays are those of the
project's interface. May import: the standard library only.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class When:
    """TODO by the language room: the fields. Always has `text`, the words as said."""

    text: str = ""


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment found. `say_date`: another date could have been meant, so the answer must say it. `problem`: a sentence when there is
    no such moment (30 February), `at` is then None. `end_of_stay`: it means the end of the stay and none was known."""

    at: datetime | None
    say_date: bool = False
    problem: str = ""
    end_of_stay: bool = False


def past(when: When, now: datetime) -> Moment:
    """The moment that a report means; may lie after now, if that is what was said."""
    raise NotImplementedError


def future(when: When, now: datetime, stay_until: datetime | None = None) -> Moment:
    """The moment that a question or a plan means; a day alone is 10:00, the end of the stay its own hour."""
    raise NotImplementedError


def span(when: When, now: datetime) -> tuple[datetime, datetime]:
    """From and to (exclusive) of a stretch asked about: yesterday, this week, in May, since Friday."""
    raise NotImplementedError
