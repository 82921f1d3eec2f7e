"""Bleach doses against the published tables of health departments, each named beside its row."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from state.care import dose

GALLON, OUNCE, TEASPOON = 3.785411784, 29.5735295625, 4.92892159375

# litres of water, mg/L, per cent, published dose in mL, the table's own rounding as a share, source
PUBLISHED = [
    (1000 * GALLON, 50, 5.25, 122 * OUNCE, 0.005, "Kansas KDHE: 50 mg/L in 1000 gal = 122 fl oz of 5.25 %"),
    (500 * GALLON, 50, 5.0, 0.50 * 1000 * GALLON, 0.011, "Oregon storage tank options, 50 mg/L, 5 %"),
    (500 * GALLON, 50, 8.25, 0.30 * 1000 * GALLON, 0.017, "Oregon storage tank options, 50 mg/L, 8.25 %"),
    (500 * GALLON, 50, 12.5, 0.20 * 1000 * GALLON, 0.026, "Oregon storage tank options, 50 mg/L, 12.5 %"),
    (500 * GALLON, 10, 5.0, 0.10 * 1000 * GALLON, 0.051, "Oregon storage tank options, 10 mg/L, 5 %"),
    (500 * GALLON, 10, 8.25, 0.06 * 1000 * GALLON, 0.084, "Oregon storage tank options, 10 mg/L, 8.25 %"),
    (500 * GALLON, 10, 12.5, 0.04 * 1000 * GALLON, 0.126, "Oregon storage tank options, 10 mg/L, 12.5 %"),
    (40 * GALLON, 50, 8.25, 3.10 * OUNCE, 0.0033, "worked target, computed: 3.10 fl oz"),
    (40 * GALLON, 50, 6.0, 4.27 * OUNCE, 0.0024, "worked target, computed: 4.27 fl oz"),
]


@pytest.mark.parametrize(("litres", "target", "percent", "millilitres", "rounding", "source"), PUBLISHED)
def test_sanitising_dose_agrees_with_the_published_table(
    litres: float, target: float, percent: float, millilitres: float, rounding: float, source: str
) -> None:
    """Each row of the tables is met within half a unit of the table's last digit."""
    assert dose.bleach(litres, target, percent) == pytest.approx(millilitres, rel=rounding), source


@pytest.mark.parametrize(
    ("ounces", "percent", "gallons", "mg", "tolerance", "source"),
    [
        (1, 5.25, 1, 410, 0.002, "Kansas KDHE: 1 fl oz of 5.25 % in 1 gal = 410 mg/L"),
        (1.5, 8.25, 5, 200, 0.04, "Oregon OHA: 1.5 oz of 8.25 % in 5 gal 'to approach 200 mg/L' (193.4)"),
        (1.25, 5.25, 500, 1.03, 0.005, "NMSU Guide W-101: 1.25 fl oz of 5.25 % in 500 gal"),
        (4.25, 5.25, 1700, 1.03, 0.005, "NMSU Guide W-101: 4.25 fl oz in 1700 gal"),
        (32, 5.25, 100, 131, 0.005, "CDC cistern text says 'about 100 ppm'; its own quantities give 131"),
    ],
)
def test_concentration_agrees_with_published_quantities(
    ounces: float, percent: float, gallons: float, mg: float, tolerance: float, source: str
) -> None:
    """What so much bleach makes of so much water, by the texts of state offices and a university."""
    assert dose.concentration(ounces * OUNCE, percent, gallons * GALLON) == pytest.approx(mg, rel=tolerance), source


@given(st.floats(1, 5000), st.floats(0.5, 200), st.floats(1, 15))
def test_dose_and_concentration_undo_each_other(litres: float, target: float, percent: float) -> None:
    """The dose of a target gives that target back."""
    assert dose.concentration(dose.bleach(litres, target, percent), percent, litres) == pytest.approx(target)


@pytest.mark.parametrize("wrong", [(0, 50, 6), (100, 0, 6), (100, 50, 0), (100, 50, 21), (-1, 50, 6)])
def test_impossible_dose_is_refused(wrong: tuple[float, float, float]) -> None:
    """No dose comes of an empty tank, a target of nothing, or bleach that does not exist."""
    with pytest.raises(ValueError):
        dose.bleach(*wrong)


def test_sanitising_counts_heater_and_hose_and_keeps_six_hours() -> None:
    """The dose is for all the water treated; Oregon and AWWA C652 method 3 give 50 mg/L six hours."""
    plain = dose.sanitising(150.0)
    more = dose.sanitising(150.0, heater_litres=40.0, hose_litres=10.0)
    assert plain.contact_hours == 6.0
    assert plain.mg_per_litre == 50.0
    assert more.millilitres == pytest.approx(plain.millilitres * 200 / 150)


def test_weaker_water_stands_longer() -> None:
    """AWWA C652 method 1: 10 mg/L needs 24 hours."""
    assert dose.sanitising(150.0, mg_per_litre=10.0).contact_hours == 24.0
    assert dose.sanitising(150.0, mg_per_litre=100.0).contact_hours == 6.0


def test_more_than_surface_strength_is_refused() -> None:
    """200 mg/L is what AWWA C652 method 2 puts on surfaces; no tank gets more."""
    with pytest.raises(ValueError):
        dose.sanitising(150.0, mg_per_litre=201.0)


def test_hose_volume_is_its_cylinder() -> None:
    """A 10 m hose of 12.7 mm bore holds 1.27 L (pi/4 times bore squared times length, by hand)."""
    assert dose.hose_litres(10.0, 12.7) == pytest.approx(1.2668, abs=1e-3)


@given(st.floats(1.0, 2000.0))
def test_kitchen_measure_is_near_the_dose(millilitres: float) -> None:
    """Within an eighth of a teaspoon below a quarter cup, within half a tablespoon above; never a fifth tablespoon."""
    made = dose.measure(millilitres)
    small = millilitres / TEASPOON < 12
    allowed = TEASPOON / 8 if small else TEASPOON * 1.5
    assert abs(made.millilitres - millilitres) <= allowed * (1 + 1e-9) + 1e-9
    assert made.tablespoons < 4 or (small and made.tablespoons <= 4)
    assert made.fluid_ounces == pytest.approx(millilitres / OUNCE)


# EPA 816-F-15-003: rows of its table to 4 gallons (restated), CDC for the gallon in millilitres
@pytest.mark.parametrize(
    ("gallons", "percent", "drops"),
    [(0.25, 6, 2), (0.25, 8.25, 2), (1, 6, 8), (1, 8.25, 6), (2, 6, 16), (2, 8.25, 12), (1, 5, 8), (1, 5.25, 8)],
)
def test_drinking_dose_is_the_official_row(gallons: float, percent: float, drops: int) -> None:
    """Drops as the EPA and CDC tables give them, never made from spoons or concentrations."""
    found = dose.drinking(gallons * GALLON, percent)
    assert found is not None
    assert found.drops == drops
    assert found.minutes == 30


def test_drinking_dose_of_a_litre_is_that_of_the_quart() -> None:
    """The EPA row says quart or litre: two drops of either strength."""
    for percent in (6, 8.25):
        found = dose.drinking(1.0, percent)
        assert found is not None and found.drops == 2


@pytest.mark.parametrize(
    ("gallons", "percent", "spoons"), [(4, 6, 1 / 3), (4, 8.25, 1 / 4), (8, 6, 2 / 3), (8, 8.25, 1 / 2)]
)
def test_drinking_dose_of_large_lots_is_in_teaspoons(gallons: float, percent: float, spoons: float) -> None:
    """EPA 816-F-15-003: 4 gal 1/3 and 1/4 tsp (restated), 8 gal 2/3 and 1/2 tsp (from memory)."""
    found = dose.drinking(gallons * GALLON, percent)
    assert found is not None and found.teaspoons == pytest.approx(spoons)


def test_cloudy_water_gets_twice_the_dose() -> None:
    """EPA and CDC: double if cloudy, coloured or very cold; CDC 16 drops (1 mL) a gallon of 5 to 6 %."""
    found = dose.drinking(GALLON, 6, cloudy=True)
    assert found is not None
    assert (found.drops, found.millilitres) == (16, pytest.approx(1.0))


@pytest.mark.parametrize(("gallons", "percent"), [(1, 3), (1, 7), (1, 10), (1, 12.5), (1, 4.9), (9, 6), (0, 6)])
def test_no_number_where_the_official_table_has_none(gallons: float, percent: float) -> None:
    """Other strengths and lots above the largest row get no dose at all."""
    assert dose.drinking(gallons * GALLON, percent) is None


@given(st.floats(0.5, 8.0), st.sampled_from([5.0, 6.0, 8.25]), st.booleans())
def test_drinking_dose_stays_in_the_range_of_the_gallon_rule(gallons: float, percent: float, cloudy: bool) -> None:
    """Lantagne et al. 2014 (doi 10.1021/es405357y): the gallon rule gives 5.55 to 8.67 mg/L; CDC's millilitres with these strengths
    give 6.6 to 10.9 (half a millilitre rounds 8.25 % up), and twice that for cloudy water. Nothing leaves that range."""
    found = dose.drinking(gallons * GALLON, percent, cloudy)
    assert found is not None
    times = 2 if cloudy else 1
    assert 5.5 * times < dose.concentration(found.millilitres, percent, found.litres) < 11.0 * times
