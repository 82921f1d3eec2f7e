"""The last entry changed without a new word for it: "double that", "half of that", "not black".

May import: intents, rejoinders, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.patterns import Pattern

_LEAD = "(?:no |nah |nope |actually |sorry |wait |oops |um |make it |make that |change it to |change that to |it was |that was |should be |call it )*"
_TIMES = {
    "double": 2.0,
    "twice": 2.0,
    "two times": 2.0,
    "doubled": 2.0,
    "triple": 3.0,
    "treble": 3.0,
    "three times": 3.0,
}
_HALVES = {"halve": 0.5, "half": 0.5}
_ALONE = ("double", "triple", "treble")  # "make it double"; "twice" is how often
_FACTOR = Pattern(
    (*_TIMES, *_HALVES),
    rf"{_LEAD}(?P<by>{'|'.join((*_TIMES, *_HALVES))})(?P<of>(?: of)? (?:that|it|this)(?: amount)?| the amount| amount)?(?: actually| sorry| please)*",
)
_LONGEST = 8  # tokens


def so_many_times(toks: Sequence[Tok]) -> Intent | None:
    """ "double that", "make it double", "no, half that"."""
    if len(toks) > _LONGEST or any(tok.has("QMARK") for tok in toks):
        return None
    said = " ".join(tok.text for tok in toks if not tok.has("COMMA", "STOP"))
    found = _FACTOR.fullmatch(said)
    if found is None or (found["of"] is None and (found["by"] not in _ALONE or said == found["by"])):
        return None
    return back.Amend(times=(_TIMES | _HALVES)[found["by"]])


def not_that_tank(toks: Sequence[Tok]) -> Intent | None:
    """ "not black", "no black" after "dumped grey and black"."""
    core = [tok for tok in toks if not tok.has("STOP", "COMMA", "ART", "TANKWORD") and tok.text not in _SOFT]
    if len(core) != 2 or core[0].text not in ("not", "no") or not core[1].has("TANK"):
        return None
    if core[0].text == "no" and (core[1].text.endswith("tank") or any(tok.has("COMMA", "TANKWORD") for tok in toks)):
        return None  # "no, black" corrects, "no black tank" is told of the rig
    named = core[1].senses["TANK"].value
    return back.Amend(change=back.Fragment(tanks=(named,)), sure=core[0].text == "not", without=True)


def no_more(toks: Sequence[Tok], change: back.Fragment) -> bool:
    """ "wait, only one", "just the one tote": a number that may count what was told, since no unit measures it."""
    if change.amount is None or change.amount.value is None or change.amount.unit not in (None, "tote"):
        return False
    core = [tok for tok in toks if not tok.has("ART", "COMMA")]
    for n, tok in enumerate(core[:-1]):
        if tok.text.split()[-1] in ("only", "just") and core[n + 1].has("NUMBER"):
            took = n > 1 and core[n - 1].has("BE", "COST", "USE") and core[n - 2].has("ACT")
            return not took  # "the dishes were only 1": so much they took
    return False


_SOFT = ("though", "sorry", "actually", "wait", "oops", "but", "yet")


def but_it_was(toks: list[Tok]) -> list[Tok]:
    """ "I said 3 but it was 2", "I put 3 gal, should be 2": what was said is passed over."""
    core = [tok for tok in toks if not tok.has("ART", "FILLER") or tok.has("AMEND")]
    end = next((n for n, tok in enumerate(core) if n and tok.has("BUT", "COMMA")), 0)
    led = " ".join(tok.text for tok in core[:2])
    start = 1 if core and core[0].text in _I_SAID else 2 if led in _I_SAID else 0
    if not start or not start < end < len(core) - 1:
        return toks
    measured = all(tok.has("NUMBER", "FRACTION", "UNIT", "ACT", "DAY") for tok in core[start:end])
    return core[end + 1 :] if measured and core[end + 1].has("AMEND") else toks


_I_SAID = frozenset(
    f"{who} {verb}" for who in ("i", "we") for verb in ("said", "put", "wrote", "typed", "logged", "told you")
)
