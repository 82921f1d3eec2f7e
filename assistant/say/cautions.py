"""Every caution that an answer may carry, in one table: the hazard, what brings it up, the words, where they come from.

Answers and recordings name hazards by key (`rinse-closed`, or `pressure-high:ceiling` where the same hazard can come
in degrees or
for several things); `speak` turns the keys into words and keeps still for an hour about what has just been said. A
new degree is a
new danger and is said at once. The words defer to the maker's manual, local rules, a licensed plumber or the health
authority.
May import: the standard library only.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from state.lightclass import dataclass

QUIET = timedelta(hours=1)
ADVISED = timedelta(hours=20)
ALWAYS = frozenset({"rinse-closed:limit"})
"""What stands with every answer: a limit may be followed each time that it is asked for."""
OF_ADVICE = frozenset({"lift:advised"})
"""What goes with advice, which nobody has begun to follow, is said once a day."""
ONCE_A_DAY = OF_ADVICE | {"over-full:grey", "over-full:black"}


@dataclass(frozen=True)
class Caution:
    hazard: str
    trigger: str
    words: str
    source: str


TABLE: dict[str, Caution] = {
    one.hazard: one
    for one in (
        Caution(
            "pressure-high",
            "a pressure above the rig's limit",
            "Shut the spigot and put a regulator on before you use it: too much pressure bursts hoses and fittings. "
            "Your maker's manual says what the plumbing bears.",
            "common practice: 40 to 50 psi regulated, alarm above 60; Uniform Plumbing Code 608.2: at most 80 psi static",
        ),
        Caution(
            "pressure-low",
            "a pressure under 20 psi",
            "At such low pressure the site may draw water back: keep the hose end out of buckets and tanks, and use a vacuum breaker.",
            "25 CCR 1276 (15 or 20 psi at a lot); EPA 816-R-03-002 on cross-connection",
        ),
        Caution(
            "rinse-closed",
            "a rinse limit, or a rinse into a closed tank",
            "With the valve closed a rinse can overflow through the toilet or the vent: stay beside it, toilet lid in sight. "
            "Rinsing with the valve open at a sewer is safer.",
            "common practice, no source; your tank maker's manual goes first",
        ),
        Caution(
            "rinse-backflow",
            "rinsing or hooking up the rinse port",
            "Rinse through its own hose and a vacuum breaker, with the drinking water hose off the tap.",
            "EPA 816-R-03-002 (2003), preface: a link between potable and other water is a serious public health hazard",
        ),
        Caution(
            "waste-hygiene",
            "dumping, hauling, the dump procedure",
            "Gloves on, and wash your hands before you touch the fresh side. A hose that served waste never touches fresh.",
            "EPA 816-R-03-002 (2003), preface",
        ),
        Caution(
            "waste-place",
            "a waste valve opened at a site without a sewer",
            "Waste belongs in a dump station or sewer; rules for grey water differ from place to place, so ask there.",
            "43 CFR 8365.1-1(b)(3); 21 CFR 1250.52; Ohio Adm. Code 1501:3-3-04 is stricter",
        ),
        Caution(
            "black-full",
            "a black tank seen full",
            "No flush and no rinse until it is dumped: it comes up through the toilet. Gloves on for what has spilled, away from the "
            "fresh side; your tank maker's manual goes first.",
            "common practice, no source",
        ),
        Caution(
            "over-full",
            "more logged or metered into a waste tank than it can hold, and no dump told",
            "By what was told {of} would have run over by now. If it was dumped, say so; if not, look at it before more goes in.",
            "common practice, no source",
        ),
        Caution(
            "lift",
            "a tote above 23 kg (51 lb)",
            "That is too heavy to lift: roll it, or fill it less. 51 lb (23 kg) is the most that NIOSH allows even in the best posture.",
            "NIOSH 94-110, load constant 51 lb (23 kg)",
        ),
        Caution(
            "bleach",
            "a sanitising dose",
            "Plain unscented bleach only, with air around you and gloves on. Never with acid, vinegar or ammonia: that makes poison gas. "
            "Your tank's manual goes first.",
            "product labels and CDC cleaning guidance (wording from memory)",
        ),
        Caution(
            "sanitised",
            "a sanitising just told, with the bleach perhaps still in the tank",
            "While bleach is in it nobody drinks: let it stand 6 hours, then flush until no tap smells of it. "
            "The label and your tank's manual go first.",
            "AWWA C652-19, method 3, and Oregon's storage tank options: 6 hours at 50 mg/L; 40 CFR 141.65: at most 4 mg/L to drink",
        ),
        Caution(
            "drinking",
            "an emergency dose for drinking water",
            "Boiling is surer. Bleach does nothing against chemicals, so follow your health authority.",
            "EPA 816-F-15-003",
        ),
        Caution(
            "frost",
            "a stated low at or under freezing",
            "What freezes bursts: take the hose in and drain it. The maker's manual says how to drain the rest.",
            "0 °C; 20 °F threshold of Gordon, Univ. of Illinois BRC 1996, as the urgent step; IAPWS R10-06 (ice takes 9 % more room)",
        ),
        Caution(
            "overload",
            "water aboard above the stated limit",
            "That is over your limit: dump or drain before you drive, and go by the plate and a scale.",
            "the owner's stated limit; the maker's plate goes first",
        ),
        Caution(
            "water-doubtful",
            "a note of brown or cloudy water or a boil notice",
            "Don't fill the tank with it, and ask the site or the health authority before anyone drinks it.",
            "EPA 816-F-15-003: the local authority goes first",
        ),
        Caution(
            "gear-left",
            "an arrival with gear never stowed",
            "Don't put the spigot's pressure on the rig without a regulator.",
            "common practice: 40 to 50 psi regulated",
        ),
        Caution(
            "leak",
            "water that ran while nobody was there",
            "Look under the sinks and at the hose; when in doubt shut the spigot, and have a licensed plumber look.",
            "common practice, no source",
        ),
    )
}


def hazard_of(key: str) -> str:
    return key.split(":", 1)[0]


def words(key: str) -> str:
    """The words of a caution; a key that is in no table is words already."""
    known = TABLE.get(hazard_of(key))
    return known.words.replace("{of}", key.partition(":")[2]) if known else key


def speak(
    keys: Iterable[str], shown: Mapping[str, datetime], now: datetime
) -> tuple[tuple[str, ...], dict[str, datetime]]:
    """The cautions to print, and the memory to keep for the next turn.

    shown: key → when it was last printed. A key is new unless the same one was printed within the hour before `now`, or some
    within the day (a memory from after `now`, as in back-filling, doesn't silence). What is older is forgotten.
    """
    kept = {key: at for key, at in shown.items() if now - max(QUIET, ADVISED) < at <= now}
    printed: list[str] = []
    for key in keys:
        quiet = ADVISED if key in ONCE_A_DAY else QUIET
        same = (key, hazard_of(key)) if key in OF_ADVICE else (key,)
        if key not in ALWAYS and any(one in kept and kept[one] > now - quiet for one in same):
            continue
        kept[key] = now
        kept |= {hazard_of(key): now} if key in ALWAYS else {}
        if words(key) not in printed:
            printed.append(words(key))
    return tuple(printed), kept
