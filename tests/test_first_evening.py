"""The first evening with a new rig: told in one breath, in the owner's units, asked about where it may be a level."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from assistant import open_conversation

EVENING = datetime.fromisoformat("2026-05-02T18:10+01:00")


def told(path: Path, *phrases: str) -> list[tuple[str, str]]:
    """Outcome and answer of each phrase, said one after the other."""
    with open_conversation(path / "w.db") as talk:
        return [(reply.outcome, reply.answer) for reply in (talk.say(one, now=EVENING) for one in phrases)]


def test_who_tells_the_first_tank_in_litres_is_answered_in_litres(tmp_path: Path) -> None:
    """Bare numbers and answers follow the units of the first tank."""
    said = told(
        tmp_path,
        "campervan with 45 litres of fresh, 40 litres of waste and a cassette that holds 17 litres",
        "shower 8",
    )
    assert said[1][0] == "recorded" and "8 L" in said[1][1]


def test_chosen_units_stay_whatever_the_first_tank_was_told_in(tmp_path: Path) -> None:
    """Nobody who asked for gallons is answered in litres."""
    said = told(tmp_path, "use gallons", "fresh tank 150 litres", "shower 2")
    assert "2 gal" in said[2][1]


def test_bare_volumes_of_known_tanks_are_asked_about(tmp_path: Path) -> None:
    """ "Fresh 20, grey 12" of a rig that is known may be how full its tanks are: no size is changed unasked."""
    said = told(tmp_path, "fresh 34 gal, grey 28, black 23", "fresh 20 gal, grey 12 gal", "no")
    assert [outcome for outcome, _ in said] == ["recorded", "asked", "answered"]


def test_a_tank_called_waste_answers_to_its_name(tmp_path: Path) -> None:
    """The waste tank of a van is emptied and looked at under the word that its owner uses; grey means it as well."""
    said = told(
        tmp_path,
        "my van holds 45 litres fresh and 40 litres waste",
        "waste is empty",
        "dumped grey",
        "the waste water tank is at half",
    )
    assert [outcome for outcome, _ in said[:3]] == ["recorded"] * 3 and "aste" in said[2][1]
