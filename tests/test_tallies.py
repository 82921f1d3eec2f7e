"""Sums of the record as answers: counts, the day that took the most, today beside yesterday, what was not logged, errands that fall due."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.answers import activity, history, needed, tallies, weight
from grammar.intents import Amount, Ask
from grammar.when import When
from state.ahead import forecast
from state.water import weight as weights
from tests.talking import Talk
from tests.test_forecast_answers import scene


def test_dumps_are_counted_by_their_moments() -> None:
    """Grey and black emptied in one go, then grey alone: two goes, one of black; none in a stretch without any."""
    every = tallies.answer(Ask(topic="history", subject="dumps"), scene())
    black = tallies.answer(Ask(topic="history", subject="dumps", tank="black"), scene())
    today = tallies.answer(Ask(topic="history", subject="dumps", when=When(day_offset=0)), scene())
    assert (every.facts["times"], black.facts["times"], today.facts["times"]) == (2, 1, 0)
    assert "twice" in every.text and "not once" in today.text


def test_the_day_that_took_the_most_is_above_all_others() -> None:
    """The rows are the days; the one named is their largest, and the least of the whole days is not above it."""
    most = tallies.answer(Ask(topic="history", subject="most in a day"), scene()).facts
    least = tallies.answer(Ask(topic="history", subject="least in a day"), scene()).facts
    assert most["litres"] == max(row["litres"] for row in most["rows"])
    assert next(row["litres"] for row in most["rows"] if row["date"] == most["date"]) == most["litres"]
    assert 0.0 < least["litres"] < most["litres"]


def test_today_is_set_beside_yesterday_by_this_time() -> None:
    """By eight in the morning yesterday had taken less than in the whole of it, and the difference is that of the two."""
    found = tallies.answer(Ask(topic="history", subject="by now"), scene()).facts
    yesterday, today = found["rows"]
    assert 0.0 < yesterday["by_now_litres"] < yesterday["litres"]
    assert found["difference_litres"] == pytest.approx(today["litres"] - yesterday["by_now_litres"])


def test_what_was_not_logged_is_the_metered_less_the_logged() -> None:
    """Forty litres a day went through, thirteen of them were told."""
    found = tallies.answer(Ask(topic="history", subject="unlogged"), scene()).facts
    assert found["unlogged_litres"] == pytest.approx(found["litres"] - found["logged_litres"])
    assert found["unlogged_litres"] > 0.5 * found["litres"]


def test_a_stretch_may_be_told_by_both_its_ends() -> None:
    """From Wednesday to Friday is three days, each of which is part of the seven."""
    three = history.answer(Ask(topic="history", when=When(weekday=2), until=When(weekday=4)), scene()).facts
    whole = history.answer(Ask(topic="history"), scene()).facts
    assert len(three["rows"]) == 3
    assert three["litres"] == pytest.approx(sum(row["litres"] for row in three["rows"]), rel=0.02)
    assert three["litres"] < whole["litres"]


def test_who_used_the_most_of_a_stretch_goes_by_that_stretch() -> None:
    """Yesterday there was one shower and one wash of dishes; in all there were ten of each."""
    day = activity.answer(Ask(topic="activity", when=When(day_offset=-1)), scene()).facts["rows"]
    ever = activity.answer(Ask(topic="activity"), scene()).facts["rows"]
    assert [row["n"] for row in day] == [1, 1] and [row["n"] for row in ever] == [10, 10]


@pytest.mark.parametrize(("subject", "side"), [("must dump", "waste"), ("must fill", "fresh")])
def test_an_errand_is_needed_as_likely_as_its_side_gives_out(subject: str, side: str) -> None:
    """The chance told is that of the tanks of that side alone, and it grows with the days."""
    chances = []
    for days in (1, 4, 9):
        here = scene()
        found = needed.answer(Ask(topic="make_it", subject=subject, until=When(whole_days=days)), here).facts
        alone = forecast.chance(here.world, here.now, found["until"], (), here.belief, None, side)  # type: ignore[arg-type]
        assert found["needed"] == pytest.approx(1.0 - alone)
        assert found["probability"] == pytest.approx(alone)
        chances.append(found["needed"])
    assert chances == sorted(chances)


def test_a_full_tank_weighs_what_it_holds_whatever_is_in_it() -> None:
    """Full is by the size told, half of it half; all the tanks together are their sum."""
    full = weight.answer(Ask(topic="weight", tank="grey", subject="full"), scene()).facts
    half = weight.answer(Ask(topic="weight", tank="grey", amount=Amount(0.5, "fraction")), scene()).facts
    every = weight.answer(Ask(topic="weight", subject="full"), scene()).facts
    assert full["kilograms"] == pytest.approx(weights.of_litres(140.0))
    assert half["kilograms"] == pytest.approx(0.5 * full["kilograms"])
    assert every["kilograms"] == pytest.approx(sum(row["kilograms"] for row in every["tanks"]))


def test_what_was_used_since_the_last_dump_is_less_than_since_the_one_before() -> None:
    """Grey was dumped two days ago, black at the beginning: the shorter stretch holds less; one activity is part of all."""
    grey = tallies.answer(Ask(topic="history", subject="since dump", tank="grey"), scene()).facts
    black = tallies.answer(Ask(topic="history", subject="since dump", tank="black"), scene()).facts
    showers = tallies.answer(Ask(topic="history", subject="since dump", tank="black", activity="shower"), scene()).facts
    assert 0.0 < grey["litres"] < black["litres"]
    assert showers["times"] == 10 and showers["litres"] < black["litres"]


def test_who_uses_the_least_is_not_who_uses_the_most(tmp_path: Path) -> None:
    """Of 5 and 4 gallons by name, the 4 are the least."""
    talk = Talk(tmp_path / "log.db")
    for said in ("Ana showered 5 gal", "Joss showered 4 gal"):
        talk.say(said)
    assert "Ana uses the most" in talk.say("who uses the most").answer
    assert "Joss uses the least" in talk.say("who uses the least").answer
    talk.close()
