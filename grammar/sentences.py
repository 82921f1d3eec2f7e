"""The sentences of a phrase: which is a reply, a correction, a question, a statement, or understood but no report.

May import: asking, statements, corrections, replies, mood, household.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.asking.asking import idle, question
from grammar.asking.how_come import how_come
from grammar.asking.led_up import by_then, led_up_to
from grammar.asking.only_if import only_if
from grammar.asking.told_and_asked import how_many, is_that_all_right, told_and_asked
from grammar.hearing.tokens import Tok, sense
from grammar.intents import Ask, Intent, NotAReport
from grammar.lightclass import replace
from grammar.pieces.clause import Clause
from grammar.telling.after_all import guests_after_all
from grammar.telling.called_off import called_off
from grammar.telling.coming import aboard_till, booked_for, to_come, with_company
from grammar.telling.corrections import amend
from grammar.telling.household import household, left_us
from grammar.telling.joined import as_it, spoken_of, unmeasured
from grammar.telling.left_out import (
    but_not,
    but_to_come,
    no_time_for,
    none_of_those,
    not_that,
    of_something_else,
    so_after_all,
)
from grammar.telling.mood import broken_off, is_question, mood
from grammar.telling.named_entry import named_entry
from grammar.telling.not_done import of_other_things, only_what_was
from grammar.telling.not_them import not_them
from grammar.telling.put_right import put_right
from grammar.telling.replies import again, as_well, fragment, only_why, whole_reply
from grammar.telling.seen_how import seen_how
from grammar.telling.small_lists import named_only, small_uses
from grammar.telling.so_much_of_it import not_that_tank, so_many_times
from grammar.telling.stands_at import stands_at
from grammar.telling.statements import clause_of, pieces_of, statements
from grammar.telling.together import arrivals, own_use, settled
from grammar.telling.undoing import cancelled, in_jest, undo
from grammar.telling.whose import introduces, whose

_OURS = tuple(
    (
        "ACT ACTS DUMP FILL TANK TANKS TANKWORD METER RINSE HAUL USE RESET VALVE STAY PUT TOTE DUMPINGQ "
        "RUNOUT OPEN SHUT SANITISE SERVICE GEAR PUMP HOOKUP"
    ).split()
)
_OF_WATER = tuple(("ACT ACTS DUMP FILL TANK TANKS TANKWORD METER RINSE HAUL USE TOTE WATER").split())
_SHORT = 9
_TURNS = 3  # places in a phrase at which a question may follow a statement; more are not tried


def meanings(text: str, toks: list[Tok]) -> list[Intent] | None:
    """What the tokens of a phrase mean, all of them; None if some part is not understood."""
    if not toks:
        return None
    asked = told_and_asked(text, toks) or how_come(text, toks)
    if asked is not None:
        return asked
    whole = (
        in_jest(toks)
        or cancelled(toks)
        or called_off(toks)
        or whole_reply(toks)
        or named_entry(text, toks)
        or undo(toks)
        or stands_at(text, toks)
        or whose(text, toks)
        or not_them(toks)
        or seen_how(toks)
        or so_many_times(toks)
        or not_that_tank(toks)
        or amend(text, toks)
        or put_right(text, toks)
    )
    if whole is not None:
        return [replace(whole, text=text.strip())]
    parts = _split(toks)
    taken = _taken_back(parts) if len(parts) > 1 else None
    if taken is not None:
        return [replace(taken, text=text.strip())]
    found = _of_parts(text, parts)
    if len(parts) > 1 and (found is None or any(isinstance(one, Ask) and one.again for one in found)):
        joined = [
            _as_comma(tok) for tok in toks
        ]  # "Meter. 44.3", "Dumped grey. And black.": stops that a phone has put in
        found = _of_parts(text, [joined]) or found
    return found


def _taken_back(parts: Sequence[list[Tok]]) -> Intent | None:
    """ "No wait, it was right after all. Redo that": an order, and beside it nothing that tells of anything else."""
    orders = [whole_reply(part) for part in parts]
    meant = [one for one in orders if isinstance(one, back.Undo | back.Redo)]
    beside = [part for part, one in zip(parts, orders, strict=True) if not isinstance(one, back.Undo | back.Redo)]
    told = any(
        tok.has(*_OURS, "NUMBER", "UNIT", "QMARK", "IF", "FUTURE", "PERSON", "KIN", "NAMEWORD", "POSS")
        for part in beside
        for tok in part
    )
    return meant[0] if len(meant) == 1 and beside and not told else None


def _as_comma(tok: Tok) -> Tok:
    return replace(tok, text=",", senses=sense("COMMA")) if tok.has("STOP", "SEMI") and tok.text in ".;!" else tok


def _of_parts(text: str, parts: list[list[Tok]]) -> list[Intent] | None:
    """The meanings of the sentences of a phrase, one after the other."""
    found: list[Intent] = []
    for n, part in enumerate(parts):
        open_ended = bool(found) and (isinstance(found[-1], say.Arrive) or unmeasured(found[-1]))
        part = as_it(part) if found and unmeasured(found[-1]) else part
        fixed = amend(text, part) if not n and any(is_question(other) for other in parts[1:]) else None
        if fixed is not None:
            found.append(replace(fixed, text=text.strip()))  # "No, it was 3 gal. How full is grey now?"
            continue
        if found and isinstance(found[-1], say.Pressure) and is_that_all_right(part):
            continue  # what is to be said of it stands with what was booked
        if found and (of_something_else(part, parts[n - 1]) or of_other_things(part, parts[n - 1])):
            continue
        meaning = _sentence(text, part, alone=len(parts) == 1 or open_ended)
        if meaning is None and found and any(tok.has("TODOQ") for tok in part) and len(part) < _SHORT:
            then = (
                "arriving"
                if isinstance(found[-1], say.Arrive)
                else "leaving"
                if isinstance(found[-1], say.Depart)
                else None
            )
            meaning = (
                [Ask(topic="checklist", subject=then, text=text.strip())] if then else None
            )  # "… What do I do first?"
        if meaning is None and idle(part) and any(is_question(other) for other in parts[n + 1 :]):
            continue  # "I'm worried about grey. When will it be full?"
        if meaning is None and idle(part) and found and all(isinstance(one, Ask) for one in found):
            continue  # "How many showers before grey is full? Keith is eyeing the towel."
        if meaning is None:
            return None
        if found and own_use(part, meaning) and not any(tok.has("REPORTED", "IF") for one in parts[:n] for tok in one):
            found = [one for one in found if not (isinstance(one, NotAReport) and one.why == "other_people")]
        found.extend(
            _till_then(text, meaning, part, parts[:n], any(not isinstance(one, Ask | NotAReport) for one in found))
        )
    return settled(arrivals(spoken_of(found)))


def _till_then(
    text: str, meaning: list[Intent], part: Sequence[Tok], before: Sequence[list[Tok]], told: bool
) -> list[Intent]:
    """ "We can't dump before Friday at nine. Will grey hold till then?": the moment named before."""
    then = any(tok.text == "then" and part[i].text in _TILL for i, tok in enumerate(part[1:]))
    lets = (
        any(tok.has("MAKEIT") for tok in part) and not told
    )  # "Noel wants to stay till Friday. Will the tanks let us?"
    if not before or not (then or lets) or not all(isinstance(one, Ask) and one.until is None for one in meaning):
        return meaning
    spoken = [Clause(pieces_of(text, sentence)) for sentence in before]
    named = [when for clause in spoken for when in (clause.get("until") or clause.when,) if when is not None]
    if not named:
        return meaning
    return [replace(one, until=named[-1]) if isinstance(one, Ask) and one.topic in _HAS_END else one for one in meaning]


_TILL = ("till", "until", "til", "by", "before", "to")
_HAS_END = ("make_it", "what_if", "showers")


def _split(toks: Sequence[Tok]) -> list[list[Tok]]:
    """Parts between full stops and question marks; a mark stays with what it ends."""
    parts: list[list[Tok]] = [[]]
    for tok in toks:
        if tok.has("STOP", "SEMI", "QMARK") and tok.text in ".;!?":
            if tok.has("QMARK"):
                parts[-1].append(tok)
            elif parts[-1] and parts[-1][0].has("IF") and tok is not toks[-1]:
                parts[-1].append(_as_comma(tok))  # "Suppose we skip showers. How long do we have?"
                continue
            parts.append([])
        else:
            parts[-1].append(tok)
    kept = [
        part
        for part in parts
        if any(
            not tok.has("FILLER", "COMMA", "QMARK", "ART") or tok.has("SELF", "YES", "NO", "AGAIN", "WALK")
            for tok in part
        )
    ]
    return kept or ([list(toks)] if toks else [])


def _sentence(text: str, toks: list[Tok], alone: bool) -> list[Intent] | None:
    agreed = _after_yes(toks)
    if agreed is not None:
        whole = amend(text, agreed)
        told = _sentence(text, agreed, alone) if whole is None else [replace(whole, text=text.strip())]
        if only_why(agreed) and all(isinstance(one, back.Fragment | NotAReport) for one in told or ()):
            return [back.Yes(text=text.strip())]  # "yes, we left the tap running"
        return [back.Yes(text=text.strip()), *told] if told is not None else None
    toks, logged = _forgot_to_log(toks)
    toks = only_what_was(not_that(none_of_those(but_not(so_after_all(no_time_for(toks))))))
    if not toks:
        return None
    split = _statement_and_question(text, toks)
    if split is not None:
        return split
    besides = as_well(toks, clause_of(text, toks)) if alone and len(toks) < _SHORT else None
    if besides is not None:
        return [replace(besides, text=text.strip())]
    if not logged:
        asked = by_then(text, toks) or question(text, toks) or led_up_to(text, toks)
        if asked is not None:
            return asked
    greets = any(tok.has("GREETING") for tok in toks)  # "Hello dear, it's only me"
    if greets and all(tok.has("GREETING", "FILLER", "COMMA", "BE", "YES", "ALONE", "STOP") for tok in toks):
        return [NotAReport(why="greeting", text=text.strip())]
    if introduces(toks):
        return [NotAReport(why="name", text=text.strip())]
    aboard = household(toks) or aboard_till(text, toks) or left_us(toks) or guests_after_all(toks)
    if aboard is not None:
        return [replace(aboard, text=text.strip())]
    with_us = with_company(text, toks) or booked_for(text, toks) or _rig_and_household(text, toks)
    if with_us is not None:
        return with_us
    done, later = but_to_come(toks)
    if later and mood(done) is None and (made := statements(text, done)):
        return [*made, *(to_come(text, later) or [])]
    why = mood(_as_corrected(text, toks))
    if why is None and not broken_off(toks):
        made = statements(text, toks)
        if made:
            return made
    coming = to_come(text, toks) if why == "intention" else None
    if coming is not None:
        return coming
    if why is not None:
        return _not_a_report(text, toks, why)
    listed = small_uses(toks)
    if listed:
        return [replace(one, text=text.strip()) for one in listed]
    if any(tok.has("ADJ", "SCENE") for tok in toks) and not _deed(toks) and not _described_only(toks):
        return [NotAReport(why="scenery", text=text.strip())] if all(tok.known for tok in toks) else None
    clause = clause_of(text, toks)
    if alone and clause.pieces:
        several = named_only(toks)
        if several:
            return [replace(one, text=text.strip()) for one in several]
        reply = again(clause) or fragment(clause)
        if reply is not None:
            return [replace(reply, text=text.strip())]
    return None


_LONGEST_HOUSEHOLD = 16  # tokens


def _rig_and_household(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "46 gallons fresh, 40 grey and 40 black, two of us and a dog": the rig, and who lives in it."""
    for i in range(max(1, len(toks) - _LONGEST_HOUSEHOLD), len(toks) - 1):
        if not toks[i].has("COMMA", "AND", "WITH"):
            continue
        aboard = household(toks[i + 1 :])
        if aboard is None or mood(toks[:i]) is not None:
            continue
        rig = statements(text, toks[:i])
        if rig and all(isinstance(one, say.SetTank | say.SetRig) for one in rig):
            return [*rig, replace(aboard, text=text.strip())]
    return None


def _described_only(toks: Sequence[Tok]) -> bool:
    """ "long hot shower", "a short shower": no more than its name, as "shower" alone."""
    told = [tok for tok in toks if not tok.has("ADJ", "ART", "STOP", "A")]
    one = told[0].senses.get("ACT") if len(told) == 1 else None
    return one is not None and one.form == "noun" and one.value in ("shower", "bath")


_DEEDS = ("ACT", "DUMP", "FILL", "HAUL", "RESET", "RINSE", "OPEN", "SHUT", "ARRIVE", "DEPART")


def _deed(toks: Sequence[Tok]) -> bool:
    """Whether something is measured or done, so that the whole is more than scenery."""
    return any(tok.has("UNIT", "NUMBER", "FRACTION") for tok in toks) or any(
        tok.has(cls) and tok.senses[cls].form == "past" for tok in toks for cls in _DEEDS
    )


def _after_yes(toks: list[Tok]) -> list[Tok] | None:
    """What follows a yes that is not all of the phrase: "yes it was reset"."""
    if len(toks) < 3 or not toks[0].has("YES") or toks[0].text.split()[0] not in _YES:
        return None
    rest = toks[1:]
    while rest and rest[0].has("COMMA"):
        rest = rest[1:]
    return rest or None


_YES = ("yes", "yep", "yeah", "yup", "aye", "yea")


def _as_corrected(text: str, toks: list[Tok]) -> list[Tok]:
    """The tokens without what the speaker took back ("2 gal, no, make that 3")."""
    if not any(tok.has("FIX") for tok in toks):
        return toks
    kept = {id(tok) for piece in pieces_of(text, toks) for tok in piece.toks}
    return [tok for tok in toks if id(tok) in kept or tok.has("FILLER", "ART", "ADJ")]


def _forgot_to_log(toks: list[Tok]) -> tuple[list[Tok], bool]:
    """ "forgot to log my shower" reports the shower: the words about logging go."""
    kept = [
        tok
        for n, tok in enumerate(toks)
        if (not tok.has("FORGOTLOG") or (n and toks[n - 1].has("METER", "TANK", "PRESSURE", "FLOW", "SENSOR", "IT")))
        and not (n > 1 and tok.has("SELF") and any(one.has("FORGOTLOG") for one in toks[n + 1 : n + 2]))
    ]  # "the meter should say 12" is no words about logging
    return kept, len(kept) != len(toks)


# ---------------------------------------------------------------- questions


def _turns_to_ask(toks: Sequence[Tok], i: int) -> bool:
    """ "dishes one gallon can we make it": verb before subject, or "how many", without a comma."""
    if toks[i].has("QWORD", "LEFT"):
        return toks[i].text.startswith(("how ", "do we "))
    if i + 1 == len(toks) or toks[i].text not in ("can", "will", "are", "do", "should", "is"):
        return False
    told = toks[i].text in ("will", "is") and (toks[i + 1].has("IT") or toks[i + 1].text in ("that", "this", "there"))
    return told or (toks[i].text != "is" and (toks[i + 1].has("SELF", "TANK") or toks[i + 1].text.startswith("we ")))


def _statement_and_question(text: str, toks: list[Tok]) -> list[Intent] | None:
    """ "dumped grey, how are we doing": a report, then a question."""
    comma = next((i for i, tok in enumerate(toks) if tok.has("COMMA", "BUT", "AND")), 0)
    if comma and is_that_all_right(toks[comma + 1 :]):
        pressure = statements(text, toks[:comma])
        if pressure and all(isinstance(one, say.Pressure) for one in pressure):
            return pressure  # "the gauge reads 62 psi, is that safe?"
    places = [
        i
        for i in range(1, len(toks))
        if toks[i].has("QWORD", "AUX", "STATUS", "MAKEIT", "DAYSLEFT", "LEFT")
        and (toks[i - 1].has("COMMA", "AND", "THEN", "FILLER", "BUT") or _turns_to_ask(toks, i))
    ]
    for i in places[:_TURNS] if len(places) <= _TURNS else [*places[:_TURNS], places[-1]]:
        cut = i if _turns_to_ask(toks, i) and not toks[i - 1].has("COMMA", "AND", "THEN", "FILLER", "BUT") else i - 1
        if not is_question(toks[i:]) or mood(toks[:cut]) is not None or toks[0].text in ("with", "without"):
            continue  # "with one more person from tomorrow, how long have we got": a what-if
        asked = question(text, toks[i:])
        made = statements(text, toks[:i]) if asked or how_many(toks[i:]) else None
        if made and not asked and isinstance(made[-1], say.Use) and made[-1].activity == "shower":
            asked = [Ask(topic="showers", text=text.strip())]  # "shower two gallons, how many are left?"
        if made and asked:
            return only_if(text, toks[:cut], toks[i:], made) or made + asked
    return None


# ---------------------------------------------------------------- what is no report


def _not_a_report(text: str, toks: Sequence[Tok], why: str) -> list[Intent] | None:
    """Understood as no report only if it speaks of our things and every word is known."""
    if not any(tok.has(*_OURS) for tok in toks) and why != "remark":
        return None
    if any(not tok.known for tok in toks) and (
        why not in ("other_people", "reported") or not any(tok.has(*_OF_WATER) for tok in toks)
    ):
        return None  # "when does the camp office open" is about nothing of ours
    return [NotAReport(why="visitor" if _a_visitor(toks, why) else why, text=text.strip())]


_SIBLINGS = frozenset(
    ("sis", "bro", "lil sis", "lil bro", "little sis", "big bro", "big sis", "little sister", "little brother")
)
_VISITORS = frozenset("sis bro sister brother cousin aunt uncle niece nephew buddy mate friend parents".split())


def _a_visitor(toks: Sequence[Tok], why: str) -> bool:
    """ "my sister showered, 2 gal": ours if she is aboard."""
    others = [i for i, tok in enumerate(toks) if tok.has("OTHER")]
    near = all(
        toks[i].text.split()[-1] in _VISITORS
        and (toks[i].text in _SIBLINGS or (i and toks[i - 1].text in ("my", "our")))
        for i in others
    )
    told = any(tok.has("UNIT") for tok in toks) and any(tok.has("ACT", "ACTS") for tok in toks)
    elsewhere = any(tok.has("RIG", "ELSEWHERE", "FUTURE", "NEG", "IF", "REPORTED", "POSS") for tok in toks)
    return why == "other_people" and bool(others) and near and told and not elsewhere
