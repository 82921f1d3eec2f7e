"""Words into tokens: each with the classes of the vocabulary that it may have here, or none (an unknown word).

Longest spelling first; numbers take part; articles may stand inside a spelling of several words. Homophones and misspellings are
offered as alternatives by alternatives.py, not here. May import: hear, lexicon, numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from grammar.hearing.hear import Word
from grammar.hearing.numbers import NUMBER_WORDS, number_at
from grammar.lexicon import DETERMINERS, Lexicon, Own, Sense, by_class
from grammar.lightclass import dataclass

_NONE: Mapping[str, Sense] = {}


@dataclass(frozen=True)
class Tok:
    """One token. `senses`: class → sense; empty for an unknown word. `number`, `fraction`, `ordinal`: what it counts."""

    text: str
    start: int
    end: int
    senses: Mapping[str, Sense] = _NONE
    number: float | None = None
    fraction: float | None = None
    ordinal: int | None = None
    parts: tuple[int, ...] = ()
    capital: bool = False

    def __init__(
        self, text: str, start: int, end: int, senses: Mapping[str, Sense] = _NONE, number: float | None = None,
        fraction: float | None = None, ordinal: int | None = None, parts: tuple[int, ...] = (), capital: bool = False,
    ) -> None:  # written out: a phrase makes many of them  # fmt: skip
        own = self.__dict__
        own["text"], own["start"], own["end"], own["senses"] = text, start, end, senses
        own["number"], own["fraction"], own["ordinal"] = number, fraction, ordinal
        own["parts"], own["capital"] = parts, capital

    def has(self, *classes: str) -> bool:
        senses = self.senses
        for cls in classes:  # noqa: SIM110 (the busiest line of the reader: a generator would take three times as long)
            if cls in senses:
                return True
        return False

    @property
    def known(self) -> bool:
        return bool(self.senses)


def classes(toks: Iterable[Tok]) -> set[str]:
    """All classes that any of the tokens has: what cannot be there need not be looked for."""
    return set().union(*[tok.senses for tok in toks])


def sense(cls: str, value: str = "", form: str = "") -> dict[str, Sense]:
    return {cls: Sense(cls, form, value)}


def tokens(words: Sequence[Word], lexicon: Lexicon, own: Own) -> list[Tok]:
    """The tokens of the words; `own` are spellings of this rig (names)."""
    found: list[Tok] = []
    i = 0
    while i < len(words):
        tok, i = _token_at(words, i, lexicon, own)
        found.append(tok)
    return found


def _token_at(words: Sequence[Word], i: int, lexicon: Lexicon, own: Own) -> tuple[Tok, int]:
    word = words[i]
    if word.kind in ("mark", "clock", "date"):
        special = _special(words, i, lexicon)
        if special is not None:
            return special
    spelled, senses = _longest(words, i, lexicon, own)
    number = (
        number_at(words, i)
        if word.kind in ("number", "fraction") or word.text in NUMBER_WORDS or word.text in ("a", "an")
        else None
    )
    if number is not None and number.end >= spelled:
        kinds: dict[str, Sense] = {}
        kinds |= sense("NUMBER") if number.value is not None else {}
        kinds |= sense("FRACTION") if number.fraction is not None else {}
        kinds |= sense("ORD") if number.ordinal is not None else {}
        kinds |= senses if number.end == spelled else {}
        return Tok(
            " ".join(w.text for w in words[i : number.end]), word.start, words[number.end - 1].end, kinds, number.value,
            number.fraction, number.ordinal, capital=word.capital,
        ), number.end  # fmt: skip
    if spelled > i:
        value = 2.0 if "COUPLE" in senses else None
        senses = senses | sense("NUMBER") if value else senses
        text = " ".join(w.text for w in words[i:spelled])
        return Tok(text, word.start, words[spelled - 1].end, senses, value, capital=word.capital), spelled
    return Tok(word.text, word.start, word.end, capital=word.capital), i + 1


def _longest(words: Sequence[Word], i: int, lexicon: Lexicon, own: Own) -> tuple[int, dict[str, Sense]]:
    """Where the longest spelling that begins at `i` ends, and its senses; `i` itself if there is none."""
    first = words[i].text
    if words[i].kind == "mark" and first != "%":
        return i, {}
    theirs = own.first.get(first, ())
    if first in DETERMINERS and not theirs and (first,) in lexicon.spellings:
        return i + 1, lexicon.senses((first,))
    sizes: Sequence[int] = lexicon.spellings.lengths(first)
    if theirs:
        sizes = sorted({*sizes, *theirs}, reverse=True)
    said, ends = _run(words, i, sizes[0]) if sizes else ((), ())
    for size in sizes:
        if size > len(said):
            continue
        key = tuple(said[:size])
        senses = lexicon.senses(key)
        if theirs and key in own.spellings:
            senses = by_class((*own.spellings[key], *senses.values()))
        if senses and not _is_no_rate(senses, words, ends[size - 1]):
            return ends[size - 1], senses
    return i, {}


def _run(words: Sequence[Word], i: int, most: int) -> tuple[Sequence[str], Sequence[int]]:
    """The words from `i` on that may make up one spelling, articles inside it left out, and where each of them ends."""
    said, ends = [words[i].text], [i + 1]
    for j in range(i + 1, len(words)):
        if len(said) == most:
            break
        word = words[j]
        if word.text in DETERMINERS:
            continue
        if word.kind == "mark" and word.text != "%":
            break
        said.append(word.text)
        ends.append(j + 1)
    return said, ends


def _is_no_rate(senses: Mapping[str, Sense], words: Sequence[Word], end: int) -> bool:
    """ "2 gal a minute ago", "2 gal the day before yesterday": a volume and a time, no rate."""
    return "RATEUNIT" in senses and end < len(words) and words[end].text in ("ago", "before")


def _special(words: Sequence[Word], i: int, lexicon: Lexicon) -> tuple[Tok, int] | None:
    word = words[i]
    if word.kind == "clock":
        return Tok(word.text, word.start, word.end, sense("CLOCK"), parts=word.value), i + 1  # type: ignore[arg-type]
    if word.kind == "date":
        return Tok(word.text, word.start, word.end, sense("ISODATE"), parts=word.value), i + 1  # type: ignore[arg-type]
    after = words[i + 1] if i + 1 < len(words) else None
    before = words[i - 1] if i else None
    if word.text == "-" and after is not None and after.kind in ("number", "fraction") and after.start == word.end:
        touching = before is not None and before.end == word.start and before.kind == "number"
        return Tok("-", word.start, word.end, sense("DASH" if touching else "MINUS")), i + 1
    marks = {
        ",": "COMMA",
        ";": "SEMI",
        ".": "STOP",
        "!": "STOP",
        "?": "QMARK",
        ":": "COLON",
        "=": "COLON",
        "+": "AND",
        "&": "AND",
        "(": "COMMA",
        ")": "COMMA",
        "-": "COMMA",
        "/": "COMMA",
    }
    if word.text in marks:
        kind = marks[word.text]
        return Tok(word.text, word.start, word.end, sense(kind, "and" if kind == "AND" else "")), i + 1
    if word.text in ('"', "'", "*"):
        return Tok(word.text, word.start, word.end, sense("FILLER")), i + 1
    if (word.text,) in lexicon.spellings:
        return Tok(word.text, word.start, word.end, {s.cls: s for s in lexicon.spellings[(word.text,)]}), i + 1
    if word.text == "@":
        return Tok(word.text, word.start, word.end, sense("PREP", "at")), i + 1
    return None


def between(words: Sequence[Word], toks: Sequence[Tok], start: int, end: int) -> list[Word]:
    """The words of the tokens from one place to before another."""
    if start >= end:
        return []
    return [word for word in words if toks[start].start <= word.start and word.end <= toks[end - 1].end]
