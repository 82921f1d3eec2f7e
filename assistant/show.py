"""A turn as it is printed, in words or as JSON. No control, escape or text-turning character passes: notes, names and imported files
may hold anything, and a terminal obeys what it is sent. May import: `reply`."""

from __future__ import annotations

import json
import re

from assistant.reply import Reply
from state.lightclass import Any

# C0 but line feed, DEL and C1, the marks that turn or hide text, line and paragraph separators, halves of characters.
_UNSAFE = (
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff\U000e0000-\U000e007f]"
)
_UNSAFE_JSON = _UNSAFE.replace("[", "[\x0a", 1)


def plain(text: str) -> str:
    """The text with what a terminal would obey replaced; line ends stay."""
    if _is_harmless(text.replace("\n", "")):
        return text
    return re.sub(_UNSAFE, lambda found: " " if found[0] in "\t\r" else "\N{REPLACEMENT CHARACTER}", text)


def _is_harmless(text: str) -> bool:
    """Plain letters and signs only, as nearly all answers are; compiling the pattern takes longer than making the answer."""
    return text.isascii() and text.isprintable()


def as_words(reply: Reply) -> str:
    """The answer, then each caution that does not stand in it already on a line of its own."""
    lines = [reply.answer] if reply.answer else []
    lines += [caution for caution in reply.cautions if caution not in reply.answer]
    return plain("\n".join(lines))


def as_json(value: Any) -> str:
    """JSON on one line, with unsafe characters escaped."""
    if isinstance(value, Reply):
        value = value.model_dump(mode="json")
    return safe_json(json.dumps(value, ensure_ascii=False, allow_nan=False))


def safe_json(text: str) -> str:
    """JSON already made, with unsafe characters escaped."""
    return text if _is_harmless(text) else re.sub(_UNSAFE_JSON, lambda found: _escaped(found[0]), text)


def _escaped(character: str) -> str:
    return "\\u007f" if character == "\x7f" else json.dumps(character)[1:-1]
