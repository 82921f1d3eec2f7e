"""The events that count: undo, redo and amend applied, in the order in which things happened.

The log only grows. What was taken back or corrected is worked out here, each time anew, from the events in the order they were
logged. Odd history (an undo of nothing, an amendment of a bare id) is passed over: nothing here raises.
May import: `entry`.
"""

from __future__ import annotations

from collections.abc import Iterable

from state.entry import Entry
from state.lightclass import Any

CORRECTIONS = frozenset({"undo", "redo", "amend"})
ENVELOPE = frozenset({"id", "kind", "heard", "heard_at", "said", "turn", "seq", "of"})


def targets(entry: Entry) -> tuple[str, ...]:
    """The ids that an undo, redo or amend speaks of."""
    of = entry.get("of")
    return (of,) if isinstance(of, str) else tuple(of or ())


def undone(entries: Iterable[Entry]) -> set[str]:
    """Ids of all events that are taken back at the end of the log, corrections among them.

    Taking back an undo brings its events back, so that "undo" after "redo" and the other way round come out as people mean them.
    """
    kinds: dict[str, str] = {}
    reach: dict[str, tuple[str, ...]] = {}
    gone: set[str] = set()
    for entry in sorted(entries, key=lambda entry: entry.seq):
        if entry.kind in ("undo", "redo"):
            kinds[entry.id], reach[entry.id] = entry.kind, targets(entry)
            _settle(entry.id, kinds, reach, gone)
    return gone


def _settle(first: str, kinds: dict[str, str], reach: dict[str, tuple[str, ...]], gone: set[str]) -> None:
    todo, seen = [(first, False)], set()
    while todo:
        id, is_gone = todo.pop()
        if id in seen:
            continue
        seen.add(id)
        (gone.add if is_gone else gone.discard)(id)
        for inner in reach.get(id, ()):
            # a redo of something that is no undo simply brings it back
            todo.append((inner, is_gone if kinds[id] == "redo" and inner not in reach else not is_gone))


def effective(entries: Iterable[Entry]) -> list[Entry]:
    """The events that count, amended, sorted by when they happened and then by when they were logged. Never raises on odd history."""
    log = sorted(entries, key=lambda entry: entry.seq)
    if not any(entry.kind in CORRECTIONS for entry in log):
        return sorted(log, key=_when)
    gone = undone(log)
    counted: dict[str, Entry] = {}
    for entry in log:
        if entry.id in gone or entry.kind in ("undo", "redo"):
            continue
        if entry.kind != "amend":
            counted[entry.id] = entry
            continue
        for id in targets(entry):
            if id in counted:
                counted[id] = amended(counted[id], entry)
    return sorted(counted.values(), key=_when)


def amended(entry: Entry, amend: Entry) -> Entry:
    """The event as that amendment leaves it."""
    changes: dict[str, Any] = {name: value for name, value in amend.fields().items() if name not in ENVELOPE}
    changes["kind"] = entry.kind
    if amend.get("said"):
        changes["said"] = amend.said
    if "litres" in changes:
        # a volume that was told replaces whatever stood for it before
        for name, value in (("estimated", False), ("fraction", None), ("from_litres", None), ("to_litres", None)):
            if entry.get(name):
                changes.setdefault(name, value)
    elif changes.get("fraction") is not None and entry.get("litres") is not None:
        changes["litres"] = None
    if all(changes.get(name, entry.get(name)) is None for name in ("litres", "fraction")):
        changes = {name: value for name, value in changes.items() if name not in ("litres", "fraction")}
    return entry.replaced(changes)


def _when(entry: Entry) -> tuple[Any, int]:
    return entry.at, entry.seq
