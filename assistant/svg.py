"""The same pictures as clean vector drawings, to send to somebody: SVG 1.1 text, no script, no outside reference, no fonts of its own.

The water's colour says which tank it is, hatching where it is not sure, words and figures say both again. Every name is escaped.
May import: `pictures`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from assistant.pictures import DAY_NAMES, Picture, figure, midnights, nice_step, value
from assistant.say.amounts import UNIT_OF, plain
from state.lightclass import Any

WIDTH = 640
EDGE = 32
INK, PALE, PAPER = "#22303c", "#8795a1", "#fbfaf6"
WATER = {"fresh": "#2a7f9e", "grey": "#7a7468", "black": "#4a3b46"}
# Eight colours of differing lightness, so that a print without colour still tells neighbours apart; the words stand beside each.
ACTIVITY = ("#2a7f9e", "#d9a441", "#5b8c5a", "#b5563c", "#6d6a9c", "#c9c2a5", "#8c4a6b", "#3d4f5c")


def drawing(picture: Picture) -> str:
    """The picture as an SVG document."""
    body, height = DRAWN[picture["what"]](picture)
    title = escape(str(picture["title"]))
    return "\n".join([
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}" height="{height}" role="img">',
        f"<title>{title}</title>",
        f"<desc>{escape(_description(picture))}</desc>",
        "<defs>",
        *(_hatch(kind, colour) for kind, colour in WATER.items()),
        _hatch("unlogged", PALE),
        "</defs>",
        f'<rect width="{WIDTH}" height="{height}" fill="{PAPER}"/>',
        '<g font-family="Georgia, \'Times New Roman\', serif" font-size="15">',
        _text(EDGE, 40, str(picture["title"]), size=20),
        *body,
        "</g>",
        "</svg>",
        "",
    ])  # fmt: skip


def _description(picture: Picture) -> str:
    if picture["what"] == "week":
        return str(picture["said"])
    return ". ".join(f"{tank['name']}: {tank['said']}" for tank in picture["tanks"])


def _hatch(name: str, colour: str) -> str:
    return (
        f'<pattern id="hatch-{name}" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
        f'<rect width="7" height="7" fill="{colour}" fill-opacity="0.14"/>'
        f'<line x1="0" y1="0" x2="0" y2="7" stroke="{colour}" stroke-width="2.6"/></pattern>'
    )


def _text(x: float, y: float, words: str, size: int = 15, colour: str = INK, anchor: str = "start") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="{colour}" text-anchor="{anchor}">{escape(words)}</text>'


def _box(x: float, y: float, width: float, height: float, fill: str, more: str = "") -> str:
    return f'<rect x="{x:.1f}" y="{y:.1f}" width="{max(0.0, width):.1f}" height="{max(0.0, height):.1f}" fill="{fill}"{more}/>'


def _line(x1: float, y1: float, x2: float, y2: float, colour: str = INK, more: str = "") -> str:
    return f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{colour}"{more}/>'


# ---------------------------------------------------------------- the tanks


def _tanks(picture: Picture) -> tuple[list[str], int]:
    """A long trough for each tank, with a scale in the person's units under it."""
    body, y = [], 84
    for tank in picture["tanks"]:
        body.append(_text(EDGE, y, tank["name"], size=17))
        body.append(_text(WIDTH - EDGE, y, tank["said"], anchor="end"))
        y += 12
        if tank["drawn"]:
            body += _trough(tank, picture["units"], y)
            y += 58
        y += 34
    body += [
        *_key(y, "water for certain", "maybe water"),
        _line(EDGE + 400, y - 14, EDGE + 400, y + 4, INK, ' stroke-width="2"'),
    ]
    body.append(_text(EDGE + 412, y, "most likely level", 13))
    return body, y + 32


def _trough(tank: Mapping[str, Any], units: str, y: float) -> list[str]:
    size, width = max(tank["capacity_litres"], 1e-9), WIDTH - 2 * EDGE
    low, mid, high = (EDGE + min(1.0, tank["level_litres"][name] / size) * width for name in ("p10", "p50", "p90"))
    kind = tank["kind"]
    parts = [
        _box(EDGE, y, width, 34, "#ffffff"),
        _box(EDGE, y, low - EDGE, 34, WATER[kind]),
        _box(low, y, high - low, 34, f"url(#hatch-{kind})"),
        _line(mid, y - 4, mid, y + 38, INK, ' stroke-width="2"'),
        _box(EDGE, y, width, 34, "none", f' stroke="{INK}" stroke-width="1.5" rx="3"'),
    ]
    top = value(size, units)
    step, at = nice_step(top, 6), 0.0
    while at < top - 0.45 * step:
        parts += [
            _line(x := EDGE + at / top * width, y + 34, x, y + 40),
            _text(x, y + 55, plain(at), 12, PALE, "middle" if at else "start"),
        ]
        at += step
    parts.append(_text(WIDTH - EDGE, y + 55, f"{plain(top, 1)} {UNIT_OF[units][1]}", 12, PALE, "end"))
    return parts


def _key(y: float, sure: str, doubtful: str) -> list[str]:
    return [
        _box(EDGE, y - 12, 22, 14, INK, ' fill-opacity="0.75"'), _text(EDGE + 30, y, sure, 13),
        _box(EDGE + 180, y - 12, 22, 14, "url(#hatch-unlogged)"), _text(EDGE + 210, y, f"{doubtful} (8 in 10)", 13),
    ]  # fmt: skip


# ---------------------------------------------------------------- the forecast

FAN_HEIGHT = 120
FAN_LEFT = EDGE + 40


def _forecast(picture: Picture) -> tuple[list[str], int]:
    body, y = [], 84
    for tank in picture["tanks"]:
        body.append(_text(EDGE, y, tank["name"], size=17))
        body.append(_text(WIDTH - EDGE, y, tank["odds"], 14, anchor="end"))
        y += 20
        body.append(_text(EDGE, y, tank["said"], 14))
        y += 26
        if tank["drawn"]:
            body += _fan(tank, picture, y)
            y += FAN_HEIGHT + 26
        y += 34
    body += [
        _line(EDGE, y - 5, EDGE + 22, y - 5, INK, ' stroke-width="3"'),
        *_key(y, "most likely level", "likely band")[1:],
    ]
    return body, y + 32


def _fan(tank: Mapping[str, Any], picture: Picture, y: float) -> list[str]:
    size, units, kind = max(tank["capacity_litres"], 1e-9), picture["units"], tank["kind"]
    width = WIDTH - EDGE - FAN_LEFT

    def points(name: str) -> list[tuple[float, float]]:
        path: Sequence[float] = tank["path"][name]
        return [
            (FAN_LEFT + n / (len(path) - 1) * width, y + FAN_HEIGHT * (1.0 - min(1.0, max(0.0, litres / size))))
            for n, litres in enumerate(path)
        ]

    band = " ".join(f"{a:.1f},{b:.1f}" for a, b in [*points("p90"), *reversed(points("p10"))])
    middle = " ".join(f"{a:.1f},{b:.1f}" for a, b in points("p50"))
    parts = [
        _box(FAN_LEFT, y, width, FAN_HEIGHT, "#ffffff", f' stroke="{INK}" stroke-width="1"'),
        f'<polygon points="{band}" fill="url(#hatch-{kind})"/>',
        f'<polyline points="{middle}" fill="none" stroke="{WATER[kind]}" stroke-width="3"/>',
        _text(FAN_LEFT - 6, y + 11, f"{plain(value(size, units), 1)}", 12, PALE, "end"),
        _text(FAN_LEFT - 6, y + FAN_HEIGHT, "0", 12, PALE, "end"),
        _text(FAN_LEFT - 6, y + FAN_HEIGHT / 2 + 4, UNIT_OF[units][1], 12, PALE, "end"),
    ]
    whole = (picture["until"] - picture["from"]).total_seconds()
    nights = midnights(picture)
    every = max(1, -(-len(nights) // 10))
    for n, at in enumerate(nights):
        x = FAN_LEFT + (at - picture["from"]).total_seconds() / whole * width
        parts.append(_line(x, y + FAN_HEIGHT, x, y + FAN_HEIGHT + 5, PALE))
        if n % every == 0 and x < WIDTH - EDGE - 20:
            parts.append(_text(x + 3, y + FAN_HEIGHT + 16, f"{DAY_NAMES[at.weekday()]} {at.day}", 12, PALE))
    if picture["stay_until"] is not None:
        x = FAN_LEFT + (picture["stay_until"] - picture["from"]).total_seconds() / whole * width
        parts += [
            _line(x, y - 4, x, y + FAN_HEIGHT, INK, ' stroke-width="1.5" stroke-dasharray="5 4"'),
            _text(x, y - 8, "we leave", 12, anchor="middle"),
        ]
    return parts


# ---------------------------------------------------------------- the week


def _week(picture: Picture) -> tuple[list[str], int]:
    units, days = picture["units"], picture["days"]
    totals: dict[str, float] = {}
    for day in days:
        for name, litres in day["activities"].items():
            totals[name] = totals.get(name, 0.0) + litres
    names = sorted(totals, key=lambda name: (-totals[name], name))
    fills = {name: ACTIVITY[n % len(ACTIVITY)] for n, name in enumerate(names)}
    most = max((day["litres"] for day in days), default=0.0) or 1.0
    left, room, y = EDGE + 48, WIDTH - 2 * EDGE - 48 - 44, 66
    body = []
    for day in days:
        body.append(_text(EDGE, y + 20, day["name"]))
        x: float = left
        parts = [(fills[name], day["activities"].get(name, 0.0)) for name in names]
        for fill, litres in [*parts, ("url(#hatch-unlogged)", day["unlogged_litres"])]:
            wide = litres / most * room
            if wide > 0:
                body.append(_box(x, y, wide, 28, fill, f' stroke="{PAPER}" stroke-width="1"'))
            x += wide
        body.append(_text(x + 8, y + 20, figure(day["litres"], units)))
        y += 38
    y += 18
    unlogged = sum(day["unlogged_litres"] for day in days)
    key = [(fills[name], f"{name} {figure(totals[name], units)}") for name in names]
    key += [("url(#hatch-unlogged)", f"not logged {figure(unlogged, units)}")] if unlogged > 0 else []
    for n, (fill, words) in enumerate(key):
        x, row = EDGE + n % 3 * 196, n // 3
        body += [_box(x, y + row * 26 - 12, 22, 14, fill), _text(x + 30, y + row * 26, words, 14)]
    return body, y + (len(key) + 2) // 3 * 26 + 16


DRAWN = {"tanks": _tanks, "forecast": _forecast, "week": _week}
