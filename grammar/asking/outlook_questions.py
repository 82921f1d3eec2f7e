"""Questions about what is to come: whether it lasts, how long, how much a day, how often there is something to do.

May import: asked, clause, intents, when.
"""

from __future__ import annotations

from grammar.asking.asked import beside_times, did, errand, one_tank, only, only_tanks, q, rule, unit_of, until_of
from grammar.frames.deeds import activity
from grammar.intents import Ask
from grammar.pieces.clause import VOLUMES, Clause
from grammar.pieces.piece_meanings import Length
from grammar.when import When


@rule("BUDGETQ QWORD")
def budget(clause: Clause) -> Ask | None:
    """ "how much can we use a day", "what's our daily budget": what holds until the end of the stay, or until then."""
    may = any(tok.text.split()[0] in _MAY for cls in ("AUX", "LEFT") for tok in clause.words(cls))
    daily = clause.has("PERDAY") or any(
        unit.endswith("/day") for unit in (unit_of(clause), clause.value("RATEUNIT")) if unit
    )
    daily = daily or any(tok.text == "daily" for tok in clause.words("HABIT"))
    used = clause.has("USE") or any("use" in tok.text for tok in clause.words("LEFT"))
    length = clause.get("duration")
    daily = daily or (used and length is not None and length.unit == "day" and length.number == 1)
    told = clause.has("BUDGETQ") and activity(clause) is None and not did(clause)
    asked = clause.has("QWORD", "SHOW", "AUX", "LEFT") or only(clause, "BUDGETQ")
    if not (told and asked) and not (daily and may and q(clause, "howmuch", "howmany", "what")):
        return None
    return Ask(topic="make_it", tank=one_tank(clause), until=until_of(clause), subject="budget")


_MAY = ("can", "may", "should", "could")


def _after(length: Length) -> When:
    """The moment that many days, or hours, from now."""
    if length.unit in ("second", "minute", "hour"):
        return When(seconds=length.seconds, text=f"{length.number:g} {length.unit}s")
    return When(whole_days=round(length.days), text=f"{length.number:g} {length.unit}s")


def _the_last(clause: Clause) -> bool:
    """ "what were the last three things", "last shower was three gallons": which, not whether it lasts."""
    lasts = clause.words("MAKEIT")
    if [tok.text for tok in clause.pieces[0].toks] == ["last"] and len(clause.pieces) > 1:
        return clause.pieces[1].kind not in ("until", "when", "duration")
    return (
        q(clause, "what", "when", "who")
        and bool(lasts)
        and all(tok.text == "last" for tok in lasts)
        and until_of(clause) is None
    )


WEAK = frozenset(
    (
        "good fine go hold reach reaching stay manage possible stretch cope cover doable feasible realistic safe wait camp"
    ).split()
)
"""Words for lasting that are more often about something else."""


_LEAVE = ("doable", "feasible", "possible", "realistic", "ok for", "okay for", "fine for", "all right for", "ok to", "okay to", "fine to",
    "alright to",     "all right to", "safe to", "manageable")  # fmt: skip


def asks_leave(clause: Clause) -> bool:
    """Whether it is asked if something may be done: "ok to …", "is … doable"."""
    return any(tok.text in _LEAVE for tok in clause.words("MAKEIT"))


def _of_something_else(clause: Clause) -> bool:
    """ "any good hikes around here": nothing is said of who lasts, what, or until when."""
    lasts = clause.words("MAKEIT")
    weak = bool(lasts) and all(tok.text in WEAK for tok in lasts)
    ours = clause.tanks or clause.has("SELF", "WATER", "WATERHERE", "IT", "TANKWORD", "MORE", "STAYEND", "LEAVINGQ")
    return weak and not ours and until_of(clause) is None and clause.get("duration") is None


def _held(clause: Clause) -> bool:
    """ "what do the tanks hold": what is in them."""
    holds = all(tok.text == "hold" for tok in clause.words("MAKEIT"))
    return q(clause, "what", "howmuch") and holds and clause.has("MAKEIT") and until_of(clause) is None


@rule("MAKEIT AUX FUTURE QMARK QWORD LEFT")
def make_it(clause: Clause) -> Ask | None:
    if _the_last(clause) or _of_something_else(clause) or _held(clause):
        return None
    if activity(clause) is not None and not clause.tanks and asks_leave(clause):
        return None  # "is a load of laundry on Saturday doable", "ok for me to do the dishes?"
    if (
        clause.pieces[0].has("AUX")
        and activity(clause) is not None
        and 0 <= clause.place("AND") < clause.place("MAKEIT")
    ):
        return None  # "can we do laundry on Friday and still make it"
    polar = (
        clause.pieces[0].has("AUX")
        and clause.index("until") >= 0
        and not clause.has("ACT", "ACTS", "GUESTS", "VISITOR", "RINSE")
    )
    lasts = (
        clause.when is not None
        and clause.when.which == "last"
        and clause.pieces[0].has("AUX", "FUTURE")
        and clause.when.count
    )
    tells = (
        clause.tanks
        and until_of(clause) is not None
        and clause.pieces[-1].has("QMARK")
        and only_tanks(Clause([piece for piece in clause.pieces if piece.kind not in ("until", "when")]))
    )  # "grey till Saturday noon?"
    early = clause.has("LEAVE", "DEPART", "LEAVINGQ") and any(
        tok.senses["LATER"].value == "early" for tok in clause.words("LATER")
    )
    if early and (clause.pieces[0].has("AUX", "FUTURE") or clause.pieces[-1].has("QMARK")):
        return Ask(topic="make_it", until=When(stay_end=True))  # "will we have to leave early"
    gets = (
        clause.pieces[0].has("AUX")
        and clause.when is not None
        and (
            any(tok.text == "get to" for tok in clause.words("ARRIVE"))
            or bool(clause.tanks and any(tok.text == "see" for tok in clause.words("SHOW")))  # "does grey see Saturday"
        )
    )
    room = (
        clause.has("ROOM", "ROOMQ")
        and (clause.pieces[0].has("AUX", "LEFT") or any(tok.text == "will" for tok in clause.words("AUX")))
        and (until_of(clause) is not None or clause.get("duration") is not None)
        and activity(clause) is None
        and not q(clause, "howmuch")
    )  # "will we still have room in grey on Friday"
    likely = q(clause, "chance") and until_of(clause) is not None and not clause.has("ACT", "ACTS", "DUMP")
    if (
        not beside_times(clause, "MAKEIT")
        and not polar
        and not lasts
        and not gets
        and not tells
        and not likely
        and not room
    ):
        return None
    until, length = until_of(clause), clause.get("duration")
    if q(clause, "howmuch", "where") or (q(clause, "howlong", "when", "howmany") and until is None):
        return None
    if until is None and isinstance(length, Length) and length.more and length.days >= 1 and clause.has(*_STAYING):
        return Ask(topic="make_it", tank=one_tank(clause), nights=length.days, subject="longer")
    if until is None and length is not None:
        until = _after(length)
    if until is not None and until.now and clause.has("ROOM", "ROOMQ") and not clause.has("MAKEIT"):
        return Ask(topic="status", tank=one_tank(clause))  # "room in grey now?"
    if until is not None and until.now:
        until = None  # "can we still make it now": the end of the stay is meant, and asked about anew
    site = clause.value("SITE") if until is None else None  # "can we make it to Cedar Flat"
    return Ask(topic="make_it", tank=one_tank(clause), until=until, site=site)


_AHEAD = (("TRIPSQ", "runs"), ("HAUL", "runs"), ("DUMP", "must dump"), ("DUMPINGQ", "must dump"), ("FILL", "must fill"))
_AS_NOUNS = {
    "dumps": "must dump",
    "dump runs": "must dump",
    "fills": "must fill",
    "refills": "must fill",
    "tote runs": "runs",
}


@rule("QWORD")
def so_often_ahead(clause: Clause) -> Ask | None:
    """ "how many tote runs till Sunday", "how often will we have to dump before we leave": what lies ahead, not what was done."""
    if not q(clause, "howmany", "howoften") or did(clause) or activity(clause) is not None:
        return None
    said = " ".join(tok.text for piece in clause.pieces for tok in piece.toks)
    errand = next((what for cls, what in _AHEAD if clause.has(cls)), None)
    errand = errand or next((what for noun, what in _AS_NOUNS.items() if f" {noun} " in f" {said} "), None)
    until = until_of(clause)
    ends = (clause.index("until") >= 0 and clause.get("since") is None) or clause.has("LEAVINGQ", "STAYEND")
    must = any(
        f" {word} " in f" {said} " for word in ("will", "have to", "need", "need to", "must", "should", "would", "take")
    )
    if errand is None or not (ends or must) or (until is not None and is_over(until)):
        return None
    if until is None and clause.has("LEAVINGQ", "STAYEND"):
        until = When(stay_end=True)
    return Ask(topic="make_it", subject=errand, until=until, tank=one_tank(clause))


_STAYING = ("STAY", "STAYING", "STRETCH")
"""Words with which "another night" is one on top of the stay, and not of now."""


@rule("STRETCH STAY LATER")
def stays_on(clause: Clause) -> Ask | None:
    """ "can we stretch the stay by two days", "could we stay longer": on top of the stay, or for how long at most."""
    opens = clause.pieces[0].has("AUX") and clause.has("SELF")
    if not opens or activity(clause) is not None or clause.tanks or clause.has("NEG", "DUMP", "FILL"):
        return None
    length = clause.get("duration")
    if clause.has("STRETCH") and isinstance(length, Length) and length.days >= 1:
        return Ask(topic="make_it", nights=length.days, subject="longer")
    plain = until_of(clause) is None and length is None and not clause.has("UNTIL", "MAKEIT")
    longer = any(tok.text in _LONGER for cls in ("STAY", "STRETCH", "LATER", "MORE") for tok in clause.words(cls))
    return Ask(topic="runway") if plain and longer else None


_LONGER = (
    "stay longer",
    "stay on",
    "longer",
    "a bit longer",
    "stick around",
    "hang around",
    "linger",
    "stretch the stay",
    "extend the stay",
)


@rule("QWORD DAYSLEFT TIMEUNIT")
def runway(clause: Clause) -> Ask | None:
    if any(tok.text == "been" for tok in clause.words("BE")) or clause.has("SINCE"):
        return None  # "how many days have we been here", "how long since we dumped"
    if q(clause, "what") and clause.has("TANKWORD", "TANK", "TANKS", "ONE") and _first(clause) and not did(clause):
        return Ask(topic="runway")  # "which tank packs up first"
    supply = _so_much(clause)
    if supply is not None:
        return supply
    if q(clause, "howlong") and clause.has("DO") and clause.has("SELF") and _asks_nights(clause):
        return Ask(topic="runway")  # "how many nights can we do"
    if _days_until(clause):
        return Ask(topic="runway", tank=one_tank(clause), subject=errand(clause) if one_tank(clause) is None else None)
    if clause.has("DAYSLEFT") or (
        (q(clause, "howlong", "when") or (q(clause, "what") and clause.has("RUNOUT") and not clause.has("DUMP")))
        and (
            clause.has(
                "RUNOUT",
                "FULLNESS",
                "DUMP",
                "FILL",
                "LAST",
                "MAKEIT",
                "LEFT",
                "HAUL",
                "TANK",
                "STAY",
                "DUMPINGQ",
                "WATER",
                "WATERHERE",
            )
        )
    ):
        tank = one_tank(clause)
        ours = tank is None and not clause.has("DAYSLEFT") and (clause.has("SELF", "LEFT") or errand(clause) == "dump")
        return Ask(topic="runway", tank=tank, subject=errand(clause) if ours else None)
    return None


def _asks_nights(clause: Clause) -> bool:
    """ "how many nights can we do": all that stands there."""
    asked = any(
        " " in tok.text and tok.text.split()[-1] in ("nights", "days", "weeks") for tok in clause.words("QWORD")
    )
    return asked and all(
        piece.has("QWORD", "AUX", "SELF", "DO", "FILLER", "QMARK", "MORE", "LEFT", "HAVE", "STAY", "TIMEUNIT")
        for piece in clause.pieces
    )


def _first(clause: Clause) -> bool:
    return any(tok.text.split()[-1] == "first" for piece in clause.pieces for tok in piece.toks)


def _so_much(clause: Clause) -> Ask | None:
    """ "how long will 100 gallons last the seven of us": of a supply as said, not of what is aboard."""
    said = [piece.value for piece in clause.pieces if piece.kind == "amount"]
    supply = next((one for one in said if one.unit in VOLUMES and one.value), None)
    lasts = any(tok.text.startswith("last") for tok in clause.words("MAKEIT")) or clause.has("DO")
    if supply is None or not q(clause, "howlong") or not lasts or clause.has("ACT", "ACTS", "RINSE", "TANK", "DUMP"):
        return None
    people = next((one.value for one in said if one.unit is None and one.value and clause.has("PEOPLEWORD")), None)
    return Ask(topic="runway", amount=supply, count=int(people) if people else None, subject="supply")


def _days_until(clause: Clause) -> bool:
    """ "days until grey full", "hours before fresh runs dry"."""
    first = clause.pieces[0]
    starts = first.has("TIMEUNIT") and len(clause.pieces) > 2 and clause.pieces[1].has("UNTIL", "BEFORE", "TO")
    if (
        first.has("TIMEUNIT")
        and clause.pieces[-1].has("LEFT", "LEFTOVER", "DEPART")
        and (clause.tanks or clause.has("WATER"))
    ):
        return True  # "hours of fresh left"
    return starts and clause.has("FULLNESS", "RUNOUT", "DUMP", "DUMPINGQ") and clause.get("amount") is None


def is_over(when: When) -> bool:
    """Whether a time lies behind whatever now is: "yesterday?", "last week?", "the last 3"."""
    return (when.day_offset or 0) < 0 or (when.which == "last" and not when.whole_days) or (when.seconds or 0) < 0
