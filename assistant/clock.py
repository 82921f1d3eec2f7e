"""The time: the only reader of the clock, and the reader of times as a script writes them.

Everything else gets its "now" as an argument. May import: the standard library only.
"""

from __future__ import annotations

from datetime import datetime

YEARS = range(1900, 2200)


def now() -> datetime:
    """This moment, to the millisecond, with the offset of the place that the device thinks it is in."""
    moment = datetime.now().astimezone()
    return moment.replace(microsecond=moment.microsecond // 1000 * 1000)


def read(text: str) -> datetime:
    """A moment in ISO 8601; without an offset it is in the device's own zone.

    Raises: ValueError, with a sentence, if it is no such moment or no year that a log can hold.
    """
    try:
        moment = datetime.fromisoformat(text.strip())
        moment = moment if moment.tzinfo is not None else moment.astimezone()
        moment.timestamp()
    except (ValueError, OverflowError, OSError):
        raise ValueError(f'"{text[:60]}" is not a time. A time looks like 2026-06-09T07:40-06:00.') from None
    if moment.year not in YEARS:
        raise ValueError(f"{text[:60]} is too far off: years from {YEARS.start} to {YEARS.stop - 1} can be kept.")
    return moment
