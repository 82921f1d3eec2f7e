"""The vocabulary: one table from spellings to word classes. To add a synonym, add it to its line in words/*.txt and prepare anew
(`python -m grammar.prepare`). May import: prepared.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache, cached_property

from grammar.lightclass import TYPE_CHECKING, Any, dataclass
from grammar.prepared import prepared

if TYPE_CHECKING:
    from mmap import mmap

DETERMINERS = frozenset(("the", "my", "our", "his", "her", "its", "their", "your", "some", "a", "an"))
_ONLY_NAMES = ({"NAMEWORD"}, {"KIN"}, {"GROUP"})


@dataclass(frozen=True)
class Sense:
    """What a spelling means: its class (`ACT`, `DUMP`, `UNIT`…), the form of the word, and the canonical value."""

    cls: str
    form: str
    value: str


def _line(lines: mmap | bytes, first: bytes) -> bytes:
    """The line that begins with a word and a tab, by bisection; empty if none does."""
    low, high = 0, len(lines)
    while low < high:
        start = lines.rfind(b"\n", low, (low + high) // 2) + 1 or low
        tab = lines.find(b"\t", start)
        word = lines[start:tab]
        if word == first:
            return lines[start : lines.find(b"\n", tab)]
        if word < first:
            low = lines.find(b"\n", tab) + 1
        else:
            high = start
    return b""


class Spellings(Mapping[tuple[str, ...], tuple[Sense, ...]]):
    """Words → senses. `lines`, `firsts`: see `Prepared`. A line is found when its first word is looked up; what follows that word is looked
    for in it, and the line taken apart when it is asked for more often, or at once where it is short."""

    SHORT, SELDOM = 2000, 20

    def __init__(self, lines: mmap | bytes, firsts: str) -> None:
        self._lines, self._firsts = lines, firsts
        self._found: dict[str, bytes] = {}
        self._asked: dict[str, int] = {}
        self._told: dict[str, dict[str, str]] = {}
        self._known: dict[tuple[str, ...], tuple[Sense, ...]] = {}
        self._lengths: dict[str, tuple[int, ...]] = {}

    def _of(self, first: str) -> dict[str, str]:
        """What follows a first word → its senses as told."""
        found = self._told.get(first)
        if found is None:
            fields = self._line(first).decode().split("\t")
            found = self._told[first] = dict(zip(fields[2:-1:2], fields[3::2], strict=True))
            self._found.pop(first)
        return found

    def _senses(self, first: str, rest: str) -> str | None:
        """The senses, as told, of a first word with what follows it."""
        if first not in self._told:
            line = self._line(first)
            asked = self._asked[first] = self._asked.get(first, 0) + 1
            if len(line) > self.SHORT and asked <= self.SELDOM:
                key = f"\t{rest}\t".encode(errors="replace")
                place = line.find(key, line.find(b"\t", line.find(b"\t") + 1)) + len(key)
                return line[place : line.find(b"\t", place)].decode() if place >= len(key) else None
        return self._of(first).get(rest)

    def _line(self, first: str) -> bytes:
        """The line that begins with a word, as found."""
        found = self._found.get(first)
        if found is None:
            found = self._found[first] = _line(self._lines, first.encode(errors="replace"))
        return found

    def lengths(self, first: str) -> tuple[int, ...]:
        """The lengths, in words, of the spellings that begin with a word, longest first."""
        found = self._lengths.get(first)
        if found is None:
            _, _, told = self._line(first).partition(b"\t")
            found = self._lengths[first] = tuple(map(int, told[: told.find(b"\t")].split()))
        return found

    def get(self, words: tuple[str, ...], default: Any = None) -> Any:
        found = self._known.get(words)
        if found is None:
            told = self._senses(words[0], " ".join(words[1:])) if words else None
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
        return isinstance(words, tuple) and bool(words) and self._senses(words[0], " ".join(words[1:])) is not None

    def __iter__(self) -> Iterator[tuple[str, ...]]:
        for first in self._firsts.split(" "):
            yield from ((first, *rest.split(" ")) if rest else (first,) for rest in self._of(first))

    def __len__(self) -> int:
        return sum(len(self._of(first)) for first in self._firsts.split(" "))


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


class WordList:
    """Many words, told as one text with blanks between. A phrase asks after a few: these are looked for in the text, which takes less
    than taking it apart; a talk that goes on is worth that."""

    FEW = 100

    def __init__(self, told: str) -> None:
        self._told, self._asked = f" {told} ", 0

    @cached_property
    def all(self) -> frozenset[str]:
        return frozenset(self._told.split())

    def __contains__(self, word: str) -> bool:
        if self._asked == self.FEW:
            return word in self.all
        self._asked += 1
        return " " not in word and f" {word} " in self._told


class Lexicon:
    """`spellings`: words → senses. `single`: all words that stand in any spelling, the vocabulary that
    typing errors are mended towards. `english`: see `Prepared`."""

    def __init__(self, spellings: Spellings, single: str, english: mmap | bytes) -> None:
        self.spellings = spellings
        self.single = WordList(single)
        self._english = english
        self._told: dict[str, bytes] = {}
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

    def ordinary(self, word: str) -> bool:
        """Whether it is a word of English, so that it is no name."""
        return bool(self._english_line(word))

    def frequent(self, word: str) -> bool:
        """Whether it is a word of English so frequent that it is no slip for another."""
        return self._english_line(word).endswith(b"\t")

    def _english_line(self, word: str) -> bytes:
        found = self._told.get(word)
        if found is None:
            found = self._told[word] = _line(self._english, word.encode(errors="replace"))
        return found


def single_words(spellings: Spellings) -> list[str]:
    """The words of `Lexicon.single`, in order: worked out when the vocabulary is prepared, since it takes all of it apart."""
    return sorted(
        {
            word
            for words, senses in spellings.items()
            if {one.cls for one in senses} not in _ONLY_NAMES
            for word in words
        }
    )


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
    return Lexicon(Spellings(found.words, found.firsts), found.single, found.english)


@cache
def _sense(told: str) -> Sense:
    head, _, value = told.partition(" ")
    cls, _, form = head.partition(".")
    return Sense(cls, form, value)
