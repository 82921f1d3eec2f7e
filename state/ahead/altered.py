"""What an altered habit takes off the household's use, in all and for each tank: two-minute showers, no laundry, a smaller wash.

May import: `outlook`, `pace`, `routes`, `typical`, `figures`.
"""

from __future__ import annotations

from datetime import datetime

from state import figures
from state.ahead.outlook import Change, Piece, told
from state.habits import pace
from state.habits.typical import typical
from state.water import routes
from state.world import World

# How often a person does it in a day, before the household's own log tells. Flushes: REU2016 (Water Research Foundation 4309b) has 5
# flushes a person and day (restated); the rest is common practice without a source, for a household that saves water.
TIMES_A_DAY: dict[str, float] = {
    "shower": 0.6, "bath": 0.0, "dishes": 0.8, "handwash": 5.0, "teeth": 2.0, "shave": 0.3, "face": 1.0, "toilet": 5.0, "laundry": 0.0,
    "cooking": 0.7, "drinking": 3.0, "coffee": 0.7, "cleaning": 0.15, "pets": 0.0, "outside": 0.1, "other": 0.0,
}  # fmt: skip

PRIOR_DAYS = 2.0
OF_ALL_TOGETHER = frozenset({"dishes", "laundry", "cooking", "cleaning", "pets", "outside", "coffee"})
"""Done once for everybody: "dishes once a day" is once for the household, "a shower a day" one each."""
MOST_OF_ONE = 3.0
"""A habit made more frequent takes at most so many times the present use of all; more is a slip."""
MOST = 0.95
"""No habit is more than this part of the use; a changed one cannot bring the use to nothing."""


class Cuts:
    """Parts of the use that fall away under a piece's habit changes; negative where a habit grows."""

    def __init__(self, world: World, habits: pace.Habits) -> None:
        self.world, self.habits = world, habits

    def litres_a_day(self, activity: str) -> float:
        """What an activity takes in a day, per person-equivalent: from the log, beside a prior. [litres]"""
        whole = TIMES_A_DAY.get(activity.casefold(), 0.0) * typical(self.world, activity).mean
        if self.habits.uses:  # a household that logs nothing tells nothing here
            own = self.habits.uses.get(activity, [0.0, 0.0])[0]
            whole = (PRIOR_DAYS * whole + own) / (PRIOR_DAYS + self.habits.use_days)
        return min(whole, MOST * pace.mean_rate(self.habits))

    def part(self, change: Change) -> float:
        """The part of the activity's own water that falls away."""
        if change.what == "skip":
            return 1.0
        usual = typical(self.world, change.activity or "other").mean
        if change.what == "minutes" and change.minutes is not None:
            flow = self.world.flow_litres_per_minute or figures.FLOW_LITRES_PER_MINUTE.get(
                change.activity or "", figures.FLOW_ELSE
            )
            return 1.0 - change.minutes * flow / max(usual, 1e-6)
        if change.what == "amount" and change.litres is not None:
            return 1.0 - change.litres / max(usual, 1e-6)
        return 0.0

    def gone(self, change: Change, people: float) -> float:
        """What falls away of an activity, per person-equivalent and day, with so many aboard. [litres]"""
        activity = change.activity or "other"
        if change.what != "often" or change.count is None:
            return self.part(change) * self.litres_a_day(activity) * self.share_of(change, people)
        aboard = pace.persons(people)
        each = change.count / aboard if activity in OF_ALL_TOGETHER else change.count
        now = self.litres_a_day(activity)
        then = min(each * typical(self.world, activity).mean, max(now, MOST_OF_ONE * pace.mean_rate(self.habits)))
        part = min(1.0, change.people / aboard) if change.people and activity not in OF_ALL_TOGETHER else 1.0
        return part * (now - then)

    def share_of(self, change: Change, people: float) -> float:
        """The part of those aboard for whom an activity is left out: all, the guests (`more`), or so many."""
        if change.what != "skip" or people <= 0.0:
            return 1.0
        some = max(0.0, people - own_party(self.world)) if change.more else change.people
        return 1.0 if some is None else min(1.0, some / people)

    def of_all(self, piece: Piece) -> float:
        """Part of all use that falls away in this piece."""
        rate = pace.mean_rate(self.habits)
        if not piece.habits or rate <= 0.0:
            return 0.0
        gone = sum(self.gone(c, piece.people) for c in piece.habits if c.what != "share")
        return min(MOST, gone / rate + _less(piece))

    def of_tank(self, piece: Piece, tank: str, share: float) -> float:
        """Part of a waste tank's intake that falls away in this piece; `share`: its part of all use."""
        rate = pace.mean_rate(self.habits) * share
        if not piece.habits or rate <= 0.0:
            return 0.0
        gone = 0.0
        for change in piece.habits:
            activity = change.activity or "other"
            part = dict(routes.parts(self.world.rig, activity)).get(tank, 0.0)
            gone += self.gone(change, piece.people) * part if change.what != "share" else 0.0
        return min(MOST, gone / rate + _less(piece))


def own_party(world: World) -> int:
    """How many live aboard: all but the guests who were told until some day."""
    return world.people if world.party_until is None else world.party_base


def guests_ahead(world: World, now: datetime) -> bool:
    """Whether guests are aboard, or are to come."""
    own, coming = own_party(world), [told(one, "people") for one in world.expected if told(one, "what") == "party"]
    return world.aboard(now) > own or any(people is not None and people > own for people in coming)


def _less(piece: Piece) -> float:
    """The part of all use that is said to fall away ("half as much water")."""
    left = 1.0
    for change in piece.habits:
        if change.what == "share" and change.count is not None:
            left *= max(0.0, change.count)
    return 1.0 - left
