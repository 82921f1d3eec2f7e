"""The vocabulary: one table from spellings to word classes. To add a synonym, add it to its line in words/*.txt and prepare anew
(`python -m grammar.prepare`). May import: prepared.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache, cached_property

from grammar.lightclass import Any, dataclass
from grammar.prepared import prepared

DETERMINERS = frozenset(("the", "my", "our", "his", "her", "its", "their", "your", "some", "a", "an"))
_ONLY_NAMES = ({"NAMEWORD"}, {"KIN"}, {"GROUP"})


@dataclass(frozen=True)
class Sense:
    """What a spelling means: its class (`ACT`, `DUMP`, `UNIT`…), the form of the word, and the canonical value."""

    cls: str
    form: str
    value: str


class Spellings(Mapping[tuple[str, ...], tuple[Sense, ...]]):
    """Words → senses. A line of the vocabulary is taken apart when it is first looked up: a phrase needs a few of the thousands."""

    def __init__(self, told: dict[str, str]) -> None:
        self._told = told
        self._known: dict[tuple[str, ...], tuple[Sense, ...]] = {}

    def get(self, words: tuple[str, ...], default: Any = None) -> Any:
        found = self._known.get(words)
        if found is None:
            told = self._told.get(" ".join(words))
            if told is None:
                return default
            found = self._known[words] = tuple([_sense(one) for one in told.split("|")])
        return found

    def __getitem__(self, words: tuple[str, ...]) -> tuple[Sense, ...]:
        found: tuple[Sense, ...] | None = self.get(words)
        if found is None:
            raise KeyError(words)
        return found

    def __contains__(self, words: object) -> bool:
        return isinstance(words, tuple) and " ".join(words) in self._told

    def __iter__(self) -> Iterator[tuple[str, ...]]:
        return (tuple(words.split(" ")) for words in self._told)

    def __len__(self) -> int:
        return len(self._told)


@dataclass(frozen=True)
class Own:
    """The spellings of a rig's own names, and the lengths of those that begin with a word, longest first."""

    spellings: Mapping[tuple[str, ...], tuple[Sense, ...]]
    first: Mapping[str, tuple[int, ...]]

    @staticmethod
    def of(spellings: Mapping[tuple[str, ...], tuple[Sense, ...]]) -> Own:
        lengths: dict[str, set[int]] = {}
        for words in spellings:
            lengths.setdefault(words[0], set()).add(len(words))
        return Own(spellings, {word: tuple(sorted(sizes, reverse=True)) for word, sizes in lengths.items()})


NO_OWN = Own({}, {})


class Lexicon:
    """`spellings`: words → senses. `first`: a first word → the lengths (in words) of the spellings that begin with it, longest first.
    `single`: all words that stand in any spelling, the vocabulary that typing errors are mended towards. `english`: ordinary words."""

    def __init__(self, told: dict[str, str], first: dict[str, tuple[int, ...]], english: str) -> None:
        self.spellings = Spellings(told)
        self.first = first
        self._english = english
        self._senses: dict[tuple[str, ...], dict[str, Sense]] = {}

    def senses(self, words: tuple[str, ...]) -> dict[str, Sense]:
        """The senses of a spelling by class, not to be changed; empty if it is none."""
        found = self._senses.get(words)
        if found is None:
            told = self.spellings.get(words)
            if told is None:
                return {}
            found = self._senses[words] = by_class(told)
        return found

    @cached_property
    def single(self) -> frozenset[str]:
        return frozenset(
            word
            for words, senses in self.spellings.items()
            if {one.cls for one in senses} not in _ONLY_NAMES
            for word in words
        )

    @cached_property
    def english(self) -> frozenset[str]:
        return frozenset(self._english.split(" "))


def by_class(senses: Sequence[Sense]) -> dict[str, Sense]:
    """The senses by class; of two of one class the one that stands first."""
    found: dict[str, Sense] = {}
    for one in senses:
        found.setdefault(one.cls, one)
    return found


@cache
def lexicon() -> Lexicon:
    """The vocabulary, as prepared."""
    found = prepared()
    return Lexicon(found.words, found.first, found.english)


@cache
def _sense(told: str) -> Sense:
    head, _, value = told.partition(" ")
    cls, _, form = head.partition(".")
    return Sense(cls, form, value)
