"""Tanks told of by their number: "both", "all three". Which they are is asked where the number is not that of the tanks for waste."""

from __future__ import annotations

import pytest

from tests.talking import Talk


def dumped(talk: Talk, said: str) -> list[str]:
    return sorted(str(event["tank"]) for event in talk.say(said).model_dump(mode="json")["recorded"])


@pytest.mark.parametrize("said", ["emptied all three", "dumped all three tanks", "drained the three tanks"])
@pytest.mark.parametrize(("reply", "tanks"), [("both", ["black", "grey"]), ("grey", ["grey"])])
def test_more_than_there_are_for_waste_is_asked(talk: Talk, said: str, reply: str, tanks: list[str]) -> None:
    assert talk.say(said).outcome == "asked"
    assert dumped(talk, reply) == tanks


def test_both_of_three_is_asked(talk: Talk) -> None:
    talk.say("a second grey tank called galley, 30 gal")
    assert talk.say("dumped both").outcome == "asked"
    assert dumped(talk, "grey and galley") == ["galley", "grey"]
    assert dumped(talk, "emptied all three") == ["black", "galley", "grey"]


def test_as_many_as_there_are(talk: Talk) -> None:
    assert dumped(talk, "drained the two tanks") == ["black", "grey"]
    assert talk.say("both tanks are full").outcome == "recorded"
