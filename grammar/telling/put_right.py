"""Corrections behind something else: an order to take back ("undo that, dishes 3 gal"), a remark ("that's too much, make it 1.5"), a
comparison ("more like 3"), a share ("2 gal each").

May import: corrections, replies, statements, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import rejoinders as back
from grammar.hearing.tokens import Tok, sense
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.clause import VOLUMES
from grammar.telling.corrections import amend
from grammar.telling.replies import fragment
from grammar.telling.statements import clause_of

_MARKS = ("COMMA", "STOP", "SEMI", "AND", "THEN", "BUT")
_PLAIN = ("FILLER", "ART", "NO", "SELF", "COMMA")
_ORDERS = frozenset(
    "make it|make that|change it to|change that to|it should be|that should be|should be|it should have been|set it to|call it|say".split(
        "|"
    )
)
_TOLD = (
    "NUMBER",
    "FRACTION",
    "UNIT",
    "ACT",
    "ACTS",
    "TANK",
    "TANKS",
    "METER",
    "PERSON",
    "DUMP",
    "FILL",
    "IF",
    "QMARK",
    "FUTURE",
    "QWORD",
    "AUX",
)
_RATHER = frozenset(("more like", "closer to", "nearer", "nearer to", "more like about"))
_LONGEST = 14  # tokens


def put_right(text: str, toks: list[Tok]) -> Intent | None:
    """A change of what was said last; None if these words are no correction of these kinds."""
    if len(toks) > _LONGEST:
        return None
    return (
        _instead(text, toks)
        or _nth(text, toks)
        or _after_a_remark(text, toks)
        or _rather(text, toks)
        or _a_share(text, toks)
    )


def _instead(text: str, toks: list[Tok]) -> Intent | None:
    """ "undo that, dishes 3 gal", "scratch that. It was Ana": what is to stand in place of what was told last."""
    n = next((n for n, tok in enumerate(toks) if not tok.has(*_PLAIN) or tok.has("UNDO")), len(toks))
    if n + 2 >= len(toks) or not toks[n].has("UNDO") or not toks[n + 1].has(*_MARKS, "WITH"):
        return None
    rest = [tok for tok in toks[n + 2 :] if not tok.has("FORGOTLOG", "STOP")]
    while rest and (rest[0].has(*_MARKS) or rest[0].text in ("put", "log", "book", "write", "instead", "record")):
        rest = rest[1:]
    if not rest or any(tok.has("UNDO", "UNDOVERB", "REDO", "QMARK", "FUTURE", "IF", "NEG") for tok in rest):
        return None
    no = replace(toks[n], text="no", senses=sense("NO"))
    comma = replace(toks[n + 1], text=",", senses=sense("COMMA"))
    made = amend(text, [no, comma, *rest])
    return replace(made, sure=True) if isinstance(made, back.Amend) else None


def _after_a_remark(text: str, toks: list[Tok]) -> Intent | None:
    """ "that's too much, make it 1.5"."""
    for n in range(2, len(toks) - 1):
        head = toks[: n - 1]
        if (
            toks[n].text in _ORDERS
            and toks[n - 1].has("COMMA", "STOP", "SEMI", "BUT", "SO")
            and not any(tok.has(*_TOLD) for tok in head)
        ):
            made = amend(text, toks[n:])
            return made if isinstance(made, back.Amend) else None
    return None


def _nth(text: str, toks: list[Tok]) -> Intent | None:
    """ "the first one was 3", said of what was told last in one breath."""
    core = [tok for tok in toks if not tok.has("STOP", *_PLAIN) or tok.has("NUMBER")]
    if (
        len(core) < 3
        or not core[0].has("CHOICE")
        or not core[1].has("BE", "COST", "USE", "AMEND")
        or not _measures(core[2:])
    ):
        return None
    amount = fragment(clause_of(text, core[2:]))
    if amount is None or amount.amount is None or core[0].text.startswith("last"):
        return None
    return back.Amend(change=replace(amount, choice=int(core[0].senses["CHOICE"].value)), sure=False)


def _rather(text: str, toks: list[Tok]) -> Intent | None:
    """ "more like 3", "no, closer to two gallons"."""
    core = [tok for tok in toks if not tok.has("STOP", *_PLAIN)]
    if len(core) < 2 or core[0].text not in _RATHER or not _measures(core[1:]):
        return None
    change = fragment(clause_of(text, core))
    return back.Amend(change=change, sure=False) if change is not None and change.amount is not None else None


def _a_share(text: str, toks: list[Tok]) -> Intent | None:
    """ "2 gal each", said of the uses that were told last."""
    core = [tok for tok in toks if not tok.has("STOP", "FILLER")]
    if len(core) < 3 or core[-1].text not in ("each", "apiece", "a piece") or not _measures(core[:-1]):
        return None
    change = fragment(clause_of(text, core))
    volume = change is not None and change.amount is not None and change.amount.unit in VOLUMES
    return back.Amend(change=change, sure=False, took=True) if change is not None and volume else None


def _measures(toks: Sequence[Tok]) -> bool:
    return all(tok.has("NUMBER", "FRACTION", "UNIT", "ABOUT", "A", "AND") for tok in toks) and any(
        tok.has("NUMBER", "FRACTION", "UNIT") for tok in toks
    )
