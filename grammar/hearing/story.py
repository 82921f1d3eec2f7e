"""A report inside a story: the parts that say nothing of water are left out, and what is left must read whole by itself.

"Since it was my turn I washed the dishes with a gallon", "dusty day at the lake, rinsed the bikes, 3 gal". A part is left out only if it
stands between borders (marks, "so", "because", "after" …) and bears nothing on the log, as `bearing` judges it; here is told where the
parts begin and end, and what of a clause of time is scenery.
May import: bearing, parts, run_on, tokens, lexicon.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.bearing import (
    AT_A_SITE,
    ON_THE_WAY,
    by_a_stranger,
    counts_something_else,
    cut_short,
    is_talk,
    is_thing,
    no_time_of_it,
    over,
    says_nothing,
    tells_how_known,
    turns,
    without_measures,
)
from grammar.hearing.hear import Word
from grammar.hearing.parts import verdict
from grammar.hearing.run_on import runs_on, starts_anew
from grammar.hearing.tokens import Tok
from grammar.lexicon import lexicon
from grammar.lightclass import replace

# Words that begin a part which tells when or why.
_OPENERS = frozenset(
    (
        "after before following during since because while when as once until till despite for thanks from coming being"
    ).split()
)
_WHY = frozenset(["because", "since", "as"])
# Words that begin a place or a manner; only before a word that the vocabulary does not know ("in the rain", "by the river").
_PLACES = frozenset("in at near by behind beside outside under along around past opposite".split())
_WITHIN = _PLACES | {"from", "for", "of"}
"""No clause of their own inside one that tells why ("because the water from the post tasted of chlorine")."""
_NOT_SO = frozenset("theory principle mistake error dream dreams mind head case fact total place general".split())
_BORDERS = frozenset(("so and but then because therefore hence that which").split())
_LITTLE = ("AUX", "TO", "PREP", "ART", "A", "FILLER", "OF", "IN", "ON", "AT", "BY", "FROM", "FOR", "AND", "COMMA")
LEAST = 2


def without_scenery(
    words: Sequence[Word], toks: Sequence[Tok]
) -> tuple[list[Word], frozenset[str], frozenset[str]] | None:
    """The words without the parts that are scenery, the activities named in these, and those that were done; None if there are none, or
    nothing else."""
    if any(tok.has("QMARK") for tok in toks):
        return None
    kept: list[Tok] = []
    dropped: list[Tok] = []
    told: list[Tok] = []
    parts = _parts(toks)
    idle = [_scenery(part, opened) for part, opened in parts]
    if all(idle[n] or all(_light(tok) for tok in part) for n, (part, _) in enumerate(parts)):
        idle = [left and not _sets_out(part) for left, (part, _) in zip(idle, parts, strict=True)]
    _go_on_why(parts, idle)
    if any(tok.has("ARRIVE") for tok in toks):  # "…, water on the pitch"
        idle = [
            left and not any(tok.has(*AT_A_SITE) for tok in part) for left, (part, _) in zip(idle, parts, strict=True)
        ]
    for left, (part, _) in zip(idle, parts, strict=True):
        left = left and not (cut_short(part) and not all(_light(tok) for tok in kept))
        (dropped if left else kept).extend(part)
        if left and not tells_how_known(part) and not _busy(part) and part[0].text != "because":
            told.extend(part)
    if not dropped or not any(not _light(tok) for tok in kept) or by_a_stranger(dropped, kept):
        return None
    while kept and kept[0].has("BUT") and not kept[0].has("FILLER"):
        kept = kept[1:]
    words = _whatever_it_was(_whoever_it_was(words, dropped, kept), dropped, kept)
    places = [(tok.start, tok.end) for tok in kept]
    named = frozenset(
        tok.senses["ACT"].value for tok in told if tok.has("ACT") and not _food(tok) and not tok.has("RIG")
    )
    done = frozenset(
        tok.senses["ACT"].value for tok in told if tok.has("ACT") and not is_thing(tok) and not tok.has("RIG")
    )
    report = [word for word in words if any(start <= word.start and word.end <= end for start, end in places)]
    return report, named, done


def _go_on_why(parts: Sequence[tuple[list[Tok], bool]], idle: list[bool]) -> None:
    """ "… because Kit made a lasagne | and used every pan | we own": what hangs on a reason is of it as well."""
    why = False
    for n, (part, opened) in enumerate(parts):
        if part[0].has("COMMA", "STOP", "SEMI", "COLON") or (opened and part[0].text not in ("because", *_WE)):
            why = False
        elif opened and part[0].text == "because":
            why = idle[n] and n > 0
        elif why and not (len(part) == 1 and part[0].has("AND")):
            told = without_measures(part)
            why = not turns(told, leads=True) and all(
                is_talk(tok) or is_thing(tok) or tok.has(*_ALL_OF_THEM) for tok in told
            )
            idle[n] = why
            idle[n - 1] = idle[n - 1] or (why and parts[n - 1][0][0].has("AND"))


_WE = ("i", "we", "she", "he")
_ALL_OF_THEM = ("USE", "EVERY")


def _whoever_it_was(words: Sequence[Word], story: Sequence[Tok], report: Sequence[Tok]) -> Sequence[Word]:
    """ "Tom came back muddy, so he had a shower": the name in place of the pronoun, where the story has one name only."""
    first = next((tok for tok in report if not _light(tok)), None)
    named = [tok for tok in story if tok.has("PERSON") or (tok.capital and tok.has("NAMEWORD"))]
    if first is None or first.text not in ("he", "she") or len(named) != 1:
        return _which_animal(words, story, report)
    who = next((word for word in words if word.start == named[0].start), None)
    if who is None or who.text != named[0].text:
        return words
    return [replace(word, text=who.text, capital=True) if word.start == first.start else word for word in words]


def _which_animal(words: Sequence[Word], story: Sequence[Tok], report: Sequence[Tok]) -> Sequence[Word]:
    """ "The dog rolled in something, so I hosed him off": the animal in place of the pronoun, where the story has one only."""
    spoken_of = [tok for tok in story if tok.has("ACT") and is_thing(tok) and tok.senses["ACT"].value == "pets"]
    washed = [n for n in range(1, len(report)) if report[n].text in _AN_ANIMAL and report[n - 1].has("WASH")]
    if len(spoken_of) != 1 or len(washed) != 1 or any(tok.has("KIN", "PERSON") or tok.capital for tok in story[1:]):
        return words
    it = report[washed[0]].start
    return [replace(word, text=spoken_of[0].text) if word.start == it else word for word in words]


_AN_ANIMAL = ("him", "her", "it", "them")


def _sets_out(part: Sequence[Tok]) -> bool:
    """ "we're heading out to the lake": what is scenery beside a report is one itself where there is no other."""
    ours = part[0].text in ("we", "i", "we are", "i am") or part[0].has("AWAY")
    return ours and any(tok.has("AWAY") and len(tok.text.split()) > 1 and not over(tok) for tok in part)


def _whatever_it_was(words: Sequence[Word], story: Sequence[Tok], report: Sequence[Tok]) -> Sequence[Word]:
    """ "Pointed the torch into grey and it is half full": the tank in place of the pronoun, where one was looked into."""
    first = next((tok for tok in report if not _light(tok)), None)
    named = [tok for tok in story if tok.has("TANK", "TANKS", "METER")]
    if first is not None and first.has("THEREARE"):  # "there's 62 litres in it"
        inside = [n for n in range(1, len(report)) if report[n].text == "it" and report[n - 1].has("IN", "AT", "ON")]
        first = report[inside[0]] if len(inside) == 1 else None
    if first is None or first.text.split()[0] != "it" or not first.has("IT", "BE") or len(named) != 1:
        return words
    if named[0].has("TANKS"):
        return words
    looked_at = [word for word in words if named[0].start <= word.start and word.end <= named[0].end]
    at = next(n for n, word in enumerate(words) if word.start == first.start)
    told = [replace(word, start=words[at].start, end=words[at].end) for word in looked_at]
    return [*words[:at], *told, *words[at + 1 :]]


def _parts(toks: Sequence[Tok]) -> list[tuple[list[Tok], bool]]:
    """The parts between borders, and whether each begins with a word that tells when or why."""
    parts: list[tuple[list[Tok], bool]] = [([], False)]
    for i, tok in enumerate(toks):
        part, opened = parts[-1]
        why = opened and part[0].text in _WHY and tok.text in _WITHIN
        if (_opens(toks, i) and not why) or runs_on(toks, i):
            parts.append(([tok], True))
        elif tok.has("COMMA", "STOP", "SEMI", "COLON") or (tok.text in _BORDERS and not _list(toks, i)):
            parts.append(([tok], False))
            parts.append(([], False))
        elif (
            _so_much_it_was(toks, i)
            or (opened and len(part) > 1 and (_ends(tok, part, toks[i + 1 : i + 4]) or _somebody_then(part, toks, i)))
            or (not opened and (starts_anew(part, toks, i) or _seen_then(part, toks, i)))
        ):
            parts.append(([tok], False))
        else:
            part.append(tok)
    return [one for one in parts if one[0]]


def _so_much_it_was(toks: Sequence[Tok], i: int) -> bool:
    """ "… because one of the cats was sick | that's three litres"."""
    if toks[i].text not in ("that is", "that was", "it was", "it is") or i + 2 >= len(toks) or not i:
        return False
    rest = [tok for tok in toks[i + 1 : i + 5] if not tok.has("FILLER", "ABOUT", "ART", "A", "ADJ")]
    return len(rest) > 1 and rest[0].has("NUMBER", "FRACTION") and rest[1].has("UNIT", "FRACTION", "A")


def _seen_then(part: Sequence[Tok], toks: Sequence[Tok], i: int) -> bool:
    """ "looked into the grey tank with a lamp | it is half full", "looked underneath the | grey tank is half full"."""
    if not part or part[-1].has("AND", "THEN"):
        return False
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    tank = tok.has("TANK") and after is not None and after.has("BE", "ISAT")
    return (tank or tok.text in ("it", "it is")) and tells_how_known(part)


def _opens(toks: Sequence[Tok], i: int) -> bool:
    """Whether a clause that tells when or why begins here ("after the hike", "when we got back", "because it was hot")."""
    tok, after = toks[i], toks[i + 1 : i + 3]
    if tok.text in ("she", "he") and i and toks[i - 1].has("UNIT") and after and after[0].has("BE"):
        return True  # "half a litre she's such a diva"
    if tok.text == "being" and i and toks[i - 1].has("BE"):
        return False  # "he is being smug"
    if tok.text == "when we":
        return any(one.form == "past" for other in after for one in other.senses.values())
    if tok.text in _PLACES:
        return bool(i) and _somewhere(toks[i + 1 :])
    return tok.text in _OPENERS and not tok.has("ACT") and not _measures(toks, i)


def _somewhere(rest: Sequence[Tok]) -> bool:
    """Whether the words after "in", "at" … begin with something that is none of ours."""
    content = next((tok for tok in rest if not tok.has("ART", "ADJ", "A", "POSS")), None)
    if content is None or not content.senses.keys() <= {"NAMEWORD", "RAIN"}:
        return False
    return content.text.isalpha() and content.text not in _NOT_SO


def _list(toks: Sequence[Tok], i: int) -> bool:
    """ "and" between two names or two numbers joins no parts."""
    before, after = (toks[i - 1] if i else None), (toks[i + 1] if i + 1 < len(toks) else None)
    return (
        before is not None
        and after is not None
        and any(before.has(cls) and after.has(cls) for cls in ("NUMBER", "UNIT"))
    )


def _measures(toks: Sequence[Tok], i: int) -> bool:
    """ "for 3 gallons", "after 46.1", "from yesterday": no clause of time."""
    at = next((n for n in range(i + 1, min(i + 4, len(toks))) if not toks[n].has("ART", "ABOUT", "ADJ")), None)
    following = toks[at] if at is not None else None
    if at is not None and counts_something_else(toks, at):
        return False  # "after three wrong turns"
    if following is not None and following.has("ACT") and (toks[i].text in _WHY or _food(following)):
        return False  # "because the pans were greasy", "after the roast"
    return following is None or following.has("NUMBER", "FRACTION", "ACT", "METER", "DAY", "WEEKDAY", "PART", "TANK")


def _ends(tok: Tok, part: Sequence[Tok], after: Sequence[Tok]) -> bool:
    """Where a clause of time ends without a mark: before an amount, or before the one who did it."""
    noun = part[-1].has("ART", "PREP", "A") or (not part[-1].known and len(part) > LEAST and part[-2].has("ADJ"))
    thing = tok.has("ACT") and tok.senses["ACT"].form == "thing" and not tok.has("WASH") and noun
    if thing:
        return False  # "listening to the rain on the roof"
    if counts_something_else([tok, *after], 0):
        return False  # "after three wrong turns"
    dry = _noun(tok) or tok.text in _LINEN
    if dry and _busy(part) and part[-1].has("ART", "PARTICLE", "PREP"):
        return False  # "while I was hanging out the washing"
    if tok.text == "say" and part[-1].has("TO"):
        return False  # "I'm ashamed to say"
    about = part[0].text in _WHY and tok.has("ACT") and not any(one.has("BE") for one in part)
    if tok.has("NUMBER", "FRACTION", "UNIT", "ACT", "WASH", "USE", "ABOUT") and not about:
        return True
    content = [one for one in part[1:] if not one.has("ART", "SELF", "FILLER", "BE")]
    return tok.has("SELF", "KIN", "PERSON") and tok.text in ("i", "we", "both") and bool(content)


def _somebody_then(part: Sequence[Tok], toks: Sequence[Tok], i: int) -> bool:
    """ "when I got back from the playground | Kit had washed up": whoever did it, behind a clause that has its own subject and verb."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    if (
        after is None
        or len(part) <= LEAST
        or not (tok.has("PERSON", "NAMEWORD", "KIN") or (not tok.known and tok.capital))
    ):
        return False
    deed = any(one.form == "past" and cls in _DEEDS for cls, one in after.senses.items())
    if not (deed or after.text in ("had", "has")) or part[-1].has("AND", "ART", "PREP", "WITH", "FOR", "TO", "BE"):
        return False
    if part[0].text in _WITHIN:
        return True  # "… from the playground | Kit had"
    return part[1].has("SELF", "PRONOUN", "PERSON", "KIN", "NAMEWORD") or part[0].text == "when we"


_DEEDS = ("DO", "WASH", "ACT", "USE", "DUMP", "FILL", "PUT", "HAUL", "SWITCH", "RINSE")


_LINEN = ("washing", "wash", "laundry", "ironing", "clothes")


def _busy(part: Sequence[Tok]) -> bool:
    """ "while I was folding the laundry": with something dry, whatever it was."""
    return part[0].text in ("while", "whilst", "when", "as") and any(
        not tok.known and tok.text.endswith("ing") for tok in part[1:]
    )


def _scenery(part: Sequence[Tok], opened: bool) -> bool:
    if sum(1 for tok in part if not tok.has("ART", "COMMA")) < LEAST:
        return len(part) == 1 and not part[0].known and _in_what_manner(part[0].text) and not turns(part, leads=True)
    if verdict("aside", part) == "always":
        return True
    if not opened:
        agreed = part[0].has("YES") and any(not tok.known for tok in part)  # "ok confession"
        return says_nothing(part[1:] if agreed else part, leads=True) and not any(tok.has("PUTAWAY") for tok in part)
    if part[0].text == "for" and all(_is_name(tok) for tok in part[1:] if not tok.has("AND", "ART")):
        return False  # "for Ana" tells whose it was
    if part[0].text in _PLACES and any(tok.capital for tok in part[1:]):
        return False  # "at Lone Elm" may be where they stay
    if part[0].text in ("after", "before") and any(_misspelt(tok) for tok in part[1:]):
        return False  # "meter after the shoowre 14.6"
    if all(tok.has(*_LITTLE) for tok in part[1:]):
        return False  # "when can to" tells nothing: words are missing
    if no_time_of_it(part) or (part[0].text == "as" and not any(over(tok) or tok.has("RAIN") for tok in part)):
        return False  # "meter says 28.1 when it is cold"
    why = part[0].text in _WHY and any(tok.has("BE") or (part[0].text == "because" and over(tok)) for tok in part)
    told = without_measures(part[1:])
    if part[0].text in _WHY and _of_the_supply(told):
        return not turns(told, leads=True)
    busy = _busy(part)
    meal = part[0].text in ("after", "before", "during", "following")
    return not turns(told, leads=True) and all(
        is_talk(tok, ON_THE_WAY)
        or ((why or busy) and _noun(tok))
        or (busy and tok.text in _LINEN)
        or (meal and _food(tok))
        for tok in told
    )


def _of_the_supply(told: Sequence[Tok]) -> bool:
    """ "the water from the post tasted of chlorine", "the pump was making a noise": how it came, and nothing that was switched."""
    if not any(tok.has(*_SUPPLY) for tok in told) or any(tok.text in ("on", "off") for tok in told):
        return False
    said = any(over(tok) or tok.has("BE", "TASTEQ", "SAYS", "HAVE") for tok in told)
    return said and all(is_talk(tok) or tok.has(*_SUPPLY, *_HOW_IT_CAME) for tok in told)


_SUPPLY = ("WATER", "WATERHERE", "HOOKUP", "FULLHOOK", "PUMP", "PRESSURE", "FLOW", "GEAR")
_HOW_IT_CAME = (
    "TASTEQ",
    "BLEACH",
    "DIRT",
    "FELT",
    "RAIN",
    "SITEWORD",
    "SITE",
    "SERVICE",
    "SAYS",
    "RUN",
    "COMING",
    "CLOUDY",
)


def _misspelt(tok: Tok) -> bool:
    return not tok.known and not tok.capital and not lexicon().frequent(tok.text)


def _is_name(tok: Tok) -> bool:
    return tok.has("PERSON", "NAMEWORD", "KIN") or (not tok.known and tok.capital)


def _in_what_manner(word: str) -> bool:
    """ "naturally", "obviously": how the speaker sees it; "nearly" and "probably" are known, and no such words."""
    return word.endswith("ly") and len(word) > LONGEST_NO_ADVERB and lexicon().frequent(word)


LONGEST_NO_ADVERB = 5  # "fly", "July", "Molly"


def _noun(tok: Tok) -> bool:
    """ "because the pans were greasy": what it was about."""
    return tok.has("ACT") and tok.senses["ACT"].form in ("thing", "noun") and not tok.has("TANK", "METER", "NEG")


def _food(tok: Tok) -> bool:
    """ "big breakfast today, so …": a meal that nobody is said to have made."""
    one = tok.senses.get("ACT")
    return one is not None and one.form == "thing" and one.value == "cooking"


def _light(tok: Tok) -> bool:
    return tok.known and tok.has("FILLER", "ART", "COMMA", "STOP", "SEMI", "COLON", "AND", "THEN", "BUT")
