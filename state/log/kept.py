"""Folded worlds kept in the log's file, for a faster start and for corrections: a cache, never part of the truth, gone without loss.

A row is kept by the version of the folding and its place; a guard before the world tells a flipped bit. Not synced to the disk: nothing
depends on it. May import: sqlite3, the standard library, `rows`, `opening`.
"""

from __future__ import annotations

import json
import sqlite3
import zlib
from collections.abc import Callable, Iterable, Mapping

from state.lightclass import Any
from state.log.opening import roll_back
from state.log.rows import to_json

YOUNGEST = 32
"""A correction of what was said lately folds about so many events anew."""

ANY_PLACE = 1 << 62


def save(
    connection: sqlite3.Connection, seq: int, world: Mapping[str, Any], version: str, instead_of: Iterable[int] = ()
) -> None:
    """Keep the world folded up to that place, in place of those at the others. Of the older ones those that `thinned` names stay; those
    of other versions go. Raises: ValueError if the world cannot be written, before the log is touched."""
    row = (f"{version}:{seq}", seq, packed(seq, to_json(world)))
    try:
        connection.execute("PRAGMA synchronous = NORMAL")
        connection.execute("BEGIN IMMEDIATE")
        connection.execute("DELETE FROM snapshots WHERE substr(version, 1, ?) <> ?", _of(version))
        connection.execute("INSERT OR REPLACE INTO snapshots (version, seq, world) VALUES (?, ?, ?)", row)
        connection.executemany(
            "DELETE FROM snapshots WHERE seq = ?", [(place,) for place in instead_of if place != seq]
        )
        places = [int(place) for (place,) in connection.execute("SELECT seq FROM snapshots")]
        kept = thinned(places)
        connection.executemany("DELETE FROM snapshots WHERE seq = ?", [(one,) for one in places if one not in kept])
        connection.execute("COMMIT")
    except sqlite3.Error:
        roll_back(connection)
    finally:
        connection.execute("PRAGMA synchronous = FULL")


def load(
    rows: Callable[..., list[tuple[Any, ...]]], version: str, before: int | None, but: Iterable[int] = ()
) -> tuple[int, dict[str, Any]] | None:
    """The latest kept world of that version, and its place; `before`: of those at an earlier place; `but`: not at these. None: there is none.

    rows: runs a statement over the log. Raises: ValueError if what is kept is no JSON.
    """
    others = list(but)
    found = rows(
        "SELECT seq, world FROM snapshots WHERE substr(version, 1, ?) = ? AND seq < ? AND seq <= (SELECT max(seq) FROM events)"
        f" AND seq NOT IN ({','.join('?' * len(others))}) ORDER BY seq DESC LIMIT 1",
        *_of(version),
        ANY_PLACE if before is None else before,
        *others,
    )
    if not found:
        return None
    seq = int(found[0][0])
    text = unpacked(seq, found[0][1])
    if text is None:
        return load(rows, version, seq, others)
    world: dict[str, Any] = json.loads(text)
    return seq, world


def packed(seq: int, text: str) -> bytes:
    """A world's text as it is kept: compressed, its guard first."""
    held = zlib.compress(text.encode(), 1)
    return zlib.crc32(held, seq & 0xFFFFFFFF).to_bytes(4, "big") + held


def unpacked(seq: int, held: object) -> str | None:
    """The inverse of `packed`; None if it is damaged."""
    if not isinstance(held, bytes) or zlib.crc32(held[4:], seq & 0xFFFFFFFF).to_bytes(4, "big") != held[:4]:
        return None
    return zlib.decompress(held[4:]).decode()


def thinned(places: Iterable[int]) -> set[int]:
    """Which worlds to keep, by the places up to which they were folded: the latest, and of each age group the oldest, which will be the
    one in the next. A group is twice as wide as the one before it, so a log of a million events keeps about fifteen."""
    ordered = sorted(places)
    kept, groups = set(ordered[-1:]), set[int]()
    for place in ordered:
        group, age = 0, ordered[-1] - place
        while age >= YOUNGEST << group:
            group += 1
        if group not in groups:
            groups.add(group)
            kept.add(place)
    return kept


def _of(version: str) -> tuple[int, str]:
    return len(version) + 1, f"{version}:"
