"""The conversation that the command line asks for, opened; whoever waits for more than a second is told why.

May import: `places`, `talk`, `options`.
"""

from __future__ import annotations

import sys

from assistant.options import Options
from assistant.places import default_log
from assistant.talk import Conversation, open_conversation


def conversation(chosen: Options) -> Conversation:
    """Raises LogError if the log cannot be opened."""
    asked = chosen.json  # a script is not told

    def patience(events: int) -> None:
        """Once, however many things take long; never among the answers."""
        nonlocal asked
        if not asked:
            text = f"One moment: {events:,} events are gone through anew, which is needed once after an update."
            print(text, file=sys.stderr, flush=True)
        asked = True

    return open_conversation(chosen.db or default_log(), read_only=chosen.dry_run, patience=patience)
