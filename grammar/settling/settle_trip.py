"""What the neighbours decide of words for arrivals, returns and days: dates with a stroke, "home" as a return, guests with a plus.

May import: tokens, lexicon.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lexicon import lexicon
from grammar.lightclass import replace

_TO_A_DATE = ("UNTIL", "SINCE", "FROM", "LEAVE", "THROUGH", "ON", "BY", "ARRIVE", "SITE", "DASH", "STAY")
_NO_DATE = ("UNIT", "RATEUNIT", "FULLNESS", "TANK", "OF", "ACT", "LEFTOVER", "ROOM", "A", "TIMEUNIT")
_TANKISH = ("TANK", "TANKWORD", "LEVELWORD", "ISAT", "METER", "SENSOR")
_MOST_IN_A_DATE = 31


def dated(toks: Sequence[Tok], i: int) -> Tok:
    """ "till 6/14", "leaving 14/6": a day of a month, in the order of whoever says it."""
    tok, before = toks[i], toks[i - 1] if i else None
    over, stroke, under = tok.text.partition("/")
    if tok.text == "24/7":
        return replace(tok, senses=sense("FILLER"), fraction=None)  # at all hours
    if not stroke or not tok.has("FRACTION") or not (over.isdigit() and under.isdigit()):
        return tok
    first, second = int(over), int(under)
    after = toks[i + 1] if i + 1 < len(toks) else None
    led = before is not None and (before.has(*_TO_A_DATE) or before.text in ("to", "-", "till"))
    led = led or any(other.has("NEXTSTOP", "ARRIVE") for other in toks[:i])
    measured = (after is not None and after.has(*_NO_DATE)) or any(other.has(*_TANKISH) for other in toks)
    possible = 1 <= min(first, second) <= 12 and max(first, second) <= _MOST_IN_A_DATE
    if not led or not possible or measured:
        return tok
    return Tok(
        tok.text, tok.start, tok.end, sense("ISODATE"), parts=(first, second) if first <= 12 else (second, first)
    )


def home(toks: Sequence[Tok], i: int) -> Tok:
    """ "home 16:15", "home at four": who was away is back."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    opens = all(other.has("FILLER", "SELF") for other in toks[:i])
    timed = after is not None and (
        after.has("CLOCK", "AT", "AROUND", "UNTIL", "BY")
        or (after.has("NUMBER") and i + 2 < len(toks) and toks[i + 2].has("AMPM"))
    )
    return replace(tok, senses=sense("BACK", "back", "past")) if tok.text == "home" and opens and timed else tok


_MEALS = {
    "supper": "evening", "dinner": "evening", "tea": "evening", "tonight": "evening", "the evening": "evening", "sunset": "dusk", "dark": "dusk",
    "lunch": "midday", "lunchtime": "midday", "breakfast": "morning", "bedtime": "night", "bed": "night",
}  # fmt: skip
_FOR = ("for", "in time for", "at", "before")


def back_for(toks: Sequence[Tok]) -> list[Tok]:
    """ "heading out, back for supper": until when, once it is said that they go; by itself "back for supper" is a return."""
    found = list(toks)
    for i in range(1, len(toks) - 1):
        goes = any(tok.has("AWAY") for tok in toks[:i])
        if not goes or not (toks[i].has("BACK", "BEBACK") or toks[i].text == "home"):
            continue
        said = " ".join(tok.text for tok in toks[i + 1 : i + 4] if not tok.has("STOP", "COMMA"))
        for lead in _FOR:
            meal = said.removeprefix(f"{lead} ")
            if meal == said or meal.removesuffix(" time") not in _MEALS:
                continue
            last = min(len(toks), i + 4) - 1
            while toks[last].has("STOP", "COMMA"):
                last -= 1
            if last + 1 < len(toks) and not toks[last + 1].has("STOP", "COMMA", "AND"):
                continue
            start, end = toks[i + 1].start, toks[last].end
            by = Tok("by", start, start + 1, sense("BY", "by"))
            part = Tok(meal, start + 1, end, sense("PART", _MEALS[meal.removesuffix(" time")]))
            home = replace(toks[i], senses=sense("BACK", "back", "past"), text="back")
            return [*found[:i], home, by, part, *found[last + 1 :]]
    return found


def plus_guests(toks: Sequence[Tok]) -> list[Tok]:
    """ "+2 guests Saturday", "plus one guest till Sunday": so many more than us."""
    lead = next((n for n, tok in enumerate(toks) if not tok.has("FILLER")), None)
    if lead is None or toks[lead].text not in ("+", "plus") or lead + 2 >= len(toks):
        return list(toks)
    counted = toks[lead + 1].has("NUMBER") and toks[lead + 2].has("GUESTS", "VISITOR", "PEOPLEWORD")
    return [tok for n, tok in enumerate(toks) if n != lead] if counted else list(toks)


def out_for(toks: Sequence[Tok], i: int) -> Tok:
    """ "out for two nights", "gone three hours": nobody is here."""
    tok, rest = toks[i], toks[i + 1 : i + 4]
    opens = all(other.has("FILLER", "SELF", "BE") for other in toks[:i])
    if tok.text not in ("out", "gone", "away") or not opens:
        return tok
    rest = [other for other in rest if not other.has("FOR", "ABOUT", "ART")]
    length = (
        len(rest) > 1
        and rest[0].has("NUMBER", "A", "FRACTION", "MORE")
        and any(one.has("TIMEUNIT") for one in rest[1:])
    )
    ends = not any(other.has("TANK", "ACT", "METER", "GEAR", "UNIT") for other in toks)
    return replace(tok, senses=sense("AWAY", "away", "ing")) if length and ends else tok


def is_with_us(toks: Sequence[Tok], i: int) -> Tok:
    """ "our grandson's here till the 14th": somebody is, and nothing is his."""
    tok, after = toks[i], toks[i + 1] if i + 1 < len(toks) else None
    here = tok.text == "here" and i > 1 and toks[i - 1].has("POSS", "BE") and toks[i - 2].has("VISITOR", "GUESTS")
    return (
        replace(tok, senses=sense("COMING", "c")) if here and after is not None and after.has("UNTIL", "FOR") else tok
    )


def guests_here(toks: Sequence[Tok]) -> list[Tok]:
    """ "my parents are here till Sunday": guests for a while; beside a report "the kids are here" is only when it was."""
    for i, tok in enumerate(toks[:-1]):
        who, _, here = tok.text.partition(" ")
        if not tok.has("SCENE") or here not in ("are here", "is here") or not toks[i + 1].has("UNTIL", "THROUGH"):
            continue
        senses = {one.cls: one for one in lexicon().spellings.get((who,), ()) if one.cls in ("VISITOR", "GUESTS")}
        guest = Tok(who, tok.start, tok.start + len(who), senses)
        return [*toks[:i], guest, Tok(here, guest.end, tok.end, sense("COMING", "c")), *toks[i + 1 :]]
    return list(toks)
