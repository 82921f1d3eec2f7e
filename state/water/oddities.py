"""What a metered stretch shows that the person should hear of: water while nobody was there, use out of habit, a flow that never stops.

Only findings are made; the conversation says them. Pure. May import: what `passing` may.
"""

from __future__ import annotations

from datetime import datetime

from state import figures
from state.habits import unlogged
from state.water import passing
from state.world import Finding, Interval, World

NIGHTS = 3
"""So many nights in a row make a flow that never stops."""

NIGHT_STARTS, NIGHT_ENDS = 21, 7
NIGHT_PART = 0.5
"""A household's night flow is suspect above this part of its mean flow. Common practice, no source: people sleep."""

LEAST_NIGHT_LITRES_PER_HOUR = 0.4


def look(world: World, interval: Interval, litres: float, supply: str, at: datetime, event: str) -> None:
    """Look at a stretch whose use came to `litres` in all, before it is learned from."""
    error = 2.0 * (figures.METER_SHARE * litres + figures.METER_STEP_LITRES)
    rest = litres - interval.logged
    spread = unlogged.error_variance(passing.logging_of(world), sum(interval.pace)) ** 0.5
    detail = {"metered": litres, "logged": interval.logged, "expected": interval.expected}
    present = interval.seconds - interval.away_seconds
    if interval.away_seconds > 600.0 and present <= 0.25 * interval.seconds:
        if rest > error + interval.expected + 2.0 * spread:
            extra = rest - interval.expected
            world.findings.append(
                Finding("water-ran-while-away", event, at, extra, since=interval.start, detail=detail)
            )
        return
    if _is_night(interval, at):
        _night(world, interval, rest, at, event)
    if not interval.known or interval.seconds < 1800.0 or passing.habits_of(world).days < 3.0:
        return
    if rest > max(3.0 * interval.expected, interval.expected + 5.0 * spread + error):
        extra = rest - interval.expected
        world.findings.append(
            Finding("use-out-of-habit", event, at, extra, since=interval.start, detail={**detail, "supply": supply})
        )


def _is_night(interval: Interval, at: datetime) -> bool:
    """Begun in the evening, over by the morning, four hours at least."""
    start = interval.start
    if start is None or not 4.0 * 3600.0 <= interval.seconds <= 10.5 * 3600.0:
        return False
    return (
        (start.hour >= NIGHT_STARTS or start.hour < 3)
        and at.hour <= NIGHT_ENDS
        and (at.hour, at.minute) <= (NIGHT_ENDS, 30)
    )


def _night(world: World, interval: Interval, rest: float, at: datetime, event: str) -> None:
    """Three nights in a row with much water: told once, then again after a quiet one."""
    hourly = rest / (interval.seconds / 3600.0)
    habits = passing.habits_of(world)
    usual = habits.litres / habits.days / 24.0 * max(1.0, float(world.people)) if habits.days > 0.0 else 0.0
    if hourly <= max(LEAST_NIGHT_LITRES_PER_HOUR, NIGHT_PART * usual):
        world.wet_nights = []
        return
    lately = [night for night in world.wet_nights if (at - night[0]).days < 2 * NIGHTS]
    world.wet_nights = [*lately, (at, hourly)][-NIGHTS:]
    if len(world.wet_nights) == NIGHTS:
        least = min(flow for _, flow in world.wet_nights)
        detail = {"nights": NIGHTS, "litres_per_hour": least}
        world.findings.append(
            Finding("night-flow", event, at, 24.0 * least, since=world.wet_nights[0][0], detail=detail)
        )
