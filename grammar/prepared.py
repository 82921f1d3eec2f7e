"""What is prepared from phrases.lark, words/*.txt and neighbours/*.txt, so that a phrase needs neither lark nor the reading of those files.

prepared.json and prepared_words.txt are written by `python -m grammar.prepare`; a test tells when they are out of date. The words are lines
of their own, of which a phrase needs a few of the thousands. May import: the standard library only.
"""

from __future__ import annotations

import json
import os
from functools import cache

from grammar.lightclass import Any, dataclass

PLACE = os.path.join(os.path.dirname(__file__), "prepared.json")
WORDS = os.path.join(os.path.dirname(__file__), "prepared_words.txt")


@dataclass(frozen=True)
class Prepared:
    """`rows`: a parser's states, each from a word class (or a rule's name) to what is done. `starts`, `ends`: the states of each start
    rule. `rules`: origin, number of parts, name of the meaning, whether a single part stands for the whole. `classes`: all word classes
    of the grammar. `words`: for each first word of a spelling a line, UTF-8: the word, and then in turn what follows it and its senses,
    "class.form value|…", with tabs between. `places`: where the line of a first word begins. `single`: all words that typing
    errors are mended towards. `english`: ordinary words. `neighbours`: the rules of each file of neighbours, in order: a name, what calls
    it up, and the rule as a line of JSON, since a phrase needs few of them."""

    rows: list[dict[str, int]]
    starts: dict[str, int]
    ends: dict[str, int]
    rules: list[tuple[str, int, str, bool]]
    classes: frozenset[str]
    words: bytes
    places: dict[str, int]
    single: str
    english: str
    neighbours: dict[str, list[tuple[str, str, str]]]


@cache
def prepared() -> Prepared:
    with open(PLACE, encoding="utf-8") as file:
        found: dict[str, Any] = json.load(file)
    with open(WORDS, "rb") as lines:
        words = lines.read()
    return Prepared(
        rows=found["rows"], starts=found["starts"], ends=found["ends"], rules=[tuple(rule) for rule in found["rules"]],
        classes=frozenset(found["classes"]), words=words, places=found["places"], single=found["single"], english=found["english"],
        neighbours={room: [tuple(rule) for rule in rules] for room, rules in found["neighbours"].items()},
    )  # fmt: skip
