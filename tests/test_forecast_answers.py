"""The forecast's answers: the interface's facts, short sentences, odds in fixed words, a no with a way out."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from assistant.answers import activity, compared, forecast, history, plan, showers, what_if
from assistant.answers import ways as answer_ways
from assistant.reply import jsonable
from assistant.say import amounts, odds, times
from assistant.scene import Answer, AskBack, Scene
from grammar.intents import Amount, Ask, Change
from grammar.when import When
from state.entry import Entry
from state.habits.typical import typical
from state.water.fold import fold
from tests.rigs import DAY, MONDAY
from tests.talking import Talk
from tests.test_usage import Log

HOUR = timedelta(hours=1)
MODULES: dict[str, Callable[[Ask, Scene], Answer]] = {
    "make_it": forecast.answer, "runway": forecast.answer, "what_if": what_if.answer, "showers": showers.answer, "plan": plan.answer,
    "history": history.answer, "activity": activity.answer,
}  # fmt: skip


def household(
    until: timedelta | None = timedelta(days=6, hours=11), days: int = 10, grey_day: int = 8
) -> tuple[list[Entry], datetime]:
    """Ten metered days of about 40 litres, grey dumped on the ninth; now is the morning after."""
    log, start = Log(), MONDAY - days * DAY
    for tank, litres in (("fresh", 150.0), ("grey", 140.0), ("black", 110.0)):
        log.tell("rig", start, what="tank", tank=tank, tank_kind=tank, litres=litres)
    now = MONDAY + 8 * HOUR
    log.tell(
        "arrive",
        start,
        site="Heron Bend",
        water=True,
        sewer=False,
        until=now.replace(hour=0) + until if until else None,
    )
    for tank in ("grey", "black"):
        log.tell("dump", start, tank=tank)
    log.tell("fill", start, to_full=True)
    log.tell("meter", start, litres=0.0)
    total = 0.0
    for day in range(days):
        at = start + day * DAY
        log.tell("use", at + 8 * HOUR, activity="shower", litres=8.0, person="Ana")
        log.tell("use", at + 19 * HOUR, activity="dishes", litres=5.0, person="Joss")
        total += 36.0 + 4.0 * (day % 3)
        log.tell("meter", at + 21 * HOUR, litres=total)
        if day == grey_day:
            log.tell("dump", at + 22 * HOUR, tank="grey")
    return log.entries, now


def asked(ask: Ask, **more: Any) -> Answer:
    entries, now = household(**more)
    return MODULES[ask.topic](ask, Scene(fold(entries), now, lambda: entries))


def scene(**more: Any) -> Scene:
    entries, now = household(**more)
    return Scene(fold(entries), now, lambda: entries)


def sentences(text: str) -> int:
    return len(re.findall(r"[.?!](?=\s|$)", text))


def test_make_it_has_the_facts_of_the_interface() -> None:
    """until, probability, binding, budget and tanks with level, room, moments and chances; all of it JSON."""
    facts = jsonable(asked(Ask(topic="make_it")).facts)
    assert facts["topic"] == "make_it" and facts["until"] == "2026-06-07T11:00:00-06:00"
    assert 0.0 <= facts["probability"] <= 1.0 and facts["binding"] == "grey"
    assert facts["budget_litres_per_day"] > 0
    for tank in facts["tanks"]:
        assert {"name", "kind", "capacity_litres", "level_litres", "room_litres", "gives_out_at", "probability"} <= set(
            tank
        )
        assert (
            set(tank["gives_out_at"]) == {"p10", "p50", "p90"} == set(tank["level_litres"]) == set(tank["room_litres"])
        )
    assert facts["probability"] <= min(tank["probability"] for tank in facts["tanks"]) + 1e-6


@pytest.mark.parametrize("nights", [1, 2, 3, 4, 9])
def test_make_it_speaks_in_short_sentences_with_odds_and_a_way_out(nights: int) -> None:
    """The odds in words and number with the tight tank, then the way out: two sentences, and a way that makes it likelier, told with
    the odds that it makes."""
    found = asked(Ask(topic="make_it", nights=nights))
    chance = found.facts["probability"]
    assert sentences(found.text) <= 2
    assert odds.words(chance).lower() in found.text.lower()
    assert "%" in found.text
    if chance < 0.89:
        assert found.facts["ways"]
        assert all(way["probability"] > chance for way in found.facts["ways"])
        assert all(way["gain"] == pytest.approx(way["probability"] - chance) for way in found.facts["ways"])
        told = [way for way in found.facts["ways"] if f"{round(100 * way['probability'])} %" in found.text]
        assert told or "98 %" in found.text


def test_the_other_ways_are_those_not_told() -> None:
    """ "What else" tells the ways beside the one or two of the answer, a line each with its odds; "how" tells all of them."""
    found = asked(Ask(topic="make_it", nights=9))
    others, every = (asked(Ask(topic="make_it", nights=9, subject=subject)) for subject in ("others", "ways"))
    assert others.facts["topic"] == every.facts["topic"] == "make_it"
    assert others.facts["ways"] == found.facts["ways"]
    assert len(every.text.split("\n")) == min(5, len(found.facts["ways"])) > len(others.text.split("\n"))
    assert all("%" in line for line in others.text.split("\n"))
    assert others.text.split("\n")[0][1:] not in found.text


def test_the_budget_is_what_the_facts_say() -> None:
    """ "How much can we use a day": the litres of the interface's fact, in gallons, the safety, the tank that sets it."""
    found = asked(Ask(topic="make_it", nights=5, subject="budget"))
    gallons = found.facts["budget_litres_per_day"] / 3.785411784
    told = re.search(r"About ([\d.]+) gal a day", found.text)
    assert told is not None and float(told.group(1)) == pytest.approx(gallons, abs=0.5)
    assert "90 %" in found.text and found.facts["binding"] in found.text


def test_the_last_good_moment_is_in_the_facts() -> None:
    """ "The latest we can dump": an hour or two before grey could be full with one chance in ten."""
    found = asked(Ask(topic="runway", subject="latest"))
    early = found.facts["first"]["p10"]
    assert timedelta(0) <= early - found.facts["latest"] <= timedelta(hours=2)
    assert sentences(found.text) == 1 and found.text.startswith("Dump grey by")


def test_a_question_about_one_tank_is_answered_for_it() -> None:
    """Black lasts while grey does not; the joint chance stands beside."""
    black, grey = (asked(Ask(topic="make_it", tank=tank, nights=5)).facts for tank in ("black", "grey"))
    assert black["probability"] > 0.95 > grey["probability"]
    assert black["joint_probability"] == grey["joint_probability"]
    assert all(way.get("tank", "grey") == "grey" for way in grey["ways"])


def test_another_week_is_ten_in_the_morning_seven_days_on() -> None:
    """A day alone in a question about the future means 10:00."""
    assert asked(Ask(topic="make_it", nights=7)).facts["until"] == MONDAY + 7 * DAY + 10 * HOUR


def test_without_an_end_the_question_is_asked_back() -> None:
    """No until said and no end of the stay known."""
    with pytest.raises(AskBack):
        asked(Ask(topic="make_it"), until=None)


def test_an_unknown_household_is_told_what_the_answer_rests_on() -> None:
    """Before there is a record, common practice is named; with one it is not."""
    entries, now = household(days=1, grey_day=-1)
    early = forecast.answer(Ask(topic="make_it"), Scene(fold(entries[:5]), now, lambda: entries[:5]))
    assert "people usually use" in early.text and early.facts["pace"]["basis"] == "common practice"
    assert "people usually use" not in asked(Ask(topic="make_it")).text


def test_runway_names_the_first_tank_and_its_moments() -> None:
    """`first` with tank, p10, p50, p90; asked for the errand, the side that it is about."""
    found = asked(Ask(topic="runway"))
    assert found.facts["first"]["tank"] == "grey"
    assert found.facts["first"]["p10"] < found.facts["first"]["p50"] < found.facts["first"]["p90"]
    assert sentences(found.text) <= 2
    fresh = asked(Ask(topic="runway", subject="fill"))
    assert "hookup" in fresh.text and fresh.facts["first"]["p50"] is None


def test_showers_have_a_count_and_a_limit() -> None:
    """count with p10, p50, p90, and the tank that limits them."""
    found = asked(Ask(topic="showers"))
    assert found.facts["binding"] == "grey"
    assert found.facts["count"]["p10"] <= found.facts["count"]["p50"] <= found.facts["count"]["p90"]


CHANGES = (
    Change("skip", "shower"), Change("minutes", "shower", minutes=1.0), Change("party", people=2, more=True), Change("absence"),
    Change("haul", amount=Amount(15, "gallon", text="15 gal")), Change("dump", tank="grey"), Change("use", "laundry"), Change("fill"),
    Change("amount", "dishes", amount=Amount(1, "litre", text="1 litre")), Change("late"), Change("often", "shower", count=0.5),
    Change("share", amount=Amount(0.5, "fraction", text="half")),
)  # fmt: skip


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.what)
def test_what_if_compares_with_the_present_course(change: Change) -> None:
    """Facts as make_it, the present's beside them and the difference; two sentences; without an end the runway is compared."""
    found = asked(Ask(topic="what_if", changes=(change,)))
    present = asked(Ask(topic="make_it")).facts["probability"]
    assert found.facts["topic"] == "what_if"
    assert found.facts["present"]["probability"] == pytest.approx(present)
    assert found.facts["difference"] == pytest.approx(found.facts["probability"] - present)
    assert sentences(found.text) <= 2
    if change.what != "late":
        open_end = asked(Ask(topic="what_if", changes=(change,)), until=None)
        assert {"first", "present", "difference_days"} <= set(open_end.facts)


def test_what_is_counted_like_showers_is_counted_by_its_own_volume() -> None:
    """More flushes than showers fit, and more showers than baths; whether so many fit has odds that fall with the number."""
    count = {
        name: asked(Ask(topic="showers", activity=name)).facts["count"]["p50"] for name in ("toilet", "shower", "bath")
    }
    assert count["toilet"] > count["shower"] > count["bath"]
    fits = [asked(Ask(topic="showers", activity="bath", count=n)).facts["probability"] for n in (1, 2, 6)]
    assert fits == sorted(fits, reverse=True) and fits[0] > fits[-1]
    both = asked(Ask(topic="showers", subject="everyone"))
    assert both.facts["asked"] == scene().world.people and amounts.percent(both.facts["probability"]) in both.text


def test_how_long_a_shower_may_be_keeps_to_the_budget() -> None:
    """Showers of that length at that flow, beside all else, are what may be used a day."""
    made, own = asked(Ask(topic="make_it", nights=2)).facts, scene()
    until = When(whole_days=2, hour=10, minute=0)
    found = asked(Ask(topic="showers", subject="minutes", until=until)).facts
    pace_now, each = made["pace"]["litres_per_day"], typical(own.world, "shower").mean
    spent = pace_now + found["showers_per_day"] * (found["litres_each"] - each)
    assert found["minutes"] > 0 and found["litres_each"] == pytest.approx(found["minutes"] * found["litres_per_minute"])
    assert spent == pytest.approx(made["budget_litres_per_day"], rel=0.05)


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (0.5, "half a minute"),
        (0.99, "half a minute"),
        (1.4, "one minute"),
        (1.9, "one and a half minutes"),
        (2.6, "2.5 minutes"),
    ],
)
def test_the_length_of_a_shower_is_rounded_down(minutes: float, said: str) -> None:
    """What was reckoned to last for 90 % would not last if it were longer."""
    assert showers.at_most_minutes(minutes) == said


def test_a_supply_as_said_lasts_by_the_pace() -> None:
    """So many litres over what a day takes, and more people use it up sooner."""
    two = asked(Ask(topic="runway", subject="supply", amount=Amount(100.0, "litre"))).facts
    seven = asked(Ask(topic="runway", subject="supply", amount=Amount(100.0, "litre"), count=7)).facts
    assert two["days"] == pytest.approx(100.0 / two["litres_per_day"])
    assert two["litres_per_day"] == pytest.approx(asked(Ask(topic="activity", subject="a day")).facts["litres_per_day"])
    assert seven["days"] < two["days"] / 2


@pytest.mark.parametrize(
    ("asked_for", "said"),
    [
        ("two guests come from Friday to Sunday", "With two more people from Friday to Sunday:"),
        ("we dump on Thursday", "After a dump on Thursday:"),
        ("we tote 15 gal on Thursday", "After a tote run of 15 gal on Thursday:"),
        ("we're away Saturday", "With nobody there on Saturday:"),
        ("we do laundry tomorrow", "With laundry on top tomorrow:"),
    ],
)
def test_what_if_repeats_the_days_it_was_asked_for(tmp_path: Path, asked_for: str, said: str) -> None:
    """A day that was misheard is heard in the answer."""
    talk = Talk(tmp_path / "log.db")
    assert talk.say(f"what if {asked_for}").answer.startswith(said)
    talk.close()


def test_what_is_advised_can_be_asked_back_in_its_own_words(tmp_path: Path) -> None:
    """Every way of "what else", said again behind "what if we", is understood and comes near the odds it was told with; a way told by the
    first of several moments is asked with all at once, and "off the rig" takes from today what the way takes day by day."""
    talk = Talk(tmp_path / "log.db")
    told = 0
    for level in ("a quarter", "a half", "two thirds"):
        talk.say(f"grey is at {level}")
        made = talk.say("can we make it to Saturday")
        for line in talk.say("what else").answer.splitlines():
            way, percent = re.sub(r", (the first )?by [^,:]+(?=[,:])", "", line).rsplit(": ", 1)
            way = re.sub(r", [\d.]+ lb( each)?", "", way)
            if way.startswith("Drive"):
                way = line.rsplit(": ", 1)[0]
            again = talk.say(f"what if we {way[0].lower()}{way[1:]}")
            talk.say("can we make it to Saturday")
            assert again.outcome == "answered" and again.facts["topic"] == "what_if", way
            assert again.facts["probability"] == pytest.approx(float(percent.split()[0]) / 100.0, abs=0.06), (
                line,
                again.answer,
            )
            told += 1
        assert made.outcome == "answered"
    assert told >= 6
    talk.close()


def test_a_planned_use_is_left_out_with_its_habit(tmp_path: Path) -> None:
    """Laundry planned for Thursday counts until what-if says none."""
    talk = Talk(tmp_path / "log.db")
    talk.say("grey is at half")
    free = talk.say("can we make it to Friday noon").facts["probability"]
    talk.say("laundry on Thursday, 8 gal")
    burdened = talk.say("can we make it to Friday noon").facts["probability"]
    spared = talk.say("what if we skip laundry").facts["probability"]
    assert burdened < free - 0.05 and spared == pytest.approx(free, abs=0.01)
    talk.close()


def test_the_earliest_moment_reads_as_a_time(tmp_path: Path) -> None:
    """Where the late end lies beyond the horizon the early one is told, "on the morning of" a date."""
    talk = Talk(tmp_path / "log.db")
    talk.say("black is at half")
    text = talk.say("how long until black is full").answer
    assert re.search(r", in \w+ days, on .+ at the earliest", text), text
    talk.close()


def test_a_tank_at_its_end_is_said_to_be_there(tmp_path: Path) -> None:
    """Told full, it is as good as full, whatever is asked; with a tenth left it has a time of its own."""
    talk = Talk(tmp_path / "log.db")
    talk.say("grey is full")
    assert "grey is the tight one, as good as full." in talk.say("can we make it to Sunday").answer
    assert talk.say("how many days left").answer.startswith("Grey is as good as full.")
    talk.say("grey is at 90 percent")
    assert "as good as" not in talk.say("can we make it to Sunday").answer
    talk.close()


def test_errands_that_come_again_are_counted_and_dated() -> None:
    """One moment as it is; several with how many there are, a "by" before the first where all are still to come."""
    own = scene()
    days = [own.now + n * DAY for n in range(4)]
    assert answer_ways.each_by(days[1:2], own) == " by tomorrow morning"
    assert (
        answer_ways.each_by(days[1:], own)
        == " three times, by tomorrow morning, Wednesday morning and Thursday morning"
    )
    assert answer_ways.each_by(days, own) == " four times, the first now"
    assert answer_ways.each_by(days[:2], own) == " twice, now and by tomorrow morning"
    assert (
        answer_ways.each_by(days[1:3], own, days[2]) == " twice, by tomorrow morning and before you leave on Wednesday"
    )


@pytest.mark.parametrize(
    ("days", "hours", "said"),
    [
        (0, 12, "this evening"), (6, 0, "on Sunday morning"), (6, 5, "on Sunday around midday"), (8, 0, "on the morning of Tuesday 9 June"),
        (8, 5, "around midday on Tuesday 9 June"), (8, 15, "on the night of Tuesday 9 June"), (20, 0, "on Sunday 21 June"),
    ],
)  # fmt: skip
def test_the_part_of_a_day_stands_before_its_date(days: int, hours: int, said: str) -> None:
    """From Monday at 8:00; the name of the day is enough for six days, then the date is told, with the part of the day before it."""
    now = MONDAY + 8 * HOUR
    assert times.on(times.moment(now + days * DAY + hours * HOUR, now)) == said


def test_plan_says_where_there_is_nothing_to_do(tmp_path: Path) -> None:
    """A stop that needs no errand and lowers no odds; at a sewer it is for dumping."""
    talk = Talk(tmp_path / "log.db")
    talk.say("next Cedar Flat from Sunday for one night, water but no sewer")
    talk.say("then Harbor Lane with water and sewer till the 25th")
    lines = talk.say("plan").answer.splitlines()
    assert lines[2] == "Harbor Lane until Thursday 25 June at 11:00: dump there, nothing risked."
    talk.close()


def test_plan_has_rows_of_stops() -> None:
    """Stop, arrive, leave, levels at arrival, what to do."""
    found = asked(Ask(topic="plan"))
    row = jsonable(found.facts)["rows"][0]
    assert {"stop", "arrive", "leave", "level_at_arrival_litres", "do", "probability"} <= set(row)
    assert row["stop"] == "Heron Bend" and row["do"][0]["what"] == "tote out"


def test_history_of_a_week_agrees_with_the_meter() -> None:
    """The last seven days: about 7 times 40 litres, rows by day, the logged uses by activity and person."""
    found = asked(Ask(topic="history"))
    assert found.facts["litres"] == pytest.approx(280.0, abs=20.0)
    assert {"date", "litres", "logged_litres"} <= set(found.facts["rows"][0])
    assert {row["name"] for row in found.facts["activities"]} == {"shower", "dishes"}
    assert {row["name"] for row in found.facts["people"]} == {"Ana", "Joss"}


def test_history_finds_the_last_dump() -> None:
    """Each tank with its own last dump."""
    rows = asked(Ask(topic="history", subject="dump")).facts["rows"]
    assert {row["tank"]: row["at"] for row in rows} == {"grey": MONDAY - DAY - 2 * HOUR, "black": MONDAY - 10 * DAY}


def test_history_shows_the_last_few() -> None:
    """As many rows as asked for, latest first."""
    rows = asked(Ask(topic="history", count=3)).facts["rows"]
    assert [row["kind"] for row in rows] == ["meter", "use", "use"]


def test_what_changed_is_told_with_what_chance_makes() -> None:
    """Five days against the five before, like days: rows with how often chance makes as much, and no difference claimed."""
    found = compared.answer(
        Ask(topic="history", subject="changed", when=When(count=5, period="day", which="last")), scene()
    )
    assert found.facts["rows"][0]["kind"] == "total" and sentences(found.text) <= 2
    assert {"litres_per_day", "before_litres_per_day", "by_chance", "real"} <= set(found.facts["rows"][0])
    assert not found.facts["rows"][0]["real"]


def test_what_saves_most_is_told_in_time_won() -> None:
    """Rows with the hours until grey is full, off the rig and with thrift; two sentences."""
    found = compared.answer(Ask(topic="history", subject="saves"), scene())
    best = found.facts["rows"][0]
    assert best["tank"] == "grey" and best["hours_off_the_rig"] > best["hours"] > 0
    assert sentences(found.text) <= 2 and "grey" in found.text


def test_activity_tells_n_mean_low_high() -> None:
    """Per activity and person; who uses the most is named."""
    rows = asked(Ask(topic="activity", activity="shower")).facts["rows"]
    assert [(row["person"], row["n"], row["mean"], row["low"], row["high"]) for row in rows] == [
        ("Ana", 10, 8.0, 8.0, 8.0)
    ]
    assert "Ana" in asked(Ask(topic="activity")).text


def test_odds_words_never_contradict_the_number() -> None:
    """From 0 to 1 the words only ever rise, and each word of the table is reached."""
    order = [text for _, text in reversed(odds.WORDS)]
    places = [order.index(odds.words(i / 1000)) for i in range(1001)]
    assert places == sorted(places) and set(places) == set(range(len(order)))
    assert odds.said(0.82) == "likely, 82 %"
