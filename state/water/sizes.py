"""How far a tank's usable capacity is from the one told: mostly a little, sometimes much, and which it is, its levels tell.

Like what is flushed (split.py), this is not spread like a normal: most tanks are about as told, some are not (figures.CAPACITIES). The filter
carries the capacity as one normal with the mean and the variance of the whole, N(told, v0). Of each kind of household it has capacity and
level, c and y, as a pair, N(c, v) and N(y, w) with covariance u. What levels have told of the capacity is found by dividing by the start:
      1/q = 1/v - 1/v0,   seen = q (c/v - told/v0);
a sort of tank of variance vi weighs by N(seen; told, vi + q) over N(seen; told, v0 + q), which also weighs the kinds of household anew, and
has a capacity of ci = (vi seen + q told) / (vi + q), of variance vi q / (vi + q), and by regression the level y + u/v (ci - c).
Where nothing was told, q has no end, and room is as the sorts of tank are at first: mostly narrow, with far ends.
Sources: as in split.py. Checked against a brute-force grid.
Pure. May import: `filter`, `figures`, `split`, `world`.
"""

from __future__ import annotations

from math import exp, inf, sqrt

from state import figures
from state.water.filter import Filter, Row
from state.water.split import SURE, Kind, Split, alike_as_one, each_of
from state.world import Tank

SLIGHT = 1e-3
"""A capacity that makes up less than this of a variance is passed over."""

UNLIKELY = 1e-6
"""Kinds of household so unlikely are passed over: no weight is let go lower than split.LEAST_LEFT, and an odd tank must not make up for that."""


def doubt(tank: Tank) -> float:
    """Standard deviation of the usable capacity beside the one told, or guessed, before the tank itself has shown it. [litres]"""
    return (figures.CAPACITY_DOUBT if tank.told else figures.GUESSED_CAPACITY_DOUBT) * tank.litres


def parts_of(
    own: Filter, split: Split, tank: Tank, what: Row, mean: float, extra: float = 0.0
) -> list[tuple[float, float, float]]:
    """A linear combination as the kinds of household and the sorts of tank have it: (weight, mean, variance); weights sum to 1.

    mean, extra: as for split.each_of.
    """
    place = own.at["cap:" + tank.name.casefold()]
    kinds = each_of(own, split, what, mean, extra)
    towards, start = sum(a * own.cov[place][i] for i, a in what.items()), doubt(tank) ** 2
    if not tank.told or towards * towards < SLIGHT * own.cov[place][place] * kinds[0][2]:
        return alike_as_one([kinds])
    capacities = each_of(own, split, {place: 1.0}, own.mean[place])
    flushed, slopes = 0.0, 0.0
    if split.kinds:
        flushed = own.covariance(what, split.flushed) / split.var
        slopes = flushed * own.covariance({place: 1.0}, split.flushed) / split.var
    sorts: list[list[Kind]] = [[] for _ in figures.CAPACITIES]
    for index, (kind, capacity) in enumerate(zip(kinds, capacities, strict=True)):
        if kind[0] < UNLIKELY:
            continue
        both = towards - slopes * (split.var - split.kinds[index][2]) if split.kinds else towards
        for sort, part in zip(sorts, _told_apart(tank, start, kind, capacity, both), strict=True):
            sort.append(part)
    return alike_as_one(sorts)


def _told_apart(tank: Tank, start: float, kind: Kind, capacity: Kind, both: float) -> list[Kind]:
    """One kind of household's level, by the sorts of tank. both: covariance of its level and capacity."""
    weight, mean, var = kind
    _, size, known = capacity
    slope = both / known if known > 0.0 else 0.0
    if known >= SURE * start:
        noise, seen = inf, tank.litres
    else:
        noise = 1.0 / (1.0 / known - 1.0 / start) if known > 0.0 else 0.0
        seen = (size / known - tank.litres / start) * noise if known > 0.0 else size
    parts = []
    for chance, sd in figures.CAPACITIES:
        own = (sd * tank.litres) ** 2
        here, left = tank.litres, own
        if noise < inf:
            apart = (seen - tank.litres) ** 2
            chance *= sqrt((start + noise) / (own + noise)) * exp(
                0.5 * apart * (1.0 / (start + noise) - 1.0 / (own + noise))
            )
            here, left = (own * seen + noise * tank.litres) / (own + noise), own * noise / (own + noise)
        parts.append((weight * chance, mean + slope * (here - size), max(0.0, var - slope * slope * (known - left))))
    return parts
