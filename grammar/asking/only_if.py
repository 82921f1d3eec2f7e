"""What would be so, told in bare words before a question that says "would": "grey at half, would we make it". An if, and no report.

May import: asking, intents, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar.asking.asking import question
from grammar.hearing.tokens import Tok, sense
from grammar.intents import Ask, Intent, NotAReport

_WOULD = frozenset(("would", "could", "might"))
_AS_IT_IS = ("BE", "SAYS", "HAVE", "DEPART")
_LASTING = (say.Level, say.Party, say.Expect, say.Arrive, say.Stop, say.Stay, say.Away, say.SetTank, say.Use)
"""How things stand or will; what was done is a fact, whatever is asked of it."""


def only_if(text: str, head: Sequence[Tok], asked: Sequence[Tok], made: Sequence[Intent]) -> list[Intent] | None:
    """The what-if of such a phrase, or that it is one; None where the first half tells how things are."""
    would = any(tok.text in _WOULD for tok in asked[:_EARLY]) and not any(tok.has("SELF", "IT") for tok in asked[:1])
    if not would or not all(isinstance(one, _LASTING) for one in made) or any(_is_fact(tok) for tok in head):
        return None
    if any(isinstance(one, say.Use) and one.done for one in made):
        return None
    supposed = question(text, [Tok("if", head[0].start, head[0].start, sense("IF")), *head, *asked])
    if supposed and all(isinstance(one, Ask) and one.changes for one in supposed):
        return supposed
    return [NotAReport(why="hypothesis", text=text.strip())]


_EARLY = 4  # tokens


def _is_fact(tok: Tok) -> bool:
    """A verb that says so: "grey is half full", "arrived at Cedar Flat", "we are four"."""
    verb = any(one.form in ("past", "pres") for cls, one in tok.senses.items() if cls != "NAMEWORD")
    return verb or tok.has(*_AS_IT_IS) or tok.text.split()[0] in ("we", "i", "now")
