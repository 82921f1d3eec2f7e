"""The valves of the waste tanks: which are meant, and whether there is a sewer to open one to."""

from __future__ import annotations

from assistant.interpret.context import Context, Draft, draft
from assistant.say import times
from assistant.scene import AskBack
from grammar.intents import Valve
from state.world import Tank


def valve(meaning: Valve, context: Context) -> list[Draft]:
    at = context.happened(meaning.when)
    tanks = _with_valves(meaning, context)
    stay = context.so_far().stay
    if meaning.open and stay.sewer is False and at >= (stay.since or at):
        where = f"{stay.site} has" if stay.site else "this site has"
        which = f"Is the {tanks[0].name} valve" if len(tanks) == 1 else "Are the valves"
        context.guard("valve-without-sewer", f"As far as I know {where} no sewer. {which} really open?", "tank")
    return [draft("valve", at, tank=tank.name, open=meaning.open) for tank in tanks]


def _with_valves(meaning: Valve, context: Context) -> list[Tank]:
    """The waste tanks whose valves are meant: of several that are shut, those that are open, as far as that is known."""
    waste = context.world.rig.waste() or [context.tank("grey"), context.tank("black")]
    opened = [tank for tank in waste if tank.name.casefold() in context.world.open_valves]
    if meaning.tank == "*":
        return waste if meaning.open or not opened else opened
    if meaning.tank == "both":
        meant = opened if not meaning.open and len(opened) == 2 else waste
        if len(meant) != 2:
            raise AskBack(f"Which two valves, of {times.listed([tank.name for tank in waste])}?", "statement")
        return meant
    if meaning.tank is None and not meaning.open and len(opened) == 1:
        return opened
    return [context.tank(meaning.tank, ("grey", "black"), "Which valve")]
