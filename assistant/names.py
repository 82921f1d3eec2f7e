"""The names of this rig that the reader of phrases should know: people, sites, tanks, own activities, gear, taught words."""

from __future__ import annotations

from grammar.reading import Names
from state.world import World


def names_of(world: World) -> Names:
    """Names met so far, in the order of first meeting."""
    sites = [stay.site for stay in [*world.stays, world.stay] if stay.site]
    sites += [stop["site"] for stop in world.stops if stop["site"]]
    return Names(
        people=tuple(world.persons),
        sites=tuple(dict.fromkeys(sites)),
        tanks=tuple(tank.name for tank in world.rig.tanks.values() if tank.name not in ("fresh", "grey", "black")),
        activities=tuple(world.activities),
        items=tuple(dict.fromkeys([*world.gear_known, *world.services, *world.upkeep])),
        taught=tuple(world.taught.items()),
        day_first=world.rig.units != "us",
    )
