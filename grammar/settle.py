"""What the neighbours of a token decide: names of people and sites, own names of tanks, numbers read to a meter, months and verbs.

Works on the token list of one phrase, left to right, and only ever narrows or names; nothing is invented.
May import: tokens, lexicon, people, sites, settle_*.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

from grammar import settle_asides, settle_deeds, settle_lists
from grammar import settle_told as told
from grammar.clock_words import clock_words
from grammar.lexicon import Lexicon
from grammar.lightclass import replace
from grammar.people import settle_people, settle_visitors, spoken_of, theirs, titled
from grammar.settle_days import STOPPED, given_up, half_of_a_day, past_a_day, what_is_left
from grammar.settle_fills import CARRIED, by_the_vessel, fetched, went_in
from grammar.settle_rig import (
    HEADINGS,
    TOILETS,
    drain_for,
    for_the,
    galley,
    heading,
    is_here,
    little,
    the_rig,
    toilet_tank,
)
from grammar.settle_tanks import (
    all_of_the_tank,
    at_a_level,
    beside_a_use,
    each_of_them,
    it_holds,
    let_through,
    named_after,
    verb_and_particle,
)
from grammar.settle_trip import dated, home, out_for, plus_guests
from grammar.settle_uses import (
    EACH_TIME,
    LOADS,
    all_of_it,
    and_another,
    at_the_end,
    by_each_load,
    by_the_load,
    carried,
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
from grammar.sites import settle_sites
from grammar.tokens import Tok, sense


def settle(
    toks: Sequence[Tok], lexicon: Lexicon, doubtful: Collection[str] = (), new_activity: bool = False
) -> list[Tok]:
    """The tokens with names settled. `doubtful`: unknown words that may be misspellings, not taken as names of people."""
    said = {tok.text for tok in toks}
    said.update(*[tok.senses for tok in toks])
    found = list(toks)
    for calls, step in _BEFORE_NAMES:
        if not said.isdisjoint(calls):
            found = step(found)
    found = settle_deeds.by_the_verb(found, lexicon.english)
    found = settle_sites(found, lexicon)
    found = settle_people(found, lexicon, doubtful)
    for calls, step in _AFTER_NAMES:
        if not said.isdisjoint(calls):
            found = step(found)
    return settle_deeds.new_activity(found) if new_activity else found


def _month_or_verb(toks: Sequence[Tok], i: int) -> Tok:
    """ "may" and "march" are months only beside a day or after "in", "until"."""
    tok = toks[i]
    following = toks[i + 1] if i + 1 < len(toks) else None
    if tok.text in ("after", "afterwards") and _trails(toks, i):
        return replace(tok, senses=sense("FILLER"))
    if tok.text == "second" and following is not None and following.has("TANK", "METER", "TANKWORD"):
        return replace(tok, senses=sense("SECOND"), ordinal=None)
    if tok.text == "no" and i and following is not None and _corrects(toks[i - 1], following):
        return replace(tok, senses=sense("FIX"))
    if (
        tok.text == "one"
        and i
        and toks[i - 1].has("TANK", "CHOICE", "WHICH")
        and not (following and following.has("UNIT"))
    ):
        return replace(tok, senses=sense("ONE"), number=None)
    if tok.text not in ("may", "march", "mar", "sat", "sun") or not tok.has("MONTH", "WEEKDAY"):
        return tok
    near = [toks[j] for j in (i - 1, i + 1) if 0 <= j < len(toks)]
    before = toks[i - 1] if i else None
    dated = any(other.has("NUMBER", "ORD") for other in near) or (
        before is not None and (before.has("UNTIL", "EDGE") or before.text in ("of", "in", "on", "since"))
    )
    if dated or tok.has("WEEKDAY"):
        return replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls in ("MONTH", "WEEKDAY")})
    return replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls != "MONTH"})


def _trails(toks: Sequence[Tok], i: int) -> bool:
    """ "shut the black valve after": nothing follows that it could be after, and no reading comes before it."""
    last = i + 1 == len(toks) or toks[i + 1].has("COMMA", "STOP", "AND")
    return (
        last
        and i > 1
        and not toks[i - 1].has("NUMBER", "UNIT", "FRACTION")
        and not any(tok.has("METER", "BEFORE") for tok in toks)
    )


def _corrects(before: Tok, after: Tok) -> bool:
    """ "two no three", "grey no black": the same sort of thing on both sides of a "no"."""
    if after.number is not None:
        return before.number is not None or before.has("UNIT")
    return any(before.has(cls) and after.has(cls) for cls in ("TANK", "ACT", "PERSON", "DAY", "WEEKDAY"))


def _meter_numbers(toks: list[Tok]) -> list[Tok]:
    """ "forty one five" on a meter is 41.5, "four twelve point three" is 412.3."""
    if not any(tok.has("METER", "FROM") for tok in toks):
        return toks
    found: list[Tok] = []
    for tok in toks:
        last = found[-1] if found else None
        if (
            last is not None and last.number is not None and tok.number is not None and not last.text[0].isdigit() and not tok.text[0].isdigit()
            and last.number == int(last.number)
        ):  # fmt: skip
            merged = None
            if last.number >= 10 and tok.number < 10 and tok.number == int(tok.number):
                merged = last.number + tok.number / 10
            elif last.number < 10 and 10 <= tok.number < 100:
                merged = last.number * 100 + tok.number
            if merged is not None:
                found[-1] = replace(last, text=f"{last.text} {tok.text}", end=tok.end, number=merged)
                continue
        found.append(tok)
    return found


def _called(toks: list[Tok]) -> list[Tok]:
    """The word or words after "called" are a name."""
    found: list[Tok] = []
    i = 0
    while i < len(toks):
        found.append(toks[i])
        if toks[i].has("CALLED", "RIGNAME"):
            j = i + 1
            while (
                j < len(toks)
                and j <= i + 3
                and not toks[j].has("COMMA", "NUMBER", "STOP", "AND", "HOLDS", "BE", "A", "PREP")
            ):
                j += 1
            if j > i + 1:
                text = " ".join(tok.text for tok in toks[i + 1 : j])
                text = titled(text) if toks[i].has("RIGNAME") and toks[i + 1].capital else text
                found.append(Tok(text, toks[i + 1].start, toks[j - 1].end, sense("NAME", text)))
                i = j - 1
        i += 1
    return found


_NOUNS = tuple(("ACT ACTS TANK TANKS TANKWORD GEAR METER HOOKUP SITE TOTE SERVICE NEWACT ADJ RINSE WATER").split())
_SAYS = ("UNIT", "NUMBER", "FRACTION")


def _a_wash(tok: Tok) -> bool:
    """ "a good wash", "a quick rinse"."""
    return tok.has("WASH") and tok.senses["WASH"].form == "base"


def _adjective(toks: Sequence[Tok], i: int) -> Tok:
    """ "a hot shower" is a shower; "the shower was hot" is a remark, unless an amount comes with it."""
    tok = toks[i]
    if not tok.has("ADJ"):
        return tok
    others = {cls: one for cls, one in tok.senses.items() if cls != "ADJ"}
    following = toks[i + 1] if i + 1 < len(toks) else None
    if following is not None and (following.has(*_NOUNS) or following.has(*_SAYS) or _a_wash(following)):
        return tok
    if others:
        return replace(tok, senses=others)
    if following is not None and not following.has("COMMA", "STOP", "AND", "THEN", "PREP", "FILLER", "DAY", "SO"):
        return tok
    told = any(other.has("UNIT") for other in toks)
    return replace(tok, senses=sense("FILLER" if told else "REMARK"))


def _a_lot(toks: Sequence[Tok], i: int) -> Tok:
    """ "dumped the lot" is all of it, "a lot" is much."""
    return (
        replace(toks[i], senses=sense("VAGUE")) if toks[i].text == "lot" and i and toks[i - 1].text == "a" else toks[i]
    )


def _in_order(toks: Sequence[Tok], i: int) -> Tok:
    """ "emptied grey first, then black": an order, no choice."""
    tok = toks[i]
    beside = [toks[j] for j in (i - 1, i + 1) if 0 <= j < len(toks)]
    if tok.text == "first" and any(other.has("TANK") for other in beside) and any(other.has("DUMP") for other in toks):
        return replace(tok, senses=sense("FILLER"), ordinal=None)
    return tok


def _said(toks: Sequence[Tok]) -> bool:
    """Whether anything but little words stands there."""
    return any(not tok.has("FILLER", "SELF", "BE", "COMMA", "AND") for tok in toks)


def _turns(toks: Sequence[Tok], i: int) -> Tok:
    """ "out Thursday" is leaving; "back to two people" is nobody's return."""
    tok = toks[i]
    following = toks[i + 1] if i + 1 < len(toks) else None
    if tok.text in ("out", "gone") and following is not None and following.has("UNTIL") and not _said(toks[:i]):
        return replace(tok, senses=sense("AWAY", "away", "ing"))  # "out till five"
    onward = toks[i + 2] if following is not None and following.has("ON", "BY") and i + 2 < len(toks) else following
    if tok.text == "out" and onward is not None and onward.has("WEEKDAY", "DAY", "ORD", "ISODATE"):
        return replace(tok, senses=sense("LEAVE", "leave", "pres"))
    if tok.has("LATER") and tok.has("FUTURE", "ADJ", "AGO") and i and toks[i - 1].has("TIMEUNIT"):
        kept = ("LATER", "AGO") if tok.has("AGO") else ("LATER",)  # "leave a day later", "a day early"
        return replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls in kept})
    alone = following is None or following.has("COMMA", "STOP", "SEMI", "AND", "SCENE") or _reports(following)
    if tok.text == "back" and tok.has("BACK") and alone and all(other.has("FILLER") for other in toks[:i]):
        return replace(tok, senses={"BACK": tok.senses["BACK"]})  # "back, used the loo"
    if tok.has("BACK") and following is not None and following.text == "to":
        rest = toks[i + 2 : i + 4]
        if (rest and rest[0].number is not None) or any(other.has("ALONE") for other in rest):
            count = rest[0].number if rest else None
            counted = count is not None and count >= 1 and not any(other.has("UNIT", "RATEUNIT") for other in rest[1:])
            return replace(tok, senses=sense("PEOPLEWORD" if counted else "FILLER"))  # "back to two (people)"
    return tok


def _reports(tok: Tok) -> bool:
    """Whether a report of a use begins here ("back used the loo": a phone leaves the comma out)."""
    return tok.has("ACT") and tok.senses["ACT"].form == "past"


def _perfect(toks: Sequence[Tok], i: int) -> Tok:
    """ "have left", "we have arrived": the verb that follows says it all."""
    tok = toks[i]
    if tok.text not in ("have", "has", "had", "we have", "have got") or i + 1 >= len(toks):
        return tok
    following = toks[i + 1]
    if any(one.form == "past" for one in following.senses.values()) and not following.has("BE"):
        return replace(tok, senses=sense("FILLER"))
    return tok


def _noun_before(toks: Sequence[Tok], n: int) -> Tok | None:
    """The token before, but for what only describes ("a quick wash")."""
    while n and toks[n - 1].senses.keys() == {"ADJ"}:
        n -= 1
    return toks[n - 1] if n else None


# ---------------------------------------------------------------- the order of it

Step = Callable[[list[Tok]], list[Tok]]


def _each(rule: Callable[[Sequence[Tok], int], Tok]) -> Step:
    """A rule for one token among its neighbours, applied to all."""
    return lambda toks: [rule(toks, i) for i in range(len(toks))]


# What calls a rule up: words, or classes (in capitals), of which the phrase must have one. No rule gives a token what calls up another.
_BEFORE_NAMES: tuple[tuple[frozenset[str], Step], ...] = (
    (frozenset(("second no one may march mar sat sun after afterwards").split()), _each(_month_or_verb)),
    (frozenset(["ORD"]), _each(which_one)),
    (frozenset(["when we"]), _each(when_we)),
    (settle_asides.VOCATIVES, _each(settle_asides.addressed)),
    (frozenset(["you"]), settle_asides.politely),
    (frozenset(["COLON"]), settle_asides.headed),
    (frozenset(["REPORTED", "SAYS"]), settle_asides.on_their_word),
    (frozenset(["they"]), _each(settle_asides.they_took)),
    (frozenset(["COLON", "-"]), settle_lists.under_an_activity),
    (frozenset(["flushes", "loo flushes", "toilet flushes"]), settle_lists.counted_behind),
    (frozenset(["UNIT"]), _each(settle_lists.described)),
    (LOADS, _each(settle_lists.batch)),
    (frozenset(["brushed"]), _each(settle_lists.brushed)),
    (settle_lists.EXACTLY, _each(settle_lists.exactly)),
    (settle_asides.PARTS, _each(settle_asides.part_of_a_day)),
    (settle_asides.SPENT, _each(settle_asides.spent)),
    (frozenset(["plan to"]), _each(plan_to)),
    (frozenset(["before", "after"]), _each(shortly)),
    (frozenset(["and another", "another", "one more"]), _each(and_another)),
    (frozenset(["again"]), _each(settle_deeds.once_again)),
    (frozenset(["last"]), _each(settle_deeds.last_one)),
    (frozenset("myself himself herself itself ourselves themselves".split()), _each(settle_deeds.oneself)),
    (frozenset(["for tea"]), _each(settle_deeds.for_tea)),
    (frozenset(["FRACTION"]), _each(dated)),
    (frozenset(("NUMBER FRACTION ORD CLOCK ISODATE HOLIDAY").split()), clock_words),
    (frozenset(("METER FROM").split()), _meter_numbers),
    (frozenset(["drinking water"]), _each(drinkable)),
    (frozenset(["units", "unit"]), told.units_label),
    (frozenset(["is", "'s", "are"]), told.sized),
    (frozenset(["fresh"]), _each(told.fresh_part)),
    (frozenset(["so", "and so"]), told.so_has),
    (frozenset(["actually"]), _each(told.number_of_us)),
    (frozenset(["too", "as well", "also"]), _each(told.too)),
    (frozenset(["BACK"]), _each(told.put_back)),
    (frozenset(["VESSEL"]), _each(told.vessels)),
    (frozenset(["UNTIL", "BY"]), _each(told.until_meal)),
    (frozenset(["STAYEND"]), _each(told.leaving_day)),
    (frozenset(["SENSOR"]), told.sensor_says),
    (frozenset(["of us"]), _each(told.so_many_left)),
    (frozenset(["dump"]), told.dump_at),
    (frozenset(["METER"]), _each(told.counter)),
    (frozenset(["AWAY"]), _each(told.out_of)),
    (frozenset(["gave"]), told.given_a_dump),
    (frozenset(["took", "needed", "gave"]), told.took_to_fill),
    (frozenset(["full"]), told.a_full_one),
    (frozenset(["counter", "counters"]), _each(settle_deeds.worktop)),
    (frozenset(("wash day|washday|laundry day|washing day").split("|")), _each(settle_deeds.day_for_it)),
    (frozenset(["KIN", "GROUP"]), _each(settle_deeds.bathed_one)),
    (frozenset(["changed", "replaced"]), _each(settle_deeds.water_changed)),
    (frozenset(["lot"]), _each(_a_lot)),
    (frozenset(["past"]), _each(past_a_day)),
    (frozenset(["left"]), _each(what_is_left)),
    (frozenset(STOPPED), _each(given_up)),
    (frozenset(("am pm").split()), _each(half_of_a_day)),
    (HEADINGS | {"NEW"}, _each(heading)),
    (frozenset(["FETCHED", *CARRIED]), fetched),
    (frozenset(["HAUL", "TAKEAWAY"]), by_the_vessel),
    (frozenset(["went in", "took", "it took"]), _each(went_in)),
    (frozenset(["RIG"]), _each(little)),
    (frozenset(["galley"]), _each(galley)),
    (frozenset(["COMING"]), _each(is_here)),
    (frozenset(["SEWERHERE"]), _each(drain_for)),
    (frozenset(["TIMEUNIT"]), _each(for_the)),
    (TOILETS, _each(toilet_tank)),
    (frozenset(["we are at", "we are now at", "up to", "down to"]), _each(at_a_level)),
    (frozenset(["BEFORE", "AFTER"]), beside_a_use),
    (
        frozenset(
            (
                "ran let pumped sucked emptied drained pulled pushed shoved slid pressed knocked slammed shut closed"
            ).split()
        ),
        verb_and_particle,
    ),
    (frozenset(["VESSEL"]), each_of_them),
    (frozenset(["let"]), let_through),
    (frozenset(["all"]), _each(all_of_the_tank)),
    (frozenset(["HOLDS"]), it_holds),
    (frozenset(["i mean", "i meant", "that is"]), named_after),
    (frozenset(["home"]), _each(home)),
    (frozenset(["+", "plus"]), plus_guests),
    (frozenset(["TIMEUNIT"]), _each(out_for)),
    (frozenset(["first"]), _each(_in_order)),
    (frozenset(["SAYS"]), _each(settle_asides.said_by)),
    (frozenset(("his her their they them").split()), _each(theirs)),
    (frozenset(["out", "gone", "BACK", "LATER"]), _each(_turns)),
    (frozenset(["VISITOR"]), settle_visitors),
    (frozenset(["load", "loads", "tote", "totes", "tote loads"]), _each(carried)),
    (EACH_TIME, by_each_load),
    (LOADS | {"lots of"}, by_the_load),
    (frozenset(["for"]), _each(served)),
    (frozenset(["ACT"]), _each(one_more)),
    (frozenset(["DIRT"]), _each(dirt)),
    (frozenset(["fresh water", "clean water"]), _each(poured)),
    (frozenset(["all", "both"]), _each(all_of_it)),
    (frozenset(["oops", "sorry"]), _each(at_the_end)),
    (frozenset(["use", "usage", "water"]), _each(label)),
    (frozenset(["GROUP", "of us"]), several),
    (frozenset(["CALLED", "RIGNAME"]), _called),
    (frozenset(["RIG", "home", "no"]), the_rig),
)
_AFTER_NAMES: tuple[tuple[frozenset[str], Step], ...] = (
    (frozenset(("he she him her them it").split()), _each(spoken_of)),
    (frozenset(["ADJ"]), _each(_adjective)),
    (frozenset(["NUMBER", "VAGUE"]), _each(some)),
    (frozenset(["have", "has", "had", "we have", "have got"]), _each(_perfect)),
    (frozenset(["ACT"]), lambda toks: [plural(toks, n, _noun_before(toks, n)) for n in range(len(toks))]),
)
