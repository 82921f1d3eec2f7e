"""A stretch whose use is now known in all: logged entries become shares of the total, the rest is unlogged, nothing counts twice.

The rule for the means is one that a pencil can follow: the rest runs to the tanks by their shares, each tank taking only what flowed
since it was last emptied; where entries come to more than the total, typical ones give way first, then all shrink together. The doubt
follows by Joseph's form with the rule as the gain (filter.py). The meter's own scale error is carried along as a doubt, never estimated.
Pure. May import: what `passing` may.
"""

from __future__ import annotations

from datetime import datetime
from math import sqrt

from state import figures
from state.habits import pace, unlogged
from state.lightclass import dataclass
from state.settled import Settled
from state.water import ledger, likened, oddities, passing
from state.water.ledger import Book
from state.world import Finding, Interval, Logged, World, join

SURE_ENOUGH = 0.25
"""A total known to this part of itself is good enough to learn from."""

LOW_DAY = 2.0
"""A day of which so little is logged, in standard deviations of the household's days, was not all logged. Common practice, no source."""

GIVES_WAY = 0.5
"""The part of a usual amount that gives way before amounts that were told do. Not all of it: ten flushes that were counted were not none,
and the water of least volume may fill the tank that matters most. common practice, no source"""


@dataclass(frozen=True)
class Total:
    """litres: indoor use of the stretch; var: of the statement of it, beside the meter's scale; metered: it came from the meter."""

    litres: float
    var: float
    metered: bool


def settle(world: World, supply: str, total: Total, at: datetime, event: str, book: Book) -> None:
    """Close the open interval of a supply with its total, and begin the next. Time must have been passed up to `at`."""
    interval = world.open[supply]
    own = passing.belief_of(world)
    used = own.at[passing.METERED if supply == "hookup" else passing.PUMPED]
    residual = total.litres - own.mean[used]
    rest = total.litres - interval.logged
    if rest < 0.0:
        moves = _give_way(world, interval, -rest, total, supply, at, event, book)
    else:
        moves = _spread_rest(world, interval, residual, supply, at, event, book)
    gain = _correct(world, supply, interval, total, residual, moves)
    stated = own.mean[used] - interval.logged - interval.expected
    if rest >= 0.0 and abs(stated) > 1e-9 and _source(world, supply) == ledger.HOOKUP:
        # what statements had put down to `unexplained` is now known to have come through after all
        ledger.post(world, book, ledger.HOOKUP, ledger.UNEXPLAINED, stated, at, event, "stated")
    oddities.look(world, interval, total.litres, supply, at, event)
    _learn(world, interval, total, supply, at)
    passing.reopen(world, supply, at, known=True)
    if total.metered:
        _carry_reading_error(world, gain)


def _source(world: World, supply: str) -> str:
    return ledger.HOOKUP if supply == "hookup" else next(
        (tank.name.casefold() for tank in world.rig.tanks.values() if tank.kind == "fresh"), ledger.HOOKUP
    )  # fmt: skip


def _spread_rest(
    world: World, interval: Interval, residual: float, supply: str, at: datetime, event: str, book: Book
) -> dict[str, float]:
    """Book the correction of the unlogged use (actual less expected); the change of each tank's level."""
    own = passing.belief_of(world)
    source, moves, left = _source(world, supply), {}, residual
    for tank in world.rig.waste():
        key = tank.name.casefold()
        part = own.mean[own.at[passing.share_of(key)]] * residual
        kept = part * live_part(interval, key)
        ledger.post(world, book, source, key, kept, at, event, "unlogged")
        ledger.post(world, book, source, ledger.SEWER, part - kept, at, event, "unlogged")
        moves[key] = kept
        left -= part
    ledger.post(world, book, source, ledger.OUTSIDE, left, at, event, "unlogged")
    if source != ledger.HOOKUP:
        moves[source] = -residual
    return moves


def live_part(interval: Interval, tank: str) -> float:
    """The part of the interval's expected flow that came since the tank was last emptied (0 to 1)."""
    if interval.weight <= 0.0:
        return 1.0 if interval.dumped_at is None else 0.0
    return min(1.0, interval.weights.get(tank, 0.0) / interval.weight)


def _give_way(
    world: World, interval: Interval, over: float, total: Total, supply: str, at: datetime, event: str, book: Book
) -> dict[str, float]:
    """Entries come to `over` litres more than the total: usual amounts give way first, then all shrink together; all expected use is taken
    back. The change of each level."""
    source, moves = _source(world, supply), dict.fromkeys(world.rig.tanks, 0.0)
    soft = sum(entry.litres for entry in interval.entries if entry.estimated)
    given = min(over, GIVES_WAY * soft)
    all_keep = 1.0 - (over - given) / (interval.logged - given) if interval.logged > given else 1.0
    soft_keep = all_keep * (1.0 - given / soft) if soft > 0.0 else 0.0
    for entry in interval.entries:
        shrink = entry.litres * (1.0 - (soft_keep if entry.estimated else all_keep))
        _shrink(world, entry, shrink, source, moves, at, event, book)
    for key, part in _expected_by_account(world, interval).items():
        if key in moves:
            kept = part * live_part(interval, key)
            ledger.post(world, book, key, source, kept, at, event, "unlogged")
            ledger.post(world, book, ledger.SEWER, source, part - kept, at, event, "unlogged")
            moves[key] -= _not_seen(world, key, kept, _seen_part(interval, key), at, event, book)
        else:
            ledger.post(world, book, key, source, part, at, event, "unlogged")
    if source in moves:
        moves[source] += over + interval.expected
    if over > figures.METER_STEP_LITRES * 2 + 0.02 * total.litres:
        world.findings.append(
            Finding(
                "logged-more-than-metered",
                event,
                at,
                over,
                since=interval.start,
                detail={"logged": interval.logged, "total": total.litres, "typical": soft},
            )
        )
    return moves


def _shrink(
    world: World,
    entry: Logged,
    litres: float,
    source: str,
    moves: dict[str, float],
    at: datetime,
    event: str,
    book: Book,
) -> None:
    if litres == 0.0:
        return
    for account, part, live in entry.parts:
        back = litres * part
        ledger.post(world, book, account if live else ledger.SEWER, source, back, at, event, "gave way")
        if live and account in moves:
            moves[account] -= _not_seen(world, account, back, entry.seen.get(account, 0.0), at, event, book)
    entry.litres -= litres


def _seen_part(interval: Interval, tank: str) -> float:
    """The part of what was expected since the tank was last emptied that a level seen since has put right (0 to 1)."""
    weight = interval.weights.get(tank, 0.0)
    return min(1.0, interval.seen.get(tank, 0.0) / weight) if weight > 0.0 else 0.0


def _not_seen(world: World, tank: str, litres: float, seen: float, at: datetime, event: str, book: Book) -> float:
    """What leaves the tank's level of the litres that turn out not to have run: a level seen since had put part of them right, and put it
    down to `unexplained`, from where it comes back."""
    ledger.post(world, book, ledger.UNEXPLAINED, tank, litres * seen, at, event, "stated")
    return litres * (1.0 - seen)


def _expected_by_account(world: World, interval: Interval) -> dict[str, float]:
    own, out, left = passing.belief_of(world), {}, interval.expected
    for tank in world.rig.waste():
        key = tank.name.casefold()
        out[key] = own.mean[own.at[passing.share_of(key)]] * interval.expected
        left -= out[key]
    out[ledger.OUTSIDE] = left
    return out


def _correct(
    world: World, supply: str, interval: Interval, total: Total, residual: float, moves: dict[str, float]
) -> list[float]:
    """Carry the rule's changes into the filter, and the doubt with them; the gain used."""
    own = passing.belief_of(world)
    used = own.at[passing.METERED if supply == "hookup" else passing.PUMPED]
    seen = {used: 1.0}
    if total.metered:
        seen[own.at[passing.METER]] = -total.litres
    gain, _ = own.best_gain(seen, total.var)
    gain[own.at[passing.METER]] = 0.0
    source = _source(world, supply)
    targets: dict[int, float] = {}
    for tank in world.rig.tanks.values():
        key = tank.name.casefold()
        level = own.at[passing.level_of(key)]
        targets[level] = own.mean[level] + moves.get(key, 0.0)
        if tank.kind == "fresh":
            gain[level] = -1.0 if key == source else 0.0
        else:
            live = live_part(interval, key)
            gain[level] = own.mean[own.at[passing.share_of(key)]] * live
            actual = max(0.0, total.litres - interval.logged)
            own.couple(level, own.at[passing.share_of(key)], live * (actual - interval.expected))
    kept = own.mean[own.at[passing.RATE]], own.mean[used]
    own.correct(seen, residual, total.var, gain)
    own.mean[own.at[passing.RATE]], own.mean[used] = kept
    for level, value in targets.items():
        own.mean[level] = value
    return gain


def _carry_reading_error(world: World, gain: list[float]) -> None:
    """What this reading was off, the next stretch will be off the other way: the errors of readings in a row do not add up."""
    own = passing.belief_of(world)
    used = own.at[passing.METERED]
    own.cov[used][used] = figures.METER_STEP_LITRES**2
    for tank in world.rig.waste():
        level = own.at[passing.level_of(tank.name.casefold())]
        own.cov[used][level] = own.cov[level][used] = gain[level] * figures.METER_STEP_LITRES**2


def _learn(world: World, interval: Interval, total: Total, supply: str, at: datetime) -> None:
    """Teach the pace, the logging habits and the shares what the stretch showed."""
    if _teach(world, interval, total, supply, at):
        likened.learn(world, interval.entries, total.litres - interval.logged)


def _teach(world: World, interval: Interval, total: Total, supply: str, at: datetime) -> bool:
    """Teach the pace and the logging habits what the stretch showed, if it is one that shows anything."""
    start = interval.start
    if start is None or interval.seconds < 60.0 or at <= start or total.litres < 0.0:
        return False
    if interval.other_seconds <= 0.05 * interval.seconds:
        told = _settled(interval, total.litres, 0.0, world.people, supply, start, at)
        rest = total.litres - interval.logged
        unlogged.learn(passing.logging_of(world), interval.pace, interval.logged, rest, interval.seconds / 86400.0)
        pace.learn(passing.habits_of(world), told)
    return True


def _settled(
    interval: Interval, litres: float, off: float, aboard: float, supply: str, start: datetime, at: datetime
) -> Settled:
    """What the pace is told of a stretch. aboard: people, where nobody was there for all of it."""
    present = interval.seconds - interval.away_seconds
    people = interval.people_seconds / present if present > 0.0 else float(aboard)
    entries = tuple((entry.activity, entry.litres, entry.count) for entry in interval.entries)
    return Settled(start, at, litres, off, people, supply, interval.away_seconds, entries)


def learn_from_statement(world: World, at: datetime) -> None:
    """Where no meter closes the stretch, a stated level that pins down what was used since its start teaches the pace instead."""
    supply = world.supply
    if supply == "hookup" and world.meters["inlet"].known:
        return
    interval, own = world.open[supply], passing.belief_of(world)
    used = own.at[passing.METERED if supply == "hookup" else passing.PUMPED]
    litres, var = own.mean[used], own.cov[used][used]
    seconds = interval.seconds + (interval.earlier.seconds if interval.earlier else 0.0)
    if seconds < 86400.0 or litres <= 0.0 or var > (SURE_ENOUGH * litres) ** 2:
        return
    if _teach(world, _with_earlier(interval), Total(litres, var, False), supply, at):
        likened.learn(world, interval.entries, interval.expected)
    passing.reopen(world, supply, at, known=False)


def _with_earlier(interval: Interval) -> Interval:
    """The stretch since the running sum began: this page and those before it, entries by activity."""
    whole = Interval()
    for each in filter(None, (interval.earlier, interval)):
        join(whole, each)
    by_activity: dict[str, Logged] = {}
    for entry in whole.entries:
        sofar = by_activity.setdefault(entry.activity, Logged(entry.activity, 0, 0.0, False, []))
        sofar.count += entry.count
        sofar.litres += entry.litres
    whole.entries = list(by_activity.values())
    return whole


def keep_litres(world: World, change: float, part: float) -> None:
    """What dumps told was of litres, not of their ratio to a pace that has changed. change: the pace before, over the pace now."""
    own = passing.belief_of(world)
    rate = own.at[passing.RATE]
    own.mean[rate] += part * (1.0 + own.mean[rate]) * (change - 1.0)


def _dumps_have_told(world: World) -> float:
    """What part of the first doubt of the rate of use is gone, where nothing but dumps has told of it. 0 to 1."""
    own = passing.belief_of(world)
    rate = own.at[passing.RATE]
    return max(0.0, 1.0 - own.cov[rate][rate] / passing.FIRST_RATE_VAR)


def learn_from_entries(world: World, at: datetime) -> None:
    """A day of a household that reads no meter: what it logs is the best that is known, where it comes to half its pace or more.

    What it leaves out is added, as much every day: filling up each day by itself would make them all alike. How much that is, is
    guessed (pace.by_log), and the guess doubted; statements take its place, and what dumps have told of the rate counts beside it.
    """
    supply = world.supply
    interval, logging = world.open[supply], passing.logging_of(world)
    if interval.known or (supply == "hookup" and world.meters["inlet"].known) or interval.seconds < 86400.0:
        return
    pace_litres, habits = sum(interval.pace), passing.habits_of(world)
    own, rate = passing.belief_of(world).mean, passing.belief_of(world).at[passing.RATE]
    counts = [(entry.count, entry.estimated) for entry in interval.entries]
    guessed = sum(count for count, estimated in counts if estimated) / max(1, sum(count for count, _ in counts))
    before = pace.mean_rate(habits, supply)
    usually, missing, off = pace.by_log(habits, interval.logged, pace_litres / before, float(world.people), guessed)
    dumps = _dumps_have_told(world)
    if usually > 0.0 and (dumps > 0.0 or logging.n > 0.0):
        # what they say, the first doubt taken out again, and how it weighs beside the guess
        said, weight = (
            own[rate] / max(dumps, 1e-6),
            dumps / (dumps + (1.0 - dumps) * passing.FIRST_RATE_VAR / (off * off)),
        )
        if logging.n > 0.0:
            said, weight = own[rate], 1.0
        # for such a day as it usually logs: what is expected of this one goes down where more is logged
        expected = unlogged.expect(logging, interval.pace, usually) + said * pace_litres
        missing += weight * (max(0.0, expected) - missing)
        off *= sqrt(1.0 - weight)
    credible = usually >= 0.5 * pace_litres and interval.logged >= (1.0 - LOW_DAY * pace.day_spread(habits)) * usually
    if credible and interval.start is not None and interval.other_seconds <= 0.0:
        litres = interval.logged + missing
        pace.learn(habits, _settled(interval, litres, off, world.people, supply, interval.start, at))
        keep_litres(world, before / pace.mean_rate(habits, supply), dumps)
    likened.learn(world, interval.entries, interval.expected)
    # a new page, but no new knowledge: the running sum and the doubt of the rate go on
    world.open[supply] = Interval(start=at, earlier=_with_earlier(interval))
