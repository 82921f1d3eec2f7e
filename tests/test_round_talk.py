"""The practitioner's round as conversation: said in words, booked in the log, challenged and cautioned where the work can hurt."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from assistant.say import cautions
from tests.talking import GALLON, Talk, at


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
    limit = again.facts.get("topic") == "rinse_limit"  # a limit may be followed each time that it is asked for
    assert again.cautions == ((cautions.TABLE["rinse-closed"].words,) if limit else ())


def test_hauling_a_heavy_tote_is_cautioned_for_hands_and_back(talk: Talk) -> None:
    """12 gal weigh 100 lb: too heavy, and dirty."""
    talk.say("grey is two thirds full", at("11T08:00"))
    reply = talk.say("took 12 gal of grey away in the tote", at("11T10:00"))
    assert {cautions.TABLE[name].words for name in ("lift", "waste-hygiene")} == set(reply.cautions)


def test_valve_opened_without_a_sewer_is_asked_and_then_cautioned(talk: Talk) -> None:
    """Heron Bend has no sewer: asked first; said again with yes, the rules of the place are named."""
    assert talk.say("opened the grey valve").outcome == "asked"
    assert talk.say("yes").cautions == (cautions.TABLE["waste-place"].words,)


def test_frost_is_cautioned_once_whether_told_or_looked_up(talk: Talk) -> None:
    """A low of 25 tonight, then the frost list: one caution; a harder frost is a new danger."""
    assert talk.say("low of 25 tonight").cautions == (cautions.TABLE["frost"].words,)
    assert talk.say("frost").cautions == ()
    assert talk.say("low of 10 tonight").cautions == (cautions.TABLE["frost"].words,)


def test_rinse_begun_counts_down_keeps_the_departure_open_and_asks_when_too_long(talk: Talk) -> None:
    """Four minutes at 2 gallons a minute; half an hour would not fit."""
    talk.say("flow is 2 gpm")
    begun = talk.say("rinsing black for four minutes", at("09T09:00"))
    assert begun.recorded[0]["litres"] == pytest.approx(8 * GALLON)
    left = talk.reopened().say("how long is the rinse still running", at("09T09:01"))
    assert left.facts["left_seconds"] == 180
    assert talk.say("we left", at("09T09:02")).outcome == "asked"
    talk.say("no", at("09T09:02"))
    assert talk.say("how long is the rinse still running", at("09T09:05")).facts["running"] is False
    assert talk.say("rinsing black for thirty minutes", at("09T09:06")).outcome == "asked"


def test_rinse_shut_off_early_or_late_counts_what_has_run(talk: Talk) -> None:
    """Off after three of eight minutes: 6 gal; off a minute late: 18 gal; long after its end it is left alone."""
    talk.say("flow is 2 gpm")
    talk.say("rinsing black for eight minutes", at("09T09:00"))
    off = talk.say("rinse is off", at("09T09:03"))
    assert [one["kind"] for one in off.recorded] == ["amend"]
    assert off.recorded[0]["litres"] == pytest.approx(6 * GALLON)
    assert talk.say("how long is the rinse still running", at("09T09:04")).facts["running"] is False
    talk.say("rinsing black for eight minutes", at("09T10:00"))
    late = talk.say("stopped the rinse", at("09T10:09"))
    assert late.recorded[0]["litres"] == pytest.approx(18 * GALLON)
    assert talk.say("rinse is off", at("09T11:00")).outcome == "refused"


@pytest.mark.parametrize(
    ("phrase", "topic", "facts"),
    [
        ("how much six percent bleach do i need for 30 gallons", "dose", {"bleach_percent": 6.0}),
        ("how much bleach for 2 gallons of drinking water", "dose", {"drops": 16}),
        ("how many trips to empty grey with the tote", "weight", {"trips": 1}),
        ("what will our water weigh when we leave", "weight", {}),
        ("what does 10 gallons weigh", "weight", {"litres": pytest.approx(10 * GALLON)}),
        ("due calendar", "due", {"entries": 0}),
        ("export the due dates", "due", {"entries": 0}),
        ("is anything overdue", "due", {}),
        ("when was the filter last changed", "due", {"item": "water_filter"}),
        ("walk me through leaving", "checklist", {"list": "leaving"}),
        ("how do I make water safe to drink", "dose", {"drops": 8}),
        ("how do I dump", "checklist", {"list": "dumping"}),
        ("how do I sanitise the tank", "checklist", {"list": "sanitising"}),
        ("how do we get ready for frost", "checklist", {"list": "freezing"}),
        ("what site are we at", "history", {"subject": "where"}),
        ("tell me about Heron Bend", "history", {"subject": "site", "site": "Heron Bend"}),
        ("what is the pressure here", "history", {"subject": "pressure"}),
        ("how does the water taste here", "history", {"subject": "taste"}),
        ("what did I note here", "history", {"subject": "notes"}),
        ("what is still outside", "history", {"subject": "gear"}),
    ],
)
def test_question_of_the_round_finds_its_answer(talk: Talk, phrase: str, topic: str, facts: dict[str, object]) -> None:
    """Each question is answered under its topic, and nothing is recorded."""
    reply = talk.say(phrase)
    assert (reply.outcome, reply.recorded) == ("answered", ())
    assert reply.facts["topic"] == topic
    assert {name: reply.facts[name] for name in facts} == facts


@pytest.mark.parametrize(
    ("phrase", "fields"),
    [
        ("lost the regulator", {"kind": "gear", "item": "regulator", "where": "lost"}),
        ("snooze the filter for a week", {"kind": "upkeep", "item": "water_filter"}),
        (
            "remind me to check the wet-bay hoses every 60 days",
            {"kind": "upkeep", "item": "check the wet-bay hoses", "every_days": 60.0},
        ),
        ("remind me to check the hoses every 90 days", {"kind": "upkeep", "item": "hose", "every_days": 90.0}),
        ("add antenna down before the walk to leaving", {"kind": "step", "text": "antenna down", "before": "the walk"}),
        ("rinsed black for four minutes", {"kind": "rinse", "minutes": 4.0}),
    ],
)
def test_statement_of_the_round_is_booked(talk: Talk, phrase: str, fields: dict[str, object]) -> None:
    """Each is one event with the fields that were said."""
    talk.say("flow is 2 gpm")
    reply = talk.say(phrase)
    assert len(reply.recorded) == 1
    assert {name: reply.recorded[0][name] for name in fields} == fields


def test_named_step_is_done_out_of_turn_but_the_dishes_are_a_use(talk: Talk) -> None:
    """ "Done with the chocks" while arriving marks a step; "done with the dishes" is water."""
    talk.say("arriving")
    assert talk.say("done with the chocks").recorded[0]["kind"] == "step"
    assert talk.say("done with the dishes").recorded[0]["kind"] == "use"


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


def test_a_bare_yes_on_arrival_stows_what_came_along_and_a_no_keeps_it_open(talk: Talk) -> None:
    """ "Did the hose and the regulator come along?" Yes: both stowed, also in the next call. No: asked about again."""
    talk.say("regulator is on the spigot")
    talk.say("hose is on the spigot")
    talk.say("at Cedar Flat till Friday, no hookups", at("14T15:00"))
    assert talk.say("no", at("14T15:01")).recorded == ()
    assert "come along" in talk.say("at Pine Hollow till Monday, water but no sewer", at("19T15:00")).answer
    yes = talk.reopened().say("yes", at("19T15:05"))
    assert sorted((one["item"], one["where"]) for one in yes.recorded) == [("hose", "stowed"), ("regulator", "stowed")]
    assert talk.say("we left", at("22T11:00")).outcome == "recorded"


def test_question_on_arrival_stands_in_nobodys_way(talk: Talk) -> None:
    """A fresh statement after it is booked as it is said."""
    talk.say("regulator is on the spigot")
    talk.say("at Cedar Flat till Friday, no hookups", at("14T15:00"))
    assert talk.say("shower used 2 gal", at("14T15:01")).recorded[0]["kind"] == "use"
    assert talk.say("yes", at("14T15:02")).recorded == ()


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


@pytest.mark.parametrize("said", ["what's due", "due calendar"])
def test_the_reminder_is_no_part_of_what_is_asked_about_it(talk: Talk, said: str) -> None:
    """The list tells it already, and a calendar file would not be one with a remark at its end."""
    talk.say("changed the water filter")
    answer = talk.say(said, at("09T08:00") + timedelta(days=200)).answer
    assert "By the way" not in answer and answer.rstrip(".").endswith(("VCALENDAR", "tank"))


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


def test_we_are_off_while_packing_up_is_the_departure_and_is_challenged(tmp_path: Path) -> None:
    """At any other time the same words are an outing."""
    talk = Talk(tmp_path / "water.db")
    assert talk.say("we're off").recorded[0]["kind"] == "away"
    talk.say("we're back")
    talk.say("regulator is on the spigot")
    talk.say("packing up")
    talk.say("done")
    reply = talk.say("we're off")
    assert (reply.outcome, reply.recorded) == ("asked", ())
    assert "regulator is still outside" in reply.answer
    talk.say("regulator's stowed")
    assert talk.say("off for a walk").recorded[0]["kind"] == "away"
    assert talk.say("ok heading out").recorded[0]["kind"] == "depart"


def test_the_stopping_reading_counts_what_was_rinsed_since_the_meter_was_read(talk: Talk) -> None:
    """Read at 100 gal, then 8 gal were rinsed: the meter stands at 108, and the limit begins there."""
    talk.say("rinse meter 100")
    talk.say("put 8 gal in the black tank through the rinse port")
    facts = talk.say("how much can I put in black").facts
    assert facts["stop_at_reading_litres"] == pytest.approx(108 * GALLON + facts["litres"])


@pytest.mark.parametrize("said", ["the waste tank is half full", "the holding tank is full"])
def test_a_waste_tank_is_never_the_fresh_one(tmp_path: Path, said: str) -> None:
    """On a rig of which only the fresh tank was told it is asked which."""
    talk = Talk(tmp_path / "other.db", rigged=False)
    talk.say("fresh tank 30 gal")
    assert talk.say(said).outcome == "asked"
    talk.close()


def test_a_pint_is_imperial_for_one_who_uses_imperial_gallons(talk: Talk) -> None:
    """A pint of 0.568 litres, wherever an amount of water is asked about."""
    talk.say("use imperial gallons")
    assert talk.say("how much does a pint weigh").facts["litres"] == pytest.approx(0.56826125)
    assert talk.say("how much bleach for a pint of drinking water").facts["litres"] == pytest.approx(0.56826125)


@pytest.mark.parametrize(
    "said", ["turned it down to 50", "it's down to 50 now", "I turned the regulator down to 50 psi"]
)
def test_a_pressure_turned_down_is_the_new_pressure(talk: Talk, said: str) -> None:
    """And no frost: "it's down to 50" was booked as a low of the night."""
    talk.say("pressure is 75 psi")
    [one] = talk.say(said).recorded
    assert (one["kind"], round(one["kpa"])) == ("pressure", 345)


@pytest.mark.parametrize("said", ["turned it down to 50", "it's down to 50 now"])
def test_a_number_turned_down_to_is_asked_about_where_no_pressure_was_told(talk: Talk, said: str) -> None:
    reply = talk.say(said)
    assert reply.outcome == "asked" and not reply.recorded
