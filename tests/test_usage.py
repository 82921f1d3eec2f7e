"""What was used: sums, days, persons, what changed; totals agree with the meter."""

from __future__ import annotations

import random
from datetime import datetime, timedelta, timezone
from itertools import pairwise
from typing import Any

import pytest

from state.entry import Entry
from state.log.rows import DEFAULTS
from state.used import usage
from state.water.fold import fold
from state.world import Posting

ZONE = timezone(timedelta(hours=-6))
MONDAY = datetime(2026, 6, 1, tzinfo=ZONE)
DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


class Log:
    """Entries in order, with made-up ids."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []

    def tell(self, kind: str, at: datetime, **fields: Any) -> None:
        seq = len(self.entries) + 1
        own = {
            **DEFAULTS[kind],
            **fields,
            "id": f"u{seq:010d}",
            "kind": kind,
            "at": at,
            "heard_at": at,
            "heard": "",
            "said": (),
        }
        self.entries.append(Entry(own, seq, seq))


def week() -> Log:
    """A metered week: 40 litres a day, of which a shower of 8 by Ana and dishes of 5 by Joss are logged; Tuesday's shower is a guess."""
    log = Log()
    for tank, litres in (("fresh", 150.0), ("grey", 140.0), ("black", 110.0)):
        log.tell("rig", MONDAY, what="tank", tank=tank, tank_kind=tank, litres=litres)
    log.tell("arrive", MONDAY, site="Heron Bend", water=True, sewer=False)
    log.tell("dump", MONDAY, tank="grey")
    log.tell("meter", MONDAY, litres=100.0)
    for day in range(7):
        at = MONDAY + day * DAY
        log.tell("use", at + 8 * HOUR, activity="shower", litres=8.0 + day * 0.1, person="Ana", estimated=day == 1)
        log.tell("use", at + 19 * HOUR, activity="dishes", litres=5.0, person="Joss", count=2)
        log.tell("meter", at + 23 * HOUR + timedelta(minutes=59), litres=100.0 + 40.0 * (day + 1))
    return log


def flows(log: Log) -> list[usage.Flow]:
    book: list[Posting] = []
    fold(log.entries, book=book)
    return usage.flows(book, ["hookup", "fresh"])


def test_total_of_a_week_is_what_the_meter_says() -> None:
    """Seven times 40 litres by the readings, whatever was logged; logged uses are shares of it, not added."""
    log = week()
    whole = usage.used(log.entries, flows(log), MONDAY, MONDAY + 7 * DAY)
    assert whole.litres == pytest.approx(280.0, abs=0.01)
    assert whole.logged == pytest.approx(7 * 13.0 + 0.1 * 21)
    assert whole.unlogged == pytest.approx(280.0 - whole.logged, abs=0.01)


def test_each_day_is_what_was_read_that_day() -> None:
    """Readings at midnight: 40 litres each day, days add up to the week."""
    log = week()
    days = usage.by_day(log.entries, flows(log), MONDAY, MONDAY + 7 * DAY)
    assert [day.litres for day in days] == pytest.approx([40.0] * 7, abs=0.5)
    assert sum(day.litres for day in days) == pytest.approx(280.0, abs=0.01)


def test_without_readings_the_log_is_all_there_is() -> None:
    """No ledger: a day's litres are the logged ones."""
    log = week()
    day = usage.used(log.entries, [], MONDAY, MONDAY + DAY)
    assert day.total is None and day.litres == pytest.approx(13.0)


def test_stretches_told_together_are_those_told_one_by_one() -> None:
    """Entries and flows on the edges, across several stretches and outside of all, in no order."""
    chance = random.Random(3)

    def some() -> datetime:
        return MONDAY + timedelta(hours=chance.choice([0, 12, 24, 36, 48, chance.uniform(-40, 200)]))

    for _ in range(60):
        flowing: list[usage.Flow] = []
        for _ in range(20):
            begin, stop = sorted((some(), some()))
            flowing.append((begin, chance.choice([begin, stop]), chance.uniform(-3, 9)))
        log = Log()
        for _ in range(20):
            log.tell("use", some(), activity="shower", litres=chance.random())
        edges = sorted({some() for _ in range(6)} | {MONDAY})
        singly = [usage.used(log.entries, flowing, *pair) for pair in pairwise(edges)]
        assert usage.in_parts(log.entries, flowing, edges) == singly


def test_water_is_told_by_the_first_reading_after_it() -> None:
    """And by the first fill to the brim, but not by one a month later; a plain fill and what came before tell nothing."""
    log = Log()
    for days in (-1, 2, 3):
        log.tell("meter", MONDAY + days * DAY, litres=100.0)
    log.tell("fill", MONDAY + 1.5 * DAY)
    for days in (5, 60):
        log.tell("fill", MONDAY + days * DAY, to_full=True)
    before, _, _, plain, soon, late = log.entries
    readings = log.entries[:3]
    assert usage.settled_after([*readings, plain, soon, late], MONDAY) == MONDAY + 5 * DAY
    assert usage.settled_after([*readings, late], MONDAY) == MONDAY + 2 * DAY
    assert usage.settled_after([before, plain], MONDAY) is None


def test_sums_tell_estimates_from_measured() -> None:
    """The mean, least and most of a shower come from what was measured; a guess counts as a use only."""
    shower = usage.by_activity(week().entries)["shower"]
    assert (shower.n, shower.measured) == (7, 6)
    assert shower.low == pytest.approx(8.0) and shower.high == pytest.approx(8.6)
    assert shower.mean == pytest.approx((8.0 + 8.2 + 8.3 + 8.4 + 8.5 + 8.6) / 6)
    dishes = usage.by_activity(week().entries)["dishes"]
    assert dishes.n == 14 and dishes.mean == pytest.approx(2.5)


def test_persons_are_told_apart() -> None:
    """(activity, person) to sums."""
    sums = usage.by_person(week().entries)
    assert sums["shower", "Ana"].n == 7 and sums["dishes", "Joss"].litres == pytest.approx(35.0)
    assert set(usage.by_person(week().entries, "Shower")) == {("shower", "Ana")}


def test_last_of_a_kind_is_by_when_it_happened() -> None:
    """A dump told late but happened earlier is not the last."""
    log = week()
    log.tell("dump", MONDAY + 5 * DAY, tank="black")
    log.tell("dump", MONDAY + 3 * DAY, tank="black")
    last = usage.last_of(log.entries, "dump", "Black")
    assert last is not None and last.at == MONDAY + 5 * DAY
    assert usage.last_dumps(log.entries) == {"grey": MONDAY, "black": MONDAY + 5 * DAY}
    assert usage.last_of(log.entries, "haul") is None


def test_last_few_events_come_latest_first() -> None:
    """Only about water; as many as asked for."""
    last = usage.last_events(week().entries, 3)
    assert [entry.kind for entry in last] == ["meter", "use", "use"]
    assert last[0].at > last[1].at > last[2].at
    assert usage.last_events(week().entries, 0) == []


def test_what_a_reading_took_back_of_the_log_is_not_logged_elsewhere() -> None:
    """17 litres logged where 13 were metered, and 7 more without a word: 7 are not logged, of that stretch as of its days."""
    log = Log()
    log.tell("meter", MONDAY, litres=100.0)
    log.tell("use", MONDAY + 12 * HOUR, activity="laundry", litres=12.0)
    log.tell("use", MONDAY + 13 * HOUR, activity="shower", litres=5.0)
    log.tell("meter", MONDAY + 23 * HOUR, litres=113.0)
    log.tell("meter", MONDAY + 47 * HOUR, litres=120.0)
    whole = usage.used(log.entries, flows(log), MONDAY, MONDAY + 2 * DAY)
    assert whole.litres == pytest.approx(20.0, abs=0.01) and whole.logged == pytest.approx(17.0)
    assert whole.unlogged == pytest.approx(7.0, abs=0.01)
    days = usage.by_day(log.entries, flows(log), MONDAY, MONDAY + 2 * DAY)
    assert sum(day.unlogged for day in days) == pytest.approx(whole.unlogged, abs=0.01)
