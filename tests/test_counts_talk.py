"""How many, and how much in all: readings told one after the other, so much each, numbers that may be readings."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk


def uses(talk: Talk) -> list[tuple[str, int, float, str | None]]:
    """Activity, count, gallons and person of what the last phrase booked."""
    return [
        (one["activity"], one.get("count", 1), round(one["litres"] / GALLON, 2), one.get("person"))
        for one in talk.replies[-1].recorded
        if one["kind"] == "use"
    ]


def test_readings_of_one_phrase_follow_each_other(talk: Talk) -> None:
    """The dishes began where the shower ended."""
    talk.say("meter 10")
    talk.say("12 after shower, 13 after dishes")
    assert uses(talk) == [("shower", 1, 2.0, None), ("dishes", 1, 1.0, None)]


@pytest.mark.parametrize(
    ("before", "count", "person"),
    [("meter 10 before two showers", 2, None), ("meter 10 before Ana's shower", 1, "Ana")],
)
def test_the_reading_after_is_of_what_the_one_before_was(
    talk: Talk, before: str, count: int, person: str | None
) -> None:
    """How many, and whose, was said with the first of them."""
    talk.say(before)
    talk.reopened().say("14")
    assert uses(talk) == [("shower", count, 4.0, person)]


@pytest.mark.parametrize(
    "phrase", ["three showers 10 to 16", "laundry 10 to 26, two loads", "laundry 10 to 26 two loads, 9 each"]
)
def test_what_may_be_readings_is_asked(talk: Talk, phrase: str) -> None:
    """Nobody is so unsure of so much."""
    assert talk.say(phrase).outcome == "asked"


def test_a_number_now_may_be_where_the_meter_stands(talk: Talk) -> None:
    """ "meter 10", "shower done, 12 now"."""
    talk.say("meter 10")
    assert talk.say("shower done, 12 now").outcome == "asked"
    talk.say("yes")
    assert uses(talk) == [("shower", 1, 2.0, None)]


@pytest.mark.parametrize(
    ("phrase", "booked"),
    [
        ("everyone showered twice", [("shower", 4, 4.0, None)]),
        ("each took two showers, 8 gal in all", [("shower", 4, 8.0, None)]),
        ("Ana and Bo each showered twice, 8 gal in all", [("shower", 2, 4.0, "Ana"), ("shower", 2, 4.0, "Bo")]),
        ("flushed 2 times 2 gal each", [("toilet", 2, 4.0, None)]),
        ("flushed three times at half a gallon", [("toilet", 3, 1.5, None)]),
    ],
)
def test_so_often_each(talk: Talk, phrase: str, booked: list[tuple[str, int, float, str | None]]) -> None:
    """There are two aboard."""
    talk.say(phrase)
    told = uses(talk)
    assert [(one[0], one[1], one[3]) for one in told] == [(one[0], one[1], one[3]) for one in booked]
    if "gal" in phrase:
        assert told == booked


@pytest.mark.parametrize(
    "phrase",
    [
        "the kids flushed three times each",
        "each kid had two baths",
        "three guests and us showered, 2 gal each",
        "two showers each, 2 gal",
    ],
)
def test_how_many_they_are_is_asked(talk: Talk, phrase: str) -> None:
    """Or for how many of them it was."""
    assert talk.say(phrase).outcome == "asked"


def test_each_of_what_is_planned(talk: Talk) -> None:
    """ "two loads on Thursday, 8 gal each" is sixteen."""
    plan = talk.say("two loads of laundry on Thursday, 8 gal each").recorded[0]
    assert plan["litres"] == pytest.approx(16 * GALLON)
