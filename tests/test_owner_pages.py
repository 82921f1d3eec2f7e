"""The pages for owners are true: what they describe is there, what they compute comes out, what they link to exists."""

from __future__ import annotations

import json
import re
import sqlite3
from pathlib import Path
from statistics import NormalDist
from typing import Any

import jsonschema
import pytest

from assistant import open_conversation, pipes
from assistant.transcript import exchanges
from state.log.rows import DEFAULTS
from tests.logbook import ROOT

PAGES = [
    ROOT / "README.md",
    ROOT / "DEVELOPERS.md",
    *sorted((ROOT / "state").glob("*.md")),
    ROOT / "state" / "levels.md",
]
SCHEMA = json.loads((ROOT / "assistant" / "turn.schema.json").read_text(encoding="utf-8"))
LOG_PAGE = (ROOT / "state" / "log.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[dict[str, Any]]]:
    """The log of the README's tour, and its turns as JSON."""
    path = tmp_path_factory.mktemp("pages") / "water.db"
    said = [one.said for one in exchanges((ROOT / "README.md").read_text(encoding="utf-8"))]
    with open_conversation(path) as talk:
        turns = [pipes.hear(talk, pipes.line(text), None).model_dump(mode="json") for text in said]
    return path, turns


def test_every_turn_is_as_the_schema_says(told: tuple[Path, list[dict[str, Any]]]) -> None:
    """The tour's turns, by a validator of JSON Schema that is not ours."""
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    validator = jsonschema.Draft202012Validator(SCHEMA)
    for turn in told[1]:
        validator.validate(turn)
    assert {turn["outcome"] for turn in told[1]} >= {"recorded", "answered", "asked"}


@pytest.mark.parametrize(
    "change",
    [
        {"outcome": "done"},
        {"recorded": []},
        {"recorded": [{"kind": "use"}]},
        {"answer": None},
        {"facts": {"probability": 2}},
    ],
)
def test_the_schema_turns_away_what_is_no_turn(told: tuple[Path, list[dict[str, Any]]], change: dict[str, Any]) -> None:
    """It would see a broken turn: the check above can fail."""
    turn = next(one for one in told[1] if one["outcome"] == "recorded")
    assert not jsonschema.Draft202012Validator(SCHEMA).is_valid({**turn, **change})


def test_the_schema_knows_every_kind_of_event() -> None:
    """A new kind is described too."""
    assert SCHEMA["$defs"]["event"]["properties"]["kind"]["enum"] == list(DEFAULTS)


def test_the_log_s_page_names_every_table_and_column(told: tuple[Path, list[dict[str, Any]]]) -> None:
    """As SQLite itself tells them."""
    tool = sqlite3.connect(told[0])
    tables = [name for (name,) in tool.execute("SELECT name FROM sqlite_master WHERE type IN ('table', 'view')")]
    assert {"turns", "events", "by_day"} <= set(tables)
    for table in tables:
        columns = [row[1] for row in tool.execute(f"PRAGMA table_info({table})")]
        assert all(f"`{name}`" in LOG_PAGE for name in (table, *columns)), (table, columns)
    tool.close()


@pytest.mark.parametrize("query", re.findall(r"```sql\n(.*?)```", LOG_PAGE, re.DOTALL))
def test_the_queries_on_the_log_s_page_work(told: tuple[Path, list[dict[str, Any]]], query: str) -> None:
    """Each finds something in the log of the tour."""
    tool = sqlite3.connect(told[0])
    assert tool.execute(query).fetchall()
    tool.close()


def test_the_sum_on_the_page_about_odds_comes_out() -> None:
    """With the standard library's normal distribution, from the numbers that the page names."""
    page = (ROOT / "state" / "odds.md").read_text(encoding="utf-8")
    room, doubt, use, spread, share = (
        float(found)
        for found in re.search(  # type: ignore[union-attr]
            r"room for ([\d.]+) gal, give or take ([\d.]+)\. Until Sunday you use ([\d.]+) gal, give or take ([\d.]+), and\s+([\d.]+)",
            page,
        ).groups()
    )
    chance = NormalDist(room - share * use, (doubt**2 + (share * spread) ** 2) ** 0.5).cdf(0)
    assert f"{1 - chance:.0%}".replace("%", " %") in page


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_no_page_links_to_what_is_not_there(page: Path) -> None:
    """Files of this folder only; nothing is fetched."""
    for link in re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8")):
        assert (page.parent / link).exists(), link
