"""A stretch of time whose indoor use is known afterwards: what the pace is learned from.

Comes about when a reading closes a metered interval, or a fill to the brim tells what the pump has drawn.
May import: the standard library only.
"""

from __future__ import annotations

from datetime import datetime

from state.lightclass import dataclass


@dataclass(frozen=True)
class Settled:
    """litres: indoor use in all, from start to end; off: by what part of itself that, and all that is told in the same way, may be off
    alike (0 where a meter or a brim tells). people: aboard, averaged over the stretch.
    supply: `hookup` or `tank`. away_seconds: how much of it nobody was there. entries: (activity, litres, count) of each logged use."""

    start: datetime
    end: datetime
    litres: float
    off: float
    people: float
    supply: str
    away_seconds: float
    entries: tuple[tuple[str, float, int], ...] = ()
