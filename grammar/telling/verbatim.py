"""Phrases whose words are kept as they are: notes, taught words, own steps of a checklist, what help is wanted with.

May import: hear, numbers, intents, lexicon, lightclass, patterns, reading.
"""


# ruff: noqa: E501 (a pattern reads better unbroken)

from __future__ import annotations

import re

from grammar.hearing.hear import hear
from grammar.hearing.numbers import NUMBER_WORDS
from grammar.intents import Ask, Intent, Note, Step, Teach
from grammar.lexicon import DETERMINERS, lexicon
from grammar.lightclass import dataclass
from grammar.patterns import Pattern
from grammar.reading import Names

_LEAD = r"^\s*(?:(?:um|uh|ok|okay|please|hey|so|hi|ullage|oh|and|(?:can|could|would|will)\s+you)[\s,]+)*"
_TAIL = r"(?:\s*,?\s*(?:please|(?:would|will|could|can)\s+(?:you|ya)|for\s+(?:me|us)|thanks|thank\s+you|ta|cheers|love|mate))*\s*[.!?]*\s*$"
_NOTE = Pattern(
    ("note", "remember"),
    _LEAD + r"(?:(?:can|could) you\s+)?(?:please\s+)?"
    r"(?:(?:make|take|add|write|put|leave|log|record)\s+(?:(?:a|the|this|another)\s+)?note\b(?:\s+(?:that|saying|here|down|to\s+self|of\s+this))?|notes?\s+to\s+self|note\s+that|note(?=\s*[:\-,])|note(?!\s+down)(?=\s+\S)|remember(?=\s*:))"
    r"\s*[:,\-]?\s*(?P<text>\S.*?)\s*$",
    re.DOTALL,
)
_WRITTEN = Pattern(
    ("down",),
    _LEAD
    + r"(?:please\s+)?(?:(?:jot|write|put|mark|note|take)\s+(?:it\s+|this\s+|that\s+)?down)(?:\s+that|\s*[:,])?\s+(?P<text>\S.*?)\s*$",
    re.DOTALL,
)
_TEACH = Pattern(
    ("mean", "about", "stand", "another", "short"),
    _LEAD
    + r"(?:when|if|whenever)\s+(?:i|we)\s+(?:say|write|type)\s+[\"'“]?(?P<word>.+?)[\"'”]?\s*,?\s+(?:i|we|it|that)\s+(?:means?|am\s+talking\s+about|mean)\s+[\"'“]?(?P<means>.+?)[\"'”]?\s*[.!]?\s*$"
    r"|"
    + _LEAD
    + r"[\"'“]?(?P<word2>[\w '-]{2,40}?)[\"'”]?\s+(?:means|stands\s+for|is\s+another\s+word\s+for|is\s+short\s+for)\s+(?:the\s+)?[\"'“]?(?P<means2>[\w '-]{2,40}?)[\"'”]?(?:\s*,?\s+when\s+(?:i|we)\s+(?:say|type|write)\s+(?:it|that|so))?\s*[.!]?\s*$",
)
_CALL = Pattern(
    ("call",), _LEAD + r"call\s+(?:it|that|this)\s+(?:an?\s+)?[\"'“]?(?P<word>[^\d,.!?]{2,40}?)[\"'”]?\s*[.!]?\s*$"
)
_STEP = Pattern(
    ("add", "put"),
    _LEAD
    + r"(?:add|put)\s+(?:[\"'“](?P<quoted>[^\"”]+)[\"'”]|(?P<plain>.+?))\s+(?:to|on|onto|in)\s+(?:the\s+|my\s+|our\s+)?"
    r"(?P<list>leaving|arriving|departure|arrival|dumping|setup|set-up|packing|checklist|leaving\s+list|departure\s+list|arrival\s+list|arriving\s+list|leaving\s+checklist|arriving\s+checklist|departure\s+checklist|arrival\s+checklist)"
    r"(?:\s+(?:list|checklist|steps))?(?:\s*,?\s+(?P<where>before|after)\s+(?P<other>.+?))?" + _TAIL,
)
_STEP_AFTER = Pattern(
    ("step", "list"),
    _LEAD
    + r"(?:(?:add|put|new)\s+(?:a\s+|another\s+)?)?(?:step\s+(?:to|on|for|in)\s+(?:the\s+|my\s+|our\s+)?(?P<list>leaving|arriving|departure|arrival|dumping|setup|set-up|packing)(?:\s+(?:list|checklist|steps))?\s*[:,-]\s*[\"'“]?(?P<step>.+?)[\"'”]?"
    r"|(?P<list2>leaving|arriving|departure|arrival|dumping|setup|set-up|packing)\s+(?:list|checklist|steps)\s+needs?\s+[\"'“](?P<step2>.+?)[\"'”]\s*(?:added|on\s+it|in\s+it)?)"
    + _TAIL,
)
_HELP = Pattern(
    ("help",),
    _LEAD + r"help\s+(?:me\s+)?(?:with\s+|on\s+|about\s+)?(?:the\s+)?(?P<subject>[a-z][a-z ]{2,24}?)\s*[.?!]?\s*$",
)
_LISTS = {
    "departure": "leaving",
    "leaving": "leaving",
    "packing": "leaving",
    "arrival": "arriving",
    "arriving": "arriving",
    "setup": "arriving",
    "set-up": "arriving",
    "dumping": "dumping",
    "checklist": "leaving",
}


def written_down(text: str, respelt: tuple[str, ...] = ()) -> Intent | None:
    """ "write down that the sewer cap is loose": a note, where the words report nothing else. `respelt`: words that had to be spelled otherwise
    for a report; if "write" itself is among them, it is none."""
    found = _WRITTEN.match(text)
    if found is None or _TOLD_BEFORE.match(found["text"]):
        return None  # "put down another one" is no note, though it may not be understood
    if respelt and set(respelt) <= set(found["text"].casefold().split()):
        return None
    return Note(note=found["text"].strip())


_TOLD_BEFORE = Pattern(
    ("to", "against", "under", "another", "more", "same", "both", "it", "them"),
    r"(?:to|against|under|another|one more|two more|(?:the )?same)\b|(?:both|it|them)\W*$",
)


_TALK = frozenset(
    "that this which it what we i they you he she there no not more less so full empty being having tomorrow today".split()
)


def _teaches(word: str, means: str, text: str) -> bool:
    """Whether "suds means dishes" teaches a word: "that means we have to dump" and "rain means no hike" only tell what follows from what."""
    said, meant = word.casefold().split(), means.casefold().split()
    if len(said) > 2 or len(meant) > 4 or said[0] in _TALK or meant[0] in _TALK:
        return False
    return len(said) == 1 or any(mark in text for mark in "\"'“”") or not _TALK.intersection(said)


def verbatim(text: str) -> Intent | None:
    """A note, a taught word, a step or a subject of help, with its words as they stand."""
    if found := _NOTE.match(text):
        words = found["text"].strip().strip('"“”').strip()
        if words.casefold() in ("to self", "down", "that", "this", "it"):
            return None
        return Note(note=words) if any(char.isalnum() for char in words) else None
    if (found := _TEACH.match(text)) and (found["word"] or _teaches(found["word2"], found["means2"], text)):
        word, means = found["word"] or found["word2"], found["means"] or found["means2"]
        return Teach(word=word.strip(), means=means.strip())
    if (found := _CALL.match(text)) and not _measures(found["word"]):
        return Teach(word=found["word"].strip())
    if text.strip() == "?":
        return Ask(topic="help")
    if found := _HELP.match(text):
        return Ask(topic="help", subject=found["subject"].casefold())
    if found := _STEP_AFTER.match(text):
        which = (found["list"] or found["list2"]).casefold()
        return Step(list=_LISTS.get(which, which), step=(found["step"] or found["step2"]).strip())
    if found := _STEP.match(text):
        before = found["other"] if (found["where"] or "").casefold() == "before" else None
        after = found["other"] if (found["where"] or "").casefold() == "after" else None
        which = found["list"].casefold().split()[0]
        return Step(
            list=_LISTS.get(which, which), step=(found["quoted"] or found["plain"]).strip(), before=before, after=after
        )
    return None


def _measures(word: str) -> bool:
    """ "Call it two and a half": an amount, and no name."""
    known = lexicon().spellings
    return all(
        one.value is not None
        or one.text in NUMBER_WORDS | _BETWEEN
        or any(sense.cls in ("UNIT", "FRACTION") for sense in known.get((one.text,), ()))
        for one in hear(word)
    )


_BETWEEN = frozenset(("a", "an", "couple", "and", "point", "of", "half", "quarter", "third", "thirds", "quarters", "."))
MOST_STARRED = 4


def written_out(text: str, names: Names) -> str:
    """A taught word that stands alone and means a whole phrase ("w" for "can we make it to Sunday") is that phrase; within a phrase, too,
    it is the words it stands for."""
    starred = text.strip()
    if starred.count("*") == 1 and (starred[0] == "*" or starred[-1] == "*") and len(starred.split()) <= MOST_STARRED:
        return f"I meant {starred.strip('* ')}"  # "*3 gal": how a slip is put right in writing
    alone = text.strip(" .!?").casefold()
    whole = next((means for word, means in names.taught if " " in means and word.casefold() == alone), None)
    return whole if whole is not None else _in_their_place(text, names)


def _in_their_place(text: str, names: Names) -> str:
    """Each taught word in the phrase is the words it stands for: "the usual for Joss" is "shower 2 gal for Joss"."""
    written, ends = "", 0
    for one in taught_in(text, names):
        first, _, rest = one.means.partition(" ")
        twice = one.owned and first.casefold() in DETERMINERS
        written += text[ends : one.start] + (rest if twice else one.means)
        ends = one.end
    return written + text[ends:]


@dataclass(frozen=True)
class Taught:
    """A taught word where it stands in a phrase. `owned`: behind "the", "my"; `counted`: behind a number or "of"; `alone`: all of it."""

    start: int
    end: int
    means: str
    owned: bool
    counted: bool
    alone: bool


def taught_in(text: str, names: Names) -> list[Taught]:
    """The taught words of a phrase, the longest first where two begin together."""
    taught = sorted(((_as_heard(word), means) for word, means in names.taught), key=lambda one: -len(one[0]))
    heard = hear(text) if taught else []
    said = tuple(word.text for word in heard)
    found = []
    i = 0
    while i < len(heard):
        spelled, means = next(
            ((one, means) for one, means in taught if one and said[i : i + len(one)] == one), ((), "")
        )
        if spelled:
            before = next((word for word in reversed(heard[:i]) if word.text not in DETERMINERS), None)
            counts = before is not None and (
                before.value is not None or before.text in NUMBER_WORDS or before.text == "of"
            )
            start, end = heard[i].start, heard[i + len(spelled) - 1].end
            owned = i > 0 and said[i - 1] in DETERMINERS
            found.append(Taught(start, end, means, owned, counts, len(spelled) == len(heard)))
        i += len(spelled) or 1
    return found


def _as_heard(name: str) -> tuple[str, ...]:
    return tuple(word.text for word in hear(name) if word.kind == "word")
