"""A logged use: booked where its activity drains, as a share of what the meter or the tank will tell later.

Pure. May import: what `passing` may.
"""

from __future__ import annotations

from state import figures
from state.entry import Entry
from state.habits import typical
from state.sums import Sum
from state.water import ledger, passing, routes
from state.water.ledger import Book
from state.water.meter import take_reading
from state.water.passing import DAY
from state.water.reconcile import learn_from_entries
from state.world import Interval, Logged, World


def take_use(world: World, event: Entry, book: Book = None) -> None:
    """Book a use. Measured between two readings, it takes the earlier one as a reading first."""
    passing.end_absence(world, event.at)
    activity = event.activity.casefold()
    before, after = event.get("from_litres"), event.get("to_litres")
    if before is not None:
        take_reading(world, "inlet", before, event.at, event.id, book, only_forward=True)
    _remember(world, event, activity)
    # a stretch that nothing has been looked at in has no start of its own yet
    start = world.open[world.supply].start or world.passed
    if start is None or (event.at - start > DAY and not _will_be_closed(world)):
        passing.pass_time(world, event.at, book)
        learn_from_entries(world, event.at)
    meter = world.meters["inlet"]
    if (
        after is not None
        and before is not None
        and meter.known
        and meter.litres >= after - 1e-6
        and meter.at == event.at
    ):
        _reroute(world, event, activity, book)
        return
    book_use(world, event, activity, book)
    if not event.estimated and event.litres > 0.0:
        typical.learn(world, activity, event.get("person"), event.litres, event.count)


def _will_be_closed(world: World) -> bool:
    """A reading, or a fill to the brim, will tell the total of the open stretch."""
    return world.open[world.supply].known or (world.supply == "hookup" and world.meters["inlet"].known)


def _remember(world: World, event: Entry, activity: str) -> None:
    if activity not in figures.TYPICAL_LITRES and activity not in world.activities:
        world.activities.append(activity)
    person = event.get("person")
    sums = world.sums.get((event.activity, person))
    if sums is None:
        sums = world.sums[event.activity, person] = Sum()
    sums.add(event)
    if person and person not in world.persons and person.casefold() not in (each.casefold() for each in world.persons):
        world.persons.append(person)


def book_use(world: World, event: Entry, activity: str, book: Book) -> None:
    own = passing.belief_of(world)
    litres, interval = event.litres, world.open[world.supply]
    sd = _doubt(world, event, activity)
    source = passing.source_of(world)
    used = own.at[passing.METERED if world.supply == "hookup" else passing.PUMPED]
    direction = {used: 1.0}
    own.mean[used] += litres
    if source != ledger.HOOKUP:
        fresh = own.at[passing.level_of(source)]
        own.mean[fresh] -= litres
        direction[fresh] = -1.0
    parts: list[tuple[str, float, bool]] = []
    for account, part in drains(world, activity):
        flowing = account in world.open_valves
        ledger.post(
            world, book, source, ledger.SEWER if flowing else account, part * litres, event.at, event.id, "entry"
        )
        parts.append((account, part, not flowing))
        if account != ledger.OUTSIDE and not flowing:
            level = own.at[passing.level_of(account)]
            own.mean[level] += part * litres
            direction[level] = part
            if activity == routes.ANY:
                own.couple(level, own.at[passing.share_of(account)], litres)
    own.widen(direction, sd * sd)
    _keep(interval, Logged(activity, event.count, litres, event.estimated, parts))


def drains(world: World, activity: str) -> list[tuple[str, float]]:
    """Accounts and their parts of an activity's water: by its fixture, or by the learned shares where none was named."""
    if activity != routes.ANY:
        return routes.parts(world.rig, activity)
    own = passing.belief_of(world)
    shares = [(key, own.mean[own.at[passing.share_of(key)]]) for key in (t.name.casefold() for t in world.rig.waste())]
    return [*shares, (ledger.OUTSIDE, 1.0 - sum(share for _, share in shares))]


def _doubt(world: World, event: Entry, activity: str) -> float:
    """Standard deviation of what an entry says. [litres]"""
    if event.get("from_litres") is not None:
        return figures.METER_STEP_LITRES
    if event.estimated:
        usual = typical.typical(world, activity, event.get("person"), event.get("minutes"))
        ratio = usual.sd / usual.mean if usual.mean > 0.0 else figures.TYPICAL_CV
        return float(event.litres * ratio / max(1, event.count) ** 0.5)
    return float(figures.TOLD_SD * event.litres)


def _keep(interval: Interval, entry: Logged) -> None:
    """Put it with those of its activity that drained to the same places and were told as surely: they will give way alike, so their sum
    says all, and a meter that is never read does not make the world grow."""
    interval.logged += entry.litres
    interval.fresh_logged += entry.litres
    ways = [(account, live) for account, _, live in entry.parts]
    for other in interval.entries:
        if (
            other.activity == entry.activity
            and other.estimated == entry.estimated
            and [(account, live) for account, _, live in other.parts] == ways
        ):
            _join(other, entry)
            return
    interval.entries.append(entry)


def _join(one: Logged, other: Logged) -> None:
    """Put the other into the one. Where drains are learned, the parts differ a little each time: theirs is the mean, weighed by litres."""
    litres = one.litres + other.litres
    if one.parts != other.parts and litres > 0.0:
        one.parts = [
            (account, (mine * one.litres + theirs * other.litres) / litres, live)
            for (account, mine, live), (_, theirs, _) in zip(one.parts, other.parts, strict=True)
        ]
    if litres > 0.0:
        one.seen = {
            tank: (one.seen.get(tank, 0.0) * one.litres + other.seen.get(tank, 0.0) * other.litres) / litres
            for tank in (*one.seen, *(tank for tank in other.seen if tank not in one.seen))
        }
    one.litres = litres
    one.count += other.count


def _reroute(world: World, event: Entry, activity: str, book: Book) -> None:
    """The readings around this use were already taken: its water was booked by shares, and moves to where the activity drains."""
    own, litres = passing.belief_of(world), event.litres
    left = litres
    for tank in world.rig.waste():
        key = tank.name.casefold()
        share = own.mean[own.at[passing.share_of(key)]] * litres
        left -= share
        _move(world, key, ledger.UNEXPLAINED, share, event, book)
    ledger.post(world, book, ledger.OUTSIDE, ledger.UNEXPLAINED, left, event.at, event.id, "entry")
    for account, part in drains(world, activity):
        if account == ledger.OUTSIDE:
            ledger.post(world, book, ledger.UNEXPLAINED, account, part * litres, event.at, event.id, "entry")
        else:
            _move(world, account, ledger.UNEXPLAINED, -part * litres, event, book)


def _move(world: World, tank: str, other: str, litres: float, event: Entry, book: Book) -> None:
    """Take litres out of a tank (into it, if negative); from the sewer instead while its valve is open."""
    if tank in world.open_valves:
        ledger.post(world, book, ledger.SEWER, other, litres, event.at, event.id, "entry")
        return
    own = passing.belief_of(world)
    own.mean[own.at[passing.level_of(tank)]] -= litres
    ledger.post(world, book, tank, other, litres, event.at, event.id, "entry")
