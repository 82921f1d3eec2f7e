"""A clause: the pieces between two joiners, and the frames that may make a meaning of all of them.

A frame names the word classes that call it up, the kinds of pieces and classes it takes, and a function that makes the meaning. A
frame applies only if it takes every piece of the clause: nothing that carries meaning is left over. May import: chunks, intents, when.
"""

# ruff: noqa: SIM905 (a string of words is easier to read and to add to than a list of strings)

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from grammar.chunks import Piece
from grammar.intents import Amount, Intent
from grammar.tokens import Tok
from grammar.when import When
from lightclass import dataclass

# Words that carry nothing by themselves and are allowed in any clause.
ALWAYS = frozenset(
    (
        "FILLER PREP SELF ART A AND COMMA STOP THEN POSS COLON BE TO OF AT ON IN FOR BY SEMI QMARK IT ONE ADJ WATER"
    ).split()
)
VOLUMES = frozenset(
    [
        "gallon",
        "imperial_gallon",
        "litre",
        "quart",
        "pint",
        "cup",
        "fluid_ounce",
        "millilitre",
        "centilitre",
        "cubic_metre",
    ]
)
ONCE = ("amount", "when", "tanks", "people", "until", "duration", "between", "repeat", "counted", "every", "since")


class Clause:
    """Reads the pieces of a clause by kind and class, whatever their order."""

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.pieces = list(pieces)

    def taken_as(self, frame: Frame) -> Clause:
        """The clause with each piece that could be read in two ways read as the frame takes it."""
        if not any(piece.alt for piece in self.pieces):
            return self
        return Clause([piece.taken_as(frame.kind_of(piece)) for piece in self.pieces])

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
        return next((piece.value for piece in self.pieces if piece.kind == "when"), None)

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


@dataclass(frozen=True)
class Frame:
    """`cues`: any of these calls the frame up (`DUMP.past` asks for a form, `tanks` for a piece of that kind). `takes`: what it can
    use. `twice`: kinds that may stand more than once. `rank`: higher wins where two frames read the same clause. `prefers`: the kind
    that a piece is taken as where it could be two ("meter at 12" is a reading, not an hour)."""

    name: str
    cues: tuple[str, ...]
    takes: frozenset[str]
    build: Build
    rank: int = 0
    twice: frozenset[str] = frozenset()
    prefers: str = ""

    def kind_of(self, piece: Piece) -> str | None:
        """What the frame takes a piece as; None if it has no use for it."""
        if piece.kind == "word":
            return "word" if not self.takes.isdisjoint(piece.toks[0].senses) else None
        if self.prefers in piece.alt:
            return self.prefers
        if piece.kind in self.takes:
            return piece.kind
        return next((kind for kind in piece.alt if kind in self.takes), None)

    def cued(self, clause: Clause) -> bool:
        return any(_cued(clause, cue) for cue in self.cues)


def _cued(clause: Clause, cue: str) -> bool:
    cls, _, form = cue.partition(".")
    if cls.islower():
        return clause.get(cls) is not None
    return clause.word(cls, *([form] if form else [])) is not None


FRAMES: list[Frame] = []


def frame(
    name: str, cues: str, takes: str, rank: int = 0, twice: str = "", prefers: str = ""
) -> Callable[[Build], Build]:
    """Enter a frame in the table."""

    def enter(build: Build) -> Build:
        called = tuple(cues.split())
        own = {cue.partition(".")[0] for cue in called} | ALWAYS
        taken = frozenset(takes.split()) | own
        FRAMES.append(Frame(name, called, taken, build, rank, frozenset(twice.split()), prefers))
        return build

    return enter


Read = tuple[int, tuple[Intent, ...]]


class Growing:
    """A clause that grows piece by piece: the frames that can still take all of it. A frame that fails once fails for good, so the
    work for a phrase is linear in its length however it is divided."""

    def __init__(self) -> None:
        self.alive: list[tuple[Frame, frozenset[str]]] = [(frame, frozenset()) for frame in FRAMES]
        self.pieces: list[Piece] = []

    def add(self, piece: Piece) -> bool:
        """Whether any frame can still read the clause with this piece in it."""
        self.pieces.append(piece)
        kept: list[tuple[Frame, frozenset[str]]] = []
        for frame, seen in self.alive:
            kind = frame.kind_of(piece)
            if kind is None or (kind in seen and kind not in frame.twice):
                continue
            kept.append((frame, seen | {kind} if kind in ONCE else seen))
        self.alive = kept
        return bool(kept)

    def readings(self) -> list[Read]:
        """All complete readings of the clause as it stands, best first."""
        clause = Clause(self.pieces)
        found: list[Read] = []
        for frame, _ in self.alive:
            if frame.cued(clause):
                meaning = frame.build(clause.taken_as(frame))
                if meaning is not None:
                    found.append((frame.rank, meaning if isinstance(meaning, tuple) else (meaning,)))
        return sorted(found, key=lambda pair: -pair[0])
