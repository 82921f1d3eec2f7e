"""As much as another time: looked up in the log, by the same person if one is named, and asked for where there was none."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from assistant import open_conversation

NOON = datetime.fromisoformat("2026-06-10T12:00-06:00")
YESTERDAY, LAST_NIGHT = NOON - timedelta(days=1), NOON - timedelta(hours=14)


@pytest.mark.parametrize(
    ("phrase", "gallons"),
    [
        ("shower same as yesterday", 3.0),
        ("two showers same as yesterday", 6.0),
        ("shower like last time", 3.0),
        ("shower, same as last night", 3.0),
        ("Ana showered, same as yesterday", 2.0),
    ],
)
def test_what_is_likened_takes_what_the_other_took(tmp_path: Path, phrase: str, gallons: float) -> None:
    """Booked now, with the amount of the one it is likened to."""
    with open_conversation(tmp_path / "w.db") as talk:
        talk.say("Ana showered, 2 gal", now=YESTERDAY)
        talk.say("dishes 5 gal", now=LAST_NIGHT)
        talk.say("shower 3 gal", now=LAST_NIGHT)
        reply = talk.say(phrase, now=NOON)
    assert reply.outcome == "recorded"
    (booked,) = reply.recorded
    assert booked["litres"] == pytest.approx(gallons * 3.785411784) and booked["at"] == NOON


def test_where_there_was_none_the_amount_is_asked_for(tmp_path: Path) -> None:
    """Nothing is booked, and the reply completes it."""
    with open_conversation(tmp_path / "w.db") as talk:
        talk.say("shower 3 gal", now=YESTERDAY - timedelta(days=3))
        asked = talk.say("shower same as yesterday", now=NOON)
        assert asked.outcome == "asked" and not asked.recorded and "yesterday" in asked.answer
        assert talk.say("2.5", now=NOON).recorded[0]["litres"] == pytest.approx(2.5 * 3.785411784)
