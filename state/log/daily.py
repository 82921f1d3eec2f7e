"""When the automatic copy of the day is due, and where it lies. Apart from copies.py, so that a one-shot need not load how copies are made.

May import: the standard library only.
"""

from __future__ import annotations

import os
from datetime import date

FIRST = 25
"""Events in a log before the first automatic copy of it: less is soon said again."""


def folder_of(log: str) -> str:
    """Where the automatic copies of a log lie."""
    return f"{log}-backups"


def copy_of(log: str, day: date) -> str:
    """The automatic copy of that day."""
    return os.path.join(folder_of(log), f"{day.isoformat()}.db")


def is_due(log: str, today: date, events: int) -> bool:
    """Whether there is none yet of today; events: how many the log holds."""
    return events >= FIRST and not os.path.exists(copy_of(log, today))
