"""The log as comma-separated values, for a spreadsheet: each event as it counts now, in the order in which things happened.

What was taken back is left out and what was corrected stands corrected; the whole story is in the JSON lines. The form is RFC 4180's
(Y. Shafranovich, "Common Format and MIME Type for CSV Files", 2005): a head line, CRLF, quotes where they are needed; UTF-8. A text
that a spreadsheet would take for a formula gets an apostrophe before it (common practice, no source).
May import: `show`, `say.amounts`, state's entry.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from datetime import datetime
from io import StringIO

from assistant import show
from assistant.say.amounts import UNIT_OF, plain
from state.entry import Entry
from state.lightclass import Any
from state.log.rows import DEFAULTS
from state.units import from_litres

VERSION = 1
"""Rises when a column goes, moves or changes its meaning; new ones are added at the end without it."""

COLUMNS = (
    "date", "time", "utc_offset", "kind", "what", "person", "count", "amount", "unit", "litres", "estimated", "fields", "said", "id",
)  # fmt: skip
WHAT = ("activity", "tank", "meter", "item", "site", "what")
OWN = frozenset(("id", "kind", "at", "heard_at", "heard", "said", "person", "count", "litres", "estimated"))
FORMULA = tuple("=+-@\t\r")


def lines(entries: Iterable[Entry], units: str) -> Iterable[str]:
    """The head line, then a line for each event, without their ends. units: in which `amount` is told beside the litres."""
    yield _line(COLUMNS)
    for entry in entries:
        yield _line(_row(entry, units))


def _row(entry: Entry, units: str) -> list[str]:
    unit, short = UNIT_OF[units]
    litres = entry.get("litres")
    what = next((name for name in WHAT if entry.get(name)), "")
    return [
        f"{entry.at:%Y-%m-%d}",
        f"{entry.at:%H:%M:%S}",
        entry.at.isoformat()[-6:],
        entry.kind,
        _text(entry.get(what, "")),
        _text(entry.get("person")),
        "" if entry.get("count") is None else str(entry.get("count")),
        "" if litres is None else plain(from_litres(litres, unit), 3),
        "" if litres is None else short,
        "" if litres is None else plain(litres, 3),
        "yes" if entry.get("estimated") else "",
        _text(_others(entry, what)),
        _text(entry.heard),
        entry.id,
    ]


def _others(entry: Entry, what: str) -> str:
    """What has no column of its own, as "until=2026-06-14T11:00:00-06:00; water=yes"."""
    usual = DEFAULTS.get(entry.kind, {})
    told = {name: value for name, value in entry.fields().items() if name not in OWN and name != what}
    return "; ".join(f"{name}={_said(value)}" for name, value in sorted(told.items()) if value != usual.get(name))


def _said(value: Any) -> str:
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, float):
        return plain(value, 4)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return " ".join(map(str, value)) if isinstance(value, (list, tuple)) else str(value)


def _text(value: object) -> str:
    """One line of text that no terminal and no spreadsheet obeys."""
    text = show.plain("" if value is None else str(value)).replace("\n", " ")
    return f"'{text}" if text.startswith(FORMULA) else text


def _line(cells: Iterable[str]) -> str:
    out = StringIO()
    csv.writer(out, lineterminator="").writerow(cells)
    return out.getvalue()
