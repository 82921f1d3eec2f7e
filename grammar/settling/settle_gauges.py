"""What the neighbours decide of words beside a number that is read off or poured in: meters, hours with a stop, plus signs, counted parts.

Like settle.py it only ever narrows. May import: tokens.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

_WENT_BY = frozenset("ticked clicked crept gone went run ran moved turned over".split())
_MOVED = frozenset(("went", "moved", "ran", "goes", "climbed", "has gone", "crept"))
_DOTTED = r"(\d{1,2})\.(\d{2})"
_HAPPENED = ("DUMP", "FILL", "DEPART", "ARRIVE", "BACK", "RESET", "SWITCH", "OPEN", "SHUT", "HAUL", "STOW")
_MEASURED = ("METER", "USE", "FROM", "BEFORE", "AFTER", "UNIT")


def past_a_reading(toks: Sequence[Tok]) -> list[Tok]:
    """ "the meter's just ticked past 19.2": what it shows."""
    found = list(toks)
    for i in range(1, len(found) - 1):
        n = i + 1
        while n < len(found) - 1 and found[n].has("FILLER", "ABOUT"):
            n += 1
        hour = n + 1 < len(found) and found[n + 1].has("AMPM", "NUMBER", "OCLOCK")
        if found[i].text not in ("past", "passed") or found[n].number is None or hour:
            continue
        first = i
        while found[i].text == "past" and first > 1 and found[first - 1].text in _WENT_BY:
            first -= 1
        if (found[i].text == "passed" or first < i) and any(tok.has("METER") for tok in found[:first]):
            found[first : i + 1] = [replace(found[i], start=found[first].start, senses=sense("ISAT", "at"))]
            return found
    return found


def moved_between(toks: Sequence[Tok]) -> list[Tok]:
    """ "the meter went 15.1 to 16.9": from the one to the other."""
    found = list(toks)
    for i in range(1, len(found) - 3):
        first, to, second = found[i + 1 : i + 4]
        numbers = first.number is not None and second.number is not None and to.text in ("to", "-", "until", "till")
        if found[i].text in _MOVED and numbers and any(tok.has("METER") for tok in found[:i]):
            found[i] = replace(found[i], senses=sense("FROM", "from"))
    return found


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


def plus_so_much(toks: Sequence[Tok]) -> list[Tok]:
    """ "+15 gal fresh", "fresh +15 gal": so much was put in."""
    core = [tok for tok in toks if not tok.has("FILLER", "ART", "COLON", "STOP", "IN", "INTO", "TANKWORD")]
    tank = [tok for tok in core if tok.has("TANK") and tok.senses["TANK"].value == "fresh"]
    rest = [tok for tok in core if tok not in tank]
    if len(tank) != 1 or core.index(tank[0]) not in (0, 3) or len(rest) != 3:
        return list(toks)
    plus, number, unit = rest
    if plus.text not in ("+", "plus") or number.number is None or not unit.has("UNIT"):
        return list(toks)
    return [replace(tok, text="added", senses=sense("PUT", "put", "past")) if tok is plus else tok for tok in toks]


def both_of_them(toks: Sequence[Tok]) -> list[Tok]:
    """ "dumped them both": both tanks."""
    for i in range(1, len(toks) - 1):
        them, both = toks[i], toks[i + 1]
        if them.text == "them" and both.text in ("both", "all") and both.has("TANKS") and toks[i - 1].has("DUMP"):
            return [*toks[:i], *toks[i + 1 :]]
    return list(toks)


def done_at_the_station(toks: Sequence[Tok]) -> list[Tok]:
    """ "both done at the dump point": the tanks were emptied there."""
    site = next((i for i, tok in enumerate(toks) if tok.has("DUMPSITE") and tok.text.startswith(("at", "in"))), 0)
    done = [i for i, tok in enumerate(toks[:site]) if tok.text in ("done", "did")]
    other = any(tok.has("ACT", "RINSE", "VALVE", "METER", "NEG", "DUMP", "LEVELWORD") for tok in toks[:site])
    if len(done) != 1 or other or not any(tok.has("TANK", "TANKS") for tok in toks[:site]):
        return list(toks)
    return [replace(tok, senses=sense("DUMP", "dump", "past")) if n == done[0] else tok for n, tok in enumerate(toks)]


def so_many_parts(toks: Sequence[Tok], i: int) -> Tok:
    """ "changed two washers", "replaced both hose washers": how many of them is not asked, and no tanks are meant."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    if after is not None and after.has("ART") and i + 2 < len(toks):
        after = toks[i + 2]
    if after is None or not after.has("SERVICE", "GEAR") or after.has("METER", "TANK", "UNIT"):
        return tok
    done = any(one.has("CHANGE", "STOW", "OUTON", "PUTAWAY") for one in toks) and not any(
        one.has("DUMP") for one in toks
    )
    counted = tok.number is not None and 1 <= tok.number <= 12 and after.text.endswith("s") and not tok.has("UNIT")
    if not done or not (counted or (tok.text in ("both", "all") and tok.has("TANKS"))):
        return tok
    return replace(tok, senses=sense("FILLER"), number=None)


def from_the_jugs(toks: Sequence[Tok]) -> list[Tok]:
    """ "put ten gallons in the fresh from the jugs": the tank, and what the water was carried in."""
    for i in range(1, len(toks) - 1):
        before = next((tok for tok in reversed(toks[:i]) if not tok.has("ART")), None)
        n = i + 2 if toks[i + 1].has("ART") and i + 2 < len(toks) else i + 1
        if toks[i].text != "fresh from" or before is None or before.text not in ("in", "into", "to"):
            continue
        fresh = replace(toks[i], text="fresh", end=toks[i].start + 5, senses=sense("TANK", "fresh"))
        if toks[n].has("VESSEL"):
            return [*toks[:i], fresh, replace(toks[n], senses=sense("SCENE")), *toks[n + 1 :]]
        return [
            *toks[:i],
            fresh,
            replace(toks[i], text="from", senses=sense("FROM") | sense("PREP", "from")),
            *toks[i + 1 :],
        ]
    return list(toks)


def wait_first(toks: Sequence[Tok], i: int) -> Tok:
    """ "hang on I meant a third": the lead of a correction, and no question whether anything lasts."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    opens = all(other.has("FILLER", "COMMA") for other in toks[:i]) and tok.has("MAKEIT") and tok.has("FIX")
    corrects = after is not None and (after.has("AMEND") or (after.has("COMMA") and len(toks) > i + 2))
    return (
        replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls != "MAKEIT"})
        if opens and corrects
        else tok
    )


def stands_on(toks: Sequence[Tok], i: int) -> Tok:
    """ "grey's on 45", "black is on a third": how much there is."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    before = toks[i - 2 : i] if tok.text == "on" else toks[i - 1 : i]
    led = bool(before) and i >= len(before) and before[0].has("TANK") and before[-1].has("BE", "POSS", "TANK")
    measured = after is not None and after.has("NUMBER", "FRACTION") and not after.has("ORD")
    dated = i + 2 < len(toks) and toks[i + 2].has("MONTH", "OF", "TIMEUNIT", "AMPM")
    return (
        replace(tok, senses=sense("ISAT", "at"))
        if tok.text in ("on", "is on") and led and measured and not dated
        else tok
    )


_LAMPS = frozenset("bars bar lights leds lamps dots segments blobs".split())
_BORDERS = ("COMMA", "STOP", "SEMI", "AND", "BUT", "THEN")
_BESIDE = frozenset("under beneath below behind beside near by in next".split())
_UNMOVED = frozenset("moved budged changed shifted turned".split())


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


def not_looked_at(toks: Sequence[Tok]) -> list[Tok]:
    """ "arrived, haven't checked the taps yet": nothing is said of them, and nothing taken back."""
    for i in range(1, len(toks) - 1):
        looks = toks[i].has("NEG") and toks[i + 1].text in ("checked", "looked", "looked at", "tried", "tested")
        led = toks[i - 1].has(*_BORDERS) or (i > 1 and toks[i - 1].has("SELF") and toks[i - 2].has(*_BORDERS))
        if not looks or not led:
            continue
        end = next((n for n in range(i, len(toks)) if toks[n].has("STOP", "SEMI", "COMMA", "BUT")), len(toks))
        if any(tok.has("NUMBER", "FRACTION", "FULLNESS", "UNIT") for tok in toks[i:end]):
            continue
        first = i - 1 if toks[i - 1].has(*_BORDERS) else i - 2
        return [*toks[:first], *toks[end:]]
    return list(toks)


def meter_unmoved(toks: Sequence[Tok]) -> list[Tok]:
    """ "meter hasn't moved: 15.5": what it shows."""
    for i in range(1, len(toks) - 3):
        still = toks[i].has("NEG") and toks[i + 1].text in _UNMOVED and toks[i - 1].has("METER")
        mark = toks[i + 2].has("COMMA", "COLON", "FROM") or toks[i + 2].text in ("still", "still at")
        if still and mark and toks[i + 3].has("NUMBER"):
            return [*toks[:i], *toks[i + 3 :]]
    return list(toks)


def where_the_tank_is(toks: Sequence[Tok]) -> list[Tok]:
    """ "another grey tank under the bathroom called stern": where it is tells nothing of what it holds."""
    if not any(tok.has("CALLED", "HOLDS") for tok in toks):
        return list(toks)
    for i in range(1, len(toks) - 2):
        n = i + 2 if toks[i + 1].has("ART") else i + 1
        place = toks[n]
        nothing_more = place.text.isalpha() and not place.has(
            "TANK", "NUMBER", "UNIT", "METER", "CALLED", "HOLDS", "SITE"
        )
        ends = n + 1 < len(toks) and (toks[n + 1].has("COMMA", "CALLED", "HOLDS", "IT") or toks[n + 1].text == "it is")
        if toks[i].text in _BESIDE and toks[i - 1].has("TANK") and nothing_more and ends:
            return [*toks[:i], *toks[n + 1 :]]
    return list(toks)
