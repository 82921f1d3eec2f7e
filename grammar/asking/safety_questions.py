"""Questions of safety: full tanks on the road, bleach left in a tank, and all else of which "safe" is said. None of them is one of odds.

They stand before all others, since "safe" and "ok" are also said of what lasts till Sunday, and "almost certainly" read aloud would be
a yes. They are told by their words wherever these stand, known to the vocabulary or not. May import: intents, clause, mood, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from grammar.hearing.tokens import Tok
from grammar.intents import Amount, Ask
from grammar.pieces.clause import PRESSURES
from grammar.telling.mood import is_question

_ROAD = frozenset("tow towing towed drive driving travel travelling traveling highway freeway motorway".split())
_RISK = frozenset("safe safely unsafe dangerous danger risky harmful poisonous toxic".split())
_MAY = _RISK | frozenset(
    "ok okay fine alright right allowed legal legally illegal bad wise harm hurt matter problem can could may should better best too two much".split()
)
_ENDS = _RISK | frozenset("ok okay fine alright allowed legal".split())
_HELD = ("TANK", "TANKS", "TANKWORD", "WATER", "WATERHERE", "LEFTOVER")
_ERRANDS = ("DUMP", "DUMPRUN", "DUMPSITE", "DUMPINGQ", "FILL", "HAUL", "VALVE", "ACT", "ACTS", "USE", "TRIPSQ")
_NOT_OURS = ("OTHER", "REPORTED")
_UNTIL = ("UNTIL", "BEFORE", "WEEKDAY", "DAY", "STAYEND", "LEAVINGQ", "TIMEUNIT", "MONTH", "CLOCK", "PART")
_FOR_OTHERS = ("MAKEIT", "STAY", "STAYING", "STAYEND", "LEAVINGQ", "DEPART", "AWAY", "ACT", "EMERGENCY")
"""What "safe to" may go on with that is asked of the forecast, the lists, the rinse, or of what may be drunk."""


def ask_safety(toks: Sequence[Tok]) -> Ask | None:
    """The question of safety that a phrase asks; None if it asks none."""
    if any(tok.has(*_NOT_OURS) for tok in toks):
        return None
    return _so_much_pressure(toks) or _on_the_road(toks) or _bleach_left_in(toks) or _drunk(toks) or _deed(toks)


def _words(toks: Sequence[Tok]) -> list[str]:
    return [word for tok in toks for word in tok.text.split()]


def _tank(toks: Sequence[Tok]) -> str | None:
    named = {tok.senses["TANK"].value for tok in toks if tok.has("TANK")}
    return named.pop() if len(named) == 1 else None


def _on_the_road(toks: Sequence[Tok]) -> Ask | None:
    """ "is it safe to tow with full tanks", "can we drive with grey full", "how full may fresh be on the highway": weights and limits."""
    words = _words(toks)
    if (
        _ROAD.isdisjoint(words)
        or not any(tok.has(*_HELD, "WEIGHT") for tok in toks)
        or any(tok.has(*_ERRANDS) for tok in toks)
    ):
        return None
    supposed = bool(toks) and toks[0].has("IF")
    asks = is_question(toks) or (words[0] in _MAY and words[1:2] == ["to"]) or supposed or toks[-1].text in _ENDS
    may = supposed or not _MAY.isdisjoint(words) or any(tok.has("QWORD") and tok.text == "how full" for tok in toks)
    return Ask(topic="weight", subject="road", tank=_tank(toks)) if asks and may else None


_JUDGED = _MAY | frozenset("high low take stand handle much weak strong excessive enough good normal hot".split())


def _so_much_pressure(toks: Sequence[Tok]) -> Ask | None:
    """ "is 50 psi okay", "can the hose take 80 psi": what to think of a pressure, which nobody has read."""
    core = [tok for tok in toks if not tok.has("FILLER") or not _MAY.isdisjoint(tok.text.split())]
    if not core or not core[0].has("AUX", "QWORD") or _JUDGED.isdisjoint(_words(core[1:])):
        return None
    for number, unit in pairwise(core):
        kind = unit.senses["UNIT"].value if unit.has("UNIT") else ""
        if number.number is not None and kind in PRESSURES:
            return Ask(topic="history", subject="pressure", amount=Amount(number.number, kind))
    return None


_STANDS = frozenset("leave let sit stand stay soak steep rest keep wait".split())


def _bleach_left_in(toks: Sequence[Tok]) -> Ask | None:
    """ "how long do I leave it in", "how long should the bleach sit": until it may be flushed out."""
    words = _words(toks)
    long = words[:2] == ["how", "long"] or words[:3] == ["for", "how", "long"]
    if not long or any(
        tok.has("TANK", "TANKS", "METER", "GEAR", "VALVE", "ACT", "RINSE") for tok in toks[1:] if "bleach" not in words
    ):
        return None
    bleach = any(tok.has("BLEACH", "SANITISE") for tok in toks)
    it = any(word in ("it", "this", "that") for word in words)
    stands = not _STANDS.isdisjoint(words)
    kept = {"leave", "let", "soak", "steep", "keep"} & set(words) and {"in", "sit", "stand", "soak", "steep"} & set(
        words
    )
    last = words[-1 - (words[-1] == "?")] in ("sit", "soak", "steep", "stand")  # "how long does it sit"
    left = bool(kept) or last
    return Ask(topic="dose", subject="stands") if stands and (bleach or (it and left)) else None


_DRUNK = frozenset("it this that water tank tap taps fresh again now yet from the out of".split())


def _drunk(toks: Sequence[Tok]) -> Ask | None:
    """ "can we drink it now", "when can we drink the water again", "is it drinkable yet": no water that is counted is tested by that."""
    words = [word for word in _words(toks) if word not in ("?", ",", "please")]
    place = next((n for n, word in enumerate(words) if word in ("drink", "drinking")), -1)
    if place < 1 or not is_question(toks) or any(tok.has("NUMBER", "UNIT", "IF", "MORE", "PERDAY") for tok in toks):
        return None
    before, after = words[:place], words[place + 1 :]
    may = not {"can", "may", "could", "should", "safe", "ok", "okay"}.isdisjoint(before) or before[0] == "when"
    asks = may and before[:2] not in (["how", "much"], ["how", "many"])
    return Ask(topic="help", subject="safe to drink") if asks and after and _DRUNK.issuperset(after) else None


_FINE = ("ok", "okay", "fine", "alright", "all right")


def _deed(toks: Sequence[Tok]) -> Ask | None:
    """ "is it safe to climb into the black tank", "is the fresh tank safe": whatever the deed, no question that the levels could answer."""
    place = next((n for n, tok in enumerate(toks) if tok.text.removesuffix(" to") in _RISK or _is_fine(toks, n)), -1)
    bleach = any(tok.has("BLEACH") for tok in toks)
    if (
        place < 0
        or not is_question(toks)
        or any(tok.has("VALVE", "DOSE", "QHOWMUCH") or tok.text == "how much" for tok in toks)
    ):
        return None
    rest = [tok for tok in toks[place + 1 :] if not tok.has("QMARK")]
    if not rest and _tank(toks) == "fresh":
        return Ask(topic="help", subject="safe to drink")
    goes_on = toks[place].text.endswith(" to") or (
        rest and rest[0].text.split()[0] in ("to", "if", "for", "in", "with")
    )
    if not rest or not goes_on:
        return None
    lasting = any(tok.has(*_UNTIL) for tok in rest) or (
        any(tok.has(*_FOR_OTHERS) for tok in rest[:4] if tok.text != "here") and not bleach
    )
    if lasting or "wait" in _words(rest):
        return None
    if any(tok.has("RINSE") for tok in rest[:2]):
        return Ask(topic="rinse_limit", tank=_tank(toks))
    return Ask(topic="help", subject="safe to do")


def _is_fine(toks: Sequence[Tok], n: int) -> bool:
    """ "is it ok to …": of a deed; "is grey ok to Sunday" lasts."""
    to = toks[n].text.endswith(" to") or (n + 1 < len(toks) and toks[n + 1].text.split()[0] == "to")
    return to and toks[n].text.removesuffix(" to") in _FINE and _words(toks[:n])[-2:] == ["is", "it"]
