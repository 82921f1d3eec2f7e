"""A list of small uses by their names alone ("face, teeth, flush", "teeth and a wee then bed"): nobody measures them, and two of them in
a row are no question and no plan. One alone is asked about.

May import: intents, rejoinders, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.tokens import Tok

_SMALL = frozenset(("teeth", "face", "handwash", "toilet", "shave"))
_JOINS = ("COMMA", "AND", "THEN", "STOP")
LEAST = 2


def named_only(toks: Sequence[Tok]) -> list[back.Fragment]:
    """ "coffee and a bit of washing up": several uses by their names alone, each of which is asked about; empty if anything else stands there."""
    acts = [tok.senses["ACT"] for tok in toks if tok.has("ACT")]
    rest = [tok for tok in toks if not tok.has("ACT", "A", "ART", "FILLER", "ADJ", *_JOINS)]
    names = [one.value for one in acts]
    if rest or len(acts) < LEAST or len(set(names)) != len(names) or any(one.form != "noun" for one in acts):
        return []
    return [back.Fragment(activity=name) for name in names] if any(tok.has("COMMA", "AND") for tok in toks) else []


def small_uses(toks: Sequence[Tok]) -> list[say.Intent]:
    """The uses, each once; empty if anything else stands there."""
    acts = [tok for tok in toks if tok.has("ACT")]
    rest = [
        tok for tok in toks if not tok.has("ACT", "A", "ART", "FILLER", "ADJ", "SCENE", *_JOINS) and tok.number != 1
    ]
    names = [tok.senses["ACT"].value for tok in acts]
    plain = all(name in _SMALL for name in names) and all(tok.senses["ACT"].form in ("noun", "past") for tok in acts)
    if (
        rest
        or not plain
        or len(acts) < LEAST
        or len(set(names)) != len(names)
        or not any(tok.has("COMMA", "AND", "THEN") for tok in toks)
    ):
        return []
    return [say.Use(activity=name, count=1 if name == "toilet" else None) for name in names]
