"""What an answer may look at: the folded world, the moment, the history, the units; and what an answer is.

Answers get a `Scene` and a meaning, and give an `Answer`; they never touch the log or the clock.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from assistant.past import Past
from assistant.say import amounts, times
from grammar import when as calendar
from grammar.when import Moment, When
from state.entry import Entry
from state.lightclass import Any, dataclass, field
from state.water import belief
from state.world import Rig, World


class AskBack(Exception):
    """An answer that cannot be given until something is known: `text` is the question, as a person reads it. `memo`: what the
    conversation is to remember meanwhile (a rinse that runs by the clock). `cautions`: as of an answer."""

    def __init__(
        self,
        text: str,
        slot: str = "",
        choices: Sequence[str] = (),
        memo: dict[str, Any] | None = None,
        cautions: tuple[str, ...] = (),
    ) -> None:
        super().__init__(text)
        self.text, self.slot, self.choices, self.memo, self.cautions = text, slot, tuple(choices), memo or {}, cautions


class CannotBe(Exception):
    """Understood, but impossible: 30 February, a stop that ends before it begins."""


def which_tank(name: str, rig: Rig) -> AskBack:
    """The question back about a tank that the rig has not: which of those it has; or its size, if it has none of the kind."""
    known = [tank.name for tank in rig.tanks.values()]
    if name.casefold() in SIZES or not known:
        size = SIZES.get(name.casefold(), SIZES["grey"])[rig.units == "metric"]
        return AskBack(
            f"I know no {name} tank yet. If there is one, tell me its size: {name} tank {size}.", "statement"
        )
    return AskBack(f"I know no {name} tank here. Which one: {times.listed(known, 'or')}?", "tank", known)


SIZES = {"fresh": ("40 gal", "150 litres"), "grey": ("36 gal", "135 litres"), "black": ("30 gal", "110 litres")}
"""Sizes as one might say them, for examples only; each kind of tank has one. common practice, no source"""


@dataclass
class Answer:
    """`facts` are the interface's (`topic` among them). `memo`: what "why" and "what about Thursday" need of this answer."""

    text: str
    facts: dict[str, Any] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    memo: dict[str, Any] = field(default_factory=dict)


SPANS = (2, 14, 100)
"""Days back that are looked through, one after the other, for what is usually found lately."""


class Scene:
    """world: folded to the last event. now: aware. `past`: the history. `last`: memo of the last answered question (topic, tank,
    until …), for follow-ups and "why"."""

    def __init__(
        self,
        world: World,
        now: datetime,
        past: Past | Callable[[], Sequence[Entry]],
        last: dict[str, Any] | None = None,
    ) -> None:
        self.world, self.now, self.last = world, now, last or {}
        self.past = past if isinstance(past, Past) else Past(past)
        self._belief: belief.Belief | None = None

    @property
    def entries(self) -> Sequence[Entry]:
        """All the events that count, oldest first. Reads the whole log: `since` and `lately` do with less."""
        return self.past.all()

    def since(self, moment: datetime) -> Sequence[Entry]:
        """The events that count and happened at that moment or later, oldest first."""
        return self.past.since(moment)

    def lately(self, enough: Callable[[Sequence[Entry]], bool], before: datetime | None = None) -> Sequence[Entry]:
        """The latest events that count, as many as are enough: from two days back, two weeks, a hundred days, or all.

        before: the moment from which it is counted back; left out, it is now.
        """
        for days in SPANS:
            found = self.since((before or self.now) - timedelta(days=days))
            if enough(found):
                return found
        return self.entries

    @property
    def belief(self) -> belief.Belief:
        if self._belief is None:
            self._belief = belief.believe(self.world, self.now)
        return self._belief

    @property
    def units(self) -> str:
        return self.world.rig.units

    @property
    def people(self) -> int:
        """How many are aboard now."""
        return self.world.aboard(self.now)

    @property
    def stay_until(self) -> datetime | None:
        return self.world.stay.until

    # words

    def amount(self, litres: float) -> str:
        """ "about 21 gal"."""
        return amounts.about(litres, self.units)

    def rounded(self, litres: float) -> str:
        """ "21 gal"."""
        return amounts.rounded(litres, self.units)

    def exact(self, litres: float) -> str:
        """ "2.25 gal"."""
        return amounts.exact(litres, self.units)

    def moment(self, at: datetime) -> str:
        """ "Sunday evening"."""
        return times.moment(at, self.now)

    def day(self, at: datetime) -> str:
        """ "tomorrow", "Sunday", "Sunday 21 June"."""
        return times.day(at, self.now)

    def exactly(self, at: datetime) -> str:
        """ "Friday at 10:00"."""
        return times.exactly(at, self.now)

    def dated_exactly(self, at: datetime) -> str:
        """ "Friday 19 June at 10:00"."""
        return f"{times.full_day(at, self.now)} at {times.clock(at.astimezone(self.now.tzinfo))}"

    # moments

    def future(self, when: When) -> Moment:
        """The moment meant; raises CannotBe if there is none, AskBack if it is the end of a stay nobody told."""
        found = calendar.future(when, self.now, self.stay_until)
        if found.problem:
            raise CannotBe(found.problem)
        if found.at is None:
            raise AskBack("Until when do you stay?", "until")
        return found

    def dated(self, when: When | None, until: datetime) -> str:
        """The moment asked about with its date, where another date could have been meant: "Friday 19 June"; else nothing."""
        if when is None or not self.future(when).say_date:
            return ""
        day = times.full_day(until, self.now)
        return f"{day} at {times.clock(until)}" if when.has_hour else day

    def until(self, when: When | None) -> datetime:
        """The end asked about: as said, or the end of the stay; raises AskBack if neither is known or it has passed."""
        if when is not None:
            at = self.future(when).at
            assert at is not None
            return at
        if self.stay_until is None or self.stay_until <= self.now:
            raise AskBack("Until when? Say a day, or tell me until when you stay.", "until")
        return self.stay_until
