"""What is told behind a comma or an "and" is booked too, or the whole is asked about: no report swallows another."""

from __future__ import annotations

import pytest

from tests.talking import Talk


def told(talk: Talk, said: str) -> list[tuple[str, object]]:
    """The kind of each event of a phrase, with what it was about."""
    return [
        (one["kind"], one.get("item") or one.get("person") or one.get("activity") or one.get("from"))
        for one in talk.say(said).recorded
    ]


@pytest.mark.parametrize(
    ("said", "kinds"),
    [
        ("pressure 48, hose out", ["pressure", "gear"]),
        ("pressure 48, regulator on the spigot", ["pressure", "gear"]),
        ("regulator on the spigot, pressure 48, hose out", ["gear", "pressure", "gear"]),
        ("pressure 48 psi and flow 2 gpm, hose is out", ["pressure", "flow", "gear"]),
        ("pressure 55, meter and hose outside", ["pressure", "gear", "gear"]),
        ("checked the regulator and put it on the spigot", ["service", "gear"]),
        ("changed the filter and it's on the spigot", ["service", "gear"]),
        ("replaced the regulator and put it away", ["service", "gear"]),
        ("we're back and on city water", ["back", "supply"]),
        ("back, pump on", ["back", "supply"]),
        ("dumped grey and are four till Monday", ["dump", "party"]),
        ("we filled fresh and are now at Otter Flats till Friday with sewer", ["fill", "arrive"]),
        ("we dumped grey and are back", ["dump", "back"]),
        ("grey was half full at seven and is 2/3 now", ["level", "level"]),
        ("black was 1/3 full yesterday evening and is 1/2 now", ["level", "level"]),
    ],
)
def test_no_report_swallows_another(talk: Talk, said: str, kinds: list[str]) -> None:
    assert sorted(kind for kind, _ in told(talk, said)) == sorted(kinds)


@pytest.mark.parametrize(
    ("said", "kinds"),
    [
        ("pressure with the regulator on is 48", ["pressure"]),
        ("pump off, city water on", ["supply"]),
        ("broke camp and left", ["depart"]),
        ("dumped grey and are we four till Monday", ["dump"]),
        ("grey was half full and is 2/3 now", ["level"]),
        ("emptied 11 gal of grey into the tote and dumped it", ["haul"]),
        ("changed the filter and it works", ["service"]),
        ("pressure 48 psi, seems ok", ["pressure"]),
        ("hosed the mud off the mats and the steps outside, 4 gal", ["use"]),
    ],
)
def test_what_only_tells_more_of_the_same_is_no_second_report(talk: Talk, said: str, kinds: list[str]) -> None:
    assert [kind for kind, _ in told(talk, said)] == kinds


@pytest.mark.parametrize("said", ["Ana showered 2 gal, then me", "washed the dog and the bike"])
def test_where_a_part_cannot_be_booked_all_is_asked_about(talk: Talk, said: str) -> None:
    assert not told(talk, said) and talk.replies[-1].outcome == "asked"


@pytest.mark.parametrize("said", ["we're four for dinner", "there are six of us for supper", "we are five for lunch"])
def test_who_comes_to_a_meal_is_not_aboard_from_now_on(talk: Talk, said: str) -> None:
    assert not told(talk, said) and "Did you mean" not in talk.replies[-1].answer
    assert told(talk, "we're four after dinner")


@pytest.mark.parametrize(
    "said", ["from Sunday two nights at Cedar Flat, then back here", "next Cedar Flat from Sunday, then back"]
)
def test_nobody_is_back_who_has_yet_to_go(talk: Talk, said: str) -> None:
    assert not told(talk, said)


def test_an_aching_back_is_nobodys_return(talk: Talk) -> None:
    assert told(talk, "toted 8 gal of grey, back's killing me") == [("haul", None)]
    assert not told(talk, "my back is stiff")
