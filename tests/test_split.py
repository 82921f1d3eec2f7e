"""What is flushed, and what a tank tells by holding: against scipy and brute-force grids."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from state import figures, split
from state.spread import Spread, at_least, blend
from tests.folding import Story


def test_at_least_is_scipys_truncated_normal() -> None:
    """Source: scipy.stats.truncnorm."""
    for mean, var, least in ((5.0, 9.0, 0.0), (-4.0, 4.0, 0.0), (1.0, 25.0, 3.0)):
        theirs = stats.truncnorm((least - mean) / var**0.5, np.inf, mean, var**0.5)
        assert at_least(mean, var, least) == pytest.approx((theirs.mean(), theirs.var()), rel=1e-6)


def test_a_blend_is_the_mixture() -> None:
    """Source: scipy.stats.norm: the quantile of a mixture is where its weighted distribution functions reach p."""
    own = blend([(0.75, Spread(10.0, 1.0)), (0.25, Spread(4.0, 3.0))])
    for p in (0.05, 0.1, 0.5, 0.9):
        x = own.quantile(p)
        assert 0.75 * stats.norm(10, 1).cdf(x) + 0.25 * stats.norm(4, 3).cdf(x) == pytest.approx(p, abs=1e-6)


def test_kinds_of_household_weigh_as_bayes_rule_says() -> None:
    """Source: brute force on a grid of what is flushed: the mixture start times a normal likelihood."""
    seen, noise = 0.17, 0.05**2
    wide, start = figures.FLUSHED_SD**2, figures.BLACK_SHARE
    var = 1.0 / (1.0 / wide + 1.0 / noise)
    mean = var * (start / wide + seen / noise)
    kinds = split._weigh(mean, var, start)
    f = np.linspace(-0.8, 1.2, 20001)
    weight = sum(w * stats.norm(m, sd).pdf(f) for w, m, sd in figures.FLUSHED) * stats.norm(seen, noise**0.5).pdf(f)
    weight /= weight.sum()
    assert sum(w * m for w, m, _ in kinds) == pytest.approx(float((weight * f).sum()), abs=1e-5)


def test_level_and_room_make_up_the_capacity() -> None:
    """Their middles add up at every fullness, past full too."""
    for metered in (30.0, 90.0, 135.0, 150.0, 180.0):
        story = Story()
        for step in range(1, 7):
            story.meter(12.0 * step, metered * step / 6)
        found = story.believed("grey", 72.1)
        whole = found.level.quantile(0.5) + found.room.quantile(0.5)
        assert whole == pytest.approx(found.capacity.mean, abs=0.01 * 136)


def test_one_gross_full_hardly_moves_a_told_capacity() -> None:
    """Full at half the litres that fill it: something was not told, and the tank is as large as it was."""
    story = Story()
    story.meter(30, 60.0)
    story.tell("level", 30, tank="grey", fraction=1.0)
    assert story.believed("grey", 30).capacity.mean == pytest.approx(136.0, rel=0.02)
