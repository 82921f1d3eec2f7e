"""The vocabulary: words/*.txt read into one table from spellings to word classes. To add a synonym, add it to its line there.

A line is `CLASS.form value: spelling, spelling, …`. `(a|b)` stands for either, `(a|)` for a word that may be left out. Articles and
possessives ("the", "my") are left out of spellings: they may stand between the words of any. May import: the standard library only.
"""

# ruff: noqa: SIM905 (a string of words is easier to read and to add to than a list of strings)

from __future__ import annotations

import itertools
import re
from functools import cache
from pathlib import Path

from lightclass import dataclass

WORDS = Path(__file__).parent / "words"
DETERMINERS = frozenset(("the my our his her their your some a an").split())


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
    table: dict[tuple[str, ...], tuple[Sense, ...]] = {}
    for path in sorted(WORDS.glob("*.txt")):
        if path.name != "english.txt":
            for line in path.read_text(encoding="utf-8").splitlines():
                _take(line, table)
    lengths: dict[str, set[int]] = {}
    for words in table:
        lengths.setdefault(words[0], set()).add(len(words))
    names = ({"NAMEWORD"}, {"KIN"}, {"GROUP"})
    single = frozenset(
        word for words, senses in table.items() if {one.cls for one in senses} not in names for word in words
    )
    ordinary = (WORDS / "english.txt").read_text(encoding="utf-8").splitlines()
    english = frozenset(word for line in ordinary if not line.startswith("#") for word in line.split())
    return Lexicon(table, {word: tuple(sorted(size, reverse=True)) for word, size in lengths.items()}, single, english)


def _take(line: str, table: dict[tuple[str, ...], tuple[Sense, ...]]) -> None:
    line = line.partition("#")[0].strip()
    if not line:
        return
    head, _, spellings = line.partition(":")
    cls, _, value = head.strip().partition(" ")
    cls, _, form = cls.partition(".")
    sense = Sense(cls, form, value.strip())
    for spelling in spellings.split(","):
        for words in expanded(spelling.strip()):
            if words and sense not in table.get(words, ()):
                table[words] = (*table.get(words, ()), sense)


def expanded(spelling: str) -> list[tuple[str, ...]]:
    """All spellings of a pattern with `(a|b)` in it, as words; determiners left out unless the spelling is nothing else."""
    parts = [
        part.strip("()").split("|") if part.startswith("(") else [part]
        for part in re.findall(r"\([^)]*\)|[^()]+", spelling)
    ]
    found = []
    for choice in itertools.product(*parts):
        words = "".join(choice).split()
        kept = tuple(word for word in words if word not in DETERMINERS) or tuple(words)
        found.append(kept)
    return found
