"""Numbers beside a use that may be readings of the meter: "shower 14.2 to 16.4", "shower (Lou) to 11.1".

May import: clause, intents.
"""

from __future__ import annotations

from grammar.intents import Amount
from grammar.pieces.clause import Clause


def up_to(clause: Clause) -> bool:
    """ "shower (Lou) to 11.1": where the meter stood after."""
    here = clause.index("amount")
    return here > 0 and clause.pieces[here - 1].kind == "word" and clause.pieces[here - 1].toks[0].text == "to"


def readings(amount: Amount) -> bool:
    """ "shower 14.2 to 16.4", "dishes: 0.0 -> 1.4": two readings of the meter; nobody says a range of gallons so finely."""
    low, high = amount.value, amount.high
    if low is None or high is None or amount.unit is not None or amount.each or amount.approx:
        return False
    if any(arrow in amount.text for arrow in ("->", "=>", "\u2192")):
        return True
    return low >= _LOWEST_READING and low != int(low) and high != int(high)


_LOWEST_READING = 5.0
