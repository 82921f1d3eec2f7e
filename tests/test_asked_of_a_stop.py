"""Questions of a stop to come: until it is reached, or until it is left again."""

from __future__ import annotations

import pytest

from tests.talking import Talk, at

STOP = "next Saltbrush Wash from Monday for three nights, no hookups"  # the 15th to the 18th


@pytest.mark.parametrize(
    "said",
    [
        "will the fresh last at Saltbrush Wash",
        "is there enough grey room for Saltbrush Wash",
        "can we make it through Saltbrush Wash",
        "will the water last till we leave Saltbrush Wash",
        "will grey last three nights out there",
        "do we have enough water for the next stop",
        "will the black tank hold for the three nights at Saltbrush Wash",
    ],
)
def test_what_is_to_last_at_a_stop_is_asked_until_it_is_left(talk: Talk, said: str) -> None:
    talk.say(STOP)
    reply = talk.say(said)
    assert (reply.facts["topic"], reply.facts["until"]) == ("make_it", at("18T11:00"))
    assert reply.answer.startswith("Through Saltbrush Wash, until Thursday 18 June at 11:00:")


@pytest.mark.parametrize(
    "said",
    [
        "can we make it to Saltbrush Wash",
        "will grey last till the next stop",
        "do we have to dump before Saltbrush Wash",
    ],
)
def test_what_is_to_reach_a_stop_is_asked_until_arriving(talk: Talk, said: str) -> None:
    talk.say(STOP)
    assert talk.say(said).facts["until"] == at("15T10:00")


def test_a_stay_at_a_stop_is_never_likelier_than_reaching_it(talk: Talk) -> None:
    talk.say(STOP)
    reached = talk.say("can we make it to Saltbrush Wash").facts["probability"]
    assert talk.say("can we make it through Saltbrush Wash").facts["probability"] < reached


def test_there_is_the_stop_spoken_of_last(talk: Talk) -> None:
    talk.say(STOP)
    talk.say("then Cedar Flat till the 22nd, full hookups")
    assert talk.say("will the fresh last through Cedar Flat").facts["until"] == at("22T11:00")
    assert talk.say("is there enough grey room there").facts["until"] == at("22T11:00")
    assert talk.say("is there enough grey room for the next stop").facts["until"] == at("18T11:00")


def test_a_stop_without_an_end_is_asked_about(talk: Talk) -> None:
    talk.say("next Saltbrush Wash from Monday")
    assert talk.say("will the fresh last at Saltbrush Wash").outcome == "asked"
    assert talk.say("until Wednesday").facts["until"].date() == at("17T10:00").date()
    assert talk.say("will the fresh last at Elm Hollow").outcome == "asked"


def test_the_level_at_a_time_to_come_is_not_that_of_now(talk: Talk) -> None:
    talk.say(STOP)
    now = talk.say("how full is grey").facts["tanks"]
    for said in ("how full will grey be on Friday", "how full will grey be at Saltbrush Wash"):
        then = talk.say(said).facts
        assert then["topic"] == "status" and then["until"] > talk.now
        level = {one["name"]: one["level_then_litres"]["p50"] for one in then["tanks"]}
        assert level["grey"] > next(one["level_litres"]["p50"] for one in now if one["name"] == "grey") + 5


def test_what_if_keeps_to_the_tank_asked_about_and_says_what_it_hides(talk: Talk) -> None:
    asked = talk.say("will grey last till Thursday").facts["probability"]
    reply = talk.say("and what if we skip showers")
    assert reply.facts["tank"] == "grey" and "for grey to last" in reply.answer
    assert reply.facts["probability"] - reply.facts["difference"] == pytest.approx(asked)
    talk.say("fresh is at 8 gal")
    talk.say("on the pump now")
    talk.say("will grey last till Thursday")
    assert "With every tank it is" in talk.say("what if we skip showers").answer
    talk.say("can we make it to Thursday")
    assert "tank" not in talk.say("what if we skip showers").facts


@pytest.mark.parametrize("said", ["what's planned now", "plan now", "what's planned"])
def test_the_plan_goes_to_the_end_of_what_is_known_and_names_what_it_counts_in(talk: Talk, said: str) -> None:
    talk.say(STOP)
    talk.say("laundry on Thursday, 8 gal")
    talk.say("two guests from Friday to Sunday")
    reply = talk.say(said)
    assert reply.facts["until"] == at("18T11:00")
    assert "Counted in: laundry, 8 gal, on Thursday and four people aboard from Friday at 10:00" in reply.answer


def test_what_is_over_is_not_counted_in(talk: Talk) -> None:
    talk.say("laundry on Wednesday, 8 gal")
    assert "Counted in" not in talk.say("what's planned", at("11T08:00")).answer


def test_a_dump_at_hand_is_no_alarm(talk: Talk) -> None:
    """With a sewer at the site the dumps are the answer; the odds without them stand beside it."""
    talk.say("at Owl Creek until Monday, full hookups")
    talk.say("on city water")
    talk.say("grey is at 30 gal")
    reply = talk.say("can we make it to Monday")
    assert reply.answer.startswith("If you dump here") and "Left as it is:" in reply.answer
    assert reply.facts["probability"] < 0.5
    assert "the sewer is at hand" in talk.say("plan the next week").answer
    talk.say("at Heron Bend until Monday, no hookups")
    assert not talk.say("can we make it to Monday").answer.startswith("If you dump here")
