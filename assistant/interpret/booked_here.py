"""The entries that still count, and those of them that were said on this device: what "undo", "make that" and "it" are about."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.interpret.context import Context
from state.entry import Entry
from state.log.history import undone

META = ("undo", "redo")


def live_entries(log: Sequence[Entry]) -> list[Entry]:
    """Events that still count, amends among them, in log order, without undo and redo."""
    gone = undone(log)
    return [entry for entry in log if entry.id not in gone and entry.kind not in META]


def own_entries(context: Context, turns: int = 1) -> list[Entry]:
    """The latest of them that were said on this device, of at least the last so many turns that booked something: "undo" after an
    import is about what was said here."""
    live: list[Entry] = []
    for log in context.windows():
        imported = context.imported(log)
        live = [entry for entry in live_entries(log) if entry.turn not in imported]
        if len({entry.turn for entry in live}) >= turns:
            break
    return live
