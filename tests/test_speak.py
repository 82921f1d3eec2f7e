"""What a speech engine gets: no symbol, no unit sign, no line end; numbers as people say them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant import show
from assistant.printing import Screen, printed
from assistant.reply import Reply
from assistant.speak import speakable
from tests.talking import Talk

SYMBOLS = re.compile(r"[%°/;()\[\]{}<>|*_=^\\\"“”█▒░·~\n\t]|\b(?:gal|L|lb|kg|psi|ml|mL|oz)\b")


@pytest.mark.parametrize(
    ("written", "spoken"),
    [
        ("Shower, 2 gal. Grey has about 21 gal of room.", "Shower, 2 gallons. Grey has about 21 gallons of room."),
        ("1 gal, 0.5 gal, 2.5 gal", "1 gallon, half a gallon, 2 and a half gallons."),
        ("0.25 gal and 0.75 L", "a quarter of a gallon and three quarters of a litre."),
        ("3/4 cup of 8.25 % bleach", "three quarters of a cup of 8 point 2 5 percent bleach."),
        ("2½ gal", "2 and a half gallons."),
        ("meter 412.3", "meter 412 point 3."),
        ("50 mg/L", "50 milligrams a litre."),
        ("Likely, 82 %", "Likely, 82 percent."),
        ("48 psi, 3.3 bar", "48 pounds per square inch, 3 point 3 bar."),
        ("-4 °C, 25 °F, 1 °C", "minus 4 degrees Celsius, 25 degrees Fahrenheit, 1 degree Celsius."),
        ("today at 19:40", "today at 7 40 in the evening."),
        ("Sunday at 11:00, 7:05, 0:10", "Sunday at 11 in the morning, 7 oh 5 in the morning, 12 10 at night."),
        ("2-3 gal", "2 to 3 gallons."),
        ("1,500 lb (680 kg)", "1500 pounds, 680 kilograms."),
        ("first\nsecond.\n  third", "first, second. third."),
        ("note: L Street", "note: L Street."),
        ("on 2026-06-09", "on 2026-06-09."),
    ],
)
def test_units_and_symbols_are_written_out(written: str, spoken: str) -> None:
    """Each as a person would read it aloud."""
    assert speakable(written) == spoken


@given(st.text(max_size=200))
def test_anything_at_all_comes_out_on_one_line(text: str) -> None:
    """Notes and names hold what they like; a speech engine gets one line and no control character."""
    said = printed(Reply("x", "answered", answer=text), Screen(spoken=True))
    assert "\n" not in said and not re.search("[\x00-\x1f]", said)


DAY = (
    "shower used 2 gal", "dishes used one and a half gallons", "how full is grey", "status", "meter 12.5", "can we make it to Sunday",
    "how many showers are left", "how much can I put in black", "pressure is 48 psi", "how much bleach to sanitise the tank",
    "how much does our water weigh", "what did we use today", "show the tanks", "show the forecast", "show this week", "what's due", "undo",
)  # fmt: skip


def test_a_whole_day_of_answers_holds_nothing_a_voice_stumbles_on(tmp_path: Path) -> None:
    """Every kind of answer of a day, as --speak prints it."""
    talk = Talk(tmp_path / "water.db")
    try:
        for phrase in DAY:
            reply = talk.say(phrase)
            assert reply.outcome in ("recorded", "answered"), (phrase, reply.answer)
            said = printed(reply, Screen(spoken=True))
            assert said and not SYMBOLS.search(said), (phrase, said)
    finally:
        talk.close()


def test_a_picture_is_said_in_words(tmp_path: Path) -> None:
    """Nobody hears a drawing: its sentences are read instead."""
    talk = Talk(tmp_path / "water.db")
    said = printed(talk.say("show the tanks"), Screen(spoken=True))
    week = printed(talk.say("show this week"), Screen(spoken=True))
    talk.close()
    assert week == "This week: nothing was logged or metered."
    assert said.startswith("Fresh: 40 gallons left") and "Grey: room for" in said


def test_a_time_before_a_colon_is_spoken_as_a_time() -> None:
    """The list of the last entries, and the first line of why."""
    assert speakable("Today at 19:00: meter 41.5 gal.") == "Today at 7 in the evening: meter 41 and a half gallons."
    assert speakable("minus 28.0 gal") == "minus 28 gallons."


def test_lines_that_go_on_in_one_sentence_are_read_so() -> None:
    """The arithmetic behind an answer is a sum, not a row of broken-off sentences."""
    lines = "Grey, dumped Monday: 0.5 gal\nplus 2.0 gal from showers, once\nMakes 2.5 gal in it"
    assert (
        speakable(lines)
        == "Grey, dumped Monday: half a gallon, plus 2 gallons from showers, once. Makes 2 and a half gallons in it."
    )


def test_a_day_said_by_voice_is_answered_in_words_that_can_be_read_aloud(tmp_path: Path) -> None:
    """From the first report to the last undo: no symbol, no line end, no sentence that begins in the middle."""
    talk = Talk(tmp_path / "water.db")
    for phrase in (
        "good morning how are we doing", "shower used two and a quarter gallons", "ana washed the dishes a gallon and a half",
        "make that one", "meter one point four", "pressure is fifty two psi", "how long can i run the rinse", "why",
        "how many showers are left", "can we make it to sunday", "what if we skip showers", "why", "low of twenty five tonight",
        "took ten gallons of grey away in the tote", "note sulphur smell at this tap", "undo", "how much bleach to sanitise the tank",
        "how much does our water weigh", "what's due", "due calendar", "what did we use today", "plan the next two weeks", "leaving",
        "next", "undo", "who uses the most", "show", "show the forecast", "show this week", "help", "help dumping", "blub",
    ):  # fmt: skip
        reply = talk.say(phrase)
        spoken = speakable(show.as_words(reply), reply.facts)
        assert not SYMBOLS.search(spoken), (phrase, spoken)
        assert not re.search(r"[.!?] [a-z]", spoken), (phrase, spoken)
        assert phrase != "undo" or re.search(r"Taken back: the (note|last step)", spoken), spoken
    talk.close()
