"""What changed: Welch's test against scipy, false alarms against chance, true changes found; what saves most against the what-if."""

from __future__ import annotations

import random
from datetime import timedelta

import pytest
from scipy import special, stats

from state.ahead import forecast, savings
from state.ahead.outlook import Change
from state.used import compared
from tests.rigs import DAY, MONDAY, believed, world
from tests.test_usage import Log

HOUR = timedelta(hours=1)


@pytest.mark.parametrize("seed", range(20))
def test_welch_is_scipys(seed: int) -> None:
    """Two samples of two to thirty values of different spread: p as by scipy.stats.ttest_ind(equal_var=False), to nine digits."""
    rng = random.Random(seed)
    a = [rng.gauss(40, 12) for _ in range(rng.randint(2, 30))]
    b = [rng.gauss(40 + rng.choice([0, 5, 20]), 4) for _ in range(rng.randint(2, 30))]
    assert compared.welch(a, b) == pytest.approx(
        float(stats.ttest_ind(a, b, equal_var=False).pvalue), rel=1e-9, abs=1e-12
    )


def test_the_incomplete_beta_function_is_scipys() -> None:
    """On a grid of a, b and x, ends included: scipy.special.betainc."""
    for a in (0.3, 1.0, 4.5, 60.0):
        for b in (0.5, 2.0, 30.0):
            for x in (0.0, 1e-6, 0.1, 0.5, 0.9, 1.0):
                assert compared.incomplete_beta(a, b, x) == pytest.approx(
                    float(special.betainc(a, b, x)), rel=1e-9, abs=1e-12
                )


def test_one_value_is_no_sample() -> None:
    """Fewer than two values on a side have no spread."""
    with pytest.raises(ValueError):
        compared.welch([1.0], [2.0, 3.0])


def weeks(rng: random.Random, factor: float) -> Log:
    """Two weeks of showers by Ana and Joss and dishes, irregular; in the second Ana's showers are `factor` times as large."""
    log = Log()
    for day in range(14):
        at = MONDAY + day * DAY
        ana = rng.gauss(9.0, 1.5) * (factor if day >= 7 else 1.0)
        for activity, litres, person in (
            ("shower", ana, "Ana"),
            ("shower", rng.gauss(8, 1.5), "Joss"),
            ("dishes", rng.gauss(6, 1.5), None),
        ):
            log.tell("use", at + 8 * HOUR, activity=activity, litres=max(0.1, litres), person=person)
    return log


def compare(log: Log) -> list[compared.Moved]:
    return compared.compare(log.entries, [], MONDAY + 7 * DAY, MONDAY + 14 * DAY, MONDAY)


def test_chance_alone_is_seldom_called_a_change() -> None:
    """200 households in which nothing changed: the total is called changed in about 5 %, any activity or person in at most that."""
    rng = random.Random(3)
    found = [compare(weeks(rng, 1.0)) for _ in range(200)]
    totals = sum(moved[0].real for moved in found)
    parts = sum(any(one.real for one in moved[1:]) for moved in found)
    assert 2 <= totals <= 22 and parts <= 20


def test_a_change_is_found_and_whose_it_is() -> None:
    """Ana's showers twice as large: showers and Ana moved beyond chance, Joss and the dishes did not, and by how much."""
    rng = random.Random(4)
    hits = 0
    for _ in range(20):
        moved = {one.name: one for one in compare(weeks(rng, 2.0))}
        hits += moved["Ana"].real and moved["shower"].real and moved["total"].real
        assert moved["shower"].more == pytest.approx(9.0, abs=3.5)
        assert not (moved["Joss"].real and moved["dishes"].real)
    assert hits >= 17


def test_few_days_tell_nothing_of_chance() -> None:
    """Two days against two: the litres are told, chance is not judged, nothing is called a change."""
    moved = compared.compare(
        weeks(random.Random(1), 3.0).entries, [], MONDAY + 7 * DAY, MONDAY + 9 * DAY, MONDAY + 5 * DAY
    )
    assert all(one.by_chance is None and not one.real for one in moved)


def test_what_saves_most_is_the_forecast_with_that_habit_changed() -> None:
    """Hours won are those between the median moments of the forecast as it stands and with the activity left out; the most comes first."""
    own, levels = world(), believed({"grey": 40.0})
    own.habits.uses = {
        name: [own.habits.use_days * litres, own.habits.use_days] for name, litres in (("shower", 9.0), ("dishes", 4.0))
    }
    now = MONDAY + 8 * HOUR
    first, found = savings.savings(own, now, ["dishes", "shower"], levels)
    assert first == "grey" and [one.activity for one in found] == ["shower", "dishes"]
    plain = forecast.runway(own, now, (), levels).tanks["grey"].gives_out["p50"]
    for one in found:
        after = forecast.runway(own, now, (Change("skip", one.activity),), levels).tanks["grey"].gives_out["p50"]
        assert plain is not None and after is not None and one.off is not None and one.less is not None
        assert one.off == pytest.approx(after - plain, abs=timedelta(minutes=15))
        assert timedelta(0) < one.less < one.off


def test_nothing_gives_out_and_nothing_is_won() -> None:
    """With every valve open on the hookup no tank gives out, and no time is told."""
    first, found = savings.savings(world(), MONDAY, ["shower"], believed({"fresh": 50.0}, flowing=("grey", "black")))
    assert first is None and all(one.off is None and one.less is None for one in found)
