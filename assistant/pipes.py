"""Lines of standard input as turns: bytes to text whatever they hold, and the time that may stand before the words.

May import: `clock`, `reply`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime

from assistant import clock
from assistant.reply import Reply
from state.lightclass import TYPE_CHECKING, dataclass

if TYPE_CHECKING:
    from typing import BinaryIO

    from assistant.talk import Conversation

LONGEST = 65536  # bytes of a line that are looked at; far beyond what a phrase may have
_STAMPED = r"(?s)\[([^\]]{1,60})\](.*)"


@dataclass(frozen=True)
class Line:
    """`at`: the moment it is said at, if the line tells. `problem`: a sentence, when what stands in the brackets is no time."""

    text: str
    at: datetime | None = None
    problem: str = ""


def lines(stream: BinaryIO) -> Iterator[Line]:
    """The lines of a stream, as they come; blank ones are passed over."""
    first = True
    while piece := stream.readline(LONGEST):
        while len(piece) == LONGEST and not piece.endswith(b"\n") and (more := stream.readline(LONGEST)):
            if more.endswith(b"\n") or len(more) < LONGEST:
                break
        text = piece.decode("utf-8", "replace").strip("\r\n")
        text, first = text.removeprefix("\ufeff") if first else text, False
        if text.strip():
            yield line(text)


def line(text: str) -> Line:
    """A line with its time, if it begins with one in square brackets."""
    found = re.fullmatch(_STAMPED, text.strip()) if text.lstrip().startswith("[") else None
    if not found or not any(letter.isdigit() for letter in found[1]):
        return Line(text.strip())
    try:
        return Line(found[2].strip(), clock.read(found[1]))
    except ValueError as error:
        return Line(text.strip(), problem=f"{error} Nothing was recorded.")


def hear(talk: Conversation, line: Line, now: datetime | None, dry_run: bool = False) -> Reply:
    """Say a line to the conversation, at its own time if it has one. Raises LogError."""
    if line.problem:
        return Reply(line.text, "refused", answer=line.problem)
    return talk.say(line.text, now=line.at or now, dry_run=dry_run)
