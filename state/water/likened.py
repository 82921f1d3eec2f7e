"""Where logged water went: what it says of where the water of the days to come will go, and of where unlogged water goes.

Unlogged water is taken to split as the logged does, within ALIKE_SD, which no log can make smaller; how the household's water splits in the
long run is told by the logged litres only within what single showers and flushes leave to chance. So L litres that were logged, of which
the part r went to a tank, are one observation of its share: r, with variance ALIKE_SD^2 + CHANCE_LITRES / L. As more is logged it takes the
place of what was observed before; what is new in it, precision and where it points, is all that the filter is told: an observation that
was told already, told again with every stretch, would count the first days, whose chances are the greatest, over and over.
Sources: A. Gelman et al., Bayesian Data Analysis, 3rd ed., CRC 2013, section 2.5 (precisions add up; from memory).
Pure. May import: what `passing` may, `routes`.
"""

from __future__ import annotations

from collections.abc import Iterable

from state.water import passing, routes
from state.water.filter import Row
from state.world import Logged, World

ALIKE_SD = 0.06
"""How far the share of unlogged water is from that of the logged. Common practice, no source; by the study, on homes that log every second
or every fifth use."""

CHANCE_LITRES = 0.56
"""Variance of a share among so many litres, times those: that of what is flushed (passing.split_by_chance) where a quarter of all is, as in
houses. Not by what the log shows itself: of the first ten litres often none is a flush, and would seem to be sure of it."""

ROUTED_KEEP = 0.97
"""How much of the remembered routes survives a settled stretch."""


def learn(world: World, entries: Iterable[Logged], rest: float) -> None:
    """Take in the entries of a stretch that is settled. rest: its unlogged litres."""
    routed, fresh = world.routed, dict[str, float]()
    for name in routed:
        routed[name] *= ROUTED_KEEP
    rest = max(0.0, rest)
    for entry in entries:
        if entry.activity == routes.ANY:
            rest += entry.litres
            continue
        for account, part, _ in entry.parts:
            fresh[account] = fresh.get(account, 0.0) + part * entry.litres
    for account, litres in fresh.items():
        routed[account] = routed.get(account, 0.0) + litres
    routed["unlogged"] = routed.get("unlogged", 0.0) + rest
    _liken_shares(world, fresh)


def _liken_shares(world: World, fresh: dict[str, float]) -> None:
    """Tell the filter what the log shows of the shares now, beyond what it showed before.

    A log that never names a flush is not the whole of life aboard and says nothing of where the rest goes: it counts from the first flush on.
    """
    before, black = world.likened, [tank.name.casefold() for tank in world.rig.of_kind("black")]
    if world.moves and not any(before.get(key) or fresh.get(key) for key in black):
        return
    after = dict(before)
    for account, litres in fresh.items():
        after[account] = after.get(account, 0.0) + litres
    world.likened = after
    own, seen = passing.belief_of(world), dict[int, float]()
    # what reaches black first, then what reaches any tank: the one does not tell the other
    for key in sorted((tank.name.casefold() for tank in world.rig.waste()), key=lambda key: key not in black):
        seen[own.at[passing.share_of(key)]] = 1.0
        keys = [name[6:] for place, name in enumerate(own.names) if place in seen]
        _observe(world, dict(seen), _shown(before, keys), _shown(after, keys))


def _shown(litres: dict[str, float], keys: list[str]) -> tuple[float, float]:
    """What the log shows of the share of some tanks together: precision, and that times the share."""
    total = sum(litres.values())
    if total <= 0.0:
        return 0.0, 0.0
    precision = 1.0 / (ALIKE_SD**2 + CHANCE_LITRES / total)
    return precision, precision * sum(litres.get(key, 0.0) for key in keys) / total


def _observe(world: World, seen: Row, before: tuple[float, float], after: tuple[float, float]) -> None:
    """Take in what is new. The levels stay: a log moves them by what it says, not by what it makes likely."""
    more, towards = after[0] - before[0], after[1] - before[1]
    if more <= 0.0:
        return
    own = passing.belief_of(world)
    gain, _ = own.best_gain(seen, 1.0 / more)
    gain = [each if name.startswith("share:") else 0.0 for each, name in zip(gain, own.names, strict=True)]
    own.correct(seen, towards / more - sum(own.mean[place] for place in seen), 1.0 / more, gain)
    for place in seen:
        own.mean[place] = min(1.0, max(0.0, own.mean[place]))
