"""What was told stays as it is: "don't undo that", "undo, no wait". May import: tokens."""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok

_ORDERS = ("UNDO", "UNDOVERB", "REDO", "AMEND", "FIX")
FORBID = frozenset(("do not", "never", "not", "must not", "should not"))


def forbids(core: Sequence[Tok]) -> bool:
    """ "don't undo that", "no, do not make it three": what was told stays as it is."""
    for n, tok in enumerate(core[:-1]):
        if tok.text in FORBID:
            after = core[n + 1]
            return after.has(*_ORDERS) or after.text in ("change", "take", "touch", "correct")
        if not tok.has("NO", "AMEND", "FIX", "SELF", "YES"):
            return False
    return False


_HALTS = frozenset("no wait not hold hang".split())
_LET_BE = frozenset(("leave it", "leave that", "let it be", "never mind", "nevermind", "do not bother", "no matter"))


def thought_better(after: Sequence[Tok]) -> bool:
    """ "undo no wait", "undo, actually don't", "undo that, leave it": the order itself is taken back."""
    halts = any(tok.text in _LET_BE or not _HALTS.isdisjoint(tok.text.split()) for tok in after)
    return halts and all(tok.has("NO", "AMEND", "FIX", "CANCEL", "REDO", "NEG", "FILLER") for tok in after)
