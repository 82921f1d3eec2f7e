"""What people say, and what must come of it: tests/corpus/phrases.jsonl through the whole conversation, in process.

The phrases were written with fresh eyes for ten sorts of people before the grammar was looked at. ULLAGE_PHRASES=FILE runs another file
of the same form beside it.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant import Conversation, open_conversation
from tests.examples import examples
from tests.phrasebook import CORPUS, agrees, judged, lay_rig, load, paired, quick_folder, run_all, table, told
from tests.talking import at

RIGHT = 0.97


def files() -> list[Path]:
    """The corpus, and the file named by ULLAGE_PHRASES."""
    other = os.environ.get("ULLAGE_PHRASES")
    return [CORPUS, *([Path(other)] if other else [])]


SHARES = 4
"""The corpus in as many shares; two of them are run with the quick suite, side by side, the others with the studies (`-m bench`)."""


@pytest.mark.parametrize("share", [0, 1, *(pytest.param(n, marks=pytest.mark.bench) for n in range(2, SHARES))])
@pytest.mark.parametrize("path", files(), ids=lambda path: path.stem)
def test_what_people_say_is_understood_and_nothing_else_is_booked(path: Path, share: int) -> None:
    """No false record at all, nothing raises, and at least RIGHT of the phrases come out right; printed are the table by tag and each
    failure."""
    verdicts = run_all(load(path)[share::SHARES])
    print(table(verdicts))
    failures = "\n".join(told(verdict) for verdict in verdicts if verdict.kind != "right")
    assert not [verdict for verdict in verdicts if verdict.kind in ("false", "crash")], failures
    right = sum(verdict.kind == "right" for verdict in verdicts) / len(verdicts)
    assert right >= RIGHT, f"{right:.4f} right\n{failures}"


def test_the_phrases_cover_what_can_be_said() -> None:
    """At least 400 phrases of the critic's own, 150 of which must not be recorded; every event kind and topic is expected somewhere."""
    cases = load()
    quiet = [case for case in cases if "recorded" not in case["expect"]["outcome"] and "topic" not in case["expect"]]
    assert len(cases) >= 400 and len(quiet) >= 150
    assert len({case["id"] for case in cases}) == len(cases)
    expected = [event["kind"] for case in cases for event in _events(case["expect"])]
    kinds = (
        "use meter meter_reset fill dump haul level rinse arrive stay depart supply valve party away back pressure flow service gear rig"
        " note undo redo amend stop expect frost upkeep step teach"
    )
    assert set(kinds.split()) <= set(expected)
    topics = (
        "status make_it runway showers activity history what_if plan due rinse_limit dose weight checklist explain help"
    )
    assert set(topics.split()) <= {topic for case in cases for topic in _topics(case["expect"])}


def _events(expect: dict[str, Any]) -> list[dict[str, Any]]:
    return [*expect.get("recorded", []), *(event for one in expect.get("recorded_or", []) for event in one)]


def _topics(expect: dict[str, Any]) -> list[str]:
    topic = expect.get("topic")
    return topic if isinstance(topic, list) else [topic] if isinstance(topic, str) else []


# --------------------------------------------------------------------------------------------- whatever is said

WORDS = sorted({word for case in load() for word in case["say"].split()})


@pytest.fixture(scope="module")
def talk() -> Iterator[Conversation]:
    """A conversation on the usual rig that raises its own faults instead of answering for them."""
    with quick_folder() as folder, open_conversation(lay_rig(folder / "fuzz.db")) as conversation:
        conversation.strict = True
        yield conversation


@settings(max_examples=examples(500))
@given(said=st.text(max_size=120))
def test_no_text_makes_the_conversation_raise(talk: Conversation, said: str) -> None:
    """Any text at all: an outcome of the interface, JSON of its own, and nothing recorded of what has no letter in it."""
    check(talk, said)


@settings(max_examples=examples(500))
@given(said=st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join))
def test_no_words_of_ours_make_the_conversation_raise(talk: Conversation, said: str) -> None:
    """Words of the phrases in any order; turns follow each other, so a question may be pending."""
    check(talk, said)


def check(talk: Conversation, said: str) -> None:
    turn = talk.say(said, now=at("09T08:00")).model_dump(mode="json")
    assert json.loads(json.dumps(turn)) == turn
    assert turn["outcome"] in ("recorded", "answered", "asked", "not_understood", "refused")
    assert bool(turn["recorded"]) == (turn["outcome"] == "recorded")
    assert turn["answer"].strip()
    if not any(sign.isalnum() for sign in said):
        assert not turn["recorded"]


# --------------------------------------------------------------------------------------------- the judge itself

TWO_GALLONS = {"id": "a", "kind": "use", "at": "2026-06-09T08:00:00-06:00", "activity": "shower", "litres": 7.571}


def turn(*events: dict[str, Any], outcome: str = "recorded", **facts: Any) -> dict[str, Any]:
    return {"outcome": outcome, "recorded": list(events), "facts": facts}


def test_judge_holds_numbers_to_one_per_cent_and_times_to_ninety_minutes() -> None:
    """Close enough is right, a little further is not; true is not 1."""
    assert agrees(7.57, 7.6) and not agrees(7.57, 7.7)
    assert agrees("2026-06-09T08:00:00-06:00", "2026-06-09T09:30:00-06:00", "at")
    assert not agrees("2026-06-09T08:00:00-06:00", "2026-06-09T09:31:00-06:00", "at")
    assert agrees("Ana", "ana") and agrees("~drips", "Tap drips here") and not agrees(1, True)
    assert agrees([1, 2], 2) and not agrees([1, 2], 3)


def test_judge_calls_an_event_too_many_or_too_few_a_false_record() -> None:
    """Each expected event has one of its own, and there are no others."""
    expect: dict[str, Any] = {"outcome": ["recorded"], "recorded": [{"kind": "use", "litres": 7.57}]}
    assert judged(expect, turn(TWO_GALLONS), [])[0] == "right"
    assert judged(expect, turn(TWO_GALLONS, TWO_GALLONS), [])[0] == "false"
    assert judged(expect, turn({**TWO_GALLONS, "litres": 3}), [])[0] == "false"
    assert judged({"outcome": ["asked"]}, turn(TWO_GALLONS), [])[0] == "false"
    assert judged(expect, turn(outcome="asked"), [])[0] == "outcome"


def test_judge_pairs_events_in_any_order() -> None:
    """The first match is not taken for granted where it would leave another without."""
    events = [{"kind": "use", "litres": 4.0}, {"kind": "use", "litres": 8.0}]
    assert paired([{"kind": "use"}, {"kind": "use", "litres": 4.0}], [], events, [])
    assert not paired([{"kind": "use", "litres": 4.0}, {"kind": "use", "litres": 4.0}], [], events, [])


def test_judge_looks_at_topic_and_date_of_an_answer() -> None:
    """An answer about something else, or until another day, is no answer."""
    expect: dict[str, Any] = {"outcome": ["answered"], "topic": "make_it", "until_date": "2026-06-14"}
    good = turn(outcome="answered", topic="make_it", until="2026-06-14T11:00:00-06:00")
    assert judged(expect, good, [])[0] == "right"
    assert judged(expect, turn(outcome="answered", topic="status"), [])[0] == "answer"
    assert (
        judged(expect, turn(outcome="answered", topic="make_it", until="2026-06-13T11:00:00-06:00"), [])[0] == "answer"
    )


def test_every_case_gets_one_verdict() -> None:
    """A handful of cases through the whole runner, a crash in `before` included."""
    cases = load()[:5]
    verdicts = run_all([*cases, {**cases[0], "before": ["zzz zzz"]}])
    assert len(verdicts) == 6 and {verdict.kind for verdict in verdicts} <= {
        "right",
        "outcome",
        "answer",
        "false",
        "crash",
    }
    assert verdicts[-1].kind == "outcome" and "before" in verdicts[-1].why
    assert "right" in table(verdicts).splitlines()[-1]
