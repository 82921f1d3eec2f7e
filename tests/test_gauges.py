"""The gauges on a line: whole at any width from 40 to 200, honest about doubt, never by colour alone."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.gauges import ASCII, UNICODE, Gauge, Row, cells, gauges_of, length, rod, rows, words
from state.spread import Spread
from state.water.belief import Belief, TankBelief
from state.world import Rig, Tank, World

FRESH = Gauge("fresh", "fresh", 0.55, 0.7, "27")
GREY = Gauge("grey", "grey", 0.7, 0.9, "7.5", tight=True)
BLACK = Gauge("black", "black", 0.1, 0.2, "24")
GALLEY = Gauge("galley", "grey", 0.3, 0.4, "20")


def text(row: Row) -> str:
    return "".join(part for _, part in row)


@pytest.mark.parametrize("width", range(40, 201))
@pytest.mark.parametrize("tanks", [[FRESH, GREY, BLACK], [FRESH, GREY, GALLEY, BLACK], [GREY]], ids=len)
def test_gauges_fit_and_name_every_tank(width: int, tanks: list[Gauge]) -> None:
    """From 40 to 200 columns every tank is there with its figure, on at most three rows, none too long."""
    made = rows(tanks, "gal", width)
    assert len(made) <= 3
    assert all(length(row) <= width for row in made)
    shown = "\n".join(text(row) for row in made)
    for tank in tanks:
        assert tank.name in shown
        assert (
            (f"{tank.number} left" in shown or f"{tank.number} gal left" in shown)
            if tank.kind == "fresh"
            else f"room {tank.number}" in shown
        )


def test_wider_is_never_poorer() -> None:
    """A wider line has no more rows than a narrower one."""
    counts = [len(rows([FRESH, GREY, BLACK], "gal", width)) for width in range(40, 201)]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] == 2 and counts[-1] == 1


def test_even_a_very_narrow_line_is_kept_to() -> None:
    """Far below 40 columns the rods go, then words are cut; the width holds."""
    for width in range(8, 40):
        assert all(length(row) <= width for row in rows([FRESH, GREY, GALLEY, BLACK], "gal", width))


def test_a_note_is_added_only_where_it_fits() -> None:
    """The odds stand at the end of a wide line and are left out of a narrow one, never on a further row."""
    note = "till Sunday: likely, 82 %"
    wide, narrow = rows([FRESH, GREY, BLACK], "gal", 160, note=note), rows([FRESH, GREY, BLACK], "gal", 80, note=note)
    assert text(wide[-1]).endswith(note) and len(text(wide[-1])) == 160
    assert note not in text(narrow[-1])
    assert len(narrow) == len(rows([FRESH, GREY, BLACK], "gal", 80))


def test_a_tight_tank_has_a_mark_and_a_word() -> None:
    """Without colour the mark tells, for a screen reader the word."""
    assert "room 7.5!" in "".join(text(row) for row in rows([FRESH, GREY, BLACK], "gal", 40))
    assert words([GREY], "gal") == "grey room for 7.5 gal, tight"


def test_the_plain_gauge_is_ascii() -> None:
    """Where there are no block characters the same rod is drawn with plain ones."""
    shown = "".join(text(row) for row in rows([FRESH, GREY, BLACK], "gal", 80, ASCII))
    assert shown.isascii() and "#" in shown and "+" in shown and "." in shown


@given(low=st.floats(0, 1), more=st.floats(0, 1), width=st.integers(1, 80))
def test_a_rod_is_always_whole_and_within_a_cell_of_the_truth(low: float, more: float, width: int) -> None:
    """Wet, damp and dry add up to the width; water that is sure is never drawn longer than it is."""
    high = min(1.0, low + more)
    wet, damp, dry = cells(low, high, width)
    assert wet + damp + dry == width and min(wet, damp, dry) >= 0
    assert wet <= low * width + 1e-6
    assert abs(wet + damp - high * width) <= 1.0 + 1e-6


def test_doubt_is_drawn_apart_from_water() -> None:
    """The part between p10 and p90 has a character and a class of its own."""
    drawn = rod(FRESH, 20, UNICODE)
    assert [style for style, _ in drawn] == ["class:rod.fresh", "class:rod.damp", "class:rod.dry"]
    assert text(drawn) == "█" * 11 + "▒" * 3 + "·" * 6


def believed(sd: float, *, flowing: bool = False, mean: float = 100.0) -> Belief:
    level = Spread(mean, sd, 0.0, 136.0)
    room = Spread(136.0 - mean, sd, 0.0, 136.0)
    tank = TankBelief("grey", "grey", Spread(136.0, 5.0), level, room, Spread(0.9, 0.05), 0.0, flowing, None)
    return Belief(None, {"grey": tank})  # type: ignore[arg-type]


def test_what_is_not_known_has_no_figure() -> None:
    """A level in doubt by most of the tank gets a question mark instead of its middle."""
    world = World(rig=Rig({"grey": Tank("grey", "grey", 136.0)}))
    assert gauges_of(believed(60.0), world)[0][0].number == "?"
    assert gauges_of(believed(6.0), world)[0][0].number == "9.5"  # 36 L in US gallons, to the half
    assert words(gauges_of(believed(60.0), world)[0], "gal") == "grey not known"


def test_an_open_valve_shows_no_level() -> None:
    """With its valve open a waste tank runs off; there is nothing to gauge."""
    world = World(rig=Rig({"grey": Tank("grey", "grey", 136.0)}))
    made = rows(gauges_of(believed(5.0, flowing=True), world)[0], "gal", 60)
    assert text(made[0]).startswith("grey runs off") and "█" not in text(made[0])


def test_figures_are_in_the_units_of_the_person() -> None:
    """Litres for those who use litres, imperial gallons for those who use them."""
    tanks = {"grey": Tank("grey", "grey", 136.0)}
    assert gauges_of(believed(6.0), World(rig=Rig(dict(tanks), units="metric")))[0][0].number == "36"
    assert (
        gauges_of(believed(6.0), World(rig=Rig(dict(tanks), units="imperial")))[0][0].number == "8"
    )  # 36 L / 4.54609 = 7.9
