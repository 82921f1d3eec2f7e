"""What could come next while a phrase is typed: words of phrases said before and of the help page, names of this rig, the vocabulary.

Pure, and knows no terminal: the chat, a plain prompt and the scripts for shells all ask here. May import: `answers.help`, `grammar`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache

from grammar.lexicon import lexicon
from grammar.reading import Names
from state.lightclass import dataclass

MOST = 12
CLASSES = (
    "ACT",
    "TANK",
    "USE",
    "DUMP",
    "FILL",
    "HAUL",
    "METER",
    "STATUS",
    "MAKEIT",
    "UNIT",
    "ARRIVE",
    "LEAVE",
    "BACK",
    "SWITCH",
    "DUE",
    "HELPQ",
)
"""Classes of the vocabulary in the order in which they are offered; all others follow."""

EXAMPLE_NAMES = re.compile(r"\b(Ana|Joss|Mo|Heron Bend|Cedar Flat|Harbor Lane|Otter Flats|Pine Hollow)\b")


@dataclass(frozen=True)
class Offer:
    """`text` replaces the last `back` characters of what was typed."""

    text: str
    back: int


@dataclass(frozen=True)
class Known:
    """`phrases`: said before on this log, the latest first. `names`: people, sites, tanks, own activities, items."""

    phrases: tuple[str, ...] = ()
    names: tuple[str, ...] = ()


def known(names: Names, phrases: Iterable[str]) -> Known:
    """What this rig adds: its names, and its phrases without repetition."""
    own = (
        *names.people,
        *names.sites,
        *names.tanks,
        *names.activities,
        *names.items,
        *(word for word, _ in names.taught),
    )
    return Known(tuple(dict.fromkeys(phrases)), tuple(dict.fromkeys(own)))


def offers(typed: str, words: Known) -> list[Offer]:
    """At most a dozen, the likeliest first; none for a line that has not been begun."""
    if not typed.strip():
        return []
    found: dict[str, Offer] = {}
    for offer in _all(typed.lstrip(), words):
        found.setdefault(offer.text.casefold(), offer)
        if len(found) == MOST:
            break
    return list(found.values())


def _all(typed: str, words: Known) -> Iterator[Offer]:
    yield from _next_words(typed, words.phrases)
    yield from _beginning(typed, words.names)
    yield from _next_words(typed, examples())
    yield from _beginning(typed, vocabulary())


def _next_words(typed: str, phrases: Iterable[str]) -> Iterator[Offer]:
    """The next word of every phrase that begins like this; figures are never offered, they are not for guessing."""
    begun = len(typed) - len(_last_word(typed))
    low = typed.casefold()
    for phrase in phrases:
        if phrase.casefold().startswith(low) and len(phrase) > len(typed):
            word = phrase[begun:].split(" ")[0]
            if len(word) > len(typed) - begun and not any(char.isdigit() for char in word):
                yield Offer(word, len(typed) - begun)


def _beginning(typed: str, candidates: Iterable[str]) -> Iterator[Offer]:
    """Names and words that begin with the last word typed, or with the last few ("heron b")."""
    tails = _tails(typed.casefold())
    for candidate in candidates:
        low = candidate.casefold()
        tail = next((tail for tail in tails if low.startswith(tail) and low != tail), None)
        if tail is not None:
            yield Offer(candidate, len(tail))


def _last_word(typed: str) -> str:
    return "" if typed.endswith(" ") else typed.rsplit(" ", 1)[-1]


def _tails(typed: str) -> list[str]:
    """The last three, two, one words, the longest first; nothing after a blank but the words before it with the blank."""
    words = typed.split(" ")
    tails = [" ".join(words[-n:]) for n in (3, 2, 1) if n <= len(words)]
    return [tail for tail in tails if tail.strip() and any(char.isalpha() for char in tail)]


@cache
def examples() -> tuple[str, ...]:
    """The help page's phrases, but for those with somebody else's names."""
    from assistant.answers.help import SUBJECTS

    phrases = (phrase for group in SUBJECTS.values() for phrase in group)
    return tuple(phrase for phrase in dict.fromkeys(phrases) if not EXAMPLE_NAMES.search(phrase))


@cache
def vocabulary() -> tuple[str, ...]:
    """The grammar's words: of each sense the first few spellings (the later ones are for hearing, not for offering)."""
    seen: dict[tuple[str, str, str], int] = {}
    ranked: list[tuple[int, int, str]] = []
    rank = {cls: n for n, cls in enumerate(CLASSES)}
    for spelling, senses in lexicon().spellings.items():
        text = " ".join(spelling)
        if len(text) < 3 or len(spelling) > 2 or not text.replace(" ", "").replace("-", "").isalpha():
            continue
        for sense in senses:
            key = (sense.cls, sense.form, sense.value)
            seen[key] = seen.get(key, 0) + 1
            if seen[key] <= 3:
                ranked.append((rank.get(sense.cls, len(CLASSES)), seen[key], text))
    ranked.sort(key=lambda item: item[:2])
    return tuple(dict.fromkeys(text for _, _, text in ranked))
