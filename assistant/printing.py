"""A reply as a door prints it: for a screen of some width, for a reader of screens, for a speech engine; and the picture kept as a file.

Loads what draws only when there is something to draw, so that a one-shot stays quick. May import: `show`, `pictures`, `speak`, `svg`.
"""

from __future__ import annotations

import os
from collections.abc import Mapping

from assistant import show
from assistant.reply import Reply
from state.lightclass import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import TextIO
from state.lightclass import dataclass

PROMPT = "> "
PIPE_WIDTH = 60


@dataclass(frozen=True)
class Screen:
    """What can be shown. unicode: block characters. seen: pictures make sense; False for a screen reader. spoken: it is read aloud
    by a speech engine."""

    width: int = 80
    unicode: bool = True
    seen: bool = True
    spoken: bool = False


def screen_of(
    stream: TextIO, *, plain: bool = False, speak: bool = False, env: Mapping[str, str] = os.environ
) -> Screen:
    """What `stream` can show: a terminal's own width (COLUMNS first), 60 columns for a pipe."""
    width = PIPE_WIDTH
    if env.get("COLUMNS", "").isdigit():
        width = int(env["COLUMNS"])
    elif stream.isatty():
        try:
            width = os.get_terminal_size(stream.fileno()).columns
        except (OSError, ValueError):
            width = 80
    return Screen(width or 80, can_unicode(stream, env), not plain and not speak, speak)


def can_unicode(stream: TextIO, env: Mapping[str, str] = os.environ) -> bool:
    """Block characters arrive as such: the stream is UTF-8, and the locale does not say that it is a plain one."""
    locale = env.get("LC_ALL") or env.get("LC_CTYPE") or env.get("LANG") or ""
    return (getattr(stream, "encoding", None) or "").lower().startswith("utf") and locale not in ("C", "POSIX")


def printed(reply: Reply, screen: Screen, wrap: bool = False) -> str:
    """The reply for this screen: pictures drawn to its width or said in words. wrap: sentences are broken between words, and carets
    stand under the words that were not understood (for a chat, where the line said stands right above)."""
    if screen.spoken:
        from assistant.speak import speakable

        return show.plain(speakable(show.as_words(reply), reply.facts))
    picture = reply.facts.get("picture")
    if picture is not None and screen.seen:
        from assistant import pictures

        drawn = pictures.text(picture, screen.width - 1, screen.unicode)
        return show.plain("\n".join([drawn, *reply.cautions]))
    if picture is not None:
        reply = Reply(reply.heard, reply.outcome, reply.recorded, str(reply.facts["spoken"]), reply.cautions)
    if not wrap:
        return show.as_words(reply)
    marks = under(reply, screen.width) if screen.seen else ""
    text = wrapped(show.as_words(reply), screen.width)
    return f"{marks}\n{text}" if marks else text


class NoPicture(Exception):
    """The picture could not be kept; the sentence says why."""


def keep_picture(reply: Reply, path: str) -> None:
    """Write the picture of a reply to an SVG file, whole or not at all. A file that is no picture is never written over.

    Raises: NoPicture.
    """
    import tempfile
    from pathlib import Path

    from assistant import svg

    if "picture" not in reply.facts:
        raise NoPicture(
            f"There is nothing to draw in that answer, so {path} was not written. Try: show, show the forecast, show this week."
        )
    target = Path(path)
    try:
        if target.exists() and b"<svg" not in target.read_bytes()[:400]:
            raise NoPicture(f"{path} is there already and is no SVG picture, so it was left alone.")
        with tempfile.NamedTemporaryFile("w", encoding="utf-8", dir=target.parent, suffix=".svg", delete=False) as file:
            file.write(svg.drawing(reply.facts["picture"]))
        os.chmod(file.name, 0o644)
        os.replace(file.name, target)
    except OSError as error:
        raise NoPicture(f"{path} could not be written ({error.strerror or error}).") from None


def under(reply: Reply, width: int) -> str:
    """Carets under the words that were not understood, for a line that stands right above behind its prompt; "" where it does not fit."""
    words = reply.facts.get("words") if reply.outcome == "not_understood" else None
    if not words or "\n" in reply.heard or len(reply.heard) + len(PROMPT) > width or not reply.heard.isascii():
        return ""
    row, at = [" "] * len(reply.heard), 0
    for word in words:
        at = reply.heard.find(word, at)
        if at < 0 or not word.strip():
            return ""
        row[at : at + len(word)] = "^" * len(word)
        at += len(word)
    if row.count("^") > 0.8 * len(row):
        return ""  # all of it: that says the sentence
    return " " * len(PROMPT) + "".join(row).rstrip()


def wrapped(text: str, width: int) -> str:
    """Each line broken between words; a list's line goes on under its own text."""
    import textwrap

    lines = []
    for line in text.split("\n"):
        indent = len(line) - len(line.lstrip())
        hang = " " * min(indent + 2 if indent else 0, max(0, width - 10))
        lines += textwrap.wrap(
            line, max(10, width - 1), subsequent_indent=hang, break_on_hyphens=False, drop_whitespace=True
        ) or [""]
    return "\n".join(lines)
