"""A log as JSON lines, and the lines of another log merged in: by id, all or nothing, in any order and as often as one likes.

Each line is one event under the interface's names, with `turn`, the id of the first event of its turn, so that what was said in one
breath can be taken back in one breath on every device. Two exports merged in either order hold the same events; ordering.py gives
them the same order too. May import: `entry`, `history`, `records`, `rows`, `store`, `events`.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime

from state.entry import Entry
from state.lightclass import Any, dataclass
from state.log.history import CORRECTIONS, amended
from state.log.records import IMPORTED, Turn, add_event, add_turn, references
from state.log.rows import stamp, to_json
from state.log.store import Log

LONGEST = 100_000  # characters of a line that is looked at


INSIDE = frozenset({"seq", "group", "source", "start", "note"})
"""Names that mean something here inside, and nothing in a line: an amendment, which may carry any field, must not bring them in."""


class BadLine(ValueError):
    """A line that is no event, or one that contradicts the log. `number`: its place, from 1. Nothing was added."""

    def __init__(self, number: int, problem: str) -> None:
        super().__init__(f"line {number}: {problem}")
        self.number, self.problem = number, problem


@dataclass(frozen=True)
class Merged:
    """`added`: the events that the log lacked, as they now stand in it. `known`: how many it had already."""

    added: list[Entry]
    known: int


def export(log: Log) -> Iterator[str]:
    """Every event of the log, taken back or not, as a line of JSON, in the order of the ids. Raises LogError."""
    entries = log.entries()
    groups = _groups(entries, log)
    for entry in sorted(entries, key=lambda entry: entry.id):
        yield to_json(_in_line({**_plain(entry.fields()), "turn": groups[entry.turn]}))


FIRST = ("id", "kind", "at", "heard_at", "heard", "turn")


def _in_line(fields: dict[str, Any]) -> dict[str, Any]:
    """The fields in one order, so that the same event is the same line whichever device writes it."""
    return {name: fields[name] for name in (*FIRST, *sorted(fields.keys() - set(FIRST)))}


def merge(log: Log, lines: Iterable[str]) -> Merged:
    """Add the events of these lines that the log lacks, in one transaction.

    Raises: BadLine (then nothing at all was added), LogError.
    """
    read = [(number, *_read(number, text)) for number, text in enumerate(lines, start=1) if text.strip()]
    with log.writing() as connection:
        held = {entry.id: entry for entry in log.entries()}
        fresh, known = _fresh(read, held)
        _check_references(fresh, held)
        _check_changes(fresh, held)
        turn = int(connection.execute("SELECT coalesce(max(turn), 0) FROM turns").fetchone()[0])
        last = seq = int(connection.execute("SELECT coalesce(max(seq), 0) FROM events").fetchone()[0])
        at_home = {group: number for number, group in _groups(held.values(), log).items()}
        for group, members in _by_turn(fresh).items():
            first = members[0][1]
            home = Turn(first["heard_at"], first["heard"], IMPORTED, "")
            if group in held or group in at_home:
                home.number = held[group].turn if group in held else at_home[group]
            else:
                home.number = turn = turn + 1
                add_turn(connection, home)
            for number, fields in members:
                seq += 1
                try:
                    add_event(connection, seq, home, fields, group=group if group < members[0][1]["id"] else "")
                except ValueError as error:
                    raise BadLine(number, str(error)) from error
    log.grew = log.grew or bool(fresh)
    return Merged(log.entries(after_seq=last)[: len(fresh)], known)


# ---------------------------------------------------------------- lines to fields


def _read(number: int, text: str) -> tuple[dict[str, Any], str]:
    """The checked fields of a line, and the group (the id of the first event of its turn). Raises BadLine."""
    from state import events

    if len(text) > LONGEST:
        raise BadLine(number, "it is far too long for an event")
    try:
        own = json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise BadLine(number, "it is not JSON") from None
    if not isinstance(own, dict):
        raise BadLine(number, "it is not an event")
    group = own.pop("turn", None)
    own.setdefault("heard_at", own.get("at"))
    if not isinstance(own.get("kind"), str):
        raise BadLine(number, "it has no kind")
    if own["kind"] == "step" and "text" not in own and "step" in own:
        own["text"] = own.pop("step")  # as exports had it once
    for name in INSIDE & own.keys():
        raise BadLine(number, f"{name} is no field of an event")
    try:
        fields = events.check(own)
        fields = {name: _to_millisecond(value) for name, value in fields.items()}
    except KeyError:
        raise BadLine(number, f"its kind is none that is known: {str(own.get('kind'))[:40]!r}") from None
    except (ValueError, TypeError, OverflowError, RecursionError) as error:
        raise BadLine(number, _told(error)) from None
    for id in references(fields):
        if id == fields["id"]:
            raise BadLine(number, "it is about itself")
    return fields, group if isinstance(group, str) and 10 <= len(group) <= 40 else fields["id"]


def _no_number(name: str) -> None:
    raise ValueError(f"{name} is no number")


def _to_millisecond(value: Any) -> Any:
    if isinstance(value, datetime):
        offset = value.utcoffset()
        if offset is not None and offset.seconds % 60:
            raise ValueError("its UTC offset is no whole minute")
        stamp(value)
        return value.replace(microsecond=value.microsecond // 1000 * 1000)
    return value


def _told(error: Exception) -> str:
    """What is wrong with the fields, in a few words."""
    found = getattr(error, "errors", None)
    if not callable(found):
        return str(error)[:200]
    first = found()[0]
    where = ".".join(str(part) for part in first["loc"]) or "the event"
    return f"{where[:60]}: {str(first['msg'])[:120]}"


def _plain(fields: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value.isoformat() if isinstance(value, datetime) else value for name, value in fields.items()}


# ---------------------------------------------------------------- what is new

Line = tuple[int, dict[str, Any], str]


def _fresh(read: Sequence[Line], held: Mapping[str, Entry]) -> tuple[list[Line], int]:
    """The lines that the log lacks, each id once, and how many it has. Raises BadLine for two events under one id."""
    fresh: dict[str, Line] = {}
    known: set[str] = set()
    for number, fields, group in read:
        id = fields["id"]
        if id in held:
            _must_agree(number, fields, held[id].fields())
            known.add(id)
        elif id in fresh:
            _must_agree(number, fields, fresh[id][1])
        else:
            fresh[id] = (number, fields, group)
    return sorted(fresh.values(), key=lambda line: line[1]["id"]), len(known)


def _must_agree(number: int, fields: Mapping[str, Any], other: Mapping[str, Any]) -> None:
    for name, value in fields.items():
        if name not in ("said", "heard", "heard_at") and _comparable(value) != _comparable(other.get(name)):
            raise BadLine(number, f"another event is already known under the id {fields['id']}")


def _comparable(value: Any) -> Any:
    return to_json(_plain({"": value}))


def _check_references(fresh: Sequence[Line], held: Mapping[str, Entry]) -> None:
    there = {*held, *(fields["id"] for _, fields, _ in fresh)}
    for number, fields, _ in fresh:
        for id in references(fields):
            if id not in there:
                raise BadLine(number, f"it is about {id[:40]}, an event that neither the file nor the log has")


def _check_changes(fresh: Sequence[Line], held: Mapping[str, Entry]) -> None:
    """An amendment leaves an event that can be: told by itself, as it may come before others of the same event. Fields that the event
    has not do nothing, and pass."""
    from state import events

    there = {**held, **{fields["id"]: Entry(fields) for _, fields, _ in fresh}}
    for number, fields, _ in fresh:
        amend = Entry(fields)
        if amend.kind != "amend" or there[amend.of].kind in CORRECTIONS:
            continue
        left = amended(there[amend.of], amend).fields()
        own = events.names(left["kind"])
        try:
            events.check({name: value for name, value in left.items() if name in own})
        except (ValueError, TypeError, OverflowError, RecursionError) as error:
            raise BadLine(number, _told(error)) from None


def _by_turn(fresh: Sequence[Line]) -> dict[str, list[tuple[int, dict[str, Any]]]]:
    groups: dict[str, list[tuple[int, dict[str, Any]]]] = {}
    for number, fields, group in fresh:
        groups.setdefault(group, []).append((number, fields))
    return groups


def _groups(entries: Iterable[Entry], log: Log) -> dict[int, str]:
    """For each turn the name under which it travels: the id of its first event, or the name that a part of it came with."""
    names: dict[int, str] = {}
    for entry in entries:
        names[entry.turn] = min(names.get(entry.turn, entry.id), entry.id)
    return {**names, **log.told_groups()}
