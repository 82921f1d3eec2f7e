"""What is said back to Ullage: corrections of what was booked, replies to what it asked, words of walking through a list.

They are meanings like those of `intents`, but mean something only after what went before. May import: intents, when.
"""

from __future__ import annotations

from grammar.intents import Amount, Intent, Meter
from grammar.lightclass import Literal, dataclass, replace
from grammar.when import When


@dataclass(frozen=True)
class Undo(Intent):
    """`count`: "undo the last two". `what`: a kind or activity named with it ("undo the dishes"), or `reading`, of a meter or a tank.
    `both`: of the two told last, in one turn or in two. `whose`: of that person ("remove Lena's shower").
    `twin`: one of two that are alike ("I logged the shower twice"). `several`: more than one may be meant ("delete the showers").
    Which of several: `amount` ("the five gallon shower"), `nth` ("the second fill"; -1: one that is not the last), `when`."""

    count: int = 1
    what: str | None = None
    both: bool = False
    whose: str | None = None
    twin: bool = False
    several: bool = False
    amount: Amount | None = None
    nth: int | None = None


@dataclass(frozen=True)
class Redo(Intent):
    pass


@dataclass(frozen=True)
class Again(Intent):
    """ "same again", "and another", "the same for Joss". `tanks`: the same of those ("grey too").
    `activity`: as much for that ("the same for the dishes"). `repeat`: "repeat that", which may ask to hear the answer once more."""

    tanks: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    amount: Amount | None = None
    count: int | None = None
    activity: str | None = None
    repeat: bool = False


@dataclass(frozen=True)
class Fragment(Intent):
    """Words that mean something only as the reply to a question or as the changed part of the last event: "grey", "both",
    "the second one", "about three", "on Sunday". `choice`: 1-based place in what was offered. `unit`: alone, of the number that was
    said before ("make it litres"). `longer`: a length on top of one told before ("another week"). `only`: the number has no unit and so many
    it were, no more ("only one"), which may count what was told."""

    amount: Amount | None = None
    only: bool = False
    unit: str | None = None
    tanks: tuple[str, ...] = ()
    every: bool = False
    activity: str | None = None
    people: tuple[str, ...] = ()
    meter: Meter | None = None
    count: int | None = None
    minutes: float | None = None
    longer: bool = False
    choice: int | None = None
    site: str | None = None
    water: bool | None = None
    sewer: bool | None = None
    until: When | None = None
    where: Literal["out", "stowed"] | None = None
    open: bool | None = None
    source: Literal["hookup", "tank"] | None = None
    item: str | None = None
    basis: Literal["seen", "sensor"] | None = None
    unknown: str | None = None

    def of_a_site(self) -> bool:
        """Whether it tells of hookups or of the end of a stay, and of nothing else."""
        rest = replace(self, water=None, sewer=None, until=None, text="")
        return rest == Fragment() and (self.water, self.sewer, self.until) != (None, None, None)


@dataclass(frozen=True)
class Amend(Intent):
    """ "make that 3", "no, dishes", "I meant yesterday", "that was Ana"; `change` has the parts that replace the last event's.
    `whole`: the correction is a full statement of its own ("no, I dumped black"). `sure`: said so that it can be nothing but a
    correction ("make that", "I meant"); "it was black" may be about something else. `took`: "it took 12 gal" tells what went through
    whatever was told last, and corrects no reading. `whose`: of the use of that person, "" for the one who speaks
    ("mine was 8"), "he" and "she" for the one who was named last.
    `named`: the activity of the change tells which use it is, and stays ("the cooking was 2 litres, not 1").
    `of`: which entry it is of, named as one that is taken back ("Bo's shower on Saturday was two gallons, not five").
    `by_name`: the use is spoken of as one that is known ("no, the shower was 3"); `that_was`: it is what the last one really was ("no,
    that was the shower").
    `every`: all that was told lately ("those were yesterday"). `partly`: what was dumped or filled was not so to the end ("not quite").
    `times`: so many times what was said ("double that"). `without`: of the tanks told of, the one named was not meant ("not black").
    `no_others`: of those told of, only the ones named ("no, only Ana"). `was`: what was told before of the `whole` and is not so ("the meter
    was 45.1, not 41.5")."""

    change: Fragment = Fragment()
    whole: Intent | None = None
    sure: bool = True
    took: bool = False
    whose: str | None = None
    named: bool = False
    of: Undo | None = None
    by_name: bool = False
    that_was: bool = False
    every: bool = False
    partly: bool = False
    times: float | None = None
    without: bool = False
    no_others: bool = False
    was: Fragment | None = None


@dataclass(frozen=True)
class Yes(Intent):
    pass


@dataclass(frozen=True)
class No(Intent):
    """`cancel`: "never mind", "forget it"."""

    cancel: bool = False


@dataclass(frozen=True)
class Walk(Intent):
    """A word of walking through a checklist: next, done, all ("done all of it"), skip, back, left ("what's left"), stop.
    `item`: "done with the hose"."""

    word: Literal["next", "done", "all", "skip", "back", "left", "stop", "why"] = "next"
    item: str | None = None


@dataclass(frozen=True)
class Guests(Intent):
    """How many of the guests who were expected come after all; 0: none of them. `named`: who was named for it ("mum isn't coming")."""

    people: float = 0.0
    named: tuple[str, ...] = ()
