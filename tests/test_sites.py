"""Places: where we were, what is known of a spigot and its water."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from state.care import sites, water_quality
from state.entry import Entry
from state.water.fold import fold
from state.world import World

T0 = datetime(2026, 5, 1, 12, tzinfo=UTC)
DAY = timedelta(days=1)


def entry(kind: str, at: datetime, **fields: object) -> Entry:
    return Entry(
        {"id": f"{kind}{at:%m%d%H%M%S}", "kind": kind, "at": at, "heard_at": at, "heard": "", "said": (), **fields}
    )


def arrive(site: str, at: datetime, water: bool | None = True, sewer: bool | None = False) -> Entry:
    return entry("arrive", at, site=site, water=water, sewer=sewer, until=None)


@pytest.fixture
def world() -> World:
    """Heron Bend 1 to 8 May, on the road, Cedar Flat 9 May to 3 June, Heron Bend again since."""
    return fold([
        arrive("Heron Bend", T0),
        entry("pressure", T0 + DAY, kpa=330.0),
        entry("note", T0 + 2 * DAY, note="sulphur smell at this tap"),
        entry("depart", T0 + 7 * DAY),
        arrive("Cedar Flat", T0 + 8 * DAY, water=False, sewer=None),
        entry("note", T0 + 9 * DAY, note="the dump station closes at six"),
        arrive("Heron Bend", T0 + 33 * DAY, water=None, sewer=None),
    ])  # fmt: skip


def test_stretch_names_the_places_of_its_days(world: World) -> None:
    """All of May: two places in order; June: the second and the third stay; April: none."""

    def named(start: datetime, end: datetime) -> list[str | None]:
        return [one.site for one in sites.between(world, start, end)]

    assert named(T0.replace(day=1, hour=0), T0.replace(month=6, day=1, hour=0)) == ["Heron Bend", "Cedar Flat"]
    assert named(T0.replace(month=6, day=1, hour=0), T0.replace(month=7, day=1, hour=0)) == ["Cedar Flat", "Heron Bend"]
    assert named(T0 - 30 * DAY, T0 - DAY) == []


def test_place_knows_its_stays_pressure_notes_and_last_told_hookups(world: World) -> None:
    """Both stays at Heron Bend count; hookups not told again keep what was told before."""
    known = sites.known(world, "heron bend")
    assert known is not None
    assert len(known.stays) == 2
    assert (known.water, known.sewer) == (True, False)
    assert known.pressure is not None and known.pressure.last == 330.0
    assert [note for _, note in known.notes] == ["sulphur smell at this tap"]
    assert sites.known(world, "Harbor Lane") is None


@pytest.mark.parametrize(
    ("words", "site"),
    [("heron", "Heron Bend"), ("Cedar Flat", "Cedar Flat"), ("flat", "Cedar Flat"), ("lane", None), ("", None)],
)
def test_part_of_a_name_finds_the_only_place_it_fits(world: World, words: str, site: str | None) -> None:
    """ "Heron" is enough; what fits nothing finds nothing."""
    assert sites.longest_word_match(world, words) == site


@pytest.mark.parametrize(
    ("note", "names"),
    [
        ("sulphur smell at this tap", ["sulphur"]),
        ("water is brown and tastes metallic", ["metal", "rust"]),
        ("Rotten EGG smell", ["sulphur"]),
        ("boil notice at the office", ["boil notice"]),
        ("Joss wants to dump grey on Friday", []),
        ("the dump station closes at six", []),
    ],
)
def test_only_what_speaks_of_the_water_is_a_sign(note: str, names: list[str]) -> None:
    """A note's signs are read from its words; other notes have none."""
    assert sorted(sign.name for sign in water_quality.signs(note)) == names


def test_doubtful_water_sends_to_those_who_know() -> None:
    """Brown, cloudy or under a boil notice: the site or the health authority first; no sign is called safe."""
    for sign in water_quality.SIGNS:
        assert ("health authority" in water_quality.advice(sign)) == sign.ask_first
        assert "safe" not in water_quality.advice(sign)


def test_remarks_are_kept_by_site(world: World) -> None:
    """The sulphur belongs to Heron Bend and shows there again at the next stay."""
    assert [one.note for one in water_quality.remarks(world, "HERON BEND")] == ["sulphur smell at this tap"]
    assert water_quality.remarks(world, "Cedar Flat") == []
