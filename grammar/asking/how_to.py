"""What is to be said for something: "how do I log a shower", "what do I say when I dump", "what's the word for a refill".

Read off the words as they stand, since any of them may also be a question of its own. May import: intents, patterns.
"""

from __future__ import annotations

from grammar.intents import Ask
from grammar.patterns import Pattern

_LEAD = (
    r"^\s*(?:(?:um|uh|ok|okay|please|hey|so|and|but|ullage|sorry|remind\s+me|show\s+me|tell\s+me|explain|"
    r"(?:can|could)\s+you\s+(?:show|tell|remind)\s+me)[\s,]+)*"
)
_ONE = r"(?:i|we|you|one)"
_TELLING = (
    r"(?:log|record|enter|add|note|register|book|tell\s+you|say|correct|change|edit|fix(?=\s+(?:it|that|this|an?\s+(?:entry|mistake|wrong|error)|the\s+(?:last|entry|wrong)))|undo|redo|delete|remove|reset|set(?!\s+up\s+(?:when|on|at|after|once|here))|teach|type|input|"
    r"amend|report|let\s+you\s+know)"
)
_END = r"\s*[?.!]*\s*$"
_PATTERNS = (
    Pattern(
        ("how",),
        _LEAD
        + rf"how\s+(?:(?:do|can|would|should|could|might)\s+{_ONE}|to|does\s+one)\s+(?P<about>{_TELLING}\b.*?){_END}",
        also=tuple(
            "log record enter add note regist book tell say correct change edit fix do delete remove set teach type input amend report let".split()
        ),
    ),
    Pattern(
        ("say", "type", "tell", "write", "enter", "put"),
        _LEAD
        + rf"(?:what|which\s+words?)\s+(?:(?:do|should|can|would|must|could)\s+{_ONE}|(?:am|are)\s+{_ONE}\s+(?:supposed|meant)\s+to|to)"
        + r"\s+(?:say|type|tell\s+you|write|enter|put)\s+(?:(?:here|in)\s+)?(?P<about>(?:when|if|to|for|after|before|about|once|in\s+order)\b.*?\S)"
        + _END,
    ),
    Pattern(
        ("word", "phrase", "wording", "command", "format"),
        _LEAD
        + r"what(?:(?:'s|’s|s|\s+is|\s+are)\s+the)?\s+(?:words?|phrases?|wording|commands?|format)\s+"
        + rf"(?:do\s+{_ONE}\s+(?:use|need|say)\s+)?(?:for|to)\s+(?P<about>.*?\S)"
        + _END,
    ),
)


def how_to_say(text: str) -> Ask | None:
    """Help with what the words are about."""
    found = next((match for pattern in _PATTERNS if (match := pattern.match(text)) is not None), None)
    return Ask(topic="help", subject=found["about"].strip()) if found is not None else None
