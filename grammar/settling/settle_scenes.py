"""What the neighbours decide of words that only look like a use of water beside a report: where something was taken, what was run.

Like settle.py it only ever narrows. May import: tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok, sense
from grammar.lightclass import replace

OUTDOORS = frozenset(("outside", "outdoors"))
_BROUGHT = frozenset("took taken carried brought moved dragged let sent".split())
_ENJOYED = frozenset("had drank ate enjoyed".split())


def taken_outside(toks: Sequence[Tok]) -> list[Tok]:
    """ "took my coffee outside", "let the dog outside": where to; nothing was washed there, and nothing drunk yet."""
    found = list(toks)
    for i in range(1, len(found)):
        tok, before = found[i], found[i - 1]
        verb = next((n for n in range(i - 1, -1, -1) if found[n].text in _BROUGHT | _ENJOYED), None)
        thing = before.has("ACT", "KIN", "GROUP", "IT", "PRONOUN", "SELF", "PERSON", "NAMEWORD")
        if tok.text not in OUTDOORS or verb is None or not thing or before.has("GEAR", "TANK"):
            continue
        if any(other.has("UNIT", "WASH", "COMMA", "STOP") for other in [*found[verb:i], *found[i + 1 : i + 4]]):
            continue
        found[i] = replace(tok, senses=sense("PARTICLE", "x"))
        if found[verb].text in _BROUGHT:
            found[verb] = replace(found[verb], senses=sense("TAKEAWAY", "haul", "past"))
    return found


def full_of(toks: Sequence[Tok], i: int) -> Tok:
    """ "grey is full of surprises", "the black bag is full of rubbish": of no water, unless it is water that is named."""
    tok, rest = toks[i], [other for other in toks[i + 2 : i + 5] if not other.has("ART", "ADJ", "VAGUE")]
    other = tok.has("FULLNESS") and i + 1 < len(toks) and toks[i + 1].text == "of" and bool(rest)
    ours = other and (
        rest[0].has("TANK", "TANKWORD", "WATER", "WATERHERE", "HOOKUP") or rest[0].text in ("waste", "it")
    )
    return replace(tok, senses=sense("REMARK")) if other and not ours else tok


def flush_for_minutes(toks: Sequence[Tok]) -> list[Tok]:
    """ "ran the flush for three minutes": the rinse of a tank; nobody holds a toilet open so long."""
    found = list(toks)
    for i in range(1, len(found)):
        ran = any(tok.text in ("ran", "run", "had", "left") for tok in found[max(0, i - 2) : i])
        lasts = any(tok.has("TIMEUNIT") for tok in found[i + 1 : i + 5])
        if found[i].text == "flush" and ran and lasts:
            found[i] = replace(found[i], text="black flush", senses=sense("RINSE", "rinse", "noun"))
    return found


_PAST_OF = ("DUMP", "CHANGE", "SANITISE", "FILL", "RINSE", "RESET")


def had_it_done(toks: Sequence[Tok]) -> list[Tok]:
    """ "had the black pumped out this morning": done for us, and no question; "had the black been emptied" asks."""
    at = next((n for n, tok in enumerate(toks) if not tok.has("FILLER", "SELF")), len(toks))
    rest = toks[at + 1 :]
    if (
        at == len(toks)
        or toks[at].text not in ("had", "have had", "got")
        or any(tok.has("QMARK", "NEG") for tok in rest)
    ):
        return list(toks)
    things = [tok for tok in rest[:4] if not tok.has("ART", "TANKWORD", "NEW", "AND", "HEATER")]
    verb = next(
        (n for n, tok in enumerate(things) if any(tok.has(cls) and tok.senses[cls].form == "past" for cls in _PAST_OF)),
        0,
    )
    done = verb and all(tok.has("TANK", "TANKS", "SERVICE", "METER") for tok in things[:verb])
    return [*toks[:at], *rest] if done else list(toks)


def in_the_tote(toks: Sequence[Tok]) -> list[Tok]:
    """ "tote: 11 gal grey", "tote 11 gal of black": so much was carried away; the size of a tote names no tank."""
    core = [tok for tok in toks if not tok.has("COLON", "COMMA", "OF", "FILLER", "STOP", "ABOUT", "ART")]
    waste = len(core) == 4 and core[3].has("TANK") and core[3].senses["TANK"].value != "fresh"
    if not waste or not core[0].has("TOTE") or core[1].number is None or not core[2].has("UNIT"):
        return list(toks)
    kept = [tok for tok in toks if not tok.has("COLON")]
    return [replace(tok, text="toted", senses=sense("HAUL", "haul", "past")) if tok is core[0] else tok for tok in kept]
