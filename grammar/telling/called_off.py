"""What is called off by its name, where the order alone would mean whatever is spoken of: "cancel the guests", "ignore that grey reading".

May import: after_all, patterns, rejoinders, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.patterns import Pattern
from grammar.telling.after_all import OF_A_DAY, is_a_guest

_ORDERS = (
    "cancel|forget|forget about|ignore|disregard|discount|drop|scrap|scratch|delete|remove|undo|erase|strike|bin|ditch|void|call off|"
    "take back|never mind|skip|throw out|lose"
)
_ASKED = (
    "(?:oops |sorry |no |oh |wait |ok |okay |actually |please |just |better |can you |could you |would you |and |you can |let us |we can |"
    "we had to |had to |we have |we |i )*"
)
_ORDER = Pattern(
    tuple(_ORDERS.replace("|", " ").split()), rf"{_ASKED}(?:{_ORDERS})(?: (?:that|this|it|last|last one))?"
)
_LONGEST = 10  # tokens
_SOFT = frozenset("please again then now thanks thank you sorry after all of from the one".split()) | {
    "after all",
    "thank you",
    "for now",
}
_READINGS = frozenset("reading readings level levels measurement measurements value gauge".split())


def called_off(toks: Sequence[Tok]) -> Intent | None:
    """The guests who were expected, or the reading told last; None if these words call off something else."""
    order, rest = order_of(toks)
    if not order or not rest:
        return None
    people = [tok for tok in rest if not tok.has(*OF_A_DAY)]
    if (
        people
        and all(is_a_guest(tok) and not tok.has("SELF") for tok in people)
        and any(tok.has("GUESTS", "OTHER") for tok in people)
    ):
        named = tuple(tok.text.casefold() for tok in people if not tok.has("GUESTS", "AND", "PRONOUN"))
        return back.Guests(people=0.0, named=named)
    said = [tok for tok in rest if not tok.has("SENSOR")]
    last = said[-1].text.split()[-1] if said else ""
    if last not in _READINGS:
        return None
    tanks = [tok for tok in said[:-1] if tok.has("TANK")]
    if len(tanks) == 1 and len(said) == 2:
        return back.Undo(what=f"{tanks[0].senses['TANK'].value} level")
    return back.Undo(what="reading") if len(said) == 1 else None


def order_of(toks: Sequence[Tok]) -> tuple[str, list[Tok]]:
    """The words of an order at the head of a phrase, and what of weight stands after them; "" if there is no order."""
    if not 2 <= len(toks) <= _LONGEST or any(
        tok.has("QMARK", "IF", "QWORD", "NUMBER", "NEG", "FUTURE") for tok in toks
    ):
        return "", []
    for n in range(min(5, len(toks) - 1), 0, -1):
        said = " ".join(tok.text for tok in toks[:n])
        if _ORDER.fullmatch(said):
            rest = [tok for tok in toks[n:] if not tok.has("ART", "STOP", "WHICH") and tok.text not in _SOFT]
            if any(tok.has("COMMA", "BUT", "SEMI") for tok in rest):
                return "", []
            return said, [tok for tok in rest if not tok.has("FILLER", "ADJ") or tok.has("GUESTS", "METER", "TANK")]
    return "", []


def of_a_thing(toks: Sequence[Tok]) -> bool:
    """ "Cancel the pizza", "ignore my last remark" has an object, which must be found, or it would sound obeyed."""
    order, rest = order_of(toks)
    whole = not order or "mind" in order or order.split()[-1] in ("it", "this", "last", "one")
    return (
        not whole
        and bool(rest)
        and rest[-1].text.split()[-1] not in _WHATEVER
        and not rest[0].has("SELF", "THEN", "AND")
    )


_WHATEVER = frozenset("thing lot order request question idea that it this one all everything entry bit".split())
