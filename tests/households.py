"""Households whose tanks are known exactly, for the study of beliefs: streams of use, a true rig, and what its people tell.

Streams come from a folder of water-use records (environment variable ULLAGE_STREAMS: `*.csv.gz` with stream_id, at, end_use, litres and a
`streams.json`), or are generated here. Randomness is seeded throughout.
"""

from __future__ import annotations

import csv
import gzip
import json
import os
import random
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from state.entry import Entry
from state.log.rows import DEFAULTS

ZONE = timezone(timedelta(hours=-6))
ACTIVITY = {
    "shower": "shower", "washbasin": "handwash", "kitchen": "dishes", "toilet": "toilet", "laundry": "laundry",
    "dishwasher": "dishes", "outside": "outside", "other": "other",
}  # fmt: skip
DAY = timedelta(days=1)
BY_SHARE = ("measured-inlet", "by-share")
"""Kinds of home whose water splits by the rig's share alone, not by fixture."""


def told_at(kind: str, at: datetime, seq: int, **fields: Any) -> Entry:
    """An entry of that kind, told when it happened, with the defaults filled in."""
    envelope = {"id": f"h{seq:010d}", "kind": kind, "at": at, "heard_at": at, "heard": "", "said": ()}
    return Entry({**DEFAULTS[kind], **fields, **envelope}, seq, seq)


@dataclass(frozen=True)
class Stream:
    name: str
    kind: str
    people: int
    uses: list[tuple[datetime, str, float]]
    skip_days: frozenset[str] = frozenset()

    @property
    def start(self) -> datetime:
        return self.uses[0][0].replace(hour=0, minute=0, second=0)

    @property
    def per_day(self) -> float:
        days = max(1.0, (self.uses[-1][0] - self.start) / DAY)
        return sum(litres for _, _, litres in self.uses) / days


def recorded(folder: Path) -> list[Stream]:
    """All streams of a folder of records."""
    about = {row["stream_id"]: row for row in json.loads((folder / "streams.json").read_text())}
    uses: dict[str, list[tuple[datetime, str, float]]] = {name: [] for name in about}
    for path in sorted(folder.glob("*.csv.gz")):
        with gzip.open(path, "rt") as lines:
            for row in csv.DictReader(lines):
                at = datetime.fromisoformat(row["at"]).replace(tzinfo=ZONE)
                uses[row["stream_id"]].append((at, row["end_use"], float(row["litres"])))
    return [
        Stream(name, row["kind"], row["people"], sorted(uses[name]), frozenset(str(day) for day in row.get("imputed_days") or ()))
        for name, row in about.items() if uses[name]
    ]  # fmt: skip


def generated(seed: int, days: int = 45, people: int = 2) -> Stream:
    """A household on the road: showers, dishes, flushes and hands, with busy and idle days. Rates are common practice, no source."""
    random_ = random.Random(seed)
    start = datetime(2026, 3, 2, tzinfo=ZONE)
    frugal = random_.uniform(0.6, 1.4)
    plan = (("shower", 0.8, 7.5, (7, 8, 20, 21)), ("dishwasher", 0.7, 5.5, (9, 13, 19, 20)), ("toilet", 3.0, 1.2, tuple(range(6, 24))),
            ("washbasin", 8.0, 0.5, tuple(range(6, 24))), ("kitchen", 4.0, 0.9, (7, 8, 12, 13, 18, 19)), ("outside", 0.1, 8.0, (11, 16)))  # fmt: skip
    uses = []
    for day in range(days):
        busy = random_.gammavariate(6.0, 1 / 6.0)
        for use, rate, litres, hours in plan:
            expected = rate * people * busy
            count = sum(1 for _ in range(40) if random_.random() < expected / 40)
            for _ in range(count):
                at = start + timedelta(
                    days=day, hours=random_.choice(hours), minutes=random_.randrange(60), seconds=random_.randrange(60)
                )
                uses.append((at, use, round(frugal * litres * random_.gammavariate(4.0, 0.25), 3)))
    return Stream(f"generated-{seed}", "generated", people, sorted(uses))


def by_share(home: Stream) -> Stream:
    """The same use with nothing known of what it was for, so that it splits by the rig's share alone."""
    return replace(home, kind="by-share", uses=[(at, "other", litres) for at, _, litres in home.uses])


def streams(limit: int | None = None) -> list[Stream]:
    """Recorded streams where a folder is named, else generated ones."""
    folder = os.environ.get("ULLAGE_STREAMS")
    every = recorded(Path(folder)) if folder else [generated(seed, people=1 + seed % 4) for seed in range(12)]
    return every[:limit]


@dataclass
class Truth:
    """A rig as it really is. share: of what no activity routes, to grey and black. meter: indicated over true. litres: tanks."""

    grey: float
    black: float
    fresh: float
    share: tuple[float, float] = (8 / 9, 0.05)
    meter: float = 1.0
    told_grey: float | None = None
    told_fresh: float | None = None


@dataclass
class Telling:
    """How the people log. readings_a_day: 0, 1 or 2. logs: chance that a use is logged; typical: chance that a logged one has no volume.
    silent: (first day, days) without any reading. forgets_resets: zeroes the meter at dumps and never says so. supply.
    black_every: dumps black so many days apart, whatever is in it (0: when it is fairly full)."""

    readings_a_day: int = 2
    logs: float = 0.0
    typical: float = 0.0
    silent: tuple[int, int] | None = None
    forgets_resets: bool = False
    supply: str = "hookup"
    says_full: bool = False
    black_every: int = 0


@dataclass
class Run:
    """The events in order, and the truth at moments to check: (at, tank, litres, days since the last reading)."""

    entries: list[Entry] = field(default_factory=list)
    checks: list[tuple[datetime, str, float, float]] = field(default_factory=list)
    fulls: list[datetime] = field(default_factory=list)


def fair(stream: Stream, random_: random.Random, days_to_fill: float = 8.5) -> Truth:
    """A rig in proportion: grey lasts a week to ten days; usable capacities, shares and meter off by what is believed usual."""
    told = stream.per_day * days_to_fill * 8 / 9
    share = min(0.97, max(0.75, random_.gauss(8 / 9, 0.05)))
    return Truth(
        told * random_.gauss(1.0, 0.06), told * 0.6, told * 1.1 * random_.gauss(1.0, 0.06), (share, (1 - share) * random_.uniform(0.3, 0.7)),
        random_.uniform(0.98, 1.02), told, told * 1.1,
    )  # fmt: skip


class Teller:
    """Lives through a stream with a rig and tells of it as the household does."""

    def __init__(self, stream: Stream, truth: Truth, telling: Telling, seed: int) -> None:
        self.stream, self.truth, self.telling = stream, truth, telling
        self.random = random.Random(f"{seed} {stream.name}")
        self.run = Run()
        self.level = {"grey": 0.01 * truth.grey, "black": 0.01 * truth.black, "fresh": truth.fresh}
        self.counter = 0.0
        self.last_reading = stream.start

    def tell(self, kind: str, at: datetime, **fields: Any) -> None:
        seq = len(self.run.entries) + 1
        self.run.entries.append(told_at(kind, at, seq, **fields))

    def live(self, days: int) -> Run:
        start = self.stream.start
        self._set_up(start)
        uses = iter(self.stream.uses)
        use = next(uses, None)
        for moment, what in self._moments(start, days):
            while use is not None and use[0] <= moment:
                self._use(*use)
                use = next(uses, None)
            if what == "read":
                self._read(moment)
            elif what == "check":
                since = (moment - self.last_reading) / DAY
                for tank in ("grey", "black") if self.telling.supply == "hookup" else ("grey", "black", "fresh"):
                    self.run.checks.append((moment, tank, self.level[tank], since))
            else:
                self._look(moment)
        return self.run

    def _set_up(self, at: datetime) -> None:
        told = {
            "fresh": self.truth.told_fresh or self.truth.fresh,
            "grey": self.truth.told_grey or self.truth.grey,
            "black": self.truth.black,
        }
        for tank, litres in told.items():
            self.tell("rig", at, what="tank", tank=tank, tank_kind=tank, litres=litres)
        self.tell("party", at, people=self.stream.people)
        self.tell("arrive", at, site="Pine Hollow", water=self.telling.supply == "hookup", sewer=False)
        self.tell("dump", at, tank="grey")
        self.tell("dump", at, tank="black")
        if self.telling.readings_a_day:
            self.tell("meter_reset", at)
        self.tell("fill", at, tank="fresh", to_full=True)

    def _moments(self, start: datetime, days: int) -> Iterator[tuple[datetime, str]]:
        moments: list[tuple[datetime, int, str]] = []
        hours = {0: (), 1: (8.0,), 2: (8.0, 20.0)}[self.telling.readings_a_day]
        for day in range(days):
            first, long = self.telling.silent or (10**6, 0)
            if not first <= day < first + long:
                moments += [
                    (start + timedelta(days=day, hours=h + self.random.uniform(-0.5, 0.5)), 0, "read") for h in hours
                ]
            moments.append((start + timedelta(days=day, hours=21.5), 1, "look"))
            moments += [(start + timedelta(days=day, hours=self.random.uniform(0, 24)), 2, "check") for _ in range(2)]
        return ((at, what) for at, _, what in sorted(moments))

    def _use(self, at: datetime, end_use: str, litres: float) -> None:
        activity = ACTIVITY[end_use]
        grey, black = self.truth.share
        if self.stream.kind not in BY_SHARE and end_use != "other":
            black = 1.0 if end_use == "toilet" else 0.0
            grey = 0.0 if end_use in ("toilet", "outside") else 1.0
        self.level["grey"] += grey * litres
        self.level["black"] += black * litres
        if self.telling.says_full and self.level["grey"] >= self.truth.grey:
            self._full(at + timedelta(seconds=1))
        if self.telling.supply == "hookup":
            self.counter += litres * self.truth.meter
        else:
            self.level["fresh"] -= litres
        if self.random.random() < self.telling.logs and litres > 0.15:
            typical = self.random.random() < self.telling.typical
            said = litres * self.random.gauss(1.0, 0.04) if not typical else -1.0
            self.tell("use", at, activity=activity, litres=max(0.05, said), estimated=typical)

    def _read(self, at: datetime) -> None:
        self.tell("meter", at, litres=round(self.counter / 0.3785) * 0.3785)
        self.last_reading = at

    def _look(self, at: datetime) -> None:
        """In the evening: dump before it is full; refill fresh before it is empty."""
        silent = self.telling.silent is not None and self.telling.silent[0] <= (at - self.stream.start) / DAY < sum(
            self.telling.silent
        )
        if not self.telling.says_full and self.level["grey"] > (1.0 if silent else 0.8) * self.truth.grey:
            self._dump(at, "grey")
        every, day = self.telling.black_every, int((at - self.stream.start) / DAY)
        if self.level["black"] > 0.8 * self.truth.black or (every and day % every == every - 1):
            self._dump(at, "black")
        if self.telling.supply == "tank" and self.level["fresh"] < 0.25 * self.truth.fresh:
            gone = self.truth.fresh - self.level["fresh"]
            self.tell("fill", at, tank="fresh", litres=gone * self.random.gauss(1.0, 0.01), to_full=True)
            self.level["fresh"] = self.truth.fresh
            self.last_reading = at

    def _full(self, at: datetime) -> None:
        """The shower will not drain: said at once, and dumped."""
        self.tell("level", at, tank="grey", fraction=1.0)
        self.run.fulls.append(at)
        self._dump(at, "grey")

    def _dump(self, at: datetime, tank: str) -> None:
        size = self.truth.grey if tank == "grey" else self.truth.black
        self.level[tank] = self.random.uniform(0.0, 0.02) * size
        self.tell("dump", at, tank=tank)
        if self.telling.forgets_resets and tank == "grey":
            self.counter = 0.0
