"""The parts of a fragment laid into the meaning that was asked about: an amount, a tank, a day, which of several.

Is not: whether the words are a reply at all (replies.py). May import: grammar.
"""

from __future__ import annotations

from grammar.intents import (
    Amount,
    Ask,
    Dump,
    Expect,
    Fill,
    Haul,
    Intent,
    Level,
    Party,
    ReadMeter,
    ResetMeter,
    ResetSomething,
    Rinse,
    SetTank,
    Stay,
    Stop,
    Use,
)
from grammar.read import read
from grammar.reading import Reading
from grammar.rejoinders import Amend, Fragment
from grammar.when import When
from state.lightclass import Any, replace

AMOUNT_FIELD = {"ReadMeter": "reading", "Flow": "volume", "Frost": "low", "Upkeep": "every"}


def of_bare_amount(amount: Amount, reply: Intent) -> Intent | None:
    if isinstance(reply, Use) and reply.amount is None:
        return replace(reply, amount=amount)
    if isinstance(reply, ReadMeter) and reply.reading is None:
        return replace(reply, reading=amount)
    for field_name in ("amount", "reading"):
        if getattr(reply, field_name, "none") is None:
            return replace(reply, **{field_name: amount})  # type: ignore[arg-type]
    return None


def said_together(amount: Amount, reply: Intent) -> Intent | None:
    """What the amount that was asked about and the reply say in one phrase, where that is more than their parts: "3" … "showers" counts them,
    "2 gallons" … "in fresh" may have gone in, "5 gallons" … "filled" is not to the brim."""
    words = f"{reply.text}, {amount.text}" if isinstance(reply, Fill) else f"{amount.text} {reply.text}"
    whole = read(words)
    found = whole.meanings[0] if isinstance(whole, Reading) and len(whole.meanings) == 1 else None
    if isinstance(found, Use):
        no_four = (
            isinstance(reply, Use) and reply.count is not None and found.count is None
        )  # "for showers", heard as a number
        return found if (found.count is not None and found.amount is None) or no_four else None
    return found if isinstance(found, Fill | Rinse) or (isinstance(found, Fragment) and found.tanks) else None


def until(asked: Intent, until: Any, nights: float | None) -> Intent:
    if isinstance(asked, Party):
        return replace(asked, until=until)
    return replace(asked, until=until, nights=nights)  # type: ignore[call-arg]


def laid_in(asked: Intent, reply: Fragment, slot: str, choices: tuple[str, ...]) -> Intent | None:
    """Lays the parts of a fragment into the meaning that was asked about; None if they do not fit it."""
    if (
        reply.when is not None
        and choices
        and reply == Fragment(when=When(day=reply.when.day, text=reply.when.text), text=reply.text)
    ):
        reply = Fragment(choice=reply.when.day)  # "2nd", where one of several was asked for
    if reply.choice is not None and (reply.tanks or reply.meter):
        reply = replace(reply, choice=None)  # "black first": an order, no choice
    if reply.choice is not None:
        if not 1 <= reply.choice <= len(choices):
            return None
        chosen = choices[reply.choice - 1]
        reply = replace(reply, choice=None)
        reply = replace(reply, meter="inlet") if chosen == "meter" else replace(reply, tanks=(chosen,))
    if isinstance(asked, ResetSomething):
        if reply.meter is not None:
            return ResetMeter(meter=reply.meter)
        return Dump(tanks=reply.tanks, every=reply.every) if reply.tanks or reply.every else None
    if isinstance(asked, Fragment):
        return _of_fragments(asked, reply)
    if isinstance(asked, Amend):
        if asked.whole is not None:
            whole = laid_in(asked.whole, reply, slot, choices)
            return None if whole is None else replace(asked, whole=whole)
        return _of_correction(asked, reply)
    if isinstance(asked, Haul) and reply.tanks:
        reply = _of_the_tote(reply)
    changed = asked
    if reply.every:
        if not isinstance(asked, Dump):
            return None
        changed = replace(asked, every=True, text="")
    if reply.tanks:
        if isinstance(asked, Dump):
            changed = replace(asked, tanks=reply.tanks, every=False)
        elif isinstance(asked, SetTank) and reply.tanks[0] in ("fresh", "grey", "black"):
            named = reply.tanks[0] if asked.tank == "waste" else asked.tank  # "which waste tank is that?"
            changed = replace(asked, tank=named, kind=reply.tanks[0])  # type: ignore[arg-type]
        elif hasattr(changed, "tank"):
            changed = replace(changed, tank=reply.tanks[0])  # type: ignore[call-arg]
        else:
            return None
    if reply.unit is not None:
        name = AMOUNT_FIELD.get(type(asked).__name__, "amount")
        said = getattr(asked, name, None)
        if not isinstance(said, Amount) or said.value is None:
            return None
        changed = replace(changed, **{name: replace(said, unit=reply.unit, text="")})  # type: ignore[arg-type]
    if reply.amount is not None:
        name = AMOUNT_FIELD.get(type(asked).__name__, "amount")
        if isinstance(asked, Party) and reply.amount.value is not None:
            changed = replace(asked, people=reply.amount.value)
        elif isinstance(asked, Haul) and slot == "tank" and not reply.tanks:
            return None
        elif isinstance(asked, Use) and slot == "count" and reply.amount.unit is None:
            many = _whole(reply.amount)
            return replace(asked, count=many, several=False) if many else None
        elif hasattr(changed, name):
            changed = replace(changed, **{name: _in_unit(reply.amount, getattr(asked, name))})  # type: ignore[arg-type]
        else:
            return None
    for name in (
        "activity",
        "people",
        "meter",
        "count",
        "minutes",
        "site",
        "water",
        "sewer",
        "where",
        "open",
        "source",
        "item",
        "basis",
    ):
        value = getattr(reply, name)
        if value not in (None, ()):
            if not hasattr(changed, name):
                return None
            changed = replace(changed, **{name: value})
            if name == "activity" and isinstance(changed, Use):
                changed = replace(changed, unknown_activity=None)
    if reply.unknown is not None:
        if not isinstance(changed, Use):
            return None
        changed = replace(changed, activity=None, unknown_activity=reply.unknown)
    moment = reply.until or reply.when
    if moment is not None:
        if isinstance(changed, (Stay, Ask)) or (slot == "until" and hasattr(changed, "until")):
            changed = replace(changed, until=moment)  # type: ignore[call-arg]
        elif isinstance(changed, (Stop, Expect)) and slot == "when":
            changed = replace(changed, start=moment)
        else:
            changed = replace(changed, when=moment)
    return None if changed == asked else changed


def _of_the_tote(reply: Fragment) -> Fragment:
    """ "Grey, and the tote was full", where it was asked which tank it was: how full is said of the tote."""
    amount = reply.amount
    if amount is None or amount.unit != "fraction" or not (amount.value == 1 or reply.item == "tote"):
        return reply
    return replace(reply, item=None, amount=None if amount.value == 1 else replace(amount, unit="tote"))


def _of_correction(asked: Amend, reply: Fragment) -> Amend:
    """More words on what is to be changed: they stand in place of those that they are about."""
    told: dict[str, Any] = {
        name: value for name in FRAGMENT if (value := getattr(reply, name)) not in (None, (), False)
    }
    if reply.until is not None and reply.when is None:
        told["when"] = None  # "no, Saturday" … "until Saturday"
    if reply.amount is not None:
        told["amount"] = _in_unit(reply.amount, asked.change.amount)
    return replace(asked, change=replace(asked.change, **told))


FRAGMENT = ("when", *Fragment.__annotations__)


def _whole(amount: Amount) -> int:
    """How many of something: "three", not "two and a half"; 0 if it counts nothing."""
    plain = amount.value is not None and amount.high is None and amount.value >= 1
    return int(amount.value or 0) if plain and amount.value == int(amount.value or 0) else 0


def _in_unit(new: Amount, old: Amount | None) -> Amount:
    """A bare number in reply keeps the unit that was said before: "shower used 200 litres" … "I meant 20"."""
    if new.unit is None and old is not None and old.unit is not None and old.value is not None:
        return replace(new, unit=old.unit, each=old.each or new.each)
    return replace(new, each=True) if old is not None and old.each else new


def _of_fragments(asked: Fragment, reply: Fragment) -> Intent | None:
    """A bare amount, and then what it was: "2 gallons" … "shower"; "41.5" … "the meter"."""
    amount = asked.amount or reply.amount
    if amount is None or (asked.amount is not None and reply.amount is not None) or (asked.tanks and reply.tanks):
        return None  # "grey is 36 gal" … "black 30": one more, and no word on the first
    together = said_together(amount, reply) if asked.amount is not None and not asked.activity else None
    if together is not None:
        return together
    if reply.activity is not None or asked.activity is not None:
        return Use(
            activity=reply.activity or asked.activity,
            amount=amount,
            people=reply.people or asked.people,
            when=asked.when,
        )
    if reply.meter is not None or reply.choice == 1:
        return ReadMeter(reading=amount, meter=reply.meter or "inlet", when=asked.when)
    if reply.tanks and amount.unit is not None:
        if amount.unit in ("fraction", "percent"):
            return Level(tank=reply.tanks[0], amount=amount, when=asked.when)
        return replace(asked, amount=amount, tanks=reply.tanks)  # what is in it, what went in, or what it holds?
    if reply.unknown is not None:
        return Use(unknown_activity=reply.unknown, amount=amount, when=asked.when)
    return None
