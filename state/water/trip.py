"""Sites, stays, supply, party, absence, plans, and the facts of the rig: what moves no water itself but says how it will run.

Never raises on history. Pure. May import: what `tanks` may.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from state.entry import Entry
from state.lightclass import Any, Literal
from state.water import passing, tanks
from state.water.ledger import Book
from state.world import StayAt, TankKind, World

KEEP_STAYS = 400
EARLY = timedelta(days=2)
"""So much before its day an arrival is still the one that was planned."""


def take_arrive(world: World, event: Entry, book: Book = None) -> None:
    """A new stay; ends the one before. Water at the site means that the rig runs on it, none that it runs on its tank. What is not
    said stands as it was told when the stop was planned; said once more of the place where the rig stands, the stay goes on."""
    if _stands_at(world.stay, event.site):
        _say_more(world, event, book)
        return
    _move_on(world, event, book)
    world.stay = StayAt(event.site, event.at, event.until, event.water, event.sewer)
    site = (event.site or "").casefold()
    planned = next((stop for stop in world.stops if _is_it(stop, site, event.at)), None)
    _as_planned(world.stay, planned)
    if world.stay.water is not None:
        _set_supply(world, "hookup" if world.stay.water else "tank", told=not world.stay.water)
    world.stops = [
        stop for stop in world.stops if stop is not planned and not (stop["until"] and stop["until"] <= event.at)
    ]


def _stands_at(stay: StayAt, site: str | None) -> bool:
    """Whether the rig is at that place already, as far as was told."""
    return bool(site) and stay.ended is None and (stay.site or "").casefold() == (site or "").casefold()


def _say_more(world: World, event: Entry, book: Book) -> None:
    """ "At Heron Bend till Monday", said of where they are: what it adds to the stay."""
    passing.pass_time(world, event.at, book)
    stay = world.stay
    stay.until = event.until or stay.until
    stay.sewer = stay.sewer if event.sewer is None else event.sewer
    if event.water is not None:
        stay.water = event.water
        _set_supply(world, "hookup" if event.water else "tank", told=not event.water)


def _is_it(stop: dict[str, Any], site: str, at: datetime) -> bool:
    """Whether this is the planned stop at which the rig has arrived: the site's, and about its day."""
    start, until = stop["start"], stop["until"]
    about = (start is None or start - EARLY <= at) and (until is None or at < until)
    return bool(site) and (stop["site"] or "").casefold() == site and about


def _as_planned(stay: StayAt, stop: dict[str, Any] | None) -> None:
    if stop is not None:
        stay.until = stay.until or stop["until"]
        stay.water = stop["water"] if stay.water is None else stay.water
        stay.sewer = stop["sewer"] if stay.sewer is None else stay.sewer


def take_depart(world: World, event: Entry, book: Book = None) -> None:
    _move_on(world, event, book)
    world.stay = StayAt(None, event.at, on_the_road=True)
    _set_supply(world, "tank", told=False)


def _move_on(world: World, event: Entry, book: Book) -> None:
    passing.pass_time(world, event.at, book)
    tanks.close_valves(world)
    world.stay.ended = event.at
    world.stays.append(world.stay)
    del world.stays[:-KEEP_STAYS]
    world.away_since = world.away_until = None
    passing.end_absence(world, event.at)


def take_stay(world: World, event: Entry, book: Book = None) -> None:
    world.stay.until = event.until


def take_supply(world: World, event: Entry, book: Book = None) -> None:
    passing.pass_time(world, event.at, book)
    _set_supply(world, event.source, told=True)


def _set_supply(world: World, supply: Literal["hookup", "tank"], *, told: bool) -> None:
    world.supply, world.supply_told = supply, told


def take_party(world: World, event: Entry, book: Book = None) -> None:
    """How many they are now; guests that were to be there are counted in it, or have not come."""
    passing.pass_time(world, event.at, book)
    world.expected = [
        each for each in world.expected if each["what"] != "party" or (each["start"] or each["said_at"]) > event.at
    ]
    if event.until is not None and event.until > event.at:
        if world.party_until is None:
            world.party_base = world.people
        world.party_until = event.until
    else:
        world.party_until = None
    world.people = event.people


def take_away(world: World, event: Entry, book: Book = None) -> None:
    passing.pass_time(world, event.at, book)
    world.away_since, world.away_until = event.at, event.until


def take_back(world: World, event: Entry, book: Book = None) -> None:
    passing.pass_time(world, event.at, book)
    world.away_since = world.away_until = None
    passing.end_absence(world, event.at)


def take_stop(world: World, event: Entry, book: Book = None) -> None:
    """A stop to come, in order of its start; told again, it replaces the one of that site that overlaps it."""
    site = (event.site or "").casefold()
    row: dict[str, Any] = {
        "site": event.site, "start": event.start, "until": event.until, "water": event.water, "sewer": event.sewer, "id": event.id,
    }  # fmt: skip
    kept = [
        stop for stop in world.stops if not (site and (stop["site"] or "").casefold() == site and _overlap(stop, row))
    ]
    world.stops = sorted([*kept, row], key=lambda stop: (stop["start"] is None, stop["start"] or event.at))


def _overlap(one: dict[str, Any], other: dict[str, Any]) -> bool:
    if one["start"] is None or other["start"] is None:
        return True
    one_end, other_end = one["until"] or one["start"], other["until"] or other["start"]
    return bool(one["start"] <= other_end and other["start"] <= one_end)


def take_expect(world: World, event: Entry, book: Book = None) -> None:
    """Known future; what lies a week behind is dropped on the way."""
    row: dict[str, Any] = {
        name: event.get(name) for name in ("what", "start", "until", "people", "activity", "count", "litres", "tank", "estimated")
    }  # fmt: skip
    row["id"], row["said_at"] = event.id, event.at
    world.expected = [each for each in world.expected if not ((each["until"] or each["start"] or event.at) < event.at)]
    world.expected.append(row)


def take_rig(world: World, event: Entry, book: Book = None) -> None:
    _RIG[event.what](world, event, book)


def _rig_tank(world: World, event: Entry, book: Book) -> None:
    passing.pass_time(world, event.at, book)
    name = event.tank or event.tank_kind or "grey"
    if event.gone:
        tanks.drop_tank(world, name, event.at, book)
        return
    old = world.rig.find(name)
    kind: TankKind = event.tank_kind or (old.kind if old else tanks.kind_of(name))
    litres = event.litres or (old.litres if old else None)
    _units_of_the_first(world, event)
    if litres is None:
        tanks.ensure(world, name, event.at, book)
    else:
        tanks.put_tank(world, name, kind, litres, told=True, at=event.at, book=book)


_SYSTEMS: dict[str, Literal["imperial", "metric"]] = {
    "litre": "metric",
    "cubic_metre": "metric",
    "imperial_gallon": "imperial",
}


def _units_of_the_first(world: World, event: Entry) -> None:
    """Who tells the first tank in litres speaks litres, until other units are chosen."""
    rig = world.rig
    if rig.units_told or event.litres is None or any(tank.told for tank in rig.tanks.values()):
        return
    unit = next((one["unit"] for one in event.said if one["field"] == "litres"), None)
    rig.units = _SYSTEMS.get(unit or "", rig.units)


def _rig_tote(world: World, event: Entry, book: Book) -> None:
    if event.litres is not None:
        world.rig.tote_litres = event.litres
    if event.kilograms is not None:
        world.rig.tote_tare_kilograms = event.kilograms


def _rig_meter(world: World, event: Entry, book: Book) -> None:
    if event.litres is not None:
        world.rig.rollover[event.meter or "inlet"] = event.litres


def _rig_units(world: World, event: Entry, book: Book) -> None:
    if event.units is not None:
        world.rig.units, world.rig.units_told = event.units, True


def _rig_limit(world: World, event: Entry, book: Book) -> None:
    if event.of is not None and event.value is not None:
        world.rig.limits[event.of] = event.value


def _rig_heater(world: World, event: Entry, book: Book) -> None:
    world.rig.heater_litres = event.litres


def _rig_name(world: World, event: Entry, book: Book) -> None:
    world.rig.name = event.name


_RIG = {
    "tank": _rig_tank,
    "tote": _rig_tote,
    "meter": _rig_meter,
    "units": _rig_units,
    "limit": _rig_limit,
    "heater": _rig_heater,
    "name": _rig_name,
}


def take_teach(world: World, event: Entry, book: Book = None) -> None:
    world.taught[event.word.casefold()] = event.means
