"""A picture asked for by phrase: "save a picture of the forecast", "keep this week as week.svg", as --picture does by option.

A matter of the doors and not of the conversation, since it writes a file where the program stands: the conversation is asked to show,
and what it shows is kept. May import: `printing`, `reply`.
"""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

from assistant import printing
from assistant.reply import Reply
from state.lightclass import TYPE_CHECKING, dataclass

if TYPE_CHECKING:
    from assistant.talk import Conversation

_VERB = r"(?:please )?(?:save|keep|make|write|export|give|send)(?: me| us)?"
_WHAT = r"(?:(?:the|this|a|an|my|our) )?(?P<what>tanks?|forecast|week)"
_FILE = r"(?: (?:to|as|in|into|under) (?:a file )?(?P<file>\S+\.svg))?"
_FORMS = (
    re.compile(rf"{_VERB} (?:a |the |an? svg )?picture(?: of {_WHAT})?{_FILE}", re.IGNORECASE),
    re.compile(rf"{_VERB} {_WHAT} (?:as|in) (?:a )?picture{_FILE}", re.IGNORECASE),
    re.compile(rf"{_VERB} {_WHAT}{_FILE}", re.IGNORECASE),
)
SHOWN = {"tanks": "show the tanks", "forecast": "show the forecast", "week": "show this week"}


@dataclass(frozen=True)
class Wanted:
    """what: tanks, forecast or week. file: where to."""

    what: str
    file: str


def asked(text: str) -> Wanted | None:
    """The picture that these words ask for; None for any other words."""
    words = " ".join(text.split()).rstrip(".!? ") if not text.rstrip().endswith(".svg") else " ".join(text.split())
    for place, form in enumerate(_FORMS):
        found = form.fullmatch(words)
        if found and (place < 2 or found["file"]):
            what = (found["what"] or "tanks").casefold()
            what = "tanks" if what == "tank" else what
            return Wanted(what, found["file"] or f"{what}.svg")
    return None


def kept(talk: Conversation, wanted: Wanted, heard: str, now: datetime | None, dry_run: bool) -> Reply:
    """Has it shown and keeps the picture; the reply says where, or why not. Raises LogError."""
    reply = talk.say(SHOWN[wanted.what], now=now, dry_run=dry_run)
    if "picture" not in reply.facts:
        return reply
    facts = {name: value for name, value in reply.facts.items() if name not in ("picture", "spoken")}
    path = Path(wanted.file).expanduser()
    if dry_run:
        return Reply(heard, "answered", answer=f"That would keep a picture as {wanted.file}.", facts=facts)
    try:
        printing.keep_picture(reply, str(path))
    except printing.NoPicture as problem:
        return Reply(heard, "refused", answer=str(problem), facts=facts)
    facts["file"] = str(path.resolve())
    return Reply(heard, "answered", answer=f"The picture is kept as {wanted.file}.", facts=facts)
