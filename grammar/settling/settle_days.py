"""What the words beside them make of "am" and "pm", "past", "left" and "stopped". May import: tokens."""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

_REMAINS = ("is", "are", "was", "that is", "it is")


def half_of_a_day(toks: Sequence[Tok], i: int) -> Tok:
    """ "Monday am", "yesterday pm": the part of a day that was just named."""
    tok, before = toks[i], toks[i - 1] if i else None
    if (
        tok.text not in ("am", "pm")
        or before is None
        or not before.has("WEEKDAY", "DAY")
        or "/" in (before.senses["DAY"].value if before.has("DAY") else "")
    ):
        return tok
    return replace(tok, senses=sense("PART", "morning" if tok.text[0] == "a" else "afternoon"))


def what_is_left(toks: Sequence[Tok], i: int) -> Tok:
    """ "left is", "that's left", "the left": what remains, or a side; nobody has gone."""
    tok = toks[i]
    if tok.text != "left" or not tok.has("DEPART"):
        return tok
    before, following = toks[i - 1] if i else None, toks[i + 1] if i + 1 < len(toks) else None
    beside = (before is not None and (before.text in _REMAINS or before.text == "the")) or (
        following is not None and following.text in (*_REMAINS, "me", "us")
    )
    return replace(tok, senses={cls: one for cls, one in tok.senses.items() if cls != "DEPART"}) if beside else tok


def past_a_day(toks: Sequence[Tok], i: int) -> Tok:
    """ "can't stay past Friday": until then; "this past Friday" lies behind."""
    tok = toks[i]
    following, before = toks[i + 1] if i + 1 < len(toks) else None, toks[i - 1] if i else None
    beyond = following is not None and following.has("WEEKDAY")
    if (
        beyond
        and before is not None
        and before.has("STAY", "MAKEIT", "RUNOUT", "LEAVE")
        and not before.has("WHICH", "ART")
    ):
        return replace(tok, senses=sense("UNTIL", "until"))
    return tok


def given_up(toks: Sequence[Tok], i: int) -> Tok:
    """ "if we stopped showering", "quit doing dishes": it is not done any more."""
    tok, ahead = toks[i], [one for one in toks[i + 1 : i + 4] if not one.has("ART")]
    if tok.text not in STOPPED or not ahead:
        return tok
    itself = any(ahead[0].has(cls) and ahead[0].senses[cls].form == "ing" for cls in ("ACT", "DUMP", "HAUL", "FILL"))
    doing = any(ahead[0].has(cls) and ahead[0].senses[cls].form == "ing" for cls in ("DO", "WASH", "ACT"))
    done = (
        itself
        or (tok.text in ("drop", "dropping") and ahead[0].has("ACT"))
        or (doing and (ahead[0].has("ACT") or (len(ahead) > 1 and ahead[1].has("ACT"))))
    )
    return replace(tok, senses=sense("NEG", "neg")) if done else tok


def gone_on(toks: Sequence[Tok], i: int) -> Tok:
    """ "We're gone Saturday": away then, as in "we'll be gone Saturday"; who has left says "we left on Saturday"."""
    tok = toks[i]
    ahead = i + 1 < len(toks) and toks[i + 1].has("WEEKDAY") and tok.text == "are gone"
    return replace(tok, senses=sense("AWAY", "away", "ing")) if ahead else tok


STOPPED = ("stop", "stopped", "stopping", "quit", "quitting", "drop", "dropping")


def ago(toks: Sequence[Tok], i: int) -> Tok:
    """ "half an hour back": so long ago, and nobody's return."""
    tok = toks[i]
    timed = (
        tok.text == "back"
        and i > 1
        and toks[i - 1].has("TIMEUNIT")
        and toks[i - 2].has("NUMBER", "A", "FRACTION", "ART")
    )
    ends = i + 1 == len(toks) or toks[i + 1].has("COMMA", "STOP", "AND", "SEMI")
    return replace(tok, senses=sense("AGO", "ago")) if timed and ends else tok


_EVEN = frozenset("flat even dead exactly sharp".split())


def even_number(toks: Sequence[Tok], i: int) -> Tok:
    """ "thirteen flat", "ten gallons even": that and no more."""
    tok = toks[i]
    after_it = i and (
        toks[i - 1].has("NUMBER", "CLOCK") or (toks[i - 1].has("UNIT") and i > 1 and toks[i - 2].has("NUMBER"))
    )
    return replace(tok, senses=sense("FILLER")) if tok.text in _EVEN and after_it else tok


def from_day_to_day(toks: Sequence[Tok]) -> list[Tok]:
    """ "sun-thurs", "Friday - Monday": from the one to the other."""
    found = list(toks)
    for i in range(1, len(toks) - 1):
        if toks[i].text in ("-", "/") and toks[i - 1].has("WEEKDAY") and toks[i + 1].has("WEEKDAY"):
            found[i] = replace(toks[i], text="to", senses=sense("UNTIL", "until"))
            found[i - 1] = replace(
                toks[i - 1], text=toks[i - 1].text + ".", senses=sense("WEEKDAY", toks[i - 1].senses["WEEKDAY"].value)
            )
    return found


def and_seconds(toks: Sequence[Tok]) -> list[Tok]:
    """ "1 min 20": and twenty seconds."""
    found = list(toks)
    last = next((n for n in range(len(toks) - 1, -1, -1) if not toks[n].has("STOP")), 0)
    minutes = last > 1 and toks[last - 1].has("TIMEUNIT") and toks[last - 1].senses["TIMEUNIT"].value == "minute"
    number = toks[last].number
    if minutes and toks[last - 2].has("NUMBER") and number is not None and 0 < number < 60:
        end = toks[last].end
        found.insert(last + 1, Tok("seconds", end, end, sense("TIMEUNIT", "second")))
    return found


_STAYING = ("ARRIVE", "STAY", "AWAY", "NEXTSTOP", "COMING", "GUESTS", "VISITOR", "SITE")


def for_a_while(toks: Sequence[Tok]) -> list[Tok]:
    """ "switched to the pump for the night": from now on; "two friends coming Friday for the weekend": until it ends."""
    found = list(toks)
    for i, tok in enumerate(toks):
        rest = [n for n in range(i + 1, min(i + 3, len(toks))) if not toks[n].has("ART")]
        if tok.text != "for" or not rest or not toks[rest[0]].has("PART", "PERIOD"):
            continue
        end = rest[0]
        if end + 1 < len(toks) and not toks[end + 1].has("COMMA", "STOP", "AND", "SEMI"):
            continue
        stays = any(other.has(*_STAYING) for other in toks)
        if stays and toks[end].has("PERIOD") and not toks[end].has("WHICH"):
            found[i] = replace(tok, text="till", senses=sense("UNTIL", "until"))
            found[end] = replace(toks[end], text="sunday", senses=sense("WEEKDAY", "6"))
        elif not stays and any(other.has("SWITCH", "PUMP", "HOOKUP", "VALVE") for other in toks[:i]):
            found[i : end + 1] = [replace(other, senses=sense("FILLER")) for other in toks[i : end + 1]]
    return found


def day_number(toks: Sequence[Tok], i: int) -> Tok:
    """ "out on wed 17": the seventeenth; a smaller number may be an hour."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    if not i or tok.number is None or not toks[i - 1].has("WEEKDAY"):
        return tok
    day = tok.text.isdigit() and 12 < tok.number <= 31
    ends = after is None or after.has("COMMA", "STOP", "AND", "AT", "FOR", "SEMI")
    travel = (
        day
        and ends
        and any(
            one.has("LEAVE", "STAY", "ARRIVE", "NEXTSTOP", "UNTIL", "AWAY", "COMING") or one.text == "out"
            for one in toks[:i]
        )
    )
    return replace(tok, senses=sense("ORD"), ordinal=int(tok.number), number=None) if travel else tok


EARLIER = frozenset(("earlier", "ago", "back"))
_SOME_TIME = frozenset(("while", "bit", "a", "little", "short", "wee"))
_SHORT = ("little", "short", "wee")
_DEEDS = ("ACT", "WASH", "DO", "DUMP", "FILL", "HAUL")
_DATED = (
    "METER",
    "SENSOR",
    "UNTIL",
    "SINCE",
    "BACK",
    "AWAY",
    "ARRIVE",
    "DEPART",
    "LEAVE",
    "STAYEND",
    "FUTURE",
    "IF",
    "QMARK",
    "QWORD",
)


def a_while_ago(toks: Sequence[Tok]) -> list[Tok]:
    """ "had a shower earlier, 3 gallons", "dumped grey a little while ago": some time today, where a deed is
    told and no reading; "a while back" may be days."""
    if (
        len(toks) > 1
        and toks[0].text == "earlier"
        and toks[1].has("SELF")
        and not any(tok.has(*_DATED) for tok in toks[1:])
    ):
        measured = any(tok.has("UNIT", "DUMP", "FILL") for tok in toks)
        did = any(tok.has(cls) and tok.senses[cls].form == "past" for tok in toks[1:4] for cls in _DEEDS)
        return [replace(toks[0], senses=sense("DAY", "0")), *toks[1:]] if measured and did else list(toks)
    for i in range(1, len(toks)):
        if toks[i].text not in EARLIER or (
            i + 1 < len(toks) and toks[i + 1].has("TIMEUNIT", "DAY", "PART", "AT", "BACK", "NUMBER")
        ):
            continue
        start = i
        while start and toks[start - 1].text in _SOME_TIME:
            start -= 1
        alone = toks[i].text == "earlier" and start == i
        said = {tok.text for tok in toks[start:i]}
        short = "bit" in said or ("while" in said and not said.isdisjoint(_SHORT))
        told = any(tok.has(cls) and tok.senses[cls].form == "past" for tok in toks[:start] for cls in _DEEDS)
        before = toks[start - 1] if start else None
        if not (alone or short) or not told or before is None or before.has("TIMEUNIT", "NEG"):
            continue
        if any(tok.has(*_DATED) for tok in [*toks[:start], *toks[i + 1 :]]):
            continue
        today = replace(toks[i], text="today", senses=sense("DAY", "0"), start=toks[start].start)
        return [*toks[:start], today, *toks[i + 1 :]]
    return list(toks)
