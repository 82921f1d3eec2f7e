"""What the water weighs: aboard now, at departure, against a limit, in a tote, or any amount.

May import: state, assistant.say, assistant.scene, grammar.intents.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.answers.dose import litres_of
from assistant.answers.rinse import whole
from assistant.say import amounts, times
from assistant.say.room import capital, is_unknown
from assistant.scene import Answer, AskBack, CannotBe, Scene, which_tank
from grammar.intents import Ask
from state import figures_safety as figures
from state.care import tote
from state.lightclass import Any, replace
from state.water import weight


def answer(ask: Ask, scene: Scene) -> Answer:
    """By subject: the tote, an amount as said, else what is aboard. Raises AskBack for a tote of unknown size."""
    subject = (ask.subject or "").casefold()
    unit = ask.amount.unit if ask.amount is not None else None
    if "tote" in subject or unit == "tote":
        return of_tote(ask, scene)
    part = ask.amount.value if ask.amount is not None and unit in ("fraction", "percent") else None
    if subject == "road":
        return on_the_road(ask, scene)
    if subject == "full" or part is not None:
        return of_part(ask, 1.0 if part is None else part / 100.0 if unit == "percent" else part, scene)
    if ask.amount is not None and ask.amount.value is not None:
        return of_amount(ask, scene)
    if subject == "that" and (carried := _carried(scene)) is not None:
        return of_litres(carried, scene)
    return aboard(ask, scene, departing="depart" in subject or "leav" in subject)


SAME_TALK = timedelta(hours=2)
"""For so long "that" may be what was carried off last."""


def _carried(scene: Scene) -> float | None:
    """ "How heavy was that": what was carried off just before. [litres]"""
    last = next(
        (entry for entry in reversed(scene.since(scene.now - SAME_TALK)) if entry.kind in ("haul", "fill")), None
    )
    return last.get("litres") if last is not None and last.kind == "haul" else None


def said(kilograms: float, scene: Scene) -> str:
    """Rounded as it is known: whole below 50, fives to 500, tens above (of the person's own unit)."""
    scale = amounts.KILOGRAMS_PER_POUND if scene.units == "us" else 1.0
    value = kilograms / scale
    step = 1 if abs(value) < 50 else 5 if abs(value) < 500 else 10
    return f"{round(value / step) * step} {'lb' if scene.units == 'us' else 'kg'}"


def aboard(ask: Ask, scene: Scene, departing: bool = False) -> Answer:
    """All tanks, or the one named, now or at the end of the stay (or the moment asked about)."""
    at, subject = _at(ask, scene, departing), (ask.subject or "").casefold()
    water = weight.aboard(scene.world, at)
    if not water.tanks:
        raise AskBack("How much does the fresh tank hold?", "capacity")
    each = {name: spread.quantile(0.5) for name, spread in water.tanks.items()}
    facts: dict[str, Any] = {
        "topic": "weight",
        "at": at,
        "kilograms": water.kilograms,
        "tanks": [{"name": name, "kilograms": kg, **water.tanks[name].points} for name, kg in each.items()],
    }
    memo = {"topic": "weight"}
    when = "" if at == scene.now else f" {times.on(times.moment(at, scene.now))}, if all goes on as it is,"
    if ask.tank is not None:
        key = ask.tank.casefold()
        if key not in each:
            raise which_tank(ask.tank, scene.world.rig)
        facts["tank"], facts["kilograms"] = key, each[key]
        verb = "will hold" if when else "holds"
        return Answer(f"{key.capitalize()}{when} {verb} about {said(each[key], scene)} of water.", facts, (), memo)
    rows = (
        times.listed([f"{name} {said(kg, scene)}" for name, kg in each.items() if kg >= 0.5]) or "nothing in the tanks"
    )
    head = f"About {said(water.kilograms, scene)} of water aboard" + (f"{when[:-1]}" if when else "")
    text = f"{head}: {rows}."
    guessed = [tank.name for tank in scene.belief.tanks.values() if is_unknown(tank)] if at == scene.now else []
    if guessed:
        text += f" {capital(times.listed(guessed))} {'are' if len(guessed) > 1 else 'is'} only a guess until you tell me how full."
    text, cautions = _against_limit(text, facts, water, scene)
    if "limit" in subject and "limit" not in facts:
        text += f" {NO_LIMIT}"
    return Answer(text, facts, cautions, memo)


NO_LIMIT = "I know no limit yet: say for example cargo limit 1500 lb, or water weight limit 400 lb. The plates and a scale tell what is true."


def _at(ask: Ask, scene: Scene, departing: bool) -> datetime:
    asked = ask.until or ask.when
    if asked is not None:
        return max(scene.until(asked), scene.now)
    return scene.until(None) if departing else scene.now


def _against_limit(text: str, facts: dict[str, Any], water: weight.Aboard, scene: Scene) -> tuple[str, tuple[str, ...]]:
    margin = weight.margin(scene.world, water)
    if margin is None:
        return text, ()
    facts["limit"] = {
        "of": margin.of,
        "kilograms": margin.limit,
        "left_kilograms": margin.left,
        "left_litres": margin.litres,
    }
    if margin.of == "cargo" and margin.left >= 0:
        return f"{text} Your cargo limit leaves {said(margin.left, scene)} for everything else.", ()
    name = "your limit for water" if margin.of == "water_weight" else "your cargo limit"
    if margin.left < 0:
        return (
            f"{text} That is {said(-margin.left, scene)} over {name}; {scene.rounded(-margin.litres)} would have to go.",
            ("overload",),
        )
    return f"{text} That is {said(margin.left, scene)} under {name}: room for {scene.rounded(margin.litres)} more.", ()


def of_part(ask: Ask, part: float, scene: Scene) -> Answer:
    """A full tank, or half a tank: what it would weigh, by the size that was told; all of them where none is named."""
    tanks = scene.world.rig.tanks
    if ask.tank is not None and ask.tank.casefold() not in tanks:
        raise which_tank(ask.tank, scene.world.rig)
    chosen = [tank for key, tank in tanks.items() if ask.tank is None or key == ask.tank.casefold()]
    if not chosen:
        raise AskBack("How much does the fresh tank hold?", "capacity")
    each = {tank.name: weight.of_litres(part * tank.litres) for tank in chosen}
    kilograms, litres = sum(each.values()), part * sum(tank.litres for tank in chosen)
    facts = {
        "topic": "weight",
        "kilograms": kilograms,
        "litres": litres,
        "tanks": [{"name": name, "kilograms": kg} for name, kg in each.items()],
    }
    state = "Full" if part == 1.0 else f"{amounts.percent(part)} full"
    if ask.tank is not None:
        text = f"{state}, {chosen[0].name} weighs about {said(kilograms, scene)}: {scene.exact(litres)} of water."
        return Answer(text, facts, (), {"topic": "weight"})
    rows = times.listed([f"{name} {said(kg, scene)}" for name, kg in each.items()])
    return Answer(
        f"{state}, all the tanks weigh about {said(kilograms, scene)}: {rows}.", facts, (), {"topic": "weight"}
    )


ROAD = "I can't say whether that is safe: the maker's manual says how full the tanks may travel, the plates what rig, axles and hitch may carry."


def on_the_road(ask: Ask, scene: Scene) -> Answer:
    """Whether one may drive with so much water: never a yes and never odds, but what it weighs and what the limit leaves."""
    facts: dict[str, Any] = {"topic": "weight", "subject": "road", "tanks": []}
    if not scene.world.rig.tanks:
        return Answer(ROAD, facts, (), {"topic": "weight"})
    full, now = (
        of_part(replace(ask, amount=None), 1.0, scene),
        aboard(replace(ask, tank=None, when=None, until=None), scene),
    )
    facts |= now.facts | {"subject": "road", "full_kilograms": full.facts["kilograms"]}
    return Answer(f"{ROAD} {full.text} {now.text}", facts, now.cautions, now.memo)


def of_amount(ask: Ask, scene: Scene) -> Answer:
    assert ask.amount is not None and ask.amount.value is not None
    litres = litres_of(ask.amount.value, ask.amount.unit, scene)
    if litres < 0:
        raise CannotBe("An amount of water can't be less than nothing.")
    return of_litres(litres, scene)


def of_litres(litres: float, scene: Scene) -> Answer:
    kilograms = weight.of_litres(litres)
    facts = {"topic": "weight", "kilograms": kilograms, "litres": litres, "tanks": []}
    return Answer(f"{scene.exact(litres)} of water weighs {amounts.weight(kilograms, scene.units)}.", facts)


def of_tote(ask: Ask, scene: Scene) -> Answer:
    """A full tote, or as much in it as was said: its weight, and how much one person may lift."""
    rig = scene.world.rig
    litres = None
    if (
        ask.amount is not None
        and ask.amount.value is not None
        and ask.amount.unit not in ("tote", "fraction", "percent")
    ):
        litres = litres_of(ask.amount.value, ask.amount.unit, scene)
    elif ask.amount is not None and ask.amount.unit == "fraction" and ask.amount.value is not None and rig.tote_litres:
        litres = rig.tote_litres * ask.amount.value
    load = tote.load(rig, litres)
    if load is None:
        raise AskBack("How much does the tote hold?", "capacity")
    which = "A full tote" if litres is None else "That tote"
    empty = "" if load.tare_known else ", not counting the tote itself"
    text = f"{which} weighs about {said(load.kilograms, scene)} with {scene.exact(load.litres)} of water{empty}."
    liftable = tote.liftable_litres(rig)
    trips = _trips(ask, scene)
    if trips is not None:
        text = f"Emptying {ask.tank} takes {amounts.counted(trips, 'trip')}, each about {said(load.kilograms, scene)}{empty}."
    if load.too_heavy:
        text += f" To lift it alone put in {whole(liftable, scene)} at most."
    facts: dict[str, Any] = {
        "topic": "weight",
        "trips": trips,
        "kilograms": load.kilograms,
        "litres": load.litres,
        "tare_known": load.tare_known,
        "liftable_litres": liftable,
        "lift_limit_kilograms": figures.LIFT_KILOGRAMS.value,
        "tanks": [],
    }
    return Answer(text, facts, ("lift",) if load.too_heavy else ())


def _trips(ask: Ask, scene: Scene) -> int | None:
    """Totes to empty the tank named, to the middle of what is believed to be in it; None if none was named."""
    if ask.tank is None or ask.tank.casefold() not in scene.belief.tanks:
        return None
    return tote.trips(scene.world.rig, scene.belief.tanks[ask.tank.casefold()].level.quantile(0.5))
