"""Procedures: what to do arriving, leaving, dumping, sanitising, before frost; walked through one step at a time.

May import: state, assistant.say, assistant.scene, assistant.answers.rinse, grammar.intents.
"""

from __future__ import annotations

from assistant.answers import rinse as rinse_answers
from assistant.say import amounts, times
from assistant.scene import Answer, AskBack, CannotBe, Scene
from grammar.intents import Ask
from state.care import checklist, frost, procedures
from state.care import rinse as rinsing
from state.care.checklist import Item, Walked
from state.lightclass import Any

CAUTIONS = {"dumping": ("waste-hygiene", "rinse-backflow"), "sanitising": ("bleach",)}
OTHER_NAMES = {
    "arrival": "arriving", "arrive": "arriving", "hooking up": "arriving", "setup": "arriving", "departure": "leaving",
    "depart": "leaving", "leave": "leaving", "packing up": "leaving", "dump": "dumping", "rinse": "dumping", "rinsing": "dumping",
    "sanitise": "sanitising", "sanitize": "sanitising", "sanitizing": "sanitising", "frost": "freezing", "winterising": "freezing",
}  # fmt: skip


def list_name(words: str | None) -> str:
    """The list that the words name; unknown ones stay as they are (an owner's own list)."""
    said = (words or "leaving").casefold()
    return OTHER_NAMES.get(said, said)


def answer(ask: Ask, scene: Scene) -> Answer:
    """Where the procedure stands and its next step. Raises AskBack for a list that is neither ours nor the owner's."""
    name = list_name(ask.subject)
    items = checklist.steps(scene.world, name, scene.now)
    if not items:
        raise AskBack(
            f"I have no list called {name}. Which one: {times.listed(checklist.names(scene.world), 'or')}?", "list"
        )
    walked = checklist.walk(scene.world, name, scene.now, "left")
    return Answer(_opening(name, walked, scene), facts(name, walked), _cautions(name, scene), memo(name))


def _cautions(name: str, scene: Scene) -> tuple[str, ...]:
    """The hazards of a list; for frost in the degree of the low that was told, so that it is not said twice."""
    if name == "freezing":
        cold = frost.ahead(scene.world, scene.now)
        return (f"frost:{cold[0] if cold and cold[0] == 'hard' else 'frost'}",)
    return CAUTIONS.get(name, ())


def memo(name: str) -> dict[str, Any]:
    return {"topic": "checklist", "list": name}


def facts(name: str, walked: Walked) -> dict[str, Any]:
    return {
        "topic": "checklist",
        "list": name,
        "steps": [
            {"step": one.text, "key": one.key, "state": one.state, "own": one.own, "why": one.why}
            for one in walked.items
        ],
        "open": len(walked.open),
        "complete": walked.complete,
        "obstacles": [
            {"what": one.reference, "items": list(one.items), "since": one.since} for one in walked.obstacles
        ],
    }


def _opening(name: str, walked: Walked, scene: Scene) -> str:
    if walked.at is None:
        return _finished(name, walked, scene)
    n, done = len(walked.items), len(walked.items) - len(walked.open)
    step = _step(walked.items[walked.at], scene, name)
    if not done:
        head = f"{name.capitalize()}, {amounts.counted(n, 'step')}; say done, skip, back or why. First: {step}"
    else:
        head = f"{name.capitalize()}: {done} of {n} seen to. Next: {step}"
    outside = obstacle_words(walked)
    return f"{head} {outside}".rstrip()


def _step(item: Item, scene: Scene, name: str) -> str:
    """The step's words, with what is known about it beside them."""
    beside = ""
    if item.key == "gear" and scene.world.gear_out:
        beside = f" (out now: {times.listed(sorted(scene.world.gear_out))})"
    elif item.key in ("close", "black-close", "grey-close") and scene.world.open_valves:
        beside = f" (open now: {times.listed(sorted(scene.world.open_valves))})"
    elif item.key == "rinse" and name == "dumping":
        beside = _rinse_beside(scene)
    return f"{item.text}{beside}."


def _rinse_beside(scene: Scene) -> str:
    black = scene.world.rig.of_kind("black")
    if len(black) != 1 or black[0].name.casefold() in scene.world.open_valves:
        return ""
    found = rinsing.limit(scene.world, scene.now, black[0])
    return f" (closed, no more than {rinse_answers.whole(found.litres, scene)})" if found.litres > 0 else ""


def obstacle_words(walked: Walked) -> str:
    """ "Still outside: hose and regulator. Still open: the grey valve." """
    parts = []
    for one in walked.obstacles:
        things = times.listed(list(one.items))
        if one.reference == "gear-out":
            parts.append(f"Still outside: {things}.")
        elif one.reference == "valve-open":
            parts.append(f"Still open: the {things} valve{'s' if len(one.items) > 1 else ''}.")
        else:
            parts.append(f"The {things} rinse is still running.")
    return " ".join(parts)


def _finished(name: str, walked: Walked, scene: Scene) -> str:
    skipped = [one.text for one in walked.skipped]
    text = f"That was all of {name}" if walked.complete else f"All steps of {name} are seen to, but it is not finished"
    text += f"; skipped: {'; '.join(skipped)}." if skipped else "."
    outside = obstacle_words(walked)
    if outside:
        text += f" {outside} Put it right, then tell me."
    elif name == "leaving" and not scene.world.stay.on_the_road:
        text += " Say we left when you pull out."
    return text


def walked(name: str, step: Walked, scene: Scene) -> Answer:
    """What is said after one word of walking. Raises AskBack when the named step was not found, CannotBe when there is no such list."""
    if not step.items:
        raise CannotBe(f"I have no list called {name}.")
    if step.unknown is not None:
        raise AskBack(
            f"I find no single step about {step.unknown} in {name}. Which one is it? Or say done, skip, what's left.",
            "step",
        )
    return Answer(_said(name, step, scene), facts(name, step), (), memo(name))


def _said(name: str, walked: Walked, scene: Scene) -> str:
    if walked.word == "why":
        place = walked.shown if walked.shown is not None else walked.at
        return f"{_sentence(walked.items[place].why)}" if place is not None else _finished(name, walked, scene)
    if walked.word == "stop":
        return f"Stopped with {amounts.counted(len(walked.open), 'step')} open; say {name} to go on."
    done_before = walked.mark is None and walked.word in ("next", "done", "all", "skip")
    if walked.at is None and done_before and walked.complete:
        return f"All of {name} was gone through already, so nothing is recorded."
    if walked.at is None:
        return f"{_missed(walked)} {_finished(name, walked, scene)}".strip()
    if walked.word == "left":
        return _left(name, walked)
    missed = _missed(walked)
    if missed:
        return f"{missed} Next: {_step(walked.items[walked.at], scene, name)}"
    step = _step(walked.items[walked.at], scene, name)
    if walked.word == "back":
        return f"Back to: {step}" if walked.mark else f"That is the first step: {step}"
    return f"Next: {step}" if len(walked.open) > 1 else f"Last: {step}"


def _missed(walked: Walked) -> str:
    """A word against leaving out a step on which others rely; nothing for any other."""
    key, mark = walked.mark or ("", "open")
    if mark != "skipped" or key not in procedures.BETTER_DONE:
        return ""
    why = next(one.why for one in walked.items if one.key == key)
    return f"Better not left out: {why}. Say back to do it."


TOLD = 3
"""So many open steps are read out at most; the rest is counted."""


def _left(name: str, walked: Walked) -> str:
    rows = [one.text for one in walked.open]
    more = f"; and {len(rows) - TOLD} more" if len(rows) > TOLD + 1 else ""
    shown = "; ".join(rows[:TOLD] if more else rows)
    outside = obstacle_words(walked)
    return f"{amounts.counted(len(rows), 'step').capitalize()} left of {name}: {shown}{more}. {outside}".strip()


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
