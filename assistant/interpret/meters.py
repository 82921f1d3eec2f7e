"""Meter readings and resets, with the questions that a doubtful reading brings."""

from __future__ import annotations

from assistant.interpret import use
from assistant.interpret.booked_here import own_entries
from assistant.interpret.context import LATELY, Context, Draft, draft
from assistant.interpret.readings import guard_reading
from assistant.scene import AskBack
from grammar.intents import ReadMeter, ResetMeter, ResetSomething


def read_meter(meaning: ReadMeter, context: Context) -> list[Draft]:
    if meaning.reading is None or meaning.reading.value is None:
        raise AskBack("What does the meter say?", "amount")
    if meaning.moment is not None and meaning.meter == "inlet":
        return use.moment_reading(meaning, context)
    at = context.happened(meaning.when)
    reading = context.volume(meaning.reading, "What does the meter say")
    flags = guard_reading(context, meaning.meter, reading.litres, at, meaning.rolled)
    return [draft("meter", at, [reading.said], meter=meaning.meter, litres=reading.litres) | flags]


def reset_meter(meaning: ResetMeter, context: Context) -> list[Draft]:
    return [draft("meter_reset", context.happened(meaning.when), meter=meaning.meter)]


def reset_something(meaning: ResetSomething, context: Context) -> list[Draft]:
    """ "reset it" right after a reading resets that meter; else which is asked."""
    live = own_entries(context)[-1:] if meaning.it and not context.drafts else []
    if live and live[0].kind == "meter" and context.now - live[0].heard_at <= LATELY:
        return [draft("meter_reset", context.happened(meaning.when), meter=live[0].meter)]
    tanks = [tank.name for tank in context.world.rig.waste()]
    raise AskBack("Reset the meter, or was a tank dumped?", "reset_what", ["meter", *tanks])
