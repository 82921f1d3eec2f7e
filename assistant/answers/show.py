"""What can be shown: the tanks with their doubt, the forecast as a fan against the end of the stay, a week by day and activity.

Makes the picture as plain data (litres, aware datetimes) for `pictures.py` and `svg.py`, and the drawing in text for the answer: the
doors draw it anew where their screen is narrower or wider, and say `facts.spoken` where nothing can be seen.
May import: `scene`, `pictures`, `say`, state's forecast and usage.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant import gauges, pictures
from assistant.answers import outlooks
from assistant.say import amounts, odds, room, times
from assistant.scene import Answer, CannotBe, Scene
from grammar import spans
from grammar.intents import Ask
from state.ahead import forecast
from state.lightclass import Any
from state.spread import Spread, z_of
from state.used import usage
from state.water.belief import TankBelief

SUBJECTS = ("tanks", "forecast", "week")
A_WEEK = timedelta(days=7)
A_MOMENT = timedelta(seconds=1)
"""What was logged just now belongs to the stretch that ends now."""
BEYOND = 1.12
"""How far a forecast is drawn past the end of the stay, so that the end stands in the picture."""
SAMPLES = 61


def answer(ask: Ask, scene: Scene) -> Answer:
    """By `subject`: `tanks`, `forecast` or `week`."""
    subject = ask.subject if ask.subject in SUBJECTS else "tanks"
    topic = {"tanks": "status", "forecast": "make_it", "week": "history"}[subject]
    picture, facts = {"tanks": _tanks, "forecast": _forecast, "week": _week}[subject](ask, scene)
    facts = {"topic": topic, **facts, "picture": picture, "spoken": _spoken(picture)}
    return Answer(pictures.text(picture), facts)


def _spoken(picture: dict[str, Any]) -> str:
    """The picture in sentences."""
    if picture["what"] == "week":
        return str(picture["said"])
    first = [f"{picture['title']}."] if picture["what"] == "forecast" else []
    return " ".join([*first, *(f"{_headed(tank)}." for tank in picture["tanks"])])


def _headed(tank: dict[str, Any]) -> str:
    chance = f", {tank['odds']}" if tank.get("odds") else ""
    return f"{tank['name'].capitalize()}: {tank['said']}{chance}"


def _ordered(scene: Scene, named: str | None) -> list[TankBelief]:
    tanks = sorted(scene.belief.tanks.values(), key=lambda one: gauges.ORDER[one.kind])
    if named is None:
        return tanks
    return [one for one in tanks if named.casefold() in (one.name.casefold(), one.kind)] or tanks


def _tank(tank: TankBelief, scene: Scene) -> dict[str, Any]:
    return {
        "name": tank.name,
        "kind": tank.kind,
        "capacity_litres": scene.world.rig.tanks[tank.name.casefold()].litres,
        "level_litres": tank.level.points,
        "room_litres": tank.room.points,
        "drawn": not _runs_off(tank) and not room.is_unknown(tank),
    }


# ---------------------------------------------------------------- the tanks


def _tanks(ask: Ask, scene: Scene) -> tuple[dict[str, Any], dict[str, Any]]:
    drawn = [{**_tank(tank, scene), "said": _level_words(tank, scene)} for tank in _ordered(scene, ask.tank)]
    title = f"The tanks {scene.exactly(scene.now)}"
    picture = {"what": "tanks", "title": title, "units": scene.units, "tanks": drawn}
    facts = [
        {name: tank[name] for name in ("name", "kind", "capacity_litres", "level_litres", "room_litres")}
        for tank in drawn
    ]
    return picture, {"tanks": facts}


NOT_KNOWN = "not known yet how full"
SURE = 0.985


def _runs_off(tank: TankBelief) -> bool:
    return tank.flowing and tank.kind != "fresh"


def _level_words(tank: TankBelief, scene: Scene) -> str:
    """ "27 gal left, most likely 24 to 30"; "room for 9 gal, most likely 6 to 12"."""
    if _runs_off(tank):
        return "runs off through its open valve"
    if room.is_unknown(tank):
        return f"{NOT_KNOWN}, tell me once"
    points = tank.room.points
    # the true capacity is in doubt too, but nobody thinks of it so
    size = scene.world.rig.tanks[tank.name.casefold()].litres
    middle = scene.rounded(min(points["p50"], size))
    said = f"{middle} left" if tank.kind == "fresh" else f"room for {middle}"
    low, high = (scene.rounded(min(points[name], size)).rsplit(" ", 1)[0] for name in ("p10", "p90"))
    return said if low == high else f"{said}, likely {low} to {high}"


# ---------------------------------------------------------------- the forecast


def _forecast(ask: Ask, scene: Scene) -> tuple[dict[str, Any], dict[str, Any]]:
    until = _end(ask, scene)
    named = ask.until is not None or ask.nights is not None
    stay = (
        until if named else scene.stay_until if scene.stay_until is not None and scene.stay_until > scene.now else None
    )
    last = scene.now + (until - scene.now) * (BEYOND if stay is not None else 1.0)
    made = forecast.make_it(scene.world, scene.now, until, (), scene.belief)
    paths = _paths(scene, last)
    drawn = []
    for tank in _ordered(scene, ask.tank):
        outlook = made.tanks[tank.name]
        said = _future_words(outlook, tank, scene, last)
        chance = amounts.percent(outlook.probability) if stay is not None else ""
        chance = "" if said.startswith("lasts,") else chance if said == "lasts" or not chance else f"{chance} to last"
        own = {"said": said, "odds": chance, "path": paths[tank.name]}
        gives_out = dict(outlook.gives_out)
        drawn.append({**_tank(tank, scene), **own, "gives_out_at": gives_out, "probability": outlook.probability})
    if any(row["drawn"] and row["name"] == made.binding for row in drawn) and ask.tank is None:
        for row in drawn:  # of those that surely last a line says so: a small screen has room for the one that counts
            row["drawn"] = row["drawn"] and (row["probability"] < SURE or row["name"] == made.binding)
    title = "The next seven days"
    if stay is not None:
        title = f"Making it to {scene.exactly(until)}: {odds.said(made.probability)}"
    picture = {
        "what": "forecast", "title": title, "units": scene.units,
        "from": scene.now, "until": last, "stay_until": stay, "tanks": drawn,
    }  # fmt: skip
    facts = {
        "until": until,
        "probability": made.probability,
        "binding": made.binding,
        "budget_litres_per_day": made.budget_litres_per_day,
        "tanks": [outlooks.tank_facts(each, until=True) for each in made.tanks.values()],
    }
    return picture, facts


def _end(ask: Ask, scene: Scene) -> datetime:
    """Until when the forecast is drawn: as asked, the end of the stay, or a week."""
    if ask.nights is not None:
        return (scene.now + timedelta(days=round(ask.nights))).replace(hour=10, minute=0, second=0, microsecond=0)
    if ask.until is not None:
        at = scene.until(ask.until)
        if at <= scene.now:
            raise CannotBe("That moment has passed, so there is no forecast for it.")
        return at
    if scene.stay_until is not None and scene.stay_until > scene.now:
        return scene.stay_until
    return scene.now + A_WEEK


def _paths(scene: Scene, last: datetime) -> dict[str, dict[str, list[float]]]:
    """p10, p50 and p90 of every tank's level, sampled evenly from now to `last`. [litres]"""
    voyage = forecast.Voyage.of(scene.world, scene.now, last, (), scene.belief)
    moments = [scene.now + (last - scene.now) * (n / (SAMPLES - 1)) for n in range(SAMPLES)]
    found = {}
    for course in voyage.courses:
        tank = scene.belief.tanks[course.name.casefold()]
        size = scene.world.rig.tanks[course.name.casefold()].litres
        levels = [tank.level, *(forecast.level_at(course, tank, at) for at in moments[1:])]
        found[course.name] = {name: [_reached(each, z, size) for each in levels] for name, z in POINTS}
    return found


POINTS = (("p10", z_of(0.1)), ("p50", 0.0), ("p90", z_of(0.9)))


def _reached(level: Spread, z: float, size: float) -> float:
    """A point of a level to come, held at the rim: what would be above it has filled the tank, and the picture says full. [litres]"""
    return min(size, max(0.0, level.mean + z * level.sd))


def _future_words(outlook: forecast.TankOutlook, tank: TankBelief, scene: Scene, last: datetime) -> str:
    """ "full on Saturday evening, between Friday night and Sunday morning"; "lasts"."""
    if _runs_off(tank):
        return "runs off through its open valve"
    if room.is_unknown(tank):
        return "lasts, however full it is" if outlook.probability >= SURE else f"{NOT_KNOWN}, tell me once"
    state = "empty" if tank.kind == "fresh" else "full"
    early, middle, late = (outlook.gives_out[name] for name in ("p10", "p50", "p90"))
    if middle is None:
        return "lasts" if early is None or early > last else f"may be {state} by {scene.moment(early)}"
    if middle <= scene.now:
        return f"{state} already, as far as I can tell"
    said = f"{state} {outlooks.when(middle, scene)}"
    if early is not None and late is not None and scene.moment(early) != scene.moment(late):
        said += f", between {scene.moment(early)} and {scene.moment(late)}"
    return said


# ---------------------------------------------------------------- the week


def _week(ask: Ask, scene: Scene) -> tuple[dict[str, Any], dict[str, Any]]:
    from assistant.answers.history import flows_of

    start, end, name = _span(ask, scene)
    flowed = flows_of(scene, start, end)
    entries = scene.since(start)
    days = usage.by_day(entries, flowed, start, end)
    drawn = [_day(day, scene) for day in days]
    whole = usage.used(entries, flowed, start, end)
    title = f"{name}: {scene.rounded(whole.litres)} used"
    picture = {
        "what": "week",
        "title": title,
        "units": scene.units,
        "days": drawn,
        "said": _week_words(days, whole, name, scene),
    }
    rows = [
        {
            "date": day["date"],
            "litres": day["litres"],
            "unlogged_litres": day["unlogged_litres"],
            "activities": day["activities"],
        }
        for day in drawn
    ]
    return picture, {"from": start, "until": end, "litres": whole.litres, "rows": rows}


def _span(ask: Ask, scene: Scene) -> tuple[datetime, datetime, str]:
    """From, to and its name: the week that was said, else the seven days to now."""
    if ask.when is None:
        start = (scene.now - timedelta(days=6)).replace(hour=0, minute=0, second=0, microsecond=0)
        return start, scene.now + A_MOMENT, f"Seven days to {times.full_day(scene.now, scene.now)}"
    start, end = spans.span(ask.when, scene.now)
    if start >= scene.now:
        raise CannotBe("That is still to come, so there is nothing to show of it.")
    return start, min(end, scene.now + A_MOMENT), ask.when.text.strip().capitalize() or times.full_day(start, scene.now)


def _day(day: usage.Used, scene: Scene) -> dict[str, Any]:
    at = day.start.astimezone(scene.now.tzinfo)
    return {
        "date": at.date().isoformat(),
        "name": pictures.DAY_NAMES[at.weekday()],
        "litres": day.litres,
        "unlogged_litres": day.unlogged,
        "activities": {name: sums.litres for name, sums in sorted(day.by_activity.items()) if sums.litres > 0},
    }


def _week_words(days: list[usage.Used], whole: usage.Used, name: str, scene: Scene) -> str:
    if whole.litres < 0.05:
        return f"{name}: nothing was logged or metered."
    most = max(days, key=lambda day: day.litres)
    said = f"{name}: {scene.amount(whole.litres)}, the most {_on(most.start, scene)}, {scene.rounded(most.litres)}."
    top = max(whole.by_activity.items(), key=lambda item: item[1].litres, default=None)
    return f"{said} {top[0].capitalize()} took {scene.rounded(top[1].litres)} of it." if top is not None else said


def _on(at: datetime, scene: Scene) -> str:
    said = scene.day(at)
    return said if said in ("today", "yesterday") or said.startswith("last ") else f"on {said}"
