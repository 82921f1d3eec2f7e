"""What one use takes: frugal before anything is known, the person's own afterwards."""

from __future__ import annotations

import random

import numpy as np
import pytest
from scipy import stats

from state import figures
from state.habits import typical
from state.world import World
from tests.folding import GALLON, Story


def test_a_frugal_shower_is_about_two_gallons() -> None:
    """Common practice, no source; below the 3 gal of an interrupted shower (restated) and far below a house's 15.8 gal (restated)."""
    usual = typical.typical(World(), "shower")
    assert usual.mean == pytest.approx(2 * GALLON, rel=0.01) and usual.n == 0
    assert usual.mean < 3 * GALLON < 15.8 * GALLON


def test_every_fixed_activity_has_a_typical_volume() -> None:
    """Nothing of the interface's list is missing, and all stay below the house figures of Residential End Uses of Water v2 (restated)."""
    names = ["shower", "bath", "dishes", "handwash", "teeth", "shave", "face", "toilet", "laundry", "cooking"]
    names += ["drinking", "coffee", "cleaning", "pets", "outside", "other"]
    assert set(names) == set(figures.TYPICAL_LITRES)
    house = {"shower": 15.8, "toilet": 2.6, "dishes": 6.1}
    assert all(figures.TYPICAL_LITRES[name] < gallons * GALLON for name, gallons in house.items())


def test_own_measured_uses_take_over() -> None:
    """Twenty showers of 12 litres: the next is taken as 12, within a few per cent."""
    story = Story()
    for index in range(20):
        story.use(index, 12.0)
    usual = typical.typical(story.world(), "shower")
    assert usual.mean == pytest.approx(12.0, rel=0.05) and usual.n == 20 and usual.sd < 3.0


def test_a_persons_own_differ_from_the_households() -> None:
    """Ana showers with 12 litres, Joss with 5: each has their own; a guest gets the household's."""
    story = Story()
    for index in range(12):
        story.use(index, 12.0, person="Ana")
        story.use(index, 5.0, person="Joss")
    world = story.world()
    ana, joss, guest = (typical.typical(world, "shower", who).mean for who in ("Ana", "joss", "Mo"))
    assert ana > 11.0 and joss < 6.0 and joss < guest < ana


def test_typical_entries_teach_nothing() -> None:
    """What was itself a typical value is no evidence."""
    story = Story()
    story.use(1, 30.0, estimated=True)
    assert typical.typical(story.world(), "shower").n == 0


def test_minutes_are_taken_by_the_measured_flow() -> None:
    """Five minutes at a measured 4 litres a minute are 20 litres; without a measured flow a frugal head stands in."""
    world = World()
    assert typical.typical(world, "shower", minutes=2.0).mean == pytest.approx(2 * 1.5 * GALLON)
    world.flow_litres_per_minute = 4.0
    assert typical.typical(world, "shower", minutes=5.0).mean == pytest.approx(20.0)


def test_the_learned_mean_is_that_of_the_conjugate_normal() -> None:
    """Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.3: mean (k0 m0 + n y) / (k0 + n), checked on a grid.

    The grid has a normal prior of variance sd^2 / k0 around the figure and the same known variance for each use.
    """
    world, uses = World(), [9.0, 11.0, 10.0, 12.5, 8.5, 9.5]
    for litres in uses:
        typical.learn(world, "shower", None, litres, 1)
    prior, weight = figures.TYPICAL_LITRES["shower"], typical.HOUSEHOLD_WEIGHT
    grid = np.linspace(0, 25, 20001)
    density = stats.norm(prior, 2.0 / weight**0.5).pdf(grid)
    for litres in uses:
        density *= stats.norm(grid, 2.0).pdf(litres)
    density /= density.sum()
    assert typical.typical(world, "shower").mean == pytest.approx(float((grid * density).sum()), abs=1e-3)


def test_the_spread_holds_the_next_use() -> None:
    """Of 400 next uses, 80 % intervals (normal) hold 72 to 90 %, after eight uses of an irregular person."""
    random_, held = random.Random(4), 0
    for _ in range(400):
        world, mean = World(), random_.uniform(4, 12)
        for _ in range(8):
            typical.learn(world, "shower", None, max(0.5, random_.gauss(mean, 0.35 * mean)), 1)
        usual = typical.typical(world, "shower")
        following = max(0.5, random_.gauss(mean, 0.35 * mean))
        held += abs(following - usual.mean) <= 1.2816 * usual.sd
    assert 0.72 < held / 400 < 0.90


def test_an_own_activity_is_known_once_logged() -> None:
    world = Story().world()
    assert typical.known(world, "shower") and not typical.known(world, "rock tumbling")
    story = Story()
    story.use(1, 3.0, "Rock tumbling")
    assert typical.known(story.world(), "rock TUMBLING")
