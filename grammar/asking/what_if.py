"""What-ifs: the altered habits of "what if we skip showers", "with two guests till Sunday", and the question that they go with.

May import: asked, chunks, clause, guest_frames, how_often, questions, intents, tokens, when.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.asking.asked import one_tank
from grammar.asking.how_often import every_other_one, share_of_all, times_a_day
from grammar.asking.questions import ask
from grammar.frames.deeds import activity
from grammar.frames.guest_frames import visitors
from grammar.hearing.tokens import Tok
from grammar.intents import Amount, Ask, Change
from grammar.lightclass import replace
from grammar.pieces.chunks import Piece
from grammar.pieces.clause import VOLUMES, Clause
from grammar.pieces.piece_meanings import Length
from grammar.when import When


def what_if(main: Clause | None, changes: Sequence[Clause]) -> Ask | None:
    """A what-if: the altered habits, and the question they go with (whether we make it, unless another is asked)."""
    made = [change for clause in changes for change in _changes(clause, main)]
    if not made or None in made:
        return None
    asked = ask(main) if main is not None and main.pieces else None
    base = asked or Ask(topic="make_it")
    altered = tuple(change for change in made if change is not None)
    return replace(base, topic="what_if", changes=altered, subject=asked.topic if asked else None)


ERRANDS = ("DUMP", "DUMPRUN", "HAUL", "TOTE", "TRIPSQ", "FILL", "FETCH")
TIMES = ("when", "until", "since", "duration")
OWN_VERB = (*ERRANDS, "NEG", "AWAY", "STAY", "GUESTS", "VISITOR", "DO", "KEEPTO", "USE", "ELSEWHERE")
"""A part of a what-if with one of these is a change of its own."""


def _changes(clause: Clause, main: Clause | None) -> list[Change | None]:
    """The changes of one hypothesis; None among them where a part is none: "skip showers and dump on Thursday" is two, an errand on two
    days as well."""
    parts = _parted(clause)
    if len(parts) > 1:
        made = [_change(each) for part in parts for each in _each_time(part)]
        if None not in made:
            return made
    if clause.has("NEG") and clause.has(*ERRANDS):
        return [None]  # one of the two would be lost
    if len(parts) == 1 and clause.has(*ERRANDS):
        return [_change(each) for each in _each_time(clause)]
    return [_change(clause) or _as_often(clause, main)]


def _parted(clause: Clause) -> list[Clause]:
    """The clause at each "and" or comma behind which a change of its own begins."""
    parts: list[list[Piece]] = [[]]
    for place, piece in enumerate(clause.pieces):
        if piece.kind == "word" and piece.has("AND", "COMMA") and parts[-1]:
            ahead = clause.pieces[place + 1 :]
            ends = next(
                (n for n, each in enumerate(ahead) if each.kind == "word" and each.has("AND", "COMMA")), len(ahead)
            )
            head, tail = Clause(parts[-1]), Clause(ahead[:ends])
            if tail.has(*OWN_VERB) and head.has(*OWN_VERB, "ACT", "ACTS"):
                parts.append([])
                continue
            if activity(head) is not None and activity(tail) is not None and _goes_on(head, tail):
                parts.append([each for each in head.pieces if each.has("NEG")])  # "skip showers and laundry": neither
                continue
        parts[-1].append(piece)
    return _with_the_time(parts)


def _goes_on(head: Clause, tail: Clause) -> bool:
    """What is said of one activity goes for the next: "skip showers and laundry", "two showers and one bath"."""
    return head.has("NEG") or (head.index("counted") >= 0 and tail.index("counted") >= 0)


def _with_the_time(parts: Sequence[Sequence[Piece]]) -> list[Clause]:
    """The time said last goes for all, where they are of one sort: "dump and fill on Friday", "skip showers and laundry till Friday"."""
    clauses = [Clause(part) for part in parts if part]
    alike = all(each.has(*ERRANDS) for each in clauses) or all(each.has("NEG") for each in clauses)
    times = [piece for piece in clauses[-1].pieces if piece.kind in TIMES] if clauses and alike else []
    if not times or any(each.index(kind) >= 0 for each in clauses[:-1] for kind in TIMES):
        return clauses
    return [*(Clause([*each.pieces, *times]) for each in clauses[:-1]), clauses[-1]]


def _each_time(clause: Clause) -> list[Clause]:
    """ "dump on Thursday, Friday and Sunday", "twice, by Thursday and Saturday": an errand once for each of the moments named."""
    moments = [piece for piece in clause.pieces if _moment(piece)]
    if (
        not moments
        or not clause.has(*ERRANDS)
        or not any(piece.kind == "until" or piece is not moments[0] for piece in moments)
    ):
        return [clause]
    rest = [piece for piece in clause.pieces if piece not in moments and (len(moments) < 2 or piece.kind != "repeat")]
    return [Clause([*rest, Piece("when", moment.value, moment.toks)]) for moment in moments]


def _moment(piece: Piece) -> bool:
    """A moment of an errand: "on Thursday", "by Thursday"."""
    return piece.kind == "when" or (piece.kind == "until" and piece.value.text.casefold().startswith("by "))


def _as_often(clause: Clause, main: Clause | None) -> Change | None:
    """ "If we each want one a day, how many showers …": how often, of what the question is about."""
    name, rate = activity(main) if main is not None and main.pieces else None, times_a_day(clause)
    if name is None or rate is None or activity(clause) is not None or clause.has("TANK", "DUMP", "FILL", "UNIT"):
        return None
    return Change("often", activity=name, count=rate)


def _by_name(clause: Clause) -> Change | None:
    """ "If Glad came along from Thursday to Sunday": a guest for each name."""
    strange = [piece.toks[0] for piece in clause.pieces if piece.kind == "word" and not piece.toks[0].known]
    if not strange or not clause.has("COMING") or not all(tok.text.isalpha() and tok.capital for tok in strange):
        return None
    when, until = clause.when or clause.get("since"), clause.get("until") if clause.index("until") >= 0 else None
    return Change("party", people=float(len(strange)), more=True, when=when, until=until)


def _change(clause: Clause) -> Change | None:
    if any(piece.kind == "word" and not piece.toks[0].known for piece in clause.pieces):
        return _by_name(clause)
    if clause.has("NEG") and clause.has("DUMP", "FILL", "HAUL") and activity(clause) is None:
        return None  # "if we never empty it": nothing is altered
    counted, length, amount, name = (
        clause.get("counted"),
        clause.get("duration"),
        clause.get("amount"),
        activity(clause),
    )
    counted_runs = _runs(clause)
    if counted_runs is not None:
        return counted_runs
    if clause.has("GUESTS", "VISITOR"):
        amount = visitors(clause)
    when, until = clause.when or clause.get("since"), clause.get("until") if clause.index("until") >= 0 else None
    if when is not None and when.now:
        when = None  # "if we empty black now"
    place = clause.word("ELSEWHERE")
    if place is not None:  # "if we use the site showers": none of ours
        there = place.senses["ELSEWHERE"].value
        name = name or (there if there != "x" else None)
        return _skipped(clause, name, when, until) if name else None
    if name and _at_the_site(clause):
        return _skipped(clause, name, when, until)  # "if we shower at the site": nothing of ours
    if name and _put_off(clause):
        end = until or (replace(when, text=f"till {when.text}") if when is not None else None)
        return Change("skip", activity=name, until=end)
    if ((clause.has("NEG") and not every_other_one(clause)) or _left_out(clause)) and name:
        return _skipped(clause, name, when, until)
    if name and clause.has("LESS", "CUT") and not clause.has("HALVE"):
        made, known = _so_much_less(clause, name)
        if known:
            return replace(made, when=when, until=until) if made is not None else None
    rate = times_a_day(clause) if name else None
    if name and every_other_one(clause):
        return Change("amount", activity=name, amount=Amount(0.5, "fraction", text="half"), when=when, until=until)
    if name and rate is not None:
        alone = any(tok.text in ("i", "me") for tok in clause.words("SELF")) or bool(clause.people)
        return Change("often", activity=name, count=rate, people=1.0 if alone else None, until=until)
    if name is None and amount is not None and str(amount.unit).endswith("/day"):
        return Change("share", amount=amount, when=when, until=until)
    share = share_of_all(clause) if name is None else None
    if share is not None:
        return Change("share", amount=share, when=when, until=until)
    aboard = clause.word("SELF") is not None and clause.has("BE", "AUX") and name is None and not clause.has(*ERRANDS)
    if name and (clause.has("HALVE") or (amount is not None and amount.unit in ("fraction", "percent"))):
        part = (
            amount
            if amount is not None and amount.unit in ("fraction", "percent")
            else Amount(0.5, "fraction", text="half")
        )
        return Change("amount", activity=name, amount=part, when=when, until=until)
    if clause.has("NEG") and clause.has("GUESTS", "VISITOR") and clause.has("COMING") and name is None:
        return Change("party", when=when, until=until)  # "if our friends don't come": those who live aboard
    if clause.has("ONEMORE") and clause.has("PEOPLEWORD", "GUESTS") and amount is None:
        return Change("party", people=1.0, more=True, when=when, until=until)
    if clause.has("GUESTS") and clause.has("WITHQ", "WITH", "COMING", "PREP") and amount is None and name is None:
        return Change("party", more=True, when=when, until=until)  # "with guests": how many is asked
    if clause.has("ALONE") and name is None and amount is None:
        return Change("party", people=1.0, when=when, until=until)
    if amount is not None and amount.unit is None and (clause.has("GUESTS", "VISITOR", "PEOPLEWORD") or aboard):
        more = clause.has("GUESTS", "VISITOR")
        until = until or _days_on(when, length)
        return Change("party", people=amount.value, more=more, when=when, until=until)
    if clause.has("RAIN") and name is None and amount is None:
        return Change("rain")
    if clause.has("HAUL", "TOTE"):
        runs = amount.value if amount is not None and amount.unit is None and not clause.has("HAUL") else None
        amount = amount if runs is None else None  # "one tote run"
        return Change("haul", tank=one_tank(clause) or "grey", amount=amount, count=runs, when=when, until=until)
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
    if length is not None and length.more and length.days >= 1 and clause.get("amount") is None:
        return Change("late", count=length.days, more=True)  # "what would two more days do to us"
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


def _skipped(clause: Clause, name: str, when: When | None, until: When | None) -> Change | None:
    """What is left out, or taken elsewhere: by all, or by those who are named. "The guests" are as many as will be aboard."""
    skip, said = Change("skip", activity=name, when=when, until=until), visitors(clause) or clause.get("amount")
    counted, length = clause.get("counted"), clause.get("duration")
    if isinstance(length, Length):
        skip = replace(skip, count=length.days or None)  # "skip showers for two days"
    if counted is not None and counted.count:
        return Change("use", activity=name, count=-counted.count, when=when, until=until)  # "skip two showers"
    if name not in _EACH_FOR_ONESELF:
        return skip
    if clause.people:
        return replace(skip, people=float(len(clause.people)))
    if said is not None and said.value is not None:
        of_us = clause.has("GUESTS", "VISITOR", "PEOPLEWORD", "SELF")
        return replace(skip, people=said.value) if of_us and said.unit is None else None
    if clause.has("GUESTS"):
        return replace(skip, more=True)
    alone = any(tok.text in ("i", "me", "one") for tok in clause.words("SELF"))  # "one" of us
    return replace(skip, people=1.0) if alone else skip


_EACH_FOR_ONESELF = ("shower", "bath", "teeth", "shave", "face", "toilet", "handwash")
_SITES = ("camp", "camp shower", "camp showers")


def _at_the_site(clause: Clause) -> bool:
    """ "at the site", "at the campground", "at the camp": with the site's water and drains."""
    if any(tok.text.startswith(("at ", "in ")) for tok in clause.words("DUMPSITE")):
        return True
    site = clause.has("SITEWORD", "DUMPSITE") or any(tok.text in _SITES for tok in clause.words("MAKEIT"))
    return site and clause.has("AT", "IN")


def _so_much_less(clause: Clause, name: str) -> tuple[Change | None, bool]:
    """ "One less shower", "cut laundry": what falls away, and whether it is for this to say; None where it is left open how much."""
    counted, amount = clause.get("counted"), clause.get("amount")
    often = times_a_day(clause)
    if (amount is not None and amount.unit is not None) or (clause.get("duration") is not None and often is None):
        return None, False
    number = counted.count if counted is not None else amount.value if amount is not None else None
    if often is not None and counted is not None:
        often /= counted.count  # "two showers less a day": the two are told by the number
    if clause.has("LESS"):
        return (Change("use", activity=name, count=-number, a_day=often) if number else None), True
    if often is not None:
        return None, False
    whole = all(tok.text in ("cut", "drop") for tok in clause.words("CUT")) and number is None
    return (Change("skip", activity=name) if whole else None), number is None


def _particle(clause: Clause, said: str) -> bool:
    return any(tok.text == said for tok in clause.words("PARTICLE"))


def _left_out(clause: Clause) -> bool:
    """ "leave out showers", "leave the dishes out"."""
    return _particle(clause, "out") and clause.has("LEAVE", "DEPART", "LEFT")


def _put_off(clause: Clause) -> bool:
    """ "put the laundry off till after Sunday"."""
    return _particle(clause, "off") and clause.has("PUT")


def _runs(clause: Clause) -> Change | None:
    """ "make three tote runs of 15 gal on Friday", "dump twice", "bring in 15 gal of fresh", "drive to a dump station"."""
    when, said = clause.when or clause.get("since"), [one for one in clause.all("amount") if isinstance(one, Amount)]
    volume = next((one for one in said if one.unit in VOLUMES), None)
    number = next((one.value for one in said if one.unit is None and one.value), None) or clause.get("repeat")
    again = _again_and_again(clause, volume)
    if again is not None:
        return again
    if clause.has("TRIPSQ"):
        return Change("haul", tank=one_tank(clause) or "grey", amount=volume, count=number, when=when)
    if (clause.has("FETCH") and (volume is not None or clause.has("TOTE"))) or (
        volume is not None and _comes_in(clause)
    ):
        return Change("haul", tank=one_tank(clause) or "fresh", amount=volume, count=number, when=when)
    if clause.has("DUMPRUN"):
        return Change("dump", tank=one_tank(clause), count=number, when=when)
    if clause.has("HAUL", "TOTE") and clause.get("repeat"):  # "take the tote twice"
        return Change("haul", tank=one_tank(clause) or "grey", amount=volume, count=number, when=when)
    if clause.has("DUMP", "FILL") and activity(clause) is None and clause.get("repeat"):
        what = "dump" if clause.has("DUMP") else "fill"
        return Change(what, tank=one_tank(clause), count=number, when=when)
    return None


def _comes_in(clause: Clause) -> bool:
    """ "get 10 gallons of water", "add 10 gallons", "pour 20 litres in": as much fresh water, from wherever."""
    got = any(tok.text in ("get", "got") for tok in clause.words("DO")) or clause.has("PUT", "FETCHED")
    other = clause.has("AWAY", "AWAYWORD", "TAKEAWAY", "USE", "RINSE", "RINSEPORT", "NEG") and not clause.has(
        "IN", "INTO"
    )
    return (
        got
        and not other
        and not _particle(clause, "out")
        and activity(clause) is None
        and one_tank(clause) in (None, "fresh")
    )


def _again_and_again(clause: Clause, volume: Amount | None) -> Change | None:
    """ "tote 5 gallons a day", "dump grey every other day": an errand at even steps from now on."""
    daily = next(
        (one for one in clause.all("amount") if isinstance(one, Amount) and str(one.unit).endswith("/day")), None
    )
    rate = 1.0 if daily is not None else times_a_day(clause)
    if rate is None or activity(clause) is not None or clause.has("NEG"):
        return None
    if daily is not None and daily.value is not None:
        unit = str(daily.unit).removesuffix("/day")
        volume = replace(daily, unit=unit, text=f"{daily.value:g} {unit}{'' if daily.value == 1 else 's'}")
    until = clause.get("until") if clause.index("until") >= 0 else None
    if clause.has("HAUL", "TOTE", "TRIPSQ", "FETCH"):
        tank = one_tank(clause) or ("fresh" if clause.has("FETCH") else "grey")
        return Change("haul", tank=tank, amount=volume, until=until, a_day=rate)
    if clause.has("DUMP", "DUMPRUN"):
        return Change("dump", tank=one_tank(clause), until=until, a_day=rate)
    return Change("fill", tank=one_tank(clause), until=until, a_day=rate) if clause.has("FILL") else None


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
