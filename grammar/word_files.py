"""The vocabulary as people edit it, words/*.txt, read into lines for prepared.json. Only `python -m grammar.prepare` and the tests use it.

A line is `CLASS.form value: spelling, spelling, …`. `(a|b)` stands for either, `(a|)` for a word that may be left out. Articles and
possessives ("the", "my") are left out of spellings: they may stand between the words of any. A form that ends in `+` (`ACT.thing+`)
stands for the spellings and their plurals. May import: lexicon.
"""

from __future__ import annotations

import itertools
import re
from pathlib import Path

from grammar.lexicon import DETERMINERS

WORDS = Path(__file__).parent / "words"
COMMON, RARER = "english.txt", "english_rarer.txt"


def spellings() -> dict[str, str]:
    """Each spelling, blanks between its words, to its senses, "CLASS.form value|…", in the order of the files."""
    table: dict[tuple[str, ...], list[str]] = {}
    for path in sorted(WORDS.glob("*.txt")):
        if path.name not in (COMMON, RARER):
            for line in path.read_text(encoding="utf-8").splitlines():
                _take(line, table)
    return {" ".join(words): "|".join(senses) for words, senses in table.items()}


def english(name: str) -> set[str]:
    """The ordinary words of a file."""
    lines = (WORDS / name).read_text(encoding="utf-8").splitlines()
    return {word for line in lines if not line.startswith("#") for word in line.split()}


def _take(line: str, table: dict[tuple[str, ...], list[str]]) -> None:
    line = line.partition("#")[0].strip()
    if not line:
        return
    head, _, given = line.partition(":")
    cls, _, value = head.strip().partition(" ")
    sense = f"{cls.removesuffix('+')} {value.strip()}"
    for spelling in given.split(","):
        for words in expanded(spelling.strip()):
            for one in (words, plural(words)) if cls.endswith("+") else (words,):
                if one and sense not in table.setdefault(one, []):
                    table[one].append(sense)


_OWN_PLURALS = {"foot": "feet", "tooth": "teeth", "goose": "geese", "mouse": "mice", "child": "children"}
_IN_O = ("potato", "tomato", "mango")


def plural(words: tuple[str, ...]) -> tuple[str, ...]:
    """A noun in the plural, by the rules of English spelling: the head is the word before "of", else the last."""
    head = words.index("of") - 1 if "of" in words[1:] else len(words) - 1
    word = words[head]
    if word in _OWN_PLURALS:
        many = _OWN_PLURALS[word]
    elif word.endswith(("s", "x", "z", "ch", "sh")) or word in _IN_O:
        many = word + "es"
    elif word.endswith("y") and word[-2:-1] not in "aeiou":
        many = word[:-1] + "ies"
    elif word.endswith(("knife", "shelf", "loaf", "scarf", "calf")):
        many = word.removesuffix("e")[:-1] + "ves"
    else:
        many = word + "s"
    return (*words[:head], many, *words[head + 1 :])


def expanded(spelling: str) -> list[tuple[str, ...]]:
    """All spellings of a pattern with `(a|b)` in it, as words; determiners left out unless the spelling is nothing else."""
    parts = [
        part.strip("()").split("|") if part.startswith("(") else [part]
        for part in re.findall(r"\([^)]*\)|[^()]+", spelling)
    ]
    found = []
    for choice in itertools.product(*parts):
        words = re.sub(r"'s\b|(?<=s)'(?!\w)", " 's", "".join(choice)).split()  # as a phrase is heard
        kept = tuple(word for word in words if word not in DETERMINERS) or tuple(words)
        found.append(kept)
    return found
