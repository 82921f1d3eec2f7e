"""Frames of what happens to water: uses, readings, fills, dumps, hauls, levels, rinses, valves, pressure and flow.

May import: clause, chunks, intents.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from grammar import intents as say
from grammar.clause import VOLUMES, Clause, frame
from grammar.intents import Amount, Intent

# Where two activities stand in one clause, the first of these names it ("gave the dog a bath" is for the dog).
FIRST = (
    "pets",
    "outside",
    "coffee",
    "teeth",
    "shave",
    "face",
    "handwash",
    "laundry",
    "dishes",
    "toilet",
    "bath",
    "shower",
    "cooking",
    "drinking",
)
VERBS = ("WASH.past", "DO.past", "USE.past", "COST.past", "FILL.past", "PUT.past", "TAKEAWAY.past")


def did(clause: Clause) -> bool:
    """Whether the clause has a verb that tells of something done."""
    return any(clause.word(*verb.split(".")) is not None for verb in VERBS)


def activity(clause: Clause) -> str | None:
    """The one activity of the clause, or None when there is none or two that do not go together."""
    named = list(dict.fromkeys(tok.senses["ACT"].value for tok in clause.words("ACT")))
    counted = clause.get("counted")
    if counted is not None:
        named = list(dict.fromkeys([counted.activity, *named]))
    if len(named) > 1:
        forms = {tok.senses["ACT"].value: tok.senses["ACT"].form for tok in clause.words("ACT")}
        verbs = [name for name in named if forms.get(name) in ("past", "ing", "base")]
        if "cleaning" in verbs or "drinking" in verbs:
            named = [name for name in named if name not in ("cleaning", "drinking")] or named
    if len(named) == 1:
        return named[0]
    pair = [name for name in FIRST if name in named]
    if len(named) == 2 and (
        pair[:1] == ["pets"] or pair[:1] == ["outside"] or set(named) in ({"handwash", "face"},) or len(pair) < 2
    ):
        return pair[0] if pair else None
    return None


@frame(
    "use",
    "ACT counted",
    "amount counted when people duration repeat between EACH TOTAL USE COST DO WASH FILL PUT TAKEAWAY MORE AFTER_ RUN VAGUE TANKLESS LOGGED",
)
def use(clause: Clause) -> Intent | None:
    name = activity(clause)
    if name is None:
        return None
    counted, amount, repeat = clause.get("counted"), clause.volume(), clause.get("repeat")
    raw = clause.get("amount")
    if raw is not None and amount is None:
        if raw.unit != "fraction":
            return None
        amount = raw
    count = int(counted.count) if counted else None
    if counted and counted.amount:
        amount = counted.amount
    forms = {tok.senses["ACT"].form for tok in clause.words("ACT")}
    alone = not (
        amount
        or counted
        or repeat
        or did(clause)
        or clause.when
        or clause.people
        or "past" in forms
        or clause.get("duration")
        or clause.get("between")
    )
    if alone or (forms == {"thing"} and not did(clause) and amount is None):
        return None
    if clause.word("USE", "pres", "base") is not None and not did(clause):
        return None  # "a shower takes 2 gallons" says what is usual, not what happened
    if clause.word("PUT") is not None and amount is None:
        return None  # "put the dishes away"
    if "base" in forms and not clause.word("USE", "past"):
        return None
    if "ing" in forms and amount is None and not did(clause):
        return None
    if clause.word("WASH", "base", "ing") is not None and not did(clause) and amount is None:
        return None
    if repeat:
        if count not in (None, 1) or repeat != int(repeat) or repeat < 1:
            return None
        count = int(repeat)
        before_amount = clause.index("amount") >= 0 and clause.index("amount") < clause.index("repeat")
        if amount is not None and before_amount:
            amount = replace(amount, each=True)
    if amount is not None and clause.word("EACH") is not None:
        amount = replace(amount, each=True)
    minutes = counted.minutes if counted and counted.minutes else None
    length = clause.get("duration")
    if length is not None:
        if length.unit not in ("second", "minute", "hour"):
            return None
        minutes = length.seconds / 60
    if clause.word("EACH") is not None and len(clause.people) > 1 and amount is not None:
        amount = replace(amount, each=True)
    if (
        amount is not None
        and amount.unit is None
        and amount.value is not None
        and count is None
        and _leads(clause)
        and _can_count(name)
    ):
        # "3 dish…" would be odd; a bare number before the activity counts it
        return None
    done = did(clause) or bool(forms & {"past", "ing"})
    before, after = clause.get("between") or (None, None)
    return say.Use(
        activity=name,
        amount=amount,
        count=count,
        people=clause.people,
        minutes=minutes,
        before=before,
        after=after,
        done=done,
        when=clause.when,
    )


def _leads(clause: Clause) -> bool:
    here = clause.index("amount")
    return 0 <= here < len(clause.pieces) - 1 and clause.pieces[here + 1].has("ACT")


def _can_count(name: str) -> bool:
    return name in ("shower", "bath", "toilet", "shave", "coffee")


@frame("use of anything", "USE.past", "amount when people FRESHLY TOTAL", rank=-1)
def use_bare(clause: Clause) -> Intent | None:
    amount = clause.volume()
    if amount is None:
        return None
    return say.Use(amount=amount, people=clause.people, when=clause.when)


@frame("use of a new kind", "NEWACT", "amount when people USE COST duration TOTAL", rank=-1)
def use_new(clause: Clause) -> Intent | None:
    amount = clause.volume()
    if amount is None or len(clause.words("NEWACT")) != 1:
        return None
    return say.Use(unknown_activity=clause.value("NEWACT"), amount=amount, people=clause.people, when=clause.when)


# ---------------------------------------------------------------- meters


@frame("reading", "METER", "amount when SAYS ISAT BEFORE AFTER ACT people between", rank=2, twice="amount")
def reading(clause: Clause) -> Intent | None:
    meter: say.Meter = "rinse" if clause.value("METER") == "rinse" else "inlet"
    amounts = [amount for amount in clause.all("amount") if amount.unit is None or amount.unit in VOLUMES]
    if not amounts and clause.get("amount") is not None and clause.when is not None:
        amounts = [clause.get("amount")]  # "meter at 12": the reading, not the hour
        when = None
    else:
        when = clause.when
    if len(amounts) != len(clause.all("amount")) and clause.all("amount"):
        return None
    before, after, name = clause.place("BEFORE"), clause.place("AFTER"), activity(clause)
    between = clause.get("between")
    if between is not None and not amounts:
        return (
            say.Use(activity=name, before=between[0], after=between[1], people=clause.people, when=clause.when)
            if name
            else None
        )
    if len(amounts) == 2 and before >= 0 and after > before and name:
        return say.Use(activity=name, before=amounts[0], after=amounts[1], people=clause.people, when=when)
    if len(amounts) != 1 or amounts[0].value is None:
        return None
    moment: Literal["before", "after"] | None = "before" if before >= 0 else "after" if after >= 0 else None
    if moment is None and (name is not None or clause.words("ACT") or clause.people):
        return None
    return say.ReadMeter(
        reading=amounts[0],
        meter=meter,
        moment=moment,
        activity=name,
        people=clause.people,
        when=when,
    )


@frame("after", "BEFORE AFTER", "amount ACT people METER when", rank=1)
def before_or_after(clause: Clause) -> Intent | None:
    """ "after 46.1", "before the shower 12.3": the meter goes without saying."""
    amount = clause.volume()
    if amount is None or amount.value is None or (clause.words("ACT") and activity(clause) is None):
        return None
    moment = "before" if clause.word("BEFORE") else "after"
    return say.ReadMeter(reading=amount, moment=moment, activity=activity(clause), people=clause.people)  # type: ignore[arg-type]


@frame("reset", "RESET TOZERO", "METER tanks when BACKZERO IT people TANKWORD DO", rank=2)
def reset(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    if clause.word("TOZERO") and not clause.word("RESET") and not clause.word("BACKZERO") and not clause.word("METER"):
        return None
    if clause.word("RESET", "ing"):
        return None
    if clause.word("METER"):
        return None if clause.tanks else say.ResetMeter(meter=clause.value("METER") or "inlet", when=clause.when)  # type: ignore[arg-type]
    if clause.tanks:
        return dump(clause)
    if clause.word("TANKWORD"):
        return say.Dump(when=clause.when)
    if clause.word("IT"):
        return say.ResetMeter(when=clause.when)
    return say.ResetSomething(when=clause.when)


# ---------------------------------------------------------------- waste and fresh


@frame("dump", "DUMP.past", "DUMPSITE SEWERHERE tanks when people TANKWORD IT DO BOTH VALVE", rank=1)
def dump(clause: Clause) -> Intent | None:
    if clause.word("IT") and clause.tanks:
        return None
    every = clause.tanks == ("*",)
    if "fresh" in clause.tanks and len(clause.tanks) == 1 and clause.word("RESET"):
        return None
    return say.Dump(tanks=() if every else clause.tanks, every=every, when=clause.when)


@frame(
    "haul",
    "HAUL.past TAKEAWAY.past",
    "tanks amount DUMPSITE TOTE AWAYTO AWAYWORD FULLNESS when people repeat TANKWORD DUMP",
    rank=1,
)
def haul(clause: Clause) -> Intent | None:
    if not clause.word("HAUL", "past") and not clause.word("AWAYTO") and not clause.has("TOTE"):
        return None
    amount, full = clause.get("amount"), clause.word("FULLNESS") is not None
    if amount is not None and amount.unit is not None and amount.unit not in VOLUMES | {"tote", "fraction"}:
        return None
    if amount is not None and amount.unit == "fraction" and not clause.has("TOTE"):
        return None
    if amount is not None and "full" in amount.text:
        full = True
    if amount is not None and amount.unit == "fraction":
        amount = replace(amount, unit="tote")
    if amount is None and clause.has("TOTE"):
        amount = Amount(float(clause.get("repeat") or 1), "tote")
    tanks = clause.tanks
    if len(tanks) > 1 or tanks == ("*",) or tanks == ("fresh",):
        return None
    return say.Haul(tank=tanks[0] if tanks else None, amount=amount, full=full, when=clause.when)


@frame(
    "fill",
    "FILL.past PUT.past",
    "tanks amount when people TOFULL FULLNESS TANKWORD HOOKUP RINSEPORT METER_ duration",
    rank=1,
)
def fill(clause: Clause) -> Intent | None:
    amount, tanks, filled = clause.volume(), clause.tanks, clause.word("FILL", "past") is not None
    if clause.get("amount") is not None and amount is None:
        return None
    if len(tanks) > 1 or tanks == ("*",):
        return None
    tank = tanks[0] if tanks else None
    if clause.word("RINSEPORT") or (tank not in (None, "fresh") and not filled):
        return _rinse(clause) if tank != "fresh" and amount is not None else None
    if (
        tank in ("grey", "black")
        or (not filled and amount is None and not clause.word("TOFULL"))
        or clause.get("duration")
    ):
        return None
    if not filled and tank is None and not clause.word("TANKWORD"):
        return None
    to_full = bool(clause.word("TOFULL") or clause.word("FULLNESS")) or (filled and amount is None)
    return say.Fill(tank=tank, amount=amount, to_full=to_full, when=clause.when)


@frame("rinse", "RINSE RINSEPORT", "tanks amount duration when people DO PUT USE TANKWORD RUN", rank=1)
def rinse(clause: Clause) -> Intent | None:
    if clause.word("RINSE", "base", "ing") and not clause.get("amount"):
        return None
    return _rinse(clause)


def _rinse(clause: Clause) -> Intent | None:
    tanks, length = clause.tanks, clause.get("duration")
    if (
        len(tanks) > 1
        or tanks in (("*",), ("fresh",))
        or not (tanks or clause.word("RINSEPORT") or clause.word("TANKWORD"))
    ):
        return None
    if clause.get("amount") is not None and clause.volume() is None:
        return None
    if length is not None and length.unit not in ("second", "minute", "hour"):
        return None
    minutes = length.seconds / 60 if length else None
    return say.Rinse(tank=tanks[0] if tanks else None, amount=clause.volume(), minutes=minutes, when=clause.when)


# ---------------------------------------------------------------- levels


@frame(
    "level",
    "FULLNESS amount",
    "tanks amount when SENSOR SAYS ISAT NEARLY ABOUT LEVELWORD LEFTOVER ROOM TANKWORD FULLNESS HAVE IN",
    rank=1,
)
def level(clause: Clause) -> Intent | None:
    tanks = clause.tanks
    if len(tanks) > 1 or tanks == ("*",) or not (tanks or clause.word("TANKWORD")):
        return None
    amount, full = clause.get("amount"), clause.value("FULLNESS")
    kind = _level_kind(clause)
    if amount is not None and amount.unit not in ("fraction", "percent") and kind is None:
        return None
    if amount is not None and amount.unit not in VOLUMES | {"fraction", "percent", None}:
        return None
    if full is not None:
        if amount is None:
            amount = Amount(float(full), "fraction", text=clause.word("FULLNESS").text)  # type: ignore[union-attr]
        elif amount.unit not in ("fraction", "percent") or amount.value is None:
            return None
        elif full == "0":
            amount = replace(amount, value=(1 if amount.unit == "fraction" else 100) - amount.value)
    if amount is None:
        return None
    return say.Level(
        tank=tanks[0] if tanks else None, amount=amount, basis="sensor" if clause.word("SENSOR") else "seen",
        nearly=clause.word("NEARLY") is not None, room=clause.has("ROOM"), when=clause.when,
    )  # fmt: skip


def _level_kind(clause: Clause) -> str | None:
    """What tells that a volume is a level and not a size: "at", "left", "room", a sensor."""
    if clause.word("ISAT") or clause.word("SENSOR") or clause.has("ROOM", "LEFTOVER") or clause.word("LEVELWORD"):
        return "level"
    amount = clause.get("amount")
    return "level" if (amount is not None and amount.text.casefold().startswith("at ")) or clause.word("SAYS") else None


# ---------------------------------------------------------------- valves, pressure, flow


@frame("valve", "VALVE", "tanks OPEN SHUT when people TANKWORD BE", rank=2)
def valve(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    opened, closed = clause.word("OPEN"), clause.word("SHUT", "past")
    if (opened is None) == (closed is None):
        return None
    if opened is not None and opened.senses["OPEN"].form == "base" and not clause.word("BE"):
        return None
    tanks = clause.tanks
    if tanks == ("*",):
        return None
    found = tuple(say.Valve(tank=tank, open=opened is not None, when=clause.when) for tank in tanks)
    return found or say.Valve(open=opened is not None, when=clause.when)


@frame("pressure", "PRESSURE amount", "amount SAYS ISAT when GEAR", rank=2)
def pressure(clause: Clause) -> Intent | None:
    amount = clause.get("amount")
    if amount is None or amount.value is None or amount.unit not in ("psi", "bar", "kilopascal", None):
        return None
    if amount.unit is None and not clause.word("PRESSURE"):
        return None
    if amount.unit is not None and not clause.word("PRESSURE") and not clause.word("SAYS") and not clause.word("BE"):
        return None
    return say.Pressure(amount=amount, when=clause.when)


RATES = frozenset(("gallon/minute", "litre/minute", "litre/second", "gallon/hour"))


@frame("flow", "FLOW amount", "amount ISAT SAYS COST TAKEAWAY duration DO when", rank=2)
def flow(clause: Clause) -> Intent | None:
    amount, length = clause.get("amount"), clause.get("duration")
    if amount is None or amount.value is None:
        return None
    if amount.unit in RATES and length is None:
        return say.Flow(rate=amount, when=clause.when)
    if (
        amount.unit in VOLUMES
        and length is not None
        and length.unit in ("second", "minute")
        and (clause.word("COST") or clause.word("FLOW"))
    ):
        return say.Flow(volume=amount, seconds=length.seconds, when=clause.when)
    return None
