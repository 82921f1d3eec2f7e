"""Where the meter stands once a use is over, told without naming the meter: "and 15 afterwards", "now it says 15.2", "finished at 15.2".

Only the conversation knows that a use is open; here it is read as what it would be then. May import: intents, rejoinders, replies,
statements, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.patterns import Pattern
from grammar.pieces.clause import VOLUMES
from grammar.telling.replies import fragment
from grammar.telling.statements import clause_of

_LONGEST = 10
LATEST_HOUR = 24
_SAYS = "(?:is|was|says|said|reads|read|shows|showed|at|on|to|with|it|it is|it was|is at|it says|it reads)"
_OVER = "(?:done|all done|finished|ended|ended up|ends|ends up|stopped|finish|end|at end|in end|at finish|by end|by time (?:i|we) (?:was|were) done)"
_AFTER = "(?:afterwards|afterward|after|after that|after it|later)"
_WHEN = "(?:once|when) (?:(?:i|we) (?:was|were|am|are|had|got) )?(?:done|finished|through|stopped)"
_LEAD = "(?:and |but |then |so |now |we |i |it |it is |it was |i am |we are )*"
_ENDED = Pattern(
    ("done", "finish", "end", "stop", "after", "later", "through"),
    rf"{_LEAD}(?:{_OVER}|{_AFTER}|{_WHEN})(?: {_SAYS})* #(?: now)?|{_LEAD}(?:{_SAYS} )*# (?:{_AFTER}|{_WHEN}|at end|in end|at finish|by end)",
)
_NOW = Pattern(
    ("now", "says", "reads", "shows", "up to"),
    rf"{_LEAD}it (?:says|reads|shows|is up to) #(?: now)?|(?:and |but |then |so )*now (?:{_SAYS} )*#|{_LEAD}(?:{_SAYS} )*# now",
)


def stands_at(text: str, toks: Sequence[Tok]) -> Intent | None:
    """A bare reading: after a use if the words say so, else the number alone; None if the words say anything besides."""
    if len(toks) > _LONGEST or sum(1 for tok in toks if tok.number is not None) != 1:
        return None
    core = [
        tok for tok in toks if not tok.has("COMMA", "STOP") and tok.text not in ("the", "my", "a", "please", "just")
    ]
    measure = [tok for tok in core if tok.number is not None or tok.has("UNIT")]
    said = " ".join("#" if tok.number is not None else tok.text for tok in core if not tok.has("UNIT"))
    ended = _ENDED.fullmatch(said) is not None
    if not (ended or _NOW.fullmatch(said)) or len(measure) > 2:
        return None
    told = fragment(clause_of(text, measure))
    amount = told.amount if told is not None else None
    if amount is None or amount.value is None or amount.high is not None or amount.unit not in (None, *VOLUMES):
        return None
    if " at #" in said and "." not in amount.text and "point" not in amount.text and amount.value <= LATEST_HOUR:
        return None  # "done at 7"
    if not ended:
        return back.Fragment(amount=amount)
    return say.ReadMeter(reading=amount, moment="after")
