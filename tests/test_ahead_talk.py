"""What is said of the future, and asked after a report, in whole turns."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk, at


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
    doubtful = talk.say("noel was at the sink, dmped grey. how full is black?")
    assert (doubtful.outcome, doubtful.recorded) == ("asked", ())
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


def test_an_errand_done_every_day_counts_each_time(talk: Talk) -> None:
    """Toting so much a day is more than toting it once; what is toted is not taken for what is used."""
    talk.say("grey tank 36 gal")
    talk.say("two people")
    talk.say("staying till Sunday")
    talk.say("grey is half full")
    once = talk.say("what if we tote 5 gal of grey tomorrow").facts["probability"]
    daily = talk.say("what if we tote 5 gallons a day")
    assert daily.facts["probability"] > once and "once a day" in daily.answer
    every_other = talk.say("what if we tote 5 gallons every other day").facts["probability"]
    assert once < every_other < daily.facts["probability"]


def test_guests_asked_about_are_not_dropped(talk: Talk) -> None:
    """ "Can we make it with two guests" is less likely than without them, and says with whom."""
    talk.say("grey tank 36 gal")
    talk.say("two people")
    talk.say("staying till Sunday")
    talk.say("grey is half full")
    alone = talk.say("can we make it").facts["probability"]
    crowded = talk.say("can we make it with two guests")
    assert crowded.facts["topic"] == "what_if" and crowded.facts["probability"] < alone
    assert crowded.facts["tanks"] and "two more people" in crowded.answer


def test_a_question_goes_on_to_another_person(talk: Talk) -> None:
    """ "What about Joss" after how much Ana uses; after a question about lasting it is asked what is meant."""
    talk.say("Ana showered 2 gal")
    talk.say("Joss showered 4 gal")
    talk.say("how much does Ana use for a shower")
    reply = talk.say("what about Joss")
    assert reply.facts["topic"] == "activity" and "Joss" in reply.answer and "4 gal" in reply.answer
    talk.say("what's due")
    assert talk.say("what about Ana").outcome == "asked"


@pytest.mark.parametrize("said", ["can we make it to yesterday", "can we make it to last Sunday"])
def test_a_moment_that_has_passed_is_asked_about_and_not_made(talk: Talk, said: str) -> None:
    """Whoever has lasted until yesterday is no better for being told so; another day answers the question."""
    assert talk.say(said).outcome == "asked"
    assert talk.say("Friday").facts["until"] == at("12T10:00")


def test_a_stay_of_no_nights_is_refused(talk: Talk) -> None:
    """Neither an arrival nor a stop to come."""
    assert talk.say("at Cedar Flat for 0 nights").outcome == "refused"
    assert talk.say("next Mill Farm from Friday for 0 nights").outcome == "refused"


def test_making_it_to_a_place_is_making_it_to_the_day_of_its_stop(talk: Talk) -> None:
    """Cedar Flat is planned from Friday; "what about Sunday" goes on from there; here it is the end of the stay."""
    talk.say("next Cedar Flat from Friday")
    assert talk.say("can we make it to Cedar Flat").facts["until"] == at("12T10:00")
    assert talk.say("what about Sunday").facts["until"] == at("14T10:00")
    assert talk.say("can we make it to Heron Bend").facts["until"] == at("14T11:00")


def test_the_end_of_a_stay_nobody_told_is_the_beginning_of_the_next(talk: Talk) -> None:
    """At Cedar Flat without an end, and at Mill Farm from Friday on."""
    talk.say("at Cedar Flat")
    assert talk.say("can we make it").outcome == "asked"
    talk.say("next Mill Farm from Friday")
    assert talk.say("can we make it").facts["until"] == at("12T10:00")


def test_more_tote_runs_than_anybody_likes_give_way_to_a_drive(talk: Talk) -> None:
    """Nine gallons a day, grey nearly full, until the Wednesday after: four totes, or two drives, which are told; the totes for who asks
    what else."""
    talk.say("reset the meter", at("09T12:00"))
    for day, reading in (("10", 9), ("11", 18), ("12", 28)):
        talk.say(f"meter {reading}", at(f"{day}T12:00"))
    talk.say("staying till the 17th")
    advice = talk.say("will it last till we leave").answer
    assert "drive to a dump station" in advice and "tote" not in advice
    assert "four tote runs" in talk.say("what else").answer.lower()


def test_a_few_tote_runs_are_told_first(talk: Talk) -> None:
    assert "tote run" in talk.say("can we make it to Sunday").answer
