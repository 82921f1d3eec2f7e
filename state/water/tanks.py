"""What is done to a tank, and what is said of it: rigs' tanks, fills, dumps, hauls, rinses, valves, stated levels.

A stated level is a balance assertion: what it changes is booked against `unexplained`, in sight. Never raises on history.
Pure. May import: what `passing` may.
"""

from __future__ import annotations

from datetime import datetime

from state import figures
from state.entry import Entry
from state.water import holding, ledger, let_go, passing, routes, sizes
from state.water.filter import Row
from state.water.ledger import Book
from state.water.reconcile import Total, learn_from_statement, settle
from state.water.seen import booked, chance_of, keep_sane, observe
from state.world import Finding, Tank, TankKind, Told, World

TOLD_AGAIN = 0.03
"""A size told once more after it was learned to be another, by this part of it or more, is as that person says. Our own choice."""

UNKNOWN_SD = 0.4
"""Doubt of the level of a tank nobody said anything of, over capacity, around half full."""


def put_tank(
    world: World, name: str, kind: TankKind, litres: float, *, told: bool, at: datetime, book: Book = None
) -> str:
    """Add a tank, or change the capacity of one; its key."""
    key = name.casefold()
    own = passing.belief_of(world)
    old = world.rig.tanks.get(key)
    tank = world.rig.tanks[key] = Tank(name, kind, litres, told)
    doubt = sizes.doubt(tank)
    if old is None:
        own.append(passing.level_of(key), 0.5 * litres, (UNKNOWN_SD * litres) ** 2)
        own.append(passing.capacity_of(key), litres, doubt * doubt)
        ledger.post(world, book, ledger.UNEXPLAINED, key, 0.5 * litres, at, "", "start")
        world.balances.setdefault(key, 0.0)
    elif (
        old.litres != litres
        or not old.told
        or (told and abs(own.mean[own.at[passing.capacity_of(key)]] - litres) > TOLD_AGAIN * litres)
    ):
        own.reset(own.at[passing.capacity_of(key)], litres, doubt * doubt)
        own.drop(let_go.habit_of(key))
    if old is None or old.kind != kind or routes.flushed(world.rig) != world.moves:
        _share_out(world)
    return key


def _share_out(world: World) -> None:
    """Prior shares for the tanks there are now, and the doubt that they have in common: what is flushed reaches black and not grey."""
    own = passing.belief_of(world)
    prior = routes.shares(world.rig)
    for name in [name for name in own.names if name.startswith("share:") and name[6:] not in prior]:
        own.drop(name)
    for key, (mean, sd) in prior.items():
        place = own.at.get(passing.share_of(key))
        if place is None:
            own.append(passing.share_of(key), mean, sd * sd)
        else:
            own.reset(place, mean, sd * sd)
    world.moves = routes.flushed(world.rig)
    own.widen({own.at[passing.share_of(key)]: move for key, move in world.moves.items()}, figures.FLUSHED_SD**2)
    world.flushed, world.told = figures.BLACK_SHARE, Told()
    world.gone.clear()


def drop_tank(world: World, name: str, at: datetime, book: Book = None) -> None:
    """The tank was taken out of the rig."""
    key = name.casefold()
    if world.rig.tanks.pop(key, None) is None:
        return
    ledger.post(world, book, key, ledger.UNEXPLAINED, world.balances.get(key, 0.0), at, "", "gone")
    own = passing.belief_of(world)
    for name_of in (passing.level_of, passing.capacity_of, passing.share_of, let_go.habit_of):
        own.drop(name_of(key))
    for own_dict in (world.open_valves, world.last_dump, world.since, world.gone):
        own_dict.pop(key, None)
    _share_out(world)


def kind_of(name: str) -> TankKind:
    """What a tank is, by its name alone: whatever is not called fresh or black holds grey water."""
    key = name.casefold()
    return "fresh" if key == "fresh" else "black" if key == "black" else "grey"


def ensure(world: World, name: str, at: datetime, book: Book = None) -> str:
    """The key of a tank that an event speaks of; a tank nobody told of is put in at a common size."""
    key = name.casefold()
    if key not in world.rig.tanks:
        kind = kind_of(name)
        put_tank(world, name, kind, figures.DEFAULT_LITRES[kind], told=False, at=at, book=book)
    return key


def _set_level(world: World, key: str, litres: float, account: str, event: Entry, why: str, book: Book) -> None:
    """Book the step from what is believed to `litres`, against `account`; the mean follows."""
    own = passing.belief_of(world)
    place = own.at[passing.level_of(key)]
    ledger.post(world, book, account, key, litres - own.mean[place], event.at, event.id, why)
    own.mean[place] = litres


def _empty(world: World, key: str, event: Entry, why: str, book: Book) -> None:
    """All runs to the sewer but for a small rest."""
    own = passing.belief_of(world)
    with booked(world, event, "dumped", book):
        holding.followed(world, key)
        if world.rig.tanks[key].kind == "black":
            holding.dumped(world, key, event.at, chosen=why == "dump")
        if world.rig.tanks[key].kind != "fresh":
            let_go.tell(world, key, event.at, chosen=why == "dump")
        keep_sane(world)
    capacity = world.rig.tanks[key].litres
    left = figures.LEFTOVER * capacity
    place = own.at[passing.level_of(key)]
    account = ledger.SEWER if own.mean[place] >= left else ledger.UNEXPLAINED
    _set_level(world, key, left, account, event, why, book)
    own.reset(place, left, (figures.LEFTOVER_SD * capacity) ** 2)
    _anchor(world, key, event.at)


def _anchor(world: World, key: str, at: datetime) -> None:
    """From here on only what flows later is in the tank."""
    world.since[key] = at
    own = passing.belief_of(world)
    for supply, used in (("hookup", passing.METERED), ("tank", passing.PUMPED)):
        interval = world.open[supply]
        interval.weights[key] = interval.seen[key] = 0.0
        interval.dumped_at = at
        if world.rig.tanks[key].kind == "grey":
            interval.used_at_dump = max(0.0, own.mean[own.at[used]])
        for entry in interval.entries:
            entry.parts = [(account, part, live and account != key) for account, part, live in entry.parts]


def look_back(world: World, event: Entry, book: Book = None) -> None:
    """Before an event: what the dumps of an hour ago tell, now that no other has followed."""
    if world.filter is not None:
        with booked(world, event, "dumped", book):
            if holding.look_back(world, event.at):
                keep_sane(world)


def take_dump(world: World, event: Entry, book: Book = None) -> None:
    passing.pass_time(world, event.at, book)
    key = ensure(world, event.tank, event.at, book)
    _empty(world, key, event, "dump", book)
    world.last_dump[key] = event.at


def take_valve(world: World, event: Entry, book: Book = None) -> None:
    """An opened waste valve empties its tank and lets what follows run through; closed, the tank fills again."""
    passing.pass_time(world, event.at, book)
    key = ensure(world, event.tank, event.at, book)
    if world.rig.tanks[key].kind == "fresh":
        return
    if event.open:
        if key not in world.open_valves:
            _empty(world, key, event, "valve", book)
            world.last_dump[key] = event.at
        world.open_valves.setdefault(key, event.at)
    elif world.open_valves.pop(key, None) is not None:
        world.since[key] = event.at


def close_valves(world: World) -> None:
    """Nobody drives with a valve open: a departure or an arrival closes what was not said to be closed."""
    world.open_valves.clear()


def take_haul(world: World, event: Entry, book: Book = None) -> None:
    """Litres carried away. More than is believed to be there shows that more was there."""
    passing.pass_time(world, event.at, book)
    key = ensure(world, event.tank, event.at, book)
    own = passing.belief_of(world)
    place = own.at[passing.level_of(key)]
    _spill(world, key, event, book)
    if own.mean[place] < event.litres:
        world.findings.append(Finding("hauled-more", event.id, event.at, event.litres - own.mean[place], tank=key))
        _set_level(world, key, event.litres, ledger.UNEXPLAINED, event, "stated", book)
        own.widen({place: 1.0}, (figures.SEEN_SD * world.rig.tanks[key].litres) ** 2)
    _set_level(world, key, own.mean[place] - event.litres, ledger.SEWER, event, "haul", book)
    doubt = (0.15 if event.estimated else figures.TOLD_SD) * event.litres
    own.widen({place: 1.0}, doubt * doubt)


def _spill(world: World, key: str, event: Entry, book: Book) -> None:
    """More than the tank can hold cannot have stayed in it; less than nothing cannot be there."""
    own = passing.belief_of(world)
    place, most = own.at[passing.level_of(key)], own.mean[own.at[passing.capacity_of(key)]]
    if own.mean[place] > most:
        _set_level(world, key, most, ledger.OUTSIDE, event, "overflow", book)
    elif own.mean[place] < 0.0:
        _set_level(world, key, 0.0, ledger.UNEXPLAINED, event, "ran dry", book)


def take_rinse(world: World, event: Entry, book: Book = None) -> None:
    """Water put into a waste tank through the rinse port."""
    passing.pass_time(world, event.at, book)
    key = ensure(world, event.tank, event.at, book)
    world.rinsed += event.litres
    if key in world.open_valves:
        ledger.post(world, book, ledger.HOOKUP, ledger.SEWER, event.litres, event.at, event.id, "rinse")
        return
    _add(world, key, event, "rinse", book)


def _add(world: World, key: str, event: Entry, why: str, book: Book) -> None:
    own = passing.belief_of(world)
    place = own.at[passing.level_of(key)]
    _set_level(world, key, own.mean[place] + event.litres, ledger.HOOKUP, event, why, book)
    doubt = (0.15 if event.estimated else figures.TOLD_SD) * event.litres
    own.widen({place: 1.0}, doubt * doubt)


def take_fill(world: World, event: Entry, book: Book = None) -> None:
    """Water put into a tank; to the brim, with litres, it tells what had gone."""
    passing.pass_time(world, event.at, book)
    key = ensure(world, event.tank, event.at, book)
    own = passing.belief_of(world)
    place, most = own.at[passing.level_of(key)], own.at[passing.capacity_of(key)]
    known_before = key in world.since
    if world.rig.tanks[key].kind != "fresh":
        if event.litres is not None:
            _add(world, key, event, "fill", book)
        return
    if event.to_full and event.litres is not None:
        _brim(world, key, event, book)
    elif event.litres is not None:
        _spill(world, key, event, book)
        _add(world, key, event, "fill", book)
    poured = event.litres if event.litres is not None else max(0.0, own.mean[most] - own.mean[place])
    var = (
        own.variance({most: 1.0, place: -1.0}) if event.litres is None else (figures.TOLD_SD * event.litres) ** 2 * 0.1
    )
    if event.to_full or own.mean[place] > own.mean[most]:
        _fill_up(world, key, event, book)
    if _through_meter(world, event) and (event.litres is not None or known_before):
        interval = world.open["hookup"]
        interval.fills += poured
        if event.litres is None:
            interval.fills_var += var


def _through_meter(world: World, event: Entry) -> bool:
    """Did the water run through the inlet meter? As said, else yes where the rig stands on water and its meter is in use."""
    told = event.get("through_meter")
    if told is not None:
        return bool(told)
    return world.meters["inlet"].known and world.stay.water is not False


def _brim(world: World, key: str, event: Entry, book: Book) -> None:
    """It took so many litres to the brim: what had gone since it was last full, if it ran on the tank; else what was missing."""
    own = passing.belief_of(world)
    place, most = own.at[passing.level_of(key)], own.at[passing.capacity_of(key)]
    brim = figures.FULL_SD * world.rig.tanks[key].litres
    noise = 2.0 * brim * brim + (0.02 * event.litres) ** 2
    interval = world.open["tank"]
    if interval.known and interval.seconds > 0.0 and key == passing.source_of(world):
        settle(world, "tank", Total(event.litres, noise, False), event.at, event.id, book)
    else:
        observe(
            world, key, {place: 1.0, most: -1.0}, -event.litres - own.mean[place] + own.mean[most], noise, event, book
        )
    _set_level(world, key, own.mean[place] + event.litres, ledger.HOOKUP, event, "fill", book)


def _fill_up(world: World, key: str, event: Entry, book: Book) -> None:
    """The tank is full: its level is its usable capacity, whatever was there before."""
    own = passing.belief_of(world)
    place, most = own.at[passing.level_of(key)], own.at[passing.capacity_of(key)]
    account = ledger.UNEXPLAINED if event.litres is not None else ledger.HOOKUP
    _set_level(world, key, own.mean[most], account, event, "fill" if account == ledger.HOOKUP else "brim", book)
    own.reset(place, own.mean[most], 0.0)
    own.couple(place, most, 1.0)
    own.widen({place: 1.0}, (figures.FULL_SD * world.rig.tanks[key].litres) ** 2)
    world.since[key] = event.at
    passing.reopen(world, "tank", event.at, known=True)


def take_level(world: World, event: Entry, book: Book = None) -> None:
    """What a person sees, or a sensor shows."""
    passing.pass_time(world, event.at, book)
    key = ensure(world, event.tank, event.at, book)
    fraction, sensor = event.get("fraction"), event.basis == "sensor"
    seen, residual, noise = _said(world, key, fraction, float(event.litres or 0.0), bool(event.roughly), sensor)
    observe(world, key, seen, residual, noise, event, book, sensor=sensor, outright=fraction in (0.0, 1.0))
    if not sensor:
        world.since[key] = event.at
        learn_from_statement(world, event.at)


def likely(world: World, tank: str, fraction: float | None, litres: float, roughly: bool) -> float:
    """Chance that a level truly seen lies as far from what is believed as this one; 1 for a tank not known. [probability]

    Expected use must have been passed up to the moment (belief.at_moment). litres: read only where no fraction was said.
    """
    key = tank.casefold()
    return chance_of(world, *_said(world, key, fraction, litres, roughly)) if key in world.rig.tanks else 1.0


def _said(
    world: World, key: str, fraction: float | None, litres: float, roughly: bool, sensor: bool = False
) -> tuple[Row, float, float]:
    """A statement as the filter takes it: what it looks at, said less believed, variance. [litres]"""
    own = passing.belief_of(world)
    place, most = own.at[passing.level_of(key)], own.at[passing.capacity_of(key)]
    size = world.rig.tanks[key].litres
    seen, said = {place: 1.0}, litres
    if fraction is not None:
        seen, said = {place: 1.0, most: -fraction}, fraction * own.mean[most]
    if fraction == 0.0:
        said = figures.LEFTOVER * size
    residual = said - own.mean[place]
    if sensor:
        high = (residual > 0.0) == (world.rig.tanks[key].kind != "fresh")
        sd = figures.SENSOR_HIGH_SD if high else figures.SENSOR_SD
    else:
        sd = _trust(fraction, litres, roughly)
    return seen, residual, (sd * size) ** 2


def _trust(fraction: float | None, litres: float, roughly: bool) -> float:
    """Standard deviation of what eyes say, over capacity."""
    if roughly:
        return figures.ROUGHLY_SD
    if fraction is not None and fraction >= 1.0:
        return figures.FULL_SD
    if fraction == 0.0 or (fraction is None and not litres):
        return figures.EMPTY_SD
    return figures.SEEN_SD
