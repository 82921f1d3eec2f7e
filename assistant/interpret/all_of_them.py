"""Which tanks "both", "all three" and "all tanks" are: those for waste, where their number is the one that was said."""

from __future__ import annotations

import re

from assistant.interpret.context import Context
from assistant.say import times
from assistant.scene import AskBack
from state.world import Tank

_COUNTED = re.compile(
    r"\b(two|three|four|five|2|3|4|5) (?:of (?:them|the|my|our)\b|(?:waste |holding )?tanks\b)"
    r"|\ball (?:of )?(?:the )?(two|three|four|five|2|3|4|5)\b|\b(both|pair)\b",
    re.IGNORECASE,
)
_NUMBERS = {"two": 2, "both": 2, "pair": 2, "three": 3, "four": 4, "five": 5}


def all_meant(said: str, context: Context, what: str) -> list[Tank]:
    """The tanks for waste, where all are told of. what: the rest of the question which they were.

    Raises: AskBack, if the words count more or fewer than there are for waste.
    """
    waste = context.world.rig.waste()
    if not waste:
        raise AskBack('Which tank? I know none yet; tell me, say, "grey tank 36 gal".', "tank")
    found = _COUNTED.search(said)
    number = next((_NUMBERS.get(one.casefold(), 0) or int(one) for one in found.groups() if one), 0) if found else 0
    if number and number != len(waste):
        names = [tank.name for tank in waste]
        raise AskBack(f"I know {times.listed(names, 'and')} as tanks for waste. Which of them {what}?", "tank", names)
    return waste
