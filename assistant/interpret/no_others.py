"""Of what was told in one breath only some was so: "no, only Ana", "no, just the shower", "only one shower". The rest is taken back.

May import: `context`, `changed`, `plausible`, grammar's intents and rejoinders, state.
"""

from __future__ import annotations

from assistant.interpret import changed
from assistant.interpret.context import Context, Draft, draft
from assistant.interpret.plausible import checked
from assistant.interpret.which_entry import lately
from assistant.scene import AskBack
from grammar.intents import Amount, Use
from grammar.rejoinders import Amend, Fragment
from state.entry import Entry


def only_those(meaning: Amend, targets: list[Entry], context: Context) -> list[Draft]:
    """What is taken back of the entries of one turn; nothing if this is not said of several."""
    change = meaning.change
    if change.when is not None or change.open is not None:
        return []
    if not meaning.no_others:
        return _only_tanks(targets, change, context)
    if len(targets) < 2:
        return []
    return _only_people(targets, change, context) if change.people else _only_activity(targets, change, context)


def told_together(change: Fragment, targets: list[Entry], context: Context) -> list[Entry]:
    """ "no, only Ana" where something else was told since: the entries of the turn lately in which she was one of several; those of the last
    turn if there is none."""
    turns: dict[object, list[Entry]] = {}
    for one in [*reversed(targets), *lately(context)]:
        if one not in turns.setdefault(one.turn, []):
            turns[one.turn].append(one)
    for told in turns.values():
        named = [one for one in told if _is_named(one, change)]
        if 0 < len(named) < len(told):
            others = {one.person for one in targets if one.kind == "use" and one.person and not _is_named(one, change)}
            if change.people and others and told[0].turn != targets[0].turn:
                raise AskBack("Which entry is that of? Say it by name, for example: undo Ana's shower.", "statement")
            return list(reversed(told))
    return targets


def _is_named(one: Entry, change: Fragment) -> bool:
    who = {name.casefold() for name in change.people}
    return one.kind == "use" and (
        (one.person or "").casefold() in who if who else one.activity == change.activity is not None
    )


def _only_tanks(targets: list[Entry], change: Fragment, context: Context) -> list[Draft]:
    """ "Dumped grey and black … no, just grey": the other one is taken back."""
    told = {one.tank.casefold(): one for one in targets if one.kind in ("dump", "valve")}
    named = {name.casefold() for name in change.tanks}
    if len(told) < 2 or not named or not named < told.keys():
        return []
    return _taken_back([one for name, one in told.items() if name not in named], context)


def _only_people(targets: list[Entry], change: Fragment, context: Context) -> list[Draft]:
    """ "Ana and Bo showered … no, only Ana": Bo's is taken back."""
    named = {name.casefold() for name in change.people}
    theirs = [one for one in targets if one.kind == "use" and (one.person or "").casefold() in named]
    others = [one for one in targets if one not in theirs]
    found = {(one.person or "").casefold() for one in theirs}
    if found != named or any(one.kind != "use" or not _is_whose(one, change) for one in others):
        raise AskBack("Which of them is wrong? Say it by name, for example: undo the shower.", "statement")
    _guard_shared(targets, context)
    return _taken_back(others, context)


def _is_whose(one: Entry, change: Fragment) -> bool:
    """Whether a use has somebody of its own: of a bare one it was not said whose it is, unless the speaker is the one."""
    return bool(one.person) or "" not in change.people


def _only_activity(targets: list[Entry], change: Fragment, context: Context) -> list[Draft]:
    """ "Shower and dishes … no, only the shower": the dishes are taken back."""
    kept = [one for one in targets if one.kind == "use" and one.activity == change.activity]
    others = [one for one in targets if one not in kept]
    if not kept or any(one.kind == "meter" for one in others):
        raise AskBack("Which of them is wrong? Say it by name, for example: undo the dishes.", "statement")
    return _taken_back(others, context)


def _taken_back(others: list[Entry], context: Context) -> list[Draft]:
    ids = [one.id for one in others]
    return [draft("undo", context.now, of=ids[0] if len(ids) == 1 else tuple(ids))] if ids else []


def _guard_shared(uses: list[Entry], context: Context) -> None:
    """ "Ana and Bo showered, 4 gal … only Ana": all four, or half of it? Not said, so it is asked."""
    for one in uses:
        told = _as_said(one, context)
        if told is not None and one.litres < 0.99 * told:
            raise AskBack(
                "And all of the water, or only that share of it? Undo that, and say in full who took how much.",
                "statement",
            )


def _as_said(one: Entry, context: Context) -> float | None:
    """The amount as it was told, for one or for all; None where it is what is usual. [litres]"""
    said = next((told for told in one.get("said") or () if told.get("value") and told.get("unit")), None)
    if said is None or one.estimated:
        return None
    return context.volume(Amount(said["value"], said["unit"], text=said.get("text") or "")).litres


def so_few(meaning: Use, last: Entry, uses: list[Entry], context: Context) -> list[Draft]:
    """ "Only one shower" after "two showers", "only Ana showered" after two of them did: the others are taken back. Where it does not
    fit what was told last, it is asked whether it is besides that."""
    who = {name.casefold() for name in meaning.people if name}
    if len(uses) == 1 and not who and meaning.count is not None and meaning.count < last.count:
        told = _as_said(last, context)
        if told is not None and abs(last.litres - told) <= 0.01 * told:  # so much for all of them
            raise AskBack(
                "And how much did that take? Say it in full, for example: make it one shower, 3 gal.", "statement"
            )
        return [checked(last, changed.proposed(last, Fragment(count=meaning.count), context), context)]
    theirs = [one for one in uses if (one.person or "").casefold() in who]
    if who and meaning.count in (None, 1) and 0 < len(theirs) < len(uses) and all(one.person for one in uses):
        _guard_shared(uses, context)
        return _taken_back([one for one in uses if one not in theirs], context)
    context.guard("same-again", f'Is that besides "{last.heard}"? If not, say no, and undo what was told too often.')
    return []
