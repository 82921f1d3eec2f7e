"""What is told of a place by its name: a stop to come, which is amended, or the place where they are; else whether they have come there is
asked."""

from __future__ import annotations

from datetime import datetime

from assistant.interpret.context import Context, Draft
from assistant.interpret.plausible import checked
from assistant.scene import AskBack
from grammar.intents import Arrive
from state.entry import Entry
from state.water.trip import EARLY


def of_the_place(meaning: Arrive, context: Context) -> list[Draft]:
    """The change of a stop to come ("Cedar Flat has full hookups", with Cedar Flat planned). Nothing where it may be an arrival: then what
    leaves that open is asked about."""
    site = meaning.site or ""
    told = any(one is not None for one in (meaning.water, meaning.sewer, meaning.until, meaning.nights))
    stay = context.so_far().stay
    if stay.ended is None and _same(stay.site, site):
        if not told:
            raise AskBack(f"{site} is where you are, as far as I know. What of it?", "statement")
        return []
    planned = _planned(site, context)
    if planned is not None and told and meaning.when is None:
        return [_amended(*planned, meaning, context)]
    if meaning.loose or not told:
        text = f"Have you come to {site}? If it is a stop to come, say for example: next {site} from Friday."
        if meaning.when is not None:
            raise AskBack(text, "statement")
        context.guard("come-there", text, "yes", ["yes", "no"])
    return []


def _same(one: str | None, other: str) -> bool:
    return (one or "").casefold() == other.casefold()


def _planned(site: str, context: Context) -> tuple[Entry, datetime | None] | None:
    """The stop planned there, and from when, unless they may have come to it by now."""
    ahead = [
        stop
        for stop in context.world.stops
        if _same(stop["site"], site) and (stop["start"] is None or stop["start"] - EARLY > context.now)
    ]
    stop = context.latest(lambda one: one.kind == "stop" and _same(one.site, site)) if ahead else None
    return (stop, ahead[-1]["start"]) if stop is not None else None


def _amended(stop: Entry, start: datetime | None, meaning: Arrive, context: Context) -> Draft:
    until = context.end_of_stay(meaning.until, meaning.nights, start)
    told = {"water": meaning.water, "sewer": meaning.sewer, "until": until}
    fields = {name: value for name, value in told.items() if value is not None and value != stop.get(name)}
    if not fields:
        raise AskBack("It stands like that already. What should change?", "statement")
    return checked(stop, fields, context)
