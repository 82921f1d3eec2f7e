"""What was used: by day, activity, person and stay; when something was last done.

Works on the events that count (history.py) and, for totals, on the ledger's postings: a day's total is what the meter and the pump
say went through, of which the logged uses are shares and the rest is unlogged. Pure. May import: `entry`, `sums`, `world`, `dayparts`.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta

from state.entry import Entry
from state.habits import dayparts
from state.lightclass import dataclass, field
from state.sums import Sum
from state.world import Posting

INDOOR = frozenset({"entry", "expected", "unlogged", "gave way"})
"""Whys of postings that tell of water used inside; `unlogged` and `gave way` are a reading's corrections of what was expected."""

MONTH = timedelta(days=30)

Flow = tuple[datetime, datetime, float]
"""From, to, litres used in between; the same moment twice for a logged use."""


@dataclass
class Used:
    """A stretch of time. total: all that was used in it, None where neither meter nor pump tells. logged: what was said of it; counted:
    what of that the readings bear out, None where nothing tells. [litres]"""

    start: datetime
    end: datetime
    total: float | None = None
    logged: float = 0.0
    counted: float | None = None
    by_activity: dict[str, Sum] = field(default_factory=dict)
    by_person: dict[str, Sum] = field(default_factory=dict)

    @property
    def litres(self) -> float:
        """The total where it is known, be it less than was logged; else what was logged."""
        return self.logged if self.total is None else self.total

    @property
    def borne_out(self) -> float:
        """What was logged, less what readings took back of it."""
        return self.logged if self.counted is None else min(self.logged, self.counted)

    @property
    def unlogged(self) -> float:
        return max(0.0, self.litres - self.borne_out)


def uses(entries: Iterable[Entry], start: datetime | None = None, end: datetime | None = None) -> list[Entry]:
    """The logged uses from start to end (end not included)."""
    return [
        entry
        for entry in entries
        if entry.kind == "use" and (start is None or entry.at >= start) and (end is None or entry.at < end)
    ]


def flows(postings: Iterable[Posting], supplies: Iterable[str], since: datetime | None = None) -> list[Flow]:
    """The indoor use that the ledger knows of. supplies: the accounts it comes from (the tap and the fresh tanks). since: when the postings
    begin, the first of them telling of what ran from then on.

    What was expected between two events is laid over that time; what a reading adds is laid over the time since the reading before. What
    it takes back is taken from where it had been laid; uses that were logged stay at their moment.
    """
    sources = set(supplies)
    found: list[Flow] = []
    passed = (since, since) if since is not None else None
    readings: dict[str, _Read] = {}
    for posting in postings:
        supply = posting.source if posting.source in sources else posting.target
        if (
            posting.why == "supply" and posting.target in readings
        ):  # what was taken to come out of fresh came from the tap
            other = readings.pop(posting.target)
            own = readings.setdefault(posting.source, other)
            if own is not other:
                own.logged, own.expected = own.logged + other.logged, own.expected + other.expected
        if posting.why not in INDOOR or supply not in sources or {posting.source, posting.target} <= sources:
            continue
        litres = posting.litres if posting.source == supply else -posting.litres
        at = posting.at
        first = since or (found[0][0] if found else at)
        last = readings.setdefault(supply, _Read(first, first))
        if posting.why == "entry":
            start = at
            last.logged.append(len(found))
        elif posting.why == "expected":
            if passed is None or passed[1] != at:
                passed = (passed[1] if passed is not None else at, at)
            start = passed[0]
            last.expected.append(len(found))
        else:
            if last.event != posting.event:
                last = readings[supply] = _Read(at, last.at, posting.event, last.logged, last.expected)
            if _taken_back(found, last.before_logged if posting.why == "gave way" else last.before_expected, litres):
                continue
            start = last.since
        found.append((start, at, litres))
    return found


@dataclass
class _Read:
    """The last reading of a supply: `at`, its `event`, and `since` when its stretch ran. Places of flows: what was logged and expected in
    that stretch (`before_…`), and after it."""

    at: datetime
    since: datetime
    event: str = ""
    before_logged: list[int] = field(default_factory=list)
    before_expected: list[int] = field(default_factory=list)
    logged: list[int] = field(default_factory=list)
    expected: list[int] = field(default_factory=list)


def _taken_back(found: list[Flow], places: list[int], litres: float) -> bool:
    """Makes those flows smaller in proportion, by negative litres, if there are so many."""
    whole = sum(found[place][2] for place in places)
    if litres >= 0.0 or whole <= 0.0 or -litres > whole * (1.0 + 1e-9):
        return False
    for place in places:
        start, end, was = found[place]
        found[place] = start, end, was * max(0.0, 1.0 + litres / whole)
    return True


def settles(entry: Entry) -> bool:
    """Whether from here on it can be told what was used: a reading, or a fill to the brim."""
    return bool(entry.kind == "meter" or (entry.kind == "fill" and entry.get("to_full")))


def begins(entry: Entry) -> bool:
    """Whether a stretch begins here that tells nothing of what came before it: where it can be told, or the counter was zeroed."""
    return settles(entry) or entry.kind == "meter_reset"


def settled_before(entries: Iterable[Entry], start: datetime) -> datetime:
    """The moment before `start` from which its water can be told: the earlier of the last reading (or zeroing of the counter) and the last
    fill to the brim, one that lies a month behind the other left out; if there is neither, `start` itself."""
    last: dict[str, datetime] = {}
    for entry in entries:
        if entry.at <= start and begins(entry):
            kind = "fill" if entry.kind == "fill" else "meter"
            last[kind] = max(entry.at, last.get(kind, entry.at))
    newest = max(last.values(), default=start)
    return min((at for at in last.values() if newest - at <= MONTH), default=start)


def settled_after(entries: Iterable[Entry], end: datetime) -> datetime | None:
    """The moment after `end` up to which what comes can still tell of the water before it: the later of the first reading and the first fill
    to the brim, one that lies a month behind the other left out; None if there is neither."""
    first: dict[str, datetime] = {}
    for entry in entries:
        if entry.at >= end and settles(entry):
            first[entry.kind] = min(entry.at, first.get(entry.kind, entry.at))
    earliest = min(first.values(), default=end)
    return max((at for at in first.values() if at - earliest <= MONTH), default=None)


def used(entries: Sequence[Entry], flowed: Iterable[Flow], start: datetime, end: datetime) -> Used:
    """What was used from start to end (end not included), in all and of what sort. flowed: see `flows`."""
    found = Used(start, end)
    for entry in uses(entries, start, end):
        found.logged += entry.litres
        found.by_activity.setdefault(entry.activity, Sum()).add(entry)
        if entry.get("person"):
            found.by_person.setdefault(entry.person, Sum()).add(entry)
    flowed = list(flowed)
    inside = [litres * _overlap(begin, stop, start, end) for begin, stop, litres in flowed]
    if any(inside):
        found.total = max(0.0, sum(inside))
        found.counted = sum(part for part, (begin, stop, _) in zip(inside, flowed, strict=True) if begin == stop)
    return found


_CLOCK = dayparts.shape([0.0] * 24)


def _overlap(begin: datetime, stop: datetime, start: datetime, end: datetime) -> float:
    """The part of a flow that falls between start and end, by the usual shape of a day."""
    if begin == stop:
        return 1.0 if start <= begin < end else 0.0
    if stop <= start or begin >= end:
        return 0.0
    whole = dayparts.effective_days(_CLOCK, begin, stop)
    inside = dayparts.effective_days(_CLOCK, max(begin, start), min(stop, end))
    return inside / whole if whole > 0 else 0.0


def by_day(entries: Sequence[Entry], flowed: Sequence[Flow], start: datetime, end: datetime) -> list[Used]:
    """One `Used` a calendar day (of start's offset) from start to end; days without anything are there too."""
    edges = [start]
    while edges[-1] < end:
        midnight = (edges[-1] + timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0)
        edges.append(min(midnight, end))
    return in_parts(entries, flowed, edges)


def in_parts(entries: Iterable[Entry], flowed: Iterable[Flow], edges: Sequence[datetime]) -> list[Used]:
    """One `Used` for each stretch between an edge and the next; edges ascend. What lies elsewhere is left out. Takes a time that grows with
    the entries and flows, not with these times the stretches."""
    last = len(edges) - 1
    own: list[list[Entry]] = [[] for _ in range(last)]
    flowing: list[list[Flow]] = [[] for _ in range(last)]
    for entry in entries:
        place = bisect_right(edges, entry.at) - 1
        if 0 <= place < last:
            own[place].append(entry)
    for flow in flowed:
        begin, stop, _ = flow
        first = bisect_right(edges, begin) - 1
        for place in range(max(0, first), min(last, max(first + 1, bisect_left(edges, stop)))):
            flowing[place].append(flow)
    return [used(*parts) for parts in zip(own, flowing, edges, edges[1:], strict=False)]


def by_activity(entries: Iterable[Entry]) -> dict[str, Sum]:
    """Every activity ever logged among these entries."""
    found: dict[str, Sum] = {}
    for entry in uses(entries):
        found.setdefault(entry.activity, Sum()).add(entry)
    return found


def by_person(entries: Iterable[Entry], activity: str | None = None) -> dict[tuple[str, str | None], Sum]:
    """(activity, person) to its sum; person None where nobody was named."""
    found: dict[tuple[str, str | None], Sum] = {}
    for entry in uses(entries):
        if activity is None or entry.activity.casefold() == activity.casefold():
            found.setdefault((entry.activity, entry.get("person")), Sum()).add(entry)
    return found


def together(sums: Iterable[Sum]) -> Sum:
    """All of them as one."""
    whole = Sum()
    for each in sums:
        whole.join(each)
    return whole


def last_of(entries: Sequence[Entry], kind: str, tank: str | None = None) -> Entry | None:
    """The latest event of a kind (and tank), by when it happened."""
    fitting = [
        entry
        for entry in entries
        if entry.kind == kind and (tank is None or (entry.get("tank") or "").casefold() == tank.casefold())
    ]
    return max(fitting, key=lambda entry: (entry.at, entry.seq)) if fitting else None


def last_dumps(entries: Sequence[Entry]) -> dict[str, datetime]:
    """Each tank that was ever dumped, with its last dump."""
    found: dict[str, datetime] = {}
    for entry in entries:
        if entry.kind == "dump" and (entry.tank not in found or entry.at > found[entry.tank]):
            found[entry.tank] = entry.at
    return found


WATER = frozenset({"use", "meter", "meter_reset", "fill", "dump", "haul", "level", "rinse"})


def last_events(entries: Sequence[Entry], count: int, water_only: bool = True) -> list[Entry]:
    """The last few events, latest first; about water only, unless told otherwise."""
    kept = [entry for entry in entries if not water_only or entry.kind in WATER]
    return sorted(kept, key=lambda entry: (entry.at, entry.seq), reverse=True)[: max(0, count)]


SAVES = {
    "shower": 0.5,
    "dishes": 0.4,
    "handwash": 0.3,
    "teeth": 0.5,
    "toilet": 0.2,
    "cleaning": 0.5,
    "outside": 1.0,
    "laundry": 1.0,
    "bath": 1.0,
}
"""What part of an activity can be saved by habit alone, or by doing it elsewhere. Common practice, no source."""


def local_date(at: datetime, now: datetime) -> date:
    """The date of a moment where the rig is now."""
    return at.astimezone(now.tzinfo).date()
