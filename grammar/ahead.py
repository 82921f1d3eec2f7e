"""Questions that lean on the forecast and on the record: the ways out, the last good moment, what changed, what saves most.

They stand before the general rules of questions.py; a rule takes its question only if nothing is left over.
May import: clause, intents, piece_meanings, when.
"""

from __future__ import annotations

from collections.abc import Callable

from grammar.clause import Clause
from grammar.intents import Ask
from grammar.piece_meanings import Length
from grammar.when import When

Rule = Callable[[Clause], "Ask | None"]

_SMALL = (
    "FILLER",
    "PREP",
    "ART",
    "QMARK",
    "AUX",
    "BE",
    "SELF",
    "WATER",
    "A",
    "OF",
    "STOP",
    "COMMA",
    "TO",
    "TANKWORD",
    "IT",
    "FUTURE",
)


def _kind(clause: Clause) -> str | None:
    tok = clause.word("AHEADQ")
    return tok.senses["AHEADQ"].value if tok is not None else None


def _nothing_else(clause: Clause, *classes: str) -> bool:
    """Only the question's own words, moments, tanks, and what carries nothing."""
    return all(
        piece.kind in ("when", "until", "tanks", "since", "duration", "every") or piece.has("AHEADQ", *_SMALL, *classes)
        for piece in clause.pieces
    )


def _until(clause: Clause) -> When | None:
    found: When | None = clause.get("until") or clause.when
    length = clause.get("duration")
    if found is None and isinstance(length, Length) and length.days >= 1.5:
        return When(whole_days=round(length.days), text=f"{length.number:g} {length.unit}s")
    return found


def _tank(clause: Clause) -> str | None:
    return clause.tanks[0] if len(clause.tanks) == 1 and clause.tanks != ("*",) else None


def _ways(clause: Clause) -> Ask | None:
    """ "what else can we do", "how can we make it to Sunday"."""
    kind = _kind(clause)
    if kind not in ("ways", "others") or not _nothing_else(clause, "MAKEIT", "QWORD", "AROUND", "ABOUT"):
        return None
    return Ask(topic="make_it", subject=kind, until=_until(clause), tank=_tank(clause))


def _latest(clause: Clause) -> Ask | None:
    """ "what's the latest we can dump", "the last good moment to dump grey"."""
    if _kind(clause) != "latest" or not clause.has("DUMP", "HAUL", "FILL", "DUMPINGQ", "RUNOUT"):
        return None
    if not _nothing_else(clause, "DUMP", "HAUL", "FILL", "DUMPINGQ", "RUNOUT", "QWORD", "TANK", "TOTE", "DO", "LEFT"):
        return None
    return Ask(topic="runway", subject="latest fill" if clause.has("FILL") else "latest", tank=_tank(clause))


def _record(clause: Clause) -> Ask | None:
    """ "what changed this week", "what saves the most", "this stay"."""
    kind = _kind(clause)
    if kind in ("changed", "saves") and _nothing_else(clause, "MOST", "QWORD", "USE"):
        return Ask(topic="history", subject=kind, when=clause.when or clause.get("since"))
    if (
        clause.has("COMPARE")
        and clause.when is not None
        and _nothing_else(clause, "COMPARE", "QWORD", "USE", "HISTORY", "WHICH", "AND")
    ):
        return Ask(topic="history", subject="changed", when=clause.when)
    if kind == "stay" and _nothing_else(clause, "QWORD", "USE", "HISTORY", "SHOW"):
        return Ask(topic="history", subject="stay")
    return None


def _how(clause: Clause) -> Ask | None:
    """A bare "how?": the way there, after a no; else how it is known."""
    words = [tok.text for piece in clause.pieces for tok in piece.toks if not tok.has("FILLER", "QMARK", "STOP")]
    return Ask(topic="explain", subject="how") if words == ["how"] else None


AHEAD: tuple[Rule, ...] = (_ways, _latest, _record, _how)


def ask_ahead(clause: Clause) -> Ask | None:
    """The question of these that a clause asks; None if it is none, or if a word of it is unknown or of somebody else."""
    if any(piece.kind == "word" and not piece.toks[0].known for piece in clause.pieces) or clause.has(
        "OTHER", "REPORTED", "NEWACT"
    ):
        return None
    return next((found for rule in AHEAD if (found := rule(clause)) is not None), None)
