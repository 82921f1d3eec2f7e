"""How unlogged water splits between grey and black before the rig has told: kinds of household, weighed by what has been seen.

What part f of its water a household flushes is not known at first, and neither is it spread like a normal: many flush little, some a
quarter, a few half. So f stands on a row of narrow kinds of household N(fi, si), with the weights that figures.FLUSHED gives them.
The filter carries f as one wide normal N(m0, v0). Levels, capacities and shares hang on it linearly, so for each kind any level y
follows by regression on f: mean y + c/v (fi - m), variance - c c/v + (c/v)^2 si^2, with c the covariance of y and f, N(m, v) the
filter's f. Two sorts of evidence move the weights:
- What was said of levels. It has gone into the filter, and is found again as a normal likelihood of f by dividing by the start:
      1/q = 1/v - 1/v0,   seen = q (m/v - m0/v0);   each kind's weight is multiplied by N(seen; fi, si^2 + q).
- What tanks tell without a word (holding.py): its likelihood for each kind is kept beside the filter (`Told`).
m0 is free to choose: `recentre` keeps the filter's own middle where the kinds together have theirs.
Sources: A. Gelman et al., Bayesian Data Analysis, 3rd ed., CRC 2013, ch. 22 (mixtures; chapter from memory); D. L. Alspach,
H. W. Sorenson, IEEE Trans. Automatic Control 17 (1972) 439-448 (Gaussian sums; from memory). Checked against a brute-force grid.
Pure. May import: `filter`, `figures`, `spread`, `world`.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import exp, sqrt

from state import figures
from state.lightclass import dataclass
from state.spread import Spread, blend, phi
from state.water.filter import Filter, Row
from state.world import World

SURE = 0.999
"""A likelihood that narrows the start by less than this tells nothing."""

LEAST_LEFT = 1e-12
"""No kind of household is quite ruled out."""

ALIKE = 0.9**2
"""Kinds nearer than this in a level, by its variance, are told as one."""

LEAST_WEIGHT = 2e-3
"""Kinds of household less likely than this are passed over where a level is told."""

Kind = tuple[float, float, float]
"""weight, mean, variance of what is flushed."""

WIDTHS = 3.0
"""How many standard deviations of a narrow kind lie between the middles to its neighbours."""


def _laid_out() -> tuple[Kind, ...]:
    """The narrow kinds, with the weights that the start gives them."""
    places = figures.FLUSHED_PLACES
    middles = [0.5 * (one + two) for one, two in pairwise(places)]
    edges = [0.0, *middles, 2.0 * places[-1] - middles[-1]]
    kinds = [
        (
            sum(weight * (phi((high - mean) / sd) - phi((low - mean) / sd)) for weight, mean, sd in figures.FLUSHED),
            place,
            ((high - low) / WIDTHS) ** 2,
        )
        for place, (low, high) in zip(places, pairwise(edges), strict=True)
    ]
    total = sum(weight for weight, _, _ in kinds)
    return tuple((weight / total, mean, var) for weight, mean, var in kinds)


START = _laid_out()


@dataclass(frozen=True)
class Split:
    """kinds: of household, by what is flushed, rising; empty where no tank takes flushes alone.

    flushed: the filter's places whose sum it is; mean, var: as the filter has it. usual: variance for the likelier half of households, the
    nearer side of its middle.
    """

    flushed: Row
    mean: float
    var: float
    kinds: tuple[Kind, ...]
    usual: float = 0.0


NOT_SPLIT = Split({}, 0.0, 0.0, ())


def split_of(own: Filter, world: World) -> Split:
    """The kinds of household as they weigh now."""
    flushed = {own.at["share:" + key]: 1.0 for key, move in world.moves.items() if move > 0.0}
    mean, var = sum(own.mean[place] for place in flushed), own.variance(flushed)
    if var <= 1e-12:
        return NOT_SPLIT
    return Split(flushed, mean, var, _weigh(mean, var, world.flushed, world.told.weights))


def _weigh(mean: float, var: float, start: float, told: Sequence[float] = ()) -> tuple[Kind, ...]:
    """mean, var: of f in the filter, which carries it from m0 = start. told: what the kinds weigh without what the filter has seen."""
    wide, kinds = figures.FLUSHED_SD**2, START
    if told:
        kinds = tuple((weight, own, each) for weight, (_, own, each) in zip(told, START, strict=True))
    if var >= SURE * wide:
        return kinds if told else START
    noise = 1.0 / (1.0 / var - 1.0 / wide)
    kinds = _seen(kinds, noise * (mean / var - start / wide), noise)
    total = sum(weight for weight, _, _ in kinds)
    return tuple((weight / total, own, each) for weight, own, each in kinds)


def weighed(weights: Sequence[float], likelihoods: Sequence[float]) -> list[float]:
    """What the kinds weigh after something was seen that is so likely for each."""
    both = [weight * each for weight, each in zip(weights, likelihoods, strict=True)]
    total = sum(both)
    return [max(LEAST_LEFT, each / total) for each in both] if total > 0.0 else list(weights)


def _seen(kinds: tuple[Kind, ...], seen: float, noise: float) -> tuple[Kind, ...]:
    """The kinds, not yet weighed to 1, after f was seen with this variance."""
    apart = [(seen - own) ** 2 / (var + noise) for _, own, var in kinds]
    least = min(apart)
    return tuple(
        (
            max(LEAST_LEFT, weight * exp(0.5 * (least - each)) / sqrt(var + noise)),
            own + var / (var + noise) * (seen - own),
            var / (var + noise) * noise,
        )
        for (weight, own, var), each in zip(kinds, apart, strict=True)
    )


def below(split: Split, *chances: float) -> list[float]:
    """What is flushed, below which the household lies with each of these probabilities, rising: the kinds as a row of bars that meet half-way."""
    places = [own for _, own, _ in split.kinds]
    edges = [0.0, *(0.5 * (one + two) for one, two in pairwise(places))]
    edges.append(2.0 * places[-1] - edges[-1])
    found, so_far, index = [], 0.0, 0
    for p in chances:
        while index + 1 < len(places) and so_far + split.kinds[index][0] < p:
            so_far += split.kinds[index][0]
            index += 1
        low, high = edges[index], edges[index + 1]
        found.append(low + (high - low) * min(1.0, (p - so_far) / split.kinds[index][0]))
    return found


def recentre(own: Filter, world: World) -> Split:
    """Move the filter's f to the middle of what the kinds of household say together, and all that hangs on it, and m0 with it.

    The wide start is only a way to carry what has been seen: another m0 leaves that as it was, and keeps f where water can flow.
    """
    split = split_of(own, world)
    if not split.kinds:
        return split
    low, middle, high = below(split, 0.16, 0.5, 0.84)
    usual = min(middle - low, high - middle) ** 2
    if split.kinds is START:
        # nothing is told yet: the figures that people reckon with stay as they are
        return Split(split.flushed, split.mean, split.var, split.kinds, usual)
    step = (middle - split.mean) / split.var
    for place, row in enumerate(own.cov):
        own.mean[place] += step * sum(row[other] for other in split.flushed)
    world.flushed += step * figures.FLUSHED_SD**2
    return Split(split.flushed, middle, split.var, split.kinds, usual)


def each_of(own: Filter, split: Split, what: Row, mean: float, extra: float = 0.0) -> list[Kind]:
    """A linear combination as each kind of household has it: (weight, mean, variance), its mean at `mean` where f is at the filter's own.

    extra: variance on top.
    """
    var = own.variance(what) + extra
    if not split.kinds:
        return [(1.0, mean, var)]
    slope = own.covariance(what, split.flushed) / split.var
    rest = max(0.0, var - slope * slope * split.var)
    return [(weight, mean + slope * (at - split.mean), rest + slope * slope * each) for weight, at, each in split.kinds]


def parts_of(own: Filter, split: Split, what: Row, mean: float, extra: float = 0.0) -> list[Kind]:
    """The same, without the kinds that are hardly likely, and with neighbours that hardly differ in this taken together: mean and variance
    of the two stay."""
    return alike_as_one([each_of(own, split, what, mean, extra)])


def alike_as_one(sorts: Sequence[Sequence[Kind]]) -> list[Kind]:
    """Several rows of kinds as one mixture: without those that are hardly likely, and with neighbours in a row that hardly differ taken
    together."""
    parts: list[Kind] = []
    totals = [sum(weight for weight, _, _ in row) for row in sorts]
    for row, total in zip(sorts, totals, strict=True):
        first = len(parts)
        for weight, here, var in row:
            if weight < LEAST_WEIGHT * total or total < LEAST_WEIGHT * sum(totals):
                continue
            if len(parts) > first and (here - parts[-1][1]) ** 2 < ALIKE * var:
                before, there, other = parts[-1]
                both = before + weight
                apart, part = here - there, weight / both
                parts[-1] = (
                    both, there + part * apart, other + part * (var - other) + part * (1.0 - part) * apart * apart
                )  # fmt: skip
            else:
                parts.append((weight, here, var))
    left = sum(weight for weight, _, _ in parts)
    return [(weight / left, at, var) for weight, at, var in parts]


def spread_of(own: Filter, split: Split, what: Row, mean: float, low: float, high: float, extra: float = 0.0) -> Spread:
    """A linear combination as believed, kept between bounds. mean, extra: as for `parts_of`."""
    return blend(
        [(weight, Spread(at, sqrt(var), low, high)) for weight, at, var in parts_of(own, split, what, mean, extra)]
    )


def covariance(own: Filter, split: Split, one: Row, other: Row) -> float:
    """Of two linear combinations, for what is flushed in the likelier half of households."""
    plain = own.covariance(one, other)
    if not split.kinds:
        return plain
    slope = own.covariance(one, split.flushed) * own.covariance(other, split.flushed) / split.var
    return plain + slope * (split.usual / split.var - 1.0)
