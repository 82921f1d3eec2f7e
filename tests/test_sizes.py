"""How far a tank's capacity is from the one told: mixtures of sorts of tank and kinds of household, against brute-force grids."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from scipy import stats

from state import figures
from state.spread import Spread, blend
from state.water import routes, seen, sizes, split
from state.water.filter import Filter
from state.world import Rig, Tank, World
from tests.folding import Story

LITRES, SIZE, BELIEVED, DOUBT = 300.0, 136.0, 110.0, 4.0
"""So much ran since the grey tank was dumped; what was flushed of it is not in there."""


def _told(residual: float | None, noise: float) -> tuple[Filter, World]:
    """A grey tank that was seen this much above what was believed of how full it is; None: nobody looked."""
    rig = Rig(tanks={"black": Tank("black", "black", 60.0), "grey": Tank("grey", "grey", SIZE)})
    own = Filter()
    for name, mean, sd in (("share:black", figures.BLACK_SHARE, figures.FLUSHED_SD), ("cap:grey", SIZE, sizes.doubt(rig.tanks["grey"])),
                           ("level:grey", BELIEVED, DOUBT)):  # fmt: skip
        own.append(name, mean, sd * sd)
    own.couple(own.at["level:grey"], own.at["share:black"], -LITRES)
    if residual is not None:
        seen = {own.at["level:grey"]: 1.0, own.at["cap:grey"]: -1.0}
        gain, _ = own.best_gain(seen, noise)
        own.correct(seen, residual, noise, gain)
    return own, World(filter=own, rig=rig, moves=routes.flushed(rig), flushed=figures.BLACK_SHARE)


def _grid(residual: float | None, noise: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """By brute force: what is flushed, the capacity, and how likely they are together."""
    f, c = np.meshgrid(np.linspace(-0.1, 0.8, 901), np.linspace(40.0, 240.0, 801), indexing="ij")
    weight = sum(w * stats.norm(m, sqrt(v)).pdf(f) for w, m, v in split.START) * sum(
        w * stats.norm(SIZE, sd * SIZE).pdf(c) for w, sd in figures.CAPACITIES
    )
    if residual is not None:
        level = BELIEVED - LITRES * (f - figures.BLACK_SHARE)
        weight = weight * stats.norm(0.0, sqrt(DOUBT**2 + noise)).pdf(residual + BELIEVED - SIZE - (level - c))
    return f, c, weight / weight.sum()


@pytest.mark.parametrize("residual", [None, 0.0, 20.0, 45.0, -30.0])
def test_capacity_and_level_are_as_bayes_rule_says(residual: float | None) -> None:
    """Source: brute force on a grid of what is flushed and of the capacity, each a mixture at first, and one look at the level."""
    noise = 3.0**2
    own, world = _told(residual, noise)
    now, tank = split.split_of(own, world), world.rig.tanks["grey"]
    f, c, weight = _grid(residual, noise)
    for what, grid in (({own.at["cap:grey"]: 1.0}, c), ({own.at["share:black"]: 1.0}, f)):
        mean = sum(a * own.mean[place] for place, a in what.items())
        parts = sizes.parts_of(own, now, tank, what, mean)
        there = float((weight * grid).sum())
        assert sum(w * at for w, at, _ in parts) == pytest.approx(there, abs=0.004 * (SIZE if grid is c else 1.0))
        var = sum(w * (v + (at - there) ** 2) for w, at, v in parts)
        assert sqrt(var) == pytest.approx(float(sqrt((weight * (grid - there) ** 2).sum())), rel=0.08)


def test_room_is_narrow_with_far_ends_while_nobody_has_looked() -> None:
    """Source: scipy.stats.norm, mixed: four tanks in five are about as told. The whole is as wide as what the filter carries."""
    own, world = _told(None, 0.0)
    cap, tank = {own.at["cap:grey"]: 1.0}, world.rig.tanks["grey"]
    parts = sizes.parts_of(own, split.split_of(own, world), tank, cap, SIZE)
    found = blend([(weight, Spread(at, sqrt(var))) for weight, at, var in parts])
    for p in (0.02, 0.1, 0.5, 0.9):
        x = found.quantile(p)
        assert sum(w * stats.norm(SIZE, sd * SIZE).cdf(x) for w, sd in figures.CAPACITIES) == pytest.approx(p, abs=1e-6)
    assert found.sd == pytest.approx(figures.CAPACITY_DOUBT * SIZE)


def test_a_tank_that_is_full_too_soon_is_less_sure_than_one_full_in_time() -> None:
    """Three times full where the books had it so: the room is known. Three times at three quarters: it may be one of the odd tanks."""

    def width(litres: float) -> float:
        story = Story(black=0.0)
        for cycle in range(1, 4):
            story.meter(50.0 * cycle, litres * cycle)
            story.tell("level", 50.0 * cycle, tank="grey", fraction=1.0)
            story.tell("dump", 50.0 * cycle + 0.1, tank="grey")
        points = story.believed("grey", 155.0).capacity.points
        return points["p90"] - points["p10"]

    assert width(110.0) > 1.3 * width(143.0)


def test_a_guessed_capacity_is_one_wide_normal() -> None:
    """Where no size was told there is nothing that it could mostly be."""
    story = Story(rigged=False)
    story.tell("arrive", 0, site="Heron Bend", water=True, sewer=False)
    story.tell("dump", 0, tank="grey")
    found = story.believed("grey", 1.0).capacity
    assert found.sd == pytest.approx(figures.GUESSED_CAPACITY_DOUBT * figures.DEFAULT_LITRES["grey"], rel=0.05)


def test_one_surprise_leaves_a_learned_size_learned() -> None:
    """Twice full where the books had it so, then once a tenth too soon, after a black tank that was dumped alone: still about as large as told."""
    story, hours, metered = Story(grey=385.0, black=231.0), 0.0, 0.0
    for litres in (430.0, 430.0):
        hours, metered = hours + 80.0, metered + litres
        story.meter(hours, metered)
        story.tell("level", hours + 0.1, tank="grey", fraction=1.0)
        story.tell("dump", hours + 0.2, tank="grey")
    story.meter(hours + 50.0, metered + 160.0)
    story.tell("dump", hours + 50.5, tank="black")
    story.meter(hours + 130.0, metered + 340.0)
    story.tell("level", hours + 130.1, tank="grey", fraction=1.0)
    points = story.believed("grey", hours + 130.2).capacity.points
    assert 0.85 * 385.0 < points["p10"] < points["p50"] < points["p90"] < 1.15 * 385.0


def test_a_surprise_does_not_touch_how_much_of_a_level_hangs_on_what_is_flushed() -> None:
    """Of 110 litres that ran, a household that flushes a tenth more has 11 less in grey, however surprised anyone is; the rest is twice as unsure.
    Source: numpy.linalg, for the Schur complement and for a covariance that stays one."""
    story = Story()
    story.meter(50.0, 110.0)
    world = story.world()
    own = world.filter
    names = ["share:black", "level:grey", "cap:grey", "share:grey", "level:black"]

    def look() -> np.ndarray:
        return np.array([[own.cov[own.at[one]][own.at[other]] for other in names] for one in names])

    before = look()
    seen._doubt_more(world, "grey", 2.0)
    after = look()
    assert after[0] == pytest.approx(before[0])
    assert after[1, 0] / after[0, 0] == pytest.approx(-110.0, rel=0.03)

    def beside(whole: np.ndarray) -> np.ndarray:
        return whole[1:, 1:] - np.outer(whole[1:, 0], whole[0, 1:]) / whole[0, 0]

    more = np.diag([2.0, 2.0, 2.0, 1.0])
    assert beside(after) == pytest.approx(more @ beside(before) @ more, abs=1e-9)
    assert np.linalg.eigvalsh(np.array(own.cov)).min() > -1e-9
