"""A quantity that cannot be negative and leans to the right: gamma, with the few functions a forecast needs.

Only the standard library's math; checked against scipy.stats.gamma in the tests. May import: the standard library only.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, lgamma, log, sqrt

from state.spread import phi, z_of

_TINY = 1e-300


def lower_regularised(a: float, x: float) -> float:
    """P(a, x), the regularised lower incomplete gamma function. [probability]

    Args: a: shape, > 0. x: >= 0.
    Source: NIST Digital Library of Mathematical Functions, 8.11.4 (series) and 8.9.2 (continued fraction) (numbers from memory).
    """
    if x <= 0.0:
        return 0.0
    if a > 5000.0:  # far into the normal range: Wilson and Hilferty's cube root is good to 1e-5 here
        third = 1.0 / (9.0 * a)
        return phi(((x / a) ** (1.0 / 3.0) - 1.0 + third) / sqrt(third))
    front = exp(a * log(x) - x - lgamma(a))
    if x < a + 1.0:
        return min(1.0, front * _series(a, x))
    return max(0.0, 1.0 - front * _fraction(a, x))


def _series(a: float, x: float) -> float:
    term = total = 1.0 / a
    n = a
    while term > total * 1e-13:
        n += 1.0
        term *= x / n
        total += term
    return total


def _fraction(a: float, x: float) -> float:
    """Lentz's way through the continued fraction of Q(a, x)."""
    b = x + 1.0 - a
    c = 1.0 / _TINY
    d = h = 1.0 / b
    for i in range(1, 10000):
        an = -i * (i - a)
        b += 2.0
        d = an * d + b
        c = b + an / c
        d = 1.0 / (d if abs(d) > _TINY else _TINY)
        step = d * (c if abs(c) > _TINY else _TINY)
        h *= step
        if abs(step - 1.0) < 1e-13:
            break
    return h


@dataclass(frozen=True, slots=True)
class Gamma:
    """A gamma quantity of given mean and standard deviation; a standard deviation of 0 is a certain value.

    mean, sd: >= 0. [any unit; litres here]
    """

    mean: float
    sd: float

    def __post_init__(self) -> None:
        if self.mean < 0 or self.sd < 0:
            raise ValueError("a gamma quantity needs mean >= 0 and sd >= 0")

    @property
    def shape(self) -> float:
        """(mean / sd) squared; only where both are positive."""
        return (self.mean / self.sd) ** 2

    def cdf(self, x: float) -> float:
        """P(quantity <= x). [probability]"""
        if self.mean <= 0.0 or self.sd <= 1e-9 * self.mean:
            return 1.0 if x >= self.mean else 0.0
        if x <= 0.0:
            return 0.0
        return lower_regularised(self.shape, x * self.mean / (self.sd * self.sd))

    def quantile(self, p: float) -> float:
        """The point below which the quantity lies with probability p, 0 < p < 1. Newton's steps kept inside a bracket."""
        if self.mean <= 0.0 or self.sd <= 1e-9 * self.mean:
            return self.mean
        a, scale = self.shape, self.sd * self.sd / self.mean
        x = _first_guess(a, p)
        low, high = 0.0, float("inf")
        for _ in range(60):
            error = lower_regularised(a, x) - p
            if error > 0:
                high = x
            else:
                low = x
            slope = exp((a - 1.0) * log(x) - x - lgamma(a)) if x > 0 else 0.0
            step = x - error / slope if slope > _TINY else -1.0
            if not low < step < high:
                step = 0.5 * (low + high) if high < float("inf") else 2.0 * x + 1.0
            if abs(step - x) <= 1e-10 * step:
                x = step
                break
            x = step
        return x * scale


def _first_guess(a: float, p: float) -> float:
    """Wilson and Hilferty's cube-root normal; the series' first term where that has no sense (small shapes)."""
    third = 1.0 / (9.0 * a)
    root = 1.0 - third + z_of(p) * sqrt(third)
    if root > 0.1:
        return a * root**3
    return float(max(exp((log(p) + lgamma(a + 1.0)) / a), 1e-280))
