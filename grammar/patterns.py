"""Regular expressions that are compiled only for a text that could match them: most phrases need none, and compiling takes longer than reading.

May import: the standard library only.
"""

from __future__ import annotations

import re


class Pattern:
    """A pattern without regard to case, and pieces of words of which each text that it matches holds at least one; `also`: and one of these."""

    def __init__(self, pieces: tuple[str, ...], pattern: str, flags: int = 0, also: tuple[str, ...] = ("",)) -> None:
        self.pieces, self.also, self.pattern = pieces, also, pattern
        self._flags = flags | re.IGNORECASE
        self._compiled: re.Pattern[str] | None = None

    def match(self, text: str) -> re.Match[str] | None:
        """As re.match."""
        ready = self._ready(text)
        return ready.match(text) if ready is not None else None

    def fullmatch(self, text: str) -> re.Match[str] | None:
        """As re.fullmatch."""
        ready = self._ready(text)
        return ready.fullmatch(text) if ready is not None else None

    def _ready(self, text: str) -> re.Pattern[str] | None:
        low = _folded(text)
        for piece in self.pieces:
            if piece in low:
                break
        else:
            return None
        if not any(piece in low for piece in self.also):
            return None
        if self._compiled is None:
            self._compiled = re.compile(self.pattern, self._flags)
        return self._compiled


_last = ["", ""]
"""The last text, and the same without regard to case: one text is held against many patterns."""


def _folded(text: str) -> str:
    if _last[0] is not text:
        _last[:] = text, text.casefold()
    return _last[1]
