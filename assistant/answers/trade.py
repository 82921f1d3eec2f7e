"""What the trade knows whatever the rig: valves left open, waste on the ground, frost, a dry tap, the wrong bleach. Words only."""

from __future__ import annotations

ADVICE: dict[str, str] = {
    "the wrong bleach": (
        "Not for a tank: splashless, scented or thickened bleach has more in it than bleach. "
        "Take plain unscented bleach, and tell me its strength from the label."
    ),
    "mixed bleach": (
        "Never: bleach with vinegar, another acid or ammonia makes poison gas. Flush the one out with plenty of water before the other "
        "goes in; the labels go first."
    ),
    "the hose for waste": (
        "Never the drinking water hose: what has touched waste must not touch what you drink. Keep a hose for rinsing and one for the sewer, "
        "each marked and stowed apart, and never join either to the fresh side; local codes ask for a backflow preventer at the spigot."
    ),
    "black before grey": (
        "Black first, then grey, so that grey rinses the hose. Gloves on, and shut the black valve before you open grey."
    ),
    "the order at the spigot": (
        "At the spigot first a backflow preventer where local codes ask for one, then the regulator, the gauge, the meter, the filter, and last "
        "the drinking water hose."
    ),
    "fouled sensors": (
        "They lie mostly because something sticks to the walls. Dump, rinse black well, and drive with some water and tank cleaner in it, "
        "as its label says; until then go by the meter and what you see."
    ),
    "the black valve left open": (
        "Better not: with black open the water runs off and what is solid stays behind. Keep it shut until the tank is at least half "
        "full, then dump it all at once."
    ),
    "the grey valve left open": (
        "With a sewer hose on and a trap in it grey may stand open, but shut it a day before you dump black, "
        "so that grey can rinse the hose. Without a sewer keep it shut."
    ),
    "waste on the ground": (
        "Black never: it belongs in a dump station or a sewer. Rules for grey differ from place to place, and mostly it is not allowed, "
        "so ask there first. Nothing is recorded."
    ),
    "fresh on the ground": (
        "Clean drinking water may mostly run off on the ground, slowly and away from the neighbours, if the place allows it. "
        "With bleach in it, it goes down a sewer. Nothing is recorded."
    ),
    "against frost": (
        "Before the night: fill the fresh tank, take the hose off the spigot, drain it and put it away, and run on the pump. "
        "Keep warm where the pipes and the valves are, and say frost for the steps."
    ),
    "thawing": (
        "No flame and no torch: shut the spigot, open a tap, and thaw it slowly with warm air or warm water, or in the warm. "
        "Then look for leaks before you put pressure on it; what is frozen may have burst."
    ),
    "a dry tap": (
        "Look at these in turn: is the spigot open and the hose straight, has the pump power, does fresh hold any, is the filter clogged, "
        "is something frozen. Nothing is recorded."
    ),
}  # fmt: skip
"""By the subject that is asked about. Common practice of the trade; the maker's manual and the rules of the place go first."""
