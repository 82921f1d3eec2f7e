"""Hours and days as they are told: those that lie on the other side of now, those of the last day, and those that nobody told."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk, at


def test_an_hour_of_the_night_told_after_breakfast_is_asked_about(talk: Talk) -> None:
    """ "At three", said at eight in the morning, may be yesterday's afternoon; a yes, or another time, books it."""
    for said in ("laundry at 3, 8 gal", "filled fresh at 12", "reached Elm Hollow at 4"):
        assert talk.say(said).outcome == "asked" and not talk.replies[-1].recorded, said
    talk.say("laundry at 3, 8 gal")
    assert talk.say("yesterday afternoon").recorded[0]["at"] == at("08T15:00")
    talk.say("flushed at 2")
    assert talk.say("yes").recorded[0]["at"] == at("09T02:00")


@pytest.mark.parametrize("said", ["flushed at 3 am", "flushed at 03:00", "flushed at 3 last night"])
def test_an_hour_that_is_called_one_of_the_night_is_taken_as_told(talk: Talk, said: str) -> None:
    """Nothing is left open."""
    assert talk.say(said).recorded[0]["at"] == at("09T03:00")


def test_an_hour_just_gone_is_no_hour_of_the_night(talk: Talk) -> None:
    """Told in the afternoon it was that afternoon, and told at night it was that night."""
    assert talk.say("laundry at 3, 8 gal", at("09T16:00")).recorded[0]["at"] == at("09T15:00")
    assert talk.say("flushed at 3", at("10T03:40")).recorded[0]["at"] == at("10T03:00")


def test_a_question_when_it_was_is_answered_by_a_day(talk: Talk) -> None:
    """By itself "yesterday" asks what there was; a question in full still asks."""
    talk.say("dumped grey in March")
    assert talk.say("yesterday").recorded[0]["at"] == at("08T12:00")
    talk.say("laundry at 3, 8 gal")
    assert talk.say("what did we use yesterday").facts["topic"] == "history"


@pytest.mark.parametrize(
    "said",
    [
        "filled the fresh tank at the last stop",
        "filter was changed before we left",
        "laundry at the last stop, 8 gal",
        "grey was full at the last stop",
        "an hour before that dishes 1 gal",
        "half an hour after that laundry 8 gal",
    ],
)
def test_what_was_done_at_a_time_that_nobody_told_is_not_booked_now(talk: Talk, said: str) -> None:
    """It is asked when it was."""
    talk.say("shower 2 gal")
    assert talk.say(said).outcome == "asked"
    assert talk.say("Sunday").recorded[0]["at"].date() == at("07T00:00").date()


def test_before_they_left_is_when_they_left_while_they_are_on_the_road(talk: Talk) -> None:
    """The departure is known."""
    talk.say("left at 7:15")
    assert talk.say("dumped grey before we left").recorded[0]["at"] == at("09T07:15")


def test_who_has_just_gone_out_is_not_back_before(talk: Talk) -> None:
    """ "We're back at five" is the end of the absence; in the evening it is over."""
    talk.say("heading out")
    told = talk.say("we're back at 5").recorded[0]
    assert (told["kind"], told["until"]) == ("away", at("09T17:00"))
    talk.say("heading out", at("09T17:20"))
    assert talk.say("got back at 5").recorded[0]["kind"] == "back"


def test_checkout_is_on_the_last_day(talk: Talk) -> None:
    """At its hour; a leaving so late today is asked about."""
    assert talk.say("checkout at noon").recorded[0]["until"] == at("14T12:00")
    assert talk.say("checkout is at 2").recorded[0]["until"] == at("14T14:00")
    assert talk.say("leaving at 10", at("09T20:00")).outcome == "asked"
    assert talk.say("tomorrow at 10").recorded[0]["until"] == at("10T10:00")


def test_a_stay_through_the_weekend_ends_with_it(talk: Talk) -> None:
    """On Sunday night."""
    assert talk.say("here through the weekend").recorded[0]["until"] == at("14T21:30")


def test_a_frost_moved_to_another_day_stays_one_of_the_night(talk: Talk) -> None:
    """Unless an hour is told with it."""
    talk.say("low of 25 tonight")
    assert talk.say("no, tomorrow").recorded[0]["at"] == at("10T21:30")


def test_a_place_on_a_day_without_a_word_that_they_came_is_asked_about(talk: Talk) -> None:
    """A stop to come, or a remark on what was; with nights that would be over it can only be to come."""
    for said in ("at Elm Hollow on Friday", "at Elm Hollow on Sunday for three nights", "Friday at Elm Hollow"):
        assert talk.say(said).outcome == "asked", said
        assert talk.say("yes").recorded[0]["kind"] == "stop"
    told = talk.say("at Elm Hollow on Friday for two nights").recorded[0]
    assert (told["kind"], told["until"]) == ("stop", at("14T11:00"))
    assert talk.say("arrived at Elm Hollow on Sunday till Friday").recorded[0]["kind"] == "arrive"


def test_the_end_of_another_stay_is_none_of_this(talk: Talk) -> None:
    """ "Till we leave" tells no day at a new place."""
    assert talk.say("at Heron Bend till we leave").recorded[0]["until"] == at("14T11:00")
    assert talk.say("at Elm Hollow till we leave").recorded[0]["until"] is None


def test_a_number_and_what_it_was_count_as_if_said_in_one_breath(talk: Talk) -> None:
    """ "3" … "showers" are three, "3" … "for showers" is how much; "into fresh" fills, "in fresh" may be what is there."""
    talk.say("3")
    assert talk.say("showers").recorded[0]["count"] == 3
    talk.say("4")
    assert talk.say("flushes this morning").recorded[0]["count"] == 4
    talk.say("3")
    told = talk.say("for showers").recorded[0]
    assert (told["count"], told["litres"]) == (1, pytest.approx(3 * GALLON))
    talk.say("2 gallons")
    assert talk.say("into fresh").recorded[0]["kind"] == "fill"
    for said in ("in fresh", "in black", "from grey", "out of grey"):
        talk.say("5 gallons")
        assert talk.say(said).outcome == "asked" and not talk.replies[-1].recorded, said
