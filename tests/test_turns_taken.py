"""Who else had a turn is nobody's next stop."""

from __future__ import annotations

import pytest

from tests.talking import Talk


@pytest.mark.parametrize(
    "said",
    [
        "max showered, then Lou, then Pia",
        "Ana had a shower, then Bo",
        "Ana showered then Bo, 2 gal each",
        "I washed the dishes, then Pia",
    ],
)
def test_who_else_had_a_turn_is_no_stop(talk: Talk, said: str) -> None:
    """ "Then Lou" after a use by somebody names a person."""
    assert not [one for one in talk.say(said).recorded if one["kind"] == "stop"]


def test_a_place_after_a_use_is_a_stop(talk: Talk) -> None:
    """With two words of a name, or where a stay is spoken of."""
    for said in ("shower 2 gal, then Pine Hollow", "at Heron Bend till Friday, then Marlow"):
        assert [one for one in talk.say(said).recorded if one["kind"] == "stop"]
