"""The practitioner's round: how the events of gear, upkeep, steps, pressure, flow, frost and notes change the world.

`fold.py` dispatches to `HANDLERS` by kind. Nothing here moves water; nothing raises on history. Names are kept
in lower case.
May import: entry, world.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

from state.entry import Entry
from state.lightclass import Any
from state.world import World

KEEP_PRESSURES = 500
KEEP_SERVICES = 50


def take_service(world: World, event: Entry) -> None:
    """Remember when an item was done and what had run through the inlet meter by then; a snooze is over with it."""
    item = event.item.casefold()
    done = world.services.setdefault(item, [])
    done.append((event.at, world.meters["inlet"].litres_through))
    del done[:-KEEP_SERVICES]
    if item in world.upkeep:
        world.upkeep[item].pop("snooze_until", None)


def take_gear(world: World, event: Entry) -> None:
    """An item hangs outside, or came back in. "Out" said twice keeps the first moment, unless that was at an earlier place: what is
    outside here has come along."""
    item = event.item.casefold()
    world.gear_known[item] = event.where
    if event.where == "out":
        since, here = world.gear_out.get(item), world.stay.since
        if since is None or (here is not None and since < here):
            world.gear_out[item] = event.at
    else:
        world.gear_out.pop(item, None)


def take_upkeep(world: World, event: Entry) -> None:
    """An interval of the owner's, a snooze, or a reminder dropped. A new interval takes a dropped item up again."""
    item = event.item.casefold()
    own: dict[str, Any] = world.upkeep.setdefault(item, {"since": event.at})
    if event.get("drop"):
        world.upkeep[item] = {"drop": True, "since": event.at}
        return
    if event.get("snooze_until") is not None:
        own["snooze_until"] = event.snooze_until
    if event.get("every_days") is None and event.get("every_litres") is None:
        return
    own.pop("drop", None)
    own["every_days"], own["every_litres"] = event.get("every_days"), event.get("every_litres")
    own["through"] = world.meters["inlet"].litres_through


def take_step(world: World, event: Entry) -> None:
    """An own step of a procedure (`drop` takes one out, ours too), or the mark of one while walking through."""
    steps = world.steps.setdefault(event.list.casefold(), [])
    key = event.step.casefold()
    mark = event.get("mark")
    role = "mark" if mark else "drop" if event.get("drop") else "own"
    for old in [one for one in steps if one["step"].casefold() == key and (one["role"] == "mark") == (role == "mark")]:
        steps.remove(old)
    row: dict[str, Any] = {"role": role, "step": event.step, "at": event.at}
    if mark:
        row["mark"] = mark
    if role == "own":
        row["before"], row["after"] = event.get("before"), event.get("after")
    steps.append(row)


def take_pressure(world: World, event: Entry) -> None:
    world.pressures.append((event.at, event.kpa, world.stay.site))
    del world.pressures[:-KEEP_PRESSURES]


def take_flow(world: World, event: Entry) -> None:
    world.flow_litres_per_minute, world.flow_at = event.litres_per_minute, event.at


def take_frost(world: World, event: Entry) -> None:
    world.frost = (event.at, event.low_celsius)


def take_note(world: World, event: Entry) -> None:
    world.notes.append((event.at, event.note, world.stay.site))


def take_rinse_run(world: World, event: Entry) -> None:
    """Beside the booking of a `rinse` (fold.py calls this too): the stretch during which it runs, if it was given
    minutes."""
    if event.get("minutes"):
        world.rinse_run = (event.tank.casefold(), event.at, event.at + timedelta(minutes=event.minutes))


HANDLERS: dict[str, Callable[[World, Entry], None]] = {
    "service": take_service,
    "gear": take_gear,
    "upkeep": take_upkeep,
    "step": take_step,
    "pressure": take_pressure,
    "flow": take_flow,
    "frost": take_frost,
    "note": take_note,
}
