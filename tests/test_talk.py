"""What a conversation keeps between turns never differs from folding the whole log anew."""

from __future__ import annotations

import shutil
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant import __main__ as door
from assistant import open_conversation
from assistant.standing import KEEP_EVERY
from state.log import opening, recall
from state.log.history import effective
from state.water.belief import believe
from state.water.fold import fold
from tests import longlog
from tests.examples import examples
from tests.talking import GALLON, Talk, at

PHRASES = (
    "shower 2 gal", "dishes 1 gal", "two flushes", "meter 60", "undo", "redo", "make that 3", "dumped grey", "grey is half full",
    "shower 2 gal yesterday evening", "heading out", "we're back", "on the pump now", "status", "yes", "same again", "reset the meter",
)  # fmt: skip


def levels(talk: Talk) -> dict[str, float]:
    now = talk.now
    return {name: tank.level.mean for name, tank in believe(talk.conversation.world, now).tanks.items()}


def levels_anew(talk: Talk) -> dict[str, float]:
    world = fold(effective(talk.conversation.log.entries()))
    return {name: tank.level.mean for name, tank in believe(world, talk.now).tanks.items()}


@settings(max_examples=examples(15), deadline=None)
@given(said=st.lists(st.tuples(st.sampled_from(PHRASES), st.integers(0, 300)), min_size=1, max_size=12))
def test_the_world_in_hand_is_the_world_folded_anew(said: list[tuple[str, int]], tmp_path_factory: object) -> None:
    """Whatever was said, corrected or told late."""
    folder: Path = tmp_path_factory.mktemp("talk")  # type: ignore[attr-defined]
    talk = Talk(folder / "water.db")
    try:
        for phrase, minutes in said:
            talk.say(phrase, talk.now + timedelta(minutes=minutes))
            talk.conversation.refresh()
            assert levels(talk) == levels_anew(talk), phrase
    finally:
        talk.close()


def test_a_dry_run_leaves_the_world_as_it_was(tmp_path: Path) -> None:
    """What was only imagined is forgotten."""
    talk = Talk(tmp_path / "water.db")
    before = levels(talk)
    talk.conversation.say("shower 5 gal", now=talk.now, dry_run=True)
    talk.conversation.refresh()
    assert levels(talk) == before
    talk.close()


def test_what_another_process_logged_is_taken_in(tmp_path: Path) -> None:
    """Two conversations over one log tell the same."""
    one = Talk(tmp_path / "water.db")
    with open_conversation(tmp_path / "water.db") as other:
        other.say("shower 3 gal", now=at("09T08:00"))
        mine = one.say("status", at("09T08:01")).facts
        theirs = other.say("status", now=at("09T08:01")).facts
    assert mine == theirs
    one.close()


def test_a_kept_world_answers_as_the_whole_log_does(tmp_path: Path) -> None:
    """The next process starts from the kept world and says the same."""
    talk = Talk(tmp_path / "water.db")
    for place in range(KEEP_EVERY + 5):
        talk.say("hands 0.1 gal", at("09T08:00") + timedelta(minutes=place))
    talk.conversation.refresh()
    assert talk.conversation.log.load_snapshot(_mark()) is not None
    talk.reopened()
    assert levels(talk) == levels_anew(talk)
    talk.close()


def _mark() -> str:
    from state.log.fingerprint import fingerprint

    return fingerprint()


@pytest.mark.parametrize("json", [False, True])
def test_whoever_waits_for_a_long_log_is_told_so(
    tmp_path: Path, json: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Once, beside the answers and not among them; a script is told nothing; the next turn needs no waiting."""
    monkeypatch.setattr(recall, "LONG", 100)
    monkeypatch.setattr(opening, "LONG", 100)
    db = longlog.make(tmp_path / "water.db", 150)
    said = ["--db", str(db), "--now", longlog.END.isoformat(), *(["--json"] if json else []), "status"]
    assert door.main(said) == door.main(said) == 0
    told = capsys.readouterr()
    assert told.err.splitlines() == ([] if json else [begun(150)])
    assert len(told.out.splitlines()) == 2


def test_a_migration_of_a_long_log_is_told_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An older log is worked through before it is folded."""
    monkeypatch.setattr(opening, "LONG", 20)
    shutil.copy(Path(__file__).parent / "logs" / "talk-2.sqlite", tmp_path / "water.db")
    told: list[int] = []
    with open_conversation(tmp_path / "water.db", patience=told.append) as talk:
        talk.refresh()
        assert told == [talk.seq]


def begun(events: int) -> str:
    return f"One moment: {events} events are gone through anew, which is needed once after an update."


def test_water_brought_to_the_rig_is_asked_about_before_it_counts_as_in_the_tank(tmp_path: Path) -> None:
    """Jugs may as well stand in the galley."""
    talk = Talk(tmp_path / "water.db")
    talk.say("fresh is at half")
    reply = talk.say("brought back 10 gallons in jugs")
    assert (reply.outcome, reply.recorded) == ("asked", ())
    assert reply.answer == "Did the 10 gal go into the fresh tank?"
    (booked,) = talk.say("yes").recorded
    assert (booked["kind"], booked["tank"], round(booked["litres"] / GALLON, 6)) == ("fill", "fresh", 10)


def test_it_took_so_much_is_said_of_what_was_told_last_but_never_of_a_reading(tmp_path: Path) -> None:
    """A meter does not take anything."""
    talk = Talk(tmp_path / "water.db")
    talk.say("filled fresh")
    (fill,) = talk.say("it took 20 gal").recorded
    assert (fill["kind"], round(fill["litres"] / GALLON, 6)) == ("amend", 20)
    talk.say("two showers")
    (shower,) = talk.say("they took 2.5 gallons each").recorded
    assert round(shower["litres"] / GALLON, 6) == 5
    talk.say("meter 12")
    reply = talk.say("it took 14 gallons")
    assert (reply.outcome, reply.recorded) == ("asked", ())


def test_an_activity_by_its_name_alone_is_offered_with_its_usual_amount(tmp_path: Path) -> None:
    """A yes books it, an amount books that, anything else leaves it."""
    talk = Talk(tmp_path / "water.db")
    reply = talk.say("dishes")
    assert (reply.outcome, reply.recorded) == ("asked", ())
    assert reply.answer == "Shall I book dishes, about 1.5 gal as usual? Or say how much."
    (usual,) = talk.reopened().say("yes").recorded
    assert (usual["activity"], usual["estimated"]) == ("dishes", True)
    talk.say("a shower")
    (told,) = talk.say("3 gal").recorded
    assert (told["activity"], told["estimated"], round(told["litres"] / GALLON, 6)) == ("shower", False, 3)
    talk.say("laundry")
    assert [one["kind"] for one in talk.say("grey is half full").recorded] == ["level"]
    assert talk.say("yes").recorded == ()
