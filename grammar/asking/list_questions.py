"""Questions for a procedure: arriving, leaving, dumping, or the one that is at hand.

May import: asked, clause, intents.
"""

from __future__ import annotations

from grammar.asking.asked import did, only, q, rule, without_today
from grammar.intents import Ask
from grammar.patterns import Pattern
from grammar.pieces.clause import Clause


@rule("LEAVINGQ ARRIVING DUMPINGQ TODOQ CHECKLIST LEAVE DEPART GEAR")
def checklist(clause: Clause) -> Ask | None:
    for cls in ("LEAVINGQ", "ARRIVING", "DUMPINGQ"):
        tok = clause.word(cls)
        if tok is not None and (
            only(clause, cls, "CHECKLIST", "SHOW", "WALK") or (q(clause, "what", "how") and not clause.has("QHOWMUCH"))
        ):
            return Ask(topic="checklist", subject=tok.senses[cls].value)
    last_day = clause.when is not None and clause.when.text.casefold() in ("last day", "last morning", "our last day")
    if (
        q(clause, "how")
        and clause.has("LEAVE", "DEPART")
        and only(clause, "LEAVE", "DEPART", "QWORD", "DO")
        and not did(clause)
    ):
        return Ask(topic="checklist", subject="leaving")  # "how do we leave"
    if clause.has("TODOQ") and (last_day or clause.has("LEAVINGQ", "LEAVE", "DEPART")):
        return Ask(topic="checklist", subject="leaving")
    if only(clause, "CHECKLIST", "SHOW", "QWORD") and clause.has("CHECKLIST"):
        return Ask(topic="checklist", subject=clause.value("CHECKLIST"))
    if only(clause, "LEAVE") and clause.spells("LEAVE", "pres") and _we_leave(clause):
        return Ask(topic="checklist", subject="leaving")  # "we leave", "we're leaving"
    named = clause.has("TODOQ") and not any(_ASKS_AFTER.match(tok.text) for tok in clause.words("TODOQ"))
    if (named and only(without_today(clause), "TODOQ")) or _the_steps(clause):
        return Ask(topic="checklist", subject="at hand")  # "what do I have to do", "what are the steps"
    return None


_ASKS_AFTER = Pattern(("forg", "miss"), ".*(forg|miss)")
"""Whether something was forgotten is asked of the gear."""


def _we_leave(clause: Clause) -> bool:
    said = [tok.text for piece in clause.pieces for tok in piece.toks]
    return any(one.split()[0] in ("we", "i") for one in said) and said[0] not in ("leave",)


def _the_steps(clause: Clause) -> bool:
    """ "steps", "the steps please": of whatever is being gone through."""
    said = [tok.text for piece in clause.pieces for tok in piece.toks if not tok.has("FILLER", "ART", "QMARK", "STOP")]
    return said == ["steps"]
