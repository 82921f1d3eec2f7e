"""Whole turns: questions back and their answers, corrections, guards, follow-ups, across calls as within one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import GALLON, Talk, at


def kinds(talk: Talk) -> list[str]:
    return [event["kind"] for event in talk.replies[-1].recorded]


@pytest.mark.parametrize("fresh_process", [False, True])
def test_question_back_is_answered_in_a_later_call(talk: Talk, fresh_process: bool) -> None:
    """A dump without a tank is asked; the tank alone completes it, also in another process."""
    assert talk.say("dumped").outcome == "asked"
    if fresh_process:
        talk.reopened()
    reply = talk.say("grey")
    assert reply.outcome == "recorded"
    assert [(one["kind"], one["tank"]) for one in reply.recorded] == [("dump", "grey")]


def test_nothing_is_recorded_until_all_of_a_phrase_is_clear(talk: Talk) -> None:
    """One doubtful part keeps the whole phrase back; its answer books all of it."""
    assert talk.say("dishes 1 gal, then dumped").recorded == ()
    reply = talk.say("black")
    assert [one["kind"] for one in reply.recorded] == ["use", "dump"]


def test_implausible_use_is_asked_and_a_yes_books_it_as_said(talk: Talk) -> None:
    """Twenty gallons for teeth are asked once and then believed."""
    assert talk.say("teeth used 20 gal").outcome == "asked"
    reply = talk.reopened().say("yes")
    assert reply.outcome == "recorded"
    assert reply.recorded[0]["litres"] == pytest.approx(20 * GALLON)


def test_implausible_use_can_be_corrected_in_the_reply(talk: Talk) -> None:
    """ "I meant 2" keeps the unit and the activity of the question."""
    talk.say("shower used 200 gal")
    reply = talk.say("I meant 2")
    assert reply.recorded[0]["litres"] == pytest.approx(2 * GALLON)
    assert kinds(talk) == ["use"]


def test_a_no_drops_the_phrase(talk: Talk) -> None:
    """After a no nothing is booked, and a later yes finds no question."""
    talk.say("shower used 200 gal")
    assert talk.say("no").recorded == ()
    assert talk.say("yes").recorded == ()


def test_a_pending_question_lapses(talk: Talk) -> None:
    """A yes the next morning books nothing."""
    talk.say("teeth used 20 gal")
    assert talk.say("yes", at("10T08:00")).recorded == ()


def test_undo_goes_back_turn_by_turn_and_redo_forward(talk: Talk) -> None:
    """Undo twice takes back two turns; redo brings the last one again."""
    first = talk.say("shower 2 gal").recorded[0]["id"]
    second = talk.say("dishes 1 gal").recorded[0]["id"]
    assert talk.say("undo").recorded[0]["of"] == second
    undone = talk.say("undo")
    assert undone.recorded[0]["of"] == first
    assert talk.say("redo").recorded[0]["of"] == undone.recorded[0]["id"]


def test_undo_takes_back_all_of_a_turn(talk: Talk) -> None:
    """Two events of one phrase go together."""
    booked = talk.say("shower 2 gal and dishes 1.5").recorded
    assert set(talk.say("undo").recorded[0]["of"]) == {one["id"] for one in booked}


def test_level_is_the_same_after_use_and_undo(talk: Talk) -> None:
    """Undo leaves no trace in what is believed."""
    before = talk.say("status").facts["tanks"]
    talk.say("shower 2 gal")
    talk.say("undo")
    assert talk.say("status").facts["tanks"] == before


@pytest.mark.parametrize(
    ("first", "correction", "field", "value"),
    [
        ("shower used 2 gal", "make that 3", "litres", 3 * GALLON),
        ("shower used 2 gal", "no, dishes", "activity", "dishes"),
        ("shower used 2 gal", "that was Ana", "person", "Ana"),
        ("two showers", "make that three", "count", 3),
        ("dumped grey", "actually it was black", "tank", "black"),
        ("meter 12.2", "sorry, I meant 14.2", "litres", 14.2 * GALLON),
    ],
)
def test_correction_amends_the_last_event(talk: Talk, first: str, correction: str, field: str, value: object) -> None:
    """The changed field stands in the amend under the event's own name."""
    booked = talk.say(first).recorded[0]["id"]
    reply = talk.reopened().say(correction)
    amended = reply.recorded[0]
    assert (amended["kind"], amended["of"]) == ("amend", booked)
    assert amended[field] == (pytest.approx(value) if isinstance(value, float) else value)


def test_correction_of_the_day_moves_the_event(talk: Talk) -> None:
    """ "I meant yesterday" changes when it happened."""
    talk.say("shower used 2 gal")
    reply = talk.say("I meant yesterday")
    assert str(reply.recorded[0]["at"])[:10] == "2026-06-08"


def test_same_again_books_the_same_for_now(talk: Talk) -> None:
    """Same activity and litres, another person where one is named."""
    talk.say("Ana showered, 2 gal")
    reply = talk.say("the same again for Joss", at("09T09:00"))
    assert reply.recorded[0]["person"] == "Joss"
    assert reply.recorded[0]["litres"] == pytest.approx(2 * GALLON)
    assert reply.recorded[0]["at"] == at("09T09:00")


@pytest.mark.parametrize("again", ["Joss too", "same for Joss", "and Joss as well"])
def test_the_same_is_what_was_told_last_whenever_it_was(talk: Talk, again: str) -> None:
    """The dishes happened later than yesterday's shower, but the shower was told last: that, and then."""
    talk.say("dishes 1 gal")
    first = talk.say("Ana showered 2 gal yesterday").recorded[0]
    other = talk.reopened().say(again).recorded[0]
    assert (other["activity"], other["person"], other["at"]) == ("shower", "Joss", first["at"])


def test_whether_another_was_then_too_is_asked(talk: Talk) -> None:
    """Nobody else is named, so it may be one of now."""
    talk.say("Ana showered 2 gal yesterday")
    assert talk.say("the same again").outcome == "asked"
    assert str(talk.say("yes").recorded[0]["at"])[:10] == "2026-06-08"


def test_the_same_as_which_of_two_is_asked(talk: Talk) -> None:
    """One turn booked a shower and the dishes."""
    talk.say("Ana showered 2 gal and did the dishes with 1 gal")
    assert talk.say("Joss too").outcome == "asked"
    assert kinds(talk) == []


def test_the_same_again_of_two_people_is_of_both(talk: Talk) -> None:
    """They did the same, and do it once more."""
    talk.say("Ana and Bo showered, 2 gal each")
    assert [one["person"] for one in talk.say("same again").recorded] == ["Ana", "Bo"]


def test_before_and_after_in_two_turns_is_one_measured_use(talk: Talk) -> None:
    """The later reading completes the earlier one."""
    talk.say("meter before the shower 12.3")
    reply = talk.say("meter after the shower 14.6", at("09T08:15"))
    assert kinds(talk) == ["use", "meter"]
    assert reply.recorded[0]["litres"] == pytest.approx(2.3 * GALLON)


@pytest.mark.parametrize(
    "after", ["14.6", "now it says 14.6", "and 14.6 afterwards", "finished at 14.6", "it's at 14.6 now"]
)
def test_a_bare_number_closes_an_open_use(talk: Talk, after: str) -> None:
    """Where a reading before was told, the number that follows is the one after; a lower one is asked about."""
    talk.say("meter before the shower 12.3")
    reply = talk.say(after, at("09T08:15"))
    assert [one["kind"] for one in reply.recorded] == ["use", "meter"]
    assert reply.recorded[0]["litres"] == pytest.approx(2.3 * GALLON)


def test_a_date_that_has_just_passed_is_not_taken_for_next_year(talk: Talk) -> None:
    """ "Till June 1", said on the 9th, is asked about; a yes takes it, as does the year."""
    assert talk.say("staying till June 1").outcome == "asked"
    assert talk.say("two guests till June 2").recorded == ()
    assert talk.say("staying till June 1 2027").outcome == "recorded"
    talk.say("we're staying until June 3")
    assert str(talk.say("yes").recorded[0]["until"])[:10] == "2027-06-03"


def test_lower_reading_is_asked_and_reset_confirms_it(talk: Talk) -> None:
    """Nobody said so, so it is asked; "I reset it" books the reading."""
    talk.say("meter 30", at("11T08:00"))
    assert talk.say("meter 20").outcome == "asked"
    reply = talk.say("I reset it")
    assert reply.outcome == "recorded"
    assert any(one["kind"] == "meter" and one["reset_before"] for one in reply.recorded)


def test_new_activity_needs_a_yes(talk: Talk) -> None:
    """Then it is an activity like any other."""
    assert talk.say("rock tumbling used 3 gal").outcome == "asked"
    assert talk.say("yes").recorded[0]["activity"] == "rock tumbling"
    assert talk.say("rock tumbling 2 gal").outcome == "recorded"


def test_statement_and_question_in_one_phrase_do_both(talk: Talk) -> None:
    """The statement is recorded, the question answered over the world with it."""
    reply = talk.say("shower 2 gal, can we make it to Sunday?")
    assert reply.outcome == "recorded"
    assert reply.facts["topic"] == "make_it"


def test_follow_up_asks_the_last_question_for_another_day(talk: Talk) -> None:
    """ "What about Thursday?" needs no subject."""
    talk.say("can we make it to Sunday?")
    reply = talk.reopened().say("what about Thursday?")
    assert reply.facts["topic"] == "make_it"
    assert str(reply.facts["until"])[:10] == "2026-06-11"


def test_departure_with_gear_out_is_challenged(talk: Talk) -> None:
    """It is closed only by a yes, or by the gear stowed."""
    talk.say("regulator is on the spigot")
    assert talk.say("we left", at("14T10:00")).outcome == "asked"
    assert talk.say("no").recorded == ()
    talk.say("put the regulator away")
    assert talk.say("we left").outcome == "recorded"


def test_dry_run_records_nothing(talk: Talk) -> None:
    """It answers as if, and the next turn knows nothing of it."""
    reply = talk.conversation.say("shower 2 gal", now=talk.now, dry_run=True)
    assert reply.outcome == "recorded"
    assert all(entry.heard != "shower 2 gal" for entry in talk.conversation.log.entries())


def test_future_event_is_asked(talk: Talk) -> None:
    """A report cannot lie ahead."""
    assert talk.say("The shower tomorrow evening used 2 gal").recorded == ()


def test_use_in_litres_once_told(talk: Talk) -> None:
    """A bare number is in the units that the person uses."""
    talk.say("use litres")
    reply = talk.say("shower 8")
    assert reply.recorded[0]["litres"] == pytest.approx(8.0)
    assert " L" in reply.answer


@pytest.mark.parametrize(
    ("said", "topic"),
    [("can we make it to sunday", "make_it"), ("how many showers are left", "showers"), ("when do we need to dump", "runway"),
     ("what if we skip showers", "what_if"), ("how full is grey", "status"), ("how much can i put in black", "rinse_limit")],
)  # fmt: skip
def test_of_a_rig_without_tanks_nothing_is_promised(tmp_path: Path, said: str, topic: str) -> None:
    """No odds and no levels where no tank was told, but what to say first."""
    empty = Talk(tmp_path / "empty.db", rigged=False)
    reply = empty.say(said)
    empty.close()
    assert (reply.outcome, reply.facts["topic"], reply.facts["tanks"]) == ("answered", topic, [])
    assert "I know no tanks yet" in reply.answer and "%" not in reply.answer


@pytest.mark.parametrize(
    "said",
    [
        "we leave in 99999999999 days", "shower used 2 gal 99999999999 days ago", "two people till 9999-12-31",
        "at Heron Bend for 999999999 nights", "staying 1000000 nights", "dishes 1 gal on 0001-01-01", "low of 25 on 9999-12-31",
        "remind me to check the hoses every 900000000000 days", "will grey last 99999999 days", "what if we stay 99999999 nights",
    ],
)  # fmt: skip
def test_what_no_calendar_holds_is_refused(talk: Talk, said: str) -> None:
    """Neither booked at some other date nor taken for a fault of the program."""
    reply = talk.say(said)
    assert reply.outcome == "refused" and "nothing was recorded" in reply.answer


def test_an_arrival_as_planned_brings_what_was_told_of_the_stop(talk: Talk) -> None:
    """Until when, and with what, was said when the stop was planned; what is said on arrival goes first, and another site gets nothing."""
    talk.say("next Harrow Wood from Sunday until the 18th, full hookups", at("10T09:00"))
    early = talk.say("arrived at Harrow Wood, no sewer", at("13T14:00"))
    assert "as planned" in early.answer and early.recorded[0]["sewer"] is False and early.recorded[0]["until"] is None
    stay = talk.conversation.world.stay
    assert (stay.until, stay.water, stay.sewer) == (at("18T11:00"), True, False)
    talk.say("undo", at("13T14:01"))
    talk.say("arrived at Cedar Flat", at("13T15:00"))
    assert talk.conversation.world.stay.until is None and talk.conversation.world.stay.water is None


def test_a_kind_of_tank_never_told_is_asked_for_its_size(tmp_path: Path) -> None:
    """Who has told of fresh alone is asked for the size of grey, in the units in use, and nothing is booked."""
    bare = Talk(tmp_path / "bare.db", rigged=False)
    for said in ("use litres", "fresh tank 100 litres"):
        bare.say(said)
    for said in ("grey is half full", "dumped grey", "how full is grey", "how much can I put in black"):
        reply = bare.say(said)
        assert reply.outcome == "asked" and "litres" in reply.answer and not reply.recorded
    bare.close()


def test_a_letter_can_stand_for_a_word_or_for_a_whole_phrase(tmp_path: Path) -> None:
    """For large hands and few characters: what it means is the owner's choice, and it can be taken back like all else."""
    talk = Talk(tmp_path / "water.db")
    for taught in (
        "when I say s I mean shower",
        "when I say w I mean will grey last till Sunday",
        "when I say c I mean coffee 0.25 gal",
    ):
        assert talk.say(taught).outcome == "recorded", taught
    assert talk.say("s 2").recorded[0]["activity"] == "shower"
    assert talk.say("W?").facts["topic"] == "make_it"
    (booked,) = talk.say("c").recorded
    assert booked["activity"] == "coffee" and booked["litres"] == pytest.approx(0.25 * GALLON, abs=1e-3)
    assert talk.reopened().say("dumped c").outcome == "not_understood"
    talk.close()


def test_a_black_tank_that_overflows_is_full_and_dangerous(talk: Talk) -> None:
    """What comes up through the toilet brings the caution; a sensor that says so, or a full grey tank, does not."""
    talk.say("the sensor says black is full")
    assert not talk.replies[-1].cautions
    reply = talk.say("black is overflowing")
    assert (reply.recorded[0]["kind"], reply.recorded[0]["fraction"]) == ("level", 1.0)
    assert any("toilet" in one for one in reply.cautions)
    assert not talk.say("grey overflowed").cautions


def test_a_use_told_as_a_correction_is_new_where_nothing_like_it_was_booked(talk: Talk) -> None:
    """ "that was Tove in the shower, 9 litres": after a shower it corrects, after a dump it is a report."""
    talk.say("dumped grey", at("09T08:00"))
    fresh = talk.say("that was Tove in the shower, 9 litres", at("09T08:01"))
    assert fresh.outcome == "recorded" and fresh.recorded[0]["kind"] == "use" and fresh.recorded[0]["person"] == "Tove"
    again = talk.say("that was Ana in the shower, 8 litres", at("09T08:02"))
    assert again.recorded[0]["kind"] == "amend" and again.recorded[0]["person"] == "Ana"


def test_mine_is_the_speakers_use_or_another_one(talk: Talk) -> None:
    """ "mine was 8" changes the speaker's own shower; after somebody else's it is one more."""
    talk.say("Tove showered, 3 gal", at("09T08:00"))
    mine = talk.say("mine was 2", at("09T08:01"))
    assert [one["kind"] for one in mine.recorded] == ["use"] and mine.recorded[0]["person"] is None
    again = talk.say("mine was 4", at("09T08:02"))
    assert [one["kind"] for one in again.recorded] == ["amend"]
    talk.say("dumped grey", at("09T08:03"))
    assert talk.say("mine was 5", at("09T08:04")).outcome == "asked"


@pytest.mark.parametrize(
    ("said", "again"),
    [("shower 2.2 gal", "make that 2.2"), ("meter 12", "make that 12 gal"), ("shower 2", "mine was 2")],
)
def test_a_correction_to_what_is_booked_already_says_so(talk: Talk, said: str, again: str) -> None:
    talk.say(said)
    reply = talk.say(again)
    assert reply.outcome == "asked" and reply.recorded == ()
    assert "stands like that already" in reply.answer


def test_a_use_that_is_named_with_what_it_was_not_is_corrected_and_not_booked_twice(talk: Talk) -> None:
    """ "the cooking was 2 litres, not 1" goes for the cooking, whatever was told since; without one it is a report."""
    talk.say("cooking 1 litre", at("09T08:00"))
    talk.say("shower 2 gal", at("09T08:01"))
    other = talk.say("the cooking was 2 litres, not 1", at("09T08:02"))
    assert [one["kind"] for one in other.recorded] == ["amend"] and other.recorded[0]["litres"] == pytest.approx(2.0)
    fresh = talk.say("dishes took 3 litres, not 4", at("09T08:03"))
    assert [one["kind"] for one in fresh.recorded] == ["use"] and fresh.recorded[0]["litres"] == pytest.approx(3.0)


def test_which_one_of_a_turn_is_corrected_and_asked_where_there_was_but_one(talk: Talk) -> None:
    """ "the first one was 3" goes for the first of what the last turn booked."""
    talk.say("shower 2 gal, dishes 1 gal", at("09T08:00"))
    first = talk.say("no the first one was 3", at("09T08:01"))
    assert first.outcome == "recorded" and "shower" in first.answer
    talk.say("coffee a quart", at("09T08:02"))
    assert talk.say("no the first one was 3", at("09T08:03")).outcome == "asked"


def test_a_report_that_was_asked_about_is_named_when_another_takes_its_place(talk: Talk) -> None:
    """What waits for an answer is not forgotten without a word; what is said anew is no loss, nor is a question."""
    assert talk.say("dumped on the way in and filled fresh").outcome == "asked"
    assert 'Still not booked: "dumped on the way in and filled fresh".' in talk.say("flushed").answer
    assert talk.say("shower used 100 gal").outcome == "asked"
    assert "Still not booked" not in talk.say("shower used 10 gal").answer
    talk.say("can we make it to Sunday")
    assert "Still not booked" not in talk.say("flushed").answer


def test_a_fill_that_would_have_run_over_is_asked_about(talk: Talk) -> None:
    talk.say("fresh tank 40 gal")
    talk.say("fresh is full")
    reply = talk.say("put 10 gal in fresh")
    assert reply.outcome == "asked" and "still had about 40 gal" in reply.answer
    assert [one["kind"] for one in talk.say("yes").recorded] == ["fill"]
    talk.say("fresh is a quarter full", at("12T08:00"))
    assert talk.say("put 20 gal in fresh", at("12T08:05")).outcome == "recorded"


def test_of_several_tanks_fed_the_fullest_is_told(talk: Talk) -> None:
    """Flushes come last, and grey is nearly full: what matters is the room in grey."""
    for said in ("grey tank 36 gal", "black tank 30 gal", "dumped grey and black", "grey is at 32 gal"):
        talk.say(said)
    reply = talk.say("two showers 2 gal in all and four flushes")
    assert "Grey has about" in reply.answer and "Black" not in reply.answer


@pytest.mark.parametrize("turns", [("shower 2 gal, dishes 1 gal",), ("shower 2 gal", "dishes 1 gal")])
def test_undo_both_takes_back_the_two_told_last(talk: Talk, turns: tuple[str, ...]) -> None:
    """In one turn or in two: both are gone, and what was told before them stays."""
    talk.say("laundry 8 gal")
    told = [event["id"] for turn in turns for event in talk.say(turn).recorded]
    gone: set[str] = set()
    for event in talk.say("undo both of those").recorded:
        gone |= {event["of"]} if isinstance(event["of"], str) else set(event["of"])
    assert gone == set(told)


def test_a_reading_taken_back_is_that_of_a_tank_or_of_a_meter(talk: Talk) -> None:
    """ "Delete that reading" finds the latest of either."""
    talk.say("meter 41.5")
    level = talk.say("grey is half full").recorded[0]["id"]
    assert talk.say("delete that reading").recorded[0]["of"] == level


@pytest.mark.parametrize(("named", "is_there"), [("dishes", True), ("shower", False)])
def test_an_entry_is_taken_back_by_the_name_it_has_now(talk: Talk, named: str, is_there: bool) -> None:
    """Told as a shower and corrected to dishes, it is the dishes."""
    booked = talk.say("shower 2 gal").recorded[0]["id"]
    talk.say("no, dishes")
    reply = talk.say(f"undo the {named}")
    assert [one["of"] for one in reply.recorded] == ([booked] if is_there else [])


@pytest.mark.parametrize(
    "said", ["cancel Cedar Flat", "undo Cedar Flat", "cancel the stop at Cedar Flat", "delete the next stop"]
)
def test_a_stop_is_cancelled_by_its_place(talk: Talk, said: str) -> None:
    """Whatever was told since stays."""
    stop = talk.say("next Cedar Flat from Sunday for four nights, no hookups").recorded[0]["id"]
    talk.say("shower 2 gal")
    assert [one["of"] for one in talk.say(said).recorded] == [stop]


def test_a_planned_use_is_cancelled_by_its_name(talk: Talk) -> None:
    """ "Cancel the laundry" is about the laundry, not about what was told last."""
    plan = talk.say("laundry on Thursday, 8 gal").recorded[0]["id"]
    talk.say("shower 2 gal")
    assert [one["of"] for one in talk.say("cancel the laundry").recorded] == [plan]
    talk.say("shower used 200 gal")
    assert talk.say("cancel the shower").answer == "All right, nothing was recorded."


def test_the_place_where_they_are_is_not_cancelled(talk: Talk) -> None:
    """The arrival at Heron Bend was yesterday."""
    assert talk.say("cancel Heron Bend").recorded == ()


def test_a_fill_to_the_brim_took_what_the_meter_moved_by(tmp_path: Path) -> None:
    """On the pump nothing else runs through the meter; on the hookup the house drinks from it too, so it tells nothing of the fill."""
    talk = Talk(tmp_path / "w.db")
    talk.say("we are on the pump")
    assert talk.say("filled the fresh tank to the brim, meter 41", at("09T11:05")).recorded[0]["litres"] is None
    talk.say("shower 4 gal", at("09T20:00"))
    fill = talk.say("filled the fresh tank to the brim, meter 62", at("11T08:10")).recorded[0]
    assert fill["litres"] == pytest.approx(21 * GALLON, rel=1e-3) and fill["to_full"] and not fill["estimated"]
    talk.say("switched to city water", at("11T08:20"))
    assert talk.say("filled the fresh tank to the brim, meter 90", at("12T08:10")).recorded[0]["litres"] is None
    talk.close()


def test_a_use_before_the_levels_were_last_known_says_that_it_changes_none(talk: Talk) -> None:
    """Told of yesterday morning, where grey was dumped in the evening; one told as it happens says nothing of the kind."""
    assert "so they stay as they are" in talk.say("yesterday morning I showered, 2 gal").answer
    assert "stay as they are" not in talk.say("shower 2 gal").answer


def test_as_usual_is_what_it_took_here(talk: Talk) -> None:
    """Two measured of 0.5 and 0.6 gal: so much is usual here, whatever others need."""
    for amount in ("0.5", "0.6"):
        talk.say(f"dishes {amount} gal")
        talk.say("yes") if talk.replies[-1].outcome == "asked" else None
    reply = talk.say("dishes as usual", at("09T19:00"))
    assert reply.recorded[0]["litres"] == pytest.approx(0.55 * GALLON, rel=1e-3) and reply.recorded[0]["estimated"]


def _booked_as(talk: Talk, word: str, means: str, said: str) -> list[tuple[object, ...]]:
    assert talk.say(f"when I say {word} I mean {means}").outcome == "recorded"
    kept = [(one.get("activity", one["kind"]), one.get("person"), one.get("litres")) for one in talk.say(said).recorded]
    return [(what, who, litres and round(litres / GALLON, 2)) for what, who, litres in kept]


@pytest.mark.parametrize(
    "word, means, said, booked",
    [
        ("the usual", "shower 2 gal", "the usual for Joss", ("shower", "Joss", 2)),
        ("the usual", "shower 2 gal", "Joss had the usual", ("shower", "Joss", 2)),
        ("the usual", "shower 2 gal", "the usual yesterday", ("shower", None, 2)),
        ("the usual", "shower 2 gal", "the usual twice", ("shower", None, 4)),
        ("Junior", "Joss", "Junior showered 2 gal", ("shower", "Joss", 2)),
        ("Max", "the dog", "Max drank 1 gal", ("pets", None, 1)),
        ("tub", "fresh", "filled the tub", ("fill", None, None)),
        ("bucket", "3 gal", "dishes took a bucket", ("dishes", None, 3)),
    ],
)
def test_a_taught_word_is_the_words_it_stands_for(
    talk: Talk, word: str, means: str, said: str, booked: tuple[object, ...]
) -> None:
    talk.say("Joss did the dishes, 1 gal")
    assert _booked_as(talk, word, means, said) == [booked]


@pytest.mark.parametrize(
    "word, means, said",
    [
        ("the usual", "shower 2 gal", "two of the usual"),
        ("bucket", "3 gal", "dishes took half a bucket"),
        ("bucket", "3 gal", "washed the bucket with 1 gal"),
        ("morning round", "coffee 1 litre and dishes 1 gal", "morning round yesterday"),
        ("morning round", "coffee 1 litre and dishes 1 gal", "morning round for Joss"),
        ("rt", "rock tumbling", "rt 2 gal"),
    ],
)
def test_a_taught_word_is_no_name_of_an_activity(talk: Talk, word: str, means: str, said: str) -> None:
    """Counted, or several things of which one cannot tell with which the day goes: nothing is booked."""
    assert _booked_as(talk, word, means, said) == [] and talk.replies[-1].outcome == "not_understood"


def test_a_word_that_was_taught_means_that_and_nothing_else(talk: Talk) -> None:
    """ "Splash" is a little water, until somebody means by it that hands were washed."""
    talk.say("when I say splash I mean handwash")
    reply = talk.say("splash 1 quart")
    assert [one["activity"] for one in reply.recorded] == ["handwash"]
