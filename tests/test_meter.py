"""The meter is the truth for totals, the log for shares: nothing counted twice, resets, roll-over, fills, absences."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest

from state.habits import unlogged
from state.water import fold, ledger, meter, passing
from state.world import Posting, World
from tests.folding import GALLON, Story, hour


def used(book: list[Posting], *, since: float, to: float) -> float:
    """Indoor use as the ledger has it: what left the tap, less what came back. [litres]"""
    moved = 0.0
    for posting in book:
        if hour(since) < posting.at <= hour(to) and posting.why in (
            "entry",
            "expected",
            "unlogged",
            "gave way",
            "stated",
        ):
            moved += (posting.source == ledger.HOOKUP) * posting.litres - (
                posting.target == ledger.HOOKUP
            ) * posting.litres
    return moved


def test_a_reading_is_the_total_and_entries_are_shares_of_it() -> None:
    """Two showers of 8 litres, then the meter says 40: 40 litres were used, not 56."""
    story = Story()
    story.use(2, 8.0)
    story.use(13, 8.0)
    story.meter(14, 40.0)
    book: list[Posting] = []
    world = story.world(book)
    assert used(book, since=0, to=14) == pytest.approx(40.0, abs=1e-9)
    share = passing.belief_of(world).mean[passing.belief_of(world).at["share:grey"]]
    left_over = 0.01 * 136.0
    assert world.balances["grey"] == pytest.approx(left_over + 16.0 + 24.0 * share, abs=0.5)


@pytest.mark.parametrize("seed", range(20))
def test_nothing_is_counted_twice(seed: int) -> None:
    """Whatever was logged between two readings, the tap gave what the meter says."""
    random_ = random.Random(seed)
    story, reading, hours = Story(), 0.0, 0.0
    readings = [(0.0, 0.0)]
    for _ in range(8):
        for _ in range(random_.randint(0, 5)):
            hours += random_.uniform(0.1, 3)
            story.use(
                hours,
                random_.uniform(0.5, 15),
                random_.choice(["shower", "toilet", "other"]),
                estimated=random_.random() < 0.5,
            )
        if random_.random() < 0.3:
            story.tell("dump", hours, tank="grey")
        if random_.random() < 0.3:
            story.tell("level", hours, tank="grey", fraction=random_.uniform(0, 0.9))
        hours += random_.uniform(0.5, 6)
        reading += random_.uniform(0, 40)
        story.meter(hours, reading)
        readings.append((hours, reading))
    book: list[Posting] = []
    story.world(book)
    for (since, low), (to, high) in pairwise(readings):
        assert used(book, since=since, to=to) == pytest.approx(high - low, abs=1e-6)


def test_typical_entries_give_way_first() -> None:
    """Metered 13, logged 8 measured and 8 typical: the typical one shrinks to 5, the measured one stands."""
    story = Story()
    measured = story.use(2, 8.0)
    typical = story.use(3, 8.0, "dishes", estimated=True)
    story.meter(4, 13.0)
    book: list[Posting] = []
    world = story.world(book)
    back = [posting for posting in book if posting.why == "gave way"]
    assert sum(posting.litres for posting in back) == pytest.approx(3.0)
    assert {(posting.source, posting.event) for posting in back} == {("grey", story.entries[-1].id)}
    assert measured and typical
    assert world.balances["grey"] == pytest.approx(1.36 + 13.0, abs=1e-6)
    (finding,) = [each for each in world.findings if each.reference == "logged-more-than-metered"]
    assert finding.litres == pytest.approx(3.0)


def test_beyond_half_of_the_typical_ones_all_shrink_together() -> None:
    """Metered 10, logged 12 and 8 measured, 5 typical: that gives way to 2.5, and then all of the 22.5 shrink to 10."""
    story = Story()
    story.use(2, 12.0, "shower")
    story.use(2.5, 8.0, "toilet")
    story.use(3, 5.0, "shower", estimated=True)
    story.meter(4, 10.0)
    world = story.world()
    assert world.balances["grey"] - 1.36 == pytest.approx((12.0 + 2.5) * 10.0 / 22.5, abs=1e-6)
    assert world.balances["black"] - 1.13 == pytest.approx(8.0 * 10.0 / 22.5, abs=1e-6)


def test_counted_flushes_never_come_to_nothing() -> None:
    """Showers were told larger than the meter allows: ten flushes of usual size still brought some water into black."""
    story = Story()
    story.use(2, 15.0, "toilet", estimated=True, count=10)
    story.use(3, 60.0, "shower")
    story.meter(4, 50.0)
    assert story.world().balances["black"] > 1.13 + 4.0


def test_a_reading_does_not_take_out_of_a_level_what_a_look_had_already_put_right() -> None:
    """Logged 53 litres, then grey seen at 26, then the meter says 30: what ran before the look is in it already."""
    story = Story()
    story.meter(26, 76.0)
    story.use(38, 30.0, "shower")
    story.use(39, 23.0, "dishes")
    story.tell("level", 40, tank="grey", litres=26.0, basis="seen")
    seen = story.level("grey", 40)
    assert seen == pytest.approx(26.0, abs=3.0)
    story.meter(40.1, 106.0)
    assert story.level("grey", 40.1) == pytest.approx(seen, abs=4.0)
    plain = Story()
    plain.meter(26, 76.0)
    plain.use(38, 30.0, "shower")
    plain.use(39, 23.0, "dishes")
    before = plain.level("grey", 40)
    plain.meter(40.1, 106.0)
    assert plain.level("grey", 40.1) < before - 15.0  # without the look the level comes down with the entries


def test_before_and_after_a_use_is_a_measured_use_and_readings() -> None:
    """Meter 30, then a shower from 31.0 to 39.0 and its reading: one litre unlogged before it, none in it."""
    story = Story()
    story.meter(2, 30.0)
    story.use(5, 8.0, from_litres=31.0, to_litres=39.0)
    story.meter(5, 39.0)
    book: list[Posting] = []
    world = story.world(book)
    assert used(book, since=2, to=5) == pytest.approx(9.0)
    assert world.meters["inlet"].litres == 39.0
    assert [each.reference for each in world.findings] == []


def test_the_later_reading_told_first_does_not_count_the_use_twice() -> None:
    """The same three numbers, the meter event before the use: the tap still gave 9 litres."""
    story = Story()
    story.meter(2, 30.0)
    story.meter(5, 39.0)
    story.use(5, 8.0, from_litres=31.0, to_litres=39.0)
    world = story.world()
    assert -world.balances["hookup"] == pytest.approx(39.0)
    assert world.balances["grey"] > 0.9 * 8.0 + 0.8 * 31.0


def test_a_fill_through_the_hose_is_no_use() -> None:
    """The meter ran 70 litres, 50 of them into the fresh tank: 20 were used."""
    story = Story()
    story.tell("level", 1, tank="fresh", fraction=0.3)
    story.tell("fill", 2, litres=50.0)
    story.meter(12, 70.0)
    book: list[Posting] = []
    world = story.world(book)
    assert used(book, since=0, to=12) == pytest.approx(20.0, abs=1e-6)
    assert world.meters["inlet"].litres_through == pytest.approx(70.0)


def test_a_fill_not_through_the_meter_is_not_taken_off() -> None:
    """Told to have come from a can: the whole 70 litres were used."""
    story = Story()
    story.tell("fill", 2, litres=50.0, through_meter=False)
    story.meter(12, 70.0)
    book: list[Posting] = []
    story.world(book)
    assert used(book, since=0, to=12) == pytest.approx(70.0, abs=1e-6)


def test_a_reset_begins_at_zero_and_keeps_what_was_expected() -> None:
    """Meter 30, zeroed two hours later, then 5: five litres since the reset."""
    story = Story()
    story.meter(2, 30.0)
    story.tell("meter_reset", 4)
    before = -story.world().balances["hookup"]
    story.meter(6, 5.0)
    assert -story.world().balances["hookup"] == pytest.approx(before + 5.0)


def test_an_unmentioned_reset_after_a_dump_is_taken_and_told() -> None:
    """Meter 113 litres, grey dumped, then 8: a reset; grey holds no more than those."""
    story = Story()
    story.meter(2, 113.0)
    story.tell("dump", 3, tank="grey")
    story.meter(12, 8.0)
    world = story.world()
    assert [each.reference for each in world.findings] == ["unmentioned-reset"]
    assert 5.0 < world.balances["grey"] < 11.0


def test_a_counter_rolls_over_at_its_top() -> None:
    """Top 10,000; from 9,990 to 15 are 25 litres."""
    story = Story()
    story.tell("rig", 0.5, what="meter", meter="inlet", litres=10_000.0)
    story.tell("meter_reset", 0.5)
    story.meter(1, 9_990.0)
    through = story.world().meters["inlet"].litres_through
    story.meter(13, 15.0, rolled_over=True)
    world = story.world()
    assert world.meters["inlet"].litres_through - through == pytest.approx(25.0)
    assert "meter-rolled-over" in [each.reference for each in world.findings]


def test_water_that_ran_while_nobody_was_there_is_told() -> None:
    """Away with 50 on the meter, back with 90: 40 litres ran. With the same reading: nothing to tell."""
    for after, told in ((90.0, True), (50.2, False)):
        story = Story()
        story.tell("away", 15)
        story.meter(15, 50.0)
        story.tell("back", 23)
        story.meter(23, after)
        findings = [each for each in story.world().findings if each.reference == "water-ran-while-away"]
        assert bool(findings) is told
        if told:
            assert findings[0].litres == pytest.approx(40.0) and findings[0].since == hour(15)


def test_nothing_is_expected_while_away() -> None:
    """Ten hours with nobody aboard add no water to grey."""
    story = Story()
    story.meter(1, 10.0)
    story.tell("away", 1)
    assert story.level("grey", 11) == pytest.approx(story.level("grey", 1), abs=1e-9)


def test_a_household_that_logs_everything_drives_the_unlogged_rate_to_zero() -> None:
    """After twenty metered days fully logged, a day without a reading adds next to nothing unlogged."""
    story, reading = Story(), 0.0
    random_ = random.Random(1)
    for day in range(20):
        for use in range(6):
            litres = random_.uniform(2, 10)
            reading += litres
            story.use(24 * day + 2 + 3 * use, litres)
        story.meter(24 * day + 22, reading)
    grown = story.level("grey", 24 * 20 + 22) - story.level("grey", 24 * 19 + 22)
    assert grown < 0.12 * 36.0


def test_a_household_that_logs_nothing_has_its_whole_pace_expected() -> None:
    """After ten days of 40 litres a day, a day without a reading adds nearly that, less what does not reach grey."""
    story = Story(grey=1000.0)
    for day in range(1, 11):
        story.meter(24 * day, 40.0 * day)
    grown = story.level("grey", 264) - story.level("grey", 240)
    assert 0.85 * 40 * 0.889 < grown < 1.15 * 40 * 0.889


def test_no_reading_at_all_still_lets_the_level_rise() -> None:
    """No meter, no entries: the prior pace fills grey, with much doubt."""
    story = Story()
    found = story.believed("grey", 48)
    assert found.level.mean > 30 and found.level.sd > 10


# what a reading would mean ----------------------------------------------------------------------------------------------------


def at_thirty() -> World:
    story = Story()
    story.meter(2, 30 * GALLON)
    return story.world()


def test_a_reading_in_order_is_plausible() -> None:
    verdict = meter.judge(at_thirty(), hour(12), "inlet", 34 * GALLON)
    assert (verdict.kind, round(verdict.since / GALLON, 6)) == ("plausible", 4.0)


def test_a_reading_beyond_all_use_and_all_tanks_is_too_much() -> None:
    """More than ten times the usual pace and the room of all tanks."""
    assert meter.judge(at_thirty(), hour(12), "inlet", 99_999 * GALLON).kind == "too_much"


def test_a_lower_reading_without_a_dump_is_only_lower() -> None:
    assert meter.judge(at_thirty(), hour(12), "inlet", 20 * GALLON).kind == "lower"


def test_a_small_reading_after_a_dump_is_likely_a_reset() -> None:
    story = Story()
    story.meter(2, 30 * GALLON)
    story.tell("dump", 2, tank="grey")
    world = story.world()
    assert meter.judge(world, hour(15), "inlet", 2.1 * GALLON).kind == "reset_likely"
    assert meter.judge(world, hour(15), "inlet", 28 * GALLON).kind == "lower"


def test_a_dump_before_the_last_reading_excuses_nothing() -> None:
    story = Story()
    story.tell("dump", 1, tank="grey")
    story.meter(2, 30 * GALLON)
    assert meter.judge(story.world(), hour(15), "inlet", 2.1 * GALLON).kind == "lower"


def test_a_reading_that_fits_the_other_meter_is_recognised() -> None:
    """The rinse meter stood at 12 gal; "meter 12.5" with the inlet at 30 is more likely that one."""
    story = Story()
    story.meter(1, 12 * GALLON, meter="rinse")
    story.meter(2, 30 * GALLON)
    assert meter.judge(story.world(), hour(3), "inlet", 12.5 * GALLON).kind == "fits_other_meter"


def test_a_roll_over_is_recognised_near_the_top() -> None:
    story = Story()
    story.tell("rig", 0.5, what="meter", meter="inlet", litres=1000 * GALLON)
    story.meter(1, 995 * GALLON)
    verdict = meter.judge(story.world(), hour(12), "inlet", 3 * GALLON)
    assert (verdict.kind, round(verdict.since / GALLON, 6)) == ("rolled_over", 8.0)


def test_a_first_reading_is_always_plausible() -> None:
    assert meter.judge(World(), hour(1), "inlet", 4711.0).kind == "plausible"


def test_judging_changes_nothing() -> None:
    world = at_thirty()
    before = fold.snapshot(world)
    meter.judge(world, hour(40), "inlet", 1.0)
    assert fold.snapshot(world) == before


# the rinse meter --------------------------------------------------------------------------------------------------------------


def test_the_rinse_meter_tells_what_went_into_black() -> None:
    """A rinse of 30 litres logged, the rinse meter ran 40: 40 in black."""
    story = Story()
    story.meter(1, 100.0, meter="rinse")
    story.tell("rinse", 2, tank="black", litres=30.0)
    story.meter(3, 140.0, meter="rinse")
    grown = story.world().balances["black"] - Story().world().balances["black"]
    assert grown == pytest.approx(40.0, abs=1.0)


# what looks wrong -------------------------------------------------------------------------------------------------------------


def days_of(story: Story, days: int, night: float) -> Story:
    """Readings at 23:00 and 6:00: 36 litres a day, of which so many in the night."""
    reading = 0.0
    for day in range(days):
        reading += 36.0
        story.meter(24 * day + 5, reading)
        reading += night
        story.meter(24 * day + 12, reading)
    return story


def test_a_flow_that_never_stops_at_night_is_told_once() -> None:
    """Ten litres every night, three nights in a row; a quiet household hears nothing."""
    loud = [each for each in days_of(Story(grey=2000.0), 6, 10.0).world().findings if each.reference == "night-flow"]
    quiet = [each for each in days_of(Story(grey=2000.0), 6, 1.0).world().findings if each.reference == "night-flow"]
    assert loud and not quiet
    assert loud[0].litres == pytest.approx(24 * 10 / 7)


def test_use_out_of_all_habit_is_told() -> None:
    """After a week of 40 litres a day, 300 litres in a morning."""
    story = Story(grey=3000.0)
    for day in range(1, 9):
        story.meter(24 * day, 40.0 * day)
    assert not story.world().findings
    story.meter(24 * 8 + 14, 320.0 + 300.0)
    assert [each.reference for each in story.world().findings] == ["use-out-of-habit"]


def test_without_a_meter_a_full_tank_teaches_the_pace() -> None:
    """Grey full after three days, twice: the household uses far more than the common pace, and the next cycle is expected so."""
    story = Story()
    story.tell("arrive", 0.1, site="Harbor Lane", water=True)
    story.entries = [entry for entry in story.entries if entry.kind != "meter_reset"]
    before = story.level("grey", 24)
    for cycle in (1, 2, 3):
        story.tell("level", 40 * cycle, tank="grey", fraction=1.0)
        story.tell("dump", 40 * cycle, tank="grey")
    after = story.level("grey", 144) - story.level("grey", 120)
    assert after > 1.3 * before


def test_on_the_tank_a_reading_that_moved_is_a_fill() -> None:
    """The rig runs on its tank and the meter ran 50 litres: they can only have gone into fresh."""
    story = Story()
    story.tell("supply", 1, source="tank")
    story.tell("level", 1, tank="fresh", fraction=0.25)
    story.meter(1, 10.0)
    before = story.level("fresh", 2)
    story.meter(2, 60.0)
    assert story.level("fresh", 2) == pytest.approx(before + 50.0, abs=0.5)
    assert "metered-on-the-tank" in [each.reference for each in story.world().findings]


def test_a_rig_whose_meter_is_read_runs_on_the_hookup_unless_told() -> None:
    """Nothing said of the supply: from the first reading on the water comes from the hookup."""
    story = Story(rigged=False)
    for kind, litres in (("fresh", 150.0), ("grey", 136.0)):
        story.tell("rig", 0, what="tank", tank=kind, tank_kind=kind, litres=litres)
    story.tell("fill", 0, to_full=True)
    story.meter(1, 100.0)
    story.use(2, 8.0)
    world = story.world()
    assert world.supply == "hookup" and world.balances["fresh"] > 145.0


def test_a_meter_that_moves_at_a_new_site_shows_that_the_rig_ran_on_its_hookup() -> None:
    """Arrived, nothing said of water; a shower; then the meter moved: fresh was not drawn on, and nothing counts twice."""
    story = Story()
    story.tell("fill", 0.5, to_full=True)
    story.meter(1, 20.0)
    story.tell("depart", 1.5)
    story.tell("arrive", 4, site="Cedar Flat")
    story.tell("fill", 4, to_full=True)
    story.use(5, 8.0)
    story.meter(12, 45.0)
    world = story.world()
    assert world.supply == "hookup"
    assert world.balances["fresh"] == pytest.approx(151.0, abs=1.0)
    grown = world.balances["grey"] - story.level("grey", 0)
    assert grown < 8.0 + 0.9 * (17.0 + 20.0) + 8.0


def test_logging_habits_are_learned_by_day_part() -> None:
    """Mornings are logged, evenings not: the part logged in the morning comes out far higher."""
    story, reading = Story(grey=5000.0), 0.0
    for day in range(30):
        reading += 20.0
        story.use(24 * day + 14, 20.0)
        story.meter(24 * day + 16, reading)
        reading += 20.0
        story.meter(24 * day + 28, reading)
    parts = unlogged.logged_parts(passing.logging_of(story.world()))
    assert parts["morning"] > parts["evening"] + 0.25
