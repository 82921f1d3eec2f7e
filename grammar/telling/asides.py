"""Remarks beside a report: "toted 8 gal of grey, kids rode on top", "at Marmot Gulch till the 18th, I could cry".

A remark has words of its own that are nothing of ours, tells no amount and names no tank, meter, use or deed of ours, and takes nothing
back. What comes before a report may be its subject, so it is looked at more narrowly than what comes after. May import: tokens, lexicon,
repair, story.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.repair import candidates
from grammar.hearing.story import HARMLESS, TELLS_OF_IT, UNDONE, WEIGHTY, over
from grammar.hearing.tokens import Tok
from grammar.lexicon import lexicon

_TURNS = frozenset("NEG FUTURE OTHER HABIT".split())
"""What makes no report of a clause, and says nothing against the one before it."""
_TRADE = (WEIGHTY - _TURNS - {"HOOKUP", "SERVICE"}) | frozenset(
    (
        "TANKWORD VALVE OPEN SHUT SWITCH STOW OUTON DEPART LEAVE NEXTSTOP PEOPLEWORD GUESTS AMEND FIX CANCEL NO YES REPORTED "
        "IF INSTEAD FORGOTLOG QWORD RATEUNIT EACH UNTIL SINCE NEARLY ROOM HOLDS LEFTOVER MINUS WITHOUT EXPLAIN"
    ).split()
)
_ALSO = (
    HARMLESS
    | _TURNS
    | frozenset(
        (
            "HABIT PRONOUN SO MORE LOOK QSOFT DAY VISITOR BACK ANYONE NAMEWORD SELF REMARK PUTAWAY AWAYWORD AWAY HOOKUP GEAR SERVICE SCENE "
            "WATERHERE SEWERHERE ONE WATER TASTEQ RAIN DUMPSITE AGAIN"
        ).split()
    )
)
_TAKES_BACK = (UNDONE - {"again"}) | frozenset(
    (
        "kidding joking joke lied lying jk nope cancelled canceled dreamt dreamed imagined imagine almost nearly attempted tried trying failed "
        "fake pretend pretending hopefully untrue false maybe forgot forgotten meant mean actually wait oops sorry later tomorrow supposed "
        "planned hoping yet instead unless otherwise test testing example hypothetically supposedly allegedly doubt doubtful unsure guess "
        "guessing estimate estimated wrong incorrect reverse reversed undo ignore disregard scrap scratch different same too also half permitting "
        "depending subject assuming tentatively tentative pending fingers tbd tbc unconfirmed undecided deciding considering debating sike psych "
        "thought think believed figured assumed expected hoped wished feared suspected claimed reckon reckoned bet swear swore wondered suppose "
        "hell allegedly sarcasm cancelling canceling postponed postpone swapped swap confirmed official decided"
    ).split()
)
_PLAIN = frozenset(
    "outside all one gone but while though out over up down off round back away through under took".split()
)
"""Words that also are of the trade, and say nothing of it in a remark."""
_LONGEST = 16
_LEAST = 3
_STARTS = ("ART", "SELF", "KIN", "GROUP", "PRONOUN", "OTHER", "NAMEWORD", "PERSON")
_CUTS = 6
_MEANWHILE = ("while", "when", "whilst", "as", "because", "since", "cos", "cause")
_WHY = frozenset("but so while whilst when because as since cause cos though although".split())
_OH = frozenset("yes yeah really honestly seriously truly finally phew wow yay for real go figure ha haha lol".split())


def remark(clause: Sequence[Tok], leads: bool) -> bool:
    """Whether the words are a remark beside a report. `leads`: no report has come before them."""
    if not clause or len(clause) > _LONGEST:
        return False
    if _who_did_it(clause) or all(word in _OH for tok in clause for word in tok.text.split()):
        return not leads
    if any(word in _TAKES_BACK for tok in clause for word in tok.text.split()):
        return False
    told, dry = _without_lengths(_without_things_missing(clause)), deedless(clause)
    content = [tok for tok in told if not tok.known and not tok.capital and len(tok.text) >= _LEAST]
    looked = any(tok.has("LOOK") for tok in clause)
    weather = any(tok.has("RAIN", "LOWTEMP") or (dry and _thing(tok)) for tok in told)
    meanwhile = clause[0].text in _MEANWHILE and len(clause) > _LEAST
    if clause[0].text.split()[0] == "when" and not any(over(tok) for tok in clause):
        return False  # "when it is cold", "when we leave": a rule, or what is to come
    if not (content or looked or weather or meanwhile):
        return False
    turned = any(tok.has(*_TURNS) for tok in told)
    if turned and (leads or any(tok.text in TELLS_OF_IT for tok in clause)):
        return False  # "not true"
    return all(_idle(tok) or (dry and _thing(tok)) for tok in (told[1:] if meanwhile else told))


def deedless(clause: Sequence[Tok]) -> bool:
    """Whether nothing that takes water is told: "the dog came with me", "took the dog round the loop", but not "washed the dog"."""
    taken = any(tok.has("TAKEAWAY") for tok in clause) and any(
        tok.has("PARTICLE", "AWAYFOR", "SCENE") for tok in clause
    )
    return not any(
        tok.has("WASH", "USE", "SANITISE", "UNIT", "FRACTION", "ELSEWHERE")
        or (tok.has("DO") and not (taken and tok.has("TAKEAWAY")) and not tok.has("AUX", "HAVE"))
        or (tok.has("ACT") and not _thing(tok))
        for tok in clause
    )


def _thing(tok: Tok) -> bool:
    """A dog, a kettle, gloves: what water may be used on."""
    return tok.has("ACT") and tok.senses["ACT"].form == "thing" and not tok.has("TANK", "METER", "NUMBER", "SERVICE")


def _without_lengths(clause: Sequence[Tok]) -> list[Tok]:
    """Without "forty minutes", "half an hour": how long something took that is none of ours."""
    kept: list[Tok] = []
    for tok in clause:
        if tok.has("TIMEUNIT") and kept and not tok.has("NUMBER"):
            while kept and kept[-1].has("NUMBER", "FRACTION", "A", "ABOUT", "OF", "COUPLE"):
                kept.pop()
            continue
        kept.append(tok)
    return kept


def _without_things_missing(clause: Sequence[Tok]) -> list[Tok]:
    """Without "with no gloves on", "no charge": what was not there, and has nothing to do with a tank or a meter."""
    kept: list[Tok] = []
    n = 0
    while n < len(clause):
        led = n and clause[n - 1].has("PREP") and clause[n].text == "no" and n + 1 < len(clause)
        if led and (not clause[n + 1].known or _thing(clause[n + 1])) and clause[n + 1].text not in TELLS_OF_IT:
            n += 2
            continue
        kept.append(clause[n])
        n += 1
    return kept


def _who_did_it(clause: Sequence[Tok]) -> bool:
    """ "Kev did it"."""
    said = [tok.text for tok in clause[1:]]
    strange = not clause[0].known or clause[0].senses.keys() <= {"NAMEWORD", "PERSON"}
    return strange and clause[0].text.isalpha() and said in (["did", "it"], ["did", "that"], ["did it"], ["did that"])


def is_idle(tok: Tok) -> bool:
    """Whether an unknown word is surely none of ours, misspelt."""
    return tok.text.isalpha() and (tok.capital or tok.text in lexicon().english or not _may_be_ours(tok.text))


def _idle(tok: Tok) -> bool:
    if not tok.known:
        return is_idle(tok)
    if tok.has("GROUP", "KIN", "BE", "COMING", "LOWTEMP", "HAVE") or tok.text in _PLAIN:
        return not tok.has("TANK", "METER", "NUMBER")
    return tok.senses.keys().isdisjoint(_TRADE) and not tok.senses.keys().isdisjoint(_ALSO)


_AT_A_SITE = ("WATER", "WATERHERE", "SEWERHERE", "HOOKUP", "FULLHOOK", "NOHOOK")


def _may_be_ours(word: str) -> bool:
    """Whether it may be a misspelling of a word of the trade; a thing that water is used on is none without a deed."""
    spellings = lexicon().spellings
    near = [one for other, wrong in candidates(word) if wrong == 1 for one in spellings.get((other,), ())]
    return any(
        (one.cls in _TRADE or one.cls in _AT_A_SITE) and (one.cls != "ACT" or one.form != "thing") for one in near
    )


def _a_name(tok: Tok) -> bool:
    """A word that is no ordinary one, and may be somebody's name."""
    return not tok.known and tok.text.isalpha() and tok.text not in lexicon().english


def places_to_cut(clause: Sequence[Tok]) -> list[int]:
    """Where a remark may begin inside a clause without a mark: before whoever or whatever it speaks of."""
    found = [
        n
        for n in range(1, len(clause))
        if (
            clause[n].has(*_STARTS) and not clause[n - 1].has("PREP", "AT", "IN", "ON", "OF", "BY", "FROM", "FOR", "TO")
        )
        or clause[n].text in _WHY
    ]
    return found[:_CUTS]


_BEGINS = ("TANK", "TANKS", "METER", "SENSOR", "PRESSURE")
_HANGS = (
    "PREP",
    "ART",
    "A",
    "AT",
    "IN",
    "ON",
    "OF",
    "BY",
    "FROM",
    "FOR",
    "TO",
    "ADJ",
    "POSS",
    "AND",
    "LOOK",
    "DO",
    "PUT",
    "FILL",
    "DUMP",
)


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
