"""What is told and asked in one breath: "we dumped on Sunday, didn't we?", "we filled the tank, what day was that". The one who speaks is not
sure, so it is a question about the record, and never a report.

May import: asking, tokens, intents, mood.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.asking.asking import DONE, question
from grammar.hearing.tokens import Tok, sense
from grammar.intents import Ask, Intent, NotAReport

LONGEST = 40  # tokens
_WHEN = frozenset(
    f"{asked} {verb} {what}"
    for asked in ("when", "what day", "which day", "what date", "what time", "how long ago")
    for verb in ("was", "is", "did")
    for what in ("that", "it", "this", "i do that", "we do that", "i do it", "we do it", "that happen")
)
_VERBS = ("did do does have has had was were is are am will would can could should must").split()
_WHO = ("i we it that you he she they there").split()
_TAGS = frozenset(f"{verb}{no} {who}" for verb in _VERBS for no in ("", " not") for who in _WHO)
_SURE = frozenset(
    (
        "right", "correct", "yeah", "yes", "no", "is that right", "is that correct", "am i right", "is that so", "or not", "or did i not",
        "is it true", "is this right", "is this correct", "or am i wrong", "am i wrong", "huh", "eh",
    )
)  # fmt: skip
_SAID_OUT = frozenset(
    ("is that right", "is that correct", "am i right", "is this right", "is this correct", "am i wrong")
)
"""Tags that ask without a question mark."""
_MOST = 5  # tokens of a tail


def told_and_asked(text: str, toks: list[Tok]) -> list[Intent] | None:
    """The question of such a phrase; None if it does not end so."""
    if not 3 < len(toks) <= LONGEST:
        return None
    marked = toks[-1].has("QMARK")
    core = [tok for tok in toks if not tok.has("QMARK")]
    while core and (core[-1].has("STOP") or core[-1].text in ("again", "then", "exactly", "actually", "now")):
        core = core[:-1]
    for n in range(min(_MOST, len(core) - 2), 0, -1):
        tail, head = core[-n:], core[:-n]
        said = " ".join(tok.text for tok in tail).removesuffix(" again")
        set_off = head[-1].has("COMMA", "STOP", "SEMI", "BUT", "OR")
        if head[-1].text in ("so", "and so"):
            continue  # "my husband showered and so did I"
        when, tag = said in _WHEN, said in _TAGS or said in _SURE
        turned = said in _TAGS and (set_off or " not " in said or _just_told(head, tail))
        if not when and not (tag and (turned or said in _SAID_OUT or (marked and set_off))):
            continue  # "how many days have I", "what time is it"
        while head and head[-1].has("COMMA", "STOP", "SEMI", "BUT", "OR", "AND", "FILLER"):
            head = head[:-1]
        if len(head) < 2 or (head[0].has("QWORD") and not when):
            return None
        return _asked(text, head, when)
    return None


def _just_told(head: Sequence[Tok], tail: Sequence[Tok]) -> bool:
    """ "Nell had a shower did she", as it is dictated: a deed of somebody, and the verb turned round behind it."""
    told = head[0].has("SELF", "PERSON", "KIN", "GROUP") or not head[0].known
    return told and tail[0].text in ("did", "has", "have") and _done(head) and not any(tok.has("QWORD") for tok in head)


def _asked(text: str, head: list[Tok], when: bool) -> list[Intent] | None:
    if any(tok.has("OTHER", "REPORTED") for tok in head):
        return None
    place = head[0].start
    mark = Tok("?", head[-1].end, head[-1].end, sense("QMARK"))
    if not _done(head) and not when:
        tank = next((tok.senses["TANK"].value for tok in head if tok.has("TANK")), None)
        if tank is not None and any(tok.has("FULLNESS", "FRACTION", "UNIT", "LEVELWORD", "VAGUELY") for tok in head):
            return [Ask(topic="status", tank=tank, text=text.strip())]
        return question(text, [*head, mark]) or [NotAReport(why="question", text=text.strip())]
    opening = [Tok("when", place, place, sense("QWORD", "when"))] if when else []
    asked = question(text, [*opening, Tok("did", place, place, sense("AUX", "did")), *head, mark])
    if asked is not None and all(isinstance(one, Ask) and one.topic in ("history", "due") for one in asked):
        return asked
    return [NotAReport(why="question", text=text.strip())]


def _done(head: Sequence[Tok]) -> bool:
    return any(
        tok.has(cls) and tok.senses[cls].form == "past" for tok in head for cls in (*DONE, "CHANGE", "SANITISE", "DO")
    )


_ALL_RIGHT = frozenset(
    (
        "is are that it this all ok okay right alright safe good fine normal too high low much bad dangerous a problem an issue for the hose "
        "regulator rig or should i we worry be worried about and so enough sensible acceptable not"
    ).split()
)


def is_that_all_right(toks: Sequence[Tok]) -> bool:
    """ "Is that safe?", "too much?", "all good?": of what was told just before."""
    words = [word for tok in toks if not tok.has("QMARK", "COMMA") for word in tok.text.split()]
    return (
        bool(words) and len(words) < _MOST_WORDS and toks[-1].has("QMARK") and all(word in _ALL_RIGHT for word in words)
    )


_MOST_WORDS = 9


def how_many(toks: Sequence[Tok]) -> bool:
    """ "how many are left?": of what was just told."""
    count = toks[0].has("QWORD") and toks[0].senses["QWORD"].value == "howmany"
    return count and any(tok.has("LEFT", "MORE") for tok in toks) and not any(tok.has("ACT", "TANK") for tok in toks)
