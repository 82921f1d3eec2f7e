"""Frames of the meters: readings, before and after a use, resets.

May import: clause, intents, deeds.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.frames.deeds import activity
from grammar.intents import Amount, Intent
from grammar.lightclass import Literal, replace
from grammar.pieces.clause import VOLUMES, Clause, frame
from grammar.pieces.piece_meanings import Counted


@frame(
    "reading", "METER",
    "amount counted when SAYS ISAT WENTFROM BEFORE AFTER ACT people between CHANGE SCENE DO WASH TAKEAWAY COST ARRIVE LOOK PARTICLE",
    rank=2, twice="amount", prefers="amount",
)  # fmt: skip
def reading(clause: Clause) -> Intent | None:
    between, amounts = clause.get("between"), clause.all("amount")
    before, after = clause.place("BEFORE"), clause.place("AFTER")
    if between is None and not (len(amounts) == 1 or (len(amounts) == 2 and before >= 0 and after >= 0)):
        return None
    if clause.value("METER") == "both" or (clause.word("PARTICLE") and not clause.word("LOOK")):
        return None
    meter: say.Meter = "rinse" if clause.value("METER") == "rinse" else "inlet"
    name, counted = activity(clause), clause.get("counted")
    many = int(counted.count) if counted is not None else None
    if any(amount.unit is not None and amount.unit not in VOLUMES for amount in amounts) or clause.word("DO", "base"):
        return None
    if not _only_doing(clause, "WASH"):
        return None
    if len(amounts) == 1 and amounts[0].high is not None and name and between is None:  # "meter 12 to 14 shower"
        between, amounts = (replace(amounts[0], high=None), Amount(amounts[0].high, amounts[0].unit)), []
    if between is not None:
        if amounts or not name:
            return None
        return say.Use(
            activity=name, count=many, before=between[0], after=between[1], people=clause.people, when=clause.when
        )
    if len(amounts) == 2 and name:
        first, second = amounts if before < after else amounts[::-1]
        return say.Use(activity=name, count=many, before=first, after=second, people=clause.people, when=clause.when)
    if len(amounts) != 1 or amounts[0].value is None or amounts[0].each or amounts[0].high is not None:
        return None
    if amounts[0].value == 0 and clause.pieces[0].kind == "amount":
        return None  # "zero the meter"
    moment: Literal["before", "after"] | None = "before" if before >= 0 else "after" if after >= 0 else None
    looked = clause.word("LOOK") is not None and name is None
    if moment is None and (name is not None or clause.words("ACT") or (clause.people and not looked)):
        return None
    if counted is not None:
        return _of_several(clause, counted, amounts[0], moment)
    people = () if looked and moment is None else clause.people  # whoever looked at it used nothing
    return say.ReadMeter(reading=amounts[0], meter=meter, moment=moment, activity=name, people=people, when=clause.when)


def _of_several(clause: Clause, counted: Counted, reading: Amount, moment: str | None) -> Intent | None:
    """ "meter 10 before two showers", "meter 14 after two showers"."""
    if moment is None or counted.amount is not None or counted.minutes is not None:
        return None
    before, after = (reading, None) if moment == "before" else (None, reading)
    return say.Use(
        counted.activity, count=int(counted.count), people=clause.people, before=before, after=after, when=clause.when
    )


@frame("a use, and the meter after it", "METER", "ACT amount people SAYS ISAT", rank=1)
def use_and_reading(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    """ "long shower, meter 6": what was done stands first, how much it took was not said, and the meter tells where it stands."""
    amount, named, here = clause.get("amount"), clause.words("ACT"), clause.place("METER")
    if len(named) != 1 or named[0].senses["ACT"].form != "noun" or clause.value("METER") != "inlet" or amount is None:
        return None
    told = clause.place("ACT") < here < clause.index("amount") == len(clause.pieces) - 1
    if not told or not clause.pieces[here - 1].has("COMMA") or amount.value is None or amount.high or amount.each:
        return None
    if amount.unit not in (None, *VOLUMES) or clause.when is not None:
        return None
    use = say.Use(activity=named[0].senses["ACT"].value, people=clause.people, done=True)
    return use, say.ReadMeter(reading=amount)


@frame("rolled over", "ROLLED", "METER amount when SAYS BE", rank=1, prefers="amount")
def rolled(clause: Clause) -> Intent | None:
    """ "the meter rolled over": no reset; where it stands now is asked, unless it is told."""
    amount = clause.volume()
    if clause.value("METER") == "both" or not (clause.word("METER") or clause.word("IT")):
        return None
    if clause.get("amount") is not None and (amount is None or amount.value is None or not clause.word("SAYS")):
        return None
    meter: say.Meter = "rinse" if clause.value("METER") == "rinse" else "inlet"
    return say.ReadMeter(reading=amount, meter=meter, rolled=True, when=clause.when)


@frame("after", "BEFORE AFTER", "amount ACT people when BE DO WASH SAYS ISAT", rank=1, twice="amount", prefers="amount")
def before_or_after(clause: Clause) -> Intent | None:
    """ "after 46.1", "before the shower 12.3": the meter goes without saying. An amount with a unit is no reading here."""
    amount, both = clause.volume(), clause.all("amount")
    if clause.words("SAYS") and not clause.has("IT"):
        return None
    if not _only_doing(clause, "WASH", "DO"):
        return None
    if len(both) > 1:
        return _around(clause, both)
    if amount is None or amount.value is None or amount.unit is not None or amount.high is not None:
        return None
    if not (any(char.isdigit() for char in amount.text) or "point" in amount.text or amount.value >= 10):
        return None
    if clause.words("ACT") and (activity(clause) is None or activity(clause) in ("cooking", "drinking", "coffee")):
        return None
    moment: Literal["before", "after"] = "before" if clause.word("BEFORE") else "after"
    return say.ReadMeter(
        reading=amount, moment=moment, activity=activity(clause), people=clause.people, when=clause.when
    )


def _only_doing(clause: Clause, *classes: str) -> bool:
    """ "after washing the dishes" names the use; "washed the dishes" and "do the dishes" are told or ordered by themselves."""
    told = [tok for cls in classes for tok in clause.words(cls) if not tok.has("ACT")]
    doing = all(any(one.form == "ing" for one in tok.senses.values()) for tok in told)
    return not told or (doing and bool(clause.words("ACT")))


def _around(clause: Clause, both: list[Amount]) -> Intent | None:
    """ "shower: before 8.2, after 10.4"."""
    name, before, after = activity(clause), clause.place("BEFORE"), clause.place("AFTER")
    if len(both) != 2 or name is None or before < 0 or after < 0 or any(one.unit or one.value is None for one in both):
        return None
    first, second = both if before < after else both[::-1]
    return say.Use(activity=name, before=first, after=second, people=clause.people, when=clause.when)


@frame("reset", "RESET TOZERO", "METER tanks when BACKZERO IT people TANKWORD DO PARTICLE", rank=2)
def reset(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    if clause.word("TOZERO") and not clause.word("RESET") and not clause.word("BACKZERO") and not clause.word("METER"):
        return None
    if clause.word("RESET", "ing"):
        return None
    if clause.word("METER"):
        if clause.tanks:
            return None
        both = clause.value("METER") == "both"
        names: tuple[say.Meter, ...] = ("inlet", "rinse") if both else (clause.value("METER") or "inlet",)  # type: ignore[assignment]
        return tuple(say.ResetMeter(meter=name, when=clause.when) for name in names)
    if clause.tanks:
        every = clause.tanks == ("*",)
        return None if clause.tanks == ("fresh",) else say.Dump(() if every else clause.tanks, every, when=clause.when)
    if clause.word("TANKWORD"):
        return say.Dump(when=clause.when)
    it = clause.word("IT") is not None or any(tok.text.endswith(" it") for tok in clause.words("RESET"))
    return say.ResetSomething(it=it, when=clause.when)
