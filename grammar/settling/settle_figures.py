"""Figures worked out from what stands beside them: an hour with a stop, a day with a stroke, so many of the lights.

May import: tokens.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

_DOTTED = r"(\d{1,2})\.(\d{2})"
_HAPPENED = ("DUMP", "FILL", "DEPART", "ARRIVE", "BACK", "RESET", "SWITCH", "OPEN", "SHUT", "HAUL", "STOW")
_MEASURED = ("METER", "USE", "FROM", "BEFORE", "AFTER", "UNIT")
_LAMPS = frozenset("bars bar lights leds lamps dots segments blobs".split())
_TO_A_DATE = ("UNTIL", "SINCE", "FROM", "LEAVE", "THROUGH", "ON", "BY", "ARRIVE", "SITE", "DASH", "STAY")
_NO_DATE = ("UNIT", "RATEUNIT", "FULLNESS", "TANK", "OF", "ACT", "LEFTOVER", "ROOM", "A", "TIMEUNIT")
_TANKISH = ("TANK", "TANKWORD", "LEVELWORD", "ISAT", "METER", "SENSOR")
_MOST_IN_A_DATE = 31


def hour_with_a_stop(toks: Sequence[Tok], i: int) -> Tok:
    """ "loo tank emptied, 10.40 this morning": a time, beside something that happens at one and no number of anything else."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    said = re.fullmatch(_DOTTED, tok.text) if tok.number is not None else None
    at = bool(i) and toks[i - 1].has("AT")
    left = bool(i) and toks[i - 1].has("DEPART", "BACK", "ARRIVE", "AROUND")
    ends = after is None or after.has("DAY", "PART", "AMPM", "COMMA", "STOP", "AND", "THEN", "FILLER", "SEMI")
    if said is None or not ends or not (at or left or (after is not None and after.has("DAY", "PART", "AMPM"))):
        return tok
    hour, minute = int(said[1]), int(said[2])
    happened = any(other.has(*_HAPPENED) for other in toks) or (at and any(other.has("ACT") for other in toks))
    if hour > 23 or minute > 59 or not happened or any(other.has(*_MEASURED) for other in toks):
        return tok
    if any(other.has("ACT") for other in toks) and not at:
        return tok
    return Tok(tok.text, tok.start, tok.end, sense("CLOCK"), parts=(hour, minute))


def so_many_of_the_lights(toks: Sequence[Tok]) -> list[Tok]:
    """ "the black sensor shows 2 of 3 bars": the share of them that are lit."""
    tanks = any(tok.has("TANK", "SENSOR", "TANKWORD") for tok in toks) and not any(tok.has("PRESSURE") for tok in toks)
    for i in range(len(toks) - 3):
        lit, of, all_of, lamps = toks[i : i + 4]
        counted = lit.number is not None and all_of.number is not None and 0 <= lit.number <= all_of.number <= 12
        if not (tanks and counted and all_of.number and of.text in ("of", "out of") and lamps.text in _LAMPS):
            continue
        text = f"{lit.text} of {all_of.text} {lamps.text}"
        share = Tok(text, lit.start, lamps.end, sense("FRACTION"), fraction=(lit.number or 0) / all_of.number)
        return [*toks[:i], share, *toks[i + 4 :]]
    return list(toks)


def dated(toks: Sequence[Tok], i: int) -> Tok:
    """ "till 6/14", "leaving 14/6": a day of a month, in the order of whoever says it."""
    tok, before = toks[i], toks[i - 1] if i else None
    over, stroke, under = tok.text.partition("/")
    if tok.text == "24/7":
        return replace(tok, senses=sense("FILLER"), fraction=None)  # at all hours
    if not stroke or not tok.has("FRACTION") or not (over.isdigit() and under.isdigit()):
        return tok
    first, second = int(over), int(under)
    after = toks[i + 1] if i + 1 < len(toks) else None
    led = before is not None and (before.has(*_TO_A_DATE) or before.text in ("to", "-", "till"))
    led = led or any(other.has("NEXTSTOP", "ARRIVE") for other in toks[:i])
    measured = (after is not None and after.has(*_NO_DATE)) or any(other.has(*_TANKISH) for other in toks)
    possible = 1 <= min(first, second) <= 12 and max(first, second) <= _MOST_IN_A_DATE
    if not led or not possible or measured:
        return tok
    return Tok(
        tok.text, tok.start, tok.end, sense("ISODATE"), parts=(first, second) if first <= 12 else (second, first)
    )
