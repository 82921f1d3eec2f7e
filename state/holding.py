"""What a tank tells without a word: it has not run over, and people dump one that is fairly full, seldom one that is nearly empty.

Both are taken in as observations of the filter, and both speak of where the water went: a black tank that was never dumped in weeks had
little, one that had to be dumped while the books had it nearly empty had much, and what reached it did not reach grey.
- Not run over: capacity less level is 0 or more. The belief (of both kinds of household, split.py) is cut off there; from its mean and
  variance before, m and v, and after, m' and v', comes the observation that would have done the same: noise r = v v' / (v - v'), value
  m' + (m' - m) v' / (v - v').
- Dumped (black; grey is let go at any level): the level was h times the capacity, if this tank was the reason. How full a household lets
  its tanks get is its own habit h, carried in the filter beside the rest, since many dumps do not tell it from the household's use.
  Whether the tank was the reason is weighed as probabilistic data association does, against a level that could be any.
Sources: D. Simon, Optimal State Estimation, Wiley 2006, section 7.5.4 (truncation); T. Minka, Expectation Propagation, UAI 2001;
Y. Bar-Shalom, T. Fortmann, Tracking and Data Association, Academic Press 1988, section 6.4 (all from memory); the truncation is checked
against scipy.
Pure. May import: what `passing` may, `spread`.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from math import exp, pi, sqrt

from state import passing
from state.filter import Filter, Row
from state.split import parts_of, split_of, spread_of
from state.spread import at_least, phi
from state.world import Rig, World

HABIT, HABIT_SD, DUMP_SD = 0.80, 0.17, 0.12
"""How full a tank is when it is dumped for its own sake, over capacity: the household's habit, and one dump about it. Common practice, no source."""

REASON = 0.7
"""Chance that a dump is for the sake of the tank itself, where nothing else is in sight. Common practice, no source."""

MOSTLY = 0.6
"""Another waste tank as full as this may well be the reason for a dump, and is usually dumped along with it."""

TOGETHER, ARRIVED, LEAVING = timedelta(hours=1), timedelta(hours=6), timedelta(hours=30)
"""Dumps so near to another, or to either end of a stay, say little: all tanks are emptied then, full or not."""

SLIP = 0.05
"""Chance that something was not told (an open valve, a dump): the likelier that is beside the overrun, the less it teaches of the rest."""

LEAST_PART = 1e-3
"""A dump this unlikely to be for the tank's sake tells nothing."""

NOTHING = 0.999
"""A cut that leaves this part of the variance tells nothing."""

BRIM = 1.15
"""A tank has run over, and somebody has said so, by this part of its capacity: pipes hold some, and a little over the brim is often not
told. Nearer to 1 it took what went untold for room, and odds came out 10 points too kind on measured homes. Common practice, no source."""


def watched(world: World) -> list[str]:
    """The waste tanks that tell something by not running over: shut, and known to have held less once."""
    waste = [tank.name.casefold() for tank in world.rig.waste()]
    return [key for key in waste if key in world.since and key not in world.open_valves]


def not_run_over(own: Filter, rig: Rig, start: float, key: str) -> None:
    """The tank holds what is in it: the belief is cut off where it would not. start: as for split.split_of."""
    level, most = own.at[passing.level_of(key)], own.at[passing.capacity_of(key)]
    seen = {most: BRIM, level: -1.0}
    here = BRIM * own.mean[most] - own.mean[level]
    parts = parts_of(own, split_of(own, rig, start), seen, here)
    mean, var = _moments(parts)
    cut = [(weight * phi(at / sqrt(each)), *at_least(at, each, 0.0)) for weight, at, each in parts if each > 0.0]
    kept, left = _moments(cut)
    if left <= 0.0 or left > NOTHING * var:
        return
    noise = var * left / (var - left)
    gain, spread = _gain(own, seen, noise)
    residual = kept + (kept - mean) * left / (var - left) - here
    fits = sum(weight for weight, _, _ in cut)
    teaches = (1.0 - SLIP) * fits / ((1.0 - SLIP) * fits + SLIP)
    whole = 1.0 - noise / spread
    gain = [each if place == level else teaches * each for place, each in enumerate(gain)]
    gain[level] = BRIM * gain[most] - whole
    own.correct(seen, residual, noise, gain)


def _gain(own: Filter, seen: Row, noise: float) -> tuple[list[float], float]:
    """The best gain, but for what the next reading will tell better: the meter's scale and what has run since the last one."""
    gain, spread = own.best_gain(seen, noise)
    for name in (passing.METER, passing.METERED, passing.PUMPED):
        gain[own.at[name]] = 0.0
    return gain, spread


def _moments(parts: list[tuple[float, float, float]]) -> tuple[float, float]:
    """Mean and variance of a mixture of (weight, mean, variance)."""
    total = sum(weight for weight, _, _ in parts)
    if total <= 0.0:
        return 0.0, 0.0
    mean = sum(weight * at for weight, at, _ in parts) / total
    return mean, sum(weight * (var + (at - mean) ** 2) for weight, at, var in parts) / total


def dumped(world: World, key: str, at: datetime) -> None:
    """The tank is about to be dumped: what that says of how full it was, and so of where the water went."""
    own = passing.belief_of(world)
    said = world.since.get(key)
    if said is None or at - said < TOGETHER:
        return
    level, most, habit = own.at[passing.level_of(key)], own.at[passing.capacity_of(key)], _habit(own, key)
    size, usual = own.mean[most], own.mean[habit]
    seen = {level: 1.0, most: -usual, habit: -size}
    noise = (DUMP_SD * size) ** 2
    gain, spread = _gain(own, seen, noise)
    residual = usual * size - own.mean[level]
    part = _is_reason(world, key, at, residual / size, spread / (size * size))
    if part < LEAST_PART:
        return
    gain = [part * each for each in gain]
    own.correct(seen, residual, noise, gain)
    # not knowing whether the dump spoke at all is a doubt of its own
    own.widen(dict(enumerate(gain)), (1.0 / part - 1.0) * (spread + residual * residual))


def _habit(own: Filter, key: str) -> int:
    """The place of the tank's usual fullness when it is dumped; made at its first dump."""
    place = own.at.get(passing.habit_of(key))
    return own.append(passing.habit_of(key), HABIT, HABIT_SD**2) if place is None else place


def _is_reason(world: World, key: str, at: datetime, residual: float, spread: float) -> float:
    """Probability that the tank was dumped for its own sake, with how well its level fits that. residual, spread: over capacity."""
    chance = REASON * (0.1 if _happens_anyway(world, key, at) else 1.0 - _another_full(world, key))
    fits = exp(-0.5 * residual * residual / spread) / sqrt(2.0 * pi * spread)
    return chance * fits / (chance * fits + (1.0 - chance))


def _happens_anyway(world: World, key: str, at: datetime) -> bool:
    if world.stay.on_the_road or world.stay.ended is not None:
        return True
    if world.stay.until is not None and world.stay.until - at < LEAVING:
        return True
    if world.stay.since is not None and at - world.stay.since < ARRIVED:
        return True
    return any(at - when <= TOGETHER for tank, when in world.last_dump.items() if tank != key)


def _another_full(world: World, key: str) -> float:
    """Probability that some other waste tank is mostly full."""
    own, most = passing.belief_of(world), 0.0
    split = split_of(own, world.rig, world.flushed)
    for tank in world.rig.waste():
        other = tank.name.casefold()
        if other == key or other in world.open_valves:
            continue
        level, top = own.at[passing.level_of(other)], own.mean[own.at[passing.capacity_of(other)]]
        held = spread_of(own, split, {level: 1.0}, own.mean[level], 0.0, top, 1e-6)
        most = max(most, 1.0 - held.cdf(MOSTLY * top))
    return most
