"""Whether a clause reports something that has happened to this rig: negation, plan, question, hypothesis, others, hearsay, habit.

May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.tokens import Tok

_SUBJECTS = (
    "SELF",
    "TANK",
    "TANKS",
    "ACT",
    "PERSON",
    "IT",
    "NUMBER",
    "BE",
    "PUMP",
    "METER",
    "SERVICE",
    "TANKWORD",
    "FILLER",
    "ROOM",
    "A",
    "OTHER",
    "SITE",
    "VALVE",
    "PRESSURE",
    "GEAR",
    "ART",
    "DEPART",
    "NEG",
    "CHANGE",
)
_INSTRUMENTS = ("METER", "SENSOR", "PRESSURE", "FLOW")


def is_question(toks: Sequence[Tok]) -> bool:
    """A question by its sign, its first word, or verb before subject."""
    core = [tok for tok in toks if not _dropped(tok)]
    if not core:
        return False
    if any(tok.has("QMARK") for tok in toks):
        return True
    first = core[0]
    if first.has("QWORD") and not (first.text in ("what", "who", "when") and len(core) == 1):
        return True
    after = core[1] if len(core) > 1 else None
    if first.has("AUX") and first.text not in ("had", "may", "was", "have", "were", "being") and after is not None:
        return after.has(*_SUBJECTS) and not (
            first.text in ("is", "are", "am") and after.has("NUMBER", "ACT", "GEAR") and not after.has("TANK")
        )
    if first.text in ("have", "had", "was", "were") and after is not None:
        return after.has("SELF", "PERSON", "IT", "NEG") and not (first.text == "had" and after.has("NUMBER"))
    return False


def _dropped(tok: Tok) -> bool:
    return tok.has("FILLER", "COMMA", "STOP", "QMARK", "ART", "COLON", "SEMI") and not tok.has("QWORD", "AUX", "SELF")


def mood(toks: Sequence[Tok]) -> str | None:
    """Why these tokens are no report of this rig, or None if they may be one."""
    if any(tok.has("OTHER") for tok in toks):
        return "other_people"
    if any(tok.has("IF") and not tok.has("BEFORE") for tok in toks):
        return "hypothesis"
    if is_question(toks):
        return "question"
    if any(tok.has("REPORTED") for tok in toks) and not any(tok.has(*_INSTRUMENTS) for tok in toks):
        return "reported"
    reminder = any(tok.has("EVERY") for tok in toks)
    if any(tok.has("FUTURE") and not (reminder and tok.text.startswith("remind")) for tok in toks):
        return "intention"
    if any(tok.has("NEG") for tok in toks):
        return "negation"
    if any(tok.has("HABIT") for tok in toks):
        return "remark"
    return None
