"""What the neighbours of a token decide in what is told of tanks, valves and absences. Like settle.py it only ever narrows.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

_DONE_TO = (
    "DUMP",
    "RESET",
    "FILL",
    "VALVE",
    "OPEN",
    "SHUT",
    "SWITCH",
    "STOW",
    "OUTON",
    "CHANGE",
    "HAUL",
    "RINSE",
    "SANITISE",
)


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


def fit_to_drink(toks: Sequence[Tok], i: int) -> Tok:
    """ "Is this water potable": whether it may be drunk, no tank."""
    tok, before = toks[i], toks[i - 1] if i else None
    ends = i + 1 == len(toks) or toks[i + 1].has("QMARK", "STOP", "COMMA")
    said_of = before is not None and (before.has("WATER", "WATERHERE", "BE", "IT") or before.text in ("this", "that"))
    asked = toks[0].has("AUX", "BE", "QWORD", "FILLER")
    return replace(tok, senses=sense("EMERGENCY", "drink")) if ends and said_of and asked else tok


def beside_a_use(toks: Sequence[Tok]) -> list[Tok]:
    """ "closed the grey valve before the shower": when it was done, and no shower told."""
    reset = any(tok.has("RESET") and tok.senses["RESET"].form == "past" for tok in toks)
    if any(tok.has("UNIT", "USE", "NUMBER") or (tok.has("METER") and not reset) for tok in toks):
        return list(toks)
    found = list(toks)
    for i, tok in enumerate(toks[:-1]):
        if not tok.has("BEFORE", "AFTER") or not any(other.has(*_DONE_TO) for other in toks[:i]):
            continue
        j = i + 1
        while j < len(toks) and toks[j].has("ART", "POSS", "ADJ") and not toks[j].has("ACT"):
            j += 1
        doing = [toks[j].senses[cls] for cls in ("ACT", "FILL", "DUMP", "RINSE") if j < len(toks) and toks[j].has(cls)]
        named = doing[0] if doing else None
        ends = j + 1 >= len(toks) or toks[j + 1].has("COMMA", "STOP", "AND", "THEN")
        if named is not None and ends and named.form in ("noun", "plural", "ing", "thing"):
            found[i : j + 1] = [replace(one, senses=sense("FILLER")) for one in toks[i : j + 1]]
    return found


_RUN_OUT = frozenset("ran pumped sucked emptied drained pulled".split())
_PUSHED = frozenset("pushed shoved slid pressed knocked slammed shut closed".split())
_LEFT_SO = (
    "COMMA",
    "STOP",
    "AND",
    "THEN",
    "SEMI",
    "AT",
    "ON",
    "DUMPSITE",
    "SO",
    "BUT",
    "DAY",
    "PREP",
    "FILLER",
    "PART",
    "TO",
)


def verb_and_particle(toks: Sequence[Tok]) -> list[Tok]:
    """ "ran the black tank out" is "emptied black"; "pushed the grey handle back in" is "shut the grey valve"."""
    found = list(toks)
    for i, tok in enumerate(toks):
        if tok.text == "shut" and i + 2 < len(toks) and any(one.has("PUMP") for one in toks[i + 1 : i + 3]):
            found[i] = replace(tok, text="turned", senses=sense("SWITCH", "switch", "past"))  # "shut the pump off"
            return found
        things = [j for j in range(i + 1, min(i + 4, len(toks))) if not toks[j].has("ART")]
        if (
            tok.text in _RUN_OUT
            and things
            and _waste_tank(toks[things[0]])
            and _particle(toks, things[0] + 1, ("out",))
        ):
            found[i] = replace(tok, senses=sense("DUMP", "dump", "past"))
            del found[things[0] + 1]
            return found
        handle = next((j for j in things if toks[j].has("VALVE")), None)
        if tok.text not in _PUSHED or handle is None:
            continue
        end = handle + 1
        while end < len(toks) and toks[end].text in ("back", "all way", "back in", "in", "shut", "closed", "tight"):
            end += 1
        if end > handle + 1 and (end == len(toks) or toks[end].has(*_LEFT_SO)):
            found[i] = replace(tok, senses=sense("SHUT", "shut", "past"))
            del found[handle + 1 : end]
            return found
    return found


def _waste_tank(tok: Tok) -> bool:
    return tok.has("TANK") and tok.senses["TANK"].value != "fresh"


def _particle(toks: Sequence[Tok], j: int, words: tuple[str, ...]) -> bool:
    """Whether one of the words ends the clause at token `j`, or nearly."""
    return j < len(toks) and toks[j].text in words and (j + 1 == len(toks) or toks[j + 1].has(*_LEFT_SO))


def each_of_them(toks: Sequence[Tok]) -> list[Tok]:
    """ "5 jugs, 6 gallons apiece" is five jugs of six."""
    found = list(toks)
    for i in range(len(toks) - 5):
        many, jug, comma, number, unit, each = toks[i : i + 6]
        whole = many.number is not None and many.number == int(many.number)
        if (
            whole
            and jug.has("VESSEL")
            and comma.has("COMMA")
            and number.has("NUMBER")
            and unit.has("UNIT")
            and each.has("EACH")
        ):
            found[i + 2] = replace(comma, text="of", senses=sense("OF"))
            found[i + 5] = replace(each, senses=sense("FILLER"))
    return found


def let_through(toks: Sequence[Tok]) -> list[Tok]:
    """ "had the tank sprayer going and let 11 gallons through it": what was put in through the port."""
    if not any(tok.has("RINSEPORT", "RINSE") for tok in toks):
        return list(toks)
    found = []
    for i, tok in enumerate(toks):
        after = toks[i + 1 :]
        if (
            tok.text == "going"
            and i
            and toks[i - 1].has("RINSEPORT", "RINSE")
            and any(one.text in ("had", "got") for one in toks[:i])
        ):
            continue
        if (
            tok.text in ("had", "got")
            and any(one.has("RINSEPORT", "RINSE") for one in after[:4])
            and any(one.text == "going" for one in after)
        ):
            continue
        lets = (
            tok.text == "let"
            and any(one.text.startswith("through") for one in after)
            and any(one.has("UNIT") for one in after)
        )
        found.append(replace(tok, senses=sense("PUT", "put", "past")) if lets else tok)
    return found


def all_of_the_tank(toks: Sequence[Tok], i: int) -> Tok:
    """ "brimful, all grey water": of that tank alone."""
    tok = toks[i]
    of_one = (
        tok.text == "all"
        and i + 1 < len(toks)
        and toks[i + 1].has("TANK")
        and any(one.has("TOTE", "VESSEL") for one in toks[:i])
    )
    return replace(tok, senses=sense("FILLER")) if of_one else tok


def it_holds(toks: Sequence[Tok]) -> list[Tok]:
    """ "New tote! It holds 25 gal", "it's a new grey tank. It takes 40": what was named just before."""
    for i in range(1, len(toks) - 2):
        mark, it, holds = toks[i : i + 3]
        if (
            mark.has("STOP", "SEMI", "COMMA")
            and it.has("IT")
            and holds.has("HOLDS")
            and toks[i - 1].has("TOTE", "TANK", "HEATER")
        ):
            return [*toks[:i], *toks[i + 2 :]]
    return list(toks)


def named_after(toks: Sequence[Tok]) -> list[Tok]:
    """ "zeroed it, the meter I mean": the thing meant stands in the place of "it"."""
    core = [tok for tok in toks if not tok.has("STOP")]
    if (
        len(core) < 4
        or core[-1].text not in ("i mean", "that is", "i meant")
        or not core[-2].has("METER", "TANK", "GEAR")
    ):
        return list(toks)
    it = next(
        (n for n, tok in enumerate(core) if tok.has("IT") or tok.text.split()[-1] in ("it", "her", "him", "that")), None
    )
    told = any(one.form == "past" for tok in core[:2] for one in tok.senses.values())
    if it is None and told and not any(tok.has("METER", "TANK", "GEAR", "ACT", "NUMBER") for tok in core[:-2]):
        return core[:-1]  # "zeroed her out, the meter I mean"
    if it is None or not told or it > len(core) - 3:
        return list(toks)
    verb = core[: it + 1] if not core[it].has("IT", "ART") else core[:it]
    return [*verb, *[tok for tok in core[it + 1 : -2] if not tok.has("COMMA", "ART")], core[-2]]


def tap_of_the_tank(toks: Sequence[Tok], i: int) -> Tok:
    """ "the grey tap's open": what lets a waste tank out."""
    tok, before = toks[i], toks[i - 1] if i else None
    waste = before is not None and _waste_tank(before) and tok.text in ("tap", "taps", "cock", "stopcock")
    return replace(tok, senses=sense("VALVE", "valve")) if waste else tok
