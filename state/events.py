"""The events of the log, one pydantic model a kind: the one place that says which fields an event has and what may stand in them.

Used where something enters: a turn that records, an import, a full check. Reading back from the log makes an `Entry` (entry.py),
which has the same fields and costs nothing. Quantities are litres, kilopascals, kilograms, degrees Celsius, times aware datetimes.
Field names and kinds are fixed by the project's interface; a change of shape needs a new `SCHEMA` and an upcast in migrations.py.
May import: pydantic, `entry`.
"""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, StringConstraints, TypeAdapter, model_validator

SCHEMA = 1

Name = Annotated[str, StringConstraints(min_length=1, max_length=80, strip_whitespace=True)]
Text = Annotated[str, StringConstraints(min_length=1, max_length=2000)]
Litres = Annotated[float, Field(ge=0, le=1e7, allow_inf_nan=False)]
Positive = Annotated[float, Field(gt=0, le=1e7, allow_inf_nan=False)]
MeterName = Literal["inlet", "rinse"]
TankKind = Literal["fresh", "grey", "black"]


class Said(BaseModel):
    """A quantity in the person's own words and unit, kept beside the litres: `value` None where it was a typical value."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    field: str
    value: float | None = None
    unit: str | None = None
    text: str = ""


class Event(BaseModel):
    """What every event has. `at`: when it happened, with its offset. `heard_at`: when it was logged. `heard`: the words."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    id: Annotated[str, StringConstraints(pattern=r"^[0-9a-z]{10,40}$")]
    kind: str
    at: AwareDatetime
    heard_at: AwareDatetime
    heard: str = ""
    said: tuple[Said, ...] = ()

    ONE_OF: ClassVar[tuple[str, ...]] = ()
    """Fields of which at least one must be told."""

    @model_validator(mode="after")
    def _one_is_told(self) -> Self:
        if self.ONE_OF and all(getattr(self, name) is None for name in self.ONE_OF):
            raise ValueError(f"one of {' and '.join(self.ONE_OF)} must be told")
        return self


class Use(Event):
    """`litres` is the total. `from_litres`, `to_litres`: meter readings around it, when it was measured so. `minutes`: as said."""

    kind: Literal["use"] = "use"
    activity: Name
    count: Annotated[int, Field(ge=1, le=1000)] = 1
    litres: Litres
    estimated: bool = False
    person: Name | None = None
    minutes: Positive | None = None
    from_litres: Litres | None = None
    to_litres: Litres | None = None


class Meter(Event):
    """`reset_before`: the reading is lower than the last because the meter was zeroed in between and nobody said so.
    `rolled_over`: because the counter went through its top. `before`: the reading opens a use still to be closed ("meter before the
    shower 12.3"); the activity is kept so that "after 14.6" can be completed."""

    kind: Literal["meter"] = "meter"
    meter: MeterName = "inlet"
    litres: Litres
    reset_before: bool = False
    rolled_over: bool = False
    before: Name | None = None


class MeterReset(Event):
    kind: Literal["meter_reset"] = "meter_reset"
    meter: MeterName = "inlet"


class Fill(Event):
    """`litres` None: not said. `to_full`: the tank is full afterwards. `through_meter`: the water ran through the inlet meter."""

    kind: Literal["fill"] = "fill"
    tank: Name = "fresh"
    litres: Litres | None = None
    to_full: bool = False
    estimated: bool = False
    through_meter: bool | None = None


class Dump(Event):
    kind: Literal["dump"] = "dump"
    tank: Name


class Haul(Event):
    kind: Literal["haul"] = "haul"
    tank: Name
    litres: Litres
    estimated: bool = False


class Level(Event):
    """`litres` or `fraction`. `basis`: who says so. `roughly`: "nearly", "about"."""

    ONE_OF = ("litres", "fraction")
    kind: Literal["level"] = "level"
    tank: Name
    litres: Litres | None = None
    fraction: Annotated[float, Field(ge=0, le=10, allow_inf_nan=False)] | None = None
    basis: Literal["seen", "sensor"] = "seen"
    roughly: bool = False
    estimated: bool = False


class Rinse(Event):
    """`minutes`: how long it runs from `at` on, when it was started or told by time (`litres` is then minutes times the flow)."""

    kind: Literal["rinse"] = "rinse"
    tank: Name = "black"
    litres: Litres
    minutes: Positive | None = None
    estimated: bool = False


class Arrive(Event):
    kind: Literal["arrive"] = "arrive"
    site: Name | None = None
    water: bool | None = None
    sewer: bool | None = None
    until: AwareDatetime | None = None


class Stay(Event):
    kind: Literal["stay"] = "stay"
    until: AwareDatetime


class Depart(Event):
    kind: Literal["depart"] = "depart"


class Supply(Event):
    kind: Literal["supply"] = "supply"
    source: Literal["hookup", "tank"] = Field(alias="from")


class Valve(Event):
    kind: Literal["valve"] = "valve"
    tank: Name
    open: bool


class Party(Event):
    kind: Literal["party"] = "party"
    people: Annotated[int, Field(ge=0, le=1000)]
    until: AwareDatetime | None = None


class Away(Event):
    kind: Literal["away"] = "away"
    until: AwareDatetime | None = None


class Back(Event):
    kind: Literal["back"] = "back"


class Pressure(Event):
    kind: Literal["pressure"] = "pressure"
    kpa: Annotated[float, Field(ge=0, le=100000, allow_inf_nan=False)]


class Flow(Event):
    kind: Literal["flow"] = "flow"
    litres_per_minute: Annotated[float, Field(gt=0, le=10000, allow_inf_nan=False)]


class Service(Event):
    kind: Literal["service"] = "service"
    item: Name


class Gear(Event):
    kind: Literal["gear"] = "gear"
    item: Name
    where: Literal["out", "stowed", "lost"]


class Rig(Event):
    """A fact of the rig. what=tank: tank, tank_kind, litres (gone: sold or removed). tote: litres, kilograms (tare).
    meter: meter, litres (where the counter rolls over). units: units. limit: of, value (kPa, kg, or a probability for `safety`).
    heater: litres. name: name."""

    kind: Literal["rig"] = "rig"
    what: Literal["tank", "tote", "meter", "units", "limit", "heater", "name"]
    tank: Name | None = None
    tank_kind: TankKind | None = None
    litres: Positive | None = None
    kilograms: Positive | None = None
    meter: MeterName | None = None
    units: Literal["us", "imperial", "metric"] | None = None
    of: Literal["pressure", "cargo", "water_weight", "safety"] | None = None
    value: Positive | None = None
    name: Name | None = None
    gone: bool = False


class Stop(Event):
    """A stop to come. `start` is called `from` outside."""

    kind: Literal["stop"] = "stop"
    site: Name | None = None
    start: AwareDatetime | None = Field(default=None, alias="from")
    until: AwareDatetime | None = None
    water: bool | None = None
    sewer: bool | None = None


class Expect(Event):
    """Known future. party: people (in all). absence. use: activity, count, litres. haul: tank, litres. dump: tank."""

    kind: Literal["expect"] = "expect"
    what: Literal["party", "absence", "use", "haul", "dump"]
    start: AwareDatetime | None = Field(default=None, alias="from")
    until: AwareDatetime | None = None
    people: Annotated[int, Field(ge=0, le=1000)] | None = None
    activity: Name | None = None
    count: Annotated[int, Field(ge=1, le=1000)] | None = None
    litres: Litres | None = None
    tank: Name | None = None
    estimated: bool = False


class Frost(Event):
    """`at` is when the low is expected."""

    kind: Literal["frost"] = "frost"
    low_celsius: Annotated[float, Field(ge=-90, le=60, allow_inf_nan=False)]


class Upkeep(Event):
    kind: Literal["upkeep"] = "upkeep"
    item: Name
    every_days: Annotated[float, Field(gt=0, le=36525, allow_inf_nan=False)] | None = None
    every_litres: Positive | None = None
    drop: bool = False
    snooze_until: AwareDatetime | None = None


class Step(Event):
    """An own step of a procedure; `mark` records walking through it (`done`, `skipped`)."""

    kind: Literal["step"] = "step"
    list: Name
    step: Text = Field(alias="text")
    before: Name | None = None
    after: Name | None = None
    drop: bool = False
    mark: Literal["done", "skipped", "open"] | None = None


class Teach(Event):
    """`means` is an activity, a tank or any words that the grammar knows."""

    kind: Literal["teach"] = "teach"
    word: Name
    means: Name


class Note(Event):
    kind: Literal["note"] = "note"
    note: Text = Field(alias="text")


class Undo(Event):
    """`of`: the ids taken back (all of a turn)."""

    kind: Literal["undo"] = "undo"
    of: str | tuple[str, ...]


class Redo(Event):
    """`of`: the id of the undo that is taken back."""

    kind: Literal["redo"] = "redo"
    of: str | tuple[str, ...]


class Amend(Event):
    """`of`: the event changed. The changed fields stand beside it under their own names; whoever writes one checks the changed event
    as a whole first. `at` is the moment of the changed event: moved if that is what was corrected, else as it was; `heard_at` tells
    when the correction was made."""

    model_config = ConfigDict(frozen=True, extra="allow", populate_by_name=True)
    kind: Literal["amend"] = "amend"
    of: str


MODELS: dict[str, type[Event]] = {
    model.model_fields["kind"].default: model
    for model in (
        Use, Meter, MeterReset, Fill, Dump, Haul, Level, Rinse, Arrive, Stay, Depart, Supply, Valve, Party, Away, Back, Pressure,
        Flow, Service, Gear, Rig, Stop, Expect, Frost, Upkeep, Step, Teach, Note, Undo, Redo, Amend,
    )
}  # fmt: skip

ENVELOPE = frozenset({"id", "kind", "at", "heard_at", "heard", "said"})


def names(kind: str) -> frozenset[str]:
    """The fields of that kind of event, under the names of the interface."""
    return frozenset(field.alias or name for name, field in MODELS[kind].model_fields.items())


_moment: TypeAdapter[datetime] = TypeAdapter(AwareDatetime)


def check(fields: dict[str, Any]) -> dict[str, Any]:
    """The fields of one event, checked against the model of its kind and brought to their types; defaults filled in.

    Keys are those of the interface (`from`, `text`). Raises ValueError (pydantic's ValidationError) if a field is wrong or unknown,
    KeyError if the kind is.
    """
    event = MODELS[fields["kind"]].model_validate(fields)
    checked = event.model_dump(by_alias=True)
    if checked["kind"] == "amend":
        for name in ("until", "from", "snooze_until"):
            if isinstance(checked.get(name), str) and checked[name] not in ("hookup", "tank"):
                checked[name] = _moment.validate_python(checked[name])
    return checked
