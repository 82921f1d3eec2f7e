"""What the README and the help page say can be said, is understood; and every topic of the interface is there."""

from __future__ import annotations

import re

import pytest

from assistant import picture_phrase
from assistant.answers import help, topics
from grammar.read import read
from grammar.reading import NotUnderstood
from tests.logbook import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
ROWS = [line for line in README.splitlines() if line.startswith("| ") and " · " in line]
PHRASES = [phrase.strip() for row in ROWS for phrase in row.strip("| ").split("|")[1].split(" · ")]
HELP = [phrase for phrases in help.SUBJECTS.values() for phrase in phrases]


@pytest.mark.parametrize("phrase", [*PHRASES, *HELP])
def test_what_can_be_said_is_understood(phrase: str) -> None:
    """No example of ours may be met with a shrug."""
    assert picture_phrase.asked(phrase) or not isinstance(read(phrase), NotUnderstood), read(phrase)


def test_the_readme_has_both_commands() -> None:
    """One that runs the main job, one that passes the tests, each a block of its own."""
    for mark in ("run", "test"):
        assert re.search(rf"<!-- {mark} -->\n```sh\n[^\n]+\n```", README)


def test_every_topic_has_an_answer() -> None:
    """Each module of the table exists and answers."""
    from importlib import import_module

    for module in set(topics.MODULES.values()):
        assert callable(import_module(f"assistant.answers.{module}").answer)
