"""The study of forecasts: CRPS and coverage of use, coverage of when a tank gives out, reliability and Brier score of "will it last".

`pytest -n0 -m bench tests/bench_forecast.py -s`; ULLAGE_STREAMS names a folder of records, else generated households are used. Asked every
evening for horizons of one to seven days, through the real fold: the household reads its meter, dumps, and says nothing else.
The reference forecaster is the running mean of past daily totals with a normal interval of the sample variance; the reference rule for
"will it last" is the told capacity less 8/9 of the metered use, over the mean of the last three days.

It is a hard reference: it sees the true litres of every day up to the question, where the household has a meter up to 2 % off and perhaps
no reading since the morning. One drawn meter a home moves the CRPS of six simulated homes by 1 % and more, a reading a quarter of an hour
sooner that of fifteen measured ones by half a per cent. Last run, every evening, two rigs a home, 23 records; gains over 3 / 5 days:

    readings           CRPS gain, all    simulated only    one flat, twice   80 % of use holds (measured)   Brier    gives out within
    daily, evening     +2.4 / +2.5 %     +0.9 / +0.6 %     -0.9 / +1.5 %     79 / 77 %                      +48 %    83 %
    daily, morning     +1.8 / +1.7 %     +1.2 / +0.9 %     -0.6 / +2.4 %     80 / 79 %                      +41 %    82 %
    at odd times       +2.0 / +2.0 %     +0.5 / +0.2 %     +0.1 / +2.9 %     77 / 77 %                      +42 %    82 %

Households without a meter that log 75, 90 or 100 % of their uses: 80 % ranges over three days hold in 73, 81, 81 of 100 evenings on measured
homes (58, 64, 62 while each day was filled up towards the pace by itself and low days were left out), CRPS -9, +1, -3 % (-7, -8, -20 %): the
reference sees what nobody told.

In their first two weeks measured homes are held in 75 to 83 %. 24 more simulated homes, not looked at before, gain 0.4 / 0.5 %, and 64 homes made
of days of simulated ones drawn with replacement 0.3 / 0.2 %; before a household of independent days was told its ranges less wide, 0.2 / 0.2
and 0.0 / -0.2 %. What remains there is the price of weekdays and slow changes being possible at all. The flat's two records are so short that the
sign over three days hangs on one of them. Of P(make it) no tenth strays by more than 5.5 points, in all. Where room and share are told as
they are, odds of 30 to 40 % come true 5 points less often than said and the others within 2; the rest is grey, which is believed 1.5 % of its size
too roomy (holding.BRIM). Of simulated homes alone the tenths from 50 to 80 %, n below 120, come true 7 to 15 points more often than said:
their ranges stay too wide, which measured homes need. How a household's spread grows over several days does not last: learned from its own past, or
from slow swings that the filter follows, it gains nothing. Days of the simulated homes are drawn
from midnight to midnight: cut in the evening, the parts make up for each other, which ways.py reckons with by half.
"""

from __future__ import annotations

import random
import time
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import accumulate
from math import exp, pi, sqrt
from statistics import fmean, stdev

import pytest

from state.ahead import forecast
from state.habits import pace
from state.leaning import Leaning
from state.settled import Settled
from state.spread import phi
from state.water import fold
from state.world import World
from tests.households import DAY, Stream, Teller, Telling, Truth, fair, streams

HORIZONS = (1, 2, 3, 5, 7)
FIRST_DAY = 7
EVENING = 20.75


@dataclass(frozen=True)
class Use:
    """One forecast of use and what came: own and the reference's CRPS, percentile of the truth. [litres]"""

    kind: str
    day: int
    horizon: int
    own: float
    reference: float
    percentile: float
    reference_percentile: float


@dataclass(frozen=True)
class Last:
    """One answer to "will grey last": chance, the rule's answer, what came."""

    kind: str
    chance: float
    rule: float
    lasted: bool


@dataclass(frozen=True)
class GaveOut:
    """Where the moment that grey gave out fell: before p10, within, after p90."""

    kind: str
    day: int
    before: bool
    after: bool


def crps_leaning(use: Leaning, came: float, points: int = 100) -> float:
    """Continuous ranked probability score by the mean pinball loss over even percentiles. [litres]"""
    total = 0.0
    for i in range(points):
        p = (i + 0.5) / points
        q = use.quantile(p)
        total += 2.0 * ((1.0 if came < q else 0.0) - p) * (q - came)
    return total / points


def crps_normal(mean: float, sd: float, came: float) -> float:
    """Closed form. Source: T. Gneiting, A. E. Raftery, J. Am. Stat. Assoc. 102 (2007) 359-378, eq. 21 (number from memory)."""
    sd = max(sd, 1e-3)
    z = (came - mean) / sd
    return sd * (z * (2 * phi(z) - 1) + 2 * exp(-0.5 * z * z) / sqrt(2 * pi) - 1 / sqrt(pi))


class Asked(Teller):
    """A household that is checked every evening, just after its reading; `hours`: when it reads, None for odd times."""

    def __init__(
        self, stream: Stream, truth: Truth, telling: Telling, seed: int, hours: tuple[float, ...] | None
    ) -> None:
        super().__init__(stream, truth, telling, seed)
        self.hours = hours

    def _moments(self, start: datetime, days: int) -> Iterator[tuple[datetime, str]]:
        moments: list[tuple[datetime, int, str]] = []
        for day in range(days):
            at = start + timedelta(days=day)
            if self.hours is None:
                count = self.random.choice((0, 1, 1, 2, 3))
                hours = tuple(sorted(self.random.uniform(6.5, EVENING - 0.1) for _ in range(count)))
            else:
                hours = self.hours
            moments += [(at + timedelta(hours=hour), 0, "read") for hour in hours]
            moments.append((at + timedelta(hours=EVENING), 2, "check"))
            moments.append((at + timedelta(hours=EVENING + 0.5), 3, "look"))
        return ((at, what) for at, _, what in sorted(moments))


class Record:
    """A stream's use between any two moments, in all and into grey. [litres]"""

    def __init__(self, stream: Stream, truth: Truth) -> None:
        self.times = [at for at, _, _ in stream.uses]
        self.total = [0.0, *accumulate(litres for _, _, litres in stream.uses)]
        self.grey = [truth.share[0] * litres for litres in self.total]

    def used(self, start: datetime, end: datetime) -> float:
        return self.total[bisect_left(self.times, end)] - self.total[bisect_left(self.times, start)]

    def into_grey(self, start: datetime, end: datetime) -> float:
        return self.grey[bisect_left(self.times, end)] - self.grey[bisect_left(self.times, start)]

    def reaches(self, start: datetime, litres: float) -> datetime | None:
        """When so many litres more have run into grey; None if the record ends before."""
        place = bisect_left(self.grey, self.grey[bisect_left(self.times, start)] + litres)
        return self.times[place - 1] if place < len(self.grey) else None


def unlabelled(homes: list[Stream]) -> list[Stream]:
    """Nothing is logged here, so where each use drains is the true share's business alone, not its fixture's."""
    return [replace(home, uses=[(at, "other", litres) for at, _, litres in home.uses]) for home in homes]


@dataclass
class Found:
    uses: list[Use]
    lasts: list[Last]
    outs: list[GaveOut]
    seconds: list[float]


def ask_all(
    homes: list[Stream],
    hours: tuple[float, ...] | None,
    days_to_fill: float = 6.0,
    every: int = 1,
    rigs: int = 1,
    telling: Telling | None = None,
) -> Found:
    """Every household asked every evening (or each so many), with so many rigs of its own. telling: how it logs; left out, not at all."""
    found = Found([], [], [], [])
    for number, home in [(rig, home) for rig in range(rigs) for home in unlabelled(homes)]:
        truth = fair(home, random.Random(f"{number} {home.name}"), days_to_fill)
        days = int((home.uses[-1][0] - home.start) / DAY) + 1
        run = Asked(home, truth, telling or Telling(), number, hours).live(days)
        record = Record(home, truth)
        world, entries = World(), iter(run.entries)
        entry = next(entries, None)
        for at, tank, level, _ in run.checks:
            while entry is not None and entry.at <= at:
                fold.advance(world, entry)
                entry = next(entries, None)
            day = (at - home.start).days
            if tank == "grey" and day >= FIRST_DAY and (day - FIRST_DAY) % every == 0:
                ask(home, truth, record, world, at, level, day, days, found)
    return found


def ask(
    home: Stream,
    truth: Truth,
    record: Record,
    world: World,
    at: datetime,
    level: float,
    day: int,
    days: int,
    found: Found,
) -> None:
    """One evening's questions."""
    past = [record.used(at - DAY * (i + 1), at - DAY * i) for i in range(day)]
    last_three = fmean(past[:3])
    room = truth.grey - level
    dumped = world.last_dump.get("grey", home.start)
    nominal = (truth.told_grey or truth.grey) - 8 / 9 * record.used(dumped, at)
    for horizon in HORIZONS:
        until = at + DAY * horizon
        if day + horizon >= days or imputed(home, at, until):
            continue
        came = record.used(at, until)
        use = pace.use(forecast.habits_of(world), at, until, world.people, world.supply)
        mean, sd = fmean(past) * horizon, stdev(past) * sqrt(horizon)
        found.uses.append(
            Use(home.kind, day, horizon, crps_leaning(use, came), crps_normal(mean, sd, came), use.cdf(came),
                phi((came - mean) / max(sd, 1e-3)))
        )  # fmt: skip
        began = time.perf_counter()
        made = forecast.make_it(world, at, until)
        found.seconds.append(time.perf_counter() - began)
        rule = 1.0 if nominal >= 8 / 9 * last_three * horizon else 0.0
        lasted = record.into_grey(at, until) <= room
        found.lasts.append(Last(home.kind, made.tanks["grey"].probability, rule, lasted))
        if horizon == 1:
            out, points = record.reaches(at, max(room, 0.0)), made.tanks["grey"].gives_out
            early, late = points["p10"], points["p90"]
            # a record that ends first would leave out the late ones: only evenings with enough days to come are scored
            if out is None or early is None or late is None or day + 14 >= days or imputed(home, at, out):
                continue
            found.outs.append(GaveOut(home.kind, day, out < early, out > late))


def imputed(home: Stream, start: datetime, end: datetime) -> bool:
    """A day that nobody measured lies in between."""
    count = (end.date() - start.date()).days
    return any(str(start.date() + timedelta(days=i)) in home.skip_days for i in range(count + 1))


# ---------------------------------------------------------------- tables


def measured(kind: str) -> bool:
    return not kind.startswith("simulated")


def table_of_use(uses: list[Use]) -> str:
    """CRPS against the running mean and coverage of the 80 % interval, by horizon and class."""
    rows = ["horizon  CRPS own  running mean   gain | by class: " + ", ".join(sorted({u.kind for u in uses}))]
    for horizon in HORIZONS:
        own = [u for u in uses if u.horizon == horizon]
        gain = 100 * (1 - fmean(u.own for u in own) / fmean(u.reference for u in own))
        classes = []
        for kind in sorted({u.kind for u in own}):
            part = [u for u in own if u.kind == kind]
            classes.append(f"{100 * (1 - fmean(u.own for u in part) / fmean(u.reference for u in part)):+.1f} %")
        rows.append(
            f"{horizon:4} d  {fmean(u.own for u in own):8.2f}  {fmean(u.reference for u in own):8.2f}  {gain:+8.2f} % | {', '.join(classes)}"
        )
    rows.append(
        "80 % interval holds: measured, first two weeks, simulated; below p10, above p90; running mean, its first two weeks"
    )
    for horizon in HORIZONS:
        own = [u for u in uses if u.horizon == horizon]
        real = [u for u in own if measured(u.kind)]
        rows.append(
            f"{horizon:4} d  {held(real)}  {held([u for u in real if u.day < 14])}  {held([u for u in own if not measured(u.kind)])};"
            f"  {share([u.percentile < 0.1 for u in real])}  {share([u.percentile > 0.9 for u in real])};"
            f"  {share([0.1 <= u.reference_percentile <= 0.9 for u in real])}"
            f"  {share([0.1 <= u.reference_percentile <= 0.9 for u in real if u.day < 14])}"
        )
    return "\n".join(rows)


def held(uses: list[Use]) -> str:
    return share([0.1 <= u.percentile <= 0.9 for u in uses])


def share(claims: list[bool]) -> str:
    return f"{100 * fmean(claims):5.1f} %" if claims else "    -  "


def brier(lasts: list[Last]) -> tuple[float, float]:
    """(own, the rule's); 0 is best. Brier's score in its modern half form, for a yes or no."""
    return fmean((each.chance - each.lasted) ** 2 for each in lasts), fmean(
        (each.rule - each.lasted) ** 2 for each in lasts
    )


def tenths(lasts: list[Last]) -> list[list[Last]]:
    """The answers by what they said, 0 to 10 % first."""
    found: list[list[Last]] = [[] for _ in range(10)]
    for each in lasts:
        found[min(9, int(10 * each.chance))].append(each)
    return found


def table_of_lasting(lasts: list[Last], outs: list[GaveOut]) -> str:
    own, rule = brier(lasts)
    rows = [f"Brier score of will it last: own {own:.4f}, rule {rule:.4f}, {100 * (1 - own / rule):+.1f} %"]
    rows.append("tenth    n   said   came")
    for tenth, part in enumerate(tenths(lasts)):
        if part:
            said, came = fmean(each.chance for each in part), fmean(each.lasted for each in part)
            rows.append(f"{tenth:3}   {len(part):5}  {100 * said:5.1f}  {100 * came:5.1f}")
    real = [out for out in outs if measured(out.kind)]
    within = [not out.before and not out.after for out in real]
    early = [not out.before and not out.after for out in real if out.day < 14]
    rows.append(
        f"gives out between p10 and p90: measured {share(within)} of {len(real)}, first two weeks {share(early)};"
        f" before {share([out.before for out in real])}, after {share([out.after for out in real])}"
    )
    return "\n".join(rows)


READERS: dict[str, tuple[float, ...] | None] = {
    "twice a day": (8.0, 20.5),
    "once a day, evening": (20.5,),
    "once a day, morning": (8.0,),
    "at odd times": None,
}


@pytest.mark.bench
@pytest.mark.parametrize("readers", READERS)
def test_study_of_forecasts(readers: str) -> None:
    """Prints the whole table for households that read their meter twice a day, once, or at odd times."""
    found = ask_all(streams(), READERS[readers], rigs=2)
    print(f"\n{readers}: {len(found.uses)} forecasts of use, {len(found.lasts)} answers")
    print(table_of_use(found.uses))
    print(table_of_lasting(found.lasts, found.outs))
    slow = sorted(found.seconds)
    print(
        f"one answer: median {1000 * slow[len(slow) // 2]:.1f} ms, 99 % under {1000 * slow[int(0.99 * len(slow))]:.1f} ms"
    )
    assert fmean(each.own for each in found.uses) < fmean(each.reference for each in found.uses)
    # twelve generated homes have too few rigs: what is not known of one strays alike in all its answers
    for part in tenths([each for each in found.lasts if each.kind != "generated"]):
        if len(part) >= 100:
            assert abs(fmean(each.lasted for each in part) - fmean(each.chance for each in part)) <= 0.07


@pytest.mark.bench
@pytest.mark.parametrize("logs", [0.75, 0.9, 1.0])
def test_study_of_logs_alone(logs: float) -> None:
    """Households without a meter that log so many of their uses: what a log leaves out is not known, and the ranges must say so."""
    found = ask_all(streams(), (), telling=Telling(readings_a_day=0, logs=logs))
    print(f"\n{round(100 * logs)} % logged, no meter: {len(found.uses)} forecasts of use")
    print(table_of_use(found.uses))
    real = [0.1 <= use.percentile <= 0.9 for use in found.uses if measured(use.kind)]
    assert 0.70 <= fmean(real) <= 0.88


@pytest.mark.bench
@pytest.mark.parametrize("every", [1, 3])
def test_study_of_daily_totals(every: int) -> None:
    """The habits alone, from true daily totals at midnight: what the two methods make of the same numbers."""
    uses = []
    for home in streams():
        days = int((home.uses[-1][0] - home.start) / DAY) + 1
        record, habits = Record(home, Truth(1.0, 1.0, 1.0)), pace.new()
        total = [record.used(home.start + DAY * i, home.start + DAY * (i + 1)) for i in range(days)]
        for day in range(days):
            at = home.start + DAY * day
            for horizon in HORIZONS if day >= FIRST_DAY and (day - FIRST_DAY) % every == 0 else ():
                if day + horizon <= days and not imputed(home, at, at + DAY * horizon - timedelta(seconds=1)):
                    came, past = sum(total[day : day + horizon]), total[:day]
                    use = pace.use(habits, at, at + DAY * horizon, home.people)
                    mean, sd = fmean(past) * horizon, stdev(past) * sqrt(horizon)
                    uses.append(
                        Use(home.kind, day, horizon, crps_leaning(use, came), crps_normal(mean, sd, came), use.cdf(came),
                            phi((came - mean) / max(sd, 1e-3)))
                    )  # fmt: skip
            pace.learn(habits, Settled(at, at + DAY, total[day], 0.0, home.people, "tank", 0.0))
    print(f"\ndaily totals, every {every} days: {len(uses)} forecasts of use")
    print(table_of_use(uses))
    assert fmean(each.own for each in uses) < fmean(each.reference for each in uses)
