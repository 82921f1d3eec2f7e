"""How things stand outside, asked: one piece of gear, the valves, the place, whether one may dump; and that a question books nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import Talk


def asked(tmp_path: Path, *said: str) -> tuple[str, str]:
    """(outcome, answer) of the last of the phrases; nothing may be booked by it."""
    talk = Talk(tmp_path / "water.db")
    reply = [talk.say(phrase) for phrase in said][-1]
    talk.close()
    assert not reply.recorded
    return reply.outcome, reply.answer


@pytest.mark.parametrize(
    "question",
    [
        "where is the regulator", "is the regulator on the spigot", "did I leave the regulator out", "did we take the regulator off",
        "have I put the regulator away",
    ],
)  # fmt: skip
def test_one_piece_of_gear_is_told_as_it_was_told(tmp_path: Path, question: str) -> None:
    """Outside, stowed, or nothing known."""
    assert asked(tmp_path / "a", question) == (
        "answered",
        "I have nothing on record of the regulator, neither outside nor stowed.",
    )
    assert (
        asked(tmp_path / "b", "regulator is on the spigot", question)[1]
        == "By what you told me the regulator is outside since today."
    )
    assert (
        asked(tmp_path / "c", "put the regulator away", question)[1] == "By what you told me the regulator is stowed."
    )


@pytest.mark.parametrize(
    "question", ["did I leave the hose out at Cedar Flat", "did I leave the regulator on the spigot at Heron Bend"]
)
def test_a_question_without_its_sign_is_no_report(tmp_path: Path, question: str) -> None:
    """ "I leave" is one of our words for the end of a stay, and still asks here."""
    assert asked(tmp_path, question)[0] == "answered"


@pytest.mark.parametrize(
    "question",
    ["is the grey valve open", "did I leave grey open", "did we shut the grey valve", "is grey open or shut"],
)
def test_a_valve_is_told_as_it_was_told(tmp_path: Path, question: str) -> None:
    """Shut unless it was opened."""
    assert asked(tmp_path / "a", question) == ("answered", "As far as I know grey is shut; no open valve was told.")
    opened = ("at Cedar Flat till Friday, water and sewer", "opened the grey valve")
    assert asked(tmp_path / "b", *opened, question)[1] == "By what you told me grey is open since this morning."
    assert asked(tmp_path / "c", *opened, "closed the grey valve", question)[1].startswith(
        "As far as I know grey is shut"
    )


@pytest.mark.parametrize("question", ["can I dump here", "can I open the grey valve now", "may we dump grey here"])
def test_whether_one_may_dump_goes_by_the_sewer_that_was_told(tmp_path: Path, question: str) -> None:
    """Never by the odds of the tank."""
    assert asked(tmp_path / "a", question)[1].startswith("No: Heron Bend has no sewer, as you told me.")
    assert asked(tmp_path / "b", "at Cedar Flat till Friday, water and sewer", question)[1].startswith(
        "Yes, Cedar Flat has a sewer"
    )
    assert asked(tmp_path / "c", "at Cedar Flat till Friday", question)[1].startswith(
        "You haven't told me whether Cedar Flat has a sewer."
    )


def test_what_we_are_on_is_told(tmp_path: Path) -> None:
    """As it was told, or as it is taken."""
    assert asked(tmp_path / "a", "are we on the pump")[1] == "On the site's water at Heron Bend, as I take it."
    assert (
        asked(tmp_path / "b", "on the pump now", "are we hooked up")[1]
        == "On the fresh tank and the pump at Heron Bend, by what you told me."
    )


@pytest.mark.parametrize(
    "question",
    [
        "which hose do I use for the black rinse", "can I use the drinking hose for the rinse",
        "is it ok to use the same hose for the sewer and the water",
    ],
)  # fmt: skip
def test_the_drinking_hose_is_never_for_waste(tmp_path: Path, question: str) -> None:
    """It was answered with the gallons that fit."""
    assert asked(tmp_path, question)[1].startswith("Never the drinking water hose")


def test_frost_asked_about_is_the_low_that_was_told(tmp_path: Path) -> None:
    """Weather is not known here."""
    assert asked(tmp_path / "a", "is it going to freeze tonight")[1].startswith("I have no forecast of my own")
    assert (
        asked(tmp_path / "b", "low of 25 tonight", "will it freeze")[1]
        == "You told me a low of 25 °F tonight. That freezes a hose: say frost for the steps."
    )


@pytest.mark.parametrize("question", ["how was last week", "how were the last three days", "how did last week go"])
def test_the_last_of_last_week_lasts_nowhere(tmp_path: Path, question: str) -> None:
    """It was taken for "will it last"."""
    outcome, answer = asked(tmp_path, question)
    assert outcome == "answered" and answer.endswith("nothing logged or metered.")


@pytest.mark.parametrize("question", ["are we overweight", "are we too heavy", "is the van too heavy"])
def test_too_heavy_is_set_against_a_limit_or_says_that_none_is_known(tmp_path: Path, question: str) -> None:
    """The weight alone answered half of it."""
    assert (
        asked(tmp_path / "a", question)[1].startswith("About 390 lb of water aboard")
        and "I know no limit yet" in asked(tmp_path / "a2", question)[1]
    )
    assert asked(tmp_path / "b", "cargo limit 1500 lb", question)[1].endswith(
        "Your cargo limit leaves 1110 lb for everything else."
    )
