"""Can we make it, and how long does it last: the forecast in two sentences.

May import: `ends`, `outlooks`, `ways`, `scene`, state's forecast.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.answers import outlooks, ways
from assistant.answers.ends import ABOUT_THE_LAST, end_of, opening_of, stop_of
from assistant.answers.outlooks import capital, tank_facts
from assistant.interpret.context import Context
from assistant.say import amounts, odds, room
from assistant.scene import Answer, AskBack, Scene
from grammar.intents import Amount, Ask
from state.ahead import advice, forecast, runs
from state.ahead.forecast import MakeIt, Runway, TankOutlook
from state.ahead.runs import Way
from state.habits import pace
from state.lightclass import Any, replace


def answer(ask: Ask, scene: Scene) -> Answer:
    """Any question about how far it lasts: `make_it` or `runway`."""
    return {"make_it": make_it, "runway": runway}[ask.topic](ask, scene)


def asked_tank(ask: Ask, scene: Scene) -> str | None:
    """The one tank asked about, by its own name; a kind ("water", "fresh") names the first of it."""
    if ask.tank is None:
        return None
    if ask.tank.casefold() in scene.belief.tanks:
        return str(scene.belief.tanks[ask.tank.casefold()].name)
    return next((tank.name for tank in scene.belief.tanks.values() if tank.kind == ask.tank.casefold()), None)


def make_it(ask: Ask, scene: Scene) -> Answer:
    until = end_of(ask, scene)
    made = forecast.make_it(scene.world, scene.now, until, (), scene.belief)
    tank = asked_tank(ask, scene)
    if tank is None and ask.subject in ABOUT_THE_LAST and ask.until is None:
        tank = asked_tank(replace(ask, tank=scene.last.get("asked_tank")), scene)
    plain = made.tanks[tank].probability if tank is not None else made.probability
    found = advice.ways_out(scene.world, scene.now, made.until, made, scene.belief, tank)
    if ask.subject == "runs":  # "how many tote runs till Sunday"
        found = [way for way in found if any(part.kind in CARRIED for part in way.parts or (way,))]
    facts = {"topic": "make_it", **make_it_facts(made, tank), "ways": [ways.facts_of_way(way, plain) for way in found]}
    facts["pace"] = outlooks.pace_facts(scene)
    stop = stop_of(ask, scene)
    memo = {"topic": "make_it", "tank": tank or made.binding, "asked_tank": tank, "until": until.isoformat()}
    memo["site"] = stop.site if stop is not None else None
    if ask.subject == "budget":
        return Answer(budget_words(made, scene), facts, (), memo)
    if ask.subject in ("ways", "others", "runs"):
        return Answer(further_words(ask.subject, plain, made, found, scene), facts, ways.cautions(found), memo)
    text = make_it_words(made, plain, tank, found, scene)
    opening = opening_of(ask, until, scene)
    if opening:
        text = f"{opening}: {text[0].lower()}{text[1:]}"
    told = ways.said(found) if found and not _unknown(made, tank) else []
    return Answer(text, facts, ways.cautions(told), memo)


CARRIED = frozenset({"haul", "carry"})
"""Ways out that are trips with a tote."""


def further_words(subject: str, plain: float, made: MakeIt, found: list[Way], scene: Scene) -> str:
    """Every way, or those beside the ones already told."""
    if plain >= made.safety - advice.NEAR:
        return f"Nothing needs to be done: {odds.said(plain)} to last until {scene.exactly(made.until)}."
    told = ways.said(found) if found and subject == "others" else []
    beside = [way for way in found if way not in told]
    return ways.lines(beside or found, made.until, scene) or "I see no way to make it much likelier."


def budget_words(made: MakeIt, scene: Scene) -> str:
    """What may be used a day, until when, for what odds, which tank sets it, and what is used now."""
    until, daily = scene.exactly(made.until), made.budget_litres_per_day
    if daily is None or made.binding is None:
        return f"Nothing limits it before {until}."
    at_present = f"At present it is {scene.amount(made.pace_litres_per_day)} a day."
    if daily < advice.LEAST_LITRES_PER_PERSON_DAY * max(1, scene.people):
        wanted = f"For {amounts.percent(made.safety)} until {until}"
        return f"{wanted} it would be {scene.amount(daily)} a day, less than you need. Ask what else you can do."
    return f"{capital(scene.amount(daily))} a day till {until}, for {amounts.percent(made.safety)}; {made.binding} sets it. {at_present}"


def make_it_facts(made: MakeIt, tank: str | None = None) -> dict[str, Any]:
    """The interface's facts; a question about one tank is answered for that tank, with the joint chance beside it."""
    own = {
        "until": made.until,
        "probability": made.tanks[tank].probability if tank is not None else made.probability,
        "binding": made.binding,
        "budget_litres_per_day": made.budget_litres_per_day,
        "use_litres": made.use_litres,
        "tanks": [tank_facts(each, until=True) for each in made.tanks.values()],
    }
    if tank is not None:
        own["tank"], own["joint_probability"] = tank, made.probability
    if made.assumes:
        own["assumes"] = [{"what": each.what, "at": each.at, "site": each.site} for each in made.assumes]
    return own


def make_it_words(made: MakeIt, chance: float, tank: str | None, found: list[Way], scene: Scene) -> str:
    """Two sentences: the odds with the tight tank, then what to do; or the odds, then what is left."""
    tight = made.tanks[tank] if tank is not None else made.tanks[made.binding] if made.binding is not None else None
    opening = capital(odds.said(chance))
    if outlooks.is_guess(scene):
        opening += ", by what people usually use"
    if tight is None:
        return f"{opening}. Nothing gives out before {scene.exactly(made.until)}."
    if chance >= made.safety - advice.NEAR:
        left = outlooks.room_then(tight, scene)
        assumed = f", dumping at {made.assumes[0].site}" if made.assumes and made.assumes[0].site else ""
        return f"{opening}{assumed}. {capital(outlooks.when(made.until, scene))} there would be {left}."
    if _unknown(made, tank):
        return f"{opening}, but I don't know how full {tight.name} is; tell me that first."
    at_hand = ways.at_hand(found)
    if at_hand is not None:  # a dump where the sewer is, which anybody would make: no alarm
        done = f"If you {ways.words(at_hand, made.until, scene)}, {odds.said(at_hand.probability)}"
        return f"{done}. Left as it is: {opening[:1].lower()}{opening[1:]}, {_what_fails(made, tight, tank, scene)}."
    return f"{opening}: {_what_fails(made, tight, tank, scene)}. {ways.sentence(found, made.until, scene)}"


def _unknown(made: MakeIt, tank: str | None) -> bool:
    """The tight tank's level was never told: no way out is worth telling before that."""
    name = tank or made.binding
    return name is not None and room.is_unknown(made.tanks[name].now)


def _what_fails(made: MakeIt, tight: TankOutlook, tank: str | None, scene: Scene) -> str:
    """ "grey is the tight one, full on Sunday evening most likely"; where the other side fails as well, both."""
    other = [
        each
        for each in made.tanks.values()
        if tank is None and (each.kind == "fresh") != (tight.kind == "fresh") and each.probability < 0.5
    ]
    if not other:
        return f"{tight.name} is the tight one, {_gives_out(tight, scene)}"
    also = min(other, key=lambda each: each.probability)
    return _both_fail(tight, also, scene)


def _both_fail(one: TankOutlook, other: TankOutlook, scene: Scene) -> str:
    """ "grey would be full and fresh dry on Saturday morning"."""
    first, then = one.gives_out["p50"], other.gives_out["p50"]
    if first is None or then is None or outlooks.given_out(one, scene) or outlooks.given_out(other, scene):
        return f"{outlooks.would(one, scene)}, and {outlooks.would(other, scene)}"
    state = {"fresh": "dry"}
    at, after = outlooks.when(first, scene), outlooks.when(then, scene)
    ends = f" {at}" if at != after else ""
    return f"{one.name} would be {state.get(one.kind, 'full')}{ends} and {other.name} {state.get(other.kind, 'full')} {after}"


def _gives_out(tank: TankOutlook, scene: Scene) -> str:
    verb = "empty" if tank.kind == "fresh" else "full"
    at = tank.gives_out["p50"] or tank.gives_out["p10"]
    if at is None:
        return "though it lasts"
    return outlooks.given_out(tank, scene) or f"{verb} {outlooks.when(at, scene)} most likely"


# ---------------------------------------------------------------- runway


def runway(ask: Ask, scene: Scene) -> Answer:
    """When the first tank gives out; with a tank named, when that one does."""
    if ask.subject == "supply" and ask.amount is not None:
        return _supply(ask.amount, ask.count, scene)
    left = forecast.runway(scene.world, scene.now, (), scene.belief)
    tank = asked_tank(ask, scene) or _first_of_errand(ask.subject, left)
    facts = {"topic": "runway", **runway_facts(left, tank), "pace": outlooks.pace_facts(scene)}
    memo = {"topic": "runway", "tank": tank or left.first}
    if ask.subject in LATEST and tank is not None:
        by = runs.last_good_moment(left.tanks[tank].gives_out["p10"], scene.now)
        return Answer(latest_words(left.tanks[tank], by, scene), {**facts, "latest": by}, (), memo)
    return Answer(runway_words(left, tank, scene), facts, (), memo)


def _supply(said: Amount, people: int | None, scene: Scene) -> Answer:
    """ "How long will 100 gallons last the seven of us": so much water by the pace as it is, whatever is aboard."""
    litres = Context(scene).volume(said).litres or 0.0
    aboard = people or scene.people
    daily = pace.mean_rate(forecast.habits_of(scene.world)) * pace.persons(aboard)
    if litres <= 0.0 or daily <= 0.0:
        raise AskBack("How much water would that be?", "amount")
    left = forecast.runway(scene.world, scene.now, (), scene.belief)
    lasts = outlooks.outlook_days(timedelta(days=litres / daily))
    basis = "by what people usually use" if outlooks.is_guess(scene) else "at your pace"
    who, they = ("you", "you use") if aboard == scene.people else (amounts.people(aboard), "that is")
    text = f"{capital(scene.exact(litres))} would last {who} about {lasts}: {basis} {they} {scene.amount(daily)} a day."
    facts = {"topic": "runway", **runway_facts(left), "days": litres / daily, "litres": litres, "litres_per_day": daily}
    return Answer(text, facts, (), {"topic": "runway", "tank": None})


LATEST = ("latest", "latest fill")


def latest_words(tank: TankOutlook, by: datetime, scene: Scene) -> str:
    """ "Dump grey by Friday at 5:00: after that it is full with more than one chance in ten." """
    order = f"fill {tank.name}" if tank.kind == "fresh" else f"dump {tank.name}"
    state = "dry" if tank.kind == "fresh" else "full"
    if tank.gives_out["p10"] is None:
        return f"{capital(tank.name)} should last more than {forecast.HORIZON.days} days, as things stand."
    if by <= scene.now:
        return f"{capital(order)} now: it could be {state} within the hour."
    risk = f"after that it is {state} with more than one chance in ten"
    middle = tank.gives_out["p50"]
    most = f", most likely {outlooks.when(middle, scene)}" if middle is not None else ""
    return f"{capital(order)} by {scene.exactly(by)}: {risk}{most}."


def _first_of_errand(subject: str | None, left: Runway) -> str | None:
    """ "When do we need to dump" is about waste, "when do we need water" about fresh: the first tank of that side."""
    if subject not in ("dump", "haul", "fill", "dry", *LATEST):
        return None
    side = [
        each for each in left.tanks.values() if (each.kind == "fresh") == (subject in ("fill", "dry", "latest fill"))
    ]
    return _earliest(side).name if side else None


def _earliest(tanks: list[TankOutlook]) -> TankOutlook:
    """The one that gives out first at the median; the first of them where none ever does."""
    dated = [(at, place) for place, each in enumerate(tanks) if (at := each.gives_out["p50"]) is not None]
    return tanks[min(dated)[1]] if dated else tanks[0]


def runway_facts(left: Runway, tank: str | None = None) -> dict[str, Any]:
    """The interface's facts: `first` with its tank and the moments, null where nothing gives out within the horizon."""
    name = tank or left.first
    first = None if name is None else {"tank": name, **left.tanks[name].gives_out}
    return {"first": first, "tanks": [tank_facts(each, until=False) for each in left.tanks.values()]}


def runway_words(left: Runway, tank: str | None, scene: Scene) -> str:
    name = tank or left.first
    if name is not None and _not_drawn_on(left.tanks[name], scene):
        held = scene.amount(left.tanks[name].now.level.quantile(0.5))
        return f"{capital(name)} is not drawn on while you run on the hookup; it holds {held}."
    if name is None or left.tanks[name].gives_out["p50"] is None:
        days = forecast.HORIZON.days
        if name is None:
            return f"No tank gives out within {days} days, as things stand."
        return f"{capital(name)} should last more than {days} days, as things stand."
    one = left.tanks[name]
    text = f"{capital(outlooks.would(one, scene))}{_between(one, scene)}."
    if outlooks.is_guess(scene) and not outlooks.given_out(one, scene):
        text = f"By what people usually use, {text[0].lower()}{text[1:]}"
    then = _next_of_other_side(left, one)
    return f"{text} {capital(outlooks.would(then, scene))}." if then is not None and tank is None else text


def _not_drawn_on(tank: TankOutlook, scene: Scene) -> bool:
    return tank.kind == "fresh" and scene.world.supply == "hookup" and tank.gives_out["p50"] is None


def _between(tank: TankOutlook, scene: Scene) -> str:
    early, late, middle = tank.gives_out["p10"], tank.gives_out["p90"], tank.gives_out["p50"]
    if early is None or middle is None or outlooks.given_out(tank, scene):
        return ""
    days = (middle - scene.now).total_seconds() / 86400
    length = f", in {amounts.counted(round(days), 'day')}" if days >= 1.5 else ""
    if late is None:
        return f"{length}, {outlooks.when(early, scene)} at the earliest"
    return f"{length} (between {scene.moment(early)} and {scene.moment(late)})"


def _next_of_other_side(left: Runway, one: TankOutlook) -> TankOutlook | None:
    """A dump and a fill are different errands: the first of the other kind is named too."""
    fresh = one.kind == "fresh"
    others = [each for each in left.tanks.values() if (each.kind == "fresh") != fresh]
    other = _earliest(others) if others else None
    return other if other is not None and other.gives_out["p50"] is not None else None


__all__ = ["answer", "make_it", "runway"]
