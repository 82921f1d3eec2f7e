"""Corrections in a conversation: which entry of several is meant, and that nothing that was right goes with what was wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from grammar.read import read
from tests.talking import GALLON, Talk, at, told


@pytest.mark.parametrize(
    ("phrase", "litres"),
    [("no, Tom used 4 gal", 4), ("actually Tom used 4 gal", 4), ("no, Lena used 1 gal", 1)],
)
def test_a_correction_by_name_changes_that_persons_use(tmp_path: Path, phrase: str, litres: float) -> None:
    """The other use of the turn stays, and the activity that was told before stays too."""
    reply = told(tmp_path, "Lena showered, 2 gal, and Tom showered, 3 gal", phrase)
    assert [one["kind"] for one in reply.recorded] == ["amend"]
    assert reply.recorded[0]["litres"] == pytest.approx(litres * GALLON, rel=1e-3)
    assert "activity" not in reply.recorded[0]


@pytest.mark.parametrize("phrase", ["no, the shower used 3 gal", "no, the shower was 3 gal"])
def test_a_correction_by_activity_leaves_the_rest_of_the_turn(tmp_path: Path, phrase: str) -> None:
    """Nothing is taken back with it."""
    reply = told(tmp_path, "shower 2 gal and dishes 1 gal", phrase)
    assert [one["kind"] for one in reply.recorded] == ["amend"]


def test_a_correction_that_fits_several_is_asked_about(tmp_path: Path) -> None:
    """Which of two uses took it was not said."""
    reply = told(tmp_path, "shower 2 gal and dishes 1 gal", "no, we used 3 gal")
    assert reply.outcome == "asked" and not reply.recorded


def test_a_correction_keeps_the_person_it_does_not_name(tmp_path: Path) -> None:
    """ "no, the shower used 3 gal" says nothing of who took it."""
    reply = told(tmp_path, "Lena showered, 2 gal", "no, the shower used 3 gal")
    assert "person" not in reply.recorded[0]


@pytest.mark.parametrize("phrase", ["don't undo that", "no, don't delete it", "don't make that 3"])
def test_what_is_not_to_be_undone_stays(tmp_path: Path, phrase: str) -> None:
    """An order that is denied is none."""
    reply = told(tmp_path, "shower used 2 gal", phrase)
    assert reply.outcome == "answered" and not reply.recorded


def test_her_shower_is_taken_back_by_name(tmp_path: Path) -> None:
    """Not the last shower, but hers."""
    talk = Talk(tmp_path / "w.db")
    hers = talk.say("Lena showered, 2 gal").recorded[0]["id"]
    talk.say("Tom showered, 3 gal")
    back = talk.say("remove Lena's shower")
    none = talk.say("remove Kim's shower")
    talk.close()
    assert back.recorded[0]["of"] == hers
    assert none.outcome == "asked" and not none.recorded


def test_he_and_she_are_whoever_was_named(tmp_path: Path) -> None:
    """ "he took three" after Joss showered is three gallons of that shower; where nobody was named it is asked."""
    reply = told(tmp_path, "Joss showered", "he took three")
    assert reply.recorded[0]["litres"] == pytest.approx(3 * GALLON, rel=1e-3)
    (tmp_path / "w.db").unlink()
    assert told(tmp_path, "shower used 2 gal", "he took three").outcome == "asked"


def test_so_much_each_asks_how_many(tmp_path: Path) -> None:
    """What each took was said, and is not asked again."""
    talk = Talk(tmp_path / "w.db")
    asked = talk.say("the kids had baths, 4 gallons each")
    booked = talk.say("two")
    talk.close()
    assert asked.outcome == "asked" and "How many" in asked.answer
    assert booked.recorded[0]["count"] == 2 and booked.recorded[0]["litres"] == pytest.approx(8 * GALLON, rel=1e-3)


def test_as_much_for_something_else(tmp_path: Path) -> None:
    """ "the same for the dishes" after a measured shower; after a guess it is asked."""
    reply = told(tmp_path, "shower used 2 gal", "the same for the dishes")
    assert reply.recorded[0]["activity"] == "dishes"
    (tmp_path / "w.db").unlink()
    assert told(tmp_path, "brushed my teeth", "the same for the dishes").outcome == "asked"


def test_of_two_alike_one_goes_and_an_only_one_is_asked_about(tmp_path: Path) -> None:
    """ "I logged it twice" where it stands once: the slip may be in the telling, so nothing is taken away."""
    once = told(tmp_path / "a", "Lena showered, 2 gal", "I put in Lena's shower twice")
    assert once.outcome == "asked" and not once.recorded
    twice = told(tmp_path / "b", "Lena showered, 2 gal", "Lena showered, 2 gal", "I put in Lena's shower twice")
    assert [one["kind"] for one in twice.recorded] == ["undo"]


def test_the_two_named_are_both_taken_back_or_none(tmp_path: Path) -> None:
    """Where there is one only, which was meant is asked."""
    both = told(tmp_path / "a", "Lena showered, 2 gal", "shower 3 gal", "dishes 1 gal", "remove the two showers")
    assert [one["kind"] for one in both.recorded] == ["undo", "undo"]
    one = told(tmp_path / "b", "shower 3 gal", "dishes 1 gal", "remove the two showers")
    assert one.outcome == "asked" and not one.recorded


def test_a_tanks_level_is_taken_back_by_name(tmp_path: Path) -> None:
    """And not the dump of that tank, which was told later."""
    reply = told(tmp_path, "grey is half full", "dumped grey", "remove the grey level")
    assert reply.recorded and "half" in reply.answer


@pytest.mark.parametrize(
    ("turns", "changed"),
    [
        (("Ana showered, 2 gal", "dishes 1 gal", "it was Ben who showered"), {"person": "Ben"}),
        (("Ana showered, 2 gal", "Ben showered, 3 gal", "Ana's was 4"), {"litres": 4 * GALLON}),
    ],
)
def test_a_correction_of_an_earlier_use_leaves_the_last_one(
    tmp_path: Path, turns: tuple[str, ...], changed: dict[str, object]
) -> None:
    """The entry that is named by its activity, or by whose it was, is changed; nothing else is booked."""
    talk = Talk(tmp_path / "w.db")
    first, *_, last = [talk.say(phrase) for phrase in turns]
    talk.close()
    assert [one["kind"] for one in last.recorded] == ["amend"]
    assert last.recorded[0]["of"] == first.recorded[0]["id"]
    for name, value in changed.items():
        assert last.recorded[0][name] == (pytest.approx(value, rel=1e-3) if isinstance(value, float) else value)


def test_undoing_the_dump_takes_back_both_tanks_of_one_turn(tmp_path: Path) -> None:
    """They were emptied in one breath; a dump told earlier stays."""
    talk = Talk(tmp_path / "w.db")
    talk.say("dumped grey")
    both = talk.say("dumped grey and black")
    reply = talk.say("undo the dump")
    talk.close()
    assert {one["of"] for one in reply.recorded} == {one["id"] for one in both.recorded}


def test_a_tank_that_was_not_meant_answers_nothing(tmp_path: Path) -> None:
    """ "Which one was dumped?" … "not grey": the question stands."""
    reply = told(tmp_path, "dumped", "not grey")
    assert reply.outcome == "asked" and not reply.recorded


def test_what_is_told_with_a_yes_is_booked_too(tmp_path: Path) -> None:
    """Both what was confirmed and what was told beside it."""
    reply = told(tmp_path, "shower 200 gal", "yes, and dumped grey")
    assert [one["kind"] for one in reply.recorded] == ["use", "dump"]


@pytest.mark.parametrize("phrase", ["no, the shower was 3", "make the shower 3", "no, the shower was yesterday"])
def test_an_earlier_use_is_corrected_by_its_name(tmp_path: Path, phrase: str) -> None:
    """The dishes told since do not become a shower."""
    talk = Talk(tmp_path / "w.db")
    shower, _, last = (talk.say(one) for one in ("shower 2 gal", "dishes 1 gal", phrase))
    talk.close()
    assert [(one["kind"], one["of"]) for one in last.recorded] == [("amend", shower.recorded[0]["id"])]
    assert "activity" not in last.recorded[0]


@pytest.mark.parametrize("phrase", ["no, it was the shower, 3 gal", "make that a shower, 3 gal"])
def test_what_the_last_entry_was_is_no_name_of_an_earlier_one(tmp_path: Path, phrase: str) -> None:
    """ "it was", "make that": the last one, whatever else is told."""
    talk = Talk(tmp_path / "w.db")
    _, dishes, last = (talk.say(one) for one in ("shower 2 gal", "dishes 1 gal", phrase))
    talk.close()
    assert [(one["kind"], one["of"]) for one in last.recorded] == [("amend", dishes.recorded[0]["id"])]


@pytest.mark.parametrize(
    "turns",
    [
        ("shower 2 gal", "dishes 1 gal", "the shower was Ana"),
        ("shower 2 gal", "dishes 1 gal", "the shower was yesterday"),
        ("shower 2 gal", "dishes 1 gal", "the shower was 3"),
        ("shower 2 gal", "dishes 1 gal", "no, shower 3 gal"),
        ("Ana and Ben showered 4 gal", "make that 6"),
        ("Ana and Ben showered 4 gal", "no, it was Carl"),
        ("Ana and Ben showered 4 gal", "undo the shower"),
    ],
)
def test_which_entry_is_meant_is_asked(tmp_path: Path, turns: tuple[str, ...]) -> None:
    """Another use, or the one that was told: neither is booked unasked."""
    reply = told(tmp_path, *turns)
    assert reply.outcome == "asked" and not reply.recorded


@pytest.mark.parametrize("phrase", ["make that yesterday", "no, at 7"])
def test_another_moment_is_of_all_that_was_told_in_one_breath(tmp_path: Path, phrase: str) -> None:
    """Both tanks were emptied then."""
    reply = told(tmp_path, "dumped grey and black", phrase)
    assert [one["kind"] for one in reply.recorded] == ["amend", "amend"]


@pytest.mark.parametrize(
    ("phrase", "gone"),
    [
        ("undo the first shower", 0),
        ("that first shower was a mistake, take it back", 0),
        ("take the 2 gallon shower out", 0),
        ("scrap the other shower", 0),
        ("delete the second shower", 1),
        ("remove the 3 gal shower", 1),
    ],
)
def test_the_entry_that_is_described_is_taken_back(tmp_path: Path, phrase: str, gone: int) -> None:
    """By its amount or its place in the row, and whatever was told since."""
    talk = Talk(tmp_path / "w.db")
    told_of = [talk.say(one).recorded[0]["id"] for one in ("shower 2 gal", "shower 3 gal", "dishes 1 gal")]
    taken = talk.say(phrase).recorded
    talk.close()
    assert [one["of"] for one in taken] == [told_of[gone]]


@pytest.mark.parametrize(
    "turns",
    [
        ("shower 3 gal", "shower 3 gal", "delete the 3 gallon shower"),
        ("shower 3 gal", "delete the second shower"),
        ("shower 3 gal", "delete the 4 gal shower"),
        ("shower 3 gal", "delete yesterday's shower"),
        ("shower 3 gal", "shower 4 gal", "there was only one shower today"),
    ],
)
def test_a_description_that_fits_none_or_several_is_asked_about(tmp_path: Path, turns: tuple[str, ...]) -> None:
    """Nothing goes on a guess."""
    reply = told(tmp_path, *turns)
    assert reply.outcome == "asked" and not reply.recorded


def test_a_shower_somewhere_else_is_no_absence(tmp_path: Path) -> None:
    """ "no, at the gym": whether the entry goes is asked, and nobody is away."""
    reply = told(tmp_path, "Ana showered, 2 gal", "no, at the gym")
    assert reply.outcome == "asked" and not reply.recorded


@pytest.mark.parametrize(
    "phrase", ["we took showers", "did the showers", "had baths this morning", "showers are done", "shower for two"]
)
def test_so_many_as_nobody_said_are_asked_about(tmp_path: Path, phrase: str) -> None:
    """Several, of which the usual volume of one would be wrong."""
    assert told(tmp_path, phrase).outcome == "asked"


@pytest.mark.parametrize("turns", [("shower 0 gal",), ("shower some", "zero")])
def test_no_water_at_all_is_no_use(tmp_path: Path, turns: tuple[str, ...]) -> None:
    """Nothing went through a tank."""
    reply = told(tmp_path, *turns)
    assert reply.outcome == "refused" and not reply.recorded


def test_who_is_arriving_on_a_day_has_not_arrived(tmp_path: Path) -> None:
    """A stop to come, and no arrival of last week."""
    reply = told(tmp_path, "arriving at Cedar Flat Friday")
    assert [one["kind"] for one in reply.recorded] == ["stop"]


@pytest.mark.parametrize(
    ("told_first", "phrase"),
    [("meter 20", "wait only one"), ("hauled a tote of grey, 10 gallons", "wait only one tote")],
)
def test_only_one_is_no_amount_of_what_counts_nothing_or_one(tmp_path: Path, told_first: str, phrase: str) -> None:
    """One tote it was, of ten gallons; and a meter that stood at 20 hardly stands at 1."""
    reply = told(tmp_path, "meter 15", told_first, phrase)
    assert reply.outcome == "asked" and not reply.recorded


def test_only_one_of_several_counts(tmp_path: Path) -> None:
    reply = told(tmp_path, "flushed three times", "wait only two")
    assert reply.recorded[0]["count"] == 2


def test_only_so_many_gallons_is_an_amount(tmp_path: Path) -> None:
    """More than the one shower there was cannot count it."""
    reply = told(tmp_path, "shower 5 gal", "wait only 3")
    assert reply.recorded[0]["litres"] == pytest.approx(3 * GALLON, rel=1e-3)


def test_only_so_many_totes(tmp_path: Path) -> None:
    reply = told(tmp_path, "grey is full", "hauled two totes of grey", "wait only one")
    assert reply.recorded[0]["litres"] == pytest.approx(15 * GALLON, rel=1e-3)


def test_a_reading_with_an_apology_is_the_one_before_put_right(tmp_path: Path) -> None:
    """Behind something else it is a reading like any other."""
    assert [one["kind"] for one in told(tmp_path, "meter 12", "meter 11 sorry").recorded] == ["amend"]
    assert [one["kind"] for one in told(tmp_path, "meter 14", "shower 2", "meter 18 sorry").recorded] == ["meter"]


def test_a_bad_surprise_corrects_nothing(tmp_path: Path) -> None:
    assert not told(tmp_path, "meter 20", "any bad surprises on sunday").recorded


def test_nothing_of_what_may_be_misread_goes_into_another_report(tmp_path: Path) -> None:
    """What was asked about and not answered lends its amount and its person to nothing: her shave takes no two gallons."""
    talk = Talk(tmp_path / "w.db")
    assert not talk.say("shower 2 gal for Ines and 3 for the").recorded
    reply = talk.say("shower")
    assert reply.recorded == () or reply.recorded[0]["estimated"]
    reply = talk.say("Dell showered")
    assert reply.recorded[0]["person"] == "Dell" and reply.recorded[0]["estimated"]
    talk.close()


def test_a_correction_of_something_else_settles_no_doubt(tmp_path: Path) -> None:
    """ "actually today" is of the plan before it, which was not understood; the dump waits for its yes."""
    talk = Talk(tmp_path / "w.db")
    assert talk.say("dump grey").outcome == "asked"
    assert talk.say("heading to glorbtal tomorrow").outcome == "not_understood"
    assert talk.say("actually today").outcome == "asked"
    assert [one["kind"] for one in talk.say("yes").recorded] == ["dump"]
    talk.close()


@pytest.mark.parametrize(
    ("phrase", "moment"), [("no that was on Monday", "08T19:30"), ("no, at seven in the morning", "11T07:00")]
)
def test_a_day_or_an_hour_put_right_leaves_the_other(tmp_path: Path, phrase: str, moment: str) -> None:
    """Told of yesterday evening: another day keeps the evening, another hour keeps yesterday."""
    talk = Talk(tmp_path / "w.db")
    talk.say("yesterday evening I showered, six gallons", at("12T09:00"))
    assert talk.say(phrase).recorded[0]["at"] == at(moment)
    talk.close()


def test_repeat_that_offers_nothing_that_was_told_long_ago(tmp_path: Path) -> None:
    """Right after a use it may be that one again; hours later nobody means it."""
    talk = Talk(tmp_path / "w.db")
    talk.say("shower 2 gal")
    assert "shower 2 gal" in talk.say("repeat that").answer
    talk.say("no")
    late = talk.say("repeat that", at("09T14:00"))
    assert late.outcome == "asked" and "shower" not in late.answer
    talk.close()


def test_how_a_correction_names_its_use_is_read_with_it() -> None:
    """ "The shower" is one that is known; "that was the shower" is what the last one was."""
    said = ("no, the shower was 3 gal", "no, shower 3 gal", "no, that was the shower, 3 gal")
    found = [read(one).meanings[0] for one in said]
    assert [(one.by_name, one.that_was) for one in found] == [(True, False), (False, False), (True, True)]


@pytest.mark.parametrize("phrase", ["wait, the dishes were only 1", "no, the dishes took only 1"])
def test_only_so_much_after_its_name_is_an_amount(tmp_path: Path, phrase: str) -> None:
    """Not how many times they were done."""
    reply = told(tmp_path, "shower 2 gal and dishes 1.5 gal", phrase)
    assert [(one["kind"], one.get("count")) for one in reply.recorded] == [("amend", None)]
    assert reply.recorded[0]["litres"] == pytest.approx(GALLON, rel=1e-3)


@pytest.mark.parametrize(
    ("before", "phrase", "left"),
    [
        ("Lena and Tom showered, 2 gal each", "no, only Lena", "Tom"),
        ("Lena and Tom showered, 2 gal each", "only Tom showered", "Lena"),
        ("Lena, Tom and Kim showered, 2 gal each", "no, only Lena and Kim", "Tom"),
        ("shower 2 gal and dishes 1 gal", "no, only the shower", "dishes"),
        ("shower 2 gal and dishes 1 gal", "no, just the dishes", "shower"),
        ("shower 2 gal and dumped grey", "no, only the shower", "dump"),
    ],
)
def test_only_those_takes_the_others_back(tmp_path: Path, before: str, phrase: str, left: str) -> None:
    """Nobody's shower becomes somebody else's, and no dishes become a second shower."""
    talk = Talk(tmp_path / "w.db")
    ids = {one["id"]: (one.get("person"), one.get("activity"), one["kind"]) for one in talk.say(before).recorded}
    reply = talk.say(phrase)
    talk.close()
    assert [one["kind"] for one in reply.recorded] == ["undo"]
    assert left in ids[reply.recorded[0]["of"]]


@pytest.mark.parametrize(
    ("before", "phrase", "count", "gallons"),
    [
        ("two showers, 2 gal each", "only one shower", 1, 2),
        ("three showers 2 gal each", "just two showers", 2, 4),
        ("two loads of laundry, 8 gal each", "only one load", 1, 8),
    ],
)
def test_only_so_many_are_fewer_of_those_told(
    tmp_path: Path, before: str, phrase: str, count: int, gallons: float
) -> None:
    """No further shower is booked."""
    reply = told(tmp_path, before, phrase)
    assert [one["kind"] for one in reply.recorded] == ["amend"]
    assert reply.recorded[0]["count"] == count
    assert reply.recorded[0]["litres"] == pytest.approx(gallons * GALLON, rel=1e-3)


@pytest.mark.parametrize(
    "phrases",
    [
        ("shower 2 gal", "shower 2 gal", "I only showered once"),
        ("two showers, 5 gal", "only one shower"),
        ("Lena and Tom showered, 4 gal", "no, only Lena"),
        ("Lena and Tom showered, 2 gal each", "just Lena"),
        ("Lena showered 2 gal", "just me"),
    ],
)
def test_only_which_may_mean_two_things_is_asked(tmp_path: Path, phrases: tuple[str, ...]) -> None:
    """Neither is anything booked besides, nor are there fewer people aboard."""
    reply = told(tmp_path, *phrases)
    assert reply.outcome == "asked" and not reply.recorded


def test_just_me_is_one_aboard_where_nothing_was_told(tmp_path: Path) -> None:
    """Without a use before it the words are about the party."""
    assert told(tmp_path, "just me").recorded[0]["kind"] == "party"


@pytest.mark.parametrize(
    ("before", "phrase", "field", "value"),
    [
        (("dumped grey yesterday at 20",), "we dumped black yesterday, not grey", "tank", "black"),
        (("dumped grey yesterday at 20",), "it was black that we dumped yesterday, not grey", "tank", "black"),
        (("dumped grey at 7",), "grey was dumped at 6, not at 7", "at", at("09T06:00")),
        (("dumped grey at 7",), "grey was dumped at 6, not 7", "at", at("09T06:00")),
        (("filled fresh yesterday at 20",), "filled fresh on Sunday, not yesterday", "at", at("07T20:00")),
        (("grey was half full yesterday at 20",), "grey was a quarter yesterday, not half", "fraction", 0.25),
        (("meter 41.5", "shower 2 gal"), "the meter was 45.1, not 41.5", "litres", 45.1 * GALLON),
        (("Lena showered 5 gal on Saturday",), "Lena's shower was on Sunday, not Saturday", "at", at("07T12:00")),
    ],
)
def test_what_was_not_so_is_put_right(
    tmp_path: Path, before: tuple[str, ...], phrase: str, field: str, value: object
) -> None:
    """ "X, not Y" where Y is on record changes that entry, which keeps the rest, and books nothing besides."""
    talk = Talk(tmp_path / "w.db")
    first = talk.say(before[0]).recorded[0]["id"]
    for told_since in before[1:]:
        talk.say(told_since)
    reply = talk.say(phrase)
    talk.close()
    assert [(one["kind"], one["of"]) for one in reply.recorded] == [("amend", first)]
    found = reply.recorded[0][field]
    assert found == (pytest.approx(value, rel=1e-3) if isinstance(value, float) else value)


def test_what_was_not_so_is_a_report_where_it_was_not_told(tmp_path: Path) -> None:
    """ "Dumped grey, not black" right after a shower corrects nothing."""
    reply = told(tmp_path, "shower 2 gal", "dumped grey, not black")
    assert [(one["kind"], one["tank"]) for one in reply.recorded] == [("dump", "grey")]


@pytest.mark.parametrize(
    ("before", "phrase"),
    [
        ("Lena showered 5 gal on Saturday", "Lena's shower was on Sunday"),
        ("Lena showered 5 gal on Saturday", "Lena's shower on Saturday was five minutes"),
        ("Lena showered 5 gal", "Lena's shower was five minutes"),
        ("two showers, 2 gal each", "no, one"),
        ("two showers, 2 gal each", "make that three"),
        ("Lena took two showers on Saturday, 5 gal", "Lena's shower on Saturday was two, not five"),
        ("shower 2 gal and dishes 1 gal", "that was Lena"),
        ("Lena and Tom showered, 2 gal each", "Tom used 3"),
    ],
)
def test_what_may_be_the_one_told_is_asked(tmp_path: Path, before: str, phrase: str) -> None:
    """A second shower is not booked for one spoken of twice, and a number that may count or measure changes nothing."""
    reply = (
        told(tmp_path, "Lena showered", before, phrase) if phrase == "that was Lena" else told(tmp_path, before, phrase)
    )
    assert reply.outcome == "asked" and not reply.recorded


@pytest.mark.parametrize("phrase", ["Lena's shower was on Sunday", "Lena's shower was five minutes"])
def test_the_way_out_that_is_named_works(tmp_path: Path, phrase: str) -> None:
    """What the question tells to say is a correction."""
    reply = told(tmp_path, "Lena showered 5 gal", phrase, "no", f"no, {phrase}")
    assert [one["kind"] for one in reply.recorded] == ["amend"]


def test_another_unit_is_that_of_the_whole_breath(tmp_path: Path) -> None:
    """ "Litres, not gallons" after two uses in gallons."""
    reply = told(tmp_path, "shower 2 gal and dishes 1 gal", "litres, not gallons")
    assert [one["litres"] for one in reply.recorded] == [2, 1]


def test_so_much_of_hers_is_of_the_shower_if_denied_first(tmp_path: Path) -> None:
    """ "No, Tom used 3" is not asked about."""
    reply = told(tmp_path, "Lena and Tom showered, 2 gal each", "Tom used 3", "no", "no, Tom used 3")
    assert [one["kind"] for one in reply.recorded] == ["amend"]


@pytest.mark.parametrize("phrase", ["make Tom's 2", "Tom's should be 2", "change Tom's shower to 2 gal"])
def test_the_use_of_one_who_is_named_is_put_right_wherever_it_stands(tmp_path: Path, phrase: str) -> None:
    """And where there is none, nothing else is changed."""
    reply = told(tmp_path, "Tom showered, 3 gal", "dishes 1 gal", phrase)
    assert [(one["kind"], round(one["litres"], 1)) for one in reply.recorded] == [("amend", 7.6)]
    assert told(tmp_path / "other", "dishes 1 gal", phrase).outcome == "asked"
