"""Sums of the record: how often dumped or filled, the day that took the most, today beside yesterday by this time, what nobody logged.

May import: `history`, `words`, `scene`, state's usage.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.answers.history import flows_of, span_of
from assistant.answers.outlooks import capital
from assistant.answers.words import noun
from assistant.say import amounts, times
from assistant.scene import Answer, Scene
from grammar.intents import Ask
from state.lightclass import Any
from state.used import usage

COUNTED = {"dumps": "dump", "fills": "fill", "hauls": "haul", "rinses": "rinse"}
DONE = {"dump": "dumped", "fill": "filled", "haul": "hauled", "rinse": "rinsed"}
SINCE = {"since dump": "dump", "since fill": "fill"}
PEAKS = frozenset({"most in a day", "least in a day"})
MONTH = timedelta(days=30)
A_DAY = timedelta(days=1)
LEAST_HOURS = 20.0
"""A day of which less is known is not called the one that took the least. [hours]"""


def answer(ask: Ask, scene: Scene) -> Answer:
    """By `subject`."""
    subject = str(ask.subject)
    if subject in COUNTED or subject in DONE:
        return _how_often(COUNTED.get(subject, subject), ask, scene)
    if ask.subject in PEAKS:
        return _peak(ask, scene)
    if ask.subject in SINCE:
        return _since(SINCE[str(ask.subject)], ask, scene)
    if subject == "leaked":
        return _leaked(ask, scene)
    return _by_now(scene) if ask.subject == "by now" else _unlogged(ask, scene)


LEAKS = frozenset({"water-ran-while-away", "use-out-of-habit"})


def _leaked(ask: Ask, scene: Scene) -> Answer:
    """What ran while nobody was aboard, or out of all habit, and may have been a leak."""
    found = [one for one in scene.world.findings if one.reference in LEAKS and one.litres]
    if ask.when is not None:
        start, end, _ = span_of(ask, scene)
        found = [one for one in found if start <= one.at <= end]
    litres = sum(one.litres or 0.0 for one in found)
    facts: dict[str, Any] = {"topic": "history", "litres": litres, "times": len(found), "tanks": []}
    if not found:
        return Answer("By the meter nothing ran that looks like a leak; what was not logged is another matter.", facts)
    last = times.exactly(found[-1].at, scene.now)
    times_over = f", {len(found)} times, the last seen {last}" if len(found) > 1 else f", seen {last}"
    return Answer(f"{capital(scene.amount(litres))} ran that may have been a leak{times_over}.", facts)


def _how_often(kind: str, ask: Ask, scene: Scene) -> Answer:
    """How many times it was done in a stretch; tanks emptied in one go count once. Without a stretch, since the log began."""
    if ask.when is not None:
        start, end, name = span_of(ask, scene)
        found = scene.since(start)
    else:
        found = scene.entries
        start, end, name = scene.world.began or scene.now, scene.now, "so far"
    own = [
        entry
        for entry in found
        if entry.kind == kind
        and start <= entry.at <= end
        and (ask.tank is None or (entry.get("tank") or "").casefold() == ask.tank.casefold())
    ]
    goes = sorted({entry.at for entry in own})
    rows = [{"kind": kind, "tank": entry.get("tank"), "at": entry.at, "litres": entry.get("litres")} for entry in own]
    facts = {"topic": "history", "from": start, "until": end, "times": len(goes), "rows": rows}
    what = f"{ask.tank} " if ask.tank else ""
    if not goes:
        return Answer(f"{capital(name)}: {what}not once {DONE[kind]}, as far as it was told.", facts)
    last = f"last {times.happened(goes[-1], scene.now)}" if len(goes) > 1 else times.happened(goes[-1], scene.now)
    return Answer(f"{capital(name)}: {what}{DONE[kind]} {amounts.times(len(goes))}, {last}.", facts)


def _since(kind: str, ask: Ask, scene: Scene) -> Answer:
    """What was used since a tank was last dumped or filled."""
    found = scene.lately(lambda entries: usage.last_of(entries, kind, ask.tank) is not None)
    last = usage.last_of(found, kind, ask.tank)
    if last is None:
        what = f"{DONE[kind]} {ask.tank}" if ask.tank else DONE[kind]
        return Answer(f"I have no record that you ever {what}.", {"topic": "history", "rows": []})
    now = scene.now + timedelta(seconds=1)
    whole = usage.used(scene.since(last.at), flows_of(scene, last.at, now), last.at, now)
    facts = {
        "topic": "history",
        "from": last.at,
        "until": scene.now,
        "litres": whole.litres,
        "logged_litres": whole.logged,
    }
    done = f"{ask.tank} was {DONE[kind]}" if ask.tank else f"the last {kind}"
    since = f"since {done} {times.happened(last.at, scene.now)}"
    if ask.activity is None:
        return Answer(f"{capital(scene.amount(whole.litres))} {since}.", facts)
    own = whole.by_activity.get(ask.activity)
    facts |= {"times": own.n if own else 0, "litres": own.litres if own else 0.0}
    if own is None:
        return Answer(f"Nothing logged for {noun(ask.activity)} {since}.", facts)
    return Answer(f"{capital(noun(ask.activity))} {amounts.times(own.n)}, {scene.amount(own.litres)}, {since}.", facts)


def _peak(ask: Ask, scene: Scene) -> Answer:
    """The day that took the most (or the least) of a stretch, or of the last thirty days, beside the mean of a day."""
    if ask.when is not None:
        start, end, _ = span_of(ask, scene)
    else:
        start, end = scene.now - MONTH, scene.now
    start, end = max(start, scene.world.began or start), min(end, scene.now)
    least = ask.subject == "least in a day"
    days = usage.by_day(scene.since(start), flows_of(scene, start, end), start, end)
    whole = [day for day in days if (day.end - day.start).total_seconds() >= 3600.0 * LEAST_HOURS]
    rows = [{"date": usage.local_date(day.start, scene.now).isoformat(), "litres": day.litres} for day in days]
    facts = {"topic": "history", "from": start, "until": end, "rows": rows}
    choice = whole if least else days
    if not choice or max(day.litres for day in choice) < 0.05:
        return Answer("Too little is logged to tell one day from another.", facts)
    found = min(choice, key=lambda day: day.litres) if least else max(choice, key=lambda day: day.litres)
    facts |= {"date": usage.local_date(found.start, scene.now).isoformat(), "litres": found.litres}
    text = f"{capital(_on(found.start, scene))}, with {scene.amount(found.litres)}"
    if len(whole) > 1:
        mean = sum(day.litres for day in whole) / len(whole)
        text += f"; a day takes {scene.amount(mean)} on average"
    return Answer(f"{text}.", facts)


def _on(at: datetime, scene: Scene) -> str:
    """ "yesterday", "on Saturday 6 June"."""
    day = times.day(at, scene.now)
    return day if day in ("today", "yesterday") else f"on {times.full_day(at, scene.now)}"


def _by_now(scene: Scene) -> Answer:
    """What today took so far beside what yesterday took by the same hour, and in all."""
    midnight = scene.now.replace(hour=0, minute=0, second=0, microsecond=0)
    edges = [midnight - A_DAY, scene.now - A_DAY, midnight, scene.now + timedelta(seconds=1)]
    early, late, today = usage.in_parts(scene.since(edges[0]), flows_of(scene, edges[0], edges[-1]), edges)
    yesterday = early.litres + late.litres
    facts = {
        "topic": "history",
        "rows": [
            {
                "date": usage.local_date(edges[0], scene.now).isoformat(),
                "litres": yesterday,
                "by_now_litres": early.litres,
            },
            {
                "date": usage.local_date(midnight, scene.now).isoformat(),
                "litres": today.litres,
                "by_now_litres": today.litres,
            },
        ],
        "difference_litres": today.litres - early.litres,
    }
    text = f"{capital(scene.amount(today.litres))} so far today, against {scene.rounded(early.litres)} by this time yesterday"
    return Answer(f"{text} and {scene.rounded(yesterday)} in the whole of it.", facts)


def _unlogged(ask: Ask, scene: Scene) -> Answer:
    """What went through without being logged: all that meter and levels tell, less what was said."""
    start, end, name = span_of(ask, scene)
    end = min(end, scene.now)
    whole = usage.used(scene.since(start), flows_of(scene, start, end), start, end)
    facts = {"topic": "history", "from": start, "until": end, "litres": whole.litres, "logged_litres": whole.logged}
    facts["unlogged_litres"] = whole.unlogged
    if whole.litres < 0.05:
        return Answer(f"{capital(name)}: nothing logged or metered.", facts)
    if whole.unlogged < 0.02 * whole.litres:
        return Answer(
            f"{capital(name)}: nothing, as far as I can tell; all {scene.rounded(whole.litres)} are logged.", facts
        )
    share = amounts.percent(whole.unlogged / whole.litres)
    text = f"{capital(name)}: {scene.amount(whole.unlogged)} of {scene.rounded(whole.litres)} was not logged, {share}."
    if not any(entry.kind == "meter" for entry in scene.since(start)):
        text += " Without a meter reading that is what I expect, not what was measured."
    return Answer(text, facts)
