"""How things stand outside, by what was told: one piece of gear, the waste valves, what we draw from, whether one may dump here.

May import: state, assistant.say, assistant.scene, grammar.intents.
"""

from __future__ import annotations

from assistant.say import times
from assistant.scene import Answer, Scene, which_tank
from grammar.intents import Ask
from state.care import checklist, sites
from state.lightclass import Any


def answer(ask: Ask, scene: Scene) -> Answer:
    """By subject: "gear hose", "valve", "supply", "may dump". Raises AskBack for a tank that the rig lacks."""
    subject = (ask.subject or "").casefold()
    if subject == "valve":
        return valves(ask, scene)
    if subject == "supply":
        return supply(scene)
    if subject == "may dump":
        return may_dump(ask, scene)
    return one_thing(subject.removeprefix("gear "), scene)


def _facts(subject: str, rows: list[dict[str, Any]]) -> dict[str, Any]:
    return {"topic": "history", "subject": subject, "rows": rows}


def one_thing(item: str, scene: Scene) -> Answer:
    """Where one piece of gear is, by what was told of it last."""
    item = next(
        (name for name in scene.world.gear_known if name.casefold() == item or name.casefold().endswith(f" {item}")),
        item,
    )
    where, since = scene.world.gear_known.get(item), scene.world.gear_out.get(item)
    row = {"item": item, "where": where, "since": since}
    if where is None:
        return Answer(f"I have nothing on record of the {item}, neither outside nor stowed.", _facts("gear", [row]))
    behind = item in checklist.left_behind(scene.world)
    told = f"outside since {scene.day(since)}" if since else "stowed"
    lost = " It was never stowed since the last place." if behind else ""
    return Answer(f"By what you told me the {item} is {told}.{lost}", _facts("gear", [row]))


def valves(ask: Ask, scene: Scene) -> Answer:
    """Which waste valves stand open by what was told; raises AskBack for a tank that the rig lacks."""
    tanks, opened = scene.world.rig.tanks, scene.world.open_valves
    if ask.tank is not None and ask.tank.casefold() not in tanks:
        raise which_tank(ask.tank, scene.world.rig)
    asked = [
        key for key, tank in tanks.items() if tank.kind != "fresh" and (ask.tank is None or key == ask.tank.casefold())
    ]
    rows = [{"tank": key, "open": key in opened, "since": opened.get(key)} for key in asked]
    told = [f"{key} is open since {times.moment(opened[key], scene.now)}" for key in asked if key in opened]
    shut = [key for key in asked if key not in opened]
    if not asked:
        return Answer("There is no waste tank on record.", _facts("valve", rows))
    if not told:
        return Answer(
            f"As far as I know {times.listed(shut)} {'are' if len(shut) > 1 else 'is'} shut; no open valve was told.",
            _facts("valve", rows),
        )
    rest = f", {times.listed(shut)} shut" if shut else ""
    return Answer(f"By what you told me {times.listed(told)}{rest}.", _facts("valve", rows))


def supply(scene: Scene) -> Answer:
    """Whether water comes from the site or the fresh tank."""
    world = scene.world
    here = f" at {world.stay.site}" if world.stay.site else ""
    text = f"On the site's water{here}" if world.supply == "hookup" else f"On the fresh tank and the pump{here}"
    return Answer(
        f"{text}, {'by what you told me' if world.supply_told else 'as I take it'}.",
        _facts("supply", [{"from": world.supply}]),
    )


def may_dump(ask: Ask, scene: Scene) -> Answer:
    """Whether the place has a sewer, as it was told; where it has none, what to do instead."""
    stay = scene.world.stay
    known = sites.known(scene.world, ask.site) if ask.site else None
    site, sewer = (known.site, known.sewer) if known else (ask.site or stay.site, None if ask.site else stay.sewer)
    place, rows = site or "this place", [{"site": site, "sewer": sewer}]
    which = f"the {ask.tank} valve" if ask.tank else "the valves"
    if sewer:
        text = f"Yes, {place} has a sewer, as you told me. Gloves on, the hose first, then black before grey."
    elif sewer is False:
        text = f"No: {place} has no sewer, as you told me. Keep {which} shut; take it to a dump station, or carry it off in a tote."
    else:
        text = f"You haven't told me whether {place} has a sewer. Without one keep {which} shut; only a sewer or a dump station may take it."
    return Answer(text, _facts("may dump", rows))
