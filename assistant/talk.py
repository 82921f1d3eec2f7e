"""The conversation as Python sees it: `open_conversation(path)` gives an object that hears one phrase at a time.

Holds what one process may keep between turns: the open log and the world folded so far. All that a conversation needs to go on in
another process is in the log itself. The world grows by the events that are new; only a correction, or an event told late, folds
again, from the last kept world before what it changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from assistant import clock
from assistant.reply import Reply
from assistant.turn import take_turn
from state import daily, fold
from state.entry import Entry
from state.history import effective
from state.lightclass import TYPE_CHECKING
from state.ordering import as_one_log
from state.recall import Recall, stands
from state.store import Log, LogError, LogMoved
from state.world import World

if TYPE_CHECKING:
    from pathlib import Path
    from types import TracebackType

TRIPPED = "That tripped me up, which is my fault, so nothing was recorded. Please say it another way."

KEEP_EVERY = 50
"""A folded world is kept for a faster start whenever so many events have come since the last one that was."""


class Conversation:
    """One open log and the talk over it. Use as a context manager, or call `close`. `strict`: a fault of our own is raised, for
    tests; a person gets a sentence instead."""

    def __init__(self, log: Log) -> None:
        self.log = log
        self.recall = Recall(log)
        self.strict = False
        self._world: World | None = None
        self._kept = 0
        self._effective: tuple[int, list[Entry]] | None = None
        self._imagined: tuple[str, ...] = ()

    def __enter__(self) -> Conversation:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Closes the log; once a day, when something was logged, after keeping a copy of it."""
        today = clock.now().date()
        if self.log.grew and daily.is_due(self.log.place, today, self.log.last_seq()):
            from state.copies import roll

            roll(self.log.path, today, self.log.last_seq())
        self.log.close()

    def say(self, text: str, now: datetime | None = None, dry_run: bool = False) -> Reply:
        """Hears one phrase and answers it; what is to be recorded is on disk when this returns.

        Args:
            now: the moment of hearing; aware. None: the clock's.
            dry_run: understand and answer, record nothing.
        Raises: LogError if the log cannot be read or written (nothing was recorded then).
        """
        moment = now or clock.now()
        try:
            return take_turn(self, text, moment, dry_run)
        except (LogError, LogMoved):
            self._forget()
            self._effective = None
            raise
        except Exception:
            if self.strict:
                raise
            self._forget()
            return Reply(text, "refused", answer=TRIPPED, facts={"reference": "own-fault"})

    # what a turn needs of the log

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

    def refresh(self) -> bool:
        """Takes in what this or another process has appended since; True if there was anything."""
        if self._imagined and self._world is not None:
            self._forget()
        if self._world is None:
            self._begin()
            return True
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
        if self._world is None:
            return
        self.recall.hold(self._world)
        if self.seq - self._kept >= KEEP_EVERY:
            self.recall.keep(self._world)
            self._kept = self.seq

    def _forget(self) -> None:
        self._world, self._imagined = None, ()

    def imagine(self, drafts: Sequence[Entry]) -> World:
        """The world with these events too, before they are in the log; the next `refresh` goes back to what the log says,
        or `confirm` says that they are in it now."""
        world = self.world
        self._world = fold.fold(effective(drafts), world) if stands(world.at, drafts) else self.recall.world(drafts)
        self._imagined = tuple(one.id for one in drafts)
        return self._world

    def confirm(self, booked: Sequence[Entry]) -> None:
        """The imagined events were appended as they are: the world need not be folded again."""
        if self._imagined and self._imagined == tuple(one.id for one in booked) and booked[0].seq == self.seq + 1:
            self.recall.read_on(booked)
            self._imagined = ()
            self._keep_if_due()


def open_conversation(path: str | Path | None = None, *, read_only: bool = False) -> Conversation:
    """Opens (or begins) the log at `path` and the conversation over it; None: the platform's own place for it.

    Raises: LogError if the file cannot be read or written, is no log, or is newer than this program.
    """
    from assistant.places import default_log

    return Conversation(Log.open(path if path is not None else default_log(), read_only=read_only))
