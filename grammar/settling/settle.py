"""What the neighbours of a token decide: names of people and sites, own names of tanks, numbers read to a meter, months and verbs.

Works on the token list of one phrase, left to right, and only ever narrows or names; nothing is invented.
May import: tokens, lexicon, people, sites, settle_*.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from grammar.hearing.clock_words import clock_words, weeks_on
from grammar.hearing.tokens import Tok
from grammar.lexicon import Lexicon
from grammar.prepared import prepared
from grammar.settling import settle_deeds, settle_heads, settle_lists, settle_sums
from grammar.settling.neighbours import rule, rules
from grammar.settling.people import settle_people
from grammar.settling.sites import settle_sites
from grammar.settling.steps import Step, Steps


def settle(
    toks: Sequence[Tok], lexicon: Lexicon, doubtful: Collection[str] = (), new_activity: bool = False
) -> list[Tok]:
    """The tokens with names settled. `doubtful`: unknown words that may be misspellings, not taken as names of people."""
    said = {tok.text for tok in toks}
    said.update(*[tok.senses for tok in toks])
    found = list(toks)
    for step in _BEFORE.called_up(said):
        found = step(found)
    found = settle_deeds.by_the_verb(found, lexicon)
    found = settle_sites(found, lexicon)
    found = settle_people(found, lexicon, doubtful)
    for step in _AFTER.called_up(said):
        found = step(found)
    return settle_deeds.new_activity(found) if new_activity else found


# ---------------------------------------------------------------- the order of it

# What calls a rule up: words, or classes (in capitals), of which the phrase must have one. No rule gives a token what calls up another.
_BEFORE_NAMES: tuple[tuple[frozenset[str], Step] | range, ...] = (
    (settle_sums.CALLED_FOR, settle_sums.sums),
    rules("supposed"),
    (settle_heads.CALLED_FOR, settle_heads.heads),
    rules("which"),
    rules("done"),
    rules("meters"),
    rules("flows"),
    rules("stays"),
    rules("stops"),
    rules("times"),
    (frozenset(["of", "out of"]), settle_lists.so_many_of_the_lights),
    rules("aside"),
    (frozenset(["ACT"]), settle_lists.names_and_numbers),
    (frozenset(["COLON", "-"]), settle_lists.under_an_activity),
    rules("shares"),
    rules("days"),
    rules("washed"),
    (frozenset(["ACT"]), settle_lists.one_by_one),
    rules("fills"),
    (frozenset(["WEEKDAY"]), weeks_on),
    (frozenset(("NUMBER FRACTION ORD CLOCK ISODATE HOLIDAY").split()), clock_words),
    (frozenset(("METER FROM").split()), settle_lists.meter_numbers),
    rules("told"),
    rules("beside"),
    rules("instead"),
    rules("tanks"),
    rules("whose"),
    rules("uses"),
    (settle_lists.EACH_TIME, settle_lists.by_each_load),
    (frozenset(["CALLED", "RIGNAME"]), settle_lists.called),
)
_AFTER_NAMES: tuple[tuple[frozenset[str], Step] | range, ...] = (
    rules("hookups"),
    rules("last"),
)


_BEFORE, _AFTER = (Steps(table, prepared().calls, rule) for table in (_BEFORE_NAMES, _AFTER_NAMES))
