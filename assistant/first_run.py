"""The first minute: four questions that set up the rig, each skipped with Enter, each answer said to the conversation as a phrase.

Is a generator of texts that takes answers, so that any door can hold the dialogue. Records nothing by itself: what is booked is what
the conversation makes of "fresh tank 40 gal". May import: `reply`, `show`.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Generator, Mapping

from assistant import show
from assistant.reply import Reply

Dialogue = Generator[str, "str | None", str]
"""Gives the next thing to show, is sent the line entered (None: leave the set-up), and returns a closing text."""

GALLON_LANDS = frozenset(("US", "LR", "MM", "PR", "GU", "VI", "AS"))
"""Where volumes are in US gallons. Common practice, no source."""

UNITS = {
    "us": ("US gallons", "use gallons", "40"),
    "metric": ("litres", "use litres", "150"),
    "imperial": ("imperial gallons", "use imperial gallons", "33"),
}
OPENING = "Hello. Four short questions set up your rig; Enter skips any of them."
CLOSING = "That's all. Now say what happens, for example: shower used 2 gal. What stands in the tanks helps too: grey is empty. For more, help."
LATER = 'The rest of the set-up can wait: say for example "grey tank 36 gal" at any time.'

_AMOUNT = re.compile(
    r"^(?:about |around )?(?:\d|\.\d|(?:half|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|\w+teen|\w+ty|a hundred|hundred)\b)",
    re.IGNORECASE,
)
_NOTHING = frozenset(
    (
        "no",
        "none",
        "skip",
        "nothing",
        "unknown",
        "-",
        "?",
        "not sure",
        "don't know",
        "no idea",
        "i don't know",
        "we have none",
    )
)


def guessed_units(env: Mapping[str, str] = os.environ) -> str:
    """`us` or `metric` by the locale's country; `us` where it tells none, as everywhere else in the program."""
    for name in ("LC_ALL", "LC_MEASUREMENT", "LANG"):
        value = env.get(name, "")
        found = re.match(r"[A-Za-z]{2,3}_([A-Z]{2})", value)
        if found:
            return "us" if found[1] in GALLON_LANDS else "metric"
        if value:
            break
    return "us"


def dialogue(say: Callable[[str], Reply], guess: str) -> Dialogue:
    """Units, fresh, grey and black, people; anything else that is said is heard as usual and ends the set-up."""
    units = guess
    text = f"{OPENING}\n\n1 of 4. Gallons or litres? Enter for {UNITS[guess][0]}."
    answer = yield text
    if answer is None:
        return LATER
    units = _units_of(answer) if answer.strip() else guess
    if not units:
        return _otherwise(say, answer)
    done, waste_told = show.as_words(say(UNITS[units][1])), False
    size = UNITS[units][2]
    steps = (
        (f"2 of 4. How much does the fresh tank hold? For example {size}.", _fresh),
        (
            "3 of 4. And grey and black, in this order? For example " + ("36 30." if units != "metric" else "130 110."),
            _waste,
        ),
        ("4 of 4. How many people are aboard?", _people),
    )
    for question, phrase_of in steps:
        if phrase_of is _waste and waste_told:
            continue
        for patience in reversed(range(PATIENCE)):
            answer = yield f"{done}\n{question}" if done else question
            done = ""
            if answer is None:
                return LATER
            if not answer.strip() or answer.strip().casefold().rstrip(".") in _NOTHING:
                break
            named = _named(answer) if phrase_of in (_fresh, _waste) else []
            waste_told = waste_told or any(not phrase.startswith("fresh") for phrase in named)
            phrases = named or phrase_of(answer.strip())
            replies = [say(phrase) for phrase in phrases or [answer]]
            done = "\n".join(show.as_words(reply) for reply in replies)
            if replies[-1].outcome in ("recorded", "asked") and phrases:
                break
            if not phrases and (replies[-1].outcome != "not_understood" or not patience):
                return f"{done}\n{LATER}"
    return f"{done}\n{_closing(units)}" if done else _closing(units)


PATIENCE = 3
"""So often a question is put before the set-up makes way."""

_SIZE = r"(\d[\d.,]*\d|\d)(?:\s*(gal|gallons?|l|litres?|liters?)\b)?"
_NAMED = re.compile(
    rf"\b(fresh|gr[ea]y|black)\b(?:\s+(?:water|tank|holds?|is|has|of))*\s*[:=]?\s*{_SIZE}", re.IGNORECASE
)
_NAMED_AFTER = re.compile(rf"{_SIZE}\s+(?:of\s+|in\s+)?\b(fresh|gr[ea]y|black)\b", re.IGNORECASE)


def _named(answer: str) -> list[str]:
    """ "fresh 40 grey 36 black 30", "40 gallon fresh, 36 grey": the sizes of two or more tanks told in one breath."""
    found: dict[str, str] = {}
    before = [(one[1], one[2], one[3]) for one in _NAMED.finditer(answer)]
    after = [(one[3], one[1], one[2]) for one in _NAMED_AFTER.finditer(answer)]
    number_first = re.match(r"[^\d]*?\b(?:fresh|gr[ea]y|black)\b", answer, re.IGNORECASE) is None
    amounts = after if len(before) < 2 or (number_first and len(after) > 1) else before  # "36 grey 30 black 40 fresh"
    for tank, size, unit in amounts:
        name = "grey" if tank.casefold() in ("grey", "gray") else tank.casefold()
        if name in found:
            return []  # two of a kind want names of their own
        found[name] = f"{size.strip(',.')} {unit or ''}".strip()
    return (
        [f"{name} tank {found[name]}" for name in ("fresh", "grey", "black") if name in found] if len(found) > 1 else []
    )


def asks_again(text: str) -> bool:
    """ "set up", "set up the rig", "the set-up questions again": the four questions once more, in the chat."""
    words = re.sub(r"[^a-z ]", " ", text.casefold().replace("set-up", "setup").replace("set up", "setup")).split()
    extra = frozenset(
        "please the my our this rig again start run redo do go through questions over once more ask me four".split()
    )
    return "setup" in words and all(word in extra for word in words if word != "setup")


def _closing(units: str) -> str:
    return CLOSING if units != "metric" else CLOSING.replace("2 gal", "8 litres")


def _otherwise(say: Callable[[str], Reply], answer: str) -> str:
    """Not an answer to the question: heard as what it is, and the set-up makes way."""
    return f"{show.as_words(say(answer))}\n{LATER}"


def _units_of(answer: str) -> str:
    low = answer.strip().casefold().rstrip(".")
    if "imp" in low or "uk" in low.split():
        return "imperial"
    if low in ("l", "litre", "liter", "litres", "liters", "metric", "use litres", "use liters", "in litres"):
        return "metric"
    return (
        "us"
        if low in ("g", "gal", "gallon", "gallons", "us", "us gallons", "american", "use gallons", "in gallons")
        else ""
    )


def _fresh(answer: str) -> list[str]:
    size = re.sub(r"^(?:the )?fresh(?: water)?(?: tank)?(?: holds?| is)? ", "", answer, flags=re.IGNORECASE)
    return [f"fresh tank {size}"] if _AMOUNT.match(size) else []


def _waste(answer: str) -> list[str]:
    """ "36 30", "36 and 30", "36 gal, 30 gal"; one amount alone is the grey tank's."""
    low = re.sub(r"\b(?:grey|gray|black|tank|holds?|is)\b", " ", answer, flags=re.IGNORECASE).strip(" ,.")
    parts = [part.strip() for part in re.split(r"\s*(?:,(?!\d)|;|/(?!\d)|\band\b|\bthen\b)\s*", low) if part.strip()]
    if len(parts) == 1:
        numbers = re.fullmatch(r"([\d.,]+)\s*([a-z]+)?\s+([\d.,]+)\s*([a-z]+)?", parts[0], re.IGNORECASE)
        if numbers:
            parts = [
                f"{numbers[1]} {numbers[2] or numbers[4] or ''}".strip(),
                f"{numbers[3]} {numbers[4] or numbers[2] or ''}".strip(),
            ]
    if not 1 <= len(parts) <= 2 or not any(_AMOUNT.match(part) for part in parts):
        return []
    if re.match(r"\s*black\b", answer, re.IGNORECASE):
        parts = [*reversed(parts)] if len(parts) == 2 else ["none", *parts]
    return [f"{name} tank {part}" for name, part in zip(("grey", "black"), parts, strict=False) if _AMOUNT.match(part)]


_COUNT = {"a": "1", "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6"}


def _people(answer: str) -> list[str]:
    if re.search(r"\b(?:just me|only me|alone|solo|myself)\b", answer, re.IGNORECASE):
        return ["one person"]
    family = re.fullmatch(r"(\w+) adults? (?:and|,) ?(\w+) (?:kids?|child|children)\.?", answer, re.IGNORECASE)
    if family and all(_COUNT.get(one.casefold(), one).isdigit() for one in family.groups()):
        return [f"{sum(int(_COUNT.get(one.casefold(), one)) for one in family.groups())} people"]
    found = re.fullmatch(r"(?:we are |we're |us )?(\w+)(?: people| persons?| of us| aboard)?\.?", answer, re.IGNORECASE)
    if found and _AMOUNT.match(found[1]):
        return ["one person" if found[1].casefold() in ("1", "one") else f"{found[1]} people"]
    return []
