"""The tanks on one line or two: text gauges for the chat's bottom toolbar, from 40 to 200 columns.

A gauge is a rod dipped into the tank: wet as far as water surely stands, damp where it may stand (p10 to p90), dry above. The number is
what counts: what is left of fresh, what still fits into grey and black. A tight tank has a mark and a word, never colour alone.
Knows no terminal: gives rows of (style class, text), which the chat paints and a test reads. May import: `say.amounts`, state's belief.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from assistant.say import amounts
from state.lightclass import dataclass
from state.water.belief import Belief
from state.world import TankKind, World

Fragment = tuple[str, str]
Row = list[Fragment]

TIGHT = 0.15
"""Below this share of its capacity a tank's room gets a mark."""

UNKNOWN = 0.6
"""With more doubt than this part of the capacity a figure would only mislead: a question mark stands for it."""

ORDER: dict[str, int] = {"fresh": 0, "grey": 1, "black": 2}
LONGEST_ROD, SHORTEST_ROD = 24, 4
MOST_ROWS = 3
LONGEST_NAME = 10


@dataclass(frozen=True)
class Glyphs:
    """What wet, damp and dry look like, and the mark of a tight tank."""

    wet: str
    damp: str
    dry: str
    tight: str = "!"


UNICODE = Glyphs("█", "▒", "·")
ASCII = Glyphs("#", "+", ".")


@dataclass(frozen=True)
class Gauge:
    """One tank. low, high: where the water stands with 80 % certainty, as parts of the capacity (0 to 1). number: what is left, or the
    room, in the person's units, without the unit. running_off: its valve is open, so nothing stays in it."""

    name: str
    kind: TankKind
    low: float
    high: float
    number: str
    tight: bool = False
    running_off: bool = False


def gauges_of(belief: Belief, world: World) -> tuple[list[Gauge], str]:
    """A gauge for every tank, fresh first, and the short name of the unit."""
    units = world.rig.units
    found = []
    for tank in sorted(belief.tanks.values(), key=lambda one: ORDER[one.kind]):
        size = max(1e-9, world.rig.tanks[tank.name.casefold()].litres)
        low, high = (min(1.0, max(0.0, tank.level.quantile(p) / size)) for p in (0.1, 0.9))
        told = high - low <= UNKNOWN
        number = amounts.rounded(tank.room.quantile(0.5), units).rsplit(" ", 1)[0] if told else "?"
        tight = told and not tank.flowing and tank.room.quantile(0.5) < TIGHT * size
        found.append(Gauge(tank.name, tank.kind, low, high, number, tight, tank.flowing and tank.kind != "fresh"))
    return found, amounts.UNIT_OF[units][1]


def cells(low: float, high: float, width: int) -> tuple[int, int, int]:
    """How many cells of a rod are wet, damp and dry. low, high: parts of the whole; doubt of half a cell or more shows."""
    low, high = min(max(low, 0.0), 1.0), min(max(high, 0.0), 1.0)
    wet = int(low * width + 1e-9)
    top = max(wet, round(high * width))
    if top == wet and (high - low) * width >= 0.5 and wet < width:
        top = wet + 1
    if top == wet == 0 and high * width > 0.25:
        top = 1
    return wet, top - wet, width - top


def rod(gauge: Gauge, width: int, glyphs: Glyphs) -> Row:
    """The rod alone."""
    wet, damp, dry = cells(gauge.low, gauge.high, width)
    parts = (
        (f"class:rod.{gauge.kind}", glyphs.wet * wet),
        ("class:rod.damp", glyphs.damp * damp),
        ("class:rod.dry", glyphs.dry * dry),
    )
    return [part for part in parts if part[1]]


def rows(gauges: Sequence[Gauge], unit: str, width: int, glyphs: Glyphs = UNICODE, note: str = "") -> list[Row]:
    """The gauges on as few rows as they need, each at most `width` wide: with units and long rods where there is room, then shorter,
    then on more rows, then without rods. `note` (how long it lasts) is added where it fits on the last row."""
    if not gauges:
        return []
    found = next(_fitting(gauges, unit, width, glyphs), None) or _wrapped(gauges, width, glyphs)
    needed = len(note) + 3
    if note and width - length(found[-1]) < needed:  # shorter rods may make room, but not another row
        roomy = (one for one in _fitting(gauges, unit, width, glyphs) if width - length(one[-1]) >= needed)
        other = next(roomy, found)
        found = other if len(other) == len(found) else found
    room = width - length(found[-1])
    if note and room >= needed:
        found[-1] = [*found[-1], ("", " " * (room - len(note))), ("class:note", note)]
    return found


def words(gauges: Sequence[Gauge], unit: str) -> str:
    """The same for a screen reader: "fresh 21 gal left, grey room for 9 gal, tight, black runs off"."""
    return ", ".join(_spoken(one, unit) for one in gauges)


def length(row: Row) -> int:
    return sum(len(text) for _, text in row)


def _spoken(gauge: Gauge, unit: str) -> str:
    if gauge.running_off:
        return f"{gauge.name} runs off"
    if gauge.number == "?":
        return f"{gauge.name} not known"
    text = f"{gauge.number} {unit} left" if gauge.kind == "fresh" else f"room for {gauge.number} {unit}"
    return f"{gauge.name} {text}{', tight' if gauge.tight else ''}"


def _fitting(gauges: Sequence[Gauge], unit: str, width: int, glyphs: Glyphs) -> Iterator[list[Row]]:
    """Layouts that fit, the best first: few rows before long rods, units before none."""
    for count in range(1, min(MOST_ROWS, len(gauges)) + 1):
        shares = _shared_out(gauges, count)
        for own_unit in (unit, ""):
            for size in range(LONGEST_ROD, (7 if own_unit else SHORTEST_ROD) - 1, -1):
                made = [_row(share, own_unit, size, glyphs) for share in shares]
                if not own_unit:
                    made[-1].append(("class:unit", f"  {unit}"))
                if all(length(row) <= width for row in made):
                    yield made


def _shared_out(gauges: Sequence[Gauge], count: int) -> list[Sequence[Gauge]]:
    """The gauges on `count` rows, the first rows the fuller ones."""
    each = -(-len(gauges) // count)
    return [gauges[at : at + each] for at in range(0, len(gauges), each)]


def _row(gauges: Sequence[Gauge], unit: str, size: int, glyphs: Glyphs) -> Row:
    row: Row = []
    for gauge in gauges:
        if row:
            row.append(("", "   " if unit else "  "))
        row += _one(gauge, unit, size, glyphs)
    return row


def _one(gauge: Gauge, unit: str, size: int, glyphs: Glyphs) -> Row:
    name: Fragment = ("class:name", f"{_short(gauge.name)} ")
    if gauge.running_off:
        return [name, ("class:figure", "runs off")]
    return [name, *rod(gauge, size, glyphs), ("", " "), _figure(gauge, unit, glyphs)]


def _figure(gauge: Gauge, unit: str, glyphs: Glyphs) -> Fragment:
    number = f"{gauge.number} {unit}" if unit and gauge.number != "?" else gauge.number
    text = f"{number} left" if gauge.kind == "fresh" else f"room {number}"
    return (f"class:figure{'.tight' if gauge.tight else ''}", f"{text}{glyphs.tight if gauge.tight else ''}")


def _wrapped(gauges: Sequence[Gauge], width: int, glyphs: Glyphs) -> list[Row]:
    """Without rods, as many to a row as fit; what is too long even so is cut."""
    made: list[Row] = []
    for gauge in gauges:
        if gauge.running_off:
            own: Row = [("class:name", f"{_short(gauge.name)} "), ("class:figure", "runs off")]
        else:
            own = [("class:name", f"{_short(gauge.name)} "), _figure(gauge, "", glyphs)]
        if made and length(made[-1]) + 2 + length(own) <= width:
            made[-1] = [*made[-1], ("", "  "), *own]
        else:
            made.append(_cut(own, width))
    return made


def _cut(row: Row, width: int) -> Row:
    kept: Row = []
    for style, text in row:
        left = width - length(kept)
        if left > 0:
            kept.append((style, text[:left]))
    return kept


def _short(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}."
