"""Frames of the practitioner's round: a rinse begun, gear lost, a reminder put off.

May import: clause, chunks, intents.
"""

from __future__ import annotations

from itertools import pairwise

from grammar import intents as say
from grammar.intents import Intent
from grammar.pieces.clause import Clause, frame
from grammar.pieces.piece_meanings import Length


@frame("rinse begun", "RINSE.ing STARTRUN", "tanks duration TANKWORD RINSE RUN RINSEPORT", rank=2)
def rinse_begun(clause: Clause) -> Intent | None:
    length, tanks = clause.get("duration"), clause.tanks
    if (
        not isinstance(length, Length)
        or length.unit not in ("second", "minute")
        or not clause.has("RINSE")
        or clause.word("RINSE", "past")
    ):
        return None
    if len(tanks) > 1 or tanks in (("*",), ("fresh",)):
        return None
    return say.Rinse(tank=tanks[0] if tanks else None, minutes=length.seconds / 60, starting=True)


@frame("rinse stopped", "RINSEOFF", "tanks", rank=2)
def rinse_stopped(clause: Clause) -> Intent | None:
    tanks = clause.tanks
    return say.Rinse(tank=tanks[0] if len(tanks) == 1 and tanks != ("*",) else None, stopped=True)


@frame("gear lost", "LOST.past", "GEAR METER SERVICE COMMA when TOTE PARTICLE")
def gear_lost(clause: Clause) -> Intent | None:
    items = tuple(dict.fromkeys(tok.text for piece in clause.pieces for tok in piece.toks if tok.has("GEAR")))
    here = any(one.has("HAVE") and not after.has("LOST") for one, after in pairwise(clause.pieces))
    return (
        say.Gear(items=items, where="lost", when=clause.when) if items and not here else None
    )  # "we have the hose, …"


@frame("snooze", "SNOOZE", "duration SERVICE SANITISE TANKWORD tanks", rank=2)
def snooze(clause: Clause) -> Intent | None:
    length = clause.get("duration")
    item = clause.value("SERVICE") or ("sanitise" if clause.word("SANITISE") else None)
    if (
        item is None
        or not isinstance(length, Length)
        or length.unit in ("second", "minute", "hour")
        or length.seconds <= 0
    ):
        return None
    return say.Upkeep(item=item, snooze_days=length.seconds / 86400)
