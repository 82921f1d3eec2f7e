"""Facts of the rig, its gear and its upkeep, pressure and flow, frost, notes, taught words."""

from __future__ import annotations

from datetime import timedelta

from assistant.interpret.booked_here import own_entries
from assistant.interpret.context import UNIT_OF_SYSTEM, Context, Draft, draft, measured
from assistant.say import times
from assistant.scene import AskBack, CannotBe
from grammar.intents import Flow, Frost, Gear, Note, Pressure, Service, SetRig, SetTank, Step, Teach, Upkeep
from grammar.when import When
from state.entry import Entry
from state.lightclass import replace

LARGEST_TANK_LITRES = 2000.0
SMALLEST_TANK_LITRES = 2.0
PRESSURE_OUT_OF_SENSE_KPA = 1400.0
FLOW_OUT_OF_SENSE = 80.0
SAME_TALK = timedelta(hours=2)
LONGEST_INTERVAL = 36525  # days; as events.py has it


def set_tank(meaning: SetTank, context: Context) -> list[Draft]:
    known = context.world.rig.find(meaning.tank)
    kind = meaning.kind or (known.kind if known else None)
    others = [tank.name for tank in context.world.rig.waste()]
    if meaning.tank == "waste" and known is None and any(tank.kind == "grey" for tank in context.world.rig.waste()):
        raise AskBack(f"Which waste tank is that: {times.listed(others, 'or')}?", "tank", others)
    if kind is None:
        raise AskBack(f"Is {meaning.tank} a fresh, grey or black tank?", "kind", ["fresh", "grey", "black"])
    if meaning.gone:
        if known is not None:
            context.guard("tank-gone", f"Is the {meaning.tank} tank gone from the rig for good?", "yes", ["yes", "no"])
        return [draft("rig", context.now, what="tank", tank=meaning.tank.casefold(), tank_kind=kind, gone=True)]
    if meaning.amount is None:
        raise AskBack(f"How much does the {meaning.tank} tank hold?", "amount")
    volume = context.volume(meaning.amount, f"How much does the {meaning.tank} tank hold")
    if volume.litres <= 0:
        raise CannotBe(f"The {meaning.tank} tank must hold something, so nothing was recorded.")
    if not SMALLEST_TANK_LITRES <= volume.litres <= LARGEST_TANK_LITRES:
        context.guard("odd-tank", f"A {meaning.tank} tank of {context.scene.exact(volume.litres)}: is it right?")
    name = meaning.tank.casefold()
    far = known is not None and not 0.5 <= volume.litres / max(known.litres, 0.1) <= 2.0
    rather_a_level = known is not None and meaning.amount.approx and volume.litres < known.litres  # "holds about 20"
    if (
        (meaning.doubtful or far or rather_a_level)
        and known is not None
        and known.told
        and abs(known.litres - volume.litres) > 0.01 * known.litres
    ):
        held = context.scene.exact(known.litres)
        context.guard(
            "size-or-level",
            f"The {name} tank holds {held}, as told. Does it hold {context.scene.exact(volume.litres)} instead?",
            "yes",
            ["yes", "no"],
        )
    if meaning.second and name in ("fresh", "grey", "black") and name in context.world.rig.tanks:
        raise AskBack(f"What shall I call the second {name} tank?", "name")
    return [draft("rig", context.now, [volume.said], what="tank", tank=name, tank_kind=kind, litres=volume.litres)]


def set_rig(meaning: SetRig, context: Context) -> list[Draft]:
    what, own = meaning.what, draft("rig", context.now, what=meaning.what)
    if what == "units":
        return [own | {"units": meaning.value}]
    if what == "name":
        return [own | {"name": meaning.value}]
    if meaning.amount is None or meaning.amount.value is None:
        raise AskBack("How much is that?", "amount")
    if meaning.amount.value <= 0:
        raise CannotBe("That has to be more than nothing, so nothing was recorded.")
    if what == "limit":
        own["of"] = meaning.of
        if meaning.of == "pressure":
            own["value"], _ = measured(meaning.amount, _pressure_unit(context), "kilopascal")
        elif meaning.of == "safety":
            value = meaning.amount.value
            own["value"] = value / 100 if meaning.amount.unit == "percent" or value > 1 else value
        else:
            own["value"], _ = measured(meaning.amount, _weight_unit(context), "kilogram")
        return [own]
    if what == "tote" and meaning.of == "tare":
        own["kilograms"], _ = measured(meaning.amount, _weight_unit(context), "kilogram")
        return [own]
    volume = context.volume(meaning.amount)
    return [own | {"litres": volume.litres} | ({"said": (volume.said,)} if volume.said else {})]


def _pressure_unit(context: Context) -> str:
    return "bar" if context.world.rig.units == "metric" else "psi"


def _weight_unit(context: Context) -> str:
    return "pound" if context.world.rig.units == "us" else "kilogram"


def pressure(meaning: Pressure, context: Context) -> list[Draft]:
    amount = meaning.amount
    if amount is None or amount.value is None:
        raise AskBack("What does the gauge say?", "amount")
    if amount.value < 0:
        raise CannotBe("Pressure can't be below nothing, so nothing was recorded.")
    if amount.bound is not None:
        raise AskBack(f"{amount.text}: what does the gauge say, about?", "amount")
    kpa, said = measured(amount, _pressure_unit(context), "kilopascal")
    if kpa > PRESSURE_OUT_OF_SENSE_KPA:
        context.guard("implausible-pressure", f"{amount.text or amount.value} is far beyond any tap. Is it right?")
    return [draft("pressure", context.happened(meaning.when), [{"field": "kpa", **said}], kpa=kpa)]


def flow(meaning: Flow, context: Context) -> list[Draft]:
    if meaning.rate is not None and meaning.rate.value is not None:
        unit = meaning.rate.unit or f"{UNIT_OF_SYSTEM[context.world.rig.units]}/minute"
        if context.world.rig.units == "imperial" and unit.startswith("gallon"):
            unit = f"imperial_{unit}"
        rate, said = measured(replace(meaning.rate, unit=unit), unit, "litre/minute")
    elif meaning.volume is not None and meaning.seconds:
        volume = context.volume(meaning.volume)
        rate, said = volume.litres / meaning.seconds * 60.0, volume.said or {}
    else:
        raise AskBack("How long did one gallon take?", "amount")
    if rate <= 0:
        raise CannotBe("A flow has to be more than nothing, so nothing was recorded.")
    if rate > FLOW_OUT_OF_SENSE:
        context.guard(
            "implausible-flow", f"{context.scene.exact(rate)} a minute is more than a hose gives. Is it right?"
        )
    said = {**said, "field": "litres_per_minute"}
    return [draft("flow", context.happened(meaning.when), [said], litres_per_minute=rate)]


def service(meaning: Service, context: Context) -> list[Draft]:
    return [draft("service", context.happened(meaning.when), item=meaning.item)]


ALL_OF_IT = "*"


def gear(meaning: Gear, context: Context) -> list[Draft]:
    at = context.happened(meaning.when)
    if not meaning.items:
        raise AskBack("Which piece of gear?", "item")
    if ALL_OF_IT in meaning.items:
        out = context.so_far().gear_out if meaning.where == "stowed" else ()
        items = list(dict.fromkeys([*(one for one in meaning.items if one != ALL_OF_IT), *sorted(out)]))
        if not items and context.alone:
            raise AskBack("As far as I know nothing is outside. Which piece of gear do you mean?", "item")
        return [draft("gear", at, item=item, where=meaning.where) for item in items]
    if meaning.got and not all(item in context.world.gear_out for item in meaning.items):
        context.guard(
            "got-gear", f"Is {times.listed([f'the {item}' for item in meaning.items])} stowed?", "where", ["yes", "no"]
        )
    return [draft("gear", at, item=item, where=meaning.where) for item in meaning.items]


TONIGHT = When(text="tonight", day_offset=0, part="night")
"""When a low is to be of which no day was told."""


def frost(meaning: Frost, context: Context) -> list[Draft]:
    if meaning.low is None or meaning.low.value is None:
        raise AskBack("How cold will it get?", "amount")
    if meaning.low.bound is not None:
        raise AskBack(f"{times.begun(meaning.low.text)}: how cold will it get, about?", "amount")
    unit = meaning.low.unit or ("fahrenheit" if context.world.rig.units == "us" else "celsius")
    celsius, said = measured(meaning.low, unit, "celsius")
    if not -60 <= celsius <= 45:
        context.guard("odd-temperature", f"A low of {meaning.low.text or meaning.low.value}: is it right?")
    at = context.scene.future(meaning.when or TONIGHT).at or context.now
    at = at if meaning.when is not None else max(at, context.now)
    return [draft("frost", at, [{"field": "low_celsius", **said}], low_celsius=celsius)]


def upkeep(meaning: Upkeep, context: Context) -> list[Draft]:
    own = draft("upkeep", context.now, item=meaning.item or _spoken_of(context))
    if meaning.drop:
        return [own | {"drop": True}]
    if meaning.snooze_days is not None:
        from datetime import timedelta

        return [own | {"snooze_until": context.now + timedelta(days=meaning.snooze_days)}]
    if meaning.every_days is not None:
        if meaning.every_days <= 0:
            raise CannotBe("An interval has to be more than nothing, so nothing was recorded.")
        if meaning.every_days > LONGEST_INTERVAL:
            raise CannotBe("That is more than a hundred years, so nothing was recorded. Every how many days is it?")
        own["every_days"] = meaning.every_days
    if meaning.every is not None:
        own["every_litres"] = context.volume(meaning.every).litres
    if meaning.every_days is None and meaning.every is None:
        raise AskBack(f"How often: every how many days for {meaning.item}?", "days")
    return [own]


def _spoken_of(context: Context) -> str:
    """The item of "make that every 60 days": the one asked about, or told of, just before."""
    about = context.scene.last
    if about.get("topic") == "due" and about.get("item"):
        return str(about["item"])
    last = next(iter(own_entries(context)[-1:]), None)
    if last is not None and last.kind in ("upkeep", "service") and context.now - last.at <= SAME_TALK:
        return str(last.item)
    raise AskBack("What is that about? Say for example: change the water filter every 60 days.", "statement")


def step(meaning: Step, context: Context) -> list[Draft]:
    return [
        draft(
            "step",
            context.now,
            list=meaning.list,
            text=meaning.step,
            before=meaning.before,
            after=meaning.after,
            drop=meaning.drop,
        )
    ]


def teach(meaning: Teach, context: Context) -> list[Draft]:
    if meaning.means is None:
        last = _nameless_use(context)
        if last is not None:  # "used 3 gal", and then "call it rock tumbling"
            context.guard("new-activity", f'"{meaning.word}" is new to me. Book it under that name?', "activity")
            return [{"kind": "amend", "at": last.at, "of": last.id, "activity": meaning.word.strip().casefold()}]
        raise AskBack(
            f'What shall I call "{meaning.word}"? Say for example: when I say suds I mean dishes.', "statement"
        )
    return [draft("teach", context.now, word=meaning.word, means=meaning.means)]


def _nameless_use(context: Context) -> Entry | None:
    """The use of nothing in particular that was the last thing said here, within the hours in which one still speaks of it."""
    last = next(iter(own_entries(context)[-1:]), None)
    plain = last is not None and last.kind == "use" and last.activity == "other" and context.now - last.at <= SAME_TALK
    return last if plain else None


def note(meaning: Note, context: Context) -> list[Draft]:
    return [{"kind": "note", "at": context.happened(meaning.when), "text": meaning.note}]
