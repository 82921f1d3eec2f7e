"""Due dates as iCalendar, read back by an independent parser (the icalendar library)."""

from __future__ import annotations

from datetime import UTC, date, datetime

from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from state.care import ical

NOW = datetime(2026, 6, 9, 8, tzinfo=UTC)
text = st.text(st.characters(exclude_categories=["Cs", "Cc", "Co", "Cn"]), max_size=300)


def read_back(entries: list[ical.Entry]) -> Calendar:
    return Calendar.from_ical(ical.calendar(entries, NOW).encode())


def test_entry_comes_back_as_an_all_day_event() -> None:
    """Summary, day and description survive; the end is the day after, as RFC 5545 has it for whole days."""
    event = read_back(
        [ical.Entry("water_filter", date(2026, 9, 1), "The water filter", "Last done Monday; every 3 months.")]
    ).walk("VEVENT")[0]
    assert str(event["SUMMARY"]) == "The water filter"
    assert event.decoded("DTSTART") == date(2026, 9, 1)
    assert event.decoded("DTEND") == date(2026, 9, 2)
    assert event.decoded("DTSTAMP") == NOW
    assert str(event["DESCRIPTION"]) == "Last done Monday; every 3 months."


@given(text, text)
def test_any_words_survive_escaping_and_folding(summary: str, description: str) -> None:
    """Whatever the owner calls an item, the parser reads the same words."""
    event = read_back([ical.Entry("k", date(2026, 9, 1), summary, description or "x")]).walk("VEVENT")[0]
    assert str(event["SUMMARY"]) == summary
    assert str(event["DESCRIPTION"]) == (description or "x")


@given(st.lists(text, max_size=5))
def test_lines_end_in_cr_lf_and_hold_at_most_75_octets(words: list[str]) -> None:
    """RFC 5545 section 3.1, for every line of the file."""
    made = ical.calendar([ical.Entry(str(i), date(2026, 9, 1), word, word) for i, word in enumerate(words)], NOW)
    assert made.endswith("\r\n")
    lines = made.split("\r\n")[:-1]
    assert all(len(line.encode()) <= 75 for line in lines)
    assert all("\n" not in line and "\r" not in line for line in lines)


def test_control_characters_and_line_ends_cannot_break_the_file() -> None:
    """A name with a line end cannot smuggle in a line of its own."""
    event = read_back([ical.Entry("k", date(2026, 9, 1), "a\r\nBEGIN:VEVENT\x00\x1b")]).walk("VEVENT")
    assert len(event) == 1
    assert str(event[0]["SUMMARY"]) == "a\nBEGIN:VEVENT"


def test_same_item_keeps_its_id_and_different_items_never_share_one() -> None:
    """A calendar replaces an entry by its UID, so it must be the same at every export and unlike any other."""
    keys = ["hose", "Hose", "wet bay", "wet-bay", "wet_bay", "höse"]
    found = [
        str(one["UID"]) for one in read_back([ical.Entry(key, date(2026, 9, 1), key) for key in keys]).walk("VEVENT")
    ]
    assert found[0] == found[1]
    assert len(set(found)) == len(keys) - 1


def test_empty_calendar_is_still_a_calendar() -> None:
    """Nothing due gives a file that a program accepts."""
    assert read_back([]).name == "VCALENDAR"
