"""Weight of water against IAPWS, and what a tote weighs against the NIOSH load constant."""

from __future__ import annotations

from pathlib import Path

import pytest
from iapws import IAPWS95

from assistant.say import amounts
from state.care import tote
from state.water import weight
from state.world import Rig
from tests.talking import Talk

POUND, GALLON, IMPERIAL = 0.45359237, 3.785411784, 4.54609


@pytest.mark.parametrize(
    ("celsius", "iapws95"),
    [(4, 999.9749), (15, 999.1026), (15.56, 999.0171), (20, 998.2072), (25, 997.0476), (40, 992.2164)],
)
def test_density_agrees_with_iapws_95(celsius: float, iapws95: float) -> None:
    """Values of IAPWS-95 at 101.325 kPa computed by two independent libraries, to 2 mg/L."""
    assert weight.density(celsius) * 1000 == pytest.approx(iapws95, abs=0.002)


def test_density_agrees_with_a_reference_library_over_the_whole_range() -> None:
    """The iapws library (IAPWS-95) from 1 to 39 degrees: within 2 mg/L."""
    for celsius in (1, 8, 16, 24, 32, 39):
        assert weight.density(celsius) * 1000 == pytest.approx(IAPWS95(T=273.15 + celsius, P=0.101325).rho, abs=0.002)


def test_density_agrees_with_a_measured_value() -> None:
    """A published absolute measurement: 998.9468 +- 0.0006 kg/m3 at 16 degrees Celsius."""
    assert weight.density(16) * 1000 == pytest.approx(998.9468, abs=0.003)


@pytest.mark.parametrize("celsius", [-0.1, 40.1])
def test_density_outside_its_range_is_refused(celsius: float) -> None:
    """Tanaka's formula is stated for 0 to 40 degrees."""
    with pytest.raises(ValueError):
        weight.density(celsius)


def test_operators_rule_of_thumb_holds_within_its_published_error() -> None:
    """8.34 lb a US gallon (operator rule) is within 0.12 % of the truth from 4 to 20 degrees."""
    for celsius in (4, 10, 15, 20):
        assert weight.of_litres(GALLON, celsius) / POUND == pytest.approx(8.34, rel=0.0012)


def test_imperial_gallon_weighs_ten_pounds() -> None:
    """10.01 lb at 15 degrees (computed table): the old definition, ten pounds of water."""
    assert weight.of_litres(IMPERIAL, 15) / POUND == pytest.approx(10.0134, abs=0.001)


def test_weight_and_volume_undo_each_other() -> None:
    """Litres of a weight weigh that weight."""
    assert weight.of_litres(weight.litres_of(123.0)) == pytest.approx(123.0)


def test_full_tote_of_fifteen_gallons_is_too_heavy_to_lift() -> None:
    """15 gal weigh 125 lb; NIOSH's load constant is 51 lb."""
    load = tote.load(Rig(tote_litres=15 * GALLON))
    assert load is not None
    assert load.kilograms / POUND == pytest.approx(125.1, abs=0.1)
    assert load.too_heavy
    assert not load.tare_known


def test_what_one_person_may_lift_is_six_gallons_less_the_tote() -> None:
    """51 lb = 6.1 US gal of water alone (computed); the 23 kg of the metric form is 6.08 gal. A tote's own weight comes off that."""
    assert tote.liftable_litres(Rig()) / GALLON == pytest.approx(6.1, abs=0.05)
    assert tote.liftable_litres(Rig(tote_tare_kilograms=5.0)) == pytest.approx(
        tote.liftable_litres(Rig()) - 5.0 / weight.density()
    )
    assert tote.liftable_litres(Rig(tote_tare_kilograms=30.0)) == 0.0


def test_tare_once_told_is_in_the_weight() -> None:
    """A tote of 10 kg with 20 L weighs 30 kg."""
    load = tote.load(Rig(tote_litres=50.0, tote_tare_kilograms=10.0), 20.0)
    assert load is not None and load.tare_known
    assert load.kilograms == pytest.approx(29.98, abs=0.01)


@pytest.mark.parametrize(("litres", "trips"), [(0, 0), (1, 1), (50, 1), (50.005, 1), (51, 2), (100, 2), (101, 3)])
def test_trips_are_full_totes_rounded_up(litres: float, trips: int) -> None:
    """Whole trips; a few millilitres more make no further one."""
    assert tote.trips(Rig(tote_litres=50.0), litres) == trips


def test_nothing_is_guessed_about_a_tote_never_told() -> None:
    """Without a size there is no weight and no number of trips."""
    assert tote.load(Rig()) is None
    assert tote.trips(Rig(), 10.0) is None


@pytest.mark.parametrize(
    ("units", "kilograms", "said"),
    [("us", 0.45359237, "1 lb"), ("us", 0.2365, "0.5 lb"), ("metric", 0.568, "0.6 kg"), ("imperial", 4.546, "4.5 kg"), ("metric", 15.4, "15 kg")],
)  # fmt: skip
def test_a_small_weight_keeps_its_first_decimal(units: str, kilograms: float, said: str) -> None:
    """A pint of 0.57 kg is not said to weigh one."""
    assert amounts.weight(kilograms, units) == said


def test_what_may_be_lifted_is_rounded_down(tmp_path: Path) -> None:
    """A tote of 6 lb and 5.5 gal (45.8 lb) would be above NIOSH's 51 lb; 5 gal are not."""
    talk = Talk(tmp_path / "log.db")
    talk.say("the empty tote weighs 6 lb")
    assert "put in 5 gal at most" in talk.say("what does a full tote weigh").answer
    talk.close()


def test_several_runs_are_no_heavier_than_one_tote(tmp_path: Path) -> None:
    """Two totes of 5 gal are two loads of 42 lb, which one person may lift."""
    talk = Talk(tmp_path / "log.db")
    for said in ("the tote holds 5 gal", "grey has 30 gal in it"):
        talk.say(said)
    assert not any("too heavy" in one for one in talk.say("took two totes of grey away").cautions)
    talk.close()
