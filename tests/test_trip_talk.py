"""What is said of the trip and kept by the world: dates with a stroke, absences with a length, returns at an hour, hookups, a waste tank."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.talking import GALLON, Talk, at


@pytest.mark.parametrize(("units", "date"), [("use gallons", "2026-07-08"), ("use litres", "2026-08-07")])
def test_a_date_with_a_stroke_is_read_as_those_write_it_who_use_the_units(talk: Talk, units: str, date: str) -> None:
    """7/8 is in July for one who counts in US gallons and in August for one who counts in litres; the answer says which."""
    talk.say(units)
    reply = talk.say("staying till 7/8")
    assert reply.recorded[0]["until"].date().isoformat() == date
    assert ("July" if date[6] == "7" else "August") in reply.answer


def test_a_date_that_can_be_read_in_one_order_only_is_read_so(talk: Talk) -> None:
    """14/6 names no fourteenth month."""
    assert talk.say("staying till 14/6").recorded[0]["until"].date().isoformat() == "2026-06-14"


def test_a_stay_until_next_summer_is_asked_about_where_a_stroke_may_have_meant_another_month(talk: Talk) -> None:
    """6/8 said on the ninth of June would be a year ahead: the month is asked for by its name."""
    assert talk.say("staying till 6/8").outcome == "asked"
    assert talk.say("6 August").recorded[0]["until"].date().isoformat() == "2026-08-06"


def test_an_absence_lasts_as_long_as_was_said(talk: Talk) -> None:
    """Two nights from now; and two more on top of those."""
    first = talk.say("we're off for two nights").recorded[0]
    assert (first["kind"], first["until"].day) == ("away", 11)
    assert talk.say("we're off another two nights").recorded[0]["until"].day == 13


def test_an_hour_still_to_come_is_when_those_who_are_away_return(talk: Talk) -> None:
    """Said in the morning, "back 16:15" tells the end of the absence; with nobody away it is asked about, not booked for yesterday."""
    assert talk.say("back 16:15").outcome == "asked"
    talk.say("heading out")
    told = talk.say("back 16:15").recorded[0]
    assert (told["kind"], told["until"].hour, told["until"].day) == ("away", 16, 9)


def test_hooked_up_is_the_water_where_the_site_is_known_to_have_it(talk: Talk) -> None:
    """At a site of which nothing is known it is asked; a yes books it."""
    assert talk.say("hooked up").recorded[0]["from"] == "hookup"
    asked = talk.say("hooked up at Cedar Flat")
    assert asked.outcome == "asked" and not asked.recorded
    assert [one["kind"] for one in talk.say("yes").recorded] == ["arrive", "supply"]


def test_a_waste_tank_beside_a_grey_one_is_asked_about(talk: Talk) -> None:
    """It may be the grey tank that is meant, or the black one: no third tank is made of it."""
    assert talk.say("the waste tank holds 90 litres").outcome == "asked"
    told = talk.say("black").recorded[0]
    assert (told["tank"], told["litres"]) == ("black", 90.0)


def test_a_rig_of_which_only_a_waste_tank_is_told_has_one_for_all(tmp_path: Path) -> None:
    """Nothing else is known: it takes what the sink and the toilet give."""
    talk = Talk(tmp_path / "log.db", rigged=False)
    told = talk.say("our waste tank is 90 litres").recorded[0]
    assert (told["tank"], told["tank_kind"]) == ("waste", "grey")
    talk.close()


def test_which_tank_is_answered_with_the_amount_beside_it(talk: Talk) -> None:
    """ "The grey tank, about thirteen gallons" says where it came from, and is no size of a tank."""
    talk.say("grey is at 20 gallons")
    assert talk.say("hauled a tote").outcome == "asked"
    told = talk.say("the gray tank about thirteen gallons").recorded[0]
    assert (told["kind"], told["tank"], told["litres"]) == ("haul", "grey", pytest.approx(13 * GALLON, rel=1e-3))


@pytest.mark.parametrize("phrase", ["one more night", "one more night, so Monday now"])
def test_nights_more_said_alone_are_asked_about_as_a_longer_stay(talk: Talk, phrase: str) -> None:
    """Nothing is booked before a yes; then the stay ends a day later."""
    ends = talk.say("at Heron Bend till Sunday").recorded[0]["until"]
    asked = talk.say(phrase)
    assert (asked.outcome, asked.recorded) == ("asked", ())
    stay = talk.say("yes").recorded[0]
    assert (stay["kind"], (stay["until"].date() - ends.date()).days) == ("stay", 1)


def test_away_on_a_day_to_come_and_back_on_it_is_one_absence(talk: Talk) -> None:
    """ "Back by bedtime" is the end of that absence, and nobody is away now."""
    found = talk.say("away Friday, back by bedtime").recorded
    assert [one["kind"] for one in found] == ["expect"]
    assert found[0]["until"].date() == found[0]["from"].date()


def test_an_arrival_without_a_name_is_at_the_stop_that_is_planned_if_a_yes_says_so(talk: Talk) -> None:
    """What was told of the stop holds then; another place that is named is that place."""
    talk.say("next Cedar Flat from Thursday till Saturday, no hookups")
    asked = talk.say("arrived", at("11T09:00"))
    assert asked.outcome == "asked" and "Cedar Flat" in asked.answer
    reply = talk.say("yes")
    assert reply.recorded[0]["site"] == "Cedar Flat" and "Saturday" in reply.answer
    assert talk.say("can we make it").facts["until"] == at("13T11:00")


def test_an_arrival_long_before_a_planned_stop_is_no_arrival_there(talk: Talk) -> None:
    """Thursday's stop is two days off: nothing is asked of it on Tuesday."""
    talk.say("next Cedar Flat from Thursday till Saturday, no hookups")
    assert talk.say("arrived").recorded[0]["site"] is None


def test_a_later_visit_stays_planned_when_the_first_begins(talk: Talk) -> None:
    """Cedar Flat is planned twice; arriving there on Thursday is the first of the two."""
    for said in ("next Cedar Flat from Thursday till Saturday", "then Mill Farm till the 18th, water and sewer"):
        talk.say(said)
    talk.say("then Cedar Flat till the 22nd, no hookups")
    talk.say("at Cedar Flat", at("11T09:00"))
    rows = talk.say("plan").facts["rows"]
    assert [row["stop"] for row in rows] == ["Cedar Flat", "Mill Farm", "Cedar Flat"]


def test_who_is_back_before_the_planned_end_is_no_longer_reckoned_away(talk: Talk) -> None:
    """Away from Saturday to Monday, back on Saturday: water is used until Sunday."""
    talk.say("away from Saturday to Monday")
    talk.say("we're back", at("13T12:00"))
    assert talk.say("can we make it to Sunday").facts["use_litres"]["p50"] > 10


def test_a_party_that_has_gone_home_is_not_reckoned_with(talk: Talk) -> None:
    """Four till Friday: on Saturday there are two, in the forecast as in a report of everybody."""
    talk.say("can we make it to Sunday", at("13T08:00"))
    two = talk.replies[-1].facts["use_litres"]["p50"]
    talk.say("four people till Friday", at("09T08:00"))
    assert talk.say("can we make it to Sunday", at("13T08:00")).facts["use_litres"]["p50"] == pytest.approx(two)
    assert talk.say("everybody showered").recorded[0]["count"] == 2


def test_a_plan_after_the_end_of_the_stay_looks_ahead(talk: Talk) -> None:
    """The stay was to end on Sunday and nothing was said since: the plan is for the days to come, not for the next hour."""
    rows = talk.say("plan", at("15T09:00")).facts["rows"]
    assert rows[0]["leave"] > at("20T00:00")


def test_a_report_that_names_the_place_is_no_arrival(talk: Talk) -> None:
    """What was told of the stay (until when, with which hookups) stands."""
    assert [one["kind"] for one in talk.say("shower 2 gal at Heron Bend").recorded] == ["use"]
    assert talk.say("opened the grey valve").outcome == "asked"
    assert talk.say("can we make it").facts["until"] == at("14T11:00")


def test_the_place_said_once_more_adds_to_the_stay(talk: Talk) -> None:
    """ "At Heron Bend till Monday", said there: another end, and still no sewer."""
    talk.say("at Heron Bend till Monday")
    assert talk.say("opened the grey valve").outcome == "asked"
    row = talk.say("where are we now").facts["rows"][0]
    assert (row["until"], row["water"], row["sewer"]) == (at("15T11:00"), True, False)
    assert row["since"] == at("08T18:00")


def test_what_was_used_on_a_stay_is_told_by_its_name_or_as_the_last(talk: Talk) -> None:
    """Heron Bend until the 10th, then Cedar Flat: each by itself."""
    talk.say("shower 2 gal")
    talk.say("at Cedar Flat till Friday", at("10T10:00"))
    talk.say("shower 3 gal")
    talk.now = at("10T12:00")
    for said, litres in (
        ("what did we use at Heron Bend", 2),
        ("what did we use on the last stay", 2),
        ("what did we use at Cedar Flat", 3),
    ):
        assert talk.say(said).facts["logged_litres"] == pytest.approx(litres * GALLON)
    assert talk.say("what did we use at Mill Farm").outcome == "answered"


@pytest.mark.parametrize("words", ["heading out", "we're off"])
def test_going_off_without_a_word_where_to_is_warned_of_what_is_still_outside(talk: Talk, words: str) -> None:
    """It may be for the day or for good; what hangs on the tap is named, and the absence is booked all the same."""
    talk.say("the hose and the regulator are on the spigot")
    reply = talk.say(words)
    assert [one["kind"] for one in reply.recorded] == ["away"]
    assert reply.cautions == (
        "The hose and the regulator are still outside: if you are leaving for good, stow them first.",
    )


def test_a_walk_with_the_hose_on_the_tap_is_not_warned_about(talk: Talk) -> None:
    """Where they go to was said: nobody drives off."""
    talk.say("hose is on the spigot")
    assert talk.say("off for a hike").cautions == ()


def test_leaving_over_open_steps_of_the_list_names_the_next(talk: Talk) -> None:
    """The departure is booked, but not without a word of what was not ticked off."""
    talk.say("leaving")
    talk.say("done")
    reply = talk.say("heading out")
    assert [one["kind"] for one in reply.recorded] == ["depart"]
    assert reply.cautions[0].startswith(
        "Of the leaving list eight steps are still open, the next: Close every waste valve"
    )


def test_going_to_town_over_open_steps_of_the_list_is_told_too(talk: Talk) -> None:
    """An errand in the middle of packing up: away, and the list goes on later."""
    talk.say("leaving")
    talk.say("done")
    talk.say("shower 2 gal")
    assert talk.say("off to town").cautions[0].startswith("Of the leaving list eight steps are still open")


@pytest.mark.parametrize(
    "words", ["no guests after all", "they're not coming", "guests cancelled", "nobody is coming after all"]
)
def test_guests_who_do_not_come_are_no_longer_expected(talk: Talk, words: str) -> None:
    """The entry is taken back, whatever words say so."""
    talk.say("two guests from Friday to Sunday")
    assert [one["kind"] for one in talk.say(words).recorded] == ["undo"]


@pytest.mark.parametrize(
    "words", ["only one guest", "only one is coming", "actually just one guest", "one guest, not two"]
)
def test_fewer_guests_change_what_is_expected(talk: Talk, words: str) -> None:
    """Two aboard and one more, from the same day to the same day."""
    talk.say("two guests from Friday to Sunday")
    changed = talk.say(words).recorded[0]
    assert (changed["kind"], changed["people"]) == ("amend", 3)


def test_guests_nobody_expected_are_asked_about(talk: Talk) -> None:
    """Nothing is taken back that was never told, nor the guests of another name."""
    assert talk.say("no guests after all").outcome == "asked"
    talk.say("two friends from Friday to Sunday")
    assert talk.say("mum isn't coming").outcome == "asked"
    assert talk.say("no").recorded == ()


def test_guests_that_were_planned_are_there_when_their_day_has_come(talk: Talk, tmp_path: Path) -> None:
    """What the forecast reckoned with on Friday is believed on Saturday: four fill more than two, and everybody is all of them."""
    two = Talk(tmp_path / "two.db")
    talk.say("two guests from Friday to Sunday")
    levels = []
    for home in (two, talk):
        home.say("dumped grey", at("12T09:00"))
        levels.append(home.say("status", at("13T10:00")).facts["tanks"][1]["level_litres"]["p50"])
    two.close()
    assert levels[1] > 1.4 * levels[0]
    assert talk.say("everybody showered").recorded[0]["count"] == 4


def test_who_says_how_many_they_are_need_not_take_back_the_guests(talk: Talk) -> None:
    """Two of four have gone on Saturday: from then on they are two, before Sunday too."""
    talk.say("two guests from Friday to Sunday")
    talk.say("two people", at("13T12:00"))
    two = talk.say("can we make it to Sunday").facts["use_litres"]["p50"]
    assert talk.say("everybody showered").recorded[0]["count"] == 2
    talk.say("four people", at("13T12:10"))
    assert talk.say("can we make it to Sunday").facts["use_litres"]["p50"] > 1.3 * two


def test_a_valve_opened_on_arrival_is_at_the_new_site(talk: Talk) -> None:
    """What the phrase said before counts: the site that was left had no sewer."""
    talk.say("at Heron Bend, water but no sewer")
    reply = talk.say("pulled into Alder Cove till Friday with full hookups and opened the grey valve")
    assert [one["kind"] for one in reply.recorded] == ["arrive", "valve"]


def test_an_hour_that_is_still_to_come_is_asked_about_when_one_set_off(talk: Talk) -> None:
    """ "We set off at ten" at eight in the morning may be a plan."""
    reply = talk.say("we set off at ten", now=at("09T08:00"))
    assert (reply.outcome, list(reply.recorded)) == ("asked", [])
    assert talk.say("we set off at quarter past seven", now=at("09T08:00")).recorded[0]["kind"] == "depart"


def test_guests_come_on_top_of_those_told_in_the_same_phrase(talk: Talk) -> None:
    talk.say("two people")
    reply = talk.say("four of us plus a guest from Friday")
    assert [(one["kind"], one["people"]) for one in reply.recorded] == [("party", 4), ("expect", 5)]


def test_guests_who_come_while_others_are_here_are_counted_beside_them(talk: Talk) -> None:
    """Two aboard, two guests until Sunday, and a sister on Saturday: five, and three when the two have left."""
    talk.say("two guests from Friday to Sunday")
    sister = talk.say("my sister is coming Saturday to Monday").recorded
    assert [(one["people"], one["from"].day, one["until"].day) for one in sister] == [(5, 13, 14), (3, 14, 15)]
    later = talk.say("a friend comes on Tuesday until Thursday").recorded
    assert [one["people"] for one in later] == [3]


def test_guests_who_come_after_others_have_left_are_not_counted_with_them(talk: Talk) -> None:
    """Who is aboard now counts only as long as they stay."""
    talk.say("two guests till Thursday")
    assert [one["people"] for one in talk.say("a friend from Friday to Sunday").recorded] == [3]


def test_how_many_we_are_in_all_is_not_counted_on_top(talk: Talk) -> None:
    """ "Six of us" says how many are aboard, whoever was expected."""
    talk.say("two guests from Friday to Sunday")
    assert [one["people"] for one in talk.say("six of us from Friday to Sunday").recorded] == [6]


@pytest.mark.parametrize("words", ["heading out for 3 hours, back at 5", "out for 2 hours, back at 5 pm"])
def test_when_they_mean_to_be_back_counts_more_than_for_how_long(talk: Talk, words: str) -> None:
    """Of two that do not agree the hour is the plan."""
    assert talk.say(words).recorded[0]["until"].hour == 17


def test_a_place_and_a_day_alone_may_be_an_outing(talk: Talk) -> None:
    """Whether "we go to …" is the next stop is asked; with nights it is settled."""
    assert talk.say("we go to Sorrel Landing on Sunday").outcome == "asked"
    assert talk.say("yes").recorded[0]["site"] == "Sorrel Landing"
    assert talk.say("we go to Fern Hollow on Wednesday for two nights").outcome == "recorded"


def test_a_stop_after_an_arrival_of_the_same_phrase_begins_when_that_stay_ends(talk: Talk) -> None:
    """The stay that ends is the one just told, not the one before it; and an arrival without an end is no hindrance."""
    came, then = talk.say("at Otter Flats till Friday, then Cedar Flat for two nights").recorded
    assert (came["kind"], then["kind"], then["from"], then["until"].day) == ("arrive", "stop", came["until"], 14)
    came, then = talk.say("arrived at Mill Farm, next Cedar Flat from Friday").recorded
    assert (came["site"], then["site"], then["from"].day) == ("Mill Farm", "Cedar Flat", 12)


def test_back_to_a_place_is_a_stop_after_the_one_told_before(talk: Talk) -> None:
    """ "From Sunday" belongs to the first of the two."""
    talk.say("at Heron Bend till Saturday")
    first, second = talk.say("two nights at Cedar Flat from Sunday, then back to Heron Bend").recorded
    assert (first["site"], first["from"].day, first["until"].day) == ("Cedar Flat", 14, 16)
    assert (second["site"], second["from"]) == ("Heron Bend", first["until"])


@pytest.mark.parametrize("before", ["heading out", "we're back"])
def test_just_me_after_a_going_or_a_coming_may_be_who_went_or_came(talk: Talk, before: str) -> None:
    """It is asked whether one is aboard from now on."""
    talk.say(before)
    asked = talk.say("just me")
    assert asked.outcome == "asked" and not asked.recorded
    assert talk.say("yes").recorded[0]["people"] == 1
