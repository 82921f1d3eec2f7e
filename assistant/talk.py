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
from lightclass import TYPE_CHECKING
from state import daily, fold
from state.entry import Entry
from state.fingerprint import fingerprint
from state.history import CORRECTIONS, effective
from state.ordering import as_one_log
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
        self.strict = False
        self._world: World | None = None
        self._seq = 0
        self._kept = 0
        self._entries: list[Entry] | None = None
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
            self._entries = self._effective = None
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
        return self._seq

    @property
    def entries(self) -> Sequence[Entry]:
        """All events in log order, undone ones too, as far as `refresh` has read; loaded when first asked for."""
        if self._entries is None or (self._entries[-1].seq if self._entries else 0) < self._seq:
            known = self._entries or []
            known.extend(
                one for one in self.log.entries(after_seq=known[-1].seq if known else 0) if one.seq <= self._seq
            )
            self._entries = known
        return self._entries

    @property
    def effective(self) -> Sequence[Entry]:
        """The events that count, by the time they happened."""
        if self._effective is None or self._effective[0] != self._seq:
            self._effective = self._seq, effective(as_one_log(self.entries))
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
        began = self._world is None
        if began:
            self._begin()
        fresh = self.log.entries(after_seq=self._seq)
        if fresh:
            self._take(fresh)
        return bool(fresh) or began

    def _begin(self) -> None:
        """Starts from the last kept world of this version of the folding, or from nothing."""
        self._world, self._seq = World(), 0
        kept = self.log.load_snapshot(fingerprint())
        if kept is not None:
            try:
                self._world, self._seq = fold.restore(kept[1]), kept[0]
            except (ValueError, KeyError, TypeError, AttributeError):
                self._world, self._seq = World(), 0
        self._kept = self._seq
        fresh = self.log.entries(after_seq=self._seq)
        if fresh:
            self._take(fresh)

    def _take(self, fresh: list[Entry]) -> None:
        merged = fresh[0].id < self.log.latest_id(self._seq)  # from another device: they may belong before what is here
        if self._world is not None and not merged and _in_order(self._world, fresh):
            fold.fold(fresh, self._world)
            self._seq = fresh[-1].seq
        else:
            self._seq = fresh[-1].seq
            self._world = fold.fold(self.effective)
            self._kept = 0
        self._keep_if_due()

    def _keep_if_due(self) -> None:
        if self._world is not None and self._seq - self._kept >= KEEP_EVERY:
            self.log.save_snapshot(self._seq, fold.snapshot(self._world), fingerprint())
            self._kept = self._seq

    def _forget(self) -> None:
        self._world, self._imagined = None, ()

    def imagine(self, drafts: Sequence[Entry]) -> World:
        """The world with these events too, before they are in the log; the next `refresh` goes back to what the log says,
        or `confirm` says that they are in it now."""
        world = self.world
        if not _in_order(world, drafts):
            return fold.fold(effective(as_one_log([*self.entries, *drafts])))
        self._imagined = tuple(one.id for one in drafts)
        return fold.fold(drafts, world)

    def confirm(self, booked: Sequence[Entry]) -> None:
        """The imagined events were appended as they are: the world need not be folded again."""
        if self._imagined and self._imagined == tuple(one.id for one in booked) and booked[0].seq == self._seq + 1:
            self._seq = booked[-1].seq
            self._imagined = ()
            self._keep_if_due()


def _in_order(world: World, fresh: Sequence[Entry]) -> bool:
    """Whether these events only add to what was folded: no corrections, and none told after the fact."""
    newest = world.at
    for one in fresh:
        if one.kind in CORRECTIONS or (newest is not None and one.at < newest):
            return False
        newest = one.at
    return True


def open_conversation(path: str | Path | None = None, *, read_only: bool = False) -> Conversation:
    """Opens (or begins) the log at `path` and the conversation over it; None: the platform's own place for it.

    Raises: LogError if the file cannot be read or written, is no log, or is newer than this program.
    """
    from assistant.places import default_log

    return Conversation(Log.open(path if path is not None else default_log(), read_only=read_only))
