"""What a tired person hears: sums that add up, no slip booked unasked, a rinse that runs at once, an undo that takes back the right thing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.live import Live
from state.log.merge import export, merge
from tests.talking import GALLON, Talk, at


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[Talk]:
    """A rig of which only the sizes were told: no level, no reading."""
    opened = Talk(tmp_path / "bare.db", rigged=False)
    for phrase in ("fresh tank 40 gal", "grey tank 36 gal", "black tank 30 gal", "two people"):
        opened.say(phrase)
    yield opened
    opened.close()


def gallons(text: str) -> list[float]:
    return [float(one) for one in re.findall(r"(\d+(?:\.\d+)?) gal", text)]


# ---------------------------------------------------------------- what adds up


def test_what_is_held_and_what_is_free_make_up_the_tank(talk: Talk) -> None:
    """Whoever hears both numbers can add them: within the rounding they are the 36 gallons told."""
    for use in ("two showers, 12 gal", "laundry 14 gal", "shower 5 gal"):
        talk.say(use)
        held, size, room, *_ = gallons(talk.say("how full is grey").answer)
        assert size == 36
        assert held + room == pytest.approx(36, abs=1.01)


def test_the_pencil_gets_the_room_that_was_said(talk: Talk) -> None:
    """Day by day: the steps of why add up exactly to the level, a share times what is unlogged to its step, the capacity less the level
    to the room, and that is the room of the status before it."""
    for day, turns in enumerate(
        (["two showers, 12 gal", "meter 14.2"], ["dishes 1.5", "shower", "meter 21.7"], ["meter 30.4"], ["laundry 7.3 gal"])
    ):  # fmt: skip
        for said in turns:
            talk.say(said, at(f"{9 + day:02}T20:00"))
        found = talk.say("how full is grey", at(f"{10 + day:02}T07:00")).facts["tanks"]
        room = next(tank for tank in found if tank["name"] == "grey")["room_litres"]["p50"] / GALLON
        lines = talk.say("why", at(f"{10 + day:02}T07:00")).answer.splitlines()
        steps = [line for line in lines if line.startswith(("Grey,", "plus", "minus"))]
        signed = [(-1 if line.startswith("minus") else 1) * gallons(line)[0] for line in steps]
        made, holds, left = (
            gallons(next(line for line in lines if line.startswith(a)))[0] for a in ("Makes", "It holds", "So")
        )
        assert round(sum(signed), 6) == made, lines
        assert round(holds - made, 6) == left, lines
        assert left == pytest.approx(room, abs=0.051)
        for line in steps:
            if "times" in line and "gal" in line.partition("times")[0]:
                share = float(line.rpartition("times ")[2])
                assert gallons(line)[-1] * share == pytest.approx(gallons(line)[0], abs=0.11), line


def test_why_starts_where_the_tank_was_seen_empty(bare: Talk) -> None:
    """What was guessed before is no part of it; a level seen later, that contradicts, is: as what it changed."""
    bare.say("grey is empty", at("08T19:00"))
    bare.say("shower used 2 gal", at("08T20:00"))
    first, *rest = bare.say("why", at("08T20:01")).answer.splitlines()
    assert (
        first.startswith("Grey, as you saw it")
        and gallons(first)[0] < 1
        and not any("unexplained" in one for one in rest)
    )
    bare.say("grey is half full", at("08T20:30"))
    bare.say("yes", at("08T20:30"))
    assert "unexplained" in bare.say("why", at("08T20:31")).answer


def test_why_calls_metered_only_what_the_meter_counted(bare: Talk) -> None:
    """What ran between the dump and the zeroing of the counter is a guess, in a line of its own with its hours."""
    bare.say("dumped grey", at("09T08:00"))
    bare.say("reset the meter", at("09T15:00"))
    bare.say("dishes 1.5 gal", at("09T18:30"))
    bare.say("meter 8.4", at("09T21:00"))
    lines = bare.say("why", at("09T21:01")).answer.splitlines()
    assert any("metered 8.4 gal less 1.5 gal logged is 6.9 gal" in line for line in lines), lines
    assert any("expected in 7 hours that no reading covers" in line for line in lines), lines
    bare.say("reset the meter", at("10T07:00"))
    bare.say("meter 3", at("10T12:00"))
    lines = bare.say("why", at("10T12:01")).answer.splitlines()
    assert any("metered 11.4 gal less 1.5 gal logged" in line for line in lines), lines
    assert any("expected in 17 hours that no reading covers" in line for line in lines), lines


def test_why_of_a_tank_nobody_told_owns_up_to_the_guess(bare: Talk) -> None:
    """Half of 36 gallons stands there as the guess that it is, not as something told."""
    bare.say("shower used 2 gal")
    first = bare.say("why").answer.splitlines()[0]
    assert "until told" in first and gallons(first) == [18.0]


def test_a_gap_in_why_says_when_it_was_seen(talk: Talk) -> None:
    """The contradicted level is named by its moment."""
    talk.say("grey is half full")
    assert "today at 8:00" in talk.say("why").answer.splitlines()[-1]


def test_what_was_used_takes_in_what_was_just_said(talk: Talk) -> None:
    """An entry of this very minute is part of today."""
    talk.say("shower used 3 gal")
    assert talk.say("what did we use today").facts["activities"][0]["litres"] == pytest.approx(3 * GALLON)
    assert "3 gal" in talk.say("show the last ten").answer


# ---------------------------------------------------------------- what is known


def test_an_unknown_level_is_asked_for_once_a_day(bare: Talk) -> None:
    """Not after every entry; and once told it is never unknown again."""
    assert "don't know yet" in bare.say("shower used 2 gal").answer
    assert "don't know" not in bare.say("dishes 1 gal").answer
    assert "don't know yet" in bare.say("shower used 2 gal", at("10T08:00")).answer
    bare.say("grey is empty")
    for day in ("12T08:00", "16T08:00"):
        assert "don't know" not in bare.say("how full is grey", at(day)).answer


def test_a_rinse_limit_without_a_level_says_what_is_missing(bare: Talk) -> None:
    """It does not claim that the tank may be full already."""
    answer = bare.say("how much can I put in black").answer
    assert "Nobody has told" in answer and "full already" not in answer


def test_a_rinse_limit_of_a_tank_that_is_not_there_says_so(tmp_path: Path) -> None:
    """A van without a black tank is not asked which, but how big it is if there is one."""
    van = Talk(tmp_path / "van.db", rigged=False)
    van.say("grey tank 16 gal")
    reply = van.say("how much can I put in black")
    assert reply.outcome in ("refused", "asked") and "no black tank" in reply.answer
    van.close()


# ---------------------------------------------------------------- slips


@pytest.mark.parametrize("slip", ["forty showers", "thirty baths"])
def test_more_big_uses_than_anyone_has_are_asked(talk: Talk, slip: str) -> None:
    """A yes books them as said."""
    assert talk.say(slip).outcome == "asked"
    assert talk.say("yes").outcome == "recorded"


@pytest.mark.parametrize(
    "fine", ["twelve flushes", "five showers", "four kids washed their hands", "brushed teeth 6 times"]
)
def test_many_small_uses_are_believed(talk: Talk, fine: str) -> None:
    """A family's day in one report is no slip."""
    assert talk.say(fine).outcome == "recorded"


def test_the_usual_amount_in_a_question_is_never_nothing(talk: Talk) -> None:
    """Hands take a tenth of a gallon; that is what is expected."""
    answer = talk.say("washed hands, 20 gal").answer
    assert "nothing" not in answer and "I'd expect about 0." in answer


def test_a_level_against_what_was_just_said_is_asked_once(talk: Talk) -> None:
    """Dumped a moment ago, and now 30 of 36 gallons: a slip more likely than not; a yes is believed. The day after it is believed at once."""
    assert talk.say("grey is at 30 gal").outcome == "recorded"
    talk.say("dumped grey")
    assert talk.say("grey is at 30 gal").outcome == "asked"
    assert talk.reopened().say("yes").outcome == "recorded"


def test_a_second_look_at_a_level_is_believed(talk: Talk) -> None:
    """Who said a quarter may say a half a moment later: stated anew or corrected, it is not asked about."""
    talk.say("grey is at a quarter")
    assert talk.say("grey is at half").outcome == "recorded"
    assert talk.say("no sorry, three quarters").recorded[0]["fraction"] == 0.75


@pytest.mark.parametrize(
    "said", ["grey is full", "grey is half full", "grey is at a third", "the sensor says grey is at 80 percent"]
)
def test_ordinary_statements_of_a_level_are_believed(talk: Talk, said: str) -> None:
    """Full and empty, moderate surprises, and a panel that is known to lie are never asked about."""
    assert talk.say(said).outcome == "recorded"


def test_a_no_after_a_recording_offers_to_take_it_back(talk: Talk) -> None:
    """It says what it would take back; a yes does, across calls; a no later on is only a no."""
    booked = talk.say("shower used 2 gal").recorded[0]["id"]
    assert talk.say("no").answer == 'Take back "shower used 2 gal"?'
    assert talk.reopened().say("yes").recorded[0]["of"] == booked
    talk.say("status")
    assert talk.say("no").outcome == "answered"


def test_a_no_to_the_offer_keeps_the_entry(talk: Talk) -> None:
    """Nothing is taken back."""
    talk.say("shower used 2 gal")
    talk.say("no")
    assert talk.say("no").recorded == ()


# ---------------------------------------------------------------- the rinse by the clock


def test_a_rinse_by_minutes_runs_before_its_flow_is_known(talk: Talk) -> None:
    """It says when to shut it and asks how fast it runs; what is left can be asked; the flow then books both from its start."""
    started = talk.say("rinsing the black tank for five minutes")
    assert started.outcome == "asked" and "8:05" in started.answer and started.recorded == ()
    assert "4 minutes" in talk.say("how long is left", at("09T08:01")).answer
    booked = talk.reopened().say("one gallon took 30 seconds", at("09T08:02")).recorded
    assert [one["kind"] for one in booked] == ["flow", "rinse"]
    assert booked[1]["litres"] == pytest.approx(10 * GALLON)
    assert booked[1]["at"] == at("09T08:00")
    assert booked[1]["estimated"] is True
    assert "3 minutes" in talk.say("how long is left").answer


def test_a_rinse_stopped_early_is_booked_for_the_time_it_ran(talk: Talk) -> None:
    """Two minutes of five, at the flow told afterwards."""
    talk.say("rinsing the black tank for five minutes")
    assert talk.say("stop the rinse", at("09T08:02")).outcome == "asked"
    booked = talk.say("2 gallons a minute", at("09T08:03")).recorded
    assert booked[-1]["litres"] == pytest.approx(4 * GALLON, rel=0.02)


def test_how_long_is_left_speaks_of_the_tanks_while_no_rinse_runs(talk: Talk) -> None:
    """The same words, and the runway as ever."""
    assert talk.say("how long is left").facts["topic"] == "runway"


# ---------------------------------------------------------------- from another device


def test_undo_after_an_import_is_about_what_was_said_here(talk: Talk, tmp_path: Path) -> None:
    """The other phone's shower stays; this phone's dishes go, and after them nothing of the other's."""
    other = Talk(tmp_path / "other.db", rigged=False)
    theirs = other.say("shower used 3 gal").recorded[0]["id"]
    mine = talk.say("dishes 1 gal").recorded[0]["id"]
    assert len(merge(talk.conversation.log, export(other.conversation.log)).added) == 1
    other.close()
    assert talk.reopened().say("undo").recorded[0]["of"] == mine
    assert talk.say("undo the shower").recorded[0]["of"] == theirs


# ---------------------------------------------------------------- how it sounds


def test_people_who_did_the_same_are_said_in_one_breath(talk: Talk) -> None:
    """Two names, one shower, the amount each."""
    assert talk.say("Ana and Joss showered, 2 gal each").answer.startswith("Ana and Joss: shower, 2 gal each.")


def test_gear_that_went_the_same_way_shares_a_verb(talk: Talk) -> None:
    """Not "hose outside and regulator outside"."""
    assert "hose and regulator outside" in talk.say("the hose and the regulator are out at the spigot").answer.lower()


def test_a_tote_too_heavy_is_told_in_both_units(talk: Talk) -> None:
    """Whoever counts in litres thinks in kilograms."""
    talk.say("grey is half full")
    assert "(23 kg)" in " ".join(talk.say("took 12 gal of grey away in the tote").cautions)


def test_a_correction_after_an_undo_does_not_reach_further_back(talk: Talk) -> None:
    """The shower is gone; "make that 3" must not change the fill before it."""
    talk.say("shower 2 gal")
    talk.say("undo")
    reply = talk.say("make that 3")
    assert reply.outcome == "asked" and reply.recorded == ()


def test_hauling_more_than_can_be_there_is_asked(talk: Talk) -> None:
    """Half of 36 gallons and a tote run of 30."""
    talk.say("grey is half full")
    assert talk.say("took 30 gal of grey away in the tote").outcome == "asked"
    assert talk.say("took 15 gal of grey away in the tote").outcome == "recorded"


def test_a_correction_that_changes_nothing_is_not_called_one(talk: Talk) -> None:
    """ "No, a long one" says nothing that the log could hold; and the usual amount stays marked as such through a count."""
    talk.say("Ben took a short shower")
    assert talk.say("no, a long one").recorded == ()
    talk.say("two showers")
    assert talk.say("make that three").recorded[0]["estimated"] is True


def test_the_usual_amount_stays_so_marked_in_the_list(talk: Talk) -> None:
    """After a change of the count the list still says that nobody measured it."""
    talk.say("two showers")
    talk.say("make that three")
    assert "about 6 gal (usual amount)" in talk.say("show the last ten").answer


def test_a_use_without_a_name_can_be_given_one(talk: Talk) -> None:
    """A new name wants a yes; the use is the same, under it."""
    booked = talk.say("used 3 gal").recorded[0]["id"]
    assert talk.say("call it rock tumbling").outcome == "asked"
    named = talk.reopened().say("yes").recorded[0]
    assert (named["kind"], named["of"], named["activity"]) == ("amend", booked, "rock tumbling")


def test_a_stay_without_an_end_is_not_given_one_in_the_plan(talk: Talk) -> None:
    """The plan looks two weeks ahead; that is not when they leave."""
    talk.say("at Willow Creek, water but no sewer")
    answer = talk.say("plan the next two weeks").answer
    assert "for the next 14 days" in answer and "until" not in answer.splitlines()[0]


@pytest.mark.parametrize("phrase", ["can we make it to next Thursday", "plan the next two weeks"])
def test_a_deadline_is_said_once_and_plainly(talk: Talk, phrase: str) -> None:
    """Neither "by around midday" nor an hour of the night."""
    talk.say("grey is half full")
    answer = talk.say(phrase, at("10T08:00")).answer
    assert "by around" not in answer and not re.search(r"by \w+ at [0-5]:", answer)


def test_a_step_of_nothing_is_not_in_why(talk: Talk) -> None:
    """No "plus 0.0 gal"."""
    talk.say("shower used 2 gal")
    assert not re.search(r"(plus|minus) 0\.0 ", talk.say("why").answer)


def test_the_weight_of_a_tank_nobody_told_of_is_called_a_guess(bare: Talk) -> None:
    """Half full is only where the reckoning starts."""
    bare.say("grey is empty")
    assert "Fresh and black are only a guess" in bare.say("how much does our water weigh").answer


def test_a_report_after_a_question_is_not_taken_for_its_answer(talk: Talk) -> None:
    """ "Zoe flushed 3 times" says nothing about how much a wash of hands took."""
    assert talk.say("washed hands, some water").outcome == "asked"
    reply = talk.say("Zoe flushed 3 times")
    assert [(one["activity"], one["count"]) for one in reply.recorded] == [("toilet", 3)]


def test_declining_to_take_back_says_that_the_entry_stays(talk: Talk) -> None:
    """Not that nothing was recorded, which would be untrue."""
    talk.say("shower used 2 gal")
    talk.say("no")
    assert talk.say("no").answer == "All right, it stays."


def test_repeat_that_is_asked_before_it_books(talk: Talk) -> None:
    """It may as well mean: say that again."""
    talk.say("shower used 2 gal")
    assert talk.say("repeat that").answer == 'Book "shower used 2 gal" once more?'
    assert talk.say("yes").recorded[0]["litres"] == pytest.approx(2 * GALLON)


def test_the_chat_counts_down_a_rinse_whose_flow_is_still_asked(talk: Talk) -> None:
    """The screen shows what is left of it, though nothing of it is booked."""
    live = Live(talk.conversation, lambda: talk.now)
    assert live.countdown() is None
    live.say("rinsing the black tank for five minutes")
    running = live.countdown()
    assert running is not None and running.left.total_seconds() == 300
    talk.now = at("09T08:06")
    assert live.rinse_ended() == "black"


def test_minutes_are_reckoned_with_at_the_flow_that_was_told(talk: Talk) -> None:
    """Flow times minutes, in the echo, in what one takes and in how many are left; before a flow was told, the usual one is named as such."""
    assert "about 6 gal (four minutes at a usual 1.5 gal a minute)" in talk.say("showered for 4 minutes").answer
    talk.say("undo")
    talk.say("flow is 2 gpm")
    assert talk.say("how much does a 5 minute shower use").answer == "Five minutes at 2 gal a minute: about 10 gal."
    left = talk.say("can I take a 5 minute shower")
    assert left.facts["litres_each"] == pytest.approx(10 * GALLON)
    assert left.facts["count"]["p50"] == 3 and "of five minutes at 2 gal a minute, 10 gal each" in left.answer


def test_how_full_a_tank_was_is_told_of_that_moment(bare: Talk) -> None:
    """By what had happened until then, in the past; what came since is left out."""
    bare.say("dumped grey", at("08T09:00"))
    bare.say("shower used 5 gal", at("08T18:00"))
    bare.say("dumped grey", at("09T07:00"))
    then = bare.say("how full was grey yesterday evening", at("09T08:00"))
    assert then.answer.startswith("Yesterday at 19:30: grey held")
    assert then.facts["at"].startswith("2026-06-08T19:30")
    (grey,) = [one for one in then.facts["tanks"] if one["name"] == "grey"]
    assert grey["level_litres"]["p50"] > 5 * 3.785
    assert "knew of no tank" in bare.say("how full was grey in May", at("09T08:00")).answer


def test_what_was_used_is_not_more_than_the_meter_counted(bare: Talk) -> None:
    """Logged were 14 gal, metered 8: the answer says 8, and that more was logged."""
    bare.say("dumped grey, reset the meter", at("09T20:00"))
    bare.say("shower 8 gal", at("10T08:00"))
    bare.say("dishes 6 gal", at("10T09:00"))
    bare.say("meter 8", at("10T20:00"))
    told = bare.say("what did we use today", at("10T20:01"))
    assert told.answer.startswith("Today: about 8 gal by the meter") and told.answer.endswith("which is more.")
    assert told.facts["litres"] == pytest.approx(8 * 3.785, rel=0.05)


def test_a_tank_that_would_have_run_over_is_asked_after(bare: Talk) -> None:
    """60 gal logged into 36, and no dump told: said once a day, and not once the dump is told."""
    bare.say("dumped grey and black, reset the meter", at("10T08:00"))
    told = [bare.say("shower 10 gal", at(f"10T{hour:02}:00")) for hour in range(9, 15)]
    spoken = [any("grey would have run over" in one for one in reply.cautions) for reply in told]
    assert sum(spoken) == 1 and not any(spoken[:3]), spoken
    bare.say("dumped grey yesterday evening", at("11T10:00"))
    again = bare.say("shower 10 gal", at("12T11:00"))
    assert not any("run over" in one for one in again.cautions)


def test_what_ran_between_an_evening_reading_and_a_morning_one_is_told_of_both_days_once(bare: Talk) -> None:
    """5 gal by six in the evening, 30 by eight in the morning: the two days come to 30."""
    bare.say("reset the meter", at("10T00:01"))
    bare.say("meter 5", at("10T18:00"))
    bare.say("meter 30", at("11T08:00"))
    days = [bare.say(f"what did we use {day}", at("11T08:01")).facts["litres"] for day in ("yesterday", "today")]
    assert min(days) > 5 * 3.785
    assert sum(days) == pytest.approx(30 * 3.785, rel=0.02)
