"""The chat without a drawn screen: for a screen reader, a speech engine, a simple terminal. Lines in, lines out, nothing moves.

Tab completion and history come from the system's line editor where there is one. A rinse rings when its time is up, by a timer.
May import: the standard library, `dialogue`, `live`, `printing`.
"""

from __future__ import annotations

import gc
import os
import signal
import sys
import threading
from collections.abc import Callable, Mapping

from assistant import begin, completion, printing
from assistant.dialogue import CANCELLED, dialogue
from assistant.live import Live, ticking
from assistant.options import Options
from assistant.printing import PROMPT, Screen
from assistant.reply import Reply


def can_draw(env: Mapping[str, str] = os.environ) -> bool:
    """A terminal on which lines can be drawn anew, with someone at both ends."""
    return (
        env.get("TERM", "dumb").casefold() not in ("dumb", "unknown", "") and sys.stdin.isatty() and sys.stdout.isatty()
    )


def run(chosen: Options) -> int:
    """Until `bye` or the end of the input. Returns the exit status; raises LogError if the log cannot be opened."""
    with begin.conversation(chosen) as talk:
        live = Live(talk, ticking(chosen.now), chosen.dry_run)
        _start_line_editor(live)
        gc.freeze()  # what is loaded by now stays: no pause between a phrase and its answer to look through it all
        chat = _Plain(live, printing.screen_of(sys.stdout, plain=True, speak=chosen.speak))
        try:
            return chat.hold()
        finally:
            chat.stop()


class _Plain:
    def __init__(self, live: Live, screen: Screen) -> None:
        self.live, self.screen = live, screen
        self._timer: threading.Timer | None = None
        self._reading = False

    def hold(self) -> int:
        signal.signal(signal.SIGINT, self._interrupted)
        talk = dialogue(self.live, self)
        try:
            next(talk)
            while True:
                talk.send(self._line())
        except StopIteration as done:
            return int(done.value)

    def _interrupted(self, number: int, frame: object) -> None:
        """Ctrl-C cancels the line that is typed; while one is being answered it does nothing: a turn is never broken off half-way."""
        if self._reading:
            self._reading = False
            raise KeyboardInterrupt

    def _line(self) -> str | None:
        """A line; CANCELLED when it was given up; None at the end.

        `_interrupted` raises once a line at most, so nothing escapes what catches it. The interpreter looks for signals once more while
        that error is on its way out of the line editor; a second Ctrl-C in that moment turns it into a SystemError.
        """
        typed: list[str | None] = []
        try:
            self._reading = True
            try:
                typed.append(input(PROMPT))
            except EOFError:
                typed.append(None)
            self._reading = False
        except (KeyboardInterrupt, SystemError):
            if self._reading:
                raise
        line = typed[0] if typed else CANCELLED
        if line is None or line == CANCELLED:
            print()
        return line

    def opening(self) -> str:
        return self.live.in_words() or "Say what happened, or ask; help lists examples, bye leaves."

    def answer(self, line: str, reply: Reply, several: bool) -> None:
        self.tell(printing.printed(reply, self.screen, wrap=True))
        self._watch_rinse()

    def news(self, text: str) -> None:
        self.tell(f"({text})")

    def _watch_rinse(self) -> None:
        running = self.live.countdown()
        self.stop()
        if running is not None:
            self._timer = threading.Timer(running.left.total_seconds(), self._rinse_is_over, (running.tank,))
            self._timer.daemon = True
            self._timer.start()

    def _rinse_is_over(self, tank: str) -> None:
        self.tell(f"\a\nThe rinse of {tank} has had its time: shut the rinse tap now.")

    def stop(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def tell(self, text: str) -> None:
        if self.screen.spoken:
            from assistant.speak import speakable

            text = speakable(text)
        print(printing.wrapped(text, self.screen.width), flush=True)


def _start_line_editor(live: Live) -> None:
    """Tab and history through readline, where the system has it and the terminal is not a dumb one."""
    if not can_draw():
        return
    try:
        import readline
    except ImportError:
        return
    for turn in live.turns:
        readline.add_history(turn.heard)
    readline.set_completer_delims(" ")
    readline.set_completer(_completer(live, readline.get_line_buffer))
    readline.parse_and_bind("tab: complete")


def _completer(live: Live, line: Callable[[], str]) -> Callable[[str, int], str | None]:
    def complete(word: str, place: int) -> str | None:
        """Single words only: the line editor replaces one word at a time."""
        found = [offer.text for offer in completion.offers(line(), live.known()) if offer.back == len(word)]
        return f"{found[place]} " if place < len(found) else None

    return complete
