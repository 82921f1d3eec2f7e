"""Copies of the log: by hand, automatic and rolling, and the way back from one. All are whole logs of their own, mode 0600.

A copy is made while the log is in use, under another name first, and takes its own name when it is complete and on disk. Going back
never destroys: the log as it was is kept beside the new one.
May import: sqlite3, the standard library, `daily`, `faults`, `opening`, `soundness`, `store`.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import date, datetime, timedelta
from pathlib import Path

from state.lightclass import dataclass
from state.log import daily
from state.log.faults import NOTHING, LogError, fault, from_sqlite, from_system
from state.log.opening import connect_to_read, patiently, sync_folder
from state.log.soundness import problems
from state.log.store import Log

DAYS, WEEKS = 3, 4
"""How many rolling copies are kept: one of each of the last days on which something was logged, one of each week before."""


def back_up(log: Path, target: Path) -> int:
    """Write a consistent copy of the log to `target`; returns how many events are in it.

    An older copy of that name is replaced; any other file is left alone. Raises: LogError.
    """
    if not log.exists():
        raise fault("missing", log)
    if target.exists():
        _must_be_replaceable(log, target)
    with _errors(target):
        if not target.absolute().parent.exists():
            raise fault("cannot-open", target)
        return _copy(log, target)


def _must_be_replaceable(log: Path, target: Path) -> None:
    if target.is_dir():
        raise fault("is-folder", target)
    if target.samefile(log):
        raise LogError("same-file", f"{target} is the log itself, not a place for a copy.", "Name another file.")
    if target.stat().st_size:
        try:
            connect_to_read(target).close()
        except (LogError, sqlite3.Error) as error:
            raise LogError(
                "in-the-way", f"{target} is there already and is no copy of a log. It was left as it is."
            ) from error


def _copy(log: Path, target: Path) -> int:
    part = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
        source = connect_to_read(log)
        try:
            patiently(lambda: source.execute("VACUUM INTO ?", (str(part),)))
        finally:
            source.close()
        events = _slim(part)
        _sync(part)
        os.replace(part, target)
        sync_folder(target.absolute().parent)
        return events
    finally:
        part.unlink(missing_ok=True)


def _slim(copy: Path) -> int:
    """Drop the cache of folded worlds; returns the number of events."""
    connection = sqlite3.connect(copy, isolation_level=None)
    try:
        connection.execute("PRAGMA journal_mode = MEMORY")
        connection.execute("PRAGMA synchronous = OFF")
        if connection.execute("SELECT 1 FROM snapshots LIMIT 1").fetchone():
            connection.execute("DELETE FROM snapshots")
            connection.execute("VACUUM")
        return int(connection.execute("SELECT count(*) FROM events").fetchone()[0])
    finally:
        connection.close()


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def _errors(path: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.Error as error:
        raise from_sqlite(error, path) from error
    except OSError as error:
        raise from_system(error, path) from error


# ---------------------------------------------------------------- rolling copies


def folder_of(log: Path) -> Path:
    """Where the automatic copies of a log lie."""
    return Path(daily.folder_of(str(log)))


def rolling(log: Path) -> list[Path]:
    """The automatic copies of a log, newest first."""
    return sorted((path for path in folder_of(log).glob("????-??-??.db") if _day(path)), reverse=True)


def roll(log: Path, today: date, events: int) -> Path | None:
    """Make today's automatic copy if there is none yet, and let go of those no longer kept. A failure is no matter: None.

    events: how many the log holds.
    """
    if not daily.is_due(str(log), today, events):
        return None
    target = Path(daily.copy_of(str(log), today))
    with suppress(OSError, sqlite3.Error, LogError):
        target.parent.mkdir(mode=0o700, exist_ok=True)
        _copy(log, target)
        kept = to_keep([day for path in rolling(log) if (day := _day(path))])
        for path in rolling(log):
            if _day(path) not in kept:
                path.unlink(missing_ok=True)
        return target
    return None


def to_keep(days: list[date]) -> set[date]:
    """Which of the days of copies to keep: the latest `DAYS`, and the latest of each of `WEEKS` weeks before those."""
    newest = sorted(days, reverse=True)
    kept = set(newest[:DAYS])
    weeks: dict[date, date] = {}
    for day in newest[DAYS:]:
        weeks.setdefault(day - timedelta(days=day.weekday()), day)
    return kept | set(sorted(weeks.values(), reverse=True)[:WEEKS])


def _day(path: Path) -> date | None:
    try:
        return date.fromisoformat(path.stem)
    except ValueError:
        return None


# ---------------------------------------------------------------- the way back


@dataclass(frozen=True)
class Restored:
    """`events`: how many the log now holds. `lost`: how many it held that the copy lacks. `kept`: where the log as it was now lies."""

    events: int
    lost: int
    kept: Path | None


def restore(log: Path, copy: Path, now: datetime, replace: bool = False) -> Restored:
    """Put a copy in the log's place; the log as it was is kept beside it.

    replace: also when the log is sound and holds events that the copy lacks. Raises: LogError (then nothing was changed).
    """
    if not copy.is_file():
        raise fault("missing", copy)
    wrong = problems(copy)
    if wrong:
        raise LogError(
            "bad-copy", f"The copy {copy} is not whole: {wrong[0]} The log was left as it is.", "Try an older copy."
        )
    if log.exists() and log.samefile(copy):
        raise LogError("same-file", f"{copy} is the log itself.", "Name a copy.")
    lost = _only_in(log, copy)
    if lost and not replace:
        raise LogError(
            "would-lose",
            f"The log holds {lost} events that the copy lacks, so it was left as it is. {NOTHING}",
            "To go back all the same, add --replace: the log as it is now will be kept beside.",
        )
    with _errors(log):
        log.absolute().parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        part = log.with_name(f".{log.name}.{os.getpid()}.part")
        try:
            events = _copy(copy, part)
            _for_use(part)
            kept = _set_aside(log, now)
            os.replace(part, log)
            sync_folder(log.absolute().parent)
        finally:
            part.unlink(missing_ok=True)
    return Restored(events, lost, kept)


def _for_use(part: Path) -> None:
    """Make a copy fit to be written by several programs at once, as a log is; its name is not yet the log's."""
    connection = sqlite3.connect(part, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.close()
    _sync(part)


def _only_in(log: Path, copy: Path) -> int:
    """How many events the log holds that the copy lacks; 0 if the log is missing or cannot be read."""
    if not log.exists() or not log.stat().st_size:
        return 0
    try:
        with Log.open(log, read_only=True) as held, Log.open(copy, read_only=True) as there:
            return len({entry.id for entry in held.entries()} - {entry.id for entry in there.entries()})
    except LogError:
        return 0


def _set_aside(log: Path, now: datetime) -> Path | None:
    """Keep the log, and what SQLite has beside it, under another name. The log's own name is never without a file."""
    if not log.exists():
        for end in ("-wal", "-shm"):
            Path(f"{log}{end}").unlink(missing_ok=True)
        return None
    kept = log.with_name(f"{log.name}.before-{now:%Y%m%d-%H%M%S}")
    with suppress(sqlite3.Error):
        connection = sqlite3.connect(log, isolation_level=None, timeout=5.0)
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        connection.close()
    number = 1
    while kept.exists():
        number += 1
        kept = log.with_name(f"{log.name}.before-{now:%Y%m%d-%H%M%S}-{number}")
    os.link(log, kept)
    for end in ("-wal", "-shm"):
        with suppress(FileNotFoundError):
            os.rename(f"{log}{end}", f"{kept}{end}")
    return kept
