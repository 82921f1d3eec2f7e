"""Number words into numbers: "forty one point five", "a hundred and two", "two and three quarters", "oh point five", "one oh four".

Works on the words of hear.py and knows nothing of units. May import: hear.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.hear import Word
from grammar.lightclass import dataclass, replace

_ONES = {
    word: n
    for n, word in enumerate(
        (
            "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
            "sixteen seventeen eighteen nineteen"
        ).split()
    )
}
_ZERO = {"zero", "oh", "o", "nought", "naught", "nil"}
_TENS = {
    word: 20 + 10 * n for n, word in enumerate(("twenty thirty forty fifty sixty seventy eighty ninety").split())
} | {"fourty": 40}
_BIG = {"hundred": 100, "thousand": 1000}
_PARTS = {
    "half": 2, "halves": 2, "quarter": 4, "quarters": 4, "third": 3, "thirds": 3, "fourth": 4, "fourths": 4, "fifth": 5, "fifths": 5,
    "sixth": 6, "sixths": 6, "eighth": 8, "eighths": 8, "tenth": 10, "tenths": 10,
}  # fmt: skip
_ORDINALS = {
    word: n + 1
    for n, word in enumerate(
        (
            "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth "
            "fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth twentieth"
        ).split()
    )
} | {"thirtieth": 30}
NUMBER_WORDS = (
    frozenset(_ONES)
    | _ZERO
    | frozenset(_TENS)
    | frozenset(_BIG)
    | frozenset(_PARTS)
    | frozenset(_ORDINALS)
    | {"point", "dozen", "halfway"}
)
_SHORT_OF_AN_S = frozenset(
    (("three", "quarter"), ("3", "quarter"), ("two", "third"), ("2", "third"))
)  # "two third" as one hears it
_LONGEST = 12  # digits said one by one that make one number


@dataclass(frozen=True)
class Number:
    """A number found: `value` as a cardinal, or `fraction` ("three quarters"), or `ordinal` ("the third"); `end`: the next word."""

    end: int
    value: float | None = None
    fraction: float | None = None
    ordinal: int | None = None


def number_at(words: Sequence[Word], i: int) -> Number | None:
    """The longest number that begins at word `i`, if any."""
    fraction = _fraction_at(words, i)
    if fraction is not None:
        return fraction
    ordinal = _ordinal_at(words, i)
    if ordinal is not None:
        return ordinal
    whole = _whole_at(words, i)
    if whole is None:
        return _point_only(words, i)
    value, j = whole
    tail, j = _after_point(words, j)
    value += tail
    part = _and_part(words, j)
    if part is not None:
        value, j = value + part[0], part[1]
    return Number(j, value=value)


def _text(words: Sequence[Word], i: int) -> str:
    return words[i].text if i < len(words) else ""


def _value(words: Sequence[Word], i: int, kind: str) -> float | None:
    """The value of word `i` if it is of that kind."""
    if i >= len(words) or words[i].kind != kind:
        return None
    value = words[i].value
    return value if isinstance(value, float) else None


def _whole_at(words: Sequence[Word], i: int) -> tuple[float, int] | None:
    value = _value(words, i, "number")
    if value is not None:
        if _text(words, i + 1) in _BIG and value < 1000:
            return value * _BIG[words[i + 1].text], i + 2
        return value, i + 1
    spelled = _digits(words, i)
    return spelled if spelled else _cardinal(words, i)


def _digits(words: Sequence[Word], i: int) -> tuple[float, int] | None:
    """Digit by digit with a nought in it: "one oh four", "two zero six"."""
    j, digits = i, ""
    while len(digits) < _LONGEST and ((word := _text(words, j)) in _ZERO or _ONES.get(word, 10) < 10):
        digits += "0" if word in _ZERO else str(_ONES[word])
        j += 1
    if len(digits) >= 3 and "0" in digits[1:]:
        return float(digits), j
    if (
        digits
        and _text(words, i) in _ZERO
        and (_text(words, i) in ("zero", "nought", "naught") or _text(words, i + 1) == "point")
    ):
        return 0.0, i + 1
    return None


def _cardinal(words: Sequence[Word], i: int) -> tuple[float, int] | None:
    total, group, j = 0, 0, i
    if _text(words, i) in ("a", "an") and _text(words, i + 1) in ("hundred", "thousand", "dozen"):
        group, j = 1, i + 1
    seen = j > i
    last = 1000  # what may still follow is smaller than this
    while j < len(words):
        word = words[j].text
        if word in _TENS and last > 10 and group % 100 == 0:
            group, last, j, seen = group + _TENS[word], 10, j + 1, True
        elif (
            0 < _ONES.get(word, 0) < (10 if last <= 10 else 20)
            and last > 1
            and group % 10 == 0
            and (last > 10 or _ONES[word] < 10)
        ):
            group, last, j, seen = group + _ONES[word], 1, j + 1, True
        elif word == "hundred" and 0 < group < 100:
            group, last, j = group * 100, 100, j + 1
        elif word == "thousand" and group > 0:
            total, group, last, j = total + group * 1000, 0, 1000, j + 1
        elif word == "dozen" and 0 < group < 100 and seen:
            return float(group * 12), j + 1
        elif (
            word == "and"
            and ((group >= 100 and last == 100) or (group == 0 and last == 1000))
            and (_text(words, j + 1) in _TENS or _ONES.get(_text(words, j + 1), 0) > 0)
        ):
            if _is_fraction_start(words, j + 1):
                break
            j += 1
        else:
            break
    return (float(total + group), j) if seen else None


def _is_fraction_start(words: Sequence[Word], i: int) -> bool:
    return _text(words, i + 1) in _PARTS and _text(words, i) in _ONES


def _after_point(words: Sequence[Word], i: int) -> tuple[float, int]:
    """The decimals after "point", and where they end."""
    if _text(words, i) not in ("point", "decimal") or i + 1 >= len(words):
        return 0.0, i
    j, digits = i + 1, ""
    while j < len(words) and (piece := _decimals(words[j])) and len(digits) < 6:
        nxt = _text(words, j + 1)
        if words[j].text in _TENS and 0 < _ONES.get(nxt, 0) < 10:
            digits, j = digits + str(_TENS[words[j].text] + _ONES[nxt]), j + 2
        else:
            digits, j = digits + piece, j + 1
    return (float("0." + digits), j) if digits else (0.0, i)


def _decimals(word: Word) -> str:
    if word.text in _ZERO:
        return "0"
    if word.text in _ONES or word.text in _TENS:
        return str(_ONES.get(word.text, _TENS.get(word.text)))
    return word.text if word.kind == "number" and word.text.isdigit() else ""


def _point_only(words: Sequence[Word], i: int) -> Number | None:
    tail, j = _after_point(words, i)
    return Number(j, value=tail) if j > i else None


def _and_part(words: Sequence[Word], i: int) -> tuple[float, int] | None:
    """ "and a half", "and three quarters", or a fraction sign right after: what is added to a whole number."""
    if i < len(words) and words[i].kind == "fraction" and (_text(words, i) and not words[i].text[0].isdigit()):
        value = words[i].value
        return (value, i + 1) if isinstance(value, float) else None
    if _text(words, i) not in ("and", "&"):
        return None
    j = i + 1
    sign = _value(words, j, "fraction")
    if sign is not None:
        return sign, j + 1
    found = _fraction_at(words, j)
    if found is None or found.fraction is None:
        return None
    after = _text(words, found.end)
    # "two and half a gallon" would be two things; "two and a half gallons" is one number
    return None if _text(words, j) == "half" and after in ("a", "an") else (found.fraction, found.end)


def _fraction_at(words: Sequence[Word], i: int) -> Number | None:
    sign = _value(words, i, "fraction")
    if sign is not None:
        return Number(i + 1, fraction=sign)
    first, second = _text(words, i), _text(words, i + 1)
    if first == "halfway":
        return Number(i + 1, fraction=0.5)
    if first in ("half", "quarter") and not (
        first == "quarter" and second in ("past", "to", "after", "till", "til", "of")
    ):
        if first == "half" and second == "past":
            return None
        if first == "half" and second in ("a",) and _text(words, i + 2) == "dozen":
            return Number(i + 3, value=6.0)
        return Number(i + 1, fraction=1 / _PARTS[first])
    if first in ("a", "one", "an") and second in _PARTS and not second.endswith("s"):
        if second == "half" and _text(words, i + 2) == "dozen":
            return Number(i + 3, value=6.0)
        return Number(i + 2, fraction=1 / _PARTS[second])
    top = _ONES.get(first) or (int(first) if first.isdigit() and len(first) < 3 else 0)
    if top and second in _PARTS and (second.endswith("s") or (first, second) in _SHORT_OF_AN_S):
        return Number(i + 2, fraction=top / _PARTS[second])
    return None


def _ordinal_at(words: Sequence[Word], i: int) -> Number | None:
    first, second = _text(words, i), _text(words, i + 1)
    if (
        i < len(words)
        and words[i].kind == "number"
        and first.isdigit()
        and second in ("st", "nd", "rd", "th")
        and len(first) < 3
    ):
        return Number(i + 2, ordinal=int(first)) if words[i].end == words[i + 1].start else None
    if first in ("twenty", "thirty") and 0 < _ORDINALS.get(second, 0) < 10:
        return Number(i + 2, ordinal=_TENS[first] + _ORDINALS[second])
    if first in _ORDINALS:
        value = _ORDINALS[first]
        fraction = 1 / _PARTS[first] if first in _PARTS else None
        return Number(i + 1, ordinal=value, fraction=fraction)
    return None


def with_points(words: Sequence[Word]) -> list[Word] | None:
    """The words with a "point" between two numbers of two figures each ("twelve eighty"), which may well have been meant; None without such."""
    found: list[Word] = []
    i = 0
    while i < len(words):
        whole = _cardinal(words, i) if words[i].text in NUMBER_WORDS else None
        then = _cardinal(words, whole[1]) if whole is not None else None
        if whole is None or then is None or not 10 <= whole[0] < 100 or not 10 <= then[0] < 100:
            found.append(words[i])
            i += 1
            continue
        found += [*words[i : whole[1]], replace(words[whole[1]], text="point"), *words[whole[1] : then[1]]]
        i = then[1]
    return found if len(found) > len(words) else None
