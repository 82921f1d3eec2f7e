"""Where water goes: which tank, or none, takes the water of an activity in this rig.

A missing black tank: a logged flush ends in the one waste tank there is. A missing grey tank: the black one takes all, but where it is
no larger than a cassette: then it is the toilet's own, and wash water leaves the rig (to the ground, or to a bucket under the outlet).
May import: `world`, `figures`.
"""

from __future__ import annotations

from state import figures
from state.world import Rig, Tank

OUTSIDE = "outside"

ANY = "other"
"""A use of which nobody said what it was for: it runs where unlogged use runs."""

TO_BLACK = frozenset({"toilet"})
TO_OUTSIDE = frozenset({"drinking", "outside", "coffee", "pets"})
TO_GALLEY = frozenset({"dishes", "cooking", "coffee", "handwash"})
"""Fixtures of the kitchen, where a rig has a grey tank of its own for it."""

COOKED_OFF = {"cooking": 0.4}
"""Part of an activity's water that is eaten or boiled away. Common practice, no source."""

GALLEY_NAMES = ("galley", "kitchen", "sink")
GALLEY_SHARE = 0.35
"""Part of the grey water that comes from the kitchen, in a rig with a tank for it. Common practice, no source."""


CASSETTE_LITRES = 30.0
"""The one waste tank of a rig, called black and no larger than this, takes flushes only. Common practice, no source: cassettes and
portable toilets hold 10 to 25 litres, joint tanks more."""


def target(rig: Rig, activity: str) -> str:
    """The account that takes most of an activity's water: a tank's key, or `outside`."""
    name = activity.casefold()
    if name in TO_OUTSIDE:
        return OUTSIDE
    grey, black = rig.of_kind("grey"), rig.of_kind("black")
    if name in TO_BLACK and black:
        return black[0].name.casefold()
    if not grey:
        return black[0].name.casefold() if black and not toilet_only(rig) else OUTSIDE
    galley = [tank for tank in grey if _is_galley(tank)]
    if galley and len(galley) < len(grey):
        other = next(tank for tank in grey if not _is_galley(tank))
        return (galley[0] if name in TO_GALLEY else other).name.casefold()
    return grey[0].name.casefold()


def parts(rig: Rig, activity: str) -> list[tuple[str, float]]:
    """Accounts and their parts of an activity's water, summing to 1."""
    where = target(rig, activity)
    lost = COOKED_OFF.get(activity.casefold(), 0.0) if where != OUTSIDE else 0.0
    return [(where, 1.0 - lost), (OUTSIDE, lost)] if lost else [(where, 1.0)]


def shares(rig: Rig) -> dict[str, tuple[float, float]]:
    """Prior share of the unlogged indoor use for each waste tank: mean, and standard deviation beside what `flushed` leaves open."""
    grey, black = rig.of_kind("grey"), rig.of_kind("black")
    out: dict[str, tuple[float, float]] = {}
    if not grey and not black:
        return out
    if toilet_only(rig):
        return _of_flushes(black)
    if not grey or not black:
        # one kind of waste tank takes all but what is drunk and cooked off
        total = figures.GREY_SHARE + figures.BLACK_SHARE
        for tank, weight in zip(grey or black, _weights(grey or black), strict=True):
            out[tank.name.casefold()] = (total * weight, _own_sd(figures.GREY_SHARE_SD, len(grey)))
        return out
    for tank, weight in zip(grey, _weights(grey), strict=True):
        out[tank.name.casefold()] = (figures.GREY_SHARE * weight, _own_sd(figures.OUTSIDE_SHARE_SD, len(grey)))
    return out | _of_flushes(black)


def _of_flushes(black: list[Tank]) -> dict[str, tuple[float, float]]:
    sd = 0.0 if len(black) == 1 else figures.BLACK_SHARE
    return {tank.name.casefold(): (figures.BLACK_SHARE / len(black), sd) for tank in black}


def toilet_only(rig: Rig) -> bool:
    """A cassette is all there is for waste water."""
    black = rig.of_kind("black")
    return bool(black) and not rig.of_kind("grey") and all(tank.litres <= CASSETTE_LITRES for tank in black)


def _own_sd(one: float, tanks: int) -> float:
    """How grey water parts between several tanks is less sure than how much there is."""
    return one if tanks <= 1 else 0.15


def flushed(rig: Rig) -> dict[str, float]:
    """How the shares move together where more is flushed by 1: what black takes, grey lacks. Empty where no tank takes flushes alone."""
    grey, black = rig.of_kind("grey"), rig.of_kind("black")
    if not black or not (grey or toilet_only(rig)):
        return {}
    moves = {tank.name.casefold(): 1.0 / len(black) for tank in black}
    return moves | {tank.name.casefold(): -weight for tank, weight in zip(grey, _weights(grey), strict=True)}


def _weights(grey: list[Tank]) -> list[float]:
    galley = sum(1 for tank in grey if _is_galley(tank))
    if not galley or galley == len(grey):
        return [1.0 / len(grey) for _ in grey]
    other = len(grey) - galley
    return [GALLEY_SHARE / galley if _is_galley(tank) else (1.0 - GALLEY_SHARE) / other for tank in grey]


def _is_galley(tank: Tank) -> bool:
    return any(word in tank.name.casefold() for word in GALLEY_NAMES)
