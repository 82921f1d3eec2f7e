"""The rinse limit from the 95 % upper level, its meter reading and minutes; the countdown; readings meant for the other meter."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from state.care import rinse
from state.entry import Entry
from state.spread import Blend
from state.water import belief
from state.water.fold import fold
from state.world import World

T0 = datetime(2026, 6, 8, 18, tzinfo=UTC)
GALLON = 3.785411784
HOUR = timedelta(hours=1)


def entry(kind: str, at: datetime = T0, **fields: object) -> Entry:
    return Entry(
        {"id": f"{kind}{at:%d%H%M%S}", "kind": kind, "at": at, "heard_at": at, "heard": "", "said": (), **fields}
    )


def tank(name: str, litres: float, kind: str | None = None) -> Entry:
    return entry(
        "rig",
        what="tank",
        tank=name,
        tank_kind=kind or name,
        litres=litres,
        gone=False,
        of=None,
        value=None,
        units=None,
    )


def a_rig(*more: Entry) -> World:
    """A rig with a black tank of 30 gal, dumped at the start."""
    return fold(
        [
            tank("fresh", 40 * GALLON),
            tank("grey", 36 * GALLON),
            tank("black", 30 * GALLON),
            entry("dump", tank="black"),
            *more,
        ]
    )


def black_limit(world: World, now: datetime, flow: float | None = None) -> rinse.Limit:
    return rinse.limit(world, now, world.rig.tanks["black"], flow)


def test_limit_is_the_capacity_less_the_level_not_passed_with_95_percent() -> None:
    """The level's normal, cut at empty and full, taken by scipy: the upper level is its 95 % point, within one per cent."""
    world, now = (
        a_rig(
            entry(
                "level",
                T0 + HOUR,
                tank="black",
                litres=20.0,
                fraction=None,
                basis="seen",
                roughly=False,
                estimated=False,
            )
        ),
        T0 + 2 * HOUR,
    )
    found = black_limit(world, now)
    level = belief.believe(world, now).tanks["black"].level
    cut = stats.truncnorm(
        (level.low - level.mean) / level.sd, (level.high - level.mean) / level.sd, level.mean, level.sd
    )
    assert found.upper_level_litres == pytest.approx(cut.ppf(0.95), rel=0.01)
    assert found.litres <= 30 * GALLON - found.upper_level_litres + 1e-6
    room = belief.believe(world, now).tanks["black"].room
    assert isinstance(room, Blend)
    fits = [
        (w, stats.truncnorm((at.low - at.mean) / at.sd, (at.high - at.mean) / at.sd, at.mean, at.sd))
        for w, at in room.parts
    ]
    surely = optimize.brentq(lambda x: sum(w * at.cdf(x) for w, at in fits) - 0.05, 0.0, 200.0)
    assert found.litres == pytest.approx(min(30 * GALLON - cut.ppf(0.95), surely), rel=0.01)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.05, 1.0), st.floats(0.0, 60.0))
def test_limit_never_promises_more_than_the_likely_room_and_never_less_than_nothing(
    fraction: float, hours: float
) -> None:
    """At any level and after any time the limit lies between zero and the middle of the room."""
    said = entry(
        "level", T0 + HOUR, tank="black", fraction=fraction, litres=None, basis="seen", roughly=False, estimated=False
    )
    world, now = a_rig(said), T0 + HOUR + timedelta(hours=hours)
    found = black_limit(world, now)
    assert 0.0 <= found.litres <= belief.believe(world, now).tanks["black"].room.quantile(0.5) + 1e-9


def test_full_tank_takes_nothing() -> None:
    """What is full has no room to rinse into."""
    said = entry(
        "level", T0 + HOUR, tank="black", fraction=1.0, litres=None, basis="seen", roughly=False, estimated=False
    )
    assert black_limit(a_rig(said), T0 + HOUR).litres < 0.12 * 30 * GALLON


def test_stop_reading_and_minutes_follow_from_meter_and_flow() -> None:
    """Rinse meter at 100 L and 8 L a minute: stop at 100 plus the limit, after the limit over 8."""
    world = a_rig(
        entry("meter", meter="rinse", litres=100.0, reset_before=False, rolled_over=False, before=None),
        entry("flow", litres_per_minute=8.0),
    )
    found = black_limit(world, T0 + HOUR)
    assert found.stop_at_reading_litres == pytest.approx(100.0 + found.litres)
    assert found.minutes == pytest.approx(found.litres / 8.0)
    assert black_limit(world, T0 + HOUR, flow=4.0).minutes == pytest.approx(found.litres / 4.0)


def test_without_meter_or_flow_nothing_is_made_up() -> None:
    """No reading and no flow were told: no stop reading, no minutes."""
    found = black_limit(a_rig(), T0 + HOUR)
    assert found.stop_at_reading_litres is None and found.minutes is None


def test_stop_reading_goes_round_the_counter() -> None:
    """A rinse meter that starts over at 1000 L and stands at 990 stops beyond its zero."""
    roll = entry(
        "rig", what="meter", meter="rinse", litres=1000.0, tank=None, gone=False, of=None, value=None, units=None
    )
    world = a_rig(roll, entry("meter", meter="rinse", litres=990.0, reset_before=False, rolled_over=False, before=None))
    found = black_limit(world, T0 + HOUR)
    assert found.stop_at_reading_litres == pytest.approx(found.litres - 10.0)


def test_open_valve_is_no_closed_tank() -> None:
    """With the valve open at a sewer the answer must say so instead of a limit."""
    world = a_rig(
        entry("arrive", site="Otter Flats", water=True, sewer=True, until=None),
        entry("valve", T0 + HOUR, tank="black", open=True),
    )
    assert black_limit(world, T0 + 2 * HOUR).valve_open


def test_flow_of_an_earlier_place_is_marked() -> None:
    """A flow measured at the last site may not hold at this one."""
    world = a_rig(
        entry("flow", litres_per_minute=8.0),
        entry("arrive", T0 + HOUR, site="Cedar Flat", water=True, sewer=None, until=None),
    )
    assert black_limit(world, T0 + 2 * HOUR).flow_is_old


def test_flow_of_nothing_is_refused() -> None:
    """No minutes come of a flow of zero."""
    with pytest.raises(ValueError):
        black_limit(a_rig(), T0, flow=0.0)


def test_running_rinse_can_be_asked_about_until_it_ends() -> None:
    """Started for four minutes: running after one with three left, over after four, unknown before."""
    world = a_rig(entry("rinse", T0 + HOUR, tank="black", litres=30.0, minutes=4.0, estimated=True))
    run = rinse.running(world, T0 + HOUR + timedelta(minutes=1))
    assert run is not None
    assert (run.tank, run.left) == ("black", timedelta(minutes=3))
    assert rinse.running(world, T0 + HOUR + timedelta(minutes=4)) is None
    assert rinse.running(world, T0) is None
    assert rinse.running(a_rig(), T0 + HOUR) is None


def test_rinse_without_minutes_does_not_run() -> None:
    """A rinse told by its litres is over."""
    assert (
        rinse.running(a_rig(entry("rinse", T0 + HOUR, tank="black", litres=30.0, estimated=False)), T0 + HOUR) is None
    )


METERS = (
    entry("meter", meter="inlet", litres=412.0, reset_before=False, rolled_over=False, before=None),
    entry("meter", meter="rinse", litres=40.0, reset_before=False, rolled_over=False, before=None),
)


@pytest.mark.parametrize(
    ("meter", "litres", "other"),
    [
        ("inlet", 430.0, None),
        ("rinse", 55.0, None),
        ("inlet", 55.0, "rinse"),
        ("rinse", 430.0, "inlet"),
        ("inlet", 5.0, None),
        ("rinse", 5000.0, None),
    ],
)
def test_reading_that_fits_the_other_meter_is_told(meter: str, litres: float, other: str | None) -> None:
    """A reading below its own meter's last but just above the other's was meant for the other; what fits neither is left alone."""
    assert rinse.other_meter(a_rig(*METERS), meter, litres, T0 + timedelta(hours=12), 100.0) == other


def test_a_single_known_meter_is_never_doubted() -> None:
    """With no second meter there is nothing to confuse."""
    assert rinse.other_meter(a_rig(METERS[0]), "inlet", 5.0, T0 + HOUR, 100.0) is None
