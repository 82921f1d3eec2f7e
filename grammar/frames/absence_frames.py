"""Frames of who is out and when they are back: absences, now and to come, and returns.

May import: clause, intents, trip_frames.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.frames.trip_frames import PRESENT, around, is_past, moment, nights, what_was
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.clause import Clause, frame
from grammar.when import When


def _on_that_day(hour: When, day: When) -> When:
    return replace(day, part=hour.part, hour=hour.hour, minute=hour.minute, half=hour.half)


@frame("away", "AWAY.ing", "until when duration AWAYFOR")
def away(clause: Clause) -> Intent | None:
    length = clause.get("duration")
    if length is not None and length.unit not in ("minute", "hour", "day", "night"):
        return None
    if length is not None and 0 <= clause.index("duration") < clause.place("AWAY"):
        return None  # "we are four hours away"
    if clause.words("WATER"):
        return None  # "we're out of water"
    if is_past(clause) or (length is not None and any("been" in tok.text for tok in clause.words("BE"))):
        return say.NotAReport(why="over")  # "we've been away three days": are they back?
    if any(tok.text == "you" for tok in clause.words("SELF")) or any(
        tok.text in ("with", "of") for tok in clause.words("PREP")
    ):
        return None
    until = clause.get("until") if clause.index("until") >= 0 else None
    when, tok = clause.when, clause.word("AWAY")
    if not _somebody_is(clause, tok.text if tok is not None else "", length is not None):
        return None
    ahead = (
        when is not None
        and when.which != "last"
        and (when.weekday is not None or when.day is not None or (when.day_offset or 0) > 0)
    )
    if ahead and tok is not None and tok.text.split()[0] in (*_OUT, "nobody", "no", "none", "everyone", "everybody"):
        if any(word.text in ("was", "were") for word in clause.words("BE")):
            return say.Away(until=until, when=when)
        return say.Expect(what="absence", start=when, until=until)
    bare = until is None and (when is None or when.now) and length is None and tok is not None and tok.text in _BARELY
    hours, longer = (length.seconds / 3600, length.more) if length is not None and until is None else (None, False)
    return say.Away(until=until, when=when, bare=bare and clause.word("AWAYFOR") is None, hours=hours, longer=longer)


_OUT = ("away", "absent", "off", "out", "gone", "going", "are", "we")
_BARELY = frozenset(
    ("off", "off now", "are off", "off out", "heading out", "headed out", "heading off", "headed off", "are out")
)


def _somebody_is(clause: Clause, away: str, for_long: bool) -> bool:
    """ "the water is off", "it's out", "is off": no person is away; "off for two nights" is somebody."""
    if clause.words("WATER") or clause.words("IT"):
        return False
    if for_long:
        return not clause.words("BE") or bool(clause.words("SELF") or clause.people)
    third = any(tok.text.split()[-1] in ("is", "was", "it is") for tok in clause.words("BE"))
    return bool(clause.words("SELF") or clause.people) or not (third or away == "off")


@frame("back later", "BEBACK", "when until amount PART", rank=1)
def back_later(clause: Clause) -> Intent | None:
    """ "be back around nine": counts only beside a going out."""
    until = clause.get("until") if clause.index("until") >= 0 else None
    if clause.get("amount") is not None and around(clause) is None:
        return None
    when = until or moment(clause)
    return say.Back(when=when, to_come=True) if when is not None else None


@frame("back", "BACK.past", "when people SCENE amount until")
def back(clause: Clause) -> Intent | None:
    until = clause.get("until") if clause.index("until") >= 0 else None
    if (
        until is not None
    ):  # "back by 4" is still to come: away until then; "got back by 4" is over; "home till 4" is now
        word = clause.word("BACK").text.replace("back home", "back").split()  # type: ignore[union-attr]
        still = word[-1] in ("back", "home") and PRESENT.issuperset(word[:-1])
        over = any(tok.text in ("was", "were", "got", "came") for tok in clause.words("BE")) or not still
        if clause.when is not None:
            return None
        return say.Back(when=until) if over else say.Back() if clause.has("UNTIL") else say.Away(until=until)
    if clause.get("amount") is not None and around(clause) is None:
        return None
    if any(tok.text not in ("at", "in", "from", "on") for tok in clause.words("PREP")) or clause.pieces[0].has("PREP"):
        return None
    if any(tok.text == "be" for tok in clause.words("BE")) or clause.words("WATER"):
        return None  # "be right back", "water back on"
    if clause.when is not None and (clause.when.seconds or 0) > 0:
        return say.Back(when=clause.when, to_come=True)  # "back in a minute"
    return say.Back(when=moment(clause))


@frame("absence to come", "AWAY.ing", "since until when duration FUTUREWORD", rank=1)
def absence(clause: Clause) -> Intent | None:
    if clause.index("since") < 0:
        return None
    if (over := what_was(clause)) is not None:
        return over
    start, until, day = clause.get("since"), clause.get("until"), clause.when
    if day is not None:  # "on Saturday from 9:00 to 17:00": both hours are of that day
        if start.has_day or not start.has_hour or not day.has_day or (until is not None and until.has_day):
            return None
        start, until = _on_that_day(start, day), _on_that_day(until, day) if until is not None else None
    return say.Expect(what="absence", start=start, until=until, nights=nights(clause))
