"""What is said or inferred of a level, taken into the filter: the change of every tank is booked, and what is learned stays sensible.

Far from the belief, eyes win and a sensor loses. A surprise makes the starting values for the rig themselves doubtful; a great one teaches
little of them, since something untold is the likelier cause: the gain of all but the level is weighed as probabilistic data association
does. Source: as in holding.py.
Pure. May import: what `passing` may, `sizes`, `split`.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from math import sqrt

from state.entry import Entry
from state.spread import density, phi
from state.water import ledger, passing, routes, sizes, split
from state.water.filter import Filter, Row
from state.water.ledger import Book
from state.world import Finding, World

SURPRISE, MOST_SURPRISE = 1.3, 6.0
"""From this many standard deviations on, a statement makes the starting values themselves doubtful (four in five are nearer)."""

CONTRADICTS = 0.0027
"""A statement less likely to be this far off by chance (3 standard deviations of a normal) is called a contradiction."""

UNUSUAL = 2.0
"""A rig that surprises is as much more unusual than others as this, at most: so many times the doubt of its size and share at the start."""

SENSOR_FAR = 1.5
"""From so many standard deviations on, a panel sensor is believed less the farther it is off."""

SLIP = 0.05
"""Chance that something else is behind a statement (a dump or an open valve not told of, another tank meant). Common practice, no source."""


def chance_of(world: World, seen: Row, residual: float, noise: float) -> float:
    """Chance that a true statement lies as far from what is believed as this one, to its side, doubled. seen, residual, noise: as for
    `observe`. 0 to 1. [probability]"""
    below = sum(weight * phi((residual - at) / sqrt(var)) for weight, at, var in _expected(world, seen, noise))
    return 2.0 * min(below, 1.0 - below)


def _expected(world: World, seen: Row, noise: float) -> list[tuple[float, float, float]]:
    own = passing.belief_of(world)
    return split.parts_of(own, split.split_of(own, world), seen, 0.0, noise)


def _is_no_slip(world: World, seen: Row, residual: float, noise: float, size: float) -> float:
    """Probability that a statement speaks of the share, the capacity and the use, not of something untold that left any level at all."""
    fits = sum(
        weight * density((residual - at) / sqrt(var)) / sqrt(var) for weight, at, var in _expected(world, seen, noise)
    )
    return (1.0 - SLIP) * fits / ((1.0 - SLIP) * fits + SLIP / size)


def observe(
    world: World,
    key: str,
    seen: Row,
    residual: float,
    noise: float,
    event: Entry,
    book: Book,
    *,
    sensor: bool = False,
    outright: bool = False,
) -> None:
    """Take in what was said of a level. Far from the belief, eyes win and a sensor loses; the change of every tank is booked.

    seen: what was looked at, by the filter's places; residual: said less believed; noise: variance of the statement. [litres]
    outright: full or empty, which nobody mistakes: taken as said.
    """
    own = passing.belief_of(world)
    gain, spread = own.best_gain(seen, noise)
    off, grown = abs(residual) / sqrt(spread) if spread > 0.0 else 0.0, 1.0
    place, believed = own.at[passing.level_of(key)], own.mean[own.at[passing.level_of(key)]]
    chance = chance_of(world, seen, residual, noise)
    if sensor:
        if off > SENSOR_FAR:
            noise += residual * residual / SENSOR_FAR**2
            gain, _ = own.best_gain(seen, noise)
    else:
        teaches = _is_no_slip(world, seen, residual, noise, world.rig.tanks[key].litres)
        if SURPRISE < off < MOST_SURPRISE:
            grown = min(2.0, (off / SURPRISE) ** 2)
            _doubt_more(world, key, grown)
            gain, _ = own.best_gain(seen, noise)
        gain = [each if at == place else teaches * each for at, each in enumerate(gain)]
    gain[own.at[passing.METER]] = 0.0
    if not sensor:
        wins = 1.0 if outright else min(1.0, max(0.0, off - 0.5))
        gain[place] += (1.0 - sum(a * gain[i] for i, a in seen.items())) * wins
    others = {at: own.mean[at] for at in seen if at != place}
    with booked(world, event, "stated", book):
        own.correct(seen, residual, noise, gain)
        if grown > 1.0:
            _recall_start(world, key, 1.0 - 1.0 / grown**2)
        keep_sane(world)
        # what else it teaches, of what is flushed above all, must not carry the level past what was said
        said = believed + residual - sum(seen[at] * (own.mean[at] - was) for at, was in others.items())
        own.mean[place] = min(max(own.mean[place], min(believed, said)), max(believed, said))
    _put_right(world, key, min(1.0, max(0.0, seen[place] * gain[place])))
    if not sensor and chance < CONTRADICTS:
        world.findings.append(
            Finding("level-contradicts", event.id, event.at, residual, tank=key,
                    detail={"believed": believed, "said": believed + residual})
        )  # fmt: skip


def _put_right(world: World, key: str, part: float) -> None:
    """That part of whatever was wrong with what ran until now is out of the level: a reading that shows later that less ran than was
    logged must not take it out once more. part: 0 to 1."""
    for interval in world.open.values():
        weight, before = interval.weights.get(key, 0.0), interval.seen.get(key, 0.0)
        interval.seen[key] = before + part * (weight - before)
        for entry in interval.entries:
            entry.seen[key] = 1.0 - (1.0 - entry.seen.get(key, 0.0)) * (1.0 - part)


@contextmanager
def booked(world: World, event: Entry, why: str, book: Book) -> Iterator[None]:
    """What is learned inside changes what is believed of every tank: each change is booked against `unexplained`."""
    own = passing.belief_of(world)
    before = {tank: own.mean[own.at[passing.level_of(tank)]] for tank in world.rig.tanks}
    yield
    for tank, was in before.items():
        now = own.mean[own.at[passing.level_of(tank)]]
        ledger.post(world, book, ledger.UNEXPLAINED, tank, now - was, event.at, event.id, why)


def _doubt_more(world: World, key: str, factor: float) -> None:
    """A surprise says that this rig is not as usual: its share and capacity, and the level that came of them, are less sure by a factor.

    Not so what hangs on what is flushed, f: how many litres of a level come of it is a matter of what ran, not of doubt, and f has far ends of
    its own (split.py). With c the covariances with f, of variance v, only what is left grows: P = R + c c^T / v, R' = D R D, D the factor at
    those three and else 1. So c stays: were it multiplied, a household that flushes a tenth more would seem to have as many times less in its
    tank than ran. Source: our own choice; R is a Schur complement, and so R' too is a covariance.
    """
    own = passing.belief_of(world)
    now = split.split_of(own, world)
    size = len(own.names)
    with_flushed = [sum(row[i] for i in now.flushed) for row in own.cov]
    for name in (passing.level_of(key), passing.capacity_of(key), passing.share_of(key)):
        place = own.at.get(name)
        if place is None:
            continue
        row, part = own.cov[place], with_flushed[place] / now.var if now.kinds else 0.0
        for other in range(size):
            grown = part * with_flushed[other]
            grown += (factor * factor if other == place else factor) * (row[other] - grown)
            row[other] = own.cov[other][place] = grown


def _recall_start(world: World, key: str, part: float) -> None:
    """That part of what was learned of a tank's size and share was lost to a surprise: what is known of any rig takes its place.

    Without it every surprise would leave less and less known of what levels alone do not tell, size and share growing together, and
    both would stray without end. part: 0 to 1.
    """
    own, tank = passing.belief_of(world), world.rig.tanks[key]
    _lean(own, {own.at[passing.capacity_of(key)]: 1.0}, tank.litres, UNUSUAL * sizes.doubt(tank), part)
    black, moves, start = world.rig.of_kind("black"), world.moves, routes.shares(world.rig)
    if key not in start or (tank.kind == "black" and moves):
        return
    mean, sd = start[key]
    seen = {own.at[passing.share_of(key)]: 1.0}
    for other in black if moves else []:
        # what more is flushed than usual says nothing of the share beside it
        seen[own.at[passing.share_of(other.name.casefold())]] = -moves[key]
        mean -= moves[key] * start[other.name.casefold()][0]
    _lean(own, seen, mean, UNUSUAL * sd, part)


def _lean(own: Filter, what: Row, value: float, sd: float, part: float) -> None:
    """Part of an observation of something as `value`, with that doubt."""
    if sd <= 0.0:
        return
    noise = sd * sd / part
    gain, _ = own.best_gain(what, noise)
    own.correct(what, value - sum(a * own.mean[place] for place, a in what.items()), noise, gain)


def keep_sane(world: World) -> None:
    """Shares and capacities stay where they can mean something."""
    own = passing.belief_of(world)
    split.recentre(own, world)
    for name, place in own.at.items():
        if name.startswith("share:"):
            own.mean[place] = min(1.0, max(0.0, own.mean[place]))
        elif name.startswith("cap:"):
            told = world.rig.tanks[name[4:]].litres
            own.mean[place] = min(1.6 * told, max(0.4 * told, own.mean[place]))
