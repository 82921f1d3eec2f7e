"""Where the log lies when nobody says: the user-data folder of the platform. May import: the standard library only."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping

FILE = "water.db"


def default_log(system: str = sys.platform, env: Mapping[str, str] = os.environ) -> str:
    """ULLAGE_DB if set; else the platform's own place for a user's data (XDG on Linux and the like)."""
    if env.get("ULLAGE_DB"):
        return os.path.expanduser(env["ULLAGE_DB"])
    home = env.get("HOME") or env.get("USERPROFILE") or os.path.expanduser("~")
    if system == "win32":
        return os.path.join(env.get("LOCALAPPDATA") or os.path.join(home, "AppData", "Local"), "Ullage", FILE)
    if system == "darwin":
        return os.path.join(home, "Library", "Application Support", "Ullage", FILE)
    told = env.get("XDG_DATA_HOME", "")
    return os.path.join(told if told.startswith("/") else os.path.join(home, ".local", "share"), "ullage", FILE)
