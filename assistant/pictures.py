"""Pictures drawn in text: the tanks, their forecast, a week's use; made to read well in 60 columns, and still in 40.

A picture is plain data (what `answers/show.py` puts into `facts.picture`, litres throughout); `text` draws it for a width, with block
characters or in plain ASCII. `svg.py` draws the same data as a vector picture. Nothing is told by colour: wet, doubtful and dry have
characters of their own, activities their letters. May import: `gauges`, `say.amounts`, `state.units`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from assistant.gauges import ASCII, UNICODE, cells
from assistant.say.amounts import UNIT_OF, plain
from state.lightclass import Any
from state.units import from_litres

Picture = Mapping[str, Any]

NARROWEST, WIDEST = 30, 72
FAN_ROWS = 8
DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def text(picture: Picture, width: int = 60, unicode: bool = True) -> str:
    """The picture drawn with lines of at most `width` characters (from 30 on; wider than 72 is not used)."""
    width = min(max(width, NARROWEST), WIDEST)
    lines = DRAWN[picture["what"]](picture, width, unicode)
    return "\n".join(line.rstrip() for line in lines)


def value(litres: float, units: str) -> float:
    """Litres in the units that the person uses."""
    return from_litres(litres, UNIT_OF[units][0])


def nice_step(top: float, most: int) -> float:
    """The smallest of 1, 2, 5, 10, 20, 25, 50 … that needs at most `most` steps up to `top`. [same unit as top]"""
    scale = 1.0
    while True:
        for step in (1.0, 2.0, 2.5, 5.0):
            if (step != 2.5 or scale >= 10) and top / (step * scale) <= most:
                return step * scale
        scale *= 10.0


# ---------------------------------------------------------------- the tanks


def _tanks(picture: Picture, width: int, unicode: bool) -> list[str]:
    glyphs = UNICODE if unicode else ASCII
    lines = _folded(str(picture["title"]), width)
    for tank in picture["tanks"]:
        lines += ["", *_folded(f"{tank['name'].capitalize()}: {tank['said']}", width)]
        if not tank["drawn"]:
            continue
        size = max(tank["capacity_litres"], 1e-9)
        wet, damp, dry = cells(tank["level_litres"]["p10"] / size, tank["level_litres"]["p90"] / size, width)
        lines.append(glyphs.wet * wet + glyphs.damp * damp + glyphs.dry * dry)
        lines.append(scale(value(size, picture["units"]), width, UNIT_OF[picture["units"]][1]))
    key = [f"{glyphs.wet} water", f"{glyphs.damp} maybe water", f"{glyphs.dry} none"]
    return [*lines, "", *_legend(key, width)] if _any_drawn(picture) else lines


def _any_drawn(picture: Picture) -> bool:
    return any(tank["drawn"] for tank in picture["tanks"])


def scale(top: float, width: int, unit: str) -> str:
    """Figures under a rod, each beginning at its place, the unit after the last: "0      10      20      30   40 gal"."""
    last = f"{plain(top, 0)} {unit}"
    row = [" "] * width
    row[width - len(last) :] = last
    step = nice_step(top, max(2, width // 12))
    at = 0.0
    while at < top:
        figure, place = plain(at), round(at / top * width)
        if place + len(figure) + 2 <= width - len(last):
            row[place : place + len(figure)] = figure
        at += step
    return "".join(row)


def _folded(words: str, width: int) -> list[str]:
    lines: list[str] = []
    for word in words.split():
        if lines and len(lines[-1]) + 1 + len(word) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


# ---------------------------------------------------------------- the forecast


def _forecast(picture: Picture, width: int, unicode: bool) -> list[str]:
    lines = _folded(str(picture["title"]), width)
    for tank in picture["tanks"]:
        chance = f" ({tank['odds']})" if tank["odds"] else ""
        lines += ["", *_folded(f"{tank['name'].capitalize()}: {tank['said']}{chance}", width)]
        if tank["drawn"]:
            lines += _fan(tank, picture, width, unicode)
    damp, middles = FAN[unicode][:2]
    if not _any_drawn(picture):
        return lines
    return [*lines, "", *_legend([f"{middles[1]} most likely", f"{damp} likely, 8 in 10"], width)]


FAN = {True: ("░", "▔━▁", "┆", "│"), False: (":", "'-_", "|", "|")}
"""Band, the median high, midway and low in its row, the end of the stay, the edge."""


def _fan(tank: Mapping[str, Any], picture: Picture, width: int, unicode: bool) -> list[str]:
    """The level over time: a band from p10 to p90, the median in it, the end of the stay as an upright line."""
    damp, middles, upright, edge = FAN[unicode]
    top = max(tank["capacity_litres"], 1e-9)
    margin = 6
    columns = width - margin
    grid = [[" "] * columns for _ in range(FAN_ROWS)]
    end = place_of(picture["stay_until"], picture, columns) if picture["stay_until"] is not None else None
    for column in range(columns):
        if column == end:
            for row in grid:
                row[column] = upright
        low, mid, high = (_at(tank["path"][name], column / max(1, columns - 1)) for name in ("p10", "p50", "p90"))
        for at in range(_row(high, top), _row(low, top) + 1):
            if column != end:
                grid[at][column] = damp
        grid[_row(mid, top)][column] = middles[_third(mid, top)]
    labels = [""] * FAN_ROWS
    labels[0], labels[-1] = plain(value(top, picture["units"]), 0), "0"
    labels[FAN_ROWS // 2] = UNIT_OF[picture["units"]][1]
    rows = [f"{label:>{margin - 2}} {edge}{''.join(row)}" for label, row in zip(labels, grid, strict=True)]
    return [*rows, " " * margin + _days(picture, columns)]


def _row(litres: float, top: float) -> int:
    """The row of a level, 0 at the top."""
    part = min(1.0, max(0.0, litres / top))
    return min(FAN_ROWS - 1, int((1.0 - part) * FAN_ROWS))


def _third(litres: float, top: float) -> int:
    """Where in its row a level lies: 0 high, 1 midway, 2 low."""
    place = (1.0 - min(1.0, max(0.0, litres / top))) * FAN_ROWS - _row(litres, top)
    return min(2, max(0, int(place * 3)))


def _at(path: Sequence[float], part: float) -> float:
    """A path sampled evenly, read at a part (0 to 1) of its length."""
    place = part * (len(path) - 1)
    i = min(int(place), len(path) - 2)
    return path[i] + (place - i) * (path[i + 1] - path[i])


def place_of(at: datetime, picture: Picture, columns: int) -> int:
    """The column in which a moment lies, the first for `from` and the last for `until` of the picture."""
    whole = (picture["until"] - picture["from"]).total_seconds()
    return int((at - picture["from"]).total_seconds() / whole * (columns - 1) + 0.5)


def midnights(picture: Picture) -> list[datetime]:
    """Every midnight within the picture, where the rig is."""
    at = picture["from"].replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    found = []
    while at < picture["until"]:
        found.append(at)
        at += timedelta(days=1)
    return found


def _days(picture: Picture, columns: int) -> str:
    """The days' names, each from its midnight on, with the date where a week would make them ambiguous; some left out where it is tight."""
    nights = midnights(picture)
    long = len(nights) > 6
    each = 7 if long else 4
    every = max(1, -(-len(nights) * each // columns))
    row = [" "] * (columns + 8)
    if not nights or place_of(nights[0], picture, columns) > 3:
        row[0:3] = "now"
    for n, at in enumerate(nights):
        place = place_of(at, picture, columns)
        name = f"{DAY_NAMES[at.weekday()]} {at.day}" if long else DAY_NAMES[at.weekday()]
        if n % every == 0 and place + len(name) <= columns:
            row[place : place + len(name)] = name
    return "".join(row)[:columns]


# ---------------------------------------------------------------- the week


def _week(picture: Picture, width: int, unicode: bool) -> list[str]:
    units = picture["units"]
    letters = letters_of([name for day in picture["days"] for name in day["activities"]])
    rest = "░" if unicode else "-"
    most = max((day["litres"] for day in picture["days"]), default=0.0)
    figures = [figure(day["litres"], units) for day in picture["days"]]
    names = [day["name"] for day in picture["days"]]
    margin = max(map(len, names)) + 1
    room = width - margin - max(map(len, figures)) - 1
    lines = [*_folded(str(picture["title"]), width), ""]
    for day, name, number in zip(picture["days"], names, figures, strict=True):
        parts = [(letters[key], litres) for key, litres in day["activities"].items()] + [(rest, day["unlogged_litres"])]
        bar = shares(parts, round(day["litres"] / most * room) if most > 0 else 0)
        lines.append(f"{name:<{margin}}{bar} {number}" if bar else f"{name:<{margin}}{number}")
    totals: dict[str, float] = {}
    for day in picture["days"]:
        for key, litres in day["activities"].items():
            totals[key] = totals.get(key, 0.0) + litres
    legend = [
        f"{letters[key]} {key} {figure(litres, units)}"
        for key, litres in sorted(totals.items(), key=lambda item: -item[1])
    ]
    unlogged = sum(day["unlogged_litres"] for day in picture["days"])
    if unlogged > 0.02 * max(sum(day["litres"] for day in picture["days"]), 1e-9):
        legend.append(f"{rest} not logged {figure(unlogged, units)}")
    return [*lines, "", *_legend(legend, width)]


def figure(litres: float, units: str) -> str:
    """A sum as a bare number: whole from 10 on, to a half from 1 on, else to a quarter."""
    number = value(litres, units)
    steps = 1 if number >= 10 else 2 if number >= 1 else 4
    return plain(round(number * steps) / steps)


def letters_of(activities: Sequence[str]) -> dict[str, str]:
    """A letter for each activity: its first that is still free, else a figure; the same whatever the order."""
    found: dict[str, str] = {}
    for name in sorted(set(activities)):
        free = (letter for letter in f"{name.casefold()}123456789" if letter.isalnum() and letter not in found.values())
        found[name] = next(free, "*")
    return found


def shares(parts: Sequence[tuple[str, float]], length: int) -> str:
    """A bar of `length` characters shared out by size, by largest remainders, so that it is neither longer nor shorter."""
    whole = sum(size for _, size in parts)
    if whole <= 0 or length <= 0:
        return ""
    exact = [size / whole * length for _, size in parts]
    counts = [int(one) for one in exact]
    by_rest = sorted(range(len(parts)), key=lambda i: (counts[i] - exact[i], i))
    for i in by_rest[: length - sum(counts)]:
        counts[i] += 1
    return "".join(letter * count for (letter, _), count in zip(parts, counts, strict=True))


def _legend(entries: Sequence[str], width: int) -> list[str]:
    lines: list[str] = []
    for entry in entries:
        if lines and len(lines[-1]) + 3 + len(entry) <= width:
            lines[-1] += f"   {entry}"
        else:
            lines.append(entry)
    return lines


DRAWN = {"tanks": _tanks, "forecast": _forecast, "week": _week}
