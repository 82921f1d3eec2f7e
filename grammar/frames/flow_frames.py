"""Frames of how hard and how fast water comes: pressure and flow.

May import: clause, intents.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.clause import PRESSURES, VOLUMES, Clause, frame


@frame(
    "pressure",
    "PRESSURE amount",
    "amount SAYS ISAT when GEAR OUTON WATERHERE HOOKUP SITEWORD METER AFTER BEFORE LOOK FLOW SCENE",
    rank=2,
)
def pressure(clause: Clause) -> Intent | None:
    amount = clause.get("amount")
    if amount is None or amount.value is None or amount.unit not in _OF_PRESSURE:
        return None
    regulator = any(tok.text.endswith("regulator") for tok in clause.words("GEAR"))
    if amount.unit is None and not (clause.words("PRESSURE") or regulator):
        return None
    if any(not (tok.text.startswith("gauge") or tok.has("SAYS", "GEAR")) for tok in clause.words("METER")):
        return None
    if _put_on_first(clause):
        return None  # "regulator on, pressure 48" is two reports
    if amount.unit == "pound" and clause.word("PRESSURE"):
        amount = replace(amount, unit="psi")
    if amount.unit is None and any(tok.text.startswith("psi") for tok in clause.words("PRESSURE")):
        amount = replace(amount, unit="psi")  # "psi reads 55"
    if amount.unit == "pound":
        return None
    regulated = regulator and clause.has("BE", "SAYS")
    if amount.unit is None and not clause.word("PRESSURE") and not (regulated and amount.value in _REGULATED):
        return None
    place = (
        clause.word("SAYS")
        or clause.word("BE")
        or clause.word("OUTON")
        or clause.word("GEAR")
        or clause.word("HOOKUP")
        or clause.word("METER")
    )
    if amount.unit is not None and not clause.word("PRESSURE") and not place and not clause.word("WATERHERE"):
        return None
    return say.Pressure(amount=amount, when=clause.when)


_OF_PRESSURE = (*PRESSURES, "pound", None)
_REGULATED = range(20, 101)
"""What a gauge in psi may show behind a regulator, where no word says that it is a pressure."""


def _put_on_first(clause: Clause) -> bool:
    """Whether a thing is told to be in its place, with a mark between that and the pressure."""
    on, gauge = max(clause.place("OUTON"), clause.place("ON")), clause.index("amount")
    item = clause.place("GEAR")
    joined = any(piece.has("COMMA", "AND", "THEN") for piece in clause.pieces[on + 1 : gauge])
    return 0 <= item < on < gauge and joined


def _was_used(clause: Clause) -> bool:
    return any(tok.text in ("used", "have used", "spent", "wasted") for tok in clause.words("USE"))


RATES = frozenset(("gallon/minute", "litre/minute", "litre/second", "gallon/hour"))


def _seconds_only(clause: Clause) -> bool:
    """Nothing but an amount and "in so many seconds", or what water does by itself between them ("ran", "fills"), or what tells that it
    was timed: a vessel that was filled, a tap, a flow."""
    when = clause.when
    rest = [piece for piece in clause.pieces if piece.kind not in ("amount", "when")]
    filled = _timed(clause) and all(piece.kind in _OF_A_TEST or piece.has(*_TEST) for piece in rest)
    runs = all(piece.has("FLOW", "COLON", "A", "WATER") or piece.toks[0].text in _RUNS for piece in rest if piece.toks)
    return when is not None and when.seconds is not None and 0 < when.seconds <= 900 and (filled or runs)


def _timed(clause: Clause) -> bool:
    """Whether a tap, a vessel that was filled, or a word for it tells that a flow was timed."""
    amount = clause.get("amount")
    return clause.has("VESSEL", "OUTLET", "FLOW") or (amount is not None and amount.text.endswith("jug"))


_OF_A_TEST = ("people",)
_TEST = (
    "FILL SELF GEAR WATERHERE PUMP HOOKUP FLOW OUTLET VESSEL COMMA COLON AND IT A ART WATER AT PREP FROM OF SCENE FILLER THEN SAYS DO"
).split()


def _at_a_tap(clause: Clause) -> bool:
    """ "shower head flow is 2 gpm", "flow at the kitchen sink": where it was measured, and no shower."""
    flow = clause.place("FLOW")
    named = any(tok.text.endswith("flow") or tok.text == "flow rate" for tok in clause.words("FLOW"))
    places = [n for n, piece in enumerate(clause.pieces) if piece.has("ACT")]
    here = all(n < flow or any(piece.has("AT") for piece in clause.pieces[flow:n]) for n in places)
    amount = clause.get("amount")
    plain = not clause.has("RUN", "USE", "COST", "FOR") and clause.get("duration") is None
    return named and here and plain and amount is not None and amount.unit in RATES


_RUNS = frozenset(
    ("ran", "runs", "fills", "fills up", "comes", "comes out", "came out", "flowed", "in", "took", "takes")
)


@frame(
    "flow",
    "FLOW amount",
    "amount ISAT SAYS COST TAKEAWAY duration DO USE FILL when RUN PUT HOLDS WATERHERE HOOKUP PUMP GEAR OUTON ACT OUTLET VESSEL FROM SCENE "
    "SITEWORD people",
    rank=2,
)
def flow(clause: Clause) -> Intent | None:
    amount, length = clause.get("amount"), clause.get("duration")
    if amount is None or amount.value is None or amount.bound is not None:
        return None  # "up to 2 gpm" tells a bound
    if amount.unit not in RATES and (amount.unit not in VOLUMES or (length is None and clause.when is None)):
        return None
    if clause.words("ACT") and not _at_a_tap(clause):
        return None
    if any(piece.kind == "duration" and piece.has("FOR") for piece in clause.pieces) or _was_used(clause):
        return None  # "ran the tap for two minutes, a gallon"
    if clause.people and not _timed(clause):
        return None  # "Ana used a gallon, it took 20 seconds"
    if amount.unit in VOLUMES and length is None and clause.when is not None and _seconds_only(clause):
        return say.Flow(volume=amount, seconds=clause.when.seconds)  # "a gallon in 25 seconds"
    if amount.unit in RATES and length is None:
        return say.Flow(rate=amount, when=clause.when)
    if (
        amount.unit in VOLUMES
        and length is not None
        and length.unit in ("second", "minute")
        and (clause.word("COST") or clause.word("USE", "pres") or _timed(clause) or clause.word("FILL", "pres"))
    ):
        return say.Flow(volume=amount, seconds=length.seconds, when=clause.when)
    return None
