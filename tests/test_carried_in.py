"""Water carried in by tote, and uses told over a stretch of time: nothing is lost, and nothing that went the other way is booked as a fill."""

from __future__ import annotations

import pytest

from tests.talking import GALLON, Talk, at


@pytest.mark.parametrize(
    ("said", "gallons"),
    [
        ("put 12 gallons in the fresh from the tote", 12),
        ("added 6 gal to fresh from the tote", 6),
        ("poured the tote into fresh", 15),
        ("tipped a full tote into the fresh tank", 15),
        ("poured 10 gallons into the fresh tank from the tote", 10),
    ],
)
def test_a_tote_poured_into_fresh_is_a_fill(talk: Talk, said: str, gallons: float) -> None:
    talk.say("fresh is half full")
    talk.say("yes")
    (fill,) = talk.say(said).recorded
    assert (fill["kind"], fill["tank"], fill["litres"]) == ("fill", "fresh", pytest.approx(gallons * GALLON))


@pytest.mark.parametrize(
    "said",
    ["put 12 gallons of fresh in the tote", "filled the tote from fresh", "filled the tote with 12 gallons", "poured 5 gal of grey into the tote",
     "brought the tote back", "put the tote away"],
)  # fmt: skip
def test_what_goes_into_a_tote_fills_no_tank(talk: Talk, said: str) -> None:
    assert not any(one["kind"] == "fill" for one in talk.say(said).recorded)


def test_uses_since_a_time_before_the_dump_are_not_swallowed_by_it(talk: Talk) -> None:
    talk.say("dumped black", at("09T22:00"))
    reply = talk.say("flushed five times since yesterday evening, 2 gal in all", at("10T18:00"))
    (use,) = reply.recorded
    assert at("09T22:00") < use["at"] < at("10T18:00")
    level = next(one for one in talk.say("how full is black").facts["tanks"] if one["name"] == "black")
    assert level["level_litres"]["p50"] > 1.5 * GALLON


def test_uses_since_a_time_are_of_the_time_since(talk: Talk) -> None:
    assert talk.say("three flushes since noon", at("09T18:00")).recorded[0]["at"] == at("09T15:00")
    assert talk.say("shower 2 gal yesterday at noon").recorded[0]["at"] == at("08T12:00")
