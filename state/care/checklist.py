"""Procedures walked through one step at a time, resumable, with the owner's own steps; and what keeps a departure
open. Pure.

A walk needs no session: its state is the marks in the log since the walk began (the stay for arriving and leaving, a
day for others).
The current step is the first that is still open. May import: procedures, rinse, world.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from state.care import procedures, rinse
from state.lightclass import Any, Literal, dataclass, replace
from state.world import World

State = Literal["open", "done", "skipped"]
WALK_LASTS = timedelta(hours=24)
SETTING_UP = timedelta(hours=1)
"""Before the arrival is told, what is hung out and seen to belongs to the new place: nobody hooks up and drives on within the hour. Our own
choice, no source."""
SMALL_WORDS = frozenset(
    "the a an and or of to in on it its with from by at off out up is are if for then every all your you".split()
)


@dataclass(frozen=True)
class Item:
    """A step as it stands now. `key`: what a mark in the log names it by."""

    key: str
    text: str
    why: str
    state: State
    own: bool


@dataclass(frozen=True)
class Obstacle:
    """Something that keeps a departure open. `reference`: `gear-out`, `valve-open` or `rinse-running`."""

    reference: str
    items: tuple[str, ...]
    since: datetime | None


def departure_obstacles(world: World, now: datetime) -> list[Obstacle]:
    """All that is known to be out, open or running; empty means that nothing speaks against leaving."""
    found = []
    if world.gear_out:
        found.append(Obstacle("gear-out", tuple(sorted(world.gear_out)), min(world.gear_out.values())))
    if world.open_valves:
        found.append(Obstacle("valve-open", tuple(sorted(world.open_valves)), min(world.open_valves.values())))
    run = rinse.running(world, now)
    if run is not None:
        found.append(Obstacle("rinse-running", (run.tank,), run.since))
    return found


def left_behind(world: World) -> tuple[str, ...]:
    """Gear that was outside at the place before this one and was never said to be stowed: did it come along?"""
    left = left_last(world)
    return tuple(sorted(item for item, out in world.gear_out.items() if left is not None and out < left))


def left_last(world: World) -> datetime | None:
    """When the place before this one was left: at the departure, or where none was told so long before the arrival here as one hooks up.
    None where no place was told before."""
    here = world.stay.since
    if world.stay.on_the_road or here is None:
        return here
    before = world.stays[-1] if world.stays else None
    if before is None or (before.since is None and before.site is None):
        return None
    return before.since if before.on_the_road else here - SETTING_UP


def names(world: World) -> list[str]:
    """Procedures there are: ours and the owner's."""
    return [*procedures.LISTS, *sorted(name for name in world.steps if name not in procedures.LISTS)]


def applies(world: World, condition: str | None) -> bool:
    """Whether a step's condition holds at this rig and site; what is not known counts as there, so that no step is
    lost."""
    if condition is None:
        return True
    kinds = {tank.kind for tank in world.rig.tanks.values()} or {"fresh", "grey", "black"}
    facts = {
        "water": world.stay.water is not False,
        "sewer": world.stay.sewer is not False,
        "dry": world.stay.water is False,
        "black": "black" in kinds,
        "grey": "grey" in kinds,
        "waste": bool(kinds & {"black", "grey"}),
    }
    return all(facts[part] for part in condition.split(" and "))


def begun(world: World, name: str, now: datetime) -> datetime:
    """Since when marks count. Arriving: since the last place was left, as one often hooks up before telling me.
    Leaving: since the
    arrival. All others: the last day."""
    start = {"arriving": left_last(world), "leaving": world.stay.since}.get(name)
    return start if start is not None else now - WALK_LASTS


def steps(world: World, name: str, now: datetime) -> list[Item]:
    """The procedure as it stands: our steps that apply here, the owner's in their places, each with its state.

    A name that is neither ours nor the owner's gives no steps.
    """
    name = name.casefold()
    rows = world.steps.get(name, [])
    items = [
        Item(one.key, one.text, one.why, "open", False)
        for one in procedures.LISTS.get(name, ())
        if applies(world, one.when)
    ]
    for row in rows:
        if row["role"] == "own":
            _insert(items, row)
    for row in rows:
        if row["role"] == "drop" and (place := find(items, row["step"])) is not None:
            del items[place]
    start = begun(world, name, now)
    marks: dict[str, State] = {
        row["step"].casefold(): row["mark"] for row in rows if row["role"] == "mark" and row["at"] >= start
    }
    return [replace(one, state=marks.get(one.key.casefold(), "open")) for one in items]


def _insert(items: list[Item], row: dict[str, Any]) -> None:
    """An own step before or after the one that its words name; at the end if none was named or found."""
    own = Item(row["step"], row["step"], "your own step", "open", True)
    if any(one.key.casefold() == own.key.casefold() for one in items):
        return
    if row.get("before") is not None and row["before"].casefold() in ("first", "everything", "all"):
        items.insert(0, own)
        return
    for side, shift in (("before", 0), ("after", 1)):
        if row.get(side) is not None and (place := find(items, row[side])) is not None:
            items.insert(place + shift, own)
            return
    items.append(own)


def find(items: Sequence[Item], words: str) -> int | None:
    """Place of the step that the words name: its key, its text, or the most words in common. None if none or several
    fit."""
    wanted = words.casefold().strip()
    for place, one in enumerate(items):
        if wanted in (one.key.casefold(), one.text.casefold()):
            return place
    stems = _stems(wanted)
    scores = [len(stems & (_stems(one.text) | _stems(one.key.replace("-", " ")))) for one in items]
    best = max(scores, default=0)
    return scores.index(best) if best and scores.count(best) == 1 else None


def _stems(text: str) -> frozenset[str]:
    words = "".join(c if c.isalnum() else " " for c in text.casefold()).split()
    return frozenset(_stem(word) for word in words if word not in SMALL_WORDS)


def _stem(word: str) -> str:
    for ending in ("ing", "ed", "es", "s", "e"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word[: -len(ending)]
    return word


@dataclass(frozen=True)
class Walked:
    """What a `word` of walking does: its marks (`step` key and mark; more than one only of "all"), and the procedure as it stands then.
    `at`: place of the step now to be done, None when none is open. `shown`: place of the step asked about by "why".
    `unknown`: the words of a named step that was not found. `obstacles`: what keeps leaving open although all steps are marked."""

    word: str
    items: tuple[Item, ...]
    at: int | None
    marks: tuple[tuple[str, State], ...] = ()
    shown: int | None = None
    unknown: str | None = None
    obstacles: tuple[Obstacle, ...] = ()

    @property
    def mark(self) -> tuple[str, State] | None:
        """The last of the marks."""
        return self.marks[-1] if self.marks else None

    @property
    def open(self) -> tuple[Item, ...]:
        return tuple(one for one in self.items if one.state == "open")

    @property
    def skipped(self) -> tuple[Item, ...]:
        return tuple(one for one in self.items if one.state == "skipped")

    @property
    def complete(self) -> bool:
        """Every step is done or skipped, and nothing stands in the way."""
        return not self.open and not self.obstacles


def current(items: Sequence[Item]) -> int | None:
    """Place of the first open step."""
    return next((place for place, one in enumerate(items) if one.state == "open"), None)


def walk(world: World, name: str, now: datetime, word: str = "left", item: str | None = None) -> Walked:
    """One word of walking through: `next` and `done` mark the current step done (or the named one), `all` every open one, `skip` skips it,
    `back` opens the
    one before it again, `left` and `why` only look. Changes nothing: the mark is for the caller to record as a `step`
    event."""
    items = steps(world, name, now)
    at = current(items)
    target = at
    if item is not None:
        target = find(items, item)
    elif word == "back":
        target = _before(items, at)
    marks: tuple[tuple[str, State], ...] = ()
    if word == "all":
        marks = tuple((one.key, "done") for one in items if one.state == "open")
        items = [replace(one, state="done") if one.state == "open" else one for one in items]
    states: dict[str, State] = {"next": "done", "done": "done", "skip": "skipped", "back": "open"}
    if word in states and target is not None and items[target].state != states[word]:
        marks = ((items[target].key, states[word]),)
        items[target] = replace(items[target], state=states[word])
    obstacles = tuple(departure_obstacles(world, now)) if name == "leaving" else ()
    now_at = target if word == "back" and marks else current(items)
    unknown = item if target is None else None
    return Walked(word, tuple(items), now_at, marks, target if word == "why" else None, unknown, obstacles)


def _before(items: Sequence[Item], at: int | None) -> int | None:
    """The last marked step before the current one."""
    end = len(items) if at is None else at
    return next((place for place in reversed(range(end)) if items[place].state != "open"), None)


def going_on(world: World, now: datetime) -> str | None:
    """The procedure being walked through: the one with the latest mark that still counts and steps still open; None
    if there is none."""
    latest: tuple[datetime, str] | None = None
    for name, rows in world.steps.items():
        start = begun(world, name, now)
        marks = [row["at"] for row in rows if row["role"] == "mark" and row["at"] >= start]
        if marks and (latest is None or max(marks) > latest[0]) and current(steps(world, name, now)) is not None:
            latest = max(marks), name
    return latest[1] if latest else None


def walked_of_late(world: World, name: str, now: datetime) -> bool:
    """Whether a step of the procedure was marked since it last began to count."""
    start = begun(world, name, now)
    return any(row["role"] == "mark" and row["at"] >= start for row in world.steps.get(name, ()))


def spare(item: str) -> str | None:
    """What stands in for a lost piece until it is replaced; None where nothing safely does."""
    return next((words for key, words in SPARES.items() if key in item.casefold()), None)


SPARES = {
    "regulator": "Live from the fresh tank and the pump until you have another; don't put the spigot's pressure on the rig without one.",
    "filter": "Fill the tank only from water that you would drink unfiltered, or drink from bottles for now.",
    "meter": "Tell me fresh levels and what you use; I go on without a meter.",
    "splitter": "You need no splitter to live; rinse only when the drinking hose is off.",
    "chock": "Two blocks of wood against the wheels do, on level ground.",
    "hose": "Don't fill through a garden hose or one that served waste; a spare drinking hose or jugs will do.",
}
