"""One thing in place of another: "not the shower, the dishes", "Joss, not me", "the cooking was 2 litres, not 1".

May import: excuses, left_out, mood, replies, statements.
"""

from __future__ import annotations

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.tokens import Tok, sense
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.telling.excuses import without_excuse
from grammar.telling.left_out import not_that
from grammar.telling.mood import mood
from grammar.telling.replies import fragment
from grammar.telling.statements import clause_of, statements

IT_IS = ("it is", "that is", "it was", "that was")


def not_this(text: str, toks: list[Tok]) -> Intent | None:
    """ "not the shower, the dishes", "dishes not shower", "Joss, not me"."""
    core = [tok if not tok.has("STOP") else replace(tok, senses=sense("COMMA")) for tok in without_excuse(toks)]
    core = [tok for tok in core if not tok.has("FILLER", "ART", "POSS") or tok.has("NEG")]
    while core and (core[-1].has("COMMA") or core[-1].text == "sorry"):
        core = core[:-1]
    place = next((i for i, tok in enumerate(core) if tok.text == "not"), None)
    if place is None or len(core) > 8:
        return None
    wrong, right = core[place + 1 :], [tok for tok in core[:place] if not tok.has("AND")]
    if all(tok.has("AMEND", "IT", "BE", "NO", "COMMA") for tok in right):
        comma = next((i for i, tok in enumerate(wrong) if tok.has("COMMA", "BUT") or tok.text in IT_IS), None)
        if comma is None and len(wrong) == 2:
            comma, wrong = 1, [wrong[0], wrong[0], wrong[1]]  # "not Ilse Tomasz"
        if comma is None:
            return None
        wrong, right = wrong[:comma], wrong[comma + 1 :]
    right = [tok for tok in right if not tok.has("COMMA", "AMEND", "FIX", "BE", "IT", "NO", "PREP", "FORGOTLOG")]
    measured = len(right) == 2 and right[0].has("NUMBER", "FRACTION") and right[1].has("UNIT", "TIMESWORD")
    wrong = wrong[:1] if len(wrong) == 2 and wrong[1].has("UNIT", "ONE", "TANKWORD") else wrong
    if len(wrong) != 1 or not (len(right) == 1 or measured) or not _sorts(right[0], wrong[0]):
        return None
    if place and core[place - 1].has("BE") and any(one.form == "past" for one in wrong[0].senses.values()):
        return None  # "the toilet was not flushed"
    change = fragment(clause_of(text, right))
    return back.Amend(change=replace(change, text=text.strip())) if change is not None else None


def not_so_much(text: str, toks: list[Tok]) -> Intent | None:
    """ "the cooking was 2 litres, not 1": another amount of a use that was told."""
    told = not_that(toks)
    wrong = next((n for n, tok in enumerate(toks) if tok.text == "not"), len(toks))
    if told is toks or len(told) > wrong or mood(told) is not None:
        return None
    if not any(tok.has("NUMBER", "FRACTION") for tok in toks[wrong:]):
        return None
    made = statements(text, told)
    use = made[0] if made and len(made) == 1 else None
    if not isinstance(use, say.Use) or use.activity is None or use.amount is None or len(use.people) > 1:
        return None
    change = back.Fragment(activity=use.activity, amount=use.amount)
    if use.when is None and not use.people:
        return back.Amend(change=change, sure=False, named=True)
    was = fragment(clause_of(text, toks[wrong + 1 :]))
    if was is None or was.amount is None:
        return None
    said = replace(was.amount, unit=was.amount.unit or use.amount.unit)
    of = back.Undo(what=use.activity, whose=use.people[0] if use.people else None, amount=said, when=use.when)
    return back.Amend(change=replace(change, activity=None), of=of)


_MOMENTS = ("DAY", "WEEKDAY", "PART")


def _sorts(right: Tok, wrong: Tok) -> bool:
    if right.has("PERSON") and (wrong.has("SELF") or wrong.text == "mine"):
        return True
    if right.has("FULLNESS", "FRACTION") and wrong.has("FULLNESS", "FRACTION"):
        return True
    if (right.has("SHUT") and wrong.has("OPEN")) or (right.has("OPEN") and wrong.has("SHUT")):
        return True
    if right.has(*_MOMENTS) and wrong.has(*_MOMENTS):
        return True
    return any(
        right.has(cls) and wrong.has(cls)
        for cls in ("ACT", "TANK", "PERSON", "METER", "NUMBER", "WEEKDAY", "DAY", "UNIT", "CLOCK")
    )
