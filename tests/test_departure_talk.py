"""Gear between two places, and the walk through the lists: what was left behind, what belongs to the new place, and what was never said."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import Talk, at


def arrive_without(talk: Talk) -> None:
    talk.say("regulator is on the spigot")
    assert "come along?" in talk.say("at Cedar Flat till Friday, water only", at("14T15:00")).answer


def test_a_no_to_whether_gear_came_along_asks_whether_it_is_lost(talk: Talk) -> None:
    """It means left behind; that it is lost for good is another thing, and asked."""
    arrive_without(talk)
    asked = talk.say("no")
    assert asked.outcome == "asked" and "regulator" in asked.answer and "lost" in asked.answer
    [lost] = talk.reopened().say("yes").recorded
    assert (lost["item"], lost["where"]) == ("regulator", "lost")


def test_a_second_no_books_nothing_and_it_is_asked_again_at_the_next_place(talk: Talk) -> None:
    arrive_without(talk)
    talk.say("no")
    assert talk.say("no").recorded == ()
    assert "come along?" in talk.say("at Pine Hollow till Monday, water only", at("19T15:00")).answer


@pytest.mark.parametrize("then", ["shower used 2 gal", "grey is half full", "meter 40", "flushed twice"])
def test_what_was_never_said_is_not_called_still_not_booked(talk: Talk, then: str) -> None:
    """ "Stowed the regulator" are my words for a yes, and "done" is no report."""
    arrive_without(talk)
    assert "Still not booked" not in talk.say(then).answer
    talk.say("done")
    assert "Still not booked" not in talk.say("shower used 1 gal").answer


def test_a_departure_asked_about_is_settled_by_the_arrival(talk: Talk) -> None:
    talk.say("regulator is on the spigot")
    assert talk.say("we left", at("14T11:00")).outcome == "asked"
    assert "Still not booked" not in talk.say("at Cedar Flat till Friday, water only", at("14T12:00")).answer


def test_a_report_that_was_asked_about_is_still_called_not_booked(talk: Talk) -> None:
    assert talk.say("a 400 gallon shower").outcome == "asked"
    assert "Still not booked" in talk.say("grey is half full").answer


def test_what_is_hung_out_within_the_hour_before_the_arrival_is_told_hangs_here(talk: Talk) -> None:
    talk.say("regulator is on the spigot", at("14T14:30"))
    arrived = talk.say("at Cedar Flat till Friday, water only", at("14T15:00"))
    assert "come along" not in arrived.answer and not arrived.cautions


def test_the_arriving_list_goes_on_when_the_place_is_named_amid_it(talk: Talk) -> None:
    """Hooking up first and naming the place then is the usual order."""
    talk.say("hooking up", at("14T14:40"))
    for _ in range(4):
        talk.say("done")
    talk.say("at Cedar Flat till Friday, water only", at("14T14:55"))
    [mark] = talk.say("done").recorded
    assert (mark["list"], mark["text"]) == ("arriving", "wipe")


def test_the_first_place_ever_told_ends_no_arriving_list(tmp_path: Path) -> None:
    talk = Talk(tmp_path / "new.db", rigged=False)
    talk.say("hooking up", at("14T12:00"))
    talk.say("done", at("14T12:01"))
    talk.say("at Cedar Flat till Friday, water only", at("14T14:55"))
    assert talk.say("done").recorded[0]["text"] == "chocks"
    talk.close()


def test_steps_that_guard_against_harm_are_not_skipped_without_a_word(talk: Talk) -> None:
    talk.say("leaving")
    assert "Better not left out" not in talk.say("skip").answer  # whether the next stop has water
    assert "open valve" in talk.say("skip").answer


def test_a_list_gone_through_is_not_gone_through_again(talk: Talk) -> None:
    talk.say("leaving")
    end = ""
    while "That was all" not in end:
        end = talk.say("done").answer
    again = talk.say("done")
    assert again.recorded == () and "That was all" not in again.answer
    assert "That was all" in talk.say("what's left").answer


def test_what_we_have_is_not_lost_with_the_rest(talk: Talk) -> None:
    assert all(one["item"] != "hose" for one in talk.say("we have the hose, the regulator is lost").recorded)
    assert len(talk.say("the hose and the regulator are lost").recorded) == 2


def test_a_limit_nobody_told_is_not_called_yours(talk: Talk) -> None:
    assert "usual limit" in talk.say("pressure is 52 psi").answer
    talk.say("pressure limit 55 psi")
    assert "your limit" in talk.say("pressure is 53 psi").answer


@pytest.mark.parametrize(
    "said",
    ["guests left already", "our friends left early", "the guests have gone", "the visitors went home this morning"],
)
def test_guests_who_have_gone_leave_those_who_live_aboard(talk: Talk, said: str) -> None:
    """How many these are is known and asked, and the forecast counts the guests no more."""
    talk.say("two guests from today till Sunday", at("09T12:00"))
    assert talk.say(said, at("10T09:00")).outcome == "asked"
    assert talk.say("yes").recorded[0]["people"] == 2
    two = talk.say("can we make it to Sunday").facts["use_litres"]["p50"]
    talk.say("we are four till Sunday")
    assert two < 0.8 * talk.say("can we make it to Sunday").facts["use_litres"]["p50"]


@pytest.mark.parametrize(
    "said",
    [
        "the guests have gone to the beach",
        "the guests left the tap running",
        "the guests haven't left",
        "have the guests left",
    ],
)
def test_guests_who_only_went_out_or_are_asked_about_change_nothing(talk: Talk, said: str) -> None:
    talk.say("two guests from today till Sunday", at("09T12:00"))
    assert talk.say(said, at("10T09:00")).outcome != "asked"


def test_where_we_are_until_when_and_how_many_is_told(talk: Talk) -> None:
    """None of it is a departure, or a question about the tanks."""
    for asked in ("where are we", "when do we leave", "where do we stay and till when"):
        reply = talk.say(asked)
        assert reply.recorded == () and "Heron Bend" in reply.answer and "Sunday at 11:00" in reply.answer
    talk.say("two guests from Friday to Sunday")
    reply = talk.say("how many are we")
    assert reply.facts["people"] == 2 and "four people from Friday" in reply.answer


def test_what_is_to_begin_today_begins_now_once_the_day_has_begun(talk: Talk) -> None:
    [told] = talk.say("two guests from today till Sunday", at("09T12:00")).recorded
    assert told["from"] == at("09T12:00")
    assert talk.say("what if we skip showers today").outcome == "answered"
    assert talk.say("what if we shower this morning", at("09T22:00")).outcome == "asked"


def test_what_the_phrase_put_right_before_leaving_is_not_asked_about(talk: Talk) -> None:
    """Each of them alone still is."""
    talk.say("at Heron Bend till Sunday, water and sewer")
    talk.say("opened the grey valve")
    talk.say("hose is on the spigot")
    assert talk.say("stowed the hose and pulled out").outcome == "asked"
    assert talk.say("no").recorded == ()
    reply = talk.say("closed the grey valve, stowed the hose and pulled out")
    assert [one["kind"] for one in reply.recorded] == ["valve", "gear", "depart"]


@pytest.mark.parametrize(
    "said",
    [
        "everything stowed",
        "put everything away",
        "unhooked everything, hose and regulator stowed",
        "all the gear is stowed",
    ],
)
def test_everything_is_all_that_is_outside(tmp_path: Path, said: str) -> None:
    """And going out right after it, in the same phrase, has nothing to be warned of."""
    talk = Talk(tmp_path / "w.db")
    talk.say("hose and regulator are out")
    reply = talk.say(f"{said}, we're off")
    talk.close()
    assert sorted(one["item"] for one in reply.recorded if one["kind"] == "gear") == ["hose", "regulator"]
    assert reply.recorded[-1]["kind"] == "away" and not reply.cautions


def test_everything_is_asked_about_where_nothing_is_outside(tmp_path: Path) -> None:
    talk = Talk(tmp_path / "w.db")
    assert talk.say("everything stowed").outcome == "asked"
    assert [one["kind"] for one in talk.say("everything stowed, we left").recorded] == ["depart"]
    talk.close()
