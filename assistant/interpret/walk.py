"""Walking through a procedure by voice: next, done, skip, back, what's left, why. The marks are events, so it can go on tomorrow."""

from __future__ import annotations

from datetime import datetime

from assistant.interpret.context import Context, Draft, draft
from assistant.scene import Answer, AskBack, Scene
from grammar.intents import Ask, Back, Gear, Intent, Stay
from grammar.rejoinders import Fragment, Walk
from state.entry import Entry
from state.lightclass import Any

OF_A_LIST = {"do", "forget", "open", "missing", "else"}


def _walks(scene: Scene) -> bool:
    """Whether a procedure was just asked about, or is going on."""
    from state.care import checklist

    return scene.last.get("topic") == "checklist" or checklist.going_on(scene.world, scene.now) is not None


OFFERED = "offers"
"""In the memory of a turn: the procedure of which it told ("say frost for the steps")."""
_FORECASTS = ("make_it", "what_if", "runway", "plan")


def at_hand(scene: Scene) -> str | None:
    """The procedure that the talk or the hour is about: the one shown or offered last; arriving, just after an arrival; the one that
    is being gone through; frost ahead; leaving, on the last day."""
    from state.care import checklist, frost

    world, now = scene.world, scene.now
    named = scene.last.get("list") if scene.last.get("topic") == "checklist" else scene.last.get(OFFERED)
    if named is not None:
        return str(named)
    here = None if world.stay.on_the_road else world.stay.since
    if here is not None and now - here <= checklist.SETTING_UP and _is_open("arriving", scene):
        return "arriving"
    going = checklist.going_on(world, now)
    if going is not None:
        return going
    cold = frost.ahead(world, now)
    if cold is not None and cold[0] != "near" and _is_open("freezing", scene):
        return "freezing"
    ends = scene.stay_until
    return "leaving" if ends is not None and ends.date() == now.date() else None


def _is_open(name: str, scene: Scene) -> bool:
    from state.care import checklist

    return checklist.current(checklist.steps(scene.world, name, scene.now)) is not None


def _of_what_to_do(meaning: Ask, scene: Scene) -> Intent:
    """ "What do I have to do", "walk me through it": the procedure at hand; what is due, or the ways out, where there is none."""
    unnamed = meaning.topic == "checklist" and meaning.subject == "at hand"
    words = meaning.text.casefold()
    walks = meaning.topic == "explain" and words.startswith(("walk", "talk"))
    ways = (
        meaning.topic == "make_it"
        and meaning.subject == "ways"
        and scene.last.get("topic") not in _FORECASTS
        and " do " in f"{words} "
    )
    if not unnamed and not walks and not ways:
        return meaning
    name = at_hand(scene)
    if name is not None:
        return Ask(topic="checklist", subject=name, text=meaning.text)
    if unnamed and "step" in words:
        raise AskBack(WHICH, "list")
    if unnamed and words.rstrip("?").split()[-1] in ("next", "now"):
        return Ask(topic="make_it", subject="ways", text=meaning.text)
    return Ask(topic="due", text=meaning.text) if unnamed else meaning


WHICH = "Which list: arriving, leaving, dumping, freezing or sanitising?"


def about(meant: list[Entry], tank: str | None) -> dict[str, Any]:
    """What the talk is about after something was booked: the tank that moved, with the procedure that was told of beside it; the list that
    is walked, after a mark of it was taken back."""
    marked = [one.list for one in meant if one.kind == "step" and one.get("mark")]
    if marked:
        return {"topic": "checklist", "list": marked[-1]}
    if any(one.kind == "frost" for one in meant):
        from state.care import frost

        if any(one.kind == "frost" and frost.stage(one.low_celsius) in ("frost", "hard") for one in meant):
            return {"topic": "status", "tank": tank, OFFERED: "freezing"}
    return {"topic": "status", "tank": tank}


def ends_today(drafts: list[Draft], now: datetime) -> bool:
    """Whether a stay is told that ends on this day: it is time for the list of leaving."""
    return any(one["kind"] == "stay" and one["until"].date() == now.date() for one in drafts)


def _leaves_now(meaning: Stay, now: datetime) -> bool:
    """ "Leaving today", said when the usual hour has passed: the stay ends soon, and nothing tells when."""
    until = meaning.until
    return until is not None and until.day_offset == 0 and not until.has_hour and now.hour >= LEAVING_HOUR


LEAVING_HOUR = 11


def all_in(meaning: Intent, context: Context) -> Intent:
    """ "Everything is in": all that is known to be outside is stowed."""
    out = tuple(sorted(context.world.gear_out))
    plain = isinstance(meaning, Fragment) and meaning.where == "stowed" and meaning.every
    return Gear(items=out, where="stowed", text=meaning.text) if plain and out else meaning


def step_on(meaning: Walk, context: Context) -> tuple[list[Draft], Answer]:
    """The mark to record (if any) and what to say then. Asks which procedure when none is going on."""
    from assistant.answers import checklist as answers
    from state.care import checklist

    world, now = context.world, context.now
    shown = context.scene.last.get("list") if context.scene.last.get("topic") == "checklist" else None
    name = shown or checklist.going_on(world, now)
    offered = context.scene.last.get(OFFERED)
    if offered is not None and meaning.item is None and (name is None or shown is None):
        return [], answers.answer(
            Ask(topic="checklist", subject=str(offered)), context.scene
        )  # no step of it was told yet
    if name is None:
        raise AskBack(WHICH, "statement")
    walked = checklist.walk(world, str(name), now, meaning.word, meaning.item)
    drafts = []
    for key, mark in walked.marks:
        drafts.append(draft("step", now, list=name, text=key, mark=mark))
    return drafts, answers.walked(str(name), walked, context.scene)


BACK_WORDS = frozenset({"back", "go back", "one back", "step back", "back one", "go back one", "back up"})


def as_walking(meaning: Intent, text: str, scene: Scene) -> Intent:
    """A bare "back" just after a step of a procedure means the step before, not that the crew is back aboard; "what else" just after
    a forecast means the other ways, not what is left of a procedure."""
    if isinstance(meaning, Ask):
        return _of_what_to_do(meaning, scene)
    if isinstance(meaning, Stay) and _leaves_now(meaning, scene.now):
        return Ask(topic="checklist", subject="leaving", text=meaning.text)
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
