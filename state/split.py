"""How unlogged water splits between grey and black before the rig has told: two kinds of household, weighed by what has been seen.

The filter carries what is flushed, f, as one wide normal N(m0, v0). Since levels, capacities and shares hang on f linearly, what has been
seen so far speaks of f as a normal likelihood, found by dividing the present N(m, v) by the start:
    1/q = 1/v - 1/v0,   seen = q (m/v - m0/v0).
Each kind of household N(mi, vi) then gets the weight  wi x N(seen; mi, vi + q)  and the usual product as its own f, and any level y
follows by regression on f: mean y + c/v (fi - m), variance - c c/v + (c/v)^2 x (variance of fi), with c the covariance of y and f.
So an interval leans to where flushing might be, until dumps, levels or entries tell which kind this household is. m0 is free to choose:
`recentre` keeps the filter's own middle where the kinds have theirs.
Sources: A. Gelman et al., Bayesian Data Analysis, 3rd ed., CRC 2013, ch. 22 (mixtures; chapter from memory); D. L. Alspach,
H. W. Sorenson, IEEE Trans. Automatic Control 17 (1972) 439-448 (Gaussian sums; from memory). Checked against a brute-force grid.
Pure. May import: `filter`, `routes`, `figures`, `spread`, `world`.
"""

from __future__ import annotations

from math import exp, sqrt

from state import figures, routes
from state.filter import Filter, Row
from state.lightclass import dataclass
from state.spread import Spread, blend
from state.world import Rig

SURE = 0.999
"""A likelihood that narrows the start by less than this tells nothing."""

LEAST_WEIGHT = 1e-6
"""A kind of household less likely than this is passed over."""


@dataclass(frozen=True)
class Split:
    """kinds: (weight, mean, variance) of what is flushed, for each kind of household; empty where no tank takes flushes alone.

    flushed: the filter's places whose sum it is; mean, var: as the filter has it.
    """

    flushed: Row
    mean: float
    var: float
    kinds: tuple[tuple[float, float, float], ...]


def split_of(own: Filter, rig: Rig, start: float) -> Split:
    """The kinds of household as they weigh now. start: the m0 that the filter carries f from (world.flushed)."""
    black = [tank.name.casefold() for tank in rig.of_kind("black")] if routes.flushed(rig) else []
    flushed = {own.at["share:" + key]: 1.0 for key in black}
    mean, var = sum(own.mean[place] for place in flushed), own.variance(flushed)
    if not flushed or var <= 1e-12:
        return Split({}, 0.0, 0.0, ())
    return Split(flushed, mean, var, _weigh(mean, var, start))


def _weigh(mean: float, var: float, start: float) -> tuple[tuple[float, float, float], ...]:
    wide = figures.FLUSHED_SD**2
    if var >= SURE * wide:
        return tuple((weight, own, sd * sd) for weight, own, sd in figures.FLUSHED)
    noise = 1.0 / (1.0 / var - 1.0 / wide)
    seen = noise * (mean / var - start / wide)
    kinds = []
    for weight, own, sd in figures.FLUSHED:
        spread, gain = sd * sd + noise, sd * sd / (sd * sd + noise)
        near = weight * exp(-0.5 * (seen - own) ** 2 / spread) / sqrt(spread)
        kinds.append((max(near, 1e-12), own + gain * (seen - own), gain * noise))
    total = sum(weight for weight, _, _ in kinds)
    return tuple((weight / total, own, each) for weight, own, each in kinds)


def recentre(own: Filter, rig: Rig, start: float) -> float:
    """Move the filter's f to the middle of what the kinds of household say together, and all that hangs on it; the m0 that goes with it.

    The wide start is only a way to carry what has been seen: another m0 leaves that as it was, and keeps f where water can flow.
    """
    split = split_of(own, rig, start)
    if not split.kinds or split.var >= SURE * figures.FLUSHED_SD**2:
        return start
    middle = spread_of(own, split, split.flushed, split.mean, 0.0, 1.0).quantile(0.5)
    step = (middle - split.mean) / split.var
    for place, row in enumerate(own.cov):
        own.mean[place] += step * sum(row[other] for other in split.flushed)
    return start + step * figures.FLUSHED_SD**2


def parts_of(own: Filter, split: Split, what: Row, mean: float, extra: float = 0.0) -> list[tuple[float, float, float]]:
    """A linear combination as each kind of household has it: (weight, mean, variance), its mean at `mean` where f is at the filter's own.

    extra: variance on top.
    """
    var = own.variance(what) + extra
    if not split.kinds:
        return [(1.0, mean, var)]
    slope = own.covariance(what, split.flushed) / split.var
    rest = max(0.0, var - slope * slope * split.var)
    return [
        (weight, mean + slope * (at - split.mean), rest + slope * slope * each)
        for weight, at, each in split.kinds
        if weight > LEAST_WEIGHT
    ]


def spread_of(own: Filter, split: Split, what: Row, mean: float, low: float, high: float, extra: float = 0.0) -> Spread:
    """A linear combination as believed, kept between bounds. mean, extra: as for `parts_of`."""
    return blend(
        [(weight, Spread(at, sqrt(var), low, high)) for weight, at, var in parts_of(own, split, what, mean, extra)]
    )


def covariance(own: Filter, split: Split, one: Row, other: Row) -> float:
    """Of two linear combinations, for the likelier kind of household."""
    plain = own.covariance(one, other)
    if not split.kinds:
        return plain
    _, _, var = max(split.kinds)
    slope = own.covariance(one, split.flushed) * own.covariance(other, split.flushed) / split.var
    return plain + slope * (var / split.var - 1.0)
