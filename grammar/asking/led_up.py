"""A question with something before it, or with a word in it that nobody knows. None where it asks for nothing of ours.

May import: bearing, asking, intents, mood, outlook_questions, statements, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from grammar.asking.asking import DONE, LONGEST_QUESTION, idle, measures, question
from grammar.asking.outlook_questions import WEAK
from grammar.hearing.tokens import Tok
from grammar.intents import Ask, Intent
from grammar.lexicon import lexicon
from grammar.lightclass import replace
from grammar.telling.mood import is_question
from grammar.telling.statements import clause_of


def by_then(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "The concert's Saturday at eight, is the water ok till then": the question, with the moment named before it."""
    then = next((i for i in range(1, len(toks)) if toks[i].text == "then" and toks[i - 1].has("UNTIL")), 0)
    turn = next((i for i in range(1, then) if toks[i].has("COMMA", "SEMI")), 0)
    if not turn or any(tok.has(cls) and tok.senses[cls].form == "past" for tok in toks[:turn] for cls in DONE):
        return None
    named = clause_of(text, [tok for tok in toks[:turn] if tok.known])
    moment = named.get("until") or named.when
    asked = _till_that(text, toks[turn + 1 :]) if moment is not None else None
    return [replace(one, until=moment) for one in asked] if asked is not None else None


def _till_that(text: str, toks: list[Tok]) -> list[Ask] | None:
    """A question that has its end in "till then", if it is one about lasting."""
    asked = question(text, toks)
    if asked is None and toks[0].has("WATER", "WATERHERE", "TANK", "MAKEIT"):
        one = next((tok.senses["TANK"].value for tok in toks if tok.has("TANK")), None)
        return [Ask(topic="make_it", tank=one, text=text.strip())]  # "water ok til then"
    if asked is None or not all(isinstance(one, Ask) and one.topic in ("make_it", "what_if") for one in asked):
        return None
    return [one for one in asked if isinstance(one, Ask)]


def led_up_to(text: str, toks: list[Tok]) -> list[Intent] | None:
    """The question at the end of a phrase that leads up to it: "a bit worried about grey, any idea when it will be full?"."""
    turns = any(
        measures(tok)
        or (tok.text == "when" and toks[i].has("AUX"))
        or (tok.has("QWORD", "QLEAD") and toks[i - 2].has("COMMA", "STOP", "SEMI"))
        for i, tok in enumerate(toks[1:-1], 2)
    )
    if len(toks) > LONGEST_QUESTION or not (is_question(toks) or turns):
        return None
    for i in range(1, len(toks)):
        if not idle(toks[:i]):
            return None
        if not (toks[i].has("QLEAD", "QWORD", "IF") or (toks[i - 1].has("COMMA", "AND", "BUT") and toks[i].has("AUX"))):
            continue
        asked = question(text, toks[i:]) if is_question(toks[i:]) else None
        if asked is not None:
            return of_the_same(text, asked, toks[:i], toks[i:])
    return None


def amid(toks: Sequence[Tok]) -> list[tuple[int, int]]:
    """Where in a phrase a question may stand with nothing but idle talk around it, from the longest stretch to the shortest: "G'day. Noel's
    gone for a walk, so I'm checking for him: how's the grey looking?"."""
    marks = [i for i, tok in enumerate(toks) if tok.has("STOP", "SEMI", "COLON", "QMARK") and tok.text in ".;:!?"]
    edges = [0, *[i + 1 for i in marks], len(toks)]
    found = []
    for start, end in pairwise(edges):
        part = toks[start:end]
        if not part or not (is_question(part) or any(measures(tok) for tok in part)):
            continue
        if not (_talk(toks[:start]) and _talk(toks[end:])):
            continue
        found.append((start, end))
        breaks = [i for i in range(start + 1, end - 1) if toks[i].has("COMMA") or toks[i].text in _ASIDE]
        found += [(start, i) for i in reversed(breaks) if _talk(toks[i + 1 : end])]
        found += [(i if toks[i].has("QWORD") else i + 1, end) for i in breaks if _talk(toks[start:i])]
    return [one for one in found if one != (0, len(toks))][:_AMID]


_AMID = 8  # stretches that are tried
_ASIDE = frozenset("or because as so but and if though although".split())
_HEAVY = ("UNIT", "FRACTION", "NUMBER", "TIMES", "TANK", "TANKS", "METER", "VALVE", "RESET", "RATEUNIT")


def _talk(part: Sequence[Tok]) -> bool:
    """Words that cannot be a report of ours: nothing measured, nothing of the trade done, and no word that may be one misspelt."""
    if any(tok.has("OTHER") for tok in part):
        return not any(tok.has("UNIT") for tok in part)  # somebody else's water
    part = _without_lengths(part)
    return idle(part) and not any(tok.has(*_HEAVY) for tok in part)


def _without_lengths(part: Sequence[Tok]) -> list[Tok]:
    """ "they only take two minutes", "for three days now": a length of time is no amount."""
    return [
        tok
        for i, tok in enumerate(part)
        if tok.number is None or not (i + 1 < len(part) and part[i + 1].has("TIMEUNIT", "PEOPLEWORD"))
    ]


def of_the_same(text: str, asked: list[Intent], before: Sequence[Tok], toks: Sequence[Tok]) -> list[Intent]:
    """The question about "it", the one tank named just before; and till when, if it was said there ("she wants us to stay till Saturday")."""
    if any(isinstance(one, Ask) and one.topic == "make_it" and one.until is None for one in asked):
        ends = clause_of(text, [tok for tok in before if tok.known and not tok.has("NEG")])
        until = ends.get("until") if ends.index("until") >= 0 else None
        asked = [replace(one, until=until) if isinstance(one, Ask) and one.until is None else one for one in asked]
    named = {tok.senses["TANK"].value for tok in before if tok.has("TANK")}
    about = len(named) == 1 and any(tok.has("IT", "BE") and tok.text.startswith("it") for tok in toks)
    if not about:
        return asked
    return [replace(one, tank=min(named)) if isinstance(one, Ask) and one.tank is None else one for one in asked]


def said_when(toks: Sequence[Tok]) -> bool:
    """ "… when I dumped it": at what time it was so, and no question."""
    return toks[0].text == "when" and len(toks) > 1 and toks[1].has("SELF")


def loosely(text: str, toks: list[Tok]) -> list[Intent] | None:
    """A question with words in it that nobody knows, as long as the rest asks for one thing of ours; or one that ends idle talk. Nothing is
    recorded by it."""
    found = _known_of(text, toks)
    if found is not None:
        return found
    for start, end in [*amid(toks), *_after_talk(toks)]:
        found = _known_of(text, toks[start:end], all_known=True)
        if found is not None:
            return of_the_same(text, found, toks[:start], toks[start:end])
    return None


def _after_talk(toks: Sequence[Tok]) -> list[tuple[int, int]]:
    """Where a question may begin behind idle talk, without a mark."""
    starts = [
        i
        for i in range(1, len(toks) - 1)
        if (toks[i].has("QWORD", "QLEAD", "LEFT", "STATUS") or (toks[i].has("AUX") and toks[i + 1].has(*_ASKED_OF)))
        and (is_question(toks[i:]) or measures(toks[i]) or toks[i].has("STATUS"))
    ]
    return [(i, len(toks)) for i in starts if _talk(toks[:i])][:_AMID]


_ASKED_OF = ("SELF", "TANK", "TANKS", "IT", "ART", "THEREARE")


def _known_of(text: str, toks: list[Tok], all_known: bool = False) -> list[Intent] | None:
    """The question that the known words ask. `all_known`: even if there are no others."""
    known = [tok for tok in toks if tok.known]
    strange = [tok for tok in toks if not tok.known]
    odd = [tok for tok in strange if not lexicon().frequent(tok.text) and not tok.capital]
    if not (strange or all_known) or len(strange) > _STRANGE or len(odd) > _ODD:
        return None
    if not is_question(toks) or not any(tok.has(*_ANCHORS) for tok in known):
        return None
    if any(word in _OF_OTHER_THINGS for tok in strange for word in (tok.text, tok.text.removesuffix("s"))):
        return None  # "how long will the diesel last"
    from grammar.hearing.bearing import is_idle

    if not all(is_idle(tok) for tok in strange) or any(tok.has("OTHER", "REPORTED", "DUMPSITE") for tok in toks):
        return None
    asked = question(text, known) or led_up_to(text, known)
    if asked and any(isinstance(one, Ask) and one.topic == "make_it" for one in asked) and not _of_lasting(known):
        return None  # "any good restaurants around here?" is about nothing of ours
    return asked if asked and len(asked) == 1 else None


_OF_OURS = (
    "TANK",
    "TANKS",
    "TANKWORD",
    "WATER",
    "WATERHERE",
    "UNTIL",
    "WEEKDAY",
    "DAY",
    "DAYSLEFT",
    "STAYEND",
    "RUNOUT",
)


def _of_lasting(toks: Sequence[Tok]) -> bool:
    """Whether it is said what lasts, or until when: "good" or "go" alone may be about anything."""
    strong = any(tok.has("MAKEIT") and tok.text not in WEAK and " " in tok.text for tok in toks)
    return strong or any(tok.has(*_OF_OURS) for tok in toks)


_OF_OTHER_THINGS = frozenset(
    (
        "battery batterie charge solar power electric electricity generator amp volt watt inverter engine motor oil coolant tyre "
        "tire wheel brake diesel fuel petrol gas gasoline propane butane lpg bottle cylinder charcoal firewood wood fire stove "
        "heater heating boiler fridge freezer ice food bread milk beer wine egg meat grocery dinner lunch breakfast supper rice "
        "recipe money cash price cost dollar pound euro fee bill rent office shop store supermarket market restaurant pub bar "
        "cafe museum beach cinema church school hospital vet doctor dentist pharmacy gym pool weather rain sun sunny sunset "
        "sunrise wind snow storm forecast temperature cloud moon tide signal internet wifi phone tv television radio game match "
        "concert show film movie music news joke song story president king queen capital country planet sky sea world colour "
        "color age name birthday glasses key keys wallet trailer mile kilometre kilometer drive road route traffic mountain trail "
        "hike open closed park parking fix repair broken leak leaking noise squeak smell buy sell sold brand swim fish"
    ).split()
)
"""Things that last, are full, are counted or are looked for, and are none of ours: with one of them a question is about that."""
_STRANGE = 5  # unknown words that a question may have
_ODD = 2  # those of them that are no ordinary words


_ANCHORS = tuple(
    (
        "TANK TANKWORD ACT DUMP RUNOUT MAKEIT DAYSLEFT WATERHERE WATER BLEACH DUE SERVICE RINSE METER ARRIVING LEAVINGQ DUMPINGQ TOTE "
        "PLANQ FILL STATUS HISTORY CHECKLIST SANITISE HELPQ"
    ).split()
)
