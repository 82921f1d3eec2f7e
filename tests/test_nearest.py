"""The phrase that is offered where one was not understood: near in what it is about, and help where nothing is."""

from __future__ import annotations

import pytest

from grammar.read import read
from grammar.reading import NotUnderstood


@pytest.mark.parametrize(
    ("said", "hint"),
    [
        ("flibber the grey", "dumped grey"),
        ("shower frobnicate 2 gal", "shower used 2 gal"),
        ("opened the grey flap thing", "opened the grey valve"),
        ("regulator squeaks", "regulator is on the spigot"),
        ("how high is the pressure in the moon", "pressure is 48 psi"),
        ("what does the sensor say", "the sensor says black is two thirds"),
        ("meter wobbled 41", "meter 41.5"),
        ("what's the weather", "help"),
        ("are you there", "help"),
        ("is it warm enough to swim", "help"),
        ("forget everything", "help"),
        ("asdf", "help"),
    ],
)
def test_what_is_offered_is_about_the_same_thing(said: str, hint: str) -> None:
    """Words that stand in every phrase bring none nearer."""
    found = read(said)
    assert isinstance(found, NotUnderstood) and found.hint == hint
