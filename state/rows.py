"""An event as one row of the log, and back: the only place that knows how the fields are packed.

A row keeps what an event's own defaults do not already say; `DEFAULTS` (checked in the tests against the models of events.py) fills
in the rest on the way back, so that reading builds no model. Moments are whole milliseconds UTC beside the offset in minutes.
`checksum` guards each row against a flipped bit, which SQLite itself would not notice.
May import: `entry`, the standard library.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta, timezone
from zlib import crc32

from state.entry import Entry
from state.lightclass import Any

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MILLISECOND = timedelta(milliseconds=1)
EARLIEST = int((datetime(1900, 1, 1, tzinfo=UTC) - EPOCH) / MILLISECOND)
LATEST = int((datetime(2200, 1, 1, tzinfo=UTC) - EPOCH) / MILLISECOND)

ENVELOPE = ("id", "kind", "at")
SAID = ("field", "value", "unit", "text")
MOMENTS = ("until", "from", "snooze_until", "heard_at")

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
    """A guard over the parts of a row, in order."""
    return crc32("\x1f".join(map(str, parts)).encode("utf-8", "replace"))


def pack(fields: Mapping[str, Any], heard_at: datetime, heard: str, group: str = "") -> tuple[str, str, int, int, str]:
    """An event's checked fields as (id, kind, at, offset, body), for a turn with that `heard_at` and `heard`.

    group: the name under which the turn came from another device, if it is not its first event's id.

    Raises: ValueError for a moment that the log cannot hold.
    """
    kind = fields["kind"]
    usual = DEFAULTS[kind]
    body = {
        name: _plain(value) for name, value in fields.items() if name not in ENVELOPE and not _same(usual, name, value)
    }
    if stamp(fields["heard_at"]) == stamp(heard_at):
        del body["heard_at"]
    if body.get("heard", heard) == heard:
        body.pop("heard", None)
    if group:
        body["group"] = group
    said = body.pop("said", ())
    if said:
        body["said"] = [[each.get(name) for name in SAID] for each in said]
    return fields["id"], kind, *stamp(fields["at"]), to_json(body)


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


def unpack(seq: int, turn: int, id: str, kind: str, at: int, offset: int, body: str, heard: Heard) -> Entry:
    """The event of a row, with what its turn holds. Raises ValueError, KeyError or TypeError if the body is not what `pack` wrote.

    Written for speed: years of events pass through here on a slow device.
    """
    own, _ = _decode(body)
    happened = moment(at, offset)
    heard_at, heard_offset, words = heard
    fields = {
        **DEFAULTS[kind],
        "heard_at": happened if heard_at == at and heard_offset == offset else moment(heard_at, heard_offset),
        "heard": words,
        **own,
        "id": id,
        "kind": kind,
        "at": happened,
        "said": _said(own["said"]) if "said" in own else (),
    }
    if own.keys() & _UNUSUAL:
        _mend(fields)
    return Entry(fields, turn, seq)


_decode = json.JSONDecoder().raw_decode
_UNUSUAL = {*MOMENTS, "of", "group"}


def _said(packed: list[list[Any]]) -> tuple[dict[str, Any], ...]:
    return tuple([{"field": name, "value": value, "unit": unit, "text": text} for name, value, unit, text in packed])


def _mend(fields: dict[str, Any]) -> None:
    """What JSON has no types for."""
    for name in MOMENTS:
        told = fields.get(name)
        if type(told) is str and told[0].isdigit():  # a supply is from the hookup or a tank
            fields[name] = datetime.fromisoformat(told)
    if type(fields.get("of")) is list:
        fields["of"] = tuple(fields["of"])
    fields.pop("group", None)  # read by merge.py only
