"""What the neighbours decide in lists of uses: names under an activity, counts behind one, words that only describe it.

May import: lexicon, repair, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.repair import candidates
from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import lexicon
from grammar.lightclass import replace

_MEASURE = ("NUMBER", "FRACTION", "UNIT", "ABOUT", "A")


def under_an_activity(toks: Sequence[Tok]) -> list[Tok]:
    """ "showers: Juno 2, Priya 3 gal, me 2.5": each had one, and so much."""
    found = list(toks)
    for i in range(len(found) - 1, 0, -1):
        head = found[i - 1]
        if not (found[i].has("COLON") or found[i].text == "-") or not head.has("ACT"):
            continue
        end = next((n for n in range(i + 1, len(found)) if found[n].has("STOP", "SEMI", "COLON")), len(found))
        told = shares(found[i + 1 : end])
        if len(told) < LEAST_SHARES:
            continue
        one = replace(head, senses=sense("ACT", head.senses["ACT"].value, "noun"), number=None)
        listed = [
            tok for who, much in told for tok in (who, one, *much, replace(found[i], text=",", senses=sense("COMMA")))
        ]
        found[i - 1 : end] = listed[:-1]
    return found


LEAST_SHARES = 2


def shares(toks: Sequence[Tok]) -> list[tuple[Tok, list[Tok]]]:
    """Who, and how much; empty if anything else stands there."""
    found: list[tuple[Tok, list[Tok]]] = []
    for tok in toks:
        if tok.has(*_MEASURE) and found:
            found[-1][1].append(tok)
        elif (
            tok.text in ("me", "i", "mine")
            or tok.has("PERSON", "NAMEWORD", "KIN")
            or (not tok.known and tok.text.isalpha())
        ):
            found.append((replace(tok, senses=sense("SELF", "self")) if tok.text == "mine" else tok, []))
        elif not tok.has("COMMA", "AND", "ART", "FILLER", "COLON"):
            return []
    return found if all(any(one.has("NUMBER", "FRACTION") for one in told) for _, told in found) else []


_COUNTED = ("toilet",)


def counted_behind(toks: Sequence[Tok]) -> list[Tok]:
    """ "flushes today: 11", "flushes: 5": so many of them; nobody measures a flush."""
    found = list(toks)
    for i, tok in enumerate(found):
        if not tok.has("ACT") or tok.senses["ACT"].value not in _COUNTED or tok.senses["ACT"].form != "plural":
            continue
        n = i + 1
        while n < len(found) and found[n].has("DAY", "FILLER", "COLON", "COMMA", "BE", "PART", "QSOFT"):
            n += 1
        number = found[n] if n < len(found) else None
        ends = n + 1 >= len(found) or found[n + 1].has("COMMA", "STOP", "SEMI", "AND")
        whole = number is not None and number.number is not None and number.number == int(number.number)
        if n > i + 1 and whole and ends and not any(one.number is not None for one in found[:i]):
            assert number is not None
            between = [one for one in found[i + 1 : n] if not one.has("COLON", "COMMA", "BE")]
            found[i : n + 1] = [number, tok, *between]
            return found
    return found


# Where a word before a shower tells that it was not ours.
_ELSEWHERE = frozenset(
    (
        "hotel motel hostel cabin lodge resort pub restaurant cafe work office school spa airport ferry friend house apartment flat cottage "
        "hospital station store shop club church neighbour neighbor meteor rain thunder public site camp marina home rental"
    ).split()
)


def described(toks: Sequence[Tok], i: int) -> Tok:
    """ "took a glorious shower, 2 gal", "rinsed the merch table, 1 gal": a strange word that only describes what is named after it."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    if tok.known or after is None or not tok.text.isalpha() or tok.capital or tok.text in _ELSEWHERE:
        return tok
    if not i:  # "stage clothes soaked, 6 litres"
        washed = (
            after.has("ACT") and after.senses["ACT"].form == "thing" and i + 2 < len(toks) and toks[i + 2].has("WASH")
        )
        plain = washed and tok.text in lexicon().english and any(other.has("UNIT") for other in toks)
        return replace(tok, senses=sense("ADJ")) if plain else tok
    before = toks[i - 1]
    named = after.has("ACT") and after.senses["ACT"].form in ("noun", "thing", "plural")
    superlative = tok.text.endswith("est") and len(tok.text) > LONGEST_NO_SUPERLATIVE
    ordinary = tok.text in lexicon().english or superlative or (before.has("WASH") and not candidates(tok.text))
    led = before.has("ART", "A", "WASH", "ADJ", "POSS", "FILLER") or (
        before.has("DO") and before.senses["DO"].form == "past"
    )
    told = any(other.has("UNIT") for other in toks)
    return replace(tok, senses=sense("ADJ")) if named and ordinary and led and told else tok


LONGEST_NO_SUPERLATIVE = 5  # "guest", "forest" are known


EXACTLY = frozenset(
    ("flat", "even", "dead", "on the nose", "on nose", "dead on", "bang on", "spot on", "on the dot", "straight")
)


def exactly(toks: Sequence[Tok], i: int) -> Tok:
    """ "the meter is at fourteen flat": no more and no less."""
    tok = toks[i]
    measured = (
        i and toks[i - 1].has("NUMBER", "UNIT") and (i + 1 == len(toks) or toks[i + 1].has("COMMA", "STOP", "AND"))
    )
    return replace(tok, senses=sense("FILLER")) if measured and tok.text in EXACTLY else tok


def batch(toks: Sequence[Tok], i: int) -> Tok:
    """ "cold brew batch: 2 litres", "laundry load, 10 gal": of what stands before it."""
    tok, before = toks[i], toks[i - 1] if i else None
    ends = i + 1 < len(toks) and toks[i + 1].has("COLON", "COMMA", "NUMBER", "FRACTION")
    made = before is not None and before.has("ACT") and before.senses["ACT"].form == "noun"
    counted = i > 1 and toks[i - 2].number is not None
    alone = tok.text in ("load", "batch", "round", "lot") and not any(
        other.has("TANK", "TOTE", "HAUL") for other in toks
    )
    return replace(tok, senses=sense("FILLER")) if alone and made and ends and not counted else tok


def brushed(toks: Sequence[Tok], i: int) -> Tok:
    """ "brushed, both of us", "brushed and flossed": with nothing named, it was teeth."""
    tok = toks[i]
    if tok.text != "brushed":
        return tok
    last = i + 1 == len(toks) or toks[i + 1].has("COMMA", "STOP", "AND", "PAIR", "NUMBER", "DAY")
    who = last and (
        i + 1 == len(toks) or not toks[i + 1].has("NUMBER") or (i + 2 < len(toks) and toks[i + 2].has("UNIT"))
    )
    thing = next((other for other in toks[i + 1 :] if other.has("ACT", "WASH")), None)
    shared = i + 1 < len(toks) and toks[i + 1].has("AND") and thing is not None and thing.has("WASH")
    return replace(tok, senses=sense("ACT", "teeth", "past")) if who and not shared else tok


def one_of_them(toks: Sequence[Tok]) -> list[Tok]:
    """ "one of the kids flushed four times": somebody aboard, and no amount."""
    found = list(toks)
    for i in range(len(found) - 2):
        if found[i].text != "one" or found[i + 1].text not in ("of", "of us"):
            continue
        rest = [n for n in range(i + 2, min(i + 4, len(found))) if not found[n].has("ART")]
        whole = found[i + 1].text == "of us"
        if whole or (rest and (found[rest[0]].has("GROUP") or found[rest[0]].text in ("us", "them"))):
            end = i + 2 if whole else rest[0] + 1
            who = replace(found[i], senses=sense("SELF", "self"), number=None)
            return [*found[:i], who, *found[end:]]
    return found


def bare_unit(toks: Sequence[Tok]) -> list[Tok]:
    """ "dishes, gallon each", "coffee, quart and a half": one of them."""
    found: list[Tok] = []
    for i, tok in enumerate(toks):
        unit = tok.senses.get("UNIT")
        before = toks[i - 1] if i else None
        led = before is None or before.has("COMMA", "COLON") or (before.has("ACT") and not before.has("UNIT"))
        if unit is not None and led and tok.text in _SINGLE and _goes_on(toks, i + 1):
            found.append(Tok("a", tok.start, tok.start, sense("A", "a")))
        found.append(tok)
    return found


_SINGLE = frozenset("gallon quart pint litre liter cup".split())


def _goes_on(toks: Sequence[Tok], n: int) -> bool:
    """Whether an amount may end here, or goes on with "each" or "and a half"."""
    if n >= len(toks) or toks[n].has("EACH", "COMMA", "STOP", "WATER"):
        return True
    return toks[n].has("AND") and any(tok.has("FRACTION") for tok in toks[n + 1 : n + 3])


def one_by_one(toks: Sequence[Tok]) -> list[Tok]:
    """ "two showers: 2 gal and 3 gal", "showers 2 gal, 3 gal, 2.5 gal": each with its own amount."""
    found = list(toks)
    head = next((i for i, tok in enumerate(found) if tok.has("ACT") and tok.senses["ACT"].form == "plural"), None)
    if head is None:
        return found
    start = (
        head + 2
        if head + 1 < len(found) and (found[head + 1].has("COLON") or found[head + 1].text == "-")
        else head + 1
    )
    end = next((n for n in range(start, len(found)) if found[n].has("STOP", "SEMI")), len(found))
    amounts = _amounts(found[start:end])
    count = found[head - 1].number if head else None
    said = head > 0 and found[head - 1].has("NUMBER")
    if len(amounts) < LEAST_SHARES or (said and count != len(amounts)):
        return found
    unit = next((tok for tok in amounts[-1] if tok.has("UNIT")), None)
    if unit is None:
        return found  # "flushes 2, 3"
    one = replace(found[head], senses=sense("ACT", found[head].senses["ACT"].value, "noun"), number=None)
    comma = replace(unit, text=",", senses=sense("COMMA"))
    listed: list[Tok] = []
    for amount in amounts:
        whole = amount if any(tok.has("UNIT") for tok in amount) else [*amount, unit]
        listed += [one, *whole, comma]
    return [*found[: head - 1 if said else head], *listed[:-1], *found[end:]]


def _amounts(toks: Sequence[Tok]) -> list[list[Tok]]:
    """The amounts of a list of nothing else; empty if anything else stands there."""
    found: list[list[Tok]] = [[]]
    for tok in toks:
        if tok.has("NUMBER", "FRACTION", "UNIT", "ABOUT") and not tok.has("ACT"):
            found[-1].append(tok)
        elif tok.has("COMMA", "AND") and found[-1]:
            found.append([])
        elif not tok.has("COMMA", "AND"):
            return []
    kept = [amount for amount in found if amount]
    plain = all(sum(1 for tok in amount if tok.has("NUMBER")) == 1 for amount in kept)  # "2 gal and half" is one
    return kept if plain else []
