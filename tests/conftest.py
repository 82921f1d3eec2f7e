"""What holds for every test: no log of the person running them is touched, studies run only when asked for, and the same examples are
drawn on every run."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from tests.examples import examples
from tests.talking import Talk

settings.register_profile("quick", deadline=None, max_examples=examples(60), derandomize=True, database=None)
settings.load_profile("quick")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--rewrite-transcripts",
        action="store_true",
        help="write the answers as they now are into transcripts_demo/ and README.md",
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Studies and benchmarks (`bench`) run only with -m bench."""
    if "bench" in (config.getoption("markexpr", "") or ""):
        return
    benches = [item for item in items if item.get_closest_marker("bench")]
    if benches:
        config.hook.pytest_deselected(items=benches)
        items[:] = [item for item in items if not item.get_closest_marker("bench")]


@pytest.fixture(autouse=True)
def own_place(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """The default log lies in a folder of the test's own; nothing is inherited from the shell."""
    monkeypatch.delenv("ULLAGE_DB", raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path_factory.getbasetemp() / "data"))


@pytest.fixture
def db(tmp_path: Path) -> Path:
    """Where a test's log is to lie."""
    return tmp_path / "log" / "water.db"


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    """A conversation on the usual rig, in a log of its own."""
    opened = Talk(tmp_path / "water.db")
    yield opened
    opened.close()
