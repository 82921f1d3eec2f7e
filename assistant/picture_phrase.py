"""A picture asked for by phrase: "save a picture of the forecast", "keep this week as week.svg", as --picture does by option.

Any conversation can be asked, from Python as at the other doors: it shows, and what it shows is kept where the program stands.
May import: `printing`, `reply`.
"""

from __future__ import annotations

import re
from pathlib import Path

from assistant import printing
from assistant.reply import Reply
from state.lightclass import dataclass

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


def kept(reply: Reply, wanted: Wanted, heard: str, dry_run: bool) -> Reply:
    """Keeps the picture of what was shown; the reply says where, or why not."""
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
