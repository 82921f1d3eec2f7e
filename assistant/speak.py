"""An answer as a speech engine should get it: units and symbols written out, fractions as people say them, no lines, no tables.

Works on the finished text, so that it holds for every answer alike, notes and names included. Pure. May import: the standard library.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from state.lightclass import Any

# unit as written: (one, many). The longest is tried first; a unit counts only right after a number, so "L" in a name stays.
UNITS: dict[str, tuple[str, str]] = {
    "gal": ("gallon", "gallons"),
    "qt": ("quart", "quarts"),
    "pt": ("pint", "pints"),
    "fl oz": ("fluid ounce", "fluid ounces"),
    "oz": ("ounce", "ounces"),
    "tbsp": ("tablespoon", "tablespoons"),
    "tsp": ("teaspoon", "teaspoons"),
    "L": ("litre", "litres"),
    "l": ("litre", "litres"),
    "mL": ("millilitre", "millilitres"),
    "ml": ("millilitre", "millilitres"),
    "mg/L": ("milligram a litre", "milligrams a litre"),
    "mg/l": ("milligram a litre", "milligrams a litre"),
    "L/min": ("litre a minute", "litres a minute"),
    "gpm": ("gallon a minute", "gallons a minute"),
    "ppm": ("part per million", "parts per million"),
    "lb": ("pound", "pounds"),
    "kg": ("kilogram", "kilograms"),
    "psi": ("pound per square inch", "pounds per square inch"),
    "bar": ("bar", "bar"),
    "kPa": ("kilopascal", "kilopascals"),
    "°F": ("degree Fahrenheit", "degrees Fahrenheit"),
    "°C": ("degree Celsius", "degrees Celsius"),
    "%": ("percent", "percent"),
    "min": ("minute", "minutes"),
    "h": ("hour", "hours"),
    "s": ("second", "seconds"),
    **{
        word: (noun, f"{noun}s")
        for noun in ("gallon", "litre", "quart", "cup", "tablespoon", "teaspoon", "minute", "hour")
        for word in (noun, f"{noun}s")
    },
}
PARTS = {"25": "a quarter", "5": "a half", "50": "a half", "75": "three quarters"}
GLYPHS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "−": "-", "–": "-", "—": ", ", "×": " times ",
    "≈": "about ", "~": "about ", "&": " and ", "→": " to ", "…": "",
}  # fmt: skip
DECIMALS = {"1/2": ".5", "1/4": ".25", "3/4": ".75"}
THIRDS = {"1/3": "a third", "2/3": "two thirds"}

_NUMBER = r"\d+(?:\.\d+)?"
_UNIT = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
_RANGE = re.compile(rf"(?<![\d-])({_NUMBER}) ?- ?({_NUMBER})(?![\d-])")
_QUANTITY = re.compile(rf"(?<![\w.:/])(-?)({_NUMBER})(?: ?({_UNIT})(?![\w/]))?(?!\d|[:/.]\d)")
_DRAWN = re.compile(r"[█▒░·━▔▁┆│]{2,}|^[#+.]{8,}$")
Rule = tuple[re.Pattern[str], str | Callable[[re.Match[str]], str]]


def speakable(text: str, facts: dict[str, Any] | None = None) -> str:
    """The text on one line, to be read aloud. A drawing is left out: what it shows in words (`facts.spoken`) is said instead."""
    if facts and "spoken" in facts:
        text = str(facts["spoken"])
    text = _sentences(text)
    for glyph, words in GLYPHS.items():
        text = text.replace(glyph, words)
    for pattern, change in RULES:
        text = pattern.sub(change, text)
    return re.sub(r"\s+", " ", text).replace(" ,", ",").replace(" .", ".").strip()


def _sentences(text: str) -> str:
    """Lines joined: each ends with a stop, or with a comma where the next belongs to it; bullets and drawn lines fall away."""
    lines = [re.sub(r"^[\s*•-]+(?=\D)", "", line.rstrip()) for line in text.splitlines()]
    lines = [re.sub(r"\s{2,}", ", ", line) for line in lines if line and not _DRAWN.search(line)]
    return " ".join(f"{line}{_stop(line, after)}" for line, after in zip(lines, [*lines[1:], ""], strict=False))


def _stop(line: str, after: str) -> str:
    """What a line ends with: nothing more if it has a stop, a comma where the next one goes on in the same sentence."""
    if line[-1] in ".!?,:":
        return ""
    return "," if after[:1].islower() else "."


def _quantity(found: re.Match[str]) -> str:
    sign, number, unit = found.groups()
    minus = "minus " if sign else ""
    whole, _, part = number.removesuffix(".0").partition(".")
    one = whole == "1" and not part
    if part in PARTS and not (unit and unit.startswith(("°", "%"))):
        said = PARTS[part] if whole == "0" else f"{whole} and {PARTS[part]}"
        one = whole == "0"
        if one and unit:
            return f"{minus}{_fraction_of(PARTS[part], UNITS[unit][0])}"
    else:
        said = f"{whole} point {' '.join(part)}" if part else whole
    return f"{minus}{said} {UNITS[unit][0 if one else 1]}" if unit else f"{minus}{said}"


def _fraction_of(part: str, noun: str) -> str:
    """ "half a gallon", "three quarters of a gallon"."""
    article = "an" if noun[0] in "aeiou" or noun.startswith("hour") else "a"
    return f"half {article} {noun}" if part == "a half" else f"{part} of {article} {noun}"


def _clock(found: re.Match[str]) -> str:
    """ "7:40" becomes "7 40 in the morning", "19:05" "7 oh 5 in the evening", "10:00" "10 in the morning"."""
    hour, minute = int(found[1]), found[2]
    if hour > 23:
        return found[0]
    part = next(
        name
        for until, name in (
            (5, "at night"),
            (12, "in the morning"),
            (18, "in the afternoon"),
            (22, "in the evening"),
            (24, "at night"),
        )
        if hour < until
    )
    said = "" if minute == "00" else f" oh {minute[1]}" if minute[0] == "0" else f" {minute}"
    return f"{(hour - 1) % 12 + 1}{said} {part}"


RULES: tuple[Rule, ...] = (
    (re.compile(r"\be\.g\.,?"), "for example"),
    (re.compile(r"\bi\.e\.,?"), "that is"),
    (re.compile(r"(\d)\s*(1/2|1/4|3/4)(?![\d/])"), lambda m: f"{m[1]}{DECIMALS[m[2]]}"),
    (re.compile(r"(?<![\d/])(1/2|1/4|3/4)(?![\d/])"), lambda m: f"0{DECIMALS[m[1]]}"),
    (re.compile(r"(\d)\s*(1/3|2/3)(?![\d/])"), lambda m: f"{m[1]} and {THIRDS[m[2]]}"),
    (re.compile(r"(?<![\d/])(1/3|2/3)(?![\d/])"), lambda m: THIRDS[m[1]]),
    (re.compile(r"(?<![\d:])(\d{1,2}):([0-5]\d)(?!\d|:\d)"), _clock),
    (_RANGE, r"\1 to \2"),
    (re.compile(r"(\d),(\d{3})(?!\d)"), r"\1\2"),
    (_QUANTITY, _quantity),
    (re.compile(r"\s*[(\[]([^()\[\]]*)[)\]]"), r", \1,"),
    (re.compile(r"[;]"), ","),
    (re.compile(r"[\"“”*_`|<>=^{}\\#]"), " "),
    (re.compile(r"\s/\s"), " or "),
    (re.compile(r"(?<=[a-z])/(?=[a-z])"), " or "),
    (re.compile(r",\s*([.,!?:])"), r"\1"),
)
