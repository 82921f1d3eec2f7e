"""Frames of a rinse through the rinse port: how much, how long, at what flow.

May import: clause, intents.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.intents import Amount, Intent
from grammar.pieces.clause import Clause, frame


@frame(
    "rinse",
    "RINSE RINSEPORT",
    "tanks amount duration when people DO PUT FILL USE TANKWORD RUN TAKEAWAY SCENE PARTICLE UNTIL COST",
    rank=1,
)
def rinse(clause: Clause) -> Intent | None:
    if any(tok.text != "through to" for tok in clause.words("UNTIL")):
        return None
    if clause.word("RINSE", "base", "ing") and not clause.word("RINSE", "noun", "past") and not clause.get("amount"):
        return None
    return a_rinse(clause)


@frame("run", "USE.past TAKEAWAY.past RUN.past", "duration IT when USE TAKEAWAY RUN", rank=1)
def ran_it(clause: Clause) -> Intent | None:
    """ "ran it five minutes": the rinse, most likely, which is asked where it was not spoken of."""
    length, ran = clause.get("duration"), any(tok.text == "ran" for tok in clause.words("USE"))
    if not ran or length is None or length.unit not in ("second", "minute") or clause.word("IT") is None:
        return None
    return say.Rinse(minutes=length.seconds / 60, it=True, when=clause.when)


def _rinsed(clause: Clause) -> str | None:
    """The tank in "black flush"; None where the rinse names none."""
    named = [tok for tok in (clause.word("RINSE", "noun"), clause.word("RINSEPORT")) if tok is not None]
    return "black" if any("black" in tok.text for tok in named) else None


def _a_tank_rinse(clause: Clause) -> bool:
    """ "ran the tank rinse for four gallons": which tank goes without saying, or is asked."""
    tok = clause.word("RINSE", "noun")
    return tok is not None and "tank" in tok.text and clause.get("amount") is not None


def _rinsed_it(clause: Clause) -> bool:
    """ "gave it a rinse with 6 gallons"."""
    return (
        clause.word("RINSE", "noun") is not None
        and clause.word("DO", "past") is not None
        and clause.word("IT") is not None
    )


def a_rinse(clause: Clause) -> Intent | None:
    """Whether a clause with a rinse in it tells which tank, and how much; None if not."""
    tanks, length = clause.tanks, clause.get("duration")
    if (
        len(tanks) > 1
        or tanks in (("*",), ("fresh",))
        or not (
            tanks
            or clause.word("RINSEPORT")
            or clause.word("TANKWORD")
            or _rinsed(clause)
            or _rinsed_it(clause)
            or _a_tank_rinse(clause)
        )
    ):
        return None
    if length is not None and length.unit not in ("second", "minute", "hour"):
        return None
    minutes = length.seconds / 60 if length else None
    amount = clause.volume() or _ran_through(clause.get("amount"), minutes)
    if clause.get("amount") is not None and amount is None:
        return None
    tank = tanks[0] if tanks else _rinsed(clause)
    return say.Rinse(tank=tank, amount=amount, minutes=minutes, when=clause.when)


def _ran_through(rate: Amount | None, minutes: float | None) -> Amount | None:
    """ "for five minutes at 3 gallons a minute": what ran in that time."""
    if rate is None or rate.value is None or rate.unit is None or minutes is None:
        return None
    unit, _, per = rate.unit.partition("/")
    times = {"second": 60.0, "minute": 1.0, "hour": 1 / 60}.get(per)
    return Amount(value=rate.value * minutes * times, unit=unit, text=rate.text) if times else None
