"""Help by subject: each has a sentence and phrases, each is found by the words people ask with, and aloud it is no list."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.answers import help
from assistant.speak import speakable
from tests.talking import Talk


def test_every_subject_has_a_sentence_phrases_and_other_words() -> None:
    """Three tables, one list of names."""
    assert list(help.SUBJECTS) == list(help.ABOUT) == list(help.ALSO)
    assert all(phrases for phrases in help.SUBJECTS.values())


@pytest.mark.parametrize("name", help.SUBJECTS)
def test_a_subject_is_found_by_its_name_and_every_other_word(name: str) -> None:
    """Also in the middle of a question."""
    assert help.subject_of(name) == name
    for word in help.ALSO[name].split():
        assert help.subject_of(f"how to {word}") == name, word


def test_no_word_leads_to_two_subjects() -> None:
    """The second would never be found by it."""
    words = [word for text in help.ALSO.values() for word in text.split()]
    assert sorted(set(words)) == sorted(words)


def test_help_is_about_what_was_asked_in_any_rig(tmp_path: Path) -> None:
    """Also about tanks and pictures, also before any tank is known; and an unknown subject is told, with those there are."""
    talk = Talk(tmp_path / "water.db", rigged=False)
    for name in help.SUBJECTS:
        reply = talk.say(f"help {name}")
        assert (reply.outcome, reply.facts["topic"], reply.facts["subject"]) == ("answered", "help", name)
        assert reply.answer.startswith(help.ABOUT[name])
    lost = talk.say("help with unicorns").answer
    talk.close()
    assert lost.startswith("I have no help with unicorns.") and all(name in lost for name in help.SUBJECTS)


def test_help_read_aloud_is_sentences(tmp_path: Path) -> None:
    """No list, no more than two sentences beside the examples."""
    talk = Talk(tmp_path / "water.db", rigged=False)
    replies = [talk.say(phrase) for phrase in ("help", *(f"help {name}" for name in help.SUBJECTS))]
    talk.close()
    for reply in replies:
        spoken = speakable(reply.answer, reply.facts)
        assert "\n" not in spoken and spoken.endswith(".") and spoken.count(". ") <= 2, spoken
