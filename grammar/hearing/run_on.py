"""Where a remark begins, or ends, in a story that is told without a mark: "washed the dog she was filthy four gallons".

Only places are found here; whether what stands between them is scenery is for bearing.py to judge. May import: tokens, lexicon.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok
from grammar.lexicon import lexicon

_WHO = frozenset("i we she he it they".split())
_BOUND = (
    "AND",
    "PREP",
    "OF",
    "TO",
    "AT",
    "IN",
    "ON",
    "FOR",
    "BY",
    "FROM",
    "BE",
    "AUX",
    "ART",
    "A",
    "WASH",
    "DO",
    "USE",
    "QWORD",
    "NEG",
    "IF",
)
"""After a word of these no clause of its own begins."""
_MODAL = frozenset("can could will would shall should may might must".split())
_MEASURED = ("NUMBER", "FRACTION", "UNIT")
# Before an amount these have it for their object, and "she was given four gallons" is no remark.
_HANDED = frozenset(
    "given offered handed sold told charged promised allowed allotted quoted billed lent loaned left owed".split()
)
_HOPES = frozenset(
    "hoping planning wanting thinking considering meaning expecting pretending wishing supposing saying asking".split()
)
_LEADS_IN = frozenset(
    "while when because since as after before once until till so that which who if than like whilst".split()
)
_PLACES = frozenset(("at", "over at", "round", "next"))
LONG = 4


def runs_on(toks: Sequence[Tok], i: int) -> bool:
    """Whether a remark begins here without a mark: "… she was filthy", "… listening to the rain"."""
    if not i or i + 1 >= len(toks) or toks[i - 1].has(*_BOUND) or toks[i - 1].text in _LEADS_IN:
        return False
    tok, after = toks[i], toks[i + 1]
    end = next((n for n in range(i + 1, len(toks)) if toks[n].has(*_MEASURED, "COMMA", "STOP")), len(toks))
    if end < len(toks) and toks[end].has(*_MEASURED):
        end -= toks[end - 1].has("A", "ABOUT")
        if not _closed(toks[i:end]):
            return False
    said = toks[i:end]
    if any(one.text in _MODAL or one.text in _HANDED or one.text in _PLACES or one.has("ELSEWHERE") for one in said):
        return False  # "showered we were at the gym": whose water it was
    if _participle(tok):
        return toks[i - 1].known
    if tok.text.split()[0] == "it" and tok.has("BE"):
        return len(said) > 1
    if tok.text not in _WHO:
        return False
    done = toks[i + 2] if i + 2 < len(toks) else None
    if after.text == "had" and done is not None and any(one.form == "past" for one in done.senses.values()):
        return False  # "… I had showered"
    return after.has("BE", "SCENE") or (after.text in ("had", "has", "got") and len(said) > LONG)


def _closed(said: Sequence[Tok]) -> bool:
    """Whether the words before an amount need none: no verb stands last that would have it for its object."""
    return bool(said) and not said[-1].has(*_BOUND, "SELF", "PRONOUN", "IT") and not said[-1].text.endswith("ing")


def _somebody(tok: Tok) -> bool:
    if tok.has("PERSON", "NAMEWORD", "KIN", "VISITOR"):
        return True
    return not tok.known and tok.text.isalpha() and not lexicon().ordinary(tok.text)


def _participle(tok: Tok) -> bool:
    """ "listening …": what somebody was doing; "poor thing", "a wedding" are nouns."""
    return (
        not tok.known and tok.text.endswith("ing") and lexicon().ordinary(tok.text) and tok.text not in _HOPES | _NOUNS
    )


_NOUNS = frozenset(
    "thing something anything nothing everything morning evening spring string ring king wing swing ceiling building wedding meeting".split()
)


_IS = frozenset("is are was were am".split())


def starts_anew(part: Sequence[Tok], toks: Sequence[Tok], i: int) -> bool:
    """Whether the next clause begins here without a mark: "my back is killing me | had a long bath", "… covered in sand | i rinsed …"."""
    tok, before = toks[i], toks[i - 1] if i else None
    if not part or before is None or before.has(*_BOUND, "SELF", "PRONOUN", "PERSON", "KIN", "NAMEWORD", "THEN"):
        return before is not None and tok.text in ("i", "we") and before.has("PRONOUN") and bool(part)
    said = {word for one in part for word in one.text.split()}
    if tok.text in ("i", "we"):
        return len(part) > 1
    if any(_somebody(one) for one in part):
        return False  # "Ana is in bed had a shower": who had it?
    deed = any(one.form == "past" and cls in ("DO", "WASH", "ACT", "USE") for cls, one in tok.senses.items())
    return (
        deed
        and not said.isdisjoint(_IS)
        and len(part) > 2
        and not part[0].has("ACT", "TANK", "METER", "IF", "QWORD", "AUX")
    )


# ---------------------------------------------------------------- a remark beside a report that nothing parts from it

_STARTS = ("ART", "SELF", "KIN", "GROUP", "PRONOUN", "OTHER", "NAMEWORD", "PERSON")
_CUTS = 6
_ALSO_WHY = frozenset(
    "but so while whilst when because as since cos cause though although before after until till".split()
)


def places_to_cut(clause: Sequence[Tok]) -> list[int]:
    """Where a remark may begin inside a clause without a mark: before whoever or whatever it speaks of."""
    found = [
        n
        for n in range(1, len(clause))
        if (
            clause[n].has(*_STARTS) and not clause[n - 1].has("PREP", "AT", "IN", "ON", "OF", "BY", "FROM", "FOR", "TO")
        )
        or clause[n].text in _ALSO_WHY
    ]
    return found[:_CUTS]


_BEGINS = ("TANK", "TANKS", "METER", "SENSOR", "PRESSURE")
_HANGS = tuple("PREP ART A AT IN ON OF BY FROM FOR TO ADJ POSS AND LOOK DO PUT FILL DUMP".split())


def places_to_begin(clause: Sequence[Tok]) -> list[int]:
    """Where a report may begin behind a remark without a mark: before a tank or a meter that is the subject of what follows."""
    found = []
    for n in range(2, len(clause) - 1):
        first = n - 1 if clause[n - 1].has("ART") else n
        if clause[n].has(*_BEGINS) and first > 1 and not clause[first - 1].has(*_HANGS) and _says_how(clause[n + 1 :]):
            found.append(first)
    return found[:_CUTS]


def _says_how(rest: Sequence[Tok]) -> bool:
    """Whether a verb or a number follows a tank or a meter: "grey is half full", "meter 28.1"."""
    after = next((tok for tok in rest if not tok.has("TANKWORD", "FILLER")), None)
    return after is not None and after.has("BE", "POSS", "SAYS", "ISAT", "NUMBER", "FRACTION", "FULLNESS", "AUX")
