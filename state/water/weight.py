"""What the water aboard weighs, where it sits, and how much of it the rig may carry. Pure.

Waste counts as plain water: what it carries besides weighs too little to change a whole number of pounds.
May import: belief, figures_safety, spread, world.
"""

from __future__ import annotations

from datetime import datetime

from state import figures_safety as figures
from state.lightclass import dataclass
from state.spread import Spread
from state.water import belief
from state.world import World


def density(celsius: float = figures.TANK_CELSIUS.value) -> float:
    """Density of water at atmospheric pressure. [kg/L]

    Args: celsius: 0 to 40. [°C] Raises: ValueError outside.
    Source: Tanaka et al., Metrologia 38 (2001) 301-309, doi 10.1088/0026-1394/38/4/3.
    """
    if not 0.0 <= celsius <= 40.0:
        raise ValueError("the density formula holds from 0 to 40 degrees Celsius")
    a1, a2, a3, a4, a5 = figures.TANAKA
    return a5 * (1.0 - (celsius + a1) ** 2 * (celsius + a2) / (a3 * (celsius + a4))) / 1000.0


def of_litres(litres: float, celsius: float = figures.TANK_CELSIUS.value) -> float:
    """What so much water weighs. [kg]"""
    return litres * density(celsius)


def litres_of(kilograms: float, celsius: float = figures.TANK_CELSIUS.value) -> float:
    """How much water has that weight. [litres]"""
    return kilograms / density(celsius)


@dataclass(frozen=True)
class Aboard:
    """Weight of the water aboard by tank, `heater` among them when its size was told. [kg] `total`: spread of the
    sum."""

    at: datetime
    tanks: dict[str, Spread]
    total: Spread

    @property
    def kilograms(self) -> float:
        """The middle of what is believed. [kg]"""
        return sum(one.quantile(0.5) for one in self.tanks.values())


def aboard(world: World, at: datetime) -> Aboard:
    """What is believed to be aboard at a moment: now, or later if all goes on as it is. A heater whose size is known
    is full."""
    heavy = density()
    tanks = {
        name: Spread(
            one.level.quantile(0.5) * heavy, one.level.sd * heavy, one.level.low * heavy, one.level.high * heavy
        )
        for name, one in belief.believe(world, at).tanks.items()
    }
    if world.rig.heater_litres:
        tanks["heater"] = Spread(world.rig.heater_litres * heavy, 0.0)
    middle = sum(one.quantile(0.5) for one in tanks.values())
    # Levels of different tanks move against each other (what leaves fresh enters grey), so this is the wide side.
    sd = sum(one.sd**2 for one in tanks.values()) ** 0.5
    return Aboard(at, tanks, Spread(middle, sd, 0.0))


@dataclass(frozen=True)
class Margin:
    """Against a stated limit: `limit`, `of` (`water_weight` or `cargo`), `left` (may be negative). [kg] `litres`:
    what may still
    come aboard, or must go (negative)."""

    of: str
    limit: float
    left: float
    litres: float


def margin(world: World, water: Aboard) -> Margin | None:
    """The water's own limit if one was told, else the cargo limit (all of which the water may not have: other cargo
    counts too)."""
    for of in ("water_weight", "cargo"):
        limit = world.rig.limits.get(of)
        if limit is not None:
            left = limit - water.kilograms
            return Margin(of, limit, left, litres_of(left))
    return None
