"""What a phone hears, evened out before anything is looked up: hesitations dropped, little words and homophones put right where the
words beside them leave one reading. May import: hear.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.hear import Word
from grammar.lightclass import replace

_HESITATIONS = frozenset(("um umm uh uhm uhh er erm hmm hm mm mmm eh ah ahem").split())
_UNITS = frozenset(
    (
        "gallon gallons gal gals litre litres liter liters quart quarts qt pint pints cup cups ounce ounces "
        "oz l psi imperial percent bar minute minutes min mins hour hours day days night nights week weeks "
        "people persons guests adults kids showers flushes loads baths totes degrees point times pounds lb"
    ).split()
)
_DETERMINERS = frozenset(("the a an my our his her their this that").split())
_ONWARD = frozenset(
    (
        "monday tuesday wednesday thursday friday saturday sunday tomorrow today noon midnight midday city "
        "mains hookup brim top full zero pump tank fresh grey gray black rinse sewer"
    ).split()
)
_STEMS = frozenset(
    (
        "do be have take make get dump empty fill wash rinse brush shower shave flush clean cook use go leave "
        "stay see drain haul tote sanitise sanitize check change close open hook pack move put give log add "
        "record"
    ).split()
)
_NOUNS = frozenset(
    (
        "cooking drinking laundry coffee tea dishes washing hands teeth me us him them it breakfast dinner "
        "lunch supper everyone hair"
    ).split()
)
_CHANGES = frozenset(("switch switched change changed convert converted go went over back").split())
_TANKISH = frozenset(["tank", "tanks", "water", "valve", "waste", "holding"])
_WEEKISH = frozenset(("this next last a per every one the").split())

# Little words mistyped or cut short; too short to be mended by their letters.
_SLIPS = {
    "teh": "the", "hte": "the", "tha": "the", "adn": "and", "nad": "and", "usd": "used", "haf": "half", "hlaf": "half", "wiht": "with",
    "wtih": "with", "wth": "with", "bout": "about", "fro": "for", "ofr": "for", "bc": "because", "cuz": "because", "coz": "because", "cos": "because",
    "hw": "how", "hwo": "how", "ot": "to", "watr": "water", "wter": "water", "wtaer": "water", "mnay": "many", "mny": "many", "waht": "what",
    "wht": "what", "wehn": "when", "whn": "when", "wil": "will", "wll": "will", "cna": "can", "blck": "black", "blakc": "black", "balck": "black",
    "gery": "grey", "gerey": "grey", "grye": "grey", "frehs": "fresh", "fersh": "fresh", "tnak": "tank", "tnaks": "tanks", "lsat": "last",
    "untl": "until", "utnil": "until",
    "thru": "through", "nvm": "nevermind",
    "tow": "two", "thre": "three", "fiev": "five", "gla": "gal", "glas": "gals", "jsut": "just", "tok": "took", "ahd": "had", "hda": "had",
}  # fmt: skip

ONWARD = _STEMS | _DETERMINERS | _NOUNS
"""Words before which "to" and "for" are what they are."""

# heard, meant, and the words of which one must follow.
_FOLLOWED: tuple[tuple[frozenset[str], str, frozenset[str]], ...] = (
    (frozenset(["to", "too", "tu"]), "two", _UNITS - {"day", "night", "hour", "week", "point"} | {"thirds", "fifths"}),
    (frozenset(["for", "fore"]), "four", _UNITS - {"day", "night", "hour", "week", "minute"} | {"fifths"}),
    (frozenset(("ate",)), "eight", _UNITS),
    (frozenset(["won", "wan"]), "one", _UNITS | {"load", "shower", "flush", "bath"}),
    (frozenset(("great grate grade gay grew grace grain grave gravy").split()), "grey", _TANKISH),
    (frozenset(["flesh", "frush", "french"]), "fresh", _TANKISH),
    (frozenset(["back", "blak", "block"]), "black", frozenset(["tank", "valve", "holding", "water"])),
    (frozenset(["waist", "waste"]), "waste", _TANKISH),
    (frozenset(("r",)), "are", frozenset(["we", "u", "you", "the", "tanks", "they", "there"])),
    (frozenset(("wood",)), "would", frozenset(["we", "i", "it", "grey", "black", "fresh", "you"])),
    (frozenset(("wear",)), "where", frozenset(["are", "is", "do", "did"])),
    (frozenset(("weather",)), "whether", frozenset(["we", "it"])),
)
# heard, meant, and the words of which one must come before.
_PRECEDED: tuple[tuple[frozenset[str], str, frozenset[str]], ...] = (
    (frozenset(("weak",)), "week", _WEEKISH),
    (frozenset(("log", "lon", "lng")), "long", frozenset(["how"])),
    (frozenset(("weaks",)), "weeks", frozenset(("two three four five six next last few").split())),
    (frozenset(("our",)), "hour", frozenset(["an", "half", "one", "per"])),
    (frozenset(("knight",)), "night", frozenset(["last", "to", "the", "one", "at"])),
    (frozenset(("sight",)), "site", frozenset(["the", "this", "our", "next", "at"])),
    (frozenset(("r",)), "are", frozenset(["we", "they", "tanks", "you"])),
    (frozenset(["discharge", "ditches", "dishers"]), "dishes", frozenset(["the", "washed", "did", "some"])),
    (
        frozenset(["meteor", "meeter", "metre", "meatier"]),
        "meter",
        frozenset(["the", "rinse", "flush", "water", "black", "inlet"]),
    ),
    (frozenset(("shave",)), "shave", frozenset()),
)


_MEANT_BEFORE = {
    one: [(meant, near) for many, meant, near in _FOLLOWED if one in many] for many, _, _ in _FOLLOWED for one in many
}
_MEANT_AFTER = {
    one: [(meant, near) for many, meant, near in _PRECEDED if one in many] for many, _, _ in _PRECEDED for one in many
}


def even_out(words: Sequence[Word]) -> list[Word]:
    """The words without hesitations, with homophones resolved where the neighbours leave one reading."""
    found = _steady(words)
    for i, word in enumerate(found):
        before = found[i - 1].text if i else ""
        after = found[i + 1].text if i + 1 < len(found) else ""
        meant = _meant(word, before, after, found[i - 1].kind == "number" if i else False, i, found)
        meant = meant or _grey_beside(found, i)
        if meant is not None:
            found[i] = replace(word, text=meant)
    return [word for i, word in enumerate(found) if not _has(found, i)]


_HAVE_DONE = frozenset(("had", "just", "already", "done", "taken"))


def _has(words: Sequence[Word], i: int) -> bool:
    """ "Keith's had his shower", "Ana's just done the dishes": a verb cut short, and nothing that is anybody's."""
    return words[i].text == "'s" and 0 < i < len(words) - 1 and words[i + 1].text in _HAVE_DONE


_GREATS = frozenset(("great", "grate"))
_SO_FULL = frozenset(
    ("half full empty nearly almost one two three at about three-quarters dumped emptied closed open shut").split()
)


def _grey_beside(words: Sequence[Word], i: int) -> str | None:
    """ "dumped black and then great", "great is two fifths full": the tank, where the words beside it speak of one."""
    if words[i].text not in _GREATS:
        return None
    said = [word.text for word in words]
    rest = said[i + 1 : i + 3]
    lead = [text for text in said[:i] if text not in ("and", "then", ",", "or", "both", "the")]
    last = not rest or rest[0] in (".", "!", ",", "then", "and")
    if last and lead and lead[-1] in ("black", "fresh") and said[i - 1] != "black" and len(lead) > 1:
        return "grey"
    if rest[:1] == ["and"] and rest[1:2] == ["black"]:
        return "grey"
    led = not lead or lead[-1] in ("half", "full", "empty", "thirds", "quarters", "sensor", "says")
    known = len(words) > i + 2 and (rest[1] in _SO_FULL or words[i + 2].kind in ("number", "fraction"))
    return "grey" if led and rest[:1] in (["is"], ["was"], ["at"], ["'s"]) and known else None


def _steady(words: Sequence[Word]) -> list[Word]:
    """Without "um", "uh", "you know", wherever they stand; slips in little words put right."""
    found: list[Word] = []
    exclaimed = 0
    for i, word in enumerate(words):
        if word.text in _HESITATIONS and word.kind == "word":
            continue
        if word.kind == "mark" and found and found[-1].text == word.text and word.text in "?!.,;":
            continue
        if word.text == "know" and found and found[-1].text == "you" and (len(found) < 2 or found[-2].text != "do"):
            found.pop()
            continue
        if (
            word.text == "its"
            and i + 1 < len(words)
            and (words[i + 1].kind == "number" or words[i + 1].text in _AFTER_IT_IS)
        ):
            found += [replace(word, text="it"), replace(word, text="is")]
            continue
        if (
            word.text == "were"
            and (not found or found[-1].text in _CLAUSE_ENDS)
            and i + 1 < len(words)
            and words[i + 1].text in _AFTER_WE_ARE
        ):
            found += [replace(word, text="we"), replace(word, text="are")]
            continue
        if (
            word.text == "well"
            and i + 1 < len(words)
            and words[i + 1].text in _AFTER_WE_WILL
            and not (found and found[-1].text in _VERY)
        ):
            found += [replace(word, text="we"), replace(word, text="will")]  # "well be away Saturday"
            continue
        if word.text == "." and found and found[-1].text in _CUT_SHORT:
            continue
        if i < exclaimed:
            continue
        if word.text == "what" and _exclaims(words, i):
            exclaimed = _end_of(words, i)
            continue
        if (
            word.text == "w"
            and 0 < i < len(words) - 1
            and (words[i + 1].kind == "number" or words[i + 1].text in _AFTER_WITH)
        ):
            word = replace(word, text="with")  # "shaved w half a gallon"
        if (
            word.kind == "number"
            and word.text in _AS_NUMBER
            and 0 < i < len(words) - 1
            and words[i - 1].text in _FINE
            and words[i + 1].text[:3] in _DAYS
        ):
            word = replace(word, text=_AS_NUMBER[word.text], kind="word", value=None)  # "still ok 4 sunday"
        if word.text == "n" and i < len(words) - 1 and (i or words[1].kind == "word"):
            word = replace(word, text="and")
        found.append(replace(word, text=_SLIPS[word.text]) if word.text in _SLIPS else word)
    return found


_AS_NUMBER = {"4": "for", "2": "to"}
_FINE = frozenset("ok okay good fine enough right alright set it last lasts".split())
_DAYS = frozenset("mon tue wed thu fri sat sun tom ton".split())
_AFTER_WE_WILL = frozenset("be have need stay leave arrive head move pull make".split())
_VERY = frozenset("as very so pretty quite is are was were all".split())
_AFTER_WITH = frozenset("a an about half one two three four five six seven eight nine ten".split())
_CLAUSE_ENDS = frozenset(
    "and so but then now okay ok well yes till til until if because when that reckon think , . ;".split()
)
_AFTER_WE_ARE = frozenset(
    "here home back off leaving staying parked going out having full dry empty overweight on in at".split()
)
_CUT_SHORT = frozenset("approx appr est ca arr".split())


def _exclaims(words: Sequence[Word], i: int) -> bool:
    """ "what a day!" asks nothing."""
    after = words[i + 1].text if i + 1 < len(words) else ""
    starts = not i or words[i - 1].kind == "mark" or words[i - 1].text in ("phew", "wow", "oh", "man")
    return starts and after in ("a", "an") and not any(word.text == "?" for word in words)


def _end_of(words: Sequence[Word], i: int) -> int:
    """The mark that ends an exclamation ("what a ride!"), if it is short and speaks of nothing that uses water."""
    for j in range(i + 2, min(i + 7, len(words))):
        if words[j].kind == "mark":
            return j
        if words[j].kind != "word" or words[j].text in _STEMS | _NOUNS | {"bath", "used"}:
            break
    return i


_AFTER_IT_IS = frozenset("at on full half empty now about around been still only down up".split())


def _meant(word: Word, before: str, after: str, number_before: bool, i: int, words: Sequence[Word]) -> str | None:
    changes = before in _CHANGES and word.text in ("to", "for")  # "switch to gallons"
    changes = changes or (before in _UNITS and word.text in ("for", "fore"))  # "3 gallons for showers"
    for meant, following in _MEANT_BEFORE.get(word.text, ()) if not changes else ():
        if after in following and not (number_before and meant != "grey"):
            return meant
    if after == "and" and word.text in _BEFORE_A_PART and _and_a_part(words, i + 2):
        return _BEFORE_A_PART[word.text]
    for meant, leading in _MEANT_AFTER.get(word.text, ()):
        if before in leading:
            return meant
    if word.kind == "word" and word.text in ("two", "too"):
        object_after = i + 2 < len(words) and words[i + 2].text in _DETERMINERS | _ONWARD | _NOUNS
        return "to" if _is_to(before, after, word.text) or (after in _STEMS and object_after) else None
    if word.kind == "word" and word.text in ("four", "fore"):
        little = after in _DETERMINERS or after in _NOUNS or (before == "same" and after not in _UNITS)
        part = (
            i + 2 < len(words) and after in ("this", "in") and words[i + 2].text in _PARTS
        )  # "about four this afternoon"
        return "for" if little and not part and before not in _BEFORE_FOUR else None
    return None


_BEFORE_A_PART = {"to": "two", "too": "two", "for": "four", "fore": "four", "ate": "eight", "won": "one"}


def _and_a_part(words: Sequence[Word], i: int) -> bool:
    """ "to and a quarter gallons", "for and a half": only a number can stand before it."""
    rest = [word.text for word in words[i : i + 4]]
    rest = rest[1:] if rest[:1] in (["a"], ["one"], ["three"]) else rest
    part = rest[:1] in (["half"], ["quarter"], ["quarters"], ["third"], ["thirds"])
    return (
        part
        and len(rest) > 1
        and rest[1] in _UNITS
        and rest[1] not in ("hour", "hours", "day", "days", "minutes", "minute")
    )


_PARTS = frozenset(("morning afternoon evening").split())
_BEFORE_FOUR = frozenset(("at by till until twenty thirty forty around past").split())


def _is_to(before: str, after: str, said: str) -> bool:
    """ "about two do the dishes", "switched two city water", "thursday two saturday"."""
    if after in _UNITS or before in (
        "twenty",
        "thirty",
        "forty",
        "fifty",
        "sixty",
        "seventy",
        "eighty",
        "ninety",
        "point",
    ):
        return False
    if after in _DETERMINERS - {"a"} or after in ("be", "do", "last"):
        return True
    if after in _STEMS and before in (
        "going", "want", "wants", "need", "needs", "have", "has", "had", "about", "time", "ready", "got", "used", "like", "forgot",
        "trying", "plan", "planning", "still", "supposed", "remember", "hope", "how", "able", "meant", "due", "refused", "water",
    ):  # fmt: skip
        return True
    if after in _ONWARD and (
        before in _ONWARD
        or before in ("back", "switched", "over", "filled", "down", "up", "it", "last", "set", "changed")
    ):
        return True
    return said == "too" and after in _STEMS
