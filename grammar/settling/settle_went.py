"""What the neighbours decide of going and changing over: from one supply to the other, a full tote that is gone, "went and dumped",
"dump black: done". Like settle.py it only ever narrows. May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

_CHANGED = frozenset(
    (
        "changed|changed over|switched|switched over|swapped|swapped over|moved|moved over|went|gone|flipped|flipped over|turned|have gone"
    ).split("|")
)
_FROM = frozenset(("from", "off", "off of", "away from"))
_ONTO = frozenset(("to", "onto", "on to", "over to", "over onto", "back to", "back onto", "on"))
_SUPPLIES = ("PUMP", "HOOKUP")


def _supply(toks: Sequence[Tok], i: int) -> int:
    """The place behind the supply that is named at `i`; `i` itself where none is."""
    while i < len(toks) and toks[i].has("ART", "FILLER"):
        i += 1
    if i < len(toks) and toks[i].text == "city" and i + 1 < len(toks) and toks[i + 1].text == "water":
        return i + 2
    if i < len(toks) and (
        toks[i].has(*_SUPPLIES, "TANKWORD") or (toks[i].has("TANK") and toks[i].senses["TANK"].value == "fresh")
    ):
        return i + 1
    return -1


def _without_why(toks: Sequence[Tok]) -> Sequence[Tok]:
    """ "no water at the tap, so we've switched to the pump": the reason tells nothing more."""
    dry = next((n for n, tok in enumerate(toks[:_HEAD]) if tok.has("NOWATER")), -1)
    if dry < 0 or not all(tok.has("FILLER", "SCENE", "COMMA", "THEREARE", "BE") for tok in toks[:dry]):
        return toks
    end = dry + 1
    while end < len(toks) and toks[end].has("SCENE", "FILLER", "COMMA", "OUTON") and not toks[end].has("SELF"):
        end += 1
    so = any(tok.has("COMMA") or tok.text in ("so", "and so") for tok in toks[dry:end])
    switched = end < len(toks) and any(tok.has("SWITCH") for tok in toks[end : end + 4])
    return toks[end:] if so and switched and any(tok.has("PUMP") for tok in toks[end:]) else toks


_HEAD = 6  # tokens among which the reason begins


def from_one_to_the_other(toks: Sequence[Tok]) -> list[Tok]:
    """ "changed over from city water to the pump": what it is now counts, and what it was is left out; so is why."""
    toks = _without_why(toks)
    for i in range(len(toks) - 2):
        verb = i - 1
        while verb > 0 and (toks[verb].has("FILLER") or toks[verb].text in ("over", "back", "water", "it")):
            verb -= 1
        joined = toks[i].text in ("went from", "gone from", "moved from", "changed from", "switched from")
        verb = i if joined else verb
        if verb < 0 or not (joined or toks[verb].text in _CHANGED):
            continue
        city = toks[i].text == "from city" and toks[i + 1].text == "water"
        here = i + 2 if city else _supply(toks, i + 1) if joined or toks[i].text in _FROM else -1
        if here < 0 or here >= len(toks) or toks[here].text not in _ONTO or _supply(toks, here + 1) < 0:
            continue
        switched = replace(toks[verb], text="switched", senses=sense("SWITCH", "switch", "past"))
        to = replace(toks[here], senses=sense("ONTO", "to"))
        return [*toks[:verb], switched, to, *toks[here + 1 :]]
    return list(toks)


_GONE = frozenset("gone|went|are gone|is gone|have gone|has gone|away|off|was gone|was off".split("|"))
_BETWEEN = ("FILLER", "BE", "POSS", "AUX", "ADJ")


def gone_in_the_tote(toks: Sequence[Tok]) -> list[Tok]:
    """ "one full tote of grey gone to the dump station", "two totes of black away to the dump": it was hauled there."""
    first = next((n for n, tok in enumerate(toks) if tok.text.split()[-1] in ("tote", "totes")), len(toks))
    for i in range(first + 2, len(toks)):
        tank = i - 1
        while tank > 0 and toks[tank].has(*_BETWEEN):
            tank -= 1
        if tank <= first or not toks[tank].has("TANK") or toks[tank - 1].text != "of":
            continue
        hauled = replace(toks[i], text="hauled", senses=sense("HAUL", "haul", "past"))
        went = toks[i].has("DUMP") and toks[i].text.split()[0] in ("went", "been", "gone")
        if went:
            return [*toks[: tank + 1], hauled, *toks[i + 1 :]]
        if toks[i].text in _GONE and i + 1 < len(toks) and toks[i + 1].has("AWAYTO", "DUMPSITE"):
            return [*toks[: tank + 1], hauled, *toks[i + 2 :]]
    return list(toks)


_MERELY = ("only", "just")
_WENT = frozenset("gone|went|been|went ahead|gone ahead|went off|went out|have gone|has gone|are gone|up".split("|"))
_DEEDS = ("ACT DUMP FILL RESET OPEN SHUT CHANGE HAUL DO USE WASH RINSE PUT SANITISE STOW OUTON").split()
_LED = ("SELF", "PRONOUN", "PERSON", "KIN", "POSS", "FILLER", "BE", "AUX")


def went_and(toks: Sequence[Tok]) -> list[Tok]:
    """ "I've gone and opened the grey valve", "we went ahead and dumped grey": going says nothing of what was done."""
    for i in range(1, len(toks) - 1):
        start = i - 1
        if toks[start].has("QSOFT") and toks[start].text == "ahead" and start:
            start -= 1
        done = toks[i + 1]
        while start and toks[start].text in _MERELY:
            start -= 1
        past = any(done.has(cls) and done.senses[cls].form == "past" for cls in _DEEDS)
        led = start and all(tok.has(*_LED) or not tok.known for tok in toks[:start])
        if toks[i].text == "and" and past and led and toks[start].text in _WENT:
            return [*toks[:start], *toks[i + 1 :]]
    return list(toks)


_FINISHED = frozenset("done|complete|completed|finished|all done|sorted|is done".split("|"))
_ORDERS = ("DUMP", "FILL", "RESET")
_THEIRS = ("TANK", "TANKS", "TANKWORD", "METER", "ART", "COLON", "COMMA", "AND", "DASH", "FILLER")


def order_done(toks: Sequence[Tok]) -> list[Tok]:
    """ "dump black: done", "emptying grey done": an order, or a line of a list, that has been carried out."""
    core = [tok for tok in toks if not tok.has("STOP")]
    if len(core) < 3 or core[-1].text not in _FINISHED:
        return list(toks)
    verb = core[0]
    cls = next((one for one in _ORDERS if verb.has(one) and verb.senses[one].form in ("base", "ing")), None)
    named = any(tok.has("TANK", "TANKS", "METER") for tok in core[1:-1])
    if cls is None or not named or not all(tok.has(*_THEIRS) for tok in core[1:-1]):
        return list(toks)
    done = replace(verb, senses=sense(cls, verb.senses[cls].value or "", "past"))
    return [done, *[tok for tok in core[1:-1] if not tok.has("COLON", "COMMA", "DASH") or tok.has("AND")]]


def weight_by_ear(toks: Sequence[Tok], i: int) -> Tok:
    """ "how much does our water wait": what it weighs, as a phone hears it."""
    tok = toks[i]
    asks = (
        bool(toks)
        and toks[0].text in ("how much", "what")
        and len(toks) > 1
        and toks[1].text in ("does", "do", "will", "would")
    )
    end = all(other.has("QMARK", "FILLER", "STOP") for other in toks[i + 1 :])
    ours = any(other.has("WATER", "WATERHERE", "TOTE", "TANK") for other in toks)
    return replace(tok, senses=sense("WEIGHT", "weight")) if tok.text == "wait" and asks and end and ours else tok


_WHEN = ("DAY", "PART", "WEEKDAY", "WHICH", "FILLER", "COMMA", "QSOFT", "BUT", "AND")
_WHO = ("SELF", "PERSON", "PAIR", "GROUP", "KIN")


def forgot_it_here(toks: Sequence[Tok]) -> list[Tok]:
    """ "I forgot, last night we did the dishes": forgotten was to say so; "forgot the dishes" and "forgot to dump" tell of nothing done."""
    for i, tok in enumerate(toks):
        if tok.text not in ("forgot", "forgotten") or any(
            not one.has(*_WHO, "FILLER", "AND", "COMMA", "BE") and one.text not in _CLEAN for one in toks[:i]
        ):
            continue
        said = toks[i + 2] if i + 2 < len(toks) and toks[i + 1].has("COMMA") else None
        if said is not None and any(said.has(cls) and said.senses[cls].form == "past" for cls in _DEEDS):
            return list(toks[i + 2 :])  # "nearly forgot, dumped grey at noon"
        here = i + 1
        while here < len(toks) and toks[here].has(*_WHEN) and not toks[here].has("SELF"):
            here += 1
        who = here < len(toks) and (toks[here].has(*_WHO) or (toks[here].capital and not toks[here].known))
        done = any(
            one.has(cls) and one.senses[cls].form == "past" for one in toks[here + 1 : here + 4] for cls in _DEEDS
        )
        if who and done and not any(one.has("NEG") for one in toks):
            return list(toks[i + 1 :])
    return list(toks)


_CLEAN = ("clean", "nearly", "almost", "totally", "completely", "plain")
_PLACES = frozenset(
    "they it|they|there|it|this place|this site|site|place|campground|park|campsite|host|owner".split("|")
)
_HOOKS = ("PARTHOOK", "WATERHERE", "SEWERHERE", "NOWATER", "NOSEWER", "HOOKUP", "FULLHOOK", "NOHOOK")

_FEW = 3  # places in a phrase at which the site may be spoken of
_BESIDE = ("FILLER", "HAVE", "BE", "AUX", "BUT", "AND", "COMMA", "STOP", "ART", "STAY")


def they_have(toks: Sequence[Tok]) -> list[Tok]:
    """ "at Juniper Flats, they've got water but no sewer": what the site gives, once it is said where that is."""
    places = [i for i in range(len(toks) - 2) if toks[i].text in _PLACES][:_FEW]
    for i in places:
        opens = all(tok.has("FILLER", "AND", "COMMA") for tok in toks[:i])
        alone = opens and all(tok.has(*_HOOKS, *_BESIDE) for tok in toks[i + 1 :])
        if not (alone or any(tok.has("SITE", "ARRIVE") for tok in toks[:i])):
            continue
        have = i + 1
        while have < len(toks) - 1 and toks[have].has("FILLER", "HAVE", "BE", "AUX") and not toks[have].has(*_HOOKS):
            have += 1
        if (
            have > i + 1
            and toks[have].has(*_HOOKS)
            and not any(tok.has("TANK", "TANKWORD", "NUMBER") for tok in toks[have:])
        ):
            return [*toks[:i], *toks[have:]]
    return list(toks)


_TURNED = frozenset(
    "turned|dialed|dialled|set|brought|backed|knocked|adjusted|screwed|took|got|turned it|have turned|is|it is|now".split(
        "|"
    )
)
_TURNED_TO = frozenset("down to|back to|back down to|up to|to|at|down|off to|back up to".split("|"))


def turned_down(toks: Sequence[Tok]) -> list[Tok]:
    """ "turned it down to 50", "it's down to 50 now": a bare number, which is asked about unless the pressure was told just before."""
    core = [tok for tok in toks if not tok.has("STOP", "FILLER", "SELF", "ART")]
    if not 3 <= len(core) <= _SHORT or core[0].text not in _TURNED:
        return list(toks)
    rest = core[1:]
    verb = core[0].text.split()[0] not in ("is", "it", "now")
    if verb and not (rest[0].has("IT") or rest[0].text in ("regulator", "pressure")):
        return list(toks)
    rest = rest[1:] if rest[0].has("IT") or rest[0].text in ("regulator", "pressure") else rest
    if len(rest) < 2 or rest[0].text not in _TURNED_TO or rest[0].text == "at" or not rest[1].has("NUMBER"):
        return list(toks)
    if not verb and rest[0].text not in ("down to", "back to", "back down to"):
        return list(toks)
    plain = all(tok.has("UNIT") and tok.senses["UNIT"].value in ("psi", "bar") for tok in rest[2:])
    return list(rest[1:]) if plain else list(toks)


_SHORT = 7  # tokens


def have_we_water(toks: Sequence[Tok], i: int) -> Tok:
    """ "for how many showers have we yet water": what is left, and nothing that was."""
    tok, rest = toks[i], [one for one in toks[i + 1 :] if not one.has("FILLER", "QMARK", "FOR", "ART")]
    asks = any(one.has("QWORD") and one.text.startswith(("how many", "how much")) for one in toks[:i])
    asks = asks and not any(one.has("IF") for one in toks[:i])
    holds = bool(rest) and all(one.has("WATER", "WATERHERE", "LEFT", "ROOM", "MAKEIT") for one in rest)
    return (
        replace(tok, text="do we have", senses=sense("LEFT", "left"))
        if tok.text == "have we" and asks and holds
        else tok
    )
