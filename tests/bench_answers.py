"""How long one answer about the future, or about the record, takes, warm, with a year of log: `pytest -n 0 -m bench -s tests/bench_answers.py`."""

from __future__ import annotations

import statistics
import time
from datetime import timedelta
from pathlib import Path

import pytest

from assistant import open_conversation
from tests import longlog
from tests.talking import at

YEAR = 7000
MOST_MILLISECONDS = 30.0
TOLD = (
    "the tote holds 15 gal", "we are on the pump", "fresh is at half", "grey is at half",
    "next Cedar Flat from Sunday for four nights, no hookups, then Harbor Lane with sewer",
)  # fmt: skip
ASKED = (
    "can we make it to Sunday", "what else", "can we make it another week", "will grey last till Thursday noon",
    "how much can we use a day", "how many days left", "when's the latest we can dump", "what if we skip showers",
    "what if two guests come from Friday to Sunday", "what if we leave a day late", "plan", "where should we dump",
    "what did we use yesterday", "this stay", "what changed", "what saves most",
)  # fmt: skip


@pytest.mark.bench
def test_an_answer_takes_less_than_thirty_milliseconds(tmp_path: Path) -> None:
    """Median CPU time of seven askings a minute apart, the first left out (it loads the module); printed, and none above 30 ms."""
    path = tmp_path / "year.db"
    longlog.make(path, YEAR)
    slow = {}
    with open_conversation(path) as talk:
        for phrase in TOLD:
            assert talk.say(phrase, now=at("09T08:00")).outcome == "recorded", phrase
        for phrase in ASKED:
            taken = []
            for minute in range(8):
                begun = time.process_time()
                assert talk.say(phrase, now=at("09T08:00") + timedelta(minutes=minute)).outcome == "answered", phrase
                taken.append(1000.0 * (time.process_time() - begun))
            median = statistics.median(taken[1:])
            print(f"{median:6.1f} ms  {phrase}")
            if median > MOST_MILLISECONDS:
                slow[phrase] = median
    assert not slow
