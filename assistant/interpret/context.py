"""What every interpreter needs: the scene, what was already confirmed, and the ways from words to litres, tanks and moments."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from datetime import datetime, timedelta

from assistant.say import times
from assistant.scene import AskBack, CannotBe, Scene, which_tank
from grammar import when as calendar
from grammar.intents import Amount
from grammar.when import When
from state import units
from state.entry import Entry
from state.lightclass import TYPE_CHECKING, Any, dataclass, field
from state.log.history import effective
from state.log.ordering import as_one_log
from state.world import Tank, World

if TYPE_CHECKING:
    from state.log.recall import Recall

Draft = dict[str, Any]
"""The fields of an event to be, under the interface's names, without id, heard and heard_at."""

UNIT_OF_SYSTEM = {"us": "gallon", "imperial": "imperial_gallon", "metric": "litre"}
IMPERIAL = {"gallon", "quart", "pint", "cup", "fluid_ounce"}
VOLUMES = frozenset((*IMPERIAL, "litre", "millilitre"))
NOON = 12
LATER = timedelta(minutes=2)
DOUBTFUL = timedelta(days=120)
"""A stay longer than this whose end was said as "6/8" may have been meant the other way round."""
A_YEAR_OFF = timedelta(days=270)
"""A date without a year that is further ahead than this has just passed, and hardly means next year's."""
LATELY = timedelta(hours=2)
"""What was said longer ago than this is no longer what the talk is about."""


@dataclass
class Volume:
    """Litres made from what was said. `estimated`: a range's middle or a typical value."""

    litres: float
    estimated: bool = False
    said: dict[str, Any] | None = None


_BOUNDS = tuple(
    "at |less |more |over |under |fewer |up to |no more |no less |below |above |max|min|not |nearly |almost |close |passed |past ".split(
        "|"
    )
)


@dataclass
class Context:
    """`confirmed`: references of guards that the person has said yes to. `recall`: the log, for what was said before (None: there is none).
    `place`: which meaning of the phrase is at work, part of a guard's reference. `drafts`: events of the phrase's earlier meanings.
    `warnings`: of what is booked, but not without a word. `alone`: the phrase has no other meaning."""

    scene: Scene
    recall: Recall | None = None
    confirmed: frozenset[str] = frozenset()
    place: int = 0
    drafts: list[Draft] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    alone: bool = True

    def booked_before(self, kind: str) -> Draft | None:
        """The last event of a kind that the phrase has told so far: what it said counts before the world knows it."""
        return next((one for one in reversed(self.drafts) if one["kind"] == kind), None)

    def so_far(self) -> World:
        """The world once what the phrase has told so far is booked: gear put away, a valve shut, a place reached. As it is where that would
        correct what is in it, or happened before."""
        from state import checks
        from state.log.history import CORRECTIONS
        from state.log.store import new_id
        from state.water import fold

        world = self.world
        told = [
            Entry(checks.check({"id": new_id(), "heard_at": self.now, "heard": "", **one}), seq=place)
            for place, one in enumerate(self.drafts)
        ]
        on_top = all(one.kind not in CORRECTIONS and (world.at is None or one.at >= world.at) for one in told)
        return fold.fold(told, fold.restore(fold.snapshot(world))) if told and on_top else world

    def windows(self) -> Iterator[list[Entry]]:
        """The latest events in log order, undone ones too, in ever larger numbers, each from the beginning of a turn; the last is the
        whole log. What is usually near the end is looked for in one after the other."""
        return self.recall.windows() if self.recall is not None else iter([[]])

    def latest(self, fits: Callable[[Entry], bool]) -> Entry | None:
        """Of the events that count and fit the one that happened last."""
        found = None
        for log in self.windows():
            found = next((entry for entry in reversed(effective(as_one_log(log))) if fits(entry)), None)
            if found is not None and found.at >= log[0].heard_at:  # nothing logged earlier can have happened later
                break
        return found

    def lately_told(self, fits: Callable[[Entry], bool]) -> Entry | None:
        """As `latest`, among the latest events of the log only: for what matters while it was just told."""
        newest = next(self.windows(), [])
        return next((entry for entry in reversed(effective(as_one_log(newest))) if fits(entry)), None)

    def as_they_are(self, ids: Collection[str]) -> dict[str, Entry]:
        """Those of these events that count, as amended, by id."""
        return {entry.id: entry for entry in self.recall.found(ids)} if self.recall is not None else {}

    def imported(self, log: Sequence[Entry]) -> frozenset[int]:
        """The turns of that part of the log that came from another device."""
        return self.recall.log.imported_turns(log[0].turn) if self.recall is not None and log else frozenset()

    @property
    def world(self) -> World:
        return self.scene.world

    @property
    def now(self) -> datetime:
        return self.scene.now

    def guard(self, reference: str, text: str, slot: str = "amount", choices: Sequence[str] = ()) -> None:
        """Ask once about something that cannot well be true; a yes to it lets it pass."""
        if f"{reference}:{self.place}" not in self.confirmed:
            raise AskBack(text, slot=f"{slot}?{reference}:{self.place}", choices=choices)

    # moments

    def happened(self, when: When | None, of_today: bool = True) -> datetime:
        """When a report says it was: now if nothing was said. Asks if that is still to come; CannotBe if there is no such time. `of_today`:
        an hour without a day is one of the last, so that "at three", told in the morning, is doubtful."""
        if when is None:
            return self.now
        if when.arrival and self.world.stay.since is not None:
            return min(self.world.stay.since, self.now)
        if when.period == "stay" and (left := self._left()) is not None:
            return left
        if when.month is not None and when.day is None and when.edge is None:
            raise AskBack(f"Which day of {calendar.MONTHS[when.month - 1]} was that?", "when")
        found = calendar.past(when, self.now)
        if found.problem:
            raise CannotBe(found.problem)
        if found.at is None:
            raise AskBack("When was that?", "when")
        if found.at > self.now + LATER:
            said = times.exactly(found.at, self.now)
            raise AskBack(f"{times.begun(said)} is still to come, so nothing is recorded. When was it?", "when")
        if of_today and self._in_the_night(when, found.at):
            said = times.begun(times.exactly(found.at, self.now))
            self.guard("at-night", f"{said}, in the night? If not, say when.", "when")
        return min(found.at, self.now)

    def _in_the_night(self, when: When, at: datetime) -> bool:
        """ "Laundry at three", told after breakfast: an hour of the night that no word calls one, and few tell of."""
        if when.hour is None or when.has_day or when.half is not None or when.part is not None or when.hour > NOON:
            return False
        by_figures = " 0" in f" {when.text}"  # "03:10"
        return at.date() == self.now.date() and at.hour < calendar.SMALL_HOURS <= self.now.hour and not by_figures

    def _left(self) -> datetime | None:
        """When they left the last place, if they are on the road or have just told of it."""
        told = self.booked_before("depart")
        if told is not None:
            at: datetime = told["at"]
            return at
        return self.world.stay.since if self.world.stay.on_the_road else None

    def to_come(self, when: When | None) -> datetime | None:
        """A moment ahead; asks if it has passed."""
        if when is None:
            return None
        at = self.scene.future(when).at
        assert at is not None
        if at <= self.now:
            raise AskBack(f"{times.begun(times.exactly(at, self.now))} has passed. Until when?", "until")
        self._not_next_year(when, at)
        return at

    def begins(self, when: When | None) -> datetime | None:
        """A moment from which something is to be; a day that has begun is meant from now on."""
        if when is None:
            return None
        at = self.scene.future(when).at
        today = (
            at is not None
            and at <= self.now
            and at.date() == self.now.date()
            and not when.has_hour
            and when.part is None
        )
        return self.now if today else self.to_come(when)

    def _not_next_year(self, when: When, at: datetime) -> None:
        """ "till June 1", said a week later: asked about."""
        if when.month is not None and when.year is None and at - self.now > A_YEAR_OFF:
            self.guard("next-year", f"That would be {times.exactly(at, self.now)}. Is that right?", "until")

    def after_nights(self, nights: float, start: datetime | None = None) -> datetime:
        """The leaving hour (11:00, as for any stay without an hour) so many nights on. Raises: CannotBe for less than a night."""
        if round(nights) < 1:
            raise CannotBe("A stay is for one night at least, so nothing was recorded.")
        day = (start or self.now) + timedelta(days=round(nights))
        return day.replace(hour=11, minute=0, second=0, microsecond=0)

    def stay_longer(self, nights: float) -> datetime | None:
        """So many nights after the end of the stay as it was known, at its hour; from now if that is over or none was known."""
        ends = self.scene.stay_until
        if ends is None or ends <= self.now:
            return self.after_nights(nights) if nights > 0 else None
        until = ends + timedelta(days=round(nights))
        if until <= self.now:
            raise AskBack(f"{times.begun(times.exactly(until, self.now))} has passed. Until when do you stay?", "until")
        return until

    def end_of_stay(
        self, when: When | None, nights: float | None = None, start: datetime | None = None
    ) -> datetime | None:
        """The end of a stay: a day alone means 11:00 there; None if nothing was said."""
        if nights is not None:
            return self.after_nights(nights, start)
        if when is None:
            return None
        found = calendar.future(when, start or self.now, self.scene.stay_until)
        if found.problem:
            raise CannotBe(found.problem)
        if found.at is None:
            raise AskBack("Until when?", "until")
        at = found.at
        if at <= (start or self.now):
            raise AskBack(
                f"{times.begun(times.exactly(at, self.now))} has passed, so I kept nothing. Until when?", "until"
            )
        if when.strokes and when.day is not None and when.day <= 12 and at - self.now > DOUBTFUL:
            said = times.exactly(at, self.now)
            raise AskBack(f"That would be {said}. Until when? Say the month by its name.", "until")
        self._not_next_year(when, at)
        if not when.has_hour and when.seconds is None and not when.through:
            at = at.replace(hour=11, minute=0, second=0, microsecond=0)
        return at

    def world_at(self, at: datetime, without: Entry | None = None) -> World:
        """The world as it stood at an earlier moment; `without`: as if that event had not been logged."""
        world = self.world
        if self.recall is None or (without is None and (world.at is None or at >= world.at)):
            return world
        return self.recall.world(until=at, without=without)

    # tanks

    def tank(
        self, name: str | None, kinds: Sequence[str] = ("grey", "black", "fresh"), what: str = "Which tank"
    ) -> Tank:
        """The tank of that name, or the only one of these kinds; asks when several fit."""
        rig = self.world.rig
        if name is not None:
            found = rig.find(name)
            if found is None:
                same = [tank for tank in rig.tanks.values() if tank.kind == name]
                if len(same) == 1:
                    return same[0]
                if not rig.tanks:
                    return Tank(name, name if name in ("fresh", "grey", "black") else "grey", 0.0, told=False)  # type: ignore[arg-type]
                raise which_tank(name, rig)
            return found
        fitting = [tank for tank in rig.tanks.values() if tank.kind in kinds]
        if len(fitting) == 1:
            return fitting[0]
        if not fitting and len(kinds) == 1:
            return Tank(kinds[0], kinds[0], 0.0, told=False)  # type: ignore[arg-type]
        names = [tank.name for tank in fitting] or list(kinds)
        raise AskBack(f"{what}: {times.listed(names, 'or')}?", "tank", names)

    # amounts

    def unit(self, amount: Amount) -> str:
        """The unit of a volume: as said, or the person's own; a "gallon" of somebody who uses imperial is imperial."""
        told = self.booked_before("rig")  # "use litres, the shower took 8"
        system = (told or {}).get("units") or self.world.rig.units
        unit = amount.unit or UNIT_OF_SYSTEM[system]
        if system == "imperial" and unit in IMPERIAL:
            unit = f"imperial_{unit}"
        return unit

    def volume(self, amount: Amount, what: str = "How much was it", name: str = "litres") -> Volume:
        """Litres of a volume as said: a range is its middle, a bound or a vague amount is asked.

        Raises: AskBack; CannotBe for a negative amount or one that is no volume.
        """
        if amount.bound is not None:
            edge = "At most" if amount.bound == "at_most" else "At least"
            text = amount.text or str(amount.value)
            bounded = text.casefold().startswith(_BOUNDS)  # "less than 3 gal" says so itself
            text = text[0].upper() + text[1:] if bounded else f"{edge} {text}"
            raise AskBack(f"{text}: {what[0].lower()}{what[1:]}, about?", "amount")
        if amount.value is None:
            raise AskBack(f"{what}?", "amount")
        value = amount.value
        if value < 0 or (amount.high is not None and amount.high < value):
            raise CannotBe("An amount of water can't be less than nothing, so nothing was recorded.")
        unit = self.unit(amount)
        if unit == "tote":
            size = self.world.rig.tote_litres
            if size is None:
                raise AskBack("How much does the tote hold?", "amount")
            return Volume(value * size, said={"field": name, "value": value, "unit": "tote", "text": amount.text})
        middle = value if amount.high is None else (value + amount.high) / 2
        try:
            litres = units.to_litres(middle, unit)
        except (KeyError, ValueError) as problem:
            raise CannotBe(
                f"{times.begun(amount.text or unit)} is no amount of water that I can book, so nothing was recorded."
            ) from problem
        said = {"field": name, "value": middle, "unit": unit, "text": amount.text}
        return Volume(litres, amount.high is not None, said)


NOUNS = {"kilopascal": "pressure", "kilogram": "weight", "celsius": "temperature", "litre/minute": "flow"}


def measured(amount: Amount, usual: str, to: str) -> tuple[float, dict[str, Any]]:
    """What is no volume (pressure, weight, temperature, flow), in the unit `to`, and what was said. usual: the unit of a bare number.

    Raises: CannotBe if it measures something else.
    """
    value, unit = amount.value or 0.0, amount.unit or usual
    if amount.high is not None:  # a range is its middle
        value = (value + amount.high) / 2
    try:
        made = units.convert(value, unit, to)
    except (KeyError, ValueError) as problem:
        raise CannotBe(f"{times.begun(amount.text or unit)} is no {NOUNS[to]}, so nothing was recorded.") from problem
    return made, {"value": value, "unit": unit, "text": amount.text}


def draft(kind: str, at: datetime, said: Sequence[dict[str, Any] | None] = (), **fields: Any) -> Draft:
    """The fields of an event to be; None among `said` is left out."""
    own: Draft = {"kind": kind, "at": at, **fields}
    kept = tuple(one for one in said if one is not None)
    if kept:
        own["said"] = kept
    return own
