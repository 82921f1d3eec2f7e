"""The itinerary: fewest errands, checked against exhaustive search and a general solver; then what each stop is told to do."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import timedelta
from itertools import combinations, pairwise
from typing import Any

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from state import forecast, plan
from state.plan import TOTE_EFFORT, fewest
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
