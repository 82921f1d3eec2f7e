"""How many uses a report tells of, and for whom: counts, amounts for each, everybody aboard.

May import: chunks, clause, deeds, intents.
"""

from __future__ import annotations

import itertools

from grammar.frames.deeds import did
from grammar.hearing.tokens import Tok
from grammar.intents import Amount
from grammar.lightclass import replace
from grammar.pieces.chunks import Piece
from grammar.pieces.clause import Clause
from grammar.pieces.piece_meanings import Counted


def how_many(clause: Clause, counted: Counted | None) -> int | None:
    """How many; None if it was not said, 0 if it was said in two ways that do not agree."""
    count = int(counted.count) if counted else times_over(clause)
    pair = clause.value("PAIR")
    if pair is not None and count is None:
        count = int(pair or 2)
    repeat = clause.get("repeat")
    if repeat is None:
        return count
    if pair is not None and count and repeat == int(repeat) and by_each(clause):
        return count * int(repeat)  # "two kids flushed three times each"
    if count not in (None, 1) or repeat != int(repeat) or repeat < 1:
        return 0
    return int(repeat)


def times_over(clause: Clause) -> int | None:
    """ "flushed 2 times 2 gal", "2 x 2 gal showers": the amount is all of it, of so many. "2 x 5 gal for the dishes" were jugs."""
    piece = next((one for one in clause.pieces if one.kind == "amount"), None)
    signs = {tok.text for tok in piece.toks if tok.has("TIMESWORD")} if piece is not None else set[str]()
    if piece is None or not signs or ("times" not in signs and (clause.has("VESSEL") or not _one_by_one(clause))):
        return None
    number = next((tok.number for tok in piece.toks if tok.number is not None), None)
    return int(number) if number is not None else None


def for_each(clause: Clause, amount: Amount | None) -> Amount | None:
    """The amount, marked if it is for each: "each" somewhere, or before "times"."""
    if amount is None:
        return None
    if clause.has("TOTAL"):
        return amount  # "each showered, 4 gallons in all"
    if times_over(clause) is not None:
        return replace(amount, each=False)  # "2 times 2 gal each" is four in all, as it was read
    here, times = clause.index("amount"), clause.index("repeat")
    often = clause.get("counted") is not None or times >= 0
    rate = often and amount.text.casefold().startswith(
        ("@", "at ")
    )  # "two showers at 3 gallons", "flushed twice at half a gallon"
    if clause.has("BE") and 0 <= clause.index("counted") < here and not _each_told(clause, amount) and _both(clause):
        return Amount(None)  # "both showers were 2 gal": each of them, or between them?
    times_first = times >= 0 and here - 2 == times and clause.pieces[here - 1].has("ACT") and not _one_of_many(clause)
    # "2 x shower 2 gal", "three showers of 2 gal"
    rate = rate or (times_first and any(tok.has("TIMESWORD") for tok in clause.pieces[times].toks))
    of = here > 0 and clause.pieces[here - 1].has("OF") and clause.index("counted") == here - 2
    if clause.word("EACH") is not None or 0 <= here < times or rate or of:
        return replace(amount, each=True)
    return amount


def _each_told(clause: Clause, amount: Amount) -> bool:
    return amount.each or clause.word("EACH") is not None


def _both(clause: Clause) -> bool:
    return clause.pieces[clause.index("counted")].toks[0].text == "both"


def _one_of_many(clause: Clause) -> bool:
    """ "2 x showers 4 gal": named as many, so that the amount may be that of all."""
    return any(tok.senses["ACT"].form == "plural" for tok in clause.words("ACT"))


_BY_ONE = ("shower", "bath", "toilet")
"""What there are so many of as are told; the dishes of an evening are one washing-up."""


def _one_by_one(clause: Clause) -> bool:
    """Whether what was done comes in ones: "showers", "flushed"."""
    named = [tok.senses["ACT"] for tok in clause.words("ACT")]
    return bool(named) and all(one.form == "plural" or one.value in _BY_ONE for one in named)


def how_many_unknown(clause: Clause, count: int | None, amount: Amount | None) -> bool:
    """ "the kids showered", "we each had a shower": several, so a typical volume for one would be wrong."""
    if count or len(clause.people) > 1 or (amount is not None and not amount.each):
        return False
    plural = any(
        tok.senses["ACT"].form == "plural" and tok.senses["ACT"].value in _BY_ONE for tok in clause.words("ACT")
    )
    if plural and did(clause) and amount is None and clause.get("repeat") is None and clause.get("duration") is None:
        return True  # "we took showers"
    return (
        clause.word("GROUP") is not None
        or each_one(clause)
        or (clause.word("EACH") is not None and clause.word("SELF") is not None and not clause.people)
    )


ALL_OF_US = frozenset(
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


def by_each(clause: Clause) -> bool:
    """Whether a word that stands alone tells that each did so much: "each showered twice", "two baths each"."""
    return any(piece.kind == "word" and _each_of_us(piece.toks[0]) for piece in clause.pieces)


def _each_of_us(tok: Tok) -> bool:
    """ "Each", "per head"; not "per shower", "each time"."""
    return tok.has("EACH") and tok.senses["EACH"].form != "once"


def each_one(clause: Clause) -> bool:
    """ "each flush took half a gallon": how many there were is not said."""
    pairs = itertools.pairwise(clause.pieces)
    return any(
        one.kind == "word" and one.toks[0].has("EACH") and other.has("ACT") and _named(other) for one, other in pairs
    )


def _named(piece: Piece) -> bool:
    return piece.toks[0].senses["ACT"].form in ("noun", "plural")


def and_another(clause: Clause) -> bool:
    """ "my shower and Ana's shower": two of them."""
    acts = [n for n, piece in enumerate(clause.pieces) if piece.kind == "word" and piece.has("ACT") and _named(piece)]
    pairs = [clause.pieces[one + 1 : other] for one, other in itertools.pairwise(acts)]
    return any(gap and gap[0].has("AND") and any(one.has("POSS") for one in gap) for gap in pairs)


def so_often_each(clause: Clause, count: int | None) -> bool:
    """ "Ana and Bo each showered twice", "everyone had two showers", "showered twice each": the count is that of each of them."""
    if not count or clause.words("PAIR") or len(clause.people) == 1:
        return False
    if clause.get("repeat") is None and clause.get("counted") is None:
        return False
    all_of_us = any(tok.text in ALL_OF_US for cls in ("GROUP", "SELF") for tok in clause.words(cls))
    told_twice = clause.get("counted") is not None and bool(
        clause.words("ACT")
    )  # "a shower each, so that's two showers"
    if each_one(clause) or told_twice:
        return False
    return by_each(clause) or (all_of_us and not clause.people)


def of_how_many(clause: Clause) -> bool:
    """ "The kids flushed three times each": how many kids that is was not said."""
    group = clause.words("GROUP")
    return bool(group) and not any(tok.text in ALL_OF_US for tok in group) and not clause.people


def for_everyone(clause: Clause) -> bool:
    """ "everybody brushed their teeth", "we each had a shower": each of those aboard, once."""
    if clause.people or clause.value("PAIR") is not None or each_one(clause):
        return False
    if any(tok.text in ALL_OF_US for cls in ("GROUP", "SELF") for tok in clause.words(cls)):
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
        and all(one.value in PERSONAL and one.form in ("noun", "past") for one in acts)
    )


PERSONAL = frozenset(["shower", "bath", "teeth", "shave", "face", "handwash"])


def apiece(clause: Clause, amount: Amount | None) -> bool:
    """ "quick shower each, 2 gal apiece": one for each of those aboard; "per shower" tells nothing of how many."""
    if clause.people or clause.get("counted") is not None or clause.get("repeat") is not None or clause.words("PAIR"):
        return False
    if each_one(clause) or clause.words("GROUP") or amount is None or not amount.each:
        return False
    said = [tok for piece in clause.pieces for tok in piece.toks if tok.has("EACH")]
    return bool(said) and all(_each_of_us(tok) for tok in said)


def counted_besides(clause: Clause) -> bool:
    """ "two showers and Ana showered": how many there were, and one more."""
    pieces, counted = clause.pieces, clause.index("counted")
    joiner = next((n for n in range(counted + 1, len(pieces)) if pieces[n].has("AND")), len(pieces))
    return counted >= 0 and any(
        piece.has("ACT") and piece.toks[0].senses["ACT"].form == "past" for piece in pieces[joiner:]
    )


def said_in_the_plural(clause: Clause) -> bool:
    """Whether the activity is named in the plural and nothing tells that the number is one of water."""
    many = any(tok.senses["ACT"].form == "plural" for tok in clause.words("ACT"))
    here = clause.index("amount")
    on = 0 <= here < len(clause.pieces) - 1 and clause.pieces[here + 1].toks[0].text in ("on", "for")  # "3 on showers"
    return many and not on and not clause.has("USE", "COST", "TOTAL", "EACH", "WITH", "USAGE")


def a_whole_number(amount: Amount) -> bool:
    return amount.value is not None and amount.value >= 1 and amount.value == int(amount.value)


def of_one_of_them(clause: Clause) -> bool:
    """ "two showers from 40 to 44, Ana's took 2.5": what one of them took, and the readings are of all."""
    between, whose = clause.index("between"), clause.index("people")
    return 0 <= between < whose < clause.index("amount")
