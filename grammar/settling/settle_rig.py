"""What the neighbours decide of words for the rig and its tanks: headings, the toilet as a tank, a little van.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

TOILETS = frozenset(("toilet loo cassette potty").split()) | {
    "portable toilet",
    "chemical toilet",
}
HEADINGS = frozenset(
    {"set up", "setup", "tanks", "tank", "rig", "levels", "my rig", "tank levels", "tank sizes", "sizes"}
)


def heading(toks: Sequence[Tok], i: int) -> Tok:
    """ "set up: fresh 90, grey 60", "tanks: fresh full": a word before a colon at the start says what follows, and no more."""
    tok = toks[i]
    after = toks[i + 1] if i + 1 < len(toks) else None
    opens = all(other.has("FILLER", "ART") for other in toks[:i])
    new = [n for n in (i - 1, i) if n >= 0 and toks[n].has("NEW") and all(one.has("FILLER", "ART") for one in toks[:n])]
    if (
        new
        and len(toks) > new[0] + 2
        and toks[new[0] + 1].has("RIG")
        and toks[new[0] + 2].has("STOP", "COMMA", "COLON")
    ):
        return replace(tok, senses=sense("FILLER"))  # "new rig. Fresh 62 gallons, …"
    if opens and after is not None and after.has("COLON") and any(other.has("TANK") for other in toks[i + 2 :]):
        return replace(tok, senses=sense("FILLER"))
    return tok


def little(toks: Sequence[Tok], i: int) -> Tok:
    """ "a little van" is small; "a little" is some."""
    tok = toks[i]
    small = tok.text == "little" and i + 1 < len(toks) and toks[i + 1].has("RIG")
    return replace(tok, senses=sense("FILLER")) if small else tok


def toilet_tank(toks: Sequence[Tok], i: int) -> Tok:
    """ "emptied the toilet", "the loo is full": what is under it."""
    tok = toks[i]
    if tok.text not in TOILETS or not tok.has("ACT"):
        return tok
    dumped = any(other.has("DUMP") and other.senses["DUMP"].form == "past" for other in toks[:i]) and not any(
        other.has("WASH", "USE", "UNIT") for other in toks
    )
    after = next((other for other in toks[i + 1 :] if not other.has("BE", "FILLER", "NEARLY", "ADJ", "COLON")), None)
    if dumped or (after is not None and after.has("FULLNESS")):
        return replace(tok, senses=sense("TANK", "black"))
    return tok


def galley(toks: Sequence[Tok], i: int) -> Tok:
    """ "a second grey tank for the galley": the kitchen."""
    tok = toks[i]
    for_it = any(other.has("FOR") for other in toks[max(0, i - 2) : i])
    return replace(tok, senses=sense("ACT", "cooking", "thing")) if tok.text == "galley" and for_it else tok


def is_here(toks: Sequence[Tok], i: int) -> Tok:
    """ "gran's staying over": a verb, and nothing that is gran's."""
    tok = toks[i]
    verb = tok.text == "'s" and i + 1 < len(toks) and toks[i + 1].has("COMING") and not toks[i + 1].has("ACT")
    return replace(tok, senses=sense("BE", "is")) if verb else tok


def drain_for(toks: Sequence[Tok], i: int) -> Tok:
    """ "a tap and a drain for grey": what the drain takes adds nothing."""
    tok, before = toks[i], [other for other in toks[:i] if not other.has("ART", "A")]
    drains = len(before) > 1 and before[-1].text == "for" and before[-2].has("SEWERHERE") and not before[-2].has("TANK")
    return replace(tok, senses=sense("FILLER")) if drains and (tok.has("TANK") or tok.text.startswith("waste")) else tok


def for_the(toks: Sequence[Tok], i: int) -> Tok:
    """ "parked at Oak Court for the month": one month."""
    tok = toks[i]
    if tok.text != "the" or not 0 < i < len(toks) - 1 or toks[i - 1].text != "for" or not toks[i + 1].has("TIMEUNIT"):
        return tok
    stays = any(other.has("ARRIVE", "STAY", "NOHOOK", "FULLHOOK", "PARTHOOK") for other in toks)
    return replace(tok, senses=sense("A")) if stays and toks[i + 1].text in ("night", "week", "month") else tok


def the_rig(toks: Sequence[Tok]) -> list[Tok]:
    """ "my van has a 70 litre fresh tank": what the rig is called has no meaning there; "no black tank": it has none."""
    found = list(toks)
    for i, tok in enumerate(toks[:-1]):
        after, ends = toks[i + 1], i + 2 >= len(toks) or toks[i + 2].has("COMMA", "AND", "STOP", "BUT", "FILLER")
        if (tok.has("RIG") or tok.text == "home") and after.has("HAVE", "HOLDS"):  # "went home" speaks of no rig
            found[i] = replace(tok, senses=sense("IT", "it"))
        elif (
            tok.text == "no"
            and after.has("TANK")
            and ends
            and (after.senses["TANK"].form == "tank" or _sized(toks[:i]))
        ):
            found[i] = replace(tok, senses=sense("GONE", "none"))
    return found


def _sized(toks: Sequence[Tok]) -> bool:
    """Whether a tank's size was told: a tank and a number with its unit."""
    return any(tok.has("TANK") for tok in toks) and any(tok.has("UNIT") for tok in toks)


_LENGTHS = frozenset(("foot", "feet", "ft", "footer", "metre", "meter", "metres", "meters", "m", "'"))


def how_long_it_is(toks: Sequence[Tok]) -> list[Tok]:
    """ "a 27 foot trailer with a 42 gallon grey", "our 8 metre caravan": its length is nothing of ours."""
    found = list(toks)
    for i in range(1, len(toks)):
        number = toks[i - 1]
        counted = number.has("NUMBER") or number.text.replace(".", "").isdigit()
        if not counted or toks[i].text not in _LENGTHS or number not in found:
            continue
        rig = i + 1 < len(toks) and toks[i + 1].has("RIG")
        if rig or toks[i].text == "footer":
            place = found.index(number)
            found[place : place + 2] = [] if rig else [replace(toks[i], senses=sense("RIG", "rig"), number=None)]
    return found


def sized_apart(toks: Sequence[Tok]) -> list[Tok]:
    """ "a 32 gallon black, fresh is 50 gallons": two tanks with their own sizes, and no list of two."""
    found = list(toks)
    for i in range(2, len(toks) - 3):
        sized = toks[i - 1].has("TANK") and toks[i - 2].has("UNIT")
        other = toks[i + 1].has("TANK") and toks[i + 2].has("BE", "HOLDS") and toks[i + 3].has("NUMBER")
        if sized and other and toks[i].has("COMMA", "AND"):
            found[i] = replace(toks[i], text="but", senses=sense("BUT", "but"))
    return found
