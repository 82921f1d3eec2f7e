"""Frames of who is aboard: how many we are, and guests who are to come or here for a while, counted or named.

May import: clause, intents, trip_frames.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.frames.trip_frames import is_past, nights, until_of, what_was
from grammar.intents import Amount, Intent
from grammar.lightclass import replace
from grammar.pieces.clause import Clause, frame


def we_are(clause: Clause) -> bool:
    """ "we are four": nothing between."""
    here = clause.index("amount")
    words = [piece.toks[0].text for piece in clause.pieces[:here]]
    return words[-2:] in (["we", "are"], ["we", "were"]) or words[-1:] == ["we are"]


@frame("party", "PEOPLEWORD ALONE SELF THEREARE", "amount until when since HAVE people GUESTS VISITOR COMING", rank=0)
def party(clause: Clause) -> Intent | None:
    if clause.word("ALONE") and clause.get("amount") is None:
        return _alone(clause)
    amount = clause.get("amount")
    if (
        clause.index("since") >= 0
        and clause.get("since").text.casefold().startswith("from")
        and (gone := what_was(clause))
    ):
        return gone  # "we had four people from Friday to Sunday"
    if (
        amount is None
        or is_past(clause)
        or amount.unit is not None
        or amount.value is None
        or amount.value != int(amount.value)
        or amount.bound
        or amount.high
    ):
        return None
    if clause.word("PEOPLEWORD") is None and not we_are(clause):
        return None
    guest = clause.word("GUESTS") or clause.word("VISITOR") or clause.word("COMING")
    ours = we_are(clause) or any(tok.text == "of us" for tok in clause.words("PEOPLEWORD"))
    if guest and (not ours or clause.index("since") >= 0):
        return None
    until = clause.get("until") if clause.index("until") >= 0 else None
    when = clause.when
    if until is None and when is not None and when.period == "week" and when.which == "this":
        until, when = when, None  # "it's only me this week"
    if clause.index("since") >= 0:
        return say.Expect(what="party", start=clause.get("since"), until=until, people=amount.value)
    return say.Party(people=amount.value, until=until, when=when)


def _alone(clause: Clause) -> Intent:
    """ "just me", "it's only me this week"."""
    until, when = until_of(clause), clause.when
    if until is None and when is not None and when.period == "week" and when.which == "this":
        until, when = when, None
    if clause.index("since") >= 0:
        return say.Expect(what="party", start=clause.get("since"), until=until, people=1)
    return say.Party(people=1, until=until, when=when)


def visitors(clause: Clause) -> Amount | None:
    """How many come: as said, or as many as are named ("my parents", "my sister and her husband", "a friend")."""
    amount: Amount | None = clause.get("amount")
    visitors = sum(int(tok.senses["VISITOR"].value) for tok in clause.words("VISITOR"))
    named = visitors or sum(tok.senses["GUESTS"].value == "1" for tok in clause.words("GUESTS"))
    if amount is not None and amount.value is not None and visitors and _besides(clause):
        return replace(amount, value=amount.value + visitors)
    return Amount(float(named)) if amount is None and named else amount


def _besides(clause: Clause) -> bool:
    """ "my brother, his wife and three kids": the children come on top of those who are named."""
    here = clause.index("amount")
    before, after = clause.pieces[:here], clause.pieces[here + 1 : here + 2]
    joined = any(piece.has("AND", "WITH", "PREP") for piece in before[-2:])
    return (
        joined
        and any(piece.has("VISITOR") for piece in before)
        and any(piece.has("GUESTS", "GROUP") for piece in after)
    )


@frame(
    "guests", "GUESTS VISITOR", "amount counted since until when duration MORE HAVE COMING STAY people DO GROUP", rank=1
)
def guests(clause: Clause) -> Intent | None:
    amount = visitors(clause)
    if amount is not None and (amount.approx or amount.high or amount.bound):
        return say.NotAReport(why="doubt")  # "a guest from Friday, maybe two": not settled
    if (
        clause.word("GROUP") is not None
        and not (clause.word("VISITOR") and _besides(clause))
        and not clause.word("GUESTS")
    ):
        return None  # "the crew is here till Sunday": how many they are is not said
    if clause.word("VISITOR") is not None and we_are(clause):
        return None  # "my sister is here, we are three": how many we are, not how many come
    if amount is None or amount.unit is not None or amount.value is None or amount.value != int(amount.value):
        return None
    in_all = 0 <= max(clause.place("GUESTS"), clause.place("VISITOR")) < clause.index("amount") and _that_is(clause)
    start, until = (
        clause.get("since") if clause.index("since") >= 0 else clause.when,
        clause.get("until") if clause.index("until") >= 0 else None,
    )
    if start is None and until is None and nights(clause) is None:
        return None
    if (gone := what_was(clause)) is not None:
        return gone
    if amount.high is not None:
        return say.Expect(what="party", start=start, until=until)  # "two or three guests": how many is asked
    if start is None and not clause.word("COMING"):
        return (
            None
            if clause.word("WITHQ")
            else say.Expect(what="party", until=until, people=amount.value, more=True, nights=nights(clause))
        )
    over = any(tok.text in _ONE_NIGHT for tok in clause.words("COMING")) and until is None
    evening = until is None and start is not None and start.part in ("night", "evening") and not start.since
    tonight = evening and start is not None and (start.weekday is None or not clause.word("COMING"))
    stay = nights(clause) or (1.0 if over or tonight else None)
    return say.Expect(what="party", start=start, until=until, people=amount.value, more=not in_all, nights=stay)


def _that_is(clause: Clause) -> bool:
    """ "the kids are with us this weekend, that's four": how many we are in all."""
    here = clause.index("amount")
    return here > 0 and clause.pieces[here - 1].toks[0].text in ("that is", "that", "so", "so that is", "is")


_ONE_NIGHT = frozenset(
    (
        "staying over",
        "stay over",
        "stays over",
        "sleeping over",
        "sleeps over",
        "staying the night",
        "staying night",
        "stays night",
    )
)
