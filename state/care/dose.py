"""Bleach: how much sanitises a tank, and the official emergency dose for drinking water. Pure arithmetic, quantities
in millilitres.

The plain formula takes the label's per cent as grams of chlorine in 100 mL. Household labels mean per cent by weight,
so the true dose
is 2 to 6 % stronger than said here: the safe side for sanitising, and the answers say "about". The drinking dose is
never computed
from a concentration: only the official tables' own rows are given. May import: figures_safety, world.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from math import floor, pi

from state import figures_safety as figures
from state.lightclass import dataclass
from state.world import World

LITRES_PER_GALLON = 3.785411784
ML_PER_FLUID_OUNCE = 29.5735295625
ML_PER_TEASPOON = 4.92892159375


def bleach(litres: float, mg_per_litre: float, percent: float) -> float:
    """Millilitres of bleach that bring water to a chlorine concentration.

    Args: litres of water, > 0. mg_per_litre: target as chlorine. [mg/L] percent: strength on the label. [g/100 mL]
    Raises: ValueError for a volume, target or strength that is not positive, or a strength above 20 %.
    Source: mass balance; checked against Kansas KDHE and Oregon tables in the tests.
    """
    if litres <= 0 or mg_per_litre <= 0 or not 0 < percent <= 20:
        raise ValueError("a dose needs a volume, a target and a strength of up to 20 per cent, all above zero")
    return litres * mg_per_litre / (percent * 10.0)


def concentration(millilitres: float, percent: float, litres: float) -> float:
    """Chlorine that so much bleach gives in so much water. [mg/L] Raises: ValueError if litres is not positive."""
    if litres <= 0:
        raise ValueError("a concentration needs a volume of water")
    return millilitres * percent * 10.0 / litres


def hose_litres(metres: float, bore_millimetres: float) -> float:
    """What a hose or pipe holds. [litres]"""
    return pi / 4.0 * (bore_millimetres / 10.0) ** 2 * metres * 100.0 / 1000.0


@dataclass(frozen=True)
class Measure:
    """A dose in kitchen measures: `cups`, `tablespoons`, `teaspoons` in quarters; `fluid_ounces` exact."""

    cups: float
    tablespoons: int
    teaspoons: float
    fluid_ounces: float

    @property
    def millilitres(self) -> float:
        return ((self.cups * 16 + self.tablespoons) * 3 + self.teaspoons) * ML_PER_TEASPOON


def measure(millilitres: float) -> Measure:
    """The nearest household measure: quarter cups, whole tablespoons, quarter teaspoons (those only below a quarter
    cup).

    The error is at most an eighth of a teaspoon below a quarter cup and half a tablespoon above one.
    """
    ounces = millilitres / ML_PER_FLUID_OUNCE
    spoons = millilitres / ML_PER_TEASPOON
    if spoons < 12:
        quarters = round(spoons * 4)
        tablespoons = quarters // 12
        return Measure(0.0, tablespoons, (quarters - 12 * tablespoons) / 4, ounces)
    whole = round(spoons / 3)
    cups = whole // 4
    return Measure(cups / 4, whole - 4 * cups, 0.0, ounces)


@dataclass(frozen=True)
class Sanitising:
    """`litres`: all the water that is treated (tank, and heater and hose if they are). `flush_below`: what a test
    strip should
    show before anyone drinks. [mg/L]"""

    litres: float
    millilitres: float
    mg_per_litre: float
    percent: float
    contact_hours: float
    flush_below: float = figures.DRINKING_LIMIT_MG_PER_LITRE.value


def sanitising(
    tank_litres: float,
    percent: float | None = None,
    mg_per_litre: float | None = None,
    heater_litres: float = 0.0,
    hose_litres: float = 0.0,
) -> Sanitising:
    """The dose for a full tank and what hangs on it. Defaults: 50 mg/L, 6 % bleach, six hours.

    Raises: ValueError as `bleach`, and for a target above 200 mg/L, which is for surfaces and not for a tank.
    """
    target = figures.SANITISE_MG_PER_LITRE.value if mg_per_litre is None else mg_per_litre
    strength = figures.BLEACH_PERCENT.value if percent is None else percent
    if target > figures.STRONGEST_MG_PER_LITRE.value:
        raise ValueError("more than 200 mg/L is for washing surfaces, not for a tank")
    litres = tank_litres + heater_litres + hose_litres
    return Sanitising(litres, bleach(litres, target, strength), target, strength, contact_hours(target))


def contact_hours(mg_per_litre: float) -> float:
    """How long it stands. Contact time times concentration is what works; less than six hours is never said, more where the water is
    weaker."""
    usual = figures.CONTACT_HOURS.value
    return min(24.0, max(usual, usual * figures.SANITISE_MG_PER_LITRE.value / mg_per_litre))


MAY_HOLD_BLEACH = timedelta(days=2)
"""So long after a sanitising it is asked whether the tank was flushed, which nobody logs."""


def sanitised_of_late(world: World, now: datetime) -> datetime | None:
    """When the tank was last sanitised, if bleach may still be in it."""
    done = [at for at, _ in world.services.get("sanitise", ()) if at <= now]
    return done[-1] if done and now - done[-1] < MAY_HOLD_BLEACH else None


@dataclass(frozen=True)
class Drinking:
    """The official emergency dose. `teaspoons` where the tables give spoons (from 4 gallons on), else None."""

    litres: float
    percent: float
    drops: int
    teaspoons: float | None
    millilitres: float
    minutes: float
    cloudy: bool


def drinking(litres: float, percent: float, cloudy: bool = False) -> Drinking | None:
    """The official dose for clear (or, doubled, cloudy, coloured or very cold) water. None where the tables have no
    row: strengths
    other than 5 to 6 % and 8.25 %, and more than 8 gallons at once.

    Source: EPA 816-F-15-003 and CDC, Make Water Safe (drops and millilitres each as the tables say, never one from
    the other).
    """
    gallons = litres / LITRES_PER_GALLON
    weak, strong = 5.0 <= percent <= 6.0, 8.0 <= percent <= 8.25
    if not (weak or strong) or litres <= 0 or gallons > figures.DRINKING_TABLE_GALLONS.value + 0.05:
        return None
    per_gallon = (figures.DROPS_PER_GALLON_6 if weak else figures.DROPS_PER_GALLON_8).value
    per_spoon = (figures.DRINKING_TSP_PER_GALLON_6 if weak else figures.DRINKING_TSP_PER_GALLON_8).value
    times = 2 if cloudy else 1
    return Drinking(
        litres,
        percent,
        floor(per_gallon * gallons + 0.5 + 1e-9) * times,
        per_spoon * gallons * times if gallons >= 3.95 else None,
        figures.DRINKING_ML_PER_GALLON.value * gallons * times,
        figures.DRINKING_STAND_MINUTES.value,
        cloudy,
    )
