"""Guests who were expected, fewer of them or none after all: the plan of theirs changed or taken back.

May import: `context`, `corrections`, grammar's rejoinders, state.
"""

from __future__ import annotations

from assistant.interpret import trip
from assistant.interpret.context import Context, Draft, draft
from assistant.interpret.plausible import checked
from assistant.interpret.which_entry import STANDS
from assistant.scene import AskBack
from grammar.rejoinders import Guests


def guests(meaning: Guests, context: Context) -> list[Draft]:
    """ "no guests after all", "only one guest": those who were expected, taken back or fewer. Which ones is asked where there are several."""
    world = context.world
    ahead = [
        row
        for row in world.expected
        if row["what"] == "party" and (row["until"] or row["start"] or context.now) >= context.now
    ]
    if not ahead:
        raise AskBack("I expect no guests so far. Say for example: two guests from Friday to Sunday.", "statement")
    if len(ahead) > 1:
        raise AskBack(
            "Which guests? I expect some more than once; take one back by saying undo, or tell them anew.", "statement"
        )
    target = context.as_they_are([ahead[0]["id"]]).get(ahead[0]["id"])
    people = int(meaning.people) + world.people
    if target is None or (meaning.people and target.get("people") == people):
        raise AskBack(STANDS, "statement")
    if meaning.named and not any(name in target.heard.casefold() for name in meaning.named):
        context.guard("other-guests", f'Do you mean the guests of "{target.heard}"?', "statement")
    if meaning.people == 0:
        return [draft("undo", context.now, of=target.id)]
    if people > trip.MOST_PEOPLE:
        context.guard("many-people", f"{people} people aboard: is it right?", "count")
    return [checked(target, {"people": people}, context)]
