"""A log of many years, made in seconds: a household of two that says nearly everything. Nothing in it is drawn at random."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from state import checks
from state.log.records import Turn, add_event, add_turn
from state.log.store import Log, new_id
from tests.talking import GALLON, at

END = at("09T07:00")
"""The last event lies about here: 9 June 2026."""

DAY: tuple[tuple[float, str, float, str | None], ...] = (  # hour, activity, litres, person
    (6.8, "toilet", 1.9, None), (7.0, "handwash", 0.5, None), (7.1, "shower", 8.1, "Ana"), (7.4, "coffee", 1.0, None),
    (7.6, "shower", 6.9, "Joss"), (8.1, "dishes", 3.2, None), (9.5, "toilet", 1.9, None), (12.3, "handwash", 0.6, "Joss"),
    (12.8, "dishes", 2.1, None), (14.2, "toilet", 1.7, None), (16.0, "drinking", 1.2, None), (18.3, "cooking", 2.4, None),
    (19.6, "dishes", 5.7, None), (20.5, "toilet", 1.9, None), (21.8, "teeth", 0.8, None), (22.0, "toilet", 1.8, None),
)  # fmt: skip
SITES = ("Heron Bend", "Cedar Flat", "Harbor Lane", "Otter Flats")
RIG = (("fresh", 40), ("grey", 36), ("black", 30))
PER_DAY = 19  # so that a year is about 7,000 events
YEARS = 40  # a longer log has fuller days instead


def events(count: int) -> Iterator[tuple[datetime, str, dict[str, Any]]]:
    """So many events, oldest first, the last on the day before `END`: when, what was said, the kind and its fields."""
    last = max(moment for moment, _, _ in _from(END, count))
    yield from _from(END - timedelta(days=(last - END).days + 1), count)


def _from(start: datetime, count: int) -> Iterator[tuple[datetime, str, dict[str, Any]]]:
    days = min(count / PER_DAY, YEARS * 365.0)
    yield start, "two people", {"kind": "party", "people": 2}
    for name, gallons in RIG:
        litres = gallons * GALLON
        fields = {"kind": "rig", "what": "tank", "tank": name, "tank_kind": name, "litres": litres}
        yield start, f"{name} tank {gallons} gal", fields
    meter: float = 0.0
    made = 1 + len(RIG)
    times = max(1, round(count / days / PER_DAY)) if days else 1
    day = 0
    while made < count:
        for moment, said, fields in _day(start + timedelta(days=day), day, meter, times):
            if made < count and moment > start:
                meter = (
                    fields["litres"] if fields["kind"] == "meter" else 0.0 if fields["kind"] == "meter_reset" else meter
                )
                made += 1
                yield moment, said, fields
        day += 1


def _day(date: datetime, number: int, meter: float, times: int) -> Iterator[tuple[datetime, str, dict[str, Any]]]:
    """The day after `date`: each use so many times, a minute apart, and then of that many times less water."""
    morning = date.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    used = 0.0
    if number % 7 == 0:
        until = morning + timedelta(days=7, hours=11)
        site = SITES[number // 7 % len(SITES)]
        yield morning, f"at {site}", {"kind": "arrive", "site": site, "water": True, "sewer": False, "until": until}
        yield morning, "reset the meter", {"kind": "meter_reset", "meter": "inlet"}
        meter = 0.0
    for hour, activity, litres, person in DAY:
        some = litres * (0.8 + (number * 7 + hour * 3) % 5 / 10)
        used += some
        said = f"{activity} {some / times / GALLON:.2f} gal"
        fields = {"kind": "use", "activity": activity, "litres": some / times, "person": person}
        for place in range(times):
            yield morning + timedelta(hours=hour, minutes=place), said, fields
    reading = meter + used * 1.06
    evening = morning + timedelta(hours=22.5)
    yield evening, f"meter {reading / GALLON:.1f}", {"kind": "meter", "meter": "inlet", "litres": reading}
    if number % 2:
        for tank in ("grey", "black")[: 1 + (number % 4 == 1)]:
            yield evening + timedelta(minutes=5), f"dumped {tank}", {"kind": "dump", "tank": tank}


def _as_said(said: str, fields: dict[str, Any]) -> dict[str, Any]:
    """With the quantity as the conversation would keep it, where one was said."""
    if "litres" not in fields:
        return fields
    text = said.split(" ", 1)[1].replace("tank ", "")
    return {**fields, "said": ({"field": "litres", "value": float(text.split()[0]), "unit": "gallon", "text": text},)}


def make(path: Path, count: int) -> Path:
    """Write such a log in one transaction, each event in a turn of its own, as the conversation would."""
    with Log.open(path) as log, log.writing() as connection:
        for number, (moment, said, fields) in enumerate(events(count), start=1):
            turn = Turn(moment, said, "recorded", f"{said.capitalize()}. Grey has about 21 gal of room.", number=number)
            turn.memo = {"about": {"topic": "status", "tank": "grey"}}
            told = _as_said(said, fields)
            full = checks.check({"id": new_id(moment), "at": moment, "heard_at": moment, "heard": said, **told})
            add_turn(connection, turn)
            add_event(connection, number, turn, full)
    return path
