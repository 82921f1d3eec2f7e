"""What may be an hour or a reading, and hours of a drive that cannot be or may be others: asked, and nothing is recorded meanwhile."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk


@pytest.mark.parametrize(
    "said",
    [
        "dishes 41 to 42.5",
        "shower 12 to 14 and dishes 14 to 15.5",
        "shower from 7 to 8",
        "showered between 7 and 8",
        "dishes 7 to 8 this morning",
        "showered from 10 to 11 last night",
        "we left Heron Bend at 7 and got to Cedar Flat at 11",
        "left at 8 yesterday and got to Cedar Flat at 4",
    ],
)
def test_what_may_be_something_else_is_asked(talk: Talk, said: str) -> None:
    reply = talk.say(said)
    assert reply.outcome == "asked" and not reply.recorded


def test_a_yes_takes_hours_for_readings(talk: Talk) -> None:
    talk.say("shower from 7 to 8")
    assert [one["kind"] for one in talk.say("yes").recorded] == ["use", "meter"]


def test_an_amount_as_the_reply_makes_them_hours(talk: Talk) -> None:
    talk.say("shower from 7 to 8")
    assert [(one["kind"], one["litres"]) for one in talk.say("2 gal").recorded] == [("use", pytest.approx(2 * GALLON))]


@pytest.mark.parametrize(
    "said",
    ["shower 2 to 3", "the meter went from 7 to 8 for the shower", "shower from 7.1 to 8.4", "shower 12 to 20 gal"],
)
def test_a_range_or_readings_told_plainly_are_booked(talk: Talk, said: str) -> None:
    assert talk.say(said).outcome == "recorded"


def test_a_drive_within_the_day_is_booked(talk: Talk) -> None:
    reply = talk.say("left at 5 and got to Cedar Flat at 7")
    assert [one["at"].hour for one in reply.recorded] == [5, 7]
