"""One chat, whatever it is drawn on: what is heard, when the set-up questions come, what is said at the end.

Is a generator that asks for a line by yielding and is sent it, so that the drawn chat and the plain one hold the same dialogue: each
brings only its way to read a line and to print (`Door`). May import: `live`, `first_run`, `reply`.
"""

from __future__ import annotations

from collections.abc import Generator

from assistant import first_run
from assistant.live import Live, is_goodbye, left, said_lines
from assistant.reply import Reply
from state.lightclass import TYPE_CHECKING
from state.log.faults import LogError

if TYPE_CHECKING:
    from typing import Protocol

    class Door(Protocol):
        """What a chat is drawn on."""

        def opening(self) -> str:
            """What stands there before the first line is asked for."""

        def tell(self, text: str) -> None:
            """Prints the chat's own words."""

        def news(self, text: str) -> None:
            """What another process has logged meanwhile."""

        def answer(self, line: str, reply: Reply, several: bool) -> None:
            """Prints a reply; several: the line was one of many, and is not on the screen by itself."""


Dialogue = Generator[None, "str | None", int]
"""Asks for a line with each yield, is sent it (CANCELLED: it was given up; None: the end), and returns the exit status."""

CANCELLED = "\x03"
LOG_FAILED = 4


def dialogue(live: Live, door: Door) -> Dialogue:
    """Holds the chat until `bye` or the end."""
    if live.is_new:
        if not (yield from _set_up(live, door)):
            return 0
    else:
        door.tell(door.opening())
    failed = False
    while (text := (yield)) is not None and not is_goodbye(text):
        if text == CANCELLED:
            continue
        if first_run.asks_again(text):
            if not (yield from _set_up(live, door)):
                break
            continue
        failed = _hear(said_lines(text), live, door, failed)
    running = live.countdown()
    if running is not None:
        door.tell(f"Mind the rinse of {running.tank}: {left(running)} left, and I can't ring once I'm gone.")
    return LOG_FAILED if failed else 0


def _hear(lines: list[str], live: Live, door: Door, failed: bool) -> bool:
    """Says the lines one by one, until the log fails. True if it did."""
    for line in lines:
        if is_goodbye(line):
            continue
        try:
            if live.poll():
                door.news(live.notice)
            reply = live.say(line)
        except LogError as error:
            door.tell(f"{error}\nNothing was recorded.")
            return True
        failed = False
        door.answer(line, reply, len(lines) > 1)
    return failed


def _set_up(live: Live, door: Door) -> Generator[None, str | None, bool]:
    """The first four questions. False if the chat was left meanwhile."""
    questions = first_run.dialogue(live.say, live.units or first_run.guessed_units())
    text = next(questions)
    while True:
        door.tell(text)
        answer = yield
        if answer is None or is_goodbye(answer):
            return False
        try:
            text = questions.send(None if answer == CANCELLED else answer)
        except StopIteration as done:
            door.tell(str(done.value))
            return True
