"""Frames of use: what water was used for, by whom, how much.

May import: clause, deeds, chunks, intents, use_readings.
"""

from __future__ import annotations

import itertools

from grammar import intents as say
from grammar.frames.deeds import activity, did, done_or_planned, flushed_another, tells_of_deeds, with_water
from grammar.frames.use_counts import (
    a_whole_number,
    and_another,
    apiece,
    counted_besides,
    for_each,
    for_everyone,
    how_many,
    how_many_unknown,
    of_how_many,
    of_one_of_them,
    said_in_the_plural,
    so_often_each,
)
from grammar.frames.use_readings import readings, up_to
from grammar.intents import Amount, Intent
from grammar.lexicon import Sense, lexicon
from grammar.lightclass import replace
from grammar.pieces.clause import VOLUMES, Clause, frame
from grammar.pieces.piece_meanings import Counted, Length
from grammar.when import When


@frame(
    "use",
    "ACT counted",
    "amount counted when people duration repeat between since EACH TOTAL USE COST DO WASH FILL PUT TAKEAWAY MORE RUN GROUP PAIR SCENE METER "
    "THEREARE ON PARTICLE USAGE SANITISE LIKE AGAIN BYMETER NEW",
)
def use(clause: Clause) -> Intent | None:
    forms = {tok.senses["ACT"].form for tok in clause.words("ACT")}
    if not _told(clause, forms):
        return None
    if len(clause.people) > 1 and any(tok.text in ("he", "she") for tok in clause.words("SELF")):
        return None  # "Ana and Bo showered, she used 3": which of them that was is not said
    if len(clause.people) == 1 and clause.words("PAIR"):
        return None  # "we both showered, Ana 2 gal": and the other?
    if clause.has("TOO"):
        return None  # "shower 2 gal, Joss too", "…, me too": one each
    if clause.words("METER") or (clause.words("USAGE") and clause.get("amount") is None):
        return None
    if _two_deeds(clause) or and_another(clause) or _another_thing(clause):
        return None
    if not _likened(clause) or flushed_another(clause):
        return None
    loose = clause.get("amount")
    if loose is not None and loose.unit is None and loose.text.casefold().split()[-1:] in (["a"], ["an"]):
        return None  # "a shower plus a shave, 3 gal in all": one shave, no gallon
    name = activity(clause)
    counted, length = clause.get("counted"), clause.get("duration")
    if clause.words("THEREARE") and not _there_were(clause, name):
        return None
    if name is None or (length is not None and length.unit not in _SHORT):
        return None
    amount = clause.get("amount")
    made = [tok.text for tok in clause.words("DO")]
    if name not in _SERVED and ("fixed" in made or (amount is None and not _ONLY_SERVED.isdisjoint(made))):
        return None  # "fixed the toilet" took no water
    if amount is not None and amount.unit is not None and amount.unit not in _OF_WATER:
        return None
    if amount is not None and amount.unit is None and any(tok.text == "spent" for tok in clause.words("USE")):
        return None  # "spent 20 on laundry": gallons, minutes or money?
    here = clause.index("amount")
    bare = amount is not None and amount.unit is None and amount.value is not None
    if bare and counted is not None and _of_another(clause, here):
        return None
    if bare and here > 0 and clause.pieces[here - 1].has("FOR"):
        amount = Amount(None)  # "a shower for two": people, and no gallons
    if amount is not None and amount.unit is None and amount.value is not None and not counted and _counts(clause):
        return None  # "3 shower" would be odd; a bare number before an activity counts it
    if amount is None and forms == {"thing"} and clause.get("between") is None and not with_water(clause):
        return None
    if name == "toilet" and amount is not None and amount.unit is None and not counted and a_whole_number(amount):
        return None  # "flush 2": two of them, or two gallons?
    if (
        amount is not None
        and amount.unit is None
        and amount.value is not None
        and not counted
        and said_in_the_plural(clause)
    ):
        return None  # "showers 5": five of them, or five gallons?
    served = name == "cooking" or any(tok.text.endswith("drinks") for tok in clause.words("ACT"))
    if amount is None and ((served and _eaten(clause)) or (name in _GROCERIES and _used_up(clause))):
        return None
    if amount is None and length is None and (_of_oneself(clause) or _bathed_somebody(clause, name)):
        amount = Amount(None)  # from a flannel to a shower it may have been anything
    count, when = how_many(clause, counted), _day(clause)
    if when is not None and when.period in ("week", "month", "year") and when.edge is None:
        return None  # "six showers this week": a sum, no event
    if count == 0 or (amount is not None and amount.unit is None and amount.high and _head_is(clause, "PUT")):
        return None
    said = counted.amount if counted and counted.amount else amount
    amount, often = for_each(clause, said), so_often_each(clause, count)
    if often and (count or 0) > 1 and said is not None and amount is not None and amount.each and not said.each:
        amount = Amount(None)  # "two showers each, 2 gal": for one, or for two of them?
    everyone = often or (count is None and (for_everyone(clause) or apiece(clause, amount)))
    shared = _shared(clause)
    count = 1 if shared and count is None else count
    several = not everyone and how_many_unknown(clause, count, amount)
    if several and (amount is None or not amount.each or amount.value is None):
        amount, several = Amount(None), False
    if often and of_how_many(clause):
        everyone, several = False, True
    before, after = clause.get("between") or (None, None)
    if before is not None and amount is not None and of_one_of_them(clause):
        return None
    if before is not None and after is not None and amount is not None and amount.each and count:
        comes_to = count * (amount.value or 0)  # "laundry from 10 to 26, two loads, 8 each"
        agrees = abs((after.value or 0) - (before.value or 0) - comes_to) < 0.02 * (after.value or 0)
        amount, before, after = (None, before, after) if agrees else (Amount(None), None, None)
    if before is None and amount is not None and readings(amount):
        before, after = replace(amount, high=None), Amount(amount.high)
        amount = None
    elif before is None and amount is not None and amount.value is not None and amount.unit is None and up_to(clause):
        if amount.value == int(amount.value):
            return None  # "shower to 3" may have been "shower two, three"
        after, amount = amount, None
    return say.Use(
        activity=name, amount=amount, count=count or None, people=clause.people, minutes=_minutes(counted, length), before=before,
        after=after, done=done_or_planned(clause, forms, when), everyone=everyone, several=several, when=when, like=clause.value("LIKE"),
    )  # fmt: skip


_OF_WATER = VOLUMES | {"fraction"}


def _of_another(clause: Clause, here: int) -> bool:
    """ "Bo 3 flushes, me 2": whose number it is stands before it, after a joiner."""
    before = clause.pieces[max(0, here - 2) : here]
    return (
        len(before) == 2
        and before[0].has("COMMA", "AND", "BUT")
        and (before[1].kind == "people" or before[1].has("SELF", "PRONOUN"))
    )


def _of_oneself(clause: Clause) -> bool:
    return any(tok.text == "washed oneself" for tok in clause.words("ACT"))


def _bathed_somebody(clause: Clause, name: str) -> bool:
    """ "gave Biscuit a bath": a dog or a boy, in a bowl or a tub."""
    gave = name == "bath" and any(tok.text == "gave" for tok in clause.words("DO"))
    return gave and any(all(one.cls != "KIN" for one in _senses(who)) for who in clause.people)


def _senses(name: str) -> tuple[Sense, ...]:
    found: tuple[Sense, ...] = lexicon().spellings.get(tuple(name.casefold().split()), ())
    return found


def _another_thing(clause: Clause) -> bool:
    """ "washed the dog 3 gal and the bikes": what stands behind the amount is none of what took it."""
    if len(clause.words("ACT")) < 2:
        return False
    here = clause.index("amount")
    before = {piece.toks[0].senses["ACT"].value for piece in clause.pieces[: max(0, here)] if piece.has("ACT")}
    return (
        any(
            joiner.has("AND")
            and thing.has("ACT")
            and thing.toks[0].senses["ACT"].form == "thing"
            and thing.toks[0].senses["ACT"].value not in before
            for joiner, thing in itertools.pairwise(clause.pieces[here + 1 :])
        )
        if here > 0 and before
        else False
    )


def _one_for_each(clause: Clause) -> bool:
    """ "a coffee for Ana and a coffee for me": two of it, and not hers alone."""
    said = clause.words("ACT")
    again = len(said) + len(clause.all("counted")) > 1
    twice = again and len({tok.senses["ACT"].value for tok in said}) == 1
    return twice and bool(clause.people) and clause.has("FOR") and clause.has("AND", "COMMA")


def _two_deeds(clause: Clause) -> bool:
    """ "filled the coffee pot and did the dishes": each with its own verb. "showered and the dog": what was showered is no dog."""
    if _one_for_each(clause):
        return True
    if not clause.has("AND", "THEN", "COMMA") or not tells_of_deeds(clause):
        return False
    if any(one.form == "past" for tok in clause.words("WASH") for one in tok.senses.values()) and not clause.has(
        "WITH"
    ):
        others = [tok for tok in clause.words("ACT") if not tok.has("WASH")]
        if others and all(tok.senses["ACT"].form == "past" for tok in others) and clause.get("counted") is None:
            return True  # "brushed, flushed"
    if _done_besides(clause) or counted_besides(clause):
        return True
    deeds: list[set[str]] = [set()]
    verbs = [False]
    done: set[str] = set()
    for n, piece in enumerate(clause.pieces):
        if piece.has("AND", "THEN", "COMMA"):
            deeds.append(set())
            verbs.append(False)
        elif piece.has("ACT"):
            named = piece.toks[0].senses["ACT"]
            if _measured_apart(clause, n) and named.form != "thing" and any(verbs):
                return True  # "hosed the bikes down, dishes 1 gal"
            if len(deeds) > 1 and done and named.form == "thing" and named.value not in done:
                return True
            deeds[-1].add(piece.toks[0].text)
            if named.form == "past":
                verbs[-1] = True
                done |= {named.value} - {"cleaning"}  # which takes any thing
        elif piece.has("DO", "WASH", "FILL", "PUT", "PUTAWAY") and any(
            one.form == "past" for one in piece.toks[0].senses.values()
        ):
            verbs[-1] = True
    return sum(bool(deed) and verb for deed, verb in zip(deeds, verbs, strict=True)) > 1


def _done_besides(clause: Clause) -> bool:
    """ "shower 2 gal, washed the dog": what was done behind the amount has a verb of its own, and is another thing than what took it."""
    here = max(clause.index(kind) for kind in ("amount", "repeat"))
    before = {piece.toks[0].senses["ACT"].value for piece in clause.pieces[: max(0, here)] if piece.has("ACT")}
    behind = clause.pieces[here + 1 :] if before else []
    borders = ("COMMA", "AND", "THEN", "BUT", "AFTER", "BEFORE")
    rest = behind[next((n for n, piece in enumerate(behind) if piece.has(*borders)), len(behind)) :]
    done = any(
        piece.has("WASH", "DO") and any(one.form == "past" for one in piece.toks[0].senses.values()) for piece in rest
    )
    return done and any(piece.has("ACT") and piece.toks[0].senses["ACT"].value not in before for piece in rest)


def _measured_apart(clause: Clause, n: int) -> bool:
    """Whether what is named at a piece stands between a comma and an amount of its own."""
    after = clause.pieces[n + 1] if n + 1 < len(clause.pieces) else None
    return n > 0 and clause.pieces[n - 1].has("COMMA") and after is not None and after.kind == "amount"


def _likened(clause: Clause) -> bool:
    """Whether "same" and "as yesterday" go together: at most one of a kind, and nothing measured or dated beside them."""
    like, again = clause.words("LIKE"), [tok for tok in clause.words("AGAIN") if not tok.has("LIKE")]
    if not like:
        return not again
    return len(like) == 1 and not clause.has("METER") and clause.get("amount") is None and clause.when is None


def _eaten(clause: Clause) -> bool:
    """ "we had pancakes" tells of a meal, not of water."""
    verbs = [tok for tok in clause.words("DO") if tok.senses["DO"].form == "past"]
    return (
        bool(verbs)
        and all(tok.text in ("had", "enjoyed", "got", "grabbed", "finished") for tok in verbs)
        and not any(tok.senses["ACT"].form == "past" for tok in clause.words("ACT"))
    )


_SERVED = ("cooking", "coffee", "drinking", "pets", "dishes", "other")
_ONLY_SERVED = frozenset(
    ("fixed", "prepared", "prepped", "mixed", "mixed up", "brewed", "boiled", "whipped up", "rustled up")
)
_GROCERIES = ("coffee", "drinking", "cooking")


def _used_up(clause: Clause) -> bool:
    """ "we finished the coffee": there is none left; nothing tells that any was made."""
    return any(
        tok.text in ("finished", "have finished", "just finished", "are done with", "done with")
        for tok in clause.words("DO")
    )


def _day(clause: Clause) -> When | None:
    """The time, also as "from yesterday evening"; what is told "since yesterday evening" was at any time from then on."""
    piece = next((piece for piece in clause.pieces if piece.kind == "since"), None)
    if clause.when is not None or piece is None:
        return clause.when
    since: When = piece.value
    return replace(since, since=piece.toks[0].text.split()[-1] == "since")


_SHORT = ("second", "minute", "hour")


def _told(clause: Clause, forms: set[str]) -> bool:
    """Whether the words report a use: a verb of the past, or a noun with an amount, a count, a time or a person beside it."""
    done, amount = did(clause), clause.get("amount")
    if not (
        amount or clause.get("counted") or clause.get("repeat") or done or clause.when or clause.people or "past" in forms
        or clause.word("LIKE") or clause.get("duration") or clause.get("between") or (clause.word("GROUP") and "past" in forms)
        or (clause.word("PAIR") and forms <= {"noun"})
    ):  # fmt: skip
        return False
    if (
        forms
        and forms <= {"thing"}
        and not done
        and (amount is None or (clause.has("RIG") and not clause.has("FOR", "WASH")))
    ):
        return False  # "it's a van, 45 litres": no word tells that it was washed
    if forms == {"thing"} and not done and _was_on(clause):
        return False
    moved = amount is None and bool(forms) and clause.word("TAKEAWAY") is not None and clause.word("WASH") is None
    if moved and (forms <= {"thing"} or clause.pieces[-1].toks[0].text in ("in", "down", "away", "off", "out", "up")):
        return False  # "took the awning down", "took the dishes in"
    if clause.word("USE", "pres", "base") is not None and not done:
        return False  # "a shower takes 2 gallons" says what is usual, not what happened
    put = clause.word("PUT")
    if put is not None and clause.word("WASH") is None and _into_the_rig(clause):
        return False  # "added 20 gal to the truck": nothing was washed
    if put is not None and amount is None and not (put.has("DO") and not clause.has("PARTICLE")):
        return False  # "put the dishes away"
    if "base" in forms and not clause.word("USE", "past"):
        return forms == {"base"} and amount is not None and amount.unit is not None and not clause.words("SELF")
    verbs = (
        "ing" in forms or clause.word("WASH", "base", "ing") is not None or clause.word("DO", "base", "ing") is not None
    )
    return not verbs or amount is not None or done


def _there_were(clause: Clause, name: str | None) -> bool:
    """ "there were two flushes overnight": that they were, and no rain and no number of what is left."""
    past = all(tok.text in ("there was", "there were") for tok in clause.words("THEREARE"))
    counted = clause.get("counted") is not None and (name == "toilet" or clause.get("amount") is not None)
    return past and counted and not clause.has("LEFT", "LEFTOVER", "ROOM")


def _into_the_rig(clause: Clause) -> bool:
    return any(
        other.has("RIG") and one.toks[0].text in ("to", "in", "into")
        for one, other in itertools.pairwise(clause.pieces)
    )


def _shared(clause: Clause) -> bool:
    """ "the kids shared a bath": one, whoever sat in it."""
    return any(tok.text in ("shared", "split") for tok in clause.words("DO")) and not clause.has("EACH")


def _was_on(clause: Clause) -> bool:
    """ "(while) the pasta was on 2 gallons": how things stood, and nothing that was done to them."""
    pieces = clause.pieces
    return any(one.has("BE") and other.has("ON", "IN") for one, other in itertools.pairwise(pieces))


def _minutes(counted: Counted | None, length: Length | None) -> float | None:
    if length is not None:
        return length.seconds / 60
    return counted.minutes if counted else None


def _counts(clause: Clause) -> bool:
    here = clause.index("amount")
    return 0 <= here < len(clause.pieces) - 1 and clause.pieces[here + 1].has("ACT", "GROUP", "GUESTS", "PEOPLEWORD")


def _head_is(clause: Clause, cls: str) -> bool:
    return bool(clause.pieces) and clause.pieces[0].has(cls)


@frame("use of anything", "USE.past", "amount when people TOTAL SCENE GROUP PARTICLE BYMETER", rank=-1)
def use_bare(clause: Clause) -> Intent | None:
    amount, verb = clause.volume(), clause.word("USE", "past")
    if clause.when is not None and (clause.when.seconds or 0) > 0:
        return None  # "used 2 gal in 48 seconds": how fast, or how much
    if amount is None or (
        amount.unit is None and amount.value is not None and (verb is None or "used" not in verb.text)
    ):
        return None  # "ran two"
    return say.Use(amount=amount, people=clause.people, when=clause.when)


@frame("some water", "WATER", "amount when people DO SCENE", rank=-1)
def some_water(clause: Clause) -> Intent | None:
    """ "had some water with lunch": how much is asked."""
    amount = clause.get("amount")
    if amount is None or amount.value is not None or clause.word("DO", "past") is None:
        return None
    return say.Use(activity="drinking", amount=amount, people=clause.people, done=True, when=clause.when)


@frame("use of a new kind", "NEWACT", "amount when people USE COST duration TOTAL SCENE PARTICLE", rank=-1)
def use_new(clause: Clause) -> Intent | None:
    amount = clause.volume()
    if amount is None or len(clause.words("NEWACT")) != 1:
        return None
    return say.Use(unknown_activity=clause.value("NEWACT"), amount=amount, people=clause.people, when=clause.when)
