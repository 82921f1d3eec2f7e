"""What may have been told twice: the same again within minutes, by another who was there, or said anew in other words. It is booked, since
it was said, and the words beside it say so.

May import: `amounts`, `times`, `scene`, state's entry and twins.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from assistant.say import amounts, times
from assistant.scene import Scene
from state.entry import Entry
from state.lightclass import Any
from state.log.twins import ALIKE

LATELY = timedelta(minutes=5)
"""So soon after it was told the same may be the same."""

KINDS = ("use", "dump", "fill", "haul")
ONE_MORE = frozenset(
    "another again more second third fourth too also additional extra further later besides plus other same".split()
)
"""Words that tell of one more."""


def beside(entries: Sequence[Entry], text: str, scene: Scene) -> str:
    """A sentence about it; nothing where nothing alike was told lately. entries: those of the turn."""
    new = [entry for entry in entries if entry.kind in KINDS]
    words = frozenset(text.casefold().replace(",", " ").replace(".", " ").split())
    if not new or not ONE_MORE.isdisjoint(words):
        return ""
    ids = {entry.id for entry in entries}
    start = min([scene.now - LATELY, *(entry.at for entry in new)])
    if words & {"today"} and any(one.kind == "use" and one.count > 1 for one in new):
        start = scene.now.replace(hour=0, minute=0, second=0, microsecond=0)
    old = [entry for entry in scene.since(start - LATELY) if entry.id not in ids and entry.kind in KINDS]
    turns: dict[Any, list[Entry]] = {}
    for entry in old:
        if abs(scene.now - entry.heard_at) <= LATELY:
            turns.setdefault(entry.turn, []).append(entry)
    for told in reversed(list(turns.values())):
        if all(_told(one, new, told) for one in new):
            at = min(one.at for one in told)
            return f"The same was told {_then(at, scene)}; if it is the same one, say undo."
    return _of_today(new, old, words, scene)


def _told(one: Entry, new: Sequence[Entry], told: Sequence[Entry]) -> bool:
    """Whether all of such a kind in this turn comes to what was told in that one."""
    mine = [each for each in new if _same_thing(each, one)]
    theirs = [each for each in told if _same_thing(each, one)]
    if not theirs or any(abs(each.at - one.at) > LATELY for each in theirs):
        return False
    people, others = ({each.get("person") for each in some} - {None} for some in (mine, theirs))
    if people and others and people != others:
        return False
    if sum(each.get("count") or 1 for each in mine) != sum(each.get("count") or 1 for each in theirs):
        return False
    much, as_much = (sum(each.get("litres") or 0.0 for each in some) for some in (mine, theirs))
    return bool(abs(much - as_much) <= ALIKE * max(much, as_much))


def _same_thing(one: Entry, other: Entry) -> bool:
    return one.kind == other.kind and all(one.get(key) == other.get(key) for key in ("activity", "tank"))


def _then(at: datetime, scene: Scene) -> str:
    return "just before" if abs(scene.now - at) <= LATELY else times.happened(at, scene.now)


def _of_today(new: Sequence[Entry], old: Sequence[Entry], words: frozenset[str], scene: Scene) -> str:
    """ "We washed up twice today", where one of them was told this morning."""
    if "today" not in words:
        return ""
    for one in new:
        before = [
            each
            for each in old
            if one.kind == "use" and one.count > 1 and _same_thing(each, one) and each.at.date() == scene.now.date()
        ]
        if before and (one.get("person") is None or any(each.get("person") in (None, one.person) for each in before)):
            already = amounts.number(sum(each.get("count") or 1 for each in before))
            return f"That comes on top of {already} told today already; if it is all of today's, say undo and tell the rest."
    return ""
