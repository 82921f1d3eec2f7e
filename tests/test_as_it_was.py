"""How full a tank was before something was done to it, told afterwards or in answer to a question."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk


@pytest.mark.parametrize("said", ["it was empty", "yes, it was empty", "fresh was empty", "no, it was empty"])
def test_how_full_it_was_before_answers_whether_so_much_went_in(talk: Talk, said: str) -> None:
    """The level is booked first, then the fill that was asked about, with its own amount."""
    talk.say("filled fresh")
    assert talk.say("put 20 gal in fresh").outcome == "asked"
    before, fill = talk.say(said).recorded
    assert (before["kind"], before["fraction"], fill["kind"], fill["to_full"]) == ("level", 0.0, "fill", False)
    assert fill["litres"] == pytest.approx(20 * GALLON)


def test_what_was_in_it_before_may_still_leave_too_little_room(talk: Talk) -> None:
    """It is asked again, of what was told."""
    talk.say("filled fresh")
    talk.say("put 10 gal in fresh")
    again = talk.say("it was at 36")
    assert again.outcome == "asked" and "36 gal" in again.answer and not again.recorded
    assert [one["kind"] for one in talk.say("yes").recorded] == ["level", "fill"]


def test_a_number_in_answer_corrects_how_much_went_in(talk: Talk) -> None:
    """ "It was 15" is of the fill, "it was at 15" of the tank."""
    talk.say("filled fresh")
    talk.say("put 20 gal in fresh")
    assert "15 gal more" in talk.say("it was 15").answer


def test_so_much_filled_is_not_to_the_brim(talk: Talk) -> None:
    """ "2 gallons" … "filled"; to the brim only where that is said."""
    talk.say("2 gallons")
    assert talk.say("filled fresh").recorded[0]["to_full"] is False
    talk.say("2 gallons")
    assert talk.say("filled fresh to the brim").recorded[0]["to_full"] is True


def test_a_level_of_before_is_put_before_the_deed_in_the_world(talk: Talk) -> None:
    """A tank that was half full and is dumped is empty."""
    talk.say("dumped grey, it was half full")
    assert talk.say("status").facts["tanks"][1]["level_litres"]["p50"] < GALLON


def test_an_hour_in_answer_is_no_amount(talk: Talk) -> None:
    """ "It was at 7", of a shower: when, and so much as usual."""
    talk.say("shower")
    used = talk.say("it was at 7").recorded[0]
    assert (used["at"].hour, used["estimated"]) == (7, True)
