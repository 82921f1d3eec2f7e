"""What the neighbours of a token decide in what is told of tanks, valves and absences. Like settle.py it only ever narrows.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.lightclass import replace
from grammar.tokens import Tok, sense

_DONE_TO = ("DUMP", "FILL", "VALVE", "OPEN", "SHUT", "SWITCH", "STOW", "OUTON", "CHANGE", "HAUL", "RINSE", "SANITISE")


def at_a_level(toks: Sequence[Tok], i: int) -> Tok:
    """ "we're at about half on the grey", "we're up to 26 on the meter": how much there is, no place and no bound."""
    tok, rest = toks[i], [other for other in toks[i + 1 : i + 3] if not other.has("ABOUT", "ART")]
    if not rest or tok.text not in ("we are at", "we are now at", "up to", "down to"):
        return tok
    measured = rest[0].has("FRACTION", "NUMBER", "FULLNESS")
    after = [other for other in toks[i + 1 :] if other.has("TANK", "TANKWORD", "METER", "ROOM")]
    if tok.text in ("up to", "down to"):
        led = i and (toks[i - 1].has("BE", "AUX", "SELF") or toks[i - 1].text == "now")
        if i and toks[i - 1].has("POSS", "METER") and any(other.has("METER") for other in toks[:i]):
            led, after = True, after or [toks[i - 1]]  # "the meter's up to 24.6"
        return replace(tok, senses=sense("ISAT", "at")) if led and measured and after else tok
    return replace(tok, senses=sense("ISAT", "at")) if measured and after else tok


def beside_a_use(toks: Sequence[Tok]) -> list[Tok]:
    """ "closed the grey valve before the shower": when it was done, and no shower told."""
    if any(tok.has("METER", "UNIT", "USE") for tok in toks):
        return list(toks)
    found = list(toks)
    for i, tok in enumerate(toks[:-1]):
        if not tok.has("BEFORE", "AFTER") or not any(other.has(*_DONE_TO) for other in toks[:i]):
            continue
        j = i + 1
        while j < len(toks) and toks[j].has("ART", "POSS", "ADJ") and not toks[j].has("ACT"):
            j += 1
        named = toks[j].senses.get("ACT") if j < len(toks) else None
        ends = j + 1 >= len(toks) or toks[j + 1].has("COMMA", "STOP", "AND", "THEN")
        if named is not None and ends and named.form in ("noun", "plural", "ing", "thing"):
            found[i : j + 1] = [replace(one, senses=sense("FILLER")) for one in toks[i : j + 1]]
    return found
