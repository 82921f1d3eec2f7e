"""The program's version, as installed; loaded only when asked for."""

from __future__ import annotations

from importlib import metadata


def version() -> str:
    """The version of the installed package; of a folder that was never installed, "unknown"."""
    try:
        return metadata.version("ullage")
    except metadata.PackageNotFoundError:
        return "unknown"
