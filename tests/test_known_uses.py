"""Uses that are told as if they were known: how the words mark them, and which entry they are of in a conversation."""

from __future__ import annotations

from pathlib import Path

import pytest

from grammar.intents import Use
from grammar.read import read
from grammar.reading import Names, Reading
from tests.talking import GALLON, Talk, at


@pytest.mark.parametrize(
    ("said", "known", "more"),
    [
        ("the dishes were 2", "amount", False),
        ("Ana's shower was 2.5 gal", "amount", False),
        ("about eight gallons for the bath", "perhaps", False),
        ("half a gallon for the dishes", "perhaps", False),
        ("the shower was Ana", "other", False),
        ("dishes 2", None, False),
        ("Ana showered, 2 gal", None, False),
        ("took a shower I was covered in grease three gallons", None, False),
        ("one more flush", None, True),
    ],
)
def test_what_is_told_of_a_known_use_is_marked(said: str, known: str | None, more: bool) -> None:
    """A deed told as such is none, whatever "was" stands in it."""
    found = read(said, Names(people=("Ana",)))
    assert isinstance(found, Reading) and isinstance(found.meanings[0], Use)
    assert (found.meanings[0].known, found.meanings[0].more) == (known, more)


def kinds_of(talk: Talk, *phrases: str) -> list[str]:
    for phrase in phrases:
        reply = talk.say(phrase)
    return [one["kind"] for one in reply.recorded]


@pytest.mark.parametrize(
    ("first", "then", "gallons"),
    [("Bo had a bath", "about eight gallons for the bath", 8), ("did the dishes", "the dishes were 2", 2)],
)
def test_an_amount_told_right_after_takes_the_place_of_the_usual_one(
    talk: Talk, first: str, then: str, gallons: float
) -> None:
    """There was one bath, whose amount was not known yet."""
    assert kinds_of(talk, first, then) == ["amend"]
    assert talk.replies[-1].recorded[0]["litres"] == pytest.approx(gallons * GALLON, rel=1e-3)


def test_an_amount_of_its_own_is_another_use(talk: Talk) -> None:
    assert kinds_of(talk, "did the dishes", "dishes 2") == ["use"]
    assert kinds_of(talk, "2 gal for the shower", "3 gal for the shower") == ["use"]


@pytest.mark.parametrize(
    "phrase",
    [
        "Bo's shower on Saturday was two gallons, not five",
        "Saturday's shower was two not five",
        "make Saturday's shower two",
        "change Saturday's shower to 2 gal",
    ],
)
def test_the_use_of_a_day_is_put_right(tmp_path: Path, phrase: str) -> None:
    """And no other is booked beside it."""
    talk = Talk(tmp_path / "w.db")
    talk.say("Bo showered 5 gallons", at("13T08:00"))
    talk.say("dishes 1 gal", at("14T08:00"))
    reply = talk.say(phrase, at("15T08:00"))
    assert [one["kind"] for one in reply.recorded] == ["amend"]
    assert reply.recorded[0]["litres"] == pytest.approx(2 * GALLON, rel=1e-3)
    talk.close()


def test_the_use_of_a_day_on_which_there_was_none_or_two_is_asked_about(tmp_path: Path) -> None:
    talk = Talk(tmp_path / "w.db")
    talk.say("Bo showered 5 gallons", at("13T08:00"))
    assert talk.say("yesterday's shower was two not five", at("15T08:00")).outcome == "asked"
    assert talk.say("Saturday's shower was two not four").outcome == "asked"
    talk.say("Ana showered, 3 gal", at("15T09:00"))
    talk.say("Bo showered, 4 gal")
    assert talk.say("make this morning's shower 2").outcome == "asked"
    talk.close()


def test_the_amount_of_a_use_on_a_day_that_has_one_is_asked_about(tmp_path: Path) -> None:
    """ "Bo's shower on Saturday was two gallons": the one of five, or another."""
    talk = Talk(tmp_path / "w.db")
    talk.say("Bo showered 5 gallons", at("13T08:00"))
    reply = talk.say("Bo's shower on Saturday was two gallons", at("15T08:00"))
    assert reply.outcome == "asked"
    assert [one["kind"] for one in talk.say("yes").recorded] == ["use"]
    talk.close()


def amended(talk: Talk, *phrases: str) -> dict[str, object]:
    """The fields that the last of the phrases changes of the one entry that it amends."""
    for phrase in phrases:
        reply = talk.say(phrase)
    (event,) = reply.recorded
    assert event["kind"] == "amend", reply.answer
    return event


@pytest.fixture
def anew(tmp_path: Path) -> Talk:
    return Talk(tmp_path / "anew.db")


@pytest.mark.parametrize(
    ("phrases", "name", "value"),
    [
        (("two flushes", "the flushes were four, not two"), "count", 4),
        (("two showers", "the showers were three, not two"), "count", 3),
        (("Bo showered 2", "Nell showered 3", "the first shower was 4"), "litres", 4 * GALLON),
        (("Nell showered 3.5 at 7:05", "the shower at 7 was Bo's"), "person", "Bo"),
        (("Nell showered 3.5 at 7:05", "the shower this morning was Bo's"), "person", "Bo"),
    ],
)
def test_what_is_told_of_an_entry_on_record_puts_it_right(
    anew: Talk, phrases: tuple[str, ...], name: str, value: object
) -> None:
    """By its number, its place in the row or its hour; a second entry would count the water twice."""
    assert amended(anew, *phrases)[name] == (pytest.approx(value) if isinstance(value, float) else value)


@pytest.mark.parametrize("said", ["the first shower was 4", "the second shower was 3", "the shower at 7 was Bo's"])
def test_the_same_words_tell_a_use_where_there_is_none_on_record(anew: Talk, said: str) -> None:
    assert kinds_of(anew, said) == ["use"]


@pytest.mark.parametrize(
    ("before", "said"), [("dishes 2", "dishes used 3 actually"), ("Nell flushed twice", "Nell's flushes were three")]
)
def test_a_use_put_otherwise_right_after_is_asked_about(anew: Talk, before: str, said: str) -> None:
    anew.say(before)
    assert anew.say(said).outcome == "asked"


def test_what_stands_already_is_no_further_use(anew: Talk) -> None:
    """ "The showers were three, not two" where three are on record."""
    anew.say("three showers")
    assert anew.say("the showers were three, not two").outcome == "asked"


@pytest.mark.parametrize("said", ["about 2 gallons I'd say", "2 gal", "it was two gallons"])
def test_an_amount_alone_right_after_a_usual_one_takes_its_place(anew: Talk, said: str) -> None:
    assert amended(anew, "Nell took a five minute shower", said)["litres"] == pytest.approx(2 * GALLON)


def test_an_amount_alone_is_asked_about_where_it_may_be_of_anything(anew: Talk) -> None:
    for before in ("shower 2 gal", "teeth and dishes", "dumped grey"):
        anew.say(before)
        assert anew.say("about 3 gallons").outcome == "asked"


def test_a_day_told_of_a_use_hours_later_is_asked(talk: Talk) -> None:
    """ "Bo's shower was on Sunday" tells when the one just booked was, or of another: nothing is booked until that is said."""
    talk.say("Bo showered 2 gal")
    told = talk.say("Bo's shower was on Sunday", at("09T12:30"))
    assert told.outcome == "asked" and not told.recorded
