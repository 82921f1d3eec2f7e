"""What a deed was: its verb and the things it was done to make the activity ("rinsed the razor", "watered the tomatoes", "filled the kettle").

May import: clause, when.
"""

from __future__ import annotations

import itertools

from grammar.hearing.tokens import Tok
from grammar.lexicon import Sense
from grammar.pieces.clause import Clause
from grammar.when import When

# Where two activities stand in one clause, the first of these names it ("gave the dog a bath" is for the dog).
FIRST = (
    "pets",
    "outside",
    "coffee",
    "teeth",
    "shave",
    "face",
    "handwash",
    "laundry",
    "dishes",
    "toilet",
    "bath",
    "shower",
    "cooking",
    "drinking",
)
# Where something was done, beside what was done there.
_PLACES = frozenset(["sink", "stove", "kitchen", "bathroom", "tub", "inside", "window", "basin"]) | {
    "kitchen sink",
    "bathroom sink",
    "shower stall",
}
# Meals tell when ("dishes (breakfast)").
_MEALS = frozenset("breakfast lunch dinner supper brunch".split())
VERBS = frozenset(("WASH", "DO", "USE", "COST", "FILL", "PUT", "TAKEAWAY", "SANITISE"))
_FILLS = frozenset(("WASH", "FILL"))

# Vessels in which something is cooked: what they took was for cooking, unless they were washed.
_COOKERS = frozenset("cooker steamer boiler".split())
_COOKING_POTS = frozenset(
    "instant crock stock stew soup pasta bean rice noodle porridge oatmeal chili curry cooking camp".split()
)
# What can be filled with water outside; a car or a boat that was filled had fuel.
_HOLD_WATER = frozenset(
    "pool pad balloon balloons gun guns pistol pistols soaker soakers basket baskets pot pots planter planters sprayer washer sprinkler "
    "bird birdbath toy toys cooler bucket buckets plant plants flowers herbs garden mould moulds outside".split()
)
# The parts of the body, rinsed: only with a razor is it a shave.
_LIMBS = frozenset("legs knees chin armpits underarms".split())


def did(clause: Clause) -> bool:
    """Whether the clause has a verb that tells of something done."""
    return any(
        tok.senses[verb].form == "past"
        and (verb != "COST" or tok.has("DO", "USE") or clause.get("amount") is not None)  # "shower needed"
        and (verb != "TAKEAWAY" or tok.text in ("took", "ran"))  # "rolled the awning in" used no water
        for verb in clause.among(VERBS)
        for tok in clause.words(verb)
    )


def done_or_planned(clause: Clause, forms: set[str], when: When | None) -> bool | None:
    """ "Washing the car on Saturday", "clean the rig on Sunday" may be a plan, "was washing it on Saturday" is none."""
    if did(clause) or "past" in forms:
        return True
    a_day = when is not None and when.weekday is not None and when.which != "last"
    verbs = {tok.senses[cls].form for cls in ("WASH", "DO") for tok in clause.words(cls)}
    doing = any(
        tok.text.split()[0].endswith("ing") and not tok.text.startswith(_DAYTIME) for tok in clause.words("ACT")
    )
    over = any(word in _OVER for piece in clause.pieces for tok in piece.toks for word in tok.text.split())
    if a_day and not over and (doing or not {"ing", "base"}.isdisjoint(verbs | forms)):
        return None
    return "ing" in forms


_DAYTIME, _OVER = ("morning", "evening"), frozenset("was were been had".split())


def _filled(clause: Clause) -> bool:
    return any(
        tok.text.startswith(("fill", "refill", "top")) for cls in clause.among(_FILLS) for tok in clause.words(cls)
    )


_INDOORS = frozenset("mopped mopping mop hoovered vacuumed dusted".split())


def activity(clause: Clause) -> str | None:
    """The one activity of the clause, or None when there is none or two that do not go together. A vessel that was filled does not tell
    what for: only a kettle or a coffee pot does."""
    counted, acts = clause.get("counted"), clause.words("ACT")
    if counted is None and not acts:
        return None
    if _filled(clause):
        name, known = _of_a_filling(acts)
        if known:
            return name
    named = _named(clause)
    if len(named) == 1 and _only_where(clause):
        return None
    if counted is not None:
        named = list(dict.fromkeys([counted.activity, *named]))
    if len(named) > 1:
        where = _where(clause)
        inside = {
            tok.senses["ACT"].value for tok in clause.words("ACT") if tok.text not in _PLACES and tok not in where
        }
        inside |= {counted.activity} if counted is not None else set()
        named = [name for name in named if name in inside] or named
    separate = len(named) > 1 and apart(clause)
    if len(named) > 1 and not separate:
        meals = all(tok.text in _MEALS for tok in clause.words("ACT") if tok.senses["ACT"].value == "cooking")
        named = [name for name in named if not (meals and name == "cooking")]
    if len(named) > 1:
        forms = {tok.senses["ACT"].value: tok.senses["ACT"].form for tok in clause.words("ACT")}
        verbs = [name for name in named if forms.get(name) in ("past", "ing", "base")]
        if any(tok.text in _INDOORS for tok in clause.words("ACT")):
            return "cleaning"  # "mopped the van floor"
        if "cleaning" in verbs or "drinking" in verbs:
            named = [name for name in named if name not in ("cleaning", "drinking")] or named
    if len(named) == 1:
        return named[0]
    by_hand = [name for name in named if name != "handwash"]
    if (
        len(named) == 2
        and by_hand in (["laundry"], ["dishes"])
        and any(tok.text in ("hand wash", "handwash", "hand washing", "hand-washing") for tok in clause.words("ACT"))
        and not _measured_between(clause)
    ):
        return by_hand[0]  # "laundry hand wash"
    pair = [name for name in FIRST if name in named]
    washed = set(named) == {"handwash", "face"} and clause.get("amount") is not None  # one wash, that took it all
    led = pair[:1] in (["pets"], ["outside"]) and not separate and not _two_things(clause)
    if len(named) == 2 and (washed or led or (len(pair) < 2 and not separate)):
        return pair[0] if pair else None
    return None


def apart(clause: Clause) -> bool:
    """ "breakfast and coffee", "the dog and a shower": two activities with an "and" between them, one of them no mere thing."""
    pieces = [piece for piece in clause.pieces if not piece.has("A", "FILLER", "ART", "ADJ")]
    for before, joiner, after in zip(pieces, pieces[1:], pieces[2:], strict=False):
        if joiner.has("AND") and before.has("ACT") and after.has("ACT"):
            one, other = before.toks[0].senses["ACT"], after.toks[0].senses["ACT"]
            if one.value != other.value and {one.form, other.form} != {"thing"}:
                return True
    return False


def _two_things(clause: Clause) -> bool:
    """ "washed the dog and the bikes": which of them took how much is not told; "hosed the dog by the steps" is one."""
    pieces = [piece for piece in clause.pieces if not piece.has("A", "FILLER", "ART", "ADJ")]
    return any(
        joiner.has("AND") and one.has("ACT") and other.has("ACT")
        and one.toks[0].senses["ACT"].form == other.toks[0].senses["ACT"].form == "thing"
        and one.toks[0].senses["ACT"].value != other.toks[0].senses["ACT"].value
        for one, joiner, other in zip(pieces, pieces[1:], pieces[2:], strict=False)
    )  # fmt: skip


def _measured_between(clause: Clause) -> bool:
    """ "washing up 7 litres, hand washing": two deeds."""
    acts = [n for n, piece in enumerate(clause.pieces) if piece.has("ACT")]
    return any(acts[0] < n < acts[-1] for n, piece in enumerate(clause.pieces) if piece.kind in ("amount", "counted"))


def _where(clause: Clause) -> list[Tok]:
    """ "washed my smalls in the bowl", "hosed the dog down by the steps": things that tell where another was washed."""
    pieces = clause.pieces
    return [
        piece.toks[0]
        for n, piece in enumerate(pieces)
        if n > 1 and piece.has("ACT") and piece.toks[0].senses["ACT"].form in ("thing", "noun")
        and piece.toks[0].text not in ("shower", "bath") and pieces[n - 1].kind == "word"
        and pieces[n - 1].toks[0].text in ("in", "at", "by", "on") and any(one.has("ACT") for one in pieces[: n - 1])
    ]  # fmt: skip


def _named(clause: Clause) -> list[str]:
    """The activities of the words, each as the verb of the clause has it."""
    acts = clause.words("ACT")
    if _washing(clause) is not None:
        pieces = clause.pieces
        beside = [n > 0 and pieces[n - 1].has("WASH", "PARTICLE") for n, one in enumerate(pieces) if one.has("ACT")]
        return list(dict.fromkeys([_washed(tok, near) for tok, near in zip(acts, beside, strict=True)]))
    watered = any(tok.text in ("watered", "gave") for tok in clause.words("DO"))
    found: list[str] = []
    for tok in acts:
        if watered and tok.senses["ACT"].value == "cooking" and tok.senses["ACT"].form == "thing":
            found.append("outside")  # "watered the tomatoes", "gave the tomatoes a litre"
        elif tok.senses["ACT"].value == "dishes" and _cooks(tok.text):
            found.append("cooking")  # "the pressure cooker took two quarts"
        else:
            found.append(tok.senses["ACT"].value)
    return list(dict.fromkeys(found))


def _washing(clause: Clause) -> Tok | None:
    """The verb of washing, if that is what was done."""
    return None if _filled(clause) else clause.word("WASH")


def _washed(tok: Tok, beside: bool) -> str:
    """What washing a thing was: "washed the bottles", "scrubbed the bathtub", "rinsed my legs". `beside`: it stands right after the verb."""
    one: Sense = tok.senses["ACT"]
    if one.form == "past":
        return one.value  # "rinsed, flushed": a deed of its own, and nothing that was rinsed
    if one.form == "thing" and one.value in ("drinking", "coffee"):
        return "dishes"
    if one.form == "thing" and tok.text in _LIMBS:
        return "outside"
    if tok.text == "kitchen":
        return "cleaning"
    if one.value == "toilet" or (
        one.value in ("bath", "shower") and one.form == "noun" and beside and " " not in tok.text
    ):
        return "cleaning"
    return one.value


def _cooks(text: str) -> bool:
    words = text.split()
    return words[-1] in _COOKERS or (len(words) == 2 and words[1] == "pot" and words[0] in _COOKING_POTS)


def _of_a_filling(things: list[Tok]) -> tuple[str | None, bool]:
    """What filling things was for, and whether that is all that can be said of it: nothing for a bowl, cooking for a pasta pot."""
    if not all(tok.senses["ACT"].form == "thing" for tok in things):
        return None, False
    values = {tok.senses["ACT"].value for tok in things}
    if values == {"dishes"}:
        if any(tok.text.startswith(("coffee", "tea")) for tok in things):
            return "coffee", True
        return ("cooking", True) if all(_cooks(tok.text) for tok in things) else (None, True)
    if values == {"outside"} and not all(set(tok.text.split()) & _HOLD_WATER for tok in things):
        return None, True
    return None, False


def _only_where(clause: Clause) -> bool:
    """ "washed them in the sink": where, not what."""
    pieces = clause.pieces
    return all(tok.text in _PLACES for tok in clause.words("ACT")) and all(
        n and pieces[n - 1].has("IN", "AT") for n, piece in enumerate(pieces) if piece.has("ACT")
    )


# What was done to a thing, besides washing it, that takes water without more being said.
_MADE = frozenset("made boiled did prepared brewed prepped mixed fixed".split()) | {
    "whipped up", "rustled up", "threw together", "put on", "mixed up",
}  # fmt: skip
_WET: dict[str, frozenset[str]] = {
    "cooking": _MADE,
    "coffee": _MADE | {"had", "enjoyed", "got", "grabbed"},
    "drinking": _MADE | {"had", "enjoyed"},
    "pets": frozenset(["watered", "did"]),
    "outside": frozenset(["watered"]),
    "dishes": frozenset(["did", "finished", "got done with", "done", "finished with", "just finished", "done with"]),
    "laundry": frozenset(["did", "finished", "got done with", "done", "ran", "just finished"]),
    "cleaning": frozenset(["did", "finished", "done", "just finished"]),
    "teeth": frozenset(["did", "done"]),
}
_DRY = frozenset("brushed polished".split())


def with_water(clause: Clause) -> bool:
    """Whether what was done to a thing takes water, where no amount was said: "rinsed the boots", "watered the plants", but not "put on my
    boots", "took the bikes out", "brushed the dog", "used three towels"."""
    name = activity(clause)
    washed = clause.word("WASH", "past")
    if washed is not None and not _filled(clause):
        return washed.text not in _DRY or name == "teeth"
    if _filled(clause):
        return name in ("drinking", "coffee", "pets", "outside", "cooking") or (
            name == "laundry" and clause.has("WATER")
        )
    if clause.has("WATER", "SANITISE"):
        return True
    return any(tok.text in _WET.get(name or "", ()) for tok in clause.words("DO"))


_OF_DEEDS = frozenset(("ACT", "DO", "WASH", "FILL", "PUT", "PUTAWAY"))


def tells_of_deeds(clause: Clause) -> bool:
    """Whether any verb tells of something that was done."""
    return any(
        one.form == "past"
        for cls in clause.among(_OF_DEEDS)
        for tok in clause.words(cls)
        for one in tok.senses.values()
    )


def flushed_another(clause: Clause) -> bool:
    """ "flushed the radiator": no toilet."""
    if len(clause.words("ACT")) < 2:
        return False
    acts = [n for n, piece in enumerate(clause.pieces) if piece.has("ACT")]
    return any(
        other == one + 1
        and clause.pieces[one].toks[0].text == "flushed"
        and clause.pieces[other].toks[0].senses["ACT"].form == "thing"
        and clause.pieces[other].toks[0].senses["ACT"].value != "toilet"
        for one, other in itertools.pairwise(acts)
    )
