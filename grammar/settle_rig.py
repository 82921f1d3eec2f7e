"""What the neighbours decide of words for the rig and its tanks: headings, the toilet as a tank, a little van.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.lightclass import replace
from grammar.tokens import Tok, sense

TOILETS = frozenset(("toilet loo cassette potty portaloo").split()) | {
    "portable toilet",
    "porta potti",
    "porta potty",
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
