"""The frame of cold to come: "low of 25 tonight", "it will freeze tomorrow".

May import: clause, intents.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.clause import Clause, frame

_DEGREES = ("degree", "celsius", "fahrenheit")


@frame("frost", "LOWTEMP amount", "amount when until ISAT THEREARE SAYS REPORTED SELF", rank=1)
def frost(clause: Clause) -> Intent | None:
    amount = clause.get("amount")
    if amount is None and clause.word("LOWTEMP", "cold") and clause.when is not None:
        return say.Frost(when=clause.when)  # "it will freeze tonight": how cold is to be asked
    if amount is None or not (clause.word("LOWTEMP") or (amount.unit in _DEGREES and clause.when)):
        return None
    if amount.unit not in (None, *_DEGREES):
        return None
    if (
        amount.unit is None
        and (clause.when is None or clause.when.now)
        and all(tok.text.endswith((" to", "hit", "reach")) for tok in clause.words("LOWTEMP"))
    ):
        return None  # "it's down to 50 now": a pressure, or what is left
    by = clause.get("until") if clause.index("until") >= 0 else None
    if by is not None and (clause.when is not None or clause.has("UNTIL", "TO", "THROUGH")):
        return None
    when = clause.when or by  # "low of -1 by dawn"
    if when is not None and "overnight" in when.text.casefold() and not clause.has("REPORTED"):
        when = replace(when, day_offset=0)  # the night to come
    return say.Frost(low=replace(amount, unit=None if amount.unit == "degree" else amount.unit), when=when)
