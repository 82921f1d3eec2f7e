"""Every kind of event can be corrected; a corrected number is guarded, refused and cautioned about like one that is told."""

from __future__ import annotations

from typing import Any

import pytest

from tests.talking import GALLON, Talk, at

PSI = 6.894757  # kPa; NIST SP 811
POUND = 0.45359237  # kg; NIST Handbook 44, appendix C


@pytest.mark.parametrize(
    ("first", "correction", "field", "value"),
    [
        ("low of 25 tonight", "make that 28", "low_celsius", (28 - 32) / 1.8),
        ("low of 25 tonight", "no, tomorrow night", "at", "2026-06-10T21:30:00-06:00"),
        ("low of 25 tonight", "make it 30 degrees", "low_celsius", (30 - 32) / 1.8),
        ("low of 2 celsius tonight", "make that 1", "low_celsius", 1.0),
        ("dishes 3 quarts", "make that 4", "litres", 4 * GALLON / 4),
        ("guests Friday to Sunday, two more people", "no, 3 people", "people", 3),
        ("guests Friday to Sunday, two more people", "till Monday", "until", "2026-06-15T10:00:00-06:00"),
        ("guests Friday to Sunday, two more people", "no, Saturday to Monday", "from", "2026-06-13T10:00:00-06:00"),
        ("laundry on Thursday, 8 gal", "make that 10 gal", "litres", 10 * GALLON),
        ("laundry on Thursday, 8 gal", "no, Friday", "from", "2026-06-12T10:00:00-06:00"),
        ("away Saturday", "no, Sunday", "until", "2026-06-14T23:59:00-06:00"),
        ("next Cedar Flat from Sunday for four nights", "no, five nights", "until", "2026-06-19T11:00:00-06:00"),
        ("next Cedar Flat from Sunday for four nights", "make that with water", "water", True),
        ("weight limit 500 lb", "make that 600", "value", 600 * POUND),
        ("pressure limit 60 psi", "make that 55", "value", 55 * PSI),
        ("remind me to check the hoses every 90 days", "make that 60", "every_days", 60),
        ("remind me to check the hoses every 90 days", "make that two weeks", "every_days", 14),
        ("flow is 2 gpm", "make that 3", "litres_per_minute", 3 * GALLON),
        ("flow is 2 gpm", "make that 12 litres a minute", "litres_per_minute", 12.0),
        ("one gallon took 25 seconds", "make that 30 seconds", "litres_per_minute", 2 * GALLON),
        ("the tote holds 15 gal", "make that 12", "litres", 12 * GALLON),
        ("at Cedar Flat till Friday", "make that Saturday", "until", "2026-06-13T11:00:00-06:00"),
        ("at Cedar Flat till Friday", "make that two nights", "until", "2026-06-11T11:00:00-06:00"),
        ("at Cedar Flat till Friday", "I meant at 7:30", "at", "2026-06-09T07:30:00-06:00"),
        ("party of four till Monday", "no, Tuesday", "until", "2026-06-16T10:00:00-06:00"),
        ("heading out for two hours", "make that three hours", "until", "2026-06-09T11:00:00-06:00"),
        ("grey has room for 10 gallons", "make that 12", "litres", 24 * GALLON),
        ("shower 2 gal", "no, at 7", "at", "2026-06-09T07:00:00-06:00"),
    ],
)
def test_every_kind_can_be_corrected(talk: Talk, first: str, correction: str, field: str, value: Any) -> None:
    """The changed field stands in the amend, and nothing else of the event is touched."""
    booked = talk.say(first).recorded[0]
    reply = talk.say(correction)
    assert [one["kind"] for one in reply.recorded] == ["amend"], reply.answer
    amended = reply.model_dump(mode="json")["recorded"][0]
    assert amended["of"] == booked["id"]
    assert amended[field] == (pytest.approx(value, rel=1e-4) if isinstance(value, float) else value)
    allowed = {"id", "kind", "of", "at", "estimated", field, *({"from", "until"} & {field, "from", "until"})}
    assert set(amended) <= allowed | ({"fraction", "roughly"} if booked["kind"] == "level" else set())


@pytest.mark.parametrize(
    ("first", "correction"),
    [
        ("four people", "make that 300"),
        ("took 2 gal of grey away", "make that 60"),
        ("put 8 gal in the black tank through the rinse port", "make that 100"),
        ("filled fresh with 1 gal", "make that 300"),
        ("grey is half full", "make that 300 percent"),
        ("pressure is 48 psi", "make that 480"),
        ("flow is 2 gpm", "make that 200"),
        ("low of 25 tonight", "make that 250"),
        ("guests Friday to Sunday, two more people", "make that 40"),
        ("two guests from Friday to Sunday", "make that three"),
        ("guests Friday to Sunday, two more people", "no, Saturday"),
        ("grey tank 36 gal", "make that 900"),
    ],
)
def test_a_doubtful_correction_is_asked_like_a_report(talk: Talk, first: str, correction: str) -> None:
    """What would be asked about when it is told is asked about when it is corrected; nothing is booked until then."""
    assert talk.say(first).outcome == "recorded"
    assert talk.say(correction).outcome == "asked"


@pytest.mark.parametrize(
    ("first", "correction"),
    [
        ("grey tank 36 gal", "make that 0"),
        ("four people", "make that 2.5"),
        ("flow is 2 gpm", "make that 0"),
        ("remind me to check the hoses every 90 days", "make that 0"),
        ("weight limit 500 lb", "make that 0"),
        ("weight limit 500 lb", "make that 3 gal"),
        ("flow is 2 gpm", "make that 3 psi"),
        ("low of 25 tonight", "make that 3 gal"),
    ],
)
def test_a_correction_that_cannot_be_is_refused(talk: Talk, first: str, correction: str) -> None:
    """No event is brought to a value that it could not have been booked with."""
    assert talk.say(first).outcome == "recorded"
    reply = talk.say(correction)
    assert (reply.outcome, reply.recorded) == ("refused", ())


def test_a_correction_brings_its_own_caution(talk: Talk) -> None:
    """48 psi was harmless; the 90 psi that was meant is not."""
    assert not talk.say("pressure is 48 psi").cautions
    assert talk.say("make that 90").cautions
    assert not talk.say("make that 45").cautions


def test_a_haul_is_corrected_over_the_tank_as_it_was_before_it(talk: Talk) -> None:
    """Emptied by the haul of 20 gal, grey still held 22 gal before it."""
    talk.say("grey has 30 gal in it")
    talk.say("took 2 totes of grey away")
    assert talk.say("make that 28 gal").outcome == "recorded"


def test_the_reading_after_a_use_is_corrected_with_the_use(talk: Talk) -> None:
    """ "Shower from 12.3 to 14.6 … make that 15.6": the reading, so the shower took a gallon more."""
    talk.say("shower from 12.3 to 14.6")
    use, meter = talk.say("make that 15.6").recorded
    assert use["litres"] == pytest.approx(3.3 * GALLON) and use["to_litres"] == pytest.approx(15.6 * GALLON)
    assert meter["litres"] == pytest.approx(15.6 * GALLON)


def test_a_number_too_small_for_a_reading_corrects_the_use(talk: Talk) -> None:
    """ "… make that 3": three gallons, and the meter stays at 14.6."""
    shower = talk.say("shower from 12.3 to 14.6").recorded[0]
    (use,) = talk.say("make that 3").recorded
    assert use["of"] == shower["id"] and use["litres"] == pytest.approx(3 * GALLON)


def test_a_dump_moved_to_another_tank_tells_of_both(talk: Talk) -> None:
    """ "Dumped black … no, grey": black is as it was, grey is empty."""
    talk.say("dumped black")
    answer = talk.say("no, grey").answer
    assert answer.startswith("Corrected: grey dumped. Grey has") and "black" in answer
    assert "yesterday at noon" in talk.say("I meant yesterday").answer


def test_more_words_complete_a_correction_that_was_asked_about(talk: Talk) -> None:
    """ "No, Saturday" of guests from Friday to Sunday is either end; "until Saturday" tells which."""
    talk.say("guests Friday to Sunday, two more people")
    talk.say("no, Saturday")
    reply = talk.say("until Saturday")
    assert reply.recorded[0]["until"] == at("13T10:00") and "from" not in reply.recorded[0]
    talk.say("shower 2 gal")
    assert talk.say("no, I dumped").outcome == "asked"
    assert [one["kind"] for one in talk.say("grey").recorded] == ["undo", "dump"]


def test_no_sewer_after_a_valve_was_opened_is_cautioned_about(talk: Talk) -> None:
    """Opened in the belief that there is a sewer; the correction says that there is none."""
    talk.say("at Harbor Lane till Friday, water and sewer")
    assert not talk.say("opened the grey valve").cautions
    assert talk.say("no sewer").cautions


def test_a_correction_that_names_the_meter_or_a_tank_goes_for_what_was_read_of_it(talk: Talk) -> None:
    """Not for the use that was told since; and where there was no such reading, it is asked about."""
    talk.say("meter 8.4", at("09T08:00"))
    talk.say("grey is half full", at("09T08:01"))
    talk.say("dishes 2 gal", at("09T08:02"))
    fixed = talk.say("no, the meter was 8.6", at("09T08:03"))
    assert [one["kind"] for one in fixed.recorded] == ["amend"] and "meter 8.6 gal" in fixed.answer.casefold()
    assert "a third" in talk.say("no, grey was a third", at("09T08:04")).answer
    talk.say("dumped black", at("10T08:00"))
    assert talk.say("no, the meter was 8.8", at("10T08:01")).outcome == "asked"


@pytest.mark.parametrize(
    ("said", "gallons"),
    [("no, the meter was 14.8 after", 2.5), ("no, it was 14.8 after", 2.5), ("no, before it was 12.1", 2.5)],
)
def test_a_reading_beside_a_use_is_corrected_and_the_use_with_it(talk: Talk, said: str, gallons: float) -> None:
    """The use is what lies between the two readings, and nothing is taken back."""
    talk.say("shower from 12.3 to 14.6", at("09T08:00"))
    fixed = talk.say(said, at("09T08:01"))
    assert {one["kind"] for one in fixed.recorded} == {"amend"}
    assert fixed.recorded[0]["litres"] == pytest.approx(gallons * GALLON, abs=0.01)


@pytest.mark.parametrize("said", ["no, just grey", "make that just grey", "no, grey"])
def test_one_of_two_tanks_is_taken_back_where_only_the_other_was_meant(talk: Talk, said: str) -> None:
    """Black was not dumped, and grey not twice."""
    _, black = talk.say("dumped grey and black").recorded
    reply = talk.say(said)
    assert [(one["kind"], one["of"]) for one in reply.recorded] == [("undo", black["id"])]


def test_a_reading_told_late_is_asked_about_where_it_lies_above_a_later_one(talk: Talk) -> None:
    """The later one would look like a reset of the meter, and what ran until then would be counted on top."""
    talk.say("meter 10")
    talk.say("meter 20", at("10T08:00"))
    assert talk.say("meter 30 yesterday at 7pm").outcome == "asked"
    assert talk.say("meter 15 yesterday at 7pm").outcome == "recorded"
    assert talk.say("make that 25").outcome == "asked"


def test_a_reading_moved_before_a_lower_one_is_asked_about(talk: Talk) -> None:
    """20 gal cannot have been read before 10, but for a reset that a yes stands for."""
    talk.say("meter 10")
    talk.say("meter 20", at("10T08:00"))
    assert talk.say("that was yesterday at 6am").outcome == "asked"
    assert talk.say("yes").recorded[0]["at"] == at("09T06:00")


@pytest.mark.parametrize(
    "said", ["make that 10 gal", "no, Saturday", "I meant yesterday", "no, I filled fresh with 10 gal"]
)
def test_an_entry_of_the_day_before_is_not_changed_without_being_asked_about(talk: Talk, said: str) -> None:
    """The fill of yesterday evening is no longer what the talk is about."""
    asked = talk.say(said)
    assert asked.outcome == "asked" and "filled the fresh tank" in asked.answer
    assert [one["kind"] for one in talk.say("yes").recorded] == ["amend"]


def test_a_walk_goes_on_after_its_first_mark_was_taken_back(talk: Talk) -> None:
    """ "Leaving … done … undo … done": the same step again."""
    talk.say("leaving")
    step = talk.say("done").recorded[0]["text"]
    talk.say("undo")
    assert talk.say("done").recorded[0]["text"] == step


def test_a_report_of_another_kind_takes_nothing_back_that_was_told_long_ago(talk: Talk) -> None:
    """ "No, I dumped black", a day after fresh was filled: black was dumped, and fresh filled all the same."""
    assert [one["kind"] for one in talk.say("no, I dumped black").recorded] == ["dump"]


@pytest.mark.parametrize("again", ["the dishes were 2", "dishes was 2 gal"])
def test_the_same_use_told_again_with_another_amount_is_asked_about(talk: Talk, again: str) -> None:
    """ "Dishes 1 gal", "the dishes were 2": besides, or instead. What somebody else used, or another thing, is besides."""
    talk.say("dishes 1 gal", at("09T08:00"))
    assert talk.say(again, at("09T08:01")).outcome == "asked"
    assert talk.say("no", at("09T08:02")).outcome == "answered"
    assert [one["kind"] for one in talk.say("make that 2 gal", at("09T08:02")).recorded] == ["amend"]
    assert talk.say("my shower was 2 gal", at("09T08:03")).outcome == "recorded"
    assert talk.say("Ana's shower was 3 gal", at("09T08:04")).outcome == "recorded"
    assert talk.say("the shower was 3 gal", at("09T09:04")).outcome == "recorded"


def test_how_much_somebody_else_used_is_of_what_was_told_last(talk: Talk) -> None:
    """ "Ana showered, 2 gal", "and Joss 3"; of dishes that nobody was named with, it is asked what he used it for."""
    talk.say("Ana showered, 2 gal")
    other = talk.say("and Joss 3").recorded[0]
    assert (other["kind"], other["activity"], other["person"]) == ("use", "shower", "Joss")
    mine = talk.say("and I used 2 gal").recorded[0]
    assert (mine["activity"], mine["person"]) == ("shower", None)
    talk.say("dishes 1 gal")
    assert talk.say("and Joss 3").outcome == "asked"
    talk.say("dumped grey")
    assert talk.say("and Joss 3").outcome == "asked"


def test_one_that_somebody_else_had_too_is_no_gallon(talk: Talk) -> None:
    """ "Ana showered, 3 gal", "Joss had one too": the same again."""
    talk.say("Ana showered, 3 gal")
    other = talk.say("Joss had one too").recorded[0]
    assert (other["activity"], other["person"], other["litres"]) == (
        "shower",
        "Joss",
        pytest.approx(3 * GALLON, abs=0.01),
    )


def test_how_many_it_was_may_be_told_after_it(talk: Talk) -> None:
    """ "Laundry 8 gal", "two loads": of those 8, or besides."""
    talk.say("laundry 8 gal")
    assert talk.say("two loads").outcome == "asked"
    assert talk.say("no").outcome == "answered"
    talk.say("flushed")
    assert talk.say("two more flushes").outcome == "recorded"


@pytest.mark.parametrize(
    ("said", "gallons"),
    [("double that", 4.0), ("no, make it double", 4.0), ("half that", 1.0), ("it was twice that", 4.0)],
)
def test_so_many_times_what_was_told_last(talk: Talk, said: str, gallons: float) -> None:
    """Of the one entry with an amount; what was told by readings, or two at once, is asked about."""
    talk.say("shower 2 gal")
    fixed = talk.say(said)
    assert fixed.recorded[0]["litres"] == pytest.approx(gallons * GALLON, abs=0.01)
    talk.say("shower 2 gal and dishes 1 gal")
    assert talk.say(said).outcome == "asked"
    talk.say("shower from 12.3 to 14.6")
    assert talk.say(said).outcome == "asked"


def test_what_is_usual_stays_an_estimate_when_doubled(talk: Talk) -> None:
    """ "Showered", "double that": nobody has measured it."""
    talk.say("showered")
    talk.say("double that")
    assert "about" in talk.say("what did we use today").answer


@pytest.mark.parametrize("said", ["not black", "not the black though"])
def test_a_tank_that_was_not_dumped_is_taken_back(talk: Talk, said: str) -> None:
    """ "Dumped grey and black", "not black"; of one tank alone it is asked."""
    _, black = talk.say("dumped grey and black").recorded
    assert [(one["kind"], one["of"]) for one in talk.say(said).recorded] == [("undo", black["id"])]
    talk.say("dumped black")
    assert talk.say(said).outcome == "asked"


def test_no_black_may_deny_or_correct_so_it_is_asked(talk: Talk) -> None:
    """ "No black" after two tanks: taken back only after a yes."""
    _, black = talk.say("dumped grey and black").recorded
    assert talk.say("no black").outcome == "asked"
    assert [(one["kind"], one["of"]) for one in talk.say("yes").recorded] == [("undo", black["id"])]


def test_a_relation_may_be_aboard(talk: Talk) -> None:
    """ "My sister showered, 2 gal" is asked about; her own rig, and what she will do, are not ours."""
    assert talk.say("my sister showered 2 gal").outcome == "asked"
    assert talk.say("never mind").outcome == "answered"
    for other in (
        "the neighbour showered 2 gal",
        "my sister's rig used 20 gal in the shower",
        "my sister will shower 2 gal",
    ):
        assert talk.say(other).outcome == "answered", other


def test_what_was_told_twice_drops_the_question_and_takes_nothing_back(talk: Talk) -> None:
    """ "The dishes were 2": asked; "I already logged that": the first stays."""
    talk.say("dishes 1 gal")
    assert talk.say("the dishes were 2").outcome == "asked"
    assert not talk.say("I already logged that").recorded


def test_the_showers_are_not_taken_back_one_for_all(talk: Talk) -> None:
    """Of several it is asked which; a single one goes, and so many as are counted."""
    talk.say("shower 2 gal", at("09T08:00"))
    talk.say("shower 3 gal", at("09T08:01"))
    for phrase in ("delete all the showers", "delete the showers"):
        asked = talk.say(phrase, at("09T08:02"))
        assert (asked.outcome, asked.recorded) == ("asked", ())
    assert len(talk.say("undo the last two shower entries", at("09T08:03")).recorded) == 2
    talk.say("shower 4 gal", at("09T08:04"))
    assert talk.say("delete the showers", at("09T08:05")).outcome == "recorded"


def test_undo_everything_asks_how_much(talk: Talk) -> None:
    """The last turn alone is less than was said."""
    talk.say("shower 2 gal")
    for phrase in ("undo everything", "undo all"):
        reply = talk.say(phrase)
        assert (reply.outcome, reply.recorded) == ("asked", ())
    assert talk.say("undo").outcome == "recorded"
