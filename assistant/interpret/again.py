"""What was told last, once more: "the same again", "and another", "Joss too"; "grey too": of another tank.

Only what was spoken of just before can be meant: where something else was told since, or a while has passed, it is asked.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.interpret.booked_here import own_entries
from assistant.interpret.context import LATELY, Context, Draft
from assistant.interpret.pending import Pending
from assistant.interpret.plausible import guard_use, noun
from assistant.interpret.replies import shortened
from assistant.say import times
from assistant.scene import AskBack
from grammar.rejoinders import Again
from state.entry import Entry

REPEATABLE = ("use", "haul", "fill", "rinse", "dump")
_ONE = ("another", "one more", "one for", "had one")


def again(meaning: Again, context: Context) -> list[Draft]:
    """ "same again", "and another", "the same for Joss": what was told last, once more; "grey too": of another tank."""
    if meaning.tanks:
        return _of_other_tanks(meaning, context)
    told = _told_last(meaning, context)
    last = told[-1]
    if meaning.repeat and context.now - last.heard_at > LATELY:
        raise AskBack("Repeat what? Ask once more, or say in full what is to be booked again.", "statement")
    if meaning.repeat:  # who did not catch the answer says the same
        context.guard("repeat", f'Book "{last.heard}" once more?', "statement")
    fields = {
        name: value for name, value in last.fields().items() if name not in ("id", "heard", "heard_at", "at", "minutes")
    }
    for name in ("from_litres", "to_litres"):
        if name in fields:
            fields[name] = None
    if meaning.amount is not None:
        volume = context.volume(meaning.amount)
        fields |= {
            "litres": volume.litres,
            "estimated": volume.estimated,
            "said": (volume.said,) if volume.said else (),
        }
        fields.pop("to_full", None)  # "the same again, but 3 gal": so much, and not to the brim
    if meaning.activity is not None:
        if last.kind != "use" or last.estimated or context.now - last.heard_at > LATELY:
            raise AskBack(f"How much did {noun(meaning.activity)} use?", "amount")
        fields |= {"activity": meaning.activity, "count": 1}
    if last.kind == "use":
        count = 1 if last.count > 1 and any(one in meaning.text.casefold() for one in _ONE) else meaning.count
        if count is not None:
            each = fields["litres"] / max(1, last.count)
            fields |= {
                "count": count,
                "litres": each * count if meaning.amount is None else fields["litres"],
            }
        guard_use(context, fields["activity"], last.person, fields["count"], fields["litres"], fields["estimated"])
        mine = tuple(dict.fromkeys(one.person for one in told))
        if meaning.activity is not None:
            mine = (None,)  # "the same for the dog": whose doing that was, is not told
        people: tuple[str | None, ...] = tuple(name or None for name in meaning.people) or mine
        at = _as_long_ago(meaning, last, context)
        return [{**fields, "person": person, "at": at} for person in people]
    return [{**fields, "at": _as_long_ago(meaning, last, context)}]


def _told_last(meaning: Again, context: Context) -> list[Entry]:
    """What the last turn that booked something booked, which is not what happened last where it was told of yesterday.

    Raises: AskBack, if it is nothing that can be repeated, if it is not what was spoken of last, or if it booked different things.
    """
    spoken = own_entries(context, _TURNS_BACK)
    if not spoken or _else_since(meaning, context):
        raise AskBack(_WHAT, "statement")
    named = bool(meaning.people)  # somebody else did it too: a use
    turns = list(dict.fromkeys(one.turn for one in reversed(spoken)))
    for turn in turns:
        told = _booked(spoken, turn, context)
        if (told and not named) or any(one.kind == "use" for one in told):
            break
    else:
        raise AskBack(_WHAT, "statement")
    last = told[-1]
    late = context.now - last.heard_at > LATELY
    if late and (last.kind != "use" or context.now - last.heard_at > _A_DAY):
        raise AskBack(_WHAT, "statement")
    if len({_what(one) for one in told}) > 1:
        raise AskBack("The same as which of them? Say in full what is to be booked.", "statement")
    dated = meaning.when is not None and (
        meaning.when.has_day or meaning.when.has_hour
    )  # "the same again this evening"
    if (late and not meaning.repeat and not dated) or turn != turns[0]:
        whose = f" for {times.listed([name or 'you' for name in meaning.people])}" if named else ""
        context.guard("same-as", f'Do you mean the same as "{shortened(last.heard)}"{whose}?', "statement")
    return told


_WHAT = "The same as what? Say in full what is to be booked."
_TURNS_BACK = 8
_A_DAY = timedelta(hours=20)
"""What was told longer ago than this is not offered as what "the same again" means. Our own choice, no source."""


def _what(one: Entry) -> tuple[object, ...]:
    return (one.kind, one.get("activity"), one.get("tank"), one.at, one.get("count"), one.get("litres"))


def _booked(spoken: list[Entry], turn: int, context: Context) -> list[Entry]:
    """What a turn booked that can be repeated, or what it corrected, as it now stands."""
    ids: list[str] = []
    for one in spoken:
        if one.turn == turn:
            ids.append(one.of if one.kind == "amend" else one.id)
    return [one for one in context.as_they_are(ids).values() if one.kind in REPEATABLE]


def _else_since(meaning: Again, context: Context) -> bool:
    """Whether what was spoken of last is not booked: it was taken back, or it is still asked about."""
    if context.recall is None:
        return False
    log = context.recall.log
    newest = next(context.windows(), [])
    imported = context.imported(newest)
    last = next((one for one in reversed(newest) if one.turn not in imported), None)
    if last is not None and last.kind == "undo":
        return True
    turns = log.turns(last=1)
    waiting = turns[0].memo.get("pending") if turns and turns[0].outcome == "asked" else None
    if waiting is None:
        return False
    asked = Pending.from_memo(waiting)
    return not (asked.lapsed(context.now) or asked.of_mine() or meaning.text in asked.phrase)


def _of_other_tanks(meaning: Again, context: Context) -> list[Draft]:
    """ "grey too" after "dumped black": the last that was told of a tank, of others."""
    last = context.latest(lambda entry: entry.kind in ("dump", "level"))
    names = [context.tank(name).name for name in meaning.tanks]
    if last is None or context.now - last.heard_at > LATELY or last.tank in names:
        raise AskBack(f"What about {' and '.join(names)}: dumped, or how full?", "statement")
    fields = {name: value for name, value in last.fields().items() if name not in ("id", "heard", "heard_at", "at")}
    if last.kind == "level" and last.get("fraction") is not None:
        fields.pop("litres", None)
    elif last.kind == "level":
        raise AskBack(f"How full is {names[0]}?", "statement")
    return [
        {**fields, "tank": name, "at": context.happened(meaning.when) if meaning.when else last.at} for name in names
    ]


def _as_long_ago(meaning: Again, last: Entry, context: Context) -> datetime:
    """When it happened: "Joss too" after "Ana showered yesterday" was yesterday; whether "another" was is asked."""
    just_told = context.now - last.heard_at <= LATELY
    if meaning.when is not None or not just_told or last.heard_at - last.at < _THEN:
        return context.happened(meaning.when)
    if not meaning.people:
        said = times.exactly(last.at, context.now)
        context.guard("as-long-ago", f"Was that {said} too? Or say when.", "when")
    return last.at


_THEN = timedelta(minutes=2)
"""What is told less long after it happened was told as it happened. Our own choice, no source."""
