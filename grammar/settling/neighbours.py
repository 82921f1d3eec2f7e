"""Rules of grammar/neighbours/*.txt at work: what the neighbours of a word decide of it. How a rule is written stands in neighbour_files.py.

A rule looks at the tokens of a phrase as they came to it, left to right, and rewrites each place that it fits; what it wrote it does not
look at again. Its tests are made ready when a phrase first calls it up. May import: fitting, tokens, lexicon, prepared.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Sequence

from grammar.hearing.fitting import Element, fits, tested
from grammar.hearing.tokens import Tok
from grammar.lexicon import Sense
from grammar.lightclass import Any, replace
from grammar.prepared import prepared

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
        self.before = [Element(one) for one in told["before"]]
        self.inside = [Element(one) for one in told["inside"]]
        self.after = [Element(one) for one in told["after"]]
        self.does = [(place, _change(told_)) for place, told_ in told["does"]]
        self.guards = [(where, wanted, tested(test)) for where, wanted, test in told["guards"]]
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
        if not self._inside_and_after(0, toks, i, spans) or not fits(self.before, 0, toks, i - 1, -1):
            return None
        end = spans[-1][1]
        for where, wanted, test in self.guards:
            if where != "any" and any(map(test, toks[:i] if where == "before" else toks[end:])) is not wanted:
                return None
        return spans if end > i else None

    def _inside_and_after(self, e: int, toks: Sequence[Tok], i: int, spans: list[Span]) -> bool:
        if e == len(self.inside):
            return fits(self.after, 0, toks, i, 1)
        for n in self.inside[e].sizes(toks, i, 1):
            spans[e] = (i, i + n)
            if self._inside_and_after(e + 1, toks, i + n, spans):
                return True
        return False


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
