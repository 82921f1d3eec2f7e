"""The log's file opened: made if missing (mode 0600, in a folder of 0700), migrated if older, refused if it is not ours or newer.

Also the patience with other programs that write at the same time. Nothing here knows what the tables hold.
May import: sqlite3, the standard library, `faults`, `migrations`.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Callable
from contextlib import suppress

from state.lightclass import TYPE_CHECKING
from state.log import migrations
from state.log.faults import fault, is_busy

PATIENCE = 60.0  # seconds to wait for other writers before the person hears of it

LONG = 10_000
"""So many events take longer than a second to work through, on some devices several."""

if TYPE_CHECKING:
    from os import PathLike
    from typing import TypeAlias, TypeVar

    T = TypeVar("T")
    Place: TypeAlias = str | PathLike[str]
    Patience: TypeAlias = Callable[[int], None]


def connect(path: Place, patience: Patience | None = None) -> sqlite3.Connection:
    """Open to read and write; a missing file is made with mode 0600, a missing folder with 0700.

    patience: told of how many events are about to be worked through, where that takes long.
    """
    _make(path)
    connection = sqlite3.connect(path, timeout=5.0, isolation_level=None, check_same_thread=False)
    try:
        _set_up(connection)
        version = patiently(lambda: migrations.version_of(connection))
        _must_be_known(version, path)
        if version < migrations.VERSION:
            _bring_up(connection, path, version, patience)
        if not os.access(path, os.W_OK) or not os.access(_folder(path), os.W_OK):
            raise fault("log-read-only", path)
        return connection
    except BaseException:
        connection.close()
        raise


def connect_to_read(path: Place) -> sqlite3.Connection:
    """Open to read only. In a folder that cannot be written SQLite needs to be told that nobody else will write either."""
    from pathlib import Path

    where = Path(path).absolute().as_uri() + "?mode=ro"
    journal = Path(f"{os.fspath(path)}-wal")
    if not os.access(_folder(path), os.W_OK) and not (journal.exists() and journal.stat().st_size):
        where += "&immutable=1"
    connection = sqlite3.connect(where, uri=True, timeout=5.0, isolation_level=None, check_same_thread=False)
    try:
        version = patiently(lambda: migrations.version_of(connection))
        _must_be_known(version, path)
        if version < migrations.VERSION:  # an empty or older file: read as it would be after migration, in memory
            return _in_memory(connection)
        return connection
    except BaseException:
        connection.close()
        raise


def _in_memory(connection: sqlite3.Connection) -> sqlite3.Connection:
    copy = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    connection.backup(copy)
    connection.close()
    migrations.migrate(copy)
    return copy


def _folder(path: Place) -> str:
    return os.path.dirname(os.path.abspath(path))


def _must_be_known(version: int, path: Place) -> None:
    if version < 0:
        raise fault("not-a-log", path)
    if version > migrations.VERSION:
        raise fault("newer", path)


def _make(path: Place) -> None:
    if not os.path.exists(_folder(path)):
        from pathlib import Path

        Path(path).parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except FileExistsError:
        return
    sync_folder(_folder(path))


def sync_folder(folder: Place) -> None:
    """Make the folder's own entries durable, where the system can."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)


def _set_up(connection: sqlite3.Connection) -> None:
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA recursive_triggers = ON")
    connection.execute("PRAGMA synchronous = FULL")


def _bring_up(connection: sqlite3.Connection, path: Place, version: int, patience: Patience | None) -> None:
    """Make the tables of a new file, or migrate an older one after keeping a copy of it."""
    if version > 0:
        (events,) = connection.execute("SELECT coalesce(max(seq), 0) FROM events").fetchone()
        if patience is not None and events >= LONG:
            patience(events)
        _keep(connection, f"{os.fspath(path)}.version-{version}")
    patiently(lambda: connection.execute("PRAGMA journal_mode = WAL"))
    patiently(lambda: migrations.migrate(connection))
    if version > 0:
        with suppress(
            sqlite3.Error
        ):  # gives back the room of the older tables; if others are at work it stays, to be used again
            connection.execute("VACUUM")


def _keep(connection: sqlite3.Connection, copy: str) -> None:
    """A copy of the log as it is, unless there is one: whole, for its owner only, and made once, however many programs do this."""
    if os.path.exists(copy):
        return
    own = f"{copy}.{os.getpid()}"
    try:
        patiently(lambda: connection.execute("VACUUM INTO ?", (own,)))
        os.chmod(own, 0o600)
        try:
            os.link(own, copy)
        except FileExistsError:
            pass  # another program was quicker; its copy is of the older log, ours may be of the migrated one
        except OSError:  # no hard links on this file system
            if not os.path.exists(copy):
                os.rename(own, copy)
    finally:
        if os.path.exists(own):
            os.unlink(own)


def identity(path: Place) -> tuple[int, int] | None:
    try:
        found = os.stat(path)
    except OSError:
        return None
    return found.st_dev, found.st_ino


def roll_back(connection: sqlite3.Connection) -> None:
    try:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
    except sqlite3.Error:  # the transaction is gone already: SQLite undid it on the fault itself
        pass


def patiently(act: Callable[[], T]) -> T:
    """Do it, again and again while somebody else is writing, for as long as `PATIENCE` allows."""
    until = time.monotonic() + PATIENCE
    pause = 0.002
    while True:
        try:
            return act()
        except sqlite3.OperationalError as error:
            if not is_busy(error) or time.monotonic() > until:
                raise
            time.sleep(pause)
            pause = min(pause * 2, 0.1)
