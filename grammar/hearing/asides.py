"""Asides that hold a word of the trade and say nothing of it: what was got ready for the deed, what soaked, that it was not written down,
that it was as ever, whose fault it was, and where the water splashed.

"Walt put the hose in and filled fresh", "dumped grey on Sunday; I did not write it down", "washed the dog, 5 gal, and he shook half of it
over me". Whether a part is all talk is for bearing.py to judge; here are those that are not, and still change nothing.
May import: bearing_words, tokens, lexicon.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.bearing_words import TAKES_BACK
from grammar.hearing.tokens import Tok
from grammar.lexicon import lexicon


def is_aside(part: Sequence[Tok], leads: bool) -> bool:
    """Whether a part is one of these asides. `leads`: no report has come before it."""
    if not 1 <= len(part) <= _MOST or any(
        tok.has("QMARK", "QWORD", "IF", "OTHER", "JEST", "DOUBT", "CANCEL") for tok in part
    ):
        return False
    words = [word for tok in part for word in tok.text.split()]
    if not leads and hardly_looked(part):
        return True
    if not leads and (_not_written_down(part, words) or _as_ever(part, words)):
        return True
    if not TAKES_BACK.isdisjoint(words) and not _share_splashed(part, words):
        return False
    if _got_ready(part, words, leads):
        return True
    return not leads and (
        _let_stand(part, words) or _all_of_it(part, words) or _to_blame(part, words) or _splashed(part, words)
    )


def of_a_use_only(part: Sequence[Tok]) -> bool:
    """Whether an aside may stand beside a use that was done, and not beside what was filled or is usual ("…, same as always", "and half of it
    ended up on the floor")."""
    return any(tok.has("LIKE") for tok in part) or _splashed(part, [word for tok in part for word in tok.text.split()])


def hardly_looked(part: Sequence[Tok]) -> bool:
    """ "I wasn't really looking", "I forgot to look properly": why so much is only about so much."""
    words = [word for tok in part for word in tok.text.split()]
    if not any(
        tok.has("NEG", "NO", "FORGOTLOG") or tok.text in ("forgot", "hardly", "barely", "never") for tok in part
    ):
        return False
    plain = all(
        _plain(tok) or tok.has("NEG", "NO", "LOOK", "FORGOTLOG", "TIMING", "QSOFT", "METER", "BUT") for tok in part
    )
    return plain and not _LOOKS.isdisjoint(words) and words[0] in _I_OR_WE


_LOOKS = frozenset(
    "look looking looked watch watching watched attention concentrating counting count timing check checking checked".split()
)
_I_OR_WE = frozenset("i we nobody but did was".split())


def _share_splashed(part: Sequence[Tok], words: Sequence[str]) -> bool:
    """ "Half of it", "most of it": no taking back, where it was splashed about."""
    return _splashed(part, words) and TAKES_BACK.intersection(words) <= {"half", "partly", "mostly"}


_MOST = 14  # tokens
_LITTLE = (
    "ART",
    "A",
    "FILLER",
    "SELF",
    "PRONOUN",
    "PREP",
    "TO",
    "AT",
    "ON",
    "IN",
    "OF",
    "FROM",
    "BY",
    "POSS",
    "ADJ",
    "AUX",
    "BE",
    "HAVE",
    "DAY",
    "IT",
)
_WHO = ("SELF", "PRONOUN", "PERSON", "NAMEWORD", "KIN", "GROUP")


def _plain(tok: Tok) -> bool:
    """A little word, a name, or an ordinary one that is none of ours."""
    if not tok.known:
        return tok.text.isalpha() and (tok.capital or lexicon().frequent(tok.text))
    return tok.has(*_LITTLE, *_WHO) and not tok.has("NUMBER", "UNIT", "FRACTION", "TANK", "METER")


# ---------------------------------------------------------------- got ready for it

_READIED = frozenset(
    (
        "put stuck ran run dragged pulled lugged hauled hooked connected attached screwed threaded coupled unrolled rolled unwound uncoiled laid "
        "got brought fetched grabbed carried took donned tied fed stretched strung plugged pushed slipped shoved popped fitted clipped"
    ).split()
)
_TACKLE = frozenset(
    ("gloves glove apron boots wellies overalls raincoat coat jacket hat mask goggles sleeves leash lead").split()
)
_HOSES = frozenset("hose hoses pipe funnel nozzle adapter adaptor elbow extension".split())
"""What water runs through: got ready before the report only, and into nothing that holds water."""
_HITHER = frozenset("in on over out up into to across along through down onto round around".split())
_AWAY_AGAIN = frozenset("away back off locker bay compartment storage cupboard bin stowed".split())


def _got_ready(part: Sequence[Tok], words: Sequence[str], leads: bool) -> bool:
    """ "put the hose in", "Kit pulled on her gloves", "ran the hose over to the spigot"; but "put the hose away" is a report, "ran the hose
    into the tank" a fill, and "pulled the hose out early", told after it, cuts one short."""
    said = frozenset(words)
    hose = not said.isdisjoint(_HOSES)
    if said.isdisjoint(_READIED) or (said.isdisjoint(_TACKLE) and not hose) or said.isdisjoint(_HITHER):
        return False
    if hose and (not leads or any(tok.has("TANKWORD", "ACT", "RIG", "VESSEL", "TIMEUNIT") for tok in part)):
        return False
    if (
        not said.isdisjoint(_AWAY_AGAIN)
        or not said.isdisjoint({"is", "are", "was", "were"})
        or not TAKES_BACK.isdisjoint(said)
    ):
        return False
    return not any(
        tok.has("NEG", "NO", "FUTURE", "NUMBER", "UNIT", "FRACTION", "TANK", "METER", "VALVE", "DUMP", "FILL")
        for tok in part
    )


# ---------------------------------------------------------------- not told before

_WRITES = frozenset(
    (
        "write writing wrote written note noting noted jot jotting jotted log logging logged record recording recorded enter entering entered "
        "mention mentioning mentioned tell telling told say saying said add adding added put putting report reporting reported mark marked "
        "register registered book booked"
    ).split()
)
_SHORT_OF = frozenset(
    "forgot forgotten missed neglected failed slipped never time chance round around remembered late only".split()
)
_IT = frozenset("it that this them those you then down in up there book log paper".split())


def _not_written_down(part: Sequence[Tok], words: Sequence[str]) -> bool:
    """ "I did not write it down then", "never told you", "had no time to note it": of what stands beside it, and no denial."""
    said = frozenset(words)
    denied = any(tok.has("NEG", "NO", "FORGOTLOG") for tok in part) or not said.isdisjoint(_SHORT_OF)
    if not denied or (said.isdisjoint(_WRITES) and not any(tok.has("FORGOTLOG") for tok in part)):
        return False
    if said.isdisjoint(_IT) and words[-1] not in _WRITES:
        return False
    if not (TAKES_BACK - {"forgot", "forgotten", "note", "yet", "jot", "later"}).isdisjoint(said):
        return False
    ours = (
        "TANK",
        "TANKS",
        "METER",
        "ACT",
        "ACTS",
        "NUMBER",
        "UNIT",
        "FRACTION",
        "VALVE",
        "SERVICE",
        "GEAR",
        "PERSON",
        "KIN",
        "GROUP",
    )
    return not any(tok.has(*ours) for tok in part)


# ---------------------------------------------------------------- as ever, all of it, whose fault

_WONT = frozenset("always usual usually ever normally normal every custom routine habit".split())


def _as_ever(part: Sequence[Tok], words: Sequence[str]) -> bool:
    """ "same as always", "like every morning", "as I do every Monday", "no more than usual"."""
    if any(tok.has("LIKE") for tok in part):
        return all(tok.has("LIKE") or _plain(tok) for tok in part)
    likened = words[0] in ("like", "as", "same", "just", "the", "no") and (
        not {"like", "as", "way", "than"}.isdisjoint(words[:4])
    )
    day = (
        "DAY",
        "PART",
        "WEEKDAY",
        "EVERY",
        "PERDAY",
        "HABIT",
        "LIKE",
        "MORE",
        "TIMESWORD",
        "TIMEUNIT",
        "SINCE",
        "DO",
        "NEG",
        "NO",
    )
    return likened and not _WONT.isdisjoint(words) and all(_plain(tok) or tok.has(*day) for tok in part)


_PARTS_OF = frozenset(
    (
        "ends end sides side corners corner edges halves faces surfaces paws legs feet ears wheels tyres tires panes walls shelves bits pieces "
        "cartridges filters units washers seals gaskets connections joints couplings fittings steps racks layers coats passes rounds rooms "
        "doors windows heads hoses"
    ).split()
)


def _all_of_it(part: Sequence[Tok], words: Sequence[str]) -> bool:
    """ "both ends", "all four corners", "every corner", "front and back"."""
    if words[0] not in ("both", "all", "every", "each", "either"):
        return False
    rest = [tok for tok in part if not tok.has("ART", "OF") and not (tok.has("NUMBER") and tok.text.isalpha())]
    return words[-1] in _PARTS_OF and len(rest) <= 2 + (rest[0].text not in ("both", "all"))


_BLAMES = frozenset("blame thank thanks credit curse bless".split())
_CULPRITS = frozenset(("fault",))


def _to_blame(part: Sequence[Tok], words: Sequence[str]) -> bool:
    """ "blame the juice", "too much juice", "must be the melon", "the dog's fault"."""
    last = part[-1]
    named = (
        not last.known or (last.has("ACT") and last.senses["ACT"].form in ("thing", "noun")) or last.has("DIRT", "RAIN")
    )
    if words[0] in _BLAMES or words[:2] == ["too", "much"] or words[:2] == ["must", "be"]:
        inside = part[1:-1] if words[0] in _BLAMES else part[2:-1] if len(part) > 2 else []
        return named and all(tok.has("ART", "ADJ", "OF", "MORE") for tok in inside if tok.known)
    return (
        words[-1] in _CULPRITS
        and any(tok.has("POSS", "ART") for tok in part)
        and not any(tok.has("NEG") for tok in part)
    )


# ---------------------------------------------------------------- where it went afterwards

_STANDS = frozenset("stand sit soak rest work stay steep stood sat soaked rested standing sitting soaking".split())
_AGENTS = frozenset(
    "bleach chlorine solution cleaner sanitiser sanitizer vinegar tablets powder descaler it stuff lot mix mixture".split()
)


def _let_stand(part: Sequence[Tok], words: Sequence[str]) -> bool:
    """ "I let the bleach stand for four hours", "left it to soak overnight"."""
    said = frozenset(words)
    if said.isdisjoint({"let", "left", "leaving", "letting"}) or said.isdisjoint(_STANDS) or said.isdisjoint(_AGENTS):
        return False
    return not any(
        tok.has("NEG", "NO", "FUTURE", "TANK", "TANKS", "METER", "UNIT", "VALVE", "FRACTION") for tok in part
    )


_SPLASHES = frozenset(
    "shook shaken sprayed splashed splattered spattered flung flicked dripped slopped sloshed threw tracked kicked licked ended landed".split()
)
_OVER = frozenset("over on onto at across up down back off around round through against".split())
_ON_WHAT = frozenset(
    (
        "me us him her them floor walls wall ceiling carpet rug mat sofa seat couch bed steps shoes shirt trousers jeans face clothes feet "
        "place everywhere everything everyone everybody myself kitchen galley bathroom window windows cat van floorboards deck awning"
    ).split()
)


def _splashed(part: Sequence[Tok], words: Sequence[str]) -> bool:
    """ "he shook half of it back on me": of water that was used all the same; what is left over, or ran out again, is another matter."""
    said = frozenset(words)
    if said.isdisjoint(_SPLASHES) or said.isdisjoint(_OVER) or words[-1] not in _ON_WHAT:
        return False
    return not any(tok.has("NUMBER", "UNIT", "TANK", "TANKS", "METER", "NEG", "FUTURE", "LEFTOVER") for tok in part)


def said_besides(part: Sequence[Tok]) -> Sequence[Tok]:
    """ "Walt says | his back is better": what one of ours is heard to say, as a sentence of its own; nothing where nobody speaks, or of it."""
    verb = next((n for n, tok in enumerate(part[:_SPEAKS]) if tok.has("REPORTED", "SAYS")), None)
    if not verb or any(tok.has("TANK", "METER", "SENSOR", "OTHER", "PRESSURE") for tok in part[:verb]):
        return ()
    said = part[verb + 1 :]
    states = any(tok.has("BE") or any(one.form == "past" for one in tok.senses.values()) for tok in said)
    return said if len(said) > _WORD_OR_TWO and states and said[0].text.split()[0] not in _OF_IT else ()


_SPEAKS, _WORD_OR_TWO = 4, 2
_OF_IT = ("it", "that", "this", "so", "which")
