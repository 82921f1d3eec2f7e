"""What was dumped or filled, but not to the end, said behind it; and several entries changed at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import GALLON, told


@pytest.mark.parametrize("phrase", ["not quite", "almost", "not all of it", "well, most of it", "only partly"])
@pytest.mark.parametrize(("deed", "tank"), [("dumped grey", "grey"), ("filled fresh", "fresh")])
def test_how_full_a_tank_is_that_was_not_done_to_the_end_is_asked(
    tmp_path: Path, phrase: str, deed: str, tank: str
) -> None:
    """The answer stands in place of the deed, which was none."""
    assert told(tmp_path, deed, phrase).answer == f"How full is {tank} now?"
    reply = told(tmp_path / "answered", deed, phrase, "a quarter")
    assert [(one["kind"], one.get("fraction")) for one in reply.recorded] == [("undo", None), ("level", 0.25)]


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path) -> None:
    (tmp_path / "answered").mkdir()


def test_a_volume_is_what_is_in_it_and_not_what_went_in(tmp_path: Path) -> None:
    """ "How full is fresh now?" … "35 gal"."""
    reply = told(tmp_path, "filled fresh", "not quite", "35 gal")
    assert reply.recorded[1]["kind"] == "level"
    assert reply.recorded[1]["litres"] == pytest.approx(35 * GALLON, rel=1e-3)


def test_half_of_a_filling_is_half_full(tmp_path: Path) -> None:
    """A tank is filled to a mark."""
    reply = told(tmp_path, "filled fresh", "no, only half")
    assert [(one["kind"], one.get("fraction")) for one in reply.recorded] == [("undo", None), ("level", 0.5)]


def test_half_of_a_dump_may_be_half_of_what_was_in_it(tmp_path: Path) -> None:
    """So whether it is half full is asked first."""
    reply = told(tmp_path, "dumped grey", "no, only half")
    assert reply.outcome == "asked" and "half full now?" in reply.answer
    reply = told(tmp_path / "answered", "dumped grey", "no, only half", "yes")
    assert [one["kind"] for one in reply.recorded] == ["undo", "level"]


@pytest.mark.parametrize("before", ["shower 2 gal", "dumped grey and black"])
def test_not_quite_is_asked_about_where_it_fits_nothing_or_several(tmp_path: Path, before: str) -> None:
    reply = told(tmp_path, before, "not quite")
    assert reply.outcome == "asked" and not reply.recorded


def test_those_of_one_turn_are_all_of_that_day(tmp_path: Path) -> None:
    reply = told(tmp_path, "shower 2 gal and dishes 1 gal", "those were yesterday")
    assert [(one["kind"], one["at"].day) for one in reply.recorded] == [("amend", 8)] * 2


def test_those_of_several_turns_are_asked_about(tmp_path: Path) -> None:
    """The last alone, or those before it too, is not said; a yes moves them all."""
    reply = told(tmp_path, "shower 2 gal", "dishes 1 gal", "those were yesterday")
    assert reply.outcome == "asked" and '"shower 2 gal" and "dishes 1 gal"' in reply.answer
    reply = told(tmp_path / "answered", "shower 2 gal", "dishes 1 gal", "those were yesterday", "yes")
    assert [(one["kind"], one["at"].day) for one in reply.recorded] == [("amend", 8)] * 2


def test_a_number_settled_on_corrects_what_was_told_last(tmp_path: Path) -> None:
    reply = told(tmp_path, "shower 2 gal", "let's call it 3")
    assert reply.recorded[0]["kind"] == "amend"
    assert reply.recorded[0]["litres"] == pytest.approx(3 * GALLON, rel=1e-3)


@pytest.mark.parametrize("phrase", ["changed my mind", "I made that up", "I take that back"])
def test_what_was_told_last_is_taken_back_in_other_words(tmp_path: Path, phrase: str) -> None:
    assert [one["kind"] for one in told(tmp_path, "shower 2 gal", phrase).recorded] == ["undo"]
