"""Which version of the folding a kept world came from: a mark that changes whenever a file does on which folding depends.

A kept world is a cache; one folded by other code is thrown away, not trusted. Not pure: it looks at the package's own files.
May import: the standard library.
"""

from __future__ import annotations

import os
from functools import cache
from zlib import crc32

FOLDING = (
    "entry", "figures", "habits/dayparts", "habits/pace", "habits/typical", "habits/unlogged", "habits/ways", "leaning", "lightclass",
    "log/codes", "log/history", "log/ordering", "log/rows", "settled", "spread", "sums", "water/filter", "water/fold", "water/holding",
    "water/ledger", "water/let_go", "water/likened", "water/meter", "water/oddities", "water/passing", "water/reconcile", "water/round",
    "water/routes", "water/seen", "water/sizes", "water/split", "water/tanks", "water/trip", "water/uses", "world",
)  # fmt: skip
"""The modules that make a world of the rows of a log: all that those need which read and fold (a test follows the imports). An update of
anything else folds nothing anew."""


@cache
def fingerprint() -> str:
    """Names, sizes and times of change of those modules, in eight hexadecimal digits."""
    package = os.path.dirname(os.path.dirname(__file__))
    found = [os.stat(os.path.join(package, f"{name}.py")) for name in FOLDING]
    return f"{crc32(repr([(one.st_size, one.st_mtime_ns) for one in found]).encode()):08x}"
