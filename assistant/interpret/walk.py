"""Walking through a procedure by voice: next, done, skip, back, what's left, why. The marks are events, so it can go on tomorrow."""

from __future__ import annotations

from assistant.interpret.context import Context, Draft, draft
from assistant.scene import Answer, AskBack, Scene
from grammar.intents import Ask, Back, Intent
from grammar.rejoinders import Walk

OF_A_LIST = {"do", "forget", "open", "missing", "else"}


def _walks(scene: Scene) -> bool:
    """Whether a procedure was just asked about, or is going on."""
    from state.care import checklist

    return scene.last.get("topic") == "checklist" or checklist.going_on(scene.world, scene.now) is not None


def step_on(meaning: Walk, context: Context) -> tuple[list[Draft], Answer]:
    """The mark to record (if any) and what to say then. Asks which procedure when none is going on."""
    from assistant.answers import checklist as answers
    from state.care import checklist

    world, now = context.world, context.now
    shown = context.scene.last.get("list") if context.scene.last.get("topic") == "checklist" else None
    name = shown or checklist.going_on(world, now)
    if name is None:
        raise AskBack("Which list: arriving, leaving or dumping?", "statement")
    walked = checklist.walk(world, str(name), now, meaning.word, meaning.item)
    drafts = []
    if walked.mark is not None:
        key, mark = walked.mark
        drafts.append(draft("step", now, list=name, text=key, mark=mark))
    return drafts, answers.walked(str(name), walked, context.scene)


BACK_WORDS = frozenset({"back", "go back", "one back", "step back", "back one", "go back one", "back up"})


def as_walking(meaning: Intent, text: str, scene: Scene) -> Intent:
    """A bare "back" just after a step of a procedure means the step before, not that the crew is back aboard; "what else" just after
    a forecast means the other ways, not what is left of a procedure."""
    if isinstance(meaning, Walk) and meaning.word == "left" and scene.last.get("topic") in ("make_it", "what_if"):
        return Ask(topic="make_it", subject="others", text=meaning.text)
    if (
        isinstance(meaning, Walk)
        and meaning.word == "left"
        and not _walks(scene)
        and not set(text.casefold().split()) & OF_A_LIST
    ):
        return Ask(topic="status", text=meaning.text)  # "what's left?"
    if (
        isinstance(meaning, Back)
        and scene.last.get("topic") == "checklist"
        and " ".join(text.casefold().split()).strip(".!") in BACK_WORDS
    ):
        return Walk(word="back", text=meaning.text)
    return meaning
