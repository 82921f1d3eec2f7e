"""What a tank tells without a word: it has not run over, and people dump one that is fairly full, seldom one that is nearly empty.

Both speak of where the water went: a black tank that was never dumped in weeks had little, one that had to be dumped while the books had
it nearly empty had much, and what reached it did not reach grey. How likely each is depends on what part f is flushed in ways that
no normal follows, so it is reckoned for every kind of household of split.py, with L the level that f leaves, of variance v:
- Not run over: P(capacity - L >= 0).
- Not dumped yet (black): W = P(h x capacity + e - L >= 0), with h as below and e the scatter of one dump.
  Both hold for now alone: they are looked at anew whenever somebody asks, and kept when that stretch is over.
- Dumped (black; grey is let go at any level): if this tank was the reason, a moment sooner it was not full enough yet. The chance that this
  moment falls now is the density N(L; h x capacity, v + variance of h and e) times how fast it fills, thus times f; it takes the place of W,
  which it implies. If it was not the reason, only W is told: L could be any that had not led to a dump before.
Some dump their black tank on their day, however much is in it: as if there were two sorts of each kind, weighed by how punctual the dumps are.
How full a household lets its tank get is its own habit h, learned dump by dump beside f, since many dumps do not tell the one from the
other. Whether the tank was the reason can be judged once it shows whether another is dumped along with it, an hour later.
What is left open beside f (level, capacity, share) is cut off in the filter where the tank would have run over, or been dumped: from mean and
variance before, m and v, and after, m' and v', comes the observation that would have done the same: noise v v' / (v - v').
Sources: D. Simon, Optimal State Estimation, Wiley 2006, section 7.5.4 (truncation); T. Minka, Expectation Propagation, UAI 2001;
D. R. Cox, D. Oakes, Analysis of Survival Data, Chapman and Hall 1984, ch. 2 (densities of what has happened, survival of what has not);
Y. Bar-Shalom, T. Fortmann, Tracking and Data Association, Academic Press 1988, section 6.4 (all from memory); checked against scipy and
brute-force grids.
Pure. May import: what `passing` may, `split`, `spread`.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from math import sqrt

from state.spread import at_least, density, phi
from state.water import passing
from state.water.filter import Filter, Row
from state.water.split import START, Kind, Split, each_of, split_of, spread_of, weighed
from state.world import Gone, Told, World

HABIT, HABIT_SD, DUMP_SD = 0.80, 0.17, 0.12
"""How full a tank is when it is dumped for its own sake, over capacity: the household's habit, and one dump about it. Common practice, no source."""

REASON, ALONE = 0.7, 0.9
"""Chance that a dump is for the sake of the tank itself, where nothing else is in sight: of tanks dumped together, and of one dumped
alone. Common practice, no source."""

USUAL = 0.15
"""Those chances are of a household that flushes this part of its water; one that flushes less has to dump less often. Common practice, no source."""

BY_DAY = 0.15
"""One household in seven dumps its black tank on its day, however much is in it. Common practice, no source."""

FIRST_TIME, SAME_AGAIN, AT_ODDS = 3.0, 15.0, 0.3
"""How often such a household dumps now, beside one dump in the time that a household of the usual flushing fills its tank: before its day is
known, on its day, and on another. Common practice, no source."""

PUNCTUAL, LONGEST = 0.3, 16.0
"""So much later or sooner is still the same day; and nobody's day comes more seldom than every other week. [days]"""

MOSTLY = 0.6
"""Another waste tank as full as this may well be the reason for a dump, and is usually dumped along with it."""

TOGETHER, ARRIVED, LEAVING = timedelta(hours=1), timedelta(hours=6), timedelta(hours=30)
"""Dumps so near to another, or to either end of a stay, say little: all tanks are emptied then, full or not."""

ANEW = timedelta(days=1)
"""Nobody dumps a tank again sooner, however full a rinse makes it."""

SLIP = 0.05
"""Chance that something was not told (an open valve, a dump): the likelier that is beside the overrun, the less it teaches of the rest."""

NOTHING = 0.999
"""A cut that leaves this part of the variance, or of every kind of household, tells nothing."""

BRIM = 1.2
"""A tank has run over, and somebody has said so, by this part of its capacity: pipes hold some, a little over the brim is often not told, and the
capacity itself is as told only within a twelfth. Nearer to 1 it took what went untold for room: people let go of a tank that is fairly full,
and the brim speaks on one side only. At 1.15 room was believed 2.7 % of the size too large, and odds of 20 to 60 % came true 8 to 9 points
less often than said on measured and simulated homes; at 1.2 four to five. Common practice, no source."""


def watched(world: World) -> list[str]:
    """The waste tanks that tell something by not running over: shut, and known to have held less once."""
    waste = [tank.name.casefold() for tank in world.rig.waste()]
    return [key for key in waste if key in world.since and key not in world.open_valves]


def not_run_over(world: World, key: str, at: datetime) -> None:
    """The tank holds what is in it, and a black one was not dumped yet: the belief at that moment is cut off where it would not be so."""
    own = passing.belief_of(world)
    level, most = own.at[passing.level_of(key)], own.at[passing.capacity_of(key)]
    split = split_of(own, world)
    if world.rig.tanks[key].kind == "black" and at - world.since[key] >= ANEW:
        seen: Row = {level: -1.0}
        told = _told(world) if split.kinds else Told(habits=[HABIT], doubts=[HABIT_SD**2])
        parts, stray = _until_dumped(told, each_of(own, split, seen, -own.mean[level]), own.mean[most])
    else:
        seen, stray = {most: BRIM, level: -1.0}, 0.0
        parts = each_of(own, split, seen, BRIM * own.mean[most] - own.mean[level])
    fits = [_above_nothing(part) for part in parts]
    if min(fits) > NOTHING:
        return
    if split.kinds:
        held = fits if not stray else _held(own, split, level, most)
        _take_in(_told(world), [_robust(fit) for fit in fits], [_robust(each) for each in held])
    _cut_off(own, split, level, seen, stray, parts, fits)


def _held(own: Filter, split: Split, level: int, most: int) -> list[float]:
    """The chance that the tank has not run over, for each kind of household."""
    return [
        _above_nothing(part)
        for part in each_of(own, split, {most: BRIM, level: -1.0}, BRIM * own.mean[most] - own.mean[level])
    ]


def _robust(chance: float) -> float:
    """The chance of something that is not quite certain to have been told as it was."""
    return (1.0 - SLIP) * chance + SLIP


def _take_in(told: Told, by_level: list[float], by_day: list[float]) -> None:
    """Weigh the kinds of household by the likelihood of what was seen, for those who dump by level and for those who dump on their day."""
    both = weighed([*told.by_level, *told.by_day], [*by_level, *by_day])
    told.by_level, told.by_day = both[: len(START)], both[len(START) :]
    told.weights = [one + other for one, other in zip(told.by_level, told.by_day, strict=True)]


def _above_nothing(part: Kind) -> float:
    """P(a normal quantity is 0 or more)."""
    _, mean, var = part
    return phi(mean / sqrt(var)) if var > 0.0 else float(mean >= 0.0)


def _until_dumped(told: Told, empty: list[Kind], size: float) -> tuple[list[Kind], float]:
    """How much each kind of household would still let into its tank, and the variance of that which is not the level's. empty: 0 less the
    level, as each has it. [litres]"""
    strays = [size * size * (doubt + DUMP_SD**2) for doubt in told.doubts]
    parts = [
        (weight, habit * size + here, var + stray)
        for (weight, here, var), habit, stray in zip(empty, told.habits, strays, strict=True)
    ]
    return parts, sum(part[0] * stray for part, stray in zip(parts, strays, strict=True))


def _cut_off(
    own: Filter, split: Split, level: int, seen: Row, stray: float, parts: list[Kind], fits: list[float]
) -> None:
    """Cut off at 0 what is left open of `seen` beside what is flushed, and all that hangs on it. stray: its variance of its own.

    parts, fits: `seen` as each kind of household has it, and the chance that it is 0 or more.
    """
    slope = own.covariance(seen, split.flushed) / split.var if split.kinds else 0.0
    rest = max(0.0, own.variance(seen) - slope * slope * split.var)
    whole = rest + stray
    weights = [part[0] * fit for part, fit in zip(parts, fits, strict=True)]
    total = sum(weights)
    if whole <= 0.0 or total <= 0.0:
        return
    shift = left = 0.0
    for weight, (_, here, _) in zip(weights, parts, strict=True):
        mean, var = at_least(here, whole, 0.0)
        shift += weight / total * (mean - here)
        left += weight / total * var
    if left >= NOTHING * whole or left <= 0.0:
        return
    towards = [sum(a * row[i] for i, a in seen.items()) for row in own.cov]
    middle = 0.0
    if split.kinds:
        # as seen from the middle of the kinds that are left; what is flushed is theirs to tell, and stays
        middle = sum(weight * kind[1] for weight, kind in zip(weights, split.kinds, strict=True)) / total - split.mean
        towards = [
            each - slope * sum(row[i] for i in split.flushed) for each, row in zip(towards, own.cov, strict=True)
        ]
    noise = whole * left / (whole - left)
    spread = whole + noise
    gain = [each / spread for each in towards]
    for name in (passing.METER, passing.METERED, passing.PUMPED):
        # the next reading will tell the meter's scale, and what has run since the last one, better
        gain[own.at[name]] = 0.0
    teaches = (1.0 - SLIP) * total / ((1.0 - SLIP) * total + SLIP)
    gain = [each if place == level else teaches * each for place, each in enumerate(gain)]
    if not stray:
        # what the brim does not learn the level gives up: it is under the brim for certain
        gain[level] = sum(a * gain[place] for place, a in seen.items() if place != level) - rest / spread
    own.correct(seen, shift * spread / whole + slope * middle, stray + noise, gain)


def _told(world: World) -> Told:
    """What tanks have told so far of each kind of household; begun here."""
    told = world.told
    if not told.weights:
        told.weights = [weight for weight, _, _ in START]
        told.by_level = [(1.0 - BY_DAY) * weight for weight in told.weights]
        told.by_day = [BY_DAY * weight for weight in told.weights]
        told.habits, told.doubts = [HABIT] * len(START), [HABIT_SD**2] * len(START)
    return told


def dumped(world: World, key: str, at: datetime, *, chosen: bool) -> None:
    """A black tank is about to be emptied. What that says of how full it was is told once it shows whether another follows (`look_back`).

    chosen: it was dumped, not let run by an opened valve.
    """
    own = passing.belief_of(world)
    split, last = split_of(own, world), world.last_dump.get(key)
    again = last is not None and at - last < TOGETHER
    if key not in world.since or again or key in world.open_valves or not split.kinds:
        return
    level, size = own.at[passing.level_of(key)], own.mean[own.at[passing.capacity_of(key)]]
    empty = each_of(own, split, {level: -1.0}, -own.mean[level])
    parts, _ = _until_dumped(_told(world), empty, size)
    chance = (REASON * 0.1 if happens_anyway(world, key, at) else 1.0) if chosen else 0.0
    world.gone[key] = Gone(
        chance, [-here / size for _, here, _ in empty], [var / (size * size) for _, _, var in empty],
        [_above_nothing(part) for part in parts], _held(own, split, level, own.at[passing.capacity_of(key)]),
        0.0 if last is None else (at - last) / ANEW,
    )  # fmt: skip


def look_back(world: World, at: datetime) -> bool:
    """Dumps of an hour ago or more that no other tank's followed: what they say is taken in. Was there any?"""
    over = [key for key in world.gone if at - world.last_dump.get(key, at) > TOGETHER]
    for key in over:
        _tell(world, key, min(world.gone[key].chance, ALONE))
    return bool(over)


def followed(world: World, key: str) -> None:
    """Tank `key` is about to be dumped along with those dumped just now: it may well be the reason."""
    for other in [other for other in world.gone if other != key]:
        full = _fullness(world, key)
        _tell(world, other, min(world.gone[other].chance, REASON * (1.0 - full)))


def _tell(world: World, key: str, chance: float) -> None:
    """How full the tank was when it was dumped, and so where the water went. chance: that it was dumped for its own sake."""
    gone, told, by_level, by_day = world.gone.pop(key), world.told, [], []
    on_its_day = _on_its_day(gone.days, told.days)
    told.days = gone.days
    for index, (_, flushed, _) in enumerate(START):
        doubt = told.doubts[index]
        spread = doubt + DUMP_SD**2 + gone.variances[index]
        apart = gone.levels[index] - told.habits[index]
        itself = chance * flushed / USUAL * density(apart / sqrt(spread)) / sqrt(spread)
        anyway = (1.0 - chance) * _robust(gone.waited[index])
        by_level.append(itself + anyway)
        by_day.append((chance * on_its_day + 1.0 - chance) * _robust(gone.held[index]))
        gain = itself / (itself + anyway) * doubt / spread
        told.habits[index] += gain * apart
        told.doubts[index] -= gain * doubt
    _take_in(told, by_level, by_day)


def _on_its_day(days: float, before: float) -> float:
    """How often those who dump on their day do so now. days, before: since the last dump, and between the two before; 0 if not known."""
    if days > LONGEST:
        return AT_ODDS
    if not before or not days:
        return FIRST_TIME
    return SAME_AGAIN if abs(days - before) <= PUNCTUAL else AT_ODDS


def happens_anyway(world: World, key: str, at: datetime) -> bool:
    """Is it a moment at which all tanks are emptied, full or not?"""
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
    split = split_of(own, world)
    held = spread_of(own, split, {level: 1.0}, own.mean[level], 0.0, top, 1e-6)
    return 1.0 - held.cdf(MOSTLY * top)
