"""Verbs said in another form than the past that tell of something done ("had to dump grey", "finished filling fresh"), and orders
that may be reports ("dump grey"): the same words with the past form. May import: hear, lexicon.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from grammar.hearing.hear import Word
from grammar.lexicon import DETERMINERS, lexicon
from grammar.lightclass import replace

# Words before a verb that say that it was done after all; "had to" is weaker than the others.
_DONE = tuple(
    tuple(words.split())
    for words in (
        "had to", "managed to", "ended up", "got round to", "got around to", "went ahead and", "went and", "finished",
        "finished up", "got done", "got finished", "done", "i am done", "we are done", "got through", "remembered to",
        "got it together and", "finally got to", "have been", "has been", "got the chance to", "was able to", "were able to",
        "have finished", "have done", "decided to go ahead and", "did manage to", "spent time", "completed",
    )
)  # fmt: skip
_DONE_BY_FIRST = {first: tuple(one for one in _DONE if one[0] == first) for first in {one[0] for one in _DONE}}
_WEAK = frozenset((("had", "to"), ("have", "been"), ("has", "been"), ("done",)))
_MERELY = frozenset(("just", "only", "simply"))
_JOINERS = frozenset(["and", "then", "also"])
_STARTS = frozenset(
    ("um uh er please ok okay so well hey just hi ullage log record add enter also yes yeah right i we").split()
)
_OWN_PAST = {
    "take": "took", "have": "had", "do": "did", "make": "made", "give": "gave", "get": "got", "put": "put", "run": "ran",
    "drink": "drank", "shut": "shut", "let": "let", "set": "set", "leave": "left", "go": "went", "cut": "cut",
    "taking": "took", "having": "had", "doing": "did", "making": "made", "giving": "gave", "getting": "got", "putting": "put",
    "running": "ran", "drinking": "drank", "shutting": "shut", "boil": "boiled",
}  # fmt: skip
# Classes whose base form at the head of a clause may be a report in the shortest form.
_VERBS = frozenset(("DUMP FILL RESET HAUL OPEN SHUT WASH DO PUT USE RINSE SANITISE CHANGE ACT STOW").split())
_NO_ORDERS = frozenset(("use clear check test service cart gate hold shower shave flush rinse").split())


@cache
def past_of(word: str) -> str | None:
    """The past form of a verb of the vocabulary, given its base or -ing form."""
    spellings = lexicon().spellings
    if any(sense.form == "past" for sense in spellings.get((word,), ())):
        return word
    stem = word.removesuffix("ing")
    forms = [_OWN_PAST.get(word)]
    for root in {word, stem, stem + "e", stem[:-1] if stem[-2:-1] == stem[-1:] else stem}:
        if root:
            forms += [root + "ed", root + "d" if root.endswith("e") else None]
            forms += [root + root[-1] + "ed", root[:-1] + "ied" if root.endswith("y") else None]
    for form in forms:
        if form and any(sense.form == "past" and sense.cls in _VERBS for sense in spellings.get((form,), ())):
            return form
    return None


def done_after_all(words: Sequence[Word]) -> tuple[list[Word], bool]:
    """The words with "had to dump" as "dumped"; and whether one of the weaker forms stood there."""
    found: list[Word] = []
    weak, i = False, 0
    while i < len(words):
        size = _done_at(words, i)
        if size and i + size + 1 < len(words) and words[i + size].text in _MERELY:
            size += 1  # "ended up just washing my face"
        verb = words[i + size] if size and i + size < len(words) else None
        past = past_of(verb.text) if verb is not None else None
        if verb is not None and past is not None and verb.text != past:
            weak = weak or tuple(word.text for word in words[i : i + size]) in _WEAK
            found.append(replace(verb, text=past))
            i += size + 1
            continue
        found.append(words[i])
        i += 1
    return found, weak


def _done_at(words: Sequence[Word], i: int) -> int:
    """How many words at `i` say that what follows was done; 0 if none do."""
    if i and words[i - 1].text in ("have", "will", "not", "could", "would", "should", "never", "to", "if"):
        return 0
    sizes = (
        len(one)
        for one in _DONE_BY_FIRST.get(words[i].text, ())
        if tuple(word.text for word in words[i : i + len(one)]) == one
    )
    return max(sizes, default=0)


def as_done(words: Sequence[Word]) -> list[Word] | None:
    """Orders read as reports ("dump grey, fill fresh"): the words with past forms; None if no clause starts with a base form."""
    found = list(words)
    heads = 0
    fresh = True
    for i, word in enumerate(words):
        if word.kind == "mark":
            fresh = True
            continue
        if word.text in _JOINERS or (fresh and word.text in _STARTS):
            fresh = True
            continue
        if fresh and word.text not in DETERMINERS:
            past = past_of(word.text) if not word.text.endswith("ing") else None
            if past is not None and past != word.text and word.text not in _NO_ORDERS:
                found[i] = replace(word, text=past)
                heads += 1
        fresh = False
    return found if heads else None
