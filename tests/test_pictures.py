"""Pictures in text and as SVG: within their width, true to the numbers, told without colour; and the file they are kept in."""

from __future__ import annotations

import itertools
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant import pictures, svg
from assistant.__main__ import main
from assistant.printing import Screen, printed
from tests.talking import GALLON, Talk, at

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def talk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Talk]:
    """Three days of a household that logs some of what it uses and reads its meter."""
    talk = Talk(tmp_path_factory.mktemp("pictures") / "water.db")
    meter = 0.0
    for day in ("09", "10", "11"):
        for phrase in ("shower used 2 gal", "dishes used 1.5 gal", "teeth used 0.5 gal"):
            talk.say(phrase, at(f"{day}T07:30"))
        meter += 6.0
        talk.say(f"meter {meter}", at(f"{day}T08:00"))
    talk.now = at("11T18:00")
    yield talk
    talk.close()


@pytest.fixture(scope="module")
def drawn(talk: Talk) -> dict[str, dict[str, Any]]:
    """The three pictures as data."""
    phrases = {"tanks": "show the tanks", "forecast": "show the forecast", "week": "show this week"}
    return {what: talk.say(phrase).facts["picture"] for what, phrase in phrases.items()}


@pytest.mark.parametrize("what", ["tanks", "forecast", "week"])
@pytest.mark.parametrize("width", [30, 40, 60, 72])
@pytest.mark.parametrize("unicode", [True, False])
def test_a_picture_keeps_to_its_width(drawn: dict[str, dict[str, Any]], what: str, width: int, unicode: bool) -> None:
    """No line is longer than asked for; without block characters all of it is ASCII."""
    text = pictures.text(drawn[what], width, unicode)
    assert all(len(line) <= width for line in text.split("\n")), text
    assert unicode or text.isascii()


def test_the_tanks_stand_to_scale(drawn: dict[str, dict[str, Any]]) -> None:
    """Wet to p10, doubtful to p90, dry beyond, each within a cell; the scale ends at the capacity."""
    text = pictures.text(drawn["tanks"], 60).split("\n")
    for tank in drawn["tanks"]["tanks"]:
        at_name = next(n for n, line in enumerate(text) if line.startswith(tank["name"].capitalize()))
        bar, scale = text[at_name + 1], text[at_name + 2]
        assert len(bar) == 60
        size = tank["capacity_litres"]
        assert abs(bar.count("█") - 60 * tank["level_litres"]["p10"] / size) <= 1
        assert abs(60 - bar.count("·") - 60 * min(1.0, tank["level_litres"]["p90"] / size)) <= 1
        assert scale.endswith(f"{round(size / GALLON)} gal")


def test_the_forecast_rises_for_waste_and_names_its_end(drawn: dict[str, dict[str, Any]]) -> None:
    """Grey's median never falls while nothing is dumped; the end of the stay stands where it belongs in time."""
    grey = next(tank for tank in drawn["forecast"]["tanks"] if tank["name"] == "grey")
    middle = grey["path"]["p50"]
    assert all(later >= earlier - 1e-6 for earlier, later in itertools.pairwise(middle))
    assert all(low <= mid <= high for low, mid, high in zip(*grey["path"].values(), strict=True))
    text = pictures.text(drawn["forecast"], 60)
    assert "Making it to Sunday at 11:00" in text
    column = next(line.rindex("┆") for line in text.split("\n") if "┆" in line)
    whole, until = (drawn["forecast"][key] - drawn["forecast"]["from"] for key in ("until", "stay_until"))
    assert abs((column - 6) / 53 - until / whole) < 0.02


def test_the_week_adds_up(drawn: dict[str, dict[str, Any]]) -> None:
    """Each day's activities and what was not logged come to its total: 6 gal by the meter, 4 of them logged."""
    days = {day["date"]: day for day in drawn["week"]["days"]}
    for day in ("2026-06-10", "2026-06-11"):
        own = days[day]
        assert sum(own["activities"].values()) == pytest.approx(4 * GALLON, abs=0.01)
        assert sum(own["activities"].values()) + own["unlogged_litres"] == pytest.approx(own["litres"], abs=0.01)
    assert sum(day["litres"] for day in days.values()) == pytest.approx(18 * GALLON, rel=0.05)
    text = pictures.text(drawn["week"], 60)
    assert "s shower 6" in text and "d dishes 4.5" in text


@given(
    parts=st.lists(st.tuples(st.sampled_from("abcdef"), st.floats(0, 1000)), min_size=1, max_size=6),
    length=st.integers(0, 70),
)
def test_a_shared_bar_is_exactly_as_long_as_it_should_be(parts: list[tuple[str, float]], length: int) -> None:
    """Largest remainders: the whole is right, and no part is off by a whole cell."""
    bar = pictures.shares(parts, length)
    whole = sum(size for _, size in parts)
    assert len(bar) == (length if whole > 0 else 0)
    if whole > 0 and len({letter for letter, _ in parts}) == len(parts):
        assert all(abs(bar.count(letter) - size / whole * length) < 1 + 1e-6 for letter, size in parts)


def test_every_activity_has_a_letter_of_its_own() -> None:
    """The contract's sixteen activities and an owner's own."""
    names = (
        "shower bath dishes handwash teeth shave face toilet laundry cooking drinking coffee cleaning pets outside other suds"
    ).split()
    letters = pictures.letters_of(names)
    assert len(set(letters.values())) == len(names) and letters["shower"] in "shower"


@given(st.floats(0.5, 5000), st.integers(2, 10))
def test_a_scale_has_round_steps(top: float, most: int) -> None:
    """1, 2, 5, 10, 20, 25, 50 …: never more steps than asked for, and no finer than needed."""
    step = pictures.nice_step(top, most)
    assert top / step <= most + 1e-9
    assert re.fullmatch(r"(1|2|5|25)0*(\.0)?", str(step))


@pytest.mark.parametrize("what", ["tanks", "forecast", "week"])
def test_the_vector_picture_is_well_formed_and_closed(drawn: dict[str, dict[str, Any]], what: str) -> None:
    """It parses, refers to nothing outside itself, runs nothing, has a title and a description, and all of it lies within its frame."""
    text = svg.drawing(drawn[what])
    root = ET.fromstring(text)
    assert root.tag == f"{SVG}svg"
    assert root.find(f"{SVG}title") is not None and root.find(f"{SVG}desc") is not None
    assert not re.search(r"<script|<image|href|http(?!://www\.w3\.org/2000/svg)|@import|on\w+=", text)
    height = float(root.attrib["height"])
    for node in root.iter():
        assert 0 <= float(node.attrib.get("x", 0)) <= svg.WIDTH and 0 <= float(node.attrib.get("y", 0)) <= height + 1
    assert re.search(r'fill="url\(#hatch-\w+\)"', text)


def test_names_cannot_break_the_picture(drawn: dict[str, dict[str, Any]]) -> None:
    """A tank called <b>"&" is drawn as it is written."""
    picture = {**drawn["tanks"], "tanks": [{**drawn["tanks"]["tanks"][0], "name": '<b>"&"'}]}
    root = ET.fromstring(svg.drawing(picture))
    assert any(node.text == '<b>"&"' for node in root.iter(f"{SVG}text"))


def test_the_door_draws_for_its_width_and_says_it_to_who_cannot_see(talk: Talk) -> None:
    """The same reply at 40 columns, and in words."""
    reply = talk.say("show")
    assert max(map(len, printed(reply, Screen(width=40)).split("\n"))) <= 40
    assert "▒" not in printed(reply, Screen(seen=False)) and "room for" in printed(reply, Screen(seen=False))


def test_a_picture_is_kept_in_a_file_and_nothing_else_is_overwritten(
    talk: Talk, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """`--picture` writes what the words show, the tanks without words; never over a file that is no picture."""
    target, now = tmp_path / "w.svg", ["--db", str(talk.path), "--now", "2026-06-11T18:00-06:00"]
    assert main([*now, "--picture", str(target), "show", "the", "forecast"]) == 0
    assert "Making it to Sunday" in ET.parse(target).getroot().findtext(f"{SVG}title", "")
    assert main([*now, "--picture", str(target)]) == 0
    assert "The tanks" in ET.parse(target).getroot().findtext(f"{SVG}title", "")
    letter = tmp_path / "letter.txt"
    letter.write_text("dear all")
    assert main([*now, "--picture", str(letter), "show"]) == 2
    assert letter.read_text() == "dear all"
    assert main([*now, "--picture", str(tmp_path / "no.svg"), "how much does a shower use"]) == 2
    assert main([*now, "--picture", str(tmp_path / "none" / "x.svg"), "show"]) == 2
    assert not (tmp_path / "no.svg").exists() and "nothing to draw" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir() if path.suffix == ".svg"] == ["w.svg"]


def test_without_tanks_or_past_the_time_there_is_a_sentence(tmp_path: Path) -> None:
    """Nothing to draw is said, not drawn."""
    empty = Talk(tmp_path / "empty.db", rigged=False)
    assert "I know no tanks yet" in empty.say("show").answer
    assert "nothing was logged" in printed(empty.say("show this week"), Screen(seen=False)).casefold()
    empty.close()


def test_an_open_valve_is_told_and_not_drawn(tmp_path: Path) -> None:
    """At a sewer with the grey valve open there is no level of grey to draw."""
    own = Talk(tmp_path / "open.db")
    own.say("at Harbor Lane till Friday with sewer and water")
    own.say("opened the grey valve")
    text = printed(own.say("show", own.now + timedelta(hours=2)), Screen(width=60))
    own.close()
    grey = text.partition("Grey: ")[2].partition("Black")[0]
    assert grey.startswith("runs off") and "·" not in grey


def test_a_tank_of_which_nothing_was_told_is_not_drawn(tmp_path: Path) -> None:
    """A level that could be anything would look like knowledge; the gauge and the answer say that it is not known either."""
    talk = Talk(tmp_path / "water.db", rigged=False)
    for phrase in ("grey tank 36 gal", "black tank 30 gal", "black is empty"):
        talk.say(phrase)
    for phrase in ("show", "show the forecast"):
        picture = talk.say(phrase).facts["picture"]
        said = {tank["name"]: tank["said"] for tank in picture["tanks"]}
        assert said["grey"] == "not known yet how full, tell me once" and "not known" not in said["black"]
        assert [tank["name"] for tank in picture["tanks"] if tank["drawn"]] == ["black"]
        assert "36" not in pictures.text(picture) and "30" in pictures.text(picture)
        assert ET.fromstring(svg.drawing(picture)).tag == f"{SVG}svg"
    assert "How full grey is I don't know yet" in talk.say("how full is grey").answer
    talk.close()


def test_of_tanks_that_surely_last_only_the_tight_one_is_drawn(talk: Talk) -> None:
    """Three charts are taller than a small screen, and two of them would be straight lines."""
    picture = talk.say("show the forecast till tomorrow", at("10T08:00")).facts["picture"]
    assert [tank["name"] for tank in picture["tanks"] if tank["drawn"]] == [talk.replies[-1].facts["binding"]]
    assert len(pictures.text(picture).splitlines()) <= 20
    assert [one["name"] for one in talk.say("show the forecast for black").facts["picture"]["tanks"] if one["drawn"]]
