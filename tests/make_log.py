"""Makes the fixture of the present version of the log's shape: every kind of event, taken back, brought back and amended.

python -m tests.make_log tests/logs
"""

from __future__ import annotations

import sqlite3
import sys
from datetime import timedelta
from pathlib import Path

from state.log import migrations
from state.log.merge import export
from state.log.store import Log
from tests.logbook import NOON, event, turn
from tests.test_store import FULL


def make(folder: Path) -> None:
    """Write version-N.sqlite and version-N.jsonl; a file that is there already is left alone."""
    path = folder / f"version-{migrations.VERSION}.sqlite"
    if path.exists():
        raise SystemExit(f"{path} is there already; a released version's log is never made anew")
    with Log.open(path) as log:
        for number, (kind, fields) in enumerate(sorted(FULL.items())):
            at = NOON + timedelta(minutes=number)
            put = (
                event(kind, at, **{name: value for name, value in fields.items() if kind != "note"} or {})
                if kind != "note"
                else (event("note", at, text="sulphur smell at this tap"))
            )
            undo = event("undo", at, of=(put["id"],))
            log.append(turn(f"the {kind}", at), [put])
            log.append(turn("undo", at), [undo])
            log.append(turn("redo", at), [event("redo", at, of=undo["id"])])
        log.append(turn("make that 3", NOON), [event("amend", NOON, of=log.entries()[-3].id, litres=11.356)])
        log.append(turn("can we make it", NOON, outcome="asked", pending={"slot": "until"}))
        path.with_suffix(".jsonl").write_text("".join(line + "\n" for line in export(log)), encoding="utf-8")
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA journal_mode = DELETE")
    connection.close()


if __name__ == "__main__":
    make(Path(sys.argv[1]))
