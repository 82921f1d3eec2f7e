"""What falls due: filter, sanitising, hoses and the owner's own items, by days and by metered litres. Pure.

May import: figures_safety, world.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from state import figures_safety as figures
from state.lightclass import Literal, dataclass
from state.world import World

Standing = Literal["overdue", "soon", "later", "snoozed", "never"]
SOON = timedelta(days=14)
HEATER_ITEMS = frozenset({"anode", "heater_flush"})


@dataclass(frozen=True)
class Interval:
    """`own`: the owner's, not our default."""

    days: float | None
    litres: float | None
    own: bool


@dataclass(frozen=True)
class Due:
    """One item. `last`: when it was last done, None if never told. `due`: when it is to be done next (by days or, if
    that comes first,
    by the litres at the pace since then); None for an item never told to be done. `litres_left`: until its metered
    litres are through
    (negative: past). `days_left`: negative when overdue. `by`: which of the two binds."""

    item: str
    standing: Standing
    last: datetime | None
    due: datetime | None
    days_left: float | None
    litres_left: float | None
    litres_since: float | None
    interval: Interval
    by: Literal["days", "litres"] | None
    snoozed_until: datetime | None = None


def interval(world: World, item: str) -> Interval | None:
    """The owner's interval, else the default; None if the item was dropped or has none."""
    own = world.upkeep.get(item, {})
    if own.get("drop"):
        return None
    if own.get("every_days") or own.get("every_litres"):
        return Interval(own.get("every_days"), own.get("every_litres"), True)
    days, litres = figures.UPKEEP_DAYS.get(item), figures.UPKEEP_LITRES.get(item)
    if days is None and litres is None:
        return None
    return Interval(days.value if days else None, litres.value if litres else None, False)


def items(world: World) -> list[str]:
    """All items that can fall due: the usual ones that this rig has, those told, those once done."""
    usual = [item for item in figures.UPKEEP_DAYS if item not in HEATER_ITEMS or world.rig.heater_litres]
    return [*usual, *sorted({*world.upkeep, *world.services} - set(usual))]


def due(world: World, now: datetime) -> list[Due]:
    """Every item with its interval, the most pressing first; never-done ones without a date last."""
    rows = [row for item in items(world) if (row := one(world, now, item)) is not None]
    far = now + timedelta(days=36500)
    return sorted(rows, key=lambda row: (row.standing == "never", row.due or far, row.item))


def one(world: World, now: datetime, item: str) -> Due | None:
    """One item, or None if it has no interval."""
    every = interval(world, item)
    if every is None:
        return None
    own = world.upkeep.get(item, {})
    done = world.services.get(item)
    start: tuple[datetime, float] | None = done[-1] if done else None
    if start is None and every.own:
        start = own["since"], own.get("through", 0.0)  # an own reminder counts from the day it was told
    if start is None:
        return Due(item, "never", None, None, None, None, None, every, None)
    since = world.meters["inlet"].litres_through - start[1]
    when, by, left = _first(every, start[0], since, now)
    snoozed = own.get("snooze_until")
    standing: Standing = "overdue" if when <= now else "soon" if when <= now + SOON else "later"
    if snoozed is not None and snoozed > now:
        standing = "snoozed"
    days = (when - now).total_seconds() / 86400
    last = done[-1][0] if done else None
    return Due(item, standing, last, when, days, left, since, every, by, snoozed if standing == "snoozed" else None)


def _first(
    every: Interval, start: datetime, since: float, now: datetime
) -> tuple[datetime, Literal["days", "litres"], float | None]:
    """When it is due, by which of the two, and the litres left. Litres still to run are dated at the pace since the
    last time."""
    by_days = start + timedelta(days=every.days) if every.days else None
    if every.litres is None:
        assert by_days is not None
        return by_days, "days", None
    left = every.litres - since
    days = max((now - start).total_seconds() / 86400, 0.0)
    if left <= 0:
        # Passed at some moment that is not known; at the pace since then it was this one.
        by_litres = start + timedelta(days=days * every.litres / since)
    elif since > 0 and days >= 1.0:
        by_litres = now + timedelta(days=min(left * days / since, 36500.0))
    else:
        by_litres = now + timedelta(days=36500)
    if by_days is None or by_litres < by_days:
        return by_litres, "litres", left
    return by_days, "days", left


def unasked(world: World, now: datetime, last_shown: datetime | None) -> list[Due]:
    """What is said without being asked: overdue items, at most once a calendar day where the rig is."""
    if last_shown is not None and last_shown.astimezone(now.tzinfo).date() >= now.date():
        return []
    return [row for row in due(world, now) if row.standing == "overdue"]
