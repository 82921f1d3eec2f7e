"""What can go wrong with the log on disk, each as one sentence that stands alone and a way on.

Is: the one exception that leaves the store (`LogError`, exit status 4) and its making from what SQLite and the system say.
Is not: findings of history (values, in `world.Finding`) or phrases not understood. Nothing was recorded when one is raised.
May import: the standard library only.
"""

from __future__ import annotations

import errno
import os
import sqlite3

from state.lightclass import TYPE_CHECKING

if TYPE_CHECKING:
    from os import PathLike
    from typing import TypeAlias

    Place: TypeAlias = str | PathLike[str]


class LogError(Exception):
    """The log could not be read or written, and nothing was recorded.

    reference: kebab-case name of the fault. message: a sentence that stands alone. hint: what to do next.
    """

    def __init__(self, reference: str, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.reference, self.message, self.hint = reference, message, hint

    def __str__(self) -> str:
        return f"{self.message} {self.hint}".strip()


class LogMoved(Exception):
    """Something else was logged between the reading of the log and this append: read again and decide again. Nothing was recorded."""


NOTHING = "Nothing was recorded."
SPACE = 128 * 1024  # bytes; with less than that a turn may find no room

_BY_NAME = {
    "SQLITE_IOERR_SHMSIZE": "disk-full",  # the shared index beside the log could not grow
    "SQLITE_FULL": "disk-full",
    "SQLITE_READONLY": "log-read-only",
    "SQLITE_PERM": "no-permission",
    "SQLITE_CANTOPEN": "cannot-open",
    "SQLITE_NOTADB": "not-a-log",
    "SQLITE_CORRUPT": "damaged",
    "SQLITE_IOERR": "disk-fault",
    "SQLITE_BUSY": "busy",
    "SQLITE_LOCKED": "busy",
    "SQLITE_NOMEM": "no-memory",
}

_BY_ERRNO = {
    errno.ENOSPC: "disk-full",
    errno.EDQUOT: "disk-full",
    errno.EROFS: "log-read-only",
    errno.EACCES: "no-permission",
    errno.EPERM: "no-permission",
    errno.EISDIR: "is-folder",
    errno.ENOTDIR: "cannot-open",
    errno.ENOENT: "cannot-open",
    errno.ENAMETOOLONG: "cannot-open",
}

_SENTENCES: dict[str, tuple[str, str]] = {
    "disk-full": ("The disk is full, so the log {path} could not be written.", "Free some space and say it again."),
    "log-read-only": (
        "The log {path} can be read but not written here.",
        "Make the file and its folder writable, or name another log with --db.",
    ),
    "no-permission": (
        "There is no permission to use the log {path}.",
        "Look at the owner and mode of the file and its folder, or name another log with --db.",
    ),
    "cannot-open": (
        "The log {path} cannot be opened or made there.",
        "Look at the folder, or name another log with --db.",
    ),
    "is-folder": ("{path} is a folder, not a log.", "Name a file with --db."),
    "not-a-log": ("{path} is not a water log, and it was left as it is.", "Name another file with --db."),
    "damaged": (
        "The log {path} is damaged, and it was left as it is.",
        "Save what can be saved with --salvage NEWFILE, or bring a backup back with --restore.",
    ),
    "newer": (
        "The log {path} was written by a newer version of this program, and it was left as it is.",
        "Bring this program up to date.",
    ),
    "disk-fault": (
        "The disk reported a fault with the log {path}.",
        "Copy the log elsewhere, then use --check on the copy.",
    ),
    "busy": ("Another program has held the log {path} for too long.", "Say it again in a moment."),
    "no-memory": ("There is not enough memory to use the log {path}.", "Close something and say it again."),
    "replaced": ("The log {path} was moved or replaced while it was open.", "Start again and say it once more."),
    "missing": ("There is no log at {path}.", "Name another file with --db."),
}


def fault(reference: str, path: Place) -> LogError:
    """The error of that reference for the log at `path`."""
    message, hint = _SENTENCES[reference]
    return LogError(reference, f"{message.format(path=path)} {NOTHING}", hint)


def from_sqlite(error: sqlite3.Error, path: Place) -> LogError:
    """What an error of SQLite means to the person; an unknown one is told in SQLite's own words."""
    name = str(getattr(error, "sqlite_errorname", "") or "")
    if name.startswith("SQLITE_IOERR") and _no_space(path):  # which SQLite does not always call by its name
        return fault("disk-full", path)
    for start, reference in _BY_NAME.items():
        if name.startswith(start):
            return fault(reference, path)
    return LogError("log-fault", f"The log {path} could not be used: {error}. {NOTHING}", "Look at it with --check.")


def _no_space(path: Place) -> bool:
    import shutil

    try:
        return shutil.disk_usage(os.path.dirname(os.path.abspath(path))).free < SPACE
    except OSError:
        return False


def from_system(error: OSError, path: Place) -> LogError:
    """What an error of the operating system means to the person."""
    reference = _BY_ERRNO.get(error.errno or 0)
    if reference:
        return fault(reference, path)
    return LogError("log-fault", f"The log {path} could not be used: {error.strerror or error}. {NOTHING}")


def is_busy(error: sqlite3.Error) -> bool:
    """Somebody else is writing: worth another try."""
    name = str(getattr(error, "sqlite_errorname", "") or "")
    return name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED", "SQLITE_PROTOCOL"))
