"""A process that logs and tells, to be killed or denied its disk by test_durability.py.

    python -m tests.victim LOG TURNS          appends turns of two events each; after each a line "ack ID ID" on standard output

A line "fault REFERENCE" is told instead when the log says that it cannot.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from state.log.faults import LogError
from state.log.store import Log
from tests.logbook import event, turn


def log_and_tell(path: Path, turns: int, out: int) -> None:
    """Append turn by turn; nothing is told before the log has returned."""
    try:
        with Log.open(path) as log:
            for number in range(turns):
                pair = log.append(turn(f"turn {number}"), [event(), event()])
                os.write(out, f"ack {pair[0].id} {pair[1].id}\n".encode())
    except LogError as error:
        os.write(out, f"fault {error.reference}\n".encode())


if __name__ == "__main__":
    log_and_tell(Path(sys.argv[1]), int(sys.argv[2]), 1)
