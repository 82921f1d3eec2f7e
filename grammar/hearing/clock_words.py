"""Times of the day and years as they are spoken: "at seven fifteen", "six oh five", "ten past seven", "the 20th of June 2029".

What the neighbours of a number make of it, before pieces are read. May import: tokens.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import Sense
from grammar.lightclass import replace

_NONE = Sense("", "", "")
YEARS = range(1990, 2101)


def clock_words(toks: Sequence[Tok]) -> list[Tok]:
    """The tokens with hours and their minutes joined, years told from other numbers, and the T of a written moment dropped."""
    found: list[Tok] = []
    toks = [_at_an_hour(toks, i) if not tok.has("HOLIDAY") else _holiday(tok) for i, tok in enumerate(toks)]
    for i, tok in enumerate(toks):
        tok = _until_an_hour(toks, i)
        last = found[-1] if found else None
        following = toks[i + 1] if i + 1 < len(toks) else None
        if last is not None and _half_of_an_hour(found, tok, following):
            assert tok.number is not None
            found[-1] = Tok(f"half {tok.text}", last.start, tok.end, sense("CLOCK"), parts=(int(tok.number), 30))
            continue
        if (
            tok.text == "t"
            and last is not None
            and last.has("ISODATE")
            and following is not None
            and following.has("CLOCK")
        ):
            continue
        if last is not None and _is_quarter(found, tok, following):
            found[-1] = Tok(
                f"{last.text} {tok.text}",
                last.start,
                tok.end,
                sense("QUARTERPAST" if tok.text == "past" else "QUARTERTO"),
            )
            continue
        if last is not None and _is_minutes(last, tok) and _is_clock(found, following):
            assert last.number is not None and tok.number is not None
            minutes = (int(last.number), int(tok.number))
            found[-1] = Tok(f"{last.text} {tok.text}", last.start, tok.end, sense("CLOCK"), parts=minutes)
            continue
        if last is not None and _half_hour(found, tok, following):
            assert last.number is not None and tok.number is not None
            found[-1] = Tok(f"{last.text} thirty", last.start, tok.end, sense("CLOCK"), parts=(int(last.number), 30))
            tok = Tok(tok.text.split()[1], tok.start, tok.end, sense("NUMBER"), tok.number - 30)
        found.append(_alone(tok, last, following, found))
    return found


def _holiday(tok: Tok) -> Tok:
    """ "Christmas Day": the 25th of December, of whichever year it is to be."""
    month, _, day = tok.senses["HOLIDAY"].value.partition("-")
    return replace(tok, senses=sense("ISODATE"), parts=(int(month), int(day)))


def _at_an_hour(toks: Sequence[Tok], i: int) -> Tok:
    """ "did a load of washing around ten, 11 gallons", "did the dishes around nine": about an hour, no amount."""
    tok, hour = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    if not tok.has("AROUND") or hour is None or hour.number not in _HOURS:
        return tok
    beyond = toks[i + 2] if i + 2 < len(toks) else None
    if beyond is not None and not beyond.has("COMMA", "STOP", "AND", "THEN", "FILLER", "PREP", "SELF", "PERSON", "ACT"):
        return tok
    acts = [n for n, other in enumerate(toks) if other.has("ACT", "TANK", "METER", "DUMP", "FILL")]
    measured = len(acts) == 1 and any(other.has("UNIT") for other in toks) and not toks[acts[0]].has("METER")
    verb = any(_past(other) for other in toks[:i]) and not any(
        other.has("USE", "PUT") or other.text == "with" for other in toks[:i]
    )
    straight = bool(acts) and i - 1 in acts and verb and tok.text != "about"
    said_at = tok.text.startswith("at ") and not any(other.has("TANK", "TANKWORD", "METER", "PUT") for other in toks)
    if not measured and not straight and not said_at:
        return tok
    return Tok(tok.text, tok.start, tok.end, sense("AT"))


def _half_of_an_hour(found: Sequence[Tok], tok: Tok, following: Tok | None) -> bool:
    """ "Until half six on Friday", "around half seven": half past the hour, as the British say it; never before a unit."""
    if found[-1].text != "half" or tok.number not in _HOURS:
        return False
    led = len(found) > 1 and found[-2].text in (*_TILL, "around", "about", "from", "since")
    return led and not (following is not None and following.has("UNIT", "RATEUNIT", "ACT", "TIMEUNIT"))


def weeks_on(toks: Sequence[Tok]) -> list[Tok]:
    """ "A week from Saturday", "a week on Friday": Saturday week."""
    found = list(toks)
    for i in range(len(found) - 3):
        one, week, on, day = found[i : i + 4]
        if i and found[i - 1].text == "for":
            continue  # "for a week from Friday": so long
        if one.text == "a" and week.text == "week" and on.text in ("from", "on") and day.has("WEEKDAY"):
            after = replace(week, start=day.start, end=day.end, senses=sense("TIMEUNIT", "week"))
            found[i : i + 4] = [replace(day, start=one.start), after]
            break
    return found


_TILL = ("to", "till", "until", "til", "before", "by", "through", "past")
_LASTING = ("MAKEIT", "AUX", "QWORD", "QLEAD", "ENOUGH", "STATUS", "LEFT")


def _until_an_hour(toks: Sequence[Tok], i: int) -> Tok:
    """ "Make it to 11 tonight", "last till 6 tomorrow evening": in a question, or after a word for lasting, an hour and no amount."""
    tok = toks[i]
    if i == 0 or tok.number not in _HOURS or toks[i - 1].text not in _TILL:
        return tok
    ahead = [other for other in toks[i + 1 : i + 3] if not other.has("COMMA")]
    if not ahead:
        return tok
    named = ahead[0].has("DAY", "PART", "WEEKDAY") or (
        ahead[0].has("IN", "ON", "WHICH") and len(ahead) > 1 and ahead[1].has("PART", "WEEKDAY", "DAY")
    )
    asked = any(other.has(*_LASTING) for other in toks[: i - 1]) and not any(
        other.has("METER", "FILL", "PUT", "AMEND") and not other.has("MAKEIT", "ROOM") for other in toks[:i]
    )
    if not named or not asked:
        return tok
    return Tok(tok.text, tok.start, tok.end, sense("CLOCK"), parts=(int(tok.number), 0))


def _past(tok: Tok) -> bool:
    return any(tok.has(cls) and tok.senses[cls].form == "past" for cls in ("DO", "ACT", "WASH", "DUMP", "FILL"))


_HOURS = tuple(range(1, 13))


_DIGITS = r"(?:[01]\d|2[0-3])[0-5]\d"
_DEEDS = ("ACT", "DUMP", "FILL", "WASH", "HAUL", "COMMA", "COLON")


def _alone(tok: Tok, last: Tok | None, following: Tok | None, before: Sequence[Tok]) -> Tok:
    if tok.text == "past" and last is not None and last.number is not None and following is not None:
        if following.number is not None:
            return Tok(tok.text, tok.start, tok.end, {name: one for name, one in tok.senses.items() if name == "PAST"})
        return tok
    if tok.number is None or tok.number != int(tok.number):
        return tok
    if tok.number in YEARS and tok.text.isdigit() and _after_a_date(before):
        return Tok(tok.text, tok.start, tok.end, sense("YEAR"), tok.number)
    four = last is None and following is not None and len(tok.text) == 4 and tok.text.isdecimal()
    if four and following is not None and following.has(*_DEEDS) and re.fullmatch(_DIGITS, tok.text):
        hour, minute = int(tok.text[:2]), int(tok.text[2:])
        return Tok(tok.text, tok.start, tok.end, sense("CLOCK"), parts=(hour, minute))  # "0640 shower 2.2 gal"
    words = tok.text.split()
    led = last is not None and last.text in ("at", "around", "about")
    if len(words) == 3 and words[1] in ("oh", "o") and led and 100 <= tok.number < 1300 and tok.number % 100 < 10:
        return Tok(tok.text, tok.start, tok.end, sense("CLOCK"), parts=(int(tok.number) // 100, int(tok.number) % 100))
    return tok


def _is_quarter(found: Sequence[Tok], tok: Tok, following: Tok | None) -> bool:
    """ "at a quarter past six", "at a quarter to six": an hour follows."""
    if found[-1].fraction != 0.25:
        return False
    led = len(found) > 1 and found[-2].text == "at"
    hour = following is not None and following.number is not None and following.number in range(1, 13)
    return hour and (tok.text == "past" or (tok.text == "to" and led))


def _is_minutes(hour: Tok, tok: Tok) -> bool:
    """A number of 10 to 59 right after one that may be an hour."""
    if hour.number is None or tok.number is None or hour.number != int(hour.number) or tok.number != int(tok.number):
        return False
    return 1 <= hour.number <= 12 and 10 <= tok.number < 60


def _is_clock(found: Sequence[Tok], following: Tok | None) -> bool:
    """Led by "at", or followed by a part of the day; never before a unit."""
    led = len(found) > 1 and found[-2].text in ("at", "around", "about")
    part = following is not None and (following.has("AMPM", "PART") or "/" in following.senses.get("DAY", _NONE).value)
    return (led or part) and not (following is not None and following.has("UNIT", "RATEUNIT"))


def _half_hour(found: Sequence[Tok], tok: Tok, following: Tok | None) -> bool:
    """ "at nine thirty two gallons": half past nine, and two gallons."""
    if not tok.text.startswith("thirty "):
        return False
    led = len(found) > 1 and found[-2].text in ("at", "around", "about")
    measured = following is not None and following.has("UNIT")
    return led and measured and _is_minutes(found[-1], tok)


def _after_a_date(before: Sequence[Tok]) -> bool:
    """A month and a day of it, in either order, stand right before."""
    near = [tok for tok in before[-3:] if tok.text not in ("of", "the", ",")]
    return any(tok.has("MONTH") for tok in near[-2:]) and any(tok.has("ORD", "NUMBER") for tok in near[-2:])
