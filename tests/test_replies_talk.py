"""Replies and corrections in a conversation, said with talk around them: of what they are, and what they leave alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import Talk, told


def test_only_her_of_several_some_turns_later(tmp_path: Path) -> None:
    """The other shower goes; what was told since is not hers for it."""
    talk = Talk(tmp_path / "w.db")
    his = talk.say("Ana and Bo showered, 2 gal each").recorded[1]
    talk.say("dishes 1 gal")
    talk.say("how full is grey")
    back = talk.say("no, only Ana")
    talk.close()
    assert [(one["kind"], one["of"]) for one in back.recorded] == [("undo", his["id"])]


def test_only_him_may_be_of_what_somebody_else_did_since(tmp_path: Path) -> None:
    """Two entries could be meant, so it is asked which."""
    reply = told(tmp_path, "Ana and Bo showered, 2 gal each", "Ana washed the dishes, 1 gal", "no, only Bo")
    assert reply.outcome == "asked" and not reply.recorded


@pytest.mark.parametrize("phrase", ["oh no that wasn't Walt that was me", "not Walt, me", "that one was mine"])
def test_a_use_becomes_the_speakers_own(tmp_path: Path, phrase: str) -> None:
    """Nobody is named any more."""
    reply = told(tmp_path, "Walt showered, 3 gal", phrase)
    assert [one["kind"] for one in reply.recorded] == ["amend"]
    assert reply.recorded[0]["person"] is None


def test_who_it_was_not_tells_which_entry_is_meant(tmp_path: Path) -> None:
    """His shower, and not the dishes that were told after it."""
    talk = Talk(tmp_path / "w.db")
    his = talk.say("Max showered, 2 gal").recorded[0]["id"]
    talk.say("dishes 1 gal")
    right = talk.say("that wasn't Max, that was Pia")
    none = talk.say("that wasn't Ana, that was Pia")
    talk.close()
    assert [(one["of"], one["person"]) for one in right.recorded] == [(his, "Pia")]
    assert none.outcome == "asked" and not none.recorded


@pytest.mark.parametrize(
    ("level", "phrase", "basis"),
    [
        ("grey is half full", "that was the sensor, not my own eyes", "sensor"),
        ("grey is half full", "going by the panel, I should say", "sensor"),
        ("the sensor says grey is half", "I looked in myself", "seen"),
        ("the sensor says grey is half", "not the sensor, by eye", "seen"),
    ],
)
def test_how_a_level_was_found_is_told_after_it(tmp_path: Path, level: str, phrase: str, basis: str) -> None:
    """Its number stands."""
    reply = told(tmp_path, level, phrase)
    assert [(one["kind"], one["basis"]) for one in reply.recorded] == [("amend", basis)]
    assert "fraction" not in reply.recorded[0]


def test_how_a_level_was_found_is_told_with_the_tank_that_was_asked_for(tmp_path: Path) -> None:
    """A reply with more than was asked for loses none of it."""
    reply = told(tmp_path, "the tank is a third full", "the black one, according to the sensor")
    assert [(one["tank"], one["basis"]) for one in reply.recorded] == [("black", "sensor")]


@pytest.mark.parametrize("phrase", ["It was the grey, and the tote was full.", "grey, full", "from grey, it was full"])
def test_how_full_the_tote_was_is_no_level(tmp_path: Path, phrase: str) -> None:
    """Asked which tank the tote emptied, somebody tells how full the tote was."""
    reply = told(tmp_path, "grey is two thirds full", "hauled a tote", phrase)
    assert [(one["kind"], one["tank"]) for one in reply.recorded] == [("haul", "grey")]


def test_a_level_of_the_tank_that_was_asked_for_is_one(tmp_path: Path) -> None:
    """Said in so many words it is of the tank; half of what, where it is not, is asked."""
    assert told(tmp_path / "a", "hauled a tote", "grey is full now").recorded[0]["kind"] == "level"
    assert told(tmp_path / "b", "hauled a tote", "grey, only half full").outcome == "asked"


@pytest.mark.parametrize("phrase", ["strike the second one", "make the second one 2", "the second one was 2"])
def test_one_of_a_breath_by_its_place(tmp_path: Path, phrase: str) -> None:
    """The other stays as it was."""
    talk = Talk(tmp_path / "w.db")
    second = talk.say("shower 2 gal and dishes 1 gal").recorded[1]["id"]
    reply = talk.say(phrase)
    alone = talk.say("coffee 1 pint"), talk.say(phrase)
    talk.close()
    assert [one["of"] for one in reply.recorded] == [second]
    assert alone[1].outcome == "asked" and not alone[1].recorded


def test_another_upkeep_than_the_one_told(tmp_path: Path) -> None:
    """One amendment of the entry, so that its place in the log stays."""
    reply = told(tmp_path, "sanitised the fresh tank", "no it was the water filter I changed")
    assert [(one["kind"], one["item"]) for one in reply.recorded] == [("amend", "water_filter")]


@pytest.mark.parametrize(
    "phrase", ["cross that one out i already told you about it", "scratch that, you've got it already"]
)
def test_taken_back_with_a_reason(tmp_path: Path, phrase: str) -> None:
    """Why it goes adds nothing."""
    reply = told(tmp_path, "dishes 1 gal", phrase)
    assert [one["kind"] for one in reply.recorded] == ["undo"]
