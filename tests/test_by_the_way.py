"""Words beside a report that change nothing of it, whose teeth they were, what has been left, and a question told in one breath."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import GALLON, Talk, at


@pytest.mark.parametrize(
    ("said", "activity", "gallons"),
    [
        ("had to wash the chalk off my hands used about a pint", "handwash", 0.125),
        ("dishes 1 gal before the fireworks", "dishes", 1.0),
    ],
)
def test_what_came_off_and_when_it_was_change_nothing(tmp_path: Path, said: str, activity: str, gallons: float) -> None:
    """Ordinary words that bear on no water."""
    talk = Talk(tmp_path / "water.db")
    (event,) = talk.say(said).recorded
    talk.close()
    assert (event["activity"], round(event["litres"] / GALLON, 3)) == (activity, gallons)


@pytest.mark.parametrize(
    "said", ["Juno and Eli both brushed their teeth", "Ana and Bo washed their hands", "Ana and Bo took their showers"]
)
def test_their_own_is_theirs_who_are_named(tmp_path: Path, said: str) -> None:
    """It was refused as somebody else's."""
    talk = Talk(tmp_path / "water.db")
    assert len({event["person"] for event in talk.say(said).recorded}) == 2
    assert not talk.say("their shower used 8 gallons").recorded
    assert not talk.say("the dude in the blue van used six gallons on his shower").recorded
    talk.close()


@pytest.mark.parametrize(
    "said",
    ["Set off from Heron Bend at quarter to ten", "we set off from Heron Bend at 9:45", "set off at quarter to ten"],
)
def test_who_set_off_at_an_hour_that_has_passed_has_left(tmp_path: Path, said: str) -> None:
    """It was taken for the end of a stay, that evening."""
    talk = Talk(tmp_path / "water.db")
    (event,) = talk.say(said, at("14T13:00")).recorded
    talk.close()
    assert (event["kind"], event["at"]) == ("depart", at("14T09:45"))


@pytest.mark.parametrize(
    "said",
    ["dishes four litres are we okay till friday", "dishes 4 litres do we have enough till friday", "dishes 4 litres will we make it to friday"],
)  # fmt: skip
def test_a_question_told_in_one_breath_with_a_report_is_answered(tmp_path: Path, said: str) -> None:
    """As it is dictated, without a mark."""
    talk = Talk(tmp_path / "water.db")
    reply = talk.say(said)
    talk.close()
    assert [event["litres"] for event in reply.recorded] == [4.0] and reply.facts["topic"] == "make_it"


@pytest.mark.parametrize("said", ["does the water filter need changing yet?", "do we need to change the water filter"])
def test_the_water_of_a_water_filter_is_none_to_fill(tmp_path: Path, said: str) -> None:
    """It was answered with the fresh tank."""
    talk = Talk(tmp_path / "water.db")
    assert talk.say(said).facts["topic"] == "due"
    talk.close()


def test_a_reading_told_afterwards_ends_the_use(tmp_path: Path) -> None:
    """It was taken for another reading before."""
    talk = Talk(tmp_path / "water.db")
    events = talk.say("The meter stood at 15.0 before my shower and at 17.2 afterwards.").recorded
    talk.close()
    assert [event["kind"] for event in events] == ["use", "meter"]
    assert round(events[0]["litres"] / GALLON, 2) == 2.2


def test_a_tank_is_not_called_it(tmp_path: Path) -> None:
    """The name ends where "it" begins."""
    talk = Talk(tmp_path / "water.db")
    (event,) = talk.say("we have a second gray tank called rear it holds twenty gallons").recorded
    talk.close()
    assert event["tank"] == "rear"


def test_it_was_the_dog(tmp_path: Path) -> None:
    """What was washed after all."""
    talk = Talk(tmp_path / "water.db")
    talk.say("dishes 1 gal")
    (event,) = talk.say("no it was the dog").recorded
    talk.close()
    assert (event["kind"], event["activity"]) == ("amend", "pets")


def test_a_small_part_of_a_day_is_told_as_it_was_told(tmp_path: Path) -> None:
    """It was "0 gal"."""
    talk = Talk(tmp_path / "water.db")
    talk.say("shower 4 gal, washed my hands with a pint")
    answer = talk.say("what did we use today", at("09T08:30")).answer
    talk.close()
    assert answer.endswith("Of it showers 4 gal and washing hands 0.12 gal.")
