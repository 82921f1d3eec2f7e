"""Corrections of what was said before: "make that 3", "no, dishes", "not the shower, the dishes".

May import: statements, replies, mood.
"""

from __future__ import annotations

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.tokens import Tok, classes, sense
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.clause import VOLUMES, Clause
from grammar.settling.people import DID_IT, titled
from grammar.telling.after_all import guests_after_all
from grammar.telling.excuses import only_so_much, without_excuse
from grammar.telling.left_out import not_that
from grammar.telling.mood import is_question, mood
from grammar.telling.not_so import not_so
from grammar.telling.not_this import IT_IS, not_so_much, not_this
from grammar.telling.replies import BESIDES, as_well, fragment
from grammar.telling.so_much_of_it import but_it_was, no_more
from grammar.telling.statements import clause_of, statements
from grammar.telling.whose import is_name

_WEAK = frozenset(("was", "it was", "that was"))


def amend(text: str, toks: list[Tok]) -> Intent | None:
    """A change of what was said last; None if these words are no correction."""
    toks = but_it_was(_but_what_stays(toks))
    texts = {tok.text for tok in toks}
    swapped = not_this(text, toks) or not_so_much(text, toks) or not_so(text, toks) if "not" in texts else None
    swapped = swapped or (_made(text, toks) if not _MAKE.isdisjoint(texts) else None)
    swapped = swapped or (_should_have_been(text, toks) if "AMEND" in classes(toks) else None)
    swapped = swapped or (_took(text, toks) if not _TOOK.isdisjoint(texts) else None)
    swapped = swapped or only_so_much(text, toks) or _apologised(text, toks)
    if swapped is not None or (classes(toks).isdisjoint(_LEADS) and texts.isdisjoint(_APOLOGIES)):
        return swapped
    lead, rest = _after_the_lead(toks)
    if rest is None and _alone(toks, "part"):
        return back.Amend(change=back.Fragment(amount=say.Amount(None, "fraction", text=text.strip())), partly=True)
    if rest is None and _alone(toks, "excuse"):
        return back.Amend()  # "I read that wrong": what is right is still to be told
    rest = not_that(_cleft(lead, without_excuse(rest))) if rest is not None else None
    after_all = guests_after_all(rest) if rest is not None else None
    if after_all is not None:
        return after_all  # "make it three guests"
    if rest is None or (mood(rest) is not None and not rest[0].has("NEG")):
        return None
    if any(tok.has("ADJ") for tok in rest) and not any(tok.has("UNIT", "NUMBER", "FRACTION") for tok in rest):
        return None  # "that was a long shower"
    clause = clause_of(text, rest)
    bare = Clause([piece for n, piece in enumerate(clause.pieces) if not (n and piece.has("BE"))])
    besides = as_well(rest, clause) if clause.pieces else None
    if besides is not None:
        return besides  # "actually grey as well"
    sure = any(word in _SURE for tok in lead for word in tok.text.split())
    who = _who_did(clause)
    if who:
        return back.Amend(change=back.Fragment(people=who), sure=sure)
    change = fragment(bare) if bare.pieces and not clause.has("METER") else fragment(clause) if clause.pieces else None
    if change is not None:
        every = any(tok.has("AMEND") and tok.senses["AMEND"].value == "every" for tok in lead)
        return back.Amend(change=replace(change, only=no_more(toks, change)), sure=sure or every, every=every)
    if any(tok.text in ("i", "we") for tok in rest) and any(tok.text in _WEAK for tok in lead):
        return None  # "it was so dusty that I rinsed the chairs"
    made = statements(text, rest)
    if made and isinstance(made[0], say.Away) and any(tok.has("ELSEWHERE") for tok in rest):
        return back.No()  # "no, at the gym": nobody is away, the water was none of ours
    if made and len(made) == 1 and any(tok.text in BESIDES for tok in rest):
        return made[0]  # "wait, we also dumped black"
    return back.Amend(whole=made[0], sure=sure) if made and len(made) == 1 else None


_LEADS = frozenset(("AMEND", "FIX", "NO", "INSTEAD"))
"""Of these classes is the word that a correction begins with, or is turned round by."""
_MAKE = frozenset(
    (
        "make",
        "change",
        "set",
        "correct",
        "fix",
        "update",
        "edit",
        "amend",
        "alter",
        "adjust",
        "bump",
        "bring",
        "lower",
        "raise",
    )
)


def _cleft(lead: list[Tok], rest: list[Tok]) -> list[Tok]:
    """ "sorry, it was the grey I emptied": what it was, and what was done again told."""
    it_was = any(tok.text.endswith(("it was", "that was", "was")) for tok in lead)
    core = [tok for tok in rest if not tok.has("STOP", "COMMA")]
    wrong = next((n for n, tok in enumerate(core) if tok.text == "not"), len(core))  # "…, not the black"
    core = core[:wrong] if len(core) - wrong < 4 else core
    if not it_was or len(core) < 3 or core[-2].text not in ("i", "we") or not _told_of(core[-1]):
        return rest
    return core[:-2]


def _told_of(tok: Tok) -> bool:
    return any(
        tok.has(cls) and tok.senses[cls].form == "past"
        for cls in ("DUMP", "DO", "ACT", "WASH", "USE", "FILL", "OPEN", "SHUT")
    )


def _who_did(clause: Clause) -> tuple[str, ...]:
    """ "no, Dag did that", "it was Dag who took that one": the names, where nothing else is told."""
    verb = clause.word("DO", "past") or clause.word("WALK")
    if verb is None or verb.text not in ("did", "had", "took", "made", *DID_IT) or clause.words("ACT"):
        return ()
    plain = all(
        piece.kind == "people" or piece.has("DO", "IT", "ART", "ONE", "A", "WALK", "FILLER") for piece in clause.pieces
    )
    return clause.people if plain and clause.pieces[0].kind == "people" else ()


_SURE = frozenset(
    "edit amend adjust alter bump replace swap make mean meant change should correct correction set update no not naw nah nope".split()
)
"""Words of a lead that can only correct: "wait", "sorry", "it was" may begin something else."""


_THAT = frozenset(("it", "that", "they", "those", "them", "which", "this"))
_TOOK = frozenset(("took", "used", "was"))


def _took(text: str, toks: list[Tok]) -> Intent | None:
    """ "it took 62 litres", "took 3 gal", "they used 2 gallons each", said of what was told last."""
    core = [tok for tok in toks if not tok.has("STOP", "COMMA")]
    while core and core[0].has("FILLER", "AND") and core[0].text not in _THAT:
        core = core[1:]
    named = bool(core) and core[0].text in _THAT
    rest = core[1:] if named else core
    used = len(rest) > 1 and rest[0].text == "used" and rest[-1].has("NUMBER")  # "it used 3": no minutes
    if (len(rest) < 3 and not used) or rest[0].text not in _TOOK or (rest[0].text != "took" and not named):
        return None
    told = rest[1:]
    if not (used or told[-1].has("EACH", "UNIT")) or not all(
        tok.has("NUMBER", "FRACTION", "UNIT", "ABOUT", "AROUND", "EACH", "A") for tok in told
    ):
        return None
    amount = fragment(clause_of(text, told))
    volume = amount.amount.unit in (None, *VOLUMES) if amount is not None and amount.amount is not None else False
    return back.Amend(change=amount, sure=False, took=True) if amount is not None and volume else None


def _apologised(text: str, toks: list[Tok]) -> Intent | None:
    """ "it was 8 gal, my mistake", "grey is half full, my bad", "meter 33 sorry": the apology goes; what it is said of corrects, or is a report."""
    core = [tok for tok in toks if not tok.has("STOP")]
    idle = core[-1:] and not core[-1].has(
        "AMEND"
    )  # of a use it may be said in passing: "took a 4 gallon shower, sorry"
    if len(core) < 3 or core[-1].text not in _APOLOGIES or (idle and core[-1].text not in ("sorry", "oops")):
        return None
    head = core[:-1]
    while len(head) > 1 and head[-1].has("ART", "COMMA", "FILLER"):
        head = head[:-1]
    if len(head) == len(core) - 1 and not idle:
        return None  # "that was a mistake"
    told = amend(text, head) if not idle else None
    if told is not None or mood(head) is not None:
        return told
    made = statements(text, head)
    if idle and made and not isinstance(made[0], say.ReadMeter | say.Level):
        return None
    return back.Amend(whole=made[0], sure=False) if made and len(made) == 1 else None


_OUGHT = ("should have been", "should be", "ought to have been", "ought to be", "should say", "should read")


def _should_have_been(text: str, toks: list[Tok]) -> Intent | None:
    """ "dishes should have been 1.5": another amount of a use that is named."""
    core = [tok for tok in toks if not tok.has("COMMA", "STOP", "ART", "FILLER")]
    while core and core[0].has("FIX", "NO") and not core[0].has("ACT"):
        core = core[1:]  # "sorry, the dishes should be six"
    if len(core) < 3 or not core[0].has("ACT", "ACTS") or core[1].text not in _OUGHT:
        return None
    if not all(tok.has("NUMBER", "FRACTION", "UNIT", "A", "ABOUT") for tok in core[2:]):
        return None
    told = fragment(clause_of(text, core[2:]))
    if told is None or told.amount is None or told.amount.unit not in (None, *VOLUMES):
        return None
    named = core[0].senses.get("ACT") or core[0].senses["ACTS"]
    change = back.Fragment(activity=named.value, amount=told.amount)
    return back.Amend(change=change, sure=False, named=True)


def _made(text: str, toks: list[Tok]) -> Intent | None:
    """ "make the dishes 2", "set the shower to 3 gallons": the entry is named and given another amount."""
    core = [
        tok
        for tok in toks
        if not tok.has("COMMA", "STOP") and (not tok.has("FILLER") or tok.has("ART", "AMEND") or tok.text in _MAKE)
    ]
    if len(core) < 3 or core[0].text not in _MAKE:
        return None
    if core[0].text == "update" and not any(tok.text == "to" for tok in core[2:]):
        return None  # "update: shower 3 gal" reports
    whose = _whose_or_when(text, core)
    if whose is not None:
        return whose
    if core[1].text != "the":
        if "ACT" not in core[1].senses or core[1].senses["ACT"].value in _ORDERED:
            return None  # "make coffee, two quarts" is an order
        core.insert(1, core[1])
    if (
        len(core) < 4
        or not core[2].has("ACT", "TANK", "METER", "CHOICE")
        or not any(tok.has("NUMBER", "FRACTION") for tok in core[3:])
    ):
        return None
    change = fragment(clause_of(text, [tok for tok in core[2:] if not tok.has("TO")]))
    named = core[0].text == "update" and change is not None and change.activity is not None
    return back.Amend(change=change, named=named, sure=not named) if change is not None else None


_ORDERED = ("coffee", "cooking", "drinking")


def _whose_or_when(text: str, core: list[Tok]) -> Intent | None:
    """ "make Saturday's shower two", "change yesterday's bath to 8 gal", "make Pia's 2": that use has another amount."""
    if len(core) < 4 or not core[2].has("POSS"):
        return None
    act = core[3].senses.get("ACT")
    change = fragment(clause_of(text, [tok for tok in core[3 + (act is not None) :] if not tok.has("TO")]))
    day = clause_of(text, core[1:2]).when if core[1].has("WEEKDAY", "DAY") else None
    who = titled(core[1].text) if is_name(core[1]) and not (act is not None and act.value in _ORDERED) else None
    if change is None or change.amount is None or (who is None and (day is None or act is None)):
        return None
    return back.Amend(change=change, of=back.Undo(what=act.value if act else "use", whose=who, when=day))


def _after_the_lead(toks: list[Tok]) -> tuple[list[Tok], list[Tok] | None]:
    """ "make that", "no,", "sorry I meant", and what follows it; None if the phrase does not begin so."""
    core = _lead_first([tok for n, tok in enumerate(toks) if not _who_erred(tok, toks[n + 1 : n + 2])])
    while len(core) > 1 and core[0].text == "no" and core[1].text == "no":
        core = core[1:]
    while core and core[0].has("FILLER", "COMMA", "STOP", "JEST") and not core[0].has("AMEND", "NO"):
        core = core[1:]
    if (
        len(core) > 2
        and core[0].has("ART")
        and core[1].has("AMEND")
        and (core[1].text in _APOLOGIES or _excuse(core[1]))
    ):
        core = core[1:]  # "my mistake, 2 gal"
    while len(core) > 2 and core[0].has("NO") and core[1].text in _TITLES:
        core = [core[0], *core[2:]]
    taken = 0
    while taken < len(core) and (
        core[taken].has("AMEND")
        or (core[taken].has("FIX") and not core[taken].has("NO", "UNDO"))
        or (taken and core[taken].has("COMMA", "COLON", "FILLER", "NO", "BE", "IT"))
        or (
            taken
            and core[taken].has("STOP", "SEMI")
            and (_excuse(core[taken - 1]) or any(tok.has("AMEND") for tok in core[taken + 1 : taken + 2]))
        )
    ):
        taken += 1
    if (
        not taken
        and len(core) > 1
        and core[0].has("NO")
        and (
            core[1].has("COMMA", "COLON", "AMEND")
            or _amount(core[1:])
            or core[1].text in IT_IS
            or _told_anew(core)
            or _another_time(core[1:])
        )
    ):
        taken = 1
        while taken < len(core) and (core[taken].has("AMEND", "COMMA", "COLON") or core[taken].text in IT_IS):
            taken += 1
    if not taken or taken == len(core) or (core[0].text in ("was", "is") and is_question(core)):
        return [], None
    return core[:taken], core[taken:]


_TITLES = ("ma'am", "sir", "mate", "dear", "silly", "dummy", "darling", "honey", "love", "buddy", "pal")


def _another_time(rest: list[Tok]) -> bool:
    """ "no saturday", "no at 7", "no till wednesday", as a phone writes them: another day or hour; nobody denies a day."""
    timed = any(tok.has("WEEKDAY", "DAY", "CLOCK", "AT", "UNTIL") for tok in rest) and len(rest) < _LONGEST_TIME
    return timed and all(tok.has(*_OF_TIMES) for tok in rest)


_LONGEST_TIME = 5  # tokens
_OF_TIMES = tuple("WEEKDAY DAY PART CLOCK AT NUMBER AMPM STOP UNTIL ORD MONTH ART PERIOD WHICH".split())


def _told_anew(core: list[Tok]) -> bool:
    """ "no the meter is 17.2", "no grey is half full": a statement after the no; "no meter", "no water left" deny."""
    if core[1].text in ("the", "my", "our", "i", "we", "that", "this"):
        return len(core) > 3
    return len(core) > 3 and core[1].has("METER", "TANK") and core[2].has("BE", "SAYS", "ISAT")


def _lead_first(toks: list[Tok]) -> list[Tok]:
    """ "black I mean", "3 gallons I meant", "Friday instead": the words of correction put first."""
    core = [tok for tok in toks if not tok.has("STOP")]
    corrects = core[:1] and (
        core[0].has("AMEND", "FIX", "NO", "IT", "YES") or all(tok.has(*_BARE, "COMMA") for tok in core[:-1])
    )
    if len(core) > 1 and _excuse(core[-1]) and corrects:  # "meter is on 13.2, misread it" says that it is not
        told = core[:-2] if core[-2].has("COMMA", "AND", "BUT", "SEMI") else core[:-1]
        return told if told[0].has("AMEND", "FIX") else [core[-1], *told]  # "27.5, I read that wrong"
    if 1 < len(core) <= 6 and core[-1].has("INSTEAD") and not core[0].has("AMEND", "LEAVE", "STAY"):
        return [replace(core[-1], senses=sense("AMEND", "amend")), *core[:-1]]
    inside = core[:-2] if len(core) > 1 and core[-2].has("COMMA") else core[:-1]
    bare = not any(tok.has("COMMA", "BE") for tok in inside)
    if 1 < len(core) <= 6 and bare and core[-1].text in ("i mean", "i meant", "is what i meant", "i should say"):
        return [core[-1], *core[:-1]]
    plain = [tok for tok in core[:-1] if not tok.has("COMMA", "FILLER", "PREP", "ART")]
    if 1 < len(core) <= 6 and core[-1].text in _APOLOGIES and plain and all(tok.has(*_BARE) for tok in plain):
        return [replace(core[-1], senses=sense("AMEND", "amend")), *plain]  # "Saturday, my bad"
    if 1 < len(core) <= 4 and core[-1].text == "actually" and all(tok.has(*_BARE) for tok in core[:-1]):
        return [core[-1], *core[:-1]]
    return list(toks)


_APOLOGIES = frozenset(("bad", "mistake", "sorry", "oops", "typo", "apologies", "silly me", "in fact"))
"""Of "my bad" the "my" is an article to the reader."""
_BARE = ("NUMBER", "FRACTION", "UNIT", "DAY", "WEEKDAY", "PART", "PERSON", "TANK", "ART", "TIMES", "TIMESWORD", "ACT")


def _alone(toks: list[Tok], value: str) -> bool:
    """ "I read that wrong", "not quite": words of correction of that value, and nothing besides."""
    core = [tok for tok in toks if not tok.has("STOP", "COMMA", "FILLER", "ART", "A", "NO", "FIX", "SELF", "IT")]
    return len(core) == 1 and core[0].has("AMEND") and core[0].senses["AMEND"].value == value


def _who_erred(tok: Tok, after: list[Tok]) -> bool:
    """The "I" of "I read that wrong", the "that was" of "that was a slip of the pen"."""
    return bool(after) and tok.has("SELF", "IT") and _excuse(after[0])


def _excuse(tok: Tok) -> bool:
    return tok.has("AMEND") and tok.senses["AMEND"].value in ("excuse", "reason")


def _amount(toks: list[Tok]) -> bool:
    """ "no three gallons" is a correction; "no showers" is not."""
    if toks[0].number is None and toks[0].fraction is None:
        return False
    return all(tok.has("NUMBER", "FRACTION", "UNIT", "FILLER", "WATER", "STOP") for tok in toks)


def _but_what_stays(toks: list[Tok]) -> list[Tok]:
    """ "The cooking was 2 litres, not 1. The coffee is right.": without what is not to be changed."""
    end = len(toks) - 1 if toks and toks[-1].has("STOP") else len(toks)
    start = next((n + 1 for n in range(end - 1, 0, -1) if toks[n].has("STOP")), 0)
    core = [tok.text for tok in toks[start:end] if not tok.has("ART", "FILLER", "COMMA") or tok.has("YES")]
    return toks[: start - 1] if start and len(core) == 3 and core[1] in ("is", "was") and core[2] in _RIGHT else toks


_RIGHT = ("right", "correct", "fine", "ok", "okay", "good")
