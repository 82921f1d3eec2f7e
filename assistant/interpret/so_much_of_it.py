"""What was told last, so many times over ("double that"), or without one of its tanks ("not black")."""

from __future__ import annotations

from assistant.interpret import changed as fields_of
from assistant.interpret.context import LATELY, Context, Draft, draft
from assistant.scene import AskBack
from grammar.intents import Amount
from grammar.rejoinders import Amend, Fragment
from state.entry import Entry

_AMOUNTS = ("use", "fill", "haul", "rinse")


def so_many_times(times: float, targets: list[Entry], context: Context) -> tuple[Entry, fields_of.Fields]:
    """The one entry with an amount, and its fields with so many times that; else a question."""
    _guard_late(targets, context)
    measured = [one for one in targets if one.kind in _AMOUNTS and one.get("litres") and one.get("from_litres") is None]
    if len(measured) != 1:
        raise AskBack("Of which entry? Say the amount, for example: make the shower 3.", "statement")
    one = measured[0]
    said = next((told for told in one.get("said") or () if told.get("value") and told.get("unit")), None)
    as_said = said is not None and said["unit"] not in ("fraction", "percent") and one.get("count", 1) == 1
    value, unit = (said["value"], said["unit"]) if said is not None and as_said else (one.litres, "litre")
    change = Fragment(amount=Amount(value * times, unit, text=f"{value * times:g} {unit}"))
    fields = fields_of.proposed(one, change, context)
    if one.get("estimated"):
        fields["estimated"] = True  # twice what is usual is no more exact than that
    return one, fields


def without_a_tank(meaning: Amend, targets: list[Entry], context: Context) -> list[Draft]:
    """What was told of the tank that is named is taken back, if it was told of others too."""
    _guard_late(targets, context)
    name = context.tank(meaning.change.tanks[0]).name
    told = [one for one in targets if one.kind in ("dump", "valve")]
    wrong = [one for one in told if one.tank == name]
    if not wrong or len(told) < 2:
        raise AskBack(f"What about {name}? Say it in full, or undo what was told last.", "statement")
    if not meaning.sure:
        context.guard("not-that-tank", f"Was {name} not {'dumped' if wrong[0].kind == 'dump' else 'meant'}?")
    return [draft("undo", context.now, of=wrong[0].id)]


def _guard_late(targets: list[Entry], context: Context) -> None:
    if context.now - max(one.heard_at for one in targets) > LATELY:
        raise AskBack("Of what? Say it in full.", "statement")
