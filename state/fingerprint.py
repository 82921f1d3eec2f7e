"""Which version of the folding a kept world came from: a mark that changes whenever a file of this package does.

A kept world is a cache; one folded by other code is thrown away, not trusted. Not pure: it looks at the package's own files.
May import: the standard library.
"""

from __future__ import annotations

import os
from functools import cache
from zlib import crc32


@cache
def fingerprint() -> str:
    """Names, sizes and times of change of the modules of `state`, in eight hexadecimal digits."""
    with os.scandir(os.path.dirname(__file__)) as found:
        marks = sorted(
            (one.name, one.stat().st_size, one.stat().st_mtime_ns) for one in found if one.name.endswith(".py")
        )
    return f"{crc32(repr(marks).encode()):08x}"
