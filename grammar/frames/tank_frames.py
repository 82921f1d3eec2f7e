"""Frames of the tanks: dumps, hauls, fills, levels.

May import: clause, change_frames, chunks, intents.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.frames.change_frames import told_twice
from grammar.intents import Amount, Intent
from grammar.lightclass import replace
from grammar.pieces.clause import VOLUMES, Clause, frame
from grammar.when import When


@frame(
    "dump",
    "DUMP.past",
    "SITE DUMPSITE SEWERHERE tanks when people TANKWORD IT DO VALVE SCENE CHOICE PARTICLE TAKEAWAY PUTAWAY",
    rank=1,
    twice="tanks",
)
def dump(clause: Clause) -> Intent | None:
    if clause.word("SITE") is not None and not clause.elsewhere():
        return None
    carried = clause.word("TAKEAWAY") or clause.word("PUTAWAY")
    if (clause.word("IT") or carried) and clause.tanks and not (carried and _carried_first(clause)):
        return None
    if carried and not clause.word("IT"):
        return None
    if any(tok.text == "back" for tok in clause.words("PARTICLE")):
        return None
    if clause.word("DUMP", "past").text == "let" and not any(tok.text == "out" for tok in clause.words("PARTICLE")):  # type: ignore[union-attr]
        return None  # "let the grey water out"
    if clause.word("CHOICE") is not None and not (clause.tanks and _only_first(clause)):
        return None
    listed = [tanks for tanks in clause.all("tanks") if tanks != ("*",)]
    if len(clause.all("tanks")) > 1:  # "dumped the tanks at the station, grey and black"
        if len(listed) != 1 or len(clause.all("tanks")) > 2:
            return None
        return say.Dump(tanks=listed[0], when=clause.when)
    every = clause.tanks == ("*",)
    if "fresh" in clause.tanks and len(clause.tanks) == 1 and clause.word("RESET"):
        return None
    of_it = clause.word("IT") is not None and not clause.tanks
    return say.Dump(tanks=() if every else clause.tanks, every=every, it=of_it, when=clause.when)


@frame("part of a dump", "DUMP.past", "amount tanks when people PARTICLE VAGUE OF TANKWORD")
def part_of_a_dump(clause: Clause) -> Intent | None:
    """ "drained some grey", "let half the grey out", "dumped about five gallons of grey": how full it is now is to be asked."""
    return some_of_it(clause)


def some_of_it(clause: Clause) -> Intent | None:
    amount, tanks = clause.get("amount"), clause.tanks
    if amount is None or len(tanks) != 1 or tanks in (("*",), ("fresh",)) or clause.word("IT"):
        return None
    if amount.unit not in VOLUMES | {"fraction", "percent", None} or (amount.unit is None and amount.value is not None):
        return None
    return say.Level(tank=tanks[0], when=clause.when)


def _carried_first(clause: Clause) -> bool:
    """ "took the cassette out and emptied it"."""
    return 0 <= clause.index("tanks") < clause.place("DUMP") < clause.place("IT")


def _only_first(clause: Clause) -> bool:
    """ "dumped black first": an order, no choice."""
    return all(tok.text == "first" for tok in clause.words("CHOICE"))


@frame(
    "haul",
    "HAUL.past TAKEAWAY.past DUMP.past RUN.base AWAYTO repeat",
    "SITE tanks amount DUMPSITE TOTE AWAYTO AWAYWORD FULLNESS when people repeat TANKWORD DUMP SCENE UNIT PARTICLE EACH TOTAL DO USE",
    rank=1,
)
def haul(clause: Clause) -> Intent | None:
    if clause.word("SITE") is not None and not clause.elsewhere():
        return None
    runs = any(
        tok.text.startswith(("tote", "dump")) for piece in clause.pieces if piece.kind == "repeat" for tok in piece.toks
    )
    if not clause.word("HAUL", "past") and not clause.word("AWAYTO") and not clause.has("TOTE") and not runs:
        return None
    amount, full = clause.get("amount"), clause.word("FULLNESS") is not None
    is_away = clause.word("TOTE") and clause.has("BE", "POSS") and (full or amount is not None) and clause.tanks
    acted = any(clause.word(cls, "past") for cls in ("HAUL", "TAKEAWAY", "DUMP")) or clause.word("RUN") or is_away
    if not acted and not (clause.tanks and amount is not None and (clause.word("EACH") or amount.each)):
        return None  # "two trips with the tote, 8 gal of grey each time"
    if clause.word("RUN") and clause.when is not None and not clause.word("DO", "past"):
        return None  # "tote run on Friday" is to come
    if clause.word("DO", "base", "ing") or clause.word("USE", "base", "ing", "pres"):
        return None
    if not (clause.word("HAUL", "past") or clause.word("TAKEAWAY", "past") or is_away) and amount is None:
        return None  # "dumped the tote": what was in it was counted when it was hauled
    if clause.word("UNIT") is not None:
        if clause.value("UNIT") != "tote" or amount is not None:
            return None
        amount, full = Amount(1.0, "tote"), "full" in clause.word("UNIT").text  # type: ignore[union-attr]
    if amount is not None and amount.unit is None and clause.word("TOTE") is not None and before_tote(clause):
        amount = replace(amount, unit="tote")
    if amount is not None and amount.unit is not None and amount.unit not in VOLUMES | {"tote", "fraction"}:
        return None
    if amount is not None and amount.unit == "fraction" and not clause.has("TOTE"):
        return None
    if amount is not None and "full" in amount.text:
        full = True
    if amount is not None and amount.unit == "fraction":
        amount = replace(amount, unit="tote")
    repeat = clause.get("repeat")
    if amount is None and clause.has("TOTE"):
        amount, repeat = Amount(float(repeat or 1), "tote"), None
    tanks = clause.tanks
    if len(tanks) > 1 or tanks == ("*",) or tanks == ("fresh",):
        return None
    if amount is None and tanks == ("black",) and _cassette(clause):
        return say.Dump(tanks=tanks, when=clause.when)  # it is carried there to be emptied
    if repeat is not None and (repeat != int(repeat) or repeat < 1):
        return None
    often = clause.index("repeat")  # "12 gal of grey, two trips", "in two runs": so much in all
    in_runs = often > 0 and (clause.pieces[often - 1].has("IN", "BY", "PREP"))
    in_runs = in_runs or (often > 0 and any(tok.has("RUNS") for tok in clause.pieces[often].toks))
    if amount is not None and (clause.word("EACH") or 0 <= clause.index("amount") < clause.index("repeat")):
        amount = replace(
            amount, each=not in_runs or clause.word("EACH") is not None
        )  # "10 gal of grey, twice"; "in two runs"
    return say.Haul(
        tank=tanks[0] if tanks else None,
        amount=amount,
        full=full,
        runs=int(repeat) if repeat else None,
        when=clause.when,
    )


def _cassette(clause: Clause) -> bool:
    return any("cassette" in tok.text for piece in clause.pieces if piece.kind == "tanks" for tok in piece.toks)


def before_tote(clause: Clause) -> bool:
    """ "one tote", "two blue totes": the number counts totes."""
    here = clause.index("amount")
    return here + 1 < len(clause.pieces) and clause.pieces[here + 1].has("TOTE")


# ---------------------------------------------------------------- levels


def _and_between(clause: Clause) -> bool:
    """ "(half) full and black": the fullness belongs to what went before, not to the tank after the "and"."""
    full, tank = clause.place("FULLNESS"), clause.index("tanks")
    return 0 <= full < tank and any(piece.has("AND", "COMMA") for piece in clause.pieces[full:tank])


def _seen_when(clause: Clause) -> When | None:
    """ "yesterday it was raining, grey is half full": what is so now was not seen when it rained."""
    scene = clause.place("SCENE")
    now = any(tok.text in ("is", "are") for piece in clause.pieces for tok in piece.toks)
    return None if now and 0 <= clause.index("when") < scene else clause.when


def is_an_order(clause: Clause) -> bool:
    """ "Empty the black tank": rather to be done than seen, so it is asked about as orders are; "black empty" is seen."""
    first = next((piece for piece in clause.pieces if not piece.has("FILLER", "ART", "PLEASE")), clause.pieces[0])
    return first.toks[0].text == "empty" and bool(clause.tanks) and not clause.has("BE")


@frame(
    "level",
    "FULLNESS VAGUELY amount",
    "VAGUELY tanks amount when people SENSOR SAYS ISAT NEARLY ABOUT LEVELWORD LEFTOVER ROOM TANKWORD FULLNESS HAVE PRESSURE SCENE THEREARE LOOK",
    rank=1,
)
def level(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    if _and_between(clause) or told_twice(clause):
        return None
    if is_an_order(clause):
        return None
    tanks = clause.tanks
    if clause.people and not clause.word("LOOK"):
        return None
    sensed = (
        clause.word("SENSOR") is not None and clause.word("SAYS") is not None
    )  # "the sensor says two thirds": of which tank?
    if clause.word("VAGUELY") is not None:  # "grey is getting full": how full is asked
        only = len(tanks) == 1 and tanks != ("*",) and clause.get("amount") is None and not clause.word("FULLNESS")
        return say.Level(tank=tanks[0]) if only else None
    if not tanks and _backs_up(clause):
        tanks = ("grey",)
    if not (tanks or clause.word("TANKWORD") or clause.word("LEVELWORD") or sensed):
        return None
    amount, full, gauge = clause.get("amount"), clause.value("FULLNESS"), clause.word("PRESSURE")
    kind = _level_kind(clause)
    if gauge is not None and not gauge.text.startswith("gauge"):
        return None
    left = clause.place("LEFTOVER")
    if 0 <= left < clause.index("amount") and clause.word("LEFTOVER").text == "left":  # type: ignore[union-attr]
        return None  # "left two gallons in fresh" may be what was poured
    lamps = clause.word("SENSOR")
    if lamps is not None and lamps.text in _LAMPS and amount is not None and amount.unit is None and len(tanks) == 1:
        return None if tanks == ("*",) else say.Level(tank=tanks[0], when=clause.when)  # of how many lights?
    if amount is not None and amount.unit is None and amount.value == 0 and tanks and not clause.spells("TANK", "tank"):
        amount = replace(amount, unit="fraction")  # "grey 0"; "grey tank 0" would be its size
    if amount is not None and amount.unit not in ("fraction", "percent") and kind is None:
        return None
    if amount is not None and amount.unit not in VOLUMES | {"fraction", "percent", None}:
        return None
    if full is not None:
        if amount is None:
            amount = Amount(float(full), "fraction", text=clause.word("FULLNESS").text)  # type: ignore[union-attr]
        elif amount.unit not in ("fraction", "percent") or amount.value is None:
            return None
        elif full == "0":
            amount = replace(amount, value=(1 if amount.unit == "fraction" else 100) - amount.value)
    if amount is None:
        return None
    if (len(tanks) > 1 or tanks == ("*",)) and amount.unit not in ("fraction", "percent"):
        return None  # "grey and black 20 gallons": in all?
    made = tuple(
        say.Level(
            tank=None if tank == "*" else tank, every=tank == "*" and _waste(clause), amount=amount,
            basis="sensor" if clause.word("SENSOR") or gauge else "seen",
            nearly=clause.word("NEARLY") is not None and clause.get("amount") is None, room=clause.has("ROOM"), when=_seen_when(clause),
        )
        for tank in tanks or ("*",)
    )  # fmt: skip
    return made if len(made) > 1 else made[0]


_LAMPS = frozenset("light lights led leds lamp lamps bar bars".split())


def _backs_up(clause: Clause) -> bool:
    """ "the water is coming up in the shower": the grey tank can take no more."""
    full = clause.word("FULLNESS")
    return full is not None and any(word in full.text.split() for word in ("shower", "sink", "tub", "bath", "drain"))


def _waste(clause: Clause) -> bool:
    """ "both tanks", "the waste tanks": grey and black; "all tanks" may mean fresh too."""
    listed = [piece for piece in clause.pieces if piece.kind == "tanks"]
    return any(word in tok.text for piece in listed for tok in piece.toks for word in ("both", "waste", "holding"))


def _level_kind(clause: Clause) -> str | None:
    """What tells that a volume is a level and not a size: "at", "left", "room", a sensor."""
    inside = clause.inside()
    if inside and (clause.word("THEREARE") or clause.word("HAVE") or clause.word("IT")):
        return "level"
    if clause.word("ISAT") or clause.word("SENSOR") or clause.has("ROOM", "LEFTOVER") or clause.word("LEVELWORD"):
        return "level"
    amount = clause.get("amount")
    if inside and amount is not None and (amount.approx or (clause.when is not None and clause.when.now)):
        return "level"
    return "level" if (amount is not None and amount.text.casefold().startswith("at ")) or clause.word("SAYS") else None
