"""The first minute: what four answers become, and that every one of them can be left out."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant import first_run
from assistant.reply import Reply
from tests.talking import Talk


class Newcomer:
    """Answers the questions in order; what was said to the conversation is in `phrases`."""

    def __init__(self, *answers: str | None, guess: str = "us") -> None:
        self.phrases: list[str] = []
        self.shown: list[str] = []
        dialogue = first_run.dialogue(self._say, guess)
        self.shown.append(next(dialogue))
        try:
            for answer in answers:
                self.shown.append(dialogue.send(answer))
        except StopIteration as done:
            self.closing = str(done.value)

    def _say(self, phrase: str) -> Reply:
        self.phrases.append(phrase)
        return Reply(phrase, "recorded", answer="Noted.")


def test_four_answers_make_four_questions_and_plain_phrases() -> None:
    """Each answer is said to the conversation as anybody could have said it."""
    new = Newcomer("gallons", "40", "36 30", "2")
    assert new.phrases == ["use gallons", "fresh tank 40", "grey tank 36", "black tank 30", "2 people"]
    assert [text[-200:].count(f"{n} of 4") for n, text in enumerate(new.shown, 1)] == [1, 1, 1, 1]
    assert "shower used 2 gal" in new.closing


def test_enter_four_times_records_only_the_units() -> None:
    """The guessed units are taken on Enter, since they are named in the question; nothing else is made up."""
    assert Newcomer("", "", "", "").phrases == ["use gallons"]
    assert Newcomer("", "none", "skip", "not sure", guess="metric").phrases == ["use litres"]


def test_the_set_up_can_be_left_at_any_question() -> None:
    """Ctrl-C says where it can be taken up again."""
    for answers in ((None,), ("", None), ("", "40", None), ("", "40", "36", None)):
        assert Newcomer(*answers).closing == first_run.LATER


def test_something_else_is_heard_as_usual_and_ends_the_set_up() -> None:
    """Who starts logging at once need not answer."""
    new = Newcomer("", "shower used 2 gal")
    assert new.phrases[-1] == "shower used 2 gal" and first_run.LATER in new.closing


@pytest.mark.parametrize(
    ("answer", "phrases"),
    [
        ("36 30", ["grey tank 36", "black tank 30"]),
        ("36 and 30", ["grey tank 36", "black tank 30"]),
        ("36 gal, 30 gal", ["grey tank 36 gal", "black tank 30 gal"]),
        ("grey 36, black 30", ["grey tank 36", "black tank 30"]),
        ("black 30 and grey 36", ["grey tank 36", "black tank 30"]),
        ("130 l / 110 l", ["grey tank 130 l", "black tank 110 l"]),
        ("36", ["grey tank 36"]),
        ("black 30", ["black tank 30"]),
        ("thirty six and thirty", ["grey tank thirty six", "black tank thirty"]),
        ("36 and none", ["grey tank 36"]),
    ],
)
def test_the_waste_tanks_are_told_in_many_ways(answer: str, phrases: list[str]) -> None:
    """Two amounts in a row, with words or without, in either order if they are named."""
    assert Newcomer("", "", answer).phrases[1:] == phrases


@pytest.mark.parametrize(
    ("answer", "phrase"),
    [
        ("two", "two people"),
        ("3 people", "3 people"),
        ("just me", "one person"),
        ("1", "one person"),
        ("we are four", "four people"),
        ("2 adults and two kids", "4 people"),
    ],
)
def test_people_are_told_in_many_ways(answer: str, phrase: str) -> None:
    """A number, or a word for being alone."""
    assert Newcomer("", "", "", answer).phrases[1:] == [phrase]


@pytest.mark.parametrize(
    ("env", "units"),
    [
        ({"LANG": "en_US.UTF-8"}, "us"),
        ({"LANG": "de_AT.UTF-8"}, "metric"),
        ({"LANG": "en_US.UTF-8", "LC_ALL": "en_GB.UTF-8"}, "metric"),
        ({"LANG": "en_US.UTF-8", "LC_MEASUREMENT": "fr_CA"}, "metric"),
        ({"LANG": "C.UTF-8"}, "us"),
        ({}, "us"),
    ],
)
def test_units_are_guessed_from_the_country(env: dict[str, str], units: str) -> None:
    """As the locale's own order of variables has it; without a country as everywhere else in the program."""
    assert first_run.guessed_units(env) == units


def test_the_real_conversation_understands_every_phrase_of_the_set_up(tmp_path: Path) -> None:
    """Not only the phrases are right: they are recorded, and the sizes are those that were said."""
    talk = Talk(tmp_path / "water.db", rigged=False)
    dialogue = first_run.dialogue(talk.say, "metric")
    next(dialogue)
    for answer in ("", "150", "130 and 110"):
        dialogue.send(answer)
    with pytest.raises(StopIteration):
        dialogue.send("just me")
    assert [reply.outcome for reply in talk.replies] == ["recorded"] * 5
    talk.conversation.refresh()
    rig = talk.conversation.world.rig
    assert rig.units == "metric" and talk.conversation.world.people == 1
    assert {tank.name: tank.litres for tank in rig.tanks.values()} == {"fresh": 150.0, "grey": 130.0, "black": 110.0}
    talk.close()


def test_a_size_that_is_doubted_is_asked_again(tmp_path: Path) -> None:
    """What the conversation refuses is told, and the same question stands."""
    talk = Talk(tmp_path / "water.db", rigged=False)
    dialogue = first_run.dialogue(talk.say, "us")
    next(dialogue)
    dialogue.send("")
    again = dialogue.send("0")
    talk.close()
    assert "2 of 4" in again and talk.replies[-1].outcome == "refused"


@pytest.mark.parametrize(
    ("answer", "phrases"),
    [
        ("fresh 40 grey 36 black 30", ["fresh tank 40", "grey tank 36", "black tank 30"]),
        ("40 gal fresh, 36 gal gray and 30 gal black", ["fresh tank 40 gal", "grey tank 36 gal", "black tank 30 gal"]),
        ("fresh: 90 l, grey: 60 l", ["fresh tank 90 l", "grey tank 60 l"]),
    ],
)
def test_all_the_sizes_may_be_told_in_one_breath(answer: str, phrases: list[str]) -> None:
    """Then the question about the waste tanks is not put any more, and the next one is about people."""
    new = Newcomer("", answer, "two")
    assert new.phrases[1:] == [*phrases, "two people"]
    assert "shower used 2 gal" in new.closing


def test_what_is_not_understood_is_asked_again_and_not_given_up(tmp_path: Path) -> None:
    """A newcomer's first words need not be ours; the third time the set-up makes way."""
    talk = Talk(tmp_path / "water.db", rigged=False)
    dialogue = first_run.dialogue(talk.say, "us")
    next(dialogue)
    dialogue.send("")
    assert "2 of 4" in dialogue.send("some big blue barrel thing")
    assert "3 of 4" in dialogue.send("the fresh tank holds 40")
    talk.close()
    new = [reply.outcome for reply in talk.replies]
    assert new == ["recorded", "not_understood", "recorded"]


@pytest.mark.parametrize("text", ["set up", "set-up questions again", "setup the rig", "do the setup again please"])
def test_the_questions_can_be_called_up_again(text: str) -> None:
    """In the chat, by saying so."""
    assert first_run.asks_again(text)


@pytest.mark.parametrize("text", ["we set up camp", "set up a reminder", "setting up", "shower used 2 gal", ""])
def test_other_words_do_not_call_up_the_questions(text: str) -> None:
    """Camp is set up too."""
    assert not first_run.asks_again(text)


@pytest.mark.parametrize(
    "answer", ["36 grey 30 black 40 fresh", "fresh 40 grey 36 black 30", "grey 36, black 30, fresh 40"]
)
def test_all_three_sizes_told_in_one_breath_go_to_their_own_tanks(answer: str) -> None:
    """Whichever stands first, the number or the tank."""
    new = Newcomer("gallons", answer, "2")
    assert new.phrases == ["use gallons", "fresh tank 40", "grey tank 36", "black tank 30", "2 people"]
