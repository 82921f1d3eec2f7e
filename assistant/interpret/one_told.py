"""A use that may be one told before: another washing-up, or the one before put right ("the dishes were 2", "about eight gallons for the
bath").

May import: `context`, `changed`, `no_others`, `plausible`, grammar's intents and rejoinders, state.
"""

from __future__ import annotations

from datetime import timedelta

from assistant.interpret import changed
from assistant.interpret.context import VOLUMES, Context, Draft
from assistant.interpret.no_others import so_few
from assistant.interpret.plausible import checked
from grammar import spans
from grammar.intents import Amount, Use
from grammar.rejoinders import Fragment
from state.entry import Entry
from state.lightclass import replace
from state.log.history import effective
from state.log.ordering import as_one_log

JUST_NOW = timedelta(minutes=10)
"""So soon after a use, "the dishes were 2" may be about that one. Our own choice, no source."""
TODAY = timedelta(hours=20)
"""So long after a use, "Bo's shower was on Sunday" may tell when that one was. Our own choice, no source."""


def of_one_told(meaning: Use, activity: str, context: Context) -> list[Draft]:
    """ "About eight gallons for the bath" right after "Bo had a bath", which was booked at its usual amount: what that one took. Where an
    amount was told already, asks whether it is another washing-up or that one put right; likewise of a day that is past."""
    who = tuple(name.casefold() for name in meaning.people if name)
    if meaning.activity is None and meaning.unknown_activity is None:
        _guard_so_much_of_theirs(meaning, who, context)
        return []
    last = context.lately_told(lambda entry: entry.kind == "use" and entry.activity == activity)
    if meaning.when is not None and meaning.when.has_day and meaning.known == "amount":
        _guard_that_day(meaning, activity, who, context)
    theirs = (last.person.casefold(),) if last is not None and last.person else ()
    moved = meaning.known == "other" and meaning.when is not None and meaning.when.has_day and who in (theirs, ())
    if last is None or context.now - last.heard_at > (TODAY if moved else JUST_NOW):
        return []
    if meaning.known == "only":
        log = effective(as_one_log(next(context.windows(), [])))
        alike = [one for one in log if one.turn == last.turn and one.kind == "use" and one.activity == activity]
        return so_few(meaning, last, alike, context)
    amount = meaning.amount if meaning.when is None else None
    if amount is not None and meaning.known in ("amount", "perhaps") and who in (theirs, ()):
        if last.estimated and last.count == 1 and not last.get("minutes"):
            return _amended(last, amount, context)
        newest = context.lately_told(lambda entry: True) is last
        instead = f'If not, say no, and then "make {"that" if newest else f"the {activity}"} {amount.text}".'
        if (who == theirs) == (meaning.known == "amount"):
            context.guard("same-again", f'Is that besides "{last.heard}"? {instead}')
    if meaning.known == "amount" and amount is None and meaning.when is None and who == theirs:
        anew = f"make that {meaning.count}" if meaning.count else f"no, {meaning.text}"
        context.guard("same-again", f'Is that besides "{last.heard}"? If not, say no, and then "{anew}".')
    if meaning.known == "other":  # "the shower was Ana", "Bo's shower was on Sunday"
        named = meaning.text if meaning.people and not meaning.done and "'s " in meaning.text else f"the {meaning.text}"
        instead = f'If not, say no, and then "no, {named}".'
        context.guard("same-again", f'Is that besides "{last.heard}"? {instead}')
    several = (meaning.count or 0) > 1 and meaning.amount is None and meaning.when is None and not meaning.done
    if (
        several and not meaning.more and who == theirs and last.count == 1 and not last.estimated
    ):  # "two loads" after "laundry 8 gal"
        context.guard("same-again", f'Is that besides "{last.heard}"?')
    return []


def _guard_so_much_of_theirs(meaning: Use, who: tuple[str, ...], context: Context) -> None:
    """ "Bo used 3" right after "Ana and Bo showered": of that shower, or of something else?"""
    last = context.lately_told(lambda entry: entry.kind == "use" and (entry.person or "").casefold() in who)
    if last is None or meaning.more or meaning.when is not None or context.now - last.heard_at > JUST_NOW:
        return
    context.guard("same-again", f'Is that besides "{last.heard}"? If not, say no, and then "no, {meaning.text}".')


def so_much_of_the_last(said: Fragment, context: Context) -> list[Draft]:
    """ "About 2 gallons" right after one use was booked at its usual amount: what that one took. Nothing where it may be anything else."""
    amount = said.amount
    bare = said == Fragment(amount=amount, text=said.text)
    if not bare or amount is None or amount.value is None or amount.bound is not None or amount.unit not in VOLUMES:
        return []
    last = context.lately_told(lambda entry: True)
    if last is None or last.kind != "use" or not last.estimated or last.count != 1:
        return []
    alone = context.lately_told(lambda entry: entry is not last and entry.turn == last.turn) is None
    soon = context.now - last.heard_at <= JUST_NOW and not context.drafts
    return _amended(last, amount, context) if alone and soon else []


def _amended(last: Entry, amount: Amount, context: Context) -> list[Draft]:
    measured = replace(amount, unit=context.unit(amount))  # water, and no count of baths
    return [checked(last, changed.proposed(last, Fragment(amount=measured), context), context)]


def _guard_that_day(meaning: Use, activity: str, who: tuple[str, ...], context: Context) -> None:
    """ "Bo's shower on Saturday was two gallons" where one of five is booked on Saturday: asks whether there were two."""
    assert meaning.when is not None
    first, last = spans.span(meaning.when, context.now)
    alike = [
        one
        for one in context.scene.since(first)
        if one.kind == "use"
        and one.activity == activity
        and one.at < last
        and (one.person or "").casefold() in (who or ("",))
    ]
    if alike:
        whose = f"{alike[-1].person}'s {activity}" if alike[-1].person else activity
        if meaning.amount is None:
            context.guard(
                "same-day", f'Is that besides "{alike[-1].heard}"? If not, say no, undo that, and say it anew.'
            )
            return
        instead = f"{whose} {meaning.when.text} was {meaning.amount.text}, not {context.scene.exact(alike[-1].litres)}"
        context.guard("same-day", f'Is that besides "{alike[-1].heard}"? If not, say no, and then "{instead}".')
