"""Quantities from unit to unit, against the published definitions and against pint's own registry."""

from __future__ import annotations

import subprocess
import sys
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from state import unit_table, units
from tests.logbook import ROOT

INCH = Fraction("25.4") / 100  # decimetres: 1 in = 25.4 mm exactly (SP 811)
US_GALLON = 231 * INCH**3  # litres: NIST Handbook 44, Appendix C
UK_GALLON = Fraction("4.54609")  # litres: UK Weights and Measures Act 1985, Schedule 1
POUND = Fraction("0.45359237")  # kilograms: SP 811
PSI = POUND * Fraction("9.80665") / (Fraction("0.0254") ** 2) / 1000  # kilopascals: SP 811, from exact parts

# unit, the same in another, source
EXACT = [
    ("gallon", US_GALLON, "litre", "Handbook 44 App. C: 231 cubic inches"),
    ("quart", US_GALLON / 4, "litre", "Handbook 44 App. C"),
    ("pint", US_GALLON / 8, "litre", "Handbook 44 App. C"),
    ("cup", US_GALLON / 16, "litre", "Handbook 44 App. C: measuring cup of 8 fluid ounces"),
    ("fluid_ounce", US_GALLON / 128, "litre", "Handbook 44 App. C"),
    ("tablespoon", US_GALLON / 256, "litre", "Handbook 44 App. C"),
    ("teaspoon", US_GALLON / 768, "litre", "Handbook 44 App. C"),
    ("imperial_gallon", UK_GALLON, "litre", "Weights and Measures Act 1985"),
    ("imperial_quart", UK_GALLON / 4, "litre", "as the imperial gallon"),
    ("imperial_pint", UK_GALLON / 8, "litre", "as the imperial gallon"),
    ("imperial_fluid_ounce", UK_GALLON / 160, "litre", "as the imperial gallon"),
    ("cubic_foot", (12 * INCH) ** 3, "litre", "SP 811, from 25.4 mm"),
    ("cubic_metre", Fraction(1000), "litre", "SP 811"),
    ("millilitre", Fraction(1, 1000), "litre", "SP 811"),
    ("pound", POUND, "kilogram", "SP 811"),
    ("ounce", POUND / 16, "kilogram", "SP 811"),
    ("psi", PSI, "kilopascal", "SP 811, from the exact pound and standard gravity"),
    ("bar", Fraction(100), "kilopascal", "SP 811"),
]


@pytest.mark.parametrize(("unit", "factor", "base", "source"), EXACT, ids=[row[0] for row in EXACT])
def test_a_unit_is_as_its_standard_defines_it(unit: str, factor: Fraction, base: str, source: str) -> None:
    """The prepared number is the exact definition, rounded once."""
    assert units.convert(1.0, unit, base) == float(factor), source


def test_published_decimals() -> None:
    """US gallon 3.785 411 784 L, psi 6.894 757 293 kPa, bar 14.503 773 773 psi, 7.481 gal a cubic foot (Handbook 44, SP 811)."""
    assert Decimal(repr(units.to_litres(1, "gallon"))) == Decimal("3.785411784")
    assert units.convert(1, "psi", "kilopascal") == pytest.approx(6.894757293, rel=1e-9)
    assert units.convert(1, "bar", "psi") == pytest.approx(14.503773773, rel=1e-9)
    assert units.convert(1, "cubic_foot", "gallon") == pytest.approx(7.481, abs=5e-4)
    assert units.convert(1, "imperial_gallon", "gallon") == pytest.approx(1.2009499255, rel=1e-9)
    assert units.convert(1, "foot_of_water", "psi") == pytest.approx(0.433528, abs=5e-7)


@pytest.mark.parametrize(
    ("psi", "kilopascal"), [(40, 275.79), (45, 310.26), (50, 344.74), (60, 413.69), (80, 551.58), (100, 689.48)]
)
def test_common_pressures(psi: float, kilopascal: float) -> None:
    """Computed from the exact parts of SP 811, to a hundredth."""
    assert units.convert(psi, "psi", "kilopascal") == pytest.approx(kilopascal, abs=0.01)


REGISTRY = pint.UnitRegistry()
PINT_NAMES = {
    "cubic_centimetre": "centimeter**3",
    "foot_of_water": "foot_H2O",
    "inch_of_water": "inch_H2O",
    "cubic_metre": "meter**3",
    "ounce": "avoirdupois_ounce",
}
ABOUT = {
    "foot_of_water",
    "inch_of_water",
    "metre_of_water",
}  # pint takes the density at 39.2 degrees Fahrenheit for these
NOT_THERE = {"imperial_gill", "metre_of_water"}


@pytest.mark.parametrize("unit", sorted(set(unit_table.FACTORS) - NOT_THERE))
def test_the_table_agrees_with_pints_own_registry(unit: str) -> None:
    """pint's default definitions are an independent list of the same units."""
    dimension, factor = unit_table.FACTORS[unit]
    found = REGISTRY.Quantity(1.0, PINT_NAMES.get(unit, unit)).to(unit_table.BASES[dimension]).magnitude
    assert factor == pytest.approx(found, rel=1e-4 if unit in ABOUT else 1e-12)


def test_the_table_is_prepared_from_the_definitions() -> None:
    """unit_table.py is what `python -m state.units` would write."""
    written = Path(units.DEFINITIONS).with_name("unit_table.py").read_text(encoding="utf-8")
    assert written == units.prepare()


def test_temperatures_by_their_scales() -> None:
    """SP 811: t/°F = 1.8 t/°C + 32; 0 °C = 273.15 K."""
    assert units.convert(32, "fahrenheit", "celsius") == pytest.approx(0, abs=1e-12)
    assert units.convert(212, "fahrenheit", "celsius") == pytest.approx(100, abs=1e-12)
    assert units.convert(-40, "celsius", "fahrenheit") == pytest.approx(-40, abs=1e-12)
    assert units.convert(25, "fahrenheit", "celsius") == pytest.approx(-3.889, abs=5e-4)
    assert units.convert(0, "celsius", "kelvin") == 273.15


def test_rates_and_units_that_are_not_prepared() -> None:
    """1 gpm = 3.785 411 784 L/min; 1 m³/h = 4.402 868 gpm (computed from SP 811); the rest is left to pint."""
    assert units.convert(1, "gallon/minute", "litre/minute") == pytest.approx(3.785411784, rel=1e-12)
    assert units.convert(1, "cubic_metre/hour", "gallon/minute") == pytest.approx(4.402868, rel=1e-6)
    assert units.convert(1, "hectopascal", "kilopascal") == pytest.approx(0.1, rel=1e-12)
    assert units.convert(2, "decimetre**3", "litre") == pytest.approx(2, rel=1e-12)


STRANGE = [
    ("furlong", "litre"),
    ("gallon", "psi"),
    ("gallon/minute", "litre"),
    ("", "litre"),
    ("__import__('os')", "litre"),
    ("celsius", "litre"),
    ("metre", "litre"),
]


@pytest.mark.parametrize(("unit", "to"), STRANGE)
def test_what_is_no_such_unit_is_a_value_error(unit: str, to: str) -> None:
    """Unknown units and mixed-up dimensions never pass."""
    with pytest.raises(ValueError):
        units.convert(1.0, unit, to)


@given(value=st.floats(1e-6, 1e6), unit=st.sampled_from(sorted(unit_table.FACTORS)))
def test_there_and_back_again(value: float, unit: str) -> None:
    """A round trip through the base unit keeps the value to 1e-12."""
    base = unit_table.BASES[unit_table.FACTORS[unit][0]]
    assert units.convert(units.convert(value, unit, base), base, unit) == pytest.approx(value, rel=1e-12)


def test_common_units_do_not_load_pint() -> None:
    """pint takes longer to load than a one-shot may."""
    code = "import sys\nfrom state import units\nunits.convert(2, 'gallon/minute', 'litre/minute')\nassert 'pint' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)
