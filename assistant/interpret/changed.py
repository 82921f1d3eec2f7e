"""The fields of a booked event as a correction would have them. A number goes through the booker of its kind once more, over the
world as it was without that event: what is asked or refused when something is told is asked or refused when it is corrected.

Is not: which event is meant (corrections.py). May import: `context`, the bookers, grammar's intents, state.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import timedelta

from assistant.interpret import rig, tanks, trip
from assistant.interpret.changed_times import OF_A_STAY, moments
from assistant.interpret.context import VOLUMES, Context, Draft
from assistant.interpret.plausible import guard_count
from assistant.interpret.readings import guard_amended
from assistant.scene import AskBack, Scene
from grammar.intents import (
    Amount,
    Expect,
    Fill,
    Flow,
    Frost,
    Haul,
    Level,
    Party,
    Pressure,
    Rinse,
    SetRig,
    SetTank,
    Upkeep,
)
from grammar.rejoinders import Fragment
from state import units
from state.entry import Entry
from state.habits import typical
from state.lightclass import Any, replace

WITH_TANK = ("dump", "haul", "level", "fill", "rinse", "valve")
NUMBERS = (
    "litres", "fraction", "estimated", "roughly", "said", "minutes", "kpa", "litres_per_minute", "low_celsius", "value", "kilograms",
    "people", "every_days", "every_litres", "snooze_until",
)  # fmt: skip
"""What a corrected number may change of an event; what else its booker makes is as it was."""

PLAINLY = (
    ("site", "site", ("arrive", "stop")), ("water", "water", ("arrive", "stop")), ("sewer", "sewer", ("arrive", "stop")),
    ("where", "where", ("gear",)), ("open", "open", ("valve",)), ("source", "from", ("supply",)),
    ("item", "item", ("gear", "service", "upkeep")), ("basis", "basis", ("level",)),
)  # fmt: skip
"""Parts of a correction that stand in an event as they were said: which, under which name, of what kinds."""

Fields = dict[str, Any]


def proposed(target: Entry, change: Fragment, context: Context) -> Fields:
    """The fields of `target` that the correction speaks of, as it would have them; empty if it has no such fields."""
    kind, change = target.kind, hour_or_number(target.kind, change)
    fields = moments(target, change, context)
    if change.activity is not None:
        if kind != "use" and (kind != "expect" or target.what != "use"):
            return {}
        fields["activity"] = change.activity
        if target.estimated and change.amount is None:
            litres = typical.typical(context.world, change.activity, target.get("person")).mean * (target.count or 1)
            fields |= {"litres": litres, "estimated": True}
    if change.people:
        if kind != "use":
            return {}
        fields["person"] = change.people[0] or None  # "": the speaker
    if change.tanks:
        if kind not in WITH_TANK and target.get("what") not in ("haul", "dump"):
            return {}
        tank = context.tank(change.tanks[0])
        if (kind == "fill" and tank.kind != "fresh") or (kind in ("dump", "haul", "expect") and tank.kind == "fresh"):
            return {}
        fields["tank"] = tank.name
    if change.meter is not None and kind not in ("meter", "meter_reset"):
        return {}
    if change.meter is not None and kind in ("meter", "meter_reset"):
        fields["meter"] = change.meter
    for name, field, kinds in PLAINLY:
        if getattr(change, name) is not None and kind in kinds:
            fields[field] = getattr(change, name)
    if change.count is not None and kind == "use":
        litres = target.litres / max(1, target.count) * change.count
        fields |= {"count": change.count, "litres": litres, "estimated": target.estimated}
    if change.minutes is not None:
        fields |= _lasting(target, change.minutes, context, fields)
    if change.unit is not None:
        return fields | _in_unit(target, change.unit, context)
    if change.only and change.amount is not None and _counts(target, change.amount, context):
        return fields | _so_few(target, change.amount, context)
    if change.amount is not None:
        if not (number := _amount(target, change.amount, context, fields)):
            return {}
        fields |= number
    return fields


READ_OFF = ("level", "meter", "pressure", "frost")


def hour_or_number(kind: str, change: Fragment) -> Fragment:
    """ "no, at 7" is an hour; of what is read off or foretold it is the number."""
    when, amount = change.when, change.amount
    if when is None or amount is None or when.text != amount.text:
        return change
    return replace(change, when=None) if kind in READ_OFF else replace(change, amount=None)


# ---------------------------------------------------------------- lengths


DAY = 1440
"""Minutes of a day: "make that three nights" comes as a length like any other."""


def _lasting(target: Entry, minutes: float, context: Context, sofar: Fields) -> Fields:
    """A length said anew: of a use or a rinse, of a stay or an absence, or how often something is due. [minutes]"""
    kind, days = target.kind, minutes / DAY
    whole = days >= 1 and days == round(days)
    if kind == "use":
        activity = sofar.get("activity", target.activity)
        usual = typical.typical(context.world, activity, target.person, minutes)
        return {"minutes": minutes, "litres": usual.mean * target.count, "estimated": True}
    if kind == "rinse" and target.get("minutes"):
        return _told_anew(target, Rinse(tank=target.tank, minutes=minutes, starting=True), tanks.rinse, context)
    if kind == "flow" and (volume := _amount_said(target)) is not None and "/" not in (volume.unit or "/"):
        return _told_anew(target, Flow(volume=volume, seconds=60 * minutes), rig.flow, context)
    if kind in OF_A_STAY and whole:
        return {"until": context.after_nights(days, target.at)}
    if kind == "stop" and whole and target.get("start") is not None:
        return {"until": context.after_nights(days, target.start)}
    if kind in ("party", "away") or (kind == "expect" and target.what in ("party", "absence")):
        return {"until": (target.get("start") or target.at) + timedelta(minutes=minutes)}
    if kind == "upkeep" and target.get("every_days") is not None:
        return _told_anew(target, Upkeep(item=target.item, every_days=days), rig.upkeep, context)
    if kind == "upkeep" and target.get("snooze_until") is not None:
        return _told_anew(target, Upkeep(item=target.item, snooze_days=days), rig.upkeep, context)
    return {}


# ---------------------------------------------------------------- numbers


def _counts(target: Entry, amount: Amount, context: Context) -> bool:
    """Whether "only one" is about how many there were, and not how much: of a meter that stood at 20, one is hardly the reading."""
    if target.kind in ("party", "expect", "upkeep"):
        return False  # their numbers are those that were told
    return amount.unit == "tote" or (amount.value or 0) <= _how_many(target, context)


def _how_many(target: Entry, context: Context) -> int:
    """Uses, or runs with the tote, that were told as one entry."""
    tote = context.world.rig.tote_litres
    said = _amount_said(target)
    if target.kind == "haul" and said is not None and said.unit == "tote":
        return round(said.value or 1)
    if target.kind == "haul" and tote:
        runs: int = math.ceil(target.litres / tote - 0.05)
        return runs
    return int(target.get("count") or 1)


def _so_few(target: Entry, amount: Amount, context: Context) -> Fields:
    """So many of them and no more: each took what it took. Asks where what was told is no number of things."""
    many, told = int(amount.value or 0), _how_many(target, context)
    if many < 1 or many != amount.value or target.kind not in ("use", "haul"):
        raise AskBack("Only so much of what? Say the number with its unit, or take it back with undo.", "statement")
    if many == told:
        return {"litres": target.litres}  # one it was: it stands
    if target.kind == "use":
        return {"count": many, "litres": target.litres / told * many, "estimated": target.estimated}
    said = _amount_said(target)
    if said is None or said.unit != "tote":
        raise AskBack("How much was taken away, then?", "amount")
    return _amount(target, replace(amount, unit="tote"), context, {})


def _in_unit(target: Entry, unit: str, context: Context) -> Fields:
    """ "make it litres": the number that was said, of another unit; nothing if none was said."""
    said = next((one for one in target.get("said") or () if one.get("value") is not None), None)
    if said is None or said.get("unit") in (None, "fraction", "percent", "tote"):
        return {}
    number = _amount(target, Amount(said["value"], unit, text=f"{said['value']:g} {unit}"), context, {})
    if "litres" in number and target.kind == "use":  # so many times what was said, as before
        number["litres"] *= target.litres / units.to_litres(said["value"], said["unit"])
    return number


IN_ALL = "people"
"""The unit of a number of people that cannot be one of guests."""


def _amount(target: Entry, amount: Amount, context: Context, sofar: Fields) -> Fields:
    kind, bare = target.kind, amount.unit is None and amount.value is not None
    if kind == "use" and bare and target.estimated and amount.value == int(amount.value or 0) and amount.value >= 1:
        count = int(amount.value or 1)  # "two showers … make that three"
        return {"count": count, "litres": target.litres / max(1, target.count) * count, "estimated": True}
    guard_count(target, amount)
    amount = _as_measured(target, amount)
    if kind in ("use", "meter"):
        return _litres(target, amount, context)
    if amount.unit == IN_ALL:
        amount, bare = replace(amount, unit=None), True
    elif kind == "expect" and target.what == "party" and bare:
        many = amount.text or f"{amount.value:g}"
        raise AskBack(f'Guests, or people in all? Say "no, {many} guests", or "no, {many} people".', "statement")
    if kind in ("party", "expect") and target.get("what") in (None, "party"):
        return _told_anew(target, Party(people=amount.value), trip.party, context) if bare else {}
    if kind == "expect":
        again = Expect(what=target.what, activity=target.get("activity"), tank=target.get("tank"), amount=amount)
        return _told_anew(target, again, trip.expect, context) if target.what in ("use", "haul") else {}
    if kind == "upkeep":
        return _interval(target, amount, context)
    meaning = _meaning(target, amount, sofar.get("tank", target.get("tank")), context)
    return _told_anew(target, meaning, BOOKERS[kind], context) if meaning is not None else {}


BOOKERS: dict[str, Callable[[Any, Context], list[Draft]]] = {
    "fill": tanks.fill, "haul": tanks.haul, "level": tanks.level, "rinse": tanks.rinse, "pressure": rig.pressure, "flow": rig.flow,
    "frost": rig.frost, "rig": lambda meaning, context: (rig.set_tank if isinstance(meaning, SetTank) else rig.set_rig)(meaning, context),
}  # fmt: skip


def _meaning(target: Entry, amount: Amount, tank: str | None, context: Context) -> Any:
    """What would have been said, had it been said with that amount; None where none belongs to it."""
    kind = target.kind
    part = amount.unit in ("fraction", "percent")
    if kind == "level":
        if (
            amount.unit is None
            and target.get("fraction") is not None
            and amount.value is not None
            and amount.value <= 1
        ):
            amount = replace(amount, unit="fraction")
        return Level(tank=tank, amount=amount, basis=target.basis, room=_told_as_room(target, context))
    if part and not (kind == "rig" and target.get("of") == "safety"):
        return None
    if kind == "fill":
        return Fill(tank=tank, amount=amount, to_full=target.to_full)
    if kind == "haul":
        tote = context.world.rig.tote_litres
        return Haul(tank=tank, amount=amount, runs=math.ceil(target.litres / tote - 0.05) if tote else None)
    if kind == "rinse":
        return Rinse(tank=tank, amount=amount)
    if kind == "pressure":
        return Pressure(amount=_as_before(target, amount))
    if kind == "frost":
        return Frost(low=_as_before(target, replace(amount, unit=None) if amount.unit == "degree" else amount))
    if kind == "flow":
        old = _amount_said(target)
        by_volume = old is not None and "/" not in (old.unit or "/")
        if by_volume and "/" not in (amount.unit or ""):
            return None  # "one gallon took 25 seconds … make that 3": gallons or seconds
        rate = amount.unit if amount.unit is None or "/" in amount.unit else f"{amount.unit}/minute"
        return Flow(rate=_as_before(target, replace(amount, unit=rate)))
    if kind == "rig" and target.what == "tank":
        return None if target.gone else SetTank(tank=target.tank, kind=target.tank_kind, amount=amount)
    if kind == "rig" and target.what in ("tote", "heater", "limit"):
        of = "tare" if target.get("kilograms") is not None else target.get("of")
        return SetRig(what=target.what, of=of, amount=amount)
    return None


def untold(target: Entry, context: Context) -> Context:
    """The context in which the event was told, had it not been."""
    then = min(target.heard_at, context.now)
    scene = Scene(context.world_at(then, without=target), then, context.scene.past, context.scene.last)
    return replace(context, scene=scene, drafts=[])


def _told_anew(target: Entry, meaning: Any, booker: Callable[[Any, Context], list[Draft]], context: Context) -> Fields:
    """What the booker makes of the meaning then."""
    made = booker(meaning, untold(target, context))[0]
    fields = {name: value for name, value in made.items() if name in NUMBERS}
    if target.kind == "level":
        fields = {"litres": None, "fraction": None, **fields}
    return {"said": (), **fields} if target.get("said") else fields


def _as_before(target: Entry, amount: Amount) -> Amount:
    """A bare number is of the unit that was said before."""
    old = _amount_said(target)
    return replace(amount, unit=old.unit) if amount.unit is None and old is not None else amount


def _as_measured(target: Entry, amount: Amount) -> Amount:
    """ "Dishes 3 quarts … make that 4", "grey is at 40 percent … make that 60", "two totes … no, three": of the unit that was said."""
    old = _amount_said(target)
    return _as_before(target, amount) if old is not None and old.unit in _MEASURES else amount


_MEASURES = VOLUMES | {"percent", "tote"}


def _amount_said(target: Entry) -> Amount | None:
    said = next((one for one in target.get("said") or () if one.get("value") is not None), None)
    return Amount(said["value"], said["unit"], text=said["text"]) if said is not None else None


def _told_as_room(target: Entry, context: Context) -> bool:
    """Whether the level was told as what still fits ("room for 10 gallons"), so that another number is room too."""
    old = _amount_said(target)
    if old is None or old.value is None or target.get("roughly"):
        return False
    if target.get("fraction") is not None:
        told = old.value * (0.01 if old.unit == "percent" else 1.0)
        level: float = target.fraction
        return abs(1.0 - told - level) < 1e-6 < abs(told - level)
    told = context.volume(old).litres
    tank = context.world.rig.find(target.tank)
    if tank is None:
        return False
    level = target.litres
    return abs(tank.litres - told - level) < 0.01 < abs(told - level)


def _interval(target: Entry, amount: Amount, context: Context) -> Fields:
    """Every so many days, or so much water, as it was told."""
    if amount.unit is None and target.get("every_days") is not None:
        again = Upkeep(item=target.item, every_days=amount.value)
    elif amount.unit is not None or target.get("every_litres") is not None:
        again = Upkeep(item=target.item, every=amount)
    else:
        return {}
    return _told_anew(target, again, rig.upkeep, context)


def _litres(target: Entry, amount: Amount, context: Context) -> Fields:
    """The volume of a use, or the reading of a meter."""
    if amount.unit in ("fraction", "percent"):
        return {}
    volume = context.volume(amount)
    litres = volume.litres * (target.count if amount.each and target.kind == "use" else 1)
    fields: Fields = {"litres": litres, "said": (volume.said,) if volume.said else ()}
    if target.kind == "meter":
        return fields | guard_amended(context, target, litres)
    fields["estimated"] = volume.estimated
    return fields | ({"from_litres": None, "to_litres": None} if target.get("from_litres") is not None else {})
