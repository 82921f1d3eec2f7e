"""Against what is usual: today by this hour, a day that is over, a week that the log has only part of; cautions of advice once a day."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import GALLON, Talk, at


@pytest.mark.parametrize(
    "asked",
    [
        "did we use more than usual today",
        "more than usual today?",
        "did we use less than normal today",
        "are we above our usual",
    ],
)
def test_today_is_compared_with_what_is_usual_by_this_hour(talk: Talk, asked: str) -> None:
    """25 gal by eight in the evening, of which some ran the evening before, from 18:00."""
    talk.say("meter 25", at("09T20:00"))
    evening = talk.say(asked)
    assert 18 * GALLON < evening.facts["litres"] <= 25.01 * GALLON
    assert "more than the" in evening.answer and "by this hour" in evening.answer


def test_the_usual_of_a_morning_is_less_than_that_of_a_day(talk: Talk) -> None:
    morning = talk.say("did we use more than usual today", at("09T10:00")).facts["usual_litres"]
    evening = talk.say("did we use more than usual today", at("09T22:00")).facts["usual_litres"]
    yesterday = talk.say("did we use less than usual yesterday", at("10T09:00")).facts["usual_litres"]
    assert 0.0 < morning < evening <= yesterday * 1.05


def test_a_day_that_is_over_is_compared_as_a_whole(talk: Talk) -> None:
    talk.say("meter 25", at("09T23:00"))
    reply = talk.say("was yesterday more than usual", at("10T09:00"))
    assert reply.answer.startswith("Yesterday") and "by this hour" not in reply.answer


def test_days_before_the_log_began_are_not_taken_for_days_of_no_use(talk: Talk) -> None:
    """The log begins on Monday 8 June at 18:00: of the week it has but these hours."""
    reply = talk.say("did we use more than usual this week", at("09T08:00"))
    assert reply.facts["from"] == at("08T18:00")


def test_what_is_said_of_a_use_or_told_is_not_all_water(talk: Talk) -> None:
    assert "usual_litres" not in talk.say("did we shower more than usual").facts
    assert talk.say("we used more than usual today").recorded == ()


def test_the_caution_of_lifting_goes_with_advice_once_a_day_and_with_a_haul_every_time(talk: Talk) -> None:
    """51 lb (NIOSH 94-110): said with the first advice of the day, and again when a tote is carried."""
    assert talk.say("can we make it to Sunday", at("09T09:00")).cautions
    assert not talk.say("can we make it to Saturday", at("09T19:00")).cautions
    hauled = talk.say("took 15 gal of grey away in the tote", at("09T19:30"))
    assert any("lift" in one for one in hauled.cautions)
    assert not talk.say("can we make it to Sunday", at("09T20:00")).cautions
    assert talk.say("what must we change", at("10T19:00")).cautions


def test_level_and_room_add_up_where_a_tank_holds_less_than_was_told(talk: Talk) -> None:
    """Full at 22 gal twice: 10 gal in it and 24 gal of room are not 36, so the size that I go by is named."""
    for day in ("10", "11"):
        talk.say(f"meter {22 if day == '10' else 44}", at(f"{day}T08:00"))
        talk.say("grey is full")
        talk.say("dumped grey")
    talk.say("meter 55", at("12T08:00"))
    reply = talk.say("status")
    [grey] = [one for one in reply.facts["tanks"] if one["name"] == "grey"]
    whole = grey["level_litres"]["p50"] + grey["room_litres"]["p50"]
    assert whole < 0.97 * grey["capacity_litres"]
    assert f"what I take to be {round(whole / GALLON)} gal" in reply.answer


def test_weeks_of_silence_are_no_tank_run_over(tmp_path: Path) -> None:
    """What people usually use would have filled it three times; nobody told of it."""
    talk = Talk(tmp_path / "w.db")
    talk.say("shower 2 gal", at("10T08:00"))
    talk.say("we're off", at("30T08:00"))
    answer = talk.say("how full is grey").answer
    talk.close()
    assert "run over" not in answer
