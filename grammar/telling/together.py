"""What the sentences of a phrase make together: an arrival and what belongs to it, a remark beside a report, a question asked twice.

May import: intents, rejoinders, joined, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Ask, Intent, NotAReport
from grammar.lightclass import replace
from grammar.telling.joined import measured


def arrivals(found: list[Intent]) -> list[Intent]:
    """ "At Bluff Meadow. Full hookups. Here till Thursday.": what follows an arrival and belongs to it goes into it."""
    made: list[Intent] = []
    for one in found:
        last = made[-1] if made else None
        if isinstance(last, say.Arrive) and last.until is None and last.nights is None and isinstance(one, say.Stay):
            made[-1] = replace(last, until=one.until, nights=one.nights)
        elif (
            isinstance(last, say.Arrive) and last.site is None and isinstance(one, say.Arrive) and one.site is not None
        ):
            made[-1] = replace(one, when=one.when or last.when)  # "Finally here! At Willow Bar till Thursday"
        elif isinstance(last, say.Arrive) and isinstance(one, back.Fragment) and one.of_a_site():
            made[-1] = replace(
                last,
                water=last.water if one.water is None else one.water,
                sewer=last.sewer if one.sewer is None else one.sewer,
                until=last.until or one.until,
            )
        else:
            made.append(one)
    return made


def settled(found: list[Intent]) -> list[Intent] | None:
    """Statements and questions may stand together; what is no report spoils the whole, a remark beside a report does not."""
    found = _asked_once(_by_the_meter(_but_fresh(_of_what_was_brought(_got_there(measured(_as_it_was(found)))))))
    if len(found) > 1:
        found = [one for one in found if not (isinstance(one, NotAReport) and one.why == "scenery")] or found[:1]
    found = [
        replace(one, why="remark") if isinstance(one, NotAReport) and one.why == "scenery" else one for one in found
    ]
    if len(found) > 1:
        if all(isinstance(one, say.Use | say.Service | say.Gear | say.Dump | say.Fill | NotAReport) for one in found):
            told = [one for one in found if not (isinstance(one, NotAReport) and one.why == "remark")]
            found = told or found  # "Changed the washers. They were leaking."
        spoiling = [one for one in found if isinstance(one, NotAReport)]
        if spoiling:
            asked: list[Intent] = [one for one in found if isinstance(one, Ask)]
            return asked if len(asked) + len(spoiling) == len(found) and len(asked) == 1 else [spoiling[0]]
        beside = all(isinstance(one, say.Valve | back.Fragment) for one in found)  # "grey valve open, we have sewer"
        listed = all(
            isinstance(one, back.Fragment) and one.activity is not None for one in found
        )  # "coffee and dishes"
        if not listed and any(isinstance(one, back.Fragment) and not (beside and one.of_a_site()) for one in found):
            return None
    return found


def own_use(part: Sequence[Tok], meaning: Sequence[Intent]) -> bool:
    """ "The neighbours showered at their place. My own shower took 7 litres": the second is the speaker's, and measured."""
    first = next((tok for tok in part if not tok.has("FILLER", "COMMA") or tok.has("SELF")), None)
    own = first is not None and (first.text in ("i", "we", "my", "our") or first.text.startswith(("i ", "we ")))
    return own and all(
        isinstance(one, say.Use) and one.activity is not None and one.amount is not None and one.amount.unit is not None
        for one in meaning
    )


def _asked_once(found: list[Intent]) -> list[Intent]:
    """ "Huh? Walk me through it": the same question twice is one."""
    for n, one in enumerate(found[1:], 1):
        dosed = found[n - 1]
        if isinstance(one, Ask) and one.topic == "status" and isinstance(dosed, Ask) and dosed.topic == "dose":
            found = [*found[: n - 1], replace(dosed, tank=dosed.tank or one.tank), *found[n + 1 :]]
            break  # "The bottle says 4 per cent bleach. How much for the fresh tank?"
    bare = [replace(one, text="") if isinstance(one, Ask) else None for one in found]
    return [one for n, one in enumerate(found) if bare[n] is None or bare[n] not in bare[:n]]


def _got_there(found: list[Intent]) -> list[Intent]:
    """ "We got there in the end, grey is dumped": to where it is dumped, and no arrival."""
    errand = any(isinstance(one, say.Dump | say.Haul) for one in found)
    return [one for one in found if not (errand and isinstance(one, say.Arrive) and one.loose and one.site is None)]


def _by_the_meter(found: list[Intent]) -> list[Intent]:
    """ "filled it up, meter says 60": what is measured so is the fresh tank, and what the meter said tells how much went in to the brim."""
    read = [one for one in found if isinstance(one, say.ReadMeter) and one.meter == "inlet"]
    if not read:
        return found
    fills = [one for one in found if isinstance(one, say.Fill)]
    last = read[0].reading if len(read) == len(fills) == 1 and read[0].moment != "before" else None
    return [_so_measured(one, last, read[0]) if isinstance(one, say.Fill) else one for one in found]


_WAS = frozenset(("was", "were", "had"))


def _as_it_was(found: list[Intent]) -> list[Intent]:
    """ "Dumped grey, it was half full": a level of before stands before what was done to the tank, at its time."""
    if any(isinstance(one, say.Level) and _was(one) for one in found) and any(_of_a_time(one) for one in found):
        return [NotAReport(why="over", text=found[0].text)]
    made: list[Intent] = []
    for one in found:
        place = next((n for n, deed in enumerate(made) if isinstance(one, say.Level) and _done_to(one, deed)), None)
        if place is not None and isinstance(one, say.Level) and one.when is None and _was(one):
            made.insert(place, replace(one, when=made[place].when))
        else:
            made.append(one)
    return made


def _of_a_time(one: Intent) -> bool:
    """ "… when I dumped it": no question when that was."""
    words = one.text.casefold().split() if isinstance(one, Ask) and one.topic == "history" else []
    after = words[words.index("when") + 1 : words.index("when") + 2] if "when" in words else []
    return after in (["i"], ["we"])


def _was(level: say.Level) -> bool:
    return not _WAS.isdisjoint(level.text.casefold().split())


def _done_to(level: say.Level, deed: Intent) -> bool:
    """Whether what was done changed how full that tank is."""
    if isinstance(deed, say.Dump):
        return deed.every or level.every or level.tank in deed.tanks
    return isinstance(deed, say.Fill | say.Haul | say.Rinse) and level.tank == (deed.tank or "fresh")


def _so_measured(fill: say.Fill, last: say.Amount | None, read: say.ReadMeter) -> Intent:
    told = fill.to_full and fill.amount is None and read.when in (None, fill.when)
    return replace(fill, it=False, again=False, reading=last if told else None)


_ALL = ("all", "everything", "the tanks", "tanks")


def _of_what_was_brought(found: list[Intent]) -> list[Intent]:
    """ "brought 10 gal from town and put 8 in fresh": of that water, and no other."""
    put = any(isinstance(one, say.Fill) and one.tank == "fresh" and not one.fetched and one.amount for one in found)
    return [one for one in found if not (put and isinstance(one, say.Fill) and one.fetched)]


def _but_fresh(found: list[Intent]) -> list[Intent]:
    """ "All tanks empty, fresh topped off": all that hold waste."""
    if not any(isinstance(one, say.Fill | say.Level) and one.tank == "fresh" for one in found):
        return found
    return [
        replace(one, every=True)
        if isinstance(one, say.Level) and one.tank is None and one.text.casefold().startswith(_ALL)
        else one
        for one in found
    ]
