"""Water pressure at the spigot: how a reading stands, what it was at this site before, what to set. Pure; kilopascals
throughout.

May import: figures_safety, world.
"""

from __future__ import annotations

from datetime import datetime

from state import figures_safety as figures
from state.lightclass import Literal, dataclass
from state.world import World

Standing = Literal["low", "soft", "good", "firm", "high", "ceiling"]
ROUNDING_KPA = 0.01


def limit(world: World) -> float:
    """The rig's own limit if told, else the usual alarm of 60 psi. [kPa]"""
    return world.rig.limits.get("pressure", figures.ALARM_KPA.value)


def standing(world: World, kpa: float) -> Standing:
    """How a reading stands: above the codes' ceiling, above the rig's limit, above the usual setting, good, below it, too low.

    A reading exactly on a bound is on its harmless side, whatever unit it was said in.
    """
    bounds: tuple[tuple[Standing, float], ...] = (
        ("ceiling", figures.CODE_CEILING_KPA.value),
        ("high", limit(world)),
        ("firm", figures.SET_HIGH_KPA.value),
    )
    for name, above in bounds:
        if kpa > above + ROUNDING_KPA:
            return name
    if kpa >= figures.SET_LOW_KPA.value - ROUNDING_KPA:
        return "good"
    return "soft" if kpa >= figures.LOW_KPA.value - ROUNDING_KPA else "low"


@dataclass(frozen=True)
class Readings:
    """What was read at a site: how often, lowest, highest, last. [kPa]"""

    site: str | None
    n: int
    low: float
    high: float
    last: float
    at: datetime


def at_site(world: World, site: str | None) -> Readings | None:
    """The history of a site; None if nothing was ever read there."""
    key = site.casefold() if site else None
    found = [(at, kpa) for at, kpa, place in world.pressures if (place.casefold() if place else None) == key]
    if not found:
        return None
    values = [kpa for _, kpa in found]
    at, last = max(found, key=lambda one: one[0])
    return Readings(site, len(found), min(values), max(values), last, at)


def setting(world: World) -> tuple[float, float]:
    """From and to, for the regulator: 40-50 psi, never above the rig's limit. [kPa]"""
    top = min(figures.SET_HIGH_KPA.value, limit(world))
    return min(figures.SET_LOW_KPA.value, top), top


def hose_flow(kpa: float, metres: float, bore_millimetres: float) -> float:
    """Flow of an open hose with all the pressure lost in it: an upper bound, before anyone has timed a bucket.
    [litres/minute]

    Source: Hazen-Williams, psi/ft = 4.52 Q^1.85 / (C^1.85 d^4.87), C 140; reproduces Iowa State Extension's table (28
    June 1996).
    """
    per_foot = (kpa / figures.KPA_PER_PSI) / (metres / 0.3048)
    inches = bore_millimetres / 25.4
    gpm = (per_foot * figures.HAZEN_WILLIAMS_C.value**1.85 * inches**4.87 / 4.52) ** (1 / 1.85)
    return float(gpm * 3.785411784)
