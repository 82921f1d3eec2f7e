"""Guests who were expected, and how many of them come after all: "no guests after all", "mum isn't coming", "only one guest now".

Which guests are meant only the log knows. May import: household, rejoinders, mood, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lexicon import lexicon
from grammar.telling.household import is_one_of_us
from grammar.telling.mood import is_question

_SKIPPED = frozenset(
    (
        "after all",
        "now",
        "anymore",
        "any more",
        "this time",
        "today",
        "unfortunately",
        "sadly",
        "we have",
        "have",
        "got",
        "there are",
    )
)
_CANCELLED = frozenset(
    (
        "cancelled|canceled|called off|called it off|had to cancel|dropped out|pulled out|bailed|bailed out|bailed on us|stood us up|"
        "not coming|is not coming|are not coming|can not come|can not make it|could not make it|can not make|will not be coming|will not come|"
        "is no longer coming|are no longer coming|will not make it|not coming any more|did not come|never came|never turned up|did not turn up"
    ).split("|")
)
OF_A_DAY = (
    "DAY",
    "WEEKDAY",
    "PERIOD",
    "PART",
    "WHICH",
    "FOR",
    "ON",
    "AT",
    "MONTH",
    "ORD",
    "SINCE",
    "FROM",
    "UNTIL",
    "TO",
    "DASH",
)
_NOBODY = frozenset(("nobody", "no one", "none", "no guests", "none of them"))
_LONGEST = 9
_GUESTS = frozenset(("guest", "guests", "visitor", "visitors"))


def guests_after_all(toks: Sequence[Tok]) -> Intent | None:
    """How many guests come after all; None if the words say something else."""
    if len(toks) > _LONGEST or is_question(toks):
        return None
    core = [tok for tok in toks if tok.text not in _SKIPPED and not _light(tok)]
    if core and core[0].has("CANCEL"):
        core = core[1:]  # "cancel that, she isn't coming"
    if len(core) < 2:
        return None
    counted = core[0].number is not None and core[0].number == int(core[0].number)
    rest = [
        tok
        for tok in core[1:]
        if not tok.has("BE", "COMING", "ONE") and tok.text not in ("of them", "of", "them", "instead", "left")
    ]
    if (
        counted
        and any(tok.text in _GUESTS or tok.has("COMING") for tok in core[1:])
        and all(tok.has("GUESTS") for tok in rest)
    ):
        return back.Guests(people=float(core[0].number or 0))
    timeless = [tok for tok in core if not tok.has(*OF_A_DAY) or tok.has("COMING", "NEG")]
    if len(timeless) == 2 and timeless[0].text in ("no", "zero", "not any") and timeless[1].has("GUESTS"):
        return back.Guests(people=0.0)
    if not timeless:
        return None
    who = 0
    while who < len(timeless) and is_a_guest(timeless[who]):
        who += 1
    said = " ".join(tok.text for tok in timeless[who:] if tok.text != "'s").removeprefix("have ").removeprefix("has ")
    nobody = timeless[0].text in _NOBODY and said in (
        "",
        "nobody is coming",
        "no one is coming",
        "none are coming",
        "none is coming",
    )
    if nobody and any(tok.has("COMING") for tok in timeless):
        return back.Guests(people=0.0)
    if not who or said not in _CANCELLED:
        return None
    named = tuple(tok.text.casefold() for tok in timeless[:who] if not tok.has("GUESTS", "OTHER", "AND", "PRONOUN"))
    return back.Guests(people=0.0, named=named)


def is_a_guest(tok: Tok) -> bool:
    """Whether it is a word for somebody who may be expected."""
    kin = "VISITOR" in lexicon().senses(tuple(tok.text.split()))
    return tok.text in ("they", "she", "he", "and") or tok.has("GUESTS", "GROUP") or kin or is_one_of_us(tok)


def _light(tok: Tok) -> bool:
    return tok.known and tok.senses.keys() <= {"FILLER", "ART", "COMMA", "STOP", "ADJ"}
