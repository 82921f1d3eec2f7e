"""How many uses a report tells of, and for whom: counts, amounts for each, everybody aboard.

May import: clause, deeds, intents.
"""

from __future__ import annotations

from grammar.frames.deeds import did
from grammar.intents import Amount
from grammar.lightclass import replace
from grammar.pieces.clause import Clause
from grammar.pieces.piece_meanings import Counted


def how_many(clause: Clause, counted: Counted | None) -> int | None:
    """How many; None if it was not said, 0 if it was said in two ways that do not agree."""
    count = int(counted.count) if counted else None
    pair = clause.value("PAIR")
    if pair is not None and count is None:
        count = int(pair or 2)
    repeat = clause.get("repeat")
    if repeat is None:
        return count
    if count not in (None, 1) or repeat != int(repeat) or repeat < 1:
        return 0
    return int(repeat)


def for_each(clause: Clause, amount: Amount | None) -> Amount | None:
    """The amount, marked if it is for each: "each" somewhere, or before "times"."""
    if amount is None:
        return None
    if any(tok.has("TOTAL") for piece in clause.pieces for tok in piece.toks):
        return amount  # "each showered, 4 gallons in all"
    here, times = clause.index("amount"), clause.index("repeat")
    rate = (
        amount.text.casefold().startswith(("@", "at ")) and clause.get("counted") is not None
    )  # "two showers at 3 gallons"
    if clause.word("EACH") is not None or 0 <= here < times or rate or (amount.text.startswith("@") and times >= 0):
        return replace(amount, each=True)
    return amount


_BY_ONE = ("shower", "bath", "toilet")
"""What there are so many of as are told; the dishes of an evening are one washing-up."""


def how_many_unknown(clause: Clause, count: int | None, amount: Amount | None) -> bool:
    """ "the kids showered", "we each had a shower": several, so a typical volume for one would be wrong."""
    if count or len(clause.people) > 1 or (amount is not None and not amount.each):
        return False
    plural = any(
        tok.senses["ACT"].form == "plural" and tok.senses["ACT"].value in _BY_ONE for tok in clause.words("ACT")
    )
    if plural and did(clause) and amount is None and clause.get("repeat") is None and clause.get("duration") is None:
        return True  # "we took showers"
    return clause.word("GROUP") is not None or (
        clause.word("EACH") is not None and clause.word("SELF") is not None and not clause.people
    )


_ALL = frozenset(
    (
        "everyone",
        "everybody",
        "we all",
        "all of us",
        "all round",
        "all around",
        "every one of us",
        "each of us",
        "whole family",
        "family",
        "whole crew",
        "crew",
        "gang",
    )
)


def for_everyone(clause: Clause) -> bool:
    """ "everybody brushed their teeth", "we each had a shower": each of those aboard, once."""
    if clause.people or clause.value("PAIR") is not None:
        return False
    if any(tok.text in _ALL for cls in ("GROUP", "SELF") for tok in clause.words(cls)):
        return True
    if clause.get("counted") is not None or clause.get("repeat") is not None:
        return False
    amount = clause.get("amount")
    each = clause.word("EACH") is not None or (amount is not None and amount.each)
    return each and (clause.word("SELF") is not None or _by_one(clause))


def _by_one(clause: Clause) -> bool:
    """ "a shower each, 8 litres": what a person does for himself, said of one."""
    acts = [tok.senses["ACT"] for tok in clause.words("ACT")]
    alone = {tok.text for tok in clause.words("EACH")} <= {"each", "apiece"}
    return (
        alone
        and bool(acts)
        and not clause.words("GROUP")
        and all(one.value in _PERSONAL and one.form in ("noun", "past") for one in acts)
    )


_PERSONAL = frozenset(["shower", "bath", "teeth", "shave", "face", "handwash"])


def apiece(clause: Clause, amount: Amount | None) -> bool:
    """ "quick shower each, 2 gal apiece": one for each of those aboard; "per shower" tells nothing of how many."""
    if clause.people or clause.get("counted") is not None or clause.get("repeat") is not None or clause.words("PAIR"):
        return False
    if clause.words("GROUP") or amount is None or not amount.each:
        return False
    words = {tok.text for piece in clause.pieces for tok in piece.toks if tok.has("EACH")}
    return bool(words) and words <= {"each", "apiece", "a piece", "per person"}
