"""What a question asks with and about, read off its clause: shared by the rules of questions. May import: clause, intents, piece_meanings,
when."""

from __future__ import annotations

from collections.abc import Callable

from grammar.intents import Ask
from grammar.lightclass import replace
from grammar.pieces.clause import Clause
from grammar.pieces.piece_meanings import Length
from grammar.when import When

Test = Callable[[Clause], "Ask | None"]

SMALL = (
    "FILLER", "PREP", "ART", "QMARK", "AUX", "BE", "SELF", "WATER", "A", "OF", "STOP", "COMMA", "TO",
)  # fmt: skip
"""Classes of words that a question may hold beside what it asks for."""


class Rule:
    """What asks for one thing. `cues`: classes of words and kinds of pieces, of which a clause must hold one for the rule to give anything;
    most clauses tell something and hold none."""

    __slots__ = ("ask", "cues")

    def __init__(self, cues: str, ask: Test) -> None:
        self.cues, self.ask = frozenset(cues.split()), ask


def rule(cues: str) -> Callable[[Test], Rule]:
    """Makes a rule of a function, with what calls it up."""
    return lambda ask: Rule(cues, ask)


class Rules:
    """Rules that are read from the top: the first that takes a clause gives the meaning. `barred`: classes of which none may stand there."""

    def __init__(self, barred: str, *rules: Rule) -> None:
        self.barred, self.rules = barred.split(), rules
        self.cues = frozenset[str]().union(*[one.cues for one in rules])

    def first(self, clause: Clause) -> Ask | None:
        """The question that the clause asks; None if no rule takes it, or if a word of it is unknown or barred."""
        if not clause.holds(self.cues) or clause.has(*self.barred) or clause.unknown():
            return None
        for one in self.rules:
            if clause.holds(one.cues):
                found = one.ask(clause)
                if found is not None:
                    return found
        return None


def q(clause: Clause, *kinds: str) -> bool:
    """Whether a question word of one of these kinds stands in the clause."""
    return any(tok.senses["QWORD"].value in kinds for tok in clause.words("QWORD"))


def beside_times(clause: Clause, *classes: str) -> bool:
    """Whether one of the classes stands outside the times: the "last" of "last week" lasts nowhere."""
    return any(piece.kind != "when" and piece.has(*classes) for piece in clause.pieces)


def texts(clause: Clause) -> set[str]:
    """The texts of all its tokens."""
    return {tok.text for piece in clause.pieces for tok in piece.toks}


def site_of(clause: Clause) -> str | None:
    """The place that is named, also where other words stand beside it in its piece."""
    tok = next((tok for piece in clause.pieces for tok in piece.toks if tok.has("SITE")), None)
    return str(tok.senses["SITE"].value) if tok else None


def did(clause: Clause) -> bool:
    if q(clause, "howlong") and not any(tok.text in ("did", "was", "were", "had") for tok in clause.words("AUX")):
        return False  # "how many days of water have I got"
    return any(
        tok.text in ("did", "have we", "have i", "has", "had", "was", "were") for tok in clause.words("AUX")
    ) or any(piece.kind == "word" and piece.toks[0].text == "used" for piece in clause.pieces)


def one_tank(clause: Clause) -> str | None:
    """The one tank that is named; "waste" for "the waste tank", which may be either."""
    if not clause.tanks and any(tok.text.startswith(("waste", "holding")) for tok in clause.words("TANKWORD")):
        return WASTE
    return clause.tanks[0] if len(clause.tanks) == 1 and clause.tanks != ("*",) else None


WASTE = "waste"


def only(clause: Clause, *classes: str) -> bool:
    """Nothing else of weight in the clause."""
    return all(
        piece.kind == "word"
        and piece.has(*classes, "FILLER", "COMMA", "STOP", "QMARK", "PREP", "ART", "SELF", "A", "BE", "AUX")
        for piece in clause.pieces
    ) and clause.has(*classes)


def unit_of(clause: Clause) -> str | None:
    amount = clause.get("amount")
    return amount.unit if amount is not None else None


def unit_word(clause: Clause) -> str | None:
    return clause.value("UNIT")


def only_tanks(clause: Clause) -> bool:
    return all(
        piece.kind == "tanks"
        or piece.has(
            "QMARK", "FILLER", "AND", "ABOUT", "IN", "ART", "TANKWORD", "LEVELWORD", "ROOM", "ROOMQ", "LEFT", "LEFTOVER"
        )
        for piece in clause.pieces
    )


def until_of(clause: Clause) -> When | None:
    found: When | None = clause.get("until") or clause.when
    if found is not None and found is clause.when and _whole(clause, found):
        found = replace(found, through=True)  # "get through the weekend", "over the weekend"
    if found is not None and found.count is not None and found.which in ("last", "next") and found.period in _DAYS:
        days = found.count * (7 if found.period == "week" else 1)
        return When(whole_days=round(days), text=found.text)  # "will grey last three days", "for the next three days"
    if found is not None and found.count is not None and found.which in ("last", "next") and found.period == "hour":
        return When(seconds=3600.0 * found.count, text=found.text)  # "can we last 36 hours", "for the next 48 hours"
    if found is not None and found.which == "last" and found.text.casefold().startswith("last the "):
        return replace(found, which=None, through=True, text=found.text[5:])  # "will grey last the weekend"
    return found


_DAYS = (None, "day", "night", "week")


def _whole(clause: Clause, when: When) -> bool:
    """Whether all of a day or weekend is meant rather than its beginning."""
    place = clause.index("when")
    before = clause.pieces[place - 1].toks[-1].text if place > 0 else ""
    weekend = when.period == "weekend" and when.edge is None
    return before.endswith(("through", "thru")) or (weekend and before.split()[-1:] in (["over"], ["for"]))


def errand(clause: Clause) -> str | None:
    """What a question about where to go is about: `dump` or `fill`."""
    spoken = " ".join(tok.text for piece in clause.pieces for tok in piece.toks).split()
    return "dump" if "dump" in spoken or "empty" in spoken else "fill" if "fill" in spoken else None


def of_all(clause: Clause) -> str | None:
    """ "Enough for everyone to shower": once each."""
    everyone = any(tok.text in _ALL for piece in clause.pieces for tok in piece.toks)
    return "everyone" if everyone else None


_ALL = frozenset(
    ("everyone", "everybody", "each of us", "all of us", "both of us", "us all", "all", "both", "we all", "each")
)


def minutes_each(clause: Clause) -> float | None:
    """How long a use is said to last: "can I take a five minute shower". [minutes]"""
    length, counted = clause.get("duration"), clause.get("counted")
    if counted is not None and counted.minutes is not None:
        return float(counted.minutes)
    short = isinstance(length, Length) and length.unit in ("second", "minute")
    return float(length.seconds) / 60 if short and length.number > 0 else None


def without_today(clause: Clause) -> Clause:
    """The clause without a word that only says that it is of now or of today."""
    return Clause(
        [
            piece
            for piece in clause.pieces
            if piece.kind != "when" or not (piece.value.now or piece.value.day_offset == 0)
        ]
    )
