"""How one came to know: the part of a phrase that tells how a tank was looked into, a tap timed, a cover taken off for it.

"I shone the flashlight down the toilet and black is a third full", "I timed the kitchen tap: one gallon took 30 seconds". Such a part may
name a tank or a tap, since that is what was looked at; it says nothing of it. May import: bearing_words, tokens, lexicon.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.bearing_words import TALK
from grammar.hearing.parts import verdict
from grammar.hearing.tokens import Tok
from grammar.lexicon import lexicon

_LOOKED = frozenset(
    (
        "looked looking peered peering peeked peeking peeped checked inspected examined eyed glanced gazed squinted stared sighted glimpsed "
        "watched studied scrutinised consulted eyed felt sniffed verified surveyed viewed observed eyeballed"
    ).split()
)
_POINTED = frozenset(
    (
        "shone shined pointed aimed beamed held put stuck lowered dropped dangled poked dipped tapped knocked rapped thumped pushed slid "
        "lit fetched grabbed took got used had brought hung stood set laid"
    ).split()
)
"""With a lamp, a stick or a watch: what it was done with."""
_LAMPS = frozenset(
    (
        "torch torches flashlight flashlights lamp lantern headlamp headlight headtorch penlight spotlight light phone mirror camera endoscope "
        "glasses specs spectacles binoculars stick dipstick rod dowel ruler broomstick broom skewer yardstick pole tape knuckles fingers "
        "stopwatch watch timer clock jug bucket bottle jar pitcher pail beaker can bag"
    ).split()
)
_UNCOVERED = frozenset(
    (
        "opened lifted raised removed unscrewed pulled took popped flipped unlatched unlocked propped slid undid unbolted unclipped uncovered "
        "moved shifted swung prised pried cleared got had cracked"
    ).split()
)
_COVERS = frozenset(
    (
        "hatch hatches lid lids cap cover covers panel plate cushion cushions seat bay door doors locker flap plug board boards floorboard "
        "floorboards trapdoor compartment mattress bed bench carpet rug drawer cupboard box grille skirt access port"
    ).split()
)
_STOOPED = frozenset(
    (
        "crouched knelt bent crawled climbed squatted stooped leaned leant reached lay laid scrambled clambered ducked wriggled stretched "
        "hunkered stepped walked went gone been popped nipped ran got"
    ).split()
)
_WHITHER = frozenset(
    "down under underneath beneath in inside into over out outside round around behind up below through knees".split()
)
_TIMED = frozenset("timed measured clocked tested checked gauged".split())
_TAPS = frozenset("tap taps faucet faucets spigot flow sink head stream rate hose shower-head showerhead valve".split())
_OF_LOOKING = _LOOKED | _POINTED | _LAMPS | _UNCOVERED | _COVERS | _STOOPED
_LOOKED_AT = (
    "TANK TANKS TANKWORD LOOK STOW OPEN BYMETER SAYS CHANGE TIMES TIMESWORD PUT OUTON LEVELWORD FLOW WATERHERE OUTLET ACT SHUT ONTO CUT METER"
).split()
_NOT_SO = frozenset(
    (
        "NUMBER FRACTION UNIT FULLNESS NEG NO FUTURE IF OTHER REPORTED HABIT QWORD QMARK NEARLY AMEND FIX VALVE DUMP FILL RINSE HAUL RESET "
        "USE SANITISE SENSOR AGAIN DOUBT JEST CANCEL UNDO UNDOVERB INSTEAD WITHOUT VAGUE BOUND FORGOTLOG OR RUNOUT SERVICE"
    ).split()
)
_MAY_TALK = frozenset(TALK) | frozenset(_LOOKED_AT)
_IS = frozenset("is are was were 's".split())
"""With these a part tells of a state ("the gauge is stuck"), and of nothing that was done."""
_WATCHED = frozenset("watched watching eyed studied scrutinised stared squinted peered".split())
MOST = 16  # tokens


def tells_how_known(part: Sequence[Tok]) -> bool:
    """Whether a part tells how somebody came to know what stands beside it, and nothing else."""
    if not 1 < len(part) <= MOST:
        return False
    words = [word for tok in part for word in tok.text.split()]
    if not _of_looking(part, words) or verdict("turned", part) or not _IS.isdisjoint(words):
        return False
    if any(tok.has("METER") for tok in part) and _WATCHED.isdisjoint(words):
        return False  # "read the meter while I was out there 23.6": the number is its reading
    return all(_by_the_way(tok) for tok in part)


def _of_looking(part: Sequence[Tok], words: Sequence[str]) -> bool:
    said = frozenset(words)
    if any(tok.has("LOOK") for tok in part) or not said.isdisjoint(_LOOKED):
        return True
    if not said.isdisjoint(_POINTED) and not said.isdisjoint(_LAMPS):
        return True
    if not said.isdisjoint(_UNCOVERED) and not said.isdisjoint(_COVERS):
        return True
    if not said.isdisjoint(_TIMED) and not said.isdisjoint(_TAPS):
        return True
    return not said.isdisjoint(_STOOPED) and not said.isdisjoint(_WHITHER) and not any(_of_water(tok) for tok in part)


def _by_the_way(tok: Tok) -> bool:
    """Whether a word may stand in such a part."""
    if not tok.known:
        return tok.text.isalpha() and (tok.capital or lexicon().frequent(tok.text) or tok.text in _OF_LOOKING)
    if tok.has("ACT") and tok.senses["ACT"].form == "past":
        return False
    return not tok.senses.keys().isdisjoint(_MAY_TALK) and tok.senses.keys().isdisjoint(_NOT_SO)


def _of_water(tok: Tok) -> bool:
    """Of a tank, a meter or a use: more than somebody's way there."""
    thing = tok.has("ACT") and tok.senses["ACT"].form == "thing"
    return not thing and tok.has("TANK", "TANKS", "METER", "ACT", "PUT", "SWITCH", "GEAR", "PUMP")
