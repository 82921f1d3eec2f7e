"""Who did what was told last, and who did not: "that wasn't Len, that was me", "Joss, not Len", "that one was mine".

May import: intents, rejoinders, lexicon, patterns, people, tokens, whose.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import rejoinders as back
from grammar.hearing.repair import candidates
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lexicon import lexicon
from grammar.patterns import Pattern
from grammar.settling.people import titled
from grammar.telling.whose import is_name

_LONGEST = 16  # tokens
_ME = frozenset(("me", "mine", "myself", "i"))
_LEAD = (
    "(?:(?:no|nah|nope|oh|oops|sorry|wait|actually|well|um|er|hang on|hold on|correction|my mistake|my bad|i meant|i mean|make that|"
    "wrong person|wrong name|wrong one|but|and|so|it turns out|turns out) ?)*"
)
_IT = "(?:it|that|this|they|those|last one|that one|this one|one|@)"
_WAS = "(?:was|is|were|has been|is actually|was actually|really was)"
_DID = "(?: (?:who|that|what) (?:@|did|had|took|used|washed|had had)(?: (?:it|that|one|@))*)?"
_WHOSE = "(?:# 's|mine|my|#|me|myself|i)(?: (?:@|one))?"
_END = "(?: (?:actually|sorry|i mean|i meant|of course|in fact|really|though|instead|this time))*"
_SWAPPED = Pattern(
    ("not", "was not"),
    rf"{_LEAD}(?:(?:{_IT} )?{_WAS} )?not (?P<wrong>{_WHOSE}){_DID}(?: at all)?(?: (?:but|sorry|no|and|oh))*"
    rf"(?: {_IT})?(?: {_WAS})?(?: actually| really)* (?P<right>{_WHOSE}){_DID}{_END}",
)
_RATHER = Pattern(
    ("not",),
    rf"{_LEAD}(?:(?:{_IT} )?{_WAS} )?(?:actually |really )?(?P<right>{_WHOSE}){_DID}(?: (?:and|sorry))* not (?P<wrong>{_WHOSE}){_DID}{_END}",
)
_ONLY_ME = Pattern(
    tuple(_ME | {"my"}),
    rf"{_LEAD}(?:{_IT} {_WAS} )?(?:actually |really )?(?P<right>mine|me|myself|my @|my one|i){_DID}{_END}",
)


def not_them(toks: Sequence[Tok]) -> Intent | None:
    """Another person for what was told last; None if these words are no such correction."""
    if len(toks) > _LONGEST or any(tok.has("QMARK", "NUMBER", "UNIT", "IF", "FUTURE") for tok in toks):
        return None
    core = [tok for tok in toks if not tok.has("STOP", "COMMA", "SEMI") and tok.text not in ("the", "a", "an", "all")]
    mine = any(tok.text in _ME or tok.text == "my" for tok in core)
    if not mine and not any(tok.has("NEG") for tok in core):
        return None
    named: list[Tok] = []
    acts: set[str] = set()
    words: list[str] = []
    for tok in core:
        if tok.has("POSS"):
            words.append("'s")
        elif tok.has("ACT") and not tok.has("PERSON"):
            acts.add(tok.senses["ACT"].value)
            words.append("@")
        elif tok.text not in _KEPT and _names(tok):
            named.append(tok)
            words.append("#")
        else:
            words.extend(tok.text.split())
    if len(acts) > 1 or len(named) > 2 or (not named and not mine):
        return None
    said = " ".join(words)
    found = _SWAPPED.fullmatch(said) or _RATHER.fullmatch(said)
    if found is not None:
        right, wrong = (_who(said, named, found.start(side), found[side]) for side in ("right", "wrong"))
        if right == wrong or (any(not _sure(tok) for tok in named) and not any(tok.has("PERSON") for tok in named)):
            return None
        change = back.Fragment(people=(right,), activity=acts.pop() if acts else None)
        return back.Amend(change=change, was=back.Fragment(people=(wrong,)) if wrong else None)
    alone = _ONLY_ME.fullmatch(said)
    corrects = said not in ("me", "i", "mine") and not said.startswith(("i ", "me ", "and ", "my @", "so "))
    if alone is None or not corrects:
        return None
    return back.Amend(change=back.Fragment(people=("",), activity=acts.pop() if acts else None), sure=True)


_KEPT = frozenset(
    "not was is it that this one mine me my no who i they those but sorry wait oh actually really and well so did".split()
)


def _names(tok: Tok) -> bool:
    return is_name(tok) and (tok.has("PERSON", "NAMEWORD", "KIN") or not lexicon().ordinary(tok.text))


def _sure(tok: Tok) -> bool:
    """A name that is known or written as one, or a word that is no slip for one of ours."""
    known = {one.cls for one in lexicon().spellings.get((tok.text,), ())}
    return tok.has("PERSON") or bool(known & {"NAMEWORD", "KIN"}) or tok.capital or not candidates(tok.text)


def _who(said: str, named: Sequence[Tok], start: int, part: str) -> str:
    """The name at that place; "" for the speaker."""
    return titled(named[said[:start].count("#")].text) if part.startswith("#") else ""
