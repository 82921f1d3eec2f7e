"""What must hold of any bytes at the three doors that take in what others wrote: words, imported lines, and what is printed of them.

Each target takes bytes and fails an assertion (or raises) if something gives way. `python -m tests.fuzz_atheris` drives them by coverage;
what that came across is kept in corpus/fuzz and tried again by test_fuzz.py. Needs no fuzzing library itself.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import timedelta
from functools import cache
from pathlib import Path
from typing import Any
from zlib import crc32

from assistant import open_conversation, printing, show
from grammar.lexicon import lexicon
from grammar.read import _read
from grammar.reading import Impossible, Names, NotUnderstood, Reading
from state.event_table import KINDS
from state.log.merge import BadLine, export, merge
from state.log.soundness import problems
from state.log.store import Log
from tests.talking import at

NAMES = Names(people=("Ana", "Will", "May"), sites=("Heron Bend",), tanks=("galley",), taught=(("suds", "dishes"),))
OUTCOMES = {"recorded", "answered", "asked", "not_understood", "refused"}
ASKED = (
    "status",
    "show the last ten",
    "what did we use this week",
    "who uses the most",
    "can we make it to Friday",
    "why",
)
SECONDS = 0.002
"""The most that reading takes for a character, with half a second in any case: many times what it takes at rest."""

OBEYED = re.compile(
    "[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff\U000e0000-\U000e007f]"
)
"""What a terminal acts upon, or what turns text around; a line feed only ends the line."""


class Choices:
    """Decisions taken from bytes, one after the other; zeros once they are used up."""

    def __init__(self, raw: bytes) -> None:
        self.raw, self.place = raw, 0

    def number(self, below: int) -> int:
        taken = self.raw[self.place : self.place + 2]
        self.place += 2
        return int.from_bytes(taken, "little") % below

    def rest(self) -> bytes:
        found, self.place = self.raw[self.place :], len(self.raw)
        return found

    def __bool__(self) -> bool:
        return self.place < len(self.raw)


# ---------------------------------------------------------------- words


@cache
def vocabulary() -> list[str]:
    """Every word that is known, and what stands between words."""
    words = sorted({word for words in lexicon().spellings for word in words})
    return [
        *words,
        "Ana",
        "Will",
        "suds",
        "2",
        "1.5",
        "3/4",
        "7:30",
        "4/5/26",
        "-",
        ",",
        "?",
        ".",
        "'s",
        "%",
        "and",
        "then",
    ]


def phrase(raw: bytes) -> str:
    """The bytes as UTF-8, or, after a first odd byte, as words of the vocabulary: those go deepest."""
    if not raw or raw[0] % 2 == 0:
        return raw[1:].decode("utf-8", "replace")
    words, chosen = vocabulary(), Choices(raw[1:])
    said = []
    while chosen:
        said.append(words[chosen.number(len(words))])
    return " ".join(said)


def read(raw: bytes) -> None:
    """Whatever is said is read without an error, in time that goes with its length."""
    text = phrase(raw)
    begun = time.process_time()
    found = _read(text, NAMES)
    spent = time.process_time() - begun
    assert isinstance(found, Reading | NotUnderstood | Impossible)
    assert spent < 0.5 + SECONDS * len(text), f"{spent:.2f} s for {len(text)} characters"


# ---------------------------------------------------------------- imported lines

EVIL: tuple[Any, ...] = (
    None, True, False, 0, 1, -1, 2, 0.5, 1e-300, 9.99e6, 1e7, 1e308, -0.0, 2**63, 10**40, "", " ", "x" * 81, "x" * 3000, [], {}, [[]],
    {"a": 1}, ["abcdefghijk"], "abcdefghijk", "abcdefghijl", "abcdefghijm", "2026-06-09T12:00:00-06:00", "2026-06-09T12:00:00",
    "1900-01-01T00:00:00Z", "2199-12-31T23:59:59Z", "9999-12-31T23:59:59+14:00", "0001-01-01T00:00:00Z", "2026-03-08T02:30:00-07:00",
    "2026-06-09T12:00:00+23:59", "2026-06-09T12:00:00.123456-06:00", "\x1b[2J", "\u202eevil", "\ud800", "Heron Bend", "fresh",
    "grey", "black", "galley", "inlet", "rinse", "hookup", "tank", "shower", "dishes", "use", "out", "stowed", "seen", "sensor", "us", "metric",
    "party", "absence", "haul", "dump", "limit", "pressure", "safety", "done", "leaving", "Ana", "ana", "water_filter", 'a "b" {c} %s \\',
)  # fmt: skip
HELD = tuple(f"0000000000{place}" for place in range(1, 8))
"""Ids of `WILD`, which are in the log already."""

IDS = ("abcdefghijk", "abcdefghijl", "abcdefghijm", "abcdefghijn", "zbcdefghijk", "0000000000", "zzzzzzzzzzzzzzzzzzzz")
ODD = (
    "turn",
    "litres",
    "until",
    "tank",
    "count",
    "kind",
    "group",
    "seq",
    "activity",
    "person",
    "fraction",
    "text",
    "at",
    "from",
    "people",
)
MOMENTS = (
    "2026-06-09T12:00:00-06:00", "2026-06-09T12:03:00-06:00", "2026-06-08T12:00:00-06:00", "2026-11-01T01:30:00-07:00",
    "1950-01-01T00:00:00Z", "2150-01-01T00:00:00Z",
)  # fmt: skip
USUAL: dict[str, tuple[Any, ...]] = {
    "number": (7.5, 0, 40, 0.5, 9.99e6), "text": ("grey", "shower", "Heron Bend", "\x1b[31mred", "\u202eevil"), "count": (1, 2, 1000),
    "truth": (True, False), "moment": MOMENTS, "said": ([],), "names": (*HELD, HELD[:2], *IDS[:2]),
}  # fmt: skip


def lines(raw: bytes) -> list[str]:
    """The bytes as lines, or, after a first odd byte, as events of known kinds with odd things in some of their fields."""
    if not raw or raw[0] % 2 == 0:
        return raw[1:].decode("utf-8", "replace").split("\n")
    chosen, found = Choices(raw[1:]), []
    while chosen and len(found) < 6:
        found.append(json.dumps(_event(chosen)))
    return found


def _event(chosen: Choices) -> dict[str, Any]:
    kinds = sorted(KINDS)
    kind = kinds[chosen.number(len(kinds))]
    event: dict[str, Any] = {
        "id": IDS[chosen.number(len(IDS))],
        "kind": kind,
        "at": MOMENTS[chosen.number(len(MOMENTS))],
    }
    for name, ((what, *_, choices, _none), default) in KINDS[kind].items():
        if name in event or (default != "required" and chosen.number(4)):
            continue
        usual = choices or USUAL.get("names" if name == "of" else what, (IDS[0],))
        event[name] = usual[chosen.number(len(usual))]
    for _ in range(chosen.number(3)):
        names = sorted({*KINDS[kind], *ODD} - {"id", *(("of",) if kind == "amend" else ())})
        event[names[chosen.number(len(names))]] = EVIL[chosen.number(len(EVIL))]
    return event


def taken_in(raw: bytes) -> None:
    """Lines are named as bad and nothing is added, or they are in, once, for good, and questions are answered over them."""
    given = lines(raw)
    with _log() as path:
        with Log.open(path) as log:
            before = log.last_seq()
            try:
                added = len(merge(log, given).added)
            except BadLine as problem:
                assert log.last_seq() == before and len(str(problem)) < 400
                return
            assert log.last_seq() == before + added
            assert merge(log, given).added == []
            out = list(export(log))
        assert problems(path) == ()
        with Log.open(path.with_name("other.db")) as other:
            merge(other, out)
            assert list(export(other)) == out
        first = crc32(raw) % len(ASKED)
        _answers(path, [ASKED[first], ASKED[first - 1]] if added else [])


# ---------------------------------------------------------------- what is said and printed


def printed(raw: bytes) -> None:
    """Up to three lines are said over a log with wild names in it; nothing that a terminal obeys comes out, and the log stays whole."""
    said = [phrase(piece) for piece in raw.split(b"\n", 2)]
    with _log() as path:
        _answers(path, said)
        assert problems(path) == ()


def _answers(path: Path, said: tuple[str, ...] | list[str]) -> None:
    moment = at("09T12:10")
    with open_conversation(path) as talk:
        talk.strict = True
        for place, text in enumerate(said):
            before = talk.log.last_seq()
            reply = talk.say(text, now=moment + timedelta(minutes=place))
            assert reply.outcome in OUTCOMES
            assert talk.log.last_seq() - before == len(reply.recorded) and bool(reply.recorded) == (
                reply.outcome == "recorded"
            )
            _is_harmless(show.as_json(reply), line_ends=False)
            json.loads(show.as_json(reply), parse_constant=_no_number)
            for screen in SCREENS:
                _is_harmless(printing.printed(reply, screen))


SCREENS = (printing.Screen(), printing.Screen(40, unicode=False), printing.Screen(80, seen=False, spoken=True))


def _is_harmless(text: str, line_ends: bool = True) -> None:
    found = OBEYED.search(text)
    assert found is None, f"{found[0]!r} would be printed"
    assert line_ends or "\n" not in text


def _no_number(name: str) -> None:
    raise AssertionError(f"{name} in JSON")


# ---------------------------------------------------------------- a log to try it on

WILD = (
    {"id": "00000000001", "kind": "note", "text": "\x1b[2J\x1b]0;title\x07 sulphur \u202etext turned\u2066"},
    {"id": "00000000002", "kind": "arrive", "site": "\u202eHeron\x9b31m Bend", "water": True, "sewer": False},
    {"id": "00000000003", "kind": "use", "activity": "\x1b[31mshower", "litres": 7.5, "person": "Ana\u200f"},
    {"id": "00000000004", "kind": "gear", "item": "hose\x07", "where": "out"},
    {"id": "00000000005", "kind": "teach", "word": "suds\x1b", "means": "dishes"},
    {"id": "00000000006", "kind": "rig", "what": "tank", "tank": "galley\u202d", "tank_kind": "grey", "litres": 110},
    {"id": "00000000007", "kind": "step", "list": "leaving", "step": "lock \x1b[5m the bay"},
)


@cache
def _template() -> dict[str, bytes]:
    """A short log of a rig, with imported names and notes that hold what a terminal would obey."""
    folder = tempfile.mkdtemp()
    try:
        path = Path(folder) / "water.db"
        with open_conversation(path) as talk:
            for text in (
                "grey tank 36 gal",
                "fresh tank 40 gal",
                "black tank 30 gal",
                "two people",
                "filled fresh",
                "shower used 2 gal",
            ):
                assert talk.say(text, now=at("08T18:00")).outcome == "recorded"
            merge(talk.log, [json.dumps({**line, "at": "2026-06-08T19:00:00-06:00"}) for line in WILD])
            talk.say("status", now=at("08T20:00"))
        Log.open(Path(folder) / "other.db").close()
        return {name: (Path(folder) / name).read_bytes() for name in ("water.db", "other.db")}
    finally:
        shutil.rmtree(folder)


class _log:  # a context manager, without a generator's cost in each round
    def __enter__(self) -> Path:
        self.folder = Path(
            tempfile.mkdtemp(prefix="ullage-fuzz-", dir="/dev/shm" if os.path.isdir("/dev/shm") else None)
        )
        for name, content in _template().items():
            (self.folder / name).write_bytes(content)
        return self.folder / "water.db"

    def __exit__(self, *_: object) -> None:
        shutil.rmtree(self.folder)


TARGETS: dict[str, Callable[[bytes], None]] = {"read": read, "import": taken_in, "say": printed}


def kept(folder: Path, name: str) -> Iterator[bytes]:
    """The inputs that are kept for a target: a line of JSON each, characters standing for bytes."""
    for line in (folder / f"{name}.jsonl").read_text(encoding="utf-8").splitlines():
        yield json.loads(line).encode("latin-1")
