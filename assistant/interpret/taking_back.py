"""Undo and redo: which entries are meant, and what takes them back or brings them again. Nothing is ever rewritten."""

from __future__ import annotations

from datetime import timedelta

from assistant.interpret.booked_here import META, own_entries
from assistant.interpret.by_name import day_of, named
from assistant.interpret.context import Context, Draft, draft
from assistant.scene import AskBack, CannotBe
from grammar.rejoinders import Redo, Undo
from state.entry import Entry
from state.log.history import effective, undone
from state.log.ordering import as_one_log


def undo(meaning: Undo, context: Context) -> list[Draft]:
    """Takes back the last turn here that booked something (or the last so many); or the last of what was named, wherever it was said."""
    if meaning.what is not None:
        taken: list[Entry] = []
        for _ in range(max(1, min(meaning.count, 50))):
            taken.append(named(meaning, context, taken))
        if meaning.what == "dump" and meaning.count == 1:
            taken += _told_with(taken[0], context)
        if meaning.twin:
            _its_twin(taken[0], meaning, context)
        if meaning.count == 1 and not meaning.twin:
            _of_several_people(taken[0], meaning, context)
        if meaning.several:
            _the_only_one(taken[0], meaning, context)
        return [draft("undo", context.now, of=one.id) for one in taken]
    if meaning.nth is not None:
        return [draft("undo", context.now, of=_in_that_place(meaning.nth, context).id)]
    if meaning.several:
        raise AskBack("How many entries? Say, for example: undo the last three.", "statement")
    count = max(1, min(meaning.count, 50))
    if meaning.both:
        told = own_entries(context)
        count = 1 if sum(one.turn == told[-1].turn for one in told) > 1 else 2
    live, drafts = own_entries(context, count), []
    for _ in range(count):
        if not live:
            break
        turn = live[-1].turn
        ids = [one.id for one in live if one.turn == turn]
        live = [one for one in live if one.turn != turn]
        drafts.append(draft("undo", context.now, of=ids[0] if len(ids) == 1 else tuple(ids)))
    if not drafts and any(context.imported(log) for log in context.windows()):
        raise CannotBe(
            "Nothing said here is left to undo. What came from another device goes by name: undo the shower."
        )
    if not drafts:
        raise CannotBe("There is nothing left to undo.")
    return drafts


def _in_that_place(nth: int, context: Context) -> Entry:
    """ "strike the second one": the second of those told in the last turn."""
    live = own_entries(context)
    told = [one for one in live if one.turn == live[-1].turn and one.kind != "amend"]
    if not 0 < nth <= len(told) or len(told) < 2:
        raise AskBack("Which one was that? Name it, for example: undo the shower.", "statement")
    return told[nth - 1]


def _told_with(one: Entry, context: Context) -> list[Entry]:
    """ "undo the dump" of "dumped grey and black": the other tank emptied in the same breath."""
    for log in context.windows():
        live = effective(as_one_log(log))
        if any(other.id == one.id for other in live):
            return [x for x in live if x.turn == one.turn and x.kind == one.kind and x.id != one.id]
    return []


def _of_several_people(one: Entry, meaning: Undo, context: Context) -> None:
    """Asks where "the shower" was told of several people in one breath: whose it is that goes."""
    with_it = [other for other in _told_with(one, context) if other.get("activity") == one.get("activity")]
    if one.kind == "use" and one.person and meaning.whose is None and any(other.person for other in with_it):
        raise AskBack(
            f"Whose? Say: undo {one.person}'s {meaning.what}, or: undo the last {len(with_it) + 1} {meaning.what} entries.",
            "statement",
        )


def _its_twin(one: Entry, meaning: Undo, context: Context) -> None:
    """Asks where what was told twice stands only once, or on different days: the only one is not taken away."""
    once = f"I find that only once, {context.scene.exactly(one.at)}. Say undo the {meaning.what} if it should go."
    try:
        other = named(meaning, context, [one])
    except AskBack as none:
        raise AskBack(once, "statement") from none
    if abs(other.at - one.at) > _ALIKE:
        raise AskBack(once, "statement")
    if meaning.when is not None and other.get("litres") != one.get("litres"):
        raise AskBack(
            f"Which of them? Say for example: undo the first {meaning.what} {day_of(one, context)}.", "statement"
        )


def _the_only_one(one: Entry, meaning: Undo, context: Context) -> None:
    """Asks where "the showers" are several of late: one of them is less than was said, and all of them may be more."""
    try:
        other = named(meaning, context, [one])
    except AskBack:
        return
    if abs(other.at - one.at) <= _ALIKE:
        raise AskBack(
            f"There are several. Say: undo the last two {meaning.what} entries, or: undo the {meaning.what}.",
            "statement",
        )


_ALIKE = timedelta(hours=24)


def redo(meaning: Redo, context: Context) -> list[Draft]:
    """Brings back what the last undo took away, as long as nothing else was booked since."""
    for log in context.windows():
        gone = undone(log)
        for entry in reversed(log):
            if entry.kind == "undo" and entry.id not in gone:
                return [draft("redo", context.now, of=entry.id)]
            if entry.kind not in META:
                raise CannotBe("There is nothing to redo.")
    raise CannotBe("There is nothing to redo.")


def just_undone(context: Context) -> bool:
    for log in context.windows():
        imported, gone = context.imported(log), undone(log)
        own = (one for one in reversed(log) if one.turn not in imported and one.kind != "redo")
        last = next(own, None)
        if last is not None:
            return last.kind == "undo" and last.id not in gone
    return False
