"""What was not understood lately: kept in the log on this machine only, so that the owner can teach a word for it."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.scene import Answer
from state.log.store import Turn

MOST = 8
LOOK_BACK = 2000
"""How many turns back are looked at."""


def answer(turns: Sequence[Turn]) -> Answer:
    """The phrases, newest first, each once.

    Args: turns: the last ones of the log, latest last.
    """
    missed = list(dict.fromkeys(turn.heard for turn in reversed(turns) if turn.outcome == "not_understood"))
    facts = {"topic": "help", "subject": "misses", "phrases": missed}
    if not missed:
        return Answer("I understood everything so far.", facts)
    lines = "\n".join(f"  {phrase}" for phrase in missed[:MOST])
    return Answer(
        f"Not understood lately:\n{lines}\nTo teach a word say, for example: when I say suds I mean dishes.", facts
    )
