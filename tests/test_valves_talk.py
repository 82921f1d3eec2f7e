"""Which valves are meant, in a conversation: of several that are shut, those that are open."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import Talk


@pytest.fixture
def talk(tmp_path: Path) -> Talk:
    """A rig with a second grey tank, at a sewer."""
    talk = Talk(tmp_path / "w.db")
    talk.say("a second grey tank called galley, 30 gal")
    talk.say("at Otter Flats till Monday, water and sewer")
    return talk


@pytest.mark.parametrize("said", ["closed both valves", "closed the valves", "shut all the valves", "valves closed"])
def test_the_valves_that_are_open_are_those_closed(talk: Talk, said: str) -> None:
    talk.say("opened the grey valve")
    talk.say("opened the galley valve")
    assert [(one["tank"], one["open"]) for one in talk.say(said).recorded] == [("grey", False), ("galley", False)]


def test_the_one_open_valve_is_the_one_closed(talk: Talk) -> None:
    talk.say("opened the galley valve")
    assert [one["tank"] for one in talk.say("closed the valve").recorded] == ["galley"]


def test_two_of_three_that_are_all_shut_are_asked_about(talk: Talk) -> None:
    assert talk.say("opened both valves").outcome == "asked"
    assert [one["tank"] for one in talk.say("opened all the valves").recorded] == ["grey", "black", "galley"]
