"""Frames of where the rig is, who is aboard and what is to come: arrivals, stays, departures, stops.

May import: clause, chunks, intents.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.clause import Clause, frame
from grammar.when import When

HOOKED = frozenset(
    (
        "hooked up",
        "all hooked up",
        "hooked up again",
        "hooked back up",
        "got hooked up",
        "everything hooked up",
        "everything is hooked up",
        "all is hooked up",
    )
)
"""Said of the whole rig, without to what."""
HOOKS = "BUT WATERHERE SEWERHERE FULLHOOK NOHOOK PARTHOOK SEWERONLY NOSEWER NOWATER ELECTRIC HOOKUP BOTH SITEWORD THEREARE HAVE"


def hookups(clause: Clause) -> tuple[bool | None, bool | None]:
    """Water and sewer as said: True, False, or None where nothing was said."""
    if clause.word("FULLHOOK"):
        return True, True
    if clause.word("NOHOOK"):
        return False, False
    if clause.word("PARTHOOK"):
        return True, False
    if clause.word("SEWERONLY"):
        return False, True
    water = True if clause.word("WATERHERE") or _has_water(clause) else False if clause.word("NOWATER") else None
    sewer = True if clause.word("SEWERHERE") else False if clause.word("NOSEWER") else None
    return water, sewer


def _has_water(clause: Clause) -> bool:
    """ "campground water", "city water" beside a place."""
    return any("water" in tok.text for tok in clause.words("HOOKUP")) and not clause.has("NOWATER", "NEG")


def until_of(clause: Clause) -> When | None:
    """The end: after "till", or after "leaving"; a time beside it only if there is a verb of leaving."""
    until = clause.get("until") if clause.index("until") >= 0 else None
    if until is None and clause.word("LEAVE") is not None:
        return next((piece.value for piece in clause.pieces[clause.place("LEAVE") :] if piece.kind == "when"), None)
    return until


def nights(clause: Clause) -> float | None:
    length = clause.get("duration")
    return length.days if length is not None and length.unit in ("day", "night", "week", "fortnight", "month") else None


def around(clause: Clause) -> When | None:
    """ "around two", "about half past"… an hour, where nothing is counted."""
    amount = clause.get("amount")
    if (
        amount is None
        or clause.index("amount") < 0
        or not amount.approx
        or amount.unit is not None
        or amount.high is not None
    ):
        return None
    whole = amount.value is not None and amount.value == int(amount.value) and 1 <= amount.value <= 12
    return When(hour=int(amount.value or 0), minute=0) if whole else None


def _at_hour(times: list[When], hour: When) -> When:
    """The hour on the day that was said beside it."""
    return replace(times[0], hour=hour.hour, minute=0) if times else hour


def moment(clause: Clause) -> When | None:
    """The time of the clause, "around two" among them."""
    hour = around(clause)
    return _at_hour(clause.all("when"), hour) if hour is not None else clause.when


def _bare_arrival(clause: Clause) -> bool:
    """ "arrived", "have arrived", "parked at the site"; but not "we are at", "got in from a run"."""
    tok = clause.word("ARRIVE")
    here = clause.place("ARRIVE")
    timed = clause.pieces[here + 1 : here + 2]
    at_an_hour = tok is not None and tok.text == "arrived at" and bool(timed) and timed[0].kind == "when"
    return (
        clause.word("SITEWORD") is not None
        or at_an_hour
        or (tok is not None and tok.text.split()[-1] in ("arrived", "up", *_HERE) and not clause.has("PREP"))
    )


def _from_then_on(clause: Clause) -> Intent | None:
    """ "From Sunday we're at Marrow Lane for a week": where they will be; "at Marrow Lane since Sunday": when they came."""
    start, site = clause.get("since"), clause.value("SITE")
    if not _is_there(clause) or site is None:
        return None
    if clause.when is not None or clause.get("amount") is not None or clause.people:
        return None
    if start.text.casefold().startswith("since"):
        water, sewer = hookups(clause)
        came = replace(start, since=False)
        return say.Arrive(site=site, water=water, sewer=sewer, until=until_of(clause), nights=nights(clause), when=came)
    been = any("been" in tok.text for tok in clause.words("BE"))
    return _a_stop(clause) if _may_lie_ahead(start) and not been else None


def _is_there(clause: Clause) -> bool:
    """ "At Marrow Lane", "we're at Marrow Lane": where they are or will be, not that they came."""
    came = clause.word("ARRIVE")
    return came is None or came.senses["ARRIVE"].form in ("ing", "base") or PRESENT.issuperset(came.text.split())


def _for_the_night(clause: Clause, when: When | None) -> bool:
    """ "One night at Marrow Lane", "at Marrow Lane overnight": until the next day."""
    if clause.word("ARRIVE") is not None and clause.value("ARRIVE") == "night":
        return True
    return when is not None and when.text.casefold() == "overnight" and _is_there(clause)


PRESENT = frozenset("we i are am at in now staying stopping camping based booked".split())
_HERE = ("here", "there", "in", "it")
""" "Got here", "pulled in", "we made it": no place is named, and it may be said of much else."""


def _of_the_place(clause: Clause) -> str:
    """ "Cedar Flat till Friday" names a place first ("named"); "Cedar Flat has sewer", "full hookups at Cedar Flat", "a site at Cedar Flat" tell
    of it ("told"): neither says that they have come there. Else nothing."""
    at = clause.place("SITE")
    if at < 0 or clause.word("ARRIVE") is not None:
        return ""
    led = at > 0 and clause.pieces[at - 1].has("AT", "ISAT", "IN")
    before, after = clause.pieces[:at], clause.pieces[at + 1 : at + 2]
    told = any(piece.has(*_OF_IT) for piece in before) or any(
        piece.has("THEREARE") or (piece.has("HAVE", "BE") and not led) for piece in after
    )
    nights = any(piece.kind in ("duration", "until") for piece in before)
    return "told" if told else "" if led and not nights else "named"


_OF_IT = {*HOOKS.split(), "STAY", "LEAVE"} - {"BUT", "BOTH", "HAVE"}
_OF_A_PLACE = frozenset(("like", "likes", "liked", "had"))


def is_past(clause: Clause) -> bool:
    """ "we were away yesterday", "there were four of us": over, and nothing of how it is now."""
    return any(word in ("was", "were") for piece in clause.pieces for tok in piece.toks for word in tok.text.split())


_OVER = frozenset("was were had stayed visited".split())


def what_was(clause: Clause) -> Intent | None:
    """ "had two guests from Friday to Sunday", "we stayed at Cedar Flat": understood, and nothing of how it is now or will be."""
    over = any(word in _OVER for piece in clause.pieces for tok in piece.toks for word in tok.text.split())
    return say.NotAReport(why="over") if over else None


def _may_lie_ahead(when: When) -> bool:
    """ "We arrive at Otter Flats on Sunday": a day that no word puts behind us."""
    dated = when.weekday is not None or when.day is not None or (when.day_offset or 0) > 0
    return dated and when.which != "last"


@frame(
    "arrive",
    "ARRIVE.past SITE",
    f"SITE until when since duration LEAVE STAY people ISAT amount SWITCH OUTON LATER {HOOKS}",
    rank=2,
    twice="when",
)
def arrive(clause: Clause) -> Intent | tuple[Intent, ...] | None:
    site = clause.value("SITE")
    if clause.word("STAY", "past") and not clause.word("ARRIVE"):
        return what_was(clause)
    if clause.index("since") >= 0:
        return _from_then_on(clause)
    if site is None and clause.word("SITEWORD") is None and clause.word("ARRIVE") is None:
        return None
    if site is None and (not _bare_arrival(clause) or (clause.people and not clause.has("SELF"))):
        return None  # "Ana arrived": who has come to us
    if any(tok.text in ("were", "was", "is at") for tok in clause.words("BE")) and not clause.word("ARRIVE"):
        return None  # "we were at Pine Hollow last week", "my friend is at Heron Bend"
    if any(tok.text in _OF_A_PLACE for piece in clause.pieces for tok in piece.toks):
        return None  # "we like Pine Hollow", "Pine Hollow had no water"
    if clause.words("IT") and clause.word("ARRIVE") is None and clause.place("IT") < clause.place("SITE"):
        return None  # "we like it at Pine Hollow"
    if len(clause.words("SITE")) > 1 or (clause.get("duration") is not None and nights(clause) is None):
        return None
    water, sewer = hookups(clause)
    until = until_of(clause)
    times = [when for when in clause.all("when") if when is not until]
    if until is not None and until.stay_end and not until.has_day and times:
        until, times = times[0], times[1:]  # "till we leave on Friday"
    if any(when.stay_end for when in times):
        return None  # "our checkout got moved to …": no move of ours
    hour = around(clause)
    if len(times) > 1 or (clause.get("amount") is not None and (hour is None or until is hour)):
        return None
    times = [_at_hour(times, hour)] if hour is not None else times
    when = times[0] if times else None
    told = (
        clause.has("SELF") and when is not None and when.hour is not None and not when.has_day
    )  # "we arrive … at three"
    came, length = clause.word("ARRIVE"), nights(clause)
    coming = came is not None and came.senses["ARRIVE"].form in ("ing", "base")  # "arriving at Cedar Flat on Friday"
    if when is not None and ((clause.word("ARRIVE", "base") and told) or _may_lie_ahead(when)) and _is_there(clause):
        return say.Stop(site=site, start=when, until=until, nights=length, water=water, sewer=sewer, loose=not coming)
    if came is None and when is not None and when.text.split()[0] in ("last", "final"):
        return say.NotAReport(why="over")  # "last day at Heron Bend", "our last night at Heron Bend"
    if until is None and length is None and _for_the_night(clause, when):
        when, length = None if when is not None and when.text.casefold() == "overnight" else when, 1.0
    loose = site is None and clause.word("SITEWORD") is None and came is not None and came.text.split()[-1] in _HERE
    here = say.Arrive(
        site=site, water=water, sewer=sewer, until=until, nights=length, when=when,
        loose=loose or _of_the_place(clause) == "told", named=bool(_of_the_place(clause)),
    )  # fmt: skip
    linked = clause.word("SWITCH") or clause.word("OUTON")
    if linked is None:
        return here
    hooked = linked.text in HOOKED and site is not None and (water, sewer) == (None, None) and not clause.word("HOOKUP")
    return (here, say.Supply(source="hookup", loose=True, when=when)) if hooked else None  # "hooked up at Cedar Flat"


@frame("stay", "STAY LEAVE", "until when duration SITE_ DO SECOND CHANGE INSTEAD", rank=1, twice="when")
def stay(clause: Clause) -> Intent | None:
    until, length = until_of(clause), nights(clause)
    times = [when for when in clause.all("when") if not when.now]
    if len(times) > 1:
        return None
    when = times[0] if times else None
    if until is not None and until.now and clause.word("LEAVE") is not None:
        return say.Ask(topic="checklist", subject="leaving")  # "we're leaving now"
    if clause.get("duration") is not None and length is None:
        return None
    if until is None and clause.word("STAY") is not None and when is not None:
        if when.part and not when.day_offset and when.weekday is None and when.day is None:
            return None  # "staying in tonight" ends no stay
        until = when
    here = clause.word("STAY")
    if until is None and length is None and here is not None and here.text.split()[-1] == "here":
        return say.Arrive(loose=True) if clause.has("SELF") or "are" in here.text else None  # "we're here"
    if until is None and length is None:
        return None
    if (tok := clause.word("STAY")) is not None and tok.senses["STAY"].form != "ing":
        return None  # "we stayed till Tuesday" is over, "extend" is a wish
    length = length if until is None else None
    if when is not None and when is not until:
        return None
    left = clause.word("LEAVE", "either") is not None
    if until is not None and not until.has_day and until.has_hour and clause.value("LEAVE") == "end":
        until = replace(until, stay_end=True)  # "checkout at noon": on the last day
    return say.Stay(until=until, nights=length, longer=length is not None and _longer(clause), left=left)


def _longer(clause: Clause) -> bool:
    """Whether the nights come on top of the stay as it was: "two more nights", "extended by three days"."""
    stays = clause.word("STAY")
    return clause.get("duration").more or (stays is not None and "exten" in stays.text)


@frame("depart", "DEPART.past", "when people SITE SITEWORD amount", rank=1)
def depart(clause: Clause) -> Intent | None:
    if clause.get("amount") is not None and around(clause) is None:
        return None
    tok = clause.word("DEPART", "past")
    if tok is not None and tok.text == "left" and (clause.people or clause.has("WATER")):
        return None
    if any(piece.has("PREP") and not piece.has("AT", "FROM", "IN", "FOR", "OF") for piece in clause.pieces):
        return None  # "left the water on"
    return say.Depart(site=clause.value("SITE"), when=moment(clause))


@frame(
    "stop", "SITE", f"NEXTSTOP until when since duration LEAVE between WHICH ARRIVE STAY {HOOKS}", rank=3, twice="when"
)
def stop(clause: Clause) -> Intent | None:
    return _a_stop(clause) if clause.word("NEXTSTOP") or _says_next(clause) else None


def _a_stop(clause: Clause) -> say.Stop | None:
    if len(clause.words("SITE")) > 1 or (_says_then(clause) and _came(clause)):
        return None
    begun = clause.when is not None or clause.index("since") >= 0
    if 0 <= (clause.place("STAY") if begun else clause.index("until")) < clause.place("NEXTSTOP"):
        return None  # "staying till Friday, next Cedar Flat": Friday is the end of the stay
    water, sewer = hookups(clause)
    start, until, length = clause.get("since") or clause.when, clause.get("until"), nights(clause)
    until = until if clause.index("until") >= 0 else None
    led = clause.word("NEXTSTOP")
    loose = led is not None and led.text == "going there" and (until, length, water, sewer) == (None, None, None, None)
    return say.Stop(
        site=clause.value("SITE"), start=start, until=until, nights=length, water=water, sewer=sewer, loose=loose
    )


def _says_then(clause: Clause) -> bool:
    return clause.pieces[0].kind == "word" and clause.pieces[0].toks[0].text == "then"


def _came(clause: Clause) -> bool:
    """ "then arrived at Otter Flats": they are there."""
    first = {tok.text.split()[0] for tok in clause.words("ARRIVE")}
    return any(word.endswith("ed") or word in ("got", "made", "came") for word in first)


def _says_next(clause: Clause) -> bool:
    first = clause.pieces[0]
    return first.kind == "word" and first.toks[0].text in ("next", "then", "after")
