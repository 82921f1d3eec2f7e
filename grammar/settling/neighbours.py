"""Rules of grammar/neighbours/*.txt at work: what the neighbours of a word decide of it. How a rule is written stands in neighbour_files.py.

A rule looks at the tokens of a phrase as they came to it, left to right, and rewrites each place that it fits; what it wrote it does not
look at again. Its tests are made ready when a phrase first calls it up. May import: tokens, lexicon, prepared.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence

from grammar.hearing.tokens import Tok
from grammar.lexicon import Sense, lexicon
from grammar.lightclass import Any, replace
from grammar.prepared import prepared

Test = Callable[[Tok], bool]
Span = tuple[int, int]


class Rule:
    """One rule, taken apart from its line when it is first needed."""

    def __init__(self, name: str, line: str) -> None:
        self.name, self._line = name, line
        self._made: _Made | None = None

    def __call__(self, toks: list[Tok]) -> list[Tok]:
        """The tokens, rewritten wherever the rule fits."""
        made = self._made
        if made is None:
            made = self._made = _Made(json.loads(self._line))
        return made.rewritten(toks)


def rules(room: str) -> range:
    """The numbers of the rules of one file of grammar/neighbours, in order."""
    return range(*prepared().rooms[room])


def rule(number: int) -> Rule:
    """The rule of that number."""
    return Rule(*prepared().neighbours[number].split("\t"))


class _Made:
    """`before`: elements left of the brackets, the nearest first. `inside`, `after`: elements in order. `does`: what becomes of `inside`.
    `opens`: the brackets open the phrase."""

    def __init__(self, told: dict[str, Any]) -> None:
        self.before = [_Element(one) for one in told["before"]]
        self.inside = [_Element(one) for one in told["inside"]]
        self.after = [_Element(one) for one in told["after"]]
        self.does = [(place, _change(told_)) for place, told_ in told["does"]]
        self.guards = [(where, wanted, _test(test)) for where, wanted, test in told["guards"]]
        self.once: bool = told["once"]
        self.opens = [one.edge for one in self.before] == [True]

    def rewritten(self, toks: list[Tok]) -> list[Tok]:
        """The tokens as the rule leaves them: the same list where it fits nowhere."""
        for where, wanted, test in self.guards:
            if where == "any" and any(map(test, toks)) is not wanted:
                return toks
        found: list[Tok] = []
        done = 0  # up to here they have been written
        for i in self._places(toks):
            spans = self._spans(toks, i) if i >= done else None
            if spans is None:
                continue
            found += toks[done:i]
            for place, change in self.does:
                part = toks[slice(*spans[place])]
                if change is joined and part and found:
                    found[-1] = replace(found[-1], end=part[-1].end)
                elif change is not None:
                    found += [change(tok) for tok in part]
            done = spans[-1][1]
            if self.once:
                break
        return [*found, *toks[done:]] if done else toks

    def _places(self, toks: Sequence[Tok]) -> Sequence[int]:
        """Where the brackets may open: most rules find no place."""
        first = self.inside[0]
        if self.opens:
            return (0,) if toks and (first.least == 0 or first.test(toks[0])) else ()
        if first.least == 0:
            return range(len(toks))
        test = first.test
        return [i for i, tok in enumerate(toks) if test(tok)]

    def _spans(self, toks: Sequence[Tok], i: int) -> list[Span] | None:
        """Which tokens each element inside the brackets takes, if the rule fits with the brackets opening at `i`."""
        spans: list[Span] = [(i, i)] * len(self.inside)
        if not self._inside_and_after(0, toks, i, spans) or not _fits(self.before, 0, toks, i - 1, -1):
            return None
        end = spans[-1][1]
        for where, wanted, test in self.guards:
            if where != "any" and any(map(test, toks[:i] if where == "before" else toks[end:])) is not wanted:
                return None
        return spans if end > i else None

    def _inside_and_after(self, e: int, toks: Sequence[Tok], i: int, spans: list[Span]) -> bool:
        if e == len(self.inside):
            return _fits(self.after, 0, toks, i, 1)
        for n in self.inside[e].sizes(toks, i, 1):
            spans[e] = (i, i + n)
            if self._inside_and_after(e + 1, toks, i + n, spans):
                return True
        return False


class _Element:
    """One part of a pattern: an edge of the phrase, a choice of sequences, or tokens that pass a test, so many of them."""

    def __init__(self, told: Any) -> None:
        """`told`: "edge", or kind, what of it, how many at the least and at the most."""
        self.edge: bool = told == "edge"
        self.ways: list[list[_Element]] = []
        if self.edge:
            return
        kind, what, self.least, self.most = told
        self.lazy: bool = kind == "lazy"
        if kind == "ways":
            self.ways = [[_Element(one) for one in way] for way in what]
        else:
            self.test = _test(what)

    def sizes(self, toks: Sequence[Tok], i: int, step: int) -> Sequence[int]:
        """How many tokens from `i` on it can take, what it would rather take first."""
        n, last = 0, len(toks) - i if step > 0 else i + 1
        while n < self.most and n < last and self.test(toks[i + n * step]):
            n += 1
        return range(self.least, n + 1) if self.lazy else range(n, self.least - 1, -1)

    def once_less(self) -> _Element:
        """The same, where one of its sequences has been taken."""
        less = object.__new__(_Element)
        less.__dict__.update(self.__dict__, least=max(0, self.least - 1), most=self.most - 1)
        return less


def _fits(elements: Sequence[_Element], e: int, toks: Sequence[Tok], i: int, step: int) -> bool:
    """Whether the elements from `e` on fit from token `i` on, to the right or (step -1) to the left."""
    if e == len(elements):
        return True
    one = elements[e]
    if one.edge:
        return i in (-1, len(toks)) and _fits(elements, e + 1, toks, i, step)
    if one.ways:
        if one.most and any(_fits([*way, one.once_less(), *elements[e + 1 :]], 0, toks, i, step) for way in one.ways):
            return True
        return one.least == 0 and _fits(elements, e + 1, toks, i, step)
    return any(_fits(elements, e + 1, toks, i + n * step, step) for n in one.sizes(toks, i, step))


# ---------------------------------------------------------------- tests of one token


def _test(told: Sequence[Any]) -> Test:
    """All of the parts must hold; a part is [whether it must not hold, texts, classes, senses, marks]."""
    parts = [(bool(negated), _either(*rest)) for negated, *rest in told]
    if len(parts) == 1 and not parts[0][0]:
        return parts[0][1]
    if len(parts) > 2:
        return lambda tok: all(test(tok) is not negated for negated, test in parts)
    (no, test), (nor, other) = parts[0], parts[-1]
    return lambda tok: test(tok) is not no and other(tok) is not nor


def _either(
    texts: Sequence[str], classes: Sequence[str], senses: Sequence[Sequence[str]], marks: Sequence[str]
) -> Test:
    """One of the parts must hold. Written out for each kind of them: these tests are what settling a phrase spends its time on."""
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
    "unsure": lambda tok: len(tok.senses) > 1,
    "ordinary": lambda tok: not tok.senses and not tok.capital and lexicon().ordinary(tok.text),
    "capital": lambda tok: tok.capital,
    "letters": lambda tok: tok.text.isalpha(),
    "hour": lambda tok: tok.number is not None and re.fullmatch(_HOUR, tok.text) is not None,
    "date": lambda tok: tok.fraction is not None and re.fullmatch(_DATE, tok.text) is not None,
    "past": lambda tok: any(one.form == "past" for one in tok.senses.values()),
}
"""The named tests of a token."""


# ---------------------------------------------------------------- changes of one token


def _change(told: Sequence[Any] | None) -> Callable[[Tok], Tok] | None:
    """What becomes of a token: None where it is left out."""
    if told is None:
        return None
    text, how, cls, form, value, number, like = told
    if how == "join":
        return joined
    if how == "keep":
        return lambda tok: replace(tok, text=text) if text else tok

    def changed(tok: Tok) -> Tok:
        given: dict[str, Any] = {"text": text or tok.text, "senses": _senses(tok, how, cls, form, value, like)}
        if cls == "ORD" and tok.number is not None:
            given |= {"number": None, "ordinal": int(tok.number)}
        elif cls in ("CLOCK", "ISODATE"):
            given |= {"number": None, "fraction": None, "parts": _figures(tok.text, cls)}
        elif number is not None or cls == "FILLER":
            given |= {"number": number if isinstance(number, float) else None, "fraction": None, "ordinal": None}
        return replace(tok, **given)

    return changed


def _figures(text: str, cls: str) -> tuple[int, int]:
    """The hour and minute of "10.40", the month and day of "14/6"."""
    first, second = map(int, re.split(r"\D", text))
    return (second, first) if cls == "ISODATE" and first > 12 else (first, second)


def joined(tok: Tok) -> Tok:
    """The change of a token that becomes part of the one before it."""
    return tok


def _senses(tok: Tok, how: str, cls: str, form: str, value: str, like: str) -> dict[str, Sense]:
    if how == "none":
        return {}
    if how == "form":
        return {name: Sense(name, form, one.value) for name, one in tok.senses.items()}
    if how == "less":
        return {name: one for name, one in tok.senses.items() if name != cls}
    was = tok.senses.get(like or cls)
    if how == "only":
        return {cls: was} if was is not None else dict(tok.senses)
    told = value or (was.value if was is not None else "")
    if value == "#":
        told = str(int(tok.number or tok.ordinal or 0))
    made = {cls: Sense(cls, form or (was.form if was is not None else ""), told)}
    return {**tok.senses, **made} if how == "more" else made
