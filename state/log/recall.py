"""The world of a log at any place and moment, from the kept worlds: only what came after one of them is read and folded.

A kept world stands for all the events up to its place, as long as nothing that was logged later changes them or happened before them:
then the rest is folded on top of it. What does not stand is passed over for an older one, in the end for the empty world. So a
correction costs as much as there is between it and the world kept before it, however long the log is.
May import: the standard library, `entry`, `fingerprint`, `fold`, `history`, `opening`, `ordering`, `store`,
`world`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import datetime
from itertools import pairwise

from state.entry import Entry
from state.lightclass import Any, dataclass
from state.log.fingerprint import fingerprint
from state.log.history import CORRECTIONS, effective, targets
from state.log.kept import YOUNGEST
from state.log.opening import LONG
from state.log.ordering import as_one_log
from state.log.store import Log
from state.water import fold
from state.world import World

WINDOWS = (64, 1024)
"""How many of the latest events are looked through first for what is usually near the end."""

STRETCH = 5000
"""So many events are read at a time where there is no kept world: a long log need not fit into memory."""


HOLD_EVERY, HELD = 8, 3
"""A long-lived process holds the world after every so many events, and the last so many of those, in its own memory: for corrections
of what was just said, which fold only what came since."""


Kept = tuple[int, dict[str, Any]]
"""A place, and the world that was kept there, as written down."""


@dataclass(frozen=True)
class _Asked:
    """Which world: with events about to be appended, up to a moment, without an entry."""

    drafts: Sequence[Entry] = ()
    until: datetime | None = None
    without: Entry | None = None


class Recall:
    """What has been read of a log, from some place on to its end as far as known (`seq`). `stale`: places of kept worlds that do not stand
    any more. `newest_kept`: place of the latest one. `from_memory`: whether the world made last was at hand in this process."""

    def __init__(self, log: Log) -> None:
        self.log = log
        self.seq = 0
        self.stale: set[int] = set()
        self.newest_kept = 0
        self.from_memory = False
        self._doubtful: set[int] = set()
        self._disorderly = False
        """A long log in which no kept world serves: what was told late reaches far back, and the rest is better read at one go."""
        self._after = 0
        self._tail: list[Entry] = []
        self._held: list[tuple[int, datetime | None, bytes]] = []
        self._begun = 0

    def begin(self) -> World:
        """The world after all that is in the log now; what was known before is forgotten.

        Without a kept world a long log is read and folded stretch by stretch, so that it need not fit into memory, and worlds are kept on
        the way where they would have been had it grown turn by turn.
        """
        last = self.log.last_seq()
        kept = self.log.load_snapshot(fingerprint())
        self._disorderly = False
        self.newest_kept = kept[0] if kept is not None else 0
        self._start_at(kept[0] if kept is not None else 0)
        if self.log.patience is not None and last - self.seq >= LONG:
            self.log.patience(last - self.seq)
        world = self._made(_Asked(), kept)
        while self.seq < last:
            stop = last if self._disorderly else _next_stop(self.seq, last)
            world = self.take(world, self.log.entries(self.seq, stop))
            if self.seq < last:
                self.keep(world)
                self._tail, self._after = self._tail[-WINDOWS[-1] :], max(self._after, self.seq - WINDOWS[-1])
        return world

    def take(self, world: World, fresh: Sequence[Entry]) -> World:
        """The world with what was appended since; `world` is continued where it can be."""
        on_top = self._stands(self.seq, world.at, fresh)
        self.read_on(fresh)
        return fold.fold(effective(fresh), world) if on_top else self.world()

    def read_on(self, fresh: Sequence[Entry]) -> None:
        """These were appended after what is known, and whoever says so has them in the world already."""
        self._tail.extend(fresh)
        self.seq = fresh[-1].seq
        self._mark_stale(self._doubtful)
        self._doubtful = set()

    def keep(self, world: World) -> None:
        """Keep the world after all that is known in the log's file, in place of those that turned out to be stale."""
        self.log.save_snapshot(self.seq, fold.snapshot(world), fingerprint(), self.stale)
        self.newest_kept, self.stale = self.seq, set()

    def hold(self, world: World) -> None:
        """Hold the world after all that is known in memory, if that is due."""
        if self.seq - (self._held[-1][0] if self._held else self._begun) < HOLD_EVERY:
            return
        import pickle

        self._held = [*self._held[1 - HELD :], (self.seq, world.at, pickle.dumps(world, pickle.HIGHEST_PROTOCOL))]

    def _mark_stale(self, places: set[int]) -> None:
        self.stale |= places
        self._held = [held for held in self._held if held[0] not in places]

    def _start_at(self, seq: int) -> None:
        self.seq = self._after = self._begun = seq
        self._tail, self._held = [], []
        self.stale, self._doubtful = set(), set()

    def since(self, seq: int) -> list[Entry]:
        """The entries after that place, in log order, as far as known."""
        if seq < self._after:
            self._tail[:0] = self.log.entries(after_seq=seq, up_to=self._after)
            self._after = seq
        return self._tail[seq - self._after :]

    def windows(self) -> Iterator[list[Entry]]:
        """The latest entries, in ever larger numbers, each beginning with a whole turn; the last is the whole log."""
        for size in WINDOWS:
            if size < self.seq:
                found = self.since(self.seq - size)
                yield [entry for entry in found if entry.turn != found[0].turn]
        yield self.since(0)

    def happened(self, since: datetime, drafts: Sequence[Entry] = ()) -> list[Entry]:
        """The events that count and happened at that moment or later, drafts about to be appended too, by the time they happened.

        All that could count among them lies in the log from the first such event on, or from one that a later correction speaks of.
        """
        first = self.log.first_since(since)
        tail = self.since(first - 1) if first is not None and first <= self.seq else []
        while True:
            known = {entry.id for entry in (*tail, *drafts)}
            spoken = {id for one in (*tail, *drafts) if one.kind in CORRECTIONS for id in targets(one)}
            first = self.log.first_of(spoken - known)
            if first is None:
                break
            tail = self.since(first - 1)
        return [entry for entry in effective(as_one_log([*tail, *drafts])) if entry.at >= since]

    def found(self, ids: Collection[str]) -> list[Entry]:
        """Those of these events that count, as amended."""
        if not ids:
            return []
        log: list[Entry] = []
        for log in self.windows():
            if {entry.id for entry in log}.issuperset(ids):
                break
        return [entry for entry in effective(as_one_log(log)) if entry.id in ids]

    def world(self, drafts: Sequence[Entry] = (), until: datetime | None = None, without: Entry | None = None) -> World:
        """The world after all that is known.

        Args:
            drafts: events that are about to be appended. until: as it stood at that moment. without: as if that entry were not there.
        """
        asked = _Asked(drafts, until, without)
        held = self._from_memory(asked)
        self.from_memory = held is not None
        return held or self._made(asked, self.log.load_snapshot(fingerprint(), self.seq + 1, self.stale))

    def _from_memory(self, asked: _Asked) -> World | None:
        """The world asked for, from one that this process holds; None if none of them serves."""
        for place, at, packed in reversed(self._held):
            later = self.since(place)
            if self._serves(place, at, later, asked):
                import pickle

                world: World = pickle.loads(packed)
                return _on_top(world, later, asked)
        return None

    def _made(self, asked: _Asked, kept: Kept | None) -> World:
        """The world asked for, from that kept one or an earlier one."""
        while kept is not None:
            place, data = kept
            later = self.since(place)
            try:
                if self._serves(place, fold.at_of(data), later, asked):
                    return _on_top(fold.restore(data), later, asked)
            except (ValueError, KeyError, TypeError, AttributeError):
                self._mark_stale({place})  # kept by some other program: of no use
            kept = self.log.load_snapshot(fingerprint(), place, self.stale)
        self._disorderly = self.seq > STRETCH
        return _on_top(World(), self.since(0), asked)

    def _serves(self, place: int, at: datetime | None, later: Sequence[Entry], asked: _Asked) -> bool:
        """Whether the world asked for can be made from the one kept at that place. One that never can again is noted as
        stale, once the drafts that make it so are in the log."""
        if asked.without is not None and all(entry.id != asked.without.id for entry in later):
            return False
        if asked.until is not None and at is not None and at > asked.until:
            return False
        if self._stands(place, at, [*later, *asked.drafts]):
            return True
        if asked.drafts:
            self._doubtful.add(place)
        else:
            self._mark_stale({place})
        return False

    def _stands(self, seq: int, at: datetime | None, later: Sequence[Entry]) -> bool:
        """Whether the world folded up to `seq` is what the events up to there make, whatever came later."""
        return stands(at, later) and not (later and later[0].id < self.log.latest_id(seq))


def _on_top(world: World, later: Sequence[Entry], asked: _Asked) -> World:
    rest = effective(as_one_log([*later, *asked.drafts]))
    if asked.until is not None:
        rest = [entry for entry in rest if entry.at <= asked.until]
    if asked.without is not None:
        rest = [entry for entry in rest if entry.id != asked.without.id]
    return fold.fold(rest, world)


def _next_stop(seq: int, last: int) -> int:
    """Up to where to read on from there at one go."""
    early = [last - (YOUNGEST << group) for group in range(8, -1, -1)]
    return min([last, seq + STRETCH, *(place for place in early if place > seq + 2 * YOUNGEST)])


def stands(at: datetime | None, later: Sequence[Entry]) -> bool:
    """Whether these entries only add to a world whose latest event was at `at`: none corrects an event in it or happened before.

    Entries whose ids are not in order came from another device and may belong before what is here: then it is not said to stand.
    """
    own = {entry.id for entry in later}
    if any(entry.kind in CORRECTIONS and not own.issuperset(targets(entry)) for entry in later):
        return False
    if any(one.id >= other.id for one, other in pairwise(later)):
        return False
    return at is None or all(entry.at >= at for entry in effective(later))
