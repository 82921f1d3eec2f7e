"""Walking through a procedure by voice: next, done, skip, back, what's left, why. The marks are events, so it can go on tomorrow."""

from __future__ import annotations

from assistant.answers import checklist as answers
from assistant.interpret.context import Context, Draft, draft
from assistant.scene import Answer, AskBack
from grammar.intents import Walk
from state import checklist


def step_on(meaning: Walk, context: Context) -> tuple[list[Draft], Answer]:
    """The mark to record (if any) and what to say then. Asks which procedure when none is going on."""
    world, now = context.world, context.now
    shown = context.scene.last.get("list") if context.scene.last.get("topic") == "checklist" else None
    name = shown or checklist.going_on(world, now)
    if name is None:
        raise AskBack("Which list: arriving, leaving or dumping?", "statement")
    walked = checklist.walk(world, str(name), now, meaning.word, meaning.item)
    drafts = []
    if walked.mark is not None:
        key, mark = walked.mark
        drafts.append(draft("step", now, list=name, step=key, mark=mark))
    return drafts, answers.walked(str(name), walked, context.scene)
