"""A quantity that is not known exactly: normal, normal kept between bounds, a mixture of these. Pure arithmetic on the standard library's math.

May import: the standard library only.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import erf, erfc, exp, inf, log, pi, sqrt

from state.lightclass import dataclass

SQRT2 = sqrt(2.0)
SQRT2PI = sqrt(2.0 * pi)
LEAST_LEFT = 1e-12
"""A normal of which a cut leaves less than this is a single point: the nearer of its bounds."""


def phi(z: float) -> float:
    """Standard normal distribution function. [probability]"""
    return 0.5 * erfc(-z / SQRT2) if z < 0 else 0.5 * (1.0 + erf(z / SQRT2))


def density(z: float) -> float:
    """Standard normal density."""
    return exp(-0.5 * z * z) / sqrt(2.0 * pi)


def z_of(p: float) -> float:
    """Standard normal quantile.

    Args: p: 0 < p < 1. [probability]
    Raises: ValueError outside (0, 1).
    Source: M. J. Wichura, Algorithm AS 241, Applied Statistics 37 (1988) 477-484 (from memory; checked against scipy.stats.norm.ppf).
    """
    if not 0.0 < p < 1.0:
        raise ValueError(f"a probability strictly between 0 and 1 is needed, not {p}")
    q = p - 0.5
    if abs(q) <= 0.425:
        r = 0.180625 - q * q
        return q * _ratio(r, _NEAR_MIDDLE)
    r = sqrt(-log(p if q < 0 else 1.0 - p))
    x = _ratio(r - 1.6, _TAIL) if r <= 5.0 else _ratio(r - 5.0, _FAR_TAIL)
    return -x if q < 0 else x


def _ratio(r: float, both: tuple[tuple[float, float], ...]) -> float:
    """Of two polynomials, their coefficients in pairs, those of the highest power first."""
    a = b = 0.0
    for x, y in both:
        a, b = a * r + x, b * r + y
    return a / b


_A = (3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3, 1.3731693765509461125e4,
      4.5921953931549871457e4, 6.7265770927008700853e4, 3.3430575583588128105e4, 2.5090809287301226727e3)  # fmt: skip
_B = (1.0, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
      2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4, 5.2264952788528545610e3)  # fmt: skip
_C = (1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0, 3.64784832476320460504e0,
      1.27045825245236838258e0, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4)  # fmt: skip
_D = (1.0, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
      1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4, 1.05075007164441684324e-9)  # fmt: skip
_E = (6.65790464350110377720e0, 5.46378491116411436990e0, 1.78482653991729133580e0, 2.96560571828504891230e-1,
      2.65321895265761230930e-2, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7)  # fmt: skip
_F = (1.0, 5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
      7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7, 2.04426310338993978564e-15)  # fmt: skip
_NEAR_MIDDLE, _TAIL, _FAR_TAIL = (
    tuple(zip(reversed(top), reversed(bottom), strict=True)) for top, bottom in ((_A, _B), (_C, _D), (_E, _F))
)


@dataclass(frozen=True)
class Spread:
    """A normal quantity cut off at `low` and `high` (the mass beyond is spread over the inside, as after learning that it cannot be there).

    mean, sd: of the normal before the cut. [any unit]
    """

    mean: float
    sd: float
    low: float = -inf
    high: float = inf

    def __post_init__(self) -> None:
        if self.sd < 0 or self.low > self.high:
            raise ValueError("a spread needs sd >= 0 and low <= high")

    def cdf(self, x: float) -> float:
        """P(quantity <= x). [probability]"""
        if x < self.low:
            return 0.0
        if x >= self.high:
            return 1.0
        if self.sd == 0:
            return 1.0 if x >= min(max(self.mean, self.low), self.high) else 0.0
        a, b = phi((self.low - self.mean) / self.sd), phi((self.high - self.mean) / self.sd)
        if b - a < LEAST_LEFT:
            return 1.0 if x >= min(max(self.mean, self.low), self.high) else 0.0
        return min(1.0, max(0.0, (phi((x - self.mean) / self.sd) - a) / (b - a)))

    def quantile(self, p: float) -> float:
        """The point below which the quantity lies with probability p. 0 < p < 1."""
        inside = min(max(self.mean, self.low), self.high)
        if self.sd == 0:
            return inside
        a, b = phi((self.low - self.mean) / self.sd), phi((self.high - self.mean) / self.sd)
        if b - a < LEAST_LEFT:
            return inside
        q = a + p * (b - a)
        if not 0.0 < q < 1.0:
            return inside
        return min(max(self.mean + self.sd * z_of(q), self.low), self.high)

    @property
    def points(self) -> dict[str, float]:
        """p10, p50, p90."""
        return {"p10": self.quantile(0.1), "p50": self.quantile(0.5), "p90": self.quantile(0.9)}


@dataclass(frozen=True)
class Blend(Spread):
    """A mixture: with each weight, the quantity is one of the parts. mean, sd: of the whole before the cut; low, high: its bounds.

    parts: (weight, spread), weights above 0 that sum to 1.
    Source: G. McLachlan, D. Peel, Finite Mixture Models, Wiley 2000, ch. 1 (from memory; checked against scipy.stats).
    """

    parts: tuple[tuple[float, Spread], ...] = ()

    def cdf(self, x: float) -> float:
        """P(quantity <= x). [probability]"""
        return sum(weight * part.cdf(x) for weight, part in self.parts)

    def quantile(self, p: float) -> float:
        """The point below which the quantity lies with probability p, between the parts' own. 0 < p < 1."""
        z = z_of(p)
        points = [
            part.mean + part.sd * z if part.mean - UNTOUCHED * part.sd > part.low and part.mean + UNTOUCHED * part.sd < part.high
            else part.quantile(p) for _, part in self.parts
        ]  # fmt: skip
        below, above = min(points), max(points)
        if above - below <= NEAR * (1.0 + abs(above)):
            return 0.5 * (below + above)
        start = sum(weight * point for (weight, _), point in zip(self.parts, points, strict=True))
        return _reached(
            p,
            [_term(weight, part.mean, part.sd, part.low, part.high) for weight, part in self.parts],
            below,
            above,
            start,
        )


UNTOUCHED = 8.0
"""A cut so many standard deviations away takes less than rounding does."""

NEAR = 1e-12
"""Quantiles of mixtures are found to this, over 1 and themselves."""

NEWTON_NEAR = 1e-7
"""A step by the slope that is no longer than this leaves an error of the order of its square."""

NEWTON_STEPS = 20
"""Steps by the slope before halving alone: where a part is a single point there is no slope to follow."""

Term = tuple[float, float, float, float, float, float]
"""A part of a mixture: weight over what its cut leaves, mean, sd, what its cut takes below, and where it is cut."""


def _term(weight: float, mean: float, sd: float, low: float, high: float) -> Term:
    """sd 0 for a part that is a single point, at the mean."""
    if sd > 0.0:
        a, b = phi((low - mean) / sd), phi((high - mean) / sd)
        if b - a >= LEAST_LEFT:
            return weight / (b - a), mean, sd, a, low, high
    inside = min(max(mean, low), high)
    return weight, inside, 0.0, 0.0, inside, inside


def _reached(p: float, terms: Sequence[Term], below: float, above: float, x: float) -> float:
    """Where between two points the distribution function of a mixture reaches p: Newton's steps from x, by halves where they lead out.

    Source: W. H. Press et al., Numerical Recipes, 3rd ed., Cambridge 2007, section 9.4 (rtsafe; section from memory).
    """
    for step in range(NEWTON_STEPS + 60):
        value = slope = 0.0
        for weight, mean, sd, a, low, high in terms:
            if x >= high:
                # all of this part lies below: its weight, as it was before the cut
                value += weight if sd == 0.0 else weight * (phi((high - mean) / sd) - a)
            elif x >= low:
                z = (x - mean) / sd
                value += weight * (0.5 * erfc(-z / SQRT2) - a)
                slope += weight * exp(-0.5 * z * z) / sd
        below, above = (x, above) if value < p else (below, x)
        after = x - (value - p) * SQRT2PI / slope if slope > 0.0 else below
        near = NEWTON_NEAR
        if not below < after < above or step >= NEWTON_STEPS:
            after, near = 0.5 * (below + above), NEAR
        if abs(after - x) <= near * (1.0 + abs(x)):
            return after
        x = after
    return x


def blend(parts: Sequence[tuple[float, Spread]]) -> Spread:
    """The mixture of these, with the mean and the standard deviation of the whole; of one part, that part. Weights sum to 1."""
    if len(parts) == 1:
        return parts[0][1]
    mean = sum(weight * part.mean for weight, part in parts)
    var = sum(weight * (part.sd**2 + (part.mean - mean) ** 2) for weight, part in parts)
    low, high = min(part.low for _, part in parts), max(part.high for _, part in parts)
    return Blend(mean, sqrt(var), low, high, tuple(parts))


def centred(parts: Sequence[tuple[float, float, float]], middle: float, low: float, high: float) -> Spread:
    """The mixture of normals (weight, mean, variance), moved so that half of it lies below `middle`, and then cut off at its bounds."""
    if len(parts) == 1:
        return Spread(middle, sqrt(parts[0][2]), low, high)
    uncut = [_term(weight, mean, sqrt(var), -inf, inf) for weight, mean, var in parts]
    means = [mean for _, mean, _ in parts]
    step = middle - _reached(0.5, uncut, min(means), max(means), sum(weight * mean for weight, mean, _ in parts))
    return blend([(weight, Spread(mean + step, sqrt(var), low, high)) for weight, mean, var in parts])


def at_least(mean: float, var: float, least: float) -> tuple[float, float]:
    """Mean and variance of a normal quantity once it is known to be no less than `least`.

    Source: N. L. Johnson, S. Kotz, N. Balakrishnan, Continuous Univariate Distributions 1, 2nd ed., Wiley 1994, section 13.10.1 (from
    memory; checked against scipy.stats.truncnorm).
    """
    if var <= 0.0:
        return max(mean, least), 0.0
    sd = sqrt(var)
    z = (least - mean) / sd
    beyond = phi(-z)
    hazard = density(z) / beyond if beyond > 1e-300 else z + 1.0 / z
    return mean + sd * hazard, max(0.0, var * (1.0 - hazard * (hazard - z)))
