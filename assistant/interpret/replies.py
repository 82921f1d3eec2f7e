"""The reply to a pending question: the phrase that raised it, completed. Works across processes, since all it keeps is words.

To go on, the phrase is read again and the replies (pending.py has what is kept of them) are laid into it in turn.
"""

from __future__ import annotations

from assistant.interpret.pending import Pending
from grammar.intents import (
    Amount,
    Arrive,
    Ask,
    Depart,
    Dump,
    Expect,
    Fill,
    Flow,
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
from grammar.when import When
from state.lightclass import Any, dataclass, field, replace

AMOUNT_FIELD = {"ReadMeter": "reading", "Flow": "volume", "Frost": "low", "Upkeep": "every"}


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


def complete(pending: Pending, reading: Reading, words: str, names: Names) -> Completed | Dropped | Unanswered | None:
    """What the reply makes of the pending phrase; None if the words are no reply to it (a fresh statement or question)."""
    before = read(pending.phrase, names)
    if not isinstance(before, Reading):
        return None
    meanings = [_as_use(meaning) for meaning in before.meanings]
    state = _State(meanings, set(pending.confirmed))
    for place, slot, earlier in pending.fills:
        again = read(earlier, names)
        if isinstance(again, Reading):
            _lay(state, place, slot, again, pending.choices)
    verdict = _lay(state, pending.place, pending.slot, reading, pending.choices)
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
    return None


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
    return Use(
        activity=meaning.activity, people=meaning.people, when=meaning.when, count=meaning.count, text=meaning.text
    )


def _as_use(meaning: Intent) -> Intent:
    """A named activity that was asked about, as the use that a reply completes."""
    return (bare_use(meaning) or meaning) if isinstance(meaning, Fragment) else meaning


def _lay(state: _State, place: int, slot: str, reading: Reading, choices: tuple[str, ...]) -> str:
    """Lays one reply into the meanings: "taken", "dropped", "which" (it does not say enough) or "fresh" (no reply at all)."""
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
    reply, asked = meanings[0], state.meanings[place]
    if isinstance(reply, Undo) and reply.what is not None and reply.what == getattr(asked, "activity", None):
        return "dropped"  # "cancel the shower": the one that is asked about
    if isinstance(reply, Amend) and reply.without:
        return "which"  # "not grey": which it was, is not told
    if isinstance(reply, Amend):
        reply = reply.whole if reply.whole is not None else reply.change
    went_round = isinstance(reply, ReadMeter) and reply.rolled and reply.reading is None
    if guard.startswith("lower-reading") and went_round and isinstance(asked, ReadMeter):
        state.meanings[place] = replace(asked, rolled=True)
        state.confirmed.add(guard)
        return "taken"
    if guard.startswith("lower-reading") and isinstance(reply, ResetMeter | ResetSomething):
        state.confirmed.add(guard)
        return "taken"
    if isinstance(reply, Flow) and isinstance(asked, Rinse) and asked.amount is None:
        state.meanings[place : place + 1] = [reply, asked]  # how fast it runs is booked, and makes the litres
        return "taken"
    if isinstance(reply, Teach) and reply.means is None and isinstance(asked, Use):
        state.meanings[place] = replace(asked, activity=None, unknown_activity=reply.word)
        return "taken"
    corrects = isinstance(meanings[0], Amend)
    laid = (
        _fragment(asked, reply, slot.partition("?")[0], choices)
        if isinstance(reply, Fragment)
        else _named_tank(asked, reply, slot) or _merged(asked, reply, corrects)
    )
    if laid is None and agreed and guard and not isinstance(reply, Ask):
        state.confirmed.add(guard)  # "yes, it was 200 gallons"
        if not corrects and not isinstance(reply, (*_NO_REPORT, NotAReport)):
            state.meanings.append(reply)  # "yes, and dumped grey"
        return "taken"
    if laid is None:
        return "which" if isinstance(reply, Fragment) and (reply.choice or reply.every) else "fresh"
    state.meanings[place] = laid
    return "taken"


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
        return _of_bare_amount(asked.amount, reply)
    if isinstance(reply, Stay) and isinstance(asked, (Arrive, Ask, Stop, Party)):
        return _until(asked, reply.until, reply.nights)
    if isinstance(asked, ResetSomething) and isinstance(reply, (ResetMeter, Dump)):
        return reply
    if type(asked) is type(reply) and not isinstance(asked, (Ask, Fragment)):
        return replace(reply, when=reply.when or asked.when)
    return None


def _named_tank(asked: Intent, reply: Intent, slot: str) -> Intent | None:
    """ "Which tank did the tote empty?" … "the grey tank, about 13 gallons": no size of a tank, but which one, and how much it was."""
    if slot != "tank" or not isinstance(reply, SetTank | Level) or not isinstance(asked, Haul | Rinse | Fill):
        return None
    if reply.tank is None or reply.amount is None or reply.amount.unit in ("fraction", "percent"):
        return None
    return replace(asked, tank=reply.tank, amount=reply.amount)


def _of_something_else(asked: Use, reply: Use) -> bool:
    """ "How much did the teeth use?" … "Zoe flushed 3 times", "shower 3 gal": a report of its own, of which nothing is laid to the teeth."""
    if asked.activity in (None, "other") or reply.activity in (None, "other", asked.activity):
        return False
    told = reply.amount is not None or reply.before is not None or reply.after is not None
    return told or reply.done or bool(reply.count or reply.people)


def _of_bare_amount(amount: Amount, reply: Intent) -> Intent | None:
    if isinstance(reply, Use) and reply.amount is None:
        return replace(reply, amount=amount)
    if isinstance(reply, ReadMeter) and reply.reading is None:
        return replace(reply, reading=amount)
    for field_name in ("amount", "reading"):
        if getattr(reply, field_name, "none") is None:
            return replace(reply, **{field_name: amount})  # type: ignore[arg-type]
    return None


def _until(asked: Intent, until: Any, nights: float | None) -> Intent:
    if isinstance(asked, Party):
        return replace(asked, until=until)
    return replace(asked, until=until, nights=nights)  # type: ignore[call-arg]


def _fragment(asked: Intent, reply: Fragment, slot: str, choices: tuple[str, ...]) -> Intent | None:
    """Lays the parts of a fragment into the meaning that was asked about; None if they do not fit it."""
    if (
        reply.when is not None
        and choices
        and reply == Fragment(when=When(day=reply.when.day, text=reply.when.text), text=reply.text)
    ):
        reply = Fragment(choice=reply.when.day)  # "2nd", where one of several was asked for
    if reply.choice is not None and (reply.tanks or reply.meter):
        reply = replace(reply, choice=None)  # "black first": an order, no choice
    if reply.choice is not None:
        if not 1 <= reply.choice <= len(choices):
            return None
        chosen = choices[reply.choice - 1]
        reply = replace(reply, choice=None)
        reply = replace(reply, meter="inlet") if chosen == "meter" else replace(reply, tanks=(chosen,))
    if isinstance(asked, ResetSomething):
        if reply.meter is not None:
            return ResetMeter(meter=reply.meter)
        return Dump(tanks=reply.tanks, every=reply.every) if reply.tanks or reply.every else None
    if isinstance(asked, Fragment):
        return _of_fragments(asked, reply)
    if isinstance(asked, Amend):
        if asked.whole is not None:
            whole = _fragment(asked.whole, reply, slot, choices)
            return None if whole is None else replace(asked, whole=whole)
        return _of_correction(asked, reply)
    changed = asked
    if reply.every:
        if not isinstance(asked, Dump):
            return None
        changed = replace(asked, every=True)
    if reply.tanks:
        if isinstance(asked, Dump):
            changed = replace(asked, tanks=reply.tanks)
        elif isinstance(asked, SetTank) and reply.tanks[0] in ("fresh", "grey", "black"):
            named = reply.tanks[0] if asked.tank == "waste" else asked.tank  # "which waste tank is that?"
            changed = replace(asked, tank=named, kind=reply.tanks[0])  # type: ignore[arg-type]
        elif hasattr(changed, "tank"):
            changed = replace(changed, tank=reply.tanks[0])  # type: ignore[call-arg]
        else:
            return None
    if reply.unit is not None:
        name = AMOUNT_FIELD.get(type(asked).__name__, "amount")
        said = getattr(asked, name, None)
        if not isinstance(said, Amount) or said.value is None:
            return None
        changed = replace(changed, **{name: replace(said, unit=reply.unit, text="")})  # type: ignore[arg-type]
    if reply.amount is not None:
        name = AMOUNT_FIELD.get(type(asked).__name__, "amount")
        if isinstance(asked, Party) and reply.amount.value is not None:
            changed = replace(asked, people=reply.amount.value)
        elif isinstance(asked, Haul) and slot == "tank" and not reply.tanks:
            return None
        elif isinstance(asked, Use) and slot == "count" and reply.amount.unit is None:
            many = _whole(reply.amount)
            return replace(asked, count=many) if many else None
        elif hasattr(changed, name):
            changed = replace(changed, **{name: _in_unit(reply.amount, getattr(asked, name))})  # type: ignore[arg-type]
        else:
            return None
    for name in (
        "activity",
        "people",
        "meter",
        "count",
        "minutes",
        "site",
        "water",
        "sewer",
        "where",
        "open",
        "source",
        "item",
    ):
        value = getattr(reply, name)
        if value not in (None, ()):
            if not hasattr(changed, name):
                return None
            changed = replace(changed, **{name: value})
            if name == "activity" and isinstance(changed, Use):
                changed = replace(changed, unknown_activity=None)
    if reply.unknown is not None:
        if not isinstance(changed, Use):
            return None
        changed = replace(changed, activity=None, unknown_activity=reply.unknown)
    moment = reply.until or reply.when
    if moment is not None:
        if isinstance(changed, (Stay, Ask)) or (slot == "until" and hasattr(changed, "until")):
            changed = replace(changed, until=moment)  # type: ignore[call-arg]
        elif isinstance(changed, (Stop, Expect)) and slot == "when":
            changed = replace(changed, start=moment)
        else:
            changed = replace(changed, when=moment)
    return None if changed == asked else changed


def _of_correction(asked: Amend, reply: Fragment) -> Amend:
    """More words on what is to be changed: they stand in place of those that they are about."""
    told: dict[str, Any] = {
        name: value for name in FRAGMENT if (value := getattr(reply, name)) not in (None, (), False)
    }
    if reply.until is not None and reply.when is None:
        told["when"] = None  # "no, Saturday" … "until Saturday"
    if reply.amount is not None:
        told["amount"] = _in_unit(reply.amount, asked.change.amount)
    return replace(asked, change=replace(asked.change, **told))


FRAGMENT = ("when", *Fragment.__annotations__)


def _whole(amount: Amount) -> int:
    """How many of something: "three", not "two and a half"; 0 if it counts nothing."""
    plain = amount.value is not None and amount.high is None and amount.value >= 1
    return int(amount.value or 0) if plain and amount.value == int(amount.value or 0) else 0


def _in_unit(new: Amount, old: Amount | None) -> Amount:
    """A bare number in reply keeps the unit that was said before: "shower used 200 litres" … "I meant 20"."""
    if new.unit is None and old is not None and old.unit is not None and old.value is not None:
        return replace(new, unit=old.unit, each=old.each or new.each)
    return replace(new, each=True) if old is not None and old.each else new


def _of_fragments(asked: Fragment, reply: Fragment) -> Intent | None:
    """A bare amount, and then what it was: "2 gallons" … "shower"; "41.5" … "the meter"."""
    amount = asked.amount or reply.amount
    if amount is None or (asked.amount is not None and reply.amount is not None) or (asked.tanks and reply.tanks):
        return None  # "grey is 36 gal" … "black 30": one more, and no word on the first
    if reply.activity is not None or asked.activity is not None:
        return Use(
            activity=reply.activity or asked.activity,
            amount=amount,
            people=reply.people or asked.people,
            when=asked.when,
        )
    if reply.meter is not None or reply.choice == 1:
        return ReadMeter(reading=amount, meter=reply.meter or "inlet", when=asked.when)
    if reply.tanks and amount.unit not in (None,):
        return Level(tank=reply.tanks[0], amount=amount, when=asked.when)
    if reply.unknown is not None:
        return Use(unknown_activity=reply.unknown, amount=amount, when=asked.when)
    return None
