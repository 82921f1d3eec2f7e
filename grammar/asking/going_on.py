"""What goes on from the question before: "what about Thursday?", "and the dishes?", "the day after that?".

May import: asked, deeds, clause, intents, outlook_questions, piece_meanings.
"""

from __future__ import annotations

from grammar.asking.asked import one_tank, q, rule, until_of
from grammar.asking.outlook_questions import is_over
from grammar.frames.deeds import activity
from grammar.intents import Ask
from grammar.pieces.clause import Clause
from grammar.pieces.piece_meanings import Length


def _make(clause: Clause) -> bool:
    """ "make Sunday?": whether it lasts till then."""
    core = [piece for piece in clause.pieces if not piece.has("FILLER", "QMARK", "STOP", "AUX", "SELF")]
    return len(core) == 2 and core[0].has("DO") and core[0].toks[0].text == "make" and core[1].kind == "when"


def _day_after(clause: Clause) -> int:
    """ "the day after?", "and the day after that?", "a day earlier": how many days on; 0 where that is not meant."""
    core = [
        piece for piece in clause.pieces if not piece.has("WHATABOUT", "FILLER", "QMARK", "STOP", "AND", "PREP", "ART")
    ]
    words = [tok.text for piece in core for tok in piece.toks]
    if words[:1] != ["day"] or len(core) > 2 or len(words) > 2:
        return 0
    return {"after": 1, "after that": 1, "afterwards": 1, "later": 1, "before": -1, "before that": -1}.get(
        " ".join(words[1:]), 0
    )


@rule("WHATABOUT QMARK QWORD DO")
def about(clause: Clause) -> Ask | None:
    """ "what about Thursday?" goes on from the question before."""
    begins = next(
        (n for n, piece in enumerate(clause.pieces) if not piece.has("FILLER", "COMMA", "BUT", "YES", "STOP")), None
    )
    if begins is None:
        return None
    clause = Clause(clause.pieces[begins:])  # "okay, but what about Saturday?"
    first = clause.pieces[0]
    length = clause.get("duration")
    asked = (
        clause.pieces[-1].has("QMARK")
        and clause.index("tanks") < 0
        and (clause.when or clause.get("until") or length) is not None
    )
    looks = (
        q(clause, "what", "how")
        and clause.when is not None
        and all(
            piece.kind == "when" or piece.has("QWORD", "AUX", "FUTURE", "FILLER", "QMARK", "BE")
            for piece in clause.pieces
        )
    )
    if looks and clause.when is not None and not is_over(clause.when) and clause.has("FUTURE"):
        return Ask(topic="make_it", again=True, until=clause.when)  # "what would Saturday look like"
    if _make(clause):
        return Ask(topic="make_it", until=clause.when)
    on = _day_after(clause) if first.has("WHATABOUT") or clause.pieces[-1].has("QMARK") else 0
    if on:
        return Ask(topic="make_it", again=True, nights=on, subject="longer")
    led = first.has("FOR", "AND", "ART") or clause.has("ONE")
    if led and one_tank(clause) and clause.pieces[-1].has("QMARK") and _only_tanks(clause):
        return Ask(topic="make_it", again=True, tank=one_tank(clause))  # "for fresh?", "the black one too?"
    thing = _of_a_thing(clause) if first.has("WHATABOUT", "AND") or clause.pieces[-1].has("QMARK") else None
    if thing is not None:
        return thing
    if not first.has("WHATABOUT") and not asked:
        return None
    if any(
        piece.kind not in ("when", "until", "tanks", "duration", "people")
        and not piece.has(*_SMALL, "OR", "UNTIL", "THEN", "ONE", "TANKWORD")
        for piece in clause.pieces
    ):
        return None
    until, tank = until_of(clause), one_tank(clause)
    if clause.people:
        asks = first.toks[0].text.endswith((" about", " of")) and until is None and tank is None
        return Ask(topic="activity", again=True, people=clause.people) if asks else None  # "what about Ana"
    if isinstance(length, Length) and until is None and tank is None and length.days >= 1:
        return Ask(topic="make_it", again=True, nights=length.days, subject="longer" if length.more else None)
    if until is not None and is_over(until):
        return Ask(topic="history", again=first.has("WHATABOUT"), when=until)
    return Ask(topic="make_it", again=True, until=until, tank=tank) if until is not None or tank is not None else None


def _only_tanks(clause: Clause) -> bool:
    small = ("ONE", "TOO", "FOR", "PREP", "AND", "ART", "QMARK", "FILLER", "TANKWORD")
    return all(piece.kind == "tanks" or piece.has(*small) for piece in clause.pieces)


def _of_a_thing(clause: Clause) -> Ask | None:
    """ "And the dishes?", "what about the anode?": the question before, of another use or another item of upkeep."""
    if not clause.pieces[0].has("WHATABOUT", "AND") or clause.has("NEG", "IF", "AUX"):
        return None
    plain = all(piece.has("ACT", "ACTS", "SERVICE", "SANITISE", *_BESIDE_A_THING) for piece in clause.pieces)
    if not plain or clause.get("amount") is not None:
        return None
    item = clause.value("SERVICE") or ("sanitise" if clause.has("SANITISE") else None)
    name = activity(clause)
    if item is not None:
        return Ask(topic="due", again=True, subject=item)
    return Ask(topic="activity", again=True, activity=name) if name is not None else None


_SMALL = tuple("WHATABOUT FILLER QMARK PREP STOP COMMA ART AND BUT".split())
_BESIDE_A_THING = (*_SMALL, "A", "OF", "FOR", "POSS", "VESSEL")
