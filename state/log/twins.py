"""Events that look like one happening logged by two people, found after an import, to be shown and asked about: never dropped, never
doubled without a word. Pure. May import: `entry`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import timedelta

from state.entry import Entry
from state.lightclass import dataclass

APART = timedelta(minutes=15)
ALIKE = 0.1
"""How far two amounts may differ, as a share of the larger, and still be one water seen by two people. Common practice, no source."""

SAME = ("activity", "tank", "meter", "item", "where", "site", "from", "open", "what")
SIZES = ("litres", "fraction", "kpa", "people", "litres_per_minute")
HARMLESS = frozenset({"note", "teach", "undo", "redo", "amend", "step"})
"""Kinds that may well be said twice, or that say nothing of their own."""


@dataclass(frozen=True)
class Twins:
    """`here`: the event that the log had. `there`: the one that came in."""

    here: Entry
    there: Entry

    @property
    def later(self) -> Entry:
        """The one logged later, whichever device one asks."""
        return max(self.here, self.there, key=lambda entry: entry.id)


def twins(effective: Iterable[Entry], added: Iterable[str]) -> list[Twins]:
    """The pairs of one event that was here and one that was added, of the same kind and size within minutes; each event in one pair.

    Args:
        effective: the events that count (history.effective), by time.
        added: ids of those that came in.
    """
    came = frozenset(added)
    ordered = [entry for entry in effective if entry.kind not in HARMLESS]
    pairs: list[Twins] = []
    paired: set[str] = set()
    for place, entry in enumerate(ordered):
        other = _nearest(ordered, place, came, paired)
        if other is None:
            continue
        paired |= {entry.id, other.id}
        pairs.append(Twins(other, entry) if entry.id in came else Twins(entry, other))
    return pairs


def _nearest(ordered: Sequence[Entry], place: int, came: frozenset[str], paired: set[str]) -> Entry | None:
    entry = ordered[place]
    if entry.id in paired:
        return None
    for other in ordered[place + 1 :]:
        if other.at - entry.at > APART:
            return None
        if other.id not in paired and (other.id in came) != (entry.id in came) and alike(entry, other):
            return other
    return None


def alike(one: Entry, other: Entry) -> bool:
    """Both could tell of the same thing: same kind, same object, like size; two different people named is no twin."""
    if one.kind != other.kind or any(_name(one, key) != _name(other, key) for key in SAME):
        return False
    persons = {_name(one, "person"), _name(other, "person")} - {None}
    return len(persons) < 2 and all(
        _near(one.get(key), other.get(key), one.get("estimated") or other.get("estimated")) for key in SIZES
    )


def _name(entry: Entry, key: str) -> object:
    value = entry.get("source" if key == "from" else key)
    return value.casefold() if isinstance(value, str) else value


def _near(one: float | None, other: float | None, roughly: bool) -> bool:
    if one is None or other is None:
        return one is other or roughly
    return abs(one - other) <= (0.5 if roughly else ALIKE) * max(abs(one), abs(other))
