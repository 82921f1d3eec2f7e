"""What a word of ours or of the trade means: "what is grey water", "what do you mean by unlogged", "what's the difference between fresh and grey".

Read off the words as they stand, since most of them are also words of reports and of other questions: "what is grey at" asks for its level.
May import: intents, patterns.
"""

from __future__ import annotations

from grammar.intents import Ask
from grammar.patterns import Pattern

TERMS: dict[str, str] = {
    "grey water": "grey|gray|grey water|gray water|greywater|graywater",
    "black water": "black|black water|blackwater",
    "fresh water": "fresh|fresh water|potable|potable water|drinking water",
    "a tote": "tote|totes|portable tank|portable waste tank|haul|hauling",
    "room": "room|ullage",
    "unlogged": "unlogged|unlogged water|unlogged use|unlogged part",
    "unexplained": "unexplained|unexplained water|unexplained use|unexplained part",
    "the usual amount": "usual|usual amount|typical|typical amount|estimated|as usual",
    "most likely": "likely|most likely|most likely between|range|ranges|likely range",
    "the odds": "odds|chance|chances|probability|percent|percentage|unlikely|almost certainly",
    "the tight tank": "tight|tight one|tight tank|binding|binding tank",
    "a sensor": "sensor|sensors|tank sensor|tank sensors|panel|sensor level",
    "the meter": "meter|metre|meters|metered|flow meter|water meter|inlet meter",
    "a hookup": "hookup|hookups|hook up|hook ups|full hookup|full hookups|full hook ups|partial hookup|partial hookups|city water|shore water",
    "a dump station": "dump station|dump stations|sani dump|sani station|disposal point",
    "the rinse port": "rinse port|rinse inlet|rinse connection|black rinse|black tank rinse|flush port|flush inlet|black tank flush|backflush",
    "a regulator": "regulator|regulators|water regulator|pressure regulator|water pressure regulator",
    "a backflow preventer": (
        "backflow|backflow preventer|backflow valve|backflow device|back flow|check valve|vacuum breaker|cross connection|cross connections"
    ),
    "a trap": "trap|traps|p trap|p traps|ptrap",
    "sanitising": "sanitise|sanitize|sanitising|sanitizing|sanitation|shocking|shocking the tank",
    "dry camping": "dry camping|boondocking|off grid",
}
"""What may be asked about, and how it is said, without hyphens."""
_NUMBERS = frozenset(
    ("room", "the odds", "most likely", "the usual amount", "sanitising", "the tight tank", "a sensor")
)
"""Of these "what is the …" asks for a number."""

_LEAD = r"^\s*(?:(?:um|uh|ok|okay|please|hey|so|and|but|ullage|sorry|tell\s+me|(?:can|could|would)\s+you(?:\s+please)?(?:\s+tell\s+me)?)[\s,]+)*"
_END = r"\s*[?.!\"”']*\s*$"
_ONE = r"(?:the\s+(?:words?|terms?|phrase)\s+)?[\"“']?(?P<one>.+?)[\"”']?"
_IS = r"what(?:['’]?s|\s+is|\s+are|\s+exactly\s+is)"
_MEANT = (
    Pattern(("mean",), _LEAD + rf"what(?:\s+exactly)?\s+(?:does|do|did)\s+{_ONE}\s+(?:actually\s+)?mean{_END}"),
    Pattern(("you mean",), _LEAD + rf"what\s+(?:do|did)\s+you\s+mean\s+(?:by|with|when\s+you\s+say)\s+{_ONE}{_END}"),
    Pattern(("meant by",), _LEAD + rf"{_IS}\s+meant\s+by\s+{_ONE}{_END}"),
    Pattern(("stand for",), _LEAD + rf"what\s+(?:does|do)\s+{_ONE}\s+stand\s+for{_END}"),
    Pattern(
        ("meaning of", "definition of"), _LEAD + rf"(?:{_IS}\s+)?(?:the\s+)?(?:meaning|definition)\s+of\s+{_ONE}{_END}"
    ),
    Pattern(
        ("define", "explain the", "explain to"),
        _LEAD + rf"(?:define|explain(?:\s+to\s+me)?(?=\s+the\s+(?:words?|terms?)))\s+{_ONE}{_END}",
    ),
    Pattern(
        ("what counts as", "what goes in", "what belongs in", "what runs into"),
        _LEAD + rf"what\s+(?:counts\s+as|goes\s+(?:in|into)|belongs\s+in|runs\s+into)\s+{_ONE}(?:\s+tank)?{_END}",
    ),
)
_FOR = Pattern((" for",), _LEAD + rf"{_IS}\s+{_ONE}(?:\s+tank)?\s+(?:used\s+)?for{_END}")
_BOTH = Pattern(
    ("the difference between",),
    _LEAD + rf"{_IS}\s+the\s+difference\s+between\s+(?P<one>.+?)\s+and\s+(?P<two>.+?)(?:\s+tanks?)?{_END}",
)
_ASKS = ("what", "define", "explain", "meaning", "definition")
_HESITANT = ("um", "uh", "ok", "okay", "please", "hey", "so", "and", "but", "ullage", "sorry")
_OPENINGS = (("what's",), ("what’s",), ("whats",), ("what", "is"), ("what", "are"))
_ARTICLES = ("a", "an", "the", "my", "our")


def what_is(text: str) -> Ask | None:
    """Help with the meaning of a word; of two, both, with "and" between. None where it is no word of TERMS, or its number is asked for."""
    low = text.casefold()
    if not any(word in low for word in _ASKS):
        return None
    both = _BOTH.match(text)
    if both is not None:
        one, two = _term(both["one"]), _term(both["two"])
        return Ask(topic="help", subject=f"meaning of {one} and {two}") if one and two else None
    said = next((match for pattern in _MEANT if (match := pattern.match(text)) is not None), None)
    if said is None and low.rstrip(" ?.!").endswith(" for"):
        said = _FOR.match(text)
    one = _term(said["one"]) if said is not None else _bare(low)
    return Ask(topic="help", subject=f"meaning of {one}") if one else None


def _bare(low: str) -> str | None:
    """ "What is a tote", "what's grey water"; but "what's grey", "what is the meter" ask for a number."""
    words = low.replace(",", " ").rstrip(" ?.!").split()
    while words and words[0] in _HESITANT:
        del words[0]
    opening = next((opening for opening in _OPENINGS if tuple(words[: len(opening)]) == opening), None)
    if opening is None:
        return None
    named = words[len(opening) :]
    term = _term(" ".join(named))
    if term is None or term in _NUMBERS or named[0] in ("the", "my", "our"):
        return None
    return None if term.endswith(" water") and "water" not in named[-1] else term


def _term(words: str) -> str | None:
    """The term that these words are a name of."""
    said = words.casefold().replace("-", " ").replace("%", " percent").strip(" \t\"“”'").split()
    if said and said[0] in _ARTICLES:
        del said[0]
    if len(said) > 1 and said[0].isdigit() and said[1].startswith("percent"):
        del said[0]
    name = " ".join(said)
    return next((term for term, names in TERMS.items() if name in names.split("|")), None) if name else None
