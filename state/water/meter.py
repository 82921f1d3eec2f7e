"""The two meters: readings close intervals, a reset begins one, and a reading can be judged before it is believed.

A lower reading than the last is taken as a reset (or a roll-over, where the counter's top is known) even if nobody said so, with a
finding; asking first is the conversation's business, by `judge`. Never raises on history. Pure. May import: what `passing` may.
"""

from __future__ import annotations

from datetime import datetime

from state import figures
from state.entry import Entry
from state.habits import pace
from state.lightclass import Literal, dataclass
from state.water import ledger, passing
from state.water.ledger import Book
from state.water.reconcile import Total, settle
from state.world import Finding, MeterState, World, join

VerdictKind = Literal["plausible", "reset_likely", "rolled_over", "lower", "too_much", "fits_other_meter"]
SLACK = 1e-6
STEP_VAR = figures.METER_STEP_LITRES**2
SMALL_LITRES = 20.0
"""A reading up to this is small after a reset in any household. Common practice, no source."""


@dataclass(frozen=True)
class Verdict:
    """What a reading would mean. last: the reading before, None if none. since: litres that came in between, as the verdict takes it.
    usual: what this household would have used. most: the most that is believed without asking. [litres]"""

    kind: VerdictKind
    last: float | None
    since: float
    usual: float
    most: float


def judge(world: World, now: datetime, meter: str, litres: float) -> Verdict:
    """Is this reading believable at `now`, and if not, what is it more likely to be? Changes nothing."""
    state = world.meters.get(meter) or MeterState()
    usual, most = _believable(world, now, meter)
    if not state.known or state.at is None:
        return Verdict("plausible", None, 0.0, usual, most)
    since = litres - state.litres
    if now < state.at:
        kind: VerdictKind = "plausible" if since <= SLACK else "lower"
        return Verdict(kind, state.litres, 0.0, usual, most)
    if -SLACK <= since <= most:
        return Verdict("plausible", state.litres, max(0.0, since), usual, most)
    other = "rinse" if meter == "inlet" else "inlet"
    fits_other = _fits(world, now, other, litres)
    if since > most:
        return Verdict("fits_other_meter" if fits_other else "too_much", state.litres, since, usual, most)
    top = world.rig.rollover.get(meter)
    if top is not None and top >= state.litres > 0.7 * top and top - state.litres + litres <= most:
        return Verdict("rolled_over", state.litres, top - state.litres + litres, usual, most)
    if meter == "inlet" and _dumped_since(world, state.at) and _is_small(litres, state.litres, usual):
        return Verdict("reset_likely", state.litres, litres, usual, most)
    return Verdict("fits_other_meter" if fits_other else "lower", state.litres, litres, usual, most)


def _believable(world: World, now: datetime, meter: str) -> tuple[float, float]:
    """What would usually have run since the last reading, and the most that is believed: ten times that and all the tanks' room."""
    state = world.meters.get(meter) or MeterState()
    start = state.at or now
    people = max(1.0, float(world.people))
    usual = pace.rate(passing.habits_of(world), start, max(now, start), people, "hookup")[0] if now > start else 0.0
    return usual, 10.0 * usual + sum(tank.litres for tank in world.rig.tanks.values()) + SMALL_LITRES


def _fits(world: World, now: datetime, meter: str, litres: float) -> bool:
    state = world.meters.get(meter)
    if state is None or not state.known or state.at is None or now < state.at:
        return False
    since = litres - state.litres
    return -SLACK <= since <= _believable(world, now, meter)[1]


def _dumped_since(world: World, at: datetime) -> bool:
    return any(world.last_dump.get(tank.name.casefold(), at) > at or _same_time(world, tank.name.casefold(), at)
               for tank in world.rig.of_kind("grey"))  # fmt: skip


def _same_time(world: World, tank: str, at: datetime) -> bool:
    """Dumped in the same minute as the reading, and told after it."""
    return world.last_dump.get(tank) == at and world.open["hookup"].dumped_at == at


def _is_small(litres: float, last: float, usual: float) -> bool:
    return litres <= 0.5 * last and litres <= 3.0 * usual + SMALL_LITRES


def take_meter(world: World, event: Entry, book: Book = None) -> None:
    """A reading of either meter."""
    take_reading(
        world, event.meter, event.litres, event.at, event.id, book,
        reset=bool(event.get("reset_before")), rolled=bool(event.get("rolled_over")),
    )  # fmt: skip
    before = event.get("before")
    world.meters[event.meter].open_before = (before.casefold(), event.litres) if before else None


def take_reset(world: World, event: Entry, book: Book = None) -> None:
    """The counter was zeroed. What ran since the last reading stays as it was expected."""
    passing.pass_time(world, event.at, book)
    state = world.meters[event.meter]
    if event.meter == "inlet":
        own = passing.belief_of(world)
        if state.known:
            state.litres_through += max(0.0, own.mean[own.at[passing.METERED]])
        _onto_hookup(world)
        _begin(world, event.at)
    state.known, state.litres, state.at, state.open_before = True, 0.0, event.at, None


def _onto_hookup(world: World) -> None:
    """A rig whose inlet meter is in use runs on the hookup, unless something else was said."""
    if not world.supply_told and world.stay.water is not False:
        world.supply = "hookup"


def _was_on_hookup(world: World, at: datetime, event: str, book: Book) -> None:
    """The meter moved, and nothing was ever said of the supply at this site: what was taken to come out of fresh came from the hookup."""
    if world.supply == "hookup" or world.supply_told or world.stay.water is False:
        return
    source, own = passing.source_of(world), passing.belief_of(world)
    tank, interval = world.open["tank"], world.open["hookup"]
    world.supply = "hookup"
    began = world.stay.since
    if source == ledger.HOOKUP or tank.start is None or (began is not None and tank.start < began):
        return
    amount, pumped = own.mean[own.at[passing.PUMPED]], own.at[passing.PUMPED]
    ledger.post(world, book, ledger.HOOKUP, source, amount, at, event, "supply")
    for name in (passing.level_of(source), passing.METERED):
        own.mean[own.at[name]] += amount
        own.couple(own.at[name], pumped, 1.0)
    join(interval, tank)
    passing.reopen(world, "tank", at, known=tank.known)


def _begin(world: World, at: datetime) -> None:
    passing.reopen(world, "hookup", at, known=True)


def take_reading(
    world: World, meter: str, litres: float, at: datetime, event: str, book: Book,
    *, reset: bool = False, rolled: bool = False, only_forward: bool = False,
) -> None:  # fmt: skip
    """Take in a reading. only_forward: pass over one that is lower than the last, or unbelievably high."""
    state = world.meters[meter]
    if only_forward and state.known and judge(world, at, meter, litres).kind != "plausible":
        return
    passing.pass_time(world, at, book)
    if not state.known:
        if meter == "inlet":
            _onto_hookup(world)
            _begin(world, at)
            own = passing.belief_of(world)
            own.cov[own.at[passing.METERED]][own.at[passing.METERED]] = STEP_VAR
        state.known, state.litres, state.at = True, litres, at
        return
    moved = litres - state.litres
    fills = world.open["hookup"].fills
    if meter == "inlet" and (moved < -SLACK or moved > fills + 2.0 * figures.METER_STEP_LITRES + 0.1 * fills):
        _was_on_hookup(world, at, event, book)
    since, before = _since_last(world, state, meter, litres, at, event, reset=reset, rolled=rolled)
    state.litres, state.at = litres, at
    if meter == "inlet":
        state.litres_through += since + before
        _close(world, since + before, at, event, book)
    else:
        state.litres_through += since
        _rinsed(world, since, at, event, book)


def _since_last(
    world: World, state: MeterState, meter: str, litres: float, at: datetime, event: str, *, reset: bool, rolled: bool
) -> tuple[float, float]:
    """Litres since the last reading as the counter tells, and litres it no longer tells because it was zeroed on the way."""
    since = litres - state.litres
    if since >= -SLACK and not reset:
        return max(0.0, since), 0.0
    top = world.rig.rollover.get(meter)
    if (
        top is not None
        and top >= state.litres
        and not reset
        and (rolled or judge(world, at, meter, litres).kind == "rolled_over")
    ):
        world.findings.append(Finding("meter-rolled-over", event, at, top - state.litres + litres, since=state.at))
        return top - state.litres + litres, 0.0
    interval = world.open["hookup"]
    dumped = meter == "inlet" and interval.dumped_at is not None
    reference = "unmentioned-reset" if reset or dumped or litres <= SMALL_LITRES else "lower-reading"
    world.findings.append(Finding(reference, event, at, litres, since=state.at, detail={"last": state.litres}))
    if not dumped:
        return litres, 0.0
    # what was expected before the dump stands; the new count is all from after it
    interval.weight = min(
        (interval.weights.get(tank.name.casefold(), 0.0) for tank in world.rig.of_kind("grey")), default=0.0
    )
    return litres, interval.used_at_dump


def _close(world: World, since: float, at: datetime, event: str, book: Book) -> None:
    interval = world.open["hookup"]
    if interval.seconds <= 0.0 and interval.other_seconds > 0.0 and world.supply == "tank" and interval.logged == 0.0:
        _through_the_hose(world, since - interval.fills, at, event, book)
        _begin(world, at)
        return
    fills, var = interval.fills, STEP_VAR
    if interval.fills_var > 0.0:
        fills, var = _guess_fill(world, since, fills, interval.fills_var)
    settle(world, "hookup", Total(max(0.0, since - fills), var, True), at, event, book)


def _guess_fill(world: World, since: float, fills: float, fills_var: float) -> tuple[float, float]:
    """A fill whose litres were not said takes its part of the surprise, by its doubt beside that of the use."""
    own = passing.belief_of(world)
    used = own.at[passing.METERED]
    doubt = own.cov[used][used] + STEP_VAR
    surprise = since - fills - own.mean[used]
    fills = min(since, max(0.0, fills + surprise * fills_var / (fills_var + doubt)))
    return fills, STEP_VAR + fills_var * doubt / (fills_var + doubt)


def _through_the_hose(world: World, litres: float, at: datetime, event: str, book: Book) -> None:
    """Water came through the hose while the rig ran on its tank: it can only have gone into the fresh tank."""
    if litres <= 2.0 * figures.METER_STEP_LITRES:
        return
    fresh = world.rig.of_kind("fresh")
    own = passing.belief_of(world)
    if not fresh:
        ledger.post(world, book, ledger.HOOKUP, ledger.UNEXPLAINED, litres, at, event, "reading")
        return
    key = fresh[0].name.casefold()
    level, most = own.at[passing.level_of(key)], own.mean[own.at[passing.capacity_of(key)]]
    fits = max(0.0, min(litres, most - own.mean[level]))
    own.mean[level] += fits
    own.widen({level: 1.0}, STEP_VAR + (litres - fits) ** 2 / 4.0)
    ledger.post(world, book, ledger.HOOKUP, key, fits, at, event, "reading")
    ledger.post(world, book, ledger.HOOKUP, ledger.UNEXPLAINED, litres - fits, at, event, "reading")
    world.findings.append(Finding("metered-on-the-tank", event, at, litres, tank=key))


def _rinsed(world: World, litres: float, at: datetime, event: str, book: Book) -> None:
    """What the rinse meter told beyond the rinses that were logged went into the black tank (or out of its open valve)."""
    logged, world.rinsed = world.rinsed, 0.0
    extra = litres - logged
    black = world.rig.of_kind("black") or world.rig.of_kind("grey")
    if not black or extra == 0.0:
        return
    key = black[0].name.casefold()
    if key in world.open_valves or world.last_dump.get(key) == at:
        ledger.post(world, book, ledger.HOOKUP, ledger.SEWER, extra, at, event, "rinse")
        return
    own = passing.belief_of(world)
    level = own.at[passing.level_of(key)]
    own.mean[level] += extra
    own.widen({level: 1.0}, STEP_VAR + (figures.METER_SHARE * litres) ** 2)
    ledger.post(world, book, ledger.HOOKUP, key, extra, at, event, "rinse")
