"""What was used yesterday, this week, on this stay; the last few entries; when something was last done.

May import: `scene`, state's usage, sites and fold.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from assistant.answers.words import noun
from assistant.say import amounts, echo, times
from assistant.scene import Answer, Scene
from grammar import spans
from grammar.intents import Ask
from grammar.when import When
from state.care import sites
from state.entry import Entry
from state.lightclass import Any
from state.sums import Sum
from state.used import usage
from state.world import Posting, StayAt

A_WEEK = timedelta(days=7)
MOMENT = timedelta(milliseconds=1)
DONE = {"dump": "dumped", "fill": "filled", "haul": "hauled", "rinse": "rinsed", "meter": "read the meter"}


def answer(ask: Ask, scene: Scene) -> Answer:
    """By `subject` and `count`: the last time of something, the last n, else a stretch of time."""
    if ask.subject in DONE and ask.when is None and ask.count is None:
        return _last_time(str(ask.subject), ask.tank, scene)
    if ask.count is not None:
        return _last_events(ask.count, ask, scene)
    if _names_a_stay(ask) and _stay_of(ask.site, scene) is None:
        where = f"at {ask.site}" if ask.site else "before this one"
        return Answer(f"I know of no stay {where}.", {"topic": "history", "rows": []})
    return _stretch(ask, scene)


def _names_a_stay(ask: Ask) -> bool:
    """Whether a stay other than the present one is asked about, or the one at a place that is named."""
    return ask.subject == "last stay" or (ask.subject == "stay" and ask.site is not None)


def _stay_of(site: str | None, scene: Scene) -> StayAt | None:
    """The last stay at that place, or the one before the present."""
    key = site.casefold() if site is not None else None
    stays = [one for one in sites.all_stays(scene.world) if one.since is not None]
    stays = [one for one in stays if (one.ended is not None if key is None else (one.site or "").casefold() == key)]
    return stays[-1] if stays else None


def flows_of(scene: Scene, start: datetime, end: datetime) -> list[usage.Flow]:
    """What the ledger knows of indoor use from `start` to `end`, by folding that part of the history once more with the book open.

    Folded is what came from the last reading (and the last fill to the brim) before `start`, on top of the world as it stood then, to
    the first after `end`, so that a log of years costs no more than the stretch asked about.
    """
    from state.water import passing
    from state.water.fold import fold

    cut = _settled_before(start, scene)
    until = usage.settled_after(scene.since(end), end)
    later = [entry for entry in scene.since(cut) if until is None or entry.at <= until]
    settling = [place for place, entry in enumerate(later) if entry.at == cut and usage.begins(entry)]
    whole = settling[-1] + 1 if settling else 0
    world = fold(later[:whole], scene.past.world(cut - MOMENT))
    passing.pass_time(world, cut)
    book: list[Posting] = []
    fold(later[whole:], world, book)
    return usage.flows(book, ["hookup", *(tank.name.casefold() for tank in world.rig.of_kind("fresh"))], cut)


def _settled_before(start: datetime, scene: Scene) -> datetime:
    """usage.settled_before, with no more of the log than it needs."""
    for days in (40, 400):
        found = scene.since(start - timedelta(days=days))
        lately = start - timedelta(days=days) + usage.MONTH
        if any(usage.begins(entry) and lately <= entry.at <= start for entry in found):
            return usage.settled_before(found, start)
    return usage.settled_before(scene.entries, start)


def _stretch(ask: Ask, scene: Scene) -> Answer:
    start, end, name = span_of(ask, scene)
    entries = scene.since(start)
    flowed = flows_of(scene, start, and_now(end, scene))
    whole = usage.used(entries, flowed, start, and_now(end, scene))
    if ask.activity is not None or ask.people:
        return _narrow(ask, whole, name, scene)
    days = usage.by_day(entries, flowed, start, and_now(min(end, scene.now), scene))
    facts = {
        "topic": "history",
        "from": start,
        "until": end,
        "litres": whole.litres,
        "logged_litres": whole.logged,
        "rows": [_day_row(day, scene) for day in days],
        "activities": [_activity_row(name_, each) for name_, each in _by_litres(whole.by_activity)],
        "people": [_activity_row(name_, each) for name_, each in _by_litres(whole.by_person)],
    }
    return Answer(_stretch_words(whole, name, _days_known(start, end, scene), scene), facts)


def and_now(end: datetime, scene: Scene) -> datetime:
    """The end of a stretch up to now, with what was entered this very moment in it."""
    return end + timedelta(seconds=1) if end == scene.now else end


def _days_known(start: datetime, end: datetime, scene: Scene) -> float:
    """Days of the stretch that have passed and of which the log can know: by these a total is divided. [days]"""
    began = max(start, scene.world.began or start)
    return max(0.0, (min(end, scene.now) - began).total_seconds() / 86400.0)


def span_of(ask: Ask, scene: Scene) -> tuple[datetime, datetime, str]:
    """From, to and how to call it: as said, this stay, or the last seven days."""
    if ask.when is not None:
        start, end = spans.span(ask.when, scene.now)
        if ask.until is not None:  # "between Monday and Thursday"
            return _from_to(start, ask.until, scene)
        return start, end, times.named(ask.when.text) or _named(start, end, scene)
    stay = _stay_of(ask.site, scene) if _names_a_stay(ask) else None
    if stay is not None and stay.since is not None:
        start, end = stay.since, stay.ended or scene.now
        since = f" since {scene.day(start)}" if stay.ended is None else f", {_named(start, end, scene)}"
        return start, end, f"at {stay.site}{since}"
    if ask.subject == "stay" and scene.world.stay.since is not None:
        return scene.world.stay.since, scene.now, "on this stay"
    if ask.subject in ("today",):
        return scene.now.replace(hour=0, minute=0, second=0, microsecond=0), scene.now, "today"
    return scene.now - A_WEEK, scene.now, "in the last seven days"


def _from_to(start: datetime, until: When, scene: Scene) -> tuple[datetime, datetime, str]:
    """From a day to the end of another; a last day that would lie before the first is that of the week after."""
    end = spans.span(until, scene.now)[1]
    while end <= start and until.weekday is not None:
        end += A_WEEK
    midnight = scene.now.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    while end > midnight and until.weekday is not None:
        start, end = start - A_WEEK, end - A_WEEK
    end = max(start, min(end, scene.now))
    return start, end, _named(start, end, scene)


def _named(start: datetime, end: datetime, scene: Scene) -> str:
    if end - start <= timedelta(days=1):
        return times.day(start, scene.now)
    return f"from {times.full_day(start, scene.now)} to {times.full_day(end - timedelta(seconds=1), scene.now)}"


def _by_litres(sums: dict[str, Sum]) -> list[tuple[str, Sum]]:
    return sorted(sums.items(), key=lambda item: -item[1].litres)


def _day_row(day: usage.Used, scene: Scene) -> dict[str, Any]:
    return {
        "date": usage.local_date(day.start, scene.now).isoformat(),
        "litres": day.litres,
        "logged_litres": day.logged,
        "unlogged_litres": day.unlogged,
    }


def _activity_row(name: str, each: Sum) -> dict[str, Any]:
    return {"name": name, "n": each.n, "litres": each.litres, "mean": each.mean, "low": each.low, "high": each.high}


MORE_LOGGED = 1.05
"""From so many times what went through on, that more was logged is said: less is rounding. Our own choice."""


def _stretch_words(whole: usage.Used, name: str, days: float, scene: Scene) -> str:
    opening = f"{name[0].upper()}{name[1:]}"
    if whole.litres < 0.05 or scene.amount(whole.litres) == "nothing":
        return f"{opening}: nothing logged or metered."
    text = f"{opening}: {scene.amount(whole.litres)}"
    if days > 1.2:
        text += f", {scene.rounded(whole.litres / days)} a day"
    top = [f"{noun(key)} {amounts.part(each.litres, scene.units)}" for key, each in _by_litres(whole.by_activity)[:3]]
    if not top:
        return f"{text}, none of it logged by activity."
    if whole.logged > MORE_LOGGED * whole.borne_out and whole.unlogged > 0.1 * whole.litres:
        counted, rest = scene.rounded(whole.borne_out), scene.rounded(whole.unlogged)
        return (
            f"{text}. Of it {rest} not logged; logged were {times.listed(top)}, of which the meter counted {counted}."
        )
    if whole.logged > MORE_LOGGED * whole.litres:
        return f"{text} by the meter; logged were {times.listed(top)}, which is more."
    if whole.unlogged > 0.1 * whole.litres:
        top.append(f"{scene.rounded(whole.unlogged)} not logged")
    return f"{text}. {'Of it ' if len(top) > 1 else 'All of it '}{times.listed(top)}."


def _narrow(ask: Ask, whole: usage.Used, name: str, scene: Scene) -> Answer:
    """One activity or one person within a stretch."""
    sums = usage.by_person(usage.uses(scene.since(whole.start), whole.start, whole.end), ask.activity)
    person = ask.people[0] if ask.people else None
    chosen = {
        key: each for key, each in sums.items() if person is None or (key[1] or "").casefold() == person.casefold()
    }
    litres, n = sum(each.litres for each in chosen.values()), sum(each.n for each in chosen.values())
    rows = [{"activity": a, "person": p, "n": s.n, "litres": s.litres} for (a, p), s in chosen.items()]
    facts = {"topic": "history", "from": whole.start, "until": whole.end, "litres": litres, "rows": rows}
    what = f"{person}" if ask.activity is None else f"{person}'s {noun(ask.activity)}" if person else noun(ask.activity)
    opening = f"{name[0].upper()}{name[1:]}"
    if n == 0:
        return Answer(f"{opening}: nothing logged for {what}.", facts)
    return Answer(f"{opening}: {what}, {scene.amount(litres)} in {amounts.counted(n, 'use')}.", facts)


def _last_time(kind: str, tank: str | None, scene: Scene) -> Answer:
    """When was the last dump, fill, haul, rinse, reading; for dumps each tank is told."""
    if kind == "dump" and tank is None:
        return _last_dumps(scene)
    found = scene.lately(lambda entries: usage.last_of(entries, kind, tank) is not None)
    entry = usage.last_of(found, kind, tank)
    rows = (
        []
        if entry is None
        else [{"kind": kind, "tank": entry.get("tank"), "at": entry.at, "litres": entry.get("litres")}]
    )
    facts = {"topic": "history", "rows": rows}
    if entry is None:
        what = f"{DONE[kind]} {tank}" if tank else DONE[kind]
        return Answer(f"I have no record that you ever {what}.", facts)
    what = entry.get("tank") or ""
    volume = f", {scene.exact(entry.litres)}" if entry.get("litres") and kind != "meter" else ""
    verb = DONE[kind]
    said = (
        f"You last {verb} {what}".rstrip() + f" {times.happened(entry.at, scene.now)}{_ago(entry.at, scene)}{volume}."
    )
    return Answer(said, facts, memo={"tank": what or None})


def _last_dumps(scene: Scene) -> Answer:
    ever = scene.world.last_dump.keys()
    dumps = usage.last_dumps(scene.lately(lambda found: {tank.casefold() for tank in usage.last_dumps(found)} >= ever))
    rows = [{"kind": "dump", "tank": tank, "at": at} for tank, at in dumps.items()]
    if not dumps:
        return Answer("I have no record of a dump yet.", {"topic": "history", "rows": rows})
    moments: dict[datetime, list[str]] = {}
    for tank, at in sorted(dumps.items(), key=lambda item: item[1], reverse=True):
        moments.setdefault(at, []).append(tank)
    parts = [f"{times.listed(tanks)} {times.happened(at, scene.now)}{_ago(at, scene)}" for at, tanks in moments.items()]
    return Answer(f"Last dumped: {times.listed(parts)}.", {"topic": "history", "rows": rows})


def _ago(at: datetime, scene: Scene) -> str:
    days = (usage.local_date(scene.now, scene.now) - usage.local_date(at, scene.now)).days
    return f", {amounts.counted(days, 'day')} ago" if days > 1 else ""


def _last_events(count: int, ask: Ask, scene: Scene) -> Answer:
    def fitting(entries: Sequence[Entry]) -> list[Entry]:
        who = {person.casefold() for person in ask.people}
        chosen = [e for e in entries if ask.activity is None or (e.kind == "use" and e.activity == ask.activity)]
        chosen = [e for e in chosen if not who or (e.get("person") or "").casefold() in who]
        return usage.last_events([e for e in chosen if ask.subject not in DONE or e.kind == ask.subject], count)

    last = fitting(scene.lately(lambda found: len(fitting(found)) >= count))
    rows = [_event_row(entry) for entry in last]
    facts = {"topic": "history", "rows": rows}
    if not last:
        return Answer("Nothing is logged yet.", facts)
    lines = [f"{times.exactly(entry.at, scene.now)}: {_event_words(entry, scene)}" for entry in last]
    return Answer("\n".join(f"{line[0].upper()}{line[1:]}." for line in lines), facts)


def _event_row(entry: Entry) -> dict[str, Any]:
    own = {
        name: entry.get(name)
        for name in ("activity", "person", "count", "tank", "litres", "fraction", "meter", "estimated")
    }
    return {"id": entry.id, "at": entry.at, "kind": entry.kind, **{k: v for k, v in own.items() if v is not None}}


def _event_words(entry: Entry, scene: Scene) -> str:
    litres = entry.get("litres")
    if entry.kind in echo.PARTS and entry.kind not in ("undo", "redo", "amend", "step"):
        return echo.words_of(entry, scene)
    volume = f" {scene.exact(litres)}" if litres is not None else ""
    return f"{entry.kind.replace('_', ' ')} {entry.get('tank') or ''}".rstrip() + volume
