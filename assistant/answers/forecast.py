"""Can we make it, how long does it last, and what if: the forecast in one or two sentences.

May import: `outlooks`, `changes`, `scene`, state's forecast.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.answers import outlooks
from assistant.answers.changes import changes_of, describe
from assistant.answers.outlooks import capital, facts_of_way, tank_facts
from assistant.say import amounts, odds
from assistant.scene import Answer, AskBack, Scene
from grammar.intents import Ask
from state import advice, altered, figures_safety, forecast, whatif
from state.forecast import MakeIt, Runway, TankOutlook
from state.lightclass import Any
from state.typical import typical


def answer(ask: Ask, scene: Scene) -> Answer:
    """Any question about the future: `make_it`, `runway` or `what_if`."""
    return {"make_it": make_it, "runway": runway, "what_if": what_if}[ask.topic](ask, scene)


def end_of(ask: Ask, scene: Scene) -> datetime:
    """The moment asked about: as said, so many nights on at 10:00, for a what-if that of the question before it, or the end of the
    stay. Raises AskBack if none is known."""
    if ask.nights is not None:
        return (scene.now + timedelta(days=round(ask.nights))).replace(hour=10, minute=0, second=0, microsecond=0)
    if ask.until is None and ask.when is None and ask.topic == "what_if":
        before = _asked_before(scene)
        if before is not None:
            return before
    return scene.until(ask.until or ask.when)


def _asked_before(scene: Scene) -> datetime | None:
    """The end of the question that a bare "what if we skip showers" leans on, as long as it is still to come."""
    told = scene.last.get("until") if scene.last.get("topic") in ("make_it", "what_if") else None
    until = datetime.fromisoformat(str(told)) if told else None
    return until if until is not None and until > scene.now else None


def asked_tank(ask: Ask, scene: Scene) -> str | None:
    """The one tank asked about, by its own name; a kind ("water", "fresh") names the first of it."""
    if ask.tank is None:
        return None
    if ask.tank.casefold() in scene.belief.tanks:
        return str(scene.belief.tanks[ask.tank.casefold()].name)
    return next((tank.name for tank in scene.belief.tanks.values() if tank.kind == ask.tank.casefold()), None)


def make_it(ask: Ask, scene: Scene) -> Answer:
    if ask.changes:
        return what_if(ask, scene)
    until = end_of(ask, scene)
    made = forecast.make_it(scene.world, scene.now, until, (), scene.belief)
    tank = asked_tank(ask, scene)
    ways = advice.ways_out(scene.world, scene.now, made.until, made, scene.belief, tank)
    facts = {"topic": "make_it", **make_it_facts(made, tank), "ways": [facts_of_way(way) for way in ways]}
    facts["pace"] = outlooks.pace_facts(scene)
    chance = made.tanks[tank].probability if tank is not None else made.probability
    text = make_it_words(made, chance, tank, ways, scene)
    dated = scene.dated(ask.until or ask.when, until) if ask.nights is None else ""
    if dated:
        text = f"Until {dated}: {text[0].lower()}{text[1:]}"
    cautions = _cautions(ways, scene) if "tote" in text else ()
    return Answer(text, facts, cautions, {"topic": "make_it", "tank": tank or made.binding, "until": until.isoformat()})


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


def make_it_words(made: MakeIt, chance: float, tank: str | None, ways: list[advice.Way], scene: Scene) -> str:
    """Odds first, then the tight tank, then what to do or what is left."""
    tight = made.tanks[tank] if tank is not None else made.tanks[made.binding] if made.binding is not None else None
    opening = capital(odds.said(chance))
    if outlooks.is_guess(scene):
        opening = f"{opening}, by common practice until I know your habits"
    if tight is None:
        return f"{opening}. Nothing gives out before {scene.exactly(made.until)}."
    if chance >= made.safety - 0.005:
        left = outlooks.room_then(tight, scene)
        assumed = f", dumping at {made.assumes[0].site}" if made.assumes and made.assumes[0].site else ""
        return f"{opening}{assumed}. {capital(outlooks.when(made.until, scene))} there would be {left}."
    said = f"{opening}. {capital(tight.name)} is the tight one, {_gives_out(tight, scene)}."
    if tight.now.since is None:
        return f"{said} But I don't know how full {tight.name} is; tell me that first."
    return f"{said} {ways_words(ways, scene)}" if ways else f"{said} I see no way to make it much likelier."


def _gives_out(tank: TankOutlook, scene: Scene) -> str:
    verb = "empty" if tank.kind == "fresh" else "full"
    at = tank.gives_out["p50"] or tank.gives_out["p10"]
    if at is None:
        return "though it lasts"
    return (
        f"{verb} already, as far as I can tell" if at <= scene.now else f"{verb} {outlooks.when(at, scene)} most likely"
    )


def ways_words(ways: list[advice.Way], scene: Scene) -> str:
    """The cheapest way that is more likely than not to do, and an errand beside a thrift; else the best there is."""
    said = ways_said(ways)
    words = capital(", or ".join(outlooks.way_words(way, scene, count_odds=False) for way in said))
    best = max(way.probability for way in said)
    if best < 0.5:  # the best there is, and not enough: to hear it as a way out would mislead
        return f"Not enough, but the best I see: {words[0].lower()}{words[1:]}; that makes it {amounts.percent(best)}."
    return f"{words}." if best >= 0.85 else f"{words}; that makes it {amounts.percent(best)}."


ERRANDS = ("haul", "carry", "dump", "fill")


def ways_said(ways: list[advice.Way]) -> list[advice.Way]:
    """One or two of the ways: what a sentence can hold."""
    good = [way for way in ways if way.probability >= 0.5]
    if not good:
        return [max(ways, key=lambda way: way.probability)]
    other = [way for way in good[1:] if way.kind in ERRANDS] if good[0].kind not in ERRANDS else []
    return [good[0], *other[:1]]


def _cautions(ways: list[advice.Way], scene: Scene) -> tuple[str, ...]:
    """A tote run that is proposed carries the lifting caution when it is too heavy to lift."""
    if not ways:
        return ()
    limit = figures_safety.LIFT_KILOGRAMS.value
    heavy = [way for way in ways_said(ways) if way.kind in ("haul", "carry") and (way.kilograms or 0.0) > limit]
    return ("lift",) if heavy else ()


# ---------------------------------------------------------------- runway


def runway(ask: Ask, scene: Scene) -> Answer:
    """When the first tank gives out; with a tank named, when that one does."""
    left = forecast.runway(scene.world, scene.now, (), scene.belief)
    tank = asked_tank(ask, scene) or _first_of_errand(ask.subject, left)
    facts = {"topic": "runway", **runway_facts(left, tank), "pace": outlooks.pace_facts(scene)}
    memo = {"topic": "runway", "tank": tank or left.first}
    return Answer(runway_words(left, tank, scene), facts, (), memo)


def _first_of_errand(subject: str | None, left: Runway) -> str | None:
    """ "When do we need to dump" is about waste, "when do we need water" about fresh: the first tank of that side."""
    if subject not in ("dump", "haul", "fill", "dry"):
        return None
    side = [each for each in left.tanks.values() if (each.kind == "fresh") == (subject in ("fill", "dry"))]
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
    if outlooks.is_guess(scene):
        text = f"Going by common practice until I know your habits: {text[0].lower()}{text[1:]}"
    then = _next_of_other_side(left, one)
    return f"{text} {capital(outlooks.would(then, scene))}." if then is not None and tank is None else text


def _not_drawn_on(tank: TankOutlook, scene: Scene) -> bool:
    return tank.kind == "fresh" and scene.world.supply == "hookup" and tank.gives_out["p50"] is None


def _between(tank: TankOutlook, scene: Scene) -> str:
    early, late, middle = tank.gives_out["p10"], tank.gives_out["p90"], tank.gives_out["p50"]
    if early is None or middle is None or middle <= scene.now:
        return ""
    days = (middle - scene.now).total_seconds() / 86400
    length = f", in {amounts.counted(round(days), 'day')}" if days >= 1.5 else ""
    if late is None:
        return f"{length}, {scene.moment(early)} at the earliest"
    return f"{length} (between {scene.moment(early)} and {scene.moment(late)})"


def _next_of_other_side(left: Runway, one: TankOutlook) -> TankOutlook | None:
    """A dump and a fill are different errands: the first of the other kind is named too."""
    fresh = one.kind == "fresh"
    others = [each for each in left.tanks.values() if (each.kind == "fresh") != fresh]
    other = _earliest(others) if others else None
    return other if other is not None and other.gives_out["p50"] is not None else None


# ---------------------------------------------------------------- what if


def what_if(ask: Ask, scene: Scene) -> Answer:
    """The same question with habits or plans changed, beside the present course. Nothing is recorded."""
    if not ask.changes:
        raise AskBack("What if what? Say for example: what if we skip showers.", "change")
    changes = changes_of(ask.changes, scene)
    asked = ask.until is not None or ask.nights is not None
    late = next((each.until for each in changes if each.what == "late" and each.until is not None), None)
    if late is not None and not asked:
        return _what_if_longer(late, changes, ask, scene)
    until = end_of(ask, scene) if asked or _stay_ahead(scene) or _asked_before(scene) else None
    about = {"topic": "what_if", "until": until.isoformat() if until else None}
    if until is None:
        return _what_if_runway(changes, ask, scene, about)
    both = whatif.compare(scene.world, scene.now, until, changes, scene.belief)
    facts = {
        "topic": "what_if",
        **make_it_facts(both.changed),
        "present": make_it_facts(both.present),
        "difference": both.gain,
    }
    then, now = both.changed, both.present
    tight = then.tanks[then.binding] if then.binding is not None else None
    opening = (
        f"{capital(describe(ask.changes, scene))}: {odds.said(then.probability)} to last until {scene.exactly(until)}"
    )
    text = f"{opening}, {_against(then.probability, now.probability)} {_what_then(then, now, tight, changes, scene)}"
    return Answer(text, facts, (), {**about, "tank": then.binding})


def _what_if_longer(until: datetime, changes: list[whatif.Change], ask: Ask, scene: Scene) -> Answer:
    """A stay that ends at another time: whether that is reached, beside the end as it stands."""
    then = forecast.make_it(scene.world, scene.now, until, tuple(changes), scene.belief)
    facts: dict[str, Any] = {"topic": "what_if", **make_it_facts(then)}
    text = f"{capital(describe(ask.changes, scene))}: {odds.said(then.probability)} to last until {scene.dated_exactly(until)}"
    if _stay_ahead(scene):
        now = forecast.make_it(scene.world, scene.now, scene.until(None), (), scene.belief)
        facts |= {"present": make_it_facts(now), "difference": then.probability - now.probability}
        text += f", against {amounts.percent(now.probability)} until {scene.exactly(now.until)} as planned"
    tight = then.tanks[then.binding] if then.binding is not None else None
    about = {"topic": "what_if", "until": until.isoformat(), "tank": then.binding}
    return Answer(f"{text}. {_what_of(then, tight, scene)}", facts, (), about)


def _what_of(then: MakeIt, tight: TankOutlook | None, scene: Scene) -> str:
    """What is left at the end, or when the tight tank gives out."""
    if tight is None:
        return "Nothing gives out."
    if then.probability >= then.safety - 0.005:
        return f"There would be {outlooks.room_then(tight, scene)}."
    return f"{capital(outlooks.would(tight, scene))}."


def _what_then(then: MakeIt, now: MakeIt, tight: TankOutlook | None, changes: list[whatif.Change], scene: Scene) -> str:
    """The second sentence: when it gives out now, what is left, or why a change that was meant to save does not."""
    cuts = altered.Cuts(scene.world, forecast.habits_of(scene.world))
    longer = next((each for each in changes if each.what == "minutes" and cuts.part(each) < -0.05), None)
    if longer is not None:
        usual = scene.amount(typical(scene.world, longer.activity or "shower").mean)
        return f"That is more than your usual {longer.activity}, {usual}."
    if tight is None:
        return "Nothing gives out."
    if then.probability >= then.safety - 0.005:
        return f"There would be {outlooks.room_then(tight, scene)}."
    before = now.tanks[tight.name].gives_out["p50"]
    after = tight.gives_out["p50"]
    text = capital(outlooks.would(tight, scene))
    if before is not None and after is not None and abs((after - before).total_seconds()) > 6 * 3600:
        return f"{text} instead of {scene.moment(before)}."
    return f"{text}."


def _stay_ahead(scene: Scene) -> bool:
    return scene.stay_until is not None and scene.stay_until > scene.now


def _against(then: float, now: float) -> str:
    if abs(then - now) < 0.015:
        return "much the same as now."
    return f"against {amounts.percent(now)} as things stand."


def _what_if_runway(changes: list[whatif.Change], ask: Ask, scene: Scene, about: dict[str, Any]) -> Answer:
    both = whatif.compare_runway(scene.world, scene.now, changes, scene.belief)
    gain = both.gain_days
    facts = {
        "topic": "what_if",
        **runway_facts(both.changed),
        "present": runway_facts(both.present),
        "difference_days": gain,
    }
    text = f"{capital(describe(ask.changes, scene))}: {_first_words(both.changed, scene)}"
    if gain is not None and abs(gain) >= 0.2:
        text += f", {_days(abs(gain))} {'later' if gain > 0 else 'sooner'} than as things stand."
    elif gain is not None:
        text += ", much the same as now."
    else:
        text += f"; as things stand {_first_words(both.present, scene)}."
    return Answer(text, facts, (), {**about, "tank": both.changed.first})


def _first_words(left: Runway, scene: Scene) -> str:
    if left.first is None:
        return f"no tank gives out within {forecast.HORIZON.days} days"
    return outlooks.would(left.tanks[left.first], scene)


def _days(days: float) -> str:
    """ "half a day", "two days"."""
    if days < 0.75:
        return f"{max(1, round(days * 24))} hours" if days < 0.4 else "half a day"
    return amounts.counted(round(days), "day")


__all__ = ["answer", "make_it", "runway", "what_if"]
