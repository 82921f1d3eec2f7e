"""What is prepared from phrases.lark, words/*.txt, neighbours/*.txt and parts/*.txt, so that a phrase needs neither lark nor the reading
of those files.

prepared.json and prepared_*.txt are written by `python -m grammar.prepare`; a test tells when they are out of date. All that a phrase needs
a few of among many (states, words, rules) are lines, taken apart when they are called for: a one-shot on a phone waits for each.
May import: the standard library only.
"""

from __future__ import annotations

import json
import os
from functools import cache
from mmap import ACCESS_READ, mmap

from grammar.lightclass import Any, dataclass

PLACE = os.path.join(os.path.dirname(__file__), "prepared.json")
WORDS = os.path.join(os.path.dirname(__file__), "prepared_words.txt")
ENGLISH = os.path.join(os.path.dirname(__file__), "prepared_english.txt")
RULES = os.path.join(os.path.dirname(__file__), "prepared_rules.txt")
PARTS = os.path.join(os.path.dirname(__file__), "prepared_parts.txt")


class Rows(dict[int, dict[str, int]]):
    """A parser's states by number, each from a word class (or a rule's name) to what is done."""

    def __init__(self, lines: list[str]) -> None:
        super().__init__()
        self._lines = lines

    def __missing__(self, state: int) -> dict[str, int]:
        """The state's line, "class number class number …", taken apart."""
        told = self._lines[state].split(" ")
        row = self[state] = dict(zip(told[::2], map(int, told[1::2]), strict=True))
        return row


@dataclass(frozen=True)
class Prepared:
    """`rows`: a parser's states. `starts`, `ends`: the states of each start rule. `rules`: origin, number of parts, name of the meaning,
    whether a single part stands for the whole. `classes`: all word classes of the grammar. `words`: a line, UTF-8, for each first word of
    a spelling, in the order of its bytes: the word, how long the spellings are that begin with it, and then in turn what follows it and
    its senses, "class.form value|…", with tabs between and behind. `firsts`: those first words in the order of the files, the likelier of
    each sense first. `single`: all words that typing errors are mended towards. `english`: a line for each ordinary word, in the order of
    its bytes: the word, a tab, and "rarer" if it is none of the most frequent. `neighbours`: the rules of all files of neighbours: a name,
    a tab, and the rule as JSON. `rooms`: the first of those of each file, and the first that is none of them. `calls`: a word or class →
    the numbers of the rules that it calls up, with blanks between."""

    rows: Rows
    starts: dict[str, int]
    ends: dict[str, int]
    rules: list[tuple[str, int, str, bool]]
    classes: frozenset[str]
    words: mmap | bytes
    firsts: str
    single: str
    english: mmap | bytes
    neighbours: list[str]
    rooms: dict[str, list[int]]
    calls: dict[str, str]


@cache
def prepared() -> Prepared:
    with open(PLACE, encoding="utf-8") as file:
        found: dict[str, Any] = json.load(file)
    with open(WORDS, "rb") as lines:
        words = mmap(lines.fileno(), 0, access=ACCESS_READ)
    with open(ENGLISH, "rb") as lines:
        english = mmap(lines.fileno(), 0, access=ACCESS_READ)
    with open(RULES, encoding="utf-8") as file:
        neighbours = file.read().split("\n")
    return Prepared(
        rows=Rows(found["rows"]), starts=found["starts"], ends=found["ends"], rules=[tuple(rule) for rule in found["rules"]],
        classes=frozenset(found["classes"]), words=words, firsts=found["firsts"],
        single=found["single"], english=english, neighbours=neighbours,
        rooms=found["rooms"], calls=found["calls"],
    )  # fmt: skip


@cache
def parts() -> dict[str, list[tuple[str, str, str]]]:
    """For each file of parts its rules, in order: a name, what calls it up, and the rule as JSON; of "common" the sets. Few phrases need
    them."""
    found: dict[str, list[tuple[str, str, str]]] = {}
    with open(PARTS, encoding="utf-8") as file:
        for line in file.read().splitlines():
            question, name, calls, rule = line.split("\t")
            found.setdefault(question, []).append((name, calls, rule))
    return found
