"""Runs tests/corpus: many phrasings of one meaning, and phrases that are no statements."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from grammar import intents, reading, rejoinders
from grammar.intents import Ask, NotAReport
from grammar.read import read
from grammar.reading import Names, NotUnderstood, Reading
from grammar.rejoinders import Fragment
from grammar.when import When
from state.lightclass import fields, is_dataclass

CORPUS = Path(__file__).parent / "corpus"
NAMES = Names(people=("Ana", "Joss"), sites=("Heron Bend",))
MEANINGS = {**vars(intents), **vars(rejoinders), **vars(reading)}
WORDS = {name: value for name, value in MEANINGS.items() if isinstance(value, type)} | {"When": When}


def blocks() -> list[tuple[str, str, str]]:
    """(title and place, phrasing, expected) of every phrasing of the corpus."""
    found = []
    for path in sorted(CORPUS.glob("*.txt")):
        if path.name in ("not_ours.txt", "mistakes.txt"):
            continue
        for block in path.read_text(encoding="utf-8").split("=== ")[1:]:
            head, expected = block.split("\n---\n")
            title, *phrasings = head.splitlines()
            found += [(f"{path.stem}: {title}", said, expected.strip()) for said in phrasings if said.strip()]
    return found


def bare(value: Any) -> Any:
    """A meaning without the words it came from and without marks of how it was worded."""
    if is_dataclass(value) and not isinstance(value, type):
        kept = [(one.name, bare(getattr(value, one.name))) for one in fields(value) if one.name not in _WORDING]
        return type(value).__name__, tuple(kept)
    if isinstance(value, tuple):
        return tuple(bare(one) for one in value)
    return round(value, 6) if isinstance(value, float | int) and not isinstance(value, bool) else value


_WORDING = ("text", "done", "known", "more", "by_name", "that_was", "repeat", "named")


@pytest.mark.parametrize(("title", "said", "expected"), blocks(), ids=lambda part: part[:60])
def test_each_phrasing_gives_the_meaning_of_its_block(title: str, said: str, expected: str) -> None:
    """The corpus is the list of what can be said: a phrasing is read as the meaning under its rule."""
    found = read(said, NAMES)
    assert isinstance(found, Reading), f"{title}: {found}"
    assert bare(found.meanings) == bare(eval(f"({expected},)", dict(WORDS))), title


@pytest.mark.parametrize(
    "said",
    [line for line in (CORPUS / "not_ours.txt").read_text(encoding="utf-8").splitlines() if line and line[0] != "#"],
)
def test_what_is_no_report_is_never_a_statement(said: str) -> None:
    """Negation, plans, questions, others' rigs and chat may be answered or declined, but give nothing to record. A part may be offered."""
    found = read(said, NAMES)
    if isinstance(found, Reading):
        assert (found.left and found.confirm) or all(
            isinstance(one, Ask | NotAReport | Fragment) for one in found.meanings
        ), found
    else:
        assert isinstance(found, NotUnderstood)


def test_each_phrasing_stands_once_in_the_corpus() -> None:
    """A phrase with two meanings would be a fault of the corpus."""
    said = [phrase.casefold() for _, phrase, _ in blocks()]
    assert len(said) == len(set(said))
