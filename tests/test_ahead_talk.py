"""What is said of the future, and asked after a report, in whole turns."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.talking import GALLON, Talk, at


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    opened = Talk(tmp_path / "water.db")
    yield opened
    opened.close()


@pytest.mark.parametrize(
    ("said", "what"),
    [
        ("we are six this weekend", "party"),
        ("there'll be six of us this weekend", "party"),
        ("away this weekend", "absence"),
    ],
)
def test_a_weekend_to_come_lasts_until_sunday_night(talk: Talk, said: str, what: str) -> None:
    """Said on Tuesday it begins on Saturday; said on the Saturday itself, what is left of it is meant."""
    event = talk.say(said).recorded[0]
    assert (event["kind"], event["what"]) == ("expect", what)
    assert (event["from"], event["until"]) == (at("13T10:00"), at("14T21:30"))
    later = talk.say(said, now=at("13T15:00")).recorded[0]
    assert (later.get("from"), later["until"]) == (None, at("14T21:30"))


def test_a_report_before_a_question_is_never_lost(talk: Talk) -> None:
    """The dump at a place nobody knows is booked, and the question after it answered; a report that is not understood is not passed over."""
    reply = talk.say("Emptied the grey at the farm, how long have we got now?")
    assert [one["kind"] for one in reply.recorded] == ["dump"] and reply.facts["topic"] == "runway"
    reply = talk.say("Zorbled the grey with 3 gal, how long have we got now?")
    assert reply.outcome == "not_understood"


@pytest.mark.parametrize(
    ("said", "kind"), [("showred. how full is grey?", "use"), ("flushd twice. how full is black?", "use")]
)
def test_a_misspelt_report_is_not_passed_over_for_the_question_after_it(talk: Talk, said: str, kind: str) -> None:
    """A word that may be one of ours is mended, not taken for idle talk; idle talk is passed over."""
    reply = talk.say(said)
    assert [one["kind"] for one in reply.recorded] == [kind] and reply.facts["topic"] == "status"
    assert talk.say("noel was at the sink, dmped grey. how full is black?").outcome == "not_understood"
    assert talk.say("Something odd happened. How full is grey?").outcome == "answered"


def test_what_about_last_week_asks_what_was(talk: Talk) -> None:
    """After a question about the future as well as after none."""
    assert talk.say("what about yesterday").facts["topic"] == "history"
    assert talk.say("can we make it to Sunday").facts["topic"] == "make_it"
    assert talk.say("what about last week").facts["topic"] == "history"


def test_a_budget_asked_back_has_the_odds_it_was_made_for(talk: Talk) -> None:
    """ "For 90 % keep to about 5.5 gal a day", and then "what if we keep to 5.5": one answer, not two."""
    talk.say("meter 4")
    budget = talk.say("can we make it to Sunday").facts["budget_litres_per_day"] / GALLON
    below = talk.say(f"what if we keep to {budget - 0.05:.2f} gal a day").facts["probability"]
    above = talk.say(f"what if we keep to {budget + 0.5:.2f} gal a day").facts["probability"]
    assert 0.9 <= below < 0.93 and above < 0.9


def test_a_second_tank_after_a_question_about_the_first_is_no_answer(talk: Talk) -> None:
    """ "Grey is 36 gal" was asked about; "black 30" then says nothing of it, and 36 gal are not booked into black."""
    assert talk.say("gray tank is 36 gal").outcome == "asked"
    reply = talk.say("black 30")
    assert reply.outcome == "asked" and reply.recorded == () and "black" in reply.answer
