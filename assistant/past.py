"""The history as an answer may look at it: all of it, or only what came since a moment. Knows no words. May import: state."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from state.entry import Entry
from state.log.recall import Recall
from state.world import World


class Past:
    """The history as an answer may look at it. This one has it all at hand; a conversation's reads no more than it is asked for."""

    def __init__(self, load: Callable[[], Sequence[Entry]]) -> None:
        self._load = load
        self._all: Sequence[Entry] | None = None

    def all(self) -> Sequence[Entry]:
        """The events that count, oldest first."""
        if self._all is None:
            self._all = self._load()
        return self._all

    def since(self, moment: datetime) -> Sequence[Entry]:
        """Those that happened at that moment or later."""
        return [entry for entry in self.all() if entry.at >= moment]

    def world(self, until: datetime) -> World:
        """The world as it stood after all that happened up to that moment; one's own, to go on with."""
        from state.water.fold import fold

        return fold([entry for entry in self.all() if entry.at <= until])


class Logged(Past):
    """The history in a log, read as far back as it is asked for. drafts: events about to be appended. load: all of it."""

    def __init__(self, recall: Recall, drafts: Sequence[Entry], load: Callable[[], Sequence[Entry]]) -> None:
        super().__init__(load)
        self._recall, self._drafts = recall, drafts

    def since(self, moment: datetime) -> Sequence[Entry]:
        return super().since(moment) if self._all is not None else self._recall.happened(moment, self._drafts)

    def world(self, until: datetime) -> World:
        return self._recall.world(self._drafts, until)
