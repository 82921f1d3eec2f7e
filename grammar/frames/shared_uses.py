"""Several activities and one amount for all of them: how much each took is asked ("shower and shave, 3 gal", "showered and shaved, 3 gal").

May import: chunks, clause, intents.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from grammar import intents as say
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.chunks import Piece
from grammar.pieces.clause import VOLUMES, Clause, frame

_NAMING = frozenset(("noun", "plural", "thing"))


@frame(
    "uses that share an amount", "ACT", "amount counted when people TOTAL USE COST DO WASH PAIR SCENE PARTICLE", rank=-1
)
def uses_together(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    """ "dishes and coffee, 2 gal": so much for both, which tells of neither how much."""
    amount, here = clause.volume(), clause.index("amount")
    if amount is None or amount.value is None or amount.unit not in VOLUMES or amount.each or not clause.has("AND"):
        return None
    uses = [use for piece in clause.pieces[:here] if (use := _unmeasured(piece)) is not None]
    forms = {tok.senses["ACT"].form for tok in clause.words("ACT")}
    if not forms <= _NAMING or len(uses) < 2 or len({use.activity for use in uses}) != len(uses):
        return None
    if (forms == {"thing"} and clause.get("counted") is None) or not _listed(clause.pieces[:here]):
        return None
    if any(_unmeasured(piece) is not None for piece in clause.pieces[here:]) or _its_own(clause.pieces[:here]):
        return None
    return tuple(replace(use, people=clause.people, when=clause.when) for use in uses)


def _its_own(pieces: Sequence[Piece]) -> bool:
    """ "brushed my teeth and the dog had (a litre)": the last has a verb of its own, and so has what was done before it."""
    joiner = next((n for n in range(len(pieces) - 1, -1, -1) if pieces[n].has("AND", "COMMA")), 0)
    if len(pieces) < joiner + 3 or _unmeasured(pieces[joiner + 1]) is None:
        return False
    own = any(piece.has("DO", "USE", "COST") and _past(piece) for piece in pieces[joiner + 2 :])
    return own and any(piece.has("DO", "WASH") and _past(piece) for piece in pieces[:joiner])


def _past(piece: Piece) -> bool:
    return any(one.form == "past" for one in piece.toks[0].senses.values())


def _unmeasured(piece: Piece) -> say.Use | None:
    """The use that a piece names, of an amount not known."""
    if piece.kind == "counted" and piece.value.amount is None and piece.value.minutes is None:
        return say.Use(piece.value.activity, amount=say.Amount(None), count=int(piece.value.count), done=True)
    if piece.has("ACT"):
        return say.Use(piece.toks[0].senses["ACT"].value, amount=say.Amount(None), done=True)
    return None


def _listed(pieces: Sequence[Piece]) -> bool:
    """Whether the activities stand in a list: a joiner between each two, and one of them an "and"."""
    places = [n for n, piece in enumerate(pieces) if _unmeasured(piece) is not None]
    between = [pieces[one + 1 : other] for one, other in itertools.pairwise(places)]
    joined = all(any(piece.has("AND", "COMMA") for piece in gap) for gap in between)
    return joined and any(piece.has("AND") for gap in between for piece in gap)


def shared_total(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """ "face and teeth, a quart in all", "showered and shaved, 3 gal": how much each took was not said."""
    last = made[-1]
    if len(made) < 2 or not isinstance(last, say.Use) or last.amount is None:
        return made
    if last.amount.each:
        return _each_of_them(made, last, parts)
    in_all = any(tok.has("TOTAL") for piece in parts for tok in piece.toks)
    first = len(made) - 1 if not in_all else 0
    while not in_all and first and _with(made[first - 1], last):
        first -= 1
    others = [one for one in made[first:-1] if isinstance(one, say.Use) and one.amount is None and one.before is None]
    once = made[-2] if len(made) > 1 else None
    if isinstance(once, say.Use) and _same_deed(once, last):
        return [*made[:-2], last]  # "washed potatoes and cooked them: 3 litres"
    if not others or not (in_all or _set_off(parts)):
        return made
    if all((one.activity, one.people) == (last.activity, last.people) for one in others):
        return [one for one in made if one not in others]  # "showered and washed my hair, 3 gal"
    return [
        replace(one, amount=say.Amount(None)) if isinstance(one, say.Use) and (one is last or one in others) else one
        for one in made
    ]


def shares_of_total(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """ "washed the dog and the car with 5 gal, 2 for the dog": what is told of one of two deeds is a part of the amount for both."""
    amounts = [n for n, piece in enumerate(parts) if piece.kind == "amount"]
    if len(amounts) != 2 or not made or not all(isinstance(one, say.Use) for one in made):
        return made
    whole, share = parts[amounts[0]].value, parts[amounts[1]].value
    named = [use for piece in parts[: amounts[0]] if (use := _unmeasured(piece)) is not None]
    whose = [use for piece in parts[amounts[1] :] if (use := _unmeasured(piece)) is not None]
    of_it = any(piece.has("FOR", "ON") for piece in parts[amounts[1] : amounts[1] + 5])
    between = [
        piece
        for piece in parts[amounts[0] + 1 : amounts[1]]
        if not piece.has("COMMA", "AND", "FILLER", "BUT", "OF", "IT")
    ]
    if len(whose) != 1 or not of_it or between or not _listed(parts[: amounts[0]]) or len(named) != 2:
        return made
    one, other = sorted(named, key=lambda use: use.activity == whose[0].activity)
    if one.activity == other.activity or other.activity != whose[0].activity or not _part_of_amount(share, whole):
        return made
    same = share.unit in (None, whole.unit)
    rest = replace(whole, value=whole.value - share.value) if same else say.Amount(None)
    first = made[0]
    shared = say.Use(people=first.people, when=first.when, text=first.text) if isinstance(first, say.Use) else say.Use()
    return [
        replace(shared, activity=one.activity, amount=rest),
        replace(shared, activity=other.activity, amount=replace(share, unit=share.unit or whole.unit)),
    ]


def _part_of_amount(share: say.Amount, whole: say.Amount) -> bool:
    able = (
        whole.value is not None
        and share.value is not None
        and not (whole.each or share.each or share.bound or whole.bound)
    )
    plain = whole.high is None and share.high is None and whole.unit in VOLUMES and share.unit in (None, *VOLUMES)
    return able and plain and (share.unit not in (None, whole.unit) or (share.value or 0) < (whole.value or 0))


def _each_of_them(made: list[Intent], last: say.Use, parts: Sequence[Piece]) -> list[Intent]:
    """ "washed my face and brushed my teeth, a pint each", "dishes yesterday and shower today, 2 gal each": so much for each of the uses."""
    if (
        last.amount is None
        or last.count is not None
        or len(last.people) > 1
        or not _set_off(parts, "AND", "COMMA", "THEN")
        or not all(isinstance(one, say.Use) for one in made)
    ):
        return made
    if not all(
        _open(one) and one.count is None and len(one.people) < 2 for one in made[:-1] if isinstance(one, say.Use)
    ):
        return made
    amount = replace(last.amount, each=False)
    return [replace(one, amount=amount, everyone=False) for one in made if isinstance(one, say.Use)]


def _same_deed(one: say.Use, last: say.Use) -> bool:
    """Whether a use without amount or count, and the one measured after it, are one: the same activity of the same person."""
    bare = (one.amount, one.before, one.count, one.minutes, one.like) == (None,) * 5 and last.count is None
    return bare and (one.activity, one.people, one.when) == (last.activity, last.people, last.when)


def _with(one: Intent, last: say.Use) -> bool:
    """Whether a use was told in one breath with the last: by the same, at the same time, without an amount of its own."""
    if not isinstance(one, say.Use) or not _open(one):
        return False
    same = one.people == last.people or (not last.people and _OWN.isdisjoint(last.text.casefold().split()))
    return same and one.when == last.when


def _open(one: say.Use) -> bool:
    """Whether how much it took is not told with it."""
    return (one.amount, one.before, one.minutes, one.like) == (None,) * 4


_OWN = frozenset("i me we my our".split())


def _set_off(parts: Sequence[Piece], *joiners: str) -> bool:
    """Whether the one amount stands at the end, behind a comma, after deeds that are joined by "and", or by one of `joiners`."""
    here = next((n for n, piece in enumerate(parts) if piece.kind == "amount"), -1)
    if here < 1 or any(
        piece.kind != "when" and not piece.has("COMMA", "STOP", "FILLER") for piece in parts[here + 1 :]
    ):
        return False
    head = parts[:here]
    while head and head[-1].has("FILLER", "IT", "COST", "USE"):
        head = head[:-1]
    return bool(head) and head[-1].has("COMMA") and any(piece.has(*(joiners or ("AND",))) for piece in head[:-1])


def shares_told(made: list[Intent]) -> list[Intent]:
    """ "Ana and Joss showered, Joss with 3 gal", "we both showered, Ana 2 gal": told of one of them, it is the same shower."""
    first = made[0]
    if len(made) < 2 or not isinstance(first, say.Use) or not _open(first):
        return made
    of_them = first.count if first.count and not first.people else len(first.people) if not first.count else 0
    parts: list[Intent] = []
    for one in made[1:]:
        if not _part_of(one, first) or not isinstance(one, say.Use):
            break
        parts.append(replace(one, activity=first.activity, when=one.when or first.when, done=first.done))
    if of_them < 2 or not len(parts) <= of_them:
        return made
    told = {name for one in parts if isinstance(one, say.Use) for name in one.people}
    left = tuple(name for name in first.people if name not in told)
    whole: list[Intent] = [replace(first, people=left)] if left else []
    if first.count and len(parts) < first.count:
        whole = [replace(first, count=first.count - len(parts))]
    return [*whole, *parts, *made[1 + len(parts) :]] if parts else made


def _part_of(one: Intent, whole: say.Use) -> bool:
    """Whether a measured use is that of one of the people of a use told before it."""
    if not isinstance(one, say.Use) or one.amount is None or one.count or one.unknown_activity or not one.people:
        return False
    same = one.activity in (None, whole.activity) and (one.when is None or one.when == whole.when)
    of_them = set(one.people) <= set(whole.people) or (bool(whole.count) and one.text == whole.text)
    return same and of_them and len(one.people) == 1
