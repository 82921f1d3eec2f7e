"""The vocabulary as people edit it, words/*.txt, read into lines for prepared.json. Only `python -m grammar.prepare` and the tests use it.

A line is `CLASS.form value: spelling, spelling, …`. `(a|b)` stands for either, `(a|)` for a word that may be left out. Articles and
possessives ("the", "my") are left out of spellings: they may stand between the words of any. May import: lexicon.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable
from pathlib import Path

from grammar.lexicon import DETERMINERS

WORDS = Path(__file__).parent / "words"


def spellings() -> dict[str, str]:
    """Each spelling, blanks between its words, to its senses, "CLASS.form value|…", in the order of the files."""
    table: dict[tuple[str, ...], list[str]] = {}
    for path in sorted(WORDS.glob("*.txt")):
        if path.name != "english.txt":
            for line in path.read_text(encoding="utf-8").splitlines():
                _take(line, table)
    return {" ".join(words): "|".join(senses) for words, senses in table.items()}


def first(spellings: Iterable[str]) -> dict[str, list[int]]:
    """A first word to the lengths of the spellings that begin with it, longest first."""
    lengths: dict[str, set[int]] = {}
    for spelling in spellings:
        words = spelling.split(" ")
        lengths.setdefault(words[0], set()).add(len(words))
    return {word: sorted(sizes, reverse=True) for word, sizes in lengths.items()}


def english() -> str:
    """The ordinary words, blanks between them."""
    lines = (WORDS / "english.txt").read_text(encoding="utf-8").splitlines()
    return " ".join(sorted({word for line in lines if not line.startswith("#") for word in line.split()}))


def _take(line: str, table: dict[tuple[str, ...], list[str]]) -> None:
    line = line.partition("#")[0].strip()
    if not line:
        return
    head, _, given = line.partition(":")
    cls, _, value = head.strip().partition(" ")
    sense = f"{cls} {value.strip()}"
    for spelling in given.split(","):
        for words in expanded(spelling.strip()):
            if words and sense not in table.setdefault(words, []):
                table[words].append(sense)


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
