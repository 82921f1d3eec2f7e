"""What was not done, told beside what was: "nobody showered, dishes 1 gal", "grey is full, black isn't", "no showers today, washed up".

May import: mood, parts, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.parts import verdict
from grammar.hearing.tokens import Tok
from grammar.telling.mood import is_question

_LONGEST = 40  # tokens
_BORDERS = ("COMMA", "BUT", "SEMI")
_THINGS = ("TANK", "ACT", "SERVICE", "GEAR")
_TURNS = (
    "NEG IF FUTURE OTHER REPORTED HABIT QMARK QWORD UNDO UNDOVERB AMEND CANCEL INSTEAD DOUBT OR FORGOTLOG JEST TANKS VAGUE"
).split()
_TELLS = ("SELF", "PERSON", "NAMEWORD", "KIN", "UNIT", "FRACTION", "FULLNESS")
_BY_NOBODY = ("nobody", "no one", "none", "neither")


def only_what_was(toks: list[Tok]) -> list[Tok]:
    """The tokens without the clauses that tell of other things that they were not done; all of them, where that is not plain."""
    if not any(tok.has("NEG") for tok in toks) or not any(tok.has(*_BORDERS) for tok in toks) or len(toks) > _LONGEST:
        return toks
    if is_question(toks):
        return toks
    clauses = _clauses(toks)
    denied = [clause for clause in clauses if denies(clause)]
    kept = [clause for clause in clauses if clause not in denied]
    if not denied or not kept or not things_apart(denied, kept):
        return toks
    if any(tok.has(*_TURNS) and not tok.has("BE") for clause in kept for tok in clause):
        return toks
    if any(verdict("not_done", clause) == "perhaps" for clause in denied):
        return toks  # "no dishes" alone may be "no, dishes"
    first = next(n for n, clause in enumerate(clauses) if clause in denied)
    if not all(_of_its_own(clause, clauses[first]) for clause in clauses[first:] if clause in kept):
        return toks
    found: list[Tok] = []
    for clause in kept:
        comma = next((tok for tok in toks if found and tok.has(*_BORDERS) and tok.start >= found[-1].end), None)
        found += [comma, *clause] if comma is not None else clause
    return found


def denies(clause: Sequence[Tok]) -> bool:
    """Whether a clause tells of named things that they were not done, were not so, and of nothing else."""
    return bool(verdict("not_done", clause))


def of_other_things(part: Sequence[Tok], before: Sequence[Tok]) -> bool:
    """ "Dumped grey. Black wasn't dumped.": whether a sentence only tells what was not done, and that of other things."""
    return (
        denies(part)
        and things_apart([part], [before])
        and not any(tok.has(*_TURNS) and not tok.has("BE") for tok in before)
    )


def things_apart(denied: Sequence[Sequence[Tok]], kept: Sequence[Sequence[Tok]]) -> bool:
    """Whether what was not done and what was are different things, both named."""
    not_done, done = _things(denied), _things(kept)
    return bool(not_done) and bool(done) and not_done.isdisjoint(done)


def _things(clauses: Sequence[Sequence[Tok]]) -> set[str]:
    return {tok.senses[cls].value for clause in clauses for tok in clause for cls in _THINGS if tok.has(cls)}


def _clauses(toks: Sequence[Tok]) -> list[list[Tok]]:
    found: list[list[Tok]] = [[]]
    for tok in toks:
        if tok.has(*_BORDERS):
            found.append([])
        else:
            found[-1].append(tok)
    return [clause for clause in found if clause]


def _of_its_own(clause: Sequence[Tok], denial: Sequence[Tok]) -> bool:
    """Whether a clause behind a denial goes on with it no more: "didn't shower, do the dishes" would."""
    if any(tok.has(*_TELLS) for tok in clause):
        return True
    over = any(one.form == "past" for tok in clause[:1] for one in tok.senses.values())
    return over and denial[0].text not in _BY_NOBODY
