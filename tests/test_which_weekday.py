"""A use told with a weekday and nothing else: done on the one gone, planned for the one to come, or asked. It is Tuesday."""

from __future__ import annotations

import pytest

from tests.talking import Talk, at


@pytest.mark.parametrize(
    "said",
    [
        "washing the dog on Saturday, 4 gal",
        "clean the rig on Sunday, 10 gal",
        "doing laundry Saturday, 8 gal",
        "bath on Saturday",
        "car wash Saturday",
    ],
)
def test_what_sounds_like_a_plan_is_asked_about(talk: Talk, said: str) -> None:
    """A yes plans it for the day to come, "last Saturday" books it there."""
    asked = talk.say(said)
    assert asked.outcome == "asked" and not asked.recorded and "June" in asked.answer
    planned = talk.say("yes").recorded[0]
    assert (planned["kind"], planned["from"].day in (13, 14)) == ("expect", True)


@pytest.mark.parametrize(
    "said",
    [
        "washed the dog on Saturday, 4 gal",
        "I was washing the car on Saturday, 10 gal",
        "laundry on Saturday, 8 gal",
        "washing the dog last Saturday, 4 gal",
    ],
)
def test_what_was_done_is_booked_on_the_day_gone(talk: Talk, said: str) -> None:
    """A verb of the past, an amount beside the bare name of it, or "last" tell it."""
    used = talk.say(said).recorded[0]
    assert (used["kind"], used["at"].day) == ("use", 6)


def test_the_nearer_day_to_come_is_planned(talk: Talk) -> None:
    """The Friday to come, in the words of a plan; and what was only named is asked about as a plan."""
    assert talk.say("washing the car on Friday, 10 gal").recorded[0]["from"].day == 12
    assert "planned" in talk.say("laundry probably on Thursday").answer
    assert talk.say("yes").recorded[0]["from"].day == 11


def test_the_morning_told_of_in_the_evening_is_over(talk: Talk) -> None:
    """Both are of today."""
    shower, dishes = talk.say("morning shower 2 gal, evening dishes 1 gal", at("09T20:00")).recorded
    assert [(one["kind"], one["at"].day, one["at"].hour) for one in (shower, dishes)] == [("use", 9, 8), ("use", 9, 19)]
