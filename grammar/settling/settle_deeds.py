"""What the neighbours of a token decide in reports of what was washed, cooked or given to animals: things that are named and deeds that are
told by their verb. Like settle.py it only ever narrows. May import: tokens, repair.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.repair import candidates
from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace


def water_changed(toks: Sequence[Tok], i: int) -> Tok:
    """ "changed the rabbit's water": poured anew; nothing was replaced."""
    tok, rest = toks[i], toks[i + 1 : i + 7]
    pet = any(other.has("ACT") and other.senses["ACT"].value == "pets" for other in rest)
    return replace(tok, senses=sense("WASH", "wash", "past")) if pet and tok.text in ("changed", "replaced") else tok


def worktop(toks: Sequence[Tok], i: int) -> Tok:
    """ "wiped the counter": no meter."""
    tok = toks[i]
    washed = any(other.has("WASH") for other in toks[:i]) and not any(other.has("RESET", "SAYS") for other in toks)
    if tok.text not in ("counter", "counters") or not washed or not tok.has("ACT"):
        return tok
    return replace(tok, senses={"ACT": tok.senses["ACT"]})


def day_for_it(toks: Sequence[Tok], i: int) -> Tok:
    """ "laundry day tomorrow": no use, unless an amount comes with it."""
    told = any(other.has("UNIT") for other in toks)
    return (
        toks[i]
        if told or not toks[i].text.endswith("day") or not toks[i].has("ACT")
        else replace(toks[i], senses=sense("REMARK"))
    )


def bathed_one(toks: Sequence[Tok], i: int) -> Tok:
    """ "baby bath, 2 gal", "kids bath time": whose bath, and nobody who reports."""
    tok = toks[i]
    following = toks[i + 1] if i + 1 < len(toks) else None
    bath = (
        following is not None
        and following.has("ACT")
        and following.text.startswith("bath")
        and following.senses["ACT"].form == "noun"
    )
    heads = all(other.has("FILLER", "ART") for other in toks[:i])
    return replace(tok, senses=sense("FILLER")) if bath and heads and tok.has("KIN", "GROUP") else tok


def for_tea(toks: Sequence[Tok], i: int) -> Tok:
    """ "boiled 2 quarts for tea": what the water was for, unless another thing was named."""
    alone = any(other.has("UNIT") for other in toks) and not any(other.has("ACT") for other in toks)
    return replace(toks[i], senses=sense("ACT", "coffee", "noun")) if alone and toks[i].text == "for tea" else toks[i]


def last_one(toks: Sequence[Tok], i: int) -> Tok:
    """ "that last shower was four gallons": which one; no question whether water lasts."""
    tok = toks[i]
    following = toks[i + 1] if i + 1 < len(toks) else None
    asks = any(other.has("QMARK", "AUX", "FUTURE") and not other.has("BE") for other in toks)
    told = not asks and any(other.has("UNIT") for other in toks[i + 1 :])
    led = not i or toks[i - 1].has("ART", "POSS", "COMMA", "FILLER")
    one = following is not None and following.has("ACT") and led
    return replace(tok, senses=sense("FILLER")) if tok.text in LAST and one and told else tok


LAST = frozenset(("last", "latest", "most recent", "previous"))


def kept_to(toks: Sequence[Tok]) -> list[Tok]:
    """ "kept the shower to 2 gallons", "got the dishes down to half a gallon": so much it took."""
    found = list(toks)
    for i, tok in enumerate(toks):
        if tok.text not in KEPT:
            continue
        act = next((n for n in range(i + 1, min(i + 4, len(toks))) if toks[n].has("ACT")), None)
        to = (
            None
            if act is None
            else next(
                (n for n in range(act + 1, min(act + 3, len(toks))) if toks[n].text in ("to", "down to", "at")), None
            )
        )
        if act is None or to is None or to + 1 >= len(toks) or not toks[to + 1].has("NUMBER", "FRACTION", "A", "ABOUT"):
            continue
        between = all(other.has("ART", "ADJ", "FILLER") for other in toks[i + 1 : act])
        if between and any(other.has("UNIT") for other in toks[to:]):
            found[i] = replace(tok, senses=sense("DO", "do", "past"))
            found[act + 1 : to + 1] = [replace(other, senses=sense("FILLER")) for other in toks[act + 1 : to + 1]]
    return found


_IT = frozenset(("it", "they", "that", "it was", "that was"))
_TOOK = frozenset(("took", "used", "was", "were", "needed", "cost", "came to"))


def but_it_took(toks: Sequence[Tok], i: int) -> Tok:
    """ "had a shower but it was three gallons": how much it took, and nothing against it."""
    tok, rest = toks[i], [other for other in toks[i + 1 : i + 5] if not other.has("ABOUT", "QSOFT", "FILLER")]
    if (
        not tok.has("BUT")
        or len(rest) < 2
        or rest[0].text not in _IT
        or not any(other.has("ACT") for other in toks[:i])
    ):
        return tok
    rest = rest[1:] if rest[1].text in _TOOK else rest if rest[0].has("BE") else []
    measured = (
        len(rest) > 1
        and rest[1].has("NUMBER", "FRACTION", "A")
        and not any(other.has("NEG", "UNIT") for other in toks[:i])
    )
    return replace(tok, text=",", senses=sense("COMMA")) if measured else tok


KEPT = frozenset(("kept", "got", "held", "limited", "cut", "clocked", "measured", "metered", "timed"))


def a_good_one(toks: Sequence[Tok], i: int) -> Tok:
    """ "had a good soak": how it was, and no question whether we are good till Sunday."""
    tok, before, after = toks[i], toks[i - 1] if i else None, toks[i + 1] if i + 1 < len(toks) else None
    inside = before is not None and before.has("A", "ART") and after is not None and after.has("ACT", "ADJ", "NUMBER")
    return replace(tok, senses=sense("ADJ", "good")) if tok.text == "good" and inside and tok.has("MAKEIT") else tok


def once_again(toks: Sequence[Tok], i: int) -> Tok:
    """ "dishes again, a gallon": told in full, no repetition of what was said last."""
    told = i and toks[i - 1].has("ACT") and any(other.has("UNIT") for other in toks)
    return replace(toks[i], senses=sense("FILLER")) if told and toks[i].text == "again" else toks[i]


def oneself(toks: Sequence[Tok], i: int) -> Tok:
    """ "cleaned myself up", "washed himself": a bath, a shower or a flannel: not told."""
    washed = i and (toks[i - 1].has("WASH") or toks[i - 1].text.startswith("cleaned"))
    return (
        replace(toks[i], senses=sense("ONESELF")) if washed and toks[i].text.endswith(("self", "selves")) else toks[i]
    )


_BY_THE_VERB = ("cooking", "cleaning", "drinking")
_TOLD_BY = {"boiled": "cooking", "watered": "outside", "hosed": "outside"}


def by_the_verb(toks: list[Tok], english: frozenset[str]) -> list[Tok]:
    """ "steamed the kohlrabi", "hosed down the bleachers": the verb tells what it was, whatever was cooked or cleaned. Only beside an
    amount, and only where what was done it to is an ordinary word: no name, and no slip of another word."""
    if all(tok.known for tok in toks) or not any(tok.has("UNIT") for tok in toks):
        return toks
    found = list(toks)
    for i, tok in enumerate(toks):
        if tok.known or tok.capital or not tok.text.isalpha():
            continue
        before = [other for other in found[:i] if not other.has("ART", "ADJ", "PARTICLE")]
        verb = before[-1] if before else None
        if verb is None:
            continue
        one = verb.senses.get("ACT")
        ordinary = tok.text in english
        name = _TOLD_BY.get(verb.text.split()[0]) if verb.has("DO", "WASH") and ordinary else None
        if (
            one is not None
            and one.form == "past"
            and one.value in _BY_THE_VERB
            and (ordinary or not candidates(tok.text))
        ):
            name = one.value
        if name is not None:
            found[i] = replace(tok, senses=sense("ACT", name, "thing"))
    return found


def new_activity(toks: list[Tok]) -> list[Tok]:
    """A run of unknown words before "used" and an amount, or after "for" at the end, may name a new activity."""
    unknown = [i for i, tok in enumerate(toks) if not tok.known and tok.text.replace("-", "").isalpha()]
    unknown += [
        i for i, tok in enumerate(toks) if tok.text == "making" and i and (i - 1 in unknown or toks[i - 1].has("DIRT"))
    ]
    unknown = sorted({*unknown, *[i - 1 for i in unknown if toks[i].text == "making"]})
    if not unknown or len(unknown) > 3 or unknown != list(range(unknown[0], unknown[-1] + 1)):
        return toks
    first, last = unknown[0], unknown[-1] + 1
    rest = [tok for tok in toks[:first] if not tok.has("FILLER", "ART")]
    leads = not rest and last < len(toks) and toks[last].has("USE", "COST")
    trails = (
        last == len(toks)
        and bool(rest)
        and (rest[-1].text in ("for", "on") or rest[-1].has("USE"))
        and any(tok.has("USE") or tok.has("UNIT") for tok in rest)
    )
    if not (leads or trails):
        return toks
    name = " ".join(tok.text for tok in toks[first:last])
    return [*toks[:first], Tok(name, toks[first].start, toks[last - 1].end, sense("NEWACT", name)), *toks[last:]]
