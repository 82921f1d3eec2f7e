"""How many examples a property is tried with: few in the quick suite, at least 500 with ULLAGE_EXAMPLES=thorough."""

from __future__ import annotations

import os


def examples(quick: int) -> int:
    return max(500, quick) if os.environ.get("ULLAGE_EXAMPLES") == "thorough" else quick
