"""An event as one row of the log, and back: the only place that knows how the fields are packed.

A row keeps what an event's own defaults do not already say; `DEFAULTS` (checked in the tests against the models of events.py) fills
in the rest on the way back, so that reading builds no model. What most events have stands in columns of its own, common words as numbers
(codes.py); the rest is JSON. Moments are whole milliseconds UTC beside the offset in minutes.
`checksum` guards each row against a flipped bit, which SQLite itself would not notice.
May import: `codes`, `entry`, the standard library.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta, timezone
from zlib import crc32

from state.entry import Entry
from state.lightclass import Any
from state.log.codes import CODE, NAMES

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MILLISECOND = timedelta(milliseconds=1)
EARLIEST = int((datetime(1900, 1, 1, tzinfo=UTC) - EPOCH) / MILLISECOND)
LATEST = int((datetime(2200, 1, 1, tzinfo=UTC) - EPOCH) / MILLISECOND)

ENVELOPE = ("id", "kind", "at")
SAID = ("field", "value", "unit", "text")
MOMENTS = ("until", "from", "snooze_until", "heard_at")

WHAT = {
    "use": "activity", "meter": "meter", "meter_reset": "meter", "fill": "tank", "dump": "tank", "haul": "tank", "level": "tank",
    "rinse": "tank", "valve": "tank", "arrive": "site", "stop": "site", "service": "item", "gear": "item", "upkeep": "item",
}  # fmt: skip
"""What each kind is about: the field that stands in the column `what`."""

LOOSE = frozenset({"undo", "redo", "amend"})
"""These may have any field of any kind: all of it is rest."""

_NO = {"estimated": False}
DEFAULTS: dict[str, dict[str, Any]] = {
    "use": {"count": 1, "person": None, "minutes": None, "from_litres": None, "to_litres": None, **_NO},
    "meter": {"meter": "inlet", "reset_before": False, "rolled_over": False, "before": None},
    "meter_reset": {"meter": "inlet"},
    "fill": {"tank": "fresh", "litres": None, "to_full": False, "through_meter": None, **_NO},
    "dump": {},
    "haul": _NO,
    "level": {"litres": None, "fraction": None, "basis": "seen", "roughly": False, **_NO},
    "rinse": {"tank": "black", "minutes": None, **_NO},
    "arrive": {"site": None, "water": None, "sewer": None, "until": None},
    "stay": {},
    "depart": {},
    "supply": {},
    "valve": {},
    "party": {"until": None},
    "away": {"until": None},
    "back": {},
    "pressure": {},
    "flow": {},
    "service": {},
    "gear": {},
    "rig": {
        "tank": None, "tank_kind": None, "litres": None, "kilograms": None, "meter": None, "units": None, "of": None,
        "value": None, "name": None, "gone": False,
    },
    "stop": {"site": None, "from": None, "until": None, "water": None, "sewer": None},
    "expect": {
        "from": None, "until": None, "people": None, "activity": None, "count": None, "litres": None, "tank": None, **_NO,
    },
    "frost": {},
    "upkeep": {"every_days": None, "every_litres": None, "drop": False, "snooze_until": None},
    "step": {"before": None, "after": None, "drop": False, "mark": None},
    "teach": {},
    "note": {},
    "undo": {},
    "redo": {},
    "amend": {},
}  # fmt: skip

_zones: dict[int, timezone] = {}


def stamp(moment: datetime) -> tuple[int, int]:
    """Milliseconds since 1970 UTC and the offset in minutes; what is finer is dropped.

    Raises: ValueError for a moment without an offset, or outside the years 1900 to 2199.
    """
    offset = moment.utcoffset()
    if offset is None:
        raise ValueError("a moment needs its UTC offset")
    at = (moment - EPOCH) // MILLISECOND
    if not EARLIEST <= at < LATEST:
        raise ValueError(f"{moment:%Y-%m-%d} is not a date that a log can hold")
    return at, round(offset / timedelta(minutes=1))


def moment(at: int, offset: int) -> datetime:
    """The moment that `stamp` packed, in its own offset."""
    zone = _zones.get(offset)
    if zone is None:
        zone = _zones[offset] = timezone(timedelta(minutes=offset))
    if at >= 0:
        return datetime.fromtimestamp(at / 1000, zone)  # exact: a millisecond is far above what a float drops there
    return (EPOCH + timedelta(milliseconds=at)).astimezone(zone)


def checksum(*parts: Any) -> int:
    """A guard over the parts of a row, in order; four bytes, with a sign."""
    told = crc32("\x1f".join(map(str, parts)).encode("utf-8", "replace"))
    return told - (1 << 32) if told >> 31 else told


Packed = tuple[str, int, int, int, "int | str | None", "str | None", "float | None", "str | None", "str | None"]
"""id, kind, at, offset, what, person, litres, said, rest: an event's own columns."""


def pack(fields: Mapping[str, Any], heard_at: datetime, heard: str, group: str = "") -> Packed:
    """An event's checked fields as columns, for a turn with that `heard_at` and `heard`.

    group: the name under which the turn came from another device, if it is not its first event's id.

    Raises: ValueError for a moment that the log cannot hold.
    """
    kind = fields["kind"]
    usual = DEFAULTS[kind]
    body = {
        name: _plain(value) for name, value in fields.items() if name not in ENVELOPE and not _same(usual, name, value)
    }
    if kind == "step" and "text" in body:
        body["step"] = body.pop("text")  # its name in every log so far, and in the view by day
    if stamp(fields["heard_at"]) == stamp(heard_at):
        del body["heard_at"]
    if body.get("heard", heard) == heard:
        body.pop("heard", None)
    if group:
        body["group"] = group
    said = body.pop("said", ())
    if said:
        body["said"] = [[each.get(name) for name in SAID] for each in said]
    return fields["id"], CODE[kind], *stamp(fields["at"]), *columns(kind, body, heard)


def columns(
    kind: str, body: dict[str, Any], heard: str, codes: Mapping[str, int] = CODE, about: Mapping[str, str] = WHAT
) -> tuple[int | str | None, str | None, float | None, str | None, str | None]:
    """What an event has beside its defaults, as the columns what, person, litres, said and rest. Takes out of `body` what has one.

    codes, about: the numbers of words, and the field for the column `what`; a migration has its own.
    """
    words, what, person, litres, said = body.get("heard", heard), None, None, None, None
    if "said" in body:
        said = _said_down(body.pop("said"), words, codes)
    if kind not in LOOSE:
        of = about.get(kind, "")
        if type(body.get(of)) is str:
            name = body.pop(of)
            what = codes.get(name, name)
        if type(body.get("person")) is str:
            person = body.pop("person")
        if type(body.get("litres")) is float:
            litres = body.pop("litres") + 0.0  # a zero below zero would come back without its sign
    return what, person, litres, said, to_json(body) if body else None


def _said_down(said: list[list[Any]], heard: str, codes: Mapping[str, int]) -> str:
    """Quantities as said, as the inside of a JSON list: usually litres, in a unit that has a number, and words of the phrase; then
    four numbers: value, unit, where its words begin and how long they are. Else a list of its own."""
    told: list[Any] = []
    for field, value, unit, text in said:
        start = heard.find(text)
        usual = field == "litres" and unit in codes and start >= 0
        told += [value, codes[unit], start, len(text)] if usual else [[field, value, unit, text]]
    return to_json(told)[1:-1]


def _same(usual: Mapping[str, Any], name: str, value: Any) -> bool:
    return name in usual and type(usual[name]) is type(value) and usual[name] == value


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        at, offset = stamp(value)
        return moment(at, offset).isoformat()
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    if isinstance(value, dict):
        return {str(name): _plain(each) for name, each in value.items()}
    return value


def to_json(value: Any) -> str:
    """Compact JSON; half characters (from invalid UTF-8) are replaced, NaN refused."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return text.encode("utf-8", "replace").decode("utf-8")


Heard = tuple[int, int, str]
"""When a turn was heard, as `stamp` packs it, and its words."""


def unpack(seq: int, turn: int, packed: Packed, heard: Heard) -> Entry:
    """The event of a row, with what its turn holds. Raises ValueError, KeyError, IndexError or TypeError if it is not what `pack` wrote.

    Written for speed: years of events pass through here on a slow device.
    """
    id, code, at, offset, what, person, litres, said, rest = packed
    kind = NAMES[code]
    happened = moment(at, offset)
    heard_at, heard_offset, words = heard
    fields = {
        **DEFAULTS[kind],
        "heard_at": happened if heard_at == at and heard_offset == offset else moment(heard_at, heard_offset),
        "heard": words,
        "id": id,
        "kind": kind,
        "at": happened,
        "said": (),
    }
    if what is not None:
        fields[WHAT[kind]] = NAMES[what] if type(what) is int else what
    if person is not None:
        fields["person"] = person
    if litres is not None:
        fields["litres"] = float(litres)
    if rest is not None:
        own, _ = _decode(rest)
        fields |= own
        if own.keys() & _UNUSUAL:
            _mend(fields)
    if said is not None:
        fields["said"] = _said_up(said, fields["heard"])
    return Entry(fields, turn, seq)


_decode = json.JSONDecoder().raw_decode
_UNUSUAL = {*MOMENTS, "of", "group"}


def _said_up(packed: str, heard: str) -> tuple[dict[str, Any], ...]:
    told, found, place = json.loads(f"[{packed}]"), [], 0
    while place < len(told):
        if type(told[place]) is list:
            field, value, unit, text = told[place]
            place += 1
        else:
            value, code, start, length = told[place : place + 4]
            field, unit, text = "litres", NAMES[code], heard[start : start + length]
            place += 4
        found.append({"field": field, "value": value, "unit": unit, "text": text})
    return tuple(found)


def _mend(fields: dict[str, Any]) -> None:
    """What JSON has no types for."""
    for name in MOMENTS:
        told = fields.get(name)
        if type(told) is str and told[0].isdigit():  # a supply is from the hookup or a tank
            fields[name] = datetime.fromisoformat(told)
    if type(fields.get("of")) is list:
        fields["of"] = tuple(fields["of"])
    fields.pop("group", None)  # read by merge.py only
