"""The prepared table says yes only where the models of events.py say yes, and gives the same fields."""

from __future__ import annotations

import subprocess
import sys
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from state import checks, events
from tests.examples import examples

NOW = datetime(2026, 6, 9, 8, 0, tzinfo=timezone(timedelta(hours=-6)))
ENVELOPE = {"id": "0123456789abcdef", "at": NOW, "heard_at": NOW, "heard": "as said"}

values = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-5, 2000),
    st.floats(allow_nan=True, allow_infinity=True),
    st.floats(0, 100),
    st.text(max_size=5),
    st.sampled_from(
        ["inlet", "grey", " grey", "seen", "hookup", "out", "2026-06-09T08:00:00-06:00", "x" * 81, "\ud800"]
    ),
    st.just(NOW),
    st.just(NOW.replace(tzinfo=None)),
    st.just(NOW.date()),
    st.just(({"field": "litres", "value": 2, "unit": "gallon", "text": "2 gal"},)),
    st.lists(st.text(max_size=3), max_size=2).map(tuple),
)


@st.composite
def fields(draw: st.DrawFn) -> dict[str, Any]:
    kind = draw(st.sampled_from(sorted(events.MODELS)))
    names = [*events.MODELS[kind].model_json_schema(by_alias=True)["properties"], "odd"]
    chosen = draw(st.dictionaries(st.sampled_from(names), values, max_size=8))
    return {**ENVELOPE, **chosen, "kind": kind}


@settings(max_examples=examples(500), deadline=None)
@given(fields())
def test_what_the_table_vouches_for_the_models_take_as_it_is(said: dict[str, Any]) -> None:
    """Soundness: never a yes where the model says no, never another value."""
    checked = checks.surely(said)
    if checked is not None:
        assert checked == events.check(said)


PLAIN = {
    "use": {"activity": "shower", "litres": 7.571},
    "meter": {"litres": 157},
    "meter_reset": {},
    "fill": {"to_full": True},
    "dump": {"tank": "grey"},
    "haul": {"tank": "grey", "litres": 45.4},
    "level": {"tank": "grey", "fraction": 0.5},
    "rinse": {"litres": 30.0},
    "arrive": {"site": "Heron Bend", "water": True, "sewer": False, "until": NOW},
    "stay": {"until": NOW},
    "depart": {},
    "supply": {"from": "tank"},
    "valve": {"tank": "grey", "open": True},
    "party": {"people": 4, "until": None},
    "away": {},
    "back": {},
    "pressure": {"kpa": 330.9},
    "flow": {"litres_per_minute": 9.1},
    "service": {"item": "water_filter"},
    "gear": {"item": "regulator", "where": "out"},
    "rig": {"what": "tank", "tank": "grey", "tank_kind": "grey", "litres": 136.3},
    "stop": {"site": "Cedar Flat", "from": NOW, "until": NOW},
    "expect": {"what": "party", "people": 4},
    "frost": {"low_celsius": -4.0},
    "upkeep": {"item": "hoses", "every_days": 90.0},
    "step": {"list": "leaving", "text": "lock the wet bay"},
    "teach": {"word": "suds", "means": "dishes"},
    "note": {"text": "sulphur smell"},
    "undo": {"of": "0123456789abcdef"},
    "redo": {"of": ("0123456789abcdef", "0123456789abcdeg")},
    "amend": {"of": "0123456789abcdef", "litres": 11.4, "until": NOW},
}


@pytest.mark.parametrize("kind", sorted(events.MODELS))
def test_a_plain_event_of_each_kind_needs_no_model(kind: str) -> None:
    """Completeness where it counts: what a conversation books every day is vouched for by the table."""
    said = {**ENVELOPE, "kind": kind, **PLAIN[kind]}
    assert checks.surely(said) == events.check(said)


def test_the_table_is_prepared_from_the_models() -> None:
    """The file in the project is what `python -m state.checks` would write today."""
    assert Path(checks.__file__).with_name("event_table.py").read_text(encoding="utf-8") == checks.prepare()


def test_a_wrong_field_is_refused_by_the_models() -> None:
    """What the table cannot vouch for gets the models' own error."""
    with pytest.raises(ValueError, match="litres"):
        checks.check({**ENVELOPE, "kind": "haul", "tank": "grey", "litres": -1.0})
    with pytest.raises(KeyError):
        checks.check({**ENVELOPE, "kind": "no such kind"})


def test_checking_a_plain_event_loads_no_model_library() -> None:
    """A one-shot on a phone does not pay for pydantic."""
    code = (
        "import sys; from datetime import datetime, UTC; from state import checks;"
        "checks.check({'id': '0123456789', 'kind': 'dump', 'tank': 'grey', 'at': datetime.now(UTC), 'heard_at': datetime.now(UTC)});"
        "sys.exit('pydantic' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


INTERFACE = {
    "use": "activity count litres estimated person", "meter": "meter litres", "meter_reset": "meter", "fill": "tank litres to_full",
    "dump": "tank", "haul": "tank litres", "level": "tank litres fraction basis", "rinse": "tank litres",
    "arrive": "site water sewer until", "stay": "until", "depart": "", "supply": "from", "valve": "tank open", "party": "people until",
    "away": "", "back": "", "pressure": "kpa", "flow": "litres_per_minute", "service": "item", "gear": "item where", "rig": "what",
    "stop": "site from until water sewer", "expect": "what from until", "frost": "low_celsius", "upkeep": "item every_days every_litres",
    "step": "list text before after", "teach": "word means", "note": "text", "undo": "of", "redo": "of", "amend": "of",
}  # fmt: skip
"""What scripts may count on in an event of each kind."""


@pytest.mark.parametrize("kind", events.MODELS)
def test_events_have_the_fields_of_the_interface(kind: str) -> None:
    """By those names, in the object of a turn and in exports."""
    assert set(INTERFACE[kind].split()) <= events.names(kind)
