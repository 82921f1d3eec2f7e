"""What the neighbours of a token decide of months and verbs, numbers read to a meter, own names, and what words tell or only describe.

Like settle.py it only ever narrows. May import: tokens, people.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace
from grammar.settling.people import titled


def month_or_verb(toks: Sequence[Tok], i: int) -> Tok:
    """ "may" and "march" are months only beside a day or after "in", "until"."""
    tok = toks[i]
    following = toks[i + 1] if i + 1 < len(toks) else None
    if tok.text in ("after", "afterwards") and _trails(toks, i):
        return replace(tok, senses=sense("FILLER"))
    if tok.text == "second" and following is not None and following.has("TANK", "METER", "TANKWORD"):
        return replace(tok, senses=sense("SECOND"), ordinal=None)
    if tok.text == "no" and i and following is not None and _corrects(toks[i - 1], following):
        return replace(tok, senses=sense("FIX"))
    if (
        tok.text == "one"
        and i
        and toks[i - 1].has("TANK", "CHOICE", "WHICH")
        and not (following and following.has("UNIT"))
    ):
        return replace(tok, senses=sense("ONE"), number=None)
    if tok.text not in ("may", "march", "mar", "sat", "sun") or not tok.has("MONTH", "WEEKDAY"):
        return tok
    near = [toks[j] for j in (i - 1, i + 1) if 0 <= j < len(toks)]
    before = toks[i - 1] if i else None
    dated = any(other.has("NUMBER", "ORD") for other in near) or (
        before is not None and (before.has("UNTIL", "EDGE") or before.text in ("of", "in", "on", "since"))
    )
    if dated or tok.has("WEEKDAY"):
        return replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls in ("MONTH", "WEEKDAY")})
    return replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls != "MONTH"})


def _trails(toks: Sequence[Tok], i: int) -> bool:
    """ "shut the black valve after": nothing follows that it could be after, and no reading comes before it."""
    last = i + 1 == len(toks) or toks[i + 1].has("COMMA", "STOP", "AND")
    return (
        last
        and i > 1
        and not toks[i - 1].has("NUMBER", "UNIT", "FRACTION")
        and not any(tok.has("METER", "BEFORE") for tok in toks)
    )


def _corrects(before: Tok, after: Tok) -> bool:
    """ "two no three", "grey no black": the same sort of thing on both sides of a "no"."""
    if after.number is not None:
        return before.number is not None or before.has("UNIT")
    return any(before.has(cls) and after.has(cls) for cls in ("TANK", "ACT", "PERSON", "DAY", "WEEKDAY"))


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
                and not toks[j].has("COMMA", "NUMBER", "STOP", "AND", "HOLDS", "BE", "A", "PREP")
            ):
                j += 1
            if j > i + 1:
                text = " ".join(tok.text for tok in toks[i + 1 : j])
                text = titled(text) if toks[i].has("RIGNAME") and toks[i + 1].capital else text
                found.append(Tok(text, toks[i + 1].start, toks[j - 1].end, sense("NAME", text)))
                i = j - 1
        i += 1
    return found


_NOUNS = tuple(("ACT ACTS TANK TANKS TANKWORD GEAR METER HOOKUP SITE TOTE SERVICE NEWACT ADJ RINSE WATER").split())
_SAYS = ("UNIT", "NUMBER", "FRACTION")


def _a_wash(tok: Tok) -> bool:
    """ "a good wash", "a quick rinse"."""
    return tok.has("WASH") and tok.senses["WASH"].form == "base"


def adjective(toks: Sequence[Tok], i: int) -> Tok:
    """ "a hot shower" is a shower; "the shower was hot" is a remark, unless an amount comes with it."""
    tok = toks[i]
    if not tok.has("ADJ"):
        return tok
    others = {cls: one for cls, one in tok.senses.items() if cls != "ADJ"}
    following = toks[i + 1] if i + 1 < len(toks) else None
    if following is not None and (following.has(*_NOUNS) or following.has(*_SAYS) or _a_wash(following)):
        return tok
    if others:
        return replace(tok, senses=others)
    if following is not None and not following.has("COMMA", "STOP", "AND", "THEN", "PREP", "FILLER", "DAY", "SO"):
        return tok
    told = any(other.has("UNIT") for other in toks)
    return replace(tok, senses=sense("FILLER" if told else "REMARK"))


def a_lot(toks: Sequence[Tok], i: int) -> Tok:
    """ "dumped the lot" is all of it, "a lot" is much."""
    return (
        replace(toks[i], senses=sense("VAGUE")) if toks[i].text == "lot" and i and toks[i - 1].text == "a" else toks[i]
    )


def in_order(toks: Sequence[Tok], i: int) -> Tok:
    """ "emptied grey first, then black", "first I flushed": an order, no choice."""
    tok = toks[i]
    if tok.text == "first" and not i and len(toks) > 2 and toks[1].text in ("i", "we", "the"):
        return replace(tok, senses=sense("FILLER"), ordinal=None)
    beside = [toks[j] for j in (i - 1, i + 1) if 0 <= j < len(toks)]
    if tok.text == "first" and any(other.has("TANK") for other in beside) and any(other.has("DUMP") for other in toks):
        return replace(tok, senses=sense("FILLER"), ordinal=None)
    return tok


def _said(toks: Sequence[Tok]) -> bool:
    """Whether anything but little words stands there."""
    return any(not tok.has("FILLER", "SELF", "BE", "COMMA", "AND") for tok in toks)


def turns(toks: Sequence[Tok], i: int) -> Tok:
    """ "out Thursday" is leaving; "back to two people" is nobody's return."""
    tok = toks[i]
    following = toks[i + 1] if i + 1 < len(toks) else None
    if tok.text in ("out", "gone") and following is not None and following.has("UNTIL") and not _said(toks[:i]):
        return replace(tok, senses=sense("AWAY", "away", "ing"))  # "out till five"
    beyond = [other for other in toks[i + 2 : i + 4] if not other.has("ART")]
    onward = beyond[0] if following is not None and following.has("ON", "BY") and beyond else following
    if tok.text == "out" and onward is not None and onward.has("WEEKDAY", "DAY", "ORD", "ISODATE"):
        return replace(tok, senses=sense("LEAVE", "leave", "pres"))
    if tok.has("LATER") and tok.has("FUTURE", "ADJ", "AGO") and i and toks[i - 1].has("TIMEUNIT"):
        kept = ("LATER", "AGO") if tok.has("AGO") else ("LATER",)  # "leave a day later", "a day early"
        return replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls in kept})
    alone = following is None or following.has("COMMA", "STOP", "SEMI", "AND", "SCENE") or _reports(following)
    if tok.text == "back" and tok.has("BACK") and alone and all(other.has("FILLER") for other in toks[:i]):
        return replace(tok, senses={"BACK": tok.senses["BACK"]})  # "back, used the loo"
    rest = toks[i + 1 : i + 3]
    if tok.text in ("down to", "up to") and len(rest) == 2 and rest[0].has("NUMBER") and rest[1].has("PEOPLEWORD"):
        return replace(tok, senses=sense("FILLER"))  # "down to two people"
    if tok.has("BACK") and following is not None and following.text == "to":
        rest = toks[i + 2 : i + 4]
        if (rest and rest[0].number is not None) or any(other.has("ALONE") for other in rest):
            count = rest[0].number if rest else None
            counted = count is not None and count >= 1 and not any(other.has("UNIT", "RATEUNIT") for other in rest[1:])
            return replace(tok, senses=sense("PEOPLEWORD" if counted else "FILLER"))  # "back to two (people)"
    return tok


def _reports(tok: Tok) -> bool:
    """Whether a report of a use begins here ("back used the loo": a phone leaves the comma out)."""
    return tok.has("ACT") and tok.senses["ACT"].form == "past"


def perfect(toks: Sequence[Tok], i: int) -> Tok:
    """ "have left", "we have arrived": the verb that follows says it all."""
    tok = toks[i]
    if tok.text not in ("have", "has", "had", "we have", "have got") or i + 1 >= len(toks):
        return tok
    following = toks[i + 1]
    if any(one.form == "past" for one in following.senses.values()) and not following.has("BE"):
        return replace(tok, senses=sense("FILLER"))
    return tok


def noun_before(toks: Sequence[Tok], n: int) -> Tok | None:
    """The token before, but for what only describes ("a quick wash")."""
    while n and toks[n - 1].senses.keys() == {"ADJ"}:
        n -= 1
    return toks[n - 1] if n else None
