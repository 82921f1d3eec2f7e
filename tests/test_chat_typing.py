"""What is offered while a phrase is typed: completions, ghosts of habit; and what a line of input is."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant import completion, gauges, habit, live, picture_phrase, printing
from assistant.completion import Known, known, offers
from assistant.reply import Reply
from grammar.read import read
from grammar.reading import Names, Reading
from state.ahead import forecast
from tests.talking import Talk

RIG = known(
    Names(people=("Ana", "Joss"), sites=("Heron Bend",), tanks=("galley",), activities=("rock tumbling",)),
    ["shower used 2 gal", "dumped grey"],
)
NOW = datetime(2026, 6, 9, 7, 40, tzinfo=timezone(timedelta(hours=-6)))


def offered(typed: str) -> list[str]:
    """What the line would be after each offer."""
    return [typed[: len(typed) - offer.back] + offer.text for offer in offers(typed, RIG)]


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("sho", "shower"),
        ("shower ", "shower used"),
        ("at her", "at Heron Bend"),
        ("we left heron b", "we left Heron Bend"),
        ("dumped g", "dumped grey"),
        ("dumped gal", "dumped galley"),
        ("A", "Ana"),
        ("ro", "rock tumbling"),
        ("can we make ", "can we make it"),
        ("what's d", "what's due"),
    ],
)
def test_words_names_and_phrases_are_offered(typed: str, line: str) -> None:
    """From the vocabulary, this rig and what was said before, in the case in which they are written."""
    assert line in offered(typed)


def test_nothing_is_offered_for_an_empty_line_and_never_a_figure() -> None:
    """An amount is for the person to say."""
    assert offers("", RIG) == [] and offers("  ", RIG) == []
    assert not any(char.isdigit() for line in offered("shower used ") for char in line)


def test_offers_are_few_and_different() -> None:
    """At most a dozen, each once."""
    for letter in "abcdefghijklmnopqrstuvwxyz":
        found = [offer.text.casefold() for offer in offers(letter, RIG)]
        assert len(found) <= completion.MOST and len(set(found)) == len(found)


def test_every_example_completed_from_is_understood() -> None:
    """A phrase that is offered works: the program would not lead anybody into a misunderstanding."""
    for phrase in completion.examples():
        assert picture_phrase.asked(phrase) or isinstance(read(phrase), Reading), phrase


@given(st.text(max_size=40))
def test_completing_never_raises(text: str) -> None:
    """Whatever was typed, an offer replaces no more than what is there."""
    assert all(0 <= offer.back <= len(text) for offer in offers(text, RIG))
    assert isinstance(habit.ghost(text, [habit.Said(NOW, "shower used 2 gal")], NOW), str)


def said(*phrases: tuple[float, str]) -> list[habit.Said]:
    """Phrases so many days ago at this hour, or at another where the days are not whole."""
    return [habit.Said(NOW - timedelta(days=days), text) for days, text in phrases]


def test_the_ghost_of_a_morning_is_the_morning_s_habit_without_its_figure() -> None:
    """Two mornings of the same make a habit; what was said in the evening is none at this hour."""
    past = said(
        (1, "shower used 2 gal"), (2, "shower used 3.5 gal"), (1.5, "dishes used 1 gal"), (2.5, "dishes used 1 gal")
    )
    assert habit.ghost("", past, NOW) == "shower used "
    assert habit.ghost("", past, NOW + timedelta(hours=12)) == "dishes used "


def test_once_is_no_habit() -> None:
    """An empty line stays empty until something was said on two days at this hour."""
    assert habit.ghost("", said((1, "shower used 2 gal"), (1.01, "shower used 2 gal")), NOW) == ""


def test_what_was_just_done_is_not_proposed_again() -> None:
    """A ghost that led to logging the same shower twice would be worse than none."""
    past = said((1, "shower used 2 gal"), (2, "shower used 2 gal"))
    assert habit.ghost("", [*past, *said((0.02, "shower used 3 gal"))], NOW) == ""
    assert habit.ghost("sho", [*past, *said((0.02, "shower used 3 gal"))], NOW) == "wer used "


def test_a_begun_line_is_continued_and_a_figure_is_never_finished() -> None:
    """ "2" is not made 2.5 by what was used last time."""
    past = said((1, "shower used 2.5 gal"), (3, "dumped grey"))
    assert habit.ghost("sho", past, NOW) == "wer used "
    assert habit.ghost("dumped", past, NOW) == " grey"
    assert habit.ghost("shower used 2", past, NOW) == ""
    assert habit.ghost("shower used 2.5", past, NOW) == " gal"


def test_a_yes_is_never_suggested() -> None:
    """Replies and corrections answer something; offered out of the blue they would do harm."""
    assert habit.ghost("", said((1, "yes"), (2, "yes"), (1, "undo"), (2, "undo")), NOW) == ""


def test_lines_of_an_entry_are_heard_one_by_one() -> None:
    """Blank lines and the ends of lines of other systems fall away."""
    assert live.said_lines("a\r\n\n  b \n") == ["a", "b"]
    assert [live.is_goodbye(text) for text in ("bye", "Bye.", " exit ", "by", "bye bye grey")] == [
        True,
        True,
        True,
        False,
        False,
    ]


def test_sentences_are_broken_between_words_and_lists_keep_their_shape() -> None:
    """At 40 columns no line is longer and no word is cut."""
    text = "Gloves on, and wash your hands before you touch the fresh side.\n  using       shower used 2 gal and a good deal more"
    lines = printing.wrapped(text, 40).split("\n")
    assert all(len(line) < 40 for line in lines)
    assert " ".join(" ".join(lines).split()) == " ".join(text.split())
    assert lines[-1].startswith("    ")


def test_carets_stand_only_where_they_help() -> None:
    """Under a word of the line; not where all of it was not understood, nor where the line has been broken."""

    def marks(heard: str, *words: str, width: int = 80) -> str:
        return printing.under(Reply(heard, "not_understood", facts={"words": list(words)}), width)

    assert marks("shower used 3 furlongs", "furlongs") == "                ^^^^^^^^"
    assert marks("blub", "blub") == ""
    assert marks("shower used 3 furlongs", "furlongs", width=20) == ""
    assert marks("shower used 3 furlongs") == ""


def test_a_key_computes_no_tank_no_odds_and_no_habit_twice(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Typing is as quick with any log: what the screen shows is computed when the log moves or time passes, not at a key."""
    talk = Talk(tmp_path / "water.db")
    talk.say("shower used 2 gal", NOW)
    screen = live.Live(talk.conversation, lambda: NOW)
    first = screen.rows(80), screen.ghost("sh")
    for module, name in ((gauges, "gauges_of"), (gauges, "rows"), (forecast, "make_it"), (habit, "ghost")):
        monkeypatch.delattr(module, name)
    assert (screen.rows(80), screen.ghost("sh")) == first
    monkeypatch.undo()
    screen.say("shower used 9 gal")
    assert screen.rows(80) != first[0]
    talk.close()


def test_known_names_come_once() -> None:
    """A name that is a person and a site is offered once."""
    assert known(Names(people=("Ana",), sites=("Ana",)), ["a", "a"]) == Known(("a",), ("Ana",))
