"""A picture kept by saying so, at any door and from Python: a whole SVG where it was asked for, and no other file touched."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest

from assistant import picture_phrase
from tests.talking import Talk


@pytest.fixture
def talk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Talk]:
    monkeypatch.chdir(tmp_path)
    opened = Talk(tmp_path / "water.db")
    yield opened
    opened.close()


@pytest.mark.parametrize(
    ("text", "what", "file"),
    [
        ("save a picture", "tanks", "tanks.svg"),
        ("Save a picture of the forecast.", "forecast", "forecast.svg"),
        ("please make me a picture of this week", "week", "week.svg"),
        ("save the forecast as a picture", "forecast", "forecast.svg"),
        ("keep the tanks as tonight.svg", "tanks", "tonight.svg"),
        ("save a picture of the tanks to out/a.svg", "tanks", "out/a.svg"),
    ],
)
def test_what_asks_for_a_picture(text: str, what: str, file: str) -> None:
    """The tanks where nothing else is named, under their own name where no file is."""
    assert picture_phrase.asked(text) == picture_phrase.Wanted(what, file)


@pytest.mark.parametrize(
    "text",
    ["picture day at school", "show the tanks", "save water this week", "keep the tanks empty", "make the forecast"],
)
def test_what_does_not(text: str) -> None:
    """Ordinary phrases go to the conversation."""
    assert picture_phrase.asked(text) is None


def test_the_file_is_a_picture_and_the_answer_says_where(talk: Talk, tmp_path: Path) -> None:
    """Well-formed, at the moment asked, and nothing is booked."""
    reply = talk.say("save a picture of the forecast")
    assert reply.outcome == "answered" and reply.recorded == () and "forecast.svg" in reply.answer
    assert ElementTree.parse(tmp_path / "forecast.svg").getroot().tag.endswith("svg")
    assert reply.facts["topic"] == "make_it" and reply.facts["file"] == str(tmp_path / "forecast.svg")


def test_a_file_that_is_no_picture_is_left_alone(talk: Talk, tmp_path: Path) -> None:
    """Refused, and its content stands."""
    (tmp_path / "tanks.svg").write_text("my notes")
    assert talk.say("save a picture").outcome == "refused"
    assert (tmp_path / "tanks.svg").read_text() == "my notes"


def test_a_dry_run_writes_no_picture(talk: Talk, tmp_path: Path) -> None:
    """Understood and answered, nothing else."""
    reply = talk.conversation.say("save a picture", now=talk.now, dry_run=True)
    assert reply.outcome == "answered" and not (tmp_path / "tanks.svg").exists()
