"""What the neighbours of a token decide in reports of use: things counted by the load, what was washed away, which one of the day.

Like settle.py it only ever narrows. May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

LOADS = frozenset(
    (
        "load loads sink sinkful sinkfuls pot pots pan pans batch batches round rounds pile stack bunch bowl kettle bucket tub basket "
        "mountain lot set bit spot basin bowlful basinful saucepan wash"
    ).split()
)


EACH_TIME = LOADS | {"shower", "bath", "flush", "go", "turn", "person", "head"}


def by_the_load(toks: Sequence[Tok]) -> list[Tok]:
    """ "one load of dishes", "a pot of rice": what was washed or cooked, counted by the load."""
    found = list(toks)
    for i in range(len(found) - 2):
        if found[i].text == "lots of" and i and found[i - 1].number is not None and "ACT" in found[i + 1].senses:
            many = sense("ACTS", found[i + 1].senses["ACT"].value, "plural")  # "two lots of washing-up"
            found[i], found[i - 1] = found[i - 1], replace(found[i], senses=sense("FILLER"))
            found[i + 1] = replace(found[i + 1], senses={**found[i + 1].senses, **many})
        if found[i].text not in LOADS or found[i + 1].text != "of" or "ACT" not in found[i + 2].senses:
            continue
        counted = i and found[i - 1].number is not None and not found[i - 1].has("FRACTION")
        one = found[i + 2].senses["ACT"]
        if counted and one.form in ("thing", "noun"):
            one = replace(one, form="noun" if found[i - 1].number == 1 else "plural")
        found[i + 2] = replace(found[i + 2], senses={**found[i + 2].senses, "ACT": one})
        found[i] = found[i + 1] = replace(found[i], senses=sense("FILLER"))
        if counted:
            found[i - 1], found[i + 1] = found[i], found[i - 1]
    return found


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
        if many is None:
            found[i + 1] = replace(noun, senses={}) if noun.text in LOADS else noun
            continue
        if noun.text in LOADS and " " not in found[many].text:
            found[many] = replace(found[many], senses=sense("TIMESWORD"))
        found[i] = replace(found[i], senses=sense("FILLER"))
        found[i + 1] = replace(noun, senses=sense("EACH", "each"))
    return found


def served(toks: Sequence[Tok], i: int) -> Tok:
    """ "coffee for two", "tea for five": those who drank it, no gallons."""
    tok = toks[i]
    before = [other for other in toks[:i] if not other.has("ART", "ADJ")]
    if tok.number is None or len(before) < 2 or before[-1].text != "for" or not before[-2].has("ACT"):
        return tok
    meal = before[-2].senses["ACT"].value in ("coffee", "cooking", "drinking")
    unmeasured = i + 1 == len(toks) or not toks[i + 1].has(
        "UNIT", "TIMEUNIT", "NUMBER", "FRACTION", "PEOPLEWORD", "ACTS"
    )
    whole = tok.number == int(tok.number) and 2 <= tok.number <= 12
    if not (meal and unmeasured and whole):
        return tok
    told = any(other.has("UNIT") for other in toks)
    return replace(tok, senses=sense("FILLER" if told else "VAGUE"), number=None)


def carried(toks: Sequence[Tok], i: int) -> Tok:
    """ "took two loads of grey to the dump": loads of the tote, no laundry; "took 28 gal away in two totes": in two runs."""
    tok, rest = toks[i], toks[i + 1 : i + 3]
    measured = any(other.has("UNIT") and other.senses["UNIT"].value != "tote" for other in toks)
    if (
        i > 1
        and measured
        and tok.text in ("tote", "totes", "load", "loads", "tote loads")
        and toks[i - 1].number is not None
    ):
        return replace(tok, senses=sense("RUNS", "times")) if toks[i - 2].text == "in" else tok
    waste = len(rest) > 1 and rest[0].text == "of" and rest[1].has("TANK", "TANKWORD", "WASTE")
    if tok.text not in ("load", "loads") or not (waste or any(other.has("HAUL", "AWAYTO") for other in toks)):
        return tok
    return replace(tok, senses=sense("UNIT", "tote"))


def dirt(toks: Sequence[Tok], i: int) -> Tok:
    """ "rinsed the sand off my feet": what was washed away."""
    tok, before = toks[i], [other for other in toks[max(0, i - 3) : i] if not other.has("ART", "ADJ")]
    following = toks[i + 1] if i + 1 < len(toks) else None
    if before and before[-1].has("WASH") and (following is None or following.has("COMMA", "STOP", "WITH", "AND")):
        return replace(tok, senses=sense("FILLER"))  # "washed off the sunscreen, quick shower"
    washed = bool(before) and before[-1].has("WASH", "DO", "USE", "TO") and following is not None
    if washed and following is not None and following.text in ("off", "out", "from", "out of", "off of"):
        return replace(tok, senses=sense("FILLER"))
    return tok


def one_more(toks: Sequence[Tok], i: int) -> Tok:
    """ "two flushes and a hand wash": one of them."""
    tok, before, after = (
        toks[i],
        toks[i - 1] if i else None,
        [other for other in toks[i + 1 : i + 3] if not other.has("ADJ")],
    )
    if tok.text not in ("a", "an") or before is None or not before.has("AND", "COMMA", "THEN") or not after:
        return tok
    noun = after[0].senses.get("ACT")
    listed = any(other.has("ACT") for other in toks[:i]) and noun is not None and noun.form in ("noun", "plural")
    if not listed or after[0].text in (
        "washing",
        "cooking",
        "drinking",
        "cleaning",
        "laundry",
        "dishes",
        "teeth",
        "hands",
        "coffee",
    ):
        return tok
    return replace(tok, senses=sense("NUMBER"), number=1.0)


def poured(toks: Sequence[Tok], i: int) -> Tok:
    """ "gave the cat fresh water": what it drank, no tank."""
    tok = toks[i]
    drinks = any(other.has("ACT") and other.senses["ACT"].value in ("pets", "drinking") for other in toks[:i])
    return replace(tok, senses=sense("WATER")) if drinks and tok.text in ("fresh water", "clean water") else tok


def all_of_it(toks: Sequence[Tok], i: int) -> Tok:
    """ "did all the dishes", "both Ana and Joss": no tanks."""
    tok, rest = toks[i], [other for other in toks[i + 1 : i + 4] if not other.has("ART")]
    if tok.text not in ("all", "both") or not rest:
        return tok
    if rest[0].has("TANKS"):
        return replace(tok, senses=sense("FILLER"))  # "all the waste tanks"
    washed = tok.text == "all" and rest[0].has("ACT") and rest[0].senses["ACT"].form in ("noun", "plural", "thing")
    pair = tok.text == "both" and len(rest) > 2 and rest[1].has("AND") and not rest[0].has("ACT", "DAY", "WEEKDAY")
    return replace(tok, senses=sense("FILLER")) if washed or pair else tok


def at_the_end(toks: Sequence[Tok], i: int) -> Tok:
    """ "took a 4 gallon shower oops": nothing is corrected by a word at the end."""
    tok = toks[i]
    last = i and tok.text in ("oops", "sorry") and all(other.has("STOP", "COMMA") for other in toks[i + 1 :])
    return replace(tok, senses=sense("FILLER")) if last else tok


def label(toks: Sequence[Tok], i: int) -> Tok:
    """ "use: shower, 2.15 gal"."""
    tok = toks[i]
    label = not i and tok.text in ("use", "usage", "water") and len(toks) > 1 and toks[1].has("COLON")
    return replace(tok, senses=sense("FILLER")) if label else tok


def when_we(toks: Sequence[Tok], i: int) -> Tok:
    """ "when we got back from the beach" is a time, no "if"."""
    tok, following = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    if tok.text != "when we" or following is None:
        return tok
    if any(other.has("QLEAD") or other.text == "tell me" for other in toks[:i]):
        return replace(tok, senses=sense("QWORD", "when"))  # "tell me when we need to dump"
    if following.has("SCENE"):
        return replace(tok, senses=sense("FILLER"))
    told = any(one.form == "past" for one in following.senses.values())
    return replace(tok, senses={}) if told else tok


def shortly(toks: Sequence[Tok], i: int) -> Tok:
    """ "just before noon", "shortly after 7:30": about then."""
    tok, before, following = toks[i], toks[i - 1] if i else None, toks[i + 1] if i + 1 < len(toks) else None
    if tok.text not in ("before", "after") or before is None or following is None or before.text not in _NARROWLY:
        return tok
    return replace(tok, senses=sense("AROUND", "about")) if following.has("PART", "CLOCK") else tok


_NARROWLY = ("just", "shortly", "right", "bit", "little")


def plan_to(toks: Sequence[Tok], i: int) -> Tok:
    """ "plan to Saturday": until then, no intention."""
    tok, following = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    dated = following is not None and following.has(
        "WEEKDAY", "DAY", "MONTH", "ORD", "ISODATE", "PERIOD", "STAYEND", "EDGE"
    )
    return replace(tok, senses=sense("PLANQ", "plan")) if tok.text == "plan to" and dated else tok


def and_another(toks: Sequence[Tok], i: int) -> Tok:
    """ "and another week": a length on top."""
    tok, following = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    if tok.text not in ("and another", "another", "one more") or following is None:
        return tok
    if tok.text == "another" and following.number is not None and _behind_a_use(toks, i):
        return replace(tok, senses=sense("FILLER"))  # "and I did the pots, another five litres"
    if following.has("UNIT") and tok.text == "another":
        return replace(tok, senses=sense("A", "a"))  # "mopped the floor with another gallon"
    if (
        tok.text in ("one more", "another")
        and following.has("ACT")
        and following.senses["ACT"].form == "noun"
        and i == 0
    ):
        return replace(tok, senses=sense("NUMBER"), number=1.0)  # "one more flush"
    return replace(tok, senses=sense("MORE")) if following.has("TIMEUNIT") else tok


def _behind_a_use(toks: Sequence[Tok], i: int) -> bool:
    before = [tok for tok in toks[max(0, i - 3) : i] if not tok.has("COMMA", "WITH", "PREP", "FILLER", "USE", "COST")]
    return bool(before) and before[-1].has("ACT") and i + 2 < len(toks) and toks[i + 2].has("UNIT")


def which_one(toks: Sequence[Tok], i: int) -> Tok:
    """ "a second shower", "showered for the second time today": which of the day, not how many; "the 2nd one": which of those offered."""
    tok, following = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    last = i + 2 == len(toks) or (i + 2 < len(toks) and toks[i + 2].has("STOP", "FILLER", "COMMA"))
    if tok.ordinal and following is not None and following.text == "one" and last:
        return replace(tok, senses=sense("CHOICE", str(tok.ordinal)), ordinal=None, number=None)
    if tok.text == "one" and i and toks[i - 1].ordinal and (i + 1 == len(toks) or not toks[i + 1].has("UNIT")):
        return replace(tok, senses=sense("ONE"), number=None)
    which = tok.ordinal and following is not None and (following.has("ACT") or following.text == "time")
    if (which and (not i or toks[i - 1].number in (None, 1.0))) or (tok.text == "time" and i and toks[i - 1].ordinal):
        return replace(tok, senses=sense("FILLER"), ordinal=None)
    return tok


def drinkable(toks: Sequence[Tok], i: int) -> Tok:
    """ "60 litres of drinking water into fresh": water, not a drink."""
    tok = toks[i]
    if tok.text == "drinking water" and i and toks[i - 1].text == "of":
        return replace(tok, senses=sense("WATER"))
    after = toks[i + 1] if i + 1 < len(toks) else None
    asked = i and (toks[i - 1].has("QWORD", "ENOUGH") or toks[i - 1].text in ("any", "enough"))
    if (
        tok.text == "drinking water"
        and asked
        and after is not None
        and after.has("AUX", "BE", "LEFT", "LEFTOVER", "STOW", "HAVE")
    ):
        return replace(tok, senses=sense("WATERHERE", "water"))  # "how much drinking water is on board"
    return tok


def some(toks: Sequence[Tok], i: int) -> Tok:
    """ "some clothes", "a few dishes": no amount of water."""
    tok = toks[i]
    following = toks[i + 1] if i + 1 < len(toks) else None
    if tok.has("NUMBER") and following is not None and each_of_them(toks, i + 1):
        return tok  # "three bottles, 0.75 litre each": how many times that much
    if (
        tok.has("NUMBER")
        and following is not None
        and (i == 0 or not toks[i - 1].has("ACT") or toks[i - 1].senses["ACT"].form == "past")
    ):
        one = following.senses.get("ACT")
        sized = (
            following.has("VESSEL") and i + 3 < len(toks) and toks[i + 3].number is not None
        )  # "two jugs of 6 gallons"
        if one is not None and one.form == "thing" and tok.number != 1 and not following.has("UNIT") and not sized:
            return replace(
                tok, senses=sense("FILLER"), number=None
            )  # "washed two plates": how many things, not how many times
    if not tok.has("VAGUE") or following is None or following.has("WATER") or tok.text in ("much", "not much"):
        return tok
    if following.has("UNIT") and not (
        i and toks[i - 1].has("WASH") and any(other.has("UNIT") for other in toks[i + 2 :])
    ):
        return tok  # "some cups" of water; but "rinsed some cups with a quart"
    one = following.senses.get("ACT")
    if one is not None and one.form in ("thing", "noun", "past"):
        return replace(tok, senses=sense("FILLER"))
    return tok


def each_of_them(toks: Sequence[Tok], i: int) -> bool:
    """Whether token `i` is things that were counted, and what follows tells how much each of them took."""
    one, many = toks[i].senses.get("ACT"), toks[i - 1].number if i else None
    if one is None or one.form != "thing" or many is None or many < MANY or many != int(many) or toks[i].has("UNIT"):
        return False
    amount = next((j for j in range(i + 1, len(toks)) if toks[j].has("UNIT")), None)
    if amount is None or any(tok.has("ACT", "AND", "THEN") for tok in toks[i + 1 : amount]):
        return False
    return any(tok.has("EACH") and tok.text in ("each", "apiece", "a piece") for tok in toks[i + 1 : amount + 3])


MANY = 2


def plural(toks: Sequence[Tok], n: int, before: Tok | None) -> Tok:
    """Activities that can be counted ("two showers", "one load of laundry") get the class ACTS besides."""
    tok = toks[n]
    one = tok.senses.get("ACT")
    if one is not None and each_of_them(toks, n):
        return replace(tok, senses={**tok.senses, "ACTS": replace(one, cls="ACTS", form="plural")})
    single = one is not None and one.form == "noun" and before is not None and before.number == 1
    if one is None or (
        one.form != "plural" and not single and not ("load" in tok.text and before is not None and before.number)
    ):
        return tok
    return replace(tok, senses={**tok.senses, "ACTS": replace(one, cls="ACTS")})


_EVERY_ONE = {"both": 2.0, "all three": 3.0, "all four": 4.0, "all five": 5.0}


def several(toks: Sequence[Tok]) -> list[Tok]:
    """ "the two of us showered", "four kids washed their hands": how many did it."""
    found = _out_of_all(toks)
    for i in range(1, len(found) - 1):
        number, group, verb = found[i - 1], found[i], found[i + 1]
        if number.text in _EVERY_ONE and group.has("GROUP"):
            number = replace(number, number=_EVERY_ONE[number.text])
        if number.number is None or not (group.text == "of us" or group.has("GROUP")):
            continue
        if any(verb.has(cls) and verb.senses[cls].form == "past" for cls in ("ACT", "DO", "USE", "WASH")):
            found[i - 1] = replace(number, senses=sense("FILLER"), number=None)
            if i > 1 and found[i - 2].text == "all":
                found[i - 2] = replace(found[i - 2], senses=sense("FILLER"))
            found[i] = replace(group, senses=sense("PAIR", str(int(number.number))))
    return found


def _out_of_all(toks: Sequence[Tok]) -> list[Tok]:
    """ "two of the kids brushed their teeth": two kids."""
    found = list(toks)
    for i in range(len(found) - 2):
        group = i + 3 if found[i + 2].has("ART") and i + 3 < len(found) else i + 2
        if found[i].number is not None and found[i + 1].text == "of" and found[group].has("GROUP"):
            return [*found[: i + 1], *found[group:]]
    return found


def bowl(toks: Sequence[Tok], i: int) -> Tok:
    """ "Rover's bowl, 1 quart": a bowl that nobody washed is filled, for an animal."""
    tok = toks[i]
    if tok.text != "bowl" or "ACT" not in tok.senses or any(other.has("WASH", "DO") for other in toks):
        return tok
    return replace(tok, senses=sense("ACT", "pets", "thing"))


def did_wash(toks: Sequence[Tok], i: int) -> Tok:
    """ "did wash hands": washed them, no wash that was done."""
    tok = toks[i]
    washed = tok.has("ACT") and tok.has("WASH") and i + 1 < len(toks) and toks[i + 1].has("ACT")
    return replace(tok, senses={"WASH": tok.senses["WASH"]}) if washed else tok
