"""Everything known after a stretch of events, as plain data: what `fold.py` builds up, event by event, and all else reads.

Only the shape lives here; who changes what is in fold.py and the modules it calls. All of it is plain (numbers, strings, aware
datetimes, lists, dicts, these dataclasses), so that it can be written down as a snapshot and taken up again.
May import: the standard library, `sums`.
"""

from __future__ import annotations

from datetime import datetime

from state.lightclass import Any, Literal, dataclass, field
from state.sums import Sum

TankKind = Literal["fresh", "grey", "black"]


@dataclass
class Tank:
    """`litres`: the capacity as told. `told`: False while it is a default."""

    name: str
    kind: TankKind
    litres: float
    told: bool = True


@dataclass
class Rig:
    """`units`: `us`, `imperial` or `metric`, how bare numbers are heard and answers given; `units_told`: somebody chose them.
    `limits`: pressure (kPa), cargo (kg), water_weight (kg), safety (probability). `rollover`: where a meter's counter starts over. [litres]"""

    tanks: dict[str, Tank] = field(default_factory=dict)
    tote_litres: float | None = None
    tote_tare_kilograms: float | None = None
    heater_litres: float | None = None
    units: Literal["us", "imperial", "metric"] = "us"
    units_told: bool = False
    limits: dict[str, float] = field(default_factory=dict)
    rollover: dict[str, float] = field(default_factory=dict)
    name: str | None = None

    def of_kind(self, kind: TankKind) -> list[Tank]:
        return [tank for tank in self.tanks.values() if tank.kind == kind]

    def waste(self) -> list[Tank]:
        return [tank for tank in self.tanks.values() if tank.kind != "fresh"]

    def find(self, name: str) -> Tank | None:
        """The tank of that name, without regard to case."""
        return self.tanks.get(name.casefold())


@dataclass
class StayAt:
    """A stay at a site. `since`: None for "before anything was told". `on_the_road`: between a departure and the next arrival."""

    site: str | None = None
    since: datetime | None = None
    until: datetime | None = None
    water: bool | None = None
    sewer: bool | None = None
    ended: datetime | None = None
    on_the_road: bool = False


@dataclass
class MeterState:
    """The last reading of one meter and what has run since. `known` False: no reading yet. `litres_through`: total ever metered.
    `open_before`: activity of an open "before" reading, with its litres."""

    known: bool = False
    litres: float = 0.0
    at: datetime | None = None
    litres_through: float = 0.0
    open_before: tuple[str, float] | None = None


@dataclass
class Logged:
    """Logged uses of one activity in an interval that is still open. `live`: their water is still in the tank it went to (no dump since).
    `seen`: by tank, the part (0 to 1) of an error in them that a level seen since has already put right."""

    activity: str
    count: int
    litres: float
    estimated: bool
    parts: list[tuple[str, float, bool]]
    seen: dict[str, float] = field(default_factory=dict)


@dataclass
class Interval:
    """What has run since the last reading (on the hookup), or since fresh was last known to be full (on the tank).

    `known`: it began with a reading, or with a full tank. `pace`: what the household would use, by day part. `expected`: unlogged use
    already booked on expectation. `logged`, `fresh_logged`: litres of entries, and of those not yet seen by the clock. `fills`: litres
    that ran into the fresh tank through the meter, and their variance. `stated`: what statements changed in the sum. `weights`: pace
    since the tank was last emptied, for each waste tank; `weight`: pace in all; `seen`: of `weights`, what a level seen since has put
    right. `dumped_at`, `used_at_dump`: the last dump of grey in the
    interval, and what had been used by then. `other_seconds`: time on the other supply. `earlier`: the days before, where no reading
    closes a day and each was taken as a page of its own; the sum of what was used runs on through them."""

    known: bool = False
    start: datetime | None = None
    seconds: float = 0.0
    away_seconds: float = 0.0
    other_seconds: float = 0.0
    people_seconds: float = 0.0
    pace: list[float] = field(default_factory=lambda: [0.0, 0.0, 0.0, 0.0])
    expected: float = 0.0
    logged: float = 0.0
    fresh_logged: float = 0.0
    entries: list[Logged] = field(default_factory=list)
    fills: float = 0.0
    fills_var: float = 0.0
    weight: float = 0.0
    weights: dict[str, float] = field(default_factory=dict)
    seen: dict[str, float] = field(default_factory=dict)
    dumped_at: datetime | None = None
    used_at_dump: float = 0.0
    earlier: Interval | None = None


def join(interval: Interval, other: Interval) -> None:
    """Put what ran in `other` into `interval`: it turned out to have been the same stretch."""
    interval.start = min(filter(None, (interval.start, other.start)), default=None)
    interval.seconds += other.seconds
    interval.other_seconds = max(0.0, interval.other_seconds - other.seconds)
    interval.away_seconds += other.away_seconds
    interval.people_seconds += other.people_seconds
    interval.pace = [one + two for one, two in zip(interval.pace, other.pace, strict=True)]
    interval.expected += other.expected
    interval.logged += other.logged
    interval.fresh_logged += other.fresh_logged
    interval.entries += other.entries
    interval.weight += other.weight
    for tank, weight in other.weights.items():
        interval.weights[tank] = interval.weights.get(tank, 0.0) + weight
    for tank, weight in other.seen.items():
        interval.seen[tank] = interval.seen.get(tank, 0.0) + weight
    interval.dumped_at = other.dumped_at or interval.dumped_at


@dataclass
class Posting:
    """`litres` moved from account `source` to account `target` at `at`; `event`: id of the event; `why`: a short tag
    (`entry`, `unlogged`, `reading`, `fill`, `dump`, `haul`, `rinse`, `stated`, `brim`…)."""

    source: str
    target: str
    litres: float
    at: datetime
    event: str
    why: str


@dataclass
class Finding:
    """Something that history shows and the person should know: a gap, a leak, an unmentioned reset, entries above the meter.
    `reference`: kebab-case; `litres` and `at` where they apply; `event`: what brought it up."""

    reference: str
    event: str
    at: datetime
    litres: float | None = None
    tank: str | None = None
    since: datetime | None = None
    detail: dict[str, Any] = field(default_factory=dict)


@dataclass
class Gone:
    """A tank that was dumped, and what that tells is still open: `chance`: the most that it can have been dumped for its own sake. For each
    kind of household (split.py) `levels`, how full it was, over capacity, `variances`, of that, `waited`, chance that it was not dumped
    for being full before, `held`, that it has not run over. `days`: since it was emptied before."""

    chance: float
    levels: list[float]
    variances: list[float]
    waited: list[float]
    held: list[float]
    days: float


@dataclass
class Told:
    """What tanks have told without a word, for each kind of household (split.py): `weights`, how likely it is by that; `habits`, how full
    it dumps its black tank, over capacity, and `doubts`, the variance of that. `by_level`, `by_day`: the parts of `weights` of those who dump
    a tank for being full, and of those who do so on their day. `days`: between the last two dumps; 0: not yet. `rate`: what not running over
    told of the rate of use, and the variance of that (let_go.py). Empty: nothing yet."""

    weights: list[float] = field(default_factory=list)
    by_level: list[float] = field(default_factory=list)
    by_day: list[float] = field(default_factory=list)
    days: float = 0.0
    habits: list[float] = field(default_factory=list)
    doubts: list[float] = field(default_factory=list)
    rate: list[float] = field(default_factory=list)

    def copy(self) -> Told:
        own = {name: list(each) for name, each in vars(self).items() if name != "days"}
        return Told(days=self.days, **own)


@dataclass
class World:
    """The whole. `party_until`, `party_base`: a temporary party and what it goes back to. `gear_out`: item → since.
    `services`: item → [(at, litres_through inlet)], latest last. `steps`: own steps and marks by list.
    `flow_at`: when the flow was measured. `rinse_run`: tank, start and end of the last rinse that was given minutes.
    `upkeep`: item → every_days, every_litres, drop, snooze_until. `taught`: word → meaning.
    `filter` and `habits` belong to belief.py and pace.py: nobody else looks inside.
    `since`: when a tank was last emptied, filled or stated. `open`: the intervals still open, by supply. `passed`: up to when expected
    use has been booked. `gone`: tanks whose last dump has not told yet how full they were, with the most
    that it can tell (holding.py). `typicals`: what single uses took. `routed`: fading litres by where they went; `likened`: litres whose
    routes have spoken for the shares (likened.py). `moves`: how the shares move where more is flushed (routes.py); `flushed`: the
    start from which the filter carries what is (split.py). `rinsed`: rinses
    logged since the rinse meter was last read. `wet_nights`: nights in a row with much water, litres an hour. `unlogged`: logging
    habits. `sums`: all uses, by activity and person. `began`, `at`: when the first and the latest event happened."""

    rig: Rig = field(default_factory=Rig)
    stay: StayAt = field(default_factory=StayAt)
    stays: list[StayAt] = field(default_factory=list)
    stops: list[Any] = field(default_factory=list)
    expected: list[Any] = field(default_factory=list)
    people: int = 2
    party_until: datetime | None = None
    party_base: int = 2
    supply: Literal["hookup", "tank"] = "tank"
    supply_told: bool = False
    open_valves: dict[str, datetime] = field(default_factory=dict)
    away_since: datetime | None = None
    away_until: datetime | None = None
    meters: dict[str, MeterState] = field(default_factory=lambda: {"inlet": MeterState(), "rinse": MeterState()})
    gear_out: dict[str, datetime] = field(default_factory=dict)
    gear_known: dict[str, str] = field(default_factory=dict)
    services: dict[str, list[tuple[datetime, float]]] = field(default_factory=dict)
    upkeep: dict[str, dict[str, Any]] = field(default_factory=dict)
    steps: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    pressures: list[tuple[datetime, float, str | None]] = field(default_factory=list)
    flow_litres_per_minute: float | None = None
    flow_at: datetime | None = None
    rinse_run: tuple[str, datetime, datetime] | None = None
    frost: tuple[datetime, float] | None = None
    notes: list[tuple[datetime, str, str | None]] = field(default_factory=list)
    taught: dict[str, str] = field(default_factory=dict)
    activities: list[str] = field(default_factory=list)
    sums: dict[tuple[str, str | None], Sum] = field(default_factory=dict)
    persons: list[str] = field(default_factory=list)
    last_dump: dict[str, datetime] = field(default_factory=dict)
    gone: dict[str, Gone] = field(default_factory=dict)
    balances: dict[str, float] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    since: dict[str, datetime] = field(default_factory=dict)
    open: dict[str, Interval] = field(default_factory=lambda: {"hookup": Interval(), "tank": Interval()})
    passed: datetime | None = None
    typicals: dict[str, list[float]] = field(default_factory=dict)
    routed: dict[str, float] = field(default_factory=dict)
    likened: dict[str, float] = field(default_factory=dict)
    flushed: float = 0.06
    moves: dict[str, float] = field(default_factory=dict)
    told: Told = field(default_factory=Told)
    rinsed: float = 0.0
    wet_nights: list[tuple[datetime, float]] = field(default_factory=list)
    unlogged: Any = None
    filter: Any = None
    habits: Any = None
    began: datetime | None = None
    at: datetime | None = None
    events: int = 0

    def aboard(self, at: datetime) -> int:
        """How many are aboard at a moment after the last event: a party that was told until then has gone home, and one that was
        told for then is there."""
        over = self.party_until is not None and self.party_until <= at
        people = self.party_base if over else self.people
        for each in self.expected:
            if each["what"] == "party" and each["people"] is not None:
                began, until = each["start"] or each["said_at"], each["until"]
                people = each["people"] if began <= at and (until is None or at < until) else people
        return people

    def party_changes(self, after: datetime) -> list[datetime]:
        """The moments after that one at which a party that was told comes or goes."""
        parties = [each for each in self.expected if each["what"] == "party"]
        moments = [self.party_until, *(each["start"] for each in parties), *(each["until"] for each in parties)]
        return [moment for moment in moments if moment is not None and moment > after]
