"""The conversation as Python sees it: `open_conversation(path)` gives an object that hears one phrase at a time.

Every door says its phrases here. What one process may keep between turns is in `standing.py`; all that a conversation needs to go on in
another process is in the log itself.
"""

from __future__ import annotations

from datetime import datetime

from assistant import clock
from assistant.reply import Reply
from assistant.standing import Standing
from assistant.turn import take_turn
from state.lightclass import TYPE_CHECKING
from state.log import daily
from state.log.store import Log, LogError, LogMoved

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path
    from types import TracebackType

TRIPPED = "That tripped me up, which is my fault, so nothing was recorded. Please say it another way."


class Conversation(Standing):
    """One open log and the talk over it. Use as a context manager, or call `close`. `strict`: a fault of our own is raised, for
    tests; a person gets a sentence instead."""

    def __init__(self, log: Log) -> None:
        super().__init__(log)
        self.strict = False

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
            from state.log.copies import roll

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
        if "picture" in text.casefold() or ".svg" in text:
            from assistant import picture_phrase

            wanted = picture_phrase.asked(text)
            if wanted is not None:
                shown = self._turn(picture_phrase.SHOWN[wanted.what], moment, dry_run)
                return picture_phrase.kept(shown, wanted, text, dry_run)
        return self._turn(text, moment, dry_run)

    def _turn(self, text: str, now: datetime, dry_run: bool) -> Reply:
        try:
            return take_turn(self, text, now, dry_run)
        except (LogError, LogMoved):
            self.forget()
            raise
        except Exception:
            if self.strict:
                raise
            self.forget()
            return Reply(text, "refused", answer=TRIPPED, facts={"reference": "own-fault"})


def open_conversation(
    path: str | Path | None = None, *, read_only: bool = False, patience: Callable[[int], None] | None = None
) -> Conversation:
    """Opens (or begins) the log at `path` and the conversation over it; None: the platform's own place for it.

    patience: told of how many events are about to be worked through, where that takes longer than a second, as after an update.
    Raises: LogError if the file cannot be read or written, is no log, or is newer than this program.
    """
    from assistant.places import default_log

    return Conversation(Log.open(path or default_log(), read_only=read_only, patience=patience))
