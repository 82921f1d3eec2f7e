"""Patterns of tokens at work, for the rules of grammar/neighbours and grammar/parts. How they are written stands in neighbour_files.py.

May import: tokens, lexicon.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from grammar.hearing.tokens import Tok
from grammar.lexicon import lexicon
from grammar.lightclass import Any

Test = Callable[[Tok], bool]


_ONE, _NONE = (1,), ()


class Element:
    """One part of a pattern: an edge of the phrase, a choice of sequences, or tokens that pass a test, so many of them."""

    def __init__(self, told: Any, within: bool = False) -> None:
        """`told`: "edge", or kind, what of it, how many at the least and at the most. `within`: see `tested`."""
        self.edge: bool = told == "edge"
        self.ways: list[list[Element]] = []
        if self.edge:
            return
        kind, what, self.least, self.most = told
        self.lazy: bool = kind == "lazy"
        if kind == "ways":
            self.ways = [[Element(one, within) for one in way] for way in what]
        else:
            self.test = tested(what, within)

    def sizes(self, toks: Sequence[Tok], i: int, step: int) -> Sequence[int]:
        """How many tokens from `i` on it can take, what it would rather take first."""
        if self.least == self.most == 1:  # most are one token, no more and no less
            return _ONE if 0 <= i < len(toks) and self.test(toks[i]) else _NONE
        n, last = 0, len(toks) - i if step > 0 else i + 1
        while n < self.most and n < last and self.test(toks[i + n * step]):
            n += 1
        return range(self.least, n + 1) if self.lazy else range(n, self.least - 1, -1)

    def once_less(self) -> Element:
        """The same, where one of its sequences has been taken."""
        less = object.__new__(Element)
        less.__dict__.update(self.__dict__, least=max(0, self.least - 1), most=self.most - 1)
        return less


def fits(elements: Sequence[Element], e: int, toks: Sequence[Tok], i: int, step: int) -> bool:
    """Whether the elements from `e` on fit from token `i` on, to the right or (step -1) to the left."""
    if e == len(elements):
        return True
    one = elements[e]
    if one.edge:
        return i in (-1, len(toks)) and fits(elements, e + 1, toks, i, step)
    if one.ways:
        if one.most and any(fits([*way, one.once_less(), *elements[e + 1 :]], 0, toks, i, step) for way in one.ways):
            return True
        return one.least == 0 and fits(elements, e + 1, toks, i, step)
    return any(fits(elements, e + 1, toks, i + n * step, step) for n in one.sizes(toks, i, step))


# ---------------------------------------------------------------- tests of one token


def tested(told: Sequence[Any], within: bool = False) -> Test:
    """All of the parts must hold; a part is [whether it must not hold, texts, classes, senses, marks]. `within`: a word is also found among
    the words of a token that has several, unless it stands in quotes."""
    parts = [(bool(negated), _either(within, *rest)) for negated, *rest in told]
    if len(parts) == 1 and not parts[0][0]:
        return parts[0][1]
    if len(parts) > 2:
        return lambda tok: all(test(tok) is not negated for negated, test in parts)
    (no, test), (nor, other) = parts[0], parts[-1]
    return lambda tok: test(tok) is not no and other(tok) is not nor


def _either(
    within: bool,
    texts: Sequence[str],
    classes: Sequence[str],
    senses: Sequence[Sequence[str]],
    marks: Sequence[str],
) -> Test:
    """One of the parts must hold. Written out for each kind of them: these tests are what settling a phrase spends its time on."""
    if within and texts:
        words, rest = frozenset(texts), _either(False, (), classes, senses, marks)
        exact = frozenset(word.strip('"') for word in words)
        return lambda tok: tok.text in exact or rest(tok) or not words.isdisjoint(tok.text.split())
    words, kinds = frozenset(texts), frozenset(classes)
    others: list[Test] = [_sense(*sense) for sense in senses] + [_mark(mark) for mark in marks]
    if others:
        other = others[0] if len(others) == 1 else lambda tok: any(test(tok) for test in others)
        if not (words or kinds):
            return other
        return lambda tok: tok.text in words or not kinds.isdisjoint(tok.senses) or other(tok)
    if words and kinds:
        return lambda tok: tok.text in words or not kinds.isdisjoint(tok.senses)
    if len(kinds) == 1:
        only = classes[0]
        return lambda tok: only in tok.senses
    if kinds:
        return lambda tok: not kinds.isdisjoint(tok.senses)
    return lambda tok: tok.text in words


def _sense(cls: str, form: str, value: str) -> Test:
    """A class in that form and of that value, if they are told."""

    def test(tok: Tok) -> bool:
        one = tok.senses.get(cls)
        return one is not None and form in ("", one.form) and value in ("", one.value)

    return test


def _mark(mark: str) -> Test:
    """A test that has a name: @any, @number, @2-12…, or the beginning (`flush~`) or the end (`~self`) of a word."""
    if mark.startswith("~"):
        return lambda tok: tok.text.endswith(mark[1:])
    if mark.endswith("~"):
        return lambda tok: tok.text.startswith(mark[:-1])
    if mark in MARKS:
        return MARKS[mark]
    least, most = map(int, mark.split("-"))
    return lambda tok: tok.number is not None and tok.number == int(tok.number) and least <= tok.number <= most


_HOUR = r"([01]?\d|2[0-3])\.[0-5]\d"
_DAY, _MONTH = r"(0?[1-9]|[12]\d|3[01])", r"(0?[1-9]|1[0-2])"
_DATE = rf"{_DAY}/{_MONTH}|{_MONTH}/{_DAY}"

MARKS: dict[str, Test] = {
    "any": lambda tok: True,
    "number": lambda tok: tok.number is not None,
    "whole": lambda tok: tok.number is not None and tok.number == int(tok.number),
    "several": lambda tok: tok.number is not None and tok.number > 1 and tok.number == int(tok.number),
    "one": lambda tok: tok.number == 1,
    "ordinal": lambda tok: tok.ordinal is not None,
    "known": lambda tok: tok.known,
    "unknown": lambda tok: not tok.known,
    "name": lambda tok: not tok.known and tok.text.isalpha() and not lexicon().ordinary(tok.text),
    "frequent": lambda tok: not tok.known and tok.text.isalpha() and lexicon().frequent(tok.text),
    "named": lambda tok: not tok.known and tok.capital and tok.text.isalpha(),
    "unsure": lambda tok: len(tok.senses) > 1,
    "ordinary": lambda tok: not tok.senses and not tok.capital and lexicon().ordinary(tok.text),
    "capital": lambda tok: tok.capital,
    "letters": lambda tok: tok.text.isalpha(),
    "hour": lambda tok: tok.number is not None and re.fullmatch(_HOUR, tok.text) is not None,
    "date": lambda tok: tok.fraction is not None and re.fullmatch(_DATE, tok.text) is not None,
    "ended": lambda tok: not tok.known and tok.text.endswith("ed"),
    "past": lambda tok: any(one.form == "past" for one in tok.senses.values()),
}
"""The named tests of a token."""
