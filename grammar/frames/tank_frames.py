"""Frames of the tanks: dumps, hauls, fills, levels.

May import: clause, chunks, intents, rinse_frames.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.frames.rinse_frames import a_rinse
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
    return say.Dump(tanks=() if every else clause.tanks, every=every, when=clause.when)


@frame("part of a dump", "DUMP.past", "amount tanks when people PARTICLE VAGUE OF TANKWORD")
def part_of_a_dump(clause: Clause) -> Intent | None:
    """ "drained some grey", "let half the grey out", "dumped about five gallons of grey": how full it is now is to be asked."""
    return _some_of_it(clause)


def _some_of_it(clause: Clause) -> Intent | None:
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
    if amount is not None and amount.unit is None and clause.word("TOTE") is not None and _before_tote(clause):
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
    in_runs = clause.index("repeat") > 0 and clause.pieces[clause.index("repeat") - 1].has("IN", "BY", "PREP")
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


def _before_tote(clause: Clause) -> bool:
    """ "one tote", "two blue totes": the number counts totes."""
    here = clause.index("amount")
    return here + 1 < len(clause.pieces) and clause.pieces[here + 1].has("TOTE")


def _taken_from(clause: Clause) -> bool:
    """ "poured 2 litres from the fresh": out of the tank, not into it."""
    said = [tok for piece in clause.pieces for tok in piece.toks if not tok.has("ART")]
    return any(tok.text in ("from", "off", "out of") and said[n + 1].has("TANK") for n, tok in enumerate(said[:-1]))


@frame(
    "fill",
    "FILL.past PUT.past",
    "SITE tanks amount when people TOFULL FULLNESS TANKWORD HOOKUP RINSEPORT duration DUMPSITE SCENE WATERHERE OUTON PARTICLE COST BYMETER GEAR TOTE",
    rank=1,
)
def fill(clause: Clause) -> Intent | None:
    if clause.word("SITE") is not None and not clause.elsewhere():
        return None
    amount, tanks, filled = clause.volume(), clause.tanks, clause.word("FILL", "past") is not None
    load = clause.get("amount")
    if _poured_out(clause):
        carried = clause.has("TOTE") and amount is not None  # "tipped 30 litres of grey out with the tote"
        return say.Haul(tank=tanks[0], amount=amount, when=clause.when) if carried else _some_of_it(clause)
    if clause.has("TOTE") and (load is None or load.unit != "tote"):
        return None
    if load is not None and load.unit == "tote" and tanks == ("fresh",):
        amount = load  # "added a full tote of water to fresh"
    through_it = clause.word("GEAR") is not None
    if through_it and not _hose_into_fresh(clause):
        return None
    if clause.word("COST") is not None and (amount is None or not filled):
        return None  # "filled fresh, took 18 gal"
    poured = clause.word("PUT")
    if poured is not None and tanks and _taken_from(clause):
        return None
    filled = filled or (poured is not None and "fill" in poured.text and amount is None)  # "filled up with fresh water"
    share = clause.get("amount")
    if (
        filled
        and share is not None
        and share.unit in ("fraction", "percent")
        and share.value is not None
        and tanks == ("fresh",)
    ):
        return say.Level(tank="fresh", amount=share, when=clause.when) if clause.has("TO") else None
    if clause.get("amount") is not None and amount is None:
        return None
    if len(tanks) > 1 or tanks == ("*",) or (clause.word("BYMETER") and amount is None):
        return None
    tank = tanks[0] if tanks else None
    if clause.word("RINSEPORT") or (tank not in (None, "fresh") and not filled):
        got = all(
            tok.text == "got" for tok in clause.words("PUT")
        )  # "black got 3 gal": what is in it, or what went in?
        return a_rinse(clause) if tank != "fresh" and amount is not None and not got else None
    if (
        tank in ("grey", "black")
        or (not filled and amount is None and not clause.word("TOFULL") and not through_it)
        or clause.get("duration")
    ):
        return None
    if not filled and tank is None and not clause.word("TANKWORD") and clause.value("PUT") != "fresh":
        return None
    aboard = clause.value("PUT") == "fresh"
    if amount is not None and tank is None and (amount.unit is None or (clause.has("VESSEL") and not aboard)):
        return None  # "filled two": two what? "filled two 5 gallon jugs": out of a tank rather than into one
    to_full = bool(clause.word("TOFULL") or clause.word("FULLNESS")) or (filled and amount is None)
    named = tank is not None or clause.word("TANKWORD") is not None or clause.value("PUT") == "fresh"
    of_it = clause.word("IT") is not None and not named
    return say.Fill(tank=tank, amount=amount, to_full=to_full, it=of_it, when=clause.when)


def _poured_out(clause: Clause) -> bool:
    """ "tipped 30 litres of grey out": out of the tank, not into it."""
    out = any(tok.text in ("out", "away") for cls in ("PARTICLE", "OUTON") for tok in clause.words(cls))
    waste = len(clause.tanks) == 1 and clause.tanks not in (("*",), ("fresh",))
    return out and waste and clause.word("PUT") is not None and not clause.has("INTO", "IN", "RINSEPORT")


def _hose_into_fresh(clause: Clause) -> bool:
    """ "ran the hose into the fresh tank": water was run in, however much."""
    hose = all("hose" in tok.text for tok in clause.words("GEAR"))
    ran = any(tok.text == "ran" for tok in clause.words("PUT"))
    return hose and ran and clause.tanks == ("fresh",) and clause.has("INTO", "IN")


@frame(
    "water fetched",
    "FETCHED.past TAKEAWAY.past",
    "amount tanks when people WATER VESSEL WATERHERE HOOKUP TANKWORD PARTICLE SCENE SITEWORD INTO AWAYWORD FROM",
    rank=2,
)
def fetched(clause: Clause) -> Intent | None:
    """ "brought back 12 gallons in jugs", "carried 10 gal from the tap to the fresh tank"."""
    amount = clause.volume()
    if amount is None or amount.value is None or amount.unit is None or clause.has("BE", "IT"):
        return None
    aims = clause.has("INTO", "TO", "IN")
    if clause.tanks == ("fresh",) and aims:
        return say.Fill(tank="fresh", amount=amount, when=clause.when)
    brought = clause.word("FETCHED", "past")
    plainly = brought is not None and not clause.has("HAUL", "TAKEAWAY")
    if clause.tanks not in ((), ("fresh",)) or not (plainly or clause.has("WATERHERE")):
        return None  # "hauled 10 gal", "carried 10 gal away": waste, more likely
    return say.Fill(tank="fresh", amount=amount, when=clause.when, fetched=True)


_TOP_UPS = ("top up", "fill up", "refill", "top off")


@frame("terse fill", "INTO FILL.base", "amount tanks when WATER FROM WATERHERE HOOKUP FILL SCENE DO people", rank=1)
def into(clause: Clause) -> Intent | None:
    """ "10 gal into fresh", "a small top up for fresh, 4 gal"."""
    noun = clause.word("FILL")
    beside = clause.pieces[clause.place("FILL") + 1 : clause.place("FILL") + 2] if noun is not None else []
    if noun is not None and (noun.text not in _TOP_UPS or not any(piece.has("FOR", "OF") for piece in beside)):
        return None  # "top up fresh" is an order
    amount, got = clause.volume(), clause.words("DO")
    if any(tok.text not in ("managed", "got") for tok in got) or (clause.people and not got):
        return None  # "only managed 12 gallons into fresh"
    if clause.tanks != ("fresh",) or amount is None or amount.value is None or clause.has("IT", "BE"):
        return None
    if clause.has("SELF") and not got:
        return None
    return say.Fill(tank="fresh", amount=amount, when=clause.when)


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
    if _and_between(clause):
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
