"""Tanks filled, dumped, hauled from, looked at and rinsed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import datetime, timedelta

from assistant.interpret.all_of_them import all_meant
from assistant.interpret.booked_here import own_entries
from assistant.interpret.context import LATELY, Context, Draft, draft
from assistant.say import times
from assistant.scene import AskBack, CannotBe
from grammar.intents import Amount, Dump, Fill, Haul, Level, Rinse
from state.care import rinse as rinse_limits
from state.entry import Entry
from state.lightclass import Any, replace
from state.water import belief, tanks
from state.world import Tank

TOLERANCE = 1.05
LATE = timedelta(minutes=5)
"""So long after its end a rinse said to be off is taken to have run until now."""

NEARLY_FULL = 0.95
NEARLY_EMPTY = 0.05


def fill(meaning: Fill, context: Context) -> list[Draft]:
    tank = context.tank(meaning.tank, ("fresh",))
    at = context.happened(meaning.when)
    again = meaning.again and _was_filled(tank.name, context) and not _of_waste_just_now(context)
    known = _spoke_of(tank.name, context) or again
    if meaning.it and meaning.tank is None and not known:
        context.guard("fill-of-it", f"Was it the {tank.name} tank that was filled?", "yes", ["yes", "no"])
    if tank.kind != "fresh":
        context.guard("fill-of-waste", f"Water into the {tank.name} tank: was that a fill, and not a rinse?", "tank")
    if meaning.amount is None:
        if not meaning.to_full:
            raise AskBack(f"How much went into {tank.name}?", "amount")
        through = _by_the_meter(meaning, tank, at, context)
        if through is None:
            return [draft("fill", at, tank=tank.name, to_full=True)]
        return [draft("fill", at, tank=tank.name, litres=through, to_full=True, estimated=False)]
    if meaning.amount.unit in ("fraction", "percent"):
        return level(Level(tank=tank.name, amount=meaning.amount, when=meaning.when), context)
    volume = context.volume(meaning.amount, f"How much went into {tank.name}")
    if meaning.fetched:
        context.guard("fetched", f"Did the {context.scene.exact(volume.litres)} go into the {tank.name} tank?", "tank")
    _guard_capacity(context, tank, volume.litres, f"{context.scene.exact(volume.litres)}")
    if not meaning.to_full and meaning.when is None:
        _guard_room(context, tank, volume.litres)
    return [
        draft(
            "fill",
            at,
            [volume.said],
            tank=tank.name,
            litres=volume.litres,
            to_full=meaning.to_full,
            estimated=volume.estimated,
        )
    ]


def _by_the_meter(meaning: Fill, tank: Tank, at: datetime, context: Context) -> float | None:
    """What the meter moved by, where it was told after the fill and nothing else can have run through it: the rig ran on its tank since
    the reading before. None where that does not tell how much went in. [litres]"""
    if meaning.reading is None or meaning.reading.value is None or at < context.now:
        return None
    world = context.world
    meter, interval = world.meters["inlet"], world.open["hookup"]
    alone = world.supply == "tank" and interval.seconds <= 0.0 and interval.logged == 0.0 and interval.fills_var == 0.0
    if not (meter.known and alone and world.stay.water is not False):
        return None
    litres = context.volume(meaning.reading).litres - meter.litres - interval.fills
    return litres if 0.0 < litres <= TOLERANCE * (tank.litres or litres) else None


def _spoke_of(name: str, context: Context) -> bool:
    """Whether the tank is what the talk was about: in the phrase before, or in what was booked last."""
    if any(one.get("tank") == name or one["kind"] == "supply" for one in context.drafts):
        return True
    last = own_entries(context)[-1:]
    recent = bool(last) and context.now - last[0].heard_at <= LATELY
    return recent and (last[0].get("tank") == name or last[0].kind in ("supply", "arrive", "gear"))


def _was_filled(name: str, context: Context) -> bool:
    return context.latest(lambda one: one.kind == "fill" and one.get("tank") == name) is not None


def _guard_room(context: Context, tank: Tank, litres: float) -> None:
    """Asks about a fill that surely would have run over: something was used that was not told, or the water went elsewhere."""
    level = context.scene.belief.tanks[tank.name.casefold()].level.points
    told = next((one for one in context.drafts if one["kind"] == "level" and one["tank"] == tank.name), None)
    if told is not None:
        held = told["litres"] if told.get("litres") is not None else told["fraction"] * tank.litres
        level = {"p10": held, "p50": held}
    elif context.drafts:
        return
    if level["p10"] + litres > TOLERANCE * tank.litres:
        has = context.scene.amount(level["p50"])
        more = context.scene.exact(litres)
        had = (
            f"By my count {tank.name} still had {has} in it"
            if told is None
            else f"{tank.name} had {has} in it".capitalize()
        )
        context.guard("beyond-room", f"{had}. Did {more} more go in?")


def _guard_capacity(context: Context, tank: Tank, litres: float, said: str) -> None:
    if tank.litres > 0 and litres > TOLERANCE * tank.litres:
        context.guard(
            "beyond-capacity",
            f"{said} is more than the {tank.name} tank holds ({context.scene.exact(tank.litres)}). Is it right?",
        )


def dump(meaning: Dump, context: Context) -> list[Draft]:
    at = context.happened(meaning.when)
    if meaning.every:
        tanks = all_meant(meaning.text, context, "were dumped")
    elif meaning.tanks:
        tanks = [context.tank(name) for name in meaning.tanks]
    elif meaning.it and (spoken := _waste_spoken_of(context)) is not None:
        tanks = [spoken]
    else:
        tanks = [context.tank(None, ("grey", "black"), "Which one was dumped")]
    for tank in tanks:
        if tank.kind == "fresh":
            context.guard("dump-of-fresh", "Dumped the fresh tank: drained all the drinking water?", "tank")
    return [draft("dump", at, tank=tank.name) for tank in tanks]


def _of_waste_just_now(context: Context) -> bool:
    """Whether what was told last is all of a waste tank: "it" is hardly the fresh one then."""
    live = own_entries(context)
    if not live or context.now - live[-1].heard_at > LATELY:
        return False
    tanks = [context.world.rig.find(one.tank) for one in live if one.turn == live[-1].turn and hasattr(one, "tank")]
    return bool(tanks) and all(tank is not None and tank.kind != "fresh" for tank in tanks)


def _waste_spoken_of(context: Context) -> Tank | None:
    """ "Let it out" after a rinse, a level or a valve: the tank that was told of last, if it is the only one of that turn."""
    live = own_entries(context)
    told = [one for one in live if one.turn == live[-1].turn]
    if len(told) != 1 or context.now - told[0].heard_at > LATELY or told[0].kind not in ("rinse", "level", "valve"):
        return None
    found = context.world.rig.find(told[0].tank)
    return found if found is not None and found.kind != "fresh" else None


def haul(meaning: Haul, context: Context) -> list[Draft]:
    at = context.happened(meaning.when)
    tank = context.tank(meaning.tank, ("grey", "black"), "Which tank did the tote empty")
    tote = context.world.rig.tote_litres
    amount = meaning.amount
    if amount is None:
        if not meaning.full or tote is None:
            raise AskBack(f"How much did you take from {tank.name}?", "amount")
        amount = Amount(1.0, "tote", text="a full tote")
    volume = context.volume(amount, f"How much did you take from {tank.name}")
    if meaning.runs and amount.each:
        volume = replace(volume, litres=volume.litres * meaning.runs, said=None)
    _guard_tote(context, volume.litres, amount, meaning.runs)
    if tank.litres > 0:
        upper = belief.upper_level(context.world, at, tank.name, 0.999) if at >= context.now else tank.litres
        limit = min(TOLERANCE * tank.litres, upper + 0.05 * tank.litres)
        if volume.litres > limit:
            there = context.scene.amount(upper)
            context.guard(
                "haul-too-much",
                f"{context.scene.exact(volume.litres)} is more than {tank.name} can have held, at most {there}. Is it right?",
            )
    return [draft("haul", at, [volume.said], tank=tank.name, litres=volume.litres, estimated=volume.estimated)]


def _guard_tote(context: Context, litres: float, amount: Amount, runs: int | None) -> None:
    """Asks about more than the tote can hold at one go, unless several runs or totes were said."""
    tote = context.world.rig.tote_litres
    if tote is None or amount.unit == "tote" or litres <= TOLERANCE * tote * (runs or 1):
        return
    held, most = context.scene.exact(tote), context.scene.exact(litres)
    trips = math.ceil(litres / tote - 0.05)
    context.guard("haul-beyond-tote", f"{most} is more than the tote holds ({held}). Was it {trips} runs?")


WASTE_WORDS = ("waste", "holding")
"""A tank that is called by these and no name is not the fresh one."""


def level(meaning: Level, context: Context) -> list[Draft]:
    if meaning.every:
        waste = [tank.name for tank in all_meant(meaning.text, context, "is it")]
        return [one for name in waste for one in level(replace(meaning, tank=name, every=False), context)]
    at = context.happened(meaning.when)
    of_waste = any(word in meaning.text.casefold() for word in WASTE_WORDS)
    tank = context.tank(meaning.tank, ("grey", "black") if of_waste else ("grey", "black", "fresh"))
    amount = meaning.amount
    if amount is None or amount.value is None:
        raise AskBack(f"How full is {tank.name}?", "amount")
    if amount.bound is not None:
        raise AskBack(f"How full is {tank.name}, about?", "amount")
    roughly = meaning.nearly or amount.approx
    if amount.unit in ("fraction", "percent"):
        scale = 0.01 if amount.unit == "percent" else 1.0
        middle = amount.value if amount.high is None else (amount.value + amount.high) / 2
        fraction = middle * scale
        if fraction < 0:
            raise CannotBe("A tank can't hold less than nothing, so nothing was recorded.")
        if meaning.nearly:
            fraction = NEARLY_FULL if fraction > 0.5 else NEARLY_EMPTY
        if meaning.room:
            fraction = 1.0 - fraction
        if fraction > TOLERANCE:
            context.guard(
                "beyond-capacity",
                f"More than full? {tank.name.capitalize()} at {round(100 * fraction)} %: is it right?",
            )
        _guard_surprise(context, tank, fraction, fraction * tank.litres, roughly, meaning, at)
        said = {"field": "fraction", "value": middle, "unit": amount.unit, "text": amount.text}
        return [
            draft(
                "level", at, [said], tank=tank.name, fraction=fraction, basis=meaning.basis, roughly=roughly,
                estimated=amount.high is not None,
            )
        ]  # fmt: skip
    volume = context.volume(amount, f"How much is in {tank.name}")
    litres = volume.litres
    if meaning.room:
        if tank.litres <= 0:
            raise AskBack(f"How much does the {tank.name} tank hold in all?", "amount")
        litres = max(0.0, tank.litres - litres)
    _guard_capacity(context, tank, litres, context.scene.exact(litres))
    _guard_surprise(context, tank, None, litres, roughly, meaning, at)
    return [
        draft(
            "level",
            at,
            [volume.said],
            tank=tank.name,
            litres=litres,
            basis=meaning.basis,
            roughly=roughly,
            estimated=volume.estimated,
        )
    ]


SURPRISING = 0.001
"""A level seen is asked about once where a true one would be this far from the belief less often than this."""
FRESH_IN_MIND = timedelta(hours=12)
"""So long after a tank was dumped, filled or seen, a level of it that cannot be is a slip more likely than news."""


def _guard_surprise(
    context: Context, tank: Tank, fraction: float | None, litres: float, roughly: bool, meaning: Level, at: datetime
) -> None:
    """Asks once about a level seen now that contradicts what is believed of the tank: a slip of the tongue, the wrong tank, or a dump untold.

    What was told longer ago is no contradiction but news: it is believed, and the gap told and booked as unexplained. So is a second
    look: who said what the level was may say otherwise. Full and empty are believed as said, since nobody mistakes them, and so is all
    that is said of a tank with nothing told yet.
    """
    if meaning.basis == "sensor" or tank.litres <= 0 or not 0.02 < litres / tank.litres < 0.98 or at < context.now:
        return
    known = context.scene.belief.tanks.get(tank.name.casefold())
    if known is None or known.since is None or known.flowing or context.now - known.since > FRESH_IN_MIND:
        return
    told = [one for one in context.scene.since(known.since) if one.kind in ("level", "dump", "fill") and _of(one, tank)]
    if told and told[-1].kind == "level":
        return
    world = belief.at_moment(context.world, context.now)
    if tanks.likely(world, tank.name, fraction, litres, roughly) < SURPRISING:
        had = known.level.quantile(0.5)
        there = context.scene.amount(had) if had > 0.05 * tank.litres else "next to nothing"
        context.guard(
            "level-surprise",
            f"That is far from what I have: {there} in {tank.name}. Is {tank.name} really so?",
            "amount",
        )


def _of(entry: Entry, tank: Tank) -> bool:
    """Whether an event is about that tank."""
    return str(entry.get("tank", "")).casefold() == tank.name.casefold()


def _told_run(context: Context) -> dict[str, Any] | None:
    """A rinse started by the clock whose flow is not known yet: it runs, and nothing of it is booked."""
    run = context.scene.last.get("rinse_run")
    return run if isinstance(run, dict) else None


def _ask_flow(meaning: Rinse, tank: Tank, at: datetime, context: Context) -> AskBack:
    """What a rinse by the clock still needs; one that starts now runs on while it is asked."""
    if not meaning.minutes:
        return AskBack(f"How much went through the rinse into {tank.name}?", "amount")
    if not meaning.starting:
        return AskBack(f"How much went through the rinse into {tank.name}, or how fast does it run?", "amount")
    run = _told_run(context)
    began = datetime.fromisoformat(run["since"]) if run is not None and context.now.isoformat() < run["until"] else at
    until = began + timedelta(minutes=meaning.minutes)
    text = (
        f"Shut it at {times.clock(until.astimezone(context.now.tzinfo))}. I don't know how fast it runs, so nothing is booked yet: "
        "how long does one gallon take, or how much went in?"
    )
    if context.scene.units == "metric":
        text = text.replace("one gallon", "one litre")
    if tank.name.casefold() in context.world.rig.tanks and tank.name.casefold() not in context.world.open_valves:
        soonest = rinse_limits.limit(context.world, context.now, tank).soonest_minutes
        if soonest < meaning.minutes:
            text = f"A hose wide open could fill {tank.name} before that, so watch it. {text}"
    memo = {
        "about": {
            "topic": "rinse_limit",
            "tank": tank.name,
            "rinse_run": {"tank": tank.name, "since": began.isoformat(), "until": until.isoformat()},
        }
    }
    return AskBack(text, "amount", memo=memo, cautions=("rinse-closed",))


def _stop_rinse(context: Context) -> list[Draft]:
    """The running rinse as it came out: as many minutes and litres as it has run. One that should have ended long ago is left alone."""
    now = context.now
    told = _told_run(context)
    if told is not None and now <= datetime.fromisoformat(told["until"]) + LATE:
        began, ended = datetime.fromisoformat(told["since"]), min(now, datetime.fromisoformat(told["until"]))
        ran = max(1 / 60, (ended - began).total_seconds() / 60.0)
        try:
            return [one | {"at": began} for one in rinse(Rinse(tank=told["tank"], minutes=ran), context)]
        except AskBack as question:  # the flow is asked still; that it stopped, and when, is kept
            about = {"topic": "rinse_limit", "rinse_run": {**told, "until": ended.isoformat()}}
            raise AskBack(question.text, question.slot, memo={"about": about}) from None

    def by_the_clock(entries: Sequence[Entry]) -> list[Entry]:
        return [one for one in entries if one.kind == "rinse" and one.get("minutes") and one.at <= now]

    timed = by_the_clock(context.scene.lately(lambda entries: bool(by_the_clock(entries))))
    if not timed or now > timed[-1].at + timedelta(minutes=timed[-1].minutes) + LATE:
        tail = " If the last one ran longer than it should, tell me what the flush meter says." if timed else ""
        raise CannotBe(f"No rinse is running that I know of.{tail}")
    last = timed[-1]
    minutes = max((now - last.at).total_seconds() / 60.0, 1 / 60)
    litres = last.litres * minutes / last.minutes
    return [{"kind": "amend", "at": last.at, "of": last.id, "minutes": minutes, "litres": litres, "estimated": True}]


def rinse(meaning: Rinse, context: Context) -> list[Draft]:
    if meaning.stopped:
        return _stop_rinse(context)
    at = context.happened(meaning.when)
    tank = context.tank(meaning.tank or ("black" if context.world.rig.of_kind("black") else None), ("black", "grey"))
    if meaning.it and context.scene.last.get("topic") != "rinse_limit":
        context.guard("rinse-of-it", f"Was that the {tank.name} rinse?", "tank", ["yes", "no"])
    told_now = (one["litres_per_minute"] for one in context.drafts if one["kind"] == "flow")
    flow = next(told_now, context.world.flow_litres_per_minute)
    run = _told_run(context)
    if meaning.minutes and meaning.when is None and not meaning.starting:
        at -= timedelta(minutes=meaning.minutes)  # "rinsed for four minutes" is over: it began that long ago
    elif run is not None and meaning.starting and run["tank"] == tank.name:
        at = min(at, datetime.fromisoformat(run["since"]))  # the answer to how fast it runs comes while it runs
    if meaning.amount is None:
        if not (meaning.minutes and flow):
            raise _ask_flow(meaning, tank, at, context)
        litres, estimated, said = meaning.minutes * flow, True, None
    else:
        volume = context.volume(meaning.amount, f"How much went through the rinse into {tank.name}")
        litres, estimated, said = volume.litres, volume.estimated, volume.said
    _guard_capacity(context, tank, litres, context.scene.exact(litres))
    if (
        meaning.starting
        and tank.name.casefold() not in context.world.open_valves
        and tank.name.casefold() in context.world.rig.tanks
    ):
        _guard_rinse(context, tank, litres)
    made = draft("rinse", at, [said], tank=tank.name, litres=litres, estimated=estimated)
    return [made | {"minutes": meaning.minutes}] if meaning.minutes else [made]


def _guard_rinse(context: Context, tank: Tank, litres: float) -> None:
    """Asks before a rinse into a closed tank is begun that may be more than fits."""
    fits = rinse_limits.limit(context.world, context.now, tank).litres
    if litres > fits:
        said = f"only {context.scene.rounded(fits)} surely fit" if fits > 1.0 else "it may be full already"
        context.guard(
            "rinse-too-much",
            f"That is {context.scene.amount(litres)} into {tank.name}, and {said}. Start it all the same?",
        )
