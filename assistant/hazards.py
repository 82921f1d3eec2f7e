"""Which dangers a turn's events bring up: keys of the table in say/cautions.py, and the memory of what was lately said."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from assistant.say import room
from assistant.scene import Scene
from state.entry import Entry
from state.lightclass import Any
from state.log.store import Turn
from state.world import TankKind


def after_events(entries: Sequence[Entry], scene: Scene) -> list[str]:
    """Hazard keys of what was just booked. Loads only what an event of that kind calls for."""
    keys: list[str] = []
    world = scene.world
    for entry in entries:
        if entry.kind == "pressure":
            from state.care import pressure

            standing = pressure.standing(world, entry.kpa)
            if standing in ("high", "ceiling"):
                keys.append(f"pressure-high:{standing}")
            elif standing == "low":
                keys.append("pressure-low")
        elif entry.kind == "rinse" and entry.tank.casefold() not in world.open_valves:
            keys.append("rinse-closed")
        elif entry.kind == "level" and entry.basis == "seen" and _is_black(entry.tank, scene):
            keys += ["black-full"] if entry.fraction is not None and entry.fraction >= FULL else []
        elif entry.kind in ("dump", "haul"):
            keys.append("waste-hygiene")
            if entry.kind == "haul":
                from state.care import tote

                most = world.rig.tote_litres or entry.litres  # several runs are each no more than the tote
                load = tote.load(world.rig, min(entry.litres, most))
                keys += ["lift"] if load is not None and load.too_heavy else []
        elif entry.kind == "frost":
            from state.care import frost

            if frost.stage(entry.low_celsius) in ("frost", "hard"):
                keys.append(f"frost:{frost.stage(entry.low_celsius)}")
        elif entry.kind == "service" and entry.item.casefold() == "sanitise":
            from state.care import dose

            keys += ["sanitised"] if dose.sanitised_of_late(world, scene.now) == entry.at else []
        elif entry.kind == "note":
            from state.care import water_quality

            keys += [f"water-doubtful:{sign.name}" for sign in water_quality.signs(entry.note) if sign.ask_first]
        elif entry.kind == "arrive" and world.gear_out:
            from state.care import checklist

            if "regulator" in checklist.left_behind(world):
                keys.append("gear-left")
    if any(entry.kind in ("use", "meter", "amend") for entry in entries):
        waste: tuple[TankKind, ...] = ("grey", "black")
        keys += [
            f"over-full:{kind}"
            for kind in waste
            if any(room.over(tank.name, scene) == "surely" for tank in scene.world.rig.of_kind(kind))
        ]
    ids = {entry.id for entry in entries}
    if any(one.reference == "water-ran-while-away" and one.event in ids for one in world.findings):
        keys.append("leak")
    return keys


def of_the_site(entries: Sequence[Entry], scene: Scene) -> list[str]:
    """A waste valve that stands open where there is no sewer, once one of the two has just been told or corrected."""
    told = any(entry.kind == "amend" or (entry.kind == "valve" and entry.open) for entry in entries)
    return ["waste-place"] if told and scene.world.open_valves and scene.world.stay.sewer is False else []


FULL = 0.97


def _is_black(tank: str, scene: Scene) -> bool:
    found = scene.world.rig.find(tank)
    return found is not None and found.kind == "black"


def not_lately(keys: Sequence[str], turns: Sequence[Turn], now: datetime) -> tuple[tuple[str, ...], dict[str, str]]:
    """The cautions to print now, and the memory to keep: each key with when it was last printed."""
    memory: dict[str, Any] = next((turn.memo["cautions"] for turn in reversed(turns) if "cautions" in turn.memo), {})
    shown = {key: datetime.fromisoformat(at) for key, at in memory.items()}
    if not shown and not keys:
        return (), {}
    from assistant.say import cautions

    words, kept = cautions.speak(keys, shown, now)
    return words, {key: at.isoformat() for key, at in kept.items()}
