"""A full statement after "wait": in the place of what was told last, or besides."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk


@pytest.mark.parametrize(
    "phrase", ["wait, Bert showered two gallons", "wait, I did dishes 2 gal", "sorry, Joss's shower was 2 gal"]
)
def test_another_deed_does_not_drop_the_first(talk: Talk, phrase: str) -> None:
    """Asked; a no leaves it as it was told."""
    talk.say("Ana showered, 2 gal")
    assert talk.say(phrase).outcome == "asked"
    assert not talk.say("no").recorded


@pytest.mark.parametrize("phrase", ["wait, Ana showered with 3 gal", "no, Bert showered 3 gal", "wait, it was 3 gal"])
def test_a_plain_correction_is_one(talk: Talk, phrase: str) -> None:
    talk.say("Ana showered, 2 gal")
    (one,) = talk.say(phrase).recorded
    assert one["kind"] == "amend" and round(one["litres"] / GALLON, 2) == 3


def test_another_deed_may_be_put_in_its_place(talk: Talk) -> None:
    talk.say("shower 2 gal")
    talk.say("wait, Bert showered two gallons")
    (one,) = talk.say("yes").recorded
    assert (one["kind"], one["person"]) == ("amend", "Bert")


@pytest.mark.parametrize("phrase", ["no, Pia's was 2.5", "no, mine was 2.5"])
def test_what_was_never_told_is_not_corrected(talk: Talk, phrase: str) -> None:
    talk.say("Ana did the dishes, 2 gal")
    assert talk.say(phrase).outcome == "asked"


@pytest.mark.parametrize(
    ("phrase", "gallons"), [("hauled 12 gal of grey, two trips", 12), ("hauled 6 gal of grey twice", 12)]
)
def test_trips_are_of_all_that_was_told(talk: Talk, phrase: str, gallons: float) -> None:
    talk.say("grey is at 20 gal")
    (one,) = talk.say(phrase).recorded
    assert round(one["litres"] / GALLON, 2) == gallons
