"""Guests on top of other guests: "two guests from Friday to Sunday", then "my sister comes from Saturday to Monday".

What is told of guests is booked as how many are aboard in all, and the latest that is told of a moment counts. So those who come while
others are here are booked in parts: beside them, and without them. May import: context.
"""

from __future__ import annotations

from datetime import datetime

from assistant.interpret.context import Context, Draft

_Stay = tuple[datetime | None, datetime | None, int]
""" From, until, how many are aboard in all."""


def beside_other_guests(own: Draft, more: int, context: Context) -> list[Draft]:
    """The guests of `own`, so many more, as one booking for each part of their stay."""
    start, until = own["from"], own["until"]
    others = [one for one in _told(context) if _meets(one, start, until, context.now)]
    turns = {at for one in others for at in one[:2] if at is not None and _within(at, start, until, context.now)}
    edges: list[datetime | None] = [start, *sorted(turns), until]
    parts: list[Draft] = []
    for n in range(len(edges) - 1):
        begins, ends = edges[n], edges[n + 1]
        there = next((one[2] for one in reversed(others) if _meets(one, begins, ends, context.now)), None)
        people = more + (there if there is not None else _without_guests(begins or context.now, context))
        if parts and parts[-1]["people"] == people:
            parts[-1]["until"] = ends
        else:
            parts.append(own | {"from": begins, "until": ends, "people": people})
    return parts


def _without_guests(at: datetime, context: Context) -> int:
    """How many are aboard then, but for guests who are expected."""
    said, world = context.booked_before("party"), context.world
    if said is not None and (said["until"] is None or at < said["until"]):
        return int(said["people"])
    return world.people if world.party_until is None or at < world.party_until else world.party_base


def _told(context: Context) -> list[_Stay]:
    """The guests told of before and in this phrase, in that order."""
    known = [
        (one["start"], one["until"], one["people"])
        for one in context.world.expected
        if one["what"] == "party" and one["people"] is not None
    ]
    now = [
        (one["from"], one["until"], one["people"])
        for one in context.drafts
        if one["kind"] == "expect" and one["what"] == "party"
    ]
    return [*known, *now]


def _meets(one: _Stay, start: datetime | None, until: datetime | None, now: datetime) -> bool:
    """Whether the two are here together for a while."""
    begins, ends = one[0] or now, one[1]
    return (ends is None or (start or now) < ends) and (until is None or begins < until)


def _within(at: datetime, start: datetime | None, until: datetime | None, now: datetime) -> bool:
    return (start or now) < at and (until is None or at < until)
