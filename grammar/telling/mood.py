"""Whether a clause reports something that has happened to this rig: negation, plan, question, hypothesis, others, hearsay, habit.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from grammar.hearing.tokens import Tok, classes

_WHO = ("SELF", "PERSON", "IT", "NEG", "OTHER", "GROUP", "THEREARE", "VISITOR", "GUESTS", "ANYONE")
_WHAT = tuple(
    (
        "TANK TANKS TANKWORD ACT METER SERVICE GEAR VALVE PUMP HOOKUP PRESSURE FLOW ROOM SITE TOTE SENSOR RINSE WATER BLEACH HEATER DUMPSITE LEFTOVER"
    ).split()
)
_SUBJECTS = (*_WHO, *_WHAT, "MAKEIT", "ROOMQ", "LEFT", "NUMBER", "BE", "FILLER", "A", "ART", "DEPART", "CHANGE")
_INSTRUMENTS = ("METER", "SENSOR", "PRESSURE", "FLOW", "LOWTEMP")
_MODALS = frozenset(("can could will would shall should may might must").split())
_DO = frozenset(["do", "does", "did"])
_HAVE = frozenset(["have", "has", "had"])
_BE = frozenset(["is", "are", "am", "was", "were"])
_ASKS_DO = ("RUNOUT", "MAKEIT", "NEG", "LAST", "LEFT")
_ASKS_BE = ("FULLNESS", "OPEN", "SHUT", "DUMP", "FILL", "RESET", "CHANGE", "SANITISE", "HAUL", "RINSE", "STOW", "OUTON")
_DOING = ("ACT", "DO", "WASH", "DUMP", "FILL", "HAUL", "RESET", "CHANGE", "OPEN", "SHUT", "RINSE")
# Spellings of several words that begin with a plan ("need to dump" is also what one asks about).
_PLANS = frozenset(("need have has needs got ready going time wants want due").split())


def is_question(toks: Sequence[Tok]) -> bool:
    """A question by its sign, its first word, or verb before subject."""
    first = next((tok for tok in toks if not _dropped(tok)), None)
    if first is None:
        return False
    if not classes(toks).isdisjoint(("QMARK", "QLEAD")):
        return True
    if toks[0].text == "any" and first.has("ROOM", "ROOMQ", "LEFTOVER"):
        return True  # "any room for the dishes tonight"
    if not first.has("QWORD", "PREP", "AT", "LEFT", "AUX", "PERDAY", "DAY", "TODOQ", "SHOW") and first.text not in _BE:
        return False
    core = [tok for tok in toks if not _dropped(tok)]
    after = toks[toks.index(first) + 1 :]
    if first.has("SHOW") and first.text.split()[0] == "what":
        return True  # "what are we hauling in water weight"
    if first.text == "did" and after and after[0].text in ("a", "an"):
        return False  # "did a black tank rinse"
    if first.text in _BE and after and after[0].text in ("that", "this"):
        return True  # "was that a lot"
    if first.has("QWORD") and not (first.text in ("what", "who", "when") and len(core) == 1):
        return True
    if first.has("PREP", "AT", "PERDAY", "DAY") and len(core) > 1 and core[1].has("QWORD"):
        return True  # "at what reading", "for how long"
    if first.has("TODOQ") and first.text.split()[0] in ("did", "have", "has", "am", "are"):
        return True  # "did we forget to dump"
    if first.has("LEFT") and first.text.startswith(("is there", "are there", "do we", "have we", "can we")):
        return True
    if not first.has("AUX") or len(core) < 2:
        return False
    if " " in first.text:  # "have we", "have i"
        return True
    return _inverted(first.text, core[1], core[2:])


_ONESELF = ("me", "us", "myself", "ourselves")


def _inverted(verb: str, after: Tok, rest: Sequence[Tok]) -> bool:
    """Whether verb and next token stand as in a question: "did Ana …", "is grey full", but not "did the dishes", "had two showers"."""
    if after.text in _ONESELF:  # "had me a shower", "did us a brew"
        return False
    if after.text.startswith(("i ", "we ")):
        return True  # "did I leave the hose out": "I leave" is one of our words
    if verb in _DO:
        return after.has(*_WHO) or (
            after.has(*_WHAT) and any((_form(tok, "base") and not tok.has("RUN")) or tok.has(*_ASKS_DO) for tok in rest)
        )
    if verb in _HAVE:
        if verb == "had" and after.has("ACT"):
            return False
        who = after.has("SELF", "PERSON", "ANYONE", "NEG", "OTHER", "GROUP") or (verb == "has" and after.has("IT"))
        joined = next((i for i, tok in enumerate(rest) if tok.has("AND", "COMMA", "THEN")), len(rest))
        return who or (after.has(*_WHAT) and any(_form(tok, "past") for tok in rest[:joined]))
    if verb in ("is", "are") and any(tok.has("COMING") for tok in rest):
        return True  # "are two friends coming on Saturday"
    if verb in _BE:
        if verb in ("was", "were"):
            if verb == "were" and after.has("NUMBER"):
                return _of_uses(rest)
            return after.has("SELF", "IT", "THEREARE") or (
                after.has("PERSON", *_WHAT) and any(tok.has(*_ASKS_BE, "FRACTION", "NUMBER") for tok in rest)
            )
        if after.has("NUMBER") and not after.has("TANK"):
            return _of_uses(rest)
        return after.has(*_SUBJECTS) or (after.has("FRACTION", "UNIT") and _of_uses(rest))
    return verb in _MODALS and verb not in ("may",) and after.has(*_SUBJECTS)


def _of_uses(rest: Sequence[Tok]) -> bool:
    """ "is 3 gal for dishes ok", "are two showers too many": of uses, and not "are four aboard"."""
    return any(tok.has("ACT", "ACTS") for tok in rest)


def _form(tok: Tok, form: str) -> bool:
    return any(one.form == form for one in tok.senses.values())


def _dropped(tok: Tok) -> bool:
    return tok.has("FILLER", "COMMA", "STOP", "QMARK", "ART", "COLON", "SEMI", "ADJ", "QSOFT") and not tok.has(
        "QWORD", "AUX", "SELF"
    )


def mood(toks: Sequence[Tok]) -> str | None:
    """Why these tokens are no report of this rig, or None if they may be one."""
    said = classes(toks)
    if "DOUBT" in said:
        return "doubt"
    if "OTHER" in said:
        return "other_people"
    if "IF" in said and any(tok.has("IF") and not tok.has("BEFORE") for tok in toks):
        return "hypothesis"
    if is_question(toks):
        return "question"
    if any(tok.text.endswith(_FUEL) for tok in toks) and said.isdisjoint(("TANK", "TANKS", "WATER", "ACT", "UNIT")):
        return "elsewhere"  # "filled up at the gas station"
    if "ELSEWHERE" in said and _elsewhere(toks):
        return "elsewhere"
    if ("REPORTED" in said and _hearsay(toks, said)) or _seems(toks, said):
        return "reported"
    if "STAYEND" in said and any(tok.has("STAYEND") and tok.text.startswith("when ") for tok in toks):
        return "intention"  # "grey is full when we leave"
    if _planned(toks) or ("TOOK" not in said and "AMOUNT" not in said and _going_on(toks)):
        return "intention"
    if "NEG" in said:
        return "negation"
    if not said.isdisjoint(("FULLNESS", "FRACTION")) and any(
        one.text == "had" and other.text in ("been", "be") for one, other in pairwise(toks)
    ):
        return "remark"  # "grey had been full": once, and how it is now is not told
    if (
        "HABIT" in said
        or _usual(toks)
        or _spent_with(toks)
        or ("REMARK" in said and said.isdisjoint(("UNIT", "FRACTION")))
    ):
        return "remark"
    return None


_FUEL = ("gas station", "petrol station")


def _hearsay(toks: Sequence[Tok], said: set[str]) -> bool:
    """ "Joss says grey is full": somebody's word; what an instrument says is none."""
    told = [tok.senses["REPORTED"].value for tok in toks if tok.has("REPORTED")]
    weather = "LOWTEMP" in said and said.isdisjoint(("UNIT", "ACT"))
    return (not weather and "somebody" in told) or said.isdisjoint(_INSTRUMENTS)


_SEEMING = frozenset("looks look looked seems seem seemed sounds sounded appears appeared".split())
_READ_OFF = ("METER", "SENSOR", "TANK", "TANKS", "TANKWORD", "PRESSURE", "FLOW")


def _seems(toks: Sequence[Tok], said: set[str]) -> bool:
    """ "looks like a 2 gallon shower", "sounds like Ana did the dishes": what somebody makes out, and did not do or see."""
    if said.isdisjoint(("ACT", "ACTS", *_DEEDS)):
        return False
    core = [tok for tok in toks if not tok.has("IT") and (not tok.has("FILLER", "COMMA") or tok.has("BE"))]
    if not core or core[0].text.split()[0] not in _SEEMING:
        return False
    end = next((n for n, tok in enumerate(toks) if tok.has("COMMA") and tok.start > core[0].start), len(toks))
    clause = toks[:end]
    if any(tok.has("SELF", "PERSON") for tok in clause) and any(
        _form(tok, "past") for tok in clause if tok.has(*_DEEDS)
    ):
        return True  # "looks like we dumped grey"
    return any(tok.has("ACT", "ACTS", "USE") for tok in clause) and not any(tok.has(*_READ_OFF) for tok in clause)


_DEEDS = ("USE", "DUMP", "FILL", "HAUL")


def _elsewhere(toks: Sequence[Tok]) -> bool:
    """ "showered at the gym", "the laundromat took two loads". Beside an amount "at the gym" may be where the rig stands."""
    places = [tok.senses["ELSEWHERE"].value for tok in toks if tok.has("ELSEWHERE")]
    if not places or any(
        tok.has("DUMP", "FILL", "HAUL", "PUT", "RINSE", "FETCHED") and tok.text != "got" for tok in toks
    ):
        return False
    done = any(tok.has("ACT", "ACTS") for tok in toks) and not any(tok.has("UNIT", "METER", "FRACTION") for tok in toks)
    return done or any(place != "x" for place in places)


def _planned(toks: Sequence[Tok]) -> bool:
    if _due_by(toks):
        return True
    if (
        toks
        and toks[0].text == "book"
        and any(tok.text == "for" and after.has("CLOCK", "NUMBER", "DAY") for tok, after in pairwise(toks))
    ):
        return True  # "book a shower for 9 pm"
    reminder = any(tok.has("EVERY") for tok in toks)
    return any(
        (
            tok.has("FUTURE")
            or (" " in tok.text and tok.text.split()[0] in _PLANS and tok.has("RUNOUT", "DUE", "MAKEIT"))
        )
        and not (reminder and tok.text.startswith("remind"))
        for tok in toks
    )


def _due_by(toks: Sequence[Tok]) -> bool:
    """ "grey full by Friday": how full it will be; "grey was full by noon" reports."""
    level = any(tok.has("FULLNESS", "FRACTION") for tok in toks) and not any(tok.text in _IS_OVER for tok in toks)
    return level and any(
        tok.text == "by" and after.has("WEEKDAY", "DAY", "CLOCK", "PART") for tok, after in pairwise(toks)
    )


_IS_OVER = frozenset(("was", "were", "been", "has been", "have been"))
"""With a length, "was in the shower" tells of one that is over."""


def _going_on(toks: Sequence[Tok]) -> bool:
    """ "Ana is showering", "dumping grey", "Joss is in the shower": going on, not done."""
    core = [tok for tok in toks if not _dropped(tok)]
    for n, tok in enumerate(core):
        before = core[n - 1] if n else None
        leads = before is None or before.has("BE", "AUX", "POSS")
        if leads and any(one.form == "ing" and cls in _DOING for cls, one in tok.senses.items()):
            done = any(_form(other, "past") for other in core if other is not tok and not other.has("BE"))
            if not done and not any(other.has("NUMBER", "FRACTION") for other in core[n:]) and not tok.has("SWITCH"):
                return True
        inside = before is not None and before.text in ("in", "on") and n > 1 and core[n - 2].has("BE", "POSS")
        over = inside and core[n - 2].text in _IS_OVER and any(other.has("TIMEUNIT") for other in core[n:])
        if inside and not over and tok.has("ACT") and not any(other.has("UNIT", "USE") for other in core):
            return True
    return False


def _several(toks: Sequence[Tok]) -> bool:
    return any(tok.has("ACT") and tok.senses["ACT"].form != "thing" for tok in toks)


def _spent_with(toks: Sequence[Tok]) -> bool:
    """ "a quiet evening with two cups of tea": how a day was spent, and no report."""
    place = next((n for n, tok in enumerate(toks) if tok.text == "with"), 0)
    head = toks[:place]
    spent = any(tok.has("PART", "DAY", "SCENE") for tok in head) and head[0].has("A", "ADJ")
    plain = spent and all(tok.has("A", "ART", "ADJ", "PART", "DAY", "SCENE", "FILLER") for tok in head)
    return plain and not any(tok.has("WASH", "DO", "USE") for tok in toks)


def _usual(toks: Sequence[Tok]) -> bool:
    """ "showers take 2 gallons", "each shower is 2", "a shower takes two": what is usual, not what happened."""
    if not any(tok.has("ACT", "A") for tok in toks):
        return False
    core = [tok for tok in toks if not tok.has("FILLER", "COMMA", "ADJ") or tok.has("A")]
    done = any(_form(tok, "past") for tok in core)
    for n, tok in enumerate(core[:-1]):
        after = core[n + 1]
        each = tok.has("EACH", "EVERY") and after.has("ACT") and not after.has("ACTS") and not done
        if each and not any(other.has("COMMA") for other in toks if tok.end <= other.start < after.start):
            return True
        if tok.has("ACT") and tok.senses["ACT"].form == "plural" and after.text == "are" and not n:
            others = any(_form(other, "past") for other in core[2:])
            return not others and any(other.has("UNIT") for other in core)  # "showers are 2 gallons here"
        if (
            tok.has("UNIT")
            and after.has("A")
            and n + 3 == len(core)
            and core[n + 2].has("ACT")
            and not _several(core[:n])
        ):
            return True  # "used 5 gallons a shower"
        if tok.has("ACT") and any(
            after.has(cls) and after.senses[cls].form in ("base", "pres") for cls in ("USE", "DO")
        ):
            return True
        if (
            tok.has("A") and tok.text in ("a", "an") and after.has("ACT") and n + 2 < len(core)
            and core[n + 2].text in ("is", "are") and not done
        ):  # fmt: skip
            return True
        ago = n + 2 < len(core) and core[n + 2].has("AGO")
        rate = after.text in ("day", "week") and tok.has("A") and n and not done and not ago
        if rate and core[n - 1].has("ACT", "UNIT", "NUMBER"):
            return True
    return False


_UNFINISHED = frozenset(("the a an my our of to with and or from we i for").split())


def broken_off(toks: Sequence[Tok]) -> bool:
    """A phrase that ends in a word that needs another is not all of what was meant."""
    last = next((tok for tok in reversed(toks) if not tok.has("STOP", "COMMA")), None)
    return last is not None and last.text in _UNFINISHED
