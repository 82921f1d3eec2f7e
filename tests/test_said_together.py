"""What an amount that was asked about and the reply to it make together."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk


@pytest.mark.parametrize(
    ("number", "reply", "activity"),
    [("3", "showers", "shower"), ("2", "flushes", "toilet"), ("2", "loads of laundry", "laundry"), ("4", "flushes this morning", "toilet")],
)  # fmt: skip
def test_a_number_in_front_of_several_counts_them(talk: Talk, number: str, reply: str, activity: str) -> None:
    """No gallons of one."""
    assert talk.say(number).outcome == "asked"
    used = talk.say(reply).recorded[0]
    assert (used["activity"], used["count"], used["estimated"]) == (activity, int(number), True)


@pytest.mark.parametrize("reply", ["shower", "dishes"])
def test_a_number_in_front_of_one_is_how_much(talk: Talk, reply: str) -> None:
    """ "3" … "shower"."""
    talk.say("3")
    assert talk.say(reply).recorded[0]["litres"] == pytest.approx(3 * GALLON)


def test_where_an_amount_went(talk: Talk) -> None:
    """Into fresh it is a fill, into black a rinse."""
    talk.say("2 gallons")
    assert talk.say("into fresh").recorded[0]["kind"] == "fill"
    talk.say("5 gallons")
    assert talk.say("into black").recorded[0]["kind"] == "rinse"


@pytest.mark.parametrize("reply", ["in fresh", "from grey", "out of grey", "grey", "the black tank"])
def test_an_amount_and_a_tank_may_be_several_things(talk: Talk, reply: str) -> None:
    """It is asked whether that is in it; no level is made of it."""
    talk.say("5 gallons")
    asked = talk.say(reply)
    assert asked.outcome == "asked" and not asked.recorded


def test_a_share_of_a_tank_is_its_level(talk: Talk) -> None:
    """ "Half full" … "grey"."""
    talk.say("half full")
    assert talk.say("grey").recorded[0]["fraction"] == 0.5


@pytest.mark.parametrize("reply", ["grey, but not all of it", "grey but not completely"])
def test_a_part_of_the_tank_that_was_dumped(talk: Talk, reply: str) -> None:
    """How full it is now is asked, and booked as told."""
    talk.say("dumped")
    assert talk.say(reply).answer == "How full is grey?"
    assert talk.say("a quarter").recorded[0]["fraction"] == 0.25


@pytest.mark.parametrize("reply", ["-3 celsius", "minus 3 C"])
def test_a_low_below_nought_answers_how_cold(talk: Talk, reply: str) -> None:
    """In degrees it may be less than nothing; alone, or of water, it is refused."""
    assert talk.say(reply).outcome == "refused"
    talk.say("frost tonight")
    assert talk.say(reply).recorded[0]["low_celsius"] == pytest.approx(-3)
    talk.say("shower")
    assert talk.say(reply).outcome == "refused"
