"""A small Kalman-type filter on plain lists: a handful of quantities, how sure each is, and how their errors hang together.

Prediction adds and couples; observation corrects with a gain K. The covariance after an observation is Joseph's form
P' = (I - K H) P (I - K H)^T + K R K^T, which holds for *any* gain: the optimal one, or one that a person can follow with a pencil.
Source: R. G. Brown, P. Y. C. Hwang, Introduction to Random Signals and Applied Kalman Filtering, Wiley, ch. 5 (chapter from memory);
checked in the tests against published worked examples and against scipy.
Knows nothing of water. May import: the standard library.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from state.lightclass import dataclass, field

Row = Mapping[int, float]


def _dot(one: Row, other: Sequence[float]) -> float:
    total = 0.0
    for place, factor in one.items():
        total += factor * other[place]
    return total


@dataclass
class Filter:
    """names: what each place stands for; mean and cov: the belief. `at`: name to place."""

    names: list[str] = field(default_factory=list)
    mean: list[float] = field(default_factory=list)
    cov: list[list[float]] = field(default_factory=list)
    at: dict[str, int] = field(default_factory=dict)

    def copy(self) -> Filter:
        return Filter(list(self.names), list(self.mean), [list(row) for row in self.cov], dict(self.at))

    def append(self, name: str, mean: float, var: float) -> int:
        """A new quantity, independent of the others; its place."""
        place = self.at[name] = len(self.names)
        self.names.append(name)
        self.mean.append(mean)
        for row in self.cov:
            row.append(0.0)
        self.cov.append([0.0] * place + [var])
        return place

    def twin(self, of: str, name: str) -> None:
        """A new quantity that is what `of` is now, and stays so whatever becomes of that one. It takes the place of an older `name`."""
        self.drop(name)
        place = self.at[of]
        self.couple(self.append(name, self.mean[place], 0.0), place, 1.0)

    def drop(self, name: str) -> None:
        """Forget a quantity altogether; nothing happens if there is none of that name."""
        place = self.at.get(name)
        if place is None:
            return
        del self.names[place], self.mean[place], self.cov[place]
        for row in self.cov:
            del row[place]
        self.at = {each: index for index, each in enumerate(self.names)}

    def reset(self, place: int, mean: float, var: float) -> None:
        """The quantity starts afresh, independent of all others."""
        self.mean[place] = mean
        for row in self.cov:
            row[place] = 0.0
        row = self.cov[place]
        for index in range(len(row)):
            row[index] = 0.0
        row[place] = var

    def widen(self, direction: Row, var: float) -> None:
        """Add an error of variance `var` that moves each place of `direction` by its factor."""
        items = list(direction.items())
        for i, a in items:
            row, scaled = self.cov[i], a * var
            for j, b in items:
                row[j] += scaled * b

    def couple(self, place: int, source: int, factor: float) -> None:
        """The quantity at `place` grew by factor x (error of `source`): x_place += factor * x_source, covariances only."""
        if factor == 0.0 or place == source:
            return
        cov = self.cov
        other, own = cov[source], cov[place]
        var = own[place] + 2.0 * factor * own[source] + factor * factor * other[source]
        for j, value in enumerate(other):
            new = own[j] + factor * value
            own[j] = new
            cov[j][place] = new
        own[place] = var

    def variance(self, what: Row) -> float:
        """Variance of a linear combination."""
        return max(0.0, self.covariance(what, what))

    def covariance(self, one: Row, other: Row) -> float:
        total = 0.0
        for i, a in one.items():
            row = self.cov[i]
            for j, b in other.items():
                total += a * b * row[j]
        return total

    def best_gain(self, seen: Row, noise: float) -> tuple[list[float], float]:
        """The gain that leaves the least variance, and the variance of what is seen before it is seen: K = P H^T / S, S = H P H^T + R."""
        towards = self._towards(seen)
        spread = _dot(seen, towards) + noise
        return ([each / spread for each in towards] if spread > 0.0 else [0.0] * len(towards)), spread

    def correct(self, seen: Row, residual: float, noise: float, gain: Sequence[float]) -> None:
        """Take in an observation of sum(seen) that came out `residual` above expectation, with error variance `noise` and this gain."""
        mean, cov, n = self.mean, self.cov, len(self.names)
        towards = self._towards(seen)
        spread = _dot(seen, towards) + noise
        for i in range(n):
            k = gain[i]
            mean[i] += k * residual
            row, t = cov[i], towards[i]
            for j in range(i + 1):
                value = row[j] - k * towards[j] - t * gain[j] + k * gain[j] * spread
                row[j] = value
                cov[j][i] = value
        for i in range(n):
            if cov[i][i] < 0.0:
                cov[i][i] = 0.0

    def _towards(self, seen: Row) -> list[float]:
        """How each quantity's error hangs together with that of sum(seen)."""
        if len(seen) == 2:  # nearly all that is seen is of one quantity, or of two; the general way takes twice as long
            (i, a), (j, b) = seen.items()
            return [a * row[i] + b * row[j] for row in self.cov]
        if len(seen) == 1:
            ((i, a),) = seen.items()
            return [a * row[i] for row in self.cov]
        return [_dot(seen, row) for row in self.cov]
