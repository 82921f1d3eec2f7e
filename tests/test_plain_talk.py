"""Plain phrases in a conversation, whose meaning hangs on what went before or on where the household is."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import Talk, at, told


@pytest.mark.parametrize(
    "turns",
    [
        ("filled the fresh tank", "shower 2 gal", "filled it up again"),
        ("shower 2 gal", "filled it up, meter says 60"),
    ],
)
def test_it_is_the_fresh_tank_where_nothing_else_can_be_meant(tmp_path: Path, turns: tuple[str, ...]) -> None:
    """It was filled before, or the meter measured what went in."""
    reply = told(tmp_path, *turns)
    assert [one["tank"] for one in reply.recorded if one["kind"] == "fill"] == ["fresh"]


@pytest.mark.parametrize("phrase", ["filled it up", "filled it up again"])
def test_it_is_asked_about_where_it_may_be_anything(tmp_path: Path, phrase: str) -> None:
    """The car is filled up as well."""
    talk = Talk(tmp_path / "w.db", rigged=False)
    talk.say("fresh tank 40 gal")
    talk.say("shower 2 gal")
    reply = talk.say(phrase)
    talk.close()
    assert reply.outcome == "asked" and not reply.recorded


@pytest.mark.parametrize(
    "phrase",
    ["what do I have to do", "walk me through it", "what are the steps", "steps", "what do I do now", "done", "next"],
)
def test_steps_that_were_offered_are_what_is_asked_for(tmp_path: Path, phrase: str) -> None:
    """After "say frost for the steps" no list needs a name; a step that was not told yet is not marked."""
    reply = told(tmp_path, "low of 25 tonight", phrase)
    assert reply.facts["list"] == "freezing" and not reply.recorded


@pytest.mark.parametrize("phrase", ["what do I do now", "what do we have to do", "steps"])
def test_just_arrived_the_list_is_that_of_arriving(tmp_path: Path, phrase: str) -> None:
    """What is to be done then is to hook up."""
    assert told(tmp_path, "at Pine Loop, full hookups", phrase).facts["list"] == "arriving"


def test_what_to_do_after_a_forecast_is_about_the_forecast(tmp_path: Path) -> None:
    """The ways out, not a procedure."""
    reply = told(tmp_path, "can we make it to Sunday", "what do we do now")
    assert reply.facts["topic"] == "make_it"


def test_all_steps_are_marked_at_once(tmp_path: Path) -> None:
    """ "done all of it" goes through the list."""
    reply = told(tmp_path, "low of 25 tonight", "frost", "done all of it")
    assert {one["mark"] for one in reply.recorded} == {"done"} and reply.facts["complete"]


@pytest.mark.parametrize("phrase", ["leaving today", "we leave today", "we leave", "we're leaving"])
def test_the_day_of_leaving_opens_its_list(tmp_path: Path, phrase: str) -> None:
    """The steps are told, and "done" marks them."""
    talk = Talk(tmp_path / "w.db")
    talk.now = at("14T08:30")
    assert talk.say(phrase).facts["list"] == "leaving"
    assert talk.say("done").recorded[0]["list"] == "leaving"
    talk.close()


@pytest.mark.parametrize("moment", ["14T08:30", "12T08:30"])
def test_off_on_the_last_day_may_be_for_good(tmp_path: Path, moment: str) -> None:
    """ "We're off" is an absence on any other day."""
    talk = Talk(tmp_path / "w.db")
    reply = talk.say("we're off", at(moment))
    talk.close()
    assert reply.outcome == ("asked" if moment.startswith("14") else "recorded")


def test_everything_is_in(tmp_path: Path) -> None:
    """All that was known to be outside is stowed."""
    reply = told(tmp_path, "hose and regulator are out", "got it, everything is in")
    assert {(one["item"], one["where"]) for one in reply.recorded} == {("hose", "stowed"), ("regulator", "stowed")}


def test_everything_in_answers_whether_all_is_aboard(tmp_path: Path) -> None:
    """The departure is booked, and the hose with it."""
    reply = told(tmp_path, "hose is out", "we left", "everything is in")
    assert [one["kind"] for one in reply.recorded] == ["depart", "gear"]


@pytest.mark.parametrize("out", [True, False])
def test_got_the_regulator_is_booked_if_it_was_outside(tmp_path: Path, out: bool) -> None:
    """Else it may have been bought."""
    before = ("regulator and hose are out",) if out else ()
    reply = told(tmp_path, *before, "got the regulator")
    assert [one["where"] for one in reply.recorded] == (["stowed"] if out else [])


@pytest.mark.parametrize("phrase", ["got here", "I'm there", "we made it"])
def test_there_is_the_next_stop(tmp_path: Path, phrase: str) -> None:
    """Asked of the stop that is planned, booked on the road, and else asked about."""
    talk = Talk(tmp_path / "w.db")
    assert talk.say(phrase).outcome == "asked"
    talk.say("never mind")
    talk.say("next Cedar Flat from tomorrow for four nights, no hookups")
    talk.say(phrase, at("10T09:00"))
    assert [one["site"] for one in talk.say("yes").recorded] == ["Cedar Flat"]
    talk.say("we left")
    assert [one["kind"] for one in talk.say(phrase).recorded] == ["arrive"]
    talk.close()


@pytest.mark.parametrize("phrase", ["close the grey valve", "open the black valve"])
def test_an_order_about_a_valve_is_booked_once_it_is_done(tmp_path: Path, phrase: str) -> None:
    """Whatever was asked before, and not before a yes."""
    talk = Talk(tmp_path / "w.db")
    talk.say("status")
    asked = talk.say(phrase)
    assert asked.outcome == "asked" and "valve" in asked.answer
    talk.say("at Pine Loop, full hookups")
    talk.say(phrase)
    assert [one["open"] for one in talk.say("yes").recorded] == [phrase.startswith("open")]
    talk.close()


def test_a_sewer_told_beside_a_valve_is_of_this_place(tmp_path: Path) -> None:
    """What was left open at the arrival, however long ago that was."""
    talk = Talk(tmp_path / "w.db")
    talk.say("at Pine Loop")
    reply = talk.say("grey valve open, we have sewer", at("09T18:00"))
    talk.close()
    assert [one["kind"] for one in reply.recorded] == ["valve", "amend"] and reply.recorded[1]["sewer"] is True


@pytest.mark.parametrize(("between", "outcome"), [((), "recorded"), (("shower 2 gal",), "asked")])
def test_let_it_out_is_of_the_tank_just_told_of(tmp_path: Path, between: tuple[str, ...], outcome: str) -> None:
    """After a rinse of black it is black; after something else it is asked."""
    assert told(tmp_path, "rinsed black with 5 gal", *between, "let it out").outcome == outcome


def test_ran_it_is_the_rinse_that_was_asked_about(tmp_path: Path) -> None:
    """Out of the blue it is asked."""
    asked_before = told(tmp_path, "one gallon took 25 seconds", "how long can I run it", "ran it five minutes")
    assert [one["kind"] for one in asked_before.recorded] == ["rinse"]
    assert told(tmp_path, "shower 2 gal", "ran it five minutes").outcome == "asked"


def test_the_overflow_caution_stands_with_every_rinse_limit(tmp_path: Path) -> None:
    """Also the second time within the hour."""
    reply = told(tmp_path, "how long can I run the rinse", "how long can I run the rinse")
    assert any("overflow" in one for one in reply.cautions)


def test_a_use_that_is_named_beside_another_is_asked_about_with_it(tmp_path: Path) -> None:
    """ "3 gal" tells of neither how much it was; a yes is one to both."""
    reply = told(tmp_path, "coffee and a bit of washing up")
    assert reply.outcome == "asked" and "coffee" in reply.answer and "dishes" in reply.answer
    assert not told(tmp_path / "two", "coffee and a bit of washing up", "3 gal").recorded
    booked = told(tmp_path / "three", "coffee and a bit of washing up", "yes").recorded
    assert [one["activity"] for one in booked] == ["coffee", "dishes"]


def test_what_was_carried_off_is_weighed(tmp_path: Path) -> None:
    """Just after a haul "that" is what was hauled; else the water aboard."""
    assert "26 lb" in told(tmp_path, "hauled 12 litres of grey", "how heavy was that").answer
    assert "aboard" in told(tmp_path / "two", "shower 2 gal", "how heavy was that").answer


def test_an_interval_is_of_the_item_spoken_of(tmp_path: Path) -> None:
    """The one asked about, or changed just before; else it is asked."""
    booked = told(tmp_path, "changed the water filter", "when is the filter due", "make that every 60 days").recorded
    assert [(one["item"], one["every_days"]) for one in booked] == [("water_filter", 60)]
    assert told(tmp_path / "two", "shower 2 gal", "make that every 60 days").outcome == "asked"


def test_a_guest_who_does_not_come_is_taken_back_whatever_was_asked_since(tmp_path: Path) -> None:
    """ "Cancel that" after a what-if means the guest, since she is spoken of."""
    turns = ("a friend is visiting from tomorrow to friday", "what if we skip showers", "cancel that, she isn't coming")
    assert [one["kind"] for one in told(tmp_path, *turns).recorded] == ["undo"]


def test_both_who_are_compared_are_told_of(tmp_path: Path) -> None:
    """What the speaker tells of herself is kept without a name."""
    answer = told(tmp_path, "Dell showered, 3 gal", "I showered, 2 gal", "who used more, me or Dell").answer
    assert answer.startswith("Dell, about 3 gal; ") and "about 2 gal" in answer


def test_the_waste_tank_is_the_one_there_is(tmp_path: Path) -> None:
    """With two of them it is asked which."""
    assert told(tmp_path, "how full is fresh", "and the waste tank?").outcome == "asked"
    one = told(tmp_path / "two", "removed the black tank", "yes", "how full is fresh", "and the waste tank?")
    assert one.answer.startswith("Grey holds")


def test_what_ran_while_nobody_was_aboard_may_have_been_the_leak(tmp_path: Path) -> None:
    """Nothing else is called one."""
    assert "nothing" in told(tmp_path, "shower 2 gal", "how much did we lose to the leak").answer


@pytest.mark.parametrize(
    "phrase",
    [
        "make the first shower 4 gallons",
        "the first of the two showers was 4 gallons",
        "no, the first shower was 4 gallons",
    ],
)
def test_a_correction_is_of_the_one_of_several_that_it_names(tmp_path: Path, phrase: str) -> None:
    """Not of the one told last."""
    talk = Talk(tmp_path / "w.db")
    first = talk.say("shower 2 gal").recorded[0]["id"]
    talk.say("shower 3 gal")
    assert [one["of"] for one in talk.say(phrase).recorded] == [first]
    talk.close()
