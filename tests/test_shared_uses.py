"""Uses told in one breath: an amount for all of them is asked apart, a subject goes for the verbs after it, joint work is done once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import GALLON, Talk


@pytest.mark.parametrize(
    ("phrase", "activities"),
    [
        ("showered and shaved, 3 gal", ("shower", "shave")),
        ("shower and dishes, 3 gal", ("shower", "dishes")),
        ("breakfast and coffee, a quart and a half", ("cooking", "coffee")),
        ("washed the dishes and the floor, 2 gal", ("dishes", "cleaning")),
        ("two showers and dishes, 6 gal", ("shower", "dishes")),
    ],
)
def test_an_amount_for_two_uses_is_asked_for_each(tmp_path: Path, phrase: str, activities: tuple[str, str]) -> None:
    """Nothing is booked until both are told."""
    talk = Talk(tmp_path / "w.db")
    asked = talk.say(phrase)
    assert asked.outcome == "asked" and not asked.recorded
    assert talk.say("1.5").outcome == "asked"
    told = talk.say("0.2")
    talk.close()
    assert [(one["activity"], round(one["litres"] / GALLON, 3)) for one in told.recorded] == [
        (activities[0], 1.5),
        (activities[1], 0.2),
    ]


@pytest.mark.parametrize(
    "phrase", ["showered 2 gal and shaved", "showered, dishes 2 gal", "showered, then shaved with a pint"]
)
def test_an_amount_beside_one_of_two_uses_is_its_own(tmp_path: Path, phrase: str) -> None:
    """Only an amount set off behind both goes for both."""
    talk = Talk(tmp_path / "w.db")
    reply = talk.say(phrase)
    talk.close()
    assert reply.outcome == "recorded" and sorted(one["estimated"] for one in reply.recorded) == [False, True]


@pytest.mark.parametrize(
    ("phrase", "people"),
    [
        ("Ana showered and shaved", ["Ana", "Ana"]),
        ("Ana showered 2 gal and washed up with 1", ["Ana", "Ana"]),
        ("Ana showered and we did the dishes", ["Ana", None]),
        ("Ana showered and the dishes took 2 gal", ["Ana", None]),
    ],
)
def test_a_verb_after_and_has_the_same_subject(tmp_path: Path, phrase: str, people: list[str | None]) -> None:
    """Unless another one is named."""
    talk = Talk(tmp_path / "w.db")
    reply = talk.say(phrase)
    talk.close()
    assert [one["person"] for one in reply.recorded] == people


@pytest.mark.parametrize(
    ("phrase", "times"),
    [("Ana and Joss did the dishes", 1), ("Ana and Joss did the dishes twice", 2), ("Ana and Joss showered", 2)],
)
def test_what_two_do_together_is_one_usual_amount(tmp_path: Path, phrase: str, times: int) -> None:
    """A washing-up is shared, a shower is not."""
    talk = Talk(tmp_path / "w.db")
    one = talk.say(phrase.replace("Ana and Joss", "Ana").replace(" twice", ""))
    both = talk.say(phrase)
    talk.close()
    total = sum(event["litres"] for event in both.recorded)
    assert len(both.recorded) == 2 and total == pytest.approx(times * one.recorded[0]["litres"])


def test_a_use_of_a_few_seconds_is_asked_about(tmp_path: Path) -> None:
    """ "3 second shower" is more likely the third one; an amount settles it."""
    talk = Talk(tmp_path / "w.db")
    asked = talk.say("3 second shower")
    assert asked.outcome == "asked" and not asked.recorded
    told = talk.say("2 gal")
    assert told.recorded[0]["litres"] == pytest.approx(2 * GALLON)
    assert talk.say("30 second shower").outcome == "recorded"
    talk.close()


def test_two_hours_of_shower_are_asked_about(tmp_path: Path) -> None:
    """The amount is a guess, but the minutes were said: above ten times the usual it is asked."""
    talk = Talk(tmp_path / "w.db")
    assert talk.say("spent 2 hours in the shower").outcome == "asked"
    assert talk.say("5 minute shower").outcome == "recorded"
    talk.close()
