"""The words of this rig: names of people, sites, tanks, activities and things of its own.

Words that were taught are written out before (verbatim.py). May import: hear, lexicon, reading.
"""

from __future__ import annotations

from functools import lru_cache

from grammar.hearing.hear import hear
from grammar.lexicon import Own, Sense
from grammar.reading import Names


@lru_cache(maxsize=4)
def own_of(names: Names) -> Own:
    """The spellings of this rig's own names."""
    found: dict[tuple[str, ...], tuple[Sense, ...]] = {}

    def spelled(name: str) -> tuple[str, ...]:
        return tuple(word.text for word in hear(name) if word.kind == "word")

    def enter(name: str, sense: Sense) -> None:
        key = spelled(name)
        if key:
            found[key] = (*found.get(key, ()), sense)

    for person in names.people:
        enter(person, Sense("PERSON", "", person))
    for site in names.sites:
        enter(site, Sense("SITE", "", site))
    for tank in names.tanks:
        enter(tank, Sense("TANK", "", tank.casefold()))
        enter(f"{tank} tank", Sense("TANK", "tank", tank.casefold()))
        if tank.casefold() == "waste":
            enter("waste water", Sense("TANK", "", "waste"))
            enter("waste water tank", Sense("TANK", "tank", "waste"))
    for name in names.activities:
        enter(name, Sense("ACT", "noun", name))
    for item in names.items:
        enter(item, Sense("SERVICE", "", item))
        enter(item, Sense("GEAR", "", item))
    return Own.of(found)
