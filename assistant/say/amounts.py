"""Volumes, weights, pressures as a person says them, in the units that the person uses."""

from __future__ import annotations

from state.units import from_litres

UNIT_OF = {"us": ("gallon", "gal"), "imperial": ("imperial_gallon", "gal"), "metric": ("litre", "L")}

KILOGRAMS_PER_POUND = 0.45359237
KPA_PER_PSI = 6.894757293168361


def plain(value: float, places: int = 2) -> str:
    """A number without needless zeros: 2, 2.5, 0.25."""
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("", "-0") else text


def exact(litres: float, units: str = "us") -> str:
    """A volume as said, to two decimals at most: "2 gal", "7.5 L"."""
    unit, short = UNIT_OF[units]
    value = from_litres(litres, unit)
    places = 2 if abs(value) < 100 else 1
    if value and abs(value) < 0.1:
        places = 3
    return f"{plain(value, places)} {short}"


def rounded(litres: float, units: str = "us") -> str:
    """A believed volume as a person would round it: whole from ten on, halves below, quarters below one (litres: fives above 20)."""
    unit, short = UNIT_OF[units]
    value = from_litres(litres, unit)
    if units == "metric":
        step = 5.0 if abs(value) >= 50 else 1.0 if abs(value) >= 5 else 0.5
    else:
        step = 1.0 if abs(value) >= 10 else 0.5 if abs(value) >= 1 else 0.25
    nearest = round(value / step) * step
    return f"{plain(nearest)} {short}"


def about(litres: float, units: str = "us") -> str:
    """ "about 21 gal"; "nothing" for less than the smallest step."""
    text = rounded(litres, units)
    return "nothing" if text.startswith("0 ") else f"about {text}"


def quarter(litres: float, units: str = "us") -> str:
    """What one use takes, to the quarter gallon or half litre: "2.25 gal", "7.5 L"."""
    unit, short = UNIT_OF[units]
    step = 0.5 if units == "metric" else 0.25
    return f"{plain(max(step, round(from_litres(litres, unit) / step) * step))} {short}"


def part(litres: float, units: str = "us") -> str:
    """ "4 gal"; what is less than the smallest step to the hundredth, never "0 gal": "0.05 gal"."""
    text = rounded(litres, units)
    return exact(litres, units) if text.startswith("0 ") and litres > 0 else text


def some(litres: float, units: str = "us") -> str:
    """ "about 21 gal", "about 0.05 gal"; "nothing" for none."""
    text = part(litres, units)
    return "nothing" if text.startswith("0 ") else f"about {text}"


def percent(p: float) -> str:
    """A chance as people say it: never 0 or 100."""
    if p >= 0.985:
        return "over 98 %"
    if p <= 0.015:
        return "under 2 %"
    return f"{round(100 * p)} %"


def weight(kilograms: float, units: str = "us") -> str:
    """ "334 lb", "4.5 kg": whole numbers from ten on; tens from 200 on are for the caller to choose."""
    value, short = (kilograms / KILOGRAMS_PER_POUND, "lb") if units == "us" else (kilograms, "kg")
    return f"{plain(value, 0 if abs(value) >= 9.95 else 1)} {short}"


def pressure(kpa: float, units: str = "us") -> str:
    """ "48 psi"; "3.3 bar" for those who use litres."""
    if units == "metric":
        return f"{plain(kpa / 100, 1)} bar"
    return f"{round(kpa / KPA_PER_PSI)} psi"


def flow(litres_per_minute: float, units: str = "us") -> str:
    """ "2 gallons a minute"."""
    unit, _ = UNIT_OF[units]
    noun = "litres" if units == "metric" else "gallons"
    return f"{plain(from_litres(litres_per_minute, unit), 1)} {noun} a minute"


def temperature(celsius: float, units: str = "us") -> str:
    """ "25 °F" for those who use US gallons, else "-4 °C"."""
    return f"{round(celsius * 9 / 5 + 32)} °F" if units == "us" else f"{round(celsius)} °C"


WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def number(n: int) -> str:
    """ "three", "15"."""
    return WORDS[n] if 0 <= n < len(WORDS) else str(n)


def counted(n: int, noun: str) -> str:
    """ "one day", "three days", "15 days"."""
    return f"{number(n)} {noun}" if n == 1 else f"{number(n)} {noun}s"


def people(n: int) -> str:
    """ "one person", "four people"."""
    return "one person" if n == 1 else f"{number(n)} people"


def times(n: int) -> str:
    """ "once", "twice", "three times"."""
    return {1: "once", 2: "twice"}.get(n, f"{number(n)} times")
