"""What a use can well have taken: how often at once, and how much; what cannot well be true is asked about.

May import: `context`, grammar's intents, state.
"""

from __future__ import annotations

from assistant.interpret.context import Context, Draft
from assistant.say import amounts
from assistant.scene import AskBack, CannotBe
from grammar.intents import Amount
from state import checks
from state.entry import Entry
from state.habits import typical
from state.lightclass import Any

A_BIG_USE = 4.0
"""A use of this much or more is one that a household has a few of in a day: a shower, a bath, dishes. [litres]"""

MOST_AT_ONCE, MOST_SMALL_AT_ONCE = 12, 50
"""More than so many big uses, or small ones, in one report are asked about. Our own choice, no source."""


def noun(activity: str) -> str:
    return {"other": "it", "dishes": "the dishes", "teeth": "the teeth", "handwash": "the handwash"}.get(
        activity, f"the {activity}"
    )


def guard_use(context: Context, activity: str, person: str | None, count: int, litres: float, estimated: bool) -> None:
    """Asks about a single use above ten times its typical volume, or above what the tank it came from can hold."""
    if litres < 0:
        raise CannotBe("A use can't be less than nothing, so nothing was recorded.")
    each = typical.typical(context.world, activity, person).mean
    if count > (MOST_AT_ONCE if each >= A_BIG_USE else MOST_SMALL_AT_ONCE):
        context.guard("implausible-count", f"That is {noun(activity)} {amounts.times(count)} in one go. Is it right?")
    if estimated and litres < 1000:
        return
    usual = each * count
    said = context.scene.exact(litres)
    if activity != "other" and litres > 10 * usual:
        context.guard(
            "implausible-use",
            f"{said} for {noun(activity)} is a lot; I'd expect {amounts.some(usual, context.scene.units)}. Is it right?",
        )
    sizes = [tank.litres for tank in context.world.rig.of_kind("fresh")] if context.world.supply == "tank" else []
    limit = max(sizes) if sizes else 10 * usual if activity != "other" else 0.0
    if activity == "other" and not sizes:
        limit = max((tank.litres for tank in context.world.rig.tanks.values()), default=400.0)
    if litres > limit and limit > 0:
        context.guard("implausible-use", f"{said} is more than the tank it came from can hold. Is it right?")


def guard_count(target: Entry, amount: Amount) -> None:
    """ "Two showers, 2 gal each … make that three": so many of them, or so much? Asked."""
    bare = amount.unit is None and not amount.each and amount.value in range(1, 10)
    if bare and target.kind == "use" and (target.count or 1) > 1:
        raise AskBack(
            f"So many, or so much water? Say it with the unit, or say: only {amount.text} of them.", "statement"
        )


def checked(target: Entry, fields: dict[str, Any], context: Context) -> Draft:
    """The amendment, if the event as it would be then may stand in the log."""
    after = target.replaced(fields)
    if after.kind == "use" and ("litres" in fields or "activity" in fields or "count" in fields):
        guard_use(context, after.activity, after.person, after.count, after.litres, after.estimated)
    try:
        checks.check(after.fields())
    except ValueError as problem:
        raise CannotBe("That can't be, so nothing was changed.") from problem
    at = fields.pop("at", target.at)
    return {"kind": "amend", "at": at, "of": target.id, **fields}
