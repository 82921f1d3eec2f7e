"""What is told of a use right after it was planned, and what is not done yet."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk


@pytest.mark.parametrize("phrase", ["the laundry is 10 gal", "laundry 10 gal"])
def test_what_was_just_planned_is_not_done_by_naming_it_again(talk: Talk, phrase: str) -> None:
    """Asked, and the plan can be changed in answer."""
    talk.say("laundry on Thursday, 8 gal")
    assert talk.say(phrase).outcome == "asked"
    (one,) = talk.say("make that 10 gal").recorded
    assert one["kind"] == "amend" and round(one["litres"] / GALLON, 2) == 10


def test_so_many_told_after_a_plan_are_asked_about(talk: Talk) -> None:
    talk.say("laundry on Thursday, 8 gal")
    assert talk.say("two loads").outcome == "asked"


def test_what_was_planned_and_is_done_is_booked(talk: Talk) -> None:
    talk.say("laundry on Thursday, 8 gal")
    (one,) = talk.say("did the laundry, 10 gal").recorded
    assert one["kind"] == "use"


def test_units_told_in_the_same_breath_go_for_what_follows(talk: Talk) -> None:
    (_, one) = talk.say("use litres and the shower took 8").recorded
    assert (one["kind"], one["litres"]) == ("use", 8)


def test_the_same_for_another_thing_tells_nobody_s_name(talk: Talk) -> None:
    talk.say("Ana showered, 2 gal")
    (one,) = talk.say("same for the dog").recorded
    assert (one["activity"], one.get("person")) == ("pets", None)


@pytest.mark.parametrize("answer", ["grey, but not all of it", "both, but not to the bottom", "grey, most of it"])
def test_a_dump_in_part_told_in_answer_is_no_dump(talk: Talk, answer: str) -> None:
    talk.say("dumped")
    assert not talk.say(answer).recorded


def test_what_is_written_down_is_no_report(talk: Talk) -> None:
    (one,) = talk.say("write down that the meter is off").recorded
    assert (one["kind"], one["text"]) == ("note", "the meter is off")


@pytest.mark.parametrize("answer", ["below 30", "under 30"])
def test_a_bound_is_no_low(talk: Talk, answer: str) -> None:
    """Asked again, and answered with a number."""
    talk.say("frost tonight")
    assert talk.say(answer).outcome == "asked"
    (one,) = talk.say("28").recorded
    assert one["kind"] == "frost" and one["low_celsius"] < -2
