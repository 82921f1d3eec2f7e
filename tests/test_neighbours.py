"""The rules of grammar/neighbours: each does its work on its own examples, none is dead, and they are read as they are written."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence

import pytest

from grammar import neighbour_files
from grammar.hearing.fitting import MARKS
from grammar.hearing.tokens import Tok, sense
from grammar.neighbour_files import FOLDER, Told, Unreadable
from grammar.read import read
from grammar.reading import Names
from grammar.settling.neighbours import Rule

ROOMS = sorted(path.stem for path in FOLDER.glob("*.txt"))
TOLD = {rule.name: rule for room in ROOMS for rule in neighbour_files.told(room)}
NAMES = Names(people=("Ana", "Joss"), sites=("Heron Bend",))


def decides(rule: Told, leave_out: Callable[[], None]) -> None:
    """Each example of a rule is read otherwise once it is left out."""
    assert rule.examples and rule.why, "an example and a reason belong to every rule"
    found = [read(said, NAMES) for said in rule.examples]
    leave_out()
    for said, before in zip(rule.examples, found, strict=True):
        assert read(said, NAMES) != before, said


@pytest.mark.parametrize("name", TOLD)
def test_a_rule_decides_how_its_examples_are_read(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the rule each example would be read otherwise; a rule that changes nothing is dead."""
    works = Rule.__call__

    def but_this(self: Rule, toks: Sequence[Tok]) -> list[Tok]:
        return list(toks) if self.name == name else works(self, toks)

    decides(TOLD[name], lambda: monkeypatch.setattr(Rule, "__call__", but_this))


@pytest.mark.parametrize("name", [name for name, rule in TOLD.items() if rule.others])
def test_a_rule_leaves_its_counterexamples_alone(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    worked: list[Rule] = []
    works = Rule.__call__

    def watched(self: Rule, toks: Sequence[Tok]) -> list[Tok]:
        found = works(self, toks)
        if self.name == name and found != list(toks):
            worked.append(self)
        return found

    monkeypatch.setattr(Rule, "__call__", watched)
    for said in TOLD[name].others:
        read(said, NAMES)
        assert not worked, said


def made(text: str, **sets: str) -> Rule:
    told = Told("test 1", "", text, [], [], sets).compiled()
    told["calls"] = sorted(told["calls"])
    return Rule("test 1", json.dumps(told))


def toks(text: str) -> list[Tok]:
    """Words as tokens: capitals name their class, digits are numbers, all else is unknown."""
    found = []
    for place, word in enumerate(text.split()):
        cls, _, form = word.partition(".")
        number = float(word) if word.isdigit() else None
        kinds = sense(cls, cls.lower(), form) if cls.isupper() else sense("NUMBER") if number is not None else {}
        found.append(Tok(word.lower(), place, place + 1, kinds, number))
    return found


def said(found: Sequence[Tok]) -> str:
    """Tokens as their classes, unknown ones as their texts."""
    return " ".join("/".join(tok.senses) or tok.text for tok in found)


@pytest.mark.parametrize(
    ("rule", "before", "after"),
    [
        ("A [B] C => D", "A B C B C", "A D C B C"),
        ("[A] => -", "A x A", "x"),
        ("A [B x*] => = -", "A B x x A", "A B A"),
        ("[A x] => $2 $1D", "A x A", "x D A"),
        ("A ... [B] => D", "A x x B x B", "A x x D x D"),
        ("^ [A] => D", "A A", "D A"),
        ("[A] $ => D", "A A", "A D"),
        ("[A] ($ / B) => D", "A A B A", "A D B D"),
        ("(A x / B)* [C] => D", "A x B C", "A x B D"),
        ("^ (A x / B)* [C] => D", "x C B C", "x C B C"),
        ("^ (A x / B)* [C] => D", "B A x C", "B A x D"),
        ("A{2,3} [B] => D", "A B A A B", "A B A A D"),
        ("[A&!A.past] => D", "A A.past", "D A"),
        ("[A|x] => D", "A x B", "D D B"),
        ("[@number] => FILLER", "5 x", "FILLER x"),
        ("[A] => D if before x", "A x A", "A x D"),
        ("[A] => D unless after x", "A x A", "A x D"),
        ("[A] => D unless x", "A x A", "A x A"),
        ("[A] => D once", "A A", "D A"),
        ("[A] => +D", "A", "A/D"),
        ("[A] => none", "A", "a"),
        ("[@13-31] => D", "12 13 31 32", "NUMBER D D NUMBER"),
        ("[x* A] => - D", "x x A B A", "D B D"),
        ("^ [x* A] => - D", "B x A x A", "B x A x A"),
        ("[... A] => - D", "x B A x", "D x"),
        ("[@name] => D", "zorblax water", "D water"),
    ],
)
def test_a_rule_rewrites_what_it_fits(rule: str, before: str, after: str) -> None:
    assert said(made(rule)(toks(before))) == after


def test_a_rule_sets_text_form_value_and_number() -> None:
    found = made('[A B 5 C] => "too"D.past:three_four =B PAIR:# NUMBER#2')(toks("A B 5 C"))
    assert [tok.text for tok in found] == ["too", "b", "5", "c"]
    assert [next(iter(tok.senses.values())) for tok in found] == [
        sense("D", "three four", "past")["D"], sense("B", "b")["B"], sense("PAIR", "5")["PAIR"], sense("NUMBER")["NUMBER"]
    ]  # fmt: skip
    assert [tok.number for tok in found] == [None, None, 5.0, 2.0]


def test_a_class_besides_may_take_form_and_value_of_another() -> None:
    both = made("[A] => +B<A")(toks("A.past"))[0].senses
    assert both == {**sense("A", "a", "past"), **sense("B", "a", "past")}


def test_a_number_may_become_which_one() -> None:
    day = made("[@13-31] => ORD")(toks("17"))[0]
    assert (day.senses, day.number, day.ordinal) == (sense("ORD"), None, 17)
    assert made("[@ordinal] => CHOICE:##-")([day])[0] == Tok("17", 0, 1, sense("CHOICE", "17"))


def test_an_hour_and_a_day_are_what_their_figures_tell() -> None:
    hour, mass = Tok("10.40", 0, 1, sense("NUMBER"), 10.4), Tok("24.40", 0, 1, sense("NUMBER"), 24.4)
    days = [Tok(text, 0, 1, sense("FRACTION"), fraction=0.5) for text in ("14/6", "6/14", "14/15")]
    assert [(said([tok]), tok.parts) for tok in made("[@hour] => CLOCK")([hour, mass])] == [
        ("CLOCK", (10, 40)),
        ("NUMBER", ()),
    ]
    found = made("[@date] => ISODATE")(days)
    assert [tok.parts for tok in found] == [(6, 14), (6, 14), ()]
    assert [tok.fraction for tok in found] == [None, None, 0.5]


def test_a_word_may_become_part_of_the_one_before() -> None:
    found = made("[A x* B] => D < <")(toks("A x x B C"))
    assert [(tok.text, tok.start, tok.end) for tok in found] == [("a", 0, 4), ("c", 4, 5)]


def test_a_rule_sets_the_form_of_all_classes() -> None:
    assert made("[A] => .past")(toks("A"))[0].senses == sense("A", "a", "past")


def test_what_counts_nothing_any_more_has_no_number() -> None:
    assert made("[@number] => FILLER")(toks("5"))[0].number is None


def test_a_set_stands_for_its_words() -> None:
    assert said(made("[@loads] => D", loads="pot|pan|A")(toks("pot pan A x"))) == "D D D x"


@pytest.mark.parametrize(
    ("rule", "calls"),
    [
        ("ACT [VESSEL] => D", {"VESSEL"}),
        ("UNIT [pot|pan] => D", {"pot", "pan"}),
        ("[@unknown] => D", {""}),
        ("[ACT&!x] => D if RARE", {"RARE"}),
        ("[ACT|x&UNIT] rare? => D", {"UNIT"}),
    ],
)
def test_a_rule_is_called_up_by_the_rarest_of_what_it_needs(rule: str, calls: set[str]) -> None:
    assert set(Told("test 1", "", rule).compiled()["calls"]) == calls


@pytest.mark.parametrize(
    "rule",
    [
        "A => D",
        "[A B] => D",
        "[A => D",
        "[A] B) => D",
        "[(A / B)] => D",
        "[A?] => D",
        "[A? ...] => D D",
        "[@nobody] => D",
        "[A] => d",
        "[A] => $2",
        "[A|] => D",
    ],
)
def test_what_is_no_rule_is_named(rule: str) -> None:
    with pytest.raises(Unreadable, match="test 1"):
        Told("test 1", "", rule).compiled()


def test_the_marks_of_the_files_are_those_of_the_reader() -> None:
    assert set(MARKS) == neighbour_files.MARKS
