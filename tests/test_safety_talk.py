"""Questions of safety and what comes after bleach: never odds, never a yes; weights, limits, and who goes first."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.talking import Talk, at

KILOGRAMS_PER_GALLON = 3.78  # NIST Handbook 44: 3.785 L, at 15 °C 0.999 kg/L (Tanaka et al. 2001)


@pytest.mark.parametrize(
    "asked",
    [
        "is it safe to tow with full fresh tank",
        "can we drive with grey full",
        "is it dangerous to travel with a full black tank",
        "is it safe to climb into the black tank",
        "is it safe to dump here",
        "is it ok to put antifreeze in the fresh tank",
        "is it safe to put antifreeze in the fresh tank",
        "can we drink it now",
    ],
)
def test_no_odds_answer_a_question_of_safety(talk: Talk, asked: str) -> None:
    """A forecast of over 98 % read aloud would be a yes."""
    reply = talk.say(asked)
    assert reply.outcome == "answered" and "probability" not in reply.facts
    assert "%" not in reply.answer and "can't" in reply.answer


def test_full_tanks_on_the_road_are_told_by_weight_and_the_maker_goes_first(talk: Talk) -> None:
    reply = talk.say("is it safe to tow with full tanks")
    assert reply.facts["full_kilograms"] == pytest.approx((40 + 36 + 30) * KILOGRAMS_PER_GALLON, rel=0.01)
    assert "maker" in reply.answer and "plates" in reply.answer


def test_too_much_water_for_the_limit_is_said_with_the_road(talk: Talk) -> None:
    talk.say("cargo limit 300 lb")
    reply = talk.say("is it ok to travel with the fresh tank full")
    assert "over your cargo limit" in reply.answer and reply.cautions


def test_a_sanitising_just_told_says_to_let_it_stand_flush_and_not_drink(talk: Talk) -> None:
    """Six hours at 50 mg/L (AWWA C652-19 method 3, Oregon); what was done a week ago needs no word."""
    [caution] = talk.say("sanitised the fresh tank with half a cup of bleach").cautions
    assert "6 hours" in caution and "flush" in caution and "nobody drinks" in caution
    assert not talk.say("sanitised the fresh tank last week", at("09T12:00")).cautions


def test_after_sanitising_the_water_is_not_for_drinking_until_it_is_flushed(talk: Talk) -> None:
    talk.say("sanitised the fresh tank")
    soon = talk.say("can we drink it now", at("09T09:00"))
    assert "stand until today at 14:00" in soon.answer and "flush" in soon.answer
    later = talk.say("is the water safe to drink", at("09T15:00"))
    assert "flush" in later.answer and "stand until" not in later.answer
    assert "bleach in it" not in talk.say("is the water safe to drink", at("09T08:00") + timedelta(days=5)).answer


def test_how_long_it_is_left_in_is_of_the_bleach(talk: Talk) -> None:
    """A weaker water stands longer: contact time times concentration."""
    talk.say("how much bleach for the fresh tank at 25 ppm")
    assert talk.say("how long do I leave it in").facts["contact_hours"] == pytest.approx(12.0)


def test_showers_elsewhere_save_and_never_cost(talk: Talk) -> None:
    now = talk.say("can we make it to Sunday").facts["probability"]
    for asked in ("what if we shower at the campground", "what if we shower at the camp tonight"):
        assert talk.say(asked).facts["difference"] > 0.0
    assert talk.say("what if we shower twice at the bathhouse").facts["probability"] > now


def test_what_guests_leave_out_is_less_than_what_all_do(talk: Talk) -> None:
    talk.say("two guests from today till Sunday")
    some = talk.say("what if the guests don't shower here").facts["difference"]
    assert 0.0 < some < talk.say("what if we skip showers").facts["difference"]


def test_guests_that_are_not_known_are_asked_about(talk: Talk) -> None:
    reply = talk.say("what if the guests don't shower here")
    assert reply.outcome == "asked" and "How many" in reply.answer


def test_rain_alone_has_no_odds(talk: Talk) -> None:
    reply = talk.say("what if it rains")
    assert reply.outcome == "asked" and "%" not in reply.answer


def test_another_tank_after_a_question_that_has_none_is_that_tank(talk: Talk) -> None:
    talk.say("how much did we use today")
    assert talk.say("what about the black tank").facts["topic"] == "status"
    grey = talk.say("what if we skip showers").facts["probability"]
    black = talk.say("what about the black tank")
    assert black.facts["tank"] == "black" and black.facts["probability"] > 0.9 > grey
    assert "black" in black.answer


@pytest.mark.parametrize(
    ("asked", "word"),
    [
        ("can I use splashless bleach", "plain unscented"),
        ("should I leave the black valve open", "Better not"),
        ("can I dump the grey on the ground", "ask there first"),
        ("how do I keep the hose from freezing", "off the spigot"),
        ("can I thaw the pipe with a torch", "No flame"),
        ("no water comes out of the tap", "spigot"),
    ],
)
def test_what_the_trade_knows_is_answered_and_nothing_booked(talk: Talk, asked: str, word: str) -> None:
    reply = talk.say(asked)
    assert reply.outcome == "answered" and not reply.recorded
    assert word in reply.answer


def test_the_strength_told_after_a_dose_makes_it_anew(talk: Talk) -> None:
    talk.say("how much bleach for the fresh tank")
    assert talk.say("the label says 8.25 percent").facts["bleach_percent"] == pytest.approx(8.25)
    talk.say("status")
    assert talk.say("8.25 percent").outcome == "asked"  # of nothing that was spoken of last


def test_without_the_guests_it_lasts_as_long_as_for_those_aboard(talk: Talk) -> None:
    alone = talk.say("can we make it to Sunday").facts["probability"]
    talk.say("two guests from Wednesday to Sunday")
    reply = talk.say("what if our friends don't come")
    assert reply.facts["difference"] > 0.05
    assert reply.facts["probability"] == pytest.approx(alone, abs=0.03)
    assert "without the guests" in reply.answer.casefold()


def test_bleach_is_never_to_be_mixed(talk: Talk) -> None:
    """Acid frees chlorine from bleach, ammonia chloramines: product labels and CDC's cleaning guidance (wording from memory)."""
    reply = talk.say("is it ok to mix bleach and vinegar in the fresh tank")
    assert reply.answer.startswith("Never") and "poison gas" in reply.answer


def test_what_is_ok_till_a_day_is_asked_of_the_forecast(talk: Talk) -> None:
    for asked in ("is it ok to wait until Friday", "is it ok to stay till Monday", "is grey ok to Sunday"):
        assert talk.say(asked).facts["topic"] == "make_it"
