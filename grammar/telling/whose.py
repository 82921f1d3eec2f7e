"""Of whose use something is said: "theo's was 3", "mine was 8", "and Joss 3", "juno says that was her".

May import: clause, corrections' pieces, intents, rejoinders, replies, people, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import rejoinders as back
from grammar.hearing.repair import candidates
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lexicon import lexicon
from grammar.patterns import Pattern
from grammar.pieces.clause import VOLUMES, Clause
from grammar.settling.people import titled
from grammar.telling.replies import fragment
from grammar.telling.statements import pieces_of

_WAS = ("was", "took", "used", "is", "came to")
_DREW = ("took", "used", "had", "needed", "got through", "went through")
THEY = ("he", "she")
_HARDLY = ("only", "just", "like", "please", "though", "too")
_KEPT = (*_DREW, *THEY, *_WAS, "her", "his", "that", "it")
_ITS = ("one",)
_OURS = ("NUMBER", "UNIT", "FRACTION", "ACT", "TANK", "METER", "NEG", "NO", "FUTURE", "IF", "QMARK")


def whose(text: str, toks: Sequence[Tok]) -> Intent | None:
    """A change of the use of one who is named, or of the speaker's own."""
    theirs = _was_theirs(toks) or _of_another(text, toks)
    if theirs is not None:
        return theirs
    core = [tok for tok in toks if not tok.has("FILLER", "STOP", "ART", "COMMA", "NO", "AMEND") or tok.text in _KEPT]
    name, rest = _owner(core)
    if name is None and core and core[0].text in THEY and core[0].has("PRONOUN"):
        name, rest = core[0].text, core[1:]
        more = toks[list(toks).index(rest[0]) + 1 :] if rest else []
        if not rest or rest[0].text not in _DREW or any(tok.has("FILLER") and tok.text not in _HARDLY for tok in more):
            return None  # "he took 3 pills"
    if name is None:
        return _said_so(core)
    if len(rest) < 2 or rest[0].text not in (*_WAS, *_DREW):
        return None
    if not all(tok.has("NUMBER", "FRACTION", "UNIT", "ABOUT", "A", "QSOFT") for tok in rest[1:]):
        return None
    told = fragment(Clause(pieces_of(text, [tok for tok in rest[1:] if not tok.has("QSOFT")])))
    amount = told.amount if told is not None else None
    if amount is None or amount.unit not in (None, *VOLUMES):
        return None
    return back.Amend(change=back.Fragment(amount=amount), whose=name)


def _was_theirs(toks: Sequence[Tok]) -> Intent | None:
    """ "that one was Len's", "the shower was Len's not mine": whose use it was that was told last."""
    core = [tok for tok in toks if not tok.has("STOP", "COMMA", "ART") or tok.text in ("that", "this")]
    said = " ".join("'s" if tok.has("POSS") else tok.text if not is_name(tok) else "#" for tok in core)
    named = [tok for tok in core if is_name(tok)]
    act = next((tok for tok in core if tok.has("ACT")), None)
    said = said.replace(act.text, "@", 1) if act is not None else said
    if len(named) != 1 or _THEIRS.fullmatch(said) is None:
        return None
    change = back.Fragment(
        people=(titled(named[0].text),), activity=act.senses["ACT"].value if act is not None else None
    )
    return back.Amend(change=change, sure=True)


_MOST_OF_ANOTHER = 6  # tokens


def _of_another(text: str, toks: Sequence[Tok]) -> Intent | None:
    """ "and Joss 3", "dad 2.5 gal": how much somebody else used for what was told last."""
    core = [tok for tok in toks if not tok.has("STOP", "COMMA", "COLON", "ART") and tok.text not in _BESIDE]
    besides = any(tok.has("AND") or tok.text in _BESIDE for tok in toks)
    had = len(core) > 2 and core[1].text in _HAD
    if had:
        core = [core[0], *core[2:]]
    if not besides or not 2 <= len(core) <= _MOST_OF_ANOTHER or not core[1].has("NUMBER", "FRACTION", "ABOUT"):
        return None
    mine = core[0].text in _ME
    if not mine and not is_name(core[0]):
        return None
    one_of_it = len(core) == 2 and core[1].text == "one"  # "Joss had one too"
    known = {one.cls for one in lexicon().spellings.get((core[0].text,), ())}
    near = [meant for meant, cost in candidates(core[0].text) if cost == 1]
    slip = any(one.cls in _SLIPS for meant in near for one in lexicon().spellings.get((meant,), ()))
    sure = mine or core[0].has("PERSON") or bool(known & {"NAMEWORD", "KIN"}) or (core[0].capital and not slip)
    if sure and one_of_it:
        return back.Again(people=("" if mine else titled(core[0].text),)) if had else None
    if not sure or not all(tok.has("NUMBER", "FRACTION", "UNIT", "ABOUT", "A", "AND") for tok in core[1:]):
        return None
    told = fragment(Clause(pieces_of(text, core[1:])))
    amount = told.amount if told is not None else None
    if amount is None or amount.value is None or amount.unit not in (None, *VOLUMES):
        return None
    return back.Amend(change=back.Fragment(amount=amount), whose="" if mine else titled(core[0].text), sure=False)


_SLIPS = frozenset("ACT ACTS METER TANK TANKWORD TOTE PRESSURE SENSOR".split())
_HAD = ("used", "had", "took")
_ME = ("me", "i", "mine")
_BESIDE = ("and", "then", "and then", "plus", "also", "too", "as well", "-", "while", "but", "&")


_OOPS = "(?:no |oops |sorry |actually |wait |oh )*"
_THEIRS = Pattern(
    ("'s",),
    rf"{_OOPS}(?:(?:it|that|this|last|@)?(?: last| previous)?(?: one| @)?(?: is| was| 's| actually| really)+"
    rf"|(?:make that|make it|make)(?: one| last| @)?) # 's(?: one| @)?"
    r"(?: not (?:mine|me)| actually| i mean| sorry)*",
)


def _owner(core: Sequence[Tok]) -> tuple[str | None, Sequence[Tok]]:
    """Whose it was ("" for the speaker's own), and the words after that."""
    if core and core[0].text == "mine":
        return "", core[1:]
    if len(core) < 3 or not core[1].has("POSS") or not is_name(core[0]):
        return None, core
    return titled(core[0].text), core[3:] if core[2].text in _ITS and not core[2].has("NUMBER") else core[2:]


_SPEAKS = ("here", "speaking", "talking")
_BY_NAME = ("i am", "my name is", "name is", "call me", "this is", *_SPEAKS, *[f"it is {one}" for one in _SPEAKS])
""" "This is Maren", "Maren here", "it's Maren speaking"."""


def introduces(toks: Sequence[Tok]) -> bool:
    """ "I'm Maren", "my name is Maren": who speaks, and nothing that was done."""
    core = [tok for tok in toks if not tok.has("STOP", "COMMA", "GREETING")]
    if len(core) > 1 and core[-1].text in _SPEAKS:
        core = [*core[:-2], core[-1], core[-2]]
    if not 2 <= len(core) <= _LONGEST_NAMING or not core[-1].capital or not is_name(core[-1]):
        return False
    ordinary = lexicon().ordinary(core[-1].text.casefold()) and not core[-1].has("PERSON", "NAMEWORD")
    return not ordinary and " ".join(tok.text for tok in core[:-1]) in _BY_NAME


_LONGEST_NAMING = 4


def is_name(tok: Tok) -> bool:
    """A name that is known, or a word that is nothing else."""
    if tok.has("PERSON"):
        return True
    return tok.text.isalpha() and (not tok.known or tok.senses.keys() <= {"NAMEWORD", "KIN"})


def _said_so(core: Sequence[Tok]) -> Intent | None:
    """ "juno says that was her": who did what was told last; what else is said of it adds nothing."""
    said = [word for tok in core[1:6] for word in tok.text.split()]
    if len(core) < 3 or not is_name(core[0]) or said[:1] not in (["says"], ["said"], ["reckons"]):
        return None
    end = 4 if said[1:2] in (["that"], ["it"]) else 0
    if not end or said[2:3] != ["was"] or said[3:4] not in (["her"], ["him"], ["hers"], ["his"]):
        return None
    taken = count = 0
    while taken < 4 and count < len(core) - 1:
        count += 1
        taken += len(core[count].text.split())
    if any(tok.has(*_OURS) for tok in core[count + 1 :]):
        return None
    return back.Amend(change=back.Fragment(people=(titled(core[0].text),)), sure=True)
