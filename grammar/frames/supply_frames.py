"""Frames of where the water comes from: the pump and the tank, or the tap.

May import: clause, intents, trip_frames.
"""

from __future__ import annotations

from itertools import pairwise

from grammar import intents as say
from grammar.frames.trip_frames import HOOKED, HOOKS, hookups
from grammar.intents import Intent
from grammar.lightclass import Literal
from grammar.pieces.clause import Clause, frame
from grammar.rejoinders import Fragment


@frame(
    "supply",
    "PUMP HOOKUP WATERHERE SWITCH.past OUTON TANKWORD",
    "SWITCH ONTO ON when BACK TO DO USE IN tanks PARTICLE OUTON AGAIN WATERHERE STOW TANKWORD AWAYFOR people",
    rank=1,
)
def supply(clause: Clause) -> Intent | None:
    if clause.word("SWITCH", "base") and not clause.has("DO"):
        return None  # "switch to city water" is an order, or what one is about to do
    if clause.tanks or clause.word("TANKWORD"):
        switch = clause.word("SWITCH")
        if not clause.tanks and (switch is None or switch.text in ("now", "are")) and _on_the_tank(clause):
            return say.Supply(source="tank", when=clause.when)
        if not clause.tanks and not clause.has("PUMP", "HOOKUP") and switch is not None and clause.has("ONTO"):
            return say.Supply(source="tank", when=clause.when) if switch.text.startswith(_MOVED) else None
        if clause.tanks != ("fresh",) or switch is None or clause.has("PUMP", "HOOKUP") or not clause.has("ONTO"):
            return None
        return say.Supply(source="tank", when=clause.when) if switch.text.startswith(_MOVED) else None
    running = clause.word("PUMP")
    if running is not None and not _RUNNING.isdisjoint(running.text.split()):
        return say.Supply(source="tank", when=clause.when)
    if _merely_linked(clause):
        return say.Supply(source="hookup", loose=True, when=clause.when)
    if not (
        clause.word("SWITCH")
        or clause.word("ON")
        or clause.word("BACK")
        or clause.word("ONTO")
        or clause.word("USE", "ing")
        or (clause.word("PUMP") and clause.has("OUTON"))
        or (clause.word("STOW") and clause.has("FROM"))
    ):
        return None
    pump, hook = clause.word("PUMP") is not None, clause.word("HOOKUP") is not None or _to_the_tap(clause)
    upon = _upon(clause)
    if upon is not None:
        return say.Supply(source=upon, when=clause.when)
    away = [
        tok.text for cls in ("PARTICLE", "PREP", "FROM") for tok in clause.words(cls) if tok.text in ("off", "from")
    ]
    parted = clause.word("STOW")
    if parted is not None:  # "disconnected from the hookup"
        return say.Supply(source="tank", when=clause.when) if hook and not pump and parted.text in _PARTED else None
    if away and pump != hook:
        if "from" in away:
            return None
        if _off_is_away(clause):
            if pump and not any(tok.text.startswith(_LINKS) for tok in clause.words("SWITCH")):
                return say.Supply(source="hookup", loose=True, when=clause.when)  # "pump off": perhaps for the night
            pump, hook = not pump, not hook
    if pump == hook:
        return None
    return say.Supply(source="tank" if pump else "hookup", when=clause.when)


_LINKS = ("hooked", "plugged", "connected", "all hooked", "went", "back", "reconnected")
_RUNNING = frozenset(("running", "run", "living", "working"))


def _on_the_tank(clause: Clause) -> bool:
    """ "I'm on the tank", "we are on the tank now"."""
    said = [piece.toks[0].text for piece in clause.pieces if piece.kind == "word" and not piece.has("FILLER")]
    return (
        said[-2:] == ["on", "tank"]
        and set(said[:-2]) <= {"we", "i", "are", "am", "we are", "back", "now", "are now"}
        and len(said) > 2
    )


def _to_the_tap(clause: Clause) -> bool:
    """ "hooked up to the tap again", "connected to the spigot"."""
    linked = any(tok.text in _LINKED for cls in ("OUTON", "SWITCH") for tok in clause.words(cls))
    return linked and clause.word("WATERHERE") is not None and clause.has("TO", "ONTO") and not clause.has("GEAR")


def _upon(clause: Clause) -> Literal["tank", "hookup"] | None:
    """ "the water's off at the park so we are on the pump": where "off" is of the one, "on" says what one is on."""
    if not any(tok.text == "off" for cls in ("PARTICLE", "PREP", "ONTO", "OUTON", "AWAY") for tok in clause.words(cls)):
        return None
    pieces = [piece for piece in clause.pieces if not piece.has("POSS", "BE")]
    off = {
        cls
        for here, after in pairwise(pieces)
        for cls in ("PUMP", "HOOKUP")
        if here.has(cls) and after.toks[0].text == "off"
    }
    led = {
        cls
        for before, here in pairwise(pieces)
        for cls in ("PUMP", "HOOKUP")
        if (here.has(cls) and before.toks[0].text in ("on", "onto"))
        or (before.has(cls) and here.toks[0].text == "on")
        or (here.has(cls) and before.toks[0].text in _TO and clause.has("SWITCH"))
    }
    led -= off if len(led) == 2 else set()  # "pump's on city water's off"
    said = {cls for cls in ("PUMP", "HOOKUP") if clause.word(cls) is not None}
    off_first = clause.has("WATER", "WATERHERE") or len(said) == 2
    return ("tank" if led == {"PUMP"} else "hookup") if len(led) == 1 and off_first else None


_TO = ("to", "over to", "back to", "on to", "over onto", "onto")


def _merely_linked(clause: Clause) -> bool:
    """ "we're hooked up", "all hooked up now": to what is not said."""
    linked = any(tok.text in HOOKED for cls in ("OUTON", "SWITCH") for tok in clause.words(cls))
    return linked and all(
        piece.kind == "when" or piece.has("SELF", "BE", "FILLER", "AGAIN") or piece.toks[0].text in HOOKED
        for piece in clause.pieces
    )


_LINKED = frozenset(
    (
        "hooked up|connected|connected up|plugged in|hooked back up|connected back up|reconnected|hooked up again|hooked back|"
        "plugged back in|plugged back|plugged back up"
    ).split("|")
)
_PARTED = ("disconnected", "unhooked")
_MOVED = ("switched", "changed", "swapped", "moved")


def _off_is_away(clause: Clause) -> bool:
    """ "switched off the pump" leaves it; "running off the pump" is on it."""
    switch = clause.word("SWITCH")
    return switch is None or not switch.text.startswith(("running", "are running"))


@frame("hookups here", "HAVE THEREARE", HOOKS)
def hookups_here(clause: Clause) -> Intent | None:
    """ "We have sewer", "there's no water": of the place where we are, beside what else is told."""
    water, sewer = hookups(clause)
    ours = clause.word("SELF") is not None or clause.word("THEREARE") is not None
    return Fragment(water=water, sewer=sewer) if ours and (water, sewer) != (None, None) else None
