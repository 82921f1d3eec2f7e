"""How a level was found, told after it: "that was the sensor, not my own eyes", "going by the panel", "I looked in myself".

May import: intents, rejoinders, patterns, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.patterns import Pattern

_LONGEST = 16  # tokens
_LEAD = "(?:(?:no|nah|oh|sorry|wait|actually|correction|oops|well|um|er|and|but|i should say|i should have said|i meant|i mean|mind you) )*"
_IT = "(?:it|that|this|that one|that reading|that figure|that number|reading|figure|number)"
_BY = "(?:(?:going|judging|according|read|reading|taken|told|measured|seen) )?(?:by|from|off|per|on|to|with|via|through|of)"
_EYES = (
    "(?:(?:by|with|through|from|of|on) )?(?:own |naked |own two )?(?:eye|eyes|eyesight|sight|looking(?: in| inside)?|visual inspection|"
    "eyeballing(?: it)?|guesswork|dipstick|torch|flashlight)"
)
_LOOKED = (
    "(?:i|we) (?:just |actually )?(?:looked|peeked|peered|checked|saw|have seen|had seen|have looked|measured)(?: in| inside| down| into)?"
    "(?: it| that| tank)?(?: myself| ourselves| in person| with own eyes| with own two eyes| by eye| with torch| with flashlight)"
)
_SENSED = (
    rf"(?:{_BY} )?(?P<sensor>#)(?: reading)?(?: (?:that |which )?(?:says|said|shows|reads|told)(?: so| that| me| it)?)?"
)
_NOT = rf"(?: (?:and )?(?:not|rather than|instead of) (?:what )?(?:{_BY} )?(?:#|{_EYES}|me|i|{_LOOKED})(?: (?:says|said|reads|reading))?)?"
_END = "(?: (?:actually|sorry|only|though|alone|in fact|i should say|i should have said|of course))*"
_HOW = Pattern(
    ("#", "eye", "look", "sight", "peek", "peer", "saw", "seen", "visual", "dipstick", "torch", "flashlight"),
    rf"(?P<lead>{_LEAD})(?:(?P<was>{_IT} (?:was|is|came|comes|were)(?: only| just| actually| really)*|only|just) )?"
    rf"(?:{_SENSED}|what (?P<said>#) (?:says|said|shows|showed|reads|read)|(?P<eyes>{_EYES})|(?P<looked>{_LOOKED})){_NOT}{_END}",
)
_NOT_THAT = Pattern(
    ("not",),
    rf"(?P<lead>{_LEAD})(?:{_IT} (?:was|is) )?not (?:{_BY} )?(?:#|{_EYES})(?: but)?(?: {_IT} (?:was|is))? "
    rf"(?:(?:{_BY} )?(?P<sensor>#)|(?P<eyes>{_EYES})|(?P<looked>{_LOOKED})){_END}",
)


_ARTICLES = ("the", "a", "an", "my", "our", "his", "her")


def seen_how(toks: Sequence[Tok]) -> Intent | None:
    """By what the level was told that stands before; None if the words say anything else."""
    if len(toks) > _LONGEST or any(tok.has("NUMBER", "FRACTION", "TANK", "QMARK", "IF", "FULLNESS") for tok in toks):
        return None
    said = " ".join(
        _plain(tok) for tok in toks if not tok.has("COMMA", "STOP", "SEMI", "COLON") and tok.text not in _ARTICLES
    ).strip()
    found = _NOT_THAT.fullmatch(said) or _HOW.fullmatch(said)
    if found is None:
        return None
    parts = found.groupdict()
    sensor = (parts["sensor"] or parts.get("said")) is not None
    if said.removeprefix(parts["lead"] or "") in (
        "#",
        "eye",
        "eyes",
        "dipstick",
        "torch",
        "flashlight",
        "of #",
        "on #",
        "with #",
        "to #",
    ):
        return None  # the thing alone
    return back.Amend(change=back.Fragment(basis="sensor" if sensor else "seen"), sure=False)


def _plain(tok: Tok) -> str:
    """The words of a token, an instrument that tells levels as "#"."""
    if not tok.has("SENSOR") and tok.text not in ("gauge", "gauges"):
        return tok.text
    words = tok.text.split()
    led = " ".join(word for word in words if word in ("according", "going", "by", "to"))
    return f"{led} #".strip()
