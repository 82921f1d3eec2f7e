"""What only a verb tells of, or nothing: "steamed the kohlrabi", and the name of an activity that is new. Like settle.py it only ever
narrows. May import: tokens, repair, lexicon.
"""

from __future__ import annotations

from grammar.hearing.repair import candidates
from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import Lexicon
from grammar.lightclass import replace

_BY_THE_VERB = ("cooking", "cleaning", "drinking")
_TOLD_BY = {"boiled": "cooking", "watered": "outside", "hosed": "outside"}


def by_the_verb(toks: list[Tok], lexicon: Lexicon) -> list[Tok]:
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
        ordinary = lexicon.frequent(tok.text)
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
