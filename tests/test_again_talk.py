"""The same again: what was spoken of just before, or a question; never what lies behind it."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk, at


@pytest.mark.parametrize(
    "again", ["the same again", "one more", "another one", "Ana too", "same for Ana", "same for Bo but 3"]
)
@pytest.mark.parametrize(
    "before", [[], ["grey is at half"], ["pressure 48"], ["shower 2 gal", "undo"], ["shower 30 gal"]]
)
def test_what_cannot_be_repeated_is_not_passed_over(talk: Talk, again: str, before: list[str]) -> None:
    """Yesterday's fill is not what "another one" means, whatever stands between."""
    for phrase in before:
        talk.say(phrase)
    assert talk.say(again).outcome == "asked"


def test_somebody_else_did_no_dump_too(talk: Talk) -> None:
    """ "and Ana too" after a dump: the shower before it, most likely, which is asked."""
    talk.say("shower 2 gal")
    talk.say("dumped grey")
    assert talk.say("and Ana too").outcome == "asked"
    other = talk.say("yes").recorded[0]
    assert (other["activity"], other["person"]) == ("shower", "Ana")


def test_what_was_told_hours_ago_is_asked(talk: Talk) -> None:
    """It may still be meant."""
    talk.say("shower 2 gal")
    assert talk.say("the same again", at("09T13:00")).outcome == "asked"
    assert talk.say("yes", at("09T13:01")).recorded[0]["at"] == at("09T13:01")


def test_what_was_told_hours_ago_is_meant_where_a_time_is_told_with_it(talk: Talk) -> None:
    """ "The same again this evening" tells of another one that was; a day later it may be anything."""
    talk.say("dishes 4 litres", at("09T13:00"))
    again = talk.say("the same again this evening", at("09T20:00"))
    assert [(one["activity"], one["at"]) for one in again.recorded] == [("dishes", at("09T19:30"))]
    assert talk.say("the same again this evening", at("11T20:00")).outcome == "asked"


def test_what_was_put_right_is_repeated_as_it_is(talk: Talk) -> None:
    """ "shower 2 gal", "make it 3", "the same again"."""
    talk.say("shower 2 gal")
    talk.say("make it 3")
    assert talk.say("the same again").recorded[0]["litres"] == pytest.approx(3 * GALLON)


def test_one_more_of_two_is_one(talk: Talk) -> None:
    """ "two showers, 4 gal", "another one": one, of 2."""
    talk.say("two showers, 4 gal")
    one = talk.say("another one").recorded[0]
    assert (one.get("count", 1), one["litres"]) == (1, pytest.approx(2 * GALLON))


def test_one_for_somebody_may_be_measured(talk: Talk) -> None:
    """ "and one for Ana, 3"."""
    talk.say("shower 2 gal")
    other = talk.say("and one for Ana, 3").recorded[0]
    assert (other["person"], other["litres"]) == ("Ana", pytest.approx(3 * GALLON))


def test_so_much_goes_before_to_the_brim(talk: Talk) -> None:
    """ "filled fresh", "again, but 5 gal"."""
    talk.say("filled fresh")
    fill = talk.say("again, but 5 gal").recorded[0]
    assert fill["litres"] == pytest.approx(5 * GALLON)
    assert not fill.get("to_full")
