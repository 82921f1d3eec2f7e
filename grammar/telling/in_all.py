"""A whole and its parts, told together: "dishes 2, showers 3, 5 in all", "used 10, of that 8 for laundry", "shower 3 gal, one of them for the dog".

What is a part is booked once: of the whole there is left what its parts leave.
May import: intents, lexicon, tokens.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from grammar import intents as say
from grammar.hearing.tokens import Tok, sense
from grammar.intents import Amount, Intent
from grammar.lightclass import replace

Read = Callable[[str, Sequence[Tok]], "list[Intent] | None"]

_THE_WHOLE = frozenset("it that which them those this these".split())
_SO = frozenset(
    (
        "so",
        "that is",
        "makes",
        "making",
        "for",
        "that",
        "it",
        "which",
        "used",
        "was",
        "is",
        "it was",
        "that was",
        "which is",
        "that makes",
    )
)
_MARKS = ("COMMA", "SEMI", "AND", "THEN", "COLON", "BUT", "STOP")
_WENT = frozenset(
    ("was", "were", "went to", "went", "is", "went on", "went into", "being", "to", "on", "in", "goes to", "went for")
)
_IN_OUNCES = {"gallon": 128.0, "quart": 32.0, "pint": 16.0, "cup": 8.0, "fluid_ounce": 1.0}
_IN_MILLILITRES = {"litre": 1000.0, "decilitre": 100.0, "centilitre": 10.0, "millilitre": 1.0}
_LEAST = 1e-6


def whole_and_parts(text: str, toks: Sequence[Tok], read: Read) -> list[Intent] | None:
    """What such a phrase tells; an empty list where its numbers do not go together, None if it is none."""
    if any(tok.has("TOTAL") for tok in toks):
        found = _summed_up(text, toks, read)
        if found is not None:
            return found
    return _parts_of_it(text, toks, read)


# ---------------------------------------------------------------- "…, 5 in all"


def _summed_up(text: str, toks: Sequence[Tok], read: Read) -> list[Intent] | None:
    """ "used 2 on dishes, 3 on showers, 5 total": the sum at the end is of what was told before it."""
    last = len(toks)
    while last and toks[last - 1].has("STOP", "COMMA"):
        last -= 1
    start = last
    while start and toks[start - 1].has("NUMBER", "UNIT", "TOTAL", "FRACTION", "ABOUT", "A"):
        start -= 1
    tail = toks[start:last]
    number = next((tok for tok in tail if tok.number is not None), None)
    if (
        number is None
        or not any(tok.has("TOTAL") for tok in tail)
        or sum(tok.has("NUMBER", "FRACTION") for tok in tail) != 1
    ):
        return None
    head = list(toks[:start])
    while head and (head[-1].has(*_MARKS, "FILLER") or head[-1].text in _SO):
        head = head[:-1]
    if any(tok.has("TOTAL") for tok in head):
        return None
    if len(head) == start or not head or not sum(tok.has("NUMBER") for tok in head) > 1:
        return None
    made = read(text, head)
    if made is None or len(made) < 2 or not all(isinstance(one, say.Use) and one.amount is not None for one in made):
        return None
    unit = next((tok.senses["UNIT"].value for tok in tail if tok.has("UNIT")), None)
    uses = [_with_unit(one, unit) for one in made if isinstance(one, say.Use)]
    amounts = [_of_all(one) for one in uses]
    total = Amount(number.number, unit)
    for one in amounts:
        if one is None:
            return []
        left = _less(total, one)
        if left is None:
            return []
        total = left
    return list(uses) if total.value is not None and abs(total.value) < _LEAST else []


def _with_unit(use: say.Use, unit: str | None) -> say.Use:
    bare = use.amount is not None and use.amount.unit is None and use.amount.value is not None
    return replace(use, amount=replace(use.amount, unit=unit)) if bare and use.amount is not None else use


def _of_all(use: say.Use) -> Amount | None:
    """What all of it took; None where that cannot be told."""
    amount = use.amount
    if amount is None or amount.value is None or amount.high is not None or amount.bound is not None:
        return None
    if not amount.each:
        return amount
    if use.count is None and len(use.people) < 2:
        return None
    return replace(amount, value=amount.value * (use.count or 1) * max(1, len(use.people)), each=False)


def _less(whole: Amount, part: Amount) -> Amount | None:
    """The whole without a part; None where one cannot be set against the other."""
    if whole.value is None or part.value is None:
        return None
    if part.unit is None or part.unit == whole.unit:
        return replace(whole, value=whole.value - part.value)
    if whole.unit is None:
        return replace(whole, value=whole.value - part.value, unit=part.unit)
    for table in (_IN_OUNCES, _IN_MILLILITRES):
        if whole.unit in table and part.unit in table:
            return replace(whole, value=whole.value - part.value * table[part.unit] / table[whole.unit])
    return None


# ---------------------------------------------------------------- "…, 2 of it for the dog"


def _parts_of_it(text: str, toks: Sequence[Tok], read: Read) -> list[Intent] | None:
    whole, parts = _whole_then_parts(toks) or _part_of_the_whole(toks) or (None, [])
    if whole is None:
        return None
    told, shares = read(text, whole), read(text, parts)
    if not told or not shares or not isinstance(told[-1], say.Use):
        return []
    found = told[-1]
    left = _of_all(found)
    if left is None or any(not isinstance(one, say.Use) or one.activity is None for one in shares):
        return []
    uses = [one for one in shares if isinstance(one, say.Use) and one.activity != found.activity]
    if not uses:
        return _of_both(told, found, left, shares[-1])
    for one in uses:
        took = _of_all(one)
        left = _less(left, took) if took is not None and left is not None else None
    if left is None or left.value is None or left.value < -_LEAST:
        return []
    unit = left.unit
    theirs = [
        replace(
            _with_unit(one, unit),
            people=one.people or found.people,
            when=one.when or found.when,
            done=True,
            known=None,
            text=text.strip(),
        )
        for one in uses
    ]
    rest = (
        [replace(found, amount=replace(left, text=f"{left.value:g}", each=False), known=None)]
        if left.value > _LEAST
        else []
    )
    return [*told[:-1], *theirs, *rest]


def _of_both(told: list[Intent], found: say.Use, whole: Amount, part: Intent) -> list[Intent]:
    """ "shower 3 gal, 1 of it for the hair": that and no more; "showered and shaved with 3, 1 of it for the shave": the rest is the shower's."""
    other = told[-2] if len(told) > 1 else None
    if not isinstance(other, say.Use) or other.amount is not None or other.activity == found.activity:
        return told
    took = _of_all(part) if isinstance(part, say.Use) else None
    left = _less(whole, took) if took is not None else None
    if took is None or left is None or left.value is None or left.value < _LEAST:
        return []
    return [*told[:-2], replace(other, amount=left), replace(found, amount=replace(took, unit=took.unit or whole.unit))]


def _whole_then_parts(toks: Sequence[Tok]) -> tuple[list[Tok], list[Tok]] | None:
    """ "used 10 | of that 8 for laundry", "used 5 gal | 2 of it for the dog", "shower 3 gal | (1 for rinsing the tub)"."""
    mark = next((n for n in range(2, len(toks)) if _marks(toks, n)), None)
    if mark is None:
        return None
    start, led = mark, mark
    while led and (
        toks[led - 1].has("NUMBER", "UNIT", "FRACTION", "A", "ABOUT", "ART") and not toks[led - 1].has(*_MARKS)
    ):
        led -= 1
    if led < mark and led and toks[led - 1].has(*_MARKS):
        start = led  # "…, 2 of it"
    whole = list(toks[:start])
    while whole and whole[-1].has(*_MARKS):
        whole = whole[:-1]
    amounts = any(tok.has("NUMBER", "FRACTION", "UNIT") for tok in whole)
    return (whole, _as_uses(toks[start:])) if whole and amounts else None


def _marks(toks: Sequence[Tok], n: int) -> bool:
    """Whether "of it", "of which", "including", or a bracket with what a part was for, begins here."""
    if toks[n].text in ("including", "includes", "included"):
        return True
    if toks[n].text == "(":
        inside = toks[n + 1 : n + 5]
        return (
            toks[n - 1].has("UNIT", "NUMBER")
            and bool(inside)
            and inside[0].has("NUMBER", "A", "FRACTION")
            and any(tok.has("FOR") for tok in inside)
        )
    return toks[n].text in ("of", "out of") and n + 1 < len(toks) and toks[n + 1].text.split()[0] in _THE_WHOLE


def _as_uses(toks: Sequence[Tok]) -> list[Tok]:
    """ "8 for laundry and 2 on dishes", "1 was dishes", as it is told by itself: "used 8 for laundry, used 2 for dishes"."""
    found: list[Tok] = []
    fresh = True
    for n, tok in enumerate(toks):
        if (
            tok.text in ("including", "includes", "included")
            or (n and _marks(toks[n - 1 :], 0) and tok.text.split()[0] in _THE_WHOLE)
            or _of_it(toks, n)
        ):
            if tok.text.endswith((" was", " is", " were")):
                found.append(replace(tok, text="for", senses=sense("FOR", "for")))
            continue
        if tok.text in "()":
            tok = replace(tok, text=",", senses=sense("COMMA"))
        if tok.has(*_MARKS):
            fresh = True
            if found and not found[-1].has(*_MARKS):
                found.append(replace(tok, text=",", senses=sense("COMMA")))
            continue
        if fresh and tok.has("NUMBER", "FRACTION", "A", "ABOUT"):
            found.append(
                replace(tok, text="used", number=None, fraction=None, end=tok.start, senses=sense("USE", "use", "past"))
            )
        fresh = False
        if tok.text in _WENT:
            tok = replace(tok, text="for", senses=sense("FOR", "for"))
        if not (tok.has("FOR") and found and found[-1].has("FOR")):
            found.append(tok)
    while found and found[-1].has(*_MARKS):
        found = found[:-1]
    return found


def _of_it(toks: Sequence[Tok], n: int) -> bool:
    return toks[n].text in ("of", "out of") and n + 1 < len(toks) and toks[n + 1].text.split()[0] in _THE_WHOLE


def _part_of_the_whole(toks: Sequence[Tok]) -> tuple[list[Tok], list[Tok]] | None:
    """ "3 gal for the dog | of the 10 I used", "8 | of the 10 gallons I used | were for laundry", "of the 10 I used | 3 was for the dog"."""
    for of in range(len(toks) - 3):
        if toks[of].text not in ("of", "out of") or toks[of + 1].text not in ("the", "those"):
            continue
        end = of + 2
        while end < len(toks) and toks[end].has("NUMBER", "UNIT", "FRACTION"):
            end += 1
        amount = toks[of + 2 : end]
        while end < len(toks) and toks[end].has("SELF", "PERSON", "AUX") and not toks[end].has("BE"):
            end += 1
        who = [tok for tok in toks[of + 2 : end] if tok.has("PERSON")]
        if not amount or end >= len(toks) or not toks[end].has("USE"):
            continue
        parts = _as_uses([*toks[:of], *toks[end + 1 :]])
        return ([*who, toks[end], *amount], parts) if any(tok.has("ACT") for tok in parts) else None
    return None


# ---------------------------------------------------------------- "used 10 gal, 8 for laundry and 2 for dishes"


def whole_first(made: list[Intent]) -> list[Intent]:
    """A use of nothing in particular told first, and what it was for after it: booked once; what is left over is asked, unless the first was
    said to be all of it."""
    first = made[0]
    if (
        not isinstance(first, say.Use)
        or first.activity is not None
        or first.unknown_activity
        or first.amount is None
        or len(made) < 2
    ):
        return made
    rest = [
        one
        for one in made[1:]
        if isinstance(one, say.Use) and one.activity is not None and one.people in ((), first.people)
    ]
    left = _of_all(first) if len(rest) == len(made) - 1 else None
    for one in rest:
        took = _of_all(one)
        left = _less(left, took) if left is not None and took is not None else None
    if left is None or left.value is None or left.value < -_LEAST:
        return made
    rest = [_with_unit(one, first.amount.unit) for one in rest]
    in_all = any(word in f" {first.text.casefold()} " for word in _IN_ALL)
    purpose = all(" for " in f" {one.text.casefold()} " or " on " in f" {one.text.casefold()} " for one in rest)
    if left.value < _LEAST:
        parts: list[Intent] = [replace(one, people=one.people or first.people, done=True) for one in rest]
        return parts if len(rest) > 1 or purpose else made
    if in_all:
        return [*rest, replace(first, amount=replace(left, text=f"{left.value:g}"))]
    return [replace(first, amount=Amount(None)), *rest] if purpose and _set_off(rest) else made


def _set_off(rest: Sequence[say.Use]) -> bool:
    """ "used 10 gal, 8 for laundry": the number stands first, and no verb of its own with it."""
    return all(not any(verb in f" {one.text.casefold()} " for verb in (" used ", " took ", " and ")) for one in rest)


_IN_ALL = (" in all ", " total ", " altogether ", " all told ", " in total ", " all together ", " overall ")


# ---------------------------------------------------------------- "laundry 10 to 26 two loads, 8 each"


def measured_twice(made: list[Intent]) -> list[Intent]:
    """ "laundry 10 to 26 two loads, 8 each": two readings, and how it comes to that; asked where it does not."""
    first, second = made[0], made[1] if len(made) > 1 else None
    if (
        not isinstance(first, say.Use)
        or not isinstance(second, say.Use)
        or first.activity != second.activity
        or first.count
    ):
        return made
    low, high = first.before, first.after
    amount, each = first.amount, second.amount
    if amount is not None and amount.high is not None and amount.unit is None:
        low, high = replace(amount, high=None, text=""), Amount(amount.high)
    if low is None or high is None or each is None or not each.each or not second.count or second.before is not None:
        return made
    if None in (low.value, high.value, each.value) or first.people != second.people:
        return made
    agrees = abs((high.value or 0) - (low.value or 0) - second.count * (each.value or 0)) < 0.02 * (high.value or 0)
    if not agrees:
        return [replace(second, amount=Amount(None)), *made[2:]]
    return [replace(second, amount=None, before=low, after=high, when=first.when or second.when), *made[2:]]
