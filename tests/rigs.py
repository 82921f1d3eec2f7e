"""Worlds and beliefs for the tests of the forecast: a rig of three tanks, with levels, shares and habits as a test wants them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta, timezone

from state.habits import pace
from state.settled import Settled
from state.spread import Spread
from state.water.belief import Belief, TankBelief
from state.world import StayAt, Tank, TankKind, World

ZONE = timezone(timedelta(hours=-6))
MONDAY = datetime(2026, 6, 1, tzinfo=ZONE)
DAY = timedelta(days=1)
CAPACITY = {"fresh": 150.0, "grey": 140.0, "black": 110.0}
KINDS: dict[str, TankKind] = {"fresh": "fresh", "grey": "grey", "black": "black"}


def lived(days: int, daily: list[float], people: float = 2, supply: str = "hookup", start: datetime = MONDAY - 60 * DAY) -> pace.Habits:  # fmt: skip
    """Habits after so many whole days, one reading at midnight."""
    habits = pace.new()
    for day in range(days):
        at = start + day * DAY
        pace.learn(habits, Settled(at, at + DAY, daily[day % len(daily)], 0.0, people, supply, 0.0, ()))
    return habits


def world(*, supply: str = "hookup", habits: pace.Habits | None = None, until: datetime | None = None, people: int = 2) -> World:  # fmt: skip
    """Three tanks at a stay at Heron Bend."""
    own = World()
    for name, litres in CAPACITY.items():
        own.rig.tanks[name] = Tank(name, KINDS[name], litres)
    own.stay = StayAt("Heron Bend", MONDAY - 3 * DAY, until, supply == "hookup", False)
    own.supply = "hookup" if supply == "hookup" else "tank"
    own.people = people
    own.habits = habits if habits is not None else lived(40, [36.0, 44.0, 40.0])
    return own


def believed(
    levels: Mapping[str, float], *, sd: float = 4.0, capacity_sd: float = 0.0, share: Mapping[str, float] | None = None,
    share_sd: float = 0.0, supply: str = "hookup", flowing: tuple[str, ...] = (), covariance: float = 0.0,
) -> Belief:  # fmt: skip
    """Beliefs with normal levels; room is capacity less level. [litres]"""
    shares = {"grey": 0.9, "black": 0.05, **(share or {})}
    tanks = {}
    for name, capacity in CAPACITY.items():
        level = levels.get(name, 0.0)
        top = capacity + 3 * capacity_sd
        room_sd = (sd**2 + capacity_sd**2) ** 0.5
        if name == "fresh":
            room, own = Spread(level, sd, 0.0, top), Spread(1.0 if supply == "tank" else 0.0, 0.0)
        else:
            room = Spread(capacity - level, room_sd, 0.0, top)
            own = Spread(0.0, 0.0) if name in flowing else Spread(shares[name], share_sd, 0.0, 1.0)
        tanks[name] = TankBelief(
            name, KINDS[name], Spread(capacity, capacity_sd, 0.0), Spread(level, sd, 0.0, top), room, own, covariance, name in flowing, None,
        )  # fmt: skip
    return Belief(MONDAY, tanks)
