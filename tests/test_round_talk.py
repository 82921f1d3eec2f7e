"""The practitioner's round as conversation: said in words, booked in the log, challenged and cautioned where the work can hurt."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.say import cautions
from tests.talking import GALLON, Talk, at


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    opened = Talk(tmp_path / "water.db")
    yield opened
    opened.close()


def test_high_pressure_is_cautioned_once_an_hour_and_again_when_it_gets_worse(talk: Talk) -> None:
    """65 psi: caution; 66 psi ten minutes later: none; 90 psi: a new danger; an hour on: again."""
    words = cautions.TABLE["pressure-high"].words
    assert talk.say("pressure is 65 psi", at("09T08:00")).cautions == (words,)
    assert talk.say("pressure is 66 psi", at("09T08:10")).cautions == ()
    assert talk.reopened().say("pressure is 90 psi", at("09T08:20")).cautions == (words,)
    assert talk.say("pressure is 91 psi", at("09T08:30")).cautions == ()
    assert talk.say("pressure is 91 psi", at("09T09:21")).cautions == (words,)


@pytest.mark.parametrize(
    ("phrase", "hazards"),
    [
        ("pressure is 90 psi", {"pressure-high"}),
        ("pressure is 12 psi", {"pressure-low"}),
        ("put 8 gal in the black tank through the rinse port", {"rinse-closed"}),
        ("how much can I put in black", {"rinse-closed", "rinse-backflow"}),
        ("dumped black", {"waste-hygiene"}),
        ("how much bleach to sanitise the tank", {"bleach"}),
        ("how heavy is a full tote", {"lift"}),
        ("low of 25 tonight", {"frost"}),
        ("note: the water is brown", {"water-doubtful"}),
        ("pressure is 45 psi", set()),
        ("low of 60 tonight", set()),
        ("note: the dump station closes at six", set()),
        ("shower used 2 gal", set()),
    ],
)
def test_each_trigger_shows_its_caution_and_only_that(talk: Talk, phrase: str, hazards: set[str]) -> None:
    """What calls for a caution gets it, what does not stays quiet."""
    reply = talk.say(phrase, at("09T12:00"))
    assert set(reply.cautions) == {cautions.TABLE[hazard].words for hazard in hazards}
    again = talk.say(phrase, at("09T12:20"))
    assert again.cautions == ()


def test_hauling_a_heavy_tote_is_cautioned_for_hands_back_and_place(talk: Talk) -> None:
    """12 gal weigh 100 lb: too heavy, dirty, and it has to go somewhere allowed."""
    talk.say("grey is two thirds full", at("11T08:00"))
    reply = talk.say("took 12 gal of grey away in the tote", at("11T10:00"))
    assert {cautions.TABLE[name].words for name in ("lift", "waste-place", "waste-hygiene")} == set(reply.cautions)


def test_rinse_limit_explains_itself(talk: Talk) -> None:
    """The limit, its minutes, and on why the capacity less the level that is surely not passed."""
    talk.say("flow is 2 gpm")
    reply = talk.say("how much can I put in black")
    assert reply.facts["minutes"] == pytest.approx(reply.facts["litres"] / (2 * GALLON))
    why = talk.reopened().say("why")
    assert why.facts["topic"] == "explain"
    assert "30.0 gal" in why.answer and "95 %" in why.answer


def test_leaving_is_walked_through_by_voice_and_goes_on_tomorrow(talk: Talk) -> None:
    """Two steps tonight, the process ends, the rest in the morning; back takes a step back and is no arrival of the crew."""
    assert talk.say("leaving", at("13T20:00")).outcome == "answered"
    first = talk.say("done", at("13T20:05"))
    assert [one["kind"] for one in first.recorded] == ["step"]
    talk.say("skip", at("13T20:06"))
    back = talk.say("back", at("13T20:07"))
    assert [(one["kind"], one.get("mark")) for one in back.recorded] == [("step", "open")]
    reply = talk.reopened().say("next", at("14T08:00"))
    assert reply.facts["list"] == "leaving"
    assert [one["state"] for one in reply.facts["steps"]][:3] == ["done", "done", "open"]
    assert talk.say("what's left", at("14T08:01")).recorded == ()


def test_departure_with_something_outside_is_challenged_and_asked_about_on_arrival(talk: Talk) -> None:
    """Out at Heron Bend, never stowed: a question before "left", and another at Cedar Flat."""
    talk.say("regulator is on the spigot")
    asked = talk.say("we left", at("14T11:00"))
    assert asked.outcome == "asked" and "regulator" in asked.answer
    assert talk.reopened().say("yes", at("14T11:01")).recorded[0]["kind"] == "depart"
    arrived = talk.say("at Cedar Flat till Friday, no hookups", at("14T15:00"))
    assert "Did the regulator come along?" in arrived.answer
    talk.say("stowed the regulator", at("14T15:05"))
    assert talk.say("we left", at("19T11:00")).outcome == "recorded"


def test_stowing_first_lets_the_departure_pass(talk: Talk) -> None:
    """Nothing outside, nothing asked."""
    talk.say("regulator is on the spigot")
    talk.say("stowed the regulator")
    assert talk.say("we left", at("14T11:00")).outcome == "recorded"


def test_no_to_the_challenge_books_no_departure(talk: Talk) -> None:
    """ "Did you leave with everything aboard?" "No": still here."""
    talk.say("hose is on the spigot")
    talk.say("we left", at("14T11:00"))
    assert talk.say("no", at("14T11:01")).recorded == ()
    assert talk.say("we left", at("14T11:05")).outcome == "asked"


def test_overdue_filter_is_mentioned_once_a_day(talk: Talk) -> None:
    """A hundred days after the change: in the first turn of a day, not in the second, again the next day."""
    talk.say("changed the water filter")
    later = at("09T08:00") + timedelta(days=100)
    assert "water filter" in talk.say("how full is grey", later).answer
    assert "water filter" not in talk.reopened().say("how full is grey", later + timedelta(hours=1)).answer
    assert "water filter" in talk.say("how full is grey", later + timedelta(days=1)).answer


def test_what_is_due_counts_from_the_service(talk: Talk) -> None:
    """Changed on 9 June: due 90 days on, 7 September."""
    talk.say("changed the water filter")
    reply = talk.say("when is the filter due")
    assert reply.facts["rows"][0]["due"].date().isoformat() == "2026-09-07"


def test_weight_counts_what_is_aboard(talk: Talk) -> None:
    """40 gal of fresh and two nearly empty waste tanks: 330 to 400 lb."""
    kilograms = talk.say("how much does our water weigh").facts["kilograms"]
    assert 330 < kilograms / 0.45359237 < 400


def test_pressure_is_remembered_with_the_place(talk: Talk) -> None:
    """90 psi at Heron Bend is recalled when we come back there."""
    talk.say("pressure is 90 psi")
    talk.say("at Cedar Flat till Friday, no hookups", at("14T15:00"))
    assert "90 psi" in talk.say("at Heron Bend till Monday, water but no sewer", at("19T15:00")).answer
