"""A clause: the pieces between two joiners, and the frames that may make a meaning of all of them.

A frame names the word classes that call it up, the kinds of pieces and classes it takes, and a function that makes the meaning. A
frame applies only if it takes every piece of the clause: nothing that carries meaning is left over. May import: chunks, intents, when.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from grammar.hearing.tokens import Tok
from grammar.intents import Amount, Intent
from grammar.lightclass import Any, dataclass
from grammar.pieces.chunks import Piece
from grammar.when import When

# Words that carry nothing by themselves and are allowed in any clause.
ALWAYS = frozenset(
    (
        "FILLER PREP SELF ART A AND COMMA STOP THEN POSS COLON BE TO OF AT ON IN FOR BY SEMI QMARK IT ONE ADJ WATER TOO"
    ).split()
)
VOLUMES = frozenset(
    [
        "gallon",
        "imperial_gallon",
        "imperial_quart",
        "imperial_pint",
        "imperial_fluid_ounce",
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
PRESSURES = frozenset(["psi", "bar", "kilopascal"])
ONCE = ("amount", "when", "tanks", "people", "until", "duration", "between", "repeat", "counted", "every", "since")


_NO_TOKENS: list[Tok] = []


class Clause:
    """Reads the pieces of a clause by kind and class, whatever their order."""

    __slots__ = ("_all", "_alone", "_alts", "_kinds", "_places", "pieces")

    def __init__(self, pieces: Sequence[Piece]) -> None:
        self.pieces = list(pieces)
        self._alone: dict[str, list[Tok]] | None = None
        self._places: dict[str, int] = {}
        self._all: set[str] | None = None
        self._kinds: dict[str, Any] = {}
        self._alts: dict[str, Any] = {}
        for piece in self.pieces:
            self._know(piece)

    def _know(self, piece: Piece) -> None:
        self._kinds.setdefault(piece.kind, piece.value)
        if piece.alt:
            for kind, value in piece.alt.items():
                self._alts.setdefault(kind, value)

    def grow(self, piece: Piece) -> None:
        """Take one more piece at the end; what has been looked up so far stays true."""
        self.pieces.append(piece)
        self._know(piece)
        if self._alone is not None:
            self._enter(len(self.pieces) - 1, piece, self._alone)
        if self._all is not None:
            self._all.update(*[tok.senses for tok in piece.toks])

    def taken_as(self, frame: Frame) -> Clause:
        """The clause with each piece that could be read in two ways read as the frame takes it."""
        if not self._alts:
            return self
        return Clause([piece.taken_as(frame.kind_of(piece)) for piece in self.pieces])

    def all(self, kind: str) -> list[Any]:
        return [] if kind not in self._kinds else [piece.value for piece in self.pieces if piece.kind == kind]

    def get(self, kind: str) -> Any:
        """The value of the first piece of a kind; if none has it, of one that could be read so."""
        return self._kinds[kind] if kind in self._kinds else self._alts.get(kind)

    def index(self, kind: str) -> int:
        """Where the first piece of a kind stands; -1 if there is none."""
        if kind in self._kinds:
            for n, piece in enumerate(self.pieces):
                if piece.kind == kind:
                    return n
        return -1

    def word(self, cls: str, *forms: str) -> Tok | None:
        """The first single word of a class (and form)."""
        for tok in self.words(cls):
            if not forms or tok.senses[cls].form in forms:
                return tok
        return None

    def words(self, cls: str) -> list[Tok]:
        """The single words of a class."""
        alone = self._alone if self._alone is not None else self._single()
        return alone.get(cls, _NO_TOKENS)

    def among(self, classes: frozenset[str]) -> set[str]:
        """Those of these classes that a single word has."""
        return self._single().keys() & classes

    def _single(self) -> dict[str, list[Tok]]:
        """The single words by class."""
        if self._alone is None:
            self._alone = {}
            for n, piece in enumerate(self.pieces):
                self._enter(n, piece, self._alone)
        return self._alone

    def _enter(self, n: int, piece: Piece, alone: dict[str, list[Tok]]) -> None:
        if piece.kind == "word":
            only = piece.toks[0]
            for one in only.senses:
                if one in alone:
                    alone[one].append(only)
                else:
                    alone[one] = [only]
                    self._places[one] = n

    def has(self, *classes: str) -> bool:
        """Whether any token has one of the classes, also inside a piece of several tokens."""
        return not self._classes().isdisjoint(classes)

    def _classes(self) -> set[str]:
        if self._all is None:
            self._all = set().union(*[tok.senses for piece in self.pieces for tok in piece.toks])
        return self._all

    def holds(self, cues: frozenset[str]) -> bool:
        """Whether any token has one of these classes, or any piece is, or could be, of one of these kinds."""
        return not (cues.isdisjoint(self._classes()) and cues.isdisjoint(self._kinds) and cues.isdisjoint(self._alts))

    def unknown(self) -> bool:
        """Whether a word stands there that nobody knows."""
        return any(piece.kind == "word" and not piece.toks[0].known for piece in self.pieces)

    def spells(self, cls: str, form: str) -> bool:
        """Whether any token has the class in that form, also inside a piece of several tokens."""
        return any(tok.has(cls) and tok.senses[cls].form == form for piece in self.pieces for tok in piece.toks)

    def inside(self) -> bool:
        """ "in it", "inside the fresh tank": what is there, as against what it holds."""
        return any(tok.text in ("in", "inside") for piece in self.pieces for tok in piece.toks)

    def value(self, cls: str) -> str | None:
        tok = self.word(cls)
        return tok.senses[cls].value if tok else None

    def place(self, cls: str) -> int:
        """Where the first single word of a class stands; -1 if there is none."""
        if self._alone is None:
            self._single()
        return self._places.get(cls, -1)

    @property
    def when(self) -> When | None:
        return self._kinds.get("when")

    @property
    def people(self) -> tuple[str, ...]:
        return self.get("people") or ()

    @property
    def tanks(self) -> tuple[str, ...]:
        return self.get("tanks") or ()

    def elsewhere(self) -> bool:
        """ "dumped grey at Pine Hollow": where it was done, and no arrival there."""
        here = self.place("SITE")
        return here > 0 and self.pieces[here - 1].has("AT", "PREP") and self.place("COMMA") < 0

    def ends_leaving(self) -> bool:
        """ "put the regulator away, then we left": a departure of its own at the end, not how a thing was left."""
        last = next((piece for piece in reversed(self.pieces) if piece.kind != "when"), None)
        return last is not None and len(self.pieces) > 1 and last.has("LEFT") and last.has("DEPART")

    def volume(self) -> Amount | None:
        """The amount, if it can be one of water."""
        amount = self.get("amount")
        return amount if isinstance(amount, Amount) and (amount.unit is None or amount.unit in VOLUMES) else None


Build = Callable[[Clause], "Intent | tuple[Intent, ...] | None"]


@dataclass(frozen=True)
class Frame:
    """`cues`: any of these calls the frame up (`DUMP.past` asks for a form, `tanks` for a piece of that kind). `takes`: what it can
    use. `twice`: kinds that may stand two times; `often`: any number. `rank`: higher wins where two frames read the same clause. `prefers`: the kind
    that a piece is taken as where it could be two ("meter at 12" is a reading, not an hour)."""

    name: str
    cues: tuple[str, ...]
    takes: frozenset[str]
    build: Build
    rank: int = 0
    twice: frozenset[str] = frozenset()
    often: frozenset[str] = frozenset()
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
        for cls, form in _apart(self.cues):  # noqa: SIM110 (asked for every frame of every clause)
            if clause.get(cls) is not None if cls.islower() else clause.word(cls, *form) is not None:
                return True
        return False


@cache
def _apart(cues: tuple[str, ...]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The class or kind of each cue, and the form, if it asks for one."""
    return tuple([(cue.partition(".")[0], tuple(cue.split(".")[1:])) for cue in cues])


FRAMES: list[Frame] = []


def frame(
    name: str, cues: str, takes: str, rank: int = 0, twice: str = "", often: str = "", prefers: str = ""
) -> Callable[[Build], Build]:
    """Enter a frame in the table."""

    def enter(build: Build) -> Build:
        called = tuple(cues.split())
        own = {cue.partition(".")[0] for cue in called} | ALWAYS
        taken = frozenset(takes.split()) | own
        FRAMES.append(
            Frame(name, called, taken, build, rank, frozenset(twice.split()), frozenset(often.split()), prefers)
        )
        return build

    return enter


Read = tuple[int, tuple[Intent, ...]]


Calls = tuple[int, int]


def calls_of(piece: Piece) -> Calls:
    """The frames that take a piece, as far as that does not hang on the frame, and those that it may call up, as bits."""
    takes, cues = _masks()
    able = cued = 0
    for name in piece.toks[0].senses if piece.kind == "word" else (piece.kind, *piece.alt):
        able |= takes.get(name, 0)
        cued |= cues.get(name, 0)
    return able, cued


class Growing:
    """A clause that grows piece by piece: the frames that can still take all of it. A frame that fails once fails for good, so the
    work for a phrase is linear in its length however it is divided. Frames are bits of a number, in the order of FRAMES."""

    __slots__ = ("alive", "clause", "cued", "once", "seen")

    def __init__(self) -> None:
        self.alive = (1 << len(FRAMES)) - 1
        self.cued = 0
        self.seen: dict[str, int] = {}  # the frames that take no more of a kind
        self.once: dict[str, int] = {}  # those that take two, and have one
        self.clause = Clause(())

    def add(self, piece: Piece, calls: Calls) -> bool:
        """Whether any frame can still read the clause with this piece in it. calls: what `calls_of` tells of the piece."""
        self.clause.grow(piece)
        able, cued = calls
        self.cued |= cued
        if piece.kind == "word":
            self.alive &= able
        elif not piece.alt:
            self.alive &= able & ~self.seen.get(piece.kind, 0)
            self._see(piece.kind, able)
        else:
            self._add_doubtful(piece)
        return self.alive != 0

    def _see(self, kind: str, able: int) -> None:
        if kind in ONCE:
            twice, often = _more_than_once()
            pair, once = able & twice.get(kind, 0), self.once.get(kind, 0)
            full = (able & ~twice.get(kind, 0) & ~often.get(kind, 0)) | (pair & once)
            self.seen[kind] = self.seen.get(kind, 0) | full
            self.once[kind] = once | pair

    def _add_doubtful(self, piece: Piece) -> None:
        """A piece that is one thing to one frame and another to the next."""
        able: dict[str, int] = {}
        for place, frame in enumerate(FRAMES):
            if self.alive >> place & 1:
                kind = frame.kind_of(piece)
                if kind is not None:
                    able[kind] = able.get(kind, 0) | 1 << place
        self.alive = 0
        for kind, frames in able.items():
            self.alive |= frames & ~self.seen.get(kind, 0)
            self._see(kind, frames)

    def readings(self) -> list[Read]:
        """All complete readings of the clause as it stands, best first."""
        able = self.alive & self.cued
        if not able:
            return []
        clause, plain = self.clause, _plain()
        found: list[Read] = []
        while able:  # the frames whose bits are set, in order
            bit = able & -able
            frame = FRAMES[bit.bit_length() - 1]
            able ^= bit
            if bit & plain or frame.cued(clause):
                meaning = frame.build(clause.taken_as(frame))
                if meaning is not None:
                    found.append((frame.rank, meaning if isinstance(meaning, tuple) else (meaning,)))
        return sorted(found, key=lambda pair: -pair[0])


@cache
def _masks() -> tuple[dict[str, int], dict[str, int]]:
    """The frames that take a class or kind of piece, and those that it may call up, as bits."""
    takes: dict[str, int] = {}
    cues: dict[str, int] = {}
    for place, frame in enumerate(FRAMES):
        for cls in frame.takes:
            takes[cls] = takes.get(cls, 0) | 1 << place
        for cue in frame.cues:
            cls = cue.partition(".")[0]
            cues[cls] = cues.get(cls, 0) | 1 << place
    return takes, cues


@cache
def _plain() -> int:
    """The frames that a word calls up in any form: those that are called up need not be asked once more."""
    return sum(1 << place for place, frame in enumerate(FRAMES) if not any("." in cue for cue in frame.cues))


@cache
def _more_than_once() -> tuple[dict[str, int], dict[str, int]]:
    """The frames that take two of a kind, and those that take any number."""
    twice: dict[str, int] = {}
    often: dict[str, int] = {}
    for place, frame in enumerate(FRAMES):
        for kinds, found in ((frame.twice, twice), (frame.often, often)):
            for kind in kinds:
                found[kind] = found.get(kind, 0) | 1 << place
    return twice, often
