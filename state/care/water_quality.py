"""What notes say about the water of a place: smell, taste, colour, and what usually helps. Pure; no medical claims.

Only words that clearly speak of the water count; a note about anything else has no sign. May import: world.
"""

from __future__ import annotations

from datetime import datetime

from state.lightclass import dataclass
from state.world import World


@dataclass(frozen=True)
class Sign:
    """`words`: stems that tell it. `advice`: one sentence. `ask_first`: nobody should drink before an authority is
    asked."""

    name: str
    words: tuple[str, ...]
    advice: str
    ask_first: bool = False


# Advice is common practice, no source, save where it defers to the authority; none of it says that water is safe.
SIGNS: tuple[Sign, ...] = (
    Sign(
        "sulphur",
        ("sulphur", "sulfur", "rotten egg", "bad egg", "eggy", "egg smell"),
        "Often the anode in a water heater or still water: flush, and sanitise if it stays.",
    ),
    Sign(
        "chlorine",
        ("chlorin", "bleach", "swimming pool", "pool water"),
        "A carbon filter takes most of that taste away.",
    ),
    Sign(
        "metal",
        ("metallic", "metal taste", "taste of metal", "iron"),
        "Let it run a minute first; a carbon filter may help.",
    ),
    Sign(
        "rust",
        ("rust", "brown", "orange water", "red water"),
        "Don't fill the tank with it; let it run until it is clear.",
        True,
    ),
    Sign(
        "cloudy",
        ("cloudy", "milky", "murky", "turbid", "muddy"),
        "If a glass doesn't clear from below in minutes, don't drink it.",
        True,
    ),
    Sign(
        "musty",
        ("musty", "mouldy", "moldy", "earthy", "stale", "swampy"),
        "Change the filter, and sanitise the tank if it stays.",
    ),
    Sign("salt", ("salty", "brackish"), "A filter won't take salt out; fill elsewhere for drinking."),
    Sign(
        "boil notice",
        ("boil notice", "boil water", "boil order", "not potable", "non-potable", "non potable"),
        "",
        True,
    ),
    Sign(
        "hard",
        ("hard water", "limescale", "lime scale", "chalky"),
        "Harmless to the tank; rinse the heater more often.",
    ),
    Sign("good", ("good water", "tastes good", "tasted good", "lovely water", "great water", "sweet water"), ""),
)

AUTHORITY = "Ask the site or the health authority before anyone drinks it."


def signs(text: str) -> list[Sign]:
    """The signs that a note's text tells of."""
    said = " ".join(text.casefold().replace("'", " ").split())
    return [sign for sign in SIGNS if any(word in said for word in sign.words)]


@dataclass(frozen=True)
class Remark:
    at: datetime
    site: str | None
    note: str
    signs: tuple[Sign, ...]


def remarks(world: World, site: str | None) -> list[Remark]:
    """Notes about the water at a site, oldest first; None: made while no site was told."""
    key = site.casefold() if site else None
    found = []
    for at, note, place in world.notes:
        here = place.casefold() if place else None
        told = tuple(signs(note))
        if told and here == key:
            found.append(Remark(at, place, note, told))
    return found


def advice(sign: Sign) -> str:
    """What usually helps, and whom to ask where it could be unsafe."""
    return " ".join(part for part in (sign.advice, AUTHORITY if sign.ask_first else "") if part)
