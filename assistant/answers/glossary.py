"""What the words of the trade and of the answers mean, each in a sentence or two. May import: nothing.

Common practice of the trade; what the answers' own words mean is how they are computed (state/levels.md, state/odds.md).
"""

from __future__ import annotations

MEANINGS: dict[str, str] = {
    "grey water": "Grey water is what runs off from sinks and shower; it collects in the grey tank.",
    "black water": "Black water is what the toilet flushes; it collects in the black tank and belongs in a dump station or a sewer only.",
    "fresh water": "Fresh water is what you drink and wash with, from the fresh tank or a hookup. Keep its hose away from the waste hose.",
    "a tote": "A tote is a portable tank in which grey or black is carried to a dump station. Tell me its size and I count the runs.",
    "room": "Room is what still fits into a tank before it is full; of fresh, what can still be drawn. An old word for it is ullage.",
    "unlogged": "Unlogged is water that the meter shows, or that people usually use, and nobody told me as a use.",
    "unexplained": "Unexplained is what is left over when a reading contradicts what was told; I book it openly instead of hiding it.",
    "the usual amount": "When you give no amount I book the usual one: what yours were on average, or at first what people use.",
    "most likely": "Most likely between two numbers means that the truth lies between them four times in five.",
    "the odds": "Of a hundred weeks like this one, so many would last that long. It comes from your days of use and from how sure I am of the tanks.",
    "the tight tank": "The tight tank is the one that gives out first: fresh by running dry, grey or black by getting full.",
    "a sensor": "A sensor is the probe behind your tank panel. They often lie, so I trust a meter and your own eyes more.",
    "the meter": "The meter counts the water that goes in through the hose. Read it to me now and then and I know what was used.",
    "a hookup": "A hookup is a site's connection: water, sewer or power. On a water hookup the fresh tank is not drawn on.",
    "a dump station": "A dump station is a drain where waste tanks may be emptied. Never dump anywhere else but into a sewer.",
    "the rinse port": (
        "The rinse port takes water into the black tank to wash it out. Never leave it running with the valve shut: it fills the tank. "
        "Its hose is never the drinking hose."
    ),
    "a regulator": "A regulator on the spigot holds the pressure down to what your plumbing can take, mostly 40 to 50 psi.",
    "a backflow preventer": (
        "A backflow preventer lets water run one way only, so that nothing foul is sucked back into drinking water. "
        "It belongs where a hose meets a waste tank or a spigot; local codes say which."
    ),
    "a trap": "A trap is the bend in a drain that holds water, so that no gas comes back from the tank. It must not dry out or freeze.",
    "sanitising": "Sanitising is filling the fresh water system with weak bleach, letting it stand, and flushing it. Ask me how much bleach.",
    "dry camping": "Dry camping is staying with no hookups, on what is in the tanks.",
}  # fmt: skip


def meaning(wanted: str) -> str | None:
    """What "meaning of grey water" asks for, "… and black water" both in turn; None where it asks for none."""
    lead = "meaning of "
    if not wanted.startswith(lead):
        return None
    terms = wanted.removeprefix(lead).split(" and ")
    return (
        " ".join(MEANINGS[term] for term in dict.fromkeys(terms)) if all(term in MEANINGS for term in terms) else None
    )
