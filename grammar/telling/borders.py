"""Where a clause may begin and end: what hangs on the words before it, and what cannot stand without those behind it.

May import: chunks, intents.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar.intents import Intent
from grammar.pieces.chunks import Piece


def hangs_on(parts: Sequence[Piece], i: int) -> bool:
    """Whether piece `i`, with no joiner before it, belongs to what stands before it and begins no clause."""
    if parts[i].kind == "word" and parts[i].toks[0].text.split()[0] in _HANGS_ON:
        return True  # "reset the counter on the hose meter": a place, no clause of its own
    after_amount = parts[i - 1].kind == "amount"
    if after_amount and parts[i].has("ACT") and _form(parts[i]) == "ing":
        return True  # "the girls used 5 gal showering": what it was used for
    return after_amount and parts[i].has("FULLNESS", "SENSOR")  # "grey 1/2 full black too": the fullness is grey's


def of_the_place(parts: Sequence[Piece], i: int) -> bool:
    """Whether piece `i`, between two joiners, tells what the place just named gives: "arrived at Pine Hollow, water and sewer, filled fresh"."""
    if (
        not parts[i].has(*_GIVEN)
        or not i
        or not parts[i - 1].has(*_JOINS)
        or (i + 1 < len(parts) and not parts[i + 1].has(*_JOINS))
    ):
        return False
    n = i - 1
    while n > 0 and parts[n].has(*_JOINS, *_GIVEN):
        n -= 1
    return parts[n].has("SITE", "SITEWORD")


_GIVEN = ("WATERHERE", "SEWERHERE", "NOSEWER", "NOWATER", "ELECTRIC")
_JOINS = ("COMMA", "AND", "BUT")


def cut_off(parts: Sequence[Piece], j: int) -> bool:
    """Whether a preposition of what the amount before it was for stands last, and what it was for comes right after."""
    tail = (
        parts[j].kind == "word"
        and parts[j].toks[0].text in ("on", "for", "in")
        and j > 0
        and parts[j - 1].kind == "amount"
    )
    return (tail and j + 1 < len(parts) and parts[j + 1].has("ACT")) or _both_put(parts, j)


def _both_put(parts: Sequence[Piece], j: int) -> bool:
    """ "… changed, hose | and regulator stowed": where both are, and nothing of what stands before."""
    rest = parts[j + 1 : j + 5]
    if not parts[j].has("GEAR") or len(rest) < 3 or not rest[0].has("AND") or not rest[1].has("GEAR"):
        return False
    return next(
        (piece.has("STOW", "OUTON", "PARTICLE", "AWAYWORD") for piece in rest[2:] if not piece.has("BE")), False
    )


def _form(piece: Piece) -> str | None:
    return piece.toks[0].senses["ACT"].form


def did_too(parts: Sequence[Piece], i: int, j: int) -> bool:
    """ "Joss too", "I did too": who did the same did nothing else in that clause."""
    if not parts[j].has("TOO"):
        return False
    who = next((parts[n] for n in range(j - 1, i - 1, -1) if not parts[n].has("AUX", "DO")), None)
    return who is not None and (who.kind == "people" or who.toks[0].text in ("i", "me"))


_HANGS_ON = frozenset("on at in under of for by with from inside".split())


def weighty(meaning: Intent) -> bool:
    """Whether a meaning says enough to stand beside another without a joiner ("dishes a gallon coffee a quart")."""
    if isinstance(meaning, say.Use):
        told = meaning.amount is not None or meaning.count is not None or meaning.before is not None
        return told or bool(meaning.done and meaning.people)
    if isinstance(meaning, say.Fill | say.Level | say.Rinse):
        return meaning.tank is not None and (meaning.amount is not None or isinstance(meaning, say.Fill))
    if isinstance(meaning, say.Dump):
        return bool(meaning.tanks) or meaning.every
    if isinstance(meaning, say.Back) and meaning.to_come:
        return True
    if (
        isinstance(meaning, say.Away)
        and meaning.until is not None
        and meaning.text.casefold().startswith(("back", "home"))
    ):
        return True  # "heading into town now back for supper"
    if isinstance(meaning, say.Back | say.Away | say.Depart | say.Party):
        return meaning.text.casefold().startswith(("we", "i ", "i'm", "just", "heading", "headed"))
    return not isinstance(meaning, say.ResetSomething)
