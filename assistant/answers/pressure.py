"""Water pressure: what was read, here and at other places, how it stands, and what to set.

May import: state, assistant.say, assistant.scene, grammar.intents.
"""

from __future__ import annotations

from assistant.say import amounts
from assistant.scene import Answer, Scene
from grammar.intents import Ask
from state import figures_safety as figures
from state import units
from state.care import pressure, sites
from state.lightclass import Any

STANDINGS = {
    "ceiling": "above the 80 psi that plumbing codes allow in a building",
    "high": "above your limit",
    "firm": "on the high side, still within your limit",
    "good": "good",
    "soft": "a little low, safe to use",
    "low": "too low to count on",
}


def answer(ask: Ask, scene: Scene) -> Answer:
    """The readings of the place named, or of here, and the setting of a regulator."""
    site = ask.site or scene.world.stay.site
    if ask.site is not None:
        site = sites.longest_word_match(scene.world, ask.site) or ask.site
    low, high = pressure.setting(scene.world)
    found = pressure.at_site(scene.world, site)
    facts: dict[str, Any] = {
        "topic": "history",
        "subject": "pressure",
        "site": site,
        "limit_kpa": pressure.limit(scene.world),
        "set_low_kpa": low,
        "set_high_kpa": high,
        "code_ceiling_kpa": figures.CODE_CEILING_KPA.value,
        "rows": [],
    }
    advice = f"Set the regulator to {_range(low, high, scene)}."
    if ask.amount is not None and ask.amount.value is not None and ask.amount.unit in ("psi", "bar", "kilopascal"):
        kpa = units.convert(ask.amount.value, ask.amount.unit, "kilopascal")
        standing = pressure.standing(scene.world, kpa)
        said = f"{amounts.pressure(kpa, scene.units)} would be {words(standing, scene)}. {advice}"
        high_one = (f"pressure-high:{standing}",) if standing in ("high", "ceiling") else ()
        return Answer(said, facts | {"asked_kpa": kpa}, high_one, {"topic": "pressure"})
    where = f"at {site}" if site else "here"
    if found is None:
        top = amounts.pressure(pressure.limit(scene.world), scene.units)
        return Answer(
            f"I have no pressure reading {where}. {advice} I warn above {top}.", facts, (), {"topic": "pressure"}
        )
    facts["rows"] = [
        {"n": found.n, "low_kpa": found.low, "high_kpa": found.high, "last_kpa": found.last, "at": found.at},
    ]
    standing = pressure.standing(scene.world, found.last)
    last = amounts.pressure(found.last, scene.units)
    text = f"{last} {where}, read {scene.day(found.at)}: {words(standing, scene)}."
    if found.n > 1 and found.high - found.low > figures.KPA_PER_PSI:
        text = f"{text[:-1]}; {found.n} readings from {amounts.pressure(found.low, scene.units)} to {amounts.pressure(found.high, scene.units)}."
    here = (
        site is not None and scene.world.stay.site is not None and site.casefold() == scene.world.stay.site.casefold()
    )
    dangerous = standing in ("high", "ceiling") and (here or ask.site is None)
    return Answer(f"{text} {advice}", facts, (f"pressure-high:{standing}",) if dangerous else (), {"topic": "pressure"})


def _range(low: float, high: float, scene: Scene) -> str:
    top = amounts.pressure(high, scene.units)
    return f"{amounts.pressure(low, scene.units).split()[0]} to {top}" if high > low else f"at most {top}"


def beside(kpa: float, scene: Scene) -> str:
    """What stands beside a reading just recorded: how it stands, and what was read here before when it differs by more than 10 psi."""
    standing = pressure.standing(scene.world, kpa)
    return "" if standing == "good" else f"That is {words(standing, scene)}."


def words(standing: pressure.Standing, scene: Scene) -> str:
    """How a reading stands; a limit nobody told is named as the usual one."""
    if standing in ("high", "firm") and "pressure" not in scene.world.rig.limits:
        usual = f"the usual limit of {amounts.pressure(pressure.limit(scene.world), scene.units)}"
        return f"above {usual}" if standing == "high" else f"on the high side, still within {usual}"
    return STANDINGS[standing]
