"""Why, in words: the working of a level tells spans, signs and steps as they were."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.talking import RIG, Talk, at


@pytest.fixture
def pumped(tmp_path: Path) -> Talk:
    """On the pump from the start, the fresh tank full, no meter."""
    talk = Talk(tmp_path / "w.db", rigged=False)
    for phrase in (*RIG[:7], "we are on the pump", "filled the fresh tank"):
        assert talk.say(phrase).outcome == "recorded", phrase
    return talk


def test_expected_use_is_told_with_all_the_hours_it_is_of(pumped: Talk) -> None:
    """A page of the record ends each day, and what was expected on those before is in the sum too."""
    for moment in ("09T18:00", "10T18:00", "11T18:00"):
        pumped.say("dishes 1 gal", at(moment))
    text = pumped.say("explain fresh", at("11T18:01")).answer
    assert "expected in 58 hours that no reading covers" in text
    pumped.close()


def test_more_than_a_tank_holds_stands_beside_what_was_filled_in(pumped: Talk) -> None:
    """Twelve and twelve are 24 filled in, whatever ran over."""
    for _ in range(2):
        if pumped.say("put 12 gal in fresh", at("10T08:00")).outcome == "asked":
            assert pumped.say("yes").outcome == "recorded"
    text = pumped.say("explain fresh").answer
    assert "plus 24.0 gal, filled in" in text and re.search(r"minus [\d.]+ gal, more than it can hold", text), text
    pumped.close()
