"""The arithmetic behind a level: what it started from and every step since, summed up into a dozen lines that a pencil can check.

Typed lines, no words: `assistant` says them. The steps come from the ledger's postings, so that they add up to the balance, which is the
middle of what is believed. Pure. May import: `fold`, `passing`, `belief`, `ledger`, `world`.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from state.entry import Entry
from state.lightclass import Any, Literal, dataclass, field
from state.water import belief, fold, ledger, passing
from state.world import Posting, World

LineKind = Literal[
    "start", "entries", "unlogged", "expected", "stated", "haul", "rinse", "fill", "brim", "overflow", "other", "within", "level",
    "capacity", "room", "shown",
]  # fmt: skip

MOST_ACTIVITIES = 3
COUNT_MET = 0.005
"""So near must the sum come to what the meter counted to be told as metered less logged: statements, and a tank emptied between two
readings, take some of it elsewhere. Our own choice: less than shows in a tenth of a gallon."""
WHY: dict[str, LineKind] = {
    "unlogged": "unlogged", "stated": "stated", "haul": "haul", "rinse": "rinse", "fill": "fill", "brim": "brim", "reading": "fill",
    "overflow": "overflow", "dumped": "shown",
}  # fmt: skip


@dataclass(frozen=True)
class Line:
    """litres: what this line adds to the level (negative: takes away); for `level`, `capacity` and `room` the quantity itself.

    detail by kind. start: `why` (dump, fill, valve, level; begin: not told, half full). entries: `activity` (None: the rest), `count`.
    unlogged: `rest` (what was metered but not logged since the start), `share`, and where the meter's own count comes to it `metered` and
    `logged`.
    expected: `rest`, `share`, `hours` that nothing has settled, and `read` whether a reading began them; with `unread`: hours that no
    reading ever closed (before the first, or before the counter was zeroed). within: what the tank's bounds change. room: `p10`, `p90`.
    """

    kind: LineKind
    litres: float
    at: datetime | None = None
    detail: dict[str, Any] = field(default_factory=dict)


def beginning(entries: Iterable[Entry], tank: str) -> Entry | None:
    """The last of these events from which the arithmetic starts whatever came before it; None if it may start earlier."""
    found = None
    for entry in entries:
        if _begins(entry, tank.casefold(), told=True):
            found = entry
    return found


def level_lines(
    entries: Iterable[Entry], world: World, now: datetime, tank: str, before: World | None = None
) -> list[Line]:
    """The steps from the last time this tank was emptied or filled, or seen so, to its level now; all but the last three add up to `level`.

    entries: the events that count, in order (history.effective). world: the world they fold into (for the tank's name).
    before: the world that came before these events, where they do not begin with the log; it is continued, and changed.
    Raises: KeyError for a tank that the rig has not.
    """
    key = tank.casefold()
    if key not in world.rig.tanks:
        raise KeyError(tank)
    known = {entry.id: entry for entry in entries}
    mine, start = before or World(), Line("start", 0.0, None, {"why": "begin"})
    book: list[Posting] = []
    unread, counted = _Unread(), 0.0
    for entry in known.values():
        place, read = len(book), mine.meters["inlet"].litres
        fold.advance(mine, entry, book)
        unread.note(entry, book, place)
        if entry.kind == "meter" and entry.meter == "inlet":
            counted += mine.meters["inlet"].litres - (0.0 if entry.get("reset_before") else read)
        if _begins(entry, key, told=start.at is not None):
            start = Line("start", mine.balances.get(key, 0.0), entry.at, {"why": entry.kind})
            book.clear()
            unread, counted = _Unread(entry.at), 0.0
    passing.pass_time(mine, now, book)
    if start.at is None:
        start = Line("start", sum(_signed(p, key) for p in book if p.why == "start"), None, start.detail)
    lines = [
        start,
        *_entry_lines(book, key, known),
        *unread.lines(mine, key, start),
        *_unlogged_lines(mine, unread, book, key, start, now, counted),
        *_other_lines(book, key),
    ]
    return [*lines, *_closing(mine, now, key, sum(line.litres for line in lines))]


@dataclass
class _Unread:
    """Stretches that no reading closed: the counter was zeroed at their end, or read for the first time. Use stays there as expected.
    `since`: the last event of the meter, or when the tank was at its start."""

    since: datetime | None = None
    postings: list[Posting] = field(default_factory=list)
    hours: float = 0.0

    def note(self, entry: Entry, book: list[Posting], place: int) -> None:
        """Looks at an event of the inlet meter, whose postings begin at that place."""
        if entry.kind not in ("meter", "meter_reset") or entry.meter != "inlet":
            return
        settled = _last_settled(book)
        loose = [each for each in book[settled:] if each.why == "expected" and not self._has(each)]
        if settled <= place and loose:
            self.hours += max(0.0, (entry.at - (self.since or loose[0].at)).total_seconds() / 3600.0)
            self.postings += loose
        self.since = entry.at

    def _has(self, posting: Posting) -> bool:
        return any(posting is each for each in self.postings)

    def lines(self, world: World, key: str, start: Line) -> list[Line]:
        """One line for all of them, if this tank had its part."""
        litres = sum(_signed(each, key) for each in self.postings)
        if not litres:
            return []
        rest, part = _rest(world, self.postings, key, litres)
        return [Line("expected", litres, None, {"rest": rest, "share": part, "hours": self.hours, "unread": True})]

    def others(self, book: list[Posting]) -> list[Posting]:
        return [each for each in book if not self._has(each)] if self.postings else book


def _begins(entry: Entry, key: str, told: bool) -> bool:
    """Whether the arithmetic starts here: emptied, filled to the brim, seen empty; or the first level seen of a tank never told."""
    if entry.kind == "level" and entry.tank.casefold() == key and entry.basis == "seen":
        return not told or entry.fraction == 0.0 or entry.litres == 0.0
    if entry.kind == "dump" or (entry.kind == "valve" and entry.open):
        return bool(entry.tank.casefold() == key)
    return bool(entry.kind == "fill" and entry.to_full and entry.tank.casefold() == key)


def _signed(posting: Posting, key: str) -> float:
    return (posting.target == key) * posting.litres - (posting.source == key) * posting.litres


def _entry_lines(book: list[Posting], key: str, known: dict[str, Entry]) -> list[Line]:
    """What logged uses brought (or drew), by activity; the smaller ones together."""
    sums: dict[str, list[float]] = {}
    gave_way = 0.0
    for posting in book:
        litres = _signed(posting, key)
        if litres == 0.0:
            continue
        if posting.why == "entry":
            entry = known.get(posting.event)
            row = sums.setdefault(entry.activity.casefold() if entry else "other", [0.0, 0.0])
            row[0], row[1] = row[0] + litres, row[1] + (entry.count if entry else 1)
        elif posting.why == "gave way":
            gave_way += litres
    order = sorted(sums, key=lambda name: -abs(sums[name][0]))
    lines = [
        Line("entries", sums[name][0], None, {"activity": name, "count": int(sums[name][1])})
        for name in order[:MOST_ACTIVITIES]
    ]
    rest = order[MOST_ACTIVITIES:]
    if rest:
        litres, count = sum(sums[name][0] for name in rest), int(sum(sums[name][1] for name in rest))
        lines.append(Line("entries", litres, None, {"activity": None, "count": count}))
    if gave_way:
        lines.append(Line("entries", gave_way, None, {"activity": None, "count": 0, "gave_way": True}))
    return lines


def _unlogged_lines(
    world: World, unread: _Unread, book: list[Posting], key: str, start: Line, now: datetime, counted: float
) -> list[Line]:
    """What went unlogged: settled by readings, and expected since the last one. counted: by the inlet meter, since the start. [litres]"""
    book = unread.others(book)
    last = _last_settled(book)
    settled = sum(_signed(p, key) for p in book[:last] if p.why in ("expected", "unlogged"))
    ahead = sum(_signed(p, key) for p in book[last:] if p.why in ("expected", "unlogged"))
    lines = []
    if settled:
        logged = sum(p.litres for p in book[:last] if p.why == "entry") - sum(
            p.litres for p in book[:last] if p.why == "gave way"
        )
        rest, part = _rest(world, book[:last], key, settled)
        detail = {"rest": rest, "share": part}
        if abs(rest + logged - counted) <= COUNT_MET * counted:
            detail |= {"logged": logged, "metered": counted}
        lines.append(Line("unlogged", settled, book[last - 1].at, detail))
    if ahead:
        by_meter = world.supply == "hookup" or bool(unread.postings)
        known = (start.at, book[last - 1].at if last else None, unread.since if by_meter else None)
        since = max(filter(None, known), default=world.open[world.supply].start or now)
        read = world.supply == "hookup" and since == unread.since
        hours = max(0.0, (now - since).total_seconds() / 3600.0)
        rest, part = _rest(world, book[last:], key, ahead)
        lines.append(
            Line("expected", ahead, now, {"rest": rest, "share": part, "hours": hours, "since": since, "read": read})
        )
    return lines


def _share(world: World, key: str) -> float:
    """The part of unlogged use that is believed to reach this tank."""
    own = passing.belief_of(world)
    place = own.at.get(passing.share_of(key))
    return own.mean[place] if place is not None else 1.0


def _rest(world: World, book: list[Posting], key: str, part: float) -> tuple[float, float]:
    """The unlogged use that a tank had its part of (below nought where less ran than was logged), and the share: rest x share = part, to
    the pencil; what is drawn from a fresh tank counts as its part.

    Where the tank was emptied in the middle of a metered stretch, only what came after counts as rest.
    """
    accounts, share = (ledger.OUTSIDE, ledger.SEWER), _share(world, key)
    ran = -part if world.rig.tanks[key].kind == "fresh" else part
    whole = 0.0
    for posting in book:
        if posting.why in ("expected", "unlogged"):
            inward = posting.source == ledger.HOOKUP or (
                posting.target != ledger.HOOKUP and posting.source not in accounts
            )
            whole += posting.litres if inward else -posting.litres
    if whole > 0.0 and abs(ran / whole - share) < 0.1:
        return whole, ran / whole
    return (ran / share if share > 0.0 else 0.0), share


def _last_settled(book: list[Posting]) -> int:
    """Place after the last posting by which a reading settled something."""
    for place in range(len(book), 0, -1):
        if book[place - 1].why in ("unlogged", "gave way"):
            return place
    return 0


def _other_lines(book: list[Posting], key: str) -> list[Line]:
    sums: dict[LineKind, tuple[float, datetime]] = {}
    for posting in book:
        litres = _signed(posting, key)
        if litres == 0.0 or posting.why in ("entry", "gave way", "expected", "unlogged", "start"):
            continue
        kind = WHY.get(posting.why, "other")
        sums[kind] = (sums.get(kind, (0.0, posting.at))[0] + litres, posting.at)
    return [Line(kind, litres, at) for kind, (litres, at) in sums.items()]


def _closing(world: World, now: datetime, key: str, total: float) -> list[Line]:
    """What the tank's bounds change, then the level, the capacity, and the room: with its doubt."""
    found = belief.believe(world, now).tanks[key]
    level, room = found.level.points, found.room.points
    within = level["p50"] - total
    lines = [Line("within", within)] if abs(within) >= 0.05 else []
    detail = {"mean": total, **level}
    return [
        *lines,
        Line("level", level["p50"] if lines else total, now, detail),
        Line("capacity", found.capacity.mean, None, {"told": world.rig.tanks[key].litres, "sd": found.capacity.sd}),
        Line("room", room["p50"], now, dict(room)),
    ]
