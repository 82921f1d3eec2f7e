"""What a phrase tells or asks, in its own terms: with `rejoinders` and `reading` all that leaves this package.

Frozen dataclasses named after what was said. Nothing here knows a tank's size, today's date, the log or the rig: a bare number
has no unit, "Sunday" has no date, "dumped" has no tank. `assistant.interpret` turns these into events or a question.
May import: the standard library only.
"""

from __future__ import annotations

from grammar.lightclass import Literal, dataclass, field
from grammar.when import When

Meter = Literal["inlet", "rinse"]
Bound = Literal["at_most", "at_least"]
TankKind = Literal["fresh", "grey", "black"]
KINDS: dict[str, TankKind] = {"fresh": "fresh", "grey": "grey", "black": "black"}
"""The kind of a tank that is called by it; a tank with a name of its own is none of them."""


@dataclass(frozen=True)
class Amount:
    """A quantity as said. `unit` is a canonical name of words/units.txt (`gallon`, `litre`, `psi`, `celsius`, `tote`, `percent`, `fraction`
    ("half", "3/4", "full" = 1)), a pair like `gallon/minute` for a rate, or None for a bare number.
    value: None for a vague amount ("some", "a few"). high: the upper end of a range "2 to 3" (value is the lower)."""

    value: float | None
    unit: str | None = None
    high: float | None = None
    bound: Bound | None = None
    approx: bool = False
    each: bool = False
    text: str = ""


@dataclass(frozen=True)
class Intent:
    """Base of every meaning. `text`: the words of the phrase this came from. `person`s and other names keep the case as typed;
    for dictated lower case the reader capitalises each word."""

    text: str = field(default="", kw_only=True)
    when: When | None = field(default=None, kw_only=True)


# ---------------------------------------------------------------- statements of fact (these may become events)


@dataclass(frozen=True)
class Use(Intent):
    """`activity` None: none was named ("used 3 gal"). `unknown_activity`: a name that is no known activity ("rock tumbling"). `count`: None when not
    said. `minutes`: "showered for five minutes". `everyone`: all aboard, or all of `people`, did it, each once, or `count` times ("everybody brushed
    their teeth"). `several`: more than one, and how many was not said ("the kids had baths, 4 gallons each"; with `count`, how many times each).
    `before`/`after`: meter readings around it; one of the two when the other comes in another phrase. Amounts without `each` are the total of the
    clause. `done` False: a bare noun ("laundry on Thursday, 8 gal"), which a coming day makes a plan and a past day a report (`when.nearer` tells
    which side a day lies on); None: rather a plan ("washing the car on Saturday"). `like`: as much as `last` time, as `usual`, `yesterday`, `last
    night`, `this morning`. `known`: of one spoken of before: its `amount` ("the dishes were 2"), whose or when it was (`other`: "the shower was
    Ana"); `perhaps`: or a new one ("8 gallons for the bath"); `only`: those alone ("only one shower"). `more`: expressly one more."""

    activity: str | None = None
    unknown_activity: str | None = None
    amount: Amount | None = None
    count: int | None = None
    people: tuple[str, ...] = ()
    minutes: float | None = None
    before: Amount | None = None
    after: Amount | None = None
    done: bool | None = True
    everyone: bool = False
    several: bool = False
    like: str | None = None
    known: Literal["amount", "other", "perhaps", "only"] | None = None
    more: bool = False


@dataclass(frozen=True)
class ReadMeter(Intent):
    """`rolled`: the counter went through its top and began again at nought."""

    reading: Amount | None = None
    meter: Meter = "inlet"
    moment: Literal["before", "after"] | None = None
    activity: str | None = None
    people: tuple[str, ...] = ()
    rolled: bool = False


@dataclass(frozen=True)
class ResetMeter(Intent):
    meter: Meter = "inlet"


@dataclass(frozen=True)
class ResetSomething(Intent):
    """A bare "reset": which, the meter or a tank? `it`: "reset it", of what was told just before."""

    it: bool = False


@dataclass(frozen=True)
class Fill(Intent):
    """Water put in the fresh tank (or the one named). `to_full`: "filled", "to the brim". `fetched`: brought to the rig, into which tank is
    not said. `it`: "filled it up"; `again`: "filled it up again". `reading`: what the meter said after it ("…, meter 62")."""

    tank: str | None = None
    amount: Amount | None = None
    to_full: bool = False
    fetched: bool = False
    it: bool = False
    again: bool = False
    reading: Amount | None = None


@dataclass(frozen=True)
class Dump(Intent):
    """`tanks` empty and `every` false: no tank was named. `every`: "both tanks", "everything". `it`: "let it out"."""

    tanks: tuple[str, ...] = ()
    every: bool = False
    it: bool = False


@dataclass(frozen=True)
class Haul(Intent):
    """`amount` may have the unit `tote` ("a full tote", "two totes"); `full` tells that a tote was said to be full. `runs`: how many
    times it went; the amount is that of all runs unless it is marked `each`."""

    tank: str | None = None
    amount: Amount | None = None
    full: bool = False
    runs: int | None = None


@dataclass(frozen=True)
class Level(Intent):
    """`amount.unit` is `fraction`, `percent` or a volume. `nearly`: "nearly full", "almost empty" (amount then holds 1 or 0).
    `room`: the amount is what still fits, not what is there ("grey has room for 10 gallons"). `every`: all waste tanks alike."""

    tank: str | None = None
    every: bool = False
    amount: Amount | None = None
    basis: Literal["seen", "sensor"] = "seen"
    nearly: bool = False
    room: bool = False


@dataclass(frozen=True)
class Rinse(Intent):
    """`starting`: it begins now and runs for `minutes` ("rinsing black for four minutes"), so that a countdown may run; otherwise it is over
    ("rinsed for four minutes"). `stopped`: it was shut off. `it`: "ran it four minutes"."""

    tank: str | None = None
    amount: Amount | None = None
    minutes: float | None = None
    starting: bool = False
    stopped: bool = False
    it: bool = False


@dataclass(frozen=True)
class Arrive(Intent):
    """`loose`: "we're here", "Cedar Flat has sewer": only where an arrival is looked for. `named`: no word tells of coming there."""

    site: str | None = None
    water: bool | None = None
    sewer: bool | None = None
    until: When | None = None
    nights: float | None = None
    loose: bool = False
    named: bool = False


@dataclass(frozen=True)
class Stay(Intent):
    """`longer`: `nights` go on top of the stay as known ("two more nights"; below 0: "a day early"). `left`: if `until` is over, they left."""

    until: When | None = None
    nights: float | None = None
    longer: bool = False
    left: bool = False


@dataclass(frozen=True)
class Depart(Intent):
    site: str | None = None


@dataclass(frozen=True)
class Supply(Intent):
    """`loose`: "hooked up", without to what: the water most likely."""

    source: Literal["hookup", "tank"] = "tank"
    loose: bool = False


@dataclass(frozen=True)
class Valve(Intent):
    tank: str | None = None  # "*": every one; "both": two of them
    open: bool = True


@dataclass(frozen=True)
class Party(Intent):
    people: float | None = 2  # None: it has changed, and how many they are now was not said
    until: When | None = None
    bare: bool = False  # nothing but who ("just me"), which may be about what was told last


@dataclass(frozen=True)
class Away(Intent):
    """`bare`: without where to or what for ("we're off"), perhaps a departure. `hours`: for how long; `longer`: so much on top of it as told."""

    until: When | None = None
    bare: bool = False
    hours: float | None = None
    longer: bool = False


@dataclass(frozen=True)
class Back(Intent):
    """`to_come`: "be back at six" beside "heading out": when they mean to return."""

    to_come: bool = False


@dataclass(frozen=True)
class Pressure(Intent):
    amount: Amount | None = None


@dataclass(frozen=True)
class Flow(Intent):
    """Either `rate` ("2 gpm", unit `gallon/minute`) or a `volume` that took `seconds`."""

    rate: Amount | None = None
    volume: Amount | None = None
    seconds: float | None = None


@dataclass(frozen=True)
class Service(Intent):
    """`item` is one of the contract's or the owner's own words."""

    item: str = ""


@dataclass(frozen=True)
class Gear(Intent):
    items: tuple[str, ...] = ()  # "*": all of it
    where: Literal["out", "stowed", "lost"] = "out"
    got: bool = False  # fetched: taken in, if it is known to be outside


@dataclass(frozen=True)
class SetTank(Intent):
    """`tank` is the tank's name, `kind` fresh, grey or black. `second`: a further tank of its kind. `doubtful`: no word says that it is a
    size ("fresh 34 gal, grey 28"); of a tank that is known it may be how much is in it."""

    tank: str = ""
    kind: TankKind | None = None
    amount: Amount | None = None
    second: bool = False
    gone: bool = False
    doubtful: bool = False


@dataclass(frozen=True)
class SetRig(Intent):
    """Any other fact of the rig. `what`: `tote`, `units`, `limit`, `heater`, `name`. `of`: for a limit `pressure`, `cargo`, `water_weight`,
    `safety`; for a tote `tare`, of its empty weight. `value`: for units `us`, `imperial`, `metric`; for a name the name."""

    what: str = ""
    of: str | None = None
    amount: Amount | None = None
    value: str | None = None


@dataclass(frozen=True)
class Stop(Intent):
    """A stop to come, stated as settled. `loose`: "we go to Elm Hollow on Sunday", perhaps no more than an outing."""

    site: str | None = None
    start: When | None = None
    until: When | None = None
    nights: float | None = None
    water: bool | None = None
    sewer: bool | None = None
    loose: bool = False


@dataclass(frozen=True)
class Expect(Intent):
    """Settled future: `what` is `party`, `absence`, `use`, `haul` or `dump`."""

    what: str = ""
    start: When | None = None
    until: When | None = None
    nights: float | None = None
    people: float | None = None
    more: bool = False
    activity: str | None = None
    count: int | None = None
    tank: str | None = None
    amount: Amount | None = None


@dataclass(frozen=True)
class Frost(Intent):
    low: Amount | None = None


@dataclass(frozen=True)
class Upkeep(Intent):
    """`drop`: the owner no longer wants the reminder; `snooze_days`: put it off."""

    item: str = ""
    every_days: float | None = None
    every: Amount | None = None
    drop: bool = False
    snooze_days: float | None = None


@dataclass(frozen=True)
class Step(Intent):
    list: str = "leaving"
    step: str = ""
    before: str | None = None
    after: str | None = None
    drop: bool = False


@dataclass(frozen=True)
class Teach(Intent):
    """`means` None: a name was given to something that the last turn did not know ("call it rock tumbling")."""

    word: str = ""
    means: str | None = None


@dataclass(frozen=True)
class Note(Intent):
    note: str = ""


# ---------------------------------------------------------------- questions and what is not a report


@dataclass(frozen=True)
class Change:
    """One altered habit of a what-if. `what`: `skip`, `minutes`, `amount`, `party`, `absence`, `haul`, `dump`, `use`, `late`, `fill`,
    `often` (`count` times a day, by `people` of those aboard; None: each), `share` (`amount`: the part of all use that is left, or litres
    a day), `rain`. `people` of those aboard, or the guests (`more`), skip; all where neither is said. `count`: also of errands, of days
    without, and of uses, below 0 for so many fewer. `a_day`: how often an errand is done, if again and again."""

    what: str
    activity: str | None = None
    amount: Amount | None = None
    minutes: float | None = None
    count: float | None = None
    people: float | None = None
    more: bool = False
    tank: str | None = None
    when: When | None = None
    until: When | None = None
    a_day: float | None = None


@dataclass(frozen=True)
class Ask(Intent):
    """A question. `topic` is the contract's `facts.topic`. `when` is the moment or span asked about; `until` the end.
    `subject`: what in particular (for history: `dump`, `fill`, `where`, `site`, `pressure`, `notes`, `taste`…; for help: the topic;
    for dose: `drinking`, `drinking cloudy`, `hose`…; for weight: `tote`, `limit`, `departure`; for due: an item, or `calendar`; for
    rinse_limit: `running`; for checklist: the list's name; for show: `tanks`, `forecast`, `week`). `percent`: strength of bleach;
    `ppm`: how much of it the water is to have.
    `count`: "the last ten"; for runway with the subject `supply`, of an `amount` as said, the people. `again`: "what about Thursday?".
    For showers: `minutes`, how long each may be; for activity: `a day`, what is used in all. `minutes`: how long one use lasts."""

    topic: str = "status"
    tank: str | None = None
    activity: str | None = None
    people: tuple[str, ...] = ()
    until: When | None = None
    amount: Amount | None = None
    nights: float | None = None
    count: int | None = None
    subject: str | None = None
    site: str | None = None
    changes: tuple[Change, ...] = ()
    again: bool = False
    percent: float | None = None
    ppm: float | None = None
    minutes: float | None = None


@dataclass(frozen=True)
class NotAReport(Intent):
    """Understood, but nothing that has happened to this rig: never booked. `why`: `negation`, `doubt`, `intention`, `hypothesis`, `question`,
    `reminder`, `other_people`, `elsewhere`, `reported`, `kept` (not undone), `remark`, `over`, `name` ("I'm Ana"), `greeting`, `farewell`…."""

    why: str = "intention"
    inner: Intent | None = None
