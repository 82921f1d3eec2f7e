"""The rules of grammar/parts: each does its work on its own examples, none is dead, and they are read as they are written."""

from __future__ import annotations

import json
from collections.abc import Sequence

import pytest

from grammar import neighbour_files
from grammar.hearing.parts import Rule
from grammar.hearing.tokens import Tok
from grammar.neighbour_files import COMMON, PARTS, Told, Unreadable
from grammar.read import read
from tests.test_neighbours import NAMES, decides, toks

ROOMS = sorted(path.stem for path in PARTS.glob("*.txt"))
TOLD = {rule.name: rule for room in ROOMS for rule in neighbour_files.told(room, PARTS)}


@pytest.mark.parametrize("name", TOLD)
def test_a_rule_decides_how_its_examples_are_read(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the rule each example would be read otherwise; a rule that changes nothing is dead."""
    works = Rule.__call__

    def but_this(self: Rule, part: Sequence[Tok]) -> bool:
        return self.name != name and works(self, part)

    decides(TOLD[name], lambda: monkeypatch.setattr(Rule, "__call__", but_this))


@pytest.mark.parametrize("name", [name for name, rule in TOLD.items() if rule.others])
def test_a_rule_leaves_its_counterexamples_alone(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    works, fitted = Rule.__call__, list[str]()

    def watched(self: Rule, part: Sequence[Tok]) -> bool:
        fits = works(self, part)
        if fits and self.name == name:
            fitted.append(" ".join(tok.text for tok in part))
        return fits

    monkeypatch.setattr(Rule, "__call__", watched)
    for said in TOLD[name].others:
        read(said, NAMES)
        assert not fitted, said


def made(text: str, **sets: str) -> Rule:
    told = Told("test 1", "", text, [], [], sets, whole=True).compiled()
    return Rule("test 1", json.dumps(told | {"calls": []}))


@pytest.mark.parametrize(
    ("rule", "fits", "others"),
    [
        ("A x => told", "A x", "A x x"),
        ("@any* x => told", "A B x", "x A"),
        ("A ... B => told", "A x x B", "x A B"),
        ("(A / B x) C => told", "B x C", "A x C"),
        ("@any* => told if A", "x A", "x B"),
        ("@any* => told unless A", "x B", "x A"),
        ("@whose+ => told", "A B x", "A C"),
    ],
)
def test_a_rule_fits_a_whole_part(rule: str, fits: str, others: str) -> None:
    one = made(rule, whose="A|B|x")
    assert one(toks(fits)) and one.says == "told"
    assert not one(toks(others))


def test_a_word_is_found_inside_a_spelling_of_several() -> None:
    assert made("looking => told")([Tok("was looking", 0, 1)])
    assert not made("look => told")([Tok("was looking", 0, 1)])


@pytest.mark.parametrize(
    "rule", ["[A] => told", "A => told twice", "^ A => told", "A => told if before B", "A => told once", "=> told"]
)
def test_what_is_no_rule_of_a_part_is_named(rule: str) -> None:
    with pytest.raises(Unreadable, match="test 1"):
        Told("test 1", "", rule, whole=True).compiled()


def test_the_common_file_holds_sets_alone() -> None:
    assert neighbour_files.told(COMMON, PARTS) == []
