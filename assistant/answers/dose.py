"""How much bleach: to sanitise the fresh tank, or, in an emergency, by the official table for drinking water.

May import: state, assistant.interpret.context, assistant.say, assistant.scene, grammar.intents.
"""

from __future__ import annotations

from datetime import timedelta

from assistant.interpret.context import Context
from assistant.say import amounts, times
from assistant.scene import Answer, AskBack, CannotBe, Scene
from grammar.intents import Amount, Ask
from state import figures_safety as figures
from state import units
from state.care import dose
from state.lightclass import Any
from state.world import Tank

HOSE = {"us": "a 50 ft hose", "imperial": "a 15 m hose", "metric": "a 15 m hose"}
NUMBERS = {0.25: "a quarter", 0.5: "half a", 0.75: "three quarters of a"}


def answer(ask: Ask, scene: Scene) -> Answer:
    """The sanitising dose of a tank, or the drinking dose when that is the subject. Raises AskBack where a size is missing."""
    subject = (ask.subject or "").casefold()
    if "drink" in subject or "emergency" in subject:
        return drinking(ask, scene, cloudy="cloudy" in subject)
    if subject == "stands":
        return standing(scene)
    return sanitising(ask, scene, hose="hose" in subject)


def standing(scene: Scene) -> Answer:
    """How long bleach stays in a tank: by the dose asked about before, else by the usual one."""
    target = float(scene.last.get("mg_per_litre", figures.SANITISE_MG_PER_LITRE.value))
    hours = dose.contact_hours(target)
    at = dose.sanitised_of_late(scene.world, scene.now)
    ends = f", so until {times.exactly(at + timedelta(hours=hours), scene.now)}" if at is not None else ""
    text = (
        f"Bleach in the fresh tank stands {round(hours)} hours at {amounts.plain(target)} mg/L{ends}, then it is flushed until no tap "
        "smells of it. Nobody drinks from it before."
    )
    dosed = (
        sanitising(Ask(topic="dose", ppm=target), scene).facts
        if scene.world.rig.of_kind("fresh")
        else {"topic": "dose"}
    )
    facts = {**dosed, "subject": "stands", "contact_hours": hours, "mg_per_litre": target}
    return Answer(text, facts, (), {"topic": "dose", "mg_per_litre": target})


def sanitising(ask: Ask, scene: Scene, hose: bool = False) -> Answer:
    tank, litres = _what(ask, scene)
    percent = _percent(ask)
    heater = scene.world.rig.heater_litres or 0.0 if tank else 0.0
    # A hose nobody measured: 15 m of 13 mm bore, 2 L; more than that is rare and the dose has room for it.
    pipes = dose.hose_litres(15.0, 13.0) if hose else 0.0
    try:
        made = dose.sanitising(litres, percent, ask.ppm, heater, pipes)
    except ValueError as problem:
        raise CannotBe(f"I can't work that out: {problem}.") from problem
    strength = f"{amounts.plain(made.percent)} %"
    parts = [scene.exact(litres), *(["the heater"] if heater else []), *([HOSE[scene.units]] if pipes else [])]
    water = times.listed(parts)
    text = f"About {household(made.millilitres, scene)} of {strength} bleach for {water}, left {round(made.contact_hours)} hours,"
    text += " then flushed until no tap smells of it."
    if percent is None:
        text += " Tell me the strength if your label says another."
    facts: dict[str, Any] = {
        "topic": "dose",
        "tank": tank.name if tank else None,
        "millilitres": made.millilitres,
        "mg_per_litre": made.mg_per_litre,
        "bleach_percent": made.percent,
        "litres": made.litres,
        "hose_litres": pipes,
        "heater_litres": heater,
        "contact_hours": made.contact_hours,
        "flush_below_mg_per_litre": made.flush_below,
        "source": figures.SANITISE_MG_PER_LITRE.source,
    }
    memo = {
        "topic": "dose",
        "tank": facts["tank"],
        "litres": made.litres,
        "mg_per_litre": made.mg_per_litre,
        "percent": made.percent,
    }
    return Answer(text, facts, ("bleach",), memo)


def _what(ask: Ask, scene: Scene) -> tuple[Tank | None, float]:
    """The tank and the water to treat: an amount as said, else the tank named, else the fresh tank."""
    rig = scene.world.rig
    share = ask.amount.value if ask.amount is not None and ask.amount.unit == "fraction" else None
    if ask.amount is not None and ask.amount.value is not None and ask.amount.unit not in ("percent", "fraction"):
        litres = litres_of(ask.amount.value, ask.amount.unit, scene)
        if litres <= 0:
            raise CannotBe("That is no amount of water to treat.")
        return None, litres
    tank = rig.find(ask.tank) if ask.tank else next(iter(rig.of_kind("fresh")), None)
    if tank is not None and tank.kind != "fresh":
        raise CannotBe(f"Bleach is for the fresh tank; for {tank.name} use what its maker names.")
    if tank is None or tank.litres <= 0:
        raise AskBack("How much does the fresh tank hold?", "capacity")
    return (tank, tank.litres) if share is None else (None, tank.litres * share)  # "for half a tank"


def litres_of(value: float, unit: str | None, scene: Scene) -> float:
    """An amount of water as said; a bare number, a pint or a gallon in the person's own units. [litres]

    Raises: CannotBe if the unit is none of water.
    """
    try:
        return units.to_litres(value, Context(scene).unit(Amount(value, unit)))
    except (KeyError, ValueError) as problem:
        raise CannotBe(f"{unit} is no amount of water.") from problem


def _percent(ask: Ask) -> float | None:
    if ask.percent is not None:
        return ask.percent
    return ask.amount.value if ask.amount is not None and ask.amount.unit == "percent" else None


def household(millilitres: float, scene: Scene) -> str:
    """ "half a cup and 1 tablespoon (4.3 fl oz)"; "126 mL" for all who don't use US measures."""
    if scene.units != "us":
        return f"{amounts.plain(millilitres, 0 if millilitres >= 20 else 1)} mL"
    made = dose.measure(millilitres)
    parts = [
        _cups(made.cups) if made.cups else "",
        f"{made.tablespoons} tablespoon{'s' if made.tablespoons != 1 else ''}" if made.tablespoons else "",
        _spoons(made.teaspoons) if made.teaspoons else "",
    ]
    said = times.listed([part for part in parts if part])
    ounces = f"{amounts.plain(made.fluid_ounces, 1)} fl oz"
    return f"{said} ({ounces})" if said else ounces


def _cups(cups: float) -> str:
    whole, part = int(cups), cups - int(cups)
    if not whole:
        return f"{NUMBERS[part]} cup"
    return f"{amounts.plain(cups)} cup{'s' if cups != 1 else ''}"


def _spoons(spoons: float) -> str:
    if spoons in NUMBERS:
        return f"{NUMBERS[spoons]} teaspoon"
    return f"{amounts.plain(spoons)} teaspoon{'s' if spoons != 1 else ''}"


def drinking(ask: Ask, scene: Scene, cloudy: bool) -> Answer:
    """The official emergency dose; no number where the tables have none."""
    gallon = 1.0 if scene.units == "metric" else dose.LITRES_PER_GALLON
    litres = gallon
    if ask.amount is not None and ask.amount.unit == "fraction":
        litres = _what(ask, scene)[1]
    elif ask.amount is not None and ask.amount.value is not None and ask.amount.unit != "percent":
        litres = litres_of(ask.amount.value, ask.amount.unit, scene)
    percent = _percent(ask)
    strengths = [6.0, 8.25] if percent is None else [percent]
    rows = [row for one in strengths if (row := dose.drinking(litres, one, cloudy)) is not None]
    facts: dict[str, Any] = {"topic": "dose", "subject": "drinking", "tank": None, "litres": litres, "cloudy": cloudy}
    facts["source"] = f"{figures.EPA_EMERGENCY}; {figures.CDC_EMERGENCY}"
    if not rows:
        facts |= {"millilitres": None, "mg_per_litre": None, "bleach_percent": percent}
        return Answer(_no_row(percent), facts, ("drinking",))
    facts |= {
        "millilitres": rows[0].millilitres,
        "drops": rows[0].drops,
        "mg_per_litre": dose.concentration(rows[0].millilitres, rows[0].percent, litres),
        "bleach_percent": rows[0].percent,
        "stand_minutes": rows[0].minutes,
        "rows": [{"bleach_percent": row.percent, "drops": row.drops, "teaspoons": row.teaspoons} for row in rows],
    }
    each = [f"{_drops(row)} of {'5 to 6' if row.percent <= 6 else '8.25'} % bleach" for row in rows]
    state = "cloudy or very cold" if cloudy else "clear"
    text = f"For {scene.exact(litres)} of {state} water: {times.listed(each, 'or')}, stirred and left 30 minutes."
    if not cloudy:
        text += " Twice that if it is cloudy, coloured or very cold."
    return Answer(text, facts, ("drinking",), {"topic": "dose", "drinking": True})


def _no_row(percent: float | None) -> str:
    if percent is not None and not (5.0 <= percent <= 6.0 or 8.0 <= percent <= 8.25):
        said = f"The official table has no row for {amounts.plain(percent)} % bleach"
        return f"{said}, only for 5 to 6 % and 8.25 %, so I give no number: go by the label."
    return "The official table ends at 8 gallons: treat it in smaller lots."


def _drops(row: dose.Drinking) -> str:
    if row.teaspoons is None:
        return "1 drop" if row.drops == 1 else f"{row.drops} drops"
    for name, value in (("1/4", 1 / 4), ("1/3", 1 / 3), ("1/2", 1 / 2), ("2/3", 2 / 3), ("1", 1.0), ("1 1/3", 4 / 3)):
        if abs(row.teaspoons - value) < 0.02:
            return f"{name} teaspoon" if value <= 1 else f"{name} teaspoons"
    return f"{amounts.plain(row.teaspoons)} teaspoon"
