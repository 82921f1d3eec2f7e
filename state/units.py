"""Quantities from one unit to another: the only door to pint, and rarely opened.

The common units are plain numbers in unit_table.py, prepared from units.txt; only a unit that is not there loads pint. Unit names
are canonical (`gallon` is the US liquid gallon, `imperial_gallon`, `litre`, `psi`, …); how people spell them is the grammar's matter.
A rate is a pair: `gallon/minute`. May import: `unit_table`, pint (only for a unit that is not prepared).
"""

from __future__ import annotations

import os
from functools import cache

from state.lightclass import Any
from state.unit_table import BASES, FACTORS

DEFINITIONS = os.path.join(os.path.dirname(__file__), "units.txt")


def to_litres(value: float, unit: str) -> float:
    """A volume in litres. Raises: ValueError if `unit` is no volume."""
    return convert(value, unit, "litre")


def from_litres(litres: float, unit: str) -> float:
    """Litres in a unit of volume. Raises: ValueError if `unit` is no volume."""
    return convert(litres, "litre", unit)


def convert(value: float, unit: str, to: str) -> float:
    """A quantity of one unit in another of the same dimension; temperatures by their scales.

    Raises: ValueError if either is unknown or they measure different things.
    """
    if unit == to and unit in FACTORS:
        return value
    if unit in SCALES and to in SCALES:
        times, plus = SCALES[unit]
        times_to, plus_to = SCALES[to]
        return (value * times + plus - plus_to) / times_to
    dimension, factor = _factor(unit)
    dimension_to, factor_to = _factor(to)
    if dimension != dimension_to:
        raise ValueError(f"{unit} does not measure what {to} measures")
    return value * factor / factor_to


# Degrees to degrees Celsius as (times, plus): exact by definition of the scales (SP 811).
SCALES = {"celsius": (1.0, 0.0), "kelvin": (1.0, -273.15), "fahrenheit": (5 / 9, -160 / 9)}


def _factor(unit: str) -> tuple[str, float]:
    """What a unit measures, by name, and its size in the base unit of that."""
    if unit in FACTORS:
        return FACTORS[unit]
    above, slash, below = unit.partition("/")
    if slash and above in FACTORS and below in FACTORS:
        (dimension, factor), (per, divisor) = FACTORS[above], FACTORS[below]
        return f"{dimension}/{per}", factor / divisor
    return _by_pint(unit)


def _by_pint(unit: str) -> tuple[str, float]:
    registry = _registry()
    try:
        quantity = registry.Quantity(1.0, registry.parse_units(unit))
        for dimension, base in BASES.items():
            if quantity.check(registry.parse_units(base).dimensionality):
                return dimension, float(quantity.to(base).magnitude)
        for dimension, base in BASES.items():
            for per, divisor in BASES.items():
                if quantity.check(registry.parse_units(f"{base}/{divisor}").dimensionality):
                    return f"{dimension}/{per}", float(quantity.to(f"{base}/{divisor}").magnitude)
    except Exception as error:  # pint has many ways to say that it does not know a word
        raise ValueError(f"{unit!r} is no unit that is known here") from error
    raise ValueError(f"{unit!r} measures nothing that is asked for here")


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry(DEFINITIONS, autoconvert_offset_to_baseunit=True)


def prepare() -> str:
    """The text of unit_table.py: every unit of units.txt that has a plain factor, rounded once from exact fractions."""
    from fractions import Fraction
    from pathlib import Path

    import pint

    exact: Any = pint.UnitRegistry(DEFINITIONS, non_int_type=Fraction)
    lines = []
    for line in Path(DEFINITIONS).read_text(encoding="utf-8").splitlines():
        name = line.partition(" = ")[0].strip()
        if line[:1].isalpha() and not name.endswith("-") and name not in (*SCALES, "standard_gravity"):
            lines += [name]
    rows = []
    for name in [*lines, "kilopascal", "kilogram", "millilitre", "centilitre", "decilitre", "hectolitre", "centimetre"]:
        unit = exact.parse_units(name)
        for dimension, base in BASES.items():
            if unit.dimensionality == exact.parse_units(base).dimensionality:
                factor = float(Fraction(exact.Quantity(Fraction(1), unit).to(base).magnitude))
                rows.append(f'    "{name}": ("{dimension}", {factor!r}),')
    bases = "\n".join(f'    "{dimension}": "{base}",' for dimension, base in BASES.items())
    return (
        '"""Prepared by `python -m state.units` from units.txt: what each unit measures, and its size in the base unit of that.\n\n'
        'Not to be edited by hand. May import: nothing."""\n\n'
        f"BASES: dict[str, str] = {{\n{bases}\n}}\n\n"
        "FACTORS: dict[str, tuple[str, float]] = {\n" + "\n".join(rows) + "\n}\n"
    )


if __name__ == "__main__":
    from pathlib import Path

    Path(__file__).with_name("unit_table.py").write_text(prepare(), encoding="utf-8")
