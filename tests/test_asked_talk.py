"""Questions as several people ask them, in whole turns on the usual rig: what is answered, for when, and that nothing is booked by it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.talking import GALLON, Talk, at, told

ASKED = """
make it to 11 tonight | make_it 2026-06-09T23:00
can we make it to 11 tonight | make_it 2026-06-09T23:00
will grey last till 6 tomorrow evening | make_it 2026-06-10T18:00
will we make it to 3 on Saturday afternoon | make_it 2026-06-13T15:00
make it to Friday | make_it 2026-06-12T10:00
could we stay another night | make_it 2026-06-15T11:00
can we stay two more nights | make_it 2026-06-16T11:00
can we stretch the stay by two days | make_it 2026-06-16T11:00
could we go another five days like this | make_it 2026-06-14T10:00
do we have room in grey till half past nine thursday morning | make_it 2026-06-11T09:30
reckon the tanks'll see us to Thursday arvo? | make_it 2026-06-11T15:00
how many tote runs till Sunday | make_it 2026-06-14
how many dumps till Sunday | make_it 2026-06-14
how many tote runs do we need | make_it 2026-06-14
how many tote runs have we done | history
can we stay longer | runway
how long do we have with my parents here | what_if
how long have we got with two extra people | what_if
how are we with the in-laws here till Saturday | what_if
one less shower a day | what_if
two fewer showers a week | what_if
would one less shower a day do it | what_if
what would two more days do to us | what_if
did we forget to dump | history
did I forget to empty the black | history
did we dump yesterday | history
we filled the fresh tank what day was that | history
We filled the fresh tank. What day was that? | history
we dumped the black, when was that again? | history
We dumped grey yesterday, didn't we? | history
I had a shower already, did I? | history
we've dumped haven't we | history
grey is half full, no? | status
remind me when we last filled up | history
what did the meter say this morning | history
how do we leave | checklist
how do we leave >> what should I do next | checklist
can we make it to Friday >> what should I do next | make_it
how many more days do we have before something's full? | runway
how much days we can still stay with this water? | runway
how many nights can we do | runway
how much water goes down every time we flush | activity
how many times can we flush | showers
what does a shower cost us in water | activity
is it showers or dishes that use most | activity
per day what do we use | activity
are we low on fresh | status
what've we got left in the tank | status
any space left in the grey | status
how much bleach for 40 gallons at 50 ppm | dose
how much does the water on board way | weight
can we make it to Friday >> sorry, I meant Saturday | make_it 2026-06-13
can we make it to Friday >> no, Saturday | make_it 2026-06-13
can we make it to Friday >> not Friday, Saturday | make_it 2026-06-13
how full is grey >> I meant the black one | status
how much does a shower use >> And the dishes? | activity
how many showers are left >> and loads of laundry? | showers
can we make it to Sunday >> what if we skip showers >> and laundry? | what_if
when is the filter due >> And the anode? | due
how long do we have >> for fresh? | runway
The kids swear they only take two minutes. What does a shower in this thing really use? | activity
just woke up, hows the fresh | status
Right then, before I put the kettle on, how's the fresh looking? | status
my sister wants us to stay till Saturday, can the tanks handle it? | make_it 2026-06-13
we got a storm coming in so we ain't moving till Sunday, will grey hold? | make_it 2026-06-14
is a load of laundry on Saturday doable | what_if
ok for me to do the dishes? | what_if
ok to have a shower? | showers
if I empty black now how long do we have | what_if
supposing my two brothers come Thursday | what_if
how much do I use | activity
has anyone emptied the black | history
how long have we been here | history
are we getting low on water | status
how much drinking water is on board | status
which one do I need to watch | runway
does anything need doing | due
bleach needed for 50 ppm in fresh with 6% bleach | dose
how do we set up when we arrive | checklist
can we last 36 hours | make_it 2026-06-10T20
are we good for the next 48 hours | make_it 2026-06-11T08
can we make it to a week from Saturday | make_it 2026-06-20
will we last until half six on Friday | make_it 2026-06-12T06:30
Hello dear, it's only me. How much water is there left for us? | status
how's t'grey doing? | status
When we must empty the tank? | runway
enough for a shower | showers
what was it we used yesterday | history
how many gallons a day are we burning through | activity
did I mention the shower this morning | history
we dumped did we | history
any room for the dishes tonight | showers
what difference does skipping the dishes make | what_if
is it worth doing a tote run tonight | what_if
what does that leave | status
where does that leave us | status
will grey last till Thursday noon >> the black one too? | make_it 2026-06-11T12
"""

OF_OTHERS = """
when does the camp office open
how long will the diesel last
how full is the battery
is there enough gas to get to Sunday
will it rain till Sunday
do we have enough bread for the weekend
how much does a new tank cost
where did I put my glasses
can the dog swim
how do I fix a leaking tap
any good restaurants around here?
"""


@pytest.fixture(scope="module")
def talk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Talk]:
    opened = Talk(tmp_path_factory.mktemp("asked") / "water.db")
    yield opened
    opened.close()


@pytest.mark.parametrize("line", ASKED.strip().splitlines())
def test_a_question_is_answered_and_nothing_is_booked(talk: Talk, line: str) -> None:
    said, _, wanted = line.partition(" | ")
    topic, _, until = wanted.partition(" ")
    replies = [talk.say(each) for each in said.split(" >> ")]
    assert not any(one.recorded for one in replies)
    assert (replies[-1].outcome, replies[-1].facts.get("topic")) == ("answered", topic), replies[-1].answer
    if until:
        assert str(replies[-1].facts["until"].isoformat()).startswith(until)


@pytest.mark.parametrize("said", OF_OTHERS.strip().splitlines())
def test_a_question_about_other_things_is_not_taken_for_one_about_water(talk: Talk, said: str) -> None:
    assert talk.say(said).outcome == "not_understood"


@pytest.fixture
def fresh(tmp_path: Path) -> Iterator[Talk]:
    opened = Talk(tmp_path / "water.db")
    yield opened
    opened.close()


def test_a_correction_after_a_question_that_speaks_of_no_such_thing_goes_to_the_entry(fresh: Talk) -> None:
    """ "How full is grey" speaks of no amount, use or past day: those are of the shower before it."""
    shower = fresh.say("shower used 2 gal").recorded[0]["id"]
    fresh.say("how full is grey")
    for said, name in (("make that 3", "litres"), ("no, dishes", "activity"), ("I meant yesterday", "at")):
        [amended] = fresh.say(said).recorded
        assert (amended["kind"], amended["of"]) == ("amend", shower) and name in amended
    assert fresh.say("how much does a shower use").outcome == "answered"


def test_make_it_till_friday_changes_an_end_told_just_before(fresh: Talk) -> None:
    fresh.say("staying till Saturday")
    assert fresh.say("make it till Friday").recorded[0]["until"] == at("12T11:00")


def test_another_use_after_a_question_of_something_else_is_asked_about(fresh: Talk) -> None:
    fresh.say("can we make it to Sunday")
    reply = fresh.say("and the dishes?")
    assert reply.outcome == "asked" and "dishes" in reply.answer


def test_why_after_words_not_understood_is_about_those(fresh: Talk) -> None:
    """An older answer is not what was just read."""
    fresh.say("how full is grey")
    assert fresh.say("the wombat zorks").outcome == "not_understood"
    assert "wombat" in fresh.say("why").answer


def test_bleach_is_measured_for_the_strength_in_the_water_that_is_named(fresh: Talk) -> None:
    """Twice as strong takes twice as much; beyond 200 mg/L is refused (figures_safety: STRONGEST_MG_PER_LITRE)."""
    usual, double = (fresh.say(f"how much bleach for 40 gallons at {ppm} ppm").facts for ppm in (50, 100))
    assert usual["litres"] == pytest.approx(40 * GALLON, rel=1e-3) and double["mg_per_litre"] == 100
    assert double["millilitres"] == pytest.approx(2 * usual["millilitres"], rel=1e-6)
    assert fresh.say("how much bleach for 40 gallons at 500 ppm").outcome == "refused"


def test_guests_without_a_number_are_asked_about(fresh: Talk) -> None:
    assert fresh.say("how long can we last with guests").outcome == "asked"


def test_one_shower_less_a_day_saves_more_than_one_in_all(fresh: Talk) -> None:
    daily = fresh.say("one less shower a day").facts["probability"]
    assert (
        daily
        > fresh.say("one less shower").facts["probability"]
        > fresh.say("can we make it to Sunday").facts["probability"]
    )


def test_a_correction_or_a_pressure_is_booked_beside_the_question_behind_it(fresh: Talk) -> None:
    fresh.say("shower used 2 gal")
    reply = fresh.say("no, it was 3 gal. How full is grey now?")
    assert [one["kind"] for one in reply.recorded] == ["amend"] and reply.facts["topic"] == "status"
    for said in (
        "gauge reads 62 psi, is that safe?",
        "Pressure is 55 psi. Is that too much?",
        "pressure gauge shows 48 psi, all good?",
    ):
        assert [one["kind"] for one in fresh.say(said).recorded] == ["pressure"]
    assert not fresh.say("is 62 psi too much for the hose?").recorded


def test_how_many_tote_runs_is_answered_with_tote_runs(fresh: Talk) -> None:
    """Not with every way out; and none are needed for a day."""
    reply = fresh.say("how many tote runs till Sunday")
    assert "three tote runs" in reply.answer and "shower" not in reply.answer
    assert {way["kind"] for way in reply.facts["ways"]} == {"haul"}
    assert fresh.say("how many tote runs till tomorrow").answer.startswith("Nothing needs to be done")


@pytest.mark.parametrize(
    "said",
    [
        "shower used 2 gal mate",
        "to be honest the shower took 4 gallons",
        "real quick, shower used 2 gal",
        "dishes 1.5 gal for us",
        "showered, 3 gal for me",
        "in total 5 gal for showers",
        "shower from half six, 3 gal",
    ],
)
def test_what_is_said_softly_in_a_question_does_not_stop_a_report(fresh: Talk, said: str) -> None:
    assert [one["kind"] for one in fresh.say(said).recorded] == ["use"]


def test_the_day_before_is_the_one_before_that_which_was_told(fresh: Talk) -> None:
    """And a day that is named is that day alone, not the end of a stretch."""
    asked = ("what did we use yesterday", "and the day before", "and the day before that", "and today")
    days = [fresh.say(said, at("12T08:00")).facts["from"].day for said in asked]
    assert days == [11, 10, 9, 12]
    assert fresh.replies[-1].facts["until"].day == 13


def test_a_day_is_called_by_its_name(fresh: Talk) -> None:
    assert fresh.say("what did we use on sunday").answer.startswith("On Sunday")


def test_no_more_is_left_than_the_tank_was_told_to_hold(fresh: Talk) -> None:
    """Its true size is in doubt, but 42 of 40 gallons make nobody wiser."""
    fresh.say("filled the fresh tank")
    said = fresh.say("how full is fresh").answer
    assert "left of 40 gal" in said and not any(f"and {more} gal" in said for more in range(41, 50)), said


def test_answers_read_as_sentences(fresh: Talk) -> None:
    """They begin with a capital, count uses and not times, and speak of "one of you" only to two."""
    assert fresh.say("shower about half").answer.startswith("About half is no amount")
    fresh.say("Dell showered, 2 gal")
    assert fresh.say("what did Dell use today").answer == "Today: Dell, about 2 gal in one use."
    assert "for one of you" in fresh.say("what if one of us skips showers").answer
    fresh.say("I am alone")
    assert "of you" not in fresh.say("what if one of us skips showers").answer


def test_a_misspelt_lead_of_a_question_is_no_arrival(tmp_path: Path) -> None:
    reply = told(tmp_path, "At thsi rate when is the grey full?")
    assert (reply.outcome, reply.recorded) == ("answered", ())
