"""What the clauses and sentences of a phrase share: a time said first, a sensor, an amount said last, an activity said once.

May import: chunks, intents, known_uses, rejoinders, returning, shared_uses, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.frames.shared_uses import shared_total, shares_of_total, shares_told
from grammar.frames.use_counts import ALL_OF_US, PERSONAL
from grammar.hearing.tokens import Tok, sense
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.chunks import Piece
from grammar.telling.in_all import measured_twice, whole_first
from grammar.telling.known_uses import USED, known_uses, used_too
from grammar.telling.returning import bare_absence, returned, to_be_back, to_return

_BY_EYE = frozenset("is are was were looks looked look see saw eye dipstick really actually".split())
"""Words that make the level after a sensor's one of its own: "the sensor says black is half, and grey is a third"."""


def joined(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """The meanings of a sentence with what they share."""
    made = measured_twice(whole_first(made))
    made = shares_told(shares_of_total(one_stay(spoken_of(done_there(made, parts))), parts))
    made = shared_unit(shared_readings(shared_activity(around(distinct(made)))))
    told = shared_sensor(shared_total(made, parts), parts)
    return known_uses(shared_time(shared_by_all(shared_person(shared_subject(told, parts), parts), parts), parts))


def done_there(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """ "shower 2 gal at Heron Bend": where it was done, and no arrival there; behind a comma, or with more told of the place, it is one."""
    found: list[Intent] = []
    for one in made:
        bare = isinstance(one, say.Arrive) and replace(one, site=None, when=None, named=False, text="") == say.Arrive()
        if not (found and bare and isinstance(one, say.Arrive) and _runs_on(one, parts)):
            found.append(one)
        elif one.when is not None and found[-1].when is None:
            found[-1] = replace(found[-1], when=one.when)
    return found


def _runs_on(one: say.Arrive, parts: Sequence[Piece]) -> bool:
    """Whether "at" and the place follow what was done without a break or a verb of their own."""
    at_once = one.text.casefold().removeprefix("at ").startswith((one.site or "").casefold())
    here = next((n for n, piece in enumerate(parts) if _names(piece, one.site)), 0)
    at = here > 1 and (parts[here - 1].has("AT", "PREP") or parts[here - 1].toks[-1].text.endswith(" at"))
    return at_once and at and not parts[here - 2].has(*_BREAKS)


def _names(piece: Piece, site: str | None) -> bool:
    return any(tok.has("SITE") and tok.senses["SITE"].value == site for tok in piece.toks)


_BREAKS = ("AND", "THEN", "COMMA", "STOP")


def one_stay(made: list[Intent]) -> list[Intent]:
    """ "booked an extra 3 nights, so out on Wednesday the 17th": the day says in full what the nights say."""
    stays = [one for one in made if isinstance(one, say.Stay)]
    dated = [one for one in stays if one.until is not None]
    if len(stays) != 2 or len(dated) != 1:
        return made
    return [one for one in made if not isinstance(one, say.Stay) or one is dated[0]]


def spoken_of(made: list[Intent]) -> list[Intent]:
    """ "the black tank is empty, dumped it at 2", "…, the valve is open": the tank that was just looked at. "…, the valve was open" only
    tells how it came to be so. What is rinsed, and dumped after it, is the tank that was dumped."""
    found: list[Intent] = []
    for one in made:
        last = found[-1] if found else None
        if isinstance(one, say.Valve) and one.tank is None and isinstance(last, say.Level):
            if _WAS.isdisjoint(one.text.casefold().split()):
                found.append(replace(one, tank=last.tank))
            continue
        if isinstance(one, say.Rinse) and one.tank is None and isinstance(last, say.Dump) and len(last.tanks) == 1:
            one = replace(one, tank=last.tanks[0])
        if isinstance(one, say.Valve) and one.tank is None and isinstance(last, say.Dump) and len(last.tanks) == 1:
            if not _WAS.isdisjoint(one.text.casefold().split()):
                continue
            one = replace(one, tank=last.tanks[0])  # "dumped grey, the valve is closed again"
        looked_at = isinstance(last, say.Level | say.Rinse | say.Valve) and last.tank in ("grey", "black")
        bare = isinstance(one, say.Dump) and not one.tanks and not one.every
        if isinstance(one, say.Dump) and bare and one.it and isinstance(last, say.Dump) and len(last.tanks) == 1:
            one = replace(one, tanks=last.tanks, it=False)
        elif looked_at and bare and isinstance(one, say.Dump) and (one.it or isinstance(last, say.Rinse)):
            one = replace(one, tanks=(last.tank,), it=False)  # type: ignore[union-attr]
        found.append(one)
    return found


_WAS = frozenset(("was", "were", "been"))


def shared_activity(made: list[Intent]) -> list[Intent]:
    """ "I used 2 gallons and Ana used 3 in the shower": both in the shower."""
    last = made[-1]
    if not isinstance(last, say.Use) or last.activity is None or len(made) < 2:
        return made
    if not all(isinstance(one, say.Use) and one.amount is not None for one in made):
        return made
    bare = [one for one in made[:-1] if isinstance(one, say.Use) and one.activity is None and not one.unknown_activity]
    named = last.people or any(isinstance(one, say.Use) and one.people for one in bare)
    named = named or _in_one_unit(bare, last)
    if len(bare) != len(made) - 1 or not named:
        return made
    return [replace(one, activity=last.activity) for one in (*bare, last)]


def _in_one_unit(bare: Sequence[say.Use], last: say.Use) -> bool:
    """ "we used 2 and 3 gal showering": numbers whose unit comes with the last of them."""
    assert last.amount is not None
    amounts = [one.amount for one in bare]
    first = last.text.casefold().startswith(last.amount.text.casefold())
    return first and last.amount.unit is not None and all(one is not None and one.unit is None for one in amounts)


_UNITS = ("litre", "gallon", "imperial_gallon")


def shared_unit(made: list[Intent]) -> list[Intent]:
    """ "cooked with 2 litres, washed up with 4": the one unit that was said goes for the bare numbers beside it."""
    if len(made) < 2:
        return made
    uses = [one.amount for one in made if isinstance(one, say.Use) and one.amount is not None]
    said = {amount.unit for amount in uses if amount.unit is not None}
    if len(said) != 1 or not said <= set(_UNITS) or len(uses) < 2:
        return made
    unit = said.pop()
    return [
        replace(one, amount=replace(one.amount, unit=unit))
        if isinstance(one, say.Use)
        and one.amount is not None
        and one.amount.value is not None
        and one.amount.unit is None
        else one
        for one in made
    ]


def shared_readings(made: list[Intent]) -> list[Intent]:
    """ "meter 1.4 before, 3.2 after, cooking and dishes": how much of it each took was not said."""
    first = made[0]
    rest = made[1:]
    if not isinstance(first, say.Use) or first.before is None or first.after is None or not rest:
        return made
    if not first.text.casefold().startswith(("meter", "the meter")) or not all(unmeasured(one) for one in rest):
        return made
    reading = say.ReadMeter(reading=first.after, when=first.when, text=first.text)
    uses = [replace(one, before=None, after=None, amount=say.Amount(None)) for one in made if isinstance(one, say.Use)]
    return [*uses, reading]


def around(made: list[Intent]) -> list[Intent]:
    """ "washed dishes, meter 12.1 before and 13.3 after": one use between two readings."""
    kept: list[Intent] = []
    for one in made:
        use, first = (kept[-2], kept[-1]) if len(kept) > 1 else (None, None)
        if (
            isinstance(one, say.ReadMeter) and isinstance(first, say.ReadMeter) and isinstance(use, say.Use)
            and unmeasured(use) and (first.moment, one.moment) == ("before", "after")
        ):  # fmt: skip
            kept[-2:] = [replace(use, before=first.reading, after=one.reading)]
        else:
            kept.append(one)
    return kept


def shared_sensor(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """ "sensors: fresh 2/3, grey 1/3": what stands first goes for all."""
    if not any(isinstance(one, say.Level) for one in made):
        return made
    head = next((piece for piece in parts if not is_empty(piece)), None)
    told = head is not None and head.has("SENSOR")
    found: list[Intent] = []
    for one in made:
        if isinstance(one, say.Level):
            told = told or one.basis == "sensor"
            own = not found or not _BY_EYE.isdisjoint(one.text.casefold().split())
            against = any(isinstance(other, say.Level) and other.tank == one.tank for other in found)
            if told and not against and (not own or (head is not None and head.has("SENSOR"))):
                one = replace(one, basis="sensor")
        found.append(one)
    return found


def distinct(made: list[Intent]) -> list[Intent]:
    """The meanings without repetitions of one that cannot happen twice ("turned city water off and the pump on")."""
    kept: list[Intent] = []
    for one in made:
        plan = kept[-1] if kept else None
        if isinstance(one, say.Stay) and isinstance(plan, say.Expect) and plan.what == "party" and plan.until is None:
            kept[-1] = replace(plan, until=one.until)  # "guests arrive Friday, leaving Sunday": they leave
            continue
        if isinstance(one, say.Party) and isinstance(plan, say.Use) and one.text.casefold().strip("() ") in _ALONE:
            continue  # "flushed (just me)": who did it, not who is aboard
        if isinstance(one, say.Party) and isinstance(plan, say.Expect) and plan.what == "party" and plan.more:
            until = plan.until or one.until  # "Jo visits until Friday, so we are three"
            stays = replace(plan, people=one.people, more=False, until=until)
            kept[-1] = replace(one, until=until) if plan.start is None else stays
            continue
        if isinstance(plan, say.ReadMeter) and isinstance(one, say.ReadMeter) and _closes(plan, one):
            kept[-1] = say.Use(
                activity=plan.activity or one.activity, people=plan.people or one.people, before=plan.reading,
                after=one.reading, when=one.when or plan.when, text=f"{plan.text} {one.text}",
            )  # fmt: skip
            continue
        if isinstance(one, say.Back) and one.to_come and not isinstance(plan, say.Away):
            return [say.NotAReport(why="intention", text=one.text)]
        if isinstance(plan, say.Away | say.Depart) and isinstance(one, say.Back) and returned(plan, one):
            kept[-1:] = [one] if plan.when is None else [say.Away(when=plan.when, text=plan.text), one]
            continue
        if isinstance(plan, say.Away) and isinstance(one, say.Back) and (one.to_come or to_be_back(plan, one)):
            kept[-1] = replace(plan, until=plan.until or one.when)  # "heading out, back around three"
            continue
        if (
            isinstance(plan, say.Away)
            and isinstance(one, say.Away)
            and one.text.casefold().startswith(("back", "home", "be back"))
        ):
            kept[-1] = replace(plan, until=plan.until or one.until)  # "gone to the beach, back by 4"
            continue
        if isinstance(plan, say.Expect) and plan.what == "absence" and (end := to_return(plan, one)) is not None:
            kept[-1] = replace(plan, until=end)  # "away Friday, back by bedtime"
            continue
        if isinstance(plan, say.Away) and isinstance(one, say.Away) and bare_absence(one):
            continue  # "away all day Thursday, so nobody will be on the bus"
        if isinstance(plan, say.ReadMeter) and isinstance(one, say.ResetSomething) and one.it:
            kept.append(say.ResetMeter(meter=plan.meter, when=one.when, text=one.text))  # "meter 22.5, then reset it"
            continue
        if isinstance(one, say.Dump) and isinstance(plan, say.Level) and _emptied(plan, one):
            kept[-1] = one  # "everything's empty, just dumped both"
            continue
        if isinstance(plan, say.Dump) and isinstance(one, say.Level) and _emptied(one, plan):
            continue  # "dumped grey, it is empty"
        if isinstance(plan, say.Dump) and isinstance(one, say.Level) and plan.text.casefold().find("station") >= 0:
            all_open = not plan.tanks and not plan.every and one.tank in ("grey", "black")
            if all_open and _emptied(one, replace(plan, tanks=(one.tank,))):  # type: ignore[arg-type]
                kept[-1] = replace(plan, tanks=(one.tank,))  # type: ignore[arg-type]
                continue  # "been to the dump station, black is empty"
        if isinstance(one, say.Supply | say.Valve | say.Dump | say.ResetMeter):
            bare = _as_sure(one)
            told = [n for n, other in enumerate(kept) if type(other) is type(one) and _as_sure(other) == bare]
            if told and not _once_more(one, kept[told[-1] + 1 :]):
                continue
        kept.append(one)
    return kept


def _once_more(one: Intent, between: Sequence[Intent]) -> bool:
    """Whether a tank that was dumped was dumped again: it was rinsed in between, or the words say so."""
    if not isinstance(one, say.Dump):
        return False
    said = f" {one.text.casefold()} "
    return any(isinstance(other, say.Rinse) for other in between) or any(f" {word} " in said for word in _AGAIN)


_AGAIN = ("again", "once more", "second time", "another time", "one more time", "third time", "anew", "afresh")


_ALONE = ("just me", "only me", "me only", "me alone", "just myself", "only myself", "by myself", "on my own")


def _as_sure(one: Intent) -> Intent:
    """ "hooked up, pump off": the one bears out the other."""
    return replace(one, text="", loose=False) if isinstance(one, say.Supply) else replace(one, text="")


def _emptied(level: say.Level, dump: say.Dump) -> bool:
    """Whether a level only says what a dump of the same tanks did."""
    empty = level.amount is not None and level.amount.unit == "fraction" and level.amount.value == 0
    same = level.tank in dump.tanks if level.tank is not None else bool(dump.tanks) or dump.every
    return empty and same and level.basis == "seen"


def shared_subject(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """ "Ana showered and did the dishes": a verb right after "and" has the same subject; so has what else was used ("Bo used 2 gal to shower
    and 1 gal to shave") or given."""
    if len(made) < 2:
        return made
    verbs = {
        piece.toks[0].text.split()[0]
        for n, piece in enumerate(parts)
        if n and parts[n - 1].has("AND") and any(one.form == "past" for one in piece.toks[0].senses.values())
    }
    used = any(piece.has("USE", "COST") and piece.toks[0].text in USED for piece in parts)
    found: list[Intent] = []
    for one in made:
        last = found[-1] if found else None
        if used and isinstance(one, say.Use) and isinstance(last, say.Use) and used_too(one, last):
            one = replace(one, people=last.people)
        if (
            isinstance(one, say.Use) and one.done and not one.people and not one.everyone
            and isinstance(last, say.Use) and last.done and last.people and one.text.casefold().split()[0] in verbs
        ):  # fmt: skip
            one = replace(one, people=last.people)
        found.append(one)
    return found


def shared_person(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """ "Ana: laundry 9 gal, dishes 1 gal": a name with a colon at the head goes for all uses after it that name nobody."""
    first, content = made[0], (piece for piece in parts if not is_empty(piece))
    head, after = next(content, None), next(content, None)
    if head is None or head.kind != "people" or after is None or not after.has("COLON"):
        return made
    if any(tok.text in ("i", "me", "we", "us", "both") for piece in parts for tok in piece.toks):
        return made  # "Ana: shower 2 gal, me: shower 3 gal"
    if not isinstance(first, say.Use) or any(isinstance(one, say.Use) and one.people for one in made[1:]):
        return made
    return [replace(one, people=first.people) if isinstance(one, say.Use) else one for one in made]


def shared_by_all(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """ "brushed teeth and washed face, both of us": who did it, at the head or the end, did all of what a person does for himself."""
    uses = [one for one in made if isinstance(one, say.Use)]
    content = [piece for piece in parts if not is_empty(piece) and not piece.has("COMMA", "AND", "STOP")]
    ends = [tok for piece in (*content[:1], *content[-1:]) for tok in piece.toks]
    pair = next((int(tok.senses["PAIR"].value or 2) for tok in ends if tok.has("PAIR")), None)
    if len(uses) < 2 or any(one.people for one in uses) or not (pair or any(tok.text in ALL_OF_US for tok in ends)):
        return made
    return [
        replace(one, count=pair, everyone=pair is None)
        if isinstance(one, say.Use)
        and (unmeasured(one) and one.done and one.count is None)
        and one.activity in (*PERSONAL, "toilet")
        else one
        for one in made
    ]


def shared_time(made: list[Intent], parts: Sequence[Piece]) -> list[Intent]:
    """A time at the very start of the phrase goes for all its clauses that have none of their own."""
    first = made[0].when
    if first is None or len(made) == 1:
        return made
    lead = next((piece for piece in parts if not is_empty(piece)), None)
    if lead is None or lead.kind != "when":
        return made
    return [one if one.when is not None else replace(one, when=first) for one in made]


def is_empty(piece: Piece) -> bool:
    return piece.kind == "word" and piece.toks[0].has("FILLER", "SELF", "WATER") and not piece.has("PAIR", "GROUP")


def unmeasured(meaning: Intent) -> bool:
    return isinstance(meaning, say.Use) and meaning.amount is None and meaning.before is None and meaning.after is None


def as_it(part: list[Tok]) -> list[Tok]:
    """ "Wiped the floor. Bucket was 5 litres": how much that took."""
    core = [n for n, tok in enumerate(part) if not tok.has("ART", "FILLER", "COMMA")]
    vessel = len(core) > 3 and part[core[0]].text in _VESSELS and part[core[1]].text in _HELD
    if not vessel or not all(part[n].has("NUMBER", "FRACTION", "UNIT", "ABOUT", "A", "STOP") for n in core[2:]):
        return part
    it, took = part[core[0]], part[core[1]]
    took = replace(took, text="used", senses=sense("USE", "use", "past"))
    return [replace(it, text="it", senses=sense("IT", "it")), took, *part[core[1] + 1 :]]


_VESSELS = frozenset("bucket bowl basin sink jug kettle pan pot tub sinkful bucketful bowlful dishpan".split())
_HELD = frozenset("was took held is".split())


def measured(found: list[Intent]) -> list[Intent]:
    """ "I showered. It used 2 gallons.": the amount in a sentence of its own."""
    kept: list[Intent] = []
    for one in found:
        last = kept[-1] if kept else None
        bare = (
            isinstance(one, say.Use) and one.activity is None and one.unknown_activity is None and not one.people
        ) or (isinstance(one, back.Fragment) and replace(one, amount=None, text="") == back.Fragment())
        amount: say.Amount | None = getattr(one, "amount", None) if bare else None
        if amount is not None and isinstance(last, say.Use) and unmeasured(last):
            kept[-1] = replace(last, amount=amount)
        elif amount is not None and isinstance(one, say.Use) and isinstance(last, say.Fill) and last.amount is None:
            kept[-1] = replace(last, amount=amount)  # "filled up, 118 litres went in"
        else:
            kept.append(one)
    return kept


def _closes(first: say.ReadMeter, second: say.ReadMeter) -> bool:
    """ "12.0 before washing up, 13.3 after": two readings that make one use."""
    named = {one.activity for one in (first, second) if one.activity is not None}
    return (
        (first.moment, second.moment) == ("before", "after")
        and len(named) == 1
        and {first.meter, second.meter} == {"inlet"}
    )
