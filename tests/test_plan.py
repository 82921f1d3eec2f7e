"""The itinerary: fewest errands, checked against exhaustive search and a general solver; then what each stop is told to do."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import datetime, timedelta
from itertools import combinations, pairwise
from typing import Any

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from state.ahead import forecast, plan
from state.ahead.course import Course, mean_of_least
from state.ahead.outlook import Change
from state.ahead.plan import TOTE_EFFORT, fewest
from state.water.belief import Belief
from state.world import World
from tests.rigs import DAY, MONDAY, believed, world

NOW = MONDAY + timedelta(hours=8)

Totes = Callable[[int, int], int | None]


def random_case(rng: random.Random) -> tuple[int, Totes]:
    """Places at odd distances, a tank that takes so much, totes of so much; some stretches are beyond all totes."""
    n = rng.randint(0, 7)
    times = sorted(rng.uniform(0, 20) for _ in range(n))
    ends = [0.0, *times, 21.0]
    stay = [0.0, *(rng.uniform(0, 1.5) for _ in times), 0.0]
    room, tote, most = rng.uniform(3, 9), rng.uniform(0.7, 2.5), rng.randint(1, 6)
    first_room = room * rng.uniform(0.2, 1.0)

    def totes(i: int, j: int) -> int | None:
        length = max(0.0, ends[j + 1] - (ends[i + 1] + stay[i + 1]))
        over = length - (first_room if i < 0 else room)
        needed = 0 if over <= 0 else int(np.ceil(over / tote))
        return needed if needed <= most else None

    return n, totes


def exhaustive(n: int, totes: Totes) -> float | None:
    """The least cost over all choices of places."""
    best = None
    for size in range(n + 1):
        for chosen in combinations(range(n), size):
            bounds = [-1, *chosen, n]
            needed = [totes(i, j) for i, j in pairwise(bounds)]
            if None not in needed:
                cost = size + TOTE_EFFORT * sum(each for each in needed if each is not None)
                best = cost if best is None else min(best, cost)
    return best


def by_milp(n: int, totes: Totes) -> float | None:
    """The same as a unit of flow from the start to the end over the stretches that can be done (scipy.optimize.milp)."""
    arcs = [(i, j, totes(i, j)) for j in range(n + 1) for i in range(-1, j)]
    kept = [(i, j, needed) for i, j, needed in arcs if needed is not None]
    if not kept:
        return None
    cost = np.array([needed * TOTE_EFFORT + (1.0 if j < n else 0.0) for _, j, needed in kept])
    balance, flow = np.zeros((n + 2, len(kept))), np.zeros(n + 2)
    for k, (i, j, _) in enumerate(kept):
        balance[i + 1, k] += 1.0
        balance[j + 1, k] -= 1.0
    flow[0], flow[n + 1] = 1.0, -1.0
    solved = milp(
        cost, integrality=np.ones(len(kept)), bounds=Bounds(0, 1), constraints=LinearConstraint(balance, flow, flow)
    )
    return float(solved.fun) if solved.success else None


def test_fewest_errands_agree_with_exhaustive_search_and_a_general_solver() -> None:
    """300 random chains of up to seven places: the same least cost by trying all choices, and by scipy's milp on 60 of them."""
    rng = random.Random(8)
    solvable = 0
    for case in range(300):
        n, totes = random_case(rng)
        found, truth = fewest(n, totes), exhaustive(n, totes)
        assert (found is None) == (truth is None)
        if found is not None and truth is not None:
            solvable += 1
            assert found.cost == pytest.approx(truth, abs=1e-3 * 0.1)
            own = len(found.stops) + TOTE_EFFORT * sum(found.totes)
            assert own == pytest.approx(truth, abs=1e-9)
        if case % 5 == 0:
            solved = by_milp(n, totes)
            assert (solved is None) == (truth is None)
            if solved is not None and truth is not None:
                assert solved == pytest.approx(truth, abs=1e-6)
    assert solvable > 100


# ---------------------------------------------------------------- whole itineraries


def stop(site: str, first: float, last: float, water: bool, sewer: bool) -> dict[str, Any]:
    return {"site": site, "start": NOW + first * DAY, "until": NOW + last * DAY, "water": water, "sewer": sewer}


def trip(*stops: dict[str, Any], supply: str = "hookup", until: float = 2.0) -> World:
    own = world(supply=supply, until=NOW + until * DAY)
    own.stops = list(stops)
    own.rig.tote_litres = 40.0
    return own


def tasks(made: plan.Plan) -> dict[str | None, list[str]]:
    return {row.stop.site: [task.what for task in row.tasks] for row in made.rows}


def test_waste_is_dumped_where_there_is_a_sewer_before_it_is_too_late() -> None:
    """Two days here, three at Cedar Flat dry, then Harbor Lane with a sewer: one dump, at Harbor Lane; fresh is filled before the dry
    days if it must be."""
    own = trip(stop("Cedar Flat", 2, 4, False, False), stop("Harbor Lane", 4, 9, True, True))
    made = plan.plan(own, NOW, NOW + 9 * DAY, None, believed({"grey": 5.0, "fresh": 145.0}))
    assert made.feasible
    assert tasks(made) == {"Heron Bend": [], "Cedar Flat": [], "Harbor Lane": ["dump"]} or made.errands <= 1
    assert [row.stop.site for row in made.rows] == ["Heron Bend", "Cedar Flat", "Harbor Lane"]


def test_fresh_is_filled_on_leaving_the_tap() -> None:
    """Little fresh and three dry days ahead: leave Heron Bend with fresh full."""
    own = trip(stop("Cedar Flat", 2, 5, False, False), stop("Harbor Lane", 5, 9, True, True))
    made = plan.plan(own, NOW, NOW + 9 * DAY, None, believed({"fresh": 30.0}))
    assert "fill" in tasks(made)["Heron Bend"]
    fill = next(task for row in made.rows for task in row.tasks if task.what == "fill")
    assert fill.at == NOW + 2 * DAY


def test_no_errand_without_need() -> None:
    """Short trip, empty waste tanks, plenty of fresh: nothing to do, and it lasts."""
    own = trip(stop("Cedar Flat", 1, 2, False, False), until=1.0)
    made = plan.plan(own, NOW, NOW + 2 * DAY, None, believed({"fresh": 140.0}))
    assert (made.errands, made.feasible) == (0, True)
    assert all(row.probability > 0.95 for row in made.rows)


def test_totes_carry_what_the_stops_do_not_give() -> None:
    """Nine days without a sewer: totes, at least as many as the expected overflow fills, none when the tank could not give as much."""
    own = trip(until=9.0)
    made = plan.plan(own, NOW, NOW + 9 * DAY, None, believed({"grey": 20.0}))
    totes = [task for row in made.rows for task in row.tasks]
    overflow = 0.9 * 40.0 * 9 - 120.0
    assert made.feasible and {task.what for task in totes} == {"tote out"}
    assert len(totes) >= overflow / 40.0
    assert all(task.tank == "grey" and task.at >= NOW + DAY for task in totes)
    assert [task.at for task in totes] == sorted(task.at for task in totes)


def test_a_safer_plan_has_no_fewer_errands() -> None:
    """From 60 % to 99 % safety the errands never become fewer."""
    own = trip(stop("Cedar Flat", 2, 6, False, False), stop("Harbor Lane", 6, 9, True, True))
    levels = believed({"grey": 40.0, "fresh": 80.0})
    errands = [plan.plan(own, NOW, NOW + 9 * DAY, safety, levels).errands for safety in (0.6, 0.8, 0.9, 0.99)]
    assert errands == sorted(errands)


def test_the_plan_keeps_its_promise() -> None:
    """Carried out as what-ifs in the forecast, the plan's errands keep every stretch near the stated safety or above."""
    own = trip(stop("Cedar Flat", 2, 6, False, False), stop("Harbor Lane", 6, 9, True, True))
    levels = believed({"grey": 40.0, "fresh": 80.0})
    made = plan.plan(own, NOW, NOW + 9 * DAY, 0.9, levels)
    stops = [row.stop for row in made.rows]
    changes = [change for row in made.rows for task in row.tasks for change in plan.as_changes(task, stops)]
    desk = forecast.Voyage.of(own, NOW, NOW + 9 * DAY, changes, levels, assume=False)
    for course in desk.courses:
        assert course.lasts(NOW + 6 * DAY) > 0.8
    without = forecast.Voyage.of(own, NOW, NOW + 9 * DAY, (), levels, assume=False)
    assert min(course.lasts(NOW + 6 * DAY) for course in without.courses) < 0.2


def test_levels_at_arrival_follow_from_the_tasks_before() -> None:
    """After filling on leaving, Cedar Flat is reached with fresh full; grey has risen by two days' share."""
    own = trip(stop("Cedar Flat", 2, 5, False, False), stop("Harbor Lane", 5, 9, True, True))
    made = plan.plan(own, NOW, NOW + 9 * DAY, None, believed({"fresh": 30.0, "grey": 10.0}))
    at_cedar = made.rows[1].levels
    assert at_cedar["fresh"]["p50"] == pytest.approx(150.0, abs=3.0)
    assert at_cedar["grey"]["p50"] == pytest.approx(10.0 + 0.9 * 80.0, rel=0.1)


def test_an_unknown_trip_is_only_here() -> None:
    """No stops told: one row, the present stay, up to two weeks."""
    own = world()
    horizon = plan.horizon_of(own, NOW)
    assert horizon == NOW + 14 * DAY
    rows = plan.plan(own, NOW, horizon, None, believed({})).rows
    assert len(rows) == 1 and rows[0].stop.here and rows[0].stop.leave == horizon


def test_stops_without_a_start_follow_one_another() -> None:
    """ "Then Harbor Lane" begins when the stop before it ends."""
    own = trip(
        stop("Cedar Flat", 2, 6, False, False),
        {"site": "Harbor Lane", "start": None, "until": NOW + 9 * DAY, "water": True, "sewer": True},
    )
    found = plan.itinerary(own, NOW, NOW + 9 * DAY)
    assert [(each.site, each.arrive) for each in found][2] == ("Harbor Lane", NOW + 6 * DAY)
    assert all(a.leave <= b.arrive for a, b in pairwise(found))


def random_trip(rng: random.Random) -> tuple[World, Belief]:
    """The present stay and one to five stops, each with or without water and a sewer; levels and tote of any size."""
    at, stops = rng.uniform(0.5, 3.0), []
    own = trip(supply=rng.choice(["hookup", "tank"]), until=at)
    for name in "ABCDE"[: rng.randint(1, 5)]:
        end = at + rng.uniform(0.6, 4.0)
        sewer = rng.random() < 0.4
        stops.append(stop(name, at, end, sewer or rng.random() < 0.4, sewer))
        at = end
    own.stops, own.rig.tote_litres = stops, rng.choice([20.0, 40.0, 60.0])
    own.stay.water = rng.random() < 0.7
    supply = own.supply
    return own, believed({"grey": rng.uniform(0, 90), "fresh": rng.uniform(50, 145)}, supply=supply)


def fewest_totes(
    courses: list[Course], start: datetime, end: datetime, each: float, safety: float, first: bool
) -> int | None:
    """By trying one more at a time."""
    if end <= start:
        return 0
    for totes in range(plan.MOST_TOTES + 1):
        if plan.chance_between(courses, start, end, totes * each, first) >= safety:
            return totes
    return None


def all_places(stops: list[plan.Stop], made: plan.Plan, done: str) -> list[plan.Place]:
    """Stops ahead with what it takes; at the present site a grid of moments, those of the plan among them."""
    own = [task.at for row in made.rows for task in row.tasks if task.what == done and row.stop.here]
    found = []
    for each in stops:
        if not (each.sewer if done == "dump" else each.water):
            continue
        if each.here:
            grid = {each.arrive + k * (each.leave - each.arrive) / 5 for k in range(6)} | set(own)
            found += [plan.Place(at, at) for at in sorted(grid)]
        else:
            found.append(plan.Place(each.arrive, each.leave))
    return found


def least_errands(
    own: World, levels: Belief, safety: float, made: plan.Plan, horizon: datetime, done: str
) -> int | None:
    """For one side: the least over all choices of places, the same by a general solver; None where no choice will do."""
    stops = plan.itinerary(own, NOW, horizon)
    desk = forecast.Voyage.of(own, NOW, horizon, (), levels, assume=False)
    courses = [course for course in desk.courses if (course.kind == "fresh") == (done == "fill")]
    where = all_places(stops, made, done)
    known: dict[tuple[int, int], int | None] = {}

    def totes(i: int, j: int) -> int | None:
        if (i, j) not in known:
            start = NOW if i < 0 else where[i].leave
            end = horizon if j == len(where) else where[j].arrive
            known[i, j] = fewest_totes(courses, start, end, own.rig.tote_litres or 0.0, safety, i < 0)
        return known[i, j]

    best, solved = exhaustive(len(where), totes), by_milp(len(where), totes)
    assert (best is None) == (solved is None)
    if best is None or solved is None:
        return None
    assert solved == pytest.approx(best, abs=1e-6)
    return int(best + 1e-9)


def test_whole_itineraries_have_the_fewest_errands() -> None:
    """50 random trips: the errands of the plan are as many as the best of all choices of places takes (exhaustive), which a general solver
    finds too (scipy.optimize.milp); at the present site a grid of moments is tried beside the plan's own."""
    rng = random.Random(21)
    total = 0
    for _ in range(50):
        own, levels = random_trip(rng)
        horizon, safety = plan.horizon_of(own, NOW), rng.choice([0.8, 0.9, 0.95])
        made = plan.plan(own, NOW, horizon, safety, levels)
        sides = [least_errands(own, levels, safety, made, horizon, done) for done in ("dump", "fill")]
        assert made.feasible == (None not in sides)
        if made.feasible:
            assert made.errands == sum(side for side in sides if side is not None)
            total += made.errands
    assert total > 50


def test_drives_named_instead_of_totes_do_as_well() -> None:
    """40 random trips at 90 %: where drives are named for the totes of a stop, the forecast made anew with a dump (or fill) at each, and all
    else of the plan kept, is as good for that side until leaving and to the end, or safe; with any one of them left out it is not."""
    rng, told = random.Random(5), 0
    for _ in range(40):
        own, levels = random_trip(rng)
        horizon = plan.horizon_of(own, NOW)
        made = plan.plan(own, NOW, horizon, 0.9, levels)
        stops, tasks = [row.stop for row in made.rows], [task for row in made.rows for task in row.tasks]

        def odds(
            own: World, horizon: datetime, levels: Belief, changes: list[Change], fresh: bool, at: datetime
        ) -> float:
            desk = forecast.Voyage.of(own, NOW, horizon, changes, levels, assume=False)
            side = [course for course in desk.courses if (course.kind == "fresh") == fresh]
            return mean_of_least([nodes for course in side for nodes in course.pace_limits(at)])

        for row in made.rows:
            for what, moments in row.drives.items():
                if not moments:
                    continue
                told += 1
                fresh, kept = (
                    what == "tote in",
                    [task for task in tasks if not (task.what == what and task in row.tasks)],
                )
                rest = [change for task in kept for change in plan.as_changes(task, stops)]
                whole = [change for task in tasks for change in plan.as_changes(task, stops)]
                driven = [Change("fill" if fresh else "dump", start=at) for at in moments]
                assert all(row.stop.arrive <= at <= row.stop.leave for at in moments) and list(moments) == sorted(
                    moments
                )
                least = {
                    at: min(0.9, odds(own, horizon, levels, whole, fresh, at)) - 0.0051
                    for at in (row.stop.leave, horizon)
                }
                assert all(odds(own, horizon, levels, [*rest, *driven], fresh, at) >= least[at] for at in least)
                for place in range(len(driven)):
                    fewer = [*rest, *driven[:place], *driven[place + 1 :]]
                    assert any(odds(own, horizon, levels, fewer, fresh, at) < least[at] for at in least)
    assert told >= 20


def test_a_plan_on_the_pump_fills_before_it_runs_dry_and_before_it_leaves() -> None:
    """A tap at hand and little fresh: filled by the last good moment and again on leaving, and carried out so it keeps near its promise."""
    own = trip(stop("Cedar Flat", 4, 7, False, False), supply="tank", until=4.0)
    own.stay.water = True
    made = plan.plan(own, NOW, NOW + 7 * DAY, 0.9, believed({"fresh": 60.0}, supply="tank", share={"grey": 0.3}))
    fills = [task.at for row in made.rows for task in row.tasks if task.what == "fill"]
    assert len(fills) == 2 and NOW < fills[0] < NOW + 2 * DAY and fills[1] == NOW + 4 * DAY
    assert all(row.probability > 0.8 for row in made.rows)


def test_stays_that_overlap_follow_one_another() -> None:
    """A stop told to begin before the one before it ends cuts that short; rows never overlap, and one wholly covered is left out."""
    own = trip(
        stop("Cedar Flat", 2, 6, False, False),
        stop("Harbor Lane", 4, 9, True, True),
        stop("Otter Flats", 4, 10, False, False),
    )
    found = plan.itinerary(own, NOW, NOW + 10 * DAY)
    assert all(before.leave <= after.arrive for before, after in pairwise(found))
    assert all(each.arrive < each.leave for each in found)


def test_a_last_stop_without_an_end_is_in_the_plan() -> None:
    """ "Then Harbor Lane": a day of it is planned, and what was not told of it stays open."""
    own = trip(
        stop("Cedar Flat", 2, 6, False, False),
        {"site": "Harbor Lane", "start": NOW + 6 * DAY, "until": None, "water": None, "sewer": None},
    )
    rows = plan.plan(own, NOW, plan.horizon_of(own, NOW), None, believed({"fresh": 145.0})).rows
    assert rows[-1].stop.site == "Harbor Lane" and rows[-1].stop.leave == NOW + 7 * DAY and rows[-1].stop.sewer is None
