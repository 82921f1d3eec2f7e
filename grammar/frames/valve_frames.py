"""Frame of the waste valves: opened, closed, left open.

May import: clause, intents.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.clause import Clause, frame


@frame(
    "valve",
    "VALVE OPEN SHUT.past",
    "tanks OPEN SHUT when since people TANKWORD SCENE TAKEAWAY LEFT PARTICLE HAVE",
    rank=2,
    twice="tanks",
)
def valve(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    opened, closed, tanks = clause.word("OPEN"), clause.word("SHUT", "past"), clause.tanks
    if len(clause.all("tanks")) > 1:  # "shut both waste valves, grey and black"
        listed = [one for one in clause.all("tanks") if one != ("*",)]
        if len(clause.all("tanks")) > 2 or len(listed) != 1:
            return None
        tanks = listed[0]
    pulled = clause.word("TAKEAWAY")
    if pulled is not None:
        if pulled.text != "pulled" or closed or not clause.word("VALVE"):
            return None
        opened = opened or pulled
    if (opened is None) == (closed is None) or not (clause.word("VALVE") or tanks):
        return None
    is_open = clause.word("BE") or clause.word("POSS") or 0 <= clause.place("VALVE") < clause.place("OPEN")
    left = clause.place("LEFT")
    is_open = is_open or (
        left >= 0 and not any(piece.has("COMMA") for piece in clause.pieces[left:])
    )  # "left grey open"
    is_open = is_open or (len(clause.pieces) == 2 and clause.pieces[1].has("OPEN"))  # "grey open"
    if clause.ends_leaving() or (clause.word("LEFT") is not None and clause.word("LEFT").text != "left"):  # type: ignore[union-attr]
        return None
    if opened is not None and opened.has("OPEN") and opened.senses["OPEN"].form == "base" and not is_open:
        return None
    if tanks == ("fresh",) and not clause.word("VALVE"):
        return None
    if tanks == ("*",):
        tanks = ("both",) if any(tok.text == "both" for piece in clause.pieces for tok in piece.toks) else ("*",)
    elif not tanks and any(tok.text.endswith("valves") for tok in clause.words("VALVE")):
        tanks = ("*",)
    since = clause.get("since")  # "has been open since noon": opened then
    when = replace(since, since=False) if since is not None and clause.when is None else clause.when
    found = tuple(say.Valve(tank=tank, open=opened is not None, when=when) for tank in tanks)
    return found or say.Valve(open=opened is not None, when=when)
