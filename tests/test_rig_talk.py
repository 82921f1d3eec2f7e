"""What is told of the rig itself, and what is only in it."""

from __future__ import annotations

import pytest

from tests.talking import Talk


@pytest.mark.parametrize("said", ["grey holds about 20", "grey takes roughly 25 gal"])
def test_about_so_much_and_less_than_the_tank_takes_is_asked_about(talk: Talk, said: str) -> None:
    """It may be what is in it: no tank is made smaller by a guess."""
    asked = talk.say(said)
    assert asked.outcome == "asked" and not asked.recorded
    assert talk.say("the grey tank holds 40 gal").recorded[0]["litres"] > 150
