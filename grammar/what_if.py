"""What-ifs: the altered habits of "what if we skip showers", "with two guests till Sunday", and the question that they go with.

May import: asked, clause, guest_frames, how_often, questions, intents, tokens, when.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.asked import one_tank
from grammar.clause import Clause
from grammar.deeds import activity
from grammar.guest_frames import visitors
from grammar.how_often import every_other_one, share_of_all, times_a_day
from grammar.intents import Amount, Ask, Change
from grammar.lightclass import replace
from grammar.piece_meanings import Length
from grammar.questions import ask
from grammar.tokens import Tok
from grammar.when import When


def what_if(main: Clause | None, changes: Sequence[Clause]) -> Ask | None:
    """A what-if: the altered habits, and the question they go with (whether we make it, unless another is asked)."""
    made = [
        change for clause in changes for change in (_change(clause) or _as_often(clause, main),) if change is not None
    ]
    if not made or len(made) != len(changes):
        return None
    asked = ask(main) if main is not None and main.pieces else None
    base = asked or Ask(topic="make_it")
    return replace(base, topic="what_if", changes=tuple(made), subject=asked.topic if asked else None)


def _as_often(clause: Clause, main: Clause | None) -> Change | None:
    """ "If we each want one a day, how many showers …": how often, of what the question is about."""
    name, rate = activity(main) if main is not None and main.pieces else None, times_a_day(clause)
    if name is None or rate is None or activity(clause) is not None or clause.has("TANK", "DUMP", "FILL", "UNIT"):
        return None
    return Change("often", activity=name, count=rate)


def _change(clause: Clause) -> Change | None:
    if any(piece.kind == "word" and not piece.toks[0].known for piece in clause.pieces):
        return None
    counted, length, amount, name = (
        clause.get("counted"),
        clause.get("duration"),
        clause.get("amount"),
        activity(clause),
    )
    if clause.has("GUESTS", "VISITOR"):
        amount = visitors(clause)
    when, until = clause.when or clause.get("since"), clause.get("until") if clause.index("until") >= 0 else None
    place = clause.word("ELSEWHERE")
    if place is not None:  # "if we use the site showers": none of ours
        there = place.senses["ELSEWHERE"].value
        name = name or (there if there != "x" else None)
        return Change("skip", activity=name, when=when, until=until) if name and amount is None else None
    if clause.has("NEG") and name and not every_other_one(clause):
        return Change("skip", activity=name, when=when, until=until)
    rate = times_a_day(clause) if name else None
    if name and every_other_one(clause):
        return Change("amount", activity=name, amount=Amount(0.5, "fraction", text="half"), when=when, until=until)
    if name and rate is not None:
        alone = any(tok.text in ("i", "me") for tok in clause.words("SELF")) or bool(clause.people)
        return Change("often", activity=name, count=rate, people=1.0 if alone else None, until=until)
    share = share_of_all(clause) if name is None else None
    if share is not None:
        return Change("share", amount=share, when=when, until=until)
    aboard = clause.word("SELF") is not None and clause.has("BE", "AUX") and name is None
    if name and (clause.has("HALVE") or (amount is not None and amount.unit in ("fraction", "percent"))):
        part = (
            amount
            if amount is not None and amount.unit in ("fraction", "percent")
            else Amount(0.5, "fraction", text="half")
        )
        return Change("amount", activity=name, amount=part, when=when, until=until)
    if clause.has("ONEMORE") and clause.has("PEOPLEWORD", "GUESTS") and amount is None:
        return Change("party", people=1.0, more=True, when=when, until=until)
    if clause.has("ALONE") and name is None and amount is None:
        return Change("party", people=1.0, when=when, until=until)
    if amount is not None and amount.unit is None and (clause.has("GUESTS", "VISITOR", "PEOPLEWORD") or aboard):
        more = clause.has("GUESTS", "VISITOR")
        until = until or _days_on(when, length)
        return Change("party", people=amount.value, more=more, when=when, until=until)
    if clause.has("RAIN") and name is None and amount is None:
        return Change("skip", activity="outside", when=when, until=until, count=_days(length))
    if clause.has("HAUL", "TOTE"):
        return Change("haul", tank=one_tank(clause) or "grey", amount=amount, when=when, until=until)
    if clause.has("DUMP"):
        return Change("dump", tank=one_tank(clause), when=when, until=until)
    if clause.has("FILL") and name is None:
        return Change("fill", tank=one_tank(clause), amount=amount, when=when, until=until)
    if clause.has("AWAY") and name is None:
        return Change("absence", when=when, until=until)
    if length is not None and length.unit not in ("second", "minute", "hour") and name:
        return None
    if name and (length is not None or (counted and counted.minutes)):
        minutes = counted.minutes if counted and counted.minutes else length.seconds / 60
        return Change("minutes", activity=name, minutes=minutes, when=when, until=until)
    if name and counted is not None:
        return Change("use", activity=name, count=counted.count, amount=counted.amount, when=when, until=until)
    if name and amount is not None and clause.has("ACTS"):
        return Change("amount", activity=name, amount=amount, when=when, until=until)
    if name:
        return Change("use", activity=name, count=1, amount=amount, when=when, until=until)
    leaves = clause.has("LEAVE", "STAYEND", "DEPART", "LEAVINGQ", "ARRIVE", "ARRIVING")
    stays = clause.has("STAY", "STAYING", "STRETCH")
    if (stays or leaves) and length is not None and length.days:
        longer = length.more or leaves or any(tok.senses["STAY"].form == "base" for tok in clause.words("STAY"))
        return Change("late", count=length.days, more=longer)
    if leaves and (until or when):
        return Change("late", until=until or when)
    if stays and (until or when):
        return Change("late", until=until or when)
    return None


def _days(length: Length | None) -> float | None:
    """A length in days, if one was said. [days]"""
    return length.days if length is not None else None


def _days_on(when: When | None, length: Length | None) -> When | None:
    """ "visits for two days": until then, from now; from a day named it would be a sum of days, which is left to the stay's end."""
    return When(whole_days=round(length.days)) if when is None and length is not None and length.days >= 1 else None


def _turns(toks: Sequence[Tok], i: int) -> bool:
    """Whether a question begins here, without a comma before it."""
    if toks[i].has("QWORD"):
        return toks[i].text.startswith("how ") and toks[i].text not in ("how much", "how many")
    following = toks[i + 1] if i + 1 < len(toks) else None
    return (
        toks[i].has("AUX")
        and following is not None
        and following.has("SELF", "TANK", "IT")
        and not toks[i - 1].has("SELF", "TANK", "IT", "PERSON", "KIN")
    )


def split_if(toks: Sequence[Tok]) -> tuple[list[Tok], list[Tok]] | None:
    """(the question, the hypothesis) of tokens with an "if" in them."""
    place = next((i for i, tok in enumerate(toks) if tok.has("IF")), None)
    if place is None:
        turn = next((i for i, tok in enumerate(toks) if i and tok.has("AUX") and not tok.has("SELF")), None)
        return (list(toks[turn:]), list(toks[:turn])) if turn else None
    comma = next((i for i in range(place, len(toks)) if toks[i].has("COMMA")), None)
    if comma is not None and any(tok.has("MAKEIT", "RUNOUT", "DAYSLEFT", "QWORD") for tok in toks[comma:]):
        return list(toks[comma + 1 :]), list(toks[place + 1 : comma])
    turn = next((i for i in range(place + 2, len(toks)) if not place and _turns(toks, i)), None)
    if turn is not None:
        return list(toks[turn:]), list(toks[1:turn])  # "say we skip showers would grey make it"
    return list(toks[:place]), list(toks[place + 1 :])
