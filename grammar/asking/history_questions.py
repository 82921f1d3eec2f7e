"""Questions about what was: what was used, when something was last done, who and what uses how much.

May import: asked, clause, intents, outlook_questions, deeds.
"""

from __future__ import annotations

from grammar.asking.asked import beside_times, did, one_tank, only, q, rule, unit_of
from grammar.asking.outlook_questions import is_over
from grammar.frames.deeds import activity
from grammar.intents import Ask
from grammar.pieces.clause import Clause
from grammar.when import When


@rule("LASTQ WHICH")
def last_ten(clause: Clause) -> Ask | None:
    """ "last 10 entries", "what did I log last", "last 3"."""
    if only(clause, "LASTQ"):
        return Ask(topic="history", count=1)  # "did you get that"
    if clause.pieces[0].has("LASTQ") and activity(clause) is not None and only(clause, "LASTQ", "ACT", "ACTS"):
        return Ask(topic="history", count=1, activity=activity(clause))  # "did you get that shower"
    done = next((kind for cls, kind in (("DUMP", "dump"), ("FILL", "fill"), ("HAUL", "haul")) if clause.has(cls)), None)
    if done is not None and clause.pieces[0].toks[0].text == "last" and only(clause, "WHICH", "DUMP", "FILL", "HAUL"):
        return Ask(topic="history", subject=done)  # "last dump"
    latest = _latest(clause)
    if latest is not None:
        return latest
    amount = clause.get("amount")
    shape = [
        piece.kind if piece.kind != "word" else "last"
        for piece in clause.pieces
        if not piece.has("FILLER", "QMARK", "COMMA")
    ]
    first = next((piece for piece in clause.pieces if not piece.has("FILLER", "COMMA")), clause.pieces[0])
    if shape == ["last", "amount"] and first.has("WHICH") and first.toks[0].text == "last":
        return Ask(topic="history", count=int(amount.value)) if amount.value and amount.unit is None else None
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


def _latest(clause: Clause) -> Ask | None:
    """ "what was the last meter reading", "when was the last shower": the last of its kind."""
    words = [
        piece
        for piece in clause.pieces
        if not piece.has("FILLER", "ART", "AUX", "BE", "QWORD", "SHOW", "POSS", "WATER")
    ]
    if not words or words[0].toks[0].text != "last" or not words[0].has("WHICH") or clause.get("amount") is not None:
        return None
    named = {cls for cls in _LATEST if any(piece.has(cls) for piece in words[1:])}
    rest = [
        piece
        for piece in words[1:]
        if not piece.has(
            *_LATEST,
            "QMARK",
            "STOP",
            "HISTORY",
            "TANKWORD",
            "RUNOUT",
            "A",
            "SELF",
            "DO",
            "TIMESWORD",
            "FORGOTLOG",
            "SAYS",
            "LOOK",
        )
        and piece.kind not in ("tanks", "people")
    ]
    if rest or not named:
        return None
    kind = next((_LATEST[cls] for cls in _LATEST if cls in named), None)
    return Ask(
        topic="history",
        subject=kind,
        activity=activity(clause),
        people=clause.people,
        tank=one_tank(clause),
        count=1 if kind is None else None,
    )


_LATEST = {
    "DUMP": "dump",
    "FILL": "fill",
    "HAUL": "haul",
    "RINSE": "rinse",
    "METER": "meter",
    "SANITISE": "sanitise",
    "ACT": None,
}


@rule("QWORD AUX AVERAGE MOST SHOW HISTORY USAGE when")
def history(clause: Clause) -> Ask | None:
    if clause.has("AVERAGE") and activity(clause) is not None and not q(clause, "when", "where"):
        return Ask(topic="activity", activity=activity(clause), people=clause.people, when=clause.when)
    named = any(" " in tok.text for tok in clause.words("MOST"))  # "biggest user"
    if (
        q(clause, "who")
        or (clause.pieces[-1].has("QMARK") and only(clause, "MOST"))
        or (named and only(clause, "MOST", "QWORD"))
    ) and clause.has("MOST"):
        return Ask(topic="activity", activity=activity(clause), when=clause.when)
    ours = clause.has("SELF") or clause.when is None
    if q(clause, "what") and clause.has("MOST") and clause.has("USE") and not ours:
        return Ask(topic="activity", activity=activity(clause), when=clause.when)  # "what used the most this week"
    if _back_then(clause):
        return Ask(topic="history", when=clause.when or clause.get("since"), people=clause.people)
    if was(clause):
        return Ask(
            topic="history", when=clause.when or clause.get("since"), activity=activity(clause), people=clause.people
        )
    if clause.has("PERDAY") and clause.when is not None and q(clause, "what", "howmuch", "howmany"):
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
    if clause.has("METER") and clause.has("SAYS", "LOOK") and q(clause, "when"):
        subject = "meter"  # "when was the meter last read"
    if clause.value("SERVICE") and subject == "service":
        subject = clause.value("SERVICE")
    if q(clause, "where") and did(clause):
        subject = "site"
    asked = clause.has("QWORD") or next((piece.has("AUX") for piece in clause.pieces if not piece.has("FILLER")), False)
    past = any(tok.text == "did" for tok in clause.words("AUX")) or (
        q(clause, "who") and any(tok.senses["ACT"].form == "past" for tok in clause.words("ACT"))
    )
    owed = any(
        tok.text in ("should", "must") for cls in ("AUX", "FUTURE") for tok in clause.words(cls)
    )  # "should have dumped by"
    done = (
        not owed
        and q(clause, "when")
        and any(clause.word(cls, "past") for cls in ("DUMP", "FILL", "HAUL", "RINSE", "SANITISE"))
    )
    if (
        asked
        and not owed
        and (
            past
            or done
            or (q(clause, "howlong") and clause.has("SINCE") and subject is not None)
            or (
                did(clause)
                and (
                    subject == "meter" or not beside_times(clause, "MAKEIT", "DAYSLEFT", "LEFT", "ROOM", "ROOMQ", "DUE")
                )
            )
        )
        and not q(clause, "howfull")
    ):
        site = clause.value("SITE") if clause.elsewhere() and subject is None and when is None else None
        if site is not None:  # "what did we use at Heron Bend"
            return Ask(topic="history", subject="stay", site=site, activity=name, people=clause.people)
        return Ask(topic="history", tank=tank, activity=name, people=clause.people, when=when, subject=subject)
    sees = bool(clause.tanks) and clause.pieces[0].has("AUX")  # "does grey see Saturday"
    amount = clause.get("amount")
    so_many = amount is not None and amount.unit != "percent"  # "give me a percent"
    if clause.has("SHOW") and not sees and (clause.has("HISTORY", "LAST") or when is not None or so_many):
        return Ask(
            topic="history",
            count=int(amount.value) if amount is not None and amount.value and amount.unit is None else None,
            when=when,
            activity=name,
            subject=subject,
        )
    if only(clause, "HISTORY"):
        return Ask(topic="history")
    if (
        clause.has("HISTORY", "USAGE")
        and when is not None
        and all(
            piece.kind in ("when", "since")
            or piece.has("HISTORY", "USAGE", "FILLER", "PREP", "QMARK", "ART", "AND", "TOTAL")
            for piece in clause.pieces
        )
    ):
        return Ask(topic="history", when=when)  # "usage since Sunday"
    kinds = [piece.kind for piece in clause.pieces if piece.kind != "word"]
    if kinds == ["when"] and all(
        piece.kind == "when" or piece.has("FILLER", "PREP", "QMARK", "STOP", "HISTORY", "ART", "AND", "POSS")
        for piece in clause.pieces
    ):
        alone: When = clause.when  # type: ignore[assignment]
        if (
            (alone.period is not None or alone.day_offset in (0, -1, -2) or alone.count) and alone.which != "next"
        ) or clause.has("HISTORY"):
            return Ask(topic="history", when=alone)
    return None


def was(clause: Clause) -> bool:
    """ "how many showers yesterday": how often, at a time that lies behind."""
    when = clause.when or clause.get("since")
    if (
        when is None
        or not q(clause, "howmany", "howmuch")
        or activity(clause) is None
        or beside_times(clause, "LEFT", "ROOM", "MAKEIT")
    ):
        return False
    modal = any(tok.text in ("will", "would", "can", "should", "could", "do", "does") for tok in clause.words("AUX"))
    return not modal and (is_over(when) or bool(when.since) or when.day_offset == 0)


def _back_then(clause: Clause) -> bool:
    """ "how much water in January", "how many gallons yesterday": no verb, and a time that lies behind."""
    when = clause.when or clause.get("since")
    if (
        when is None
        or not q(clause, "howmuch")
        or activity(clause) is not None
        or clause.tanks
        or clause.has("LEFT", "ROOM", "ROOMQ")
    ):
        return False
    running = when.period in ("week", "month", "year") and when.which == "this"
    behind = is_over(when) or when.since or running or (when.month is not None and when.day is None)
    return behind and not any(tok.text in ("will", "would", "can", "should", "do") for tok in clause.words("AUX"))


@rule("QWORD SHOW")
def uses_now(clause: Clause) -> Ask | None:
    """ "how much do I use", "how much water does Ana go through": what is usual, not what was."""
    spends = clause.word("USE", "base") is not None or any(
        tok.text in ("go through", "get through") for tok in clause.words("HISTORY")
    )
    now = clause.word("USE", "ing", "go") is not None and any(
        tok.text in ("are", "am", "what are", "what am") for cls in ("AUX", "SHOW") for tok in clause.words(cls)
    )
    what = q(clause, "what") or any(tok.text.startswith("what") for tok in clause.words("SHOW"))
    a_day = _a_day(clause)
    daily = what and a_day  # "what are we using a day"
    if now and (q(clause, "howmuch", "howmany") or daily) and clause.when is None and activity(clause) is None:
        return Ask(topic="activity", subject="a day")  # "how many gallons a day are we using"
    own = clause.has("PERDAY") or (clause.has("AVERAGE") and a_day)
    asks = q(clause, "howmuch", "what") and not clause.has("LEFT", "ROOM", "SINCE", "MAKEIT") and not did(clause)
    if own and asks and not clause.people and activity(clause) is None and clause.when is None:
        may = any(tok.text in ("can", "may", "should", "could") for tok in clause.words("AUX"))
        return (
            None if may else Ask(topic="activity", subject="a day")
        )  # "how much per day do I use", "what's my average a day"
    does = any(tok.text in ("do", "does") for tok in clause.words("AUX"))
    one = clause.people or any(tok.text in ("i", "each of us") for tok in clause.words("SELF")) or clause.has("EACH")
    if (
        not (spends and does and one and q(clause, "howmuch"))
        or clause.when is not None
        or clause.has("LEFT", "ROOM", "SINCE")
    ):
        return None
    return Ask(topic="activity", activity=activity(clause), people=tuple(name for name in clause.people if name))


def _a_day(clause: Clause) -> bool:
    """ "my average a day": each day, which reads as the length of one where nothing else is told."""
    length = next((piece for piece in clause.pieces if piece.kind == "duration"), None)
    lasts = length is not None and [tok.text for tok in length.toks] == ["a", "day"]
    return lasts or any(tok.text == "day" for tok in clause.words("TIMEUNIT"))


@rule("QWORD AVERAGE MOST MORE LESS PERDAY")
def uses(clause: Clause) -> Ask | None:
    name = activity(clause)
    if (
        q(clause, "where")
        and clause.has("WATER", "WATERHERE")
        and any(tok.text == "go" for tok in clause.words("MAKEIT"))
    ):
        return Ask(topic="activity")  # "where does all our water go"
    per = [tok for tok in clause.words("AVERAGE") if tok.text.startswith("per ")]
    if per and clause.get("amount") is None and only(clause, "AVERAGE", "USAGE", "HISTORY"):
        return Ask(topic="activity", activity="toilet" if per[0].text == "per flush" else None)  # "average per flush"
    per_day = clause.has("PERDAY") or unit_of(clause) in ("gallon/day", "litre/day")
    alone = only(clause, "PERDAY", "AVERAGE", "USAGE", "HISTORY") and (
        clause.pieces[-1].has("QMARK") or clause.has("AVERAGE")
    )
    if per_day and (alone or q(clause, "what", "howmuch", "howmany")) and not did(clause):
        every = name is None and not clause.people
        return Ask(topic="activity", activity=name, people=clause.people, subject="a day" if every else None)
    if q(clause, "who") and clause.has("OR") and clause.people and clause.has("MORE", "MOST", "LESS"):
        named = [person for people in clause.all("people") for person in people]
        mine = [""] if clause.has("SELF") and "" not in named else []
        return Ask(topic="activity", subject="between", activity=name, people=(*named, *mine), when=clause.when)
    if q(clause, "who") and clause.has("USE", "MOST", "DO"):
        return Ask(topic="activity", activity=name, when=clause.when)
    asks_who = clause.has("MOST", "MORE", "LESS") and clause.has("USE") and clause.pieces[0].has("AUX")
    if clause.people and asks_who and clause.get("amount") is None:
        return Ask(topic="activity", activity=name)  # "does Ana use more than Joss"
    spends = any(tok.text in ("go through", "get through") for tok in clause.words("HISTORY"))
    uses = (clause.word("USE", "base") is not None or spends) and not any(
        tok.text in ("can", "should") for tok in clause.words("AUX")
    )
    if clause.people and uses and clause.when is None and q(clause, "howmuch", "what") and not did(clause):
        return Ask(topic="activity", activity=name, people=clause.people)  # "how much does Ana use"
    which = clause.has("MOST") and clause.pieces[0].has("AUX") and clause.has("OR")
    several = activity(clause) is None and len(clause.words("ACT")) > 1
    more = (clause.has("MORE") or which) and several  # "what uses more, showers or dishes"
    if which and more:
        return Ask(topic="activity")  # "is it showers or dishes that use most"
    if (clause.has("MOST") or more) and clause.has("USE") and clause.has("QWORD"):
        return Ask(topic="activity", activity=name, when=clause.when)
    if (
        name is not None
        and not clause.has("NEG")
        and (q(clause, "howmuch") or clause.has("AVERAGE") or (q(clause, "what") and clause.has("USE", "COST")))
        and not clause.has("LEFT", "ROOMQ", "ROOM")
    ):
        return Ask(topic="activity", activity=name, people=clause.people, when=clause.when)
    return None


@rule("TANK TANKS TANKWORD LEVELWORD when")
def stood(clause: Clause) -> Ask | None:
    """ "how full was grey on Monday at noon", "what were the levels when we arrived": as it stood then."""
    if clause.when is None or not any(tok.text in ("was", "were") for piece in clause.pieces for tok in piece.toks):
        return None
    asked = q(clause, "howfull", "howmuch", "what", "where", "how") or clause.pieces[0].has("BE", "AUX")
    level = clause.tanks or clause.has("LEVELWORD", "ROOM", "ROOMQ", "FULLNESS")
    done = clause.has(
        "ACT", "USE", "USAGE", "HISTORY", "DUMP", "FILL", "HAUL", "RINSE", "MOST", "AVERAGE", "METER", "TOTAL"
    )
    return Ask(topic="status", tank=one_tank(clause), when=clause.when) if asked and level and not done else None


_DEEDS = (
    ("DUMPINGQ", "dump"),
    ("DUMP", "dump"),
    ("FILL", "fill"),
    ("HAUL", "haul"),
    ("RINSE", "rinse"),
    ("SANITISE", "sanitise"),
)


@rule("TODOQ FORGOTLOG")
def left_undone(clause: Clause) -> Ask | None:
    """ "did we forget to dump": when it was last done."""
    asked = any(tok.text.split()[0] in ("did", "have", "has") and "forg" in tok.text for tok in clause.words("TODOQ"))
    if not asked or clause.get("amount") is not None:
        return None
    kind = next((name for cls, name in _DEEDS if clause.has(cls)), None)
    item = clause.value("SERVICE")
    if item is not None and clause.has("CHANGE", "DO", "SWITCH"):
        return Ask(topic="due", subject=item)
    if kind is None:
        name = activity(clause)
        return Ask(topic="history", activity=name, when=clause.when) if name is not None else None
    return Ask(topic="history", subject=kind, tank=one_tank(clause), when=clause.when)


@rule("QWORD")
def once_more(clause: Clause) -> Ask | None:
    """ "what was the grey again?": its level, as it was told before."""
    asks = q(clause, "what") and any(tok.text == "was" for tok in clause.words("BE")) and one_tank(clause) is not None
    plain = all(
        piece.kind == "tanks" or piece.has("QWORD", "AUX", "BE", "ART", "FILLER", "AGAIN", "QMARK")
        for piece in clause.pieces
    )
    return Ask(topic="status", tank=one_tank(clause)) if asks and plain else None


@rule("METER")
def meter_said(clause: Clause) -> Ask | None:
    """ "what did the meter say this morning", "what's the meter at": the last reading told."""
    says = (
        clause.has("SAYS", "ISAT", "LOOK")
        or clause.pieces[-1].has("AT", "ON")
        or (len(clause.pieces) > 1 and clause.pieces[-2].has("AT", "ON"))
    )
    ours = (
        not clause.tanks
        and not clause.has("USE", "ACT", "THROUGH", "RUNOUT", "SINCE", "PRESSURE")
        and clause.get("amount") is None
    )
    if not (clause.has("METER") and says and ours and q(clause, "what", "howmuch", "where")):
        return None
    return Ask(topic="history", subject="meter", when=clause.when)
