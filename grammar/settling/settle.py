"""What the neighbours of a token decide: names of people and sites, own names of tanks, numbers read to a meter, months and verbs.

Works on the token list of one phrase, left to right, and only ever narrows or names; nothing is invented.
May import: tokens, lexicon, people, sites, settle_*.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from grammar.hearing.clock_words import clock_words, weeks_on
from grammar.hearing.tokens import Tok
from grammar.lexicon import Lexicon
from grammar.settling import (
    settle_deeds,
    settle_lists,
    settle_shares,
)
from grammar.settling.neighbours import rules
from grammar.settling.others import STRANGERS, settle_visitors, strangers, theirs
from grammar.settling.people import settle_people, spoken_of
from grammar.settling.settle_days import (
    EARLIER,
    STOPPED,
    a_while_ago,
    ago,
    and_seconds,
    day_number,
    even_number,
    for_a_while,
    from_day_to_day,
    given_up,
    gone_on,
    half_of_a_day,
    past_a_day,
    what_is_left,
)
from grammar.settling.settle_figures import dated, hour_with_a_stop, so_many_of_the_lights
from grammar.settling.settle_uses import (
    EACH_TIME,
    LOADS,
    all_of_it,
    and_another,
    at_the_end,
    bowl,
    by_each_load,
    by_the_load,
    carried,
    did_wash,
    dirt,
    drinkable,
    label,
    one_more,
    plan_to,
    plural,
    poured,
    served,
    several,
    shortly,
    some,
    when_we,
    which_one,
)
from grammar.settling.settle_words import (
    a_lot,
    adjective,
    called,
    in_order,
    meter_numbers,
    month_or_verb,
    noun_before,
    perfect,
    turns,
)
from grammar.settling.sites import settle_sites
from grammar.settling.steps import Step, Steps, each


def settle(
    toks: Sequence[Tok], lexicon: Lexicon, doubtful: Collection[str] = (), new_activity: bool = False
) -> list[Tok]:
    """The tokens with names settled. `doubtful`: unknown words that may be misspellings, not taken as names of people."""
    said = {tok.text for tok in toks}
    said.update(*[tok.senses for tok in toks])
    found = list(toks)
    for step in _BEFORE.called_up(said):
        found = step(found)
    found = settle_deeds.by_the_verb(found, lexicon.english)
    found = settle_sites(found, lexicon)
    found = settle_people(found, lexicon, doubtful)
    for step in _AFTER.called_up(said):
        found = step(found)
    return settle_deeds.new_activity(found) if new_activity else found


# ---------------------------------------------------------------- the order of it

# What calls a rule up: words, or classes (in capitals), of which the phrase must have one. No rule gives a token what calls up another.
_BEFORE_NAMES: tuple[tuple[frozenset[str], Step], ...] = (
    (frozenset(("second no one may march mar sat sun after afterwards").split()), each(month_or_verb)),
    *rules("done"),
    *rules("meters"),
    *rules("stays"),
    (frozenset(["DAY", "PART", "AMPM", "AT", "DEPART", "BACK", "ARRIVE"]), each(hour_with_a_stop)),
    (frozenset(["of", "out of"]), so_many_of_the_lights),
    (frozenset(["ORD"]), each(which_one)),
    (frozenset(["when we"]), each(when_we)),
    (EARLIER, a_while_ago),
    *rules("aside"),
    (frozenset(["ACT"]), settle_shares.names_and_numbers),
    (frozenset(["COLON", "-"]), settle_lists.under_an_activity),
    (frozenset(["of"]), each(settle_shares.out_of_many)),
    (settle_shares.VISITS | {"loo flush", "toilet flush"}, settle_shares.one_visit),
    (frozenset(["PEOPLEWORD", "GROUP", "GUESTS"]), settle_shares.for_so_many),
    (settle_shares.OF_US, settle_shares.of_us),
    (frozenset(["flushes", "loo flushes", "toilet flushes"]), settle_lists.counted_behind),
    (frozenset(["UNIT"]), each(settle_lists.described)),
    (LOADS, each(settle_lists.batch)),
    (frozenset(["brushed"]), each(settle_lists.brushed)),
    (settle_lists.EXACTLY, each(settle_lists.exactly)),
    (frozenset(["one"]), settle_lists.one_of_them),
    (frozenset(["UNIT"]), settle_lists.bare_unit),
    (frozenset(["plan to"]), each(plan_to)),
    (frozenset(["before", "after"]), each(shortly)),
    (frozenset(["and another", "another", "one more"]), each(and_another)),
    *rules("washed"),
    (frozenset(["FRACTION"]), each(dated)),
    (frozenset(["back"]), each(ago)),
    (frozenset(("flat even dead exactly sharp").split()), each(even_number)),
    (frozenset(["ACT"]), settle_lists.one_by_one),
    (frozenset(["WEEKDAY"]), from_day_to_day),
    (frozenset(["WEEKDAY"]), each(day_number)),
    (frozenset(["for"]), for_a_while),
    (frozenset(["TIMEUNIT"]), and_seconds),
    *rules("fills"),
    (frozenset(["WEEKDAY"]), weeks_on),
    (frozenset(("NUMBER FRACTION ORD CLOCK ISODATE HOLIDAY").split()), clock_words),
    (frozenset(("METER FROM").split()), meter_numbers),
    (frozenset(["drinking water"]), each(drinkable)),
    *rules("told"),
    *rules("beside"),
    *rules("instead"),
    *rules("tanks"),
    (frozenset(["lot"]), each(a_lot)),
    (frozenset(["past"]), each(past_a_day)),
    (frozenset(["left"]), each(what_is_left)),
    (frozenset(STOPPED), each(given_up)),
    (frozenset(["are gone"]), each(gone_on)),
    (frozenset(("am pm").split()), each(half_of_a_day)),
    (frozenset(["first"]), each(in_order)),
    (STRANGERS, each(strangers)),
    (frozenset(("his her their they them").split()), each(theirs)),
    (frozenset(["out", "gone", "down to", "up to", "BACK", "LATER"]), each(turns)),
    (frozenset(["VISITOR"]), settle_visitors),
    (frozenset(["load", "loads", "tote", "totes", "tote loads"]), each(carried)),
    (EACH_TIME, by_each_load),
    (LOADS | {"lots of"}, by_the_load),
    (frozenset(["bowl"]), each(bowl)),
    (frozenset(["did wash"]), each(did_wash)),
    (frozenset(["for"]), each(served)),
    (frozenset(["ACT"]), each(one_more)),
    (frozenset(["DIRT"]), each(dirt)),
    (frozenset(["fresh water", "clean water"]), each(poured)),
    (frozenset(["all", "both"]), each(all_of_it)),
    (frozenset(["oops", "sorry"]), each(at_the_end)),
    (frozenset(["use", "usage", "water"]), each(label)),
    (frozenset(["GROUP", "of us"]), several),
    (frozenset(["CALLED", "RIGNAME"]), called),
)
_AFTER_NAMES: tuple[tuple[frozenset[str], Step], ...] = (
    *rules("hookups"),
    (frozenset(("he she him her them it").split()), each(spoken_of)),
    (frozenset(["ADJ"]), each(adjective)),
    (frozenset(["NUMBER", "VAGUE"]), each(some)),
    (frozenset(["have", "has", "had", "we have", "have got"]), each(perfect)),
    (frozenset(["ACT"]), lambda toks: [plural(toks, n, noun_before(toks, n)) for n in range(len(toks))]),
)


_BEFORE, _AFTER = Steps(_BEFORE_NAMES), Steps(_AFTER_NAMES)
