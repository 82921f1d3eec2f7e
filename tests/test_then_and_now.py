"""What was, what is and what is to come are told apart: absences, guests and stays that are over, from a day on, or until one."""

from __future__ import annotations

import pytest

from tests.talking import Talk, at


@pytest.mark.parametrize(
    "said",
    [
        "we were away from Saturday to Monday",
        "we had been away from Friday to Sunday",
        "we've been away three days",
        "had two guests from Friday to Sunday",
        "two guests were here from Friday to Sunday",
        "my sister visited from Friday to Sunday",
        "we stayed at Cedar Flat for three nights",
        "say grey is half full, do we make it",
        "fresh at 10 gal, would it last to Sunday",
        "four people, would we make it",
        "laundry on Thursday, would we make it",
        "two or three guests from Friday to Sunday",
        "out Friday evening",
        "we're off in the morning",
        "stopped at Cedar Flat for lunch",
        "then Ana",
        "water back on",
        "water's off for the night",
        "everyone left but me",
        "pump is off",
        "turned off the pump",
        "reset it all",
        "reset everything",
        "started over, everything at zero",
    ],
)
def test_what_was_or_may_be_is_not_booked_as_it_is(talk: Talk, said: str) -> None:
    assert talk.say(said).recorded == ()


@pytest.mark.parametrize(
    ("said", "kind", "day"),
    [
        ("we've been away since Sunday", "away", "2026-06-07"),
        ("been four people since Friday", "party", "2026-06-05"),
        ("two guests since Friday", "party", "2026-06-05"),
    ],
)
def test_since_a_day_begins_on_the_day_just_gone(talk: Talk, said: str, kind: str, day: str) -> None:
    (booked,) = talk.say(said).recorded
    assert (booked["kind"], booked["at"].isoformat()[:10]) == (kind, day)


@pytest.mark.parametrize(
    ("said", "begins", "ends"),
    [
        ("just me from Friday to Sunday", "2026-06-12", "2026-06-14"),
        ("two guests for the weekend", "2026-06-13", "2026-06-14"),
        ("away for the weekend", "2026-06-13", "2026-06-14"),
        ("two guests overnight Friday", "2026-06-12", "2026-06-13"),
        ("two guests this week", "2026-06-09", "2026-06-14"),
        ("we'll be away next week", "2026-06-15", "2026-06-21"),
        ("two guests for a week from Friday", "2026-06-12", "2026-06-19"),
        ("one guest Friday night only", "2026-06-12", "2026-06-13"),
    ],
)
def test_from_and_until_are_those_that_were_said(talk: Talk, said: str, begins: str, ends: str) -> None:
    (booked,) = talk.say(said).recorded
    assert (booked["from"].isoformat()[:10], booked["until"].isoformat()[:10]) == (begins, ends)


@pytest.mark.parametrize(
    ("said", "booked"),
    [
        ("out all day, back now", [("back", "09T08:00")]),
        ("left at 7, back at 7:45", [("away", "09T07:00"), ("back", "09T07:45")]),
        ("went out yesterday at 9, came back at 5", [("away", "08T09:00"), ("back", "08T17:00")]),
    ],
)
def test_an_outing_that_is_over_ends_no_stay(talk: Talk, said: str, booked: list[tuple[str, str]]) -> None:
    assert [(one["kind"], one["at"].isoformat()[8:16]) for one in talk.say(said).recorded] == booked


def test_out_all_day_said_in_the_evening_is_asked(talk: Talk) -> None:
    assert talk.say("out all day", now=at("09T20:00")).outcome == "asked"


def test_then_from_a_day_follows_the_stop_before_it(talk: Talk) -> None:
    talk.say("next Cedar Flat from Sunday")
    (booked,) = talk.say("then Harbor Lane from Thursday").recorded
    assert booked["from"].isoformat()[:10] == "2026-06-18"


def test_nights_there_are_not_nights_here(talk: Talk) -> None:
    talk.say("next Cedar Flat from Sunday")
    assert talk.say("staying there four nights").outcome == "asked"


def test_leaving_in_an_hour_is_in_an_hour(talk: Talk) -> None:
    (booked,) = talk.say("we're leaving in an hour").recorded
    assert booked["until"].isoformat()[:16] == "2026-06-09T09:00"


def test_a_shower_on_the_weekday_just_gone_is_no_plan_unasked(talk: Talk) -> None:
    assert talk.say("shower 2 gal Monday", now=at("12T20:00")).outcome == "asked"


@pytest.mark.parametrize("said", ["how much bleach for half a tank", "bleach for half the fresh tank"])
def test_bleach_for_part_of_the_tank_is_for_that_part(talk: Talk, said: str) -> None:
    whole = talk.say("how much bleach to sanitise the tank").facts["millilitres"]
    assert talk.say(said).facts["millilitres"] == pytest.approx(whole / 2, rel=0.05)


@pytest.mark.parametrize("said", ["undo no wait", "undo that, actually no", "undo, leave it", "undo hang on"])
def test_an_undo_taken_back_at_once_undoes_nothing(talk: Talk, said: str) -> None:
    talk.say("shower 2 gal")
    assert talk.say(said).recorded == ()
