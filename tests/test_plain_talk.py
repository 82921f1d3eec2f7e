"""Plain phrases in a conversation, whose meaning hangs on what went before or on where the household is."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant import Reply
from tests.talking import Talk


def told(path: Path, *phrases: str) -> Reply:
    """The reply to the last of these phrases."""
    talk = Talk(path / "w.db")
    replies = [talk.say(phrase) for phrase in phrases]
    talk.close()
    return replies[-1]


@pytest.mark.parametrize(
    "turns",
    [
        ("filled the fresh tank", "shower 2 gal", "filled it up again"),
        ("shower 2 gal", "filled it up, meter says 60"),
    ],
)
def test_it_is_the_fresh_tank_where_nothing_else_can_be_meant(tmp_path: Path, turns: tuple[str, ...]) -> None:
    """It was filled before, or the meter measured what went in."""
    reply = told(tmp_path, *turns)
    assert [one["tank"] for one in reply.recorded if one["kind"] == "fill"] == ["fresh"]


@pytest.mark.parametrize("phrase", ["filled it up", "filled it up again"])
def test_it_is_asked_about_where_it_may_be_anything(tmp_path: Path, phrase: str) -> None:
    """The car is filled up as well."""
    talk = Talk(tmp_path / "w.db", rigged=False)
    talk.say("fresh tank 40 gal")
    talk.say("shower 2 gal")
    reply = talk.say(phrase)
    talk.close()
    assert reply.outcome == "asked" and not reply.recorded
