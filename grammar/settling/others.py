"""Somebody else: words that the neighbours make speak of another rig than this one. Only ever narrows. May import: tokens."""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

STRANGERS = frozenset(
    (
        "couple people folks family fella fellas bloke blokes lady ladies woman women man men chap chaps guys guy lot gang crew crowd bunch "
        "gentleman retirees newlyweds party group kids boys girls"
    ).split()
)
_OURS_TOO = ("KIN", "GROUP")
_BEFORE_THEIRS = frozenset(("in", "with", "from", "inside", "at", "on"))
_THE = frozenset(("the", "a", "an", "that", "those", "this", "these"))
_DWELLINGS = frozenset(
    ("tent", "tents", "site", "pitch", "slot", "bay", "cabin", "airstream", "pickup", "yurt", "spot")
)
_NEAR = 4  # tokens


def strangers(toks: Sequence[Tok], i: int) -> Tok:
    """ "the couple in the blue van", "a family with a tent": whoever lives in another rig; "the kids in the van" are our own."""
    tok, led = toks[i], toks[i + 1 : i + 3]
    if tok.text not in STRANGERS or len(led) < 2 or led[0].text not in _BEFORE_THEIRS or led[1].text not in _THE:
        return tok
    rest = toks[i + 2 : i + 2 + _NEAR]
    place = next((n for n, one in enumerate(rest) if one.has("RIG") or one.text in _DWELLINGS), None)
    if place is None or (tok.has(*_OURS_TOO) and tok.text != "family" and place < 2):
        return tok
    return replace(tok, senses=sense("OTHER"), number=None)


_OF_ONE = frozenset(("METER TANK TANKS TANKWORD TOTE HEATER PUMP VALVE RINSE GEAR SENSOR").split())


def theirs(toks: Sequence[Tok], i: int) -> Tok:
    """ "their meter", "his grey tank" are somebody else's."""
    tok = toks[i]
    following = toks[i + 1] if i + 1 < len(toks) else None
    if tok.text in ("his", "her") and all(other.has("FILLER") for other in toks[:i]):
        return replace(tok, senses=sense("OTHER"))
    if tok.text in ("they", "them") and any(other.has("GROUP", "KIN", "GUESTS") for other in toks[:i]):
        return replace(tok, senses=sense("SELF"))
    if tok.text == "their" and not any(other.has("PERSON", "GROUP", "KIN", "SELF", "PAIR") for other in toks[:i]):
        return replace(tok, senses=sense("OTHER"))
    if (
        tok.text in ("their", "his", "her")
        and following is not None
        and following.has(*_OF_ONE)
        and not following.has("ACT")
    ):
        return replace(tok, senses=sense("OTHER"))
    return tok


_BY_THEM = ("ACT", "USE", "DO", "WASH", "DUMP", "FILL", "PUT")


def settle_visitors(toks: Sequence[Tok]) -> list[Tok]:
    """ "my sister visits on Saturday", "with my parents": guests of ours; else somebody else, or one of the household."""
    coming = any(tok.has("COMING") or tok.text in ("with", "have", "having") for tok in toks)
    done = any(tok.has(cls) and tok.senses[cls].form == "past" for tok in toks for cls in _BY_THEM)
    found: list[Tok] = []
    skipped = -1
    for i, tok in enumerate(toks):
        if i == skipped:
            continue
        if tok.has("VISITOR"):
            owner = i + 1 < len(toks) and toks[i + 1].has("POSS")
            guest = coming and not done and not owner
            named_guest = (
                guest and i + 1 < len(toks) and toks[i + 1].capital and toks[i + 1].senses.keys() <= {"NAMEWORD"}
            )
            skipped = i + 1 if named_guest else skipped  # "Aunt Dot is visiting"
            kept = {cls: one for cls, one in tok.senses.items() if (cls == "VISITOR") == guest}
            tok = replace(tok, senses=kept)
        found.append(tok)
    return found
