"""A question about a change of habits that has no "if": "can we make it with two guests", "would one tote run be enough", "what difference
would short showers make"; and what there is to do on arriving and leaving.

May import: clause, how_often, intents, mood, statements, tokens, what_if.
"""

from __future__ import annotations

from grammar.asking.how_often import share_of_all
from grammar.asking.what_if import ERRANDS, what_if
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.telling.mood import is_question
from grammar.telling.statements import clause_of


def ask_of_change(text: str, toks: list[Tok]) -> list[Intent] | None:
    """The what-if in so many tokens; None if they ask for no change."""
    return (
        _fewer(text, toks)
        or _using_less(text, toks)
        or _would_it_do(text, toks)
        or _effect(text, toks)
        or _about_a_change(text, toks)
    )


def _fewer(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "one less shower a day", "two showers less, does that help?": so many fewer, and nothing that was done."""
    if not any(tok.has("LESS") for tok in toks) or not any(tok.has("ACT", "ACTS") for tok in toks):
        return None
    rest = [tok for tok in toks if not tok.has("QMARK", "WHATABOUT", "EFFECT", "COMMA", "AND", "QSOFT")]
    while rest and rest[0].has("AUX"):
        rest = rest[1:]
    place = next((i for i, tok in enumerate(rest) if i and tok.has("MAKEIT", "AUX")), len(rest))
    rest = rest[:place]
    if not rest or not (rest[0].number is not None or rest[0].has("A", "NUMBER", "LESS", "ONEMORE")):
        return None
    if not all(tok.number is not None or tok.has(*_OF_FEWER) for tok in rest):
        return None
    found = what_if(None, [clause_of(text, rest)])
    return [replace(found, text=text.strip())] if found is not None else None


_OF_FEWER = (
    "LESS",
    "ACT",
    "ACTS",
    "PERDAY",
    "TIMEUNIT",
    "A",
    "EACH",
    "EVERY",
    "SECOND",
    "HABIT",
    "FILLER",
    "DAY",
    "WEEKDAY",
)


_BY = ("using", "by", "on", "with")


def _using_less(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "how long would we last using half the water", "can we make it without showers", "with two guests": the question, and what would be
    altered."""
    place = next((i for i, tok in enumerate(toks) if i and (tok.has("WITHOUT") or tok.text in _BY)), None)
    if place is None or not toks[0].has("QWORD", "AUX", "MAKEIT", "DAYSLEFT", "STATUS"):
        return None
    altered, head = clause_of(text, toks[place:]), toks[:place]
    skips = any(tok.has("NEG") for tok in toks[place : place + 2]) and any(
        tok.has("ACT", "ACTS") for tok in toks[place:]
    )
    how_long = toks[0].text == "how long" and any(tok.has("LEFT") for tok in head)
    lasts = how_long or any(tok.has("MAKEIT", "RUNOUT", "DAYSLEFT", "STATUS") for tok in head)
    lasts = lasts and not any(tok.has("ACT") for tok in head)
    more = toks[place].text == "with" and any(tok.has("GUESTS", "VISITOR", "PEOPLEWORD", "ACT") for tok in toks[place:])
    if share_of_all(altered) is None and not ((skips or more) and lasts):
        return None
    found = what_if(clause_of(text, head), [altered])
    return [replace(found, text=text.strip())] if found is not None else None


def _would_it_do(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "would skipping laundry get us to Sunday", "will one tote run be enough": the change that is asked about, and till when."""
    place = next((i for i, tok in enumerate(toks) if tok.has("MAKEIT") and tok.text in _DOES), 0)
    altered = toks[1:place]
    if not altered or not toks[0].has("AUX") or not any(tok.has("NEG", *ERRANDS) for tok in altered):
        return None
    if any(tok.has("SELF") for tok in altered):
        return None  # "can we dump and make it": two questions
    found = what_if(clause_of(text, toks[place:]), [clause_of(text, altered)])
    return [replace(found, text=text.strip())] if found is not None else None


_DOES = frozenset(
    ("get us|see us|carry us|see us through|tide us over|keep us going|last us|do us|be enough|suffice|do it").split(
        "|"
    )
)
"""What is said of a change that may be enough."""


def _effect(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "what difference would one tote run make", "how would five minute showers change things": the change, without what asks."""
    asks = is_question(toks) or (toks[0].has("EFFECT") and toks[0].text.startswith("what"))
    if not any(tok.has("EFFECT") for tok in toks) or not asks:
        return None
    rest = [
        tok
        for tok in toks
        if not tok.has("EFFECT", "QWORD", "QMARK", "FUTURE") and (not tok.has("AUX") or tok.has("SELF"))
    ]
    rest = [tok for tok in rest if tok.text not in ("make", "us", "it", "to")]
    found = what_if(None, [clause_of(text, rest)]) if rest else None
    return [replace(found, text=text.strip())] if found is not None else None


def _about_a_change(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "what about with one minute showers?", "and without laundry?": the question before, with a habit changed."""
    if len(toks) < 3 or not toks[0].has("WHATABOUT") or not any(tok.has("ACT", "ACTS") for tok in toks[1:]):
        return None
    if not (toks[1].has("WITHOUT", "NEG") or toks[1].text in ("with", "if", "just", "only")):
        return None
    found = what_if(None, [clause_of(text, [tok for tok in toks[1:] if tok.text != "with"])])
    return [replace(found, text=text.strip())] if found is not None else None


def here_or_going(toks: list[Tok]) -> str | None:
    """ "we just got here what do I do first", "we're pulling out soon what do I have to do": the list of arriving, or of leaving."""
    asks_what = any(tok.has("TODOQ") and "forg" not in tok.text for tok in toks)
    if not asks_what or any(tok.has("NUMBER", "UNIT", "FRACTION", "USE") for tok in toks):
        return None
    for list_of, named in _LISTS:
        if any(tok.has(*named) and not tok.has("TODOQ") for tok in toks):
            return list_of
    return None


_LISTS = (
    ("arriving", ("ARRIVE", "ARRIVING", "COMING", "PARKED")),
    ("leaving", ("LEAVE", "LEAVINGQ", "DEPART", "STAYEND", "AWAY")),
    ("dumping", ("DUMPINGQ", "DUMP")),
)
