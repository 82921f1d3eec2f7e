"""Which module answers which topic, each loaded when it is first asked for; and the questions that lean on the last one."""

from __future__ import annotations

from datetime import datetime, timedelta
from importlib import import_module

from assistant.answers.words import noun
from assistant.scene import Answer, AskBack, Scene
from assistant.standing import Standing
from grammar.intents import Ask
from grammar.reading import Reading
from grammar.when import When
from state.lightclass import Any, replace

MODULES = {
    "status": "status",
    "make_it": "forecast",
    "runway": "forecast",
    "what_if": "what_if",
    "showers": "showers",
    "activity": "activity",
    "history": "history",
    "plan": "plan",
    "due": "due",
    "rinse_limit": "rinse",
    "dose": "dose",
    "weight": "weight",
    "checklist": "checklist",
    "explain": "explain",
    "help": "help",
}

OF_PLACES = frozenset(
    {"where", "aboard", "site", "sites", "pressure", "notes", "taste", "water", "lost", "spare", "gear"}
)
"""Subjects of a history question that are about places, and answered in sites.py."""


OUTSIDE = frozenset({"valve", "supply", "may dump"})
"""Subjects of a history question that outside.py answers, beside one piece of gear ("gear hose")."""


OF_SUMS = frozenset(
    {
        "dumps",
        "fills",
        "hauls",
        "rinses",
        "most in a day",
        "least in a day",
        "by now",
        "unlogged",
        "leaked",
        "since dump",
        "since fill",
    }
)
"""Subjects of a history question that are answered in tallies.py."""


OF_DEEDS = frozenset({"dump", "fill", "haul", "rinse"})
"""Subjects of a history question that ask for the last time; with a stretch named, for how often: "did we dump yesterday"."""

OF_USES = frozenset({"activity", "showers", "history", "what_if"})
"""Topics of which a question may be asked again of another use."""

NEED_TANKS = frozenset({"status", "show", "forecast", "what_if", "showers", "plan", "rinse", "needed"})
"""Modules that have nothing true to say of a rig without tanks."""
NO_TANKS = 'I know no tanks yet. Tell me their sizes, for example: "grey tank 36 gal".'


def module_of(ask: Ask) -> str:
    """The name of the module that answers."""
    if ask.topic == "help":
        return "help"
    if ask.subject in ("tanks", "forecast", "week"):
        return "show"
    if ask.subject in ("must dump", "must fill"):
        return "needed"
    if ask.topic == "history" and ask.subject in ("changed", "saves", "against usual"):
        return "compared"
    if ask.topic == "history" and (ask.subject in OF_SUMS or (ask.subject in OF_DEEDS and ask.when is not None)):
        return "tallies"
    if ask.topic == "history" and (ask.subject in OUTSIDE or (ask.subject or "").startswith("gear ")):
        return "outside"
    if ask.topic == "history" and (ask.subject in OF_PLACES or (ask.site and ask.subject != "stay")):
        return "sites"
    return MODULES[ask.topic]


def answer(ask: Ask, scene: Scene, talk: Standing, text: str) -> Answer:
    """The answer to one question. `facts.topic` and what a follow-up needs are added here.

    Raises: AskBack when something is missing (until when?), CannotBe for a date that does not exist.
    """
    if ask.tank == "waste":
        ask = replace(ask, tank=_waste_tank(ask, scene))
    if ask.again:
        ask = _as_before(ask, scene, talk)
    if ask.subject == "how":
        way = scene.last.get("topic") in ("make_it", "what_if")
        ask = replace(ask, topic="make_it" if way else "explain", subject="ways" if way else None)
    if ask.topic == "explain" and ask.tank is None and ask.subject is None:
        ask = replace(ask, subject=str(scene.last.get("topic", "status")), tank=scene.last.get("tank"))
    if ask.topic == "help" and ask.subject == "misses":
        from assistant.answers import misses

        return misses.answer(talk.log.turns(last=misses.LOOK_BACK))
    if _is_of_the_rinse(ask, scene, text):
        ask = replace(ask, topic="rinse_limit", subject="running")
    name = module_of(ask)
    if name in NEED_TANKS and ask.subject != "week" and not scene.belief.tanks:
        asked_until = {} if ask.until is None else {"until": scene.until(ask.until)}
        found = Answer(NO_TANKS, {"tanks": [], **asked_until})
    else:
        module: Any = import_module(f"assistant.answers.{name}")
        found = module.answer(ask, scene)
    found.facts.setdefault("topic", ask.topic)
    if ask.topic not in ("explain", "help"):
        about = {
            "topic": ask.topic,
            "tank": ask.tank or found.facts.get("binding"),
            "phrase": _phrase(ask, scene, text),
        }
        until = found.facts.get("until")
        if until is not None:
            about["until"] = until if isinstance(until, str) else until.isoformat()
        if ask.topic == "history" and isinstance(found.facts.get("from"), datetime):
            about["from"] = found.facts["from"].isoformat()
        found.memo = {**about, **found.memo}
    return found


def _waste_tank(ask: Ask, scene: Scene) -> str | None:
    """ "The waste tank": the one there is. Where there are two, all are told of, but "and the waste tank?" asks which."""
    waste = [tank.name for tank in scene.world.rig.tanks.values() if tank.kind != "fresh"]
    if len(waste) == 1:
        return waste[0]
    if ask.again and waste:
        raise AskBack(f"Which one: {' or '.join(waste)}?", "tank", waste)
    return None


OF_TANKS = ("day", "night", "dump", "water", "full", "dry", "run out", "last", "stay", "fresh", "grey", "gray", "black")


def _is_of_the_rinse(ask: Ask, scene: Scene, text: str) -> bool:
    """ "How long is left" while a rinse runs is about the rinse, unless it speaks of days or of a tank."""
    if ask.topic != "runway" or ask.tank is not None or any(word in text.casefold() for word in OF_TANKS):
        return False
    if scene.world.rinse_run is None and "rinse_run" not in scene.last:
        return False
    from assistant.answers import rinse

    return rinse.runs(scene) is not None


def _phrase(ask: Ask, scene: Scene, text: str) -> str:
    """The words of the question that a follow-up changes: for a follow-up, or the other ways, those of the first question."""
    follows = ask.again or ask.subject in ("ways", "others")
    return str(scene.last.get("question", scene.last.get("phrase", text))) if follows else text


def _so_much_on(ask: Ask, scene: Scene) -> dict[str, Any]:
    """ "Another week": on top of the end asked about before; "a week": from now."""
    before = scene.last.get("until")
    if ask.subject == "longer" and before is not None:
        end = datetime.fromisoformat(str(before)) + timedelta(days=round(ask.nights or 0.0))
        days = (end.date() - scene.now.date()).days
        return {"until": When(whole_days=days, hour=end.hour, minute=end.minute), "nights": None}
    return {"until": When(whole_days=round(ask.nights or 0.0)), "nights": None}


def _another_day(ask: Ask, scene: Scene) -> When | None:
    """Of "what did we use yesterday": "and the day before?" is the day before that one, "and today?" that day alone."""
    begun = scene.last.get("from")
    if ask.nights is not None and ask.subject == "longer" and begun is not None:
        day = datetime.fromisoformat(str(begun)).date() + timedelta(days=round(ask.nights))
        return When(day_offset=(day - scene.now.date()).days)
    return ask.until


def _of_a_tank(asked: Ask) -> bool:
    """Whether a question may be asked again of another tank; "what did we use today" has none in it."""
    if asked.topic == "history":
        return asked.subject in OF_DEEDS | OF_SUMS
    return asked.topic in ("status", "make_it", "runway", "what_if", "weight", "rinse_limit", "plan", "explain", "dose")


def _as_before(ask: Ask, scene: Scene, talk: Standing) -> Ask:
    """ "What about Thursday?": the last question with another day, tank or change."""
    from assistant.names import names_of
    from grammar.read import read

    phrase = scene.last.get("phrase")
    before = read(str(phrase), names_of(talk.world)) if phrase else None
    asked = (
        next((one for one in before.meanings if isinstance(one, Ask)), None) if isinstance(before, Reading) else None
    )
    over = (
        ask.topic == "history" and ask.when is not None
    )  # "what about last week": what was, whatever was asked before
    if over and (asked is None or asked.topic not in ("history", "activity")):
        return replace(ask, again=False)
    if ask.topic == "due":  # "and the anode?": a question of its own, whatever was asked before
        return replace(ask, again=False)
    if ask.activity is not None and (asked is None or asked.topic not in OF_USES):
        raise AskBack(f"What about {noun(ask.activity)}: how much they use, or how many are left?", "statement")
    if asked is None:
        if ask.until is not None or ask.when is not None:
            return replace(ask, again=False, topic="make_it", until=ask.until or ask.when)
        if ask.nights is not None:
            return replace(ask, again=False, topic="make_it", subject=None)
        if ask.tank is not None:
            return replace(ask, again=False, topic="status")
        raise AskBack("What about it? Ask in full, for example: can we make it to Sunday.", "statement")
    if ask.people and asked.topic not in ("activity", "history"):
        raise AskBack("What about them? Ask in full, for example: how much does Ana use for a shower.", "statement")
    if ask.tank is not None and not _of_a_tank(asked):
        return replace(ask, again=False, topic="status")
    changed: dict[str, Any] = {"again": True}
    other = (
        _another_day(ask, scene) if asked.topic == "history" and (asked.until, asked.count) == (None, None) else None
    )
    if other is not None:
        ahead = (other.day_offset or 0) > 0
        subject = None if asked.subject in ("stay", "last stay", "today") else asked.subject
        return replace(ask, again=False) if ahead else replace(asked, again=True, when=other, subject=subject)
    if ask.until is not None:
        changed["until"] = ask.until
        changed["nights"] = None
    if ask.nights is not None:
        changed |= _so_much_on(ask, scene)
    if ask.when is not None:
        changed["until" if asked.topic in ("make_it", "what_if") else "when"] = ask.when
    if ask.tank is not None:
        changed["tank"] = ask.tank
    if ask.activity is not None and asked.topic == "what_if":
        last = asked.changes[-1]
        changed["changes"] = (
            *asked.changes,
            replace(last, activity=ask.activity),
        )  # "what if we skip showers", "and laundry?"
    elif ask.activity is not None:
        changed["activity"] = ask.activity
    if ask.people:
        changed["people"] = ask.people
    if ask.changes:
        changed |= {"changes": ask.changes, "topic": "what_if"}
    return replace(asked, **changed)
