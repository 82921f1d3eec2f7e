"""Which of the entries told lately a correction is of, where it is not simply the last: named by its activity, or all of one breath.

May import: `changed`, `context`, grammar's rejoinders, state.
"""

from __future__ import annotations

from assistant.interpret import changed
from assistant.interpret.booked_here import own_entries
from assistant.interpret.context import LATELY, Context
from assistant.scene import AskBack
from grammar.rejoinders import Amend, Fragment
from state.entry import Entry
from state.lightclass import Any, replace

Change = tuple[Entry, dict[str, Any]]
STANDS = "It stands like that already. What should change?"


def named_before(targets: list[Entry], meaning: Amend, context: Context) -> list[Change]:
    """ "it was Ben who showered", "no, the shower was 3" where the dishes were told since: of the latest shower. Nothing if there was
    none lately, or if only another activity is told. Asks where "no, shower 3 gal" may be either."""
    change = meaning.change
    what = replace(change, activity=None, text="")
    if change.activity is None or what == Fragment() or any(_is_use_of(one, change.activity) for one in targets):
        return []
    target = next((one for one in lately(context) if _is_use_of(one, change.activity)), None)
    if target is None or meaning.that_was:
        return []
    if what != Fragment(people=change.people) and not meaning.by_name:
        raise AskBack(f'Of "{target.heard}"? Then say it with its name: make the {change.activity} …', "statement")
    fields = changed.proposed(target, replace(change, activity=None), context)
    if not differ(target, fields):
        raise AskBack(STANDS, "statement")
    return [(target, fields)]


def of_whom(was: Fragment, activity: str | None, targets: list[Entry], context: Context) -> list[Entry]:
    """ "that wasn't Len, that was me": the use of the one who was named wrongly, in the last turn or lately before it. Asks if there is none."""
    who = was.people[0].casefold()

    def theirs(one: Entry) -> bool:
        fits = activity is None or one.get("activity") == activity
        return one.kind == "use" and (one.person or "").casefold() == who and fits

    found = [one for one in targets if theirs(one)] or [one for one in lately(context) if theirs(one)][:1]
    if len(found) != 1:
        many = "more than one entry" if found else "no entry"
        raise AskBack(f"I have {many} of {was.people[0]} just now. Which one was it, and what of it?", "statement")
    return found


def _is_use_of(one: Entry, activity: str) -> bool:
    return one.kind == "use" and one.activity == activity


def all_at_once(targets: list[Entry], change: Fragment, context: Context) -> list[Change]:
    """ "dumped grey and black … make that yesterday": what was told in one breath, of one moment, was at another. An amount or a person
    that fits the uses of several people is asked about."""
    alike = len(targets) > 1 and len({one.kind for one in targets}) == 1
    told = changed.hour_or_number(targets[0].kind, change)
    if (
        alike
        and told.when is not None
        and replace(told, when=None, text="") == Fragment()
        and len({one.at for one in targets}) == 1
    ):
        both = [(one, changed.proposed(one, change, context)) for one in targets]
        return [(one, fields) for one, fields in both if differ(one, fields)]
    if alike and told.unit is not None and replace(told, unit=None, text="") == Fragment():  # "litres, not gallons"
        both = [(one, changed.proposed(one, change, context)) for one in targets]
        return [(one, fields) for one, fields in both if differ(one, fields)]
    whose = alike and targets[0].kind == "use" and replace(told, people=(), text="") == Fragment()
    if whose and told.people and not any(one.get("person") for one in targets):
        raise AskBack("Which of them was that? Undo them, and say them again with the name.", "statement")
    people = {one.get("person") for one in targets}
    same = alike and len({one.get("activity") for one in targets}) == 1 and len(people) == len(targets)
    if same and targets[0].kind == "use" and not people & set(change.people) and (change.amount or change.people):
        raise AskBack(
            f"Of which of them? Say for example: {targets[0].get('person') or 'the first'}'s was …", "statement"
        )
    return []


def those(meaning: Amend, targets: list[Entry], context: Context) -> list[Change]:
    """ "those were yesterday": all that was told in the last turn; where that was one entry, what was told before it as well, if a yes to the
    question says so. Asks about anything but a time or a person, which can hardly be the same of all."""
    told = meaning.change
    if replace(told, when=None, people=(), text="") != Fragment():
        raise AskBack("Of which of them? Say it with its name, for example: make the shower 3.", "statement")
    before = lately(context)
    if len(targets) < 2 < len(before) + 1:
        two = len(before) == 2 or not {"both", "two"}.isdisjoint(meaning.text.casefold().split())
        targets = before[:2] if two else before
        said = f'"{targets[-1].heard}"'
        both = f'both, {said} and "{targets[0].heard}"' if two else f"all {len(targets)} entries from {said} on"
        context.guard("all-of-those", f"Do you mean {both}?", "statement")
    made = [(one, changed.proposed(one, told, context)) for one in targets]
    if any(not fields for _, fields in made):
        raise AskBack("That can't be said of all of them. Of which is it?", "statement")
    if not any(differ(one, fields) for one, fields in made):
        raise AskBack(STANDS, "statement")
    return [(one, fields) for one, fields in made if differ(one, fields)]


def lately(context: Context) -> list[Entry]:
    """What was told lately and stands, as it now is, the latest first."""
    ids = [one.of if one.kind == "amend" else one.id for one in own_entries(context, LATELY_TOLD)]
    latest = context.as_they_are(list(dict.fromkeys(ids)))
    return [one for one in reversed(list(latest.values())) if context.now - one.heard_at <= LATELY]


LATELY_TOLD = 4
"""Turns that booked something, among which a use is looked for by its name."""


def differ(target: Entry, fields: dict[str, Any]) -> bool:
    """Whether anything would change: "a long one" for a shower that is one already must not be called corrected."""
    return any(target.get(name) != value for name, value in fields.items() if name != "said")
