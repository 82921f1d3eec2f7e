"""Pressure: how a reading stands, what is remembered of a site, and the hose model against a published table."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from state.care import frost, pressure
from state.entry import Entry
from state.water.round import take_frost, take_pressure
from state.world import World
from tests.talking import told

PSI = 6.894757293168361
NOW = datetime(2026, 6, 9, 8, tzinfo=UTC)


def entry(kind: str, at: datetime = NOW, **fields: object) -> Entry:
    return Entry({"id": "x", "kind": kind, "at": at, "heard_at": at, "heard": "", "said": (), **fields})


@pytest.mark.parametrize(
    ("psi", "standing"),
    [(0, "low"), (19, "low"), (20, "soft"), (39, "soft"), (40, "good"), (48, "good"), (50, "good"), (55, "firm"), (60, "firm"),
     (61, "high"), (80, "high"), (81, "ceiling"), (150, "ceiling")],
)  # fmt: skip
def test_reading_stands_by_setting_limit_and_code(psi: float, standing: str) -> None:
    """40-50 psi is the usual setting, 60 the usual alarm, 80 the codes' static ceiling (UPC 608.2), 20 the low end (25 CCR 1276)."""
    assert pressure.standing(World(), psi * PSI) == standing


def test_own_limit_goes_before_the_usual_alarm() -> None:
    """A rig told to bear 45 psi is alarmed above 45, one told to bear 75 not at 70; the ceiling stays."""
    weak, strong = World(), World()
    weak.rig.limits["pressure"], strong.rig.limits["pressure"] = 45 * PSI, 75 * PSI
    assert pressure.standing(weak, 46 * PSI) == "high"
    assert pressure.standing(strong, 70 * PSI) == "firm"
    assert pressure.standing(strong, 82 * PSI) == "ceiling"
    assert pressure.setting(weak)[1] == 45 * PSI


def test_readings_are_kept_by_site() -> None:
    """Two sites, three readings: each site tells its own lowest, highest and last."""
    world = World()
    world.stay.site = "Heron Bend"
    take_pressure(world, entry("pressure", kpa=300.0))
    take_pressure(world, entry("pressure", NOW + timedelta(hours=1), kpa=420.0))
    world.stay.site = "Cedar Flat"
    take_pressure(world, entry("pressure", NOW + timedelta(days=1), kpa=250.0))
    found = pressure.at_site(world, "heron bend")
    assert found is not None
    assert (found.n, found.low, found.high, found.last) == (2, 300.0, 420.0, 420.0)
    assert pressure.at_site(world, "Harbor Lane") is None


# Iowa State University Extension, "Hose care", 28 June 1996: gpm from a 100 ft hose, by psi at the inlet and bore in inches
HOSES = {
    20: (4, 8, 12, 26),
    30: (5, 9, 15, 32),
    40: (6, 11, 18, 38),
    50: (7, 12, 20, 43),
    60: (8, 14, 22, 47),
}


@pytest.mark.parametrize("psi", HOSES)
def test_hose_flow_reproduces_the_extension_table(psi: int) -> None:
    """All cells of the published table, to the whole gallon a minute."""
    for inches, gpm in zip((0.5, 0.625, 0.75, 1.0), HOSES[psi], strict=True):
        assert round(pressure.hose_flow(psi * PSI, 100 * 0.3048, inches * 25.4) / 3.785411784) == gpm


@pytest.mark.parametrize(
    ("celsius", "stage"),
    [
        (10, "none"),
        (2.1, "none"),
        (2, "near"),
        (0.1, "near"),
        (0, "frost"),
        (-6.6, "frost"),
        (-20 / 3, "hard"),
        (-15, "hard"),
    ],
)
def test_frost_warns_from_freezing_and_urges_from_20_fahrenheit(celsius: float, stage: str) -> None:
    """0 degrees is freezing; 20 F (-6.67 C) is the threshold of Gordon, Univ. of Illinois 1996."""
    assert frost.stage(celsius) == stage


def test_stated_low_counts_until_it_is_past() -> None:
    """A low for tonight counts now and in the night, not two days later."""
    world = World()
    take_frost(world, entry("frost", NOW + timedelta(hours=20), low_celsius=-4.0))
    found = frost.ahead(world, NOW)
    assert found is not None and found[0] == "frost"
    assert frost.ahead(world, NOW + timedelta(days=2)) is None
    assert frost.ahead(World(), NOW) is None


@pytest.mark.parametrize(
    ("said", "standing"),
    [("is 50 psi okay", "good"), ("can the hose take 90 psi", "above the 80 psi"), ("is 3 bar all right", "good"), ("are 65 psi bad", "above")],
)  # fmt: skip
def test_what_to_think_of_a_pressure_is_no_reading(tmp_path: Path, said: str, standing: str) -> None:
    reply = told(tmp_path, said)
    assert (reply.outcome, reply.facts["topic"]) == ("answered", "history")
    assert standing in reply.answer
