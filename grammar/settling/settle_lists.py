"""Lists of uses taken apart, names read off and numbers of a meter put together: what needs counting, and no rule of neighbours can say.

May import: lexicon, people, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import lexicon
from grammar.lightclass import replace
from grammar.settling.people import titled

_LAMPS = frozenset("bars bar lights leds lamps dots segments blobs".split())
_MEASURE = ("NUMBER", "FRACTION", "UNIT", "ABOUT", "A")


def under_an_activity(toks: Sequence[Tok]) -> list[Tok]:
    """ "showers: Juno 2, Priya 3 gal, me 2.5": each had one, and so much."""
    found = list(toks)
    for i in range(len(found) - 1, 0, -1):
        head = found[i - 1]
        if not (found[i].has("COLON") or found[i].text == "-") or not head.has("ACT"):
            continue
        end = next((n for n in range(i + 1, len(found)) if found[n].has("STOP", "SEMI", "COLON")), len(found))
        told = shares(found[i + 1 : end])
        lead = _so_many_did(found[: i - 1])
        if len(told) < LEAST_SHARES or lead not in (None, 0, len(told)):
            continue
        one = replace(head, senses=sense("ACT", head.senses["ACT"].value, "noun"), number=None)
        listed = [
            tok for who, much in told for tok in (who, one, *much, replace(found[i], text=",", senses=sense("COMMA")))
        ]
        found[0 if lead is not None else i - 1 : end] = listed[:-1]
    return found


def _so_many_did(toks: Sequence[Tok]) -> int | None:
    """How many did it, by what stands before the deed: "we both had", "all three kids"; 0 if it was not said ("we all had"); None if
    anything else stands there."""
    many = [tok.number or _BOTH.get(tok.text, 0) or _pair(tok) for tok in toks]
    those = any(tok.has("SELF", "PAIR", "TANKS", "GROUP", "EACH", "NUMBER") for tok in toks)
    rest = [
        tok
        for tok in toks
        if not tok.has("SELF", "PAIR", "GROUP", "PEOPLEWORD", "EACH", "NUMBER", "ART", "A", "ADJ", "FILLER")
    ]
    did = all(tok.text in _BOTH or (tok.has("DO") and tok.senses["DO"].form == "past") for tok in rest)
    return int(max(many)) if those and did and len(toks) <= _LONGEST_LEAD else None


def _pair(tok: Tok) -> int:
    told = tok.senses["PAIR"].value if tok.has("PAIR") else "0"
    return int(told or 2)


_BOTH = {"both": 2, "both of us": 2, "all": 0, "all three": 3}
_LONGEST_LEAD = 6


LEAST_SHARES = 2


def shares(toks: Sequence[Tok]) -> list[tuple[Tok, list[Tok]]]:
    """Who, and how much; empty if anything else stands there."""
    found: list[tuple[Tok, list[Tok]]] = []
    for tok in toks:
        if tok.has(*_MEASURE) and found:
            found[-1][1].append(tok)
        elif (
            tok.text in ("me", "i", "mine")
            or tok.has("PERSON", "NAMEWORD", "KIN")
            or (not tok.known and tok.text.isalpha())
        ):
            found.append((replace(tok, senses=sense("SELF", "self")) if tok.text == "mine" else tok, []))
        elif not tok.has("COMMA", "AND", "ART", "FILLER", "COLON"):
            return []
    return found if all(any(one.has("NUMBER", "FRACTION") for one in told) for _, told in found) else []


def names_and_numbers(toks: Sequence[Tok]) -> list[Tok]:
    """ "Ana 2 gal, Joss 3 gal showers", "we both had showers ana two joss three": each had one, and so much."""
    core = [tok for tok in toks if not tok.has("STOP")]
    deed = next((i for i, tok in enumerate(core) if tok.has("ACT")), 0)
    lead = _so_many_did(core[:deed]) if deed else None
    if lead is not None:
        core = [core[deed], *core[deed + (2 if core[deed + 1 : deed + 2] and core[deed + 1].has("COMMA") else 1) :]]
    if len(core) < 2 * LEAST_SHARES + 1 or any(tok.has("COLON", "QMARK", "NEG", "FUTURE", "IF") for tok in core):
        return list(toks)
    for head, rest in ((core[0], core[1:]), (core[-1], core[:-1])):
        one = head.senses.get("ACT")
        if (
            one is None
            or one.form not in ("noun", "plural", *(["past"] if lead is not None else []))
            or not _a_name(rest[0])
        ):
            continue
        told = shares(rest)
        if len(told) < LEAST_SHARES or lead not in (None, 0, len(told)) or not all(_a_name(who) for who, _ in told):
            continue
        if head is core[-1] and not any(tok.has("UNIT") for tok in rest):
            counted = one.form == "plural" and one.value in _TALLIED and not rest[-1].has("COMMA")
            return _so_many_each(head, told) if counted else list(toks)  # "Ana 2, Joss 3 showers": or gallons?
        single = replace(head, senses=sense("ACT", one.value, "noun"), number=None)
        comma = replace(head, text=",", senses=sense("COMMA"), number=None)
        return [tok for who, much in told for tok in (who, single, *much, comma)][:-1]
    return list(toks)


_TALLIED = frozenset(("toilet", "teeth", "handwash", "face", "shave"))


def _so_many_each(head: Tok, told: Sequence[tuple[Tok, list[Tok]]]) -> list[Tok]:
    """ "Ana 2, Joss 3 flushes": how often, not how much."""
    comma = replace(head, text=",", senses=sense("COMMA"), number=None)
    return [tok for who, much in told for tok in (who, *much, head, comma)][:-1]


def _a_name(tok: Tok) -> bool:
    """A word that is surely somebody: known to the log or as a name, or no ordinary word."""
    if tok.has("PERSON", "NAMEWORD", "KIN") or tok.text in ("me", "i"):
        return True
    return not tok.known and tok.text.isalpha() and not lexicon().ordinary(tok.text)


def one_by_one(toks: Sequence[Tok]) -> list[Tok]:
    """ "two showers: 2 gal and 3 gal", "showers 2 gal, 3 gal, 2.5 gal": each with its own amount."""
    found = list(toks)
    head = next((i for i, tok in enumerate(found) if tok.has("ACT") and tok.senses["ACT"].form == "plural"), None)
    if head is None:
        return found
    start = (
        head + 2
        if head + 1 < len(found) and (found[head + 1].has("COLON") or found[head + 1].text == "-")
        else head + 1
    )
    end = next((n for n in range(start, len(found)) if found[n].has("STOP", "SEMI")), len(found))
    amounts = _amounts(found[start:end])
    count = found[head - 1].number if head else None
    said = head > 0 and found[head - 1].has("NUMBER")
    if len(amounts) < LEAST_SHARES or (said and count != len(amounts)):
        return found
    unit = next((tok for tok in amounts[-1] if tok.has("UNIT")), None)
    if unit is None:
        return found  # "flushes 2, 3"
    one = replace(found[head], senses=sense("ACT", found[head].senses["ACT"].value, "noun"), number=None)
    comma = replace(unit, text=",", senses=sense("COMMA"))
    listed: list[Tok] = []
    for amount in amounts:
        whole = amount if any(tok.has("UNIT") for tok in amount) else [*amount, unit]
        listed += [one, *whole, comma]
    return [*found[: head - 1 if said else head], *listed[:-1], *found[end:]]


def _amounts(toks: Sequence[Tok]) -> list[list[Tok]]:
    """The amounts of a list of nothing else; empty if anything else stands there."""
    found: list[list[Tok]] = [[]]
    for tok in toks:
        if tok.has("NUMBER", "FRACTION", "UNIT", "ABOUT") and not tok.has("ACT"):
            found[-1].append(tok)
        elif tok.has("COMMA", "AND") and found[-1]:
            found.append([])
        elif not tok.has("COMMA", "AND"):
            return []
    kept = [amount for amount in found if amount]
    plain = all(sum(1 for tok in amount if tok.has("NUMBER")) == 1 for amount in kept)  # "2 gal and half" is one
    return kept if plain else []


_LOADS = frozenset(
    (
        "load sink sinkful pot pan batch round pile stack bunch bowl kettle bucket tub basket mountain lot set bit spot basin bowlful "
        "basinful saucepan wash"
    ).split()
)
EACH_TIME = _LOADS | {"shower", "bath", "flush", "go", "turn", "person", "head"}


def by_each_load(toks: Sequence[Tok]) -> list[Tok]:
    """ "two bowls, 7 litres a bowl": so many times that much; how many must have been said."""
    found = list(toks)
    for i in range(1, len(found) - 1):
        noun = found[i + 1]
        if found[i].text not in ("a", "per", "each") or not found[i - 1].has("UNIT") or noun.text not in EACH_TIME:
            continue
        if i + 2 < len(found) and not found[i + 2].has("COMMA", "STOP", "AND", "THEN", "FILLER"):
            continue
        many = next(
            (
                j
                for j in range(1, i)
                if found[j].text.split()[0] in (noun.text + "s", noun.text + "es") and found[j - 1].number is not None
            ),
            None,
        )
        if many is None and noun.text in _LOADS and any(tok.has("TIMES") for tok in found[:i]):
            found[i] = replace(found[i], senses=sense("FILLER"))  # "ran the washer twice, nine gallons a load"
            found[i + 1] = replace(noun, senses=sense("EACH", "each"))
            continue
        if many is None:
            found[i + 1] = replace(noun, senses={}) if noun.text in _LOADS else noun
            continue
        if noun.text in _LOADS and " " not in found[many].text:
            found[many] = replace(found[many], senses=sense("TIMESWORD"))
        found[i] = replace(found[i], senses=sense("FILLER"))
        found[i + 1] = replace(noun, senses=sense("EACH", "each"))
    return found


def meter_numbers(toks: list[Tok]) -> list[Tok]:
    """ "forty one five" on a meter is 41.5, "four twelve point three" is 412.3."""
    if not any(tok.has("METER", "FROM") for tok in toks):
        return toks
    found: list[Tok] = []
    for tok in toks:
        last = found[-1] if found else None
        if (
            last is not None and last.number is not None and tok.number is not None and not last.text[0].isdigit() and not tok.text[0].isdigit()
            and last.number == int(last.number)
        ):  # fmt: skip
            merged = None
            if last.number >= 10 and tok.number < 10 and tok.number == int(tok.number):
                merged = last.number + tok.number / 10
            elif last.number < 10 and 10 <= tok.number < 100:
                merged = last.number * 100 + tok.number
            if merged is not None:
                found[-1] = replace(last, text=f"{last.text} {tok.text}", end=tok.end, number=merged)
                continue
        found.append(tok)
    return found


def called(toks: list[Tok]) -> list[Tok]:
    """The word or words after "called" are a name."""
    found: list[Tok] = []
    i = 0
    while i < len(toks):
        found.append(toks[i])
        if toks[i].has("CALLED", "RIGNAME"):
            j = i + 1
            while (
                j < len(toks)
                and j <= i + 3
                and not toks[j].has("COMMA", "NUMBER", "STOP", "AND", "HOLDS", "BE", "A", "PREP", "IT", "WHICH")
            ):
                j += 1
            if j > i + 1:
                text = " ".join(tok.text for tok in toks[i + 1 : j])
                text = titled(text) if toks[i].has("RIGNAME") and toks[i + 1].capital else text
                found.append(Tok(text, toks[i + 1].start, toks[j - 1].end, sense("NAME", text)))
                i = j - 1
        i += 1
    return found


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
