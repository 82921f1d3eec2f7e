"""Frames of water put in: filled, poured in, fetched.

May import: clause, intents, rinse_frames, tank_frames.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.frames.rinse_frames import a_rinse
from grammar.frames.tank_frames import some_of_it
from grammar.intents import Amount, Intent
from grammar.pieces.clause import Clause, frame


def _taken_from(clause: Clause) -> bool:
    """ "poured 2 litres from the fresh": out of the tank, not into it."""
    said = [tok for piece in clause.pieces for tok in piece.toks if not tok.has("ART")]
    return any(
        tok.text in ("from", "off", "out of") and said[n + 1].has("TANK", "TANKWORD") for n, tok in enumerate(said[:-1])
    )


@frame(
    "fill",
    "FILL.past PUT.past",
    "SITE tanks amount when people TOFULL FULLNESS TANKWORD HOOKUP RINSEPORT duration DUMPSITE SCENE WATERHERE OUTON PARTICLE COST "
    "BYMETER GEAR TOTE VESSEL FROM",
    rank=1,
)
def fill(clause: Clause) -> Intent | None:
    if clause.word("SITE") is not None and not clause.elsewhere():
        return None
    amount, tanks, filled = clause.volume(), clause.tanks, clause.word("FILL", "past") is not None
    load = clause.get("amount")
    if _poured_out(clause):
        carried = clause.has("TOTE") and amount is not None  # "tipped 30 litres of grey out with the tote"
        return say.Haul(tank=tanks[0], amount=amount, when=clause.when) if carried else some_of_it(clause)
    if clause.has("TOTE") and (load is None or load.unit != "tote"):
        return _out_of_a_tote(clause)
    if load is not None and load.unit == "tote" and tanks == ("fresh",):
        amount = load  # "added a full tote of water to fresh"
    if not _only_out_of_vessels(clause) or clause.value("FULLNESS") == "0":
        return None  # "it was empty": of before
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
    if tank is None and clause.when is not None and (clause.when.seconds or 0) > 0:
        return None  # "the gallon jug filled in 24 seconds": how fast it came
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
    named = tank is not None or clause.word("TANKWORD") is not None or aboard
    jugs = clause.word("VESSEL") is None and clause.has("VESSEL") and not _is_given(clause, clause.index("amount"))
    if amount is not None and ((not named and (amount.unit is None or jugs)) or (jugs and _taken_from(clause))):
        return None  # "filled two": two what? "filled two 5 gallon jugs": out of a tank rather than into one
    to_full = bool(clause.word("TOFULL") or clause.word("FULLNESS")) or (filled and amount is None)
    of_it = clause.word("IT") is not None and not named
    again = of_it and clause.has("AGAIN")
    return say.Fill(tank=tank, amount=amount, to_full=to_full, it=of_it, again=again, when=clause.when)


def _out_of_a_tote(clause: Clause) -> Intent | None:
    """ "put 12 gallons in the fresh from the tote", "poured the tote into fresh": water carried in; a tote without an amount is a full one.
    None for what went into a tote, or another tank."""
    said = [tok for piece in clause.pieces for tok in piece.toks if not tok.has("ART", "ADJ", "FILLER", "A")]
    words = [tok.text.split()[-1] for tok in said]
    into = any(word in ("in", "into", "to") and said[n + 1].has("TANK") for n, word in enumerate(words[:-1]))
    place = next(n for n, tok in enumerate(said) if tok.has("TOTE"))
    given = place > 0 and (words[place - 1] in ("from", "with", "using", "of") or said[place - 1].has("PUT"))
    if clause.tanks != ("fresh",) or not into or not given or clause.word("PUT", "past") is None:
        return None
    if clause.get("amount") is None:
        return say.Fill(tank="fresh", amount=Amount(1.0, "tote"), when=clause.when)
    return say.Fill(tank="fresh", amount=clause.volume(), when=clause.when) if clause.volume() is not None else None


def _only_out_of_vessels(clause: Clause) -> bool:
    """ "20 litres from a jerrycan": what it came in; "filled the jug" fills no tank."""
    jugs = [
        n
        for n, piece in enumerate(clause.pieces)
        if piece.kind == "word" and piece.has("VESSEL") and not piece.has("AUX")
    ]
    return all(_is_given(clause, n) for n in jugs) and (not jugs or clause.volume() is not None)


def _is_given(clause: Clause, place: int) -> bool:
    """Whether the piece at that place is what it was filled with or from."""
    before = [piece for piece in clause.pieces[: max(0, place)] if not piece.has("A", "ART", "FILLER", "ADJ")]
    return bool(before) and before[-1].toks[-1].text in ("from", "out of", "with", "using")


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
    """ "10 gal into fresh", "a small top up for fresh, 4 gal"; into the black tank it is a rinse."""
    noun = clause.word("FILL")
    beside = clause.pieces[clause.place("FILL") + 1 : clause.place("FILL") + 2] if noun is not None else []
    if noun is not None and (noun.text not in _TOP_UPS or not any(piece.has("FOR", "OF") for piece in beside)):
        return None  # "top up fresh" is an order
    amount, got = clause.volume(), clause.words("DO")
    if any(tok.text not in ("managed", "got") for tok in got) or (clause.people and not got):
        return None  # "only managed 12 gallons into fresh"
    if len(clause.tanks) != 1 or amount is None or amount.value is None or clause.has("IT", "BE"):
        return None
    if clause.has("SELF") and not got:
        return None
    if clause.tanks == ("black",) and amount.unit is not None and not (got or noun):
        return a_rinse(clause)
    if clause.tanks != ("fresh",):
        return None
    return say.Fill(tank="fresh", amount=amount, when=clause.when)
