"""What the neighbours decide of words that are said beside a report: to whom, in what tone, under which heading, on whose word.

Like settle.py it only ever narrows. May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import lexicon
from grammar.lightclass import replace

_STATES = frozenset(
    "was were is are am been got had has rolled came come feeling felt looked stank smelled smelt".split()
)
_IS_SO = frozenset("was were is are am been got feeling felt looked smelled smelt getting 's".split()) | {
    "it was",
    "it is",
    "that was",
    "that is",
}
_SPOKEN_OF = frozenset("she he it they we i".split())
_HOW = frozenset(
    "so really absolutely very pretty all quite totally well bit just still too bloody proper completely utterly a".split()
)


def how_it_was(toks: Sequence[Tok]) -> list[Tok]:
    """ "washed the dog she was absolutely filthy": how somebody or something was, who that was, and nothing of water; elsewhere an
    adjective is an ordinary word."""
    found = list(toks)
    for i, tok in enumerate(toks):
        if not tok.has("FELT"):
            continue
        start = i
        while start and toks[start - 1].text in _HOW:
            start -= 1
        if start and toks[start - 1].text in _IS_SO:
            found[start - 1 : i + 1] = [
                replace(one, senses=sense("SCENE", "state"), number=None) for one in toks[start - 1 : i + 1]
            ]
        else:
            found[i] = replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls != "FELT"})
    for i in range(1, len(found)):
        tok, before = found[i], found[i - 1]
        if tok.has("SCENE") and before.text in _SPOKEN_OF and tok.text.split()[0] in _STATES:
            found[i - 1] = replace(before, senses=sense("SCENE", "state"))
    return found


VOCATIVES = frozenset(
    "love dear darling mate pal buddy honey sweetheart sweetie folks lads hun babe duck pet hen chuck petal treacle flower chick".split()
)
_ENDS = ("COMMA", "STOP", "SEMI", "QMARK", "COLON")
_POLITE = ("will", "would", "could", "can")
_ON_THEIR_WORD = frozenset(
    f"{verb} {who}" if who else verb
    for verb in ("says", "said", "says that", "said that", "reckons", "told me")
    for who in ("he", "she", "")
)
_REPORTS = (
    "report",
    "routine",
    "count",
    "log",
    "update",
    "tally",
    "roundup",
    "round-up",
    "summary",
    "bulletin",
    "diary",
    "rundown",
    "total",
    "totals",
)
_TOOK = ("COST", "USE")


GREETING = 2  # tokens: "right then love, …"


def addressed(toks: Sequence[Tok], i: int) -> Tok:
    """ "just the grey, love", "thanks mate", "zeroed the meter love": whom it is said to; "I love" and "with honey" are none."""
    tok, before, after = toks[i], toks[i - 1] if i else None, toks[i + 1] if i + 1 < len(toks) else None
    if tok.text not in VOCATIVES:
        return tok
    if tok.has("ACT"):  # "right duck, I've had a shower"; "washed the duck" is none
        hailed = i <= GREETING and all(other.has("FILLER") for other in toks[:i])
        hailed = hailed and (after.has("ART", "SELF", "IT", *(_ENDS if i else ())) if after is not None else bool(i))
        return replace(tok, senses=sense("FILLER")) if hailed else tok
    if before is None:
        opens = after is not None and after.has("COMMA")
        return replace(tok, senses=sense("FILLER")) if opens else tok
    greets = i <= GREETING and all(other.has("FILLER") for other in toks[:i])
    closes = after is None or after.has(*_ENDS, "ABOUT", "NUMBER", "BE", "ACT") or (greets and after.has("SELF"))
    means_it = before.has("ART", "A", "POSS", "TO", "AUX", "PREP", "OF", "FOR", "ADJ") or before.text in _LOVING
    return replace(tok, senses=sense("FILLER")) if closes and (greets or not means_it) else tok


_LOVING = frozenset(
    "i we they you'd would really do does did don't with my our his her such so in make made and".split()
)


def politely(toks: Sequence[Tok]) -> list[Tok]:
    """ "put me down for a shower, will you": no question."""
    found = list(toks)
    for i in range(2, len(toks) - 1):
        asks = (
            toks[i].text in _POLITE
            and toks[i + 1].text == "you"
            and any(tok.has("FORGOTLOG", "PUT") for tok in toks[:i])
        )
        after = toks[i + 2] if i + 2 < len(toks) else None
        if asks and (after is None or after.has(*_ENDS, "ABOUT", "NUMBER", "FILLER") or after.text in VOCATIVES):
            found[i] = found[i + 1] = replace(toks[i], senses=sense("FILLER"))
    return found


def headed(toks: Sequence[Tok]) -> list[Tok]:
    """ "morning report: shower 2 gal": what follows is a report; "yesterday's log: …" tells of when as well."""
    found = list(toks)
    for i in range(1, min(4, len(toks) - 1)):
        if toks[i].has("COLON") and toks[i - 1].text in _REPORTS:
            told = {tok.senses["ACT"].value for tok in toks[i:] if tok.has("ACT")}
            said = [tok for tok in toks[:i] if tok.has("ACT")]
            if any(tok.has("DAY", "WEEKDAY", "NUMBER", "TANK", "METER") for tok in toks[:i]):
                return found
            if any(tok.senses["ACT"].value not in told for tok in said):
                return found
            return [replace(tok, senses=sense("FILLER")) for tok in toks[: i + 1]] + found[i + 1 :]
    return found


def on_their_word(toks: Sequence[Tok]) -> list[Tok]:
    """ "the wife says she used 14 litres on the laundry": one of the household tells of an own use."""
    found = list(toks)
    for i in range(1, len(toks) - 1):
        tok, before = toks[i], toks[i - 1]
        heads = all(other.has("ART", "FILLER", "TO") for other in toks[: i - 1])
        if tok.text in _ON_THEIR_WORD and heads and _of_ours(before):
            own = _own_use(toks[i + 1 :])
            if own:
                return [*found[:i], Tok("'s", before.end, before.end, sense("POSS", "s")), *own]
            rest = [other for other in toks[i + 1 :] if not other.has("FILLER")]
            if tok.text.split()[-1] not in ("he", "she"):
                if rest[0].text not in ("he", "she"):
                    return found
                rest = rest[1:]
            if rest and any(
                rest[0].has(cls) and rest[0].senses[cls].form == "past" for cls in ("USE", "ACT", "DO", "WASH")
            ):
                return [*found[:i], *found[found.index(rest[0]) :]]
    return found


def _of_ours(tok: Tok) -> bool:
    if tok.has("KIN", "PERSON", "NAMEWORD"):
        return True
    return not tok.known and tok.text.isalpha() and tok.text not in lexicon().english


def _own_use(rest: Sequence[Tok]) -> list[Tok]:
    """ "(Maeve says) her shower used 2 gal": the words after "her", if they tell of a use with its amount."""
    own = (
        len(rest) > LEAST_OWN
        and rest[0].text in ("her", "his", "their")
        and rest[1].has("ACT")
        and rest[2].has("USE", "COST", "BE")
    )
    measured = (
        own
        and any(tok.has("UNIT") for tok in rest)
        and not any(tok.has("NEG", "FUTURE", "IF", "QMARK") for tok in rest)
    )
    return list(rest[1:]) if measured else []


LEAST_OWN = 3


def part_of_a_day(toks: Sequence[Tok], i: int) -> Tok:
    """ "yesterday evening's shower", "Sunday morning's dishes": when it was."""
    tok, before = toks[i], toks[i - 1] if i else None
    if tok.text not in PARTS or before is None or not before.has("DAY", "WEEKDAY", "WHICH"):
        return tok
    return replace(tok, senses=sense("PART", tok.text.split()[0]))


PARTS = frozenset(("morning 's", "afternoon 's", "evening 's", "night 's"))


def spent(toks: Sequence[Tok], i: int) -> Tok:
    """ "hosed the dog down, 12 litres gone": so much was used."""
    tok = toks[i]
    last = i + 1 == len(toks) or toks[i + 1].has(*_ENDS)
    used = i and toks[i - 1].has("UNIT") and any(other.has("ACT") for other in toks[:i]) and last
    return replace(tok, senses=sense("FILLER")) if used and tok.text in SPENT else tok


SPENT = frozenset("gone spent down finish finished done stop over end".split()) | {"down the drain", "full stop"}


def they_took(toks: Sequence[Tok], i: int) -> Tok:
    """ "did the supper pots, they took seven litres": what was washed, and nobody else."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    things = any(other.has("ACT") and other.senses["ACT"].form in ("thing", "plural", "noun") for other in toks[:i])
    took = tok.text == "they" and after is not None and after.text in ("took", "used", "needed", "cost", "came to")
    told = things and any(other.has("UNIT", "NUMBER") for other in toks[i + 1 :])
    people = any(other.has("PERSON", "KIN", "GROUP", "VISITOR", "GUESTS", "OTHER") for other in toks[:i])
    return replace(tok, senses=sense("IT", "it")) if took and told and not people else tok


def said_by(toks: Sequence[Tok], i: int) -> Tok:
    """ "my wife says grey is full", "Joss said the meter was 12": somebody's word, not what a meter or a panel says."""
    tok, before = toks[i], toks[i - 1] if i else None
    if tok.text not in ("says", "said", "say", "tells me", "tells us") or before is None:
        return tok
    somebody = before.has("KIN", "PERSON", "NAMEWORD", "VISITOR") or (not before.known and before.text.isalpha())
    return replace(tok, senses=sense("REPORTED", "somebody")) if somebody else tok


_INSTRUMENTS = ("METER", "SENSOR", "TANK", "TANKS", "PRESSURE")


def who_looked(toks: Sequence[Tok]) -> list[Tok]:
    """ "Brian's been out to look at the meter and it says 19.2": one of ours looked, and what it says is what counts."""
    place = next((n for n, tok in enumerate(toks) if tok.has("LOOK")), 0)
    seen = any(tok.has(*_INSTRUMENTS) for tok in toks[place + 1 : place + 4])
    if not place or not seen or any(tok.has("ACT", "ACTS", "OTHER") for tok in toks):
        return list(toks)
    head = [tok for tok in toks[:place] if not tok.has("FILLER", "ART", "POSS", "BE", "AUX", "HAVE")]
    return list(toks[place:]) if len(head) == 1 and _of_ours(head[0]) else list(toks)


def who_she_is(toks: Sequence[Tok]) -> list[Tok]:
    """ "Ilse she has cleaned the windows": the name says who."""
    found = list(toks)
    for i in range(1, len(found) - 1):
        before = found[i - 1]
        named = before.has("PERSON", "NAMEWORD", "KIN") or (not before.known and before.text.isalpha())
        heads = all(tok.has("FILLER", "ART") for tok in found[: i - 1])
        if found[i].text in ("she", "he") and named and heads and not found[i + 1].has("FUTURE", "NEG"):
            return [*found[:i], *found[i + 1 :]]
    return found


def say_about(toks: Sequence[Tok], i: int) -> Tok:
    """ "dishes, let's say a gallon": about so much, and no what-if."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    measures = (
        after is not None and after.has("NUMBER", "FRACTION", "A") and any(other.has("UNIT") for other in toks[i:])
    )
    told = measures and any(other.has("ACT", "TANK", "METER") for other in toks[:i]) and tok.has("IF")
    return replace(tok, senses=sense("ABOUT", "about")) if told else tok


def as_always(toks: Sequence[Tok], i: int) -> Tok:
    """ "one litre, like always": the amount was told, and that it is the usual one adds nothing."""
    tok = toks[i]
    usual = tok.text in AS_ALWAYS and any(other.has("UNIT") for other in toks)
    return replace(tok, senses=sense("FILLER")) if usual and any(other.has("ACT") for other in toks) else tok


AS_ALWAYS = frozenset(
    ("like always", "as always", "as usual", "like usual", "as ever", "like every day", "as every day")
)


def a_record(toks: Sequence[Tok], i: int) -> Tok:
    """ "my record is a one gallon shower": the best so far, and nothing to be logged."""
    tok, before = toks[i], toks[i - 1] if i else None
    owned = before is not None and (
        before.text in ("my", "our", "the", "new", "a") or before.has("POSS", "PERSON", "ADJ")
    )
    led = owned and i + 1 < len(toks) and toks[i + 1].has("BE", "STOP", "COMMA", "FOR")
    return replace(tok, senses=sense("HABIT")) if led and tok.text == "record" else tok


FED = frozenset(("food", "dog food", "cat food", "kibble", "biscuits", "treats", "meat"))


def fed(toks: Sequence[Tok], i: int) -> Tok:
    """ "fed the dog a quart of food": no water."""
    tok = toks[i]
    measured = i > 1 and toks[i - 1].text == "of" and toks[i - 2].has("UNIT")
    return replace(tok, senses=sense("HABIT")) if tok.text in FED and measured else tok


def spectacles(toks: Sequence[Tok], i: int) -> Tok:
    """ "cleaned my glasses": no dishes."""
    worn = toks[i].text == "glasses" and i and toks[i - 1].text in ("my", "his", "her")
    return replace(toks[i], senses=sense("ACT", "other", "thing")) if worn else toks[i]
