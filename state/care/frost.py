"""Frost: how bad a stated low is, and for how long it counts. Pure; degrees Celsius.

May import: figures_safety, world.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from state import figures_safety as figures
from state.lightclass import Literal
from state.world import World

Stage = Literal["none", "near", "frost", "hard"]

NEAR_MARGIN = 2.0  # a forecast for the town is easily two degrees off for a hollow by the river (our choice, no source)
COUNTS_BEFORE, COUNTS_AFTER = timedelta(hours=48), timedelta(hours=12)


def stage(low_celsius: float) -> Stage:
    """`frost` from 0 °C down, `hard` from 20 °F (-6.7 °C) down, `near` within two degrees above freezing."""
    if low_celsius <= figures.URGENT_CELSIUS.value + 1e-9:
        return "hard"
    if low_celsius <= figures.FREEZING_CELSIUS.value:
        return "frost"
    return "near" if low_celsius <= NEAR_MARGIN else "none"


def ahead(world: World, now: datetime) -> tuple[Stage, float, datetime] | None:
    """The stated low that still matters: up to two days ahead, and until half a day after it. None if there is none."""
    if world.frost is None:
        return None
    at, low = world.frost
    if not now - COUNTS_AFTER <= at <= now + COUNTS_BEFORE or stage(low) == "none":
        return None
    return stage(low), low, at
