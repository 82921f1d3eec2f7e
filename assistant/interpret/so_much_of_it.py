"""What was told last, so many times over ("double that"), without one of its tanks ("not black"), or not to the end ("not quite")."""

from __future__ import annotations

from assistant.interpret import changed as fields_of
from assistant.interpret.context import LATELY, Context, Draft, draft
from assistant.interpret.tanks import level
from assistant.scene import AskBack
from grammar.intents import Amount, Level
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


def not_to_the_end(meaning: Amend, targets: list[Entry], context: Context) -> list[Draft]:
    """ "not quite", "no, only half" after a dump or a filling: the tank was not emptied or filled, and is as full as is told now, or asked.
    Of what was dumped by half, what is left in it is another matter than half of what it holds, so that is asked too."""
    amount = meaning.change.amount
    if amount is None or not (meaning.partly or amount.unit in ("fraction", "percent")):
        return []
    done = [one for one in targets if one.kind == "dump" or (one.kind == "fill" and one.get("to_full"))]
    if not done and not meaning.partly:
        return []
    if not done:
        raise AskBack("What was it, then? Say it in full.", "statement")
    if len(done) > 1:
        raise AskBack(
            "Which one was not done to the end? Say how full it is, for example: grey is a quarter.", "statement"
        )
    _guard_late(targets, context)
    tank = done[0].tank
    if amount.value is None:
        raise AskBack(f"How full is {tank} now?", "amount")
    if done[0].kind == "dump" and not meaning.partly:
        context.guard("so-full-now", f"Is {tank} {amount.text or 'so'} full now?", "amount")
    seen = level(Level(tank=tank, amount=amount), fields_of.untold(done[0], context))
    return [draft("undo", context.now, of=done[0].id), *seen]


def _guard_late(targets: list[Entry], context: Context) -> None:
    if context.now - max(one.heard_at for one in targets) > LATELY:
        raise AskBack("Of what? Say it in full.", "statement")
