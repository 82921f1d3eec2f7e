"""Names of places with the capitals they were written with. May import: intents."""

from __future__ import annotations

from collections.abc import Sequence

from grammar.intents import Intent
from grammar.lightclass import replace


def as_written(meanings: Sequence[Intent], text: str) -> tuple[Intent, ...]:
    """The meanings with the capitals of a site as they were written: "Otter Flats RV". Said in small letters, or all in capitals, it has
    those of a name."""
    if text.isupper() or not any(word[1:] != word[1:].casefold() for word in text.split()):
        return tuple(meanings)
    written = {word.strip(_MARKS).casefold(): word.strip(_MARKS) for word in text.split()}
    return tuple(_with_capitals(one, written) for one in meanings)


_MARKS = ".,;:!?\"'()"


def _with_capitals(meaning: Intent, written: dict[str, str]) -> Intent:
    site = getattr(meaning, "site", None)
    if not isinstance(site, str):
        return meaning
    kept = [
        said if (said := written.get(word.casefold(), word))[1:] != said[1:].casefold() else word
        for word in site.split()
    ]
    return replace(meaning, site=" ".join(kept))  # type: ignore[call-arg]
