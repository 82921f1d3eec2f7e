"""What one use of an activity takes: a prior of frugal practice, moved by this household's own measured uses, person by person.

Normal-gamma learning of mean and spread in closed form. Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.3 (from
memory; checked against brute force). The person's own prior is what the household's uses say. Pure. May import: `figures`, `world`.
"""

from __future__ import annotations

from math import sqrt

from state import figures
from state.lightclass import dataclass
from state.world import World

HOUSEHOLD_WEIGHT = 2.0
"""How many own uses weigh as much as the published figure."""

PERSON_WEIGHT = 2.0
"""How many of a person's uses weigh as much as what the household's say."""

SPREAD_WEIGHT = 3.0
MEMORY = 40.0
"""Own uses fade so that about this many are remembered."""


@dataclass(frozen=True)
class Typical:
    """One use. mean, sd: of the next one. [litres] n: own measured uses behind it. low, high: the least and most seen, if any."""

    mean: float
    sd: float
    n: int
    low: float | None = None
    high: float | None = None


def key(activity: str, person: str | None = None) -> str:
    return activity.casefold() + ("\n" + person.casefold() if person else "")


def learn(world: World, activity: str, person: str | None, litres: float, count: int) -> None:
    """Take in a measured use: `count` uses that took `litres` together."""
    each = litres / max(1, count)
    for name in dict.fromkeys(
        (key(activity), key(activity, person))
    ):  # no set: its order differs from process to process
        sums = world.typicals.setdefault(name, [0.0, 0.0, 0.0, 0.0, each, each])
        keep = 1.0 - 1.0 / MEMORY if sums[0] >= MEMORY else 1.0
        # weight, sum, sum of squares (of single events: a count of showers tells their mean, not their spread), n, least, most
        sums[0] = sums[0] * keep + count
        sums[1] = sums[1] * keep + litres
        sums[2] = sums[2] * keep + count * each * each
        sums[3] += count
        sums[4], sums[5] = min(sums[4], each), max(sums[5], each)


def typical(world: World, activity: str, person: str | None = None, minutes: float | None = None) -> Typical:
    """What one use takes here. minutes: how long the water ran, if it was said: then flow times minutes. [litres]"""
    if minutes is not None and minutes > 0.0:
        return _by_minutes(world, activity, minutes)
    base = figures.TYPICAL_LITRES.get(activity.casefold(), figures.TYPICAL_LITRES["other"])
    own = _posterior(world.typicals.get(key(activity)), base, figures.TYPICAL_CV * base, HOUSEHOLD_WEIGHT)
    if person:
        own = _posterior(world.typicals.get(key(activity, person)), own.mean, own.sd, PERSON_WEIGHT, own)
    return own


def own_mean(world: World, activity: str, person: str | None = None) -> float | None:
    """What one use took on average, by that person where theirs were measured, else in the household; None if none was. [litres]"""
    names = [key(activity, person), key(activity)] if person else [key(activity)]
    found = (world.typicals.get(name) for name in names)
    return next((sums[1] / sums[0] for sums in found if sums is not None and sums[0] > 0.0), None)


def _posterior(
    sums: list[float] | None, mean: float, sd: float, weight: float, fallback: Typical | None = None
) -> Typical:
    if sums is None or sums[0] <= 0.0:
        return fallback or Typical(mean, sd, 0)
    n, total, squares, count, low, high = sums
    own = total / n
    centre = (weight * mean + total) / (weight + n)
    scatter = max(0.0, squares - n * own * own)
    between = weight * n / (weight + n) * (own - mean) ** 2 if n < 4 else 0.0
    var = (SPREAD_WEIGHT * sd * sd + scatter + between) / (SPREAD_WEIGHT + n)
    return Typical(centre, sqrt(var * (1.0 + 1.0 / (weight + n))), int(count), low, high)


def _by_minutes(world: World, activity: str, minutes: float) -> Typical:
    sd = 0.4 if world.flow_litres_per_minute is None else 0.25
    litres = flow(world, activity) * minutes
    return Typical(litres, sd * litres, 0)


def flow(world: World, activity: str) -> float:
    """The flow that was told, or the published one of such a use. [litres per minute]"""
    if world.flow_litres_per_minute is not None:
        return world.flow_litres_per_minute
    return figures.FLOW_LITRES_PER_MINUTE.get(activity.casefold(), figures.FLOW_ELSE)


def known(world: World, activity: str) -> bool:
    """Is it one of the fixed activities, or one that this household has logged or taught?"""
    name = activity.casefold()
    return name in figures.TYPICAL_LITRES or name in (each.casefold() for each in world.activities)
