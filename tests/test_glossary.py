"""What a word means: every term has its sentence, and who asks for a number gets the number."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.answers.glossary import MEANINGS
from grammar.asking.what_is import TERMS, what_is
from tests.talking import Talk


def test_every_term_that_can_be_asked_about_is_explained_in_two_sentences() -> None:
    """One table in the grammar, one in the answers."""
    assert list(TERMS) == list(MEANINGS)
    for text in MEANINGS.values():
        assert text.endswith(".") and text.count(". ") <= 2 and not set(text) & set("()%"), text


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("what is grey water", ["grey water"]),
        ("um what's gray water", ["grey water"]),
        ("what does unlogged mean", ["unlogged"]),
        ("What do you mean by “most likely”?", ["most likely"]),
        ("what does 25 % mean", ["the odds"]),
        ("what's a dump station", ["a dump station"]),
        ("define black water", ["black water"]),
        ("what goes into grey", ["grey water"]),
        ("what is the grey tank for", ["grey water"]),
        ("what's the difference between the tote and a hookup", []),
        ("what's the difference between grey and black water", ["grey water", "black water"]),
        ("can you explain the word room", ["room"]),
    ],
)
def test_a_word_asked_about_is_explained(tmp_path: Path, said: str, meant: list[str]) -> None:
    """And nothing is recorded."""
    talk = Talk(tmp_path / "water.db")
    reply = talk.say(said)
    talk.close()
    assert not reply.recorded
    if meant:
        assert (reply.outcome, reply.facts["topic"]) == ("answered", "help")
        assert reply.answer == " ".join(MEANINGS[term] for term in meant)


@pytest.mark.parametrize(
    "said",
    [
        "what is grey at", "what's grey", "what is the grey water", "what is the room in grey", "what's the room", "what does the meter say",
        "what is the meter at", "what's the tote", "what does the sensor say", "what is the usual amount", "what are the odds",
        "what do you mean the grey tank is full", "what's the difference between this week and last week", "what goes on",
    ],
)  # fmt: skip
def test_who_asks_for_a_number_is_not_told_a_meaning(said: str) -> None:
    """The same words, another question."""
    assert what_is(said) is None
