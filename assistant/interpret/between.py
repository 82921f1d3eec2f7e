"""A use told between the reading before it and the one after: the readings tell what it took, and it is none besides."""

from __future__ import annotations

from assistant.interpret.context import LATELY, Context, Draft, draft
from assistant.interpret.plausible import checked, noun
from assistant.interpret.readings import guard_reading
from grammar.intents import Amount
from state.entry import Entry


def told_between(activity: str, before: float, reading: Amount, context: Context) -> list[Draft]:
    """ "Meter 10 before shower", "Ana showered", "after 12": her shower took what ran between. Where another amount was told of it, it is
    asked; of several only the reading is booked. Nothing if no such use was told. before: [litres]"""
    uses = _told(activity, context)
    after = context.volume(reading, "What did the meter read")
    litres = after.litres - before
    if not uses or litres <= 0:
        return []
    flags = guard_reading(context, "inlet", after.litres, context.now)
    read = draft("meter", context.now, [after.said], meter="inlet", litres=after.litres) | flags
    if len(uses) > 1:
        return [read]  # how much each of them took, is not told
    told = uses[0]
    if not told.estimated and abs(told.litres - litres) > 0.1 * litres:
        ran = context.scene.exact(litres)
        context.guard(
            "told-between",
            f"{ran} ran between the readings. Was all of it {noun(told.activity)} told in between?",
            "yes",
        )
    fields = {
        "litres": litres,
        "estimated": False,
        "from_litres": before,
        "to_litres": after.litres,
        "said": [after.said],
    }
    return [checked(told, fields, context), read]


def _told(activity: str, context: Context) -> list[Entry]:
    """The uses since the reading before it was told, a moment ago; none, if one is of another kind ("other": of any kind) or was metered."""
    opened = context.lately_told(lambda entry: entry.kind == "meter" and entry.meter == "inlet")
    if opened is None or opened.get("before") is None or context.now - opened.heard_at > LATELY:
        return []
    since = [one for one in context.scene.since(opened.at) if one.kind == "use" and one.seq > opened.seq]
    alike = all(activity in ("other", one.activity) and one.get("from_litres") is None for one in since)
    return since if alike else []
