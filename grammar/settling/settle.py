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
    settle_asides,
    settle_deeds,
    settle_lists,
    settle_loose,
    settle_oneself,
    settle_scenes,
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
from grammar.settling.settle_went import (
    forgot_it_here,
    from_one_to_the_other,
    gone_in_the_tote,
    have_we_water,
    order_done,
    they_have,
    turned_down,
    weight_by_ear,
    went_and,
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
    found = settle_people(they_have(found), lexicon, doubtful)
    for step in _AFTER.called_up(said):
        found = step(found)
    return settle_deeds.new_activity(found) if new_activity else found


# ---------------------------------------------------------------- the order of it

# What calls a rule up: words, or classes (in capitals), of which the phrase must have one. No rule gives a token what calls up another.
_BEFORE_NAMES: tuple[tuple[frozenset[str], Step], ...] = (
    (frozenset(("second no one may march mar sat sun after afterwards").split()), each(month_or_verb)),
    (frozenset(["forgot", "forgotten"]), forgot_it_here),
    (frozenset(["LOWTEMP", "ISAT", "TO"]), turned_down),
    (frozenset(["PUMP", "HOOKUP"]), from_one_to_the_other),
    (frozenset(["AWAYTO", "DUMPSITE", "DUMP"]), gone_in_the_tote),
    (
        frozenset("gone|went|been|went ahead|gone ahead|went off|went out|have gone|has gone|are gone|up".split("|")),
        went_and,
    ),
    (frozenset(["done that"]), settle_loose.done_that_was),
    (frozenset("done|complete|completed|finished|all done|sorted|is done".split("|")), order_done),
    (frozenset(["wait"]), each(weight_by_ear)),
    (frozenset(["have we"]), each(have_we_water)),
    (settle_scenes.OUTDOORS, settle_scenes.taken_outside),
    (frozenset(["FULLNESS"]), each(settle_scenes.full_of)),
    (frozenset(["had", "have had", "got"]), settle_scenes.had_it_done),
    (frozenset(["TOTE"]), settle_scenes.in_the_tote),
    (frozenset(["flush"]), settle_scenes.flush_for_minutes),
    *rules("meters"),
    *rules("stays"),
    (frozenset(["DAY", "PART", "AMPM", "AT", "DEPART", "BACK", "ARRIVE"]), each(hour_with_a_stop)),
    (frozenset(["of", "out of"]), so_many_of_the_lights),
    (frozenset(["ORD"]), each(which_one)),
    (frozenset(["when we"]), each(when_we)),
    (EARLIER, a_while_ago),
    (settle_asides.VOCATIVES, each(settle_asides.addressed)),
    (frozenset(["SCENE", "FELT"]), settle_asides.how_it_was),
    (frozenset(["you"]), settle_asides.politely),
    (frozenset(["COLON"]), settle_asides.headed),
    (frozenset(["REPORTED", "SAYS"]), settle_asides.on_their_word),
    (frozenset(["they"]), each(settle_asides.they_took)),
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
    (frozenset(["LOOK"]), settle_asides.who_looked),
    (frozenset(["she", "he"]), settle_asides.who_she_is),
    (frozenset(["let us say", "say that"]), each(settle_asides.say_about)),
    (settle_asides.AS_ALWAYS, each(settle_asides.as_always)),
    (frozenset(["one"]), settle_lists.one_of_them),
    (frozenset(["UNIT"]), settle_lists.bare_unit),
    (settle_asides.PARTS, each(settle_asides.part_of_a_day)),
    (settle_asides.SPENT, each(settle_asides.spent)),
    (frozenset(["plan to"]), each(plan_to)),
    (frozenset(["before", "after"]), each(shortly)),
    (frozenset(["and another", "and one more", "another", "one more"]), settle_loose.and_one_more),
    (frozenset(["and another", "another", "one more"]), each(and_another)),
    (frozenset(["i guess"]), each(settle_loose.guessed)),
    (frozenset(["ABOUT"]), settle_loose.about_so_much),
    (frozenset(["so", "and so", "so then"]), settle_loose.why_so),
    (settle_loose.AFTERWARDS, each(settle_loose.afterwards)),
    (frozenset(["WASH"]), settle_oneself.washed_oneself),
    (frozenset(["gave"]), settle_oneself.given_a_bath),
    (settle_loose.TOLD_TO, settle_loose.made_to_log),
    (frozenset(["made", "had"]), settle_loose.made_to),
    (frozenset(["night"]), each(settle_loose.night_of)),
    (settle_loose.FORGOT, each(settle_loose.forgotten)),
    (frozenset(["TANKS"]), settle_loose.all_bathed),
    (frozenset(["CHOICE"]), settle_loose.numbered),
    (frozenset(["bird bath", "birdbath"]), each(settle_loose.birds)),
    (frozenset(["bro"]), each(settle_loose.my_bro)),
    (frozenset(["LANDWATER"]), each(settle_loose.of_the_land)),
    (settle_loose.ANNOUNCED, each(settle_loose.announced)),
    (frozenset(["again"]), each(settle_deeds.once_again)),
    (frozenset(["good"]), each(settle_deeds.a_good_one)),
    (frozenset(["BUT"]), each(settle_deeds.but_it_took)),
    (settle_deeds.KEPT, settle_deeds.kept_to),
    (settle_deeds.LAST, each(settle_deeds.last_one)),
    (frozenset("myself himself herself itself ourselves themselves".split()), each(settle_deeds.oneself)),
    (frozenset(["for tea"]), each(settle_deeds.for_tea)),
    (frozenset(["FRACTION"]), each(dated)),
    (frozenset(["back"]), each(ago)),
    (frozenset(("flat even dead exactly sharp").split()), each(even_number)),
    (frozenset(["ACT"]), settle_lists.one_by_one),
    (frozenset(["record"]), each(settle_asides.a_record)),
    (settle_asides.FED, each(settle_asides.fed)),
    (frozenset(["glasses"]), each(settle_asides.spectacles)),
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
    (frozenset(["counter", "counters"]), each(settle_deeds.worktop)),
    (frozenset(("wash day|washday|laundry day|washing day").split("|")), each(settle_deeds.day_for_it)),
    (frozenset(["KIN", "GROUP"]), each(settle_deeds.bathed_one)),
    (frozenset(["changed", "replaced"]), each(settle_deeds.water_changed)),
    (frozenset(["lot"]), each(a_lot)),
    (frozenset(["past"]), each(past_a_day)),
    (frozenset(["left"]), each(what_is_left)),
    (frozenset(STOPPED), each(given_up)),
    (frozenset(["are gone"]), each(gone_on)),
    (frozenset(("am pm").split()), each(half_of_a_day)),
    (frozenset(["first"]), each(in_order)),
    (frozenset(["SAYS"]), each(settle_asides.said_by)),
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
    (frozenset(("he she him her them it").split()), each(spoken_of)),
    (frozenset(["ADJ"]), each(adjective)),
    (frozenset(["NUMBER", "VAGUE"]), each(some)),
    (frozenset(["have", "has", "had", "we have", "have got"]), each(perfect)),
    (frozenset(["ACT"]), lambda toks: [plural(toks, n, noun_before(toks, n)) for n in range(len(toks))]),
)


_BEFORE, _AFTER = Steps(_BEFORE_NAMES), Steps(_AFTER_NAMES)
