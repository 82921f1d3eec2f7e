"""The frame of a rig told in one breath: "a campervan, 45 litres of fresh, 40 of waste water and a cassette that takes 17".

Tanks and sizes pair off in the order in which they stand, whichever comes first; nothing may be left over.
May import: clause, chunks, intents.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar.intents import Amount, Intent
from grammar.lightclass import Literal, dataclass, replace
from grammar.pieces.chunks import Piece
from grammar.pieces.clause import VOLUMES, Clause, frame

_OF_THE_GALLEY = ("dishes", "cooking")
_ONE_FOR_ALL = ("JOINT", "RIGDRAIN")
_TOILETS = frozenset(("toilet", "loo", "cassette", "potty", "portable toilet", "chemical toilet"))
_NOT_SIZES = frozenset(("in into inside out from was were had at on by").split())


@dataclass(frozen=True)
class _Vessel:
    """A thing with a size. `many`: how many there are of it; `said`: the word "tank" was said; `none`: there is none; `second`: one more
    of its kind, whose name is still to come ("for the kitchen"); `toilet`: called by what stands on it."""

    name: str
    many: int = 1
    said: bool = False
    none: bool = False
    second: bool = False
    toilet: bool = False


@dataclass(frozen=True)
class _Size:
    amount: Amount
    purpose: str | None = None


@frame(
    "rig told",
    "tanks TANKWORD",
    "tanks amount SEWERHERE RIG HAVE THEREARE HOLDS TANKWORD ACT GONE HEATER TOTE JOINT RIGDRAIN BOUGHT SECOND FOR",
    rank=2,
    often="tanks amount",
)
def rig_told(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    if any(tok.text in _NOT_SIZES for piece in clause.pieces for tok in piece.toks if piece.kind == "word"):
        return None
    if any(tok.has("ISAT") or tok.text == "at" for piece in clause.pieces for tok in piece.toks):
        return None  # "fresh is at 25 gallons and grey at 12": levels
    items = _items(clause)
    if items is None:
        return None
    pairs = _pairs(_sized(items, clause))
    if not pairs or not _is_a_rig(clause, pairs) or any(vessel.second for vessel, _ in pairs):
        return None
    unit = next((size.amount.unit for _, size in pairs if size.amount.unit is not None), None)
    if unit is None and not (clause.has("HOLDS", "RIG") or all(vessel.said for vessel, _ in pairs)):
        return None
    doubtful = _doubtful(clause, pairs)
    made: list[Intent] = [_told(vessel, size, unit, doubtful) for vessel, size in pairs]
    tanks = [(one.tank, one.second) for one in made if isinstance(one, say.SetTank)]
    return tuple(made) if len(set(tanks)) == len(tanks) else None


def _is_a_rig(clause: Clause, pairs: Sequence[tuple[_Vessel, _Size]]) -> bool:
    """Two sizes make a list; one needs a word that speaks of the rig itself."""
    if len(pairs) > 1:
        return True
    alone = clause.has("RIG", *_ONE_FOR_ALL) or (pairs[0][0].name == "waste" and clause.has("HOLDS", "BE"))
    return pairs[0][0].said and alone and pairs[0][1].amount.unit is not None


def _told(vessel: _Vessel, size: _Size, unit: str | None, doubtful: bool) -> Intent:
    amount = replace(size.amount, unit=size.amount.unit or unit, each=False)
    if vessel.name == "heater":
        return say.SetRig(what="heater", amount=amount)
    if vessel.name == "tote":
        return say.SetRig(what="tote", amount=amount)
    name, kind = vessel.name, say.KINDS.get(vessel.name)
    if name == "waste":
        kind = "grey"  # what the toilet adds ends in the one waste tank there is
    if size.purpose in _OF_THE_GALLEY and name == "grey":
        name = "galley"
    kind = "grey" if name == "galley" else kind
    return say.SetTank(tank=name, kind=kind, amount=amount, second=name == "galley", doubtful=doubtful)


def _doubtful(clause: Clause, pairs: Sequence[tuple[_Vessel, _Size]]) -> bool:
    """Whether no word says that these are sizes: "fresh 34 gal, grey 28", "the fresh tank is 52 gallons, the grey is 39"."""
    if clause.has("HOLDS", *_ONE_FOR_ALL):
        return False
    first = next((n for n, piece in enumerate(clause.pieces) if piece.kind == "amount"), 0)
    is_a = any(
        piece.has("BE") and not piece.has("HAVE") and n and clause.pieces[n - 1].kind == "tanks"
        for n, piece in enumerate(clause.pieces[:first])
    )
    return is_a or not any(vessel.said for vessel, _ in pairs)


# ---------------------------------------------------------------- what stands there


def called_toilet(text: str) -> bool:
    """Whether a tank is called by the toilet that stands on it ("cassette toilet")."""
    return any(word in _TOILETS or word == "wc" for word in text.split())


def _items(clause: Clause) -> list[_Vessel | _Size] | None:
    """Tanks and sizes in their order; None if something else is among them."""
    found: list[_Vessel | _Size] = []
    gone = purpose = second = False
    many = 1
    pieces = clause.pieces
    for n, piece in enumerate(pieces):
        if piece.kind == "amount":
            amount = piece.value
            if not _is_size(amount):
                return None
            if amount.unit is None and _counts(pieces, n):
                many = int(amount.value)
            else:
                found.append(_Size(amount))
            purpose = False
            continue
        if piece.has("ACT") and purpose and found and isinstance(found[-1], _Vessel) and found[-1].second:
            if piece.toks[0].senses["ACT"].value not in _OF_THE_GALLEY:
                return None
            found[-1] = replace(found[-1], name="galley", second=False)
            purpose = False
            continue
        if piece.has("ACT") and (purpose or clause.has("RIGDRAIN")):
            if found and isinstance(found[-1], _Size):
                found[-1] = replace(found[-1], purpose=piece.toks[0].senses["ACT"].value)
            purpose = False
            continue
        if piece.value == ("*",) and clause.has("RIGDRAIN"):  # "sink and toilet both go into it"
            continue
        vessel = _vessel(piece, found)
        if vessel is False or (vessel is None and piece.kind != "word"):
            return None
        if isinstance(vessel, _Vessel):
            if found and vessel.name == "tank":
                if not isinstance(found[-1], _Vessel):
                    return None
                found[-1] = replace(found[-1], said=True)
            else:
                found.append(replace(vessel, many=many, none=gone, second=second))
            gone, many, second = False, 1, False
        gone = gone or piece.has("GONE")
        second = second or piece.has("SECOND")
        purpose = piece.has("FOR")
    return found


def _is_size(amount: Amount) -> bool:
    return (
        amount.value is not None
        and amount.value > 0
        and amount.high is None
        and amount.bound is None
        and (amount.unit is None or amount.unit in VOLUMES)
    )


def _counts(pieces: Sequence[Piece], n: int) -> bool:
    """ "two grey tanks", "one 20 gallon waste tank": how many, no size."""
    amount, after = pieces[n].value, pieces[n + 1 : n + 3]
    if amount.value not in (1, 2, 3) or not after:
        return False
    if after[0].kind == "amount":
        return True
    return len(after) > 1 and after[0].kind == "tanks" and after[1].kind == "tanks" and after[1].toks[0].text == "tanks"


def _vessel(piece: Piece, before: Sequence[_Vessel | _Size]) -> _Vessel | Literal[False] | None:
    """The tank, tote or heater that a piece names; None for a piece that names none, False for one that has no place here."""
    tok = piece.toks[0]
    if piece.kind == "tanks":
        named = [one for one in piece.toks if one.has("TANK")]
        if len(named) == 1 and len(piece.toks) == 1:
            name = named[0].senses["TANK"]
            return _Vessel(name.value, said=name.form == "tank", toilet=called_toilet(named[0].text))
        return _Vessel("tank") if piece.value == ("*",) and tok.text == "tanks" and before else False
    if piece.has("TANKWORD"):
        return _Vessel("waste", said="tank" in tok.text) if tok.text.startswith("waste") else _Vessel("tank")
    if piece.has("SEWERHERE"):
        return _Vessel("waste") if tok.text == "waste" else False
    if piece.has("HEATER"):
        return _Vessel("heater", said=True)
    if piece.has("TOTE"):
        return _Vessel("tote", said=True)
    if piece.has("ACT") and not piece.has("RIG"):
        return _Vessel("black", toilet=True) if tok.text in _TOILETS else False
    return None


def _sized(items: list[_Vessel | _Size], clause: Clause) -> list[_Vessel | _Size]:
    """ "…, and a cassette toilet": that there is one, and no size; but "that's the cassette" tells which tank it was."""
    extra = len(items) > 2 and len(items) % 2 == 1 and isinstance(items[-1], _Vessel) and items[-1].toilet
    return items[:-1] if extra and not any(not tok.has("HAVE") for tok in clause.words("BE")) else items


def _pairs(items: list[_Vessel | _Size]) -> list[tuple[_Vessel, _Size]] | None:
    """Each tank with its size; None where they do not come out even."""
    items = [one for one in items if not (isinstance(one, _Vessel) and one.none)]
    made: list[tuple[_Vessel, _Size]] = []
    i = 0
    while i < len(items):
        here, after = items[i], items[i + 1 : i + 3]
        if isinstance(here, _Vessel) and here.many == 2:  # "two grey tanks, 50 for the kitchen and 40 for the bath"
            sizes = [one for one in after if isinstance(one, _Size)]
            if len(sizes) != 2 or sizes[0].purpose is None or sizes[1].purpose is None:
                return None
            made += [(here, size) for size in sizes]
            i += 3
            continue
        other = after[0] if after else None
        if isinstance(here, _Vessel) and isinstance(other, _Size):
            made.append((here, other))
        elif isinstance(here, _Size) and isinstance(other, _Vessel):
            made.append((other, here))
        else:
            return None
        i += 2
    return made
