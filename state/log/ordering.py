"""One order for the events of a log into which others were merged, the same on every device that holds the same events.

Pure. May import: `entry`.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from state.entry import Entry


def as_one_log(entries: Sequence[Entry]) -> Sequence[Entry]:
    """The events as if one device had logged them all: by id, their places counted anew.

    Ids sort in the order of logging, also across devices that have read each other's (store.new_id), so a log into which nothing was
    merged comes back as it is.
    """
    if all(one.id < other.id for one, other in pairwise(entries)):
        return entries
    by_id = sorted(entries, key=lambda entry: entry.id)
    return [Entry(entry.fields(), entry.turn, seq) for seq, entry in enumerate(by_id, start=1)]
