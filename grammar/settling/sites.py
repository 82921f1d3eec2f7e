"""Names of places: the words after "arrived at", "next stop", "at", up to the next word that says something else.

A name has a capital, or a word that is none of English, or stands where all else speaks of a stay. May import: tokens, lexicon, people.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import Lexicon
from grammar.settling.people import does, titled

_SITE_STOPS = frozenset(
    (
        "COMMA STOP SEMI UNTIL THROUGH NUMBER WITHOUT FULLHOOK NOHOOK PARTHOOK SEWERONLY NOSEWER NOWATER "
        "LEAVE STAY DAY WATERHERE SEWERHERE ISODATE "
        "WEEKDAY WHICH COLON QMARK AND BUT THEN CLOCK MONTH ORD SINCE FROM ELECTRIC DUMP METER FRACTION AGO PART"
    ).split()
)
_NO_NAMES = tuple(
    ("ACT ACTS BE AUX SELF PERSON UNIT NEG FUTURE QWORD HABIT REPORTED AGAIN UNDO AMEND FIX PARTICLE").split()
)
_VERB_FORMS = frozenset(["past", "base", "ing", "pres"])
_SITE_STOP_WORDS = frozenset(
    (
        "with for at on till until from this last yesterday today tonight in around about no water sewer staying "
        "after before by past round safe safely late early "
        "leaving now a and it has have is there we they i but so which where stay stays going here just only"
    ).split()
)


def settle_sites(toks: list[Tok], lexicon: Lexicon) -> list[Tok]:
    found: list[Tok] = []
    toks = _numbered(toks)
    i = _named_first(toks)
    if i:
        found.append(_site(toks[:i]))
    while i < len(toks):
        start = _site_start(toks, i, found)
        if start is not None:
            end = _site_end(toks, i, start)
            named = end > start and _plausible(toks, start, end, lexicon) and not _lone_word(toks, i, start, end)
            if named and not _somebodys(toks[start:end]):
                found.extend(toks[i:start])
                found.append(_site(toks[start:end]))
                i = end
                continue
        found.append(toks[i])
        i += 1
    return found


def _somebodys(name: Sequence[Tok]) -> bool:
    """ "at Dave's", "at Pia's request": with somebody, or an idiom; "at Dave's Landing" is a place."""
    place = next((n for n, tok in enumerate(name) if tok.has("POSS")), -1)
    return place >= 0 and (place + 1 == len(name) or (name[0].capital and not name[place + 1].capital))


_PLACES_WITH_NUMBERS = frozenset("site pitch lot spot space pad berth slip stand bay loop".split())


def _numbered(toks: list[Tok]) -> list[Tok]:
    """ "arrived at site 12" is at a site of that name; "at Elm Park, pitch 14" needs no more than the park."""
    stays = any(one.has(*_GOING) or one.text == "at" for one in toks)
    if not stays or any(tok.has("THEREARE") for tok in toks):
        return toks  # "at loop 3 there is water" tells of a place
    found: list[Tok] = []
    i = 0
    while i < len(toks):
        tok, number = toks[i], toks[i + 1] if i + 1 < len(toks) else None
        beyond = toks[i + 2] if i + 2 < len(toks) else None
        counted = (
            number is not None and number.number is not None and not (beyond and beyond.has("UNIT", "TIMEUNIT", "AMPM"))
        )
        if counted and tok.text in _PLACES_WITH_NUMBERS:
            assert number is not None
            led = found and (found[-1].has("ARRIVE", "NEXTSTOP") or found[-1].text in ("at", "in", "the"))
            if led:
                name = titled(f"{tok.text} {number.text}")
                found.append(Tok(name, tok.start, number.end, sense("SITE", name)))
            elif found and found[-1].has("COMMA", "ON", "IN"):
                found.pop()
            i += 2
            continue
        found.append(tok)
        i += 1
    return found


_GOING = ("ARRIVE", "STAY", "NEXTSTOP")


def _named_first(toks: Sequence[Tok]) -> int:
    """ "Elm Park, water and electric, no sewer, till the 17th": where a name at the head of a list of hookups ends; 0 if there is none."""
    end = 0
    while end < len(toks) and end < 4 and _strange(toks[end]) and toks[end].text.isalpha():
        end += 1
    rest = toks[end:]
    if end and _then_arrived(toks, end):
        return end
    if (
        not end
        or not any(tok.has(*_HOOKUPS) for tok in rest)
        or any(tok.has(*_NO_NAMES, "TANK", "ARRIVE") for tok in rest)
    ):
        return 0
    stays = any(tok.has("UNTIL", "LEAVE", "THROUGH") or tok.text in ("night", "nights") for tok in rest)
    named = all(tok.capital for tok in toks[:end])
    return end if (named and rest[0].has("COMMA", "COLON")) or (stays and end > 1) else 0


def _then_arrived(toks: Sequence[Tok], end: int) -> bool:
    """ "Quill Point, arrived 13:20": a name, and that they have come there; "Walt, arrived at Quill Point" tells of somebody."""
    here = end + 1 if end < len(toks) and toks[end].has("COMMA", "COLON") else end
    came = toks[here] if here < len(toks) else None
    if came is None or not came.has("ARRIVE") or came.senses["ARRIVE"].form != "past" or came.text.split()[-1] in _INTO:
        return False
    if here == end:  # "Joss arrived", "Joss Miller arrived last night": somebody, unless the rest tells of a stay
        return (
            end > 1 and any(tok.has(*_STAYS, "CLOCK") for tok in toks[here:]) and all(tok.capital for tok in toks[:end])
        )
    whole = end > 1 or not toks[0].senses
    return whole and (all(tok.capital for tok in toks[:end]) or end > 1)


_INTO = frozenset("at to into in reached".split())
_HOOKUPS = ("FULLHOOK", "NOHOOK", "PARTHOOK", "SEWERONLY", "NOSEWER", "NOWATER")


def _site_start(toks: Sequence[Tok], i: int, before: Sequence[Tok]) -> int | None:
    """Where a site's name may begin if token `i` leads to one."""
    tok = toks[i]
    j = i + 1
    if tok.text == "departed" and j + 1 < len(toks):
        j += toks[j].text == "from"
        return j if toks[j].capital and _strange(toks[j]) else None
    if tok.text != "at" and not tok.has("ARRIVE", "NEXTSTOP"):
        return None
    if tok.has("ARRIVE"):
        while j < len(toks) and (
            toks[j].text in ("at", "to", "in", "into")
            or toks[j].has("COLON")
            or (toks[j].has("FILLER", "ART", "BE") and not toks[j].capital)
        ):
            j += 1
        late = j
        while (
            late < len(toks)
            and toks[late].has("DAY", "PART", "ADJ", "LATER", "AGO", "WEEKDAY")
            and not toks[late].capital
        ):
            late += 1
        if late > j and late < len(toks) and toks[late].text in ("at", "to", "in", "into"):
            return late + 1  # "got in late last night to Badger Flats"
        return j
    opening = (
        not before
        or before[-1].has("COMMA", "STOP", "SEMI", "AND", "THEN")
        or all(one.has(*_BEFORE_A_SITE) for one in before)
    )
    if tok.has("NEXTSTOP") and opening:
        if tok.text in _MERELY_NEXT and _about_us(toks, j):
            return None
        while j < len(toks) and (
            toks[j].text in ("at", "to", "in", "is", "we", "are", "go", "stop") or toks[j].has("COLON", "COMMA")
        ):
            j += 1
        late = j
        while late < len(toks) and toks[late].has("ON", "WHICH", "WEEKDAY", "DAY", "MONTH", "ORD", "ISODATE", "NUMBER"):
            late += 1
        if late > j and late < len(toks) and toks[late].text == "to":
            j = late + 1  # "moving on Sunday to Pebble Reach"
        if tok.text in _MERELY_NEXT and (does(toks, j) or _took_turns(toks, i, j)):
            return None  # "then Otto rinsed the plates"
        return j if _may_begin(toks, i, j) else None
    if (
        tok.text == "at"
        and before
        and (before[-1].has("NOHOOK", "STAY") or before[-1].text in ("camped", "camping", "parked"))
    ):
        return j
    if tok.text == "at" and before and j < len(toks) and toks[j].capital and _strange(toks[j]):
        return j
    return j if tok.text == "at" and opening and _may_begin(toks, i, j) else None


_BEFORE_A_SITE = ("FILLER", "SELF", "BE", "ART", "ARRIVE", "ON", "FROM", "WEEKDAY", "WHICH", "DAY", "UNTIL", "TO")
""" "On Sunday we go to Pebble Reach", "from Friday to Monday next stop Cold Spring"."""


def _may_begin(toks: Sequence[Tok], lead: int, j: int) -> bool:
    """Whether a name may begin at token `j`: a capital, a word that is none of ours, or, in the place of a site, words of a name."""
    if j >= len(toks):
        return False
    return toks[j].capital or _strange(toks[j]) or _of_a_pair(toks, j) or _words_of_a_name(toks, lead, j) > 0


_NOUNS = frozenset(
    ("ACT GEAR DIRT ADJ NAMEWORD KIN REMARK VALVE SCENE VESSEL RIG BLEACH GLASS FELT VISITOR OTHER").split()
)
_HOW = frozenset("home safe safely late early soon shattered knackered tired exhausted".split())
""" "Got in knackered": how, and not where."""


def _words_of_a_name(toks: Sequence[Tok], lead: int, start: int) -> int:
    """ "old ladder farm", "copper kettle", "thistle bowl": how many words at `start` are the name of a site by their place, where a word
    that leads to none but a site stands before and the phrase speaks of a stay. One of them at least is no word of ours."""
    if not (_leads_surely(toks[lead]) and _of_a_stay(toks, lead, start)):
        return 0
    end = start
    while end < len(toks) and end < start + 4 and _may_name(toks[end]):
        end += 1
    found = toks[start:end]
    return end - start if any(_strange(tok) for tok in found) and found[0].text not in _HOW else 0


def _may_name(tok: Tok) -> bool:
    """A word without a meaning here, or a thing, a look, a person: what places are named after."""
    if _strange(tok):
        return tok.text.isalpha()
    form = tok.senses["ACT"].form if tok.has("ACT") else "thing"
    return tok.senses.keys() <= _NOUNS and form == "thing" and tok.text.isalpha() and tok.text not in _SITE_STOP_WORDS


def _leads_surely(lead: Tok) -> bool:
    """A word after which nothing but a site can stand: "next stop is", "pulled into"."""
    if lead.has("NEXTSTOP"):
        return lead.text not in _MERELY_NEXT
    return lead.has("ARRIVE") and lead.text.removeprefix("have ").startswith(_STRONG)


def _of_a_stay(toks: Sequence[Tok], lead: int, start: int) -> bool:
    """Whether the words around tell of hookups, nights or an end of the stay."""
    around = [*toks[:lead], *toks[start:]]
    return toks[lead].has("NEXTSTOP") or any(tok.has(*_STAYS) or tok.text in ("night", "nights") for tok in around)


def _about_us(toks: Sequence[Tok], j: int) -> bool:
    """ "next Ana tank": someone of the household and a thing of ours, and no place."""
    rest = [tok for tok in toks[j:] if not tok.has("ART", "COLON")]
    stays = any(tok.has(*_STAYS) or tok.text in ("night", "nights") for tok in rest)
    someone = bool(rest) and rest[0].has("PERSON", "NAMEWORD") and (len(rest) == 1 or not _strange(rest[1]))
    if someone and not stays and not (len(rest) > 1 and rest[1].capital):
        return True  # "then Ana", "next Ana another"
    things = any(tok.has("TANK", "TANKWORD", "METER", "ACT", "ACTS") and not tok.capital for tok in rest)
    return bool(rest) and not stays and (things or (len(rest) == 1 and rest[0].has("PERSON")))


def _took_turns(toks: Sequence[Tok], lead: int, j: int) -> bool:
    """ "Max showered, then Lou, then Pia": who else did it, where one of the household did something before and nothing speaks of a stay."""
    end = next((n for n in range(j, len(toks)) if toks[n].has("COMMA", "STOP", "AND", "THEN")), len(toks))
    did = any(toks[n].has("ACT", "DO", "USE", "WASH") for n in range(lead))
    by = any(tok.has("PERSON", "NAMEWORD", "KIN", "SELF") or _strange(tok) for tok in toks[:lead])
    apart = tuple(cls for cls in _STAYS if cls != "NEXTSTOP")
    stays = any(tok.has(*apart, "ARRIVE", "SITE", "METER", "TANK") or tok.text in ("night", "nights") for tok in toks)
    return end - j == 1 and did and by and not stays


def _of_a_pair(toks: Sequence[Tok], j: int) -> bool:
    """ "quail bend", "kettle creek": a thing that water is used on begins a name, before a word that means nothing here."""
    if j + 1 >= len(toks) or toks[j].senses.keys() != {"ACT"} or toks[j].senses["ACT"].form != "thing":
        return False
    return _strange(toks[j + 1]) and toks[j + 1].text.isalpha() and len(toks[j].text.split()) == 1


def _site_end(toks: Sequence[Tok], lead: int, start: int) -> int:
    j = start
    while j < len(toks) and j < start + 5:
        tok = toks[j]
        if _number_in_a_name(toks, j, start):
            j += 1
            continue
        if not tok.capital and (tok.has(*_SITE_STOPS) or tok.text in _SITE_STOP_WORDS):
            break
        if j > start and tok.text == "the" and not toks[j - 1].has("PREP", "OF"):
            break  # "Heron Bend the other day"
        if tok.capital and tok.has("COMMA", "UNTIL", "WEEKDAY", "MONTH", "CLOCK") and j > start:
            break
        if j > start and (tok.text.startswith(("for ", "to ")) or tok.has("THEREARE")):
            break  # "Cedar Flat for lunch"
        if j > start and not tok.capital and tok.has("TO"):
            break  # "Cedar Flat to sleep"
        if j > start and " " in tok.text and tok.has(*_HOOKUPS, "WATERHERE", "SEWERHERE", "HOOKUP"):
            break  # "Cedar Bend Water yes sewer no": a phone gives capitals as it likes
        if j > start and not tok.capital and tok.text.split()[0] in _OF_AN_HOUR:
            break
        if tok.has("COMMA", "STOP", "SEMI", "COLON", "QMARK", "NUMBER", "WEEKDAY", "DAY"):
            break
        if _of_a_pair(toks, j) and j == start:
            j += 2
            continue
        if j == start and (named := _words_of_a_name(toks, lead, start)):
            j += named
            continue
        if not tok.capital and (tok.has(*_NO_NAMES) or any(one.form in _VERB_FORMS for one in tok.senses.values())):
            break
        j += 1
    return j


_OF_AN_HOUR = frozenset(("at", "around", "about", "an", "half", "one", "two"))


def _number_in_a_name(toks: Sequence[Tok], j: int, start: int) -> bool:
    """ "Mesa Nine", "Three Landing": a number word with a capital, beside a word that is none of ours."""
    tok, after = toks[j], toks[j + 1] if j + 1 < len(toks) else None
    if not tok.capital or tok.number is None or not tok.text.isalpha():
        return False
    if after is not None and after.has("UNIT", "TIMEUNIT", "AMPM", "OCLOCK", "ACTS", "PEOPLEWORD", "GUESTS"):
        return False
    if j > start:
        return toks[j - 1].capital and _strange(toks[j - 1])
    return after is not None and after.capital and _strange(after)


_STRONG = tuple("arrived pulled checked set camped camping staying parked rolled moved landed are".split())
_MERELY_NEXT = ("next", "then", "after that", "after this", "followed by", "after which")
_STAYS = tuple(
    (
        "UNTIL FULLHOOK NOHOOK PARTHOOK SEWERONLY NOSEWER NOWATER WATERHERE SEWERHERE NIGHTS LEAVE STAY NEXTSTOP SINCE"
    ).split()
)


def _strange(tok: Tok) -> bool:
    """A word without a meaning of its own here; a given name that is also a word may be part of a place."""
    return tok.senses.keys() <= {"NAMEWORD"}


_PRONOUNS = frozenset(
    "he she him her hers his it its they them their who when where someone anybody anyone both some just there".split()
)


def _says_nothing(tok: Tok) -> bool:
    """A little word, or a use of water: no name of a place, whatever its capital."""
    return tok.text in _PRONOUNS or tok.has(*_NO_NAMES, "FILLER", "PREP", "VAGUE", "ART", "IT", "GROUP", "OTHER")


def _plausible(toks: Sequence[Tok], start: int, end: int, lexicon: Lexicon) -> bool:
    """A name of a place: a capitalised word in it, or one that is no ordinary word, or ordinary words where all else speaks of a stay."""
    if any(tok.has("OR") for tok in toks[start:end]):
        return False  # "Cedar Flat or Harbor Lane": not settled
    name = toks[start:end]
    if all(_says_nothing(tok) for tok in name):
        return False  # "at I both", "here at She"
    if (
        name[0].has("AUX", "QWORD")
        and not name[0].has("NAMEWORD")
        and any(tok.has("TANK", "TANKWORD", "METER") for tok in name[1:])
    ):
        return False  # "then would grey", heard as a title
    lead = next(
        (n for n in range(start - 1, -1, -1) if toks[n].has("ARRIVE", "NEXTSTOP") or toks[n].text == "at"), None
    )
    manner = lead is not None and _may_tell_how(toks, lead, start)
    plain = lexicon.ordinary if manner else lexicon.frequent
    if any(tok.capital or (_strange(tok) and not plain(tok.text)) or tok.text == "point" for tok in name):
        return not manner or any(tok.capital or not tok.text.endswith(_OF_MANNER) for tok in name)
    if not any(_strange(tok) for tok in name):
        return False
    strong = lead is not None and _leads_surely(toks[lead])
    stays = any(tok.has(*_STAYS) or tok.text in ("night", "nights") for tok in [*toks[: start - 1], *toks[end:]])
    if manner or toks[start - 1].text in ("the", "a"):
        return strong and stays  # "arrived in style"
    return stays or (strong and end - start > 1)  # "staying at home"


_OF_MANNER = ("ed", "ly")


def _may_tell_how(toks: Sequence[Tok], lead: int, start: int) -> bool:
    """ "arrived in style", "pulled in gingerly", "arrived to applause": how they came, as well as where, for no "at" and no "into" leads
    there."""
    came = [word for tok in toks[lead:start] for word in tok.text.split() if word not in ("the", "a", "an")]
    return toks[lead].has("ARRIVE") and (came[-1] in ("in", "by", "arrived") or came[-2:] == ["arrived", "to"])


def _lone_word(toks: Sequence[Tok], lead: int, start: int, end: int) -> bool:
    """ "at asleep", "then dumwpd": one unknown word after a bare "at" or "then", and nothing else that speaks of a stay, is more likely
    misheard or misspelt."""
    alone = toks[lead].text in ("at", *_MERELY_NEXT) and end - start == 1 and not toks[start].capital
    if alone and end < len(toks) and toks[end].text == "at":
        return True  # "after this we are gonked at Sandpiper Loop": the place follows
    return alone and not any(tok.has(*_STAYS) or tok.text in ("night", "nights") for tok in [*toks[:lead], *toks[end:]])


def _site(toks: Sequence[Tok]) -> Tok:
    typed = any(tok.capital for tok in toks)
    name = " ".join(tok.text for tok in toks if not (tok.has("ART") and not typed)).replace(" 's", "'s")
    return Tok(titled(name), toks[0].start, toks[-1].end, sense("SITE", titled(name)))
