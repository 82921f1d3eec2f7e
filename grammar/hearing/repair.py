"""Misspelt and misheard words: what each could have been. The reader keeps a candidate only if a whole reading follows from it.

May import: lexicon, numbers.
"""

from __future__ import annotations

from functools import cache

from grammar.hearing.numbers import NUMBER_WORDS
from grammar.lexicon import lexicon

_SHORT, _LONG = 4, 8
_VOWELS = frozenset("aeiou")
_ALPHABET = "abcdefghijklmnopqrstuvwxyz"


def edits(word: str) -> set[str]:
    """All strings one wrong letter away: left out, added, changed, or two neighbours swapped."""
    cuts = [(word[:i], word[i:]) for i in range(len(word) + 1)]
    found = {a + b[1:] for a, b in cuts if b} | {a + b[1] + b[0] + b[2:] for a, b in cuts if len(b) > 1}
    found |= {a + c + b for a, b in cuts for c in _ALPHABET} | {a + c + b[1:] for a, b in cuts if b for c in _ALPHABET}
    return found - {word}


def _left_out(word: str) -> set[str]:
    """What a short word may be with one letter left out after the first: in so short a word any other slip makes another word."""
    return {word[:i] + c + word[i:] for i in range(1, len(word) + 1) for c in _ALPHABET}


_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "tomorrow", "yesterday")
# Little words of which three letters are left, or two are swapped ("teh", "hwo", "wil", "mak"): common slips, no source.
_LITTLE = frozenset(
    (
        "the due how who why will have make want what when much many last left full can are our and you was not for get need till this that "
        "with from does did has had been more room days grey tank dump there where still water does just took take here they them"
    ).split()
)


def slips(word: str) -> set[str]:
    """Strings that differ by a swap of neighbours or by one letter more."""
    cuts = [(word[:i], word[i:]) for i in range(len(word) + 1)]
    found = {a + b[1] + b[0] + b[2:] for a, b in cuts if len(b) > 1} | {a + c + b for a, b in cuts for c in _ALPHABET}
    return found - {word}


@cache
def _vocabulary() -> frozenset[str]:
    return frozenset(word for word in lexicon().single.all | NUMBER_WORDS if len(word) > 2 and word.isalpha())


@cache
def _things() -> frozenset[str]:
    """Words that name only what is washed, cooked or filled."""
    return frozenset(word for word in _vocabulary() if _only_a_thing(word))


def _only_a_thing(word: str) -> bool:
    told = lexicon().spellings.get((word,))
    return bool(told) and all(one.cls == "ACT" and one.form == "thing" for one in told)


def _only_scenery(word: str) -> bool:
    """Whether a word is only told around a report: "bleech" is sooner bleach than "blech"."""
    told = lexicon().spellings.get((word,))
    return bool(told) and all(one.cls == "SCENE" for one in told)


@cache
def candidates(word: str) -> tuple[tuple[str, int], ...]:
    """Words of the vocabulary that `word` may be a misspelling of, with the number of wrong letters; the nearest only."""
    if len(word) == _SHORT - 1 and word.isascii() and word.isalpha():
        short = tuple((one, 1) for one in sorted((_left_out(word) & _vocabulary()) - _things()))
        if short:
            return short
    if len(word) > 24 or not word.isascii() or not word.isalpha():
        return ()
    near = (
        sorted((edits(word) & _vocabulary()) - (_things() - slips(word) if len(word) == _SHORT else frozenset()))
        if len(word) >= _SHORT
        else sorted(slips(word) & _LITTLE)
        if len(word) == _SHORT - 1
        else []
    )
    if near:
        return tuple((one, 1) for one in [one for one in near if not _only_scenery(one)] or near)
    if len(word) > 2 and not _VOWELS.intersection(word):
        return tuple((one, 2) for one in sorted(_vocabulary()) if len(one) < 9 and _bare(one) == word)
    if len(word) < _LONG:
        days = sorted(
            day for day in _DAYS if day[0] == word[0] and abs(len(day) - len(word)) <= 2 and _within_two(word, day)
        )
        return tuple((one, 2) for one in days) if len(word) > _SHORT + 1 else ()
    two = sorted(
        other
        for other in _vocabulary()
        if len(other) >= 7
        and abs(len(other) - len(word)) <= 2
        and other[0] == word[0]
        and len(set(word) ^ set(other)) <= _LETTERS_APART
        and _within_two(word, other)
    )
    return tuple((one, 2) for one in two)


@cache
def far_candidates(word: str) -> tuple[str, ...]:
    """Words of six letters or more of which `word` has two wrong, the likeliest first; things to wash or cook are too many for that."""
    if not _LONG_WITH_TWO - 2 < len(word) <= 24 or not word.isascii() or not word.isalpha():
        return ()
    letters, size = set(word), len(word)
    begin = {*word[:2], *[letter for letter in _ALPHABET if beside(letter, word[0])]}
    weighed = [
        (unlike(word, other), other)
        for pair, words in _long_words().items()
        if pair[0] in begin or pair[1] == word[0]
        for other in words
        if -3 < len(other) - size < 3 and len(letters.symmetric_difference(other)) <= _LETTERS_APART
        if other != word and _within_two(word, other)
    ]
    likely = sorted(pair for pair in weighed if pair[0] <= _TOO_UNLIKE)
    return tuple(other for _, other in likely if not _only_a_thing(other))


_LONG_WITH_TWO = 6
_TOO_UNLIKE = 2.3


_LETTERS_APART = 4
"""Two slips bring at most two letters into a word and two out of it."""


@cache
def _long_words() -> dict[str, list[str]]:
    """The words of six letters or more by their first two."""
    found: dict[str, list[str]] = {}
    for word in _vocabulary():
        if len(word) >= _LONG_WITH_TWO:
            found.setdefault(word[:2], []).append(word)
    return found


_KEYS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_PLACES = {letter: (row, col + row / 2) for row, letters in enumerate(_KEYS) for col, letter in enumerate(letters)}
_SPELLED_ALIKE = ("aeiouy", "ck", "sc", "sz", "fv", "mn", "td", "bp", "gj", "vw", "uw", "hk", "iy", "lr")


def near(one: str, other: str) -> bool:
    """Whether two letters lie side by side on the keys, or sound alike."""
    return beside(one, other) or any(one in alike and other in alike for alike in _SPELLED_ALIKE)


def beside(one: str, other: str) -> bool:
    """Whether two letters lie side by side on the keys."""
    if one not in _PLACES or other not in _PLACES:
        return False
    (row, column), (other_row, other_column) = _PLACES[one], _PLACES[other]
    return abs(row - other_row) <= 1 and abs(column - other_column) <= 1


# What a slip weighs: a letter typed twice or two swapped are the commonest, a stray letter is the least likely; guesses, no source.
_SWAPPED, _DOUBLED, _MISSED, _BESIDE, _SOUNDS, _STRAY, _FIRST = 0.6, 0.6, 0.8, 0.8, 0.9, 1.2, 0.5


@cache
def unlike(heard: str, taken: str) -> float:
    """How unlikely it is that `heard` was typed for `taken`: the sum of what its slips weigh."""
    if taken in SOUND_ALIKE.get(heard, ()):
        return _MISSED
    last, earlier = [j * _MISSED for j in range(len(taken) + 1)], [0.0]
    for i, a in enumerate(heard, 1):
        row = [i * _STRAY]
        for j, b in enumerate(taken, 1):
            changed = 0.0 if a == b else _BESIDE if beside(a, b) else _SOUNDS if near(a, b) else _STRAY
            extra = _DOUBLED if i > 1 and a == heard[i - 2] else _STRAY
            cost = min(last[j - 1] + changed, last[j] + extra, row[j - 1] + _MISSED)
            if i > 1 and j > 1 and a == taken[j - 2] and heard[i - 2] == b:
                cost = min(cost, earlier[j - 2] + _SWAPPED)
            row.append(cost)
        earlier, last = last, row
    return last[-1] + (_FIRST if heard[0] != taken[0] else 0.0)


def _bare(word: str) -> str:
    """A word as people shorten it: the first letter and the consonants ("shwr", "lndry")."""
    return word[0] + "".join(letter for letter in word[1:] if letter not in _VOWELS)


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


# Words that a phone writes for one another; tried where the phrase makes no sense as it stands.
SOUND_ALIKE: dict[str, tuple[str, ...]] = {
    "two": ("to",), "too": ("two", "to"), "to": ("two",), "four": ("for",), "for": ("four",), "ate": ("eight",), "won": ("one",),
    "great": ("grey",), "gary": ("grey",), "grate": ("grey",), "grade": ("grey",), "grace": ("grey",), "weak": ("week",), "wood": ("would",),
    "hall": ("haul",), "hauled": (), "sight": ("site",), "meet": ("meter",), "meteor": ("meter",), "knight": ("night",), "hour": ("our",),
    "our": ("hour",),
    "flesh": ("fresh",), "sour": ("shower",), "shore": ("shower",), "dyes": ("dishes",), "ditches": ("dishes",), "dish": ("dishes",),
    "filed": ("filled",), "field": ("filled",), "fell": ("fill",), "feel": ("fill",), "damp": ("dump",), "damped": ("dumped",),
    "jumped": ("dumped",), "bumped": ("dumped",), "toted": (), "quartz": ("quarts",), "court": ("quart",), "courts": ("quarts",), "gal": (),
    "rest": ("reset",),
    "pine": ("pint",), "points": ("pints",), "leader": ("litre",), "leaders": ("litres",), "sewage": (), "soar": ("sewer",),
    "suer": ("sewer",), "steak": ("stay",), "wee": ("we",), "write": ("right",), "by": ("bye",), "clothes": ("closed",), "close": ("closed",),
    "flash": ("flush",), "flashed": ("flushed",), "rents": ("rinse",), "rints": ("rinse",), "red": ("read",), "bored": ("board",),
    "waist": ("waste",), "sync": ("sink",), "buy": ("by",), "way": ("weigh",), "weigh": ("way",), "wait": ("weight",),
    "knew": ("new",), "bean": ("been",), "lou": ("loo",), "lieu": ("loo",), "tee": ("tea",), "hare": ("hair",), "inn": ("in",), "passed": ("past",),
    "phil": ("fill",), "towed": ("toted",), "tooted": ("toted",), "meat": ("meter",), "mater": ("meter",), "flower": ("shower",), "sower": ("sewer",),
    "paints": ("pints",), "cops": ("cups",), "galleons": ("gallons",), "galleon": ("gallon",), "talons": ("gallons",), "litter": ("litre",),
    "letters": ("litres",), "litters": ("litres",), "dashes": ("dishes",), "fishes": ("dishes",), "teach": ("teeth",), "hens": ("hands",),
    "hans": ("hands",),
    "brash": ("brush",), "pomp": ("pump",), "dumb": ("dump",), "gravy": ("grey",), "plaque": ("black",), "foal": ("full",), "fool": ("full",),
    "hail": ("haul",), "hailed": ("hauled",), "howled": ("hauled",), "quota": ("quarter",), "shade": ("shaved",), "mobbed": ("mopped",),
    "prince": ("rinse",), "mins": (), "than": ("then",),
    "dew": ("due",), "whey": ("weigh",), "do": ("due",), "leek": ("leak",), "hear": ("here",),
}  # fmt: skip
