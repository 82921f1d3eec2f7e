"""Misspelt and misheard words: what each could have been. The reader keeps a candidate only if a whole reading follows from it.

May import: hear, lexicon.
"""

# ruff: noqa: SIM905 (a string of words is easier to read and to add to than a list of strings)

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from grammar.hear import Word
from grammar.lexicon import lexicon
from grammar.numbers import NUMBER_WORDS

_SHORT, _LONG = 4, 8
_ALPHABET = "abcdefghijklmnopqrstuvwxyz"


def edits(word: str) -> set[str]:
    """All strings one wrong letter away: left out, added, changed, or two neighbours swapped."""
    cuts = [(word[:i], word[i:]) for i in range(len(word) + 1)]
    found = {a + b[1:] for a, b in cuts if b} | {a + b[1] + b[0] + b[2:] for a, b in cuts if len(b) > 1}
    found |= {a + c + b for a, b in cuts for c in _ALPHABET} | {a + c + b[1:] for a, b in cuts if b for c in _ALPHABET}
    return found - {word}


@cache
def _vocabulary() -> frozenset[str]:
    return frozenset(word for word in lexicon().single | NUMBER_WORDS if len(word) > 2 and word.isalpha())


@cache
def candidates(word: str) -> tuple[tuple[str, int], ...]:
    """Words of the vocabulary that `word` may be a misspelling of, with the number of wrong letters; the nearest only."""
    if len(word) < _SHORT or len(word) > 24 or not word.isascii() or not word.isalpha():
        return ()
    near = sorted(edits(word) & _vocabulary())
    if near:
        return tuple((one, 1) for one in near)
    if len(word) < _LONG:
        return ()
    two = sorted(
        other
        for other in _vocabulary()
        if len(other) >= 7 and abs(len(other) - len(word)) <= 2 and other[0] == word[0] and _within_two(word, other)
    )
    return tuple((one, 2) for one in two)


def _within_two(one: str, other: str) -> bool:
    """Whether at most two edits (swap of neighbours counts once) lead from one to the other."""
    before, last = list(range(len(other) + 1)), list(range(len(other) + 1))
    earlier = before
    for i, a in enumerate(one, 1):
        row = [i]
        for j, b in enumerate(other, 1):
            cost = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (a != b))
            if i > 1 and j > 1 and a == other[j - 2] and one[i - 2] == b:
                cost = min(cost, earlier[j - 2] + 1)
            row.append(cost)
        if min(row) > 2:
            return False
        earlier, last = last, row
    return last[-1] <= 2


# What a phone hears for a word: (heard, meant, words one of which must follow, or "" for anything).
_UNITS = frozenset(
    (
        "gallon gallons gal gals litre litres liter liters quart quarts pint pints cup cups ounce ounces l "
        "psi imperial percent"
    ).split()
)
_TANKISH = frozenset(("tank tanks water valve waste holding").split())
HOMOPHONES: tuple[tuple[frozenset[str], str, frozenset[str]], ...] = (
    (frozenset(("to", "too", "tu")), "two", _UNITS | {"showers", "flushes", "people", "loads", "hours", "minutes"}),
    (frozenset(("for", "fore")), "four", _UNITS | {"showers", "flushes", "people", "loads"}),
    (frozenset(("ate",)), "eight", _UNITS | {"minutes", "people"}),
    (frozenset(("won", "wan")), "one", _UNITS | {"load", "shower", "flush"}),
    (frozenset(("great", "grate", "grade", "gay", "grew", "grace", "grain", "grave")), "grey", _TANKISH),
    (frozenset(("flesh", "frush", "french")), "fresh", _TANKISH),
    (frozenset(("back", "blak", "block")), "black", frozenset(("tank", "valve", "holding"))),
)
LOOSE: dict[str, str] = {
    "great": "grey",
    "grate": "grey",
    "grade": "grey",
    "meet": "meter",
    "meteor": "meter",
    "metal": "meter",
    "discharge": "dishes",
    "ditches": "dishes",
    "whales": "while",
}
del LOOSE["discharge"], LOOSE["whales"], LOOSE["meet"], LOOSE["metal"]


def misheard(words: Sequence[Word]) -> list[Word]:
    """The words with homophones resolved where the next word leaves one reading."""
    found = list(words)
    for i, word in enumerate(found[:-1]):
        for heard, meant, after in HOMOPHONES:
            if (
                word.text in heard
                and found[i + 1].text in after
                and not (i and found[i - 1].kind == "number" and meant != "grey")
            ):
                found[i] = replace(word, text=meant)
    return found
