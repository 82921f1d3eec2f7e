"""The questions that a doubtful meter reading brings: lower than the last, far above it, or fitting the other meter better."""

from __future__ import annotations

from datetime import datetime

from assistant.interpret.context import Context
from state.care import rinse
from state.entry import Entry
from state.water import meter as meters


def guard_reading(context: Context, name: str, litres: float, at: datetime, rolled: bool = False) -> dict[str, bool]:
    """Asks about a reading that is lower than the last or implies too much; gives the flags of one that is taken.

    A small reading after grey was dumped is taken as an unmentioned reset; `I reset it`, as the reply to the question, confirms one.
    """
    if any(one["kind"] == "meter_reset" and one["meter"] == name for one in context.drafts):
        return {}
    _guard_later(context, name, litres, at)
    world = context.world_at(at)
    verdict = meters.judge(world, at, name, litres)
    last = context.scene.exact(world.meters[name].litres)
    said = context.scene.exact(litres)
    other = rinse.other_meter(world, name, litres, at)
    if other is not None:
        context.guard(
            "other-meter", f"{said} would fit the {other} meter better. Is it really the {name} meter?", "meter"
        )
    if verdict.kind == "reset_likely":
        return {"reset_before": True}
    if verdict.kind == "rolled_over":
        return {"rolled_over": True}
    if rolled and verdict.kind in ("lower", "reset_likely", "fits_other_meter"):
        return {"rolled_over": True}
    if verdict.kind == "lower":
        if f"lower-reading:{context.place}" in context.confirmed:
            return {"reset_before": True}
        context.guard(
            "lower-reading", f"The meter read {last} last time, and {said} is less. Was it reset in between?", "reset"
        )
    if verdict.kind == "too_much":
        context.guard(
            "implausible-reading",
            f"{said} would mean {context.scene.amount(verdict.since)} since the last reading. Is it right?",
        )
    if verdict.kind == "fits_other_meter":
        other = "rinse" if name == "inlet" else "inlet"
        context.guard(
            "other-meter", f"{said} would fit the {other} meter better. Is it really the {name} meter?", "meter"
        )
    return {}


def _guard_later(context: Context, name: str, litres: float, at: datetime, but: str = "") -> None:
    """Asks about a reading told late that lies above a later one: that one would look like a reset. but: the reading that is corrected."""
    if context.world.at is None or at >= context.world.at:
        return
    later = next(
        (one for one in context.scene.since(at) if _goes_on(one, name) and one.at > at and one.id != but), None
    )
    if later is None or later.kind == "meter_reset" or later.reset_before or later.rolled_over:
        return
    if litres > later.litres + SLACK:
        then, said = context.scene.exactly(later.at), context.scene.exact(litres)
        context.guard(
            "above-later",
            f"The meter read {context.scene.exact(later.litres)} {then}, and {said} before that is more. Is it right?",
        )


SLACK = 0.5
"""Readings that differ by less than this are alike. [litres]"""


def _goes_on(one: Entry, name: str) -> bool:
    return one.kind in ("meter", "meter_reset") and bool(one.meter == name)


def guard_amended(context: Context, target: Entry, litres: float, at: datetime | None = None) -> dict[str, bool]:
    """The flags of a corrected reading, judged against the world without the reading that it replaces. at: when it was, if that is what
    is corrected."""
    at = at or target.at
    _guard_later(context, target.meter, litres, at, target.id)
    verdict = meters.judge(context.world_at(at, without=target), at, target.meter, litres)
    if verdict.kind == "lower":
        context.guard(
            "lower-reading", "That is less than the reading before it. Was the meter reset in between?", "reset"
        )
        return {"reset_before": True, "rolled_over": False}
    if verdict.kind == "too_much":
        context.guard(
            "implausible-reading",
            f"That would mean {context.scene.amount(verdict.since)} since the reading before. Is it right?",
        )
    return {"reset_before": verdict.kind == "reset_likely", "rolled_over": verdict.kind == "rolled_over"}
