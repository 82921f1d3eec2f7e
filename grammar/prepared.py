"""What is prepared from phrases.lark and words/*.txt, so that a phrase needs neither lark nor the reading of the word files.

prepared.json is written by `python -m grammar.prepare`; a test tells when it is out of date. May import: the standard library only.
"""

from __future__ import annotations

import json
import os
from functools import cache

from grammar.lightclass import Any, dataclass

PLACE = os.path.join(os.path.dirname(__file__), "prepared.json")


@dataclass(frozen=True)
class Prepared:
    """`rows`: a parser's states, each from a word class (or a rule's name) to what is done. `starts`, `ends`: the states of each start
    rule. `rules`: origin, number of parts, name of the meaning, whether a single part stands for the whole. `classes`: all word classes
    of the grammar. `words`: a spelling to its senses, "class.form value|…". `first`: a first word to the lengths of the spellings that
    begin with it, longest first. `english`: ordinary words."""

    rows: list[dict[str, int]]
    starts: dict[str, int]
    ends: dict[str, int]
    rules: list[tuple[str, int, str, bool]]
    classes: frozenset[str]
    words: dict[str, str]
    first: dict[str, tuple[int, ...]]
    english: str


@cache
def prepared() -> Prepared:
    with open(PLACE, encoding="utf-8") as file:
        found: dict[str, Any] = json.load(file)
    return Prepared(
        rows=found["rows"], starts=found["starts"], ends=found["ends"], rules=[tuple(rule) for rule in found["rules"]],
        classes=frozenset(found["classes"]), words=found["words"], first=found["first"], english=found["english"],
    )  # fmt: skip
