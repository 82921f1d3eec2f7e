"""The answers of the practitioner's round: sentences in the person's units, facts in litres and kilograms, cautions beside them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import cycle, product
from typing import Any

import pytest

from assistant.answers import checklist as checklist_answers
from assistant.answers import dose, due, pressure, rinse, sites, weight
from assistant.say import beside, cautions
from assistant.scene import Answer, AskBack, CannotBe, Scene
from grammar.intents import Amount, Ask
from state.care import checklist
from state.entry import Entry
from state.water.fold import fold

T0 = datetime(2026, 6, 8, 18, tzinfo=UTC)
NOW = T0 + timedelta(hours=14)
GALLON, POUND, PSI = 3.785411784, 0.45359237, 6.894757293168361
DEFAULTS: dict[str, dict[str, Any]] = {
    "upkeep": {"every_days": None, "every_litres": None, "drop": False, "snooze_until": None},
    "step": {"before": None, "after": None, "drop": False, "mark": None},
    "meter": {"reset_before": False, "rolled_over": False, "before": None},
    "rig": {"gone": False, "tank": None, "litres": None, "kilograms": None, "of": None, "value": None},
    "arrive": {"water": None, "sewer": None, "until": None},
}


def entry(kind: str, at: datetime = T0, **fields: Any) -> Entry:
    own = {"id": f"{kind}{at:%d%H%M%S}", "kind": kind, "at": at, "heard_at": at, "heard": "", "said": ()}
    return Entry({**own, **DEFAULTS.get(kind, {}), **fields})


def tank(name: str, gallons: float) -> Entry:
    return entry("rig", what="tank", tank=name, tank_kind=name, litres=gallons * GALLON)


RIG = (
    tank("fresh", 40),
    tank("grey", 36),
    tank("black", 30),
    entry("rig", what="tote", litres=15 * GALLON),
    entry("arrive", site="Heron Bend", water=True, sewer=False, until=T0 + timedelta(days=6, hours=-7)),
    entry("dump", tank="grey"),
    entry("dump", tank="black"),
    entry("fill", tank="fresh", litres=None, to_full=True, estimated=False, through_meter=None),
)


def scene(*more: Entry, units: str = "us", now: datetime = NOW, rig: Sequence[Entry] = RIG) -> Scene:
    events = sorted([*rig, *more], key=lambda one: one.at)
    world = fold(events)
    world.rig.units = units  # type: ignore[assignment]
    return Scene(world, now, lambda: events)


# ---------------------------------------------------------------- dose


def test_dose_for_the_fresh_tank_is_told_in_kitchen_measures_with_its_caution() -> None:
    """40 gal to 50 mg/L with 6 %: 4.27 fl oz (worked target of the published formula)."""
    found = dose.answer(Ask(topic="dose"), scene())
    assert found.facts["millilitres"] == pytest.approx(4.27 * 29.5735295625, rel=0.003)
    assert (found.facts["tank"], found.facts["mg_per_litre"], found.facts["bleach_percent"]) == ("fresh", 50.0, 6.0)
    assert "4.3 fl oz" in found.text and "6 hours" in found.text
    assert found.cautions == ("bleach",)


def test_dose_takes_the_strength_said_and_the_units_used() -> None:
    """8.25 %: 3.10 fl oz; litres for those who use them."""
    found = dose.answer(Ask(topic="dose", percent=8.25), scene(units="metric"))
    assert found.facts["millilitres"] == pytest.approx(3.10 * 29.5735295625, rel=0.004)
    assert "92 mL" in found.text
    assert "label" not in found.text


def test_strength_may_come_as_the_amount() -> None:
    """ "Six percent bleach" read as an amount is the strength, not a volume of water."""
    assert dose.answer(Ask(topic="dose", amount=Amount(5.25, "percent")), scene()).facts["bleach_percent"] == 5.25


def test_heater_that_was_told_is_treated_too() -> None:
    """A heater of 6 gal adds its share."""
    more = entry("rig", what="heater", litres=6 * GALLON)
    assert dose.answer(Ask(topic="dose"), scene(more)).facts["litres"] == pytest.approx(46 * GALLON)


def test_dose_without_a_tank_is_asked_and_for_a_waste_tank_refused() -> None:
    """No size, no dose; bleach is not for waste tanks."""
    with pytest.raises(AskBack):
        dose.answer(Ask(topic="dose"), scene(rig=()))
    with pytest.raises(CannotBe):
        dose.answer(Ask(topic="dose", tank="black"), scene())
    with pytest.raises(CannotBe):
        dose.answer(Ask(topic="dose", percent=0.0), scene())


def test_drinking_dose_names_both_rows_and_the_authority() -> None:
    """EPA and CDC, one gallon: 8 drops of 5 to 6 %, 6 of 8.25 %, 30 minutes."""
    found = dose.answer(Ask(topic="dose", subject="drinking"), scene())
    assert "8 drops" in found.text and "6 drops" in found.text and "30 minutes" in found.text
    assert found.cautions == ("drinking",)


def test_no_drinking_dose_for_a_strength_without_a_row() -> None:
    """7.5 % is in no official table, so no number is given."""
    found = dose.answer(Ask(topic="dose", subject="drinking", percent=7.5), scene())
    assert found.facts["millilitres"] is None
    assert "label" in found.text


# ---------------------------------------------------------------- weight


def test_full_fresh_tank_weighs_eight_and_a_third_pounds_a_gallon() -> None:
    """40 gal at 15 degrees weigh 333.5 lb (8.3379 lb/gal, IAPWS-95); within 1 % of what is believed to be in it."""
    here = scene(now=T0)
    found = weight.answer(Ask(topic="weight", tank="fresh"), here)
    litres = here.belief.tanks["fresh"].level.quantile(0.5)
    assert found.facts["kilograms"] == pytest.approx(litres / GALLON * 8.3379 * POUND, rel=0.001)
    assert "lb" in found.text


def test_total_is_the_sum_of_its_rows() -> None:
    """What is said in all is what the tanks add up to."""
    facts = weight.answer(Ask(topic="weight"), scene()).facts
    assert facts["kilograms"] == pytest.approx(sum(row["kilograms"] for row in facts["tanks"]))
    assert {row["name"] for row in facts["tanks"]} == {"fresh", "grey", "black"}


def test_water_above_its_limit_is_cautioned_and_below_has_room() -> None:
    """A limit of 100 kg with a full fresh tank: over; of 1000 kg: under."""
    over = weight.answer(Ask(topic="weight"), scene(entry("rig", what="limit", of="water_weight", value=100.0)))
    under = weight.answer(Ask(topic="weight"), scene(entry("rig", what="limit", of="water_weight", value=1000.0)))
    assert over.cautions == ("overload",) and over.facts["limit"]["left_kilograms"] < 0
    assert under.cautions == () and under.facts["limit"]["left_kilograms"] > 0


def test_departure_weight_looks_ahead_to_the_end_of_the_stay() -> None:
    """By Sunday grey has filled, so more is aboard than now while fresh is not used on the hookup."""
    now, later = (
        weight.answer(Ask(topic="weight"), scene()),
        weight.answer(Ask(topic="weight", subject="departure"), scene()),
    )
    assert later.facts["kilograms"] > now.facts["kilograms"] + 10.0


def test_full_tote_is_weighed_and_warned_about() -> None:
    """15 gal: 125 lb, far above NIOSH's 51 lb."""
    found = weight.answer(Ask(topic="weight", subject="tote"), scene())
    assert found.facts["kilograms"] == pytest.approx(15 * 8.3379 * POUND, rel=0.001)
    assert found.cautions == ("lift",)
    assert "6 gal" in found.text


def test_tote_of_unknown_size_is_asked() -> None:
    """No weight of a tote nobody described."""
    with pytest.raises(AskBack):
        weight.answer(Ask(topic="weight", subject="tote"), scene(rig=()))


# ---------------------------------------------------------------- rinse


def test_rinse_limit_is_said_rounded_down_with_meter_and_minutes() -> None:
    """What is said is never more than what surely fits, in litres, on the meter and in minutes."""
    here = scene(entry("meter", meter="rinse", litres=12 * GALLON), entry("flow", litres_per_minute=2 * GALLON))
    found = rinse.answer(Ask(topic="rinse_limit"), here)
    said = float(found.text.split("At most ")[1].split()[0])
    assert 0 <= found.facts["litres"] / GALLON - said < 0.5
    assert found.facts["stop_at_reading_litres"] == pytest.approx(12 * GALLON + found.facts["litres"])
    assert found.facts["minutes"] == pytest.approx(found.facts["litres"] / (2 * GALLON))
    assert "rinse-closed:limit" in found.cautions


def test_rinse_limit_of_an_open_valve_is_no_limit() -> None:
    """At a sewer with the valve open it runs out; the caution about a closed valve is not needed."""
    more = (
        entry("arrive", T0 + timedelta(hours=1), site="Otter Flats", water=True, sewer=True),
        entry("valve", T0 + timedelta(hours=2), tank="black", open=True),
    )
    found = rinse.answer(Ask(topic="rinse_limit"), scene(*more))
    assert found.facts["valve_open"]
    assert "rinse-closed:limit" not in found.cautions


def test_running_rinse_counts_down() -> None:
    """Four minutes started 100 seconds ago: 2 minutes 20 seconds left."""
    run = entry("rinse", NOW - timedelta(seconds=100), tank="black", litres=20.0, minutes=4.0, estimated=True)
    found = rinse.answer(Ask(topic="rinse_limit", subject="running"), scene(run))
    assert "2 minutes 20 seconds" in found.text
    assert found.facts["left_seconds"] == 140
    over = rinse.answer(Ask(topic="rinse_limit", subject="running"), scene(run, now=NOW + timedelta(minutes=10)))
    assert "off" in over.text
    assert rinse.answer(Ask(topic="rinse_limit", subject="running"), scene()).facts["running"] is False


# ---------------------------------------------------------------- due


def test_due_names_the_pressing_first_and_owns_up_to_what_it_does_not_know() -> None:
    """The filter in ten days; sanitising, hose and regulator were never told."""
    more = entry("service", NOW - timedelta(days=80), item="water_filter")
    found = due.answer(Ask(topic="due"), scene(more))
    assert found.text.startswith("The water filter is due")
    assert "I don't know when" in found.text
    assert found.facts["rows"][0]["item"] == "water_filter"


@pytest.mark.parametrize("subject", ["filter", "water filter", "water_filter", "the water filter"])
def test_one_item_is_found_by_what_people_call_it(subject: str) -> None:
    """Filter, water filter, the water filter: one item."""
    more = entry("service", NOW - timedelta(days=80), item="water_filter")
    assert due.answer(Ask(topic="due", subject=subject), scene(more)).facts["item"] == "water_filter"


def test_item_without_an_interval_gets_a_way_to_make_one() -> None:
    """What is not kept is said, with the phrase that would keep it."""
    assert "remind me" in due.answer(Ask(topic="due", subject="trombone"), scene()).text


def test_calendar_is_the_whole_answer() -> None:
    """`due calendar` prints a file."""
    from icalendar import Calendar

    more = entry("service", NOW - timedelta(days=80), item="water_filter")
    found = due.answer(Ask(topic="due", subject="calendar"), scene(more))
    events = Calendar.from_ical(found.text.replace("\n", "\r\n")).walk("VEVENT")
    assert [str(one["SUMMARY"]) for one in events] == ["The water filter"]


# ---------------------------------------------------------------- lists


def test_leaving_tells_its_first_step_and_what_is_still_outside() -> None:
    """The list's length, its first step, and the hose that is out."""
    found = checklist_answers.answer(
        Ask(topic="checklist", subject="leaving"), scene(entry("gear", item="hose", where="out"))
    )
    assert "Still outside: hose." in found.text
    assert found.facts["obstacles"][0]["items"] == ["hose"]
    assert not found.facts["complete"]


def test_unknown_list_is_asked() -> None:
    """A list nobody made is not made up."""
    with pytest.raises(AskBack):
        checklist_answers.answer(Ask(topic="checklist", subject="trombone"), scene())


def walked(word: str, here: Scene, item: str | None = None) -> Answer:
    return checklist_answers.walked("leaving", checklist.walk(here.world, "leaving", here.now, word, item), here)


def test_walking_says_the_next_step_the_reason_or_what_is_left() -> None:
    """Each word of walking has its own answer."""
    here = scene()
    assert walked("next", here).text.startswith("Next: ")
    assert (
        walked("left", here).text.startswith("Nine steps left") or "steps left of leaving" in walked("left", here).text
    )
    assert walked("why", here).text == "That decides what to fill and what to empty now."
    assert walked("back", here).text.startswith("That is the first step")
    with pytest.raises(AskBack):
        walked("done", here, "the trombone")


def test_finished_list_with_gear_out_says_that_it_is_not_finished() -> None:
    """All steps marked, the hose still out: not complete, and it says so."""
    rows = checklist.steps(scene().world, "leaving", NOW)
    marks = [
        entry("step", NOW - timedelta(minutes=30 - place), list="leaving", step=one.key, mark="done")
        for place, one in enumerate(rows)
    ]
    out = walked("left", scene(*marks, entry("gear", T0, item="hose", where="out")))
    assert "not finished" in out.text and "hose" in out.text and not out.facts["complete"]
    assert walked("left", scene(*marks)).facts["complete"]


# ---------------------------------------------------------------- places and pressure


def test_pressure_answer_carries_the_caution_only_while_it_is_a_danger_here() -> None:
    """70 psi here: caution; the same at a place we left: none."""
    high = entry("pressure", kpa=70 * PSI)
    assert pressure.answer(Ask(topic="history", subject="pressure"), scene(high)).cautions == ("pressure-high:high",)
    moved = entry("arrive", T0 + timedelta(hours=1), site="Cedar Flat")
    assert (
        pressure.answer(Ask(topic="history", subject="pressure", site="Heron Bend"), scene(high, moved)).cautions == ()
    )


def test_regulator_setting_is_said_with_any_reading() -> None:
    """40 to 50 psi; 2.8 to 3.4 bar for those who use litres; lower for a rig with a lower limit."""
    assert "40 to 50 psi" in pressure.answer(Ask(topic="history", subject="pressure"), scene()).text
    assert "2.8 to 3.4 bar" in pressure.answer(Ask(topic="history", subject="pressure"), scene(units="metric")).text
    low = entry("rig", what="limit", of="pressure", value=45 * PSI)
    assert "40 to 45 psi" in pressure.answer(Ask(topic="history", subject="pressure"), scene(low)).text


def test_place_tells_stays_pressure_and_notes() -> None:
    """What is remembered of Heron Bend in one answer."""
    more = entry("pressure", kpa=48 * PSI), entry("note", note="sulphur smell at this tap")
    found = sites.answer(Ask(topic="history", site="heron"), scene(*more))
    assert "48 psi" in found.text and "sulphur smell" in found.text
    assert sites.answer(Ask(topic="history", site="Harbor Lane"), scene()).text == "I know nothing of Harbor Lane yet."


# ---------------------------------------------------------------- beside an acknowledgement


@pytest.mark.parametrize(
    ("event", "words"),
    [
        (entry("pressure", NOW, kpa=90 * PSI), "80 psi"),
        (entry("pressure", NOW, kpa=70 * PSI), "60 psi"),
        (entry("pressure", NOW, kpa=45 * PSI), ""),
        (entry("frost", NOW, low_celsius=-4.0), "freezes"),
        (entry("frost", NOW, low_celsius=12.0), ""),
        (entry("rinse", NOW, tank="black", litres=20.0, minutes=4.0, estimated=True), "8:04"),
        (entry("note", NOW, note="tastes of chlorine"), "carbon filter"),
        (entry("note", NOW, note="the ranger is called Mo"), ""),
        (entry("gear", NOW, item="regulator", where="lost"), "pump"),
        (entry("gear", NOW, item="regulator", where="stowed"), ""),
    ],
)
def test_event_brings_its_word_or_none(event: Entry, words: str) -> None:
    """A sentence where one is called for, silence where not."""
    said = beside.beside([event], scene(event))
    assert words in said
    assert bool(said) == bool(words)


def test_hose_hung_out_before_a_frost_is_spoken_of() -> None:
    """A low of -4 tonight, the hose goes on now: drain it by then."""
    cold = entry("frost", NOW + timedelta(hours=13), low_celsius=-4.0)
    hose = entry("gear", NOW, item="hose", where="out")
    assert "drain it" in beside.beside([hose], scene(cold, hose))
    assert beside.beside([hose], scene(hose)) == ""


def test_arrival_asks_after_what_was_left_outside_and_recalls_the_place() -> None:
    """The hose was out when we left; at Heron Bend the pressure was high and the water smelled."""
    moves = (
        entry("pressure", kpa=90 * PSI),
        entry("note", note="sulphur smell at this tap"),
        entry("gear", item="hose", where="out"),
        entry("depart", T0 + timedelta(hours=2)),
        entry("arrive", T0 + timedelta(hours=4), site="Heron Bend"),
    )
    said = beside.beside([moves[-1]], scene(*moves))
    assert "Did the hose come along?" in said
    assert "sulphur" in said and "90 psi" in said
    assert "the hose" in beside.beside([moves[3]], scene(*moves[:4]))


def test_overdue_upkeep_is_brought_up_once_a_day() -> None:
    """First turn of the day yes, second no, next day again."""
    here = scene(entry("service", NOW - timedelta(days=100), item="water_filter"))
    line, memory = beside.once_a_day(here, None)
    assert "water filter" in line
    assert beside.once_a_day(here, memory) == ("", memory)
    tomorrow = Scene(here.world, NOW + timedelta(days=1), list)
    assert beside.once_a_day(tomorrow, memory)[0]
    assert beside.once_a_day(scene(), None) == ("", None)


ANSWERS = {
    "dose": dose,
    "weight": weight,
    "rinse_limit": rinse,
    "due": due,
    "checklist": checklist_answers,
    "history": sites,
}
SUBJECTS = (None, "drinking", "drinking cloudy", "hose", "tote", "limit", "departure", "running", "calendar", "filter", "leaving",
            "freezing", "where", "site", "pressure", "notes", "taste", "gear", "no such thing", "")  # fmt: skip
SOME = (None, Amount(3.0), Amount(0.0, "gallon"), Amount(-2.0, "litre"), Amount(50.0, "percent"), Amount(1.0, "tote"), Amount(0.5, "fraction"),
        Amount(None, "gallon"), Amount(2.0, "gallon/minute"), Amount(9.0, "pound"), Amount(1e9, "gallon"))  # fmt: skip


@pytest.mark.parametrize("topic", ANSWERS)
@pytest.mark.parametrize("units", ["us", "imperial", "metric"])
def test_any_question_is_answered_asked_or_refused(topic: str, units: str) -> None:
    """Whatever subject, tank, place or amount a question comes with, in any units, rig told or not: a sentence, never a crash."""
    details = cycle(({"tank": "black"}, {"tank": "trombone"}, {"site": "Heron Bend", "percent": 0.0}, {}))
    for here in (scene(units=units), scene(units=units, rig=())):
        for subject, amount in product(SUBJECTS, SOME):
            ask = Ask(topic=topic, subject=subject, amount=amount, **next(details))  # type: ignore[arg-type]
            try:
                found = ANSWERS[topic].answer(ask, here)
            except (AskBack, CannotBe) as other:
                assert str(other)
                continue
            assert found.text.strip() and found.facts["topic"] == topic
            assert all(key.split(":")[0] in cautions.TABLE for key in found.cautions)
