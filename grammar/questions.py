"""Questions: which topic is asked about, from the classes of the words in it, whatever their order.

`TOPICS` is read from the top; the first rule whose test holds gives the meaning. May import: clause, intents, when.
"""

from __future__ import annotations

from collections.abc import Callable

from grammar.clause import Clause
from grammar.intents import Ask
from grammar.lightclass import replace
from grammar.piece_meanings import Length
from grammar.use_frames import activity
from grammar.when import When

Rule = Callable[[Clause], "Ask | None"]


def _q(clause: Clause, *kinds: str) -> bool:
    """Whether a question word of one of these kinds stands in the clause."""
    return any(tok.senses["QWORD"].value in kinds for tok in clause.words("QWORD"))


def _did(clause: Clause) -> bool:
    return any(
        tok.text in ("did", "have we", "have i", "has", "had", "was", "were") for tok in clause.words("AUX")
    ) or any(piece.kind == "word" and piece.toks[0].text == "used" for piece in clause.pieces)


def one_tank(clause: Clause) -> str | None:
    return clause.tanks[0] if len(clause.tanks) == 1 and clause.tanks != ("*",) else None


def _until(clause: Clause) -> When | None:
    found: When | None = clause.get("until") or clause.when
    if found is not None and found is clause.when and _whole(clause, found):
        found = replace(found, through=True)  # "get through the weekend", "over the weekend"
    if found is not None and found.count is not None and found.which == "last":
        return When(whole_days=round(found.count), text=found.text)  # "will grey last three days"
    return found


def _whole(clause: Clause, when: When) -> bool:
    """Whether all of a day or weekend is meant rather than its beginning."""
    place = clause.index("when")
    before = clause.pieces[place - 1].toks[-1].text if place > 0 else ""
    weekend = when.period == "weekend" and when.edge is None
    return before.endswith(("through", "thru")) or (weekend and before.split()[-1:] in (["over"], ["for"]))


def _only(clause: Clause, *classes: str) -> bool:
    """Nothing else of weight in the clause."""
    return all(
        piece.kind == "word"
        and piece.has(*classes, "FILLER", "COMMA", "STOP", "QMARK", "PREP", "ART", "SELF", "A", "BE", "AUX")
        for piece in clause.pieces
    ) and clause.has(*classes)


def _explain(clause: Clause) -> Ask | None:
    if _only(clause, "EXPLAIN"):
        return Ask(topic="explain")
    others = [
        piece for piece in clause.pieces if not piece.has("EXPLAIN", "FILLER", "ART", "TANKWORD", "STOP", "QMARK")
    ]
    if clause.has("EXPLAIN") and one_tank(clause) is not None and [piece.kind for piece in others] == ["tanks"]:
        return Ask(topic="explain", tank=one_tank(clause))
    return None


def _help(clause: Clause) -> Ask | None:
    return Ask(topic="help") if _only(clause, "HELPQ") else None


def _misses(clause: Clause) -> Ask | None:
    return Ask(topic="help", subject="misses") if _only(clause, "MISSQ") else None


def _dose(clause: Clause) -> Ask | None:
    if not clause.has("BLEACH", "DOSE") or not (_q(clause, "howmuch", "how", "what", "howmany") or clause.has("DOSE")):
        return None
    return Ask(topic="dose", tank=one_tank(clause), amount=clause.get("amount"))


def _unit(clause: Clause) -> str | None:
    amount = clause.get("amount")
    return amount.unit if amount is not None else None


def _unit_word(clause: Clause) -> str | None:
    return clause.value("UNIT")


def _weight(clause: Clause) -> Ask | None:
    heavy = _q(clause, "howmany", "howmuch") and _unit_word(clause) in ("pound", "kilogram")
    if not clause.has("WEIGHT") and not _q(clause, "howheavy") and not heavy:
        return None
    return Ask(
        topic="weight",
        tank=one_tank(clause),
        subject="tote" if clause.has("TOTE") or _unit(clause) == "tote" else None,
        amount=clause.get("amount"),
    )


def _due(clause: Clause) -> Ask | None:
    if not clause.has("DUE") and not (_q(clause, "when") and clause.has("SERVICE", "SANITISE") and not _did(clause)):
        return None
    item = clause.value("SERVICE") or ("sanitise" if clause.has("SANITISE") else None)
    return Ask(topic="due", subject=item, when=clause.when)


def _rinse_limit(clause: Clause) -> Ask | None:
    if not _q(clause, "howmuch", "howlong", "howmany") or _did(clause):
        return None
    rinse = clause.has("RINSE", "RINSEPORT") and not clause.has("ACT_")
    goes = _q(clause, "howmuch", "howmany") and any(tok.text in ("can", "may", "could") for tok in clause.words("AUX"))
    if (
        goes
        and one_tank(clause) == "black"
        and any(tok.text in ("go", "into", "in") for piece in clause.pieces for tok in piece.toks)
    ):
        return Ask(topic="rinse_limit", tank="black")
    if rinse or (clause.word("PUT") is not None and one_tank(clause) not in (None, "fresh")):
        return Ask(topic="rinse_limit", tank=one_tank(clause))
    return None


def _plan(clause: Clause) -> Ask | None:
    if not clause.has("PLANQ") and not (_q(clause, "where") and clause.has("DUMP", "FILL")):
        return None
    amount, length = clause.get("amount"), clause.get("duration")
    percent = amount.value if amount is not None and amount.unit == "percent" else None
    nights = length.days if isinstance(length, Length) else None
    return Ask(topic="plan", when=clause.when, nights=nights, percent=percent, subject=_errand(clause))


def _errand(clause: Clause) -> str | None:
    """What a question about where to go is about: `dump` or `fill`."""
    spoken = " ".join(tok.text for piece in clause.pieces for tok in piece.toks).split()
    return "dump" if "dump" in spoken or "empty" in spoken else "fill" if "fill" in spoken else None


def _checklist(clause: Clause) -> Ask | None:
    for cls in ("LEAVINGQ", "ARRIVING", "DUMPINGQ"):
        tok = clause.word(cls)
        if tok is not None and (
            _only(clause, cls, "CHECKLIST", "SHOW") or (_q(clause, "what", "how") and not clause.has("QHOWMUCH"))
        ):
            return Ask(topic="checklist", subject=tok.senses[cls].value)
    if _only(clause, "CHECKLIST", "SHOW") and clause.has("CHECKLIST"):
        return Ask(topic="checklist", subject=clause.value("CHECKLIST"))
    return None


def _showers(clause: Clause) -> Ask | None:
    if activity(clause) != "shower" or _did(clause):
        return None
    if clause.get("amount") is not None and not _q(clause, "howmany"):
        return None
    left = clause.has("LEFT") and any(tok.senses["ACT"].form == "plural" for tok in clause.words("ACT"))
    room = clause.has("ROOM", "ROOMQ", "ENOUGH", "MAKEIT") and clause.has("AUX", "BE", "THEREARE", "QWORD")
    return Ask(topic="showers", until=_until(clause)) if _q(clause, "howmany") or left or room else None


def _last_ten(clause: Clause) -> Ask | None:
    """ "last 10 entries", "what did I log last"."""
    amount = clause.get("amount")
    if not clause.has("HISTORY") or not clause.has("WHICH") or clause.get("when") or clause.get("until"):
        return None
    if any(
        piece.kind == "word" and not piece.has("HISTORY", "WHICH", "FILLER", "PREP", "QMARK", "SHOW", "SELF", "A", "OF")
        for piece in clause.pieces
    ):
        return None
    if amount is None:
        return Ask(topic="history", count=1)
    return Ask(topic="history", count=int(amount.value)) if amount.value and amount.unit is None else None


def _history(clause: Clause) -> Ask | None:
    if clause.has("AVERAGE") and activity(clause) is not None and not _q(clause, "when", "where"):
        return Ask(topic="activity", activity=activity(clause), people=clause.people, when=clause.when)
    if _q(clause, "who") and clause.has("MOST"):
        return Ask(topic="activity", activity=activity(clause), when=clause.when)
    if clause.has("PERDAY") and clause.when is not None and _q(clause, "what", "howmuch", "howmany"):
        return Ask(topic="history", when=clause.when)
    name, tank, when = activity(clause), one_tank(clause), clause.when or clause.get("since")
    subject = None
    for cls, kind in (
        ("DUMP", "dump"),
        ("FILL", "fill"),
        ("HAUL", "haul"),
        ("RINSE", "rinse"),
        ("SANITISE", "sanitise"),
        ("CHANGE", "service"),
    ):
        if clause.has(cls) and subject is None:
            subject = kind
    if clause.value("SERVICE") and subject == "service":
        subject = clause.value("SERVICE")
    if _q(clause, "where") and _did(clause):
        subject = "site"
    asked = clause.has("QWORD") or next((piece.has("AUX") for piece in clause.pieces if not piece.has("FILLER")), False)
    did = any(tok.text == "did" for tok in clause.words("AUX")) or (
        _q(clause, "who") and any(tok.senses["ACT"].form == "past" for tok in clause.words("ACT"))
    )
    done = _q(clause, "when") and any(clause.word(cls, "past") for cls in ("DUMP", "FILL", "HAUL", "RINSE", "SANITISE"))
    if (
        asked
        and (did or done or (_did(clause) and not clause.has("MAKEIT", "DAYSLEFT", "LEFT")))
        and not _q(clause, "howfull")
    ):
        return Ask(topic="history", tank=tank, activity=name, people=clause.people, when=when, subject=subject)
    if clause.has("SHOW") and (clause.has("HISTORY", "LAST") or when is not None or clause.get("amount") is not None):
        amount = clause.get("amount")
        return Ask(
            topic="history",
            count=int(amount.value) if amount is not None and amount.value and amount.unit is None else None,
            when=when,
            activity=name,
            subject=subject,
        )
    if _only(clause, "HISTORY"):
        return Ask(topic="history")
    kinds = [piece.kind for piece in clause.pieces if piece.kind != "word"]
    if kinds == ["when"] and all(
        piece.kind == "when" or piece.has("FILLER", "PREP", "QMARK", "STOP", "HISTORY", "ART", "AND")
        for piece in clause.pieces
    ):
        only: When = clause.when  # type: ignore[assignment]
        if (
            (only.period is not None or only.day_offset in (0, -1, -2) or only.count) and only.which != "next"
        ) or clause.has("HISTORY"):
            return Ask(topic="history", when=only)
    return None


def _activity(clause: Clause) -> Ask | None:
    name = activity(clause)
    per_day = clause.has("PERDAY") or _unit(clause) in ("gallon/day", "litre/day")
    if per_day and _q(clause, "what", "howmuch", "howmany") and not _did(clause):
        return Ask(topic="activity", activity=name, people=clause.people)
    if _q(clause, "who") and clause.has("USE", "MOST", "DO"):
        return Ask(topic="activity", activity=name, when=clause.when)
    if clause.has("MOST") and clause.has("USE") and clause.has("QWORD"):
        return Ask(topic="activity", activity=name, when=clause.when)
    if (
        name is not None
        and (_q(clause, "howmuch") or clause.has("AVERAGE") or (_q(clause, "what") and clause.has("USE")))
        and not clause.has("LEFT", "ROOMQ", "ROOM")
    ):
        return Ask(topic="activity", activity=name, people=clause.people, when=clause.when)
    return None


def _runway(clause: Clause) -> Ask | None:
    if clause.has("DAYSLEFT") or (
        (_q(clause, "howlong", "when") or (_q(clause, "what") and clause.has("RUNOUT") and not clause.has("DUMP")))
        and (
            clause.has(
                "RUNOUT", "FULLNESS", "DUMP", "FILL", "LAST", "MAKEIT", "LEFT", "HAUL", "TANK", "STAY", "DUMPINGQ"
            )
        )
    ):
        tank = one_tank(clause)
        ours = tank is None and not clause.has("DAYSLEFT") and (clause.has("SELF", "LEFT") or _errand(clause) == "dump")
        return Ask(topic="runway", tank=tank, subject=_errand(clause) if ours else None)
    return None


def _make_it(clause: Clause) -> Ask | None:
    polar = (
        clause.pieces[0].has("AUX") and clause.index("until") >= 0 and not clause.has("ACT", "ACTS", "GUESTS", "RINSE")
    )
    lasts = (
        clause.when is not None
        and clause.when.which == "last"
        and clause.pieces[0].has("AUX", "FUTURE")
        and clause.when.count
    )
    gets = (
        clause.pieces[0].has("AUX")
        and clause.when is not None
        and any(tok.text == "get to" for tok in clause.words("ARRIVE"))
    )
    if not clause.has("MAKEIT") and not polar and not lasts and not gets:
        return None
    until, length = _until(clause), clause.get("duration")
    if _q(clause, "howmuch", "where") or (_q(clause, "howlong", "when", "howmany") and until is None):
        return None
    if until is None and length is not None:
        until = _after(length)
    return Ask(topic="make_it", tank=one_tank(clause), until=until)


def _budget(clause: Clause) -> Ask | None:
    """ "how much can we use a day", "what's our daily budget": what holds until the end of the stay, or until then."""
    may = any(tok.text.split()[0] in _MAY for cls in ("AUX", "LEFT") for tok in clause.words(cls))
    daily = clause.has("PERDAY") or any(unit.endswith("/day") for unit in (_unit(clause), clause.value("RATEUNIT")) if unit)
    used = clause.has("USE") or any("use" in tok.text for tok in clause.words("LEFT"))
    length = clause.get("duration")
    daily = daily or (used and length is not None and length.unit == "day" and length.number == 1)
    told = clause.has("BUDGETQ") and activity(clause) is None and not _did(clause)
    asked = clause.has("QWORD", "SHOW", "AUX", "LEFT") or _only(clause, "BUDGETQ")
    if not (told and asked) and not (daily and may and _q(clause, "howmuch", "howmany", "what")):
        return None
    return Ask(topic="make_it", tank=one_tank(clause), until=_until(clause), subject="budget")


_MAY = ("can", "may", "should", "could")


def _after(length: Length) -> When:
    """The moment that many days, or hours, from now."""
    if length.unit in ("second", "minute", "hour"):
        return When(seconds=length.seconds, text=f"{length.number:g} {length.unit}s")
    return When(whole_days=round(length.days), text=f"{length.number:g} {length.unit}s")


def _status(clause: Clause) -> Ask | None:
    if clause.has("WALK") and clause.value("WALK") == "left" and one_tank(clause):
        return Ask(topic="status", tank=one_tank(clause))
    level = (
        clause.has("LEVELWORD", "ROOM")
        and clause.get("amount") is None
        and clause.pieces[-1].has("LEVELWORD", "ROOM", "QMARK", "FILLER")
    )
    if (
        clause.has("ROOM", "ROOMQ")
        and clause.pieces[0].has("AUX", "BE", "THEREARE", "LEFT")
        and clause.get("amount") is None
        and one_tank(clause)
    ):
        return Ask(topic="status", tank=one_tank(clause))
    if clause.tanks and _only_tanks(clause) and (clause.pieces[-1].has("QMARK") or level):
        return Ask(topic="status", tank=one_tank(clause))
    if _only(clause, "STATUS") or (_q(clause, "howfull")) or (clause.has("STATUS") and clause.has("QWORD", "SHOW")):
        return Ask(topic="status", tank=one_tank(clause))
    if clause.has("STATUS") and clause.has("TANK", "TANKS", "WATERHERE"):
        return Ask(topic="status", tank=one_tank(clause))
    if (
        (_q(clause, "howmuch", "what", "where", "how") or clause.has("SHOW"))
        and clause.has("ROOMQ", "ROOM", "LEFT", "TANK", "TANKS", "LEVELWORD", "TANKWORD")
        and not clause.has("DUMP", "RESET")
    ):
        return Ask(topic="status", tank=one_tank(clause))
    if _q(clause, "howmuch") and clause.has("WATERHERE", "LEFTOVER"):
        return Ask(topic="status", tank=one_tank(clause) or "fresh")
    return None


def _only_tanks(clause: Clause) -> bool:
    return all(
        piece.kind == "tanks" or piece.has("QMARK", "FILLER", "AND", "ABOUT", "TANKWORD", "LEVELWORD", "ROOM", "ROOMQ")
        for piece in clause.pieces
    )


def _about(clause: Clause) -> Ask | None:
    """ "what about Thursday?" goes on from the question before."""
    if not clause.pieces:
        return None
    first = clause.pieces[0]
    asked = (
        clause.pieces[-1].has("QMARK")
        and clause.index("tanks") < 0
        and (clause.when or clause.get("until")) is not None
    )
    if not first.has("WHATABOUT") and not asked:
        return None
    if any(
        piece.kind not in ("when", "until", "tanks")
        and not piece.has("WHATABOUT", "FILLER", "QMARK", "PREP", "STOP", "COMMA", "ART")
        for piece in clause.pieces
    ):
        return None
    until, tank = _until(clause), one_tank(clause)
    return Ask(topic="make_it", again=True, until=until, tank=tank) if until is not None or tank is not None else None


def _polar(clause: Clause) -> Ask | None:
    """ "is grey half full?": the level as believed."""
    first = next((piece for piece in clause.pieces if not piece.has("FILLER", "ART")), None)
    if first is None or not first.has("AUX", "BE") or one_tank(clause) is None or clause.has("ACT", "NEG"):
        return None
    return (
        Ask(topic="status", tank=one_tank(clause))
        if clause.get("amount") is not None or clause.has("FULLNESS")
        else None
    )


TOPICS: tuple[Rule, ...] = (
    _about, _explain, _help, _misses, _budget, _dose, _weight, _due, _rinse_limit, _plan, _checklist, _showers, _last_ten, _history, _make_it, _runway,
    _polar, _activity, _status,
)  # fmt: skip

_NO_SWITCH = ("help", "explain")


def ask(clause: Clause, whole: bool = True) -> Ask | None:
    """The question that a clause asks, if it is one of ours."""
    if any(piece.kind == "word" and not piece.toks[0].known for piece in clause.pieces):
        return None
    if any(piece.has("NEWACT", "OTHER") for piece in clause.pieces):
        return None
    for rule in TOPICS:
        found = rule(clause)
        if found is not None:
            return found
    return None
