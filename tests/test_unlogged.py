"""How the habit of logging is learned over years: what no stretch tells stays as doubtful as at first, and nothing runs away."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from state.habits import unlogged
from state.habits.unlogged import Unlogged


def _alike(habits: Unlogged, days: int, share: float) -> None:
    """So many days that hardly differ, of each of which `share` of what was logged ran besides."""
    for number in range(days):
        pace = [4.0, 16.0, 12.0, 14.5]
        logged = 44.0 + (number * 7 % 10 - 4.5)
        unlogged.learn(habits, pace, logged, share * logged, 1.0)


def test_ten_years_of_days_that_are_all_alike_do_not_run_away() -> None:
    """Dividing the doubt by what is kept, without a bound, came to 1e20 after six years of such days."""
    habits = Unlogged()
    _alike(habits, 3650, 0.06)
    for logged in (39.5, 44.0, 48.5):
        assert unlogged.expect(habits, [4.0, 16.0, 12.0, 14.5], logged) == pytest.approx(0.06 * logged, abs=0.2)
    assert all(0.0 <= each <= 0.3 for each in habits.mean)


def test_a_habit_that_changes_after_years_is_learned_anew_within_a_season() -> None:
    habits = Unlogged()
    _alike(habits, 2000, 0.0)
    _alike(habits, 100, 0.4)
    assert unlogged.expect(habits, [4.0, 16.0, 12.0, 14.5], 44.0) == pytest.approx(0.4 * 44.0, rel=0.15)


STRETCHES = st.lists(
    st.tuples(
        st.lists(st.just(0.0) | st.floats(0.01, 60.0), min_size=4, max_size=4),
        st.floats(0.0, 90.0),
        st.floats(-5.0, 90.0),
        st.floats(0.01, 90.0),
    ),
    max_size=40,
)


def _cov(habits: Unlogged) -> np.ndarray:
    """Covariance of the coefficients, by the product's own elimination."""
    lower = unlogged.factor(habits.information())
    return np.array([unlogged.solve(lower, row) for row in np.eye(5).tolist()])


@given(STRETCHES)
def test_whatever_is_metered_the_doubt_is_positive_and_never_more_than_at_first(
    stretches: list[tuple[list[float], float, float, float]],
) -> None:
    habits = Unlogged()
    for pace, logged, rest, days in stretches:
        unlogged.learn(habits, pace, logged, rest, days)
    cov, first = _cov(habits), _cov(Unlogged())
    assert np.allclose(cov, cov.T, rtol=1e-6)
    assert np.linalg.eigvalsh(cov)[0] > 0.0
    assert np.linalg.eigvalsh(first - cov)[0] > -1e-9


def test_the_coefficients_are_those_of_ridge_regression_with_fading_weights(monkeypatch: pytest.MonkeyPatch) -> None:
    """Against numpy, with the prior as the ridge and a scatter that is known: T. Hastie and others, section 3.4.1."""
    monkeypatch.setattr(unlogged, "SCATTER_WEIGHT", 1e15)
    draws = np.random.default_rng(7)
    habits = Unlogged()
    first = np.array(habits.information())
    keep = 0.5 ** (2.0 / unlogged.FORGET_DAYS)
    information, towards, paced, logged = np.zeros((5, 5)), np.zeros(5), 0.0, 0.0
    for _ in range(30):
        x = np.append(draws.uniform(2.0, 20.0, 4), draws.uniform(5.0, 50.0))
        y = float(x @ [0.5, 0.7, 0.6, 0.4, -0.1] + draws.normal(0.0, 6.0))
        noise = habits.scatter * habits.day * x[:4].sum() + 0.1
        unlogged.learn(habits, [float(each) for each in x[:4]], float(x[4]), y, 2.0)
        information = keep * information + np.outer(x, x) / noise
        towards = keep * towards + x * y / noise
        paced, logged = keep * paced + x[:4].sum(), keep * logged + x[4]
    start = np.array([unlogged.FIRST_PACE + unlogged.FIRST_LOGGED * logged / paced] * 4 + [0.0])
    assert np.allclose(habits.mean, np.linalg.solve(first + information, first @ start + towards), rtol=1e-9)
    assert np.allclose(_cov(habits), np.linalg.inv(first + information), rtol=1e-9, atol=1e-12)


def test_who_logs_nothing_is_taken_to_leave_the_whole_pace_unlogged_and_who_logs_all_little_of_it() -> None:
    """After one stretch that told nothing new: the prior follows what part is logged, where it was one middle for all."""
    pace = [4.0, 16.0, 12.0, 14.5]
    for part, rest in ((0.0, 1.0), (0.5, 0.575), (1.0, 0.15)):
        habits, total = Unlogged(), sum(pace)
        unlogged.learn(habits, pace, part * total, rest * total, 0.5)
        assert unlogged.expect(habits, pace, part * total) == pytest.approx(rest * total, abs=0.02 * total)
