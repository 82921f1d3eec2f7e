"""What a log tells of where unlogged water goes: each logged litre once, and the chances of the first days not for good."""

from __future__ import annotations

import pytest

from state.water import likened, routes
from state.world import Logged, Rig, Tank, World
from tests.folding import Story


def _world() -> World:
    story = Story()
    return story.world()


def _entry(account: str, litres: float) -> Logged:
    activity = {"black": "toilet", "grey": "shower"}[account]
    return Logged(activity, 1, litres, False, [(account, 1.0, True)])


def _share(world: World, tank: str = "black") -> tuple[float, float]:
    own = world.filter
    place = own.at["share:" + tank]
    return float(own.mean[place]), float(own.cov[place][place] ** 0.5)


def test_litres_tell_the_same_however_they_are_split_into_stretches() -> None:
    """Told at once or day by day: what was told already is not told again."""
    at_once, by_day = _world(), _world()
    likened.learn(at_once, [_entry("black", 50.0), _entry("grey", 150.0)], 0.0)
    for black, grey in ((2.0, 48.0), (8.0, 42.0), (25.0, 25.0), (15.0, 35.0)):
        likened.learn(by_day, [_entry("black", black), _entry("grey", grey)], 0.0)
    for tank in ("black", "grey"):
        assert _share(by_day, tank) == pytest.approx(_share(at_once, tank), rel=1e-6)


def test_a_day_by_chance_without_flushes_does_not_stay_for_good() -> None:
    """One flush in the first eighty litres, a quarter of all from then on: after two weeks that is what is believed, within its doubt."""
    world = _world()
    likened.learn(world, [_entry("black", 4.0), _entry("grey", 76.0)], 0.0)
    assert _share(world)[0] < 0.15
    for _ in range(14):
        likened.learn(world, [_entry("black", 10.0), _entry("grey", 26.0)], 0.0)
    mean, sd = _share(world)
    assert mean == pytest.approx(144.0 / 584.0, abs=0.03)
    assert sd == pytest.approx(likened.ALIKE_SD, rel=0.1)


def test_a_log_counts_from_the_first_flush_on() -> None:
    """Showers alone are not the whole of life aboard."""
    world = _world()
    before = _share(world)
    for _ in range(10):
        likened.learn(world, [_entry("grey", 30.0)], 0.0)
    assert _share(world) == before
    likened.learn(world, [_entry("grey", 20.0), _entry("black", 10.0)], 0.0)
    assert _share(world)[0] > before[0]


def test_without_a_tank_for_flushes_all_counts_at_once() -> None:
    """What is drunk reaches no tank."""
    story = Story(black=0.0)
    world = story.world()
    assert not routes.flushed(Rig(tanks={"grey": Tank("grey", "grey", 136.0)}))
    before = _share(world, "grey")[0]
    likened.learn(world, [_entry("grey", 60.0), Logged("drinking", 1, 60.0, False, [("outside", 1.0, True)])], 0.0)
    assert _share(world, "grey")[0] < before
