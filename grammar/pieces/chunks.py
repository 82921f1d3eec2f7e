"""Tokens into the pieces of a phrase: at each place the longest one that phrases.lark accepts, else the single token.

The parser is the table that lark makes of phrases.lark, prepared in prepared.json (see prepare.py); lark itself is not loaded.
May import: piece_meanings, prepared, intents, when, tokens.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from grammar.hearing.tokens import Tok
from grammar.intents import Amount
from grammar.lightclass import Any, dataclass, field, replace
from grammar.pieces.piece_meanings import Fed, Meaning, NoPiece
from grammar.prepared import prepared
from grammar.when import When

STARTS = ("tanks", "people", "counted", "every", "between", "since", "until", "when", "repeat", "duration", "amount")
LONGEST_PIECE = 24
END = "$END"


@dataclass(frozen=True)
class Piece:
    """A piece of a phrase: `kind` is a start rule or `word`; `value` what it means; `alt`: other pieces that its tokens could be."""

    kind: str
    value: Any
    toks: tuple[Tok, ...]
    alt: dict[str, Any] = field(default_factory=dict)

    def __init__(
        self, kind: str, value: Any, toks: tuple[Tok, ...], alt: dict[str, Any] | None = None
    ) -> None:  # written out: a phrase makes many of them
        own = self.__dict__
        own["kind"], own["value"], own["toks"], own["alt"] = kind, value, toks, alt if alt is not None else {}

    @property
    def start(self) -> int:
        return self.toks[0].start

    @property
    def end(self) -> int:
        return self.toks[-1].end

    def has(self, *classes: str) -> bool:
        if self.kind == "word":
            senses = self.toks[0].senses
            for cls in classes:
                if cls in senses:
                    return True
        return False

    def taken_as(self, kind: str | None) -> Piece:
        """The piece read as this kind and no other."""
        if not self.alt or kind is None:
            return self
        return Piece(kind, self.value if kind == self.kind else self.alt[kind], self.toks)


class Spliced(list[Any]):
    """The values of a helper rule ("bit+"), which go in among those of the rule that uses it."""


class Parser:
    """Shift and reduce by the prepared table. A state's row tells for each class: n ≥ 0, go to that state; n < 0, reduce by rule -n - 1.

    A parse is two lists, of states and of values; nothing of it is shared, so that one can be finished while another goes on."""

    def __init__(self) -> None:
        found = prepared()
        self.rows, self.starts, self.ends = found.rows, found.starts, found.ends
        meaning = Meaning()
        self.rules: list[tuple[str, int, Callable[[list[Any]], Any]]] = [
            (origin, size, _maker(meaning, origin, name, single)) for origin, size, name, single in found.rules
        ]
        self.first: dict[str, list[str]] = {}
        for start in STARTS:
            for cls in self.rows[self.starts[start]]:
                self.first.setdefault(cls, []).append(start)
        self.classes = found.classes

    def begun_by(self, kinds: tuple[str, ...]) -> Sequence[str]:
        """The start rules that a token of these classes may begin."""
        if len(kinds) < 2:
            return self.first.get(kinds[0], ()) if kinds else ()
        able = set[str]().union(*[self.first.get(cls, ()) for cls in kinds])
        return [start for start in STARTS if start in able] if able else ()

    def feed(self, states: list[int], values: list[Any], kind: str, value: Any, end: int = -1) -> bool:
        """Takes one token; True if it was the last of a whole parse that ends in state `end`. Raises NoPiece where the meaning fails."""
        while True:
            step = self.rows[states[-1]].get(kind)
            if step is None:  # the row allowed a reduction after which this token does not fit
                raise NoPiece
            if step >= 0:
                states.append(step)
                values.append(value)
                return False
            origin, size, make = self.rules[-step - 1]
            items: list[Any] = []
            for one in values[len(values) - size :] if size else ():
                if isinstance(one, Spliced):
                    items.extend(one)
                else:
                    items.append(one)
            if size:
                del states[-size:], values[-size:]
            values.append(make(items))
            states.append(self.rows[states[-1]][origin])
            if kind == END and states[-1] == end:
                return True

    def longest(self, start: str, toks: Sequence[Tok], kinds: Sequence[tuple[str, ...]], i: int) -> tuple[Any, int]:
        """The value of the longest run of tokens from `i` that `start` accepts, and its end; None if there is none."""
        states, values = [self.starts[start]], list[Any]()
        best: tuple[Any, int] = (None, i)
        for j in range(i, min(len(toks), i + LONGEST_PIECE)):
            row = self.rows[states[-1]]
            for kind in kinds[j]:
                if kind in row:
                    break
            else:
                break
            try:
                self.feed(states, values, kind, Fed(kind, toks[j]))
            except NoPiece:
                break
            if END in self.rows[states[-1]]:
                whole, made = states[:], values[:]
                try:
                    if self.feed(whole, made, END, None, self.ends[start]) and not _runs_on(start, toks, j):
                        best = made[-1], j + 1
                except NoPiece:
                    continue
        return best


def _runs_on(start: str, toks: Sequence[Tok], j: int) -> bool:
    """ "yesterday around 2 gallons": a number with a unit after it is no hour."""
    return (
        start in ("when", "until", "since")
        and toks[j].has("NUMBER")
        and not toks[j].has("ORD", "DAY")
        and j + 1 < len(toks)
        and toks[j + 1].has("UNIT", "RATEUNIT", "ACTS", "TIMEUNIT")
    )


def _maker(meaning: Meaning, origin: str, name: str, single: bool) -> Callable[[list[Any]], Any]:
    """What makes the value of a rule: its method, the one thing in it, or its values for the rule that uses it."""
    if origin.startswith("_"):
        return Spliced
    method: Callable[[list[Any]], Any] | None = getattr(meaning, name, None)
    if not single:
        assert method is not None, name
        return method
    return lambda items: items[0] if len(items) == 1 else method(items) if method else items


_made: list[Parser] = []


def parser() -> Parser:
    """The parser, made once."""
    if not _made:
        _made.append(Parser())
    return _made[0]


def pieces(toks: Sequence[Tok], said: str) -> list[Piece]:
    """The tokens as pieces, each the longest that any start rule accepts at its place."""
    classes = parser().classes
    found: list[Piece] = []
    kinds = [tuple(cls for cls in tok.senses if cls in classes) for tok in toks]
    i = 0
    while i < len(toks):
        piece = _piece_at(toks, kinds, i, said)
        found.append(piece)
        i += len(piece.toks)
    return found


def _piece_at(toks: Sequence[Tok], kinds: Sequence[tuple[str, ...]], i: int, said: str) -> Piece:
    best: list[tuple[str, Any]] = []
    end = i + 1
    table = parser()
    for start in table.begun_by(kinds[i]):
        value, j = table.longest(start, toks, kinds, i)
        if value is not None and j > end:
            best, end = [], j
        if value is not None and j == end:
            best.append((start, value))
    taken = tuple(toks[i:end])
    best = [
        (kind, value)
        for kind, value in best
        if not _bare_order(kind, taken, toks[i - 1].text if i else "on" if len(toks) == 1 else "")
    ]
    if not best:
        return Piece("word", None, taken[:1])
    text = said[taken[0].start : taken[-1].end]
    named = [(kind, replace(value, text=text) if isinstance(value, When | Amount) else value) for kind, value in best]
    return Piece(named[0][0], named[0][1], taken, dict(named[1:]))


_TO_A_DAY = [
    [word]
    for word in (
        "guests",
        "visitors",
        "friends",
        "people",
        "coming",
        "arriving",
        "away",
        "gone",
        "off",
        "back",
        "till",
        "until",
        "til",
        "thru",
        "through",
        "by",
        "on",
        "it",
        "for",
        "about",
        "out",
        "leave",
        "leaving",
    )
]


def _bare_order(kind: str, taken: Sequence[Tok], before: str) -> bool:
    """ "second" alone is more often "a second tank" than a date; "may" alone is no month, but "ok till sat" names a day."""
    if kind != "when" or len(taken) > 1 or before.split()[-1:] in _TO_A_DAY:
        return False
    only = taken[0]
    early = only.has("ORD") and (only.ordinal or 9) < 5 and not only.text[0].isdigit()
    return early or only.text in ("may", "march", "sun", "sat")
