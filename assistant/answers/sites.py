"""Where we were, and what is known of a place: stays, hookups, pressure at its spigot, what was noted of its water.

May import: state, assistant.say, assistant.scene, assistant.answers.pressure, grammar.intents.
"""

from __future__ import annotations

from datetime import datetime

from assistant.answers import pressure
from assistant.say import amounts, times
from assistant.say.echo import hookups
from assistant.scene import Answer, Scene
from grammar import spans
from grammar.intents import Ask
from state.care import checklist, sites, water_quality
from state.lightclass import Any
from state.world import StayAt

MOST_ROWS = 5


def answer(ask: Ask, scene: Scene) -> Answer:
    """By subject; without one, the place named, else where we were."""
    subject = (ask.subject or ("site" if ask.site else "where")).casefold()
    if subject == "aboard":
        return aboard(scene)
    if subject == "pressure":
        return pressure.answer(ask, scene)
    if subject in ("notes", "taste", "water"):
        return notes(ask, scene, of_water=subject != "notes")
    if subject in ("lost", "spare", "gear"):
        return gear(scene)
    return place(ask, scene) if ask.site else where(ask, scene)


def _facts(subject: str, rows: list[dict[str, Any]], **more: Any) -> dict[str, Any]:
    return {"topic": "history", "subject": subject, "rows": rows, **more}


def _row(one: StayAt) -> dict[str, Any]:
    return {
        "site": one.site,
        "since": one.since,
        "ended": one.ended,
        "until": one.until,
        "water": one.water,
        "sewer": one.sewer,
    }


def where(ask: Ask, scene: Scene) -> Answer:
    """The places of the stretch asked about; without one, where we are now."""
    stay = scene.world.stay
    if ask.when is None:
        if not stay.site:
            last = sites.all_stays(scene.world)
            text = (
                f"On the road, last at {last[-1].site}."
                if last
                else "You haven't told me where you are. Say for example: at Heron Bend till Sunday."
            )
            return Answer(text, _facts("where", []))
        until = f", until {times.exactly(stay.until, scene.now)}" if stay.until else ""
        return Answer(
            f"At {stay.site}{_since(stay.since, scene)}{until}{hookups(stay.water, stay.sewer)}.",
            _facts("where", [_row(stay)]),
        )
    start, end = spans.span(ask.when, scene.now)
    found = sites.between(scene.world, start, end)
    if not found:
        return Answer("I have no stay on record for that time.", _facts("where", [], start=start, end=end))
    told = [f"{one.site}{_stretch(one, scene)}" for one in found[-MOST_ROWS:]]
    more = f"{len(found)} places, the last of them " if len(found) > MOST_ROWS else ""
    return Answer(f"{more}{times.listed(told)}.", _facts("where", [_row(one) for one in found], start=start, end=end))


def aboard(scene: Scene) -> Answer:
    """How many are aboard, and for how long, by what was told."""
    world, people = scene.world, scene.people
    until = (
        f" until {times.exactly(world.party_until, scene.now)}"
        if world.party_until and world.party_until > scene.now
        else ""
    )
    told = [one for one in world.expected if one["what"] == "party" and one["people"] is not None]
    coming = [_expected(one, scene) for one in told if (one["until"] or scene.now) >= scene.now]
    text = f"{times.begun(amounts.people(people))} aboard{until}, as far as I know."
    text += f" Expected: {times.listed(coming)}." if coming else ""
    return Answer(text, _facts("aboard", [{"people": people, "until": world.party_until}], people=people))


def _expected(one: dict[str, Any], scene: Scene) -> str:
    start = f" from {scene.day(one['start'])}" if one["start"] else ""
    return f"{amounts.people(int(one['people']))}{start}"


def _since(since: datetime | None, scene: Scene) -> str:
    return f" since {scene.day(since)}" if since else ""


def _stretch(one: StayAt, scene: Scene) -> str:
    if one.since is None:
        return ""
    first = times.date(one.since.astimezone(scene.now.tzinfo), scene.now)
    if one.ended is None:
        return f" since {first}"
    last = times.date(one.ended.astimezone(scene.now.tzinfo), scene.now)
    return f" on {first}" if first == last else f" {first} to {last}"


def place(ask: Ask, scene: Scene) -> Answer:
    """All that is known of one place."""
    assert ask.site is not None
    name = sites.longest_word_match(scene.world, ask.site) or ask.site
    known = sites.known(scene.world, name)
    if known is None:
        return Answer(f"I know nothing of {name} yet.", _facts("site", [], site=name))
    stays = known.stays
    if stays:
        text = f"{known.site}: {amounts.counted(len(stays), 'stay')}, the last{_stretch(stays[-1], scene)}{hookups(known.water, known.sewer)}."
    else:
        text = f"{known.site}: never stayed."
    if known.pressure is not None:
        text += f" Pressure {amounts.pressure(known.pressure.last, scene.units)}."
    if known.notes:
        text += f" Noted: {'; '.join(note for _, note in known.notes[-2:])}."
    rows = [_row(one) for one in stays]
    told = [{"at": at, "text": note} for at, note in known.notes]
    kpa = known.pressure.last if known.pressure else None
    return Answer(
        text, _facts("site", rows, site=known.site, water=known.water, sewer=known.sewer, pressure_kpa=kpa, notes=told)
    )


def notes(ask: Ask, scene: Scene, of_water: bool) -> Answer:
    """Notes made at a place (here, if none was named), all or those about its water."""
    site = sites.longest_word_match(scene.world, ask.site) if ask.site else scene.world.stay.site
    where_said = f"at {site}" if site else "here"
    if of_water:
        remarks = water_quality.remarks(scene.world, site)
        rows = [{"at": one.at, "text": one.note, "signs": [sign.name for sign in one.signs]} for one in remarks]
        if not remarks:
            return Answer(f"Nothing is noted about the water {where_said}.", _facts("taste", [], site=site))
        last = remarks[-1]
        words = " ".join(dict.fromkeys(part for sign in last.signs if (part := water_quality.advice(sign))))
        keys = tuple(f"water-doubtful:{sign.name}" for sign in last.signs if sign.ask_first)
        return Answer(
            f"{_capital(scene.day(last.at))} {where_said}: {last.note}. {words}".strip(),
            _facts("taste", rows, site=site),
            keys,
        )
    key = site.casefold() if site else None
    found = [(at, note) for at, note, here in scene.world.notes if (here.casefold() if here else None) == key]
    if not found:
        return Answer(f"Nothing is noted {where_said}.", _facts("notes", [], site=site))
    told = "; ".join(note for _, note in found[-MOST_ROWS:])
    return Answer(
        f"Noted {where_said}: {told}.", _facts("notes", [{"at": at, "text": note} for at, note in found], site=site)
    )


def gear(scene: Scene) -> Answer:
    """What hangs outside, and what may have stayed behind at the last place."""
    out = scene.world.gear_out
    behind = set(checklist.left_behind(scene.world))
    rows = [{"item": item, "since": since, "left_behind": item in behind} for item, since in sorted(out.items())]
    if not rows:
        return Answer("Nothing is outside, as far as I know.", _facts("gear", []))
    here = [f"{item} since {scene.day(since)}" for item, since in sorted(out.items()) if item not in behind]
    text = f"Outside: {times.listed(here)}." if here else ""
    if behind:
        text += f" Never stowed since the last place: {times.listed(sorted(behind))}."
    return Answer(text.strip(), _facts("gear", rows))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
