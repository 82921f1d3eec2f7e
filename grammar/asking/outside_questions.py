"""How things stand outside the rig, by what was told: where a hose is, whether a valve is open, what the place has, whether one may dump here.

May import: asked, clause, intents.
"""

from __future__ import annotations

from grammar.asking.asked import Rules, one_tank, q, rule, site_of, texts
from grammar.intents import Ask
from grammar.pieces.chunks import Piece
from grammar.pieces.clause import Clause

_PLACED = ("OUTON", "STOW", "PUTAWAY", "AWAYWORD", "FETCHED", "TAKEAWAY", "UNHOOK", "STILLRUN")
_MODALS = {"can", "could", "may", "should", "might", "will", "do", "does"}
_SHUT_OR_NOT = ("OPEN", "CLOSE", "SHUT", "VALVESTATE", "VALVE")
_LITTLE = "AUX BE DO SELF QWORD QMARK FILLER ART POSS LEFT LEFTOVER PUT PREP IN THERE PARTICLE DEPART LEAVE STAYEND LEAVINGQ AT SITE AND OR".split()


def _first(clause: Clause) -> Piece:
    return next((piece for piece in clause.pieces if not piece.has("FILLER")), clause.pieces[0])


def _asks_of(clause: Clause, *classes: str) -> bool:
    """ "Did we …", "is the …": of nothing but these classes and little words; "can I", "should I" ask for leave."""
    first = _first(clause)
    if not (q(clause, "where") or first.has("AUX") or first.toks[0].text.startswith("have ")):
        return False
    if texts(clause) & _MODALS:
        return False
    return all(piece.has(*classes, *_LITTLE) for piece in clause.pieces if piece.kind not in ("when", "until", "tanks"))


@rule("GEAR")
def _gear(clause: Clause) -> Ask | None:
    """ "Where is the hose", "did I put the regulator away", "is it still outside": where one thing is, by what was told."""
    if not (q(clause, "where") or clause.has(*_PLACED)) or len(clause.words("GEAR")) != 1:
        return None
    if not _asks_of(clause, *_PLACED, "GEAR", "METER", "HOOKUP", "OUTLET", "WATERHERE") or clause.has("TANKS", "VALVE"):
        return None
    return Ask(topic="history", subject=f"gear {clause.words('GEAR')[0].text}")


@rule("VALVE OPEN SHUT CLOSE")
def _valve(clause: Clause) -> Ask | None:
    """ "Is the grey valve open", "did I leave black open": how a valve stands, by what was told."""
    if (
        not (clause.has("VALVE") or clause.tanks)
        or not clause.has("OPEN", "SHUT")
        or not _asks_of(clause, *_SHUT_OR_NOT)
    ):
        return None
    return Ask(topic="history", subject="valve", tank=one_tank(clause))


_HOOKED = ("SEWERHERE", "WATERHERE", "HOOKUP", "PUMP")


@rule("SEWERHERE WATERHERE HOOKUP PUMP SWITCH")
def _hookups(clause: Clause) -> Ask | None:
    """ "Is there a sewer here", "do we have water at Cedar Flat", "are we on the pump": what a place has, and what we are on."""
    first = _first(clause).toks[0].text
    small = (*_LITTLE, *_HOOKED, "SITEWORD", "STAY", "A", "WHICH", "ON", "ONTO", "WATER", "HAVE", "SWITCH", "OUTON")
    if any(not piece.has(*small) for piece in clause.pieces if piece.kind != "when") or clause.tanks:
        return None
    if first in ("is there", "are there", "do we have", "have we", "have we got", "does") and clause.has(*_HOOKED):
        return Ask(topic="history", subject="site" if site_of(clause) else "where", site=site_of(clause))
    if first in ("are", "is") and clause.has("SELF") and clause.has("HOOKUP", "PUMP", "OUTON"):
        return Ask(topic="history", subject="supply")
    return None


@rule("DUMP OPEN")
def _may_dump(clause: Clause) -> Ask | None:
    """ "Can I dump here", "can I open grey now": whether the place has what it takes."""
    first = _first(clause)
    if first.toks[0].text not in ("can", "may", "could") or not clause.has("SELF") or not clause.has("DUMP", "OPEN"):
        return None
    when = clause.when
    if (when is not None and not when.now) or not (texts(clause) & {"here"} or when is not None or site_of(clause)):
        return None
    if any(
        not piece.has(*_LITTLE, "DUMP", "OPEN", "VALVE", "STAY", "SITEWORD", "WHICH")
        for piece in clause.pieces
        if piece.kind not in ("when", "tanks")
    ):
        return None
    return Ask(topic="history", subject="may dump", tank=one_tank(clause), site=site_of(clause))


OUTSIDE = Rules("OTHER REPORTED NEWACT", _gear, _valve, _hookups, _may_dump)


def ask_outside(clause: Clause) -> Ask | None:
    """The question of this sort that a clause asks; None if it is none, or if a word of it is unknown or of somebody else."""
    return OUTSIDE.first(clause) if clause.pieces else None
