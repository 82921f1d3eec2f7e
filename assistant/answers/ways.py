"""Ways out of a no in words: the one or two that a sentence can hold, and the others for who asks what else there is.

Every way is told with the odds that it makes. May import: `outlooks`, `scene`, `say`, state's advice.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from assistant.answers.outlooks import capital, own_pace
from assistant.say import amounts, times
from assistant.scene import Scene
from state import figures_safety
from state.ahead import advice, altered, forecast
from state.ahead.runs import FEW_TRIPS, Way
from state.habits import pace
from state.lightclass import Any

GOOD = 0.5
"""A way that makes it less likely than not is no way out; it is told only where there is none better."""

MOST_LINES = 5
"""More ways than this nobody listens to."""

MOST_TOLD = 3
"""Of more moments than this only the first is told: it is the one to act on."""

ERRANDS = frozenset({"haul", "carry", "dump", "fill"})

SOON = timedelta(hours=1)


def facts_of_way(way: Way, plain: float) -> dict[str, Any]:
    """A way out, only with what it has. plain: the odds without it."""
    own = {"kind": way.kind, "probability": way.probability, "gain": way.probability - plain, **_own_facts(way)}
    if way.parts:
        own["parts"] = [{"kind": part.kind, **_own_facts(part)} for part in way.parts]
    return own


def _own_facts(way: Way) -> dict[str, Any]:
    own = {
        "tank": way.tank, "litres": way.litres, "count": way.count, "minutes": way.minutes, "activity": way.activity,
        "at": way.at, "until": way.until, "kilograms": way.kilograms, "site": way.site, "moments": list(way.moments) or None,
    }  # fmt: skip
    return {name: value for name, value in own.items() if value is not None}


def sentence(ways: Sequence[Way], until: datetime, scene: Scene) -> str:
    """The cheapest way that is more likely than not to do, and an errand beside a thrift; else the best there is."""
    if not ways:
        return "I see no way to make it much likelier."
    told = said(ways)
    first = told[0]
    if first.probability < GOOD:  # to hear it as a way out would mislead
        return (
            f"The best I see comes to no more than {amounts.percent(first.probability)}: {words(first, until, scene)}."
        )
    text = f"For {amounts.percent(first.probability)} {words(first, until, scene)}"
    for other in told[1:]:
        same = amounts.percent(other.probability) == amounts.percent(first.probability)
        text += f", or {'' if same else f'for {amounts.percent(other.probability)} '}{words(other, until, scene)}"
    if len(told) == 1 and not _is_errand(first) and any(_is_errand(way) for way in ways):
        text += "; for errands ask what else"
    return f"{text}."


def said(ways: Sequence[Way]) -> list[Way]:
    """One or two of the ways: what a sentence can hold. Errands of two kinds at once are too many to be heard beside another way."""
    good = [way for way in ways if way.probability >= GOOD]
    if not good:
        return [max(ways, key=lambda way: way.probability)]
    driven = _rather_driven(good)
    if driven is not None:
        return [driven]
    other = (
        [] if good[0].parts or _is_errand(good[0]) else [way for way in good[1:] if _is_errand(way) and not way.parts]
    )
    return [good[0], *other[:1]]


EASILY = 0.8
"""From these odds on a way that takes nothing but what is at hand is told as the thing to do."""


def at_hand(ways: Sequence[Way]) -> Way | None:
    """The way that takes no more than dumping, or filling, where the rig stands."""
    return next(
        (
            way
            for way in ways
            if way.probability >= EASILY
            and all(part.kind in ("dump", "fill") and part.here for part in way.parts or (way,))
        ),
        None,
    )


AS_GOOD = 0.05
"""A way with odds within this of another is as good to be told."""


def _rather_driven(good: Sequence[Way]) -> Way | None:
    """The drive to tell of where the first way is more tote runs than anybody likes, if a drive does as well."""
    if _trips(good[0]) <= FEW_TRIPS:
        return None
    drives = [way for way in good if not _trips(way) and any(part.kind == "dump" for part in way.parts or (way,))]
    return next((way for way in drives if way.probability >= good[0].probability - AS_GOOD), None)


def _trips(way: Way) -> int:
    return sum(part.count or 1 for part in way.parts or (way,) if part.kind == "haul")


def _is_errand(way: Way) -> bool:
    return way.kind in ERRANDS or any(part.kind in ERRANDS for part in way.parts)


def lines(ways: Sequence[Way], until: datetime, scene: Scene) -> str:
    """Ways a line each, with the odds of each, the best first."""
    return "\n".join(
        f"{capital(words(way, until, scene))}: {amounts.percent(way.probability)}." for way in ways[:MOST_LINES]
    )


def cautions(ways: Sequence[Way]) -> tuple[str, ...]:
    """A tote run that is proposed carries the lifting caution when it is too heavy to lift."""
    limit = figures_safety.LIFT_KILOGRAMS.value
    parts = [part for way in ways for part in (way.parts or (way,))]
    return ("lift:advised",) if any((part.kilograms or 0.0) > limit for part in parts) else ()


# ---------------------------------------------------------------- one way


def words(way: Way, until: datetime, scene: Scene) -> str:
    """One way out as an order: "keep to about 5 gal a day", "make two tote runs ... and fill fresh now"."""
    if way.parts:
        return ", and ".join(words(part, until, scene) for part in way.parts)
    return WAYS[way.kind](way, until, scene)


def _budget(way: Way, until: datetime, scene: Scene) -> str:
    litres = way.litres or 0.0
    fewer = showers_fewer(litres, until, scene)
    tail = f", {amounts.counted(fewer, 'shower')} fewer in all" if fewer is not None else ""
    return f"keep to {scene.amount(litres)} a day{tail}"


def showers_fewer(litres_a_day: float, until: datetime, scene: Scene) -> int | None:
    """How many of the household's showers must fall away until then for such a budget; None where it does not take so many."""
    habits = forecast.habits_of(scene.world)
    days = (until - scene.now).total_seconds() / 86400.0
    showers = advice.showers_of(scene.world, max(0.0, own_pace(scene) - litres_a_day) * days)
    taken = altered.Cuts(scene.world, habits).litres_a_day("shower") * pace.persons(scene.people) * days
    return showers if 0 < showers <= advice.showers_of(scene.world, taken) else None


def _minutes(way: Way, until: datetime, scene: Scene) -> str:
    return f"keep showers to {minutes_words(way.minutes or 0.0)}"


def minutes_words(minutes: float) -> str:
    """ "two minutes", "one and a half minutes"."""
    whole = int(minutes)
    if minutes == whole:
        return amounts.counted(whole, "minute")
    return "one and a half minutes" if whole == 1 else f"{amounts.plain(minutes, 1)} minutes"


OFF = {"shower": "showers", "bath": "baths", "laundry": "laundry", "outside": "rinsing outside"}


def _skip(way: Way, until: datetime, scene: Scene) -> str:
    return f"leave out {OFF.get(way.activity or '', way.activity or '')}"


def _off(way: Way, until: datetime, scene: Scene) -> str:
    if way.activity in ("shower", "bath"):
        return f"take {amounts.counted(way.count or 1, way.activity)} off the rig"
    return f"do {OFF.get(way.activity or '', way.activity or '')} off the rig {amounts.times(way.count or 1)}"


def _move(way: Way, until: datetime, scene: Scene) -> str:
    return f"put the {way.activity} off till after {scene.day(way.until or until)}"


def _fill(way: Way, until: datetime, scene: Scene) -> str:
    leaves = scene.stay_until if way.here else None
    at = f" at {way.site}" if way.site is not None and not way.here else ""
    return f"fill {way.tank}{at}{each_by(way.moments, scene, leaves)}"


def each_by(moments: Sequence[datetime], scene: Scene, leaves: datetime | None = None) -> str:
    """ " now", " by Friday morning", " twice, by tomorrow morning and Friday midday": the latest moment of each errand, or of the first of many."""
    parts = []
    for moment in moments:
        if moment <= scene.now + SOON:
            parts.append("now")
        elif leaves is not None and moment == leaves:
            parts.append(f"before you leave {outlook_day(moment, scene)}")
        else:
            parts.append(times.by(moment, scene.now))
    if len(parts) == 1:
        return f" {parts[0]}"
    if len(parts) > MOST_TOLD:
        return f" {amounts.times(len(parts))}, the first {parts[0]}"
    if all(part.startswith("by ") for part in parts):
        parts[1:] = [part.removeprefix("by ") for part in parts[1:]]
    return f" {amounts.times(len(parts))}, {times.listed(parts)}"


def outlook_day(at: datetime, scene: Scene) -> str:
    """ "tomorrow", "on Sunday"."""
    return times.on(scene.day(at))


def _haul(way: Way, until: datetime, scene: Scene) -> str:
    litres, count = scene.rounded(way.litres or 0.0), way.count or 1
    return f"make {amounts.counted(count, 'tote run')} of {litres} of {way.tank}, {_heavy(way, scene)}"


def _carry(way: Way, until: datetime, scene: Scene) -> str:
    litres, count = scene.rounded(way.litres or 0.0), way.count or 1
    return f"bring in {amounts.counted(count, 'load')} of {litres} of {way.tank} in clean cans, {_heavy(way, scene)}"


def _heavy(way: Way, scene: Scene) -> str:
    """ "83 lb each, the first by Friday morning"."""
    weight = amounts.weight(way.kilograms or 0.0, scene.units)
    several = (way.count or 1) > 1
    soon = way.at is None or way.at <= scene.now + SOON
    by = "now" if soon or way.at is None else times.by(way.at, scene.now)
    return f"{weight}{' each, the first' if several else ','} {by}"


def _dump(way: Way, until: datetime, scene: Scene) -> str:
    verb = "dump here" if way.here else "drive to a dump station"
    return f"{verb}{each_by(way.moments, scene)}"


WAYS = {
    "budget": _budget, "minutes": _minutes, "skip": _skip, "off": _off, "move": _move, "fill": _fill, "haul": _haul, "carry": _carry,
    "dump": _dump,
}  # fmt: skip
