"""The reader never raises, whatever the bytes, and takes time in proportion to the length of what was said."""

from __future__ import annotations

import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.intents import Ask, NotAReport
from grammar.lexicon import lexicon
from grammar.read import _read, read
from grammar.reading import Impossible, Names, NotUnderstood, Reading
from grammar.rejoinders import Fragment, No, Walk, Yes
from tests.examples import examples

NAMES = Names(people=("Ana", "Will", "May"), sites=("Heron Bend",), tanks=("galley",), taught=(("suds", "dishes"),))
WORDS = sorted({word for words in lexicon().spellings for word in words})
NO_STATEMENT = (Ask, NotAReport, Fragment, Walk, Yes, No)


@settings(max_examples=examples(500), deadline=None)
@given(st.binary(max_size=200))
def test_no_bytes_raise(raw: bytes) -> None:
    """Any bytes, decoded in any way, give a result. (`_read` is `read` without its net.)"""
    for text in (raw.decode("utf-8", "replace"), raw.decode("latin-1")):
        assert isinstance(_read(text, NAMES), Reading | NotUnderstood | Impossible)


@settings(max_examples=examples(300), deadline=None)
@given(st.lists(st.sampled_from([*WORDS, "Ana", "Will", "2", "1.5", ",", "?", "'s", "3/4", "7:30", "-"]), max_size=12))
def test_no_words_of_the_vocabulary_raise(words: list[str]) -> None:
    """Its own words in any order are the hardest for a reader: every frame is called up."""
    assert isinstance(_read(" ".join(words), NAMES), Reading | NotUnderstood | Impossible)


def work(text: str) -> int:
    """How many functions are called to read a text: the same on a busy machine as on an idle one."""
    calls = 0

    def count(frame: object, event: str, arg: object) -> None:
        nonlocal calls
        calls += event.endswith("call")

    sys.setprofile(count)
    try:
        read(text, NAMES)
    finally:
        sys.setprofile(None)
    return calls


@pytest.mark.parametrize(
    "unit",
    ["shower used 2 gal, ", "um uh ", "??? ", "2 gal ", "and ", "blorp fnord ", "the grey tank is ", "Will ", "if ",
     "shower used 2 gal and dishes 1.5 and ", "dumped grey. ", "is it ", "at seven ", "no make that three ", "( ", "two and a half ",
     "can we make it to Sunday and ", "shower two no three gallons "],
)  # fmt: skip
def test_twice_the_words_take_twice_the_work(unit: str) -> None:
    """2,000 characters against 1,000: no more than in proportion, with a tenth for what repeats unevenly."""
    read(unit * (2000 // len(unit)), NAMES)  # warm: what is looked up once is kept
    half, whole = work(unit * (1000 // len(unit))), work(unit * (2000 // len(unit)))
    assert whole <= 2.2 * half + 500


@pytest.mark.parametrize("unit", ["meter 12.3 then ", "meter 12.3 ", "dumped grey then ", "shower 2 gal "])
def test_a_chain_of_short_reports_takes_a_bounded_work_for_each(unit: str) -> None:
    """A clause that grows beyond what any frame takes is given up at once: within 4,000 calls a report, where it was up to 8,600."""
    many = 2000 // len(unit)
    read(unit * many, NAMES)
    assert work(unit * many) <= 4000 * many


def test_what_is_longer_than_anyone_says_is_turned_away_politely() -> None:
    """4,000 characters are the most; more is not worked through."""
    found = read("shower used 2 gal and " * 1000)
    assert isinstance(found, NotUnderstood) and found.reference == "too-long" and "in parts" in found.message


def test_names_that_are_words_are_names_only_in_the_place_of_a_person() -> None:
    """ "Will took a shower" is by Will, "will take a shower" is a plan, "May" a month beside a day."""
    for said, who in (("Will took a shower", "Will"), ("max took a shower", "Max"), ("May showered, 2 gal", "May")):
        found = read(said)
        assert isinstance(found, Reading) and found.meanings[0].people == (who,), said  # type: ignore[attr-defined]
    for said in ("will take a shower", "may do the dishes", "mark a shower"):
        found = read(said)
        assert not isinstance(found, Reading) or not getattr(found.meanings[0], "people", ())


@pytest.mark.bench
def test_what_is_made_of_word_salad() -> None:
    """Prints what would be booked of 100,000 random runs of words; to be read by eye."""
    import random

    chance = random.Random(5)
    booked = 0
    for _ in range(100_000):
        said = " ".join(chance.choice(WORDS) for _ in range(chance.randint(2, 7)))
        found = read(said, NAMES)
        if (
            isinstance(found, Reading)
            and not found.confirm
            and not all(isinstance(m, NO_STATEMENT) for m in found.meanings)
        ):
            booked += 1
            if booked <= 150:
                print(said, "→", *(type(one).__name__ for one in found.meanings))
    print(f"{booked} of 100,000 would be statements")
    assert booked < 5_000
