"""A clause: the pieces between two joiners, and the frames that may make a meaning of all of them.

A frame names the word classes that call it up, the kinds of pieces and classes it takes, and a function that makes the meaning. A
frame applies only if it takes every piece of the clause: nothing that carries meaning is left over. May import: chunks, intents, when.
"""

# ruff: noqa: SIM905 (a string of words is easier to read and to add to than a list of strings)

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from grammar.chunks import Piece
from grammar.intents import Amount, Intent
from grammar.tokens import Tok
from grammar.when import When

# Words that carry nothing by themselves and are allowed in any clause.
ALWAYS = frozenset(
    ("FILLER PREP SELF ART A AND COMMA STOP THEN POSS COLON BE AUX TO OF AT ON IN FOR BY SEMI QMARK IT ONE").split()
)
VOLUMES = frozenset(
    ("gallon imperial_gallon litre quart pint cup fluid_ounce millilitre centilitre cubic_metre").split()
)
ONCE = ("amount", "when", "tanks", "people", "until", "duration", "between", "repeat", "counted", "every", "since")


class Clause:
    """Reads the pieces of a clause by kind and class, whatever their order."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.pieces = list(pieces)

    def all(self, kind: str) -> list[Any]:
        return [piece.value for piece in self.pieces if piece.kind == kind]

    def get(self, kind: str) -> Any:
        """The value of the first piece of a kind; if none has it, of one that could be read so."""
        for piece in self.pieces:
            if piece.kind == kind:
                return piece.value
        return next((piece.alt[kind] for piece in self.pieces if kind in piece.alt), None)

    def index(self, kind: str) -> int:
        return next((n for n, piece in enumerate(self.pieces) if piece.kind == kind), -1)

    def word(self, cls: str, *forms: str) -> Tok | None:
        """The first single word of a class (and form)."""
        for piece in self.pieces:
            if (
                piece.kind == "word"
                and piece.toks[0].has(cls)
                and (not forms or piece.toks[0].senses[cls].form in forms)
            ):
                return piece.toks[0]
        return None

    def words(self, cls: str) -> list[Tok]:
        return [piece.toks[0] for piece in self.pieces if piece.kind == "word" and piece.toks[0].has(cls)]

    def has(self, *classes: str) -> bool:
        """Whether any token has one of the classes, also inside a piece of several tokens."""
        return any(tok.has(*classes) for piece in self.pieces for tok in piece.toks)

    def value(self, cls: str) -> str | None:
        tok = self.word(cls)
        return tok.senses[cls].value if tok else None

    def place(self, cls: str) -> int:
        return next((n for n, piece in enumerate(self.pieces) if piece.has(cls)), -1)

    @property
    def when(self) -> When | None:
        return self.get("when") if "when" in (piece.kind for piece in self.pieces) else None

    @property
    def people(self) -> tuple[str, ...]:
        return self.get("people") or ()

    @property
    def tanks(self) -> tuple[str, ...]:
        return self.get("tanks") or ()

    def volume(self) -> Amount | None:
        """The amount, if it can be one of water."""
        amount = self.get("amount")
        return amount if isinstance(amount, Amount) and (amount.unit is None or amount.unit in VOLUMES) else None


Build = Callable[[Clause], "Intent | tuple[Intent, ...] | None"]


@dataclass(frozen=True, slots=True)
class Frame:
    """`cues`: any of these calls the frame up (`DUMP.past` asks for a form, `tanks` for a piece of that kind). `takes`: what it can
    use. `twice`: kinds that may stand more than once. `rank`: higher wins where two frames read the same clause."""

    name: str
    cues: tuple[str, ...]
    takes: frozenset[str]
    build: Build
    rank: int = 0
    twice: frozenset[str] = frozenset()

    def applies(self, clause: Clause) -> bool:
        if not any(_cued(clause, cue) for cue in self.cues):
            return False
        seen: set[str] = set()
        for piece in clause.pieces:
            kind = self._kind(piece)
            if kind is None or (kind in seen and kind in ONCE and kind not in self.twice):
                return False
            seen.add(kind)
        return True

    def _kind(self, piece: Piece) -> str | None:
        if piece.kind == "word":
            return "word" if any(cls in self.takes or cls in ALWAYS for cls in piece.toks[0].senses) else None
        if piece.kind in self.takes:
            return piece.kind
        return next((kind for kind in piece.alt if kind in self.takes), None)


def _cued(clause: Clause, cue: str) -> bool:
    cls, _, form = cue.partition(".")
    if cls.islower():
        return clause.get(cls) is not None
    return clause.word(cls, *([form] if form else [])) is not None


FRAMES: list[Frame] = []


def frame(name: str, cues: str, takes: str, rank: int = 0, twice: str = "") -> Callable[[Build], Build]:
    """Enter a frame in the table."""

    def enter(build: Build) -> Build:
        called = tuple(cues.split())
        own = {cue.partition(".")[0] for cue in called}
        FRAMES.append(Frame(name, called, frozenset(takes.split()) | own, build, rank, frozenset(twice.split())))
        return build

    return enter


def readings(clause: Clause, frames: Sequence[Frame]) -> list[tuple[int, tuple[Intent, ...]]]:
    """All complete readings of a clause, best first."""
    found: list[tuple[int, tuple[Intent, ...]]] = []
    for one in frames:
        if one.applies(clause):
            meaning = one.build(clause)
            if meaning is not None:
                found.append((one.rank, meaning if isinstance(meaning, tuple) else (meaning,)))
    return sorted(found, key=lambda pair: -pair[0])
