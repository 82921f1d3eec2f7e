"""Lists as they stood when a step of migrations.py was released, so that what is added to today's never changes an old step.

Never edited: another step brings its own. Loaded only while a file is made or migrated. May import: nothing.
"""

from __future__ import annotations

NAMES_3: tuple[str, ...] = (
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
"""The words that step 3 gave a number, from 0 (codes.py)."""

CODE_3 = {name: number for number, name in enumerate(NAMES_3)}

KINDS_1 = (
    NAMES_3[NAMES_3.index("use") : NAMES_3.index("use") + 1]
    + NAMES_3[NAMES_3.index("meter") : NAMES_3.index("amend") + 1]
)
"""The kinds of event that step 1 knew; no step up to 3 added one."""

WHAT_3 = {
    "use": "activity", "meter": "meter", "meter_reset": "meter", "fill": "tank", "dump": "tank", "haul": "tank", "level": "tank",
    "rinse": "tank", "valve": "tank", "arrive": "site", "stop": "site", "service": "item", "gear": "item", "upkeep": "item",
}  # fmt: skip
"""The field of each kind that step 3 put into the column `what` (rows.py)."""
