"""What the fuzzers reached is tried again on every run: words, imported lines, and what is said and printed (fuzzing.py says what must hold)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests import fuzzing

KEPT = Path(__file__).resolve().parent / "corpus" / "fuzz"
SHARE = {"read": 1, "import": 3, "say": 3}
"""Every so manieth of the inputs is tried in the quick suite, the findings always; a study takes them all."""


def tried(name: str, share: int) -> int:
    inputs = list(fuzzing.kept(KEPT, name))
    for raw in inputs[::share]:
        fuzzing.TARGETS[name](raw)
    return len(inputs[::share])


@pytest.mark.parametrize("name", sorted(fuzzing.TARGETS))
def test_what_a_fuzzer_reached_does_no_harm(name: str) -> None:
    """No error, no slow reading, nothing that a terminal obeys, a whole log."""
    assert tried(name, SHARE[name]) > 20


@pytest.mark.bench
@pytest.mark.parametrize("name", sorted(fuzzing.TARGETS))
def test_all_that_a_fuzzer_reached(name: str) -> None:
    """The long form."""
    print(f"\n{name}: {tried(name, 1)} inputs")


FINDINGS = {
    "a level of nothing": '{"id":"zzzzzzzzzzz","kind":"level","at":"2026-06-09T12:00:00-06:00","tank":"grey"}',
    "an inner name": '{"id":"zzzzzzzzzzz","kind":"amend","at":"2026-06-09T12:00:00-06:00","of":"00000000003","seq":-0.0}',
    "an interval of ages": '{"id":"zzzzzzzzzzz","kind":"upkeep","at":"2026-06-09T12:00:00-06:00","item":"hose","every_days":9990000.0}',
    "a change into words": '{"id":"zzzzzzzzzzz","kind":"amend","at":"2026-06-09T12:00:00-06:00","of":"00000000003","litres":"lots"}',
}


@pytest.mark.parametrize("finding", sorted(FINDINGS))
def test_what_a_fuzzer_found_stays_mended(finding: str) -> None:
    """Each was taken in once, and made an answer fail."""
    assert json.loads(FINDINGS[finding])
    fuzzing.taken_in(b"\0" + FINDINGS[finding].encode())
