"""Which of several entries is taken back: "delete the five gallon shower", "that second fill was a mistake, take it back", "there was
only one bath yesterday".

An order or a denial around a description, which may hold a person, a place in the row, an amount, what it was, and a day; in any order,
and nothing else. May import: clause, intents, people, statements, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import rejoinders as back
from grammar.hearing.tokens import Tok
from grammar.intents import Amount, Intent
from grammar.lightclass import replace
from grammar.patterns import Pattern
from grammar.pieces.clause import VOLUMES, Clause
from grammar.settling.people import titled
from grammar.telling.statements import pieces_of
from grammar.telling.whose import is_name
from grammar.when import When

KINDS = ("ACT", "DUMP", "FILL", "METER", "HAUL", "RINSE")
_LONGEST = 16  # tokens
_ASKED = (
    "(?:oops |sorry |no |oh |wait |actually |please |just |can you |could you |would you |and |you can |i want to |i would like to |"
    "go ahead and )*"
)
_ORDERS = (
    "delete|remove|cancel|erase|undo|scratch|strike|wipe|scrap|drop|forget|forget about|bin|ditch|lose|void|ignore|disregard|kill|"
    "get rid of|cross out|rub out|strike out|take back|take out|take off|take away|cross off|throw out"
)
_ORDER = Pattern(tuple(_ORDERS.replace("|", " ").split()), rf"{_ASKED}(?:{_ORDERS})")
_HALVED = Pattern(("take", "cross", "rub", "strike"), rf"{_ASKED}(?:take|cross|rub|strike)")
_AWAY = frozenset("out|off|back|away|back out|back off|out again|off again|out of there".split("|"))
_SOFT = frozenset("please|again|for me|then|now|thanks|thank you|sorry|will you|would you|can you|could you".split("|"))
_UNTRUE = Pattern(
    ("mistake", "error", "wrong", "never", "not", "bogus", "duplicate", "accident"),
    "(?:was|is|were) (?:just )?(?:a |an |my |entered |logged |booked |put in )?(?:by |in )?"
    "(?:mistake|error|wrong|bogus|duplicate|accident|not real|wrong entry)"
    "|never happened|(?:did|does|was) not (?:really |actually )?(?:happen|take place|there|count|exist)|should not be (?:there|in there|in)",
)
_ONLY_ONE = Pattern(
    ("one",),
    "(?:no |sorry |actually |wait )*(?:(?P<were>there was|there were|it was)|(?:i|we) (?:took|had|did)) (?:only|just) one",
)
_ENTRY = ("entry", "one", "record", "line", "report", "log", "item", "booking")
_PLACES = {"first": 1, "second": 2, "third": 3, "fourth": 4, "1": 1, "2": 2, "3": 3, "4": 4}
_OTHERS = dict.fromkeys(("other", "earlier", "older", "previous"), -1)


def named_entry(text: str, toks: Sequence[Tok]) -> Intent | None:
    """The entry that goes, where more is told of it than its kind; None if these words are no such order."""
    core = [tok for tok in toks if not tok.has("STOP")]
    if not 3 <= len(core) <= _LONGEST or any(tok.has("QMARK", "IF", "QWORD", "FUTURE") for tok in core):
        return None
    found = _after_an_order(text, core) or _denied(text, core) or _only_one(text, core)
    return found if found is None or _tells(found) else None


def _tells(found: back.Undo) -> bool:
    return found.twin or any(value is not None for value in (found.amount, found.nth, found.when))


def _after_an_order(text: str, core: list[Tok]) -> back.Undo | None:
    """ "delete the five gallon shower", "take the second shave out"."""
    while core and core[-1].text in _SOFT:
        core = core[:-1]
    for n in range(min(6, len(core) - 1), 0, -1):
        said = _spoken(core[:n])
        if _ORDER.fullmatch(said):
            return _described(text, core[n:])
        for m in (1, 2):
            if _spoken(core[-m:]) in _AWAY and _HALVED.fullmatch(said):
                return _described(text, core[n:-m])
    return None


def _denied(text: str, core: list[Tok]) -> back.Undo | None:
    """ "the second fill was a mistake", "that first bath wasn't 12, take it off": with or without the order that follows."""
    mark = next((n for n, tok in enumerate(core) if n > 1 and tok.has("COMMA", "SEMI", "AND", "SO")), len(core))
    order = _spoken([tok for tok in core[mark:] if not tok.has("COMMA", "SEMI", "AND", "SO")])
    ordered = bool(order) and core[-1].has("UNDO")
    if order and not ordered:
        return None
    for n in range(2, mark):
        said = _spoken(core[n:mark])
        untrue = _UNTRUE.fullmatch(said) is not None
        other = ordered and core[n].has("BE", "AMEND") and any(tok.has("NEG") for tok in core[n : n + 2])
        if untrue or other:
            return _described(text, core[:n])
    return None


def _only_one(text: str, core: list[Tok]) -> back.Undo | None:
    """ "there was only one bath yesterday", "I only had one shower": of two that are alike, one goes."""
    light = [tok for tok in core if tok.text not in ("only", "just")]
    if len(light) == len(core):
        return None
    for n in range(2, min(6, len(core))):
        said = _ONLY_ONE.fullmatch(_ordered(core[:n]))
        found = _described(text, core[n:]) if said is not None else None
        if said is None or found is None or found.amount is not None or found.nth is not None:
            continue
        behind = (
            found.when is not None and (found.when.day_offset or 0) < 0
        )  # "I only had one shower" may be a report of it
        return replace(found, twin=True) if said["were"] or behind else None
    return None


def _ordered(toks: Sequence[Tok]) -> str:
    """ "I only had" as "I had only"."""
    said = _spoken(toks).split()
    for n in range(1, len(said) - 1):
        if said[n] in ("only", "just") and said[n + 1] != "one":
            said[n], said[n + 1] = said[n + 1], said[n]
    return " ".join(said)


def _spoken(toks: Sequence[Tok]) -> str:
    return " ".join(tok.text for tok in toks if not tok.has("COMMA"))


def _described(text: str, toks: Sequence[Tok]) -> back.Undo | None:
    """The entry of these words; None if they tell of anything else."""
    nth: int | None = None
    whose: str | None = None
    rest: list[Tok] = []
    for n, tok in enumerate(toks):
        before_it = n + 1 < len(toks) and not toks[n + 1].has("UNIT")
        first = tok.text.split()[0] if tok.number is None else ""
        place = (_PLACES | _OTHERS).get(first)  # settled, "second" may have lost that it is one
        if place is not None and before_it and not _of_a_date(toks, n):
            if nth is not None:
                return None
            nth = place
        elif is_name(tok) and n + 1 < len(toks) and toks[n + 1].has("POSS"):
            whose = titled(tok.text)
        elif tok.has("POSS") and n and is_name(toks[n - 1]):
            continue
        elif tok.text not in _ENTRY or (n + 1 < len(toks) and tok.has("NUMBER")):
            rest.append(tok)
    return _of_pieces(Clause(pieces_of(text, rest)), whose, nth) if rest else None


def _of_a_date(toks: Sequence[Tok], n: int) -> bool:
    near = [*toks[max(0, n - 2) : n], *toks[n + 1 : n + 3]]
    return any(tok.has("MONTH") for tok in near)


def _of_pieces(clause: Clause, whose: str | None, nth: int | None) -> back.Undo | None:
    what: str | None = None
    amount: Amount | None = None
    when: When | None = None
    for piece in clause.pieces:
        first = piece.toks[0]
        if piece.kind == "amount" and amount is None:
            amount = piece.value
        elif piece.kind in ("when", "since") and when is None:
            when = replace(piece.value, since=False)
        elif piece.kind == "tanks" and len(piece.value) == 1 and piece.value != ("*",):
            continue  # "the second grey dump": the kind tells it
        elif piece.kind == "word" and first.has(*KINDS) and what is None:
            cls = next(cls for cls in KINDS if first.has(cls))
            what = first.senses[cls].value if cls != "METER" else "meter"
        elif piece.kind != "word" or not first.has(
            "POSS", "PREP", "OF", "FOR", "A", "ART", "FILLER", "ADJ", "TANKWORD"
        ):
            return None
    if what is None or (amount is not None and (amount.value is None or amount.bound or amount.unit not in _VOLUMES)):
        return None
    return back.Undo(what=what, whose=whose, amount=amount, nth=nth, when=when)


_VOLUMES = VOLUMES | {None}
