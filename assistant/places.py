"""Where the log lies when nobody says: the user-data folder of the platform. May import: the standard library only."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

FILE = "water.db"


def default_log(system: str = sys.platform, env: Mapping[str, str] = os.environ) -> Path:
    """ULLAGE_DB if set; else the platform's own place for a user's data (XDG on Linux and the like)."""
    if env.get("ULLAGE_DB"):
        return Path(env["ULLAGE_DB"]).expanduser()
    home = Path(env.get("HOME") or env.get("USERPROFILE") or Path.home())
    if system == "win32":
        return Path(env.get("LOCALAPPDATA") or home / "AppData" / "Local") / "Ullage" / FILE
    if system == "darwin":
        return home / "Library" / "Application Support" / "Ullage" / FILE
    told = env.get("XDG_DATA_HOME", "")
    return (Path(told) if told.startswith("/") else home / ".local" / "share") / "ullage" / FILE
