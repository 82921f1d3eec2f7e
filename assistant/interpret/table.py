"""Which interpreter books which meaning. The one list to extend when a new kind of statement is added.

Named, not imported: a one-shot loads only the module that its phrase needs.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from importlib import import_module

from assistant.interpret.context import Context, Draft
from assistant.scene import CannotBe
from grammar.intents import Intent

FAR = timedelta(days=25 * 366)
"""What lies further off than that was not meant."""

BOOKERS: dict[str, str] = {
    "Use": "use.use",
    "Again": "again.again",
    "ReadMeter": "meters.read_meter",
    "ResetMeter": "meters.reset_meter",
    "ResetSomething": "meters.reset_something",
    "Fill": "tanks.fill",
    "Dump": "tanks.dump",
    "Haul": "tanks.haul",
    "Level": "tanks.level",
    "Rinse": "tanks.rinse",
    "Valve": "valves.valve",
    "Arrive": "trip.arrive",
    "Stay": "trip.stay",
    "Depart": "trip.depart",
    "Supply": "trip.supply",
    "Party": "trip.party",
    "Away": "trip.away",
    "Back": "trip.back",
    "Stop": "stops.stop",
    "Expect": "trip.expect",
    "Guests": "guests.guests",
    "SetTank": "rig.set_tank",
    "SetRig": "rig.set_rig",
    "Pressure": "rig.pressure",
    "Flow": "rig.flow",
    "Service": "rig.service",
    "Gear": "rig.gear",
    "Frost": "rig.frost",
    "Upkeep": "rig.upkeep",
    "Step": "rig.step",
    "Teach": "rig.teach",
    "Note": "rig.note",
    "Undo": "taking_back.undo",
    "Redo": "taking_back.redo",
    "Amend": "corrections.amend",
}
"""Class of grammar.intents or grammar.rejoinders: module and function here."""


def books(meaning: Intent) -> bool:
    """Whether a meaning is one that may become events."""
    return type(meaning).__name__ in BOOKERS


def interpret(meaning: Intent, context: Context) -> list[Draft]:
    """The events to be of one meaning. Raises AskBack (a question back), CannotBe (refused), OverflowError (beyond any calendar)."""
    module, _, name = BOOKERS[type(meaning).__name__].partition(".")
    made: list[Draft] = getattr(import_module(f"assistant.interpret.{module}"), name)(meaning, context)
    for one in made:
        for value in one.values():
            if isinstance(value, datetime) and abs(value - context.now) > FAR:
                raise CannotBe(f"{value:%Y-%m-%d} is too far off to be meant, so nothing was recorded.")
    return made
