"""A phrase that is understood in part: what was understood is offered, nothing of it is booked before a yes."""

from __future__ import annotations

import pytest

from grammar.read import read
from grammar.reading import Reading
from tests.talking import Talk


def test_what_was_understood_is_offered_and_a_yes_books_it(talk: Talk) -> None:
    """The other clause is named, so that it can be said in other words."""
    reply = talk.say("washed 3 blorps, coffee 1 quart, dishes 1.5 gal")
    assert (reply.outcome, reply.recorded) == ("asked", ())
    assert (
        reply.answer
        == 'I don\'t understand "washed 3 blorps". Shall I book the rest: "coffee 1 quart, dishes 1.5 gal"?'
    )
    booked = talk.reopened().say("yes").recorded
    assert [one["activity"] for one in booked] == ["coffee", "dishes"]


def test_a_no_leaves_the_log_as_it_was(talk: Talk) -> None:
    """Nothing of what was offered is kept."""
    before = len(talk.conversation.entries)
    talk.say("washed 3 blorps, coffee 1 quart")
    assert talk.say("no").recorded == ()
    assert len(talk.conversation.entries) == before


@pytest.mark.parametrize(
    "phrase",
    [
        "if the wozzle blorps, made coffee",
        "the neighbours blorped, made coffee",
        "instead of blorping made coffee, dishes",
        "almost blorped, dumped grey",
        "blorped three gallons, washed the dishes",  # the three gallons may be the dishes'
        "is the wozzle blorped, dumped grey?",
        "blorped the wozzle",
    ],
)
def test_nothing_is_offered_where_the_rest_may_turn_the_meaning(talk: Talk, phrase: str) -> None:
    """A condition, others' water, an "instead", a stray amount, a question, or nothing understood at all."""
    reply = talk.say(phrase)
    assert reply.recorded == ()
    assert "Shall I book" not in reply.answer


def test_what_is_offered_reads_the_same_by_itself() -> None:
    """The words that are kept for the yes give what was offered."""
    found = read("washed 3 blorps, shower 2 gal and dumped grey")
    assert isinstance(found, Reading)
    assert found.confirm
    again = read(found.as_read)
    assert isinstance(again, Reading)
    assert [type(one) for one in again.meanings] == [type(one) for one in found.meanings]
    assert again.left == ()


@pytest.mark.parametrize(
    ("phrase", "kind", "aside"),
    [
        ("at Marmot Gulch thru the 18th!! full hookups, i could cry", "arrive", "i could cry"),
        ("swapped over to tank water the park's tap has gone brown", "supply", "the park's tap has gone brown"),
        ("grey tank emptied. I am never eating again", "dump", "I am never eating again"),
    ],
)
def test_a_remark_beside_a_report_is_named_and_the_report_is_booked(
    talk: Talk, phrase: str, kind: str, aside: str
) -> None:
    """What has nothing of water in it changes nothing of the report; that it is not kept is told."""
    reply = talk.say(phrase)
    assert [one["kind"] for one in reply.recorded] == [kind]
    assert f'Not booked: "{aside}".' in reply.answer


@pytest.mark.parametrize(
    "phrase",
    [
        "dumped grey, kidding",
        "dumped grey, I wish",
        "dumped grey, ranger reckons",
        "dumped grey, which was a lie",
        "filled the fresh tank, the hose burst",
        "filled fresh, spilled most of it",
        "closed the grey valve, the ranger opened it",
        "meter 41.5 unless I misread",
        "the neighbours blorped, dumped grey",
        "dumped grey, blorped three gallons",
        "leaving Friday, weather permitting",
        "dumped grey, blakc blorped",
    ],
)
def test_what_may_take_a_report_back_is_no_remark(talk: Talk, phrase: str) -> None:
    """A jest, a doubt, hearsay, something else that happened to the water, an amount, or what may be a misspelt tank."""
    reply = talk.say(phrase)
    assert reply.recorded == ()
    assert reply.outcome in ("asked", "answered", "not_understood")


def test_half_of_what_was_put_away_together_is_not_booked(talk: Talk) -> None:
    """What is joined by "and" under one verb is booked whole or not at all."""
    assert talk.say("put the widget and the hose back in the locker").recorded == ()


@pytest.mark.parametrize("phrase", ["pressure is 55 psi. bit fierce", "boiler flushed out, loads of white bits"])
def test_how_much_of_something_that_is_no_water_is_a_remark(talk: Talk, phrase: str) -> None:
    """A degree in a remark of its own changes nothing of a report that is whole without it."""
    assert len(talk.say(phrase).recorded) == 1


def test_a_vague_amount_beside_an_unmeasured_use_is_no_remark(talk: Talk) -> None:
    """It may be how much was used."""
    assert talk.say("dishes, loads of gunk").recorded == ()


def test_two_words_in_one_place_are_told_once() -> None:
    """ "I've" is heard as two words; what was not understood is told back as it was typed."""
    found = read("i've blorped the dishes and dumped grey")
    assert isinstance(found, Reading) and found.left == ("i've blorped the dishes",)
