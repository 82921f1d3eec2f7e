"""What the neighbours decide of words in reports of tanks, meters, the rig and the trip. Like settle.py it only ever narrows.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

_KIND_OF = frozenset("one model tank type size unit version job tote container".split())
_ENDS = ("COMMA", "STOP", "AND", "SEMI", "THEN", "BUT")
_MEALS = {"supper": "evening", "dinner": "evening", "tea": "evening", "lunch": "midday", "breakfast": "morning"}


def _at_end(toks: Sequence[Tok], i: int) -> bool:
    """Whether nothing of the clause follows token `i`."""
    return i + 1 >= len(toks) or toks[i + 1].has(*_ENDS)


def sized(toks: Sequence[Tok]) -> list[Tok]:
    """ "our black tank is a 32 gallon one", "the tote is a 15 gallon model": what it holds."""
    found = list(toks)
    hedged = any(tok.text in _KIND_OF for tok in toks[4:])
    if hedged and any(tok.has("TANK", "TOTE") for tok in toks[:3]):
        found = [
            tok for tok in toks if tok.text not in ("actually", "really", "only")
        ]  # "our grey tank's actually a 42 gallon one"
    for i in range(len(found) - 4):
        be, a, number, unit, kind = found[i : i + 5]
        if (
            be.text in ("is", "'s", "are") and a.text in ("a", "an") and number.has("NUMBER") and unit.has("UNIT")
            and kind.text in _KIND_OF and _at_end(found, i + 4) and any(tok.has("TANK", "TOTE") for tok in found[:i])
        ):  # fmt: skip
            found[i] = replace(be, senses=sense("HOLDS", "holds"))
            found[i + 1] = replace(a, senses=sense("FILLER"), number=None)
            found[i + 4] = replace(kind, senses=sense("FILLER"), number=None)
    return found


_RATHER = ("not", "instead of", "rather than", "no longer")
_SYSTEMS = {"gallon": "us", "imperial_gallon": "imperial", "litre": "metric"}


def units_label(toks: Sequence[Tok]) -> list[Tok]:
    """ "units: litres", "the unit is gallons": what to count in."""
    core = [tok for tok in toks if not tok.has("FILLER", "ART", "STOP")]
    plain = [tok for tok in core if not tok.has("COMMA")]
    if len(plain) == 3 and core[0].has("USEUNITS") and plain[1].text in _RATHER and plain[2].has("UNIT"):
        other = _SYSTEMS.get(plain[2].senses["UNIT"].value)  # "talk to me in litres, not gallons"
        return [core[0]] if other != core[0].senses["USEUNITS"].value else list(toks)
    if len(core) != 3 or core[0].text not in ("units", "unit") or not core[1].has("COLON", "BE"):
        return list(toks)
    unit = core[2].senses.get("UNIT")
    system = _SYSTEMS.get(unit.value) if unit is not None else "metric" if core[2].text == "metric" else None
    return [replace(core[2], senses=sense("USEUNITS", system))] if system is not None else list(toks)


def so_has(toks: Sequence[Tok]) -> list[Tok]:
    """ "black's been dumped and so has grey": grey too."""
    found = list(toks)
    for i in range(1, len(found) - 2):
        so, verb, tank = found[i : i + 3]
        last = i + 3 >= len(found) or found[i + 3].has("COMMA", "STOP")
        if so.text in ("so", "and so") and verb.text in ("is", "has", "did", "was") and tank.has("TANK") and last:
            found[i : i + 3] = [replace(tank, start=so.start), replace(so, text="too", senses=sense("TOO", "too"))]
            break
    return found


def until_meal(toks: Sequence[Tok], i: int) -> Tok:
    """ "off hiking until supper", "back by dinner": a part of the day."""
    tok = toks[i]
    led = i and tok.text in _MEALS and toks[i - 1].has("UNTIL", "BY") and _at_end(toks, i)
    return replace(tok, senses=sense("PART", _MEALS[tok.text])) if led else tok


def leaving_day(toks: Sequence[Tok], i: int) -> Tok:
    """ "we pull out Saturday": a leaving, not the day of it, unless "till" comes before."""
    tok, before = toks[i], toks[i - 1] if i else None
    opens = before is None or before.has("COMMA", "STOP", "AND", "SELF", "FILLER", "BUT")
    dated = i + 1 < len(toks) and toks[i + 1].has("WEEKDAY", "DAY", "ORD", "ISODATE", "MONTH", "ON", "WHICH", "AT")
    if not (opens and dated and tok.has("LEAVE") and tok.has("STAYEND")):
        return tok
    return replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls != "STAYEND"})


def sensor_says(toks: Sequence[Tok]) -> list[Tok]:
    """ "black two thirds, says the sensor": by its sensor, and no clause of its own."""
    found = list(toks)
    for i in range(2, len(found) - 1):
        j = i + 1
        while j < len(found) - 1 and found[j].has("ART"):
            j += 1
        if (
            found[i].text == "says"
            and found[j].has("SENSOR")
            and found[i - 1].has("FRACTION", "UNIT", "FULLNESS", "COMMA")
        ):
            comma = found[i - 1].has("COMMA")
            return [*found[: i - 1 if comma else i], found[j], *found[j + 1 :]]
    return found


def out_of(toks: Sequence[Tok], i: int) -> Tok:
    """ "we're out of water": nobody is away."""
    tok = toks[i]
    lacking = tok.has("AWAY") and tok.text.endswith("out") and i + 1 < len(toks) and toks[i + 1].text.split()[0] == "of"
    return replace(tok, senses=sense("REMARK", "remark")) if lacking else tok


def counter(toks: Sequence[Tok], i: int) -> Tok:
    """ "the counter says 12": the meter's, not the kitchen's."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    tells = after is not None and (
        after.has("SAYS", "ISAT", "NUMBER") or (after.has("BE") and toks[-1].has("NUMBER", "UNIT"))
    )
    if not (tells and tok.has("ACT") and tok.has("METER")) or any(one.has("WASH") for one in toks):
        return tok
    return replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls != "ACT"})


def dump_at(toks: Sequence[Tok]) -> list[Tok]:
    """ "black dump 8am": done at that hour."""
    core = [tok for tok in toks if not tok.has("FILLER", "ART", "STOP")]
    timed = len(core) > 2 and (core[2].has("CLOCK", "AT", "AROUND") or (len(core) > 3 and core[3].has("AMPM")))
    if not timed or not core[0].has("TANK") or core[1].text != "dump":
        return list(toks)
    return [replace(tok, senses=sense("DUMP", "dump", "past")) if tok is core[1] else tok for tok in toks]


def took_to_fill(toks: Sequence[Tok]) -> list[Tok]:
    """ "the fresh tank took 28 gallons to fill": what was filled in; "gave fresh ten gallons": what was put in."""
    fresh = any(tok.has("TANK") and tok.senses["TANK"].value == "fresh" for tok in toks)
    if not fresh or not any(tok.has("UNIT") for tok in toks) or any(tok.has("ACT") for tok in toks):
        return list(toks)
    end = next(
        (i for i, tok in enumerate(toks[:-1]) if tok.text == "to" and toks[i + 1].text in ("fill", "fill up")), None
    )
    took = next((i for i, tok in enumerate(toks) if tok.text in ("took", "needed")), None)
    if end is not None and took is not None and took < end:
        filled = replace(toks[took], senses=sense("FILL", "fill", "past"))
        head = [tok for tok in toks[:took] if not tok.has("IT")]
        if end + 2 >= len(toks) or (not any(tok.has("TANK") for tok in head) and _to_fresh(_but_full(toks[end + 2 :]))):
            return [*head, filled, *toks[took + 1 : end], *toks[end + 2 :]]  # "it took 29 gal to fill fresh right up"
    alone = [tok for tok in toks if not tok.has("ART", "FILLER", "ABOUT", "STOP")]
    so_much = len(alone) == 4 and alone[0].has("TANK") and alone[2].number is not None and alone[3].has("UNIT")
    if so_much and took is not None and end is None and alone[1] is toks[took]:  # "fresh took 29 gallons"
        return [replace(tok, senses=sense("FILL", "fill", "past")) if tok is toks[took] else tok for tok in toks]
    went = next((i for i, tok in enumerate(toks) if tok.text in ("went into", "went in", "got into")), None)
    if went and toks[went - 1].has("UNIT", "WATER", "FILLER") and _to_fresh(toks[went + 1 :]):
        return [replace(toks[went], senses=sense("PUT", "put", "past")), *toks[:went], *toks[went + 1 :]]
    gave = next((i for i, tok in enumerate(toks) if tok.text == "gave"), None)
    if gave is None:
        return list(toks)
    put = replace(toks[gave], senses=sense("PUT", "put", "past"))
    rest = [tok for n, tok in enumerate(toks) if n > gave and not _one_more(toks, n)]
    return [*toks[:gave], put, *rest]


def _but_full(toks: Sequence[Tok]) -> list[Tok]:
    return [tok for tok in toks if not tok.has("TOFULL", "FULLNESS", "FILLER", "DAY", "PART")]


def given_a_dump(toks: Sequence[Tok]) -> list[Tok]:
    """ "gave the black a dump": dumped it."""
    for i, tok in enumerate(toks):
        if tok.text != "gave":
            continue
        rest = [n for n in range(i + 1, len(toks)) if not toks[n].has("ART", "ADJ")]
        if len(rest) > 1 and toks[rest[0]].has("TANK", "TANKS") and toks[rest[1]].text in ("dump", "drain", "emptying"):
            dumped = replace(tok, senses=sense("DUMP", "dump", "past"))
            return [*toks[:i], dumped, toks[rest[0]], *toks[rest[1] + 1 :]]
    return list(toks)


def _to_fresh(rest: Sequence[Tok]) -> bool:
    named = next((tok for tok in rest if not tok.has("ART")), None)
    return named is not None and named.has("TANK") and named.senses["TANK"].value == "fresh"


def _one_more(toks: Sequence[Tok], n: int) -> bool:
    """ "another" before a number."""
    return toks[n].text == "another" and n + 1 < len(toks) and toks[n + 1].has("NUMBER")


def a_full_one(toks: Sequence[Tok]) -> list[Tok]:
    """ "it was a full one": a tote, where nothing else is named."""
    found = list(toks)
    for i in range(1, len(found)):
        full, one = found[i - 1], found[i]
        if (
            full.text == "full"
            and one.text in ("one", "load")
            and not any(tok.has("TANK", "TANKS", "TANKWORD") for tok in found)
        ):
            found[i - 1 : i + 1] = [
                replace(one, text="full tote", start=full.start, number=None, senses=sense("UNIT", "tote"))
            ]
            break
    return found


def so_many_left(toks: Sequence[Tok], i: int) -> Tok:
    """ "it's just the two of us": who is aboard."""
    tok = toks[i]
    led = tok.text in ("it is", "that is") and any(other.text == "of us" for other in toks[i + 1 : i + 6])
    return replace(tok, senses=sense("FILLER")) if led else tok


def wheeled_off_to(toks: Sequence[Tok], i: int) -> Tok:
    """ "wheeled 13 gal of grey off to the dump station": where it went, and no plan."""
    done = any(tok.has(cls) and tok.senses[cls].form == "past" for tok in toks[:i] for cls in ("HAUL", "TAKEAWAY"))
    return replace(toks[i], senses=sense("FILLER")) if toks[i].text == "off to" and done else toks[i]
