"""A sentence as a question, with its if. None where it asks for nothing of ours. What only a few questions need is loaded when one does.

May import: ahead, bearing, changes_asked, gist, all of *_questions, what_if, round, shown, mood, statements.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.asking.ahead import ask_ahead
from grammar.asking.asked import minutes_each
from grammar.asking.outside_questions import ask_outside
from grammar.asking.questions import ask
from grammar.asking.round_questions import ask_round
from grammar.asking.safety_questions import ask_safety
from grammar.asking.shown import ask_shown
from grammar.asking.trade_questions import ask_trade
from grammar.hearing.tokens import Tok, classes, sense
from grammar.intents import Ask, Intent
from grammar.lightclass import replace
from grammar.pieces.chunks import pieces
from grammar.pieces.clause import VOLUMES, Clause
from grammar.telling.mood import is_question
from grammar.telling.statements import clause_of

LONGEST_QUESTION = 60  # tokens


def question(text: str, toks: list[Tok]) -> list[Intent] | None:
    """What a sentence asks, and of which place; None if it asks for nothing of ours."""
    if len(toks) > LONGEST_QUESTION:
        return None
    found = _question(text, toks)
    if not found:
        return found
    from grammar.asking.whereabouts import placed

    return [placed(one, text, toks) if isinstance(one, Ask) else one for one in found]


def _question(text: str, toks: list[Tok]) -> list[Intent] | None:
    toks = _as_times(text, _asked_by_us(toks))
    safety = ask_trade(toks) or ask_safety(toks)
    if safety is not None:
        return [replace(safety, text=text.strip())]
    toks, whole = [tok for tok in toks if not tok.has("QLEAD", "QSOFT")], toks
    if _where_it_leaves_us(toks, whole):
        return [Ask(topic="status", text=text.strip())]
    said = classes(toks)
    if not said.isdisjoint(_ALTERS):
        toks = _wish_left_out(toks)
        if any(tok.has("IF") for tok in toks) or _with_guests(toks) or _without(toks):
            return _what_if(text, toks)
        place = _with_after(toks)
        if place:
            return _what_if(text, toks[place:])
        from grammar.asking.changes_asked import ask_of_change, here_or_going

        turned = ask_of_change(text, toks)
        if turned is not None:
            return turned
        here = here_or_going(toks)
        if here is not None:
            return [Ask(topic="checklist", subject=here, text=text.strip())]
    if tells_first(toks):
        return None
    clause = clause_of(text, toks)
    if not clause.pieces:
        clause = Clause(pieces(toks, text))
    if not clause.pieces:
        return None
    if not said.isdisjoint(("OTHER", "REPORTED")) and not any(tok.has("QWORD") for tok in toks[:2]):
        return None
    special = (
        _tally(text, whole, clause)
        or ask_shown(clause)
        or ask_outside(clause)
        or ask_round(clause)
        or ask_ahead(clause)
    )
    if special is not None:
        return [replace(special, text=text.strip())]
    found = ask(clause)
    if found is None and (is_question(whole) or toks[0].has("EXPLAIN")):
        from grammar.asking.gist import gist

        found = gist(clause)
    if found is None or not (is_question(whole) or _bare(clause, found)) or _of_other_things(toks, found):
        return None
    if found.topic in ("showers", "activity") and found.subject != "minutes":
        found = replace(found, minutes=minutes_each(clause))
    return [replace(found, text=text.strip())]


def _where_it_leaves_us(toks: Sequence[Tok], whole: Sequence[Tok]) -> bool:
    """ "Where does that leave us?", said alone, after what was just told."""
    bare = all(tok.has("QMARK", "FILLER", "AND", "COMMA") for tok in toks)
    return bare and any(tok.has("QLEAD") and "leave" in tok.text.split() for tok in whole)


def _of_other_things(toks: Sequence[Tok], found: Ask) -> bool:
    """ "how full is the battery", "will it rain till Sunday", "how much does a new tank cost": none of our water."""
    if found.topic not in ("status", "make_it", "runway", "showers", "history", "activity"):
        return False
    ours = any(tok.has("WATER", "WATERHERE", "TANK", "TANKS", "WASH", "USE", "HISTORY", "STATUS") for tok in toks)
    acts = [tok.senses["ACT"].form for tok in toks if tok.has("ACT")]
    things = bool(acts) and all(form == "thing" for form in acts) and found.topic != "activity"
    asked_where = found.subject == "site" and bool(acts)
    rains = any(tok.has("RAIN") for tok in toks) and found.topic == "make_it"
    costs = any(tok.text == "cost" for tok in toks) and (not acts or any(tok.has("SITEWORD", "SITE") for tok in toks))
    return ((things or costs) and not ours) or rains or asked_where


_SUMS = (
    "TOTAL",
    "DAY",
    "WHICH",
    "MOST",
    "UNLOGGED",
    "AHEADQ",
    "PEAKDAY",
)  # with which a question for a sum may begin without its verb


def _tally(text: str, whole: list[Tok], clause: Clause) -> Ask | None:
    """A question for a sum; "total", which elsewhere says nothing, may be what is asked for."""
    if not is_question(whole) and not whole[0].has(*_SUMS):
        return None
    from grammar.asking.tally_questions import ask_tally

    if any(tok.has("TOTAL") for tok in whole):
        found = ask_tally(clause_of(text, [tok for tok in whole if not tok.has("QLEAD")]))
        if found is not None:
            return found
    return ask_tally(clause)


def _asked_by_us(toks: list[Tok]) -> list[Tok]:
    """ "Keith wants to know what's left", "how full is grey, love": without who asks and who is asked."""
    begins = next((i for i, tok in enumerate(toks) if tok.has("QWORD") or not tok.has(*_JOINS)), 0)
    if begins and toks[begins].has("QWORD", "AUX"):
        toks = toks[begins:]  # "right, and what's the fresh doing"
    if (
        len(toks) > 2
        and toks[0].text in ("when we", "when i")
        and toks[1].text.split()[0] in _ESL
        and toks[-1].has("QMARK")
    ):
        toks = _reminded(toks)  # "When we must empty the tank?"
    if len(toks) > 2 and toks[0].has("REMIND") and (toks[1].has("QWORD") or toks[1].text in ("when we", "when i")):
        toks = _reminded(toks[1:])
    lead = next((i for i, tok in enumerate(toks[:_NAMED]) if tok.has("QLEAD")), 0)
    if lead and all(
        not tok.known or tok.has("PERSON", "KIN", "ART", "GROUP", "PRONOUN", "SELF") for tok in toks[:lead]
    ):
        toks = toks[lead:]
    if len(toks) > 2 and toks[-1].has("QSOFT", "FILLER") and toks[-2].has("COMMA"):
        toks = toks[:-2]
    while len(toks) > 1 and toks[-1].has("COMMA"):
        toks = toks[:-1]
    return toks


_ESL = ("must", "should", "can", "will", "have", "need", "shall")


def _reminded(toks: list[Tok]) -> list[Tok]:
    """ "Remind me when we last filled up": when it was, not a time that begins with it."""
    first = toks[0]
    if first.has("QWORD"):
        return toks
    end = first.start + len("when")
    return [
        Tok("when", first.start, end, sense("QWORD", "when")),
        Tok(first.text.split()[1], end, first.end, sense("SELF")),
        *toks[1:],
    ]


_JOINS = ("AND", "BUT", "THEN", "FILLER", "QSOFT", "COMMA")
_NAMED = 4  # tokens within which it is said who asks


_TIMES = {
    "last year": (("last", "WHICH", "last"), ("year", "TIMEUNIT", "year")),
    "today 's": (("today", "DAY", "0"),),
    "for today": (("today", "DAY", "0"),),
}


def _as_times(text: str, toks: list[Tok]) -> list[Tok]:
    """ "Last year", "today's": what marks a habit or says nothing in a report is the time asked about in a question."""
    found: list[Tok] = []
    for tok in toks:
        parts = _TIMES.get(tok.text)
        if parts is None:
            found.append(tok)
            continue
        for word, cls, value in parts:
            place = max(tok.start, text.casefold().find(word, tok.start, tok.end))
            found.append(Tok(word, place, place + len(word), sense(cls, value)))
    return found


_ALTERS = frozenset(
    "IF GUESTS VISITOR PEOPLEWORD WITHOUT QMARK STATUS EFFECT WHATABOUT TODOQ QWORD AUX MAKEIT LESS".split()
)
"""Classes of which one stands in every question about a change of habits, and about what to do on arriving and leaving."""
_TOLD = ("NUMBER", "FRACTION", "UNIT", "RATEUNIT", "IF")


DONE = ("ACT", "USE", "DUMP", "FILL", "HAUL", "RESET", "PUT", "RINSE", "OPEN", "SHUT", "ARRIVE", "DEPART")


def idle(toks: Sequence[Tok]) -> bool:
    """Whether nothing here can be a report or a condition, not even misspelt: what leads up to a question may be passed over."""
    if any(tok.has(*_TOLD) for tok in toks):
        return False
    strange = [tok for tok in toks if not tok.known and tok.text.isalpha()]
    if strange and not _all_idle(strange):
        return False
    return not any(
        tok.has(cls) and tok.senses[cls].form == "past" and tok.text != "got" for tok in toks for cls in DONE
    )  # "we got a storm coming in"


def _all_idle(strange: Sequence[Tok]) -> bool:
    from grammar.hearing.bearing import is_idle

    return all(map(is_idle, strange))


_ONLY_LEADS = ("IF", "SINCE", "WITH", "WITHOUT", "BEFORE", "AFTER", "FROM", "AT")


def tells_first(toks: Sequence[Tok]) -> bool:
    """ "Emptied the grey at the farm, how long have we got": a report stands before the question, and would be lost in it."""
    if not toks or toks[0].has("QWORD", "AUX", "QLEAD", *_ONLY_LEADS):
        return False
    turn = next((i for i in range(1, len(toks)) if asks_from(toks, i) or measures(toks[i])), 0)
    head = toks[:turn]
    if head and head[-1].has("USE"):
        return False  # "Joss used how much yesterday"
    if not head or any(tok.has("IF", "SINCE") or tok.text in ("after", "given") for tok in head):
        return False
    done = any(tok.has(cls) and tok.senses[cls].form == "past" for tok in head for cls in DONE)
    strength = any(tok.has("BLEACH") for tok in head)  # "8.25% bleach, fresh tank, how many ounces"
    told = (
        not strength
        and any(tok.has("UNIT", "FRACTION", "FULLNESS") for tok in head)
        and any(tok.has("ACT", "TANK", "METER") for tok in head)
    )
    people = any(tok.number is not None for tok in head) and any(
        tok.has("PEOPLEWORD", "GUESTS", "VISITOR") for tok in head
    )
    return done or told or people


def measures(tok: Tok) -> bool:
    """ "How much", "how heavy", "how many days left": what begins a question wherever it stands."""
    if tok.has("DAYSLEFT"):
        return tok.text.startswith("how ")
    return tok.has("QWORD") and tok.senses["QWORD"].value in ("howmuch", "howmany", "howlong", "howfull", "howheavy")


def asks_from(toks: Sequence[Tok], i: int) -> bool:
    """Whether a question begins at a token, after a mark or a word that joins."""
    return toks[i].has("QWORD", "AUX", "QLEAD", "LEFT") and toks[i - 1].has(
        "COMMA", "STOP", "SEMI", "AND", "BUT", "THEN", "FILLER"
    )


def _what_if(text: str, toks: list[Tok]) -> list[Intent] | None:
    if any(tok.has("OTHER", "REPORTED") for tok in toks):
        return None
    from grammar.asking.what_if import split_if, what_if

    halves = split_if(toks) or ([], list(toks))
    found = what_if(clause_of(text, halves[0]), [clause_of(text, halves[1])])
    if found is None and any(tok.has("BLEACH", "DOSE") for tok in toks):
        found = ask_round(clause_of(text, [tok for tok in toks if not tok.has("IF")]))
    if found is None and any(tok.has("WEIGHT") or tok.text == "how heavy" for tok in toks):
        found = ask(
            clause_of(text, [tok for tok in toks if not tok.has("IF")])
        )  # "how heavy would it be if it was full"
    if found is not None:
        return [replace(found, text=text.strip())]
    mark = [tok for tok in toks[-1:] if tok.has("QMARK")]
    asked = _question(text, [*halves[0], *mark]) if halves[0] and _alters_nothing(halves[1]) else None
    at_hand = any(isinstance(one, Ask) and one.subject == "at hand" for one in asked or ())
    return None if at_hand else asked  # "what do I do if grey is full" asks for no list


def _alters_nothing(toks: Sequence[Tok]) -> bool:
    """ "If we never empty it", "supposing nobody does anything silly": a condition under which all goes on as it is."""
    undone = any(tok.has("NEG") for tok in toks) and any(tok.has("DUMP", "FILL", "HAUL") for tok in toks)
    ours = any(tok.has(*_OF_A_CHANGE) or tok.number is not None for tok in toks)
    return not ours and (
        undone or not any(tok.has("DUMP", "FILL", "HAUL", "COMING", "AWAY", "LEAVE", "STAY") for tok in toks)
    )


_OF_A_CHANGE = tuple(
    "ACT ACTS PEOPLEWORD GUESTS VISITOR ALONE UNIT FRACTION HALVE TOTE RAIN ONEMORE USE CUT TIMEUNIT".split()
)


def _bare(clause: Clause, found: Ask) -> bool:
    """A question without its sign: only words that make one, no statement in it."""
    if found.topic in ("explain", "help", "checklist", "dose") or (found.again and clause.pieces[0].has("WHATABOUT")):
        return True
    if found.topic == "showers":
        short = clause.pieces[0].has("MAKEIT") and clause.pieces[0].toks[0].text.startswith("enough")
        return (clause.has("LEFT") or short) and clause.get("amount") is None
    if found.topic == "activity":
        return clause.has("AVERAGE", "MOST") and clause.get("amount") is None
    if found.topic == "weight":
        amount = clause.get("amount")
        return clause.pieces[0].has("WEIGHT", "TOTE") and (
            amount is None or (clause.has("OF") and amount.unit in VOLUMES)
        )
    if found.topic == "runway":
        bare = clause.has("DAYSLEFT") or clause.pieces[-1].has("QWORD") or clause.pieces[0].has("TIMEUNIT")
        return bare and not clause.has("ACT")
    if found.subject == "budget":
        return clause.has("BUDGETQ") and clause.get("amount") is None
    if found.topic == "make_it":
        first = clause.pieces[0]  # "stay till Friday" tells; "make it to Friday" asks
        return found.again or (first.has("MAKEIT", "AUX", "STATUS") and first.toks[0].text != "stay")
    if found.topic == "plan":
        return clause.has("PLANQ") and not clause.has("FUTURE") and not clause.pieces[0].has("DUMP", "ACT", "TANK")
    if found.topic == "due":
        return clause.pieces[0].has("DUE", "SHOW") or clause.pieces[-1].has("DUE", "QWORD")
    if found.topic == "rinse_limit":
        return clause.has("LIMIT", "BOUND", "LIMITOF")
    if found.topic == "status":
        bare = clause.has("STATUS", "KNOWABOUT") or (
            clause.has("LEVELWORD", "ROOM", "ROOMQ") and len(clause.pieces) < 4
        )
        bare = bare or (clause.pieces[0].has("UNIT") and clause.has("LEFT", "LEFTOVER"))  # "litres left to drink"
        amount = clause.get("amount")
        if clause.has("SHOW") and amount is not None and amount.unit == "percent":
            return not clause.has("DUMP", "FULLNESS")  # "black tank, give me a percent"
        return bare and clause.get("amount") is None and not clause.has("DUMP", "FULLNESS")
    if found.topic != "history" or found.count is not None:
        return found.topic == "history"
    return (
        clause.has("SHOW")
        or (found.subject is not None and clause.pieces[0].toks[0].text == "last")
        or all(
            piece.kind in ("when", "since") or piece.has("HISTORY", "USAGE", "FILLER", "PREP", "AND", "POSS", "TOTAL")
            for piece in clause.pieces
        )
    )


def _wish_left_out(toks: list[Tok]) -> list[Tok]:
    """ "how long can showers be if we want to last till Sunday": the end that is wished for is part of the question, no other habit."""
    for i, tok in enumerate(toks[1:-3], 1):
        wished = toks[i + 2].text in _WISHED or (toks[i + 2].text == "are" and toks[i + 3].text == "to")
        if tok.has("IF") and toks[i + 1].has("SELF") and wished:
            rest = [one for one in toks[i + 3 :] if one.text != "to" or not one.has("TO") or one is not toks[i + 3]]
            if any(one.has("MAKEIT", "STAY", "WEEKDAY", "STAYEND", "DAY") for one in rest):
                return [*toks[:i], *rest]
    return toks


_WISHED = ("want to", "wanna", "need to", "have to", "would like to", "must", "hope to", "plan to", "planning to")


def _without(toks: Sequence[Tok]) -> bool:
    """ "no showers?": what if there were none."""
    core = [tok for tok in toks if not tok.has("FILLER", "AND", "COMMA")]
    return len(core) > 2 and core[0].text in ("no", "skip", "skipping") and core[-1].has("QMARK") and core[1].has("ACT")


def _with_after(toks: Sequence[Tok]) -> int:
    """ "how does it look with one more person": where the change begins; 0 if there is none."""
    for i, tok in enumerate(toks):
        if i and tok.text in ("with", "without") and any(other.has("STATUS") for other in toks[:i]):
            return i if _with_guests(toks[i:]) else 0
    return 0


def _with_guests(toks: Sequence[Tok]) -> bool:
    core = [tok for tok in toks if not tok.has("FILLER", "AND")]
    return (
        bool(core)
        and core[0].text in ("with", "without")
        and (
            any(tok.has("GUESTS", "VISITOR", "PEOPLEWORD") for tok in core)
            or core[0].text == "without"
            or (core[-1].has("QMARK") and any(tok.has("ACTS") for tok in core))
        )
    )
