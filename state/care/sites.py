"""Where the rig has been and what is known of each place: stays, pressure at its spigot, notes. Pure.

May import: pressure, world.
"""

from __future__ import annotations

from datetime import datetime

from state.care import pressure
from state.lightclass import dataclass
from state.world import StayAt, World


def all_stays(world: World) -> list[StayAt]:
    """Every stay with a site, oldest first, the present one last."""
    rows = [one for one in world.stays if one is not world.stay and one.site]
    if world.stay.site and not any(_same(one, world.stay) for one in rows):
        rows.append(world.stay)
    return sorted(rows, key=lambda one: one.since.timestamp() if one.since else 0.0)


def _same(one: StayAt, other: StayAt) -> bool:
    return one.site == other.site and one.since == other.since


def between(world: World, start: datetime, end: datetime) -> list[StayAt]:
    """Stays of which some part lies in the stretch (end not included)."""
    return [
        one
        for one in all_stays(world)
        if (one.since is None or one.since < end) and (one.ended is None or one.ended > start)
    ]


@dataclass(frozen=True)
class Known:
    """`water`, `sewer`: as last told there."""

    site: str
    stays: tuple[StayAt, ...]
    water: bool | None
    sewer: bool | None
    pressure: pressure.Readings | None
    notes: tuple[tuple[datetime, str], ...]


def known(world: World, site: str) -> Known | None:
    """All that is known of a place; None if we never were there. Names compare without case."""
    key = site.casefold()
    stays = [one for one in all_stays(world) if (one.site or "").casefold() == key]
    notes = tuple((at, note) for at, note, place in world.notes if place is not None and place.casefold() == key)
    read = pressure.at_site(world, site)
    if not stays and not notes and read is None:
        return None
    water = next((one.water for one in reversed(stays) if one.water is not None), None)
    sewer = next((one.sewer for one in reversed(stays) if one.sewer is not None), None)
    name = stays[-1].site if stays and stays[-1].site else site
    return Known(name, tuple(stays), water, sewer, read, notes)


def longest_word_match(world: World, words: str) -> str | None:
    """The known place that the words name, whole or in part ("Heron" for Heron Bend); None if none or several do."""
    wanted = words.casefold().strip()
    names = {one.site.casefold(): one.site for one in all_stays(world) if one.site}
    if wanted in names:
        return names[wanted]
    hits = [name for key, name in names.items() if wanted and (key.startswith(wanted) or wanted in key.split())]
    return hits[0] if len(hits) == 1 else None
