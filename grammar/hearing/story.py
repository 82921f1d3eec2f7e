"""A report inside a story: the parts that say nothing of water are left out, and what is left must read whole by itself.

"Since it was my turn I washed the dishes with a gallon", "dusty day at the lake, rinsed the bikes, 3 gal". A part is left out only if it
stands between borders (marks, "so", "because", "after" …), every word of it is ordinary English, and none carries meaning for the log:
no number, no tank, no activity, no "not", "will", "if", nobody else's rig. May import: tokens, lexicon, repair, intents, rejoinders.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.hear import Word
from grammar.hearing.repair import candidates
from grammar.hearing.run_on import runs_on, starts_anew
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lexicon import lexicon

# Words that begin a part which tells when or why.
_OPENERS = frozenset(
    (
        "after before following during since because while when as once until till despite for thanks from coming being"
    ).split()
)
_WHY = frozenset(["because", "since", "as"])
# Words that begin a place or a manner; only before a word that the vocabulary does not know ("in the rain", "by the river").
_PLACES = frozenset("in at near by behind beside outside under along around past opposite".split())
_NOT_SO = frozenset("theory principle mistake error dream dreams mind head case fact total place general".split())
_BORDERS = frozenset(("so and but then because therefore hence that which").split())
# What a part that is left out may consist of, besides words that the vocabulary does not know.
HARMLESS = frozenset(
    (
        "FILLER ART A ADJ PREP SELF BE IT KIN GROUP GUESTS NAMEWORD PERSON PARTICLE AND TO AT ON IN FOR OF BY FROM POSS SCENE PART "
        "DO TAKEAWAY AUX SITEWORD TIMEUNIT WHICH LEFT THEREARE REMARK GEAR SITE WALK THEN MOST PAST PAIR TOO TOTAL PRONOUN DIRT RAIN FELT"
    ).split()
)
_ON_THE_WAY = frozenset("BACK AWAY ARRIVE STAY LEAVE DEPART STOW SWITCH ONTO".split())
"""Harmless in "after we got back" only: elsewhere they are reports of their own."""
# What it may not hold, whatever else a word may be.
WEIGHTY = frozenset(
    (
        "NEG FUTURE IF OTHER REPORTED HABIT NUMBER FRACTION UNIT ACT ACTS TANK TANKS METER DUMP FILL HAUL RESET VALVE RINSE USE COST WASH "
        "VAGUE BOUND QMARK UNDO UNDOVERB PRESSURE FLOW RUNOUT FULLNESS EVERY HOOKUP PUMP CLOCK MINUS WEEKDAY MONTH PEOPLEWORD "
        "SANITISE SERVICE TOTE SENSOR LOWTEMP ELSEWHERE"
    ).split()
)
_LITTLE = ("AUX", "TO", "PREP", "ART", "A", "FILLER", "OF", "IN", "ON", "AT", "BY", "FROM", "FOR", "AND", "COMMA")
LEAST = 2
# Somebody who is none of ours: what stands after them without a subject of its own may have been their doing.
STRANGERS = frozenset(
    (
        "bloke blokes lady ladies fella fellas feller lad chap chaps geezer man men woman women stranger strangers camper campers ranger rangers "
        "warden host hosts owner owners plumber vet groomer hairdresser cleaner mechanic technician fitter girl boy couple people driver tourist "
        "tourists hiker hikers cyclist trucker traveller traveler nurse carer caretaker manager attendant neighbour neighbor neighbours "
        "neighbors person somebody someone gentleman dude hitchhiker backpacker farmer landlord landlady policeman officer"
    ).split()
)
# What happened to the water after all: never scenery.
UNDONE = frozenset(
    (
        "lie lied joke joking kidding dream dreamt dreamed leaked leaking spilled spilt wasted lost burst broke mistake wrong instead except "
        "imaginary fictional hypothetical virtual fake "
        "thought believed assumed guessed figured supposed suspected hoped feared wished reckoned imagined presumed expected pretended claimed "
        "again permitting depending pending tbd tbc tentatively sike psych hypothetically theoretically allegedly "
        "reportedly potentially eventually ideally supposedly hopefully"
    ).split()
)


def without_scenery(words: Sequence[Word], toks: Sequence[Tok]) -> tuple[list[Word], frozenset[str]] | None:
    """The words without the parts that are scenery, and the activities named in these; None if there are none, or nothing else."""
    if any(tok.has("QMARK") for tok in toks):
        return None
    kept: list[Tok] = []
    dropped: list[Tok] = []
    for part, opened in _parts(toks):
        (dropped if _scenery(part, opened) else kept).extend(part)
    if not dropped or not any(not _light(tok) for tok in kept) or by_a_stranger(dropped, kept):
        return None
    places = [(tok.start, tok.end) for tok in kept]
    named = frozenset(tok.senses["ACT"].value for tok in dropped if tok.has("ACT") and not _food(tok))
    return [word for word in words if any(start <= word.start and word.end <= end for start, end in places)], named


def by_a_stranger(story: Sequence[Tok], report: Sequence[Tok]) -> bool:
    """ "A bloke walked past and took a shower": whether the report may be of somebody in the story."""
    told = any(tok.text in STRANGERS for tok in story)
    return told and not any(
        tok.text in ("i", "we", "i have", "we have") or tok.has("PERSON", "KIN", "NAMEWORD") for tok in report
    )


def plain_report(meaning: Intent, named: frozenset[str]) -> bool:
    """A report so explicit that scenery beside it cannot have changed it. `named`: activities named in the scenery."""
    if named and (not isinstance(meaning, say.Use) or named != {meaning.activity}):
        return False
    if isinstance(meaning, say.Use):
        told = meaning.amount is not None and meaning.amount.unit is not None
        return meaning.activity is not None and (told or meaning.count is not None or meaning.before is not None)
    if isinstance(meaning, say.Dump):
        return bool(meaning.tanks)
    if isinstance(meaning, say.Fill | say.Valve):
        return meaning.tank is not None
    if isinstance(meaning, say.ReadMeter):
        return meaning.reading is not None and meaning.moment is None
    if isinstance(meaning, say.Pressure):
        return meaning.amount is not None and meaning.amount.unit is not None
    if isinstance(meaning, say.Stay):
        return meaning.until is not None
    if isinstance(meaning, say.Arrive):
        return meaning.site is not None  # "we have arrived at …": what was passed over may be the name
    if isinstance(meaning, say.Supply | say.Service | say.Gear | say.ResetMeter):
        return True
    if isinstance(meaning, say.Level | say.Rinse | say.Haul):
        return meaning.tank is not None and meaning.amount is not None
    if isinstance(meaning, back.Amend):  # "I have pressed too fast. It should be 13.8"
        return meaning.sure and meaning.whole is None
    return isinstance(meaning, say.NotAReport)


def _parts(toks: Sequence[Tok]) -> list[tuple[list[Tok], bool]]:
    """The parts between borders, and whether each begins with a word that tells when or why."""
    parts: list[tuple[list[Tok], bool]] = [([], False)]
    for i, tok in enumerate(toks):
        part, opened = parts[-1]
        if _opens(toks, i) or runs_on(toks, i):
            parts.append(([tok], True))
        elif tok.has("COMMA", "STOP", "SEMI", "COLON") or (tok.text in _BORDERS and not _list(toks, i)):
            parts.append(([tok], False))
            parts.append(([], False))
        elif (opened and len(part) > 1 and _ends(tok, part)) or (not opened and starts_anew(part, toks, i)):
            parts.append(([tok], False))
        else:
            part.append(tok)
    return [one for one in parts if one[0]]


def _opens(toks: Sequence[Tok], i: int) -> bool:
    """Whether a clause that tells when or why begins here ("after the hike", "when we got back", "because it was hot")."""
    tok, after = toks[i], toks[i + 1 : i + 3]
    if tok.text in ("she", "he") and i and toks[i - 1].has("UNIT") and after and after[0].has("BE"):
        return True  # "half a litre she's such a diva"
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
    following = next((tok for tok in toks[i + 1 : i + 4] if not tok.has("ART", "ABOUT", "ADJ")), None)
    if following is not None and following.has("ACT") and toks[i].text in _WHY:
        return False
    return following is None or following.has("NUMBER", "FRACTION", "ACT", "METER", "DAY", "WEEKDAY", "PART", "TANK")


def _ends(tok: Tok, part: Sequence[Tok]) -> bool:
    """Where a clause of time ends without a mark: before an amount, or before the one who did it."""
    thing = (
        tok.has("ACT")
        and tok.senses["ACT"].form == "thing"
        and not tok.has("WASH")
        and part[-1].has("ART", "PREP", "A")
    )
    if thing:
        return False  # "listening to the rain on the roof"
    about = part[0].text in _WHY and tok.has("ACT") and not any(one.has("BE") for one in part)
    if tok.has("NUMBER", "FRACTION", "UNIT", "ACT", "WASH", "USE", "ABOUT") and not about:
        return True
    content = [one for one in part[1:] if not one.has("ART", "SELF", "FILLER", "BE")]
    return tok.has("SELF", "KIN", "PERSON") and tok.text in ("i", "we", "both") and bool(content)


def _scenery(part: Sequence[Tok], opened: bool) -> bool:
    if any(tok.text in UNDONE for tok in part):
        return False
    if sum(1 for tok in part if not tok.has("ART", "COMMA")) < LEAST:
        return len(part) == 1 and not part[0].known and _in_what_manner(part[0].text)
    if _idle_denial(part):
        return True
    if opened:
        if part[0].text == "for" and all(_is_name(tok) for tok in part[1:] if not tok.has("AND", "ART")):
            return False  # "for Ana" tells whose it was
        if part[0].text in ("after", "before") and any(_misspelt(tok) for tok in part[1:]):
            return False  # "meter after the shoowre 14.6"
        if all(tok.has(*_LITTLE) for tok in part[1:]):
            return False  # "when can to" tells nothing: words are missing
        if part[0].text.split()[0] in ("when", "once", "till", "until") and not any(over(tok) for tok in part):
            return False  # "meter says 28.1 when it is cold"
        why = part[0].text in _WHY and any(tok.has("BE") for tok in part)
        return all(_harmless(tok, HARMLESS | _ON_THE_WAY) or (why and _noun(tok)) for tok in part[1:])
    if all(tok.has(*_LITTLE, "PART") for tok in part):
        return False  # "at noon"
    done = any(tok.has("DO", "TAKEAWAY") and tok.text not in ("had", "enjoyed") for tok in part)
    strange = [tok for tok in part if not tok.known]
    said_yes = bool(strange) and part[0].has("YES")  # "ok confession"
    part = part[1:] if said_yes else part
    somewhere = bool(strange) and not any(tok.capital and tok is not part[0] for tok in strange)
    return all(
        _harmless(tok, HARMLESS)
        or (not done and (_food(tok) or (bool(strange) and tok.text == "water")))
        or (somewhere and _going(tok))
        for tok in part
    )


def over(tok: Tok) -> bool:
    """A verb of the past, known or not: "was", "came", "died"."""
    return (
        tok.text in ("was", "were", "had")
        or any(one.form == "past" for one in tok.senses.values())
        or (not tok.known and tok.text.endswith("ed"))
    )


def _misspelt(tok: Tok) -> bool:
    return not tok.known and not tok.capital and tok.text not in lexicon().english


def _is_name(tok: Tok) -> bool:
    return tok.has("PERSON", "NAMEWORD", "KIN") or (not tok.known and tok.capital)


def _in_what_manner(word: str) -> bool:
    """ "naturally", "obviously": how the speaker sees it; "nearly" and "probably" are known, and no such words."""
    return word.endswith("ly") and len(word) > LONGEST_NO_ADVERB and word in lexicon().english


LONGEST_NO_ADVERB = 5  # "fly", "July", "Molly"


def _idle_denial(part: Sequence[Tok]) -> bool:
    """ "couldn't sleep", "no extra charge": what was not so has nothing to do with water; "not true", "not here" have."""
    denied = [tok for tok in part if tok.has("NEG", "NO")]
    rest = [tok for tok in part if tok not in denied]
    strange = [tok for tok in rest if not tok.known]
    plain = all(tok in strange or tok.has("FILLER", "ART", "A", "ADJ", "PREP", "OF", "IN", "MORE") for tok in rest)
    return (
        len(denied) == 1
        and bool(strange)
        and plain
        and all(tok.text in lexicon().english and tok.text not in TELLS_OF_IT for tok in strange)
    )


# Words with which a report is denied or doubted.
TELLS_OF_IT = frozenset(
    (
        "true real yet happening happened ours rig here home us joking kidding serious certain accurate correct right sure legit "
        "actual done finished accounted included yesterday today counting counted measured logged happen count exist"
    ).split()
)


def _going(tok: Tok) -> bool:
    """ "got to the lake", "went fishing": the place has no name, so it is no arrival."""
    return tok.text in ("went", "we went") or (tok.has("ARRIVE") and tok.senses["ARRIVE"].form == "past")


def _noun(tok: Tok) -> bool:
    """ "because the pans were greasy": what it was about."""
    return tok.has("ACT") and tok.senses["ACT"].form in ("thing", "noun") and not tok.has("TANK", "METER", "NEG")


def _food(tok: Tok) -> bool:
    """ "big breakfast today, so …": a meal that nobody is said to have made."""
    one = tok.senses.get("ACT")
    return one is not None and one.form == "thing" and one.value == "cooking"


def _harmless(tok: Tok, allowed: frozenset[str]) -> bool:
    if not tok.known:
        return tok.text.isalpha() and (tok.text in lexicon().english or not candidates(tok.text))
    if tok.has("DAY"):
        return tok.senses["DAY"].value in ("0", "now")
    return not tok.senses.keys().isdisjoint(allowed) and tok.senses.keys().isdisjoint(WEIGHTY)


def _light(tok: Tok) -> bool:
    return tok.known and tok.has("FILLER", "ART", "COMMA", "STOP", "SEMI", "COLON", "AND", "THEN", "BUT")
