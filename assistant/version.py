"""The program's version, as installed, and the versions of what scripts rely on; loaded only when asked for."""

from __future__ import annotations

from importlib import metadata


def version() -> str:
    """The version of the installed package; of a folder that was never installed, "unknown"."""
    try:
        return metadata.version("ullage")
    except metadata.PackageNotFoundError:
        return "unknown"


JSON = 1
"""Of the object of a turn. It rises when a field that is described goes, or changes its meaning; a new field does not raise it."""


def versions() -> dict[str, object]:
    """What `--version --json` prints: the program, the object of a turn, the table of `--export --csv`, the shape of the log's file."""
    from assistant import spreadsheet
    from state.log import migrations

    return {"ullage": version(), "json": JSON, "csv": spreadsheet.VERSION, "log": migrations.VERSION}
