"""Words that nearly every row of the log holds, each written as a number of one byte.

A number once given is never given anew, so names are only ever added at the end (with a step in migrations.py that adds them to the
file's own table `codes`, which is there for other tools: the program reads this one). May import: nothing.
"""

from __future__ import annotations

NAMES: tuple[str, ...] = (
    # the two most frequent take no room at all
    "recorded", "use",
    # outcomes of a turn; imported: it came from another device
    "answered", "asked", "not_understood", "refused", "imported",
    # kinds of event
    "meter", "meter_reset", "fill", "dump", "haul", "level", "rinse", "arrive", "stay", "depart", "supply", "valve", "party", "away",
    "back", "pressure", "flow", "service", "gear", "rig", "stop", "expect", "frost", "upkeep", "step", "teach", "note", "undo", "redo",
    "amend",
    # tanks and meters
    "fresh", "grey", "black", "inlet",
    # activities
    "shower", "bath", "dishes", "handwash", "teeth", "shave", "face", "toilet", "laundry", "cooking", "drinking", "coffee", "cleaning",
    "pets", "outside", "other",
    # what is served
    "water_filter", "sanitise", "hose", "washers", "regulator", "anode", "heater_flush",
    # units
    "gallon", "quart", "pint", "cup", "fluid_ounce", "tablespoon", "teaspoon", "litre", "millilitre", "centilitre", "decilitre",
    "cubic_metre", "cubic_foot", "imperial_gallon", "imperial_quart", "imperial_pint", "minute", "second",
)  # fmt: skip
"""The name of each number, from 0."""

CODE = {name: number for number, name in enumerate(NAMES)}
