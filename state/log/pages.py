"""Rows read straight from the pages of a SQLite file, for one whose own order is broken. No SQL, nothing is written.

Every leaf page of a table is looked at on its own, wherever it hangs; what cannot be read is passed over. The journal beside the file
counts up to its last complete transaction. Format: sqlite.org, "Database File Format" (from memory; checked against sqlite3 in the
tests). May import: the standard library only.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping

Row = tuple[int, list[object]]
LEAF, USUAL = 13, 4096


def rows(file: bytes, journal: bytes = b"") -> Iterator[Row]:
    """(rowid, values) of every row found in a leaf page of a table; the same row may come more than once."""
    size = page_size(file, journal)
    stored = {number + 1: file[at : at + size] for number, at in enumerate(range(0, len(file) - size + 1, size))}
    later = _frames(journal, size)
    latest = {**stored, **later}
    for number, page in [*later.items(), *stored.items()]:
        yield from _leaf(page, 100 if number == 1 else 0, latest)


def page_size(file: bytes, journal: bytes = b"") -> int:
    """The size of a page as the file says, else as its journal says, else the usual one."""
    told = struct.unpack(">H", file[16:18])[0] if len(file) >= 18 and file.startswith(b"SQLite format 3\0") else 0
    told = 65536 if told == 1 else told
    if told in (512 << step for step in range(8)):
        return int(told)
    if len(journal) >= 32:
        told = struct.unpack(">I", journal[8:12])[0]
        if told in (512 << step for step in range(8)):
            return int(told)
    return USUAL


def _frames(journal: bytes, size: int) -> dict[int, bytes]:
    """The latest page of each number in the journal, up to its last complete transaction."""
    done: dict[int, bytes] = {}
    waiting: dict[int, bytes] = {}
    salt = journal[16:24]
    for at in range(32, len(journal) - size - 23, size + 24):
        number, closing = struct.unpack(">II", journal[at : at + 8])
        if journal[at + 8 : at + 16] != salt:
            break
        waiting[number] = journal[at + 24 : at + 24 + size]
        if closing:
            done.update(waiting)
            waiting = {}
    return done


def _leaf(page: bytes, start: int, pages: Mapping[int, bytes]) -> Iterator[Row]:
    if len(page) < start + 8 or page[start] != LEAF:
        return
    cells = struct.unpack(">H", page[start + 3 : start + 5])[0]
    for place in range(min(cells, len(page) // 4)):
        at = start + 8 + 2 * place
        try:
            (cell,) = struct.unpack(">H", page[at : at + 2])
            yield _cell(page, cell, pages)
        except (struct.error, IndexError, ValueError, KeyError):
            continue


def _cell(page: bytes, at: int, pages: Mapping[int, bytes]) -> Row:
    length, at = _varint(page, at)
    rowid, at = _varint(page, at)
    if length > 50_000_000:
        raise ValueError("no row is as long as that")
    here = _local(length, len(page))
    payload = page[at : at + here]
    if here < length:
        payload += _overflow(pages, struct.unpack(">I", page[at + here : at + here + 4])[0], length - here)
    return rowid, _record(payload)


def _local(length: int, size: int) -> int:
    """How much of a row of that length stands in its page; the rest overflows."""
    most = size - 35
    if length <= most:
        return length
    least = (size - 12) * 32 // 255 - 23
    fits = least + (length - least) % (size - 4)
    return fits if fits <= most else least


def _overflow(pages: Mapping[int, bytes], number: int, length: int) -> bytes:
    parts: list[bytes] = []
    seen: set[int] = set()
    while length > 0:
        if number in seen:
            raise ValueError("the pages run in a circle")
        seen.add(number)
        page = pages[number]
        (number,) = struct.unpack(">I", page[:4])
        parts.append(page[4 : 4 + length])
        length -= len(parts[-1])
    return b"".join(parts)


def _record(payload: bytes) -> list[object]:
    end, at = _varint(payload, 0)
    types = []
    while at < end:
        kind, at = _varint(payload, at)
        types.append(kind)
    values = []
    for kind in types:
        value, at = _value(payload, at, kind)
        values.append(value)
    return values


def _value(payload: bytes, at: int, kind: int) -> tuple[object, int]:
    if kind in (0, 8, 9):
        return (None, 0, 1)[(0, 8, 9).index(kind)], at
    width = (0, 1, 2, 3, 4, 6, 8, 8)[kind] if kind < 8 else (kind - 12) // 2
    piece = payload[at : at + width]
    if kind in (10, 11) or len(piece) < width:
        raise ValueError("the row is cut off")
    if kind < 7:
        return int.from_bytes(piece, "big", signed=True), at + width
    if kind == 7:
        return struct.unpack(">d", piece)[0], at + width
    return (piece.decode("utf-8") if kind % 2 else piece), at + width


def _varint(data: bytes, at: int) -> tuple[int, int]:
    value = 0
    for place in range(9):
        byte = data[at + place]
        if place == 8:
            value = value << 8 | byte
            break
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            break
    return (value - (1 << 64) if value >= 1 << 63 else value), at + place + 1
