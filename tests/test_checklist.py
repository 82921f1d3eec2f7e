"""Procedures walked through step by step, and a departure that cannot be closed in silence."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from state.care import checklist, procedures
from state.entry import Entry
from state.water.fold import advance, fold
from state.world import World

T0 = datetime(2026, 6, 9, 8, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


def entry(kind: str, at: datetime = T0, **fields: object) -> Entry:
    if kind == "step":
        fields = {"before": None, "after": None, "drop": False, "mark": None, **fields}
    return Entry(
        {"id": f"{kind}{at:%d%H%M%S}", "kind": kind, "at": at, "heard_at": at, "heard": "", "said": (), **fields}
    )


def arrive(site: str, at: datetime = T0, water: bool | None = True, sewer: bool | None = True) -> Entry:
    return entry("arrive", at, site=site, water=water, sewer=sewer, until=None)


def marked(world: World, name: str, walked: checklist.Walked, now: datetime) -> None:
    """Books the mark of a word of walking, as the conversation does."""
    if walked.mark is not None:
        advance(world, entry("step", now, list=name, step=walked.mark[0], mark=walked.mark[1]))


def states(world: World, name: str, now: datetime) -> list[str]:
    return [one.state for one in checklist.steps(world, name, now)]


@pytest.mark.parametrize("name", procedures.LISTS)
def test_every_step_has_words_and_a_reason_and_a_key_of_its_own(name: str) -> None:
    """Nothing in a procedure stands without its why."""
    rows = procedures.LISTS[name]
    assert len({row.key for row in rows}) == len(rows)
    assert all(row.text and row.why and row.text[0].isupper() and not row.text.endswith(".") for row in rows)


@pytest.mark.parametrize("name", procedures.LISTS)
def test_each_step_can_be_named_by_its_own_words(name: str) -> None:
    """The key and the text of a step find it and no other."""
    items = checklist.steps(World(), name, T0)
    for place, one in enumerate(items):
        assert checklist.find(items, one.key) == place
        assert checklist.find(items, one.text.upper()) == place


def test_black_comes_before_grey_and_gloves_before_both() -> None:
    """The order of the trade: gloves, fresh shut, black, its rinse with the valve open, then grey, hands last."""
    keys = [one.key for one in checklist.steps(World(), "dumping", T0)]
    order = [keys.index(key) for key in ("gloves", "fresh-shut", "black", "rinse", "black-close", "grey", "hands")]
    assert order == sorted(order)


def test_water_goes_on_in_order_regulator_before_hose() -> None:
    """Flush and wipe the spigot, regulator, meter, hose; air out before the heater is used."""
    keys = [one.key for one in checklist.steps(World(), "arriving", T0)]
    order = [keys.index(key) for key in ("flush", "wipe", "pressure", "reset", "hose", "open", "air")]
    assert order == sorted(order)


def test_steps_without_their_thing_are_left_out() -> None:
    """No sewer, no sewer steps; no black tank, no black steps; a dry site has none for the spigot."""
    world = fold([
        entry("rig", what="tank", tank="grey", tank_kind="grey", litres=100.0, gone=False),
        arrive("Pine Hollow", water=False, sewer=False),
    ])  # fmt: skip
    keys = {one.key for one in checklist.steps(world, "leaving", T0)}
    assert not keys & {"dump-black", "dump-grey", "sewer-hose", "shut", "gear"}
    assert {"close", "walk"} <= keys
    assert "look-levels" in {one.key for one in checklist.steps(world, "arriving", T0)}


def test_walk_marks_goes_back_and_ends() -> None:
    """Next marks and moves on, skip skips, back opens the last one again, what's left counts the open ones."""
    world = fold([arrive("Heron Bend")])
    n = len(checklist.steps(world, "arriving", T0))
    first = checklist.walk(world, "arriving", T0 + MINUTE, "next")
    marked(world, "arriving", first, T0 + MINUTE)
    assert (first.at, len(first.open)) == (1, n - 1)
    skipped = checklist.walk(world, "arriving", T0 + 2 * MINUTE, "skip")
    marked(world, "arriving", skipped, T0 + 2 * MINUTE)
    assert states(world, "arriving", T0 + 2 * MINUTE)[:3] == ["done", "skipped", "open"]
    back = checklist.walk(world, "arriving", T0 + 3 * MINUTE, "back")
    marked(world, "arriving", back, T0 + 3 * MINUTE)
    assert back.at == 1
    assert states(world, "arriving", T0 + 3 * MINUTE)[:3] == ["done", "open", "open"]
    assert checklist.walk(world, "arriving", T0 + 3 * MINUTE, "left").mark is None
    for minute in range(4, 4 + n):
        now = T0 + minute * MINUTE
        marked(world, "arriving", checklist.walk(world, "arriving", now, "done"), now)
    end = checklist.walk(world, "arriving", T0 + 60 * MINUTE, "left")
    assert end.at is None and end.complete


def test_walk_goes_on_tomorrow() -> None:
    """Half the leaving list tonight, the rest in the morning: the marks are in the log."""
    world = fold([arrive("Heron Bend")])
    for minute in range(1, 4):
        now = T0 + timedelta(hours=12) + minute * MINUTE
        marked(world, "leaving", checklist.walk(world, "leaving", now, "done"), now)
    morning = T0 + timedelta(hours=36)
    assert checklist.going_on(world, morning) == "leaving"
    assert states(world, "leaving", morning)[:4] == ["done", "done", "done", "open"]


def test_next_stay_starts_its_lists_anew() -> None:
    """What was done at Heron Bend is not done at Cedar Flat."""
    world = fold([arrive("Heron Bend")])
    marked(world, "leaving", checklist.walk(world, "leaving", T0 + MINUTE, "done"), T0 + MINUTE)
    fold([entry("depart", T0 + 10 * MINUTE), arrive("Cedar Flat", T0 + 60 * MINUTE)], world)
    assert set(states(world, "leaving", T0 + 61 * MINUTE)) == {"open"}
    assert checklist.going_on(world, T0 + 61 * MINUTE) is None


def test_hooking_up_before_telling_the_arrival_counts() -> None:
    """On the road since nine, hose on at ten, "at Cedar Flat" said at eleven: the steps done at ten stay done."""
    world = fold([arrive("Heron Bend"), entry("depart", T0 + 60 * MINUTE)])
    marked(world, "arriving", checklist.walk(world, "arriving", T0 + 120 * MINUTE, "done"), T0 + 120 * MINUTE)
    fold([arrive("Cedar Flat", T0 + 180 * MINUTE)], world)
    assert states(world, "arriving", T0 + 181 * MINUTE)[0] == "done"


def test_own_steps_stand_where_the_owner_put_them() -> None:
    """Before, after, at the end; dropped ones go, ours too; case does not matter."""
    world = fold([
        arrive("Heron Bend"),
        entry("step", list="Leaving", step="lock the wet bay"),
        entry("step", T0 + MINUTE, list="leaving", step="antenna down", before="walk"),
        entry("step", T0 + 2 * MINUTE, list="leaving", step="wave goodbye", after="Antenna down"),
        entry("step", T0 + 3 * MINUTE, list="leaving", step="say thanks", before="first"),
        entry("step", T0 + 4 * MINUTE, list="leaving", step="plan", drop=True),
    ])  # fmt: skip
    texts = [one.text for one in checklist.steps(world, "leaving", T0 + 5 * MINUTE)]
    assert texts[0] == "say thanks"
    assert texts[-1] == "lock the wet bay"
    at = texts.index("antenna down")
    assert texts[at + 1] == "wave goodbye"
    assert texts[at + 2].startswith("Walk once around")
    assert not any(text.startswith("Look whether the next stop") for text in texts)


def test_an_owners_own_list_is_a_list() -> None:
    """Steps added to a new name make a procedure of that name."""
    world = fold(
        [entry("step", list="storm", step="awning in"), entry("step", T0 + MINUTE, list="storm", step="chairs in")]
    )
    assert "storm" in checklist.names(world)
    assert [one.text for one in checklist.steps(world, "storm", T0 + MINUTE)] == ["awning in", "chairs in"]
    assert checklist.steps(world, "no such list", T0) == []


def test_named_step_is_marked_out_of_turn_and_an_unclear_name_marks_nothing() -> None:
    """ "Done with the chocks" marks that step; words that fit none or several mark none."""
    world = fold([arrive("Heron Bend")])
    named = checklist.walk(world, "arriving", T0 + MINUTE, "done", "the chocks")
    assert named.mark == ("chocks", "done")
    for words in ("the trombone", "the"):
        unclear = checklist.walk(world, "arriving", T0 + MINUTE, "done", words)
        assert unclear.mark is None and unclear.unknown == words


# ---------------------------------------------------------------- departure

GEAR = ("regulator", "hose", "splitter", "meter", "chocks")


def test_gear_out_open_valve_and_running_rinse_each_keep_a_departure_open() -> None:
    """Each obstacle is named with what it is about."""
    world = fold([
        entry("rig", what="tank", tank="black", tank_kind="black", litres=100.0, gone=False),
        arrive("Otter Flats"),
        entry("gear", T0 + MINUTE, item="Regulator", where="out"),
        entry("valve", T0 + 2 * MINUTE, tank="black", open=True),
        entry("rinse", T0 + 3 * MINUTE, tank="black", litres=20.0, minutes=5.0, estimated=True),
    ])  # fmt: skip
    found = {one.reference: one.items for one in checklist.departure_obstacles(world, T0 + 4 * MINUTE)}
    assert found == {"gear-out": ("regulator",), "valve-open": ("black",), "rinse-running": ("black",)}
    assert "rinse-running" not in {one.reference for one in checklist.departure_obstacles(world, T0 + 9 * MINUTE)}


@pytest.mark.parametrize("seed", range(200))
def test_departure_with_gear_out_never_closes_silently(seed: int) -> None:
    """200 random orders of putting out, stowing, walking, opening, closing and moving on: whenever something is out or open the
    departure is challenged and the leaving list is not complete; whenever nothing is, nothing is challenged."""
    chance = random.Random(seed)
    world = fold([
        entry("rig", what="tank", tank="grey", tank_kind="grey", litres=100.0, gone=False),
        arrive("Heron Bend"),
    ])  # fmt: skip
    out: set[str] = set()
    is_open = False
    now = T0
    for _ in range(30):
        now += MINUTE
        match chance.choice(["out", "stow", "walk", "walk", "walk", "skip", "back", "valve", "move", "own"]):
            case "out":
                item = chance.choice(GEAR)
                out.add(item)
                advance(world, entry("gear", now, item=chance.choice([item, item.upper()]), where="out"))
            case "stow":
                item = chance.choice(GEAR)
                out.discard(item)
                advance(world, entry("gear", now, item=item, where="stowed"))
            case "valve":
                is_open = chance.random() < 0.5
                advance(world, entry("valve", now, tank="grey", open=is_open))
            case "own":
                advance(
                    world,
                    entry("step", now, list="leaving", step=f"own {chance.randrange(3)}", drop=chance.random() < 0.3),
                )
            case "move":
                # a departure that was confirmed all the same, and the next arrival: gear stays out, the valve is as good as closed
                fold([entry("depart", now), arrive("Cedar Flat", now + MINUTE)], world)
                now += MINUTE
                is_open = False
                assert set(checklist.left_behind(world)) == out
            case word:
                marked(world, "leaving", checklist.walk(world, "leaving", now, "done" if word == "walk" else word), now)
        obstacles = {one.reference: set(one.items) for one in checklist.departure_obstacles(world, now)}
        expected = ({"gear-out": out} if out else {}) | ({"valve-open": {"grey"}} if is_open else {})
        assert obstacles == expected
        assert not (expected and checklist.walk(world, "leaving", now, "left").complete)
    for _ in range(25):  # walked to the end: only now, and only with nothing out, is it complete
        now += MINUTE
        marked(world, "leaving", checklist.walk(world, "leaving", now, "done"), now)
    assert checklist.walk(world, "leaving", now, "left").complete == (not out and not is_open)


def test_gear_left_at_the_last_place_is_asked_about_on_arrival() -> None:
    """The regulator was out at Heron Bend and never stowed; the hose put out on the road belongs to the new place."""
    world = fold([
        arrive("Heron Bend"),
        entry("gear", T0 + MINUTE, item="regulator", where="out"),
        entry("depart", T0 + 60 * MINUTE),
        entry("gear", T0 + 90 * MINUTE, item="hose", where="out"),
        arrive("Cedar Flat", T0 + 120 * MINUTE),
    ])  # fmt: skip
    assert checklist.left_behind(world) == ("regulator",)
    advance(world, entry("gear", T0 + 130 * MINUTE, item="regulator", where="out"))
    assert checklist.left_behind(world) == ()


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from(["next", "done", "skip", "back", "left", "why"]), max_size=40),
    st.sampled_from(sorted(procedures.LISTS)),
)
def test_any_walk_keeps_its_place_and_its_count(words: list[str], name: str) -> None:
    """Whatever is said, the current step is the first open one, and done, skipped and open add up to all."""
    world = fold([arrive("Heron Bend")])
    now = T0
    for word in words:
        now += MINUTE
        walked = checklist.walk(world, name, now, word)
        marked(world, name, walked, now)
        items = checklist.steps(world, name, now)
        assert tuple(items) == walked.items
        opened = [place for place, one in enumerate(items) if one.state == "open"]
        assert walked.at == (opened[0] if opened else None)


def test_a_spare_is_offered_only_where_one_is_safe() -> None:
    """Without a regulator: the tank and the pump; without a thing nobody knows: nothing is made up."""
    words = checklist.spare("pressure regulator")
    assert words is not None and "pump" in words
    assert checklist.spare("trombone") is None
