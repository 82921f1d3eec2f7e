"""What a part of a phrase bears on the log: the one notion of what may be left out beside a report."""

from __future__ import annotations

import pytest

from grammar.hearing.bearing import ELSE, LITTLE, OURS, RATHER_TALK, TALK, TURNS, says_nothing
from grammar.hearing.hear import hear
from grammar.hearing.heard import even_out
from grammar.hearing.tokens import Tok, tokens
from grammar.lexicon import NO_OWN, lexicon
from tests.talking import Talk


def part(said: str) -> list[Tok]:
    return tokens(even_out(hear(said)), lexicon(), NO_OWN)


@pytest.mark.parametrize(
    "said",
    [
        "all good", "everyone half asleep", "had a great time", "what a stink", "the queue was mad", "she isn't even sorry", "it was slow going",
        "no drama", "everything went well", "my cousins said yes", "it's my aunt's birthday", "for half an hour it was grim",
        "we left it too late",
    ],
)  # fmt: skip
def test_talk_bears_nothing(said: str) -> None:
    """Ordinary and unknown words tell nothing of the log, whichever they are."""
    assert says_nothing(part(said), leads=False)


@pytest.mark.parametrize(
    "said",
    [
        "all but the black", "most of it", "or so I thought", "in my dreams", "Joss did", "Dave's turn", "two gallons", "at noon", "on Sunday",
        "yesterday was hot", "if it is sunny", "not quite", "never happened", "could be wrong", "in our friends' van", "going to after lunch",
        "wildly off", "the gauge is broken", "the site has water", "some guests turned up", "washed the dog", "years ago", "it failed",
    ],
)  # fmt: skip
def test_what_bears_on_the_log_is_not_passed_over(said: str) -> None:
    """A tank, an amount, a day, somebody else, or a word that turns the report."""
    assert not says_nothing(part(said), leads=False)


def test_what_comes_before_a_report_is_looked_at_more_narrowly() -> None:
    """A plan or a denial may be the report's own, where it leads."""
    assert says_nothing(part("going to read a book"), leads=False)
    assert not says_nothing(part("going to read a book"), leads=True)


def test_each_class_bears_one_thing_and_is_one_of_the_vocabulary() -> None:
    """A class that is nowhere named counts as ours; none counts as both."""
    known = {one.cls for spelled in lexicon().spellings.values() for one in spelled} | {
        "COMMA",
        "NUMBER",
        "FRACTION",
        "ORD",
    }
    known |= {"CLOCK", "QMARK", "PERSON", "SITE"}
    assert TURNS.isdisjoint(OURS) and TURNS.isdisjoint(TALK | ELSE) and OURS.isdisjoint(TALK | ELSE)
    assert RATHER_TALK <= TALK
    assert (TURNS | OURS | TALK | ELSE | LITTLE) - known == set()


@pytest.mark.parametrize(
    ("said", "kinds"),
    [
        ("dumped both, all good", {"dump"}),
        ("We left at quarter past seven, everyone half asleep", {"depart"}),
        ("my sister's lot turned up, so there are six of us until Friday", {"party"}),
        ("Dumped black. Didn't bother with grey.", {"dump"}),
        ("Walt had a two gallon shower and Nell had a three gallon one", {"use"}),
    ],
)
def test_a_report_beside_talk_is_booked(talk: Talk, said: str, kinds: set[str]) -> None:
    """Without a question: the report says all by itself."""
    reply = talk.say(said)
    assert reply.outcome == "recorded", reply.answer
    assert {one["kind"] for one in reply.recorded} == kinds


@pytest.mark.parametrize(
    "said",
    [
        "a bloke turned up in a truck, emptied the black tank",
        "my sister's lot turned up, dumped both",
        "dumped both, all good except black",
        "we left at quarter past eight, hoping to anyway",
        "had a great time not dumping",
    ],
)
def test_nothing_is_booked_where_talk_may_turn_the_report(talk: Talk, said: str) -> None:
    """A question back, or a no."""
    assert talk.say(said).recorded == ()
