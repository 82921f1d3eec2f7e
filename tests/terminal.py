"""A person at a terminal, for tests: the program in a real pseudo-terminal, its screen read as an emulator shows it.

Keys go in, `lines()` is what stands on the screen. The emulator answers the program's question for the cursor, as terminals do.
"""

from __future__ import annotations

import os
import re
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pexpect
import pyte

from tests.logbook import ROOT

PATIENCE = 20.0
TAB, ENTER, UP, RIGHT = "\t", "\r", "\x1b[A", "\x1b[C"
CTRL_C, CTRL_D, CTRL_R = "\x03", "\x04", "\x12"


class _Screen(pyte.Screen):
    """An emulator that answers by way of `answer`."""

    answer: Callable[[str], object] = staticmethod(lambda data: None)

    def write_process_input(self, data: str) -> None:
        self.answer(data)


class Pty:
    """A program in a pseudo-terminal of `columns` by `rows`. `raw` is all that it wrote."""

    def __init__(self, program: str, arguments: list[str], columns: int = 80, rows: int = 24, **env: str) -> None:
        own = {
            key: value for key, value in os.environ.items() if key not in ("NO_COLOR", "COLUMNS", "LINES", "ULLAGE_DB")
        }
        own |= {"TERM": "xterm-256color", "LC_ALL": "en_US.UTF-8", "PYTHONIOENCODING": "utf-8", **env}
        self._process = pexpect.spawn(
            program, arguments, cwd=str(ROOT), env=own, dimensions=(rows, columns), timeout=PATIENCE
        )
        self._screen = _Screen(columns, rows)
        self._screen.answer = lambda data: self._process.send(data)  # type: ignore[method-assign]
        self._stream = pyte.ByteStream(self._screen)
        self.raw = b""

    def keys(self, text: str) -> None:
        self._process.send(text)

    def at_once(self) -> None:
        """From now on keys come without the pause that a person makes before each (50 ms)."""
        self._process.delaybeforesend = None

    def line(self, text: str) -> None:
        """Types a line and presses Enter."""
        self.keys(text + ENTER)

    def paste(self, text: str) -> None:
        """What a terminal sends for a paste: the text between the marks of a bracketed paste."""
        self.keys(f"\x1b[200~{text}\x1b[201~")

    def resize(self, columns: int, rows: int = 24) -> None:
        self._screen.resize(rows, columns)
        self._process.setwinsize(rows, columns)

    def lines(self) -> list[str]:
        """What stands on the screen now."""
        return [line.rstrip() for line in self._screen.display]

    def text(self) -> str:
        return "\n".join(self.lines())

    def wait(self, condition: Callable[[], object] | str, patience: float = PATIENCE) -> None:
        """Reads on until the condition holds, or the words stand on the screen; fails with the screen if that takes too long."""
        holds = (lambda: condition in self.text()) if isinstance(condition, str) else condition
        until = time.monotonic() + patience
        while not holds():
            if time.monotonic() > until:
                raise AssertionError(f"waited in vain for {condition}; the screen:\n{self.text()}")
            self.read()

    def read(self, seconds: float = 0.05) -> None:
        try:
            data = self._process.read_nonblocking(65536, timeout=seconds)
        except pexpect.TIMEOUT:
            return
        except pexpect.EOF:
            time.sleep(0.01)
            return
        self.raw += data
        self._stream.feed(data)

    def settle(self, quiet: float = 0.25) -> None:
        """Reads on until nothing has come for a moment."""
        seen = -1
        while seen != len(self.raw):
            seen = len(self.raw)
            self.read(quiet)

    def status(self) -> int | None:
        """The exit status, once the program has ended by itself."""
        until = time.monotonic() + PATIENCE
        while self._process.isalive() and time.monotonic() < until:
            self.read()
        self.read()
        self._process.close()
        return self._process.exitstatus

    def close(self) -> None:
        self._process.close(force=True)


class Terminal(Pty):
    """The chat on a log."""

    def __init__(
        self,
        db: Path,
        *options: str,
        columns: int = 80,
        rows: int = 24,
        now: str | None = "2026-06-09T07:40-06:00",
        **env: str,
    ) -> None:
        moment = [] if now is None else ["--now", now]
        super().__init__(sys.executable, ["-m", "assistant", "--db", str(db), *moment, *options], columns, rows, **env)

    def foot(self) -> str:
        """The last lines that hold anything, of the gauges' kind."""
        return "\n".join(line for line in self.lines()[-5:] if line and not line.startswith(">"))

    def typed(self) -> str:
        """What was typed on the line with the cursor, up to the cursor: a ghost behind it is not typed."""
        line = self._screen.display[self._screen.cursor.y][: self._screen.cursor.x]
        return line[2:] if line.startswith("> ") else "no prompt"

    def ghost(self) -> str:
        """What stands behind the cursor."""
        return self._screen.display[self._screen.cursor.y][self._screen.cursor.x :].strip()


COLOUR = re.compile(rb"\x1b\[[0-9;]*?(?<![0-9])(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;[0-9;]*)?m")
"""A code that sets a colour of letters or ground."""
