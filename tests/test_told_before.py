"""What may have been told twice within minutes is booked, since it was said, and the words beside it say so."""

from __future__ import annotations

import pytest

from tests.talking import Talk, at

HINT = "The same was told just before; if it is the same one, say undo."


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("dumped grey and black", "emptied both tanks"),
        ("both showered, a gallon each", "Ana and Joss showered, 1 gal each"),
        ("Ana showered, 2 gal", "shower 2 gal, Ana"),
        ("filled fresh", "topped up the fresh tank"),
        ("dishes 1.5", "washed up, 1.5 gal"),
    ],
)
def test_the_same_within_a_minute_is_pointed_out_and_undo_takes_it_back(talk: Talk, first: str, second: str) -> None:
    talk.say(first)
    assert HINT not in talk.replies[-1].answer
    again = talk.say(second, at("09T08:01"))
    assert again.answer.endswith(HINT)
    told = {one["id"] for one in again.recorded}
    (undone,) = talk.say("undo").recorded
    assert told == ({undone["of"]} if isinstance(undone["of"], str) else set(undone["of"]))


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("Ana showered, 2 gal", "Joss showered, 2 gal"),
        ("shower 2 gal", "another shower, 2 gal"),
        ("shower 2 gal", "shower 3 gal"),
        ("shower 2 gal", "dishes 2 gal"),
        ("dumped grey", "dumped black"),
        ("shower 2 gal yesterday at 9", "shower 2 gal"),
        ("shower 2 gal", "same again"),
    ],
)
def test_what_differs_or_is_said_to_be_one_more_is_not_questioned(talk: Talk, first: str, second: str) -> None:
    talk.say(first)
    assert HINT not in talk.say(second, at("09T08:01")).answer


def test_the_same_an_hour_later_is_another(talk: Talk) -> None:
    talk.say("shower 2 gal")
    assert HINT not in talk.say("shower 2 gal", at("09T09:00")).answer


def test_a_sum_of_the_day_after_parts_of_it_is_pointed_out(talk: Talk) -> None:
    talk.say("washed up, 1.1 gal")
    assert "on top of one told today already" in talk.say("we washed up twice today, 1 gal each", at("09T09:30")).answer
    assert "on top of" not in talk.say("Ana showered twice today, 1 gal each").answer
