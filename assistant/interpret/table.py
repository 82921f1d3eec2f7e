"""Which interpreter books which meaning. The one list to extend when a new kind of statement is added."""

from __future__ import annotations

from collections.abc import Callable

from assistant.interpret import corrections, meters, rig, tanks, trip, use
from assistant.interpret.context import Context, Draft
from grammar import intents
from lightclass import Any

BOOKERS: dict[type[intents.Intent], Callable[[Any, Context], list[Draft]]] = {
    intents.Use: use.use,
    intents.Again: lambda meaning, context: use.again(meaning, context, list(context.scene.entries)),
    intents.ReadMeter: meters.read_meter,
    intents.ResetMeter: meters.reset_meter,
    intents.ResetSomething: meters.reset_something,
    intents.Fill: tanks.fill,
    intents.Dump: tanks.dump,
    intents.Haul: tanks.haul,
    intents.Level: tanks.level,
    intents.Rinse: tanks.rinse,
    intents.Valve: tanks.valve,
    intents.Arrive: trip.arrive,
    intents.Stay: trip.stay,
    intents.Depart: trip.depart,
    intents.Supply: trip.supply,
    intents.Party: trip.party,
    intents.Away: trip.away,
    intents.Back: trip.back,
    intents.Stop: trip.stop,
    intents.Expect: trip.expect,
    intents.SetTank: rig.set_tank,
    intents.SetRig: rig.set_rig,
    intents.Pressure: rig.pressure,
    intents.Flow: rig.flow,
    intents.Service: rig.service,
    intents.Gear: rig.gear,
    intents.Frost: rig.frost,
    intents.Upkeep: rig.upkeep,
    intents.Step: rig.step,
    intents.Teach: rig.teach,
    intents.Note: rig.note,
    intents.Undo: corrections.undo,
    intents.Redo: corrections.redo,
    intents.Amend: corrections.amend,
}


def books(meaning: intents.Intent) -> bool:
    """Whether a meaning is one that may become events."""
    return type(meaning) in BOOKERS


def interpret(meaning: intents.Intent, context: Context) -> list[Draft]:
    """The events to be of one meaning. Raises AskBack (a question back), CannotBe (refused)."""
    return BOOKERS[type(meaning)](meaning, context)
