"""Undo, redo and amend: what counts in the end."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from state.log import history
from tests.examples import examples
from tests.folding import Story, event, hour


def counted(story: Story) -> list[str]:
    return [entry.id for entry in history.effective(story.entries)]


def test_undo_takes_back_all_the_events_it_names() -> None:
    """A turn of two events is taken back by one undo."""
    story = Story(rigged=False)
    one, two, three = story.use(1, 2), story.use(1, 3), story.use(2, 4)
    story.tell("undo", 3, of=(one.id, two.id))
    assert counted(story) == [three.id]


def test_redo_brings_back_what_the_undo_took() -> None:
    """Undo, redo: as if nothing had been said."""
    story = Story(rigged=False)
    one = story.use(1, 2)
    undo = story.tell("undo", 2, of=one.id)
    story.tell("redo", 3, of=undo.id)
    assert counted(story) == [one.id]


def test_undoing_a_redo_takes_the_event_away_again() -> None:
    """Undo, redo, undo of the redo."""
    story = Story(rigged=False)
    one = story.use(1, 2)
    undo = story.tell("undo", 2, of=(one.id,))
    redo = story.tell("redo", 3, of=undo.id)
    story.tell("undo", 4, of=redo.id)
    assert counted(story) == []


def test_undoing_an_undo_is_a_redo() -> None:
    """Undo of an undo brings its events back."""
    story = Story(rigged=False)
    one = story.use(1, 2)
    undo = story.tell("undo", 2, of=one.id)
    story.tell("undo", 3, of=undo.id)
    assert counted(story) == [one.id]


def test_undo_of_an_amendment_restores_what_was_said_first() -> None:
    """The correction goes, the event stays as it was."""
    story = Story(rigged=False)
    one = story.use(1, 2)
    amend = story.tell("amend", 1, of=one.id, litres=3.0)
    assert history.effective(story.entries)[0].litres == 3.0
    story.tell("undo", 3, of=amend.id)
    assert history.effective(story.entries)[0].litres == 2.0


def test_amendments_apply_in_the_order_they_were_said_and_can_move_the_moment() -> None:
    """The later one wins; a changed moment changes the place in the order."""
    story = Story(rigged=False)
    first, second = story.use(1, 2), story.use(2, 5)
    story.tell("amend", 1, of=first.id, litres=3.0)
    story.tell("amend", 4, of=first.id, litres=4.0, activity="dishes")
    entries = history.effective(story.entries)
    assert [entry.id for entry in entries] == [second.id, first.id]
    assert (entries[1].litres, entries[1].activity, entries[1].at, entries[1].kind) == (4.0, "dishes", hour(4), "use")


def test_a_told_volume_replaces_a_typical_one() -> None:
    """ "Make that 3": no longer estimated, and a fraction that was said gives way to litres."""
    story = Story(rigged=False)
    use = story.use(1, 7.6, estimated=True)
    level = story.tell("level", 1, tank="grey", fraction=0.5)
    story.tell("amend", 1, of=use.id, litres=3.0)
    story.tell("amend", 1, of=level.id, litres=30.0)
    one, two = history.effective(story.entries)
    assert (one.litres, one.estimated) == (3.0, False)
    assert (two.litres, two.fraction) == (30.0, None)


def test_events_are_in_order_of_when_they_happened_then_of_when_they_were_said() -> None:
    """Back-dated events fall into their place."""
    story = Story(rigged=False)
    late, early, same = story.use(5, 1), story.use(2, 1), story.use(5, 1)
    assert counted(story) == [early.id, late.id, same.id]


@settings(max_examples=examples(200), deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["use", "undo", "redo", "amend"]), st.integers(0, 30)), max_size=25))
def test_odd_history_never_raises(steps: list[tuple[str, int]]) -> None:
    """Corrections of nothing, of themselves, of each other in circles: passed over."""
    entries = []
    for seq, (kind, of) in enumerate(steps, 1):
        fields = {"activity": "shower", "litres": 1.0} if kind == "use" else {"of": f"e{of:010d}"}
        entries.append(event(kind, seq, seq, **fields))
    for entry in history.effective(entries):
        assert entry.kind == "use"
