"""What is told of a place by its name: of a stop to come it is amended, of where they are it adds, of any other it is asked."""

from __future__ import annotations

import pytest

from tests.talking import Talk


@pytest.mark.parametrize(
    ("said", "field", "value"),
    [
        ("Cedar Flat has full hookups", "sewer", True),
        ("Cedar Flat, no sewer", "sewer", False),
        ("there's no sewer at Cedar Flat", "sewer", False),
        ("at Cedar Flat there's a sewer", "sewer", True),
        ("Cedar Flat till Wednesday", "until", "2026-06-17T11:00"),
        ("Cedar Flat for three nights", "until", "2026-06-17T11:00"),
        ("leaving Cedar Flat on Thursday", "until", "2026-06-18T11:00"),
    ],
)
def test_what_is_told_of_a_stop_to_come_is_its(talk: Talk, said: str, field: str, value: object) -> None:
    """The stay goes on where they are."""
    talk.say("next Cedar Flat from Sunday")
    changed = talk.say(said).recorded[0]
    found = changed[field].isoformat()[:16] if field == "until" else changed[field]
    assert (changed["kind"], found) == ("amend", value)


@pytest.mark.parametrize("said", ["Cedar Flat is nice", "Cedar Flat"])
def test_a_stop_to_come_that_is_only_named_is_no_arrival(talk: Talk, said: str) -> None:
    talk.say("next Cedar Flat from Sunday")
    assert talk.say(said).outcome == "asked"


def test_who_has_come_there_has_arrived_all_the_same(talk: Talk) -> None:
    talk.say("next Cedar Flat from Sunday")
    assert talk.say("arrived at Cedar Flat").recorded[0]["kind"] == "arrive"


@pytest.mark.parametrize(
    "said", ["there is water at Otter Flats", "a site at Otter Flats", "the water at Otter Flats is bad"]
)
def test_what_is_told_of_a_place_nobody_has_come_to_is_asked(talk: Talk, said: str) -> None:
    """A yes books it; nothing is booked without."""
    asked = talk.say(said)
    assert asked.outcome == "asked" and not asked.recorded
    assert talk.say("yes").recorded[0]["site"] == "Otter Flats"


def test_somebody_who_has_come_changes_who_is_aboard_and_not_where(talk: Talk) -> None:
    """How many that makes is asked."""
    talk.say("Ana showered, 2 gal")
    asked = talk.say("Ana arrived")
    assert asked.outcome == "asked" and "aboard" in asked.answer
