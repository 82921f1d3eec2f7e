"""The conversations of transcripts_demo/ say what the program says, through every door.

pytest tests/test_transcripts.py --rewrite-transcripts    # then read the diff before committing it
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path

import pytest

from assistant import open_conversation, pipes, show
from assistant.transcript import exchanges, rewritten
from tests.logbook import ROOT, program

FILES = [*sorted((ROOT / "transcripts_demo").glob("*.md")), ROOT / "README.md"]


def answers(db: Path, said: Sequence[str]) -> list[str]:
    """What the Python door answers to these lines on a fresh log."""
    with open_conversation(db) as talk:
        talk.strict = True
        return [show.as_words(pipes.hear(talk, pipes.line(text), None)) for text in said]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_conversation_goes_as_it_is_written(path: Path, db: Path, request: pytest.FixtureRequest) -> None:
    """Every answer exactly, in a log that starts empty."""
    text = path.read_text(encoding="utf-8")
    written = exchanges(text)
    assert written, "a conversation has lines that are said"
    now = rewritten(text, answers(db, [one.said for one in written]))
    if request.config.getoption("--rewrite-transcripts"):
        path.write_text(now, encoding="utf-8")
        return
    diff = difflib.unified_diff(text.splitlines(), now.splitlines(), str(path.name), "as answered", lineterm="", n=3)
    assert now == text, "\n".join(["the answers are others now:", *diff])


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_every_line_tells_its_time(path: Path) -> None:
    """A line without would be heard at the moment of the test, and its answer could not be written down."""
    for one in exchanges(path.read_text(encoding="utf-8")):
        line = pipes.line(one.said)
        assert line.at is not None and not line.problem, f"line {one.number}: {one.said}"


def piped_as_they_stand(text: str) -> str:
    """What sed -n 's/^> //p' makes of the file."""
    return "".join(line[2:] + "\n" for line in text.splitlines() if line.startswith("> "))


@pytest.mark.parametrize("path", FILES[:2], ids=lambda path: path.stem)
def test_the_lines_can_be_piped_as_they_stand(path: Path, db: Path) -> None:
    """Standard input gives the same answers."""
    text = path.read_text(encoding="utf-8")
    told = answers(db, [one.said for one in exchanges(text)])
    done = program("--db", str(db.with_name("piped.db")), stdin=piped_as_they_stand(text))
    assert done.stdout == "".join(answer + "\n" for answer in told)


def test_one_shot_calls_carry_the_same_conversation(db: Path) -> None:
    """One process a turn: the conversation lives in the log."""
    path = FILES[0]
    said = [one.said for one in exchanges(path.read_text(encoding="utf-8"))][:20]
    told = answers(db, said)
    other = db.with_name("shots.db")
    for text, answer in zip(said, told, strict=True):
        line = pipes.line(text)
        assert line.at is not None
        done = program("--db", str(other), "--now", line.at.isoformat(), "--", *line.text.split())
        assert done.stdout == answer + "\n", text
