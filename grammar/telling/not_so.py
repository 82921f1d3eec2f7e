"""A report with what was told before and is not so: "we dumped black yesterday, not grey", "the meter was 45.1, not 41.5".

It puts right what was told, if that was told; whether it was is not known here. May import: left_out, mood, replies, statements.
"""

from __future__ import annotations

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.telling.left_out import not_that
from grammar.telling.mood import mood
from grammar.telling.replies import fragment
from grammar.telling.statements import clause_of, statements


def not_so(text: str, toks: list[Tok]) -> Intent | None:
    """The whole as it was, and what it was not; None if the words are no such report."""
    told = not_that(toks)
    wrong = next((n for n, tok in enumerate(toks) if tok.text == "not"), len(toks))
    if told is toks or len(told) > wrong or mood(told) is not None:
        return None
    made = statements(text, told)
    if not made or len(made) != 1 or not isinstance(made[0], say.Dump | say.Fill | say.Level | say.ReadMeter | say.Use):
        return None
    was = fragment(clause_of(text, [tok for tok in toks[wrong + 1 :] if not tok.has("STOP")]))
    return back.Amend(whole=made[0], was=was, sure=False) if was is not None else None
