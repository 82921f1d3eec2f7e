"""Phrases with what must come of each (tests/corpus/phrases.jsonl), run in process and judged.

A case is a JSON object: `id`, `tags`, `now`, `say`, `expect`, and `before` (turns said first, at `before_now` or `now`). Every case
starts from a fresh copy of one log in which the usual rig was told (`talking.RIG`). Of `expect`:

    outcome       the outcomes that are right
    recorded      one object an event, each matched by an event of its own, in any order, and no others; only the named fields count
    recorded_or   further lists, each as right as `recorded`;  may_also: events that may be recorded besides
    topic, facts  keys of `facts`;  until_date: the date of an `until` in facts or events

Numbers agree within 1 %, `at` within 90 minutes, strings whatever their case; "~word" stands in the text; a list is any of its values.
An event recorded where none may be, or other than was said, is a false record: far worse than a question back.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from assistant import open_conversation
from tests.talking import RIG

RIG_NOW = "2026-06-08T18:00:00-06:00"
CORPUS = Path(__file__).parent / "corpus" / "phrases.jsonl"
Case = dict[str, Any]


@dataclass(frozen=True)
class Verdict:
    """`kind`: right, outcome, answer, false or crash. `got`: the JSON of the turn."""

    case: Case
    kind: str
    why: str = ""
    got: dict[str, Any] | None = None


def load(path: Path = CORPUS) -> list[Case]:
    """The cases of a file, one JSON object a line."""
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]


# ------------------------------------------------------------------------------------------------ comparing


def agrees(want: Any, got: Any, key: str = "") -> bool:
    """Whether a value is the expected one."""
    if isinstance(want, list):
        return any(agrees(one, got, key) for one in want)
    if want is None or isinstance(want, bool) or isinstance(got, bool):
        return got is want
    if isinstance(want, (int, float)):
        return isinstance(got, (int, float)) and abs(got - want) <= max(0.0101 * abs(want), 0.005)
    if isinstance(want, dict):
        return isinstance(got, dict) and all(agrees(inner, got.get(name), name) for name, inner in want.items())
    if not isinstance(got, str):
        return False
    if key == "at":
        return abs(datetime.fromisoformat(got) - datetime.fromisoformat(want)) <= timedelta(minutes=90)
    want, got = (" ".join(text.casefold().split()) for text in (want, got))
    return want[1:] in got if want.startswith("~") else want == got


def plain(value: Any) -> Iterator[Any]:
    """Every plain value inside a structure, ids and times left out."""
    if isinstance(value, dict):
        yield from (leaf for key, inner in value.items() if key not in ("id", "of", "at") for leaf in plain(inner))
    elif isinstance(value, (list, tuple)):
        yield from (leaf for inner in value for leaf in plain(inner))
    else:
        yield value


def matches(want: dict[str, Any], event: dict[str, Any], earlier: list[dict[str, Any]]) -> bool:
    """Whether an event has the named fields; `has`: values under any name; `of`: {fields of the event meant}."""
    for key, value in want.items():
        if key == "has":
            leaves = list(plain(event))
            if not all(any(agrees(one, leaf) for leaf in leaves) for one in value):
                return False
        elif key == "of" and isinstance(value, dict):
            ids = event.get("of") if isinstance(event.get("of"), list) else [event.get("of")]
            if not any(old["id"] in (ids or []) and matches(value, old, []) for old in earlier):
                return False
        elif not agrees(value, event.get(key), key):
            return False
    return True


def paired(wanted: list[Any], spare: list[Any], events: list[Any], earlier: list[Any]) -> bool:
    """Whether each wanted event has one of its own and the rest are spare."""
    if not wanted:
        return not events or any(
            matches(extra, events[0], earlier) and paired([], spare[:i] + spare[i + 1 :], events[1:], earlier)
            for i, extra in enumerate(spare)
        )
    return any(
        matches(wanted[0], event, earlier) and paired(wanted[1:], spare, events[:i] + events[i + 1 :], earlier)
        for i, event in enumerate(events)
    )


def days(value: Any) -> Iterator[str]:
    """The dates of every `until` in a structure."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if key == "until" and isinstance(inner, str):
                yield inner[:10]
            else:
                yield from days(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from days(inner)


def judged(expect: dict[str, Any], turn: dict[str, Any], earlier: list[dict[str, Any]]) -> tuple[str, str]:
    """(kind of verdict, why) of one turn."""
    outcome, events, facts = turn["outcome"], turn["recorded"], turn["facts"]
    until = expect.get("until_date", [])
    until = until if isinstance(until, list) else [until]
    if outcome == "recorded" or events:
        if outcome != "recorded" or "recorded" not in expect["outcome"]:
            return "false", f"recorded; {'/'.join(expect['outcome'])} is right"
        lists = [expect["recorded"]] if "recorded" in expect else []
        lists += expect.get("recorded_or", [])
        if lists and not any(paired(one, expect.get("may_also", []), events, earlier) for one in lists):
            return "false", "the events differ from those expected"
        if until and not set(until) & {*days(events), *([str(facts.get("until"))[:10]] if expect.get("topic") else [])}:
            return "false", f"until is not {'/'.join(until)}"
        if "topic" in expect and not agrees(expect["topic"], facts.get("topic")):
            return "answer", f"recorded well, but topic {facts.get('topic')!r}, expected {expect['topic']!r}"
        return "right", ""
    if outcome not in expect["outcome"]:
        return "outcome", f"{outcome}; {'/'.join(expect['outcome'])} is right"
    if outcome == "answered":
        if "topic" in expect and not agrees(expect["topic"], facts.get("topic")):
            return "answer", f"topic {facts.get('topic')!r}, expected {expect['topic']!r}"
        if until and str(facts.get("until"))[:10] not in until:
            return "answer", f"until {facts.get('until')!r}, expected {'/'.join(until)}"
        for key, value in expect.get("facts", {}).items():
            if not agrees(value, facts.get(key), key):
                return "answer", f"{key} is {facts.get(key)!r}, expected {value!r}"
    return "right", ""


# ------------------------------------------------------------------------------------------------ running


@contextmanager
def quick_folder() -> Iterator[Path]:
    """A folder for throw-away logs, in memory where the system has such a place."""
    memory = Path("/dev/shm")
    place = memory if memory.is_dir() and os.access(memory, os.W_OK) else None
    with tempfile.TemporaryDirectory(prefix="ullage-phrases-", dir=place) as name:
        yield Path(name)


def lay_rig(path: Path) -> Path:
    """A log in which the usual rig was told; closed, so that it can be copied. The folded world is kept in it, as in any longer log."""
    with open_conversation(path) as talk:
        for phrase in RIG:
            assert talk.say(phrase, now=datetime.fromisoformat(RIG_NOW)).outcome == "recorded", phrase
        talk.recall.keep(talk.world)
    return path


def run_case(case: Case, base: Path, log: Path) -> Verdict:
    """One case on a fresh copy of the base log at `log`."""
    for ending in ("", "-wal", "-shm"):
        Path(f"{log}{ending}").unlink(missing_ok=True)
    shutil.copyfile(base, log)
    now = datetime.fromisoformat(case["now"])
    then = datetime.fromisoformat(case.get("before_now") or case["now"])
    earlier: list[dict[str, Any]] = []
    try:
        with open_conversation(log) as talk:
            for said in case.get("before", []):
                reply = talk.say(said, now=then).model_dump(mode="json")
                if reply["outcome"] not in ("recorded", "answered", "asked"):
                    return Verdict(case, "outcome", f"before: {said!r} was {reply['outcome']}", reply)
                earlier += reply["recorded"]
            turn = talk.say(case["say"], now=now).model_dump(mode="json")
            json.dumps(turn)
    except Exception as fault:
        return Verdict(case, "crash", f"{type(fault).__name__}: {fault}")
    return Verdict(case, *judged(case["expect"], turn, earlier), turn)


def run_all(cases: Iterable[Case]) -> list[Verdict]:
    """Every case, each on a log of its own."""
    with quick_folder() as folder:
        base = lay_rig(folder / "base.db")
        return [run_case(case, base, folder / "case.db") for case in cases]


# ------------------------------------------------------------------------------------------------ reporting


def table(verdicts: list[Verdict]) -> str:
    """Right and not by tag, the weakest tags first, then the sum."""
    tally: dict[str, Counter[str]] = defaultdict(Counter)
    for verdict in verdicts:
        for tag in dict.fromkeys(verdict.case["tags"]):
            tally[tag][verdict.kind] += 1
    kinds = ("outcome", "answer", "false", "crash")
    lines = [f"{'tag':14}{'n':>5}{'right':>7}{'%':>7}" + "".join(f"{kind:>9}" for kind in kinds)]
    for tag, count in sorted(tally.items(), key=lambda item: (item[1]["right"] / item[1].total(), item[0])):
        share = 100 * count["right"] / count.total()
        lines.append(
            f"{tag:14}{count.total():5}{count['right']:7}{share:7.1f}" + "".join(f"{count[k] or '':>9}" for k in kinds)
        )
    all_of = Counter(verdict.kind for verdict in verdicts)
    lines.append(
        f"right {all_of['right']} of {len(verdicts)} = {all_of['right'] / len(verdicts):.4f}; " + str(dict(all_of))
    )
    return "\n".join(lines)


def told(verdict: Verdict) -> str:
    """A failure in one line."""
    case, got = verdict.case, verdict.got or {}
    booked = [{k: v for k, v in event.items() if k not in ("id", "at", "of")} for event in got.get("recorded", [])]
    before = f" (after {case['before']})" if case.get("before") else ""
    return f"{verdict.kind:8}{case['id']}: {case['say']!r}{before}: {verdict.why}; got {got.get('outcome')} {got.get('answer')!r} {booked or ''}"
