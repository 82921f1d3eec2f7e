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


def test_a_range_from_where_the_meter_stood_is_two_readings(tmp_path: Path) -> None:
    """ "Shower 3.2 to 6.9" after "meter 3.2" used 3.7 gallons; elsewhere it is a range, booked at its middle and said so."""
    said = told(tmp_path, "fresh tank 40 gal", "meter 3.2", "shower 3.2 to 6.9", "shower to 8.9", "shower 2 to 3")
    assert "Shower, 3.7 gal" in said[2][1] and "Shower, 2 gal" in said[3][1] and "2.5 gal, the middle" in said[4][1]


def test_a_fine_range_that_begins_elsewhere_than_the_meter_is_asked_about(tmp_path: Path) -> None:
    """It may have been two readings of which the first was never told."""
    said = told(tmp_path, "fresh tank 40 gal", "shower 3.2 to 6.9", "3.7")
    assert said[1] == ("asked", "Did it take 3.2 to 6.9, so about 5.05 gal? Or say how much.")
    assert "Shower, 3.7 gal" in said[2][1]


def test_a_reading_after_with_uses_told_in_between_is_asked_about(tmp_path: Path) -> None:
    """What ran for something else since the last reading is not laid to the shower."""
    said = told(tmp_path, "fresh tank 40 gal", "meter 3.2")
    assert said[1][0] == "recorded"
    with open_conversation(tmp_path / "w.db") as talk:
        talk.say("coffee 1 gal", now=EVENING.replace(minute=15))
        assert talk.say("shower to 8.4", now=EVENING.replace(minute=20)).outcome == "asked"


def test_the_coming_weekday_is_the_nearest(tmp_path: Path) -> None:
    """ "Coming Tuesday", said on a Saturday, is in three days."""
    assert "Tuesday 5 May" in told(tmp_path, "my daughter is coming Tuesday for a week")[0][1]


def test_a_report_of_something_else_is_no_answer_to_a_question_back(tmp_path: Path) -> None:
    """ "How much did the coffee use?" … "shower 3 gal": the shower is booked, and nothing for the coffee."""
    said = told(tmp_path, "fresh tank 40 gal", "coffee for two", "shower 3 gal")
    assert said[1][0] == "asked" and said[2][1].startswith("Shower, 3 gal")


def test_a_guest_who_leaves_has_the_rest_counted(tmp_path: Path) -> None:
    """How many are left is asked, never guessed."""
    said = told(tmp_path, "three people", "gran's gone", "two")
    assert [outcome for outcome, _ in said] == ["recorded", "asked", "recorded"] and "Two people" in said[2][1]


def test_a_known_tank_is_taken_out_of_the_rig_only_after_a_yes(tmp_path: Path) -> None:
    """ "No grey tank" of a rig that has one may be a slip; of a rig that has none it says just that."""
    said = told(tmp_path, "no black tank", "grey tank 60 litres", "we have no grey tank", "no", "how is grey")
    assert [outcome for outcome, _ in said] == ["recorded", "recorded", "asked", "answered", "answered"]
    assert "o black tank" in said[0][1] and "for good" in said[2][1] and "rey" in said[4][1]


def test_a_kind_word_is_answered_in_kind(tmp_path: Path) -> None:
    """And books nothing; beside a yes it is no more than that."""
    said = told(tmp_path, "hello", "thanks", "good night", "thanks, undo")
    assert [outcome for outcome, _ in said[:3]] == ["answered"] * 3 and said[0][1].startswith("Hello")


def test_frost_told_without_degrees_is_asked_about(tmp_path: Path) -> None:
    """How cold it will get decides what is said."""
    said = told(tmp_path, "use gallons", "it's going to freeze tonight", "25")
    assert [outcome for outcome, _ in said[1:]] == ["asked", "recorded"] and "25" in said[2][1]


def test_a_level_by_the_panel_is_a_level_known(tmp_path: Path) -> None:
    """Beside what was logged, a panel's word tells enough for a forecast: it does not ask for the level again."""
    said = told(
        tmp_path, "fresh tank 70 litres", "grey tank 60 litres", "filled fresh", "at Thistle Bank until Friday, no sewer",
        "two showers, 12 litres each", "dishes 6 litres", "panel says grey is two thirds", "can we make it to Friday",
    )  # fmt: skip
    assert "don't know how full" not in said[-1][1]


def test_of_a_cassette_alone_it_is_told_where_wash_water_is_taken_to_go(tmp_path: Path) -> None:
    """Once, when it comes to be the only waste tank; nothing of it where a grey tank is told as well, or the black one is a large one."""
    said = told(tmp_path, "cassette 18 litres", "shower 8 litres", "grey tank 60 litres", "cassette 20 litres")
    assert ["wash water runs off" in answer for _, answer in said] == [True, False, False, False]
    assert all(outcome == "recorded" for outcome, _ in said)


def test_of_a_large_black_tank_nothing_is_said_of_wash_water(tmp_path: Path) -> None:
    """It may be a joint one."""
    said = told(tmp_path, "black tank 30 gal")
    assert "wash water" not in said[0][1]
