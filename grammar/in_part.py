"""What can be understood of a phrase that is not understood whole: whole clauses of it, to be offered, never booked as they stand.

"Set up and made coffee": the coffee reads by itself. What is offered and what is left out are told in the person's own words.
May import: tokens, mood, intents, rejoinders, lightclass.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from grammar import intents as say
from grammar.hear import Word
from grammar.intents import Intent
from grammar.lightclass import dataclass
from grammar.mood import is_question, mood
from grammar.tokens import Tok

_BORDERS = ("COMMA", "AND", "STOP", "SEMI", "THEN")
_TURNS_IT = (
    "NEG NO FUTURE IF OTHER REPORTED HABIT QMARK QWORD UNDO UNDOVERB VAGUE BOUND INSTEAD WITHOUT BUT AMEND CANCEL REMIND NEARLY MINUS"
).split()
"""What may change the meaning of the clause beside it: of such a phrase nothing is offered."""

_AMOUNTS = ("NUMBER", "FRACTION", "UNIT")
_MEASURES = (*_AMOUNTS, "EACH", "ABOUT", "AROUND", "A", "TOTAL", "PREP", "FILLER", "CLOCK", "DAY", "AGO")
_DATES = ("WEEKDAY", "MONTH", "DAY", "UNTIL", "FROM", "COMING", "VISITOR", "GUESTS")
_REPORTS = (
    say.Use | say.ReadMeter | say.ResetMeter | say.Fill | say.Dump | say.Haul | say.Level | say.Rinse | say.Arrive | say.Stay
    | say.Depart | say.Supply | say.Valve | say.Party | say.Away | say.Back | say.Pressure | say.Flow | say.Service | say.Gear
    | say.SetTank | say.Frost
)  # fmt: skip
MOST_CLAUSES = 8


@dataclass(frozen=True)
class Part:
    """`heard`: the clauses understood, as one phrase; `left`: the rest, each piece in the person's own words."""

    heard: str
    left: tuple[str, ...]


def in_part(
    text: str, words: Sequence[Word], toks: Sequence[Tok], read: Callable[[Sequence[Word]], Sequence[Intent] | None]
) -> Part | None:
    """The clauses of a report that read whole by themselves; None if there are none, or if what is left might change them.

    `read`: the meanings of some words, None if they do not read whole.
    """
    if is_question(toks) or mood(toks) is not None or any(tok.has(*_TURNS_IT) for tok in toks):
        return None
    clauses = _clauses(toks)
    if not 2 <= len(clauses) <= MOST_CLAUSES:
        return None
    heard: list[str] = []
    left: list[Sequence[Tok]] = []
    measured = True
    at = 0
    while at < len(clauses):
        for end in range(len(clauses), at, -1):
            start, stop = clauses[at][0].start, clauses[end - 1][-1].end
            told = read([word for word in words if start <= word.start and word.end <= stop])
            if told and all(isinstance(one, _REPORTS) for one in told):
                heard.append(text[start:stop])
                measured = measured and all(_measured(one) for one in told)
                at = end
                break
        else:
            left.append(clauses[at])
            at += 1
    if not heard or not left or any(all(tok.has(*_MEASURES) for tok in clause) for clause in left):
        return None  # "two totes of grey, 9 litres each": the end measures what was understood
    if any(tok.has(*_DATES) for clause in left for tok in clause):
        return None  # "our son and his family, four people, arrive Friday": the day may be that of what was understood
    if not measured and any(tok.has(*_AMOUNTS) for clause in left for tok in clause):
        return None  # "dishes, three zorks": the amount may be that of what was understood
    return Part(", ".join(heard), tuple(text[clause[0].start : clause[-1].end] for clause in left))


def _measured(told: Intent) -> bool:
    return not isinstance(told, say.Use) or (told.amount is not None and told.amount.value is not None)


def _clauses(toks: Sequence[Tok]) -> list[list[Tok]]:
    """What stands between the borders, the borders left out."""
    found: list[list[Tok]] = [[]]
    for tok in toks:
        if tok.has(*_BORDERS):
            found.append([])
        else:
            found[-1].append(tok)
    return [clause for clause in found if clause]
