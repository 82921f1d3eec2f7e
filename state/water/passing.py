"""Time that passes: the expected unlogged use of a stretch, booked as it is believed, with its doubt.

Called lazily, where a level is about to be looked at or changed by other than a logged use. Days are cut where the day part, the party or
an absence changes. Nobody aboard uses nothing. Pure. May import: `filter`, `ledger`, `pace`, `unlogged`, `world`, `figures`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from state.habits import pace, unlogged
from state.lightclass import Any
from state.water import ledger
from state.water.filter import Filter
from state.water.ledger import Book
from state.world import Interval, World

FLUSH_LITRES, SHOWER_LITRES, EVENT_LITRES = 1.5, 7.5, 0.3
"""Water comes in events that go one way or another, so the split of a small total is uncertain: a frugal flush to black, a shower (which
with dishes makes up most of the rest) to grey, and what is drunk or cooked off. As typical uses take (figures.py); in the records of the
study, by fixture, days strayed as if by events of 1.5 to 4.8 litres."""

FIRST_PACE_VAR = 0.35**2
"""Variance of a household's pace over the common one before anything is known. Common practice, no source."""

FIRST_RATE_VAR = unlogged.COMMON_VAR + FIRST_PACE_VAR
"""The same of its rate of unlogged use."""

METERED, PUMPED, METER, RATE = "used", "pumped", "meter", "rate"
DAY = timedelta(days=1)


def level_of(tank: str) -> str:
    return "level:" + tank


def capacity_of(tank: str) -> str:
    return "cap:" + tank


def share_of(tank: str) -> str:
    return "share:" + tank


def belief_of(world: World) -> Filter:
    """The world's filter; made when first needed."""
    if world.filter is None:
        from state import figures

        world.filter = own = Filter()
        own.append(METERED, 0.0, 0.0)
        own.append(PUMPED, 0.0, 0.0)
        own.append(METER, 0.0, figures.METER_SHARE**2)
        own.append(RATE, 0.0, FIRST_RATE_VAR)
    filter: Filter = world.filter
    return filter


def habits_of(world: World) -> pace.Habits:
    if world.habits is None:
        world.habits = pace.new()
    habits: pace.Habits = world.habits
    return habits


def logging_of(world: World) -> unlogged.Unlogged:
    if world.unlogged is None:
        world.unlogged = unlogged.Unlogged()
    logging: unlogged.Unlogged = world.unlogged
    return logging


def pass_time(world: World, to: datetime, book: Book = None) -> None:
    """Book the expected unlogged use up to `to`; afterwards the filter speaks of that moment. Going back does nothing."""
    start = world.passed
    if start is None or world.rig.tanks == {}:
        world.passed = to if start is None else max(start, to)
        return
    if to < start:
        return
    for begin, end, people in _pieces(world, start, to):
        _pass_piece(world, begin, end, people, book)
    if world.open[world.supply].fresh_logged:
        _pass_piece(world, to, to, world.aboard(to), book)
    world.passed = to


def _pieces(world: World, start: datetime, to: datetime) -> Iterator[tuple[datetime, datetime, float]]:
    """Stretches from start to `to` with one party each, guests that were planned among them; 0 people while away. Ends a temporary
    party on the way."""
    at = start
    while at < to:
        end = min(to, *world.party_changes(at), to)
        if world.party_until is not None and world.party_until <= at:
            world.people, world.party_until = world.party_base, None
        away = world.away_since is not None
        if away and world.away_until is not None:
            if world.away_until <= at:
                away = False
            else:
                end = min(end, world.away_until)
        yield at, end, 0.0 if away else float(world.aboard(at))
        at = end


def paces(world: World, start: datetime, end: datetime, people: float) -> list[float]:
    """What the household would use in all between two moments, by day part. [litres]"""
    out = [0.0] * unlogged.PARTS
    if people <= 0.0:
        return out
    habits, supply = habits_of(world), world.supply
    at = start
    if end - start > 2 * DAY:
        # whole days are all alike
        days = (end - start) // DAY
        out = [each * days for each in paces(world, start, start + DAY, people)]
        at = start + days * DAY
    clock, daily = pace.clock_of(habits), pace.mean_rate(habits, supply) * pace.persons(people)
    while at < end:
        after = min(end, unlogged.next_change(at))
        out[unlogged.part_of(at.hour)] += daily * clock.days(at, after)
        at = after
    return out


def _pass_piece(world: World, start: datetime, end: datetime, people: float, book: Book) -> None:
    interval = world.open[world.supply]
    seconds = (end - start).total_seconds()
    if interval.start is None:
        interval.start = start
    interval.seconds += seconds
    interval.people_seconds += seconds * people
    world.open["tank" if world.supply == "hookup" else "hookup"].other_seconds += seconds
    if people <= 0.0 and seconds > 0.0:
        interval.away_seconds += seconds
    by_part = paces(world, start, end, people)
    total = sum(by_part)
    for part, each in enumerate(by_part):
        interval.pace[part] += each
    # an absence weighs a trace: a stretch with nobody home can still turn out to have used water
    weight = total + 1e-7 * seconds
    interval.weight += weight
    for tank in world.rig.waste():
        key = tank.name.casefold()
        if key not in world.open_valves:
            interval.weights[key] = interval.weights.get(key, 0.0) + weight
    own, logging = belief_of(world), logging_of(world)
    mean = unlogged.expect(logging, by_part, interval.fresh_logged)
    mean = max(0.0, mean + own.mean[own.at[RATE]] * total) if total > 0.0 else mean
    interval.fresh_logged = 0.0
    flow_unlogged(world, mean, total, unlogged.error_variance(logging, total), end, book)
    interval.expected += mean


def flow_unlogged(world: World, litres: float, pace_litres: float, var: float, at: datetime, book: Book) -> None:
    """Let expected unlogged water run to where the shares send it. var: of the amount, beside what the rate leaves open. [litres squared]"""
    own = belief_of(world)
    rate, used = own.at[RATE], own.at[METERED if world.supply == "hookup" else PUMPED]
    source = source_of(world)
    direction = {used: 1.0}
    own.mean[used] += litres
    own.couple(used, rate, pace_litres)
    if source != ledger.HOOKUP:
        fresh = own.at[level_of(source)]
        own.mean[fresh] -= litres
        own.couple(fresh, rate, -pace_litres)
        direction[fresh] = -1.0
    rest = litres
    waste = world.rig.waste()
    # several grey tanks part the same water among them, by events too
    event = FLUSH_LITRES if len(waste) > 2 else EVENT_LITRES
    for tank in waste:
        key = tank.name.casefold()
        share = own.mean[own.at[share_of(key)]]
        part = share * litres
        rest -= part
        if key in world.open_valves:
            ledger.post(world, book, source, ledger.SEWER, part, at, "", "expected")
            continue
        level = own.at[level_of(key)]
        own.mean[level] += part
        own.couple(level, own.at[share_of(key)], litres)
        own.couple(level, rate, share * pace_litres)
        direction[level] = share
        own.widen({level: 1.0}, max(0.0, share * (1.0 - share)) * event * litres)
        ledger.post(world, book, source, key, part, at, "", "expected")
    ledger.post(world, book, source, ledger.OUTSIDE, rest, at, "", "expected")
    flushed = sum(own.mean[own.at[share_of(key)]] for key, move in world.moves.items() if move > 0.0)
    shut = {own.at[level_of(key)]: move for key, move in world.moves.items() if key not in world.open_valves}
    own.widen(shut, _split_by_chance(flushed) * litres)
    if var > 0.0:
        own.widen(direction, var)


def _split_by_chance(flushed: float) -> float:
    """Variance, a litre, of what is flushed where so much of all is, since both come in whole events: of two sorts, Poisson each, with
    their sum known. The flushes' share of it strays as the other sort's events come, and the other way round. [litres]"""
    part = min(1.0, max(0.0, flushed))
    return part * (1.0 - part) * (part * SHOWER_LITRES + (1.0 - part) * FLUSH_LITRES)


def end_absence(world: World, at: datetime) -> None:
    """Somebody is there: a planned absence that has begun is over."""
    world.expected = [_ended(each, at) if each["what"] == "absence" else each for each in world.expected]


def _ended(absence: dict[str, Any], at: datetime) -> dict[str, Any]:
    """The planned absence as it came out, if it has begun: until then. One of which no beginning was told began when it was said."""
    begun, until = absence["start"] or absence["said_at"], absence["until"]
    return {**absence, "until": at} if begun <= at and (until is None or until > at) else absence


def source_of(world: World) -> str:
    """The account that indoor water is drawn from now."""
    if world.supply == "tank":
        for tank in world.rig.tanks.values():
            if tank.kind == "fresh":
                return tank.name.casefold()
    return ledger.HOOKUP


def _pace_doubt(world: World, at: datetime) -> float:
    """Variance of the unlogged use over the pace that comes of the pace itself not being known. [ratio squared]

    Told by the pace's own forecasts: what grows with the square of the time, not with the time, is doubt of the mean.
    """
    habits, logging = habits_of(world), logging_of(world)
    people = max(1.0, float(world.people))
    mean, day = pace.rate(habits, at, at + DAY, people, world.supply)
    month = pace.rate(habits, at, at + 28 * DAY, people, world.supply)[1]
    of_mean = max(0.0, month * month - 28.0 * day * day) / (28.0 * 27.0 * mean * mean) if mean > 0.0 else 0.0
    part = sum(logging.mean[: unlogged.PARTS]) / unlogged.PARTS
    return part * part * of_mean


def reopen(world: World, supply: str, at: datetime, *, known: bool) -> Interval:
    """Begin a new interval on that supply; the running sum and the rate of its stretch start afresh."""
    own = belief_of(world)
    own.reset(own.at[METERED if supply == "hookup" else PUMPED], 0.0, 0.0)
    typical_day = paces(world, at, at + DAY, max(1.0, float(world.people)))
    logging_of(world).day = max(1.0, sum(typical_day))
    of_logging, of_pace = unlogged.doubt(logging_of(world), typical_day), _pace_doubt(world, at)
    # once stretches are known both doubts come of the same irregular days, and do not add up
    both = max(of_logging, of_pace) + min(of_logging, of_pace) / (1.0 + logging_of(world).n)
    own.reset(own.at[RATE], 0.0, both)
    world.told.rate = []
    interval = world.open[supply] = Interval(known=known, start=at)
    return interval
