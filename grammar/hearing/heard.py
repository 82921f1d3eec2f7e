"""What a phone hears, evened out before anything is looked up: hesitations dropped, little words and homophones put right where the
words beside them leave one reading. May import: hear, sounds.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.hear import Word
from grammar.hearing.sounds import BEFORE_HOUR, NOUNS, STEMS, grey_beside, meant
from grammar.lightclass import replace

_HESITATIONS = frozenset(("um umm uh uhm uhh er erm hmm hm mm mmm eh ah ahem").split())
# Little words mistyped or cut short; too short to be mended by their letters.
_SLIPS = {
    "teh": "the", "hte": "the", "tha": "the", "adn": "and", "nad": "and", "usd": "used", "haf": "half", "hlaf": "half", "wiht": "with",
    "wtih": "with", "wth": "with", "bout": "about", "fro": "for", "ofr": "for", "bc": "because", "cuz": "because", "coz": "because", "cos": "because",
    "hw": "how", "hwo": "how", "ot": "to", "watr": "water", "wter": "water", "wtaer": "water", "mnay": "many", "mny": "many", "waht": "what",
    "wht": "what", "wehn": "when", "whn": "when", "wil": "will", "wll": "will", "cna": "can", "blck": "black", "blakc": "black", "balck": "black",
    "gery": "grey", "gerey": "grey", "grye": "grey", "frehs": "fresh", "fersh": "fresh", "tnak": "tank", "tnaks": "tanks", "lsat": "last",
    "untl": "until", "utnil": "until", "upp": "up", "uup": "up", "onn": "on", "oon": "on", "att": "at", "iin": "in",
    "itt": "it", "iit": "it", "iss": "is", "wwe": "we",
    "thru": "through", "meself": "myself", "sry": "sorry", "soz": "sorry", "youself": "yourself", "nvm": "nevermind",
    "wat": "what", "wot": "what", "hoes": "hose", "cite": "site", "gage": "gauge", "guage": "gauge", "knead": "need", "dew": "due",
    "cheque": "check", "censor": "sensor",
    "censors": "sensors", "gages": "gauges", "guages": "gauges",
    "tow": "two", "thre": "three", "fiev": "five", "gla": "gal", "glas": "gals", "jsut": "just", "tok": "took", "ahd": "had", "hda": "had",
}  # fmt: skip

_AFTER_WE_WILL = frozenset("be have need stay leave arrive head move pull".split())
_FINE_TILL = frozenset("till til until for to by if with through thru on".split())
_OPENERS = frozenset("okay ok well hey so oh um uh er".split())
_OPENED = {
    "so": frozenset("far long many much did what has had do was were is that good".split()),
    "well": frozenset("done water good used".split()) | _AFTER_WE_WILL,
    "oh": frozenset(("well",)),
    "ok": _FINE_TILL,
    "okay": _FINE_TILL,
}
"""Words before which one of those is no mere opener: "so far", "so did I", "well done", "well water"."""
_CALLED = ("there", "ullage", "you")


def without_opener(words: Sequence[Word]) -> Sequence[Word]:
    """ "okay so emptied grey": the words that only get a sentence going, left out where others follow."""
    start = 0
    while start + 1 < len(words) and words[start].text in _OPENERS:
        after = words[start + 1]
        if after.text in _CALLED or after.text in _OPENED.get(words[start].text, ()):
            break
        if after.kind == "mark" and (after.text != "," or start + 2 >= len(words)):
            break
        start += 1 if after.kind != "mark" else 2
    return words[start:]


_THINKS = (
    "let me see", "let's see", "lets see", "let us see", "lemme see", "let me think", "let's think", "lemme think", "let me remember", "where was i",
    "what was it now", "i nearly forgot", "i almost forgot", "before i forget", "dear me", "oh dear",
    "hang on", "hold on", "wait a minute", "give me a minute",
    "how shall i put it", "what do you call it", "now where was i", "what was i going to say", "let me have a think", "let me recall",
)  # fmt: skip
_ASKING = tuple("what when where who which how if whether why that did does do is are was were can could will".split())
_BEFORE_THINKING = frozenset(
    "now so well right ok okay oh um uh er and then hmm right, well, ok, okay, now, so, oh,".split()
)
_BEHIND = frozenset("now then oh yes ah well so um uh er right yeah today here there okay ok hmm".split())


def after_hesitation(text: str) -> str:
    """ "Let me see now, Walt showered": what is said behind words that only gain time; nothing where there are none."""
    rest = text.strip()
    low = rest.casefold()
    first, _, behind = low.partition(" ")
    if first in _BEFORE_THINKING:
        rest = rest[len(first) :].lstrip()
        low = behind.lstrip()
    head = next(
        (one for one in _THINKS if low.startswith(one) and low[len(one) : len(one) + 1] in (" ", ",", ".", "…")), None
    )
    if head is None:
        return ""
    rest = rest[len(head) :].lstrip(" ,.…-:;")
    while rest and rest.split()[0].casefold().strip(",.") in _BEHIND:
        rest = rest[len(rest.split()[0]) :].lstrip(" ,.-:;")
    return "" if rest.casefold().startswith(_ASKING) else rest


_MARKS = {"comma": ",", "full stop": ".", "question mark": "?", "exclamation mark": "!", "exclamation point": "!"}
_MARKS_OF_ONE = frozenset(name.split()[0] for name in _MARKS)


def _marked(words: Sequence[Word]) -> Sequence[Word]:
    """ "shower comma seven litres full stop": marks that a phone wrote out."""
    if not any(word.text in _MARKS_OF_ONE for word in words):
        return words
    found: list[Word] = []
    for word in words:
        said = f"{found[-1].text} {word.text}" if found else ""
        if said in _MARKS:
            found[-1] = Word(_MARKS[said], found[-1].start, word.end, "mark")
        else:
            found.append(replace(word, text=_MARKS[word.text], kind="mark") if word.text in _MARKS else word)
    return found


def even_out(words: Sequence[Word]) -> list[Word]:
    """The words without hesitations, with homophones resolved where the neighbours leave one reading."""
    found = _at_the_moment(_steady(without_opener(_marked(words))))
    for i, word in enumerate(found):
        before = found[i - 1].text if i else ""
        after = found[i + 1].text if i + 1 < len(found) else ""
        other = meant(word, before, after, found[i - 1].kind == "number" if i else False, i, found)
        other = other or grey_beside(found, i)
        if other is not None:
            found[i] = replace(word, text=other)
    kept = [word for i, word in enumerate(found) if not _has(found, i)]
    return _an_hour(kept) if any(word.text == "ago" for word in kept) else kept


_MOMENTS = (
    ("by", "the", "time"),
    ("the", "minute"),
    ("the", "moment"),
    ("the", "instant"),
    ("as", "soon", "as"),
)
_WENT_BY = frozenset(
    (
        "got was were had came went woke sat stood left ran drove found did took made rang fell began brought lay put rose saw heard finished"
    ).split()
)
_SUBJECT = 3  # words


def _at_the_moment(words: list[Word]) -> list[Word]:
    """ "By the time I got back", "the minute we sat down": when it was, where it is past."""
    for moment in _MOMENTS:
        at = next((n for n, word in enumerate(words) if word.text == moment[0] and _spells(words, n, moment)), None)
        if at is None or (at and words[at - 1].text in _NO_CLAUSE):
            continue
        end = at + len(moment)
        said = [word.text for word in words[end : end + _SUBJECT]]
        if any(
            n and (text in _WENT_BY or (text.endswith("ed") and len(text) > _SUBJECT)) for n, text in enumerate(said)
        ):
            return [*words[:at], replace(words[at], text="when", end=words[end - 1].end), *words[end:]]
    return words


_NO_CLAUSE = frozenset("for at in of till until from to this that every".split())


def _spells(words: Sequence[Word], at: int, moment: Sequence[str]) -> bool:
    return [word.text for word in words[at : at + len(moment)]] == list(moment)


def _an_hour(words: Sequence[Word]) -> list[Word]:
    """ "about hour ago", "hour and a half ago": an hour, its article lost."""
    found: list[Word] = []
    for i, word in enumerate(words):
        before = found[-1].text if found else ""
        lost = (
            word.text in ("hour", "week", "minute")
            and before not in BEFORE_HOUR
            and (not found or found[-1].kind == "word")
        )
        rest = [one.text for one in words[i + 1 : i + 6]]
        if (
            lost
            and "ago" in rest
            and all(text in ("and", "a", "half", "bit", "so", "or", "quarter") for text in rest[: rest.index("ago")])
        ):
            found.append(replace(word, text="an"))
        found.append(word)
    return found


_HAVE_DONE = frozenset(
    (
        "had just already done taken been got made used brushed washed cleaned watered dumped emptied flushed showered drained rinsed hosed "
        "mopped cooked shaved bathed refilled changed toted hauled wiped drunk finished gotten filled topped finally both"
    ).split()
)


def _has(words: Sequence[Word], i: int) -> bool:
    """ "Keith's had his shower", "Ana's just done the dishes": a verb cut short, and nothing that is anybody's."""
    return words[i].text == "'s" and 0 < i < len(words) - 1 and words[i + 1].text in _HAVE_DONE


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
        if word.text == "haf" and i + 1 < len(words) and words[i + 1].text == "to":
            word = replace(word, text="have")
        if word.text in ("up", "ups") and found and found[-1].text == "hook" and _a_hookup(found):
            found[-1] = replace(found[-1], text="hook" + word.text, end=word.end)
            continue
        if word.text == "n" and i < len(words) - 1 and (i or words[1].kind == "word"):
            word = replace(word, text="and")
        slip = word.text in _SLIPS and not _is_towed(words, i)
        found.append(replace(word, text=_SLIPS[word.text]) if slip else word)
    return found


_WHO_TOWS = frozenset("to we i you he she they can may".split())
_WHAT_IS_COUNTED = ("gal", "lit", "quart", "shower", "dish", "flush", "people", "day", "night", "hour", "min", "guest")


def _is_towed(words: Sequence[Word], i: int) -> bool:
    """ "Is it safe to tow with full tanks": the verb, where elsewhere it is a slip for "two"."""
    after = words[i + 1].text if i + 1 < len(words) else ""
    return (
        words[i].text == "tow" and i > 0 and words[i - 1].text in _WHO_TOWS and not after.startswith(_WHAT_IS_COUNTED)
    )


def _a_hookup(found: Sequence[Word]) -> bool:
    """ "back on hook up", "no hook ups": the thing, written as two words; "hook up the hose" is a deed."""
    return len(found) > 1 and found[-2].text in _AT_THE_HOOKUP


_AT_THE_HOOKUP = frozenset(
    "on off the from no full with without of water electric sewer any site campsite park our city".split()
)
_AS_NUMBER = {"4": "for", "2": "to"}
_FINE = frozenset("ok okay good fine enough right alright set it last lasts".split())
_DAYS = frozenset("mon tue wed thu fri sat sun tom ton".split())
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
        if words[j].kind != "word" or words[j].text in STEMS | NOUNS | {"bath", "used"}:
            break
    return i


_AFTER_IT_IS = frozenset("at on full half empty now about around been still only down up".split())
