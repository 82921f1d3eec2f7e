"""The conversation as Python sees it: `open_conversation(path)` gives an object that hears one phrase at a time.

Holds what one process may keep between turns: the open log and the world folded so far. All that a conversation needs to go on in
another process is in the log itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from types import TracebackType

from assistant import clock
from assistant.reply import Reply
from assistant.turn import take_turn
from state.entry import Entry
from state.fold import advance, fold
from state.history import effective
from state.ordering import as_one_log
from state.store import Log
from state.world import World

REWRITES = ("undo", "redo", "amend")


class Conversation:
    """One open log and the talk over it. Use as a context manager, or call `close`."""

    def __init__(self, log: Log) -> None:
        self.log = log
        self._entries: list[Entry] = []
        self._effective: list[Entry] = []
        self._world: World | None = None

    def __enter__(self) -> Conversation:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Closes the log; once a day, when something was logged, after keeping a copy of it."""
        if self.log.grew:
            from state.copies import roll

            roll(self.log.path, clock.now().date(), self.log.last_seq())
        self.log.close()

    def say(self, text: str, now: datetime | None = None, dry_run: bool = False) -> Reply:
        """Hears one phrase and answers it; what is to be recorded is on disk when this returns.

        Args:
            now: the moment of hearing; aware. None: the clock's.
            dry_run: understand and answer, record nothing.
        Raises: LogError if the log cannot be read or written (nothing was recorded then).
        """
        return take_turn(self, text, now or clock.now(), dry_run)

    # what a turn needs of the log

    @property
    def entries(self) -> Sequence[Entry]:
        """All events in log order, undone ones too, as far as `refresh` has read."""
        return self._entries

    @property
    def effective(self) -> Sequence[Entry]:
        """The events that count, by the time they happened."""
        return self._effective

    @property
    def world(self) -> World:
        if self._world is None:
            self._world = fold(self._effective)
        return self._world

    def refresh(self) -> bool:
        """Takes in what this or another process has appended since; True if there was anything."""
        fresh = self.log.entries(after_seq=self._entries[-1].seq if self._entries else 0)
        if not fresh:
            return False
        in_order = self._world is not None and all(one.kind not in REWRITES for one in fresh)
        if in_order and self._entries and min(one.id for one in fresh) < max(one.id for one in self._entries):
            in_order = False  # merged in from another device: they may belong before what is here
        newest = self._effective[-1].at if self._effective else None
        self._entries.extend(fresh)
        for one in fresh if in_order else ():
            if newest is not None and one.at < newest:
                in_order = False
                break
            newest = one.at
        if in_order and self._world is not None:
            self._effective.extend(fresh)
            for one in fresh:
                advance(self._world, one)
        else:
            self._effective, self._world = effective(as_one_log(self._entries)), None
        return True

    def world_with(self, drafts: Sequence[Entry]) -> World:
        """The world as it would be with these events too; the log is left alone."""
        return fold(effective(as_one_log([*self._entries, *drafts])))


def open_conversation(path: str | Path | None = None, *, read_only: bool = False) -> Conversation:
    """Opens (or begins) the log at `path` and the conversation over it; None: the platform's own place for it.

    Raises: LogError if the file cannot be read or written, is no log, or is newer than this program.
    """
    from assistant.places import default_log

    return Conversation(Log.open(Path(path) if path is not None else default_log(), read_only=read_only))
