"""Somebody washed, and nothing is named that was: "had a wash", "rinsed off", "washed myself with a gallon", "gave Biscuit a bath".

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

WASHED_ONESELF = "washed oneself"
"""The one word that such a wash becomes: how much it took is asked, since from a flannel to a shower it may have been anything."""

_HAD = frozenset("had took grabbed managed got".split())
_ONESELF = frozenset("myself himself herself ourselves themselves yourself".split())
_WASHES = frozenset("wash rinse scrub sponge splash".split()) | {"rinse off", "wash down", "sponge down", "scrub down"}
_ALONE = frozenset(
    ("rinsed off", "washed off", "hosed off", "sponged off", "sponged down", "soaped up", "lathered up", "sprayed off")
)
_ON_ONESELF = ("wash", "rins", "hos", "spong", "scrub", "soap", "lather", "spray")
_UP = frozenset("off down up".split())
_AS_A_SHOWER = ("rins", "hos", "spray")
_THINGS = ("ACT", "ACTS", "TANK", "TANKS", "TANKWORD", "METER", "RINSEPORT", "GEAR", "SERVICE", "TOTE", "RIG")


def washed_oneself(toks: Sequence[Tok]) -> list[Tok]:
    """One deed for the words of a wash of which nothing is named."""
    found = list(toks)
    if any(not tok.known and n for n, tok in enumerate(toks)):
        return found
    begins = 0
    for i, tok in enumerate(toks):
        if i and toks[i - 1].has("AND", "COMMA", "BUT", "THEN") and tok.has("SELF", "PERSON"):
            begins = i  # "Dell showered, and I had a quick rinse": a deed of its own
    named = any(tok.has(*_THINGS) and not tok.has("WASH") for tok in toks[begins:])
    for i, tok in enumerate(toks):
        end = _wash_from(toks, i)
        if end and (_goes_on(toks, end) if named else _ends(toks, end)):
            which = "shower" if any(one.text.startswith(_AS_A_SHOWER) for one in toks[i:end]) else "bath"
            deed = Tok(WASHED_ONESELF, tok.start, toks[end - 1].end, sense("ACT", which, "past"))
            return [*found[:i], deed, *found[end:]]
    return found


def _wash_from(toks: Sequence[Tok], i: int) -> int:
    """Where a wash that begins at token `i` ends; 0 if none does."""
    tok, n = toks[i], i + 1
    if tok.has("WASH") and tok.text in _ALONE:
        return n
    if tok.text == "got" and n < len(toks) and toks[n].text in ("washed", "cleaned up"):
        return n + 1
    if (
        tok.has("WASH")
        and tok.text.startswith(_ON_ONESELF)
        and tok.senses["WASH"].form == "past"
        and n < len(toks)
        and toks[n].text in _ONESELF
    ):
        return n + 2 if n + 1 < len(toks) and toks[n + 1].text in _UP else n + 1
    if tok.text not in _HAD or n >= len(toks) or toks[n].text not in ("a", "an", "me a"):
        return 0
    n += 1
    while n < len(toks) and toks[n].has("ADJ"):
        n += 1
    if n >= len(toks) or toks[n].text not in _WASHES:
        return 0
    return n + 2 if n + 1 < len(toks) and toks[n + 1].text in _UP else n + 1


def _ends(toks: Sequence[Tok], n: int) -> bool:
    """Whether nothing that may have been washed follows."""
    if n >= len(toks):
        return True
    after = toks[n]
    return after.has("COMMA", "STOP", "NUMBER", "FRACTION", "DAY", "PART", "AND", "SCENE", "CLOCK", "AT", "ABOUT") or (
        after.text in ("with", "using", "in", "after", "before", "earlier", "just now", "a", "-")
        and not after.has("ACT")
    )


def _goes_on(toks: Sequence[Tok], n: int) -> bool:
    """ "… and a shave", "… and dumped grey": another deed follows, whose things are its own."""
    if n + 1 >= len(toks) or not toks[n].has("AND", "THEN", "COMMA"):
        return False
    rest = toks[n + 1 :]
    if rest[0].has("SELF", "PERSON", "KIN", "NAMEWORD", "THEN") and len(rest) > 1:
        rest = rest[1:]
    noun = rest[0].text in ("a", "an") and len(rest) > 1 and rest[1].has("ACT") and rest[1].senses["ACT"].form == "noun"
    return noun or any(one.form == "past" for one in rest[0].senses.values())


def given_a_bath(toks: Sequence[Tok]) -> list[Tok]:
    """ "gave the dog a wash": washed it."""
    found = list(toks)
    for i, tok in enumerate(toks):
        if tok.text != "gave":
            continue
        thing = next((n for n in range(i + 1, len(toks)) if not toks[n].has("ART", "ADJ")), None)
        if thing is None or not toks[thing].has("ACT") or toks[thing].senses["ACT"].form != "thing":
            continue
        rest = [n for n in range(thing + 1, len(toks)) if not toks[n].has("ADJ")][:3]
        washed = replace(tok, text="washed", senses=sense("WASH", "wash", "past"))
        if toks[thing].text.endswith((" a bath", " a wash")) and not (rest and toks[rest[0]].has("ACT")):
            return [*found[:i], washed, *found[i + 1 :]]
        if len(rest) > 1 and toks[rest[0]].text == "a" and toks[rest[1]].text in (*_WASHES, "bath", "shower"):
            return [*found[:i], washed, *found[i + 1 : thing + 1], *found[rest[1] + 1 :]]
    return found
