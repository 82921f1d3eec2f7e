"""The chat without a drawn screen: for a screen reader, a speech engine, a simple terminal. Lines in, lines out, nothing moves.

Tab completion and history come from the system's line editor where there is one. A rinse rings when its time is up, by a timer.
May import: the standard library, `live`, `first_run`, `printing`.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable, Mapping

from assistant import completion, first_run, printing
from assistant.live import Live, is_goodbye, left, said_lines, ticking
from assistant.options import Options
from assistant.places import default_log
from assistant.printing import PROMPT, Screen
from assistant.talk import open_conversation
from state.faults import LogError


def can_draw(env: Mapping[str, str] = os.environ) -> bool:
    """A terminal on which lines can be drawn anew, with someone at both ends."""
    return (
        env.get("TERM", "dumb").casefold() not in ("dumb", "unknown", "") and sys.stdin.isatty() and sys.stdout.isatty()
    )


def run(chosen: Options) -> int:
    """Until `bye` or the end of the input. Returns the exit status; raises LogError if the log cannot be opened."""
    with open_conversation(chosen.db or default_log(), read_only=chosen.dry_run) as talk:
        live = Live(talk, ticking(chosen.now), chosen.dry_run)
        _start_line_editor(live)
        chat = _Plain(live, printing.screen_of(sys.stdout, plain=True, speak=chosen.speak))
        try:
            return chat.hold()
        finally:
            chat.stop()


class _Plain:
    def __init__(self, live: Live, screen: Screen) -> None:
        self.live, self.screen = live, screen
        self._timer: threading.Timer | None = None
        self._failed = False

    def hold(self) -> int:
        if self.live.is_new and not self._set_up():
            return 0
        self._print(self.live.in_words() or "Say what happened, or ask; help lists examples, bye leaves.")
        while (text := _entered()) is not None and not is_goodbye(text):
            if first_run.asks_again(text):
                if not self._set_up():
                    break
                continue
            for line in said_lines(text):
                self._hear(line)
        running = self.live.countdown()
        if running is not None:
            self._print(f"Mind the rinse of {running.tank}: {left(running)} left, and I can't ring once I'm gone.")
        return 4 if self._failed else 0

    def _hear(self, line: str) -> None:
        try:
            self.live.poll()
            reply = self.live.say(line)
        except LogError as error:
            self._failed = True
            self._print(f"{error}\nNothing was recorded.")
            return
        self._failed = False
        self._print(printing.printed(reply, self.screen, wrap=True))
        self._watch_rinse()

    def _watch_rinse(self) -> None:
        running = self.live.countdown()
        self.stop()
        if running is not None:
            self._timer = threading.Timer(running.left.total_seconds(), self._rinse_is_over, (running.tank,))
            self._timer.daemon = True
            self._timer.start()

    def _rinse_is_over(self, tank: str) -> None:
        self._print(f"\a\nThe rinse of {tank} has had its time: shut the rinse tap now.")

    def stop(self) -> None:
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _set_up(self) -> bool:
        dialogue = first_run.dialogue(self.live.say, self.live.units or first_run.guessed_units())
        text = next(dialogue)
        while True:
            self._print(text)
            answer = _entered()
            if answer is None or is_goodbye(answer):
                return False
            try:
                text = dialogue.send(answer)
            except StopIteration as done:
                self._print(str(done.value))
                return True

    def _print(self, text: str) -> None:
        if self.screen.spoken:
            from assistant.speak import speakable

            text = speakable(text)
        print(printing.wrapped(text, self.screen.width), flush=True)


def _entered() -> str | None:
    """A line; "" when it was cancelled; None at the end."""
    try:
        return input(PROMPT)
    except KeyboardInterrupt:
        print()
        return ""
    except EOFError:
        print()
        return None


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
