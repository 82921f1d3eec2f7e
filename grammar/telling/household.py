"""Who is aboard, told by naming them: "there's me, my wife Dana and two kids", "family of five", "two adults and a baby"; and who has come or left.

A sentence of nothing else is read whole; a name counts only after what it is the name of, or in a list of names.
May import: intents, lexicon, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lexicon import lexicon

_ME = frozenset(("me", "myself", "i"))
_EMPTY = frozenset("OF FILLER ART A AND COMMA ADJ STOP THEREARE BUT PREP WITH WHATABOUT BE AUX YES".split())
_GROUPS = frozenset(
    ("kids children boys girls grandkids grandchildren twins teenagers teens lads little ones dogs").split()
) | {"little ones"}
_SMALL = frozenset(("baby toddler kid child boy girl infant newborn teenager").split())
_ANIMALS = frozenset(("dog dogs cat cats puppy").split())
_HEADS = frozenset(("adults adult kids children babies toddlers grown-ups grownups teens teenagers boys girls").split())


def _is_kin(tok: Tok) -> bool:
    """One of a household, named by what they are; whatever the neighbours have made of the word since."""
    return tok.text in _SMALL or "KIN" in lexicon().senses(tuple(tok.text.split()))


def household(toks: Sequence[Tok]) -> Intent | None:
    """How many are aboard, where a sentence names them and says nothing else."""
    if any(word in ("was", "were") for tok in toks for word in tok.text.split()):
        return None  # "there were four of us": how many are aboard now is not told
    alone = _us_alone(toks)
    if alone is not None:
        return say.Party(people=alone)
    toks, called = _called(toks)
    if not (called or _speaks_of_us(toks)):
        return None
    kept = [tok for tok in toks if not _light(tok)]
    if not kept:
        return None
    total, rest = _total(kept)
    named = _counted(rest)
    if named is None:
        return None
    if total is not None:
        return say.Party(people=total)
    if not called and not any(_surely_one_of_us(tok) for tok in kept):
        return None  # "just messing", "we are knackered and starving"
    if all(tok.number is not None or tok.text in _GROUPS for tok in kept):
        return None  # "three kids": how many are aboard in all is not said
    if any(tok.text == "us" for tok in kept):
        return None  # "us and two kids": how many "us" are is not said
    return say.Party(people=named) if named > 0 else None


def _us_alone(toks: Sequence[Tok]) -> float | None:
    """ "Just us two again", "only the two of us now", "back to just us two": how many are left."""
    words = [tok.text for tok in toks if not tok.has("COMMA", "STOP")]
    number = next((tok.number for tok in toks if tok.number is not None), None)
    spoken = " ".join(words).split()
    meant = "us" in spoken and spoken[0] not in ("is", "are") and not {"just", "only", "back"}.isdisjoint(spoken)
    rest = [tok for tok in toks if tok.number is None and not set(tok.text.split()) <= _ALONE]
    return number if meant and number is not None and number == int(number) and 0 < number < 20 and not rest else None


_ALONE = frozenset("it is 's its we are just only us back to down again now the of once more , .".split())


def _surely_one_of_us(tok: Tok) -> bool:
    """Whether a word can be nothing but one of the household, so that the strange words beside it may be names too."""
    named = tok.has("PERSON", "NAMEWORD") or (not tok.known and tok.capital)
    return named or tok.number is not None or tok.text in _ME or tok.has("ALONE") or _is_kin(tok)


_CALLED = (("our", "names", "are"), ("our", "names", "'re"), ("we", "are", "called"), ("we", "are", "named"))


def _called(toks: Sequence[Tok]) -> tuple[Sequence[Tok], bool]:
    """ "our names are Ada and Finn": the names; and whether names of us are what it tells."""
    if len(toks) < 4 or tuple(tok.text for tok in toks[:3]) not in _CALLED:
        return toks, False
    names = [tok for tok in toks[3:] if not _light(tok)]
    return (toks[3:], True) if all(_name(tok) for tok in names) else (toks, False)


def _light(tok: Tok) -> bool:
    return (
        tok.text not in _ME
        and not tok.text.startswith("family")
        and (tok.text == "plus" or (tok.known and tok.senses.keys() <= _EMPTY))
    )


_OPENING = _HEADS | {"we", "we are", "just", "just me", "of us", "family"}


def _speaks_of_us(toks: Sequence[Tok]) -> bool:
    """ "There's …", "we are …", "just …", "family of …", "two of us", or heads that are counted."""
    texts = [tok.text for tok in toks]
    if _OPENING.isdisjoint(texts) and not toks[0].has("THEREARE") and not texts[0].startswith("it"):
        return False
    if any(text in ("was", "were", "it was", "not", "no", "?") for text in texts) or any(
        tok.has("QMARK", "NEG", "QWORD") for tok in toks
    ):
        return False
    opens = (
        toks[0].has("THEREARE")
        or texts[:2] == ["we", "are"]
        or texts[0] == "we are"
        or "just" in texts[:3]
        or "just me" in texts[:3]
        or (texts[0].startswith("it") and any(text in _ME for text in texts[1:4]) and "and" in texts)
    )
    of_us = any(tok.text == "of us" and n and toks[n - 1].number is not None for n, tok in enumerate(toks))
    family = any(text in _PARTIES and texts[n + 1 : n + 2] == ["of"] for n, text in enumerate(texts))
    heads = any(tok.text in _HEADS and n and toks[n - 1].number is not None for n, tok in enumerate(toks))
    return opens or of_us or family or heads


_PARTIES = ("family", "party", "crew", "group", "team", "household")


def _total(toks: list[Tok]) -> tuple[float | None, list[Tok]]:
    """The number that was said of all ("five of us", "family of five"), and what stands beside it."""
    for n, tok in enumerate(toks):
        after = toks[n + 1] if n + 1 < len(toks) else None
        if tok.number is not None and after is not None and after.text == "of us":
            return tok.number, [*toks[:n], *toks[n + 2 :]]
        if tok.text in _PARTIES and after is not None and after.number is not None:
            return after.number, [*toks[:n], *toks[n + 2 :]]
    return None, toks


def _counted(toks: Sequence[Tok]) -> float | None:
    """How many the words name; None if one of them is none of the household."""
    count, names_follow, n = 0.0, False, 0
    while n < len(toks):
        tok, after = toks[n], toks[n + 1] if n + 1 < len(toks) else None
        if (
            tok.number is not None
            and tok.number == int(tok.number)
            and after is not None
            and (after.text in _HEADS or after.has("PEOPLEWORD"))
        ):
            count += tok.number
            names_follow, n = True, n + 2
            continue
        if tok.text in _ME or _is_kin(tok):
            count += 1
            names_follow = tok.text not in _ME
        elif tok.text in _ANIMALS:
            names_follow = True
        elif tok.text in _GROUPS:
            following = _names(toks[n + 1 :])
            if not following:
                return None
            count += following
            n += following
        elif tok.has("ALONE") and tok.text.endswith(("me", "myself")):
            count += 1  # "just me and my wife"
        elif tok.text in ("we", "us", "'s", "we are", "are"):
            pass
        elif _name(tok):
            count += 0 if names_follow else 1
            names_follow = names_follow and after is not None and _name(after)
        else:
            return None
        n += 1
    return count


def is_one_of_us(tok: Tok) -> bool:
    """Whether a word is somebody: named, or by what they are."""
    return _is_kin(tok) or _name(tok)


def _name(tok: Tok) -> bool:
    """A name: a word that is nothing else here, or one known as a name."""
    if tok.has("PERSON", "NAMEWORD") or (tok.has("MONTH") and tok.capital):
        return True
    plain = lexicon().frequent(tok.text) or tok.text.endswith("ing")
    return not tok.known and tok.text.isalpha() and (tok.capital or not plain)


def _names(toks: Sequence[Tok]) -> int:
    found = 0
    while found < len(toks) and _name(toks[found]):
        found += 1
    return found


_HELPING = frozenset(("'s have has are is all both now just").split())
_THOSE = _GROUPS | {"they", "guests", "visitors", "and"}
_WENT = frozenset(("went gone headed left driven").split())


_LEFT = ("left", "gone", "departed", "home", "arrived", "here", "came", "up", "joined")
_CAME = tuple(
    said.split() for said in ("arrived", "got here", "here", "came", "came over", "showed up", "turned up", "joined us")
)
_GONE = ("left", "gone", "home", "headed off", "went back")


def left_us(toks: Sequence[Tok]) -> Intent | None:
    """ "Sarah went home", "gran's gone", "they left this morning", "Joss arrived at noon": fewer or more are aboard; how many is to be asked."""
    texts = " ".join([tok.text for tok in toks])
    if not any(word in texts for word in _LEFT):
        return None
    kept = [tok for tok in toks if not (tok.known and tok.senses.keys() <= {"FILLER", "ART", "STOP", "ADJ"})]
    if not kept or any(tok.has("NEG", "QWORD", "QMARK", "FUTURE", "NUMBER", "UNIT", "UNTIL") for tok in kept):
        return None
    if any(tok.has("DAY") and tok.senses["DAY"].value.isdigit() and tok.senses["DAY"].value != "0" for tok in kept):
        return None  # "Ana is gone tomorrow"
    if kept[0].has("SCENE") and kept[0].senses["SCENE"].value == "guests":
        more = any(not tok.has("DAY", "PART", "AGO", "LATER", "PAST") for tok in kept[1:])
        return say.Party(people=None) if kept[0].text.endswith(_GONE) and not more else None  # "the guests have gone"
    who = 0
    while who < len(kept) and (kept[who].text in _THOSE or _is_kin(kept[who]) or _name(kept[who])):
        who += 1
    said = " ".join(tok.text for tok in kept[who:] if not tok.has("DAY", "PART", "AGO", "AT", "CLOCK")).split()
    rest = [word for word in said if word not in _HELPING]
    leaves = rest in (["left"], ["gone"], ["departed"], ["left", "us"], *_CAME) or (
        rest[1:] == ["home"] and rest[0] in _WENT
    )
    return say.Party(people=None) if who and leaves else None
