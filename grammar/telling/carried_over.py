"""Clauses that leave out what the one before them said: "Ana showered with 2, Joss with 3", "emptied grey at noon and black at one".

May import: clause, intents, lexicon, tokens.
"""

from __future__ import annotations

from collections.abc import Callable

from grammar import intents as say
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lexicon import lexicon
from grammar.lightclass import Any, replace
from grammar.pieces.clause import PRESSURES, VOLUMES, Clause

LONGEST_ELLIPSIS = 4
"""Such a clause has no more pieces than these."""


def _another_use(last: say.Use, clause: Clause) -> Intent | None:
    """ "Ana showered with 2, Joss with 3": the same thing by somebody else, of another amount; "had a tea and a shower": done as well."""
    amount = clause.get("amount")
    act, thing = clause.word("ACT", "noun"), clause.word("ACT", "thing")
    one = thing is not None and last.amount is not None and len(clause.words("ACT")) == 1
    if thing is not None and one and _washed(last) and _only(clause, "", "ACT ART FILLER POSS ADJ"):
        return say.Use(
            activity=thing.senses["ACT"].value, amount=say.Amount(None), people=last.people, done=True, when=last.when
        )
    if act is not None and last.done and _only(clause, "", "ACT A ART FILLER") and len(clause.words("ACT")) == 1:
        return say.Use(activity=act.senses["ACT"].value, people=last.people, done=True, when=last.when)
    if act is not None and _beside_measured(last, act) and _only(clause, "", "ACT FILLER"):
        return say.Use(activity=act.senses["ACT"].value, people=last.people, when=last.when)  # "shower 2 gal, teeth"
    if act is not None and last.count and " x" in f" {last.text.casefold()}" and _only(clause, "", "ACT FILLER"):
        return say.Use(activity=act.senses["ACT"].value, people=last.people, when=last.when)  # "teeth x2, face": once
    mine = bool(last.people) and any(
        tok.text in ("i", "me", "mine") for tok in (*clause.words("SELF"), *clause.words("PRONOUN"))
    )
    often = _as_often(last, clause, mine)
    if often is not None:
        return often
    apart = " COMMA TOO AUX" if amount is not None and amount.each else ""  # "Ana showered, then I did, 2 gal each"
    if (
        mine
        and amount is not None
        and amount.value is not None
        and _only(clause, "amount", f"SELF PRONOUN BE PREP FILLER AT USE COST DO A ART ONE{apart}")
    ):
        unit = amount.unit or (last.amount.unit if last.amount else None)
        return replace(last, people=(), amount=replace(amount, unit=unit), count=None, minutes=None)
    if amount is None and last.people != clause.people and _the_same_for(clause, mine):
        return _as_well(last, clause.people)
    if (
        amount is None
        and clause.has("GROUP")
        and clause.has("TOO")
        and _only(clause, "", "GROUP TOO FILLER ART AUX DO")
    ):
        each = (
            last.amount is not None and last.amount.value is not None
        )  # "Ana showered 2 gal, the kids too": how many they are is asked
        so_much = replace(last.amount, each=True) if last.amount is not None and each else None
        alone = len(last.people) < 2 and last.count is None and not (last.amount is not None and last.amount.each)
        return replace(last, people=(), amount=so_much, several=True) if alone else None
    for_them = clause.pieces[-1].kind == "people" and clause.has("FOR")  # "shower 2 gal for Ines and 3 for Bo"
    again = _at_another_time(last, clause)
    if again is not None:
        return again
    named = clause.people and (clause.pieces[0].kind == "people" or for_them)
    if not named or amount is None or amount.value is None:
        return None
    if last.before is not None or not _only(
        clause, "people amount", f"PREP FILLER USE COST AT TOO COMMA POSS BE FOR{apart}"
    ):
        return None
    unit = amount.unit or (last.amount.unit if last.amount else None)
    return replace(last, people=clause.people, amount=replace(amount, unit=unit), count=None, minutes=None)


def _as_often(last: say.Use, clause: Clause, mine: bool) -> Intent | None:
    """ "Bo 3 flushes, me 2", "Bo flushed three times, Ana twice": so often, where the first was told by how often."""
    if last.count is None or last.amount is not None or not last.people or bool(clause.people) == mine:
        return None
    if not _only(clause, "people amount repeat", "SELF PRONOUN AND BUT FILLER DO AUX ONLY"):
        return None
    amount, often = clause.get("amount"), clause.get("repeat")
    many = often if often is not None else amount.value if amount is not None and amount.unit is None else None
    if many is None or many != int(many) or many < 1 or (amount is not None and (often is not None or amount.high)):
        return None
    return replace(last, people=clause.people, count=int(many), everyone=False)


_WASHED = ("washed", "rinsed", "hosed", "scrubbed", "cleaned", "wiped", "watered", "sprayed")


def _washed(last: say.Use) -> bool:
    said = last.text.casefold()
    return any(one in said for one in _WASHED)


def _at_another_time(last: say.Use, clause: Clause) -> Intent | None:
    """ "dishes a gallon this morning and two tonight": once more, of another amount, where the first was told with its time and its unit."""
    first, amount = last.amount, clause.get("amount")
    if last.when is None or first is None or first.unit is None or last.count is not None or last.minutes is not None:
        return None
    if last.before is not None or last.like is not None or clause.when is None or not _only(clause, "amount when", ""):
        return None
    if amount is None or amount.value is None or amount.unit not in (None, *VOLUMES):
        return None
    return replace(last, amount=replace(amount, unit=amount.unit or first.unit), when=clause.when)


def _the_same_for(clause: Clause, mine: bool) -> bool:
    """ "…, same for Joss", "…, Joss too", "…, me too"."""
    if not clause.has("AGAIN", "TOO") or bool(clause.people) == mine:
        return False
    return _only(clause, "people", f"AGAIN FOR PREP FILLER TOO COMMA AUX DO{' SELF PRONOUN' if mine else ''}")


def _as_well(last: say.Use, people: tuple[str, ...]) -> Intent | None:
    """The same by others, so much for each of them; nothing where it is not clear how much each had."""
    amount = last.amount
    if amount is None or amount.value is None or amount.each or (len(people) < 2 and len(last.people) < 2):
        return replace(last, people=people)
    if len(last.people) > 1 or last.count is not None:
        return None  # "Ana and Bo showered, 4 gal, Joss too"
    return replace(last, people=people, amount=replace(amount, each=True))


_SMALL = ("teeth", "face", "handwash", "toilet", "shave")


def _beside_measured(last: say.Use, act: Tok) -> bool:
    """Whether a small use named at the end of a list was done as the one before it, whose amount was told."""
    amount = last.amount
    if amount is None or amount.value is None or amount.unit is None or amount.each:
        return False
    return act.senses["ACT"].value in _SMALL and act.senses["ACT"].value != last.activity


def _another_size(last: say.SetTank, clause: Clause) -> Intent | None:
    """ "fresh tank 45 gal, grey 40 and 32 black": the sizes of the other tanks."""
    amount, tanks = clause.volume(), clause.tanks
    if len(tanks) != 1 or tanks == ("*",) or amount is None or amount.value is None or last.gone:
        return None
    if not _only(clause, "tanks amount", "FILLER HOLDS IS BE A ART"):
        return None
    unit = amount.unit or (last.amount.unit if last.amount else None)
    return replace(last, tank=tanks[0], kind=say.KINDS.get(tanks[0]), amount=replace(amount, unit=unit), second=False)


def _only(clause: Clause, kinds: str, classes: str) -> bool:
    """Whether the clause has no other pieces than these."""
    able, named = kinds.split(), classes.split()
    return all(piece.kind in able or piece.has(*named) for piece in clause.pieces)


def _another_dump(last: say.Dump, clause: Clause) -> Intent | None:
    """ "emptied grey at noon and black at one"; "dumped black and rinsed it with 5 gal"."""
    length = clause.get("duration")
    minutes = length.seconds / 60 if length is not None and length.unit in ("second", "minute") else None
    rinsed = clause.word("RINSE", "past") is not None and (clause.volume() is not None or minutes is not None)
    if rinsed and len(last.tanks) == 1 and _only(clause, "amount duration", "RINSE IT WITH FOR PREP PARTICLE SELF"):
        return say.Rinse(tank=last.tanks[0], amount=clause.volume(), minutes=minutes)
    if clause.has("AGAIN") and clause.when is not None and _only(clause, "when", "AGAIN IT FILLER"):
        return replace(last, when=clause.when)  # "dumped black at nine and again at noon"
    if not clause.tanks or clause.tanks == ("*",) or not _only(clause, "tanks when", "TANKWORD TOO"):
        return None
    if clause.when is None and clause.word("TOO") is None:
        return None
    return replace(last, tanks=clause.tanks, every=False, when=clause.when or last.when)


def _another_item(last: say.Service, clause: Clause) -> Intent | None:
    """ "put in a new filter and new washers on the hose": a second thing that was changed; "…, and put it back on": where it is now."""
    gear = _where_it_is(last, clause)
    if gear is not None:
        return gear
    items = [piece.toks[0].senses["SERVICE"].value for piece in clause.pieces if piece.has("SERVICE")]
    if (
        not items
        or not clause.pieces[0].has("NEW")
        or not _only(clause, "", "NEW SERVICE OUTON ON IN FOR OF TO FILLER ART PREP GEAR")
    ):
        return None
    return say.Service(item=items[0], when=last.when)


def _where_it_is(last: say.Service, clause: Clause) -> Intent | None:
    """ "checked the regulator and put it on the spigot", "…, it's back in the bay"."""
    stowed, out = clause.word("STOW", "past"), clause.word("OUTON", "past")
    place = out or stowed
    if place is None or (stowed and out) or not _only(clause, "", "IT BE STOW OUTON PUT PUTAWAY FILLER ART"):
        return None
    if not clause.has("IT") and "it" not in [*place.text.split(), *clause.pieces[0].toks[0].text.split()]:
        return None
    spelled = lexicon().spellings
    items = [
        word for word in last.text.casefold().split() if any(one.cls == "GEAR" for one in spelled.get((word,), ()))
    ]
    return say.Gear(items=(items[0],), where="out" if out else "stowed", when=last.when) if items else None


def _at_pressure(last: say.Gear, clause: Clause) -> Intent | None:
    """ "regulator on, now it's 48": what the gauge says with it in place."""
    amount = clause.get("amount")
    if not any("regulator" in item for item in last.items) or last.where != "out":
        return None
    if amount is None or amount.value is None or amount.unit not in (*PRESSURES, None) or amount.high or amount.bound:
        return None
    told = (amount.unit is not None or clause.has("BE", "IT", "SAYS", "ISAT")) and (
        clause.when is None or clause.when.now
    )
    return say.Pressure(amount=amount) if told and _only(clause, "amount when", "IT BE FILLER SAYS ISAT AT") else None


def _as_full(last: say.Level, clause: Clause) -> Intent | None:
    """ "grey is empty and black too": the other tank stands at the same; "the sensor says it is full, but it's half": as it is seen."""
    amount = clause.get("amount")
    if (
        last.basis == "sensor"
        and last.tank
        and clause.has("IT", "BE")
        and _only(clause, "amount", "IT BE ISAT FULLNESS FILLER")
    ):
        full = clause.word("FULLNESS")
        told = amount or (
            say.Amount(float(full.senses["FULLNESS"].value), "fraction", text=full.text) if full else None
        )
        able = told is not None and told.value is not None and told.unit in (*VOLUMES, "fraction", "percent")
        plain = amount is None or full is None or full.senses["FULLNESS"].value == "1"
        return replace(last, amount=told, basis="seen", nearly=False) if able and plain else None
    if len(clause.tanks) != 1 or clause.tanks == ("*",) or not _only(clause, "tanks", "TANKWORD TOO FILLER ART A"):
        return None
    besides = any(
        tok.has("TOO") or tok.text in ("too", "as well", "also") for piece in clause.pieces for tok in piece.toks
    )
    return replace(last, tank=clause.tanks[0], every=False) if besides else None


GOES_ON: dict[type[Intent], Callable[[Any, Clause], Intent | None]] = {
    say.Use: _another_use,
    say.SetTank: _another_size,
    say.Dump: _another_dump,
    say.Level: _as_full,
    say.Gear: _at_pressure,
    say.Service: _another_item,
}
"""What goes on from a meaning of each kind without saying again what was done."""
