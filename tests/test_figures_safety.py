"""The constants of the round against the published values, and that each carries its unit, source and standing."""

from __future__ import annotations

import pytest

from state import figures_safety as figures

ALL = {name: value for name, value in vars(figures).items() if isinstance(value, figures.Figure)}
ALL |= {f"UPKEEP_DAYS {name}": value for name, value in figures.UPKEEP_DAYS.items()}
ALL |= {f"UPKEEP_LITRES {name}": value for name, value in figures.UPKEEP_LITRES.items()}


@pytest.mark.parametrize("name", ALL)
def test_figure_has_source_and_standing(name: str) -> None:
    """No number without where it comes from; what has no published source says so."""
    one = ALL[name]
    assert one.source and one.standing
    assert (one.standing == "practice") == ("common practice" in one.source)


@pytest.mark.parametrize(
    ("value", "published", "tolerance", "source"),
    [
        (
            figures.CODE_CEILING_KPA.value,
            551.58,
            0.01,
            "80 psi = 551.58 kPa; Uniform Plumbing Code 2015 and 2024, 608.2",
        ),
        (figures.ALARM_KPA.value, 413.69, 0.01, "60 psi, SP 811"),
        (figures.SET_LOW_KPA.value, 275.79, 0.01, "40 psi, SP 811"),
        (figures.SET_HIGH_KPA.value, 344.74, 0.01, "50 psi, SP 811"),
        (figures.LIFT_KILOGRAMS.value / 0.45359237, 51.0, 0.5, "NIOSH 94-110: 51 lb (23 kg)"),
        (figures.URGENT_CELSIUS.value, -6.67, 0.01, "Gordon 1996: 20 F"),
        (figures.DRINKING_LIMIT_MG_PER_LITRE.value, 4.0, 0.0, "40 CFR 141.65 (MRDL)"),
        (figures.CONTACT_HOURS.value, 6.0, 0.0, "Oregon; AWWA C652-19 method 3"),
        (figures.SANITISE_MG_PER_LITRE.value, 50.0, 0.0, "Kansas KDHE; Oregon"),
    ],
)
def test_figure_is_the_published_one(value: float, published: float, tolerance: float, source: str) -> None:
    """Each limit against the number in its source."""
    assert abs(value - published) <= tolerance, source
