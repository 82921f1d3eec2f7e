"""What if: the forecast with some habits or plans changed, beside the present course. Nothing is recorded.

May import: `forecast`, `outlook`.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from state.ahead import forecast
from state.ahead.forecast import MakeIt, Runway
from state.ahead.outlook import Change, look_ahead
from state.lightclass import dataclass
from state.water.belief import Belief
from state.world import World

__all__ = ["Change", "WhatIf", "WhatIfRunway", "compare", "compare_runway", "look_ahead"]


@dataclass(frozen=True)
class WhatIf:
    """present: as things stand. changed: with the changes. gain: of the joint chance. [probability, -1 to 1]"""

    present: MakeIt
    changed: MakeIt

    @property
    def gain(self) -> float:
        return self.changed.probability - self.present.probability


@dataclass(frozen=True)
class WhatIfRunway:
    """The same where no moment was asked about: when the first tank gives out, as it stands and changed."""

    present: Runway
    changed: Runway

    @property
    def gain_days(self) -> float | None:
        """How much later the first tank gives out, at the median; None where one of the two lies beyond the horizon."""
        before, after = first_at(self.present), first_at(self.changed)
        if before is None or after is None:
            return None
        return (after - before).total_seconds() / 86400.0


def first_at(runway: Runway) -> datetime | None:
    """The median moment at which the first tank gives out."""
    return runway.tanks[runway.first].gives_out["p50"] if runway.first is not None else None


def compare(
    world: World, now: datetime, until: datetime, changes: Sequence[Change], levels: Belief | None = None
) -> WhatIf:
    """Making it to a moment, with the changes and without."""
    return WhatIf(
        forecast.make_it(world, now, until, (), levels), forecast.make_it(world, now, until, tuple(changes), levels)
    )


def compare_runway(
    world: World, now: datetime, changes: Sequence[Change], levels: Belief | None = None
) -> WhatIfRunway:
    """When the first tank gives out, with the changes and without."""
    return WhatIfRunway(forecast.runway(world, now, (), levels), forecast.runway(world, now, tuple(changes), levels))
