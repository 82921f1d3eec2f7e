"""Most texts are taken apart without the expression that knows all signs, and the rarely asked for lines of the vocabulary are not taken
apart: the words and senses are the same."""

from __future__ import annotations

import random

import pytest

from grammar.hearing.hear import at_sight, piece_by_piece
from grammar.lexicon import Spellings, WordList
from grammar.prepared import prepared
from tests.phrasebook import load

SIGNS = "apPmM12 05.,?! \t\n\x1cxyz-'/:th%é½"


def texts() -> list[str]:
    chance = random.Random(20261130)
    return [case["say"] for case in load()] + [
        "".join(chance.choices(SIGNS, k=chance.randint(1, 9))) for _ in range(20_000)
    ]


def test_a_text_taken_apart_at_sight_has_the_words_that_the_expression_finds() -> None:
    seen = 0
    for text in texts():
        words = at_sight(text)
        if words is not None:
            seen += 1
            assert words == piece_by_piece(text), text
    assert seen > 5000


@pytest.mark.parametrize("text", ["a. m", "2 1/2 gal", "12:30", "1,234 gal", "2gal", "we're", "grey—black", "½"])
def test_what_signs_may_join_or_part_is_not_taken_apart_at_sight(text: str) -> None:
    assert at_sight(text) is None


def test_a_word_is_looked_for_in_a_list_as_in_a_set() -> None:
    asked = ["hose", "ose", "hos", "", "grey tank", "hose grey", "tank", "zorblax"] * 20
    found = WordList("grey hose tank")
    assert [word in found for word in asked] == [word in {"grey", "hose", "tank"} for word in asked]


def test_a_long_line_of_the_vocabulary_is_searched_as_if_it_were_taken_apart() -> None:
    """For every first word with a long line: each spelling, and some that are none, first searched for and then taken from the line."""
    told = prepared()
    apart = Spellings(told.words, told.firsts)
    searched = Spellings(told.words, told.firsts)
    searched.SELDOM = 10**9  # type: ignore[misc]
    long = [first for first in told.firsts.split(" ") if len(apart._line(first)) > Spellings.SHORT]
    assert "it" in long
    for first in long:
        rests = list(apart._of(first))
        assert apart.lengths(first) == tuple(sorted({len(rest.split()) + 1 for rest in rests}, reverse=True))
        for rest in [*rests[:: max(1, len(rests) // 40)], "", "3", "zorblax", "2 1", " ".join(rests[0].split()[:1])]:
            words = (first, *rest.split())
            assert searched.get(words) == apart.get(words), words
        assert first not in searched._told
