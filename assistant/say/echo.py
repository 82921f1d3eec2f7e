"""What was just booked, in one short sentence, and what it left: the room or the rest of the tank that moved most.

Numbers are echoed as booked, in the person's units, so that a slip shows at once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from assistant.say import amounts, findings, room, times
from assistant.scene import Scene
from state.entry import Entry
from state.lightclass import Any, dataclass
from state.log.history import CORRECTIONS, amended, targets
from state.water import belief

JUST_NOW = timedelta(minutes=10)
NOUNS = {"teeth": "teeth", "handwash": "hands", "pets": "pets", "outside": "outside", "other": "use"}
PLURAL = {"shower": "showers", "bath": "baths", "toilet": "flushes", "laundry": "loads of laundry", "shave": "shaves"}


@dataclass(frozen=True)
class Said:
    """The sentence, and the tank that it speaks of (for "why")."""

    text: str
    tank: str | None = None


def as_recorded(fields: dict[str, Any]) -> dict[str, Any]:
    """A booked event as the interface shows it: its own fields without the words and without what was never said."""
    return {name: value for name, value in fields.items() if name not in ("heard", "heard_at", "said")}


def echo(entries: Sequence[Entry], before: belief.Belief | None, scene: Scene, old: Sequence[Entry]) -> Said:
    """The echo of one turn.

    Args:
        before: what was believed before the turn, if `room.compares` says that it will be asked.
        scene: the world with it. old: the events that counted before it.
    """
    by_id = {entry.id: entry for entry in old}
    parts = _grouped(entries, scene, by_id)
    text = f"{_capital(times.listed(parts))}."
    told = {id for entry in entries for id in (entry.id, *(targets(entry) if entry.kind == "amend" else ()))}
    told -= {
        entry.id for entry in entries if entry.get("reset_before") or entry.get("rolled_over")
    }  # it says so itself
    found = [findings.sentence(one, scene) for one in scene.world.findings if one.event in told]
    moved, tank = "", None
    if any(entry.kind in room.GAUGE_MOVERS for entry in entries):
        moved, tank = room.left(meant(entries, old), before, scene)
    return Said(" ".join(part for part in (text, *found, moved) if part), tank)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _grouped(entries: Sequence[Entry], scene: Scene, by_id: dict[str, Entry]) -> list[str]:
    """One part an event; dumps of one turn share a verb, and so does gear; what several people did alike is said once."""
    parts: list[str] = []
    done: set[str] = set()
    for entry in entries:
        if entry.id in done:
            continue
        alike = [one for one in entries if _alike(entry, one)]
        if len(alike) > 1:
            parts.append(TOGETHER[entry.kind](alike, scene))
            done |= {one.id for one in alike}
        elif entry.kind == "meter" and any(one.kind == "use" and one.get("to_litres") is not None for one in entries):
            continue
        else:
            said = PARTS[entry.kind](entry, scene, by_id)
            parts.append(said.removeprefix(CORRECTED).removeprefix(TAKEN_BACK) if parts else said)
    return parts


def words_of(entry: Entry, scene: Scene) -> str:
    """One event in the words it was echoed with, without its time: for a list that has the times already."""
    then = Scene(scene.world, entry.at, scene.past)
    return PARTS[entry.kind](entry, then, {})


def _ago(entry: Entry, scene: Scene) -> str:
    """The time, where it was not just now."""
    if abs(scene.now - entry.at) <= JUST_NOW:
        return ""
    return f" {times.happened(entry.at, scene.now)}"


GEAR_WHERE: dict[str, str] = {"out": "outside", "stowed": "stowed", "lost": "lost"}


def _alike(entry: Entry, other: Entry) -> bool:
    """Whether the two are said in one breath: dumps, gear that went the same way, the same use by different people."""
    if entry.kind != other.kind or entry.kind not in TOGETHER or entry.at != other.at:
        return False
    if entry.kind == "use":
        same = ("activity", "count", "litres", "estimated")
        return bool(entry.person and other.person and all(entry.get(name) == other.get(name) for name in same))
    name = {"gear": "where", "step": "mark"}.get(entry.kind)
    return name is None or bool(entry.get(name) and entry.get(name) == other.get(name))


def _used_alike(alike: Sequence[Entry], scene: Scene) -> str:
    people = times.listed([one.person for one in alike])
    return f"{people}: {_what_used(alike[0])}, {_volume(alike[0], scene, ' each')}{_ago(alike[0], scene)}"


TOGETHER: dict[str, Callable[[Sequence[Entry], Scene], str]] = {
    "dump": lambda alike, scene: f"{times.listed([one.tank for one in alike])} dumped{_ago(alike[0], scene)}",
    "gear": lambda alike, scene: (
        f"{times.listed([one.item for one in alike])} {GEAR_WHERE[alike[0].where]}{_ago(alike[0], scene)}"
    ),
    "use": _used_alike,
    "step": lambda alike, scene: f"{amounts.counted(len(alike), 'step')} {PARTS['step'](alike[0], scene, {})}",
}


def _use(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    noun = _what_used(entry)
    if entry.activity == "other" and entry.count == 1:
        who = f" by {entry.person}" if entry.person else ""
        return f"{_volume(entry, scene)} used{who}{_ago(entry, scene)}"
    who = f"{entry.person}: {noun}" if entry.person else noun
    return f"{who}, {_volume(entry, scene)}{_ago(entry, scene)}"


def _what_used(entry: Entry) -> str:
    """ "shower", "two showers", "teeth three times"."""
    noun = NOUNS.get(entry.activity) or str(entry.activity)
    if entry.count == 1:
        return noun
    plural = PLURAL.get(entry.activity)
    return f"{amounts.number(entry.count)} {plural}" if plural else f"{noun} {amounts.times(entry.count)}"


def _volume(entry: Entry, scene: Scene, each: str = "") -> str:
    """ "2 gal", "about 2 gal (usual amount)", "about 2.5 gal, the middle"."""
    if not entry.estimated:
        return f"{scene.exact(entry.litres)}{each}"
    if any(one.get("value") for one in entry.said):
        return f"about {scene.exact(entry.litres)}{each}, the middle"
    if entry.get("minutes"):
        from assistant.say.flowing import run_for

        return f"{amounts.some(entry.litres, scene.units)}{each} ({run_for(entry.minutes, entry.activity, scene, entry.count)})"
    return f"{amounts.some(entry.litres, scene.units)}{each} (usual amount)"


def _meter(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    name = "rinse meter" if entry.meter == "rinse" else "meter"
    if entry.get("before"):
        return f"{name} {scene.exact(entry.litres)} before {_noun_of(entry.before)}; tell me the reading after"
    tail = (
        ", so it was reset in between"
        if entry.reset_before
        else ", once round the counter"
        if entry.rolled_over
        else ""
    )
    return f"{name} {scene.exact(entry.litres)}{tail}{_ago(entry, scene)}"


def _noun_of(activity: str) -> str:
    return "it" if activity == "other" else f"the {activity}"


def _fill(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    volume = f" with {scene.exact(entry.litres)}" if entry.litres is not None else ""
    return f"{entry.tank} filled{' to the brim' if entry.to_full else ''}{volume}{_ago(entry, scene)}"


def _haul(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    return f"{scene.exact(entry.litres)} of {entry.tank} taken away{_ago(entry, scene)}"


FRACTIONS = {1.0: "full", 0.0: "empty", 0.5: "half full", 0.25: "a quarter full", 0.75: "three quarters full"}
THIRDS = {0.33: "a third full", 0.67: "two thirds full"}


def fraction(value: float) -> str:
    """A level as people say it: full, half full, two thirds full, 60 % full."""
    return FRACTIONS.get(round(value, 4)) or THIRDS.get(round(value, 2)) or f"{round(100 * value)} % full"


def _level(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    seen = fraction(entry.fraction) if entry.get("fraction") is not None else f"at {scene.exact(entry.litres)}"
    who = " by its sensor" if entry.basis == "sensor" else ""
    return f"{entry.tank} {seen}{who}{_ago(entry, scene)}"


def _rinse(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    if entry.get("minutes") and scene.now < entry.at + timedelta(minutes=entry.minutes):
        return f"{entry.tank} rinse running, {scene.amount(entry.litres)} in all"
    volume = scene.amount(entry.litres) if entry.estimated else scene.exact(entry.litres)
    return f"{volume} rinsed into {entry.tank}{_ago(entry, scene)}"


def _until(until: datetime | None, scene: Scene) -> str:
    return (
        f" until {times.full_day(until, scene.now)} at {times.clock(until.astimezone(scene.now.tzinfo))}"
        if until
        else ""
    )


def hookups(water: bool | None, sewer: bool | None) -> str:
    """ ", water but no sewer"; nothing for what was not said."""
    said = {
        (True, True): "water and sewer", (True, False): "water but no sewer", (False, True): "sewer but no water",
        (False, False): "no hookups", (True, None): "with water", (None, True): "with a sewer",
        (False, None): "no water", (None, False): "no sewer",
    }.get((water, sewer))  # fmt: skip
    return f", {said}" if said else ""


def _arrive(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    place = f"at {entry.site}" if entry.site else "arrived"
    stay = scene.world.stay
    told = (entry.until, entry.water, entry.sewer)
    here = told if stay.since != entry.at else (stay.until, stay.water, stay.sewer)
    planned = ", as planned" if here != told else ""
    return f"{place}{_until(here[0], scene)}{hookups(*here[1:])}{planned}{_ago(entry, scene)}"


def _valve(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    return f"{entry.tank} valve {'open' if entry.open else 'closed'}{_ago(entry, scene)}"


def _party(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    return f"{amounts.people(entry.people)} aboard{_until(entry.until, scene)}"


def _rig(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    if entry.what == "tank":
        if entry.gone:
            return f"no {entry.tank} tank"
        kind = "" if entry.tank == entry.tank_kind else f" ({entry.tank_kind})"
        return f"{entry.tank} tank{kind} holds {scene.exact(entry.litres)}"
    if entry.what == "units":
        return {
            "us": "US gallons from now on",
            "imperial": "imperial gallons from now on",
            "metric": "litres from now on",
        }[entry.units]
    if entry.what == "tote":
        if entry.get("kilograms") is not None:
            return f"the empty tote weighs {amounts.weight(entry.kilograms, scene.units)}"
        return f"the tote holds {scene.exact(entry.litres)}"
    if entry.what == "heater":
        return f"the heater holds {scene.exact(entry.litres)}"
    if entry.what == "meter":
        return f"the {entry.meter} meter starts over at {scene.exact(entry.litres)}"
    if entry.what == "limit":
        value = {
            "pressure": lambda: amounts.pressure(entry.value, scene.units),
            "safety": lambda: amounts.percent(entry.value),
        }.get(entry.of, lambda: amounts.weight(entry.value, scene.units))()
        return f"{entry.of.replace('_', ' ')} limit {value}"
    return f"this rig is {entry.name}"


def _stop(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    start = f" from {times.full_day(entry.start, scene.now)}" if entry.get("start") else ""
    return f"next {entry.site or 'stop'}{start}{_until(entry.until, scene)}{hookups(entry.water, entry.sewer)}"


def _expect(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    start = f" from {times.full_day(entry.start, scene.now)}" if entry.get("start") else ""
    volume = scene.exact(entry.litres) if entry.get("litres") is not None else ""
    what = {
        "party": f"{amounts.people(entry.get('people') or 0)} aboard",
        "absence": "away",
        "use": f"{entry.get('activity')} planned, {volume}",
        "haul": f"a tote run from {entry.get('tank')} planned, {volume}",
        "dump": f"dumping {entry.get('tank')} planned",
    }[entry.what]
    if entry.what in ("use", "haul", "dump") and entry.get("start"):
        return f"{what} for {times.full_day(entry.start, scene.now)}"
    return f"{what}{start}{_until(entry.until, scene)}, noted for the forecast"


def _frost(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    when = "" if abs(entry.at - scene.now) <= JUST_NOW else f" {times.on(times.moment(entry.at, scene.now))}"
    return f"low of {amounts.temperature(entry.low_celsius, scene.units)}{when}"


def _upkeep(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    item = item_words(entry.item)
    if entry.drop:
        return f"no more reminders for {item}"
    if entry.get("snooze_until") is not None:
        return f"{item} put off until {times.full_day(entry.snooze_until, scene.now)}"
    if entry.every_days is not None:
        return f"{item} every {amounts.plain(entry.every_days)} days from now on"
    return f"{item} every {scene.exact(entry.every_litres)} from now on"


ITEMS = {
    "water_filter": "water filter", "sanitise": "fresh tank sanitised", "heater_flush": "heater flush",
    "hose": "hose", "washers": "washers", "regulator": "regulator", "anode": "anode",
}  # fmt: skip


def item_words(item: str) -> str:
    """An upkeep item as a person says it."""
    return ITEMS.get(item, item.replace("_", " "))


def _service(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    words = item_words(entry.item)
    return (words if entry.item == "sanitise" else f"{words} done") + _ago(entry, scene)


def _step(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    if entry.get("mark"):
        return {"done": "done", "skipped": "skipped", "open": "open again"}[entry.mark]
    verb = "taken out of" if entry.drop else "added to"
    return f'"{entry.step}" {verb} {entry.list}'


TAKEN_BACK = "taken back: "


def _undo(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    ids = [entry.of] if isinstance(entry.of, str) else list(entry.of)
    parts = [_short(by_id[one], scene) for one in ids if one in by_id]
    return f"{TAKEN_BACK}{times.listed(parts)}" if parts else f"{TAKEN_BACK}the correction; the entry is as it was"


def _short(entry: Entry, scene: Scene) -> str:
    """What an undo or an amendment is about, by itself: said after "taken back", "noted" would not tell of what."""
    if entry.kind == "step" and entry.get("mark"):
        return f"the last step of {entry.list}"
    if entry.kind == "note":
        return f'the note "{entry.note}"{_ago(entry, scene)}'
    return PARTS[entry.kind](entry, scene, {})


CORRECTED = "corrected: "


def _amend(entry: Entry, scene: Scene, by_id: dict[str, Entry]) -> str:
    old = by_id.get(entry.of)
    if old is None:
        return "corrected"
    return f"{CORRECTED}{_short(amended(old, entry), scene)}"


def _simple(words: str) -> Callable[[Entry, Scene, dict[str, Entry]], str]:
    return lambda entry, scene, by_id: words + _ago(entry, scene)


PARTS: dict[str, Callable[[Entry, Scene, dict[str, Entry]], str]] = {
    "use": _use, "meter": _meter, "fill": _fill, "haul": _haul, "level": _level, "rinse": _rinse, "arrive": _arrive,
    "valve": _valve, "party": _party, "rig": _rig, "stop": _stop, "expect": _expect, "frost": _frost, "upkeep": _upkeep,
    "service": _service, "step": _step, "undo": _undo, "amend": _amend,
    "dump": lambda entry, scene, by_id: f"{entry.tank} dumped{_ago(entry, scene)}",
    "meter_reset": lambda entry, scene, by_id: ("rinse meter" if entry.meter == "rinse" else "meter") + " at zero" + _ago(entry, scene),
    "stay": lambda entry, scene, by_id: f"staying{_until(entry.until, scene)}",
    "depart": _simple("left"),
    "supply": lambda entry, scene, by_id: ("on the site's water" if entry.source == "hookup" else "on the pump") + _ago(entry, scene),
    "away": lambda entry, scene, by_id: "away" + _until(entry.get("until"), scene) + _ago(entry, scene),
    "back": _simple("back aboard"),
    "pressure": lambda entry, scene, by_id: f"pressure {amounts.pressure(entry.kpa, scene.units)}{_ago(entry, scene)}",
    "flow": lambda entry, scene, by_id: f"flow {amounts.flow(entry.litres_per_minute, scene.units)}",
    "gear": lambda entry, scene, by_id: f"{entry.item} {GEAR_WHERE[entry.where]}{_ago(entry, scene)}",
    "teach": lambda entry, scene, by_id: f'"{entry.word}" means {entry.means} from now on',
    "note": lambda entry, scene, by_id: "noted",
    "redo": lambda entry, scene, by_id: "brought back",
}  # fmt: skip


def meant(entries: Sequence[Entry], old: Sequence[Entry]) -> list[Entry]:
    """For each undo or amend the entries that it is about, for the tanks to speak of; any other is itself. A correction is about the
    entry as it is now and, where it moved to another tank, as it was. old: the events that counted before."""
    by_id = {entry.id: entry for entry in old}
    about: list[Entry] = []
    for entry in entries:
        was = [by_id[one] for one in targets(entry) if one in by_id] if entry.kind in ("undo", "amend") else []
        now = [amended(one, entry) for one in was] if entry.kind == "amend" else []
        moved = [one for one, new in zip(was, now, strict=True) if one.get("tank") != new.get("tank")] if now else was
        about += [*now, *moved] or [entry]
    return about


OF_DANGER = ("pressure", "frost", "haul", "rinse", "level", "valve")


def told_now(entries: Sequence[Entry], old: Sequence[Entry]) -> list[Entry]:
    """What is told as of now, for the words and cautions beside it: the events themselves, and what they corrected, if another number
    there may be another danger."""
    corrected = [
        one for one in meant([entry for entry in entries if entry.kind == "amend"], old) if one.kind in OF_DANGER
    ]
    return [*(entry for entry in entries if entry.kind not in CORRECTIONS), *corrected]
