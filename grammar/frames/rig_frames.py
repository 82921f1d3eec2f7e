"""Frames of the rig and its upkeep: sizes, units, limits, service, gear, reminders.

May import: clause, chunks, intents, rig_lists.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar.frames.rig_lists import called_toilet
from grammar.intents import Amount, Intent
from grammar.lightclass import Literal
from grammar.pieces.chunks import Piece
from grammar.pieces.clause import VOLUMES, Clause, frame
from grammar.pieces.piece_meanings import Length


@frame(
    "tank size",
    "TANK tanks",
    "tanks amount HOLDS SECOND CALLED NAME HAVE MORE LEVELWORD TANKWORD THEREARE NEW when",
    rank=1,
)
def tank_size(clause: Clause) -> Intent | None:
    amount, tanks = clause.volume(), clause.tanks
    if len(tanks) != 1 or tanks == ("*",) or amount is None or amount.value is None:
        return None
    said_tank = clause.spells("TANK", "tank") or clause.word("TANKWORD") is not None
    holds = clause.word("HOLDS") is not None
    name = clause.value("NAME") if clause.word("CALLED") else None
    if not (holds or said_tank or name) or (amount.unit is None and not (holds or said_tank)):
        return None
    is_a = any(not word.has("HAVE") for word in clause.words("BE")) and not clause.word("TANKWORD")
    if clause.inside() and (clause.word("IT") or clause.word("THEREARE")):
        return None  # "has 22 gallons in it", "there are 20 gallons in the fresh tank"
    if clause.when is not None or (is_a and not holds and not clause.word("CALLED")):
        return None
    if amount.text.casefold().startswith("at "):
        return None
    if _into(clause) or _and_a_toilet(clause):
        return None
    second = clause.word("SECOND") is not None or clause.has("SECOND")
    return say.SetTank(
        tank=name or tanks[0],
        kind=say.KINDS.get(tanks[0]),
        amount=amount,
        second=second or name is not None,
    )


def _and_a_toilet(clause: Clause) -> bool:
    """ "a 50 litre waste tank, cassette toilet": the size is that of the waste tank, and the toilet is one more thing."""
    word, here = clause.place("TANKWORD"), clause.index("tanks")
    if not 0 <= word < here or not called_toilet(clause.pieces[here].toks[0].text):
        return False
    return any(piece.has("COMMA", "AND", "WITH") for piece in clause.pieces[word:here]) and not clause.has("BE")


def _serviced(clause: Clause) -> str | None:
    """The item; of several nouns in a row the last says what it is ("the water heater anode"), joined ones are left to two clauses."""
    named = [n for n, piece in enumerate(clause.pieces) if piece.has("SERVICE")]
    between = clause.pieces[named[0] + 1 : named[-1]] if len(named) == 2 else []
    if between and all(piece.has("IN", "ON", "FOR", "OF", "TO") for piece in between):
        return clause.pieces[named[0]].toks[0].senses["SERVICE"].value  # "new washers in the hose"
    if len(named) > 1 and named != list(range(named[0], named[-1] + 1)):
        return None
    return clause.pieces[named[-1]].toks[0].senses["SERVICE"].value if named else None


def _into(clause: Clause) -> bool:
    """ "5 gal in the black tank", "20 litres into the fresh tank": what is in it or went in, not what it holds."""
    here = clause.index("tanks")
    before = next((p.toks[0].text for p in reversed(clause.pieces[:here]) if not p.has("ART", "FILLER")), "")
    return before in ("in", "into", "inside", "to", "onto", "from", "out of", "through")


@frame("tank gone", "GONE", "tanks TANKWORD HAVE THEREARE IT BUT", rank=1)
def tank_gone(clause: Clause) -> Intent | None:
    """ "removed the second grey tank", "no black tank": the rig has it no more, or never had it."""
    tanks = clause.tanks
    if len(tanks) != 1 or tanks == ("*",):
        return None
    if clause.value("GONE") != "none" and not clause.spells("TANK", "tank"):
        return None  # "took out black"
    return say.SetTank(tank=tanks[0], kind=say.KINDS.get(tanks[0]), gone=True)


@frame("tote size", "TOTE", "amount HOLDS TARE HAVE LEVELWORD NEW BOUGHT", rank=1)
def tote_size(clause: Clause) -> Intent | None:
    amount = clause.get("amount")
    if amount is None or amount.value is None:
        return None
    if amount.unit in ("pound", "kilogram") and clause.word("TARE"):
        return say.SetRig(what="tote", of="tare", amount=amount)
    if amount.unit in VOLUMES or (amount.unit is None and clause.word("HOLDS")):
        return say.SetRig(what="tote", amount=amount)
    return None


@frame("units", "USEUNITS", "", rank=3)
def units(clause: Clause) -> Intent | None:
    return say.SetRig(what="units", value=clause.value("USEUNITS"))


@frame("limit", "LIMITOF", "amount LIMIT HOLDS ISAT BACKZERO PUT", rank=3)
def limit(clause: Clause) -> Intent | None:
    of, amount = clause.value("LIMITOF"), clause.get("amount")
    allowed = {
        "pressure": ("psi", "bar", "kilopascal", None), "cargo": ("pound", "kilogram", None), "water_weight": ("pound", "kilogram", None),
        "safety": ("percent", None),
    }  # fmt: skip
    if of is None or amount is None or amount.value is None or amount.unit not in allowed[of]:
        return None
    return say.SetRig(what="limit", of=of, amount=amount)


@frame("heater size", "HEATER", "amount HOLDS HAVE", rank=1)
def heater(clause: Clause) -> Intent | None:
    amount = clause.volume()
    return (
        say.SetRig(what="heater", amount=amount)
        if amount is not None and amount.unit is not None and amount.value is not None
        else None
    )


@frame("rig name", "RIGNAME", "NAME", rank=2)
def rig_name(clause: Clause) -> Intent | None:
    name = clause.value("NAME")
    return say.SetRig(what="name", value=name) if name else None


# ---------------------------------------------------------------- upkeep


def _all_serviced(clause: Clause) -> list[str] | None:
    """ "changed the washers and the hose": all that were, where "and" or a comma joins them; None where one of them is told of by itself
    ("changed the filter and put the hose away", "hose out, filter changed")."""
    parts: list[list[Piece]] = [[]]
    for piece in clause.pieces:
        if piece.has("AND", "COMMA") and piece.kind == "word":
            parts.append([])
        else:
            parts[-1].append(piece)
    named = [part for part in parts if any(piece.has("SERVICE") for piece in part)]
    if len(named) > 1 and (any(_told_by_itself(part) for part in named) or _behind_it(named)):
        return None
    apart = all(sum(piece.has("SERVICE") for piece in part) == 1 for part in named)
    return (
        list(
            dict.fromkeys(
                piece.toks[0].senses["SERVICE"].value for part in named for piece in part if piece.has("SERVICE")
            )
        )
        if apart
        else []
    )


def _behind_it(named: Sequence[Sequence[Piece]]) -> bool:
    """ "filter changed, hose …": what is said of the second is still to follow."""
    n, changed = next(
        ((n, part) for n, part in enumerate(named) if any(piece.has("CHANGE") for piece in part)), (len(named), ())
    )
    passive = next((piece.has("SERVICE") for piece in changed if piece.has("SERVICE", "CHANGE")), False)
    return passive and any(not any(piece.has("TOO") for piece in part) for part in named[n + 1 :])


def _told_by_itself(part: Sequence[Piece]) -> bool:
    return not any(piece.has("CHANGE") for piece in part) and any(
        piece.has("BE", "POSS", "PARTICLE", "OUTON", "PUT", "STOW", "PRESSURE") and not piece.has("SERVICE", "ART")
        for piece in part
    )


@frame(
    "service",
    "CHANGE.past SANITISE.past NEW",
    "SERVICE tanks GEAR HEATER TANKWORD when people NEW METER PRESSURE TANKLINE LIMITOF FLOW PARTICLE PUT OUTON BLEACH amount COST",
    rank=1,
)
def service(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    if clause.get("amount") is not None and not (clause.word("SANITISE", "past") and clause.has("BLEACH")):
        return None
    if any(not tok.text.startswith("went") for tok in clause.words("COST")):
        return None
    if clause.word("SANITISE", "past"):
        if clause.tanks not in ((), ("fresh",)) or clause.word("SERVICE") is not None:
            return None
        return say.Service(item="sanitise", when=clause.when)
    item = _serviced(clause)
    change = clause.word("CHANGE", "past")
    if change is not None and change.has("OUTON") and len(clause.words("OUTON")) > 1 and not clause.has("NEW"):
        return None  # "the regulator's fitted on the tap": it is in its place
    several = _all_serviced(clause)
    if several is None:
        return None
    if len(several) > 1 and change is not None and not clause.tanks:
        return tuple(say.Service(item=one, when=clause.when) for one in several)
    if item is None or clause.tanks:
        return None
    if change is None:  # "new filter in"
        into = clause.place("SERVICE") >= 0 and any(
            piece.has("IN", "ON") for piece in clause.pieces[clause.place("SERVICE") :]
        )
        if clause.pieces[0].has("NEW") and into and clause.word("HEATER") is not None:
            return say.Service(item=item, when=clause.when)  # "new anode in the water heater"
        said = [piece for piece in clause.pieces if piece.kind != "when"]
        placed = said[-1].toks[-1].text in ("in", "on", "installed", "fitted", "went in", "went on")
        placed = placed or (
            clause.pieces[0].has("NEW") and len(said) == 2 and clause.when is not None
        )  # "new filter today"
        begun = clause.pieces[0].has("NEW") or clause.word("PUT", "past") is not None
        return say.Service(item=item, when=clause.when) if begun and placed else None
    return say.Service(item=_job(item, change.text), when=clause.when)


def _job(item: str, verb: str) -> str:
    """ "Checked the filter" is another job than changing it, and puts off no change of it."""
    return "water filter check" if item == "water_filter" and verb.startswith(("check", "inspect", "test")) else item


def _away(said: str) -> bool:
    """ "put the hose away", "put the hoses in the truck"."""
    return said == "away" or said.startswith(("in ", "into "))


@frame(
    "gear",
    "GEAR METER",
    "STOW HAVE DO OUTON PUTAWAY AWAYWORD GEAR METER SERVICE COMMA SITEWORD when people HOOKUP WATERHERE SEWERHERE PRESSURE PARTICLE TAKEAWAY ONTO "
    "TOTE LEFT DEPART",
    rank=1,
)
def gear(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    each = _each_its_own(clause)
    if each:
        return each
    stowed, out = clause.word("STOW", "past"), clause.word("OUTON", "past")
    if any(tok.text != "left" for cls in ("LEFT", "DEPART") for tok in clause.words(cls)) or clause.ends_leaving():
        return None
    if _of_the_place(clause):
        return None
    if clause.word("TAKEAWAY") is not None:
        if stowed is not None or out is not None or not _taken_off(clause):
            return None
        stowed = clause.word("TAKEAWAY")
    if stowed is None and clause.word("PUTAWAY") and any(_away(tok.text) for tok in clause.words("AWAYWORD")):
        stowed = clause.word("PUTAWAY")
    if (
        stowed is None
        and out is None
        and clause.word("BE")
        and any(tok.text == "away" for tok in clause.words("PARTICLE"))
    ):
        stowed = clause.word("PARTICLE")  # "chocks are away"
    if stowed is None and out is None and clause.word("BE") and clause.pieces[-1].toks[-1].text == "in":
        stowed = clause.pieces[-1].toks[-1]  # "the hose is in"
    put = clause.word("PUTAWAY", "past")
    if stowed is None and out is None and put is not None and put.text == "put" and clause.pieces[-1].has("ON"):
        out = put  # "put the regulator on"
    if stowed is None and out is None and clause.word("BE") and clause.pieces[-1].has("ON"):
        out = clause.word("ON")  # "splitter and regulator are on"
    if stowed is None and out is None and _screwed_on(clause):
        out = clause.word("ON")  # "regulator on"
    got = _only_got(clause)
    if not got and (stowed is None) == (out is None) and not (stowed and out):
        return None
    items = tuple(
        dict.fromkeys(
            tok.text
            for piece in clause.pieces
            if piece.kind == "word"
            for tok in piece.toks
            if tok.has("GEAR") and not tok.has("STOW")
        )
    )
    where: Literal["out", "stowed"] = "stowed" if stowed or got else "out"
    return say.Gear(items=items, where=where, got=got, when=clause.when) if items else None


def _of_the_place(clause: Clause) -> bool:
    """ "Water, regulator is on": what a place has, and another thing behind the comma."""
    first = clause.place("GEAR")
    return any(
        piece.has("WATERHERE", "SEWERHERE") and after.has("COMMA")
        for piece, after in zip(clause.pieces[:first], clause.pieces[1:first], strict=False)
    )


def _each_its_own(clause: Clause) -> tuple[say.Gear, ...]:
    """ "hose and regulator out, filter stowed", "stowed the hose and put out the chocks": each with what is told of it; nothing if that is
    not how the clause goes."""
    toks = [
        tok for piece in clause.pieces if piece.kind == "word" for tok in piece.toks if tok.has("STOW", "OUTON", "GEAR")
    ]
    led = bool(toks) and toks[0].has("STOW", "OUTON")
    found: list[say.Gear] = []
    items: list[str] = []
    for tok in reversed(toks) if led else toks:
        if not tok.has("STOW", "OUTON"):
            items.append(tok.text)
        elif not items:
            return ()
        else:
            where: Literal["out", "stowed"] = "stowed" if tok.has("STOW") else "out"
            found.append(say.Gear(items=tuple(reversed(items) if led else items), where=where, when=clause.when))
            items = []
    told = not items and len({one.where for one in found}) > 1
    return tuple(reversed(found) if led else found) if told else ()


def _only_got(clause: Clause) -> bool:
    """ "got the meter and the regulator": fetched from where they were left, most likely."""
    got = any(tok.text in ("got", "have got") for cls in ("HAVE", "DO") for tok in clause.words(cls))
    return got and all(
        piece.kind in ("when", "people") or piece.has("GEAR", "HAVE", "DO", "SELF", "AND", "COMMA", "ART", "FILLER")
        for piece in clause.pieces
    )


_SCREWED = frozenset("regulator filter splitter adapter adaptor elbow preventer connect wye thief".split())


def _screwed_on(clause: Clause) -> bool:
    """ "regulator on", "splitter and filter on": of what is screwed on, and of nothing that is switched on."""
    things = [piece.toks[0].text.split()[-1] for piece in clause.pieces if piece.has("GEAR")]
    rest = [piece for piece in clause.pieces if not piece.has("GEAR", "AND", "COMMA", "FILLER", "ART")]
    return (
        bool(things)
        and set(things) <= _SCREWED
        and [piece.toks[0].text for piece in rest] == ["on"]
        and clause.pieces[-1] is rest[-1]
    )


def _taken_off(clause: Clause) -> bool:
    """ "took the regulator off the tap", "pulled the hose in"."""
    took, item = clause.word("TAKEAWAY", "past"), clause.place("GEAR")
    after = {piece.toks[0].text for piece in clause.pieces[item + 1 :]}
    return took is not None and took.text in ("took", "pulled") and item >= 0 and bool(after & {"off", "in", "away"})


@frame(
    "upkeep",
    "REMIND every",
    "every FUTURE SERVICE CHANGE SANITISE tanks GEAR PRESSURE TANKWORD METER HEATER DUMP RINSE AMEND IT",
    rank=2,
)
def upkeep(clause: Clause) -> Intent | None:
    every = clause.get("every")
    if every is None:
        return None
    item = clause.value("SERVICE") or ("sanitise" if clause.word("SANITISE") else None)
    if item is None and clause.has("AMEND") and not clause.has("tanks", "GEAR", "METER", "DUMP", "RINSE"):
        item = ""  # "make that every 60 days"
    if item is None:
        return None
    asked = clause.words("CHANGE")
    item = _job(item, asked[0].text) if asked else item
    if isinstance(every, Length):
        if every.unit in ("second", "minute", "hour") or every.number <= 0:
            return None
        return say.Upkeep(item=item, every_days=_days(every))
    assert isinstance(every, Amount)
    return say.Upkeep(item=item, every=every)


def _days(length: Length) -> float:
    """Days of an interval; a month is 30, a year 365 (common practice for upkeep, no source)."""
    return length.number * {"month": 30.0, "year": 365.0, "week": 7.0}.get(length.unit, 1.0)
