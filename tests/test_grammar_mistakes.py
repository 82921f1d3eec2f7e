"""Phrases that are not understood: the reference, the place of the words, and what is said; and that every hint works."""

from __future__ import annotations

from pathlib import Path

import pytest

from grammar.intents import Ask, NotAReport
from grammar.nearest import EXAMPLES
from grammar.read import read
from grammar.reading import Impossible, Names, NotUnderstood, Reading

MISTAKES = Path(__file__).parent / "corpus" / "mistakes.txt"
NAMES = Names(people=("Ana", "Joss"), sites=("Heron Bend",))


def blocks() -> list[tuple[str, str, tuple[tuple[int, int], ...]]]:
    """(reference, phrase, marked places)."""
    found = []
    for block in MISTAKES.read_text(encoding="utf-8").split("=== ")[1:]:
        reference, phrase, *marks = block.rstrip("\n").split("\n")
        found.append((reference, phrase, places(marks[0]) if marks else ()))
    return found


def places(marks: str) -> tuple[tuple[int, int], ...]:
    """The stretches of ^ in a line of marks."""
    ends, start = [], None
    for i, mark in enumerate(marks + " "):
        if mark == "^" and start is None:
            start = i
        if mark != "^" and start is not None:
            ends.append((start, i))
            start = None
    return tuple(ends)


@pytest.mark.parametrize(("reference", "phrase", "marked"), blocks())
def test_a_mistake_has_its_reference_and_its_place(
    reference: str, phrase: str, marked: tuple[tuple[int, int], ...]
) -> None:
    """The smallest stretch that was not understood is marked, and the sentence says that nothing was recorded."""
    found = read(phrase, NAMES)
    assert isinstance(found, NotUnderstood | Impossible), found
    assert found.reference == reference
    assert "nothing was recorded" in found.message
    if isinstance(found, NotUnderstood):
        assert found.words == marked


@pytest.mark.parametrize("example", EXAMPLES)
def test_each_phrase_that_is_offered_as_a_hint_is_understood(example: str) -> None:
    """A hint that does not work would be worse than none."""
    found = read(example, NAMES)
    assert isinstance(found, Reading) and not found.confirm, found
    assert not any(isinstance(one, NotAReport) for one in found.meanings)


@pytest.mark.parametrize("said", ["empty the black tank", "please empty the grey", "empty grey"])
def test_an_empty_said_first_may_be_an_order_and_is_asked_about(said: str) -> None:
    """ "Black empty" was seen; "empty the black" is rather to be done."""
    found = read(said)
    assert not isinstance(found, Reading) or found.confirm, found
    assert isinstance(seen := read("black empty"), Reading) and not seen.confirm


def test_an_order_is_asked_about_and_not_booked() -> None:
    """ "dump grey" may be a report in its shortest form or a plan."""
    found = read("dump grey", NAMES)
    assert isinstance(found, Reading) and found.confirm and found.as_read == "dumped grey"
    assert read(found.as_read, NAMES) != found


def test_a_word_that_sounds_like_a_number_is_asked_about_where_it_changes_what_is_booked() -> None:
    """Nobody is asked about a homophone before a unit; elsewhere a number made of a little word needs a yes."""
    clear = read("shower used to gallons", NAMES)
    assert isinstance(clear, Reading) and not clear.confirm
    for said in ("dishes to do", "we are for it", "got to wash the dishes"):
        found = read(said, NAMES)
        assert (
            not isinstance(found, Reading)
            or found.confirm
            or all(isinstance(one, Ask | NotAReport) for one in found.meanings)
        ), found
