"""The vocabulary: one table from spellings to word classes. To add a synonym, add it to its line in words/*.txt and prepare anew
(`python -m grammar.prepare`). May import: prepared.
"""

from __future__ import annotations

from functools import cache

from grammar.prepared import prepared
from lightclass import dataclass

DETERMINERS = frozenset(("the", "my", "our", "his", "her", "their", "your", "some", "a", "an"))
_ONLY_NAMES = ({"NAMEWORD"}, {"KIN"}, {"GROUP"})


@dataclass(frozen=True)
class Sense:
    """What a spelling means: its class (`ACT`, `DUMP`, `UNIT`…), the form of the word, and the canonical value."""

    cls: str
    form: str
    value: str


@dataclass(frozen=True)
class Lexicon:
    """`spellings`: words → senses. `first`: a first word → the lengths (in words) of the spellings that begin with it, longest first.
    `single`: all words that stand in any spelling, the vocabulary that typing errors are mended towards. `english`: ordinary words."""

    spellings: dict[tuple[str, ...], tuple[Sense, ...]]
    first: dict[str, tuple[int, ...]]
    single: frozenset[str]
    english: frozenset[str]


@cache
def lexicon() -> Lexicon:
    """The vocabulary, made once from what was prepared."""
    table: dict[tuple[str, ...], tuple[Sense, ...]] = {}
    lengths: dict[str, set[int]] = {}
    single: set[str] = set()
    made: dict[str, Sense] = {}
    for line in prepared().words:
        spelled, *told = line.split("|")
        words = tuple(spelled.split(" "))
        senses = tuple([made.get(one) or made.setdefault(one, _sense(one)) for one in told])
        table[words] = senses
        lengths.setdefault(words[0], set()).add(len(words))
        if {one.cls for one in senses} not in _ONLY_NAMES:
            single.update(words)
    first = {word: tuple(sorted(size, reverse=True)) for word, size in lengths.items()}
    return Lexicon(table, first, frozenset(single), frozenset(prepared().english.split(" ")))


def _sense(told: str) -> Sense:
    head, _, value = told.partition(" ")
    cls, _, form = head.partition(".")
    return Sense(cls, form, value)
