"""What can be understood of a phrase that is not understood whole: whole clauses of it, to be offered, never booked as they stand.

"Set up and made coffee": the coffee reads by itself. Where all that is left are remarks the rest is taken as said.
What is offered and what is left out are told in the person's own words.
May import: bearing, run_on, tokens, mood, intents, rejoinders, lightclass.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.bearing import by_a_stranger, of_a_use_only, says_nothing
from grammar.hearing.hear import Word
from grammar.hearing.run_on import places_to_begin, places_to_cut
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lightclass import dataclass
from grammar.telling.mood import is_question, mood
from grammar.telling.not_done import denies, things_apart

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
    | say.SetTank | say.Frost | say.Expect | say.Stop
)  # fmt: skip
MOST_CLAUSES = 8
_HEADING = 2
"""Tokens before a colon that may be a heading ("Stop: Quarry Lake"), and no clause."""


@dataclass(frozen=True)
class Part:
    """`heard`: the clauses understood, as one phrase; `left`: the rest, each piece in the person's own words. `sure`: what is left is
    nothing but remarks. `denied`: what is left tells of other things that they were not done."""

    heard: str
    left: tuple[str, ...]
    sure: bool = False
    denied: bool = False


Read = Callable[[Sequence[Word]], "Sequence[Intent] | None"]


class _Parts:
    """The clauses as they are read one after the other: what is understood, what is a remark, and the rest."""

    def __init__(self, text: str, words: Sequence[Word], read: Read) -> None:
        self.text, self.words, self.read = text, words, read
        self.heard: list[Sequence[Tok]] = []
        self.aside: list[Sequence[Tok]] = []
        self.left: list[Sequence[Tok]] = []
        self.measured = True
        self.done = True
        self.geared: list[Sequence[Tok]] = []
        self.to_come: list[Sequence[Tok]] = []
        self.replies = 0

    def whole(self, toks: Sequence[Tok]) -> bool:
        """Whether the tokens read as reports; they are then heard."""
        start, stop = toks[0].start, toks[-1].end
        told = self.read([word for word in self.words if start <= word.start and word.end <= stop])
        if (
            told
            and len(told) == 1
            and _replies(told[0])
            and not toks[-1].has(*_HANGS)
            and (not self.replies or toks in self.heard)
        ):
            self.replies += toks not in self.heard
        elif not told or not all(isinstance(one, _REPORTS) for one in told):
            return False
        self.heard.append(toks)
        if any(isinstance(one, say.Gear | say.Service) for one in told):
            self.geared.append(toks)
        if all(isinstance(one, say.Expect | say.Stop) for one in told):
            self.to_come.append(toks)
        self.measured = self.measured and all(_measured(one) for one in told)
        self.done = self.done and all(isinstance(one, say.Use) and one.done for one in told)
        return True

    def clause(self, toks: Sequence[Tok]) -> None:
        """Takes a clause that does not read whole."""
        if says_nothing(toks, not self.heard) and not _once_more(toks):
            self.aside.append(toks)
        elif not self._cut(toks):
            self.left.append(toks)

    def _cut(self, toks: Sequence[Tok]) -> bool:
        """ "swapped over to the tank the park's tap has gone brown": a report and a remark with no mark between them."""
        for n in places_to_cut(toks):
            if toks[n - 1].has("NUMBER", "FRACTION") and not toks[n].has("ART", "SELF", "PRONOUN", "IT"):
                continue  # "no three kids are crying"
            if len(toks) - n > 2 and says_nothing(toks[n:], False) and self.whole(toks[:n]):
                self.aside.append(toks[n:])
                return True
        for n in places_to_begin(toks):
            if says_nothing(toks[:n], True) and self.whole(toks[n:]):
                self.aside.append(toks[:n])
                return True
        return False

    def said(self, clauses: Sequence[Sequence[Tok]]) -> tuple[str, ...]:
        return tuple(_as_said(self.text, clause) for clause in clauses)


def in_part(text: str, words: Sequence[Word], toks: Sequence[Tok], read: Read) -> Part | None:
    """The clauses of a report that read whole by themselves; None if there are none, or if what is left might change them.

    `read`: the meanings of some words, None if they do not read whole.
    """
    clauses = _clauses(toks)
    if any(tok.has("QMARK") or tok.text == "respectively" for tok in toks) or not 1 <= len(clauses) <= MOST_CLAUSES:
        return None
    parts = _Parts(text, words, read)
    at = 0
    while at < len(clauses):
        for end in range(len(clauses), at, -1):
            first, last = clauses[at][0].start, clauses[end - 1][-1].end
            if parts.whole([tok for tok in toks if first <= tok.start and tok.end <= last]):
                at = end
                break
        else:
            if _only_why(clauses[at], toks):
                parts.aside.append(clauses[at])
            else:
                parts.clause(clauses[at])
            at += 1
    left = parts.left
    kept = [tok for tok in toks if not any(tok in clause for clause in (*parts.aside, *parts.to_come))]
    if not parts.heard or not (left or parts.aside) or is_question(kept):
        return None
    if parts.replies and (left or len(parts.heard) > 1):
        return None
    if _denied(left, parts.heard):
        told = [tok for clause in parts.heard for tok in clause]
        wrong = any(tok.has(*_TURNS_IT) for tok in told) or any(
            tok.has(*_ALTERS) for clause in parts.aside for tok in clause
        )
        return None if wrong else Part(", ".join(parts.said(parts.heard)), parts.said(left), denied=True)
    if mood(kept) is not None:
        return None
    if any(_shares_its_verb(text, clause, other) for clause in (*left, *parts.aside) for other in parts.geared):
        return None  # "put the zork and the hose back in the locker": half of it would be lost
    heard = ", ".join(parts.said(parts.heard))
    told = [tok for clause in parts.heard for tok in clause]
    if not left and by_a_stranger([tok for clause in parts.aside for tok in clause], told):
        return None
    if not left:
        strange = [clause for clause in parts.aside if not all(tok.known for tok in clause)]
        if not parts.done and any(of_a_use_only(clause) for clause in parts.aside):
            return Part(heard, parts.said(parts.aside))  # "shower 2 gal, same as always" may tell what is usual
        return Part(heard, parts.said(strange), sure=True)  # "yes really" need not be told
    if any(tok.has(*_TURNS_IT) for tok in toks) or any(all(tok.has(*_MEASURES) for tok in clause) for clause in left):
        return None  # "two totes of grey, 9 litres each": the end measures what was understood
    if any(tok.has(*_DATES) for clause in left for tok in clause):
        return None  # "our son and his family, four people, arrive Friday": the day may be that of what was understood
    if not parts.measured and any(tok.has(*_AMOUNTS) for clause in left for tok in clause):
        return None  # "dishes, three zorks": the amount may be that of what was understood
    return Part(heard, parts.said(sorted([*left, *parts.aside], key=lambda clause: clause[0].start)))


def _once_more(clause: Sequence[Tok]) -> bool:
    """ "Shower 2 gal, then another": no remark."""
    return any(tok.has("SECOND") for tok in clause) and all(
        tok.has("SECOND", "FILLER", "ART", "MORE") for tok in clause
    )


def _denied(left: Sequence[Sequence[Tok]], heard: Sequence[Sequence[Tok]]) -> bool:
    """ "shower 2 gal, no dishes": it may be a correction, so that the shower is asked about."""
    return bool(left) and all(denies(clause) for clause in left) and things_apart(left, heard)


def _replies(told: Intent) -> bool:
    """A correction, or the answer to what was asked, that stands by itself: "no, it was nine litres, the steam got on my specs"."""
    if isinstance(told, back.Amend):
        return told.whole is None and told.change != back.Fragment()
    if isinstance(told, back.Fragment):  # "three of the kids are crying" is no number that was asked for
        return told.site is None and (told.amount is None or told.amount.unit is not None)
    return isinstance(told, back.Yes | back.No)


_HANGS = (
    "OF",
    "ART",
    "A",
    "PREP",
    "POSS",
    "AND",
    "BE",
    "AUX",
    "TO",
    "FOR",
    "AT",
    "IN",
    "ON",
    "BY",
    "FROM",
    "WITH",
    "OR",
    "BUT",
)
"""A reply does not end in these: the words behind go with them."""


def _as_said(text: str, clause: Sequence[Tok]) -> str:
    """The words of a clause as they were typed, without those between them that a story has left out."""
    said = text[clause[0].start : clause[0].end]
    for before, tok in itertools.pairwise(clause):
        if tok.start < before.end:
            continue  # "I've" is two words in one place
        between = text[before.end : tok.start]
        said += (" " if any(char.isalnum() for char in between) else between) + text[tok.start : tok.end]
    return said


def _shares_its_verb(text: str, left: Sequence[Tok], heard: Sequence[Tok]) -> bool:
    """Whether a clause that was not understood begins with a deed whose things go on, after an "and", in the next."""
    opens = next((tok for tok in left if not tok.has("FILLER", "SELF")), None)
    joined = text[left[-1].end : heard[0].start].casefold().split()
    deed = opens is not None and opens.has("PUTAWAY", "TAKEAWAY", "STOW", "CHANGE", "PUT")
    return deed and bool(joined) and joined[0] in ("and", "&", "plus")


def _measured(told: Intent) -> bool:
    return not isinstance(told, say.Use) or (told.amount is not None and told.amount.value is not None)


def _so_we(toks: Sequence[Tok], n: int) -> bool:
    """ "… so we switched to the pump": what follows is told as one's own, whatever was the reason."""
    after = toks[n + 1].text.split()[0] if n + 1 < len(toks) else ""
    return n > 1 and _hence(toks[n]) and after in ("i", "we")


def _hence(tok: Tok) -> bool:
    """ "so", "hence"."""
    return tok.text in ("so", "hence", "therefore", "thus")


_ALTERS = (
    *_AMOUNTS,
    "IF",
    "FUTURE",
    "QWORD",
    "QMARK",
    "JEST",
    "FORGOTLOG",
    "REMIND",
    "UNDO",
    "UNDOVERB",
    "AMEND",
    "CANCEL",
    "METER",
)


def _only_why(clause: Sequence[Tok], toks: Sequence[Tok]) -> bool:
    """ "The man at the office says the water is off, so we …": a reason, which neither measures nor doubts what was done for it."""
    after = next((n for n, tok in enumerate(toks) if tok.start >= clause[-1].end), len(toks))
    if after < len(toks) and toks[after].has("COMMA"):
        after += 1
    if after >= len(toks) or not _so_we(toks, after) or len(clause) < _FULL_REASON:
        return False
    return not any(tok.has(*_ALTERS) and not tok.has("BE") for tok in clause)


_FULL_REASON = 3  # tokens


def _clauses(toks: Sequence[Tok]) -> list[list[Tok]]:
    """What stands between the borders, the borders left out."""
    found: list[list[Tok]] = [[]]
    for n, tok in enumerate(toks):
        if tok.has(*_BORDERS) or _so_we(toks, n) or (tok.has("COLON") and (len(found) > 1 or len(found[0]) > _HEADING)):
            found.append([])
        else:
            found[-1].append(tok)
    return [clause for clause in found if clause]
