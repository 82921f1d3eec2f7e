"""Uses of one sort, summed up: kept in the world for every activity and person, so that a question about all of them reads no log.

Pure data. May import: `entry`.
"""

from __future__ import annotations

from state.entry import Entry
from state.lightclass import dataclass


@dataclass
class Sum:
    """Uses of one sort. n: how many times. low, high: the least and most of a single one, estimates left out. [litres]"""

    n: int = 0
    litres: float = 0.0
    measured: int = 0
    measured_litres: float = 0.0
    low: float | None = None
    high: float | None = None

    @property
    def mean(self) -> float | None:
        """Of the measured ones; of all where none was measured."""
        if self.measured:
            return self.measured_litres / self.measured
        return self.litres / self.n if self.n else None

    def add(self, entry: Entry) -> None:
        count = max(1, entry.get("count") or 1)
        self.n += count
        self.litres += entry.litres
        if entry.get("estimated"):
            return
        each = entry.litres / count
        self.measured += count
        self.measured_litres += entry.litres
        self.low = each if self.low is None else min(self.low, each)
        self.high = each if self.high is None else max(self.high, each)

    def join(self, other: Sum) -> None:
        """Put what another counted into this one."""
        self.n += other.n
        self.litres += other.litres
        self.measured += other.measured
        self.measured_litres += other.measured_litres
        for each in (other.low, other.high):
            if each is not None:
                self.low = each if self.low is None else min(self.low, each)
                self.high = each if self.high is None else max(self.high, each)
