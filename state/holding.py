"""What a tank tells without a word: it has not run over, and people dump one that is fairly full, seldom one that is nearly empty.

Both are taken in as observations of the filter, and both speak of where the water went: a black tank that was never dumped in weeks had
little, one that had to be dumped while the books had it nearly empty had much, and what reached it did not reach grey.
- Not run over: capacity less level is 0 or more. The belief (of both kinds of household, split.py) is cut off there; from its mean and
  variance before, m and v, and after, m' and v', comes the observation that would have done the same: noise r = v v' / (v - v'), value
  m' + (m' - m) v' / (v - v').
- Not dumped yet (black): so h x capacity + e less level is 0 or more, with h as below and e the scatter of one dump: the same cut, and the
  variance of e stays noise.
- Dumped (black; grey is let go at any level): the level was h times the capacity, if this tank was the reason. How full a household lets
  its tanks get is its own habit h, carried in the filter beside the rest, since many dumps do not tell it from the household's use.
  Whether the tank was the reason is weighed as probabilistic data association does, against a level that could be any. That can be judged
  once it shows whether another tank is dumped along with it: until then the level at the dump is kept in the filter as a quantity of its own.
  Being seen with probability p moves the mean p of the way; the noise that moves it as far is what is taken in (`softened`).
Sources: D. Simon, Optimal State Estimation, Wiley 2006, section 7.5.4 (truncation); T. Minka, Expectation Propagation, UAI 2001;
Y. Bar-Shalom, T. Fortmann, Tracking and Data Association, Academic Press 1988, section 6.4 (all from memory); the truncation is checked
against scipy.
Pure. May import: what `passing` may, `spread`.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from math import sqrt

from state import passing
from state.filter import Filter, Row
from state.split import parts_of, split_of, spread_of
from state.spread import at_least, density, phi
from state.world import World

HABIT, HABIT_SD, DUMP_SD = 0.80, 0.17, 0.12
"""How full a tank is when it is dumped for its own sake, over capacity: the household's habit, and one dump about it. Common practice, no source."""

REASON, ALONE = 0.7, 0.9
"""Chance that a dump is for the sake of the tank itself, where nothing else is in sight: of tanks dumped together, and of one dumped
alone. Common practice, no source."""

MOSTLY = 0.6
"""Another waste tank as full as this may well be the reason for a dump, and is usually dumped along with it."""

TOGETHER, ARRIVED, LEAVING = timedelta(hours=1), timedelta(hours=6), timedelta(hours=30)
"""Dumps so near to another, or to either end of a stay, say little: all tanks are emptied then, full or not."""

ANEW = timedelta(days=1)
"""Nobody dumps a tank again sooner, however full a rinse makes it."""

SLIP = 0.05
"""Chance that something was not told (an open valve, a dump): the likelier that is beside the overrun, the less it teaches of the rest."""

SOFTEST = 1e6
"""More noise than this over that of the observation itself is not looked for."""

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


def not_run_over(world: World, key: str, at: datetime) -> None:
    """The tank holds what is in it, and a black one was not dumped yet: the belief at that moment is cut off where it would not be so."""
    own = passing.belief_of(world)
    level, most = own.at[passing.level_of(key)], own.at[passing.capacity_of(key)]
    seen, here, stray = _margin(world, key, at, level, most)
    parts = parts_of(own, split_of(own, world.rig, world.flushed), seen, here, stray)
    mean, var = _moments(parts)
    cut = [(weight * phi(at / sqrt(each)), *at_least(at, each, 0.0)) for weight, at, each in parts if each > 0.0]
    kept, left = _moments(cut)
    if left <= 0.0 or left > NOTHING * var:
        return
    noise = stray + var * left / (var - left)
    gain, spread = _gain(own, seen, noise)
    residual = kept + (kept - mean) * left / (var - left) - here
    fits = sum(weight for weight, _, _ in cut)
    teaches = (1.0 - SLIP) * fits / ((1.0 - SLIP) * fits + SLIP)
    gain = [each if place == level else teaches * each for place, each in enumerate(gain)]
    if not stray:
        # what the brim does not learn the level gives up: it is under the brim for certain
        gain[level] = sum(a * gain[place] for place, a in seen.items() if place != level) - (1.0 - noise / spread)
    own.correct(seen, residual, noise, gain)


def _margin(world: World, key: str, at: datetime, level: int, most: int) -> tuple[Row, float, float]:
    """What is 0 or more while a tank holds and nobody dumps it: its places, as believed, and the variance it has of its own. [litres]"""
    own = passing.belief_of(world)
    if world.rig.tanks[key].kind != "black" or at - world.since[key] < ANEW:
        return {most: BRIM, level: -1.0}, BRIM * own.mean[most] - own.mean[level], 0.0
    habit = _habit(own, key)
    usual, size = own.mean[habit], own.mean[most]
    return {most: usual, habit: size, level: -1.0}, usual * size - own.mean[level], (DUMP_SD * size) ** 2


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
    """The tank is about to be dumped. What that says of how full it was is told once it shows whether another follows (`look_back`)."""
    own = passing.belief_of(world)
    said = world.since.get(key)
    if said is None or at - said < TOGETHER:
        return
    _habit(own, key)
    own.twin(passing.level_of(key), passing.gone_of(key))
    world.gone[key] = REASON * 0.1 if _happens_anyway(world, key, at) else 1.0


def look_back(world: World, at: datetime) -> bool:
    """Dumps of an hour ago or more that no other tank's followed: what they say is taken in. Was there any?"""
    over = [key for key in world.gone if at - world.last_dump.get(key, at) > TOGETHER]
    for key in over:
        _tell(world, key, min(world.gone[key], ALONE))
    return bool(over)


def followed(world: World, key: str) -> None:
    """Tank `key` is about to be dumped along with those dumped just now: it may well be the reason."""
    for other in [other for other in world.gone if other != key]:
        full = _fullness(world, key)
        _tell(world, other, min(world.gone[other], REASON * (1.0 - full)))


def _tell(world: World, key: str, chance: float) -> None:
    """How full the tank was when it was dumped, and so where the water went. chance: that it was dumped for its own sake."""
    own = passing.belief_of(world)
    del world.gone[key]
    gone, most, habit = own.at[passing.gone_of(key)], own.at[passing.capacity_of(key)], _habit(own, key)
    size, usual = own.mean[most], own.mean[habit]
    seen = {gone: 1.0, most: -usual, habit: -size}
    noise = (DUMP_SD * size) ** 2
    here = own.mean[gone] - usual * size
    parts = parts_of(own, split_of(own, world.rig, world.flushed), seen, here, noise)
    part = _is_reason(parts, size, chance)
    if part >= LEAST_PART:
        noise = softened(parts, noise, part)
        gain, _ = _gain(own, seen, noise)
        own.correct(seen, -here, noise, gain)
    own.drop(passing.gone_of(key))


def softened(parts: list[tuple[float, float, float]], noise: float, part: float) -> float:
    """The noise with which an observation that something is 0, true with probability `part` only, moves its mean as far as it should.

    parts: (weight, mean, variance with `noise` in it) of that something. The mean is part x (mean if it is true) + (1 - part) x (mean
    before); a larger noise comes to the same, by bisection, and leaves kinds of household weighed by what was seen.
    """
    before, told = _moments(parts)[0], _mean_seen(parts, noise, noise)
    low, high = 1.0, SOFTEST
    for _ in range(40):
        middle = sqrt(low * high)
        moved = _mean_seen(parts, noise, middle * noise) - before
        low, high = (middle, high) if abs(moved) > part * abs(told - before) else (low, middle)
    return noise * low


def _mean_seen(parts: list[tuple[float, float, float]], own_noise: float, noise: float) -> float:
    """Mean of (weight, mean, variance with own_noise in it) once it was seen to be 0 with another noise."""
    seen = []
    for weight, at, var in parts:
        spread = var - own_noise + noise
        seen.append((weight * density(at / sqrt(spread)) / sqrt(spread), at * noise / spread))
    total = sum(weight for weight, _ in seen)
    return sum(weight * at for weight, at in seen) / total if total > 0.0 else 0.0


def _habit(own: Filter, key: str) -> int:
    """The place of the tank's usual fullness when it is dumped; made at its first dump."""
    place = own.at.get(passing.habit_of(key))
    return own.append(passing.habit_of(key), HABIT, HABIT_SD**2) if place is None else place


def _is_reason(parts: list[tuple[float, float, float]], size: float, chance: float) -> float:
    """Probability that a tank was dumped for its own sake, with how well its level fits that.

    parts: the level less the usual one at a dump, as each kind of household has it. size: capacity. [litres]
    """
    fits = size * sum(weight * density(at / sqrt(var)) / sqrt(var) for weight, at, var in parts)
    return chance * fits / (chance * fits + (1.0 - chance))


def _happens_anyway(world: World, key: str, at: datetime) -> bool:
    if world.stay.on_the_road or world.stay.ended is not None:
        return True
    if world.stay.until is not None and world.stay.until - at < LEAVING:
        return True
    if world.stay.since is not None and at - world.stay.since < ARRIVED:
        return True
    return any(at - when <= TOGETHER for tank, when in world.last_dump.items() if tank != key)


def _fullness(world: World, key: str) -> float:
    """Probability that a waste tank is mostly full."""
    if key in world.open_valves or world.rig.tanks[key].kind == "fresh":
        return 0.0
    own = passing.belief_of(world)
    level, top = own.at[passing.level_of(key)], own.mean[own.at[passing.capacity_of(key)]]
    split = split_of(own, world.rig, world.flushed)
    held = spread_of(own, split, {level: 1.0}, own.mean[level], 0.0, top, 1e-6)
    return 1.0 - held.cdf(MOSTLY * top)
