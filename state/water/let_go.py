"""A tank is let go: that grey had not run over, and how full either may have been, where nothing else will tell how much is used.

Where no reading and no brim will come, all stretches hang on the one rate of use that nobody knows. So what they tell hangs together:
- That the tank had not run over says of the rate that it is no more than so much. Said again after a stretch as long as the one before it
  says nothing new; cutting off anew each time what a normal leaves beyond the same bound drives the rate down without end. So of all the
  stretches only the one that told most counts: what it told is kept as an observation of the rate (`Told.rate`), taken out again before
  another is tried, and put back if that one tells less. Two stretches have their own chances too; to pass these over tells less, not more.
- Where there is no drain, a dump is a drive or an errand, and people wait with it until the tank is fairly full. How full, is a habit: the
  same in all dumps, and carried in the filter beside the rate, so that many dumps tell the one no better than the other. All of it in
  logarithms: stretches are longer and shorter in proportion, as days differ, and in litres that scatter would be laid to a smaller rate and
  a smaller habit, further with every dump. Where a dump may have been for another reason, it is weighed as holding.py weighs a black
  tank's. Of the tank's size and share it teaches nothing: they are better known. So a black tank tells twice, here of the rate and in
  holding.py of what is flushed, each with the other as it is known; that the two errors then hang together is passed over.
Sources: T. Minka, Expectation Propagation, UAI 2001 (taking a term out before it is renewed); Y. Bar-Shalom, T. Fortmann, Tracking and Data
Association, Academic Press 1988, section 6.4 (both from memory).
Pure. May import: what `holding` may.
"""

from __future__ import annotations

from datetime import datetime
from math import log, sqrt

from state.habits import pace, ways
from state.settled import Settled
from state.spread import density
from state.water import holding, passing, reconcile
from state.water.filter import Filter
from state.water.split import split_of
from state.world import World

LEAST = 0.05
"""A tank let go is taken to have held this part of its size at least."""

WANDERS = 0.001 * ways.DAY_CV**2
"""Variance with which a household's rate of use wanders in a day over its pace: that of the commonest way of life (ways.py)."""


def habit_of(tank: str) -> str:
    return "habit:" + tank


def tell(world: World, key: str, at: datetime, *, chosen: bool) -> None:
    """Waste tank `key` is about to be emptied. chosen: it was dumped, not let run by an opened valve."""
    if key not in holding.watched(world):
        return
    if chosen and world.stay.sewer is False and not _will_be_told(world):
        _was_as_full_as_usual(world, key, at)
        if world.rig.tanks[key].kind == "grey":
            _teach_pace(world, at)
    if world.rig.tanks[key].kind == "grey":
        _had_not_run_over(world, key, at)


def _will_be_told(world: World) -> bool:
    """A reading, or a fill to the brim, will tell the total of the open stretch."""
    return world.open[world.supply].known or (world.supply == "hookup" and world.meters["inlet"].known)


def _was_as_full_as_usual(world: World, key: str, at: datetime) -> None:
    own, size = passing.belief_of(world), world.rig.tanks[key].litres
    habit = own.at.get(habit_of(key))
    if habit is None:
        habit = own.append(habit_of(key), log(holding.HABIT), (holding.HABIT_SD / holding.HABIT) ** 2)
    last = world.last_dump.get(key)
    if last is not None:
        own.widen({own.at[passing.RATE]: 1.0}, WANDERS * (at - last) / passing.DAY)
    level = own.at[passing.level_of(key)]
    held = max(LEAST * size, own.mean[level])
    seen, residual = {level: 1.0 / held, habit: -1.0}, own.mean[habit] - log(held / size)
    noise = (holding.DUMP_SD / holding.HABIT) ** 2
    # what is flushed is carried as one wide normal, but is known better than that (split.py): its part counts as noise
    split = split_of(own, world)
    if split.kinds:
        slope = own.covariance({level: 1.0 / held}, split.flushed) / split.var
        middle = sum(kind[0] * kind[1] for kind in split.kinds)
        noise += slope * slope * sum(kind[0] * (kind[2] + (kind[1] - middle) ** 2) for kind in split.kinds)
        seen |= {place: seen.get(place, 0.0) - slope for place in split.flushed}
    gain, spread = own.best_gain(seen, noise)
    chance = holding.REASON * (0.1 if holding.happens_anyway(world, key, at) else 1.0)
    if world.rig.tanks[key].kind == "black":
        # some dump theirs on its day, full or not
        chance *= 1.0 - sum(world.told.by_day)
    itself = chance * density(residual / sqrt(spread)) / sqrt(spread)
    # else it may have held anything up to the brim
    weight = itself / (itself + (1.0 - chance) * held / size)
    gain = [weight * each if _learns(name) else 0.0 for name, each in zip(own.names, gain, strict=True)]
    own.correct(seen, residual, noise, gain)


def _teach_pace(world: World, at: datetime) -> None:
    """A household that neither logs nor reads a meter has let a tank go that was as full as usual: that tells its pace, stretch by stretch.

    What was used is handed on, and how far all such stretches may be off alike; how well the rate is known, and how it hangs together with
    the habit, stays in the filter.
    """
    supply, own = world.supply, passing.belief_of(world)
    interval, rate = world.open[supply], own.at[passing.RATE]
    used = own.mean[own.at[passing.METERED if supply == "hookup" else passing.PUMPED]]
    start, litres = interval.dumped_at or interval.start, used - interval.used_at_dump
    if start is None or at - start < passing.DAY or interval.logged or interval.earlier or litres <= 0.0:
        return
    if interval.away_seconds or interval.other_seconds:
        return
    habits = passing.habits_of(world)
    before, off = pace.mean_rate(habits, supply), sqrt(own.cov[rate][rate])
    pace.learn(habits, Settled(start, at, litres, off, float(world.people), supply, 0.0))
    reconcile.keep_litres(world, before / pace.mean_rate(habits, supply), 1.0)


def _learns(name: str) -> bool:
    return name != passing.METER and not name.startswith(("share:", "cap:"))


def _had_not_run_over(world: World, key: str, at: datetime) -> None:
    own, told = passing.belief_of(world), world.told
    rate = own.at[passing.RATE]
    before, weights = own.copy(), told.copy()
    if told.rate:
        _observe(own, rate, told.rate[0], -told.rate[1])
    mean, var = own.mean[rate], own.cov[rate][rate]
    holding.not_run_over(world, key, at)
    left = own.cov[rate][rate]
    if told.rate and own.mean[rate] >= before.mean[rate]:
        own.mean, own.cov, world.told = before.mean, before.cov, weights
    elif left < holding.NOTHING * var:
        noise = var * left / (var - left)
        told.rate = [mean + (own.mean[rate] - mean) * (var + noise) / var, noise]


def _observe(own: Filter, place: int, value: float, noise: float) -> None:
    """Take in an observation of one quantity; with the noise below 0, take it out again."""
    spread = own.cov[place][place] + noise
    own.correct({place: 1.0}, value - own.mean[place], noise, [row[place] / spread for row in own.cov])
