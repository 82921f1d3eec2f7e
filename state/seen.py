"""What is said or inferred of a level, taken into the filter: the change of every tank is booked, and what is learned stays sensible.

Far from the belief, eyes win and a sensor loses; a surprise makes the starting values for the rig themselves doubtful.
Pure. May import: what `passing` may, `split`.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from state import ledger, passing, split
from state.entry import Entry
from state.ledger import Book
from state.world import Finding, World

SURPRISE = 1.3
"""From this many standard deviations on, a statement makes the starting values themselves doubtful (four in five are nearer)."""

FAR = 3.0
"""A statement this many standard deviations off is called a contradiction."""


def observe(
    world: World,
    key: str,
    seen: dict[int, float],
    residual: float,
    noise: float,
    event: Entry,
    book: Book,
    *,
    sensor: bool = False,
    outright: bool = False,
) -> None:
    """Take in what was said of a level. Far from the belief, eyes win and a sensor loses; the change of every tank is booked.

    outright: full or empty, which nobody mistakes: taken as said.
    """
    own = passing.belief_of(world)
    gain, spread = own.best_gain(seen, noise)
    off = abs(residual) / spread**0.5 if spread > 0.0 else 0.0
    place = own.at[passing.level_of(key)]
    if not sensor and SURPRISE < off < 2.0 * FAR:
        _doubt_more(world, key, min(2.0, (off / SURPRISE) ** 2))
        gain, _ = own.best_gain(seen, noise)
    gain[own.at[passing.METER]] = 0.0
    if sensor and off > 1.5:
        noise += residual * residual / 2.25
        gain, spread = own.best_gain(seen, noise)
        gain[own.at[passing.METER]] = 0.0
    elif not sensor:
        if off > FAR:
            # a slip somewhere (a dump not told, a tank mistaken) teaches no more than an honest surprise would
            gain = [k if i == place else k * FAR / off for i, k in enumerate(gain)]
        wins = 1.0 if outright else min(1.0, max(0.0, off - 0.5))
        gain[place] += (1.0 - sum(a * gain[i] for i, a in seen.items())) * wins
    believed = own.mean[place]
    with booked(world, event, "stated", book):
        own.correct(seen, residual, noise, gain)
        keep_sane(world)
    if not sensor and off > FAR:
        world.findings.append(
            Finding("level-contradicts", event.id, event.at, residual, tank=key,
                    detail={"believed": believed, "said": believed + residual})
        )  # fmt: skip


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
    """A surprise says that this rig is not as usual: its share and capacity, and the level that came of them, are less sure by a factor."""
    own = passing.belief_of(world)
    for name in (passing.level_of(key), passing.capacity_of(key), passing.share_of(key)):
        place = own.at.get(name)
        if place is None:
            continue
        row = own.cov[place]
        for other in range(len(row)):
            row[other] *= factor
            own.cov[other][place] *= factor


def keep_sane(world: World) -> None:
    """Shares and capacities stay where they can mean something."""
    own = passing.belief_of(world)
    world.flushed = split.recentre(own, world.rig, world.flushed)
    for name, place in own.at.items():
        if name.startswith("share:"):
            own.mean[place] = min(1.0, max(0.0, own.mean[place]))
        elif name.startswith("cap:"):
            told = world.rig.tanks[name[4:]].litres
            own.mean[place] = min(1.6 * told, max(0.4 * told, own.mean[place]))
        elif name.startswith("habit:"):
            own.mean[place] = min(1.0, max(0.2, own.mean[place]))
