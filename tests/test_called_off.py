"""What is called off by its name goes, or is asked about; it never sounds obeyed while it stays."""

from __future__ import annotations

import pytest

from tests.talking import Talk


@pytest.mark.parametrize(
    "said",
    ["cancel the guest", "forget the guests", "scrap our guests", "can you cancel the visitors", "drop the guests"],
)
def test_the_guests_are_cancelled_whatever_was_asked_since(talk: Talk, said: str) -> None:
    told = talk.say("a guest from Friday to Sunday").recorded[0]["id"]
    talk.say("how full is grey")
    assert [(one["kind"], one["of"]) for one in talk.say(said).recorded] == [("undo", told)]


def test_guests_nobody_expects_are_not_cancelled_in_silence(talk: Talk) -> None:
    assert talk.say("cancel the guest").outcome == "asked"


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ("grey sensor says 80 percent", "ignore that reading"),
        ("grey sensor says 80 percent", "disregard the grey reading"),
        ("grey sensor says 80 percent", "forget the sensor reading please"),
        ("meter 20", "ignore that reading"),
    ],
)
def test_a_reading_two_turns_back_is_ignored_when_asked_to(talk: Talk, told: str, said: str) -> None:
    reading = talk.say(told).recorded[0]["id"]
    talk.say("how full is grey")
    talk.say("nice morning")
    assert [one.get("of") for one in talk.say(said).recorded] == [reading]


@pytest.mark.parametrize("said", ["cancel the pizza", "disregard my remark", "cancel our subscription"])
def test_what_cannot_be_found_is_not_called_off_in_words_only(talk: Talk, said: str) -> None:
    reply = talk.say(said)
    assert reply.outcome in ("asked", "not_understood") and "All right" not in reply.answer


@pytest.mark.parametrize(
    "said", ["cancel", "never mind", "never mind, I'll check", "cancel the whole thing", "forget it, love"]
)
def test_a_bare_never_mind_changes_nothing(talk: Talk, said: str) -> None:
    talk.say("how full is grey")
    assert talk.say(said).answer == "All right; nothing was changed."


def test_a_sensor_against_the_log_is_told_to_be_doubted(talk: Talk) -> None:
    assert "counts for more than a sensor" in talk.say("the sensor says black is full").answer
    assert "if you see it so, say: grey is 80 % full" in talk.say("grey sensor says 80 percent").answer
    assert "sensor;" not in talk.say("fresh sensor says full").answer
    assert "sensor;" not in talk.say("grey is 80 percent").answer


def test_a_tank_that_would_have_run_over_has_no_room_any_more(talk: Talk) -> None:
    """Every answer says so, not only the first; until a dump is told."""
    talk.say("grey is 95 percent")
    told = [talk.say("shower 3 gal").answer for _ in range(4)]
    assert all("Grey should have run over by now" in answer for answer in told[2:]), told
    assert "run over" in talk.say("how full is grey").answer and "run over" in talk.say("status").answer
    talk.say("dumped grey")
    assert "run over" not in talk.say("shower 3 gal").answer
