"""What is flushed, and what a tank tells by holding: against scipy and brute-force grids."""

from __future__ import annotations

import json
import random
from datetime import UTC, datetime, timedelta
from math import inf
from typing import Any

import numpy as np
import pytest
from scipy import optimize, stats

from state import figures
from state.spread import Blend, Spread, at_least, blend, centred
from state.water import belief, fold, holding, routes, split
from state.water.filter import Filter
from state.world import Rig, Tank, World
from tests.folding import Story, hour


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


def test_quantiles_of_mixtures_are_exact() -> None:
    """Source: scipy.optimize.brentq on the weighted distribution functions of scipy.stats.truncnorm; narrow parts, wide ones, far apart."""
    random_ = random.Random(7)
    for _ in range(60):
        weight, low, high = random_.uniform(0.02, 0.98), 0.0, random_.choice((60.0, 400.0))
        parts = [
            (each, random_.uniform(-5.0, 110.0), 10 ** random_.uniform(-1.0, 1.5)) for each in (weight, 1.0 - weight)
        ]
        own = blend([(each, Spread(mean, sd, low, high)) for each, mean, sd in parts])
        theirs = [(each, stats.truncnorm((low - mean) / sd, (high - mean) / sd, mean, sd)) for each, mean, sd in parts]
        if any((low - mean) / sd > 5 or (mean - high) / sd > 5 for _, mean, sd in parts):
            continue  # so little is left that the difference of distribution functions is rounding
        for p in (0.05, 0.1, 0.5, 0.9, 0.95):
            found = optimize.brentq(lambda x: sum(w * each.cdf(x) for w, each in theirs) - p, low, high, xtol=1e-13)  # noqa: B023
            assert abs(sum(w * each.cdf(own.quantile(p)) for w, each in theirs) - p) < 1e-10
            assert own.quantile(p) == pytest.approx(found, rel=1e-9, abs=1e-9) or _flat(theirs, found)


def _flat(theirs: list[Any], x: float) -> bool:
    """Hardly any probability lies here, so that the place of a quantile hangs on rounding."""
    return bool(sum(w * each.pdf(x) for w, each in theirs) < 1e-6)


def test_a_mixture_with_a_single_point_jumps_there() -> None:
    """A part without doubt holds its whole weight in one place."""
    own = blend([(0.5, Spread(10.0, 0.0)), (0.5, Spread(20.0, 2.0))])
    assert own.quantile(0.3) == pytest.approx(10.0, abs=1e-9)
    assert own.quantile(0.75) == pytest.approx(20.0, abs=1e-9)


def test_a_centred_mixture_has_its_half_at_the_middle() -> None:
    """Moved, not stretched: half lies below the middle, and the parts stay as far apart."""
    own = centred([(0.7, 10.0, 4.0), (0.3, 25.0, 36.0)], 40.0, -inf, inf)
    assert isinstance(own, Blend) and own.cdf(40.0) == pytest.approx(0.5, abs=1e-10)
    (_, one), (_, two) = own.parts
    assert two.mean - one.mean == pytest.approx(15.0) and (one.sd, two.sd) == (2.0, 6.0)


def test_kinds_of_household_weigh_as_bayes_rule_says() -> None:
    """Source: brute force on a grid of what is flushed: the mixture start times a normal likelihood."""
    seen, noise = 0.17, 0.05**2
    wide, start = figures.FLUSHED_SD**2, figures.BLACK_SHARE
    var = 1.0 / (1.0 / wide + 1.0 / noise)
    mean = var * (start / wide + seen / noise)
    kinds = split._weigh(mean, var, start)
    f = np.linspace(-0.8, 1.2, 20001)
    weight = sum(w * stats.norm(m, v**0.5).pdf(f) for w, m, v in split.START) * stats.norm(seen, noise**0.5).pdf(f)
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
        assert whole == pytest.approx(found.capacity.quantile(0.5), abs=0.01 * 136)


def test_one_gross_full_hardly_moves_a_told_capacity() -> None:
    """Full at half the litres that fill it: something was not told, and the tank is as large as it was."""
    story = Story()
    story.meter(30, 60.0)
    story.tell("level", 30, tank="grey", fraction=1.0)
    assert story.believed("grey", 30).capacity.mean == pytest.approx(136.0, rel=0.02)


def test_narrow_kinds_stand_for_the_start() -> None:
    """Source: scipy.stats.norm, summed up and cut off at nothing flushed: the row of kinds reaches each probability about where it does."""
    f = np.linspace(0.0, 1.0, 20001)
    whole = np.cumsum(sum(w * stats.norm(m, sd).pdf(f) for w, m, sd in figures.FLUSHED))
    row = split.Split({0: 1.0}, 0.05, 1.0, split.START)
    for p, found in zip((0.1, 0.3, 0.5, 0.7, 0.9), split.below(row, 0.1, 0.3, 0.5, 0.7, 0.9), strict=True):
        assert found == pytest.approx(f[np.searchsorted(whole, p * whole[-1])], abs=0.02)


def test_between_frugal_rigs_and_houses_is_no_hole() -> None:
    """What our own typical uses come to (a sixth, three flushes a person) is not held for much less likely than a house's quarter. Source:
    scipy.stats.norm. And the middle of it all is what people are told to reckon with."""
    f = np.linspace(0.06, 0.24, 181)
    dense = sum(w * stats.norm(m, sd).pdf(f) for w, m, sd in figures.FLUSHED)
    assert dense.min() > 0.5 * dense[-1]
    row = split.Split({0: 1.0}, 0.05, 1.0, split.START)
    assert split.below(row, 0.5)[0] == pytest.approx(figures.BLACK_SHARE, abs=0.003)


def test_hardly_more_reaches_the_tanks_than_ran() -> None:
    """The part that reaches none is not below nothing. Source: scipy.stats.truncnorm of a normal of 0.04 about it."""
    outside = 1.0 - figures.GREY_SHARE - figures.BLACK_SHARE
    cut = stats.truncnorm(-outside / 0.04, np.inf, outside, 0.04)
    assert cut.std() == pytest.approx(figures.OUTSIDE_SHARE_SD, rel=0.03)


FLUSHED_LITRES = 400.0
"""What ran through the rig since its black tank of 60 litres was last dumped: so much, times what is flushed, is in it."""


def _of_a_black_tank(since: datetime) -> World:
    own = Filter()
    for name, mean, sd in (("used", 0.0, 0.0), ("pumped", 0.0, 0.0), ("meter", 0.0, 0.0), ("share:black", 0.05, figures.FLUSHED_SD),
                           ("level:black", 20.0, 2.0), ("cap:black", 60.0, 0.0), ("level:grey", 50.0, 1.0), ("cap:grey", 136.0, 0.0)):  # fmt: skip
        own.append(name, mean, sd * sd)
    own.couple(own.at["level:black"], own.at["share:black"], FLUSHED_LITRES)
    rig = Rig(tanks={"black": Tank("black", "black", 60.0), "grey": Tank("grey", "grey", 136.0)})
    return World(filter=own, rig=rig, since={"black": since}, moves=routes.flushed(rig))


def _likelihoods(chance: float, steps: int = 1201) -> list[tuple[float, float]]:
    """By brute force, for each kind of household: that its tank was not dumped so far, and that it was dumped now. chance: for its own sake."""
    level = np.linspace(-60.0, 400.0, steps)
    usual = stats.norm(60.0 * holding.HABIT, 60.0 * (holding.HABIT_SD**2 + holding.DUMP_SD**2) ** 0.5)
    found = []
    for _, flushed, var in split.START:
        held = stats.norm(20.0 + FLUSHED_LITRES * (flushed - 0.05), (4.0 + FLUSHED_LITRES**2 * var) ** 0.5).pdf(level)
        waited = float(np.trapezoid(held * usual.sf(level), level))
        now = float(np.trapezoid(held * usual.pdf(level), level)) * 60.0 * flushed / holding.USUAL
        robust = (1.0 - holding.SLIP) * waited + holding.SLIP
        found.append((robust, chance * now + (1.0 - chance) * robust))
    return found


def _weights(likelihoods: list[float]) -> list[float]:
    both = [kind[0] * each for kind, each in zip(split.START, likelihoods, strict=True)]
    return [each / sum(both) for each in both]


def test_a_dump_tells_of_each_kind_of_household_as_bayes_rule_says() -> None:
    """Source: brute force on a grid of the level: dumped when it came to the household's own mark, or at any level that had not led to a dump."""
    since = datetime(2026, 6, 8, tzinfo=UTC)
    world, at = _of_a_black_tank(since), since + timedelta(days=9)
    holding.dumped(world, "black", at, chosen=True)
    world.last_dump["black"] = at
    assert not holding.look_back(world, at + timedelta(minutes=50)) and holding.look_back(
        world, at + timedelta(minutes=70)
    )
    expected = _weights([dumped for _, dumped in _likelihoods(holding.ALONE)])
    assert _by_level(world) == pytest.approx(expected, rel=1e-3, abs=1e-6)


def _by_level(world: World) -> list[float]:
    """What the kinds weigh among households that dump a tank for being full."""
    return [each / sum(world.told.by_level) for each in world.told.by_level]


def _after_dumps_of_black(days: tuple[float, ...], litres_a_day: float) -> tuple[World, float]:
    """The world, and the share to black, of a household whose black tank of 60 litres is dumped alone on these days."""
    story, last = Story(grey=1000.0, black=60.0), 0
    for day in days:
        for each in range(last + 1, int(day) + 1):
            story.meter(24.0 * each - 1.0, litres_a_day * each)
        story.tell("dump", 24.0 * day, tank="black")
        last = int(day)
    return story.world(), story.believed("black", 24.0 * days[-1] + 2.0).share.mean


def test_who_dumps_black_on_the_same_weekday_does_so_for_the_day() -> None:
    """Once a week to the hour tells of the calendar; at odd intervals about as long, of a tank that was full each time."""
    punctual, weekly = _after_dumps_of_black((7, 14, 21, 28), 40.0)
    odd, by_level = _after_dumps_of_black((7, 13, 22, 28), 40.0)
    assert sum(punctual.told.by_day) > 0.9 and sum(odd.told.by_day) < 0.2
    assert weekly < 0.12 and 0.12 < by_level < 0.25


def test_a_valve_that_was_opened_tells_only_that_nothing_led_to_a_dump_before() -> None:
    """Source: the same grid. Whoever opens the valve at a sewer does so at any level."""
    since = datetime(2026, 6, 8, tzinfo=UTC)
    world, at = _of_a_black_tank(since), since + timedelta(days=9)
    holding.dumped(world, "black", at, chosen=False)
    world.last_dump["black"] = at
    holding.look_back(world, at + timedelta(hours=2))
    assert _by_level(world) == pytest.approx(_weights([waited for waited, _ in _likelihoods(0.0)]), rel=1e-3, abs=1e-6)


def test_a_household_that_dumps_at_a_third_is_learned_to_do_so() -> None:
    """Whose black tank a level shows a third full at every dump has that habit, and flushes no more than that for it."""
    story = Story(grey=136.0, black=60.0)
    for cycle in range(1, 7):
        at = 120.0 * cycle
        story.meter(at, 100.0 * cycle)
        story.tell("level", at, tank="black", litres=20.0)
        story.tell("dump", at + 0.2, tank="black")
        story.tell("dump", at + 30, tank="grey")
    told, found = story.world().told, story.believed("black", 725.0)
    likeliest = max(range(len(told.weights)), key=lambda place: told.weights[place])
    assert told.habits[likeliest] < 0.6
    assert found.share.mean == pytest.approx(0.2, abs=0.05)


def _held_since(ago: timedelta) -> tuple[float, float]:
    """Mean and variance of a black tank of 50, believed 42 +- 14, that was last emptied so long ago and not since."""
    since = datetime(2026, 6, 8, tzinfo=UTC)
    own = Filter()
    for name, mean, sd in (("used", 0.0, 0.0), ("pumped", 0.0, 0.0), ("meter", 0.0, 0.0), ("level:black", 42.0, 14.0),
                           ("cap:black", 50.0, 1e-4), ("share:black", 0.9, 0.0)):  # fmt: skip
        own.append(name, mean, sd * sd)
    world = World(filter=own, rig=Rig(tanks={"black": Tank("black", "black", 50.0)}), since={"black": since})
    holding.not_run_over(world, "black", since + ago)
    place = own.at["level:black"]
    return own.mean[place], own.cov[place][place]


def test_a_tank_not_dumped_yet_is_cut_off_softly() -> None:
    """Source: brute force on a grid: the household dumps its black tank when it is about as full as is its habit."""
    level = np.linspace(-40.0, 130.0, 3401)
    margin = stats.norm(50.0 * holding.HABIT, 50.0 * (holding.HABIT_SD**2 + holding.DUMP_SD**2) ** 0.5)
    weight = stats.norm(42.0, 14.0).pdf(level) * margin.sf(level)
    mean = (level * weight).sum() / weight.sum()
    var = ((level - mean) ** 2 * weight).sum() / weight.sum()
    assert _held_since(timedelta(days=9)) == pytest.approx((mean, var), rel=1e-3)


def test_a_tank_just_emptied_tells_nothing_by_not_being_dumped() -> None:
    """A rinse may fill it right after: it is cut off at the brim alone, as scipy's truncated normal (and what the habit says is left out)."""
    brim = holding.BRIM * 50.0
    theirs = stats.truncnorm(-np.inf, (brim - 42.0) / 14.0, 42.0, 14.0)
    assert _held_since(timedelta(hours=1)) == pytest.approx((theirs.mean(), theirs.var()), rel=1e-3)


def _after_a_black_dump(*, grey_too: bool) -> float:
    """Share to black in the morning after a black tank that the books had nearly empty was dumped, grey being fairly full."""
    story = Story(grey=136.0, black=60.0)
    story.meter(100, 110.0)
    story.tell("dump", 101, tank="black")
    if grey_too:
        story.tell("dump", 101.1, tank="grey")
    story.meter(112, 118.0)
    own = story.world().filter
    return float(own.mean[own.at["share:black"]])


def test_a_black_tank_dumped_alone_was_full_and_one_dumped_with_grey_perhaps_not() -> None:
    """Nobody hooks up a hose for an empty tank: dumped alone, it was the reason; with a full grey tank, that may have been."""
    alone, along = _after_a_black_dump(grey_too=False), _after_a_black_dump(grey_too=True)
    assert alone > 0.12 and alone > along + 0.04


def test_a_twin_stays_what_its_like_was() -> None:
    """A twin is wholly alike at first, and keeps its value and its doubt when the other goes on."""
    own = Filter()
    own.append("a", 3.0, 4.0)
    own.append("b", 1.0, 1.0)
    own.couple(0, 1, 2.0)
    own.twin("a", "then")
    own.widen({0: 1.0}, 5.0)
    own.mean[0] = 9.0
    then = own.at["then"]
    assert own.mean[then] == 3.0 and own.cov[then] == [8.0, 2.0, 8.0] and own.cov[0][0] == 13.0


def test_a_world_written_down_while_a_dump_waits_goes_on_the_same() -> None:
    """Between a black tank's dump and what it tells lies an hour: a snapshot in it carries the rest."""
    story = Story(grey=136.0, black=60.0)
    story.meter(100, 110.0)
    dump = story.tell("dump", 101, tank="black")
    story.meter(112, 118.0)
    until = story.entries.index(dump) + 1
    kept = fold.restore(json.loads(json.dumps(fold.snapshot(fold.fold(story.entries[:until])))))
    assert kept.gone
    resumed, whole = fold.fold(story.entries[until:], kept), fold.fold(story.entries)
    assert resumed.filter.mean == whole.filter.mean and resumed.balances == whole.balances and not whole.gone


def test_looking_while_a_dump_waits_changes_nothing() -> None:
    """A belief asked for before or after the hour leaves the world as it was."""
    story = Story(grey=136.0, black=60.0)
    story.meter(100, 110.0)
    story.tell("dump", 101, tank="black")
    world = story.world()
    before = json.dumps(fold.snapshot(world))
    soon, later = (belief.believe(world, hour(hours)).tanks["black"].share.mean for hours in (101.5, 103.0))
    assert json.dumps(fold.snapshot(world)) == before
    assert later > soon + 0.02
