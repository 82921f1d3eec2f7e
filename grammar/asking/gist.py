"""What a question is about by the things that it names, where no rule took it whole: "how long can each shower be", "is there still room
in the waste tanks", "how long before I change the filter". An answer records nothing, so the thing asked about is enough.

May import: asked, clause, intents, outlook_questions, piece_meanings, deeds, what_if, when.
"""

from __future__ import annotations

from collections.abc import Callable

from grammar.asking.asked import did, of_all, one_tank, q, until_of
from grammar.asking.outlook_questions import asks_leave, is_over
from grammar.asking.what_if import what_if
from grammar.frames.deeds import activity
from grammar.intents import Ask
from grammar.pieces.clause import Clause
from grammar.pieces.piece_meanings import Length
from grammar.when import When

Rule = Callable[[Clause], "Ask | None"]

_MODALS = frozenset(("can could may might would will shall should").split())


def _modal(clause: Clause) -> bool:
    return any(tok.text in _MODALS for tok in clause.words("AUX"))


def _opens(clause: Clause) -> bool:
    """Whether the clause begins as a question that wants a yes or no."""
    return bool(clause.pieces) and clause.pieces[0].has("AUX", "LEFT", "THEREARE", "BE")


def _why(clause: Clause) -> Ask | None:
    """ "why only that much", "how come it's so low": the number just told."""
    first = clause.pieces[0]
    if not (first.has("EXPLAIN") and first.toks[0].text.startswith(("why", "how come"))):
        return None
    return Ask(topic="explain", tank=one_tank(clause))


def _without(clause: Clause) -> Ask | None:
    """ "how much would skipping showers save"."""
    if (
        not clause.has("NEG")
        or not 0 <= clause.place("NEG") < clause.place("ACT")
        or activity(clause) is None
        or not q(clause, "howmuch", "what", "howlong")
        or not _modal(clause)
    ):
        return None
    return what_if(None, [clause])


def _due(clause: Clause) -> Ask | None:
    item = clause.value("SERVICE") or ("sanitise" if clause.has("SANITISE") else None)
    timely = _opens(clause) and clause.has("FUTURE")  # "is it time to sanitise the tank"
    if item is None or did(clause) or not (timely or q(clause, "when", "howlong", "howoften", "howmuch", "howmany")):
        return None
    return Ask(topic="due", subject=item)


def _rinse(clause: Clause) -> Ask | None:
    stops = clause.has("WALK", "SHUT", "RINSEOFF")  # "when should I stop the flush"
    rinse = clause.has("RINSE", "RINSEPORT", "RINSEOFF") and (stops or activity(clause) is None)
    if not rinse or did(clause) or not (q(clause, "when", "howlong", "howmuch", "howmany", "what") or _modal(clause)):
        return None
    return Ask(topic="rinse_limit", tank=one_tank(clause))


def _showers(clause: Clause) -> Ask | None:
    if activity(clause) != "shower" or did(clause) or clause.has("NEG"):
        return None
    room = clause.has("ROOM", "ROOMQ", "LEFT") or any(tok.text.startswith("enough") for tok in clause.words("MAKEIT"))
    most = q(clause, "what", "howmany") and clause.has("MOST", "BOUND") and _modal(clause)
    if most or (q(clause, "howlong") and _modal(clause)) or (_opens(clause) and (_modal(clause) or room)):
        until = until_of(clause) if clause.index("until") >= 0 else None
        return Ask(topic="showers", until=until, subject=of_all(clause))
    return None


def _doing(clause: Clause) -> Ask | None:
    """ "can we do a load of laundry tomorrow": what would come of it."""
    if activity(clause) is None or clause.has("NEG"):
        return None
    if asks_leave(clause):
        return what_if(None, [Clause([piece for piece in clause.pieces if not piece.has("MAKEIT", "AUX", "QMARK")])])
    if not _opens(clause) or not _modal(clause):
        return None
    ends = clause.place("AND") if clause.has("MAKEIT") else -1
    return what_if(None, [Clause(clause.pieces[1:ends] if ends > 0 else clause.pieces[1:])])


def _make_it(clause: Clause) -> Ask | None:
    """ "do we need to worry about grey before Friday", "can we do another 2 nights"."""
    if (
        not _opens(clause)
        or did(clause)
        or activity(clause) is not None
        or clause.has("DUMP", "METER", "VALVE", "RINSE")
    ):
        return None
    until, length = until_of(clause), clause.get("duration")
    if until is None and clause.has("LEAVINGQ"):
        until = When(stay_end=True)  # "before we leave"
    if until is not None and not is_over(until) and clause.has("RUNOUT", "MAKEIT", *_HOLDING):
        return Ask(topic="make_it", tank=one_tank(clause), until=until)
    if isinstance(length, Length) and length.days >= 1 and clause.has("SELF") and _modal(clause) and _small(clause):
        return Ask(topic="make_it", nights=length.days)
    return None


_HOLDING = ("TANK", "TANKS", "TANKWORD", "WATER", "WATERHERE")


def _small(clause: Clause) -> bool:
    return all(piece.kind == "duration" or piece.has(*_LITTLE) for piece in clause.pieces)


_LITTLE = ("AUX", "SELF", "DO", "FOR", "PREP", "QMARK", "FILLER", "STAY", "MAKEIT", "BE", "TAKEAWAY", "MORE")


def _used(clause: Clause) -> Ask | None:
    """ "how much water went through since Monday"."""
    since = clause.get("since") or clause.when
    logged = clause.has("HISTORY") and q(clause, "what", "howmuch", "howmany")
    through = clause.has("METER") and clause.has("THROUGH", "RUNOUT") and q(clause, "howmuch", "howmany")
    if logged and since is None and activity(clause) is None:
        amount = clause.get("amount")
        count = int(amount.value) if amount is not None and amount.value and amount.unit is None else None
        return Ask(topic="history", count=count)  # "what were the last three things I logged"
    if through and since is None:
        return Ask(topic="history")  # "how many gallons have gone through the meter"
    status = logged or (
        clause.has("STATUS") and clause.get("since") is not None
    )  # "how much have we got through since Sunday"
    used = clause.has("USE") and q(clause, "howmuch", "howmany", "what")
    if since is None or not (status or used) or _modal(clause):
        return None
    return Ask(topic="history", activity=activity(clause), people=clause.people, when=since)


def _average(clause: Clause) -> Ask | None:
    return (
        Ask(topic="activity", activity=activity(clause))
        if clause.has("AVERAGE") and q(clause, "what", "howmuch")
        else None
    )


def _runway(clause: Clause) -> Ask | None:
    if did(clause) or activity(clause) is not None or clause.has("NEG"):
        return None
    runs = clause.has("RUNOUT", "FULLNESS", "DUMP", "FILL", "STAYEND") and not any(
        tok.text == "last" for tok in clause.words("WHICH")
    )
    soon = (
        q(clause, "when", "howlong")
        or clause.has("FUTURE")
        or any(tok.text in ("will", "would", "going to") for tok in clause.words("AUX"))
    )
    full = any(not tok.has("DUMP", "FILL") for tok in clause.words("RUNOUT")) and clause.pieces[-1].has("QMARK")
    return Ask(topic="runway", tank=one_tank(clause)) if runs and (soon or full) and clause.has(*_OURS) else None


_OURS = ("TANK", "TANKS", "TANKWORD", "WATER", "WATERHERE", "SELF", "IT", "STAYEND")


def _status(clause: Clause) -> Ask | None:
    tanks = clause.has("TANK", "TANKS", "TANKWORD")
    held = clause.has("ROOM", "ROOMQ", "LEFT", "LEFTOVER", "FULLNESS", "VAGUELY")
    if (
        did(clause)
        or activity(clause) is not None
        or clause.has("NEG", "DUMP", "FILL", "METER", "VALVE", "HAUL", "RINSE")
    ):
        return None
    water = clause.has("WATER", "WATERHERE") or any("water" in tok.text for tok in clause.words("QWORD"))
    asked = _opens(clause) or clause.pieces[-1].has("QMARK")
    if ((tanks or water) and held and asked) or (q(clause, "howmuch") and water and not clause.has("USE", "COST")):
        return Ask(topic="status", tank=one_tank(clause) or (None if tanks else "fresh"))
    return None


GIST: tuple[Rule, ...] = (_why, _without, _due, _rinse, _showers, _doing, _make_it, _used, _average, _runway, _status)


def gist(clause: Clause) -> Ask | None:
    """The question that the things named make likely; None where they leave it open, or speak of somebody else's."""
    if clause.has("OTHER", "REPORTED", "NEWACT", "DUMPSITE") or not clause.pieces:
        return None
    if any(piece.kind == "word" and not piece.toks[0].known for piece in clause.pieces):
        return None
    return next((found for rule in GIST if (found := rule(clause)) is not None), None)
