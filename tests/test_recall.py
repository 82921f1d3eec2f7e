"""Kept worlds save reading and folding and change nothing: whatever is corrected or told late, at whatever length of the log."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant import standing
from assistant.past import Past
from state.log import recall
from state.log.fingerprint import fingerprint
from state.log.history import effective
from state.log.kept import YOUNGEST, packed, thinned, unpacked
from state.log.ordering import as_one_log
from state.log.recall import Recall
from state.log.store import Log
from state.water.fold import fold, restore, snapshot
from tests import longlog
from tests.examples import examples
from tests.talking import Talk, at

PHRASES = (
    "shower 2 gal", "dishes 1 gal", "meter 60", "undo", "undo the last two", "undo the shower", "redo", "make that 3", "dumped grey",
    "no, it was dishes", "grey is half full", "shower 2 gal yesterday evening", "I meant yesterday", "dishes 1 gal this morning",
    "on the pump now", "status", "yes", "same again", "reset the meter", "shower from 80 to 82", "meter 50",
)  # fmt: skip


def anew(log: Log) -> dict[str, Any]:
    return snapshot(fold(effective(as_one_log(log.entries()))))


@settings(max_examples=examples(12), deadline=None)
@given(said=st.lists(st.tuples(st.sampled_from(PHRASES), st.integers(0, 400), st.booleans()), min_size=1, max_size=16))
def test_a_world_from_kept_ones_is_the_world_folded_anew(
    said: list[tuple[str, int, bool]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """With a world kept after every other event and nearly no entry in hand, in one process and over several."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(standing, "KEEP_EVERY", 2)
        patch.setattr(recall, "HOLD_EVERY", 2)
        patch.setattr(recall, "WINDOWS", (1, 3))
        patch.setattr("state.log.kept.YOUNGEST", 2)
        talk = Talk(tmp_path_factory.mktemp("recall") / "water.db")
        try:
            for phrase, minutes, leaves in said:
                talk.say(phrase, talk.now + timedelta(minutes=minutes))
                if leaves:
                    talk.reopened()
                talk.conversation.refresh()
                assert snapshot(talk.conversation.world) == anew(talk.conversation.log), phrase
        finally:
            talk.close()


@settings(max_examples=examples(12), deadline=None)
@given(said=st.lists(st.tuples(st.sampled_from(PHRASES), st.integers(0, 400)), min_size=4, max_size=14))
def test_answers_are_the_same_with_a_short_memory(
    said: list[tuple[str, int]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """What is looked for among the latest entries first is found as in the whole log."""
    answers = []
    for windows in ((1, 2), (1000, 2000)):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(recall, "WINDOWS", windows)
            talk = Talk(tmp_path_factory.mktemp("recall") / "water.db")
            for phrase, minutes in said:
                talk.reopened()
                talk.say(phrase, talk.now + timedelta(minutes=minutes))
            talk.close()
            answers.append([(reply.outcome, reply.answer) for reply in talk.replies])
    assert answers[0] == answers[1]


def test_the_world_at_an_earlier_moment_and_without_an_entry(tmp_path: Path) -> None:
    """As if the log had ended then, or the entry had never been made."""
    with Log.open(longlog.make(tmp_path / "water.db", 400)) as log:
        memory = Recall(log)
        world = memory.begin()
        memory.keep(world)
        entries = log.entries()
        for seq in (250, 390):
            entry = entries[seq]
            before = [one for one in effective(entries) if one.at <= entry.at]
            assert snapshot(memory.world(until=entry.at)) == snapshot(fold(before))
            without = [one for one in before if one.id != entry.id]
            assert snapshot(memory.world(until=entry.at, without=entry)) == snapshot(fold(without))


def test_a_long_log_is_folded_by_stretches(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a kept world the log is not read as a whole, and the world is the same."""
    monkeypatch.setattr(recall, "STRETCH", 300)
    read: list[int] = []
    with Log.open(longlog.make(tmp_path / "water.db", 2000)) as log:
        whole, entries = anew(log), log.entries
        monkeypatch.setattr(log, "entries", lambda *of, **by: read.append(len(rows := entries(*of, **by))) or rows)
        assert snapshot(Recall(log).begin()) == whole
    assert max(read) <= 300


def test_a_correction_far_down_a_long_log_reads_no_more_than_near_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Undo, amend, a report of yesterday, a corrected reading: each reads some two hundred entries at most of two thousand."""
    path = longlog.make(tmp_path / "water.db", 2000)
    Talk(path, rigged=False).close()
    talk = Talk(path, rigged=False)
    for place in range(150):  # so that worlds are kept at the places at which they would have been
        talk.say("hands 0.1 gal", at("09T08:00") + timedelta(minutes=place))
    read: list[int] = []
    entries = Log.entries
    monkeypatch.setattr(Log, "entries", lambda *of, **by: read.append(len(rows := entries(*of, **by))) or rows)
    for phrase in (
        "undo",
        "hands 0.2 gal",
        "make that 0.3",
        "shower 2 gal yesterday evening",
        "meter 90",
        "make that 91",
        "same again",
    ):
        talk.reopened()
        read.clear()
        talk.say(phrase, at("09T12:00"))
        talk.conversation.refresh()
        assert sum(read) <= 300, (phrase, read)
        assert snapshot(talk.conversation.world) == snapshot(fold(effective(entries(talk.conversation.log))))
    talk.close()


def test_a_damaged_kept_world_is_passed_over(tmp_path: Path) -> None:
    """A flipped digit in the cache changes no answer."""
    with Log.open(longlog.make(tmp_path / "water.db", 120)) as log:
        memory = Recall(log)
        memory.keep(memory.begin())
        with log.writing() as connection:
            for seq, held in connection.execute("SELECT seq, world FROM snapshots").fetchall():
                other = packed(seq, str(unpacked(seq, held)).replace('"people":2', '"people":7'))
                assert other != held
                connection.execute("UPDATE snapshots SET world = ? WHERE seq = ?", (held[:4] + other[4:], seq))
        assert snapshot(Recall(log).begin()) == anew(log)


@given(places=st.lists(st.integers(1, 200), min_size=1, max_size=200))
def test_few_worlds_are_kept_and_none_is_far_from_where_it_is_wanted(places: list[int]) -> None:
    """As worlds come, the latest stays, the number grows with the logarithm, and for each age there is one about twice as old at most."""
    kept: set[int] = set()
    now = 0
    for step in places:
        now += step
        kept = thinned({*kept, now})
    assert now in kept
    assert len(kept) <= 2 + max(1, (now // YOUNGEST + 1)).bit_length()


def test_lists_of_objects_come_back_from_their_columns(tmp_path: Path) -> None:
    """Many stays, written down field by field, are the same stays."""
    with Log.open(longlog.make(tmp_path / "water.db", 1500)) as log:
        world = fold(effective(log.entries()))
    assert len(world.stays) > 4 and '"*"' in str(snapshot(world)).replace("'", '"')
    assert restore(snapshot(world)) == world


def _rounded(value: Any) -> Any:
    """Sums taken in another order may differ in the last digits."""
    if isinstance(value, dict):
        return {name: _rounded(each) for name, each in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(each) for each in value]
    return round(value, 6) + 0.0 if isinstance(value, float) else value


QUESTIONS = (
    "what did we use today", "what did we use this week", "what did we use last month", "show the last ten", "who uses the most",
    "how much does a shower use", "when did we last dump", "when did we last read the meter", "when did we last fill fresh", "why",
    "how do you know how full grey is", "what changed", "what would save most", "show this week", "how much did we use yesterday",
)  # fmt: skip


@settings(max_examples=examples(10), deadline=None)
@given(
    said=st.lists(st.tuples(st.sampled_from(PHRASES), st.integers(0, 3000), st.booleans()), min_size=3, max_size=20),
    reach=st.sampled_from([(0.01, 0.1, 1), (2, 14, 100)]),
)
def test_what_is_answered_from_part_of_the_log_is_what_all_of_it_answers(
    said: list[tuple[str, int, bool]], reach: tuple[float, ...], tmp_path_factory: pytest.TempPathFactory
) -> None:
    """History, averages and arithmetic: from kept worlds and the latest events, and from every event folded anew."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(standing, "KEEP_EVERY", 3)
        patch.setattr("state.log.kept.YOUNGEST", 2)
        patch.setattr("assistant.scene.SPANS", reach)
        talk = Talk(tmp_path_factory.mktemp("recall") / "water.db")
        for phrase, minutes, leaves in said:
            talk.say(phrase, talk.now + timedelta(minutes=minutes))
            if leaves:
                talk.reopened()
        answers = []
        for past in (standing.Standing.past, lambda own, drafts=(): Past(lambda: own.effective)):
            patch.setattr(standing.Standing, "past", past)
            talk.reopened()
            answers.append([talk.conversation.say(each, talk.now, dry_run=True) for each in QUESTIONS])
        talk.close()
    for one, other in zip(*answers, strict=True):
        assert one.answer == other.answer, one.heard
        assert _rounded(one.facts) == _rounded(other.facts), one.heard


@pytest.mark.bench
def test_a_hundred_thousand_events_leave_a_world_that_can_be_kept(tmp_path: Path) -> None:
    """Every number of it is finite; the doubt of the habits of logging once grew without bound."""
    db = longlog.make(tmp_path / "log.db", 100_000)
    with Log.open(db) as log:
        seq = log.last_seq()
        Recall(log).begin()
        kept = log.load_snapshot(fingerprint())
    assert kept is not None and kept[0] > seq - 2000
