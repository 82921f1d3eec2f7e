"""What two devices may have told twice is asked about in the conversation: one or two? Never dropped by itself, never asked twice."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from assistant import open_conversation
from assistant.__main__ import main
from state.log.history import effective
from state.log.merge import export
from state.log.ordering import as_one_log
from state.log.soundness import problems
from state.log.store import Log
from tests.talking import Talk, at

RIG = ("grey tank 36 gal", "fresh tank 40 gal", "dumped grey")
SAID = {"mine": ("shower used 2 gal", "dishes 1 gal"), "theirs": ("shower used 2 gal", "dishes 1 gal")}


def told(path: Path) -> str:
    with Log.open(path) as log:
        return "\n".join(export(log))


def taken_in(mine: Path, theirs: Path) -> None:
    """Through the door: the export of the one, imported into the other."""
    lines = theirs.with_suffix(".jsonl")
    lines.write_text(told(theirs), encoding="utf-8")
    assert main(["--db", str(mine), "--now", at("09T08:00").isoformat(), "--import", str(lines)]) == 0


@pytest.fixture
def phones(db: Path) -> Iterator[tuple[Path, Path]]:
    """Two logs with the same rig; two minutes apart both tell of one shower and of one round of dishes."""
    mine, theirs = db, db.with_name("theirs.db")
    with open_conversation(mine) as talk:
        for text in RIG:
            assert talk.say(text, now=at("09T06:00")).outcome == "recorded"
    taken_in(theirs, mine)
    for place, (path, name) in enumerate(((mine, "mine"), (theirs, "theirs"))):
        with open_conversation(path) as talk:
            for number, text in enumerate(SAID[name]):
                talk.say(text, now=at("09T07:40") + timedelta(minutes=10 * number + 2 * place))
    yield mine, theirs


def uses(path: Path) -> list[str]:
    with Log.open(path) as log:
        return [entry.activity for entry in effective(as_one_log(log.entries())) if entry.kind == "use"]


def test_each_is_asked_about_and_the_reply_may_come_in_the_next_call(
    phones: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """ "One" takes the later one back by an event like any other; "two" leaves both, and neither is asked again."""
    mine, theirs = phones
    taken_in(mine, theirs)
    assert "shower, 2 gal today at 7:40 and 7:42. One or two? (1 more like it.)" in capsys.readouterr().out
    talk = Talk(mine, rigged=False)
    assert uses(mine) == ["shower", "shower", "dishes", "dishes"]
    first = talk.say("one", at("09T08:01"))
    assert first.outcome == "recorded" and [one["kind"] for one in first.recorded] == ["undo"]
    assert "dishes, 1 gal today at 7:50 and 7:52. One or two?" in first.answer
    second = talk.reopened().say("two")
    assert second.outcome == "answered" and second.answer == "Both are counted."
    assert uses(mine) == ["shower", "dishes", "dishes"]
    assert "One or two?" not in talk.say("status").answer + talk.say("status", at("12T08:00")).answer
    taken_in(mine, theirs)
    assert "0 events added" in capsys.readouterr().out
    assert "One or two?" not in talk.say("status").answer
    talk.close()
    assert problems(mine) == ()


@pytest.mark.parametrize(
    ("reply", "left"),
    [
        ("one", 1), ("1", 1), ("just one", 1), ("it was one", 1), ("once", 1), ("the same", 1), ("one shower", 1),
        ("two", 2), ("both", 2), ("two showers", 2), ("no, two", 2), ("twice", 2),
    ],
)  # fmt: skip
def test_ways_to_reply(phones: tuple[Path, Path], reply: str, left: int) -> None:
    """However it is said, nothing but an undo is ever booked by it."""
    taken_in(*phones)
    talk = Talk(phones[0], rigged=False)
    found = talk.say(reply, at("09T08:01"))
    assert {one["kind"] for one in found.recorded} <= {"undo"}
    talk.close()
    assert uses(phones[0]).count("shower") == left


@pytest.mark.parametrize("reply", ["yes", "no", "blorp", "status", "what did we use today"])
def test_what_says_neither_leaves_both_and_the_question(phones: tuple[Path, Path], reply: str) -> None:
    """A yes to "one or two" says nothing; after anything else a bare number is still the reply for a while."""
    taken_in(*phones)
    talk = Talk(phones[0], rigged=False)
    talk.say(reply, at("09T08:01"))
    assert uses(phones[0]).count("shower") == 2
    talk.say("one", at("09T08:02"))
    talk.close()
    assert uses(phones[0]).count("shower") == 1


def test_a_report_is_no_reply(phones: tuple[Path, Path]) -> None:
    """What is said with an amount, or again, is booked as ever; the question comes back a day later."""
    taken_in(*phones)
    talk = Talk(phones[0], rigged=False)
    assert talk.say("shower used 3 gal", at("09T08:01")).recorded[0]["kind"] == "use"
    assert talk.say("the same again", at("09T08:02")).recorded[0]["kind"] == "use"
    assert "One or two?" not in talk.say("coffee 0.2 gal", at("09T09:00")).answer
    assert "One or two?" in talk.say("coffee 0.2 gal", at("10T09:00")).answer
    assert talk.say("one", at("10T09:01")).recorded[0]["kind"] == "undo"
    talk.close()


def test_what_another_device_settled_is_not_asked(phones: tuple[Path, Path]) -> None:
    """An undo that comes in with the next import settles the pair here too."""
    mine, theirs = phones
    taken_in(mine, theirs)
    taken_in(theirs, mine)
    talk = Talk(theirs, rigged=False)
    talk.say("one", at("09T08:05"))
    talk.say("one", at("09T08:06"))
    talk.close()
    taken_in(mine, theirs)
    assert uses(mine) == uses(theirs) == ["shower", "dishes"]
    talk = Talk(mine, rigged=False)
    assert "One or two?" not in talk.say("status", at("11T08:00")).answer
    talk.close()
