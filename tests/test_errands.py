"""Errands tried on courses already made: the same as a forecast made anew, and as 100,000 simulated first passages."""

from __future__ import annotations

import random
from datetime import datetime, timedelta

import numpy as np
import pytest

from state.ahead import errands, forecast
from state.ahead.course import Course
from state.ahead.outlook import Change
from state.leaning import POWER
from tests.rigs import DAY, MONDAY, believed, world

NOW = MONDAY + timedelta(hours=8)
UNTIL = NOW + 3.5 * DAY


def trial(only: str | None = None) -> errands.Trial:
    own = world(supply="tank")
    levels = believed({"grey": 20.0, "fresh": 135.0, "black": 20.0}, supply="tank", share_sd=0.05, capacity_sd=4.0)
    return errands.Trial(forecast.Voyage.of(own, NOW, UNTIL, (), levels), UNTIL, only)


def some_errands(rng: random.Random) -> list[Change]:
    """One to four of a tote run, a dump, a fill, a load of laundry, or one not done, at odd moments."""
    found = []
    for _ in range(rng.randint(1, 4)):
        at = NOW + rng.uniform(0.0, 3.4) * DAY
        found.append(
            rng.choice(
                [
                    Change(
                        "haul", tank=rng.choice(["grey", "black", "fresh"]), litres=rng.uniform(5.0, 60.0), start=at
                    ),
                    Change("dump", start=at),
                    Change("dump", tank="grey", start=at),
                    Change("fill", start=at),
                    Change("use", "laundry", litres=rng.choice([-30.0, 30.0]), start=at),
                ]
            )
        )
    return found


def test_an_errand_tried_is_the_forecast_made_anew() -> None:
    """60 random sets of errands: the chance by cut legs is that of the whole forecast with those changes, jointly and for one tank."""
    rng = random.Random(5)
    own = world(supply="tank")
    levels = believed({"grey": 20.0, "fresh": 135.0, "black": 20.0}, supply="tank", share_sd=0.05, capacity_sd=4.0)
    moved = 0
    plain = trial().chance()
    for _ in range(60):
        tried = some_errands(rng)
        whole = forecast.chance(own, NOW, UNTIL, tried, levels)
        assert trial().chance(tried) == pytest.approx(whole, abs=1e-9)
        assert trial("grey").chance(tried) == pytest.approx(
            forecast.chance(own, NOW, UNTIL, tried, levels, "grey"), abs=1e-9
        )
        moved += abs(whole - plain) > 0.01
    assert moved > 20


def gives_out(course: Course, pace: np.ndarray, z: np.ndarray, z_share: np.ndarray, hours: int) -> np.ndarray:
    """The hour at which each simulated household's tank gives out (`hours` where it does not), walked hour by hour."""
    room = np.empty_like(pace)
    share = np.clip(course.legs[0].intake.share.mean + z_share * course.legs[0].intake.share.sd, 1e-3, 1.0)
    out = np.full(pace.shape, hours)
    for leg in course.legs:
        intake = leg.intake
        room = np.clip(intake.room.mean + z * intake.room.sd, intake.room.low, intake.room.high)
        first = int(np.ceil((leg.start - NOW).total_seconds() / 3600.0))
        last = int((min(leg.end, NOW + timedelta(hours=hours)) - NOW).total_seconds() // 3600)
        for hour in range(first, last + 1):
            at = NOW + timedelta(hours=hour)
            use = course.flow.between(leg.start, at)
            litres = use.scale * np.maximum(0.0, 1.0 + use.spread * pace) ** POWER if use.mean > 0 else 0.0 * pace
            hauled = sum(amount for when, amount in leg.reliefs if when < at)
            out = np.where((litres * share > room + hauled) & (out == hours), hour, out)
    return out


@pytest.mark.parametrize(
    "tried",
    [
        (),
        (Change("dump", start=NOW + 1.5 * DAY), Change("haul", tank="grey", litres=30.0, start=NOW + 3 * DAY)),
    ],
    ids=["as it stands", "a dump and a tote run"],
)
def test_first_passages_of_100_000_households(tried: tuple[Change, ...]) -> None:
    """The hour at which grey gives out, walked hour by hour for 100,000 households (numpy): the chance of lasting to every half day within
    1.5 points of theirs, and the 10, 50 and 90 % moments within three hours of theirs. What is checked is the grid of nodes, the legs and
    the search, not the assumption that a household's pace is one."""
    course = next(c for c in trial().courses(tried) if c.name == "grey")
    rng = np.random.default_rng(11)
    pace, z, z_share = (rng.normal(size=100_000) for _ in range(3))
    hours = 84
    out = gives_out(course, pace, z, z_share, hours)
    for half in range(1, 7):
        said = course.lasts(NOW + timedelta(hours=12 * half))
        assert said == pytest.approx(float(np.mean(out > 12 * half)), abs=0.015)
    for p in (0.1, 0.5, 0.9):
        moment: datetime | None = course.gives_out(p, NOW, UNTIL)
        simulated = float(np.quantile(out, p))
        if moment is not None and simulated < hours:
            assert (moment - NOW).total_seconds() / 3600.0 == pytest.approx(simulated, abs=3.0)
