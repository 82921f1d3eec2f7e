"""Words that stand loose beside a report: "roughly" at its end, why it was done, what it is announced with. Only ever narrows.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

_MEASURES = ("NUMBER", "FRACTION", "UNIT")
_ENDS = ("STOP", "COMMA", "SEMI")


def about_so_much(toks: Sequence[Tok]) -> list[Tok]:
    """ "3ish gallons", "roughly 3ish gallons", "shower 2 gallons, roughly": one "about", and before its number."""
    found = list(toks)
    for i in range(1, len(found) - 1):
        if found[i].text in _BEHIND and found[i - 1].has("NUMBER") and found[i + 1].has("UNIT"):
            led = i > 1 and found[i - 2].has("ABOUT")
            found[i - 1 : i + 1] = [replace(found[i], senses=sense("FILLER" if led else "ABOUT")), found[i - 1]]
    found = [tok for n, tok in enumerate(found) if not (n and tok.text in _GUESSES and found[n - 1].has("ABOUT"))]
    end = len(found)
    while end and found[end - 1].has("STOP"):
        end -= 1
    loose = end > 3 and found[end - 1].has("ABOUT") and found[end - 2].has("COMMA") and found[end - 3].has("UNIT")
    if not loose or not found[end - 4].has("NUMBER"):
        return found
    return [*found[: end - 4], found[end - 1], *found[end - 4 : end - 2], *found[end:]]


_GUESSES = ("i guess", "i think", "i reckon", "i believe", "i suppose", "i would say")
_BEHIND = ("ish", "odd", "or so")


def why_so(toks: Sequence[Tok]) -> list[Tok]:
    """ "low on water, so filled fresh": the reason goes; nothing of ours is named in it."""
    place = next((n for n, tok in enumerate(toks) if tok.text in _SO and n), None)
    if place is None or place + 1 >= len(toks):
        return list(toks)
    head, tail = toks[:place], toks[place + 1 :]
    first = next((tok for tok in tail if not tok.has("SELF", "PERSON", "FILLER", "ART")), tail[0])
    over = any(first.has(cls) and first.senses[cls].form == "past" for cls in _DEEDS)
    idle = any(tok.has("REMARK") for tok in head) and all(
        tok.has("REMARK", "WATER", "FILLER", "SELF", "BE", "COMMA", "ART", "ADJ", "AUX", "QSOFT", "SCENE", "AND", "DAY")
        for tok in head
    )
    return list(tail) if over and idle else list(toks)


_SO = ("so", "and so", "so then")
_DEEDS = ("ACT", "WASH", "DO", "DUMP", "FILL", "PUT", "HAUL")


def announced(toks: Sequence[Tok], i: int) -> Tok:
    """ "quick one, shower 2 gal": a question only if one follows."""
    if toks[i].text not in ANNOUNCED:
        return toks[i]
    rest = [tok for tok in toks[i + 1 :] if not tok.has("COMMA", "COLON", "FILLER")]
    asks = (
        any(tok.has("QMARK") for tok in rest)
        or not rest
        or rest[0].has("QWORD", "AUX", "QLEAD", "LEFT", "STATUS", "DUE")
    )
    told = any(tok.has(*_MEASURES) for tok in rest) or any(
        one.form == "past" for tok in rest for one in tok.senses.values()
    )
    return replace(toks[i], senses=sense("FILLER")) if told and not asks else toks[i]


ANNOUNCED = frozenset(("quick one", "quick question", "quick q"))


def and_one_more(toks: Sequence[Tok]) -> list[Tok]:
    """ "shower 2 gal, and another shower 3 gal": two of them, and nothing repeated."""
    found: list[Tok] = []
    for i, tok in enumerate(toks):
        after = toks[i + 1] if i + 1 < len(toks) else None
        noun = after is not None and after.has("ACT") and after.senses["ACT"].form == "noun"
        told = any(other.has(*_MEASURES) for other in toks[i + 2 :])
        if noun and tok.text in ("and another", "and one more") and (i or told):
            found.append(replace(tok, text="and", senses=sense("AND", "and")))
        elif i and noun and tok.text in ("another", "one more") and toks[i - 1].has("AND", "COMMA", "THEN"):
            found.append(replace(tok, senses=sense("FILLER"), number=None))
        else:
            found.append(tok)
    return found


AFTERWARDS = frozenset(("after", "afterwards", "then after"))


def afterwards(toks: Sequence[Tok], i: int) -> Tok:
    """ "mopped up after with one gallon", "did the dishes after, 2 gal": in what order, where no meter is spoken of."""
    if toks[i].text not in AFTERWARDS:
        return toks[i]
    last = i + 1 == len(toks) or toks[i + 1].has("COMMA", "STOP", "AND") or toks[i + 1].text == "with"
    done = i and (
        toks[i - 1].has("ACT", "ACTS", "PARTICLE") or any(one.form == "past" for one in toks[i - 1].senses.values())
    )
    measured = any(tok.has("METER", "SAYS", "BEFORE") for tok in toks)
    return replace(toks[i], senses=sense("FILLER")) if last and done and not measured else toks[i]


def made_to(toks: Sequence[Tok]) -> list[Tok]:
    """ "mom made me do the dishes": done by the one who speaks."""
    found = list(toks)
    for i in range(1, len(found) - 2):
        who, verb = found[i + 1], found[i + 2]
        if (
            found[i].text not in ("made", "had")
            or who.text not in ("me", "us")
            or found[i - 1].text in ("not", "never")
        ):
            continue
        doing = next(
            (cls for cls in ("DO", "WASH", "DUMP", "FILL") if verb.has(cls) and verb.senses[cls].form == "base"), None
        )
        if doing is None or any(tok.has("COMMA", "AND", "STOP") for tok in found[:i]):
            continue
        past = "did" if verb.text == "do" else verb.text
        done = replace(verb, text=past, senses=sense(doing, verb.senses[doing].value, "past"))
        return [
            replace(who, text="i" if who.text == "me" else "we", senses=sense("SELF", "self")),
            done,
            *found[i + 3 :],
        ]
    return found


def done_that_was(toks: Sequence[Tok]) -> list[Tok]:
    """ "the shower is done that was eight litres": done, and how much it was."""
    for i in range(1, len(toks) - 2):
        if toks[i].text != "done that" or toks[i + 1].text != "was" or toks[i + 2].number is None:
            continue
        done, was = toks[i], toks[i + 1]
        return [
            *toks[:i],
            replace(done, text="done", senses=sense("DO", "do", "past")),
            replace(done, text=",", senses=sense("COMMA")),
            replace(was, text="that was", senses={**sense("BE"), **sense("AMEND")}),
            *toks[i + 2 :],
        ]
    return list(toks)


TOLD_TO = frozenset("made making makes told telling got getting has had asked reminded nagged".split())
_LOGS = frozenset("log record write note enter report book".split())
_WITHIN = 7  # tokens


def made_to_log(toks: Sequence[Tok]) -> list[Tok]:
    """ "my mom's making me log this, I took a shower": who wants it written down has not done it."""
    verb = next((n for n in range(1, min(_WITHIN, len(toks) - 2)) if toks[n].text in TOLD_TO), 0)
    if not verb or toks[verb + 1].text not in ("me", "us"):
        return list(toks)
    end = verb + 2
    while end < len(toks) and (
        toks[end].text in ("to", "it", "this", "that", "down", "all") or toks[end].has("FILLER")
    ):
        end += 1
    said = [tok.text for tok in toks[verb + 2 : end]]
    head = all(
        tok.has("FILLER", "ART", "BE", "POSS", "AUX", "KIN", "PERSON", "NAMEWORD", "OTHER") or not tok.known
        for tok in toks[:verb]
    )
    logs = any(not _LOGS.isdisjoint(text.split()) for text in said)
    rest = toks[end:]
    rest = rest[1:] if rest and rest[0].has("COMMA", "STOP", "COLON") else rest
    own = bool(rest) and rest[0].has("SELF")
    return list(rest) if head and logs and own else list(toks)


def night_of(toks: Sequence[Tok], i: int) -> Tok:
    """ "pasta night, 1.5 gal": what there was to eat, and no hour."""
    tok, before = toks[i], toks[i - 1] if i else None
    eaten = before is not None and before.has("ACT") and before.senses["ACT"].form == "thing"
    last = i + 1 == len(toks) or toks[i + 1].has("COMMA", "COLON", "NUMBER", "FRACTION")
    return replace(tok, senses=sense("FILLER")) if tok.text == "night" and eaten and last and i == 1 else tok


def forgotten(toks: Sequence[Tok], i: int) -> Tok:
    """ "forgot, shower last night 2 gal", "forgot: dishes 1 gal": to tell of it."""
    tok = toks[i]
    led = tok.text in FORGOT and not any(other.known and not other.has("FILLER", "SELF") for other in toks[:i])
    marked = led and i + 2 < len(toks) and toks[i + 1].has("COMMA", "COLON")
    return replace(tok, senses=sense("FILLER")) if marked and any(other.has("UNIT") for other in toks[i:]) else tok


FORGOT = frozenset(("forgot", "forgotten", "nearly forgot", "almost forgot"))


def all_bathed(toks: Sequence[Tok]) -> list[Tok]:
    """ "bathed all three kids", "kids are all bathed", "kids all bathed": the children, and no tanks."""
    found = list(toks)
    if len(found) > 1 and found[0].text == "all" and found[1].has("ACT") and found[1].senses["ACT"].form == "past":
        return found[1:]  # "all showered, 2 gal"
    for i, tok in enumerate(found):
        if not tok.has("TANKS") or tok.text.split()[0] not in ("all", "both"):
            continue
        after = found[i + 1] if i + 1 < len(found) else None
        if (
            after is not None
            and after.has("GROUP", "KIN")
            and i
            and any(one.form == "past" for one in found[i - 1].senses.values())
        ):
            return [*found[:i], *found[i + 1 :]]
        if after is not None and after.has("ACT") and after.senses["ACT"].form == "past" and i > 1:
            head = i - 1 if found[i - 1].has("BE") else i
            if found[head - 1].has("GROUP", "KIN") or found[head - 1].text in ("i", "i am"):
                return [*found[:head], *found[i + 1 :]]
    return found


def numbered(toks: Sequence[Tok]) -> list[Tok]:
    """ "shower number two, 2 gal": which of the day, and no amount."""
    return [
        tok
        for n, tok in enumerate(toks)
        if not (
            n
            and tok.has("CHOICE")
            and tok.text.startswith("number ")
            and toks[n - 1].has("ACT")
            and _measured(toks[n + 1 :])
        )
    ]


def _measured(toks: Sequence[Tok]) -> bool:
    return any(tok.has("UNIT") for tok in toks)


def guessed(toks: Sequence[Tok], i: int) -> Tok:
    """ "shower 2 gal I guess": about so much; "I guess we can make it" leads a question."""
    tok = toks[i]
    last = i + 1 >= len(toks) or toks[i + 1].has("STOP", "COMMA")
    return (
        replace(tok, senses=sense("ABOUT", "about"))
        if tok.text == "i guess" and i and last and _measured(toks[:i])
        else tok
    )


def birds(toks: Sequence[Tok], i: int) -> Tok:
    """ "filled the bird bath, 1 gal": the birds' own; "had a bird bath" is a quick wash."""
    filled = toks[i].text in ("bird bath", "birdbath") and any(tok.has("FILL", "PUT") for tok in toks[:i])
    return replace(toks[i], senses=sense("ACT", "outside", "thing")) if filled else toks[i]


def my_bro(toks: Sequence[Tok], i: int) -> Tok:
    """ "my bro showered": a brother; "showered, bro" is said to whoever listens."""
    own = toks[i].text == "bro" and i and toks[i - 1].text in ("my", "our")
    return replace(toks[i], senses=sense("OTHER")) if own else toks[i]


def of_the_land(toks: Sequence[Tok], i: int) -> Tok:
    """ "washed the dog with 5 gal from the creek": no water of ours; "put 5 gal from the creek in fresh", "back from the creek" say where."""
    tok = toks[i]
    if not tok.has("LANDWATER"):
        return tok
    taken = i and toks[i - 1].has("UNIT", "WATER") and any(other.has("ACT") for other in toks[:i])
    ours = any(
        other.has("TANK", "PUT", "FETCHED", "HAUL") or other.text.startswith(("filled fresh", "topped"))
        for other in toks
    )
    if taken and not ours:
        return replace(tok, senses=sense("ELSEWHERE", "outside"))
    return replace(tok, senses=sense("FILLER" if ours else "SCENE"))
