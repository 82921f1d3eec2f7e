"""Questions that want to see: "show", "show the tanks", "show the forecast till Sunday", "show this week", "draw the grey tank".

Only clauses that hold nothing else are taken, so that "show the last ten" and "show notes" stay what they are.
May import: clause, intents, when.
"""

from __future__ import annotations

from grammar.intents import Ask
from grammar.pieces.clause import Clause
from grammar.when import When

ALONE = ("FILLER", "COMMA", "STOP", "QMARK", "PREP", "ART", "SELF", "A", "OF", "FOR", "AS", "AND", "POSS", "IN", "TO")
SEEN = ("SHOW", "PICTURE")


def ask_shown(clause: Clause) -> Ask | None:
    """The picture that a clause asks for; None if it asks for none, or holds a word of anything else."""
    wanted = clause.has(*SEEN) or any(tok.text.startswith("show ") for tok in clause.words("STATUS"))
    if clause.has("FORECASTQ") and _only(
        clause, "FORECASTQ", "SHOW", "PICTURE", "TANKWORD", "TANK", "TANKS", "QWORD", "BE"
    ):
        until = clause.get("until") or clause.when
        return Ask(topic="make_it", subject="forecast", tank=_tank(clause), until=until)
    if not wanted or (clause.has("HISTORY") and not clause.has("STATUS", "WEEKQ") and clause.when is None):
        return None
    when = clause.when
    if (clause.has("WEEKQ") or _is_week(when)) and _only(clause, "WEEKQ", *SEEN, "USE", "HISTORY"):
        return Ask(topic="history", subject="week", when=when)
    if _only(clause, "STATUS", "TANK", "TANKS", "TANKWORD", "LEVELWORD", *SEEN) and when is None:
        return Ask(topic="status", subject="tanks", tank=_tank(clause))
    return None


def _only(clause: Clause, *classes: str) -> bool:
    """Nothing but words of these classes, fillers, tanks and a time."""
    return all(piece.kind in ("when", "until", "tanks") or piece.has(*classes, *ALONE) for piece in clause.pieces)


def _is_week(when: When | None) -> bool:
    return when is not None and when.period == "week" and when.count is None


def _tank(clause: Clause) -> str | None:
    return clause.tanks[0] if len(clause.tanks) == 1 and clause.tanks != ("*",) else None
