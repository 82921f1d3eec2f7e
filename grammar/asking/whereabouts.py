"""Of which place a question about the time to come is: until it is reached, or until it is left again. "Can we make it to Cedar Flat" ends on
arriving; "enough water for Cedar Flat", "will it last three nights there" only when that stay does.

May import: asked, intents, statements, tokens, when.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.asking.asked import until_of
from grammar.hearing.tokens import Tok
from grammar.intents import Ask
from grammar.lightclass import replace
from grammar.telling.statements import clause_of
from grammar.when import When

THERE, NEXT = "there", "next"
"""Places without a name: the one spoken of, else the next to come; and the next to come."""

_REACHING = frozenset(
    "to till til until reach reaching get getting got make makes into toward towards by before arrive arriving arrival".split()
)
_THERE = frozenset(("there", "out there", "over there", "we are there", "i am there"))
_NEXT = frozenset("stop site place one camp stay campground spot pitch leg".split())


def placed(ask: Ask, text: str, toks: list[Tok]) -> Ask:
    """The question with the place it is of, if it is of the time to come."""
    if ask.topic == "status":
        return _level_then(ask, text, toks)
    if ask.topic != "make_it" or ask.subject not in (None, "budget", "must dump", "must fill"):
        return ask
    at = _place(toks)
    if at is None:
        return ask
    site, place = at
    ends = ask.until is not None and ask.until.stay_end
    if ask.until is not None and not ends and not ask.until.whole_days:
        return replace(ask, site=site)
    if ask.until is not None and ask.until.whole_days:
        return replace(ask, until=None, nights=float(ask.until.whole_days), site=site)
    if ends or not _reached(toks, place):
        return replace(ask, until=When(stay_end=True, text=toks[place].text), site=site)
    return replace(ask, until=None, site=site)


def _level_then(ask: Ask, text: str, toks: list[Tok]) -> Ask:
    """ "How full will grey be on Friday", "when we get to Cedar Flat": of that moment, and not of now."""
    if (
        ask.when is not None
        or ask.subject is not None
        or not any(tok.has("FUTURE") or tok.text == "would" for tok in toks)
    ):
        return ask
    at = _place(toks)
    if at is not None:
        site, place = at
        leaves = any(tok.has("LEAVE", "LEAVINGQ", "DEPART") for tok in toks[:place])
        return replace(ask, site=site, until=When(stay_end=True) if leaves else None)
    if any(tok.has("LEAVE", "LEAVINGQ", "STAYEND") for tok in toks):
        return replace(ask, until=When(stay_end=True))
    return replace(ask, until=until_of(clause_of(text, toks)))


def _place(toks: Sequence[Tok]) -> tuple[str, int] | None:
    """The place that is spoken of, and its word."""
    for i, tok in enumerate(toks):
        if tok.has("SITE"):
            return str(tok.senses["SITE"].value), i
        if i and tok.text in _THERE and not (i + 1 < len(toks) and toks[i + 1].has("BE")):
            return THERE, i
        words = [*tok.text.split(), *(toks[i + 1].text.split() if i + 1 < len(toks) else ())]
        if i and words[0] == "next" and words[1:2] and words[1] in _NEXT:
            return NEXT, i
    return None


def _reached(toks: Sequence[Tok], place: int) -> bool:
    """Whether the words before a place lead up to it, and do not end with its stay."""
    before = [word for tok in toks[:place] if not tok.has("ART", "POSS") for word in tok.text.split()]
    return before[-1:] == ["it"] or not _REACHING.isdisjoint(before[-1:])
