"""An event as read back from the log: the fields of its model in events.py, already checked, as plain attributes.

The whole of the computing core works on these, so that reading a log of ten years, or answering one phrase on a phone, builds no
pydantic model. Handlers annotate the model (`def fold_use(world, event: events.Use)`) for the type checker and are dispatched by
`kind`, never by isinstance. May import: the standard library only.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from state.lightclass import Any

TEXTS = frozenset({"note", "step"})
"""Kinds whose `text` goes by the name of the kind in here."""


class Entry:
    """One event. Attributes: id, kind, at, heard_at, heard, said, turn (number of the turn that booked it), seq (place in the log),
    and the kind's own fields; `from` is `source` for a supply and `start` otherwise, `text` of a note is `note`, of a step `step`."""

    __slots__ = ("__dict__",)

    id: str
    kind: str
    at: datetime
    heard_at: datetime
    heard: str
    said: tuple[dict[str, Any], ...]
    turn: int
    seq: int

    def __init__(self, fields: Mapping[str, Any], turn: int = 0, seq: int = 0) -> None:
        own = dict(fields)
        if "from" in own:
            own["source" if own["kind"] == "supply" else "start"] = own.pop("from")
        if "text" in own and own.get("kind") in TEXTS:
            own[own["kind"]] = own.pop("text")
        own["turn"], own["seq"] = turn, seq
        self.__dict__.update(own)

    def __getattr__(self, name: str) -> Any:  # only reached for a field that this kind has not
        raise AttributeError(f"{self.__dict__.get('kind')} has no {name}")

    def get(self, name: str, default: Any = None) -> Any:
        return self.__dict__.get(name, default)

    def fields(self) -> dict[str, Any]:
        """All fields under the interface's names, without turn and seq."""
        own = {name: value for name, value in self.__dict__.items() if name not in ("turn", "seq")}
        if "source" in own:
            own["from"] = own.pop("source")
        if "start" in own:
            own["from"] = own.pop("start")
        if own["kind"] in TEXTS:
            own["text"] = own.pop(own["kind"])
        return own

    def replaced(self, changes: Mapping[str, Any]) -> Entry:
        """A copy with some fields changed (names of the interface)."""
        return Entry({**self.fields(), **changes}, self.turn, self.seq)

    def __repr__(self) -> str:
        return f"Entry({self.__dict__!r})"
