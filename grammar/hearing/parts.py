"""Rules of grammar/parts/*.txt at work: what a part of a phrase is, taken as a whole. How a rule is written stands in neighbour_files.py.

Each file answers one question, and the first of its rules that fits gives the verdict. Only those are tried that a word of the part calls
up, and a rule is made ready when it is first tried. May import: fitting, tokens, prepared.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache

from grammar.hearing.fitting import Element, fits, tested
from grammar.hearing.tokens import Tok
from grammar.prepared import parts


def verdict(question: str, part: Sequence[Tok]) -> str:
    """What the file of that name says of a part; "" if none of its rules fits."""
    rules, places = _table(question)
    said = {"", *[tok.text for tok in part]}
    for tok in part:
        said.update(tok.senses)
        if " " in tok.text:
            said.update(tok.text.split())
    called = places.keys() & said
    for place in sorted({place for call in called for place in places[call]}):
        if rules[place](part):
            return rules[place].says
    return ""


def shared(name: str) -> frozenset[str]:
    """The words and classes of a set of parts/common.txt."""
    return next(frozenset(words.split("|")) for one, _, words in parts()["common"] if one == name)


class Rule:
    """One rule, taken apart from its line when it is first needed."""

    def __init__(self, name: str, line: str) -> None:
        self.name, self._line = name, line
        self.says = ""
        self._made: _Made | None = None

    def __call__(self, part: Sequence[Tok]) -> bool:
        """Whether the rule fits the part."""
        made = self._made
        if made is None:
            made = self._made = _Made(self._line)
            self.says = made.says
        return made.fits(part)


@cache
def _table(question: str) -> tuple[list[Rule], dict[str, list[int]]]:
    """The rules of a file, in order, and which of them each word or class calls up."""
    rules: list[Rule] = []
    places: dict[str, list[int]] = {}
    for place, (name, calls, line) in enumerate(parts()[question]):
        rules.append(Rule(name, line))
        for call in calls.split("|"):
            places.setdefault(call, []).append(place)
    return rules, places


class _Made:
    """`whole`: what the part is from its beginning to its end. `guards`: what must, or must not, be true of some token."""

    def __init__(self, line: str) -> None:
        told = json.loads(line)
        self.says: str = told["says"]
        self.whole = [Element(one, within=True) for one in [*told["whole"], "edge"]]
        self.guards = [(wanted, tested(test, within=True)) for wanted, test in told["guards"]]

    def fits(self, part: Sequence[Tok]) -> bool:
        held = all(any(map(test, part)) is wanted for wanted, test in self.guards)
        return held and fits(self.whole, 0, part, 0, 1)
