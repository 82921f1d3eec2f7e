"""What stands around a correction and is none itself: excuses at its end; and how much went in after all.

May import: replies, statements, tokens.
"""

from __future__ import annotations

from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.telling.replies import fragment
from grammar.telling.statements import clause_of

_EXCUSES = (
    "i should have said",
    "i should say",
    "i meant",
    "i mean",
    "i forgot to say",
    "i meant to say",
    "i misspoke",
    "i misread it",
    "i said it wrong",
    "i told you wrong",
)


def without_excuse(toks: list[Tok]) -> list[Tok]:
    """ "that was last night, I should have said": the end adds nothing."""
    core = [tok for tok in toks if not tok.has("STOP")]
    said = [tok.text for tok in core]
    for n in range(2, min(6, len(core) - 1)):  # "three, I forgot Bram's"
        if said[-n].startswith(("forgot", "missed")) and core[-n - 1].has("COMMA", "SELF"):
            end = -n - 1 if core[-n - 1].has("COMMA") else -n - 2
            kept = core[:end]
            if kept and not any(tok.has("NUMBER", "UNIT", "TANK", "METER") for tok in core[-n + 1 :]):
                return kept[:-1] if kept[-1].has("COMMA") else kept
    for n in (1, 2):
        tail = " ".join(said[-n:])
        if len(core) > n and (tail in _EXCUSES or (n == 2 and said[-2] == "i" and f"i {said[-1]}" in _EXCUSES)):
            kept = core[:-n]
            return kept[:-1] if kept and kept[-1].has("COMMA") else kept
    return toks


_WENT_IN = frozenset(
    ("fit", "fitted", "fits", "went", "went in", "got in", "would go", "would fit", "go", "in", "into", "it", "there")
)


def only_so_much(text: str, toks: list[Tok]) -> Intent | None:
    """ "actually only 10 gal fit in it", "only 10 gallons went in": less than was told of a fill."""
    core = [tok for tok in toks if not tok.has("STOP", "COMMA")]
    while core and core[0].has("FILLER", "AMEND", "FIX", "BUT", "NO") and core[0].text not in ("only", "just"):
        core = core[1:]
    if len(core) < 4 or core[0].text not in ("only", "just"):
        return None
    end = next((n for n in range(1, len(core)) if core[n].text in _WENT_IN), len(core))
    told, rest = core[1:end], [tok.text for tok in core[end:]]
    measured = bool(told) and all(tok.has("NUMBER", "FRACTION", "UNIT", "ABOUT", "A") for tok in told)
    if not measured or not rest or not set(rest) <= _WENT_IN or rest[0] in ("in", "into", "it", "there"):
        return None
    amount = fragment(clause_of(text, told))
    return back.Amend(change=amount, sure=False, took=True) if amount is not None else None
