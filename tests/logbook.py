"""Small help for tests of the log: moments, events, turns."""

from __future__ import annotations

import os
import subprocess
import sys
import traceback
from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from state.log.store import Log, Turn, new_id

ROOT = Path(__file__).resolve().parent.parent
ZONE = timezone(timedelta(hours=-6))
NOON = datetime(2026, 6, 9, 12, 0, tzinfo=ZONE)


def event(kind: str = "use", at: datetime = NOON, **fields: Any) -> dict[str, Any]:
    """An event's fields; a shower of two gallons unless told otherwise."""
    own = {"activity": "shower", "litres": 7.571} if kind == "use" and not fields else {}
    return {"id": new_id(), "kind": kind, "at": at, "heard_at": at, "heard": "", **own, **fields}


def turn(heard: str = "shower used 2 gal", at: datetime = NOON, outcome: str = "recorded", **memo: Any) -> Turn:
    return Turn(at, heard, outcome, "Shower, 2 gal.", memo)


def filled(path: Path, turns: int = 3, each: int = 1) -> Path:
    """A log with so many turns of so many showers each."""
    with Log.open(path) as log:
        for number in range(turns):
            at = NOON + timedelta(minutes=7 * number)
            made = [event(at=at, activity="shower", litres=5.0 + number + 0.1 * part) for part in range(each)]
            log.append(turn(f"shower {number}", at), made)
    return path


def program(*arguments: str, stdin: str | bytes = b"", env: dict[str, str] | None = None, **more: Any) -> Any:
    """Run the program as a shell would; output as text."""
    told = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", **(env or {})}
    given = stdin.encode() if isinstance(stdin, str) else stdin
    done = subprocess.run(
        [sys.executable, "-m", "assistant", *arguments],
        input=given,
        capture_output=True,
        env=told,
        cwd=ROOT,
        timeout=120,
        **more,
    )
    done.stdout, done.stderr = done.stdout.decode(), done.stderr.decode()
    return done


def in_eight_processes(work: Callable[[int], None]) -> None:
    """Does the work, given its number, in eight processes at the same time; each must come to its end."""
    children = []
    for number in range(8):
        child = os.fork()
        if child == 0:  # pragma: no cover: another process
            status = 1
            try:
                work(number)
                status = 0
            except BaseException:
                traceback.print_exc()  # nobody else would ever see it
            finally:
                sys.stderr.flush()
                os._exit(status)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * 8
