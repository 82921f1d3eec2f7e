"""The reply to a pending question: the phrase that raised it, completed. Works across processes, since all it keeps is words.

To go on, the phrase is read again and the replies (pending.py has what is kept of them) are laid into it in turn.
"""

from __future__ import annotations

from assistant.interpret.laying import laid_in, of_bare_amount, said_together, until
from assistant.interpret.pending import AS_READ, TAKE_BACK, Pending
from grammar.intents import (
    Arrive,
    Ask,
    Depart,
    Dump,
    Fill,
    Flow,
    Gear,
    Haul,
    Intent,
    Level,
    NotAReport,
    Party,
    ReadMeter,
    ResetMeter,
    ResetSomething,
    Rinse,
    SetTank,
    Stay,
    Stop,
    Teach,
    Use,
)
from grammar.read import read
from grammar.reading import Names, Reading
from grammar.rejoinders import Amend, Fragment, No, Redo, Undo, Walk, Yes
from state.lightclass import dataclass, field, replace


@dataclass
class Completed:
    """The phrase with the reply laid in. `meanings` as they now stand; `pending` is what to keep if yet another question follows."""

    meanings: list[Intent]
    pending: Pending


@dataclass
class Dropped:
    """The person took the phrase back."""


@dataclass
class Unanswered:
    """A yes or a choice that does not say which: the question stands."""

    question: str


@dataclass
class _State:
    meanings: list[Intent]
    confirmed: set[str] = field(default_factory=set)


def complete(
    pending: Pending, reading: Reading, words: str, names: Names, gone_on: bool = False
) -> Completed | Dropped | Unanswered | None:
    """What the reply makes of the pending phrase; None if the words are no reply to it (a fresh statement or question). `gone_on`: something
    else was said since, which a correction would be of."""
    before = read(pending.phrase, names)
    if not isinstance(before, Reading):
        return None
    meanings = [_as_use(meaning) for meaning in before.meanings]
    state = _State(meanings, set(pending.confirmed))
    for place, slot, earlier in pending.fills:
        again = read(earlier, names)
        if isinstance(again, Reading):
            _lay(state, place, slot, again, pending.choices)
    verdict = _lay(state, pending.place, pending.slot, reading, pending.choices, gone_on)
    if verdict == "taken":
        kept = replace(
            pending,
            confirmed=frozenset(state.confirmed),
            fills=(*pending.fills, (pending.place, pending.slot, words)),
        )
        return Completed(state.meanings, kept)
    if verdict == "dropped":
        return Dropped()
    if verdict == "which":
        return Unanswered(pending.question)
    parts = _choice_and_more(pending, reading, words, names)
    if parts is not None:
        chosen, more = parts
        if not more or _lay(state, pending.place, pending.slot, chosen, pending.choices) != "taken":
            return Unanswered(pending.question)  # "grey, half of it": nothing that may be booked as told
        kept = replace(pending, confirmed=frozenset(state.confirmed))
        return Completed([*state.meanings, *more], kept)
    return None


def _choice_and_more(
    pending: Pending, reading: Reading, words: str, names: Names
) -> tuple[Reading, list[Intent]] | None:
    """ "Grey, and rinsed it with 5 gal" to "which one was dumped": the choice, and the report behind it; none of the latter where it is
    no report. None if the words are not of that form."""
    chosen, comma, rest = words.partition(",")
    if not comma or not pending.choices or any(isinstance(one, Fragment | No) for one in reading.meanings):
        return None
    head = read(chosen, names)
    choice = head.meanings[0] if isinstance(head, Reading) and len(head.meanings) == 1 else None
    if not isinstance(head, Reading) or not isinstance(choice, Fragment):
        return None
    if not choice.every and not set(choice.tanks) & set(pending.choices):
        return None
    tanks = choice.tanks
    more = read(rest, names)
    if (
        not isinstance(more, Reading)
        or more.left
        or any(isinstance(one, (*_NO_REPORT, NotAReport)) for one in more.meanings)
    ):
        return head, []
    return head, [
        replace(one, tank=tanks[0]) if tanks and isinstance(one, Rinse | Level | Haul) and one.tank is None else one
        for one in more.meanings
    ]


def passed_over(pending: Pending, told: list[Intent], names: Names) -> bool:
    """Whether a report that was asked about is left aside by what is told now: nothing of it is said again, and it would be forgotten."""
    if pending.of_mine():
        return False
    before = read(pending.phrase, names)
    if not isinstance(before, Reading):
        return False
    asked = [one for one in before.meanings if not isinstance(one, _NO_REPORT)]
    if any(isinstance(one, Arrive) for one in told):
        asked = [one for one in asked if not isinstance(one, Depart)]  # who has arrived has left
    return bool(asked) and not {_about(one) for one in asked} & {_about(one) for one in told}


_NO_REPORT = (Ask, Fragment, Yes, No, Amend, Walk, Undo, Redo)


def _about(meaning: Intent) -> tuple[str, object]:
    return type(meaning).__name__, getattr(meaning, "activity", None)


def shortened(phrase: str, most: int = 60) -> str:
    """The beginning of what was said, whole words of it."""
    words = " ".join(phrase.split())
    return words if len(words) <= most else words[:most].rsplit(" ", 1)[0] + " …"


def bare_use(meaning: Fragment) -> Use | None:
    """The use that "dishes", or "Ana: dishes", may report; None if there is more or less in the words."""
    rest = replace(meaning, activity=None, people=(), when=None, count=None, text="")
    if meaning.activity is None or rest != Fragment() or len(meaning.people) > 1:
        return None
    done = meaning.when is None or meaning.when.weekday is None  # "laundry probably on Thursday": which one?
    return Use(
        activity=meaning.activity,
        people=meaning.people,
        when=meaning.when,
        count=meaning.count,
        done=done,
        text=meaning.text,
    )


def _as_use(meaning: Intent) -> Intent:
    """A named activity that was asked about, as the use that a reply completes."""
    return (bare_use(meaning) or meaning) if isinstance(meaning, Fragment) else meaning


def _lay(
    state: _State, place: int, slot: str, reading: Reading, choices: tuple[str, ...], gone_on: bool = False
) -> str:
    """Lays one reply into the meanings: "taken", "dropped", "which" (it does not say enough) or "fresh" (no reply at all).
    `gone_on`: something else was said since the question."""
    if not 0 <= place < len(state.meanings):
        return "fresh"
    meanings = [meaning for meaning in reading.meanings if not isinstance(meaning, Yes)]
    agreed = len(meanings) < len(reading.meanings)
    guard = slot.partition("?")[2]
    if any(isinstance(meaning, No) for meaning in meanings):
        rest = [meaning for meaning in meanings if not isinstance(meaning, No)]
        if not rest:
            return "dropped"
        meanings = rest
    if not meanings:
        if guard:
            state.confirmed.add(guard)
            return "taken"
        if isinstance(state.meanings[place], Fragment) and len(choices) == 1:
            meanings = [Fragment(choice=1)]
        else:
            return "which"
    if len(meanings) != 1:
        return "fresh"
    was = _as_it_was(state.meanings[place], meanings[0])
    if was is not None and guard and not guard.startswith((AS_READ, TAKE_BACK)):
        state.meanings[place:place] = [
            was
        ]  # told before what was done, which is asked about again if it still cannot be
        if agreed:
            state.confirmed.add(f"{guard.partition(':')[0]}:{place + 1}")
        return "taken"
    if guard.startswith(AS_READ) and not agreed and not _says_it_again(meanings[0], gone_on):
        return "which" if isinstance(meanings[0], Fragment | Amend) else "fresh"
    reply, asked = _when_asked(meanings[0], slot), state.meanings[place]
    if guard.startswith("only-named") and len(state.meanings) > 1 and not agreed:
        return (
            "which" if isinstance(reply, Fragment | Amend) else "fresh"
        )  # of "coffee and dishes", "3 gal" tells neither
    if isinstance(reply, Undo) and reply.what is not None and reply.what == getattr(asked, "activity", None):
        return "dropped"  # "cancel the shower": the one that is asked about
    if isinstance(reply, Undo) and reply == Undo(text=reply.text) and not isinstance(asked, Undo):
        return "dropped"  # what was asked about last is what was said last
    if isinstance(reply, Fragment) and guard.startswith(TAKE_BACK) and not agreed:
        return "fresh"  # a number is no yes
    if isinstance(reply, Amend) and reply.of is not None:
        return "fresh"  # it names the entry that it corrects
    if isinstance(reply, Amend) and reply.whose is not None and _somebody_elses(asked, reply.whose):
        return "fresh"  # "mine was only two", of his that is asked about
    if isinstance(reply, Amend) and (reply.without or reply == Amend(text=reply.text)):
        return "which"  # "not grey", "I read it wrong": what it was, is not told
    if isinstance(reply, Amend):
        reply = reply.whole if reply.whole is not None else reply.change
    if isinstance(reply, Fragment) and reply.amount and reply.when and reply.amount.text == reply.when.text:
        reply = replace(reply, amount=None)  # "it was at 10": the hour, and not so much as well
    went_round = isinstance(reply, ReadMeter) and reply.rolled and reply.reading is None
    if guard.startswith("lower-reading") and went_round and isinstance(asked, ReadMeter):
        state.meanings[place] = replace(asked, rolled=True)
        state.confirmed.add(guard)
        return "taken"
    if guard.startswith("lower-reading") and isinstance(reply, ResetMeter | ResetSomething):
        state.confirmed.add(guard)
        return "taken"
    if guard.startswith("departure-gear-out") and _all_in(reply):
        state.meanings.append(reply)  # "everything is in"
        state.confirmed.add(guard)
        return "taken"
    if isinstance(reply, Flow) and isinstance(asked, Rinse) and asked.amount is None:
        state.meanings[place : place + 1] = [reply, asked]  # how fast it runs is booked, and makes the litres
        return "taken"
    if isinstance(reply, Teach) and reply.means is None and isinstance(asked, Use):
        state.meanings[place] = replace(asked, activity=None, unknown_activity=reply.word)
        return "taken"
    if isinstance(asked, Dump) and slot == "tank" and isinstance(reply, Fragment):
        reply = _part_of_it(asked, reply) or reply
    corrects = isinstance(meanings[0], Amend)
    laid = (
        laid_in(asked, reply, slot.partition("?")[0], choices)
        if isinstance(reply, Fragment)
        else _named_tank(asked, reply, slot) or _merged(asked, reply, corrects)
    )
    if laid is None and agreed and guard and not isinstance(reply, Ask):
        state.confirmed.add(guard)  # "yes, it was 200 gallons"
        if not corrects and not isinstance(reply, (*_NO_REPORT, NotAReport)):
            state.meanings.append(reply)  # "yes, and dumped grey"
        return "taken"
    if laid is None and slot == "tank" and isinstance(asked, Haul) and isinstance(reply, Level) and _bare(reply):
        return "which"  # "grey, only half full": the tote, or the tank?
    if laid is None:
        return "which" if isinstance(reply, Fragment) and (reply.choice or reply.every) else "fresh"
    state.meanings[place] = laid
    return "taken"


def _when_asked(reply: Intent, slot: str) -> Intent:
    """ "When was that?" … "yesterday at four": by itself it would ask what there was."""
    if slot.partition("?")[0] != "when" or not isinstance(reply, Ask) or reply.when is None:
        return reply
    bare = reply.topic == "history" and reply.text.strip(" .!").casefold() == reply.when.text.casefold()
    return Fragment(when=reply.when, text=reply.text) if bare else reply


def _as_it_was(asked: Intent, reply: Intent) -> Level | None:
    """ "Put 20 gal in fresh", asked about … "it was empty": how full the tank was before."""
    if not isinstance(asked, Fill | Dump | Haul | Rinse) or not isinstance(reply, Amend | Level):
        return None
    tank = (asked.tanks[0] if len(asked.tanks) == 1 else None) if isinstance(asked, Dump) else asked.tank
    tank = tank or ("fresh" if isinstance(asked, Fill) else None)
    _, was, rest = f" {reply.text.casefold()}".rpartition(" was ")
    again = read(f"{tank} was {rest}", Names(tanks=(tank,))) if was and tank is not None else None
    found = again.meanings[0] if isinstance(again, Reading) and len(again.meanings) == 1 else None
    if not isinstance(found, Level) or (isinstance(reply, Level) and reply.tank != tank):
        return None
    return replace(found, when=found.when or asked.when)


def _part_of_it(asked: Dump, reply: Fragment) -> Intent | None:
    """ "Which one was dumped?" … "grey, but not all of it"."""
    again = read(f"{asked.text} {reply.text}")
    found = again.meanings[0] if isinstance(again, Reading) and len(again.meanings) == 1 else None
    return found if isinstance(found, Level) and found.amount is None and found.tank in reply.tanks else None


def _says_it_again(reply: Intent, gone_on: bool) -> bool:
    """Whether the words settle what I may have misread without a yes: "no, dishes" tells it anew. Another report, a bare number or
    "actually today" behind something else leave it open, and nothing of it is booked."""
    return isinstance(reply, Undo) or (isinstance(reply, Amend) and reply.sure and not gone_on)


def _all_in(reply: Intent) -> bool:
    """ "Everything is in", "everything's stowed"."""
    if isinstance(reply, Gear):
        return "*" in reply.items and reply.where == "stowed"
    return isinstance(reply, Fragment) and reply.every and reply.where == "stowed"


def _somebody_elses(asked: Intent, whose: str) -> bool:
    """Whether the use asked about is told of others than the one now spoken of ("": the speaker)."""
    people = [name.casefold() for name in asked.people] if isinstance(asked, Use) else []
    return bool(people) and whose.casefold() not in (*people, "he", "she")


def _merged(asked: Intent, reply: Intent, corrects: bool) -> Intent | None:
    """A reply that is a statement of the same kind: it replaces, and keeps what it does not say itself. `corrects`: it was said as a
    correction ("no, it was dishes, 2 gal")."""
    if isinstance(asked, Use) and isinstance(reply, Use):
        if not corrects and _of_something_else(asked, reply):
            return None
        if reply.amount is None and reply.before is None and reply.after is None:
            reply = replace(reply, amount=asked.amount, minutes=reply.minutes or asked.minutes)
        if reply.activity in (None, "other") and reply.unknown_activity is None:
            reply = replace(reply, activity=asked.activity, unknown_activity=asked.unknown_activity)
        return replace(
            reply, people=reply.people or asked.people, when=reply.when or asked.when, count=reply.count or asked.count
        )
    if isinstance(asked, Fragment) and asked.amount is not None:
        full = isinstance(reply, Fill) and reply.to_full
        counted = isinstance(reply, Use) and (asked.amount.unit is None or reply.count is not None)
        together = said_together(asked.amount, reply) if full or counted else None
        return together or of_bare_amount(asked.amount, reply)
    if isinstance(reply, Stay) and isinstance(asked, (Arrive, Ask, Stop, Party)):
        return until(asked, reply.until, reply.nights)
    if isinstance(asked, ResetSomething) and isinstance(reply, (ResetMeter, Dump)):
        return reply
    if isinstance(asked, Dump) and isinstance(reply, Level) and reply.amount is None:
        return reply  # how full it is now is asked
    if type(asked) is type(reply) and not isinstance(asked, (Ask, Fragment)):
        return replace(reply, when=reply.when or asked.when)
    return None


def _named_tank(asked: Intent, reply: Intent, slot: str) -> Intent | None:
    """ "Which tank did the tote empty?" … "the grey tank, about 13 gallons": no size of a tank, but which one, and how much it was."""
    if slot != "tank" or not isinstance(reply, SetTank | Level) or not isinstance(asked, Haul | Rinse | Fill):
        return None
    if reply.tank is None or reply.amount is None:
        return None
    if isinstance(asked, Haul) and _brim_full(reply):
        return replace(asked, tank=reply.tank)  # "grey, and it was full": the tote
    if reply.amount.unit in ("fraction", "percent"):
        return None
    return replace(asked, tank=reply.tank, amount=reply.amount)


def _brim_full(reply: SetTank | Level) -> bool:
    amount = reply.amount
    full = amount is not None and amount.unit == "fraction" and amount.value == 1
    return full and isinstance(reply, Level) and _bare(reply)


def _bare(reply: Level) -> bool:
    """Whether it is not told in so many words that the tank is so."""
    return {"is", "are", "now"}.isdisjoint(reply.text.casefold().replace("'s", " is").split())


def _of_something_else(asked: Use, reply: Use) -> bool:
    """ "How much did the teeth use?" … "Zoe flushed 3 times", "shower 3 gal": a report of its own, of which nothing is laid to the teeth."""
    if asked.activity in (None, "other") or reply.activity in (None, "other", asked.activity):
        return False
    told = reply.amount is not None or reply.before is not None or reply.after is not None
    return told or reply.done or bool(reply.count or reply.people)
