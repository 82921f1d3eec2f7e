"""Cautions: one table, each complete, none repeated within the hour unless the danger is new."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.say import cautions

NOW = datetime(2026, 6, 9, 8, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


@pytest.mark.parametrize("hazard", cautions.TABLE)
def test_every_caution_says_what_to_do_where_it_comes_from_and_is_short(hazard: str) -> None:
    """Hazard, trigger, words and source are all there; the words can be read aloud in one breath or two."""
    one = cautions.TABLE[hazard]
    assert one.hazard == hazard
    assert one.trigger and one.source
    assert one.words.endswith(".") and 20 < len(one.words) <= 190


@pytest.mark.parametrize(
    "hazard",
    ["bleach", "black-full", "drinking", "frost", "pressure-high", "rinse-closed", "leak", "overload", "waste-place"],
)
def test_dangerous_work_defers_to_those_who_go_first(hazard: str) -> None:
    """The maker's manual, the plate, local rules, a licensed plumber or the health authority is named."""
    words = cautions.TABLE[hazard].words.casefold()
    assert any(word in words for word in ("manual", "plate", "rules", "plumber", "authority", "safer"))


@pytest.mark.parametrize("hazard", cautions.TABLE)
def test_caution_is_said_once_an_hour(hazard: str) -> None:
    """First time yes, again within the hour no, after an hour yes."""
    said, memory = cautions.speak([hazard], {}, NOW)
    assert said == (cautions.words(hazard),)
    again, kept = cautions.speak([hazard], memory, NOW + 59 * MINUTE)
    assert again == ()
    later, _ = cautions.speak([hazard], kept, NOW + 60 * MINUTE)
    assert later == said


def test_worse_degree_is_a_new_danger() -> None:
    """70 psi was warned about; 90 psi ten minutes later is warned about again, 92 psi is not."""
    _, memory = cautions.speak(["pressure-high:high"], {}, NOW)
    said, memory = cautions.speak(["pressure-high:ceiling"], memory, NOW + 10 * MINUTE)
    assert len(said) == 1
    again, _ = cautions.speak(["pressure-high:ceiling"], memory, NOW + 12 * MINUTE)
    assert again == ()


def test_same_words_are_not_said_twice_in_one_turn() -> None:
    """Two keys of one hazard in one answer give its words once."""
    said, memory = cautions.speak(["frost:frost", "frost:hard"], {}, NOW)
    assert said == (cautions.TABLE["frost"].words,)
    assert set(memory) == {"frost:frost", "frost:hard"}


def test_words_that_are_in_no_table_are_said_as_they_are() -> None:
    """An answer may carry a caution of its own making."""
    assert cautions.speak(["Mind the step."], {}, NOW)[0] == ("Mind the step.",)


@given(st.lists(st.tuples(st.sampled_from(sorted(cautions.TABLE)), st.integers(0, 300)), max_size=30))
def test_no_caution_is_repeated_within_the_hour_and_none_is_lost(turns: list[tuple[str, int]]) -> None:
    """Over any course of turns: what was triggered was said at most an hour before, and never twice within it."""
    memory: dict[str, datetime] = {}
    spoken: dict[str, list[datetime]] = {}
    for hazard, minute in sorted(turns, key=lambda turn: turn[1]):
        now = NOW + minute * MINUTE
        said, memory = cautions.speak([hazard], memory, now)
        if said:
            spoken.setdefault(hazard, []).append(now)
        assert now - spoken[hazard][-1] < cautions.QUIET
    for times in spoken.values():
        assert all(later - earlier >= cautions.QUIET for earlier, later in pairwise(times))


def test_memory_from_the_future_does_not_silence_the_past() -> None:
    """Back-filling a turn of yesterday is not hushed by what was said today."""
    said, _ = cautions.speak(["frost:hard"], {"frost:hard": NOW}, NOW - timedelta(days=1))
    assert said
