"""What stands beside an acknowledgement when the event calls for a word: a pressure that is off, frost, a rinse that runs, doubtful
water, gear left behind; and the overdue item brought up once a day. One sentence each, nothing where nothing is to be said.
What an event calls for is loaded when it comes.

May import: state, assistant.scene, assistant.say, assistant.answers.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from assistant.say import amounts, times
from assistant.say.echo import fraction
from assistant.scene import Scene
from state.entry import Entry
from state.lightclass import TYPE_CHECKING

if TYPE_CHECKING:
    from state.log.store import Turn


def beside(entries: Sequence[Entry], scene: Scene) -> str:
    """The words beside what was just booked.

    Args: scene: the world with it.
    """
    said = [words for entry in entries if entry.kind in WORDS and (words := WORDS[entry.kind](entry, scene))]
    return " ".join(dict.fromkeys(said))


def _pressure(entry: Entry, scene: Scene) -> str:
    from assistant.answers import pressure as answers

    return answers.beside(entry.kpa, scene)


def _frost(entry: Entry, scene: Scene) -> str:
    from state.care import frost

    stage = frost.stage(entry.low_celsius)
    return {
        "none": "",
        "near": "Close to freezing: the hose is better off inside.",
        "frost": "That freezes a hose: say frost for the steps.",
        "hard": "That freezes what is not heated: say frost for the steps.",
    }[stage]


def _rinse(entry: Entry, scene: Scene) -> str:
    if not entry.get("minutes"):
        return ""
    until = entry.at + timedelta(minutes=entry.minutes)
    return f"Shut it at {times.clock(until.astimezone(scene.now.tzinfo))}." if until > scene.now else ""


def _level(entry: Entry, scene: Scene) -> str:
    """Why a sensor that is far off is not believed: sensors stick and foul, so what was logged counts for more."""
    tank = scene.belief.tanks.get(entry.tank.casefold())
    if entry.basis != "sensor" or tank is None or tank.flowing:
        return ""
    litres = entry.litres if entry.get("litres") is not None else (entry.fraction or 0.0) * tank.capacity.mean
    if abs(litres - tank.level.quantile(0.5)) < FAR_OFF * tank.capacity.mean:
        return ""
    seen = fraction(entry.fraction) if entry.get("fraction") is not None else f"at {scene.exact(entry.litres)}"
    return f"That is far from what was logged, which counts for more than a sensor; if you see it so, say: {entry.tank} is {seen}."


FAR_OFF = 0.25
"""From such a part of a tank on, a sensor and what is believed are told to be apart."""


def _use(entry: Entry, scene: Scene) -> str:
    """A use told of a time before the tanks were last emptied, filled or looked at: what was seen counts, and the use changes none of it."""
    kinds = ("grey", "fresh") if scene.world.supply == "tank" else ("grey",)
    tanks = [name for name, tank in scene.world.rig.tanks.items() if tank.kind in kinds]
    known = [scene.world.since.get(name) for name in tanks]
    later = [at for at in known if at is not None and at > entry.at]
    if not tanks or len(later) < len(tanks):
        return ""
    seen = times.exactly(min(later), scene.now)
    return f"That was before I last knew the levels, {seen}, so they stay as they are."


def _note(entry: Entry, scene: Scene) -> str:
    from state.care import water_quality

    advice = [water_quality.advice(sign) for sign in water_quality.signs(entry.note) if not sign.ask_first]
    return next((words for words in advice if words), "")


def _arrive(entry: Entry, scene: Scene) -> str:
    """Gear that was out at the last place; and what was noted of this one before."""
    from state.care import checklist, pressure, water_quality

    words = []
    behind = checklist.left_behind(scene.world)
    if behind:
        items = times.listed([f"the {item}" for item in behind])
        words.append(f"Did {items} come along? Tell me what is stowed, outside here, or lost.")
    earlier = [one for one in water_quality.remarks(scene.world, entry.site) if entry.site]
    if earlier:
        words.append(f"Last time you noted here: {earlier[-1].note}.")
    read = pressure.at_site(scene.world, entry.site) if entry.site else None
    if read is not None and pressure.standing(scene.world, read.last) in ("high", "ceiling"):
        words.append(f"Pressure here was {amounts.pressure(read.last, scene.units)} last time.")
    return " ".join(words)


def along(entries: Sequence[Entry], scene: Scene) -> tuple[str, str] | None:
    """After an arrival with gear never stowed: the statement that a bare yes to the question makes, and the question."""
    if not scene.world.gear_out or not any(entry.kind == "arrive" for entry in entries):
        return None
    from state.care import checklist

    behind = checklist.left_behind(scene.world)
    if not behind:
        return None
    items = times.listed([f"the {item}" for item in behind])
    return f"stowed {items}", f"Did {items} come along?"


def left_there(stowed: str) -> tuple[str, str]:
    """After a no to whether it came along: the statement that a yes makes of it, and the question. It is not lost for sure."""
    items = stowed.removeprefix("stowed ")
    verb = "are" if " and " in items else "is"
    return (
        f"lost {items}",
        f"Then {items} {verb} still at the last place: shall I note {'them' if verb == 'are' else 'it'} as lost?",
    )


def _gear(entry: Entry, scene: Scene) -> str:
    """A way to get by without a lost piece; a hose hung out before a frost."""
    from state.care import checklist, frost

    if entry.where == "lost":
        return checklist.spare(entry.item) or ""
    cold = frost.ahead(scene.world, scene.now) if entry.where == "out" and "hose" in entry.item.casefold() else None
    if cold is None or cold[0] == "near":
        return ""
    return f"It freezes {times.on(times.moment(cold[2], scene.now))}: drain it by then."


def _depart(entry: Entry, scene: Scene) -> str:
    left = sorted(scene.world.gear_out)
    return f"I ask again about {times.listed([f'the {item}' for item in left])} when you arrive." if left else ""


def _rig(entry: Entry, scene: Scene) -> str:
    """A cassette is all there is for waste water: where the rest is taken to go."""
    from state.water import routes

    if entry.what != "tank" or entry.tank_kind == "fresh" or not routes.toilet_only(scene.world.rig):
        return ""
    return "I take it that only flushes go in there and wash water runs off; if a tank takes that, tell me its size."


WORDS: dict[str, Callable[[Entry, Scene], str]] = {
    "use": _use,
    "level": _level,
    "pressure": _pressure,
    "frost": _frost,
    "rinse": _rinse,
    "note": _note,
    "arrive": _arrive,
    "depart": _depart,
    "gear": _gear,
    "rig": _rig,
}


def again(entries: Sequence[Entry], turns: Sequence[Turn], text: str, scene: Scene) -> str:
    """What is to be said where the same was told within minutes, or a sum of the day after parts of it. turns: those before this one."""
    if not any(one.outcome == "recorded" and scene.now - one.heard_at <= MEMORY for one in turns):
        return ""
    from assistant.say import told_before

    return told_before.beside(entries, text, scene)


MEMORY = timedelta(hours=2)


def once_a_day(scene: Scene, last_shown: str | None) -> tuple[str, str | None]:
    """The line about what is overdue, and the memory to keep.

    Args: last_shown: ISO time of the last such line, from the memory of an earlier turn.
    """
    if not scene.world.services and not scene.world.upkeep:
        return "", last_shown
    from assistant.answers import due

    line = due.unasked(scene, datetime.fromisoformat(last_shown) if last_shown else None)
    return (line, scene.now.isoformat()) if line else ("", last_shown)
