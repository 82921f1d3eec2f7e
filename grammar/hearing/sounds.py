"""Words of the same sound put right where the words beside them leave one reading: "to gallons", "our ago", "great tank is half".

What is only worth a try, where the phrase makes no sense as it stands, is in repair.py. May import: hear, numbers.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.hear import Word
from grammar.hearing.numbers import NUMBER_WORDS

_UNITS = frozenset(
    (
        "gallon gallons gal gals litre litres liter liters quart quarts qt pint pints cup cups ounce ounces "
        "oz l psi imperial percent bar minute minutes min mins hour hours day days night nights week weeks "
        "people persons guests adults kids showers flushes loads baths totes degrees point times pounds lb"
    ).split()
)
_MEASURED = _UNITS | frozenset(
    "each apiece piece head person pp water jug jugs jerry can cans bucket buckets container containers bottle bottles tank worth".split()
)
"""Behind these "for" tells what so much was for."""
_DETERMINERS = frozenset(("the a an my our his her their this that").split())
_ONWARD = frozenset(
    (
        "monday tuesday wednesday thursday friday saturday sunday tomorrow today noon midnight midday city "
        "mains hookup brim top full zero pump tank fresh grey gray black rinse sewer"
    ).split()
)
STEMS = frozenset(
    (
        "do be have take make get dump empty fill wash rinse brush shower shave flush clean cook use go leave "
        "stay see drain haul tote sanitise sanitize check change close open hook pack move put give log add "
        "record"
    ).split()
)
NOUNS = frozenset(
    (
        "cooking drinking laundry coffee tea dishes washing hands teeth me us him them it breakfast dinner "
        "lunch supper everyone hair"
    ).split()
)
_CHANGES = frozenset(("switch switched change changed convert converted go went over back").split())
_TANKISH = frozenset(["tank", "tanks", "water", "valve", "waste", "holding"])
_WEEKISH = frozenset(("this next last a per every one the").split())

ONWARD = STEMS | _DETERMINERS | NOUNS
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
    (frozenset(["red", "reed"]), "read", frozenset("the me back out off meter metre gauge sensor flow".split())),
    (frozenset(["knew"]), "new", frozenset("filter hose water washers washer anode regulator hoses filters".split())),
    (frozenset(["bored"]), "board", frozenset("till til until now for with".split())),
    (
        frozenset(["bye"]),
        "by",
        frozenset("then noon now the a one two three four monday tuesday wednesday thursday friday saturday".split()),
    ),
    (
        frozenset(["buy"]),
        "by",
        frozenset(
            "then noon now one two three four five six seven eight nine ten monday tuesday wednesday thursday friday saturday "
            "sunday tonight tomorrow dinner lunch bedtime".split()
        ),
    ),
    (frozenset(["our", "ours", "are"]), "hour", frozenset(("ago",))),
    (frozenset(["mourning"]), "morning", frozenset(("shower coffee dishes tea wash",))),
)
# heard, meant, and the words of which one must come before.
_PRECEDED: tuple[tuple[frozenset[str], str, frozenset[str]], ...] = (
    (frozenset(("weak",)), "week", _WEEKISH),
    (frozenset(("log", "lon", "lng")), "long", frozenset(["how"])),
    (frozenset(("weaks",)), "weeks", frozenset(("two three four five six next last few").split())),
    (frozenset(("our",)), "hour", frozenset(["an", "half", "one", "per"])),
    (
        frozenset(["mourning"]),
        "morning",
        frozenset(["this", "the", "yesterday", "tomorrow", "every", "each", "sunday", "saturday", "friday"]),
    ),
    (frozenset(["way", "whey"]), "weigh", frozenset("water tank tote tanks it they does do".split())),
    (
        frozenset(["weigh", "whey"]),
        "way",
        frozenset("the our my your same long halfway half-way any no this out by".split()),
    ),
    (frozenset(["do"]), "due", frozenset(["is", "things", "anything"])),
    (frozenset(["bored"]), "board", frozenset(["on"])),
    (frozenset(["of"]), "have", frozenset(["should", "could", "would", "must", "might"])),
    (frozenset(("knight",)), "night", frozenset(["last", "to", "the", "one", "at"])),
    (frozenset(("sight",)), "site", frozenset(["the", "this", "our", "next", "at"])),
    (frozenset(("r",)), "are", frozenset(["we", "they", "tanks", "you"])),
    (frozenset(["discharge", "ditches", "dishers"]), "dishes", frozenset(["the", "washed", "did", "some"])),
    (
        frozenset(["meteor", "meeter", "metre", "meatier"]),
        "meter",
        frozenset(
            ["the", "rinse", "flush", "water", "black", "inlet", "hose", "flow", "our", "my", "this", "read", "checked"]
        ),
    ),
    (frozenset(("shave",)), "shave", frozenset()),
)


_MEANT_BEFORE = {
    one: [(meant, near) for many, meant, near in _FOLLOWED if one in many] for many, _, _ in _FOLLOWED for one in many
}
_MEANT_AFTER = {
    one: [(meant, near) for many, meant, near in _PRECEDED if one in many] for many, _, _ in _PRECEDED for one in many
}


_GREATS = frozenset(("great", "grate"))
_ROUND_A_REPLY = frozenset(("um uh it was that just i mean sorry of course , . !").split())
_SO_FULL = frozenset(
    ("half full empty nearly almost one two three at about three-quarters dumped emptied closed open shut").split()
)


def grey_beside(words: Sequence[Word], i: int) -> str | None:
    """ "dumped black and then great", "great is two fifths full", "the great one": the tank, where the words beside it speak of one."""
    if words[i].text not in _GREATS:
        return None
    said = [word.text for word in words]
    if said[i - 1 : i + 2] == ["the", said[i], "one"] and _ROUND_A_REPLY.issuperset([*said[: i - 1], *said[i + 2 :]]):
        return "grey"
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


def meant(word: Word, before: str, after: str, number_before: bool, i: int, words: Sequence[Word]) -> str | None:
    changes = before in _CHANGES and word.text in ("to", "for")  # "switch to gallons"
    changes = changes or (before in _MEASURED and word.text in ("for", "fore"))  # "3 gallons for showers"
    for meant, following in _MEANT_BEFORE.get(word.text, ()) if not changes else ():
        if after in following and not (number_before and meant != "grey"):
            return meant
    if word.text == "hour" and after in _OWNED and not number_before and before not in BEFORE_HOUR:
        return "our"
    if after == "and" and word.text in _BEFORE_A_PART and _and_a_part(words, i + 2):
        return _BEFORE_A_PART[word.text]
    for meant, leading in _MEANT_AFTER.get(word.text, ()):
        if before in leading:
            return meant
    if word.kind == "word" and word.text in ("two", "too"):
        object_after = i + 2 < len(words) and words[i + 2].text in _DETERMINERS | _ONWARD | NOUNS
        if word.text == "two" and (before in _HOUR_BEFORE or _in_a_part(words, i)):
            return None  # "got here at two this afternoon"
        if word.text == "too" and _in_a_part(words, i):
            return None  # "Ana showered too this morning"
        return "to" if _is_to(before, after, word.text) or (after in STEMS and object_after) else None
    if word.kind == "word" and word.text in ("four", "fore"):
        things = (
            after.endswith("ing") and i + 2 < len(words) and words[i + 2].text.endswith("s")
        )  # "four drinking bottles"
        little = after in _DETERMINERS or (after in NOUNS and not things) or (before == "same" and after not in _UNITS)
        return "for" if little and not _in_a_part(words, i) and before not in _BEFORE_FOUR else None
    return None


_OWNED = frozenset(
    "next last own fresh grey gray black tank tanks water friends guests site tote rig meter stop stay trip dishes showers".split()
)
BEFORE_HOUR = NUMBER_WORDS | frozenset("an a half per the each every last next quarter past every this".split())


def _in_a_part(words: Sequence[Word], i: int) -> bool:
    """ "about four this afternoon": an hour."""
    after = [word.text for word in words[i + 1 : i + 4] if word.text != "the"]
    return len(after) > 1 and after[0] in ("this", "in") and after[1] in _PARTS


_HOUR_BEFORE = frozenset(("at", "around", "past", "by"))
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


_ON_THE_WAY = frozenset("over it going moved connected hooked returned drove added place close next gone".split())
_COUNTED = frozenset("more people of and point thirds fifths in at for this that or on a an were was is the".split())


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
    if after in STEMS and before in (
        "going", "want", "wants", "need", "needs", "have", "has", "had", "about", "time", "ready", "got", "used", "like", "forgot",
        "trying", "plan", "planning", "still", "supposed", "remember", "hope", "how", "able", "meant", "due", "refused", "water",
    ):  # fmt: skip
        return True
    if before in _ON_THE_WAY and after not in _COUNTED and not after.endswith("s") and after not in NUMBER_WORDS:
        return after.isalpha()  # "moved over two cedar flat", "made it two lone elm"
    if after in _ONWARD and (
        before in _ONWARD
        or before in ("back", "switched", "over", "filled", "down", "up", "it", "last", "set", "changed")
    ):
        return True
    return said == "too" and after in STEMS
