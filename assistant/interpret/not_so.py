"""What was told lately and is not so, put right: "we dumped black yesterday, not grey" after "dumped grey yesterday at 20".

May import: `changed`, `context`, `plausible`, `which_entry`, grammar's intents, rejoinders and spans, state.
"""

from __future__ import annotations

from datetime import timedelta

from assistant.interpret import changed
from assistant.interpret.context import Context, Draft
from assistant.interpret.plausible import checked
from assistant.interpret.which_entry import STANDS, differ, lately
from assistant.scene import AskBack
from grammar import spans
from grammar.intents import Amount, Intent, Use
from grammar.rejoinders import Fragment
from grammar.when import When
from state.entry import Entry
from state.lightclass import replace

_KINDS = {"Dump": "dump", "Fill": "fill", "Level": "level", "ReadMeter": "meter", "Use": "use"}
_CLOSE = 0.01
"""How far from the number that was said the one on record may lie, as a share of it."""
_ABOUT = timedelta(minutes=45)
_HALF_A_DAY = timedelta(hours=12)


def not_so(whole: Intent, was: Fragment, context: Context) -> list[Draft]:
    """The amendment of the entry of which the wrong part is on record; nothing if none was told lately."""
    kind = _KINDS[type(whole).__name__]
    was = _of_a_count(whole, changed.hour_or_number(kind, _of_an_hour(whole, was)))
    fit = [one for one in lately(context) if one.kind == kind and _is_it(one, whole, was, context)]
    if not fit:
        if was.count is not None and any(
            one.kind == kind and _is_it(one, whole, _as_told(whole), context) for one in lately(context)
        ):
            raise AskBack(STANDS, "statement")
        return []
    if len(fit) > 1:
        raise AskBack(
            f'Of "{fit[0].heard}", or of one before? Undo the one that is wrong, and say it anew.', "statement"
        )
    when = whole.when
    told = Fragment(
        tanks=_tanks(whole) if was.tanks else (),
        activity=getattr(whole, "activity", None) if was.activity else None,
        people=getattr(whole, "people", ()) if was.people else (),
        amount=_amount(whole) if was.amount else None,
        count=whole.count if isinstance(whole, Use) and was.count is not None else None,
        when=when if was.when is not None or (when is not None and when.hour is not None) else None,
    )
    fields = changed.proposed(fit[0], told, context)
    if not differ(fit[0], fields):
        raise AskBack(STANDS, "statement")
    return [checked(fit[0], fields, context)]


def _of_an_hour(whole: Intent, was: Fragment) -> Fragment:
    """ "Dumped at 6, not 7": a bare number beside an hour is one."""
    when, amount = whole.when, was.amount
    bare = amount is not None and amount.unit is None and amount.value in range(25) and _amount(whole) is None
    if when is None or when.hour is None or was.when is not None or amount is None or not bare:
        return was
    return replace(was, amount=None, when=replace(when, hour=int(amount.value or 0), minute=0))


def _of_a_count(whole: Intent, was: Fragment) -> Fragment:
    """ "The flushes were four, not two": a bare number beside a number of times is one."""
    amount = was.amount
    counted = isinstance(whole, Use) and whole.count is not None and whole.amount is None
    if not counted or amount is None or amount.unit is not None or amount.value not in range(1, 100):
        return was
    return replace(was, amount=None, count=int(amount.value or 1))


def _as_told(whole: Intent) -> Fragment:
    """So many as the whole has."""
    return Fragment(count=whole.count) if isinstance(whole, Use) else Fragment()


def _tanks(whole: Intent) -> tuple[str, ...]:
    tank = getattr(whole, "tank", None)
    return getattr(whole, "tanks", ()) or ((tank,) if tank else ())


def _amount(whole: Intent) -> Amount | None:
    found: Amount | None = getattr(whole, "reading", None) or getattr(whole, "amount", None)
    return found


def _is_it(one: Entry, whole: Intent, was: Fragment, context: Context) -> bool:
    """Whether the wrong part is on record there, and the rest is what was said."""
    tanks = was.tanks or _tanks(whole)
    if tanks and one.get("tank") not in [context.tank(name).name for name in tanks]:
        return False
    for name in ("activity", "meter"):
        said = getattr(was, name) or getattr(whole, name, None)
        if said is not None and one.get(name) != said:
            return False
    people = [name.casefold() for name in was.people or getattr(whole, "people", ())]
    if people and (one.get("person") or "").casefold() not in people:
        return False
    if was.count is not None and one.get("count") != was.count:
        return False
    if was.amount is not None and not _so_much(one, was.amount, context):
        return False
    day = was.when or whole.when
    return day is None or _then(one, day, was.when is not None, context)


def _so_much(one: Entry, amount: Amount, context: Context) -> bool:
    if amount.value is None:
        return False
    if one.get("fraction") is not None:
        return bool(abs(one.fraction - amount.value / (100 if amount.unit == "percent" else 1)) <= _CLOSE)
    if amount.unit in ("fraction", "percent") or one.get("litres") is None:
        return False
    litres = context.volume(amount).litres
    return bool(abs(one.litres - litres) <= _CLOSE * max(litres, 1.0))


def _then(one: Entry, when: When, to_the_hour: bool, context: Context) -> bool:
    if when.has_day or when.part:
        first, last = spans.span(when, context.now)
        if not first <= one.at < last:
            return False
    if not to_the_hour or when.hour is None:
        return True
    said = one.at.replace(hour=when.hour % 24, minute=when.minute)
    off = abs(one.at - said) % _HALF_A_DAY  # "at 8" may be the evening
    return min(off, _HALF_A_DAY - off) <= _ABOUT
