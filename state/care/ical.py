"""Due dates as an iCalendar file (RFC 5545), for any calendar program. Pure text; no library.

May import: the standard library only.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta

from state.lightclass import dataclass

LINE_OCTETS = 75


@dataclass(frozen=True)
class Entry:
    """An all-day entry. `key`: what it is, the same at every export, so that a calendar replaces the old entry."""

    key: str
    day: date
    summary: str
    description: str = ""


def calendar(entries: Iterable[Entry], now: datetime, name: str = "Ullage: due") -> str:
    """The whole file, lines ended by CR LF and folded at 75 octets."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//Ullage//due//EN",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        f"X-WR-CALNAME:{escaped(name)}",
    ]
    stamp = now.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
    for entry in entries:
        lines += _event(entry, stamp)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded(line)}\r\n" for line in lines)


def _event(entry: Entry, stamp: str) -> list[str]:
    lines = [
        "BEGIN:VEVENT",
        f"UID:{_uid(entry.key)}",
        f"DTSTAMP:{stamp}",
        f"DTSTART;VALUE=DATE:{entry.day:%Y%m%d}",
        f"DTEND;VALUE=DATE:{entry.day + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{escaped(entry.summary)}",
    ]
    if entry.description:
        lines.append(f"DESCRIPTION:{escaped(entry.description)}")
    return [*lines, "TRANSP:TRANSPARENT", "END:VEVENT"]


def _uid(key: str) -> str:
    """Letters and digits of the key; everything else by its code, so that two keys never share an id."""
    return "".join(c if c.isascii() and c.isalnum() else f"-{ord(c):x}-" for c in key.casefold()) + "@ullage"


def escaped(text: str) -> str:
    """RFC 5545 section 3.3.11: backslash, semicolon, comma and line ends; other control characters dropped."""
    text = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")
    return "".join(c for c in text if c == "\t" or (ord(c) >= 32 and ord(c) != 127))


def folded(line: str) -> str:
    """RFC 5545 section 3.1: at most 75 octets a line, never inside a character."""
    parts: list[str] = []
    current, size, room = "", 0, LINE_OCTETS
    for c in line:
        octets = len(c.encode())
        if size + octets > room:
            parts.append(current)
            current, size, room = "", 0, LINE_OCTETS - 1  # the blank that opens a continued line counts
        current, size = current + c, size + octets
    return "\r\n ".join([*parts, current])
