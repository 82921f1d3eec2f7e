"""How many, and how much in all: readings told one after the other, so much each, numbers that may be readings."""

from __future__ import annotations

from pathlib import Path

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


@pytest.mark.parametrize(
    "said",
    ["2 gal each for showers", "2 gal per head for the showers", "2 gallons apiece for showers", "showers, 2 gal pp"],
)
def test_so_much_each_for_showers_is_one_for_each_aboard(tmp_path: Path, said: str) -> None:
    """ "For" behind "each" is no four."""
    talk = Talk(tmp_path / "water.db")
    (event,) = talk.say(said).recorded
    talk.close()
    assert (event["activity"], event["count"], round(event["litres"] / GALLON, 2)) == ("shower", 2, 4.0)


@pytest.mark.parametrize(
    ("said", "activity", "count"),
    [
        ("drank 3 glasses", "drinking", 3),
        ("cleaned the bathroom and the shower", "cleaning", 1),
        ("scrubbed the toilet and the shower", "cleaning", 1),
        ("brushed my teeth outside", "teeth", 1),
        ("washed hands outside", "handwash", 1),
        ("showered outside", "outside", 1),
        ("washed 3 glasses", "dishes", 1),
    ],
)
def test_what_was_done_goes_by_the_deed(tmp_path: Path, said: str, activity: str, count: int) -> None:
    """Not by the thing it was done with, or the place."""
    talk = Talk(tmp_path / "water.db")
    (event,) = talk.say(said).recorded
    talk.close()
    assert (event["activity"], event["count"]) == (activity, count)


@pytest.mark.parametrize(
    "said", ["dumped both, black first", "emptied both tanks, the grey last", "dumped both, grey first"]
)
def test_the_order_of_dumping_leaves_none_out(tmp_path: Path, said: str) -> None:
    """Both were told."""
    talk = Talk(tmp_path / "water.db")
    events = talk.say(said).recorded
    talk.close()
    assert {event["tank"] for event in events} == {"grey", "black"}


def test_looking_at_a_filter_does_not_put_off_its_change(tmp_path: Path) -> None:
    """It is a job of its own, with an interval of its own."""
    talk = Talk(tmp_path / "water.db")
    (event,) = talk.say("checked the filter, still ok").recorded
    due = talk.say("when is the filter due").answer
    talk.close()
    assert event["item"] == "water filter check" and due.startswith("I don't know when the water filter was last done")


@pytest.mark.parametrize("told", ["Ana showered", "Ana showered, 2 gal"])
def test_what_was_told_between_two_readings_is_what_they_measured(talk: Talk, told: str) -> None:
    """One shower, hers, and none besides."""
    talk.say("meter 10 before shower")
    talk.say(told)
    kinds = [(one["kind"], round(one["litres"] / GALLON, 2)) for one in talk.say("after 12").recorded]
    assert kinds == [("amend", 2.0), ("meter", 12.0)]


def test_another_amount_than_ran_between_is_asked(talk: Talk) -> None:
    talk.say("meter before 3")
    talk.say("dishes 1 gal")
    assert talk.say("after 5.5").outcome == "asked"
    assert not talk.say("no").recorded


def test_of_several_told_between_only_the_reading_is_new(talk: Talk) -> None:
    talk.say("meter 10 before shower")
    talk.say("Ana showered")
    talk.say("Joss showered")
    assert [one["kind"] for one in talk.say("after 14").recorded] == ["meter"]


def test_a_use_of_another_kind_in_between_is_another(talk: Talk) -> None:
    talk.say("meter 10 before shower")
    talk.say("dishes 1 gal")
    talk.say("after 13")
    assert uses(talk)[0][:2] == ("shower", 1)
