"""What the neighbours decide where several people shared, or each had, the same: names with their amounts, "the two of us".

May import: lexicon, settle_lists, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import lexicon
from grammar.lightclass import replace
from grammar.settling.settle_lists import LEAST_SHARES, shares


def names_and_numbers(toks: Sequence[Tok]) -> list[Tok]:
    """ "Ana 2 gal, Joss 3 gal showers", "showers ana two joss three": each had one, and so much."""
    core = [tok for tok in toks if not tok.has("STOP")]
    if len(core) < 2 * LEAST_SHARES + 1 or any(tok.has("COLON", "QMARK", "NEG", "FUTURE", "IF") for tok in core):
        return list(toks)
    for head, rest in ((core[0], core[1:]), (core[-1], core[:-1])):
        one = head.senses.get("ACT")
        if one is None or one.form not in ("noun", "plural") or not _a_name(rest[0]):
            continue
        told = shares(rest)
        if len(told) < LEAST_SHARES or not all(_a_name(who) for who, _ in told):
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
    return not tok.known and tok.text.isalpha() and tok.text not in lexicon().english


def out_of_many(toks: Sequence[Tok], i: int) -> Tok:
    """ "2 of 3 showers": how many of them is not told, nor of what; no amount of water."""
    before, after = toks[i - 1] if i else None, [tok for tok in toks[i + 1 : i + 4] if not tok.has("ART")]
    counted = before is not None and before.number is not None and len(after) > 1 and after[0].number is not None
    return replace(toks[i], senses={}) if counted and after[1].has("ACT") and not after[1].has("UNIT") else toks[i]


VISITS = frozenset("flush wee pee poo tinkle".split())


def one_visit(toks: Sequence[Tok]) -> list[Tok]:
    """ "loo flush", "quick wee": said by itself it is one that was, and nobody measures it."""
    core = [tok for tok in toks if not tok.has("STOP", "ADJ", "A", "FILLER") or tok.has("ACT")]
    if len(core) != 1 or not core[0].has("ACT") or core[0].text.split()[-1] not in VISITS:
        return list(toks)
    act = core[0]
    one = Tok("one", act.start, act.start, sense("NUMBER"), number=1.0)
    kind = {"ACT": act.senses["ACT"], "ACTS": replace(act.senses["ACT"], cls="ACTS")}
    return [one, replace(act, senses=kind)]


OF_US = frozenset(("of us", "us", "both of us", "lot of us", "whole lot of us"))
_COUNTED = ("pair", "couple", "lot", "two", "three", "four", "five", "six", "both", "all")


def of_us(toks: Sequence[Tok]) -> list[Tok]:
    """ "made coffee for the two of us": who drank it; "showers, five gallons the pair of us": all of them together; "us two showered"."""
    found = list(toks)
    for i, tok in enumerate(toks):
        if tok.text == "us" and i + 1 < len(toks) and toks[i + 1].number is not None and _verb(toks, i + 2):
            found[i] = replace(tok, senses=sense("FILLER"))
            found[i + 1] = replace(toks[i + 1], senses=sense("PAIR", str(int(toks[i + 1].number or 2))), number=None)
        pair = tok.text == "us" and i and toks[i - 1].text in ("pair of", "couple of")
        if tok.text not in OF_US or (tok.text == "us" and not pair):
            continue
        start = i
        while start and (
            toks[start - 1].text in _COUNTED or toks[start - 1].number is not None or toks[start - 1].has("ART")
        ):
            start -= 1
        if start == i and tok.text == "of us" and (not i or toks[i - 1].text != "for both"):
            continue
        before = toks[start - 1] if start else None
        measured = any(other.has("UNIT") for other in toks)
        if before is None or not measured:
            continue
        if before.text == "for both" and start > 1 and toks[start - 2].has("ACT"):
            found[start - 1 : i + 1] = [replace(other, senses=sense("FILLER")) for other in toks[start - 1 : i + 1]]
        elif before.text == "for" and start > 1 and toks[start - 2].has("ACT"):
            found[start - 1 : i + 1] = [
                replace(other, senses=sense("FILLER"), number=None) for other in toks[start - 1 : i + 1]
            ]
        elif before.has("UNIT") or before.text == "between":
            found[start : i + 1] = [
                replace(other, senses=sense("FILLER"), number=None) for other in toks[start : i + 1]
            ]
            found[i] = replace(tok, senses=sense("TOTAL", "total"))
    return found


def for_so_many(toks: Sequence[Tok]) -> list[Tok]:
    """ "dishes for 6 people used 3 gallons": whose dishes, and no number of gallons."""
    found = list(toks)
    for i in range(2, len(toks)):
        number = toks[i - 1]
        led = i > LED and toks[i - 2].text == "for" and number.number is not None and toks[i - 3].has("ACT")
        if led and toks[i].has("PEOPLEWORD", "GROUP", "GUESTS") and any(tok.has("UNIT") for tok in toks[i:]):
            found[i - 2 : i + 1] = [replace(one, senses=sense("FILLER"), number=None) for one in toks[i - 2 : i + 1]]
    return found


LED = 2


def _verb(toks: Sequence[Tok], i: int) -> bool:
    return i < len(toks) and any(
        toks[i].has(cls) and toks[i].senses[cls].form == "past" for cls in ("ACT", "DO", "USE", "WASH")
    )
