"""How many were at it: "a shower for three people", "I and two kids showered", "each kid had two baths", "2 gal a head".

May import: lexicon, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import lexicon
from grammar.lightclass import replace

CALLED_FOR = frozenset(("GROUP", "PEOPLEWORD", "KIN", "us", "of us", "head", "nose", "person"))

_BY_ONE = frozenset(("shower", "bath", "teeth", "handwash", "face", "shave", "toilet"))
"""What everybody does for himself, so that there are as many of it as people: a dinner for four is one dinner."""

_ME = frozenset(("i", "me", "myself"))
_OURS = frozenset(("my", "our", "the", "all", "those", "these", "his", "her", "their"))
_US = frozenset(("us", "we"))
_ONE_OF = frozenset(
    (
        "kid",
        "child",
        "boy",
        "girl",
        "person",
        "guest",
        "visitor",
        "adult",
        "grown-up",
        "grownup",
        "grandkid",
        "grandchild",
        "one",
    )
)


def heads(toks: Sequence[Tok]) -> list[Tok]:
    """The tokens with those who were at it counted: one token that says how many, or that it is not known."""
    return _several_together(_for_so_many(_each_of_several(_a_head(list(toks)))))


def _a_head(found: list[Tok]) -> list[Tok]:
    """ "2 gal a head", "a pint per person": for each."""
    for n in range(2, len(found)):
        noun, before = found[n], found[n - 1]
        at = n - 2
        while at > 0 and found[at].has("WATER", "OF"):
            at -= 1
        if noun.text in ("head", "nose", "person") and before.text in ("a", "per") and found[at].has("UNIT"):
            found[n - 1] = replace(before, senses=sense("FILLER"))
            found[n] = replace(noun, text="per person", senses=sense("EACH", "each"))
    return found


def _each_of_several(found: list[Tok]) -> list[Tok]:
    """ "each kid had two baths", "every child flushed twice": the kids, each of them."""
    for n in range(len(found) - 1):
        tok, who = found[n], found[n + 1]
        if tok.text in ("each", "every") and who.text in _ONE_OF and (who.has("KIN", "PEOPLEWORD") or _known_one(who)):
            aboard = who.text in ("person", "one")
            found[n] = replace(tok, text="each", senses=sense("EACH", "each"))
            found[n + 1] = replace(who, text="everyone" if aboard else f"{who.text}s", senses=sense("GROUP", "g"))
    return found


def _known_one(tok: Tok) -> bool:
    return tok.known and not tok.has("NUMBER")


def _for_so_many(found: list[Tok]) -> list[Tok]:
    """ "a shower for three people", "baths for my three kids"."""
    for n in range(1, len(found) - 2):
        act = found[n - 1]
        if not found[n].has("FOR") or not act.has("ACT") or act.senses["ACT"].value not in _BY_ONE:
            continue
        at = n + 1
        while at < len(found) and found[at].text in _OURS:
            at += 1
        many = _group_at(found, at)
        if many is not None and at + 1 < len(found):
            counted = replace(found[at], senses=sense("PAIR", str(many)), number=None)
            blank = [replace(tok, senses=sense("FILLER")) for tok in found[n:at]]
            return [*found[:n], *blank, counted, *found[at + 2 :]]
    return found


def _group_at(found: Sequence[Tok], at: int) -> int | None:
    """The number at this place, if it counts people."""
    if at + 1 >= len(found):
        return None
    number, group = found[at].number, found[at + 1]
    counts = group.has("GROUP", "PEOPLEWORD") or group.text == "of us"
    return int(number) if counts and number is not None and number == int(number) and 1 < number < 50 else None


def _several_together(found: list[Tok]) -> list[Tok]:
    """ "I and two kids showered", "Ana, Bo and three guests brushed their teeth": all of them. "Three guests and us": how many is not known."""
    n = 0
    while n < len(found):
        end, many, named = _list_of_people(found, n)
        if named and end < len(found) and _did(found, end):
            group = replace(found[n], end=found[end - 1].end, number=None)
            how_many = ("PAIR", str(many)) if many is not None else ("GROUP", "g")
            rest = [replace(tok, senses=sense("FILLER")) if tok.text == "all" else tok for tok in found[end:]]
            return [*found[:n], replace(group, text="they", senses=sense(*how_many)), *rest]
        n = max(end, n + 1)
    return found


def _list_of_people(found: Sequence[Tok], start: int) -> tuple[int, int | None, bool]:
    """Where a list of people that begins here ends, how many they are (None: not known), and whether it is one: of two parts or more, one
    of them counted."""
    n, many, known, parts, counted = start, 0, True, 0, False
    end = start
    while n < len(found):
        while n < len(found) and (found[n].text in _OURS or (found[n].has("ART") and not found[n].has("ACT"))):
            n += 1
        group = _group_at(found, n)
        if group is not None:
            many, counted, n = many + group, True, n + 2
        elif n < len(found) and found[n].text in _ME:
            many, n = many + 1, n + 1
        elif n < len(found) and found[n].text == "twins":
            many, counted, n = many + 2, True, n + 1
        elif n < len(found) and (found[n].text in _US or (found[n].has("GROUP") and not found[n].has("SELF"))):
            known, counted, n = False, counted or found[n].has("GROUP"), n + 1  # "the kids and I"
        elif n < len(found) and _somebody(found[n]):
            many, n = many + 1, n + 1
        else:
            break
        parts, end = parts + 1, n
        joiner = n
        while n < len(found) and (found[n].has("AND", "COMMA") or found[n].text in ("with", "plus")):
            n += 1
        if n == joiner:
            break
    return max(end, start + 1), many if known else None, parts > 1 and counted


def _somebody(tok: Tok) -> bool:
    """One person, by a name or by what they are."""
    if tok.has("PERSON", "NAMEWORD") or "KIN" in lexicon().senses(tuple(tok.text.split())):
        return True
    return not tok.known and tok.text.isalpha() and not lexicon().ordinary(tok.text)


def _did(found: Sequence[Tok], at: int) -> bool:
    """Whether a verb of what was done follows."""
    while at < len(found) and (found[at].has("AUX") or found[at].text in ("all", "each", "both", "just", "also")):
        if any(one.form == "past" and name in ("DO", "ACT") for name, one in found[at].senses.items()):
            return True
        at += 1
    if at >= len(found):
        return False
    verbs = ("ACT", "DO", "USE", "WASH")
    return any(name in verbs and one.form == "past" for name, one in found[at].senses.items())
