"""A full statement put in the place of what was told last: what it leaves as it was, and whether it is told besides."""

from __future__ import annotations

from assistant.interpret.context import Context, Draft
from assistant.interpret.replies import shortened
from grammar.intents import Intent, Use
from grammar.rejoinders import Fragment
from state.entry import Entry
from state.lightclass import Any


def guard_another_deed(whole: Intent, old: Entry, new: Draft, context: Context) -> None:
    """ "wait, Bert showered two gallons" after a shower of the speaker's: told in full of somebody or something else, it may be besides."""
    if not isinstance(whole, Use) or not whole.done:
        return
    named = [name for name, told in (("person", whole.people), ("activity", whole.activity)) if told]
    if any(new.get(name) not in (None, old.get(name)) for name in named):
        _guard(old, context)


def guard_deeds(text: str, told: Fragment, targets: list[Entry], context: Context) -> None:
    """The same of "wait, Bert's shower was two gallons": none of the uses told last is his, or none is of that activity. "That was Ana in
    the shower" speaks of the one told last."""
    if text.casefold().startswith(_POINTS_BACK):
        return
    uses = [one for one in targets if one.kind == "use"]
    named = {name.casefold() for name in told.people}
    same = [one for one in uses if one.activity == told.activity]
    if not same or (named and not any((one.person or "").casefold() in named for one in same)):
        _guard(uses[-1], context)


_POINTS_BACK = ("that was", "that's", "it was", "this was")


def _guard(old: Entry, context: Context) -> None:
    text = f'Is that instead of "{shortened(old.heard)}"? If it was done besides, say no, then: also …'
    context.guard("instead", text, "yes")


_MINE = frozenset("i me mine my".split())


def but_what_was_not_said(whole: Use, text: str, fields: dict[str, Any]) -> None:
    """ "no, Tom used 4 gal", "no, the shower was 3": the activity, the person and the amount stay where the correction names none."""
    if whole.amount is None:
        for name in ("litres", "estimated", "said", "count"):
            fields.pop(name, None)
    if whole.activity is None:
        fields.pop("activity", None)
    if not whole.people and _MINE.isdisjoint(text.casefold().split()):
        fields.pop("person", None)
