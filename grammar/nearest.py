"""The nearest phrase that works: what is offered as a hint where a phrase was not understood.

Nearness goes by the word classes of both, the rarer the heavier, and by whether it asks or tells. Where nothing of the trade is shared,
help is nearer than any example. May import: hear, tokens, lexicon, mood.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import cache

from grammar.hearing.hear import hear
from grammar.hearing.tokens import Tok, tokens
from grammar.lexicon import NO_OWN, lexicon
from grammar.telling.mood import is_question

EXAMPLES: tuple[str, ...] = (
    "shower used 2 gal", "two showers", "Ana washed the dishes, 1.5 gal", "meter 41.5", "reset the meter", "filled the fresh tank",
    "put 20 gal in the fresh tank", "dumped grey", "took 12 gal of grey away in the tote", "grey is half full", "fresh is at 3/4",
    "put 8 gal in the black tank through the rinse port", "at Heron Bend till Sunday, water but no sewer", "staying till Tuesday", "we left",
    "on the pump now", "switched to city water", "opened the grey valve", "two people", "heading out", "we're back", "pressure is 48 psi",
    "one gallon took 25 seconds", "changed the water filter", "sanitised the fresh tank", "put the hose away", "regulator is on the spigot",
    "grey tank 36 gal", "the tote holds 15 gal", "use litres", "note: sulphur smell at this tap", "undo", "make that 3", "same again",
    "status", "can we make it to Sunday", "how many days left", "how many showers are left", "what did we use yesterday",
    "what if we skip showers", "plan the next two weeks", "what's due", "how much can I put in black", "how much bleach to sanitise the tank",
    "how much does our water weigh", "leaving", "why", "help", "shower from 12.3 to 14.6", "low of 25 tonight",
    "the sensor says black is two thirds", "how full is grey", "how much room is left in black", "when do we need to dump", "who uses the most",
    "when did we last dump", "where is the hose", "is the grey valve open", "can I dump here", "how long can I run the rinse",
    "when is the filter due", "what do I do when we arrive", "what is grey water", "two guests from Friday to Sunday", "how much do we use a day",
    "next Cedar Flat from Sunday for four nights, no hookups", "laundry on Thursday, 8 gal", "remind me to check the hoses every 90 days",
)  # fmt: skip
"""Phrases that work, one for each thing one can say. The tests read them all."""

_LITTLE = frozenset(
    "FILLER PREP ART A AND OR BUT AUX BE DO HAVE SELF PRONOUN POSS TO AT ON IN OF FOR FROM BY IT COMMA STOP QMARK COLON QSOFT QLEAD FUTURE "
    "NEG NO NUMBER UNIT FRACTION DAY PART WEEKDAY TIMEUNIT WHICH ADJ MORE QWORD SAYS SHOW PARTICLE ONTO WITH NAMEWORD USE PUT RUN THERE STAY "
    "THEN NOW UNTIL DONE TAKEAWAY LEFTOVER AWAYWORD AWAYTO SCENE REMARK VESSEL AMEND HISTORY MAKEIT LIKE".split()
)
"""What may stand in any phrase, and makes none nearer."""
_NOTHING = ("AUX", "BE", "ART", "PREP", "TO", "SELF", "FILLER", "AND", "OF", "IT")
"""A word that may be one of these is none of the trade here."""
_LEAST, _OTHER_MOOD = 0.15, 0.5
_WORD = 0.5  # so much of its weight a class has by itself; the rest, if the word is the same


def nearest(toks: Sequence[Tok]) -> str:
    """The example nearest to what was said; "help" where none is near."""
    said, asks = _classes(toks), is_question(toks)
    words = {word for tok in toks for word in tok.text.split()}
    common, best, score = _common(), "help", _LEAST
    for example, (held, of_words, asked) in _examples().items():
        shared = sum(
            (_WORD + (1 - _WORD) * (not words.isdisjoint(of_words[name]))) * said[name] / common[name] ** 0.5
            for name in held
            if name in said
        )
        near = shared * (1.0 if asks == asked else _OTHER_MOOD)
        if near > score:
            best, score = example, near
    return best


def _classes(toks: Sequence[Tok]) -> dict[str, float]:
    """Each class that carries meaning, with how surely it is meant: of a word with several, each counts for a part."""
    found: dict[str, float] = {}
    for tok in toks:
        if tok.has(*_NOTHING):
            continue
        names = [name for name in tok.senses if name not in _LITTLE]
        for name in names:
            found[name] = max(found.get(name, 0.0), 1 / len(names))
    return found


@cache
def _examples() -> dict[str, tuple[dict[str, float], dict[str, set[str]], bool]]:
    """Of each example its classes, the words of each, and whether it asks."""
    made = {}
    for example in EXAMPLES:
        toks = tokens(hear(example), lexicon(), NO_OWN)
        of_words: dict[str, set[str]] = {}
        for tok in toks:
            for name in tok.senses:
                of_words.setdefault(name, set()).update(tok.text.split())
        made[example] = (_classes(toks), of_words, is_question(toks))
    return made


@cache
def _common() -> Counter[str]:
    """In how many examples each class stands."""
    return Counter(name for held, _, _ in _examples().values() for name in held)
