"""Hauling by tote: what a full one weighs, how many trips, how much one may fill and still lift. Pure.

May import: figures_safety, weight, world.
"""

from __future__ import annotations

from math import ceil

from state import figures_safety as figures
from state.lightclass import dataclass
from state.water import weight
from state.world import Rig


@dataclass(frozen=True)
class Load:
    """A filled tote. `kilograms`: with the tote itself when its empty weight was told (`tare_known`). `too_heavy`:
    above what one
    person should lift even in the best posture."""

    litres: float
    kilograms: float
    tare_known: bool
    too_heavy: bool


def load(rig: Rig, litres: float | None = None) -> Load | None:
    """A tote with `litres` in it (full if None). None if the tote's size is not known and no litres are given."""
    amount = rig.tote_litres if litres is None else litres
    if amount is None:
        return None
    kilograms = weight.of_litres(amount) + (rig.tote_tare_kilograms or 0.0)
    return Load(amount, kilograms, rig.tote_tare_kilograms is not None, kilograms > figures.LIFT_KILOGRAMS.value)


def trips(rig: Rig, litres: float) -> int | None:
    """Full totes needed to take `litres` away; None if the tote's size is not known. A drop (10 mL) more makes no
    further trip."""
    if not rig.tote_litres:
        return None
    return max(0, ceil((litres - 0.01) / rig.tote_litres))


def liftable_litres(rig: Rig) -> float:
    """What may be in the tote for one person to lift it: NIOSH's 23 kg less the tote itself. [litres]"""
    left = figures.LIFT_KILOGRAMS.value - (rig.tote_tare_kilograms or 0.0)
    return max(0.0, weight.litres_of(max(left, 0.0)))
