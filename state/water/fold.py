"""Events into a world: one handler a kind, in order of when things happened.

Bad history never stops the fold: what is odd becomes a finding. Incremental: nothing looks back over past events, so a folded world can
be written down (`snapshot`) and taken up again (`restore`) at any event. Pure: no clock, no database.
May import: the folding modules beside it.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterable
from datetime import datetime
from functools import cache

from state.entry import Entry
from state.lightclass import Any, fields, is_dataclass
from state.water import meter, round, tanks, trip, uses
from state.water.ledger import Book
from state.world import Finding, World

SNAPSHOT = 2
"""Version of the snapshot's shape: one of another version is of no use, and the log is folded anew."""

MOST_FINDINGS = 200


def _take_rinse(world: World, event: Entry, book: Book = None) -> None:
    tanks.take_rinse(world, event, book)
    round.take_rinse_run(world, event)


Handler = Callable[[World, Entry, Book], None]

HANDLERS: dict[str, Handler] = {
    "use": uses.take_use,
    "meter": meter.take_meter,
    "meter_reset": meter.take_reset,
    "fill": tanks.take_fill,
    "dump": tanks.take_dump,
    "haul": tanks.take_haul,
    "level": tanks.take_level,
    "rinse": _take_rinse,
    "valve": tanks.take_valve,
    "arrive": trip.take_arrive,
    "stay": trip.take_stay,
    "depart": trip.take_depart,
    "supply": trip.take_supply,
    "party": trip.take_party,
    "away": trip.take_away,
    "back": trip.take_back,
    "rig": trip.take_rig,
    "stop": trip.take_stop,
    "expect": trip.take_expect,
    "teach": trip.take_teach,
}

PLAIN_HANDLERS: dict[str, Callable[[World, Entry], None]] = dict(round.HANDLERS)


def fold(entries: Iterable[Entry], world: World | None = None, book: Book = None) -> World:
    """The world after these events (effective and in order, as history.effective gives them). `world` is continued, and changed.

    book: a list that collects every posting, for `why` and history. Never raises on history.
    """
    world = World() if world is None else world
    for entry in entries:
        advance(world, entry, book)
    return world


def advance(world: World, entry: Entry, book: Book = None) -> None:
    """Take one event into the world. It must not lie before the last one: then fold anew, or from a snapshot before it."""
    try:
        if world.gone:
            tanks.look_back(world, entry, book)
        handler = HANDLERS.get(entry.kind)
        if handler is not None:
            handler(world, entry, book)
        else:
            plain = PLAIN_HANDLERS.get(entry.kind)
            if plain is not None:
                plain(world, entry)
    except (ArithmeticError, AttributeError, KeyError, IndexError, TypeError, ValueError) as problem:
        # a history that some later version, or a hand-made import, wrote: say so and go on
        world.findings.append(Finding("unusable-event", entry.id, entry.at, detail={"problem": repr(problem)}))
    if len(world.findings) > MOST_FINDINGS:
        del world.findings[0]
    world.events += 1
    world.began = entry.at if world.began is None else world.began
    world.at = entry.at if world.at is None or entry.at > world.at else world.at


def snapshot(world: World) -> dict[str, Any]:
    """The world as JSON-able data; `restore` gives it back exactly. `at`: of the latest event in it."""
    return {"version": SNAPSHOT, "at": world.at.isoformat() if world.at else None, "world": _down(world)}


def at_of(data: dict[str, Any]) -> datetime | None:
    """When the latest event of a snapshot happened, without taking the world up."""
    return datetime.fromisoformat(data["at"]) if data["at"] is not None else None


def restore(data: dict[str, Any]) -> World:
    """The inverse of `snapshot`. Raises ValueError if the data are of another version."""
    if data.get("version") != SNAPSHOT:
        raise ValueError("a snapshot of another version")
    world = _up(data["world"])
    if not isinstance(world, World):
        raise ValueError("not a snapshot of a world")
    return world


ROWS = 4
"""Lists of so many objects of one class are written down field by field: that is half as long, and quicker to take up."""


def _down(value: Any) -> Any:
    if value is None or isinstance(value, str | int | float):
        return value
    if isinstance(value, datetime):
        return {"@": value.isoformat()}
    if isinstance(value, tuple):
        return {"(": [_down(each) for each in value]}
    if isinstance(value, list):
        return _list_down(value)
    if isinstance(value, dict):
        return {"{": [[_down(key), _down(each)] for key, each in value.items()]}
    if is_dataclass(value):
        return {"=": _name(value), "f": {each.name: _down(getattr(value, each.name)) for each in fields(value)}}
    raise TypeError(f"{type(value).__name__} cannot be written down")


def _list_down(value: list[Any]) -> Any:
    kinds = {type(each) for each in value}
    if len(value) >= ROWS and len(kinds) == 1 and is_dataclass(value[0]):
        columns = {one.name: [getattr(each, one.name) for each in value] for one in fields(value[0])}
        return {"*": _name(value[0]), "f": {name: _down(column) for name, column in columns.items()}}
    if len(value) >= ROWS and kinds <= {datetime, type(None)}:
        return {"@@": [each.isoformat() if each is not None else None for each in value]}
    return [_down(each) for each in value]


def _name(value: Any) -> str:
    return f"{type(value).__module__}:{type(value).__name__}"


def _up(value: Any) -> Any:
    if isinstance(value, list):
        return [_up(each) if isinstance(each, dict | list) else each for each in value]
    if not isinstance(value, dict):
        return value
    if "@" in value:
        return datetime.fromisoformat(value["@"])
    if "@@" in value:
        return [datetime.fromisoformat(each) if each is not None else None for each in value["@@"]]
    if "(" in value:
        return tuple(_up(value["("]))
    if "{" in value:
        return {_up(key): _up(each) for key, each in value["{"]}
    if "*" in value:
        kind, names = _kind(value["*"]), tuple(value["f"])
        if names != tuple(one.name for one in fields(kind)):
            raise ValueError("not a snapshot of these classes")
        columns = [_up(column) for column in value["f"].values()]
        return [_made(kind, names, row) for row in zip(*columns, strict=True)]
    return _kind(value["="])(**{each: _up(inner) for each, inner in value["f"].items()})


def _made(kind: Any, names: tuple[str, ...], row: tuple[Any, ...]) -> Any:
    """An object with all its fields, past its `__init__`: a log of many years has a thousand stays, and all fields are at hand."""
    one = kind.__new__(kind)
    one.__dict__.update(zip(names, row, strict=True))
    return one


@cache
def _kind(name: str) -> Any:
    module, _, of = name.partition(":")
    if not module.startswith("state."):
        raise ValueError("not a snapshot of a world")
    return getattr(importlib.import_module(module), of)
