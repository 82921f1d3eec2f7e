"""What a conversation stands on: the open log, and the world folded so far.

The world grows by the events that are new; only a correction, or an event told late, folds again, from the last kept world before what
it changes. Knows no words. May import: `past`, state.
"""

from __future__ import annotations

from collections.abc import Sequence

from assistant.past import Logged
from state.entry import Entry
from state.log.history import effective
from state.log.ordering import as_one_log
from state.log.recall import Recall, stands
from state.log.store import Log
from state.water import fold
from state.world import World

KEEP_EVERY = 50
"""A folded world is kept for a faster start whenever so many events have come since the last one that was."""


class Standing:
    """One open log with its world, as far as `refresh` has read."""

    def __init__(self, log: Log) -> None:
        self.log = log
        self.recall = Recall(log)
        self._world: World | None = None
        self._kept = 0
        self._effective: tuple[int, list[Entry]] | None = None
        self._imagined: tuple[str, ...] = ()
        self._held_off = False
        self._goes_on = False

    @property
    def seq(self) -> int:
        """Place in the log of the last event taken in."""
        return self.recall.seq

    @property
    def entries(self) -> Sequence[Entry]:
        """All events in log order, undone ones too, as far as `refresh` has read. Reads the whole log: for answers about all of it."""
        return self.recall.since(0)

    @property
    def effective(self) -> Sequence[Entry]:
        """The events that count, by the time they happened. Reads the whole log."""
        if self._effective is None or self._effective[0] != self.seq:
            self._effective = self.seq, effective(as_one_log(self.entries))
        return self._effective[1]

    @property
    def world(self) -> World:
        if self._world is None:
            self._begin()
        assert self._world is not None
        return self._world

    def past(self, drafts: Sequence[Entry] = ()) -> Logged:
        """The history for an answer; with drafts, as if they were in it already."""
        return Logged(
            self.recall,
            drafts,
            lambda: effective(as_one_log([*self.entries, *drafts])) if drafts else self.effective,
        )

    def refresh(self) -> bool:
        """Takes in what this or another process has appended since; True if there was anything."""
        if self._imagined and self._world is not None:
            self.forget()
        if self._world is None:
            self._begin()
            return True
        self._goes_on = True
        fresh = self.log.entries(after_seq=self.seq)
        if fresh:
            self._world = self.recall.take(self._world, fresh)
            self._keep_if_due()
        return bool(fresh)

    def _begin(self) -> None:
        self._world = self.recall.begin()
        self._kept = -KEEP_EVERY if self.recall.stale else self.recall.newest_kept
        self._keep_if_due()

    def _keep_if_due(self) -> None:
        """Keeps the world in the file, or holds it in memory: never both in one turn, so that no turn is much longer than others.
        In memory only from the second turn on: a one-shot has no use for it."""
        if self._world is None:
            return
        if self.seq - self._kept >= KEEP_EVERY:
            self.recall.keep(self._world)
            self._kept = self.seq
        elif self._goes_on:
            self.recall.hold(self._world)

    def forget(self) -> None:
        """The log is read anew by the next `refresh`: after a fault nothing that was held is trusted."""
        self._world, self._effective, self._imagined = None, None, ()

    def imagine(self, drafts: Sequence[Entry]) -> World:
        """The world with these events too, before they are in the log; the next `refresh` goes back to what the log says,
        or `confirm` says that they are in it now."""
        world = self.world
        on_top = stands(world.at, drafts)
        self._world = fold.fold(effective(drafts), world) if on_top else self.recall.world(drafts)
        self._held_off = not on_top and self.recall.from_memory
        self._imagined = tuple(one.id for one in drafts)
        return self._world

    def confirm(self, booked: Sequence[Entry]) -> None:
        """The imagined events were appended as they are: the world need not be folded again."""
        if self._imagined and self._imagined == tuple(one.id for one in booked) and booked[0].seq == self.seq + 1:
            self.recall.read_on(booked)
            self._imagined = ()
            if not self._held_off:  # a correction in a long talk has taken its time; the next plain turn sees to it
                self._keep_if_due()
