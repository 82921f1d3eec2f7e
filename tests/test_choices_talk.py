"""Replies to a pending question that say more, or less, than was asked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.talking import Talk


def booked(path: Path, *phrases: str) -> list[dict[str, Any]]:
    """What the last of the phrases records."""
    talk = Talk(path / "w.db")
    for phrase in phrases:
        reply = talk.say(phrase)
    talk.close()
    return [dict(one) for one in reply.recorded]


@pytest.mark.parametrize(
    ("said", "kinds"),
    [
        ("black, the grey is still half full", [("dump", "black"), ("level", "grey")]),
        ("both, and rinsed black with 5 gal", [("dump", "grey"), ("dump", "black"), ("rinse", "black")]),
    ],
)
def test_a_report_behind_the_choice_is_booked_besides(tmp_path: Path, said: str, kinds: list[tuple[str, str]]) -> None:
    """The level was taken for the whole, and what was dumped was lost."""
    assert [(one["kind"], one["tank"]) for one in booked(tmp_path, "dumped", said)] == kinds


def test_half_of_it_is_no_choice(tmp_path: Path) -> None:
    assert booked(tmp_path, "dumped", "grey, half of it") == []


@pytest.mark.parametrize("last", ["shower 30 gal", "dumped"])
def test_undo_of_what_is_asked_about_leaves_the_entry_before_it(tmp_path: Path, last: str) -> None:
    assert booked(tmp_path, "shower 2 gal", last, "undo") == []


def test_a_number_is_no_yes_to_taking_back(tmp_path: Path) -> None:
    assert booked(tmp_path, "shower 2 gal", "never mind", "3") == []


def test_a_corrected_number_is_of_the_unit_that_was_said(tmp_path: Path) -> None:
    (amended,) = booked(tmp_path, "grey is at 40 percent", "make that 60")
    assert (amended["kind"], amended["fraction"]) == ("amend", 0.6)
