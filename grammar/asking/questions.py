"""Questions: which topic is asked about, from the classes of the words in it, whatever their order.

`TOPICS` is read from the top; the first rule whose test holds gives the meaning.
May import: asked, history_questions, outlook_questions, clause, intents, when.
"""

from __future__ import annotations

from grammar.asking.asked import (
    Rules,
    did,
    errand,
    of_all,
    one_tank,
    only,
    only_tanks,
    q,
    rule,
    unit_of,
    unit_word,
    until_of,
    without_today,
)
from grammar.asking.going_on import about
from grammar.asking.history_questions import (
    history,
    last_ten,
    left_undone,
    meter_said,
    once_more,
    stood,
    uses,
    uses_now,
    was,
)
from grammar.asking.list_questions import checklist
from grammar.asking.outlook_questions import budget, is_over, make_it, runway, so_often_ahead, stays_on
from grammar.asking.round_questions import stops_at
from grammar.frames.deeds import activity
from grammar.intents import Ask
from grammar.pieces.clause import VOLUMES, Clause
from grammar.pieces.piece_meanings import Length


@rule("EXPLAIN QWORD")
def _explain(clause: Clause) -> Ask | None:
    if (
        q(clause, "chance")
        and only(clause, "QWORD")
        and clause.pieces[0].toks[0].text.startswith(("how sure", "how confident", "how certain"))
    ):
        return Ask(topic="explain")  # "how confident are you", of what was answered
    now = clause.pieces[0].kind == "when" and clause.when is not None and clause.when.now
    now = now or (clause.pieces[0].has("AND", "BUT") and len(clause.pieces) > 1)
    if only(
        Clause(list(clause.pieces[1:])) if now else clause, "EXPLAIN"
    ):  # "now how do you know that", "and what's that based on"
        return Ask(topic="explain")
    others = [
        piece
        for piece in clause.pieces
        if not piece.has("EXPLAIN", "FILLER", "ART", "TANKWORD", "LEVELWORD", "STOP", "QMARK")
    ]
    if clause.has("EXPLAIN") and one_tank(clause) is not None and [piece.kind for piece in others] == ["tanks"]:
        return Ask(topic="explain", tank=one_tank(clause))
    return None


@rule("HELPQ")
def _help(clause: Clause) -> Ask | None:
    shown = clause.has("SHOW") and clause.pieces[-1].has("HELPQ")  # "show me some examples"
    return Ask(topic="help") if shown or only(clause, "HELPQ") else None


@rule("MISSQ")
def _misses(clause: Clause) -> Ask | None:
    return Ask(topic="help", subject="misses") if only(clause, "MISSQ") else None


@rule("BLEACH DOSE")
def _dose(clause: Clause) -> Ask | None:
    if clause.pieces[-1].has("QMARK") and only(clause, "BLEACH"):
        return Ask(topic="dose")  # "bleach?"
    if clause.pieces[-1].has("QMARK") and clause.pieces[0].has("BLEACH"):
        return Ask(topic="dose", tank=one_tank(clause), amount=clause.get("amount"))  # "bleach to shock the tank?"
    if not clause.has("BLEACH", "DOSE") or not (
        q(clause, "howmuch", "how", "what", "howmany", "howlong") or clause.has("DOSE")
    ):
        return None
    return Ask(topic="dose", tank=one_tank(clause), amount=clause.get("amount"))


@rule("EMERGENCY")
def _drinkable(clause: Clause) -> Ask | None:
    """ "is it safe to drink": no water that is counted is tested by that."""
    said = clause.words("EMERGENCY")
    drunk = activity(clause) == "drinking" or any(tok.text != "safe" for tok in said)
    asks = clause.pieces[0].has("AUX", "BE", "QWORD") or clause.pieces[-1].has("QMARK")
    if not said or not drunk or not asks or clause.has("BLEACH", "DOSE") or clause.get("amount") is not None:
        return None
    return Ask(topic="help", subject="safe to drink")


@rule("WEIGHT QWORD")
def _weight(clause: Clause) -> Ask | None:
    heavy = q(clause, "howmany", "howmuch") and unit_word(clause) in ("pound", "kilogram")
    if not clause.has("WEIGHT") and not q(clause, "howheavy") and not heavy:
        return None
    tote = clause.has("TOTE") or unit_of(clause) == "tote"
    full = (
        not tote
        and any(tok.senses["FULLNESS"].value == "1" for tok in clause.words("FULLNESS"))
        and not q(clause, "howfull")
    )
    behind = [tok.text.split()[0] for cls in ("BE", "AUX", "WALK") for tok in clause.words(cls)]
    that = not clause.tanks and not {"was", "were", "did"}.isdisjoint(behind)
    return Ask(
        topic="weight",
        tank=one_tank(clause),
        subject="tote" if tote else "full" if full else "that" if that else None,
        amount=clause.get("amount"),
    )


@rule("DUE SERVICE SANITISE")
def _due(clause: Clause) -> Ask | None:
    if clause.pieces[-1].has("QMARK") and only(clause, "SERVICE"):
        return Ask(topic="due", subject=clause.value("SERVICE"))  # "filter?"
    if clause.has("LEAVINGQ", "ARRIVING") and q(clause, "what"):
        return None
    if clause.has("DUE") and clause.pieces[0].has("SHOW"):
        return Ask(topic="due", when=clause.when)
    if not clause.has("DUE") and not (q(clause, "when") and clause.has("SERVICE", "SANITISE") and not did(clause)):
        return None
    item = clause.value("SERVICE") or ("sanitise" if clause.has("SANITISE") else None)
    return Ask(topic="due", subject=item, when=clause.when)


@rule("SERVICE")
def _in_order(clause: Clause) -> Ask | None:
    """ "is the filter still good", "will the anode last": whether it is due."""
    thing = clause.value("SERVICE")
    if (
        thing is None
        or not clause.pieces[0].has("AUX", "BE")
        or did(clause)
        or clause.tanks
        or clause.index("until") >= 0
    ):
        return None
    return Ask(topic="due", subject=thing) if clause.has("MAKEIT", "CHANGE") else None


@rule("RINSE RINSEPORT QWORD")
def _rinse_limit(clause: Clause) -> Ask | None:
    limit = clause.has("LIMIT", "BOUND", "LIMITOF") and clause.get("amount") is None and not did(clause)
    told = Clause([piece for piece in clause.pieces if piece.kind != "tanks"])
    if only(told, "RINSE", "RINSEPORT", "LIMIT", "BOUND", "LIMITOF") and clause.has("RINSE", "RINSEPORT"):
        named = limit or clause.pieces[-1].has("QMARK")
        return (
            Ask(topic="rinse_limit", tank=one_tank(clause)) if named else None
        )  # "rinse limit", "max flush for black", "rinse?"
    if q(clause, "what", "which") and stops_at(clause):
        return Ask(topic="rinse_limit", tank=one_tank(clause))
    most = q(clause, "what") and clause.has("BOUND", "MAKEIT", "MOST") and clause.has("RINSE", "RINSEPORT", "PUT")
    if not (q(clause, "howmuch", "howlong", "howmany") or most) or did(clause) or _of_the_toilet(clause):
        return None
    if q(clause, "howlong") and _run_it(clause):
        return Ask(topic="rinse_limit", tank=one_tank(clause))
    rinse = clause.has("RINSE", "RINSEPORT")
    goes = q(clause, "howmuch", "howmany") and any(tok.text in ("can", "may", "could") for tok in clause.words("AUX"))
    if (
        goes
        and one_tank(clause) == "black"
        and any(tok.text in ("go", "into", "in") for piece in clause.pieces for tok in piece.toks)
    ):
        return Ask(topic="rinse_limit", tank="black")
    if rinse or (clause.word("PUT") is not None and one_tank(clause) not in (None, "fresh")):
        return Ask(topic="rinse_limit", tank=one_tank(clause))
    return None


def _run_it(clause: Clause) -> bool:
    """ "How long can I run it": what is run for minutes and watched is the rinse."""
    may = any(tok.text in ("can", "may", "could", "should") for tok in clause.words("AUX"))
    runs = clause.word("RUN", "base") is not None or any(
        tok.text in _LET_RUN for piece in clause.pieces for tok in piece.toks
    )
    it = clause.word("IT") is not None or any("it" in tok.text.split() for piece in clause.pieces for tok in piece.toks)
    other = (
        clause.has("ACT", "GEAR", "HOOKUP", "PUMP", "WATERHERE", "MAKEIT")
        or clause.when is not None
        or clause.get("until")
    )
    return may and runs and it and not other


_LET_RUN = ("let it run", "leave it running", "keep it running")


def _of_the_toilet(clause: Clause) -> bool:
    """ "how much water goes down every time we flush", "how many times can we flush": the toilet, no tank that is rinsed."""
    rinses = clause.words("RINSE")
    flush = bool(rinses) and all(tok.text.startswith("flush") and tok.has("ACT") for tok in rinses)
    each = any(
        tok.text in ("a", "every time", "each time", "every", "each", "per", "one", "times")
        for piece in clause.pieces
        for tok in piece.toks
    )
    return flush and each and not clause.tanks and not clause.has("RINSEPORT", "RINSEOFF", "TIMEUNIT")


@rule("PLANQ QWORD")
def _plan(clause: Clause) -> Ask | None:
    if not clause.has("PLANQ") and not (q(clause, "where") and clause.has("DUMP", "FILL", "DUMPINGQ")):
        return None
    amount, length = clause.get("amount"), clause.get("duration")
    percent = amount.value if amount is not None and amount.unit == "percent" else None
    nights = length.days if isinstance(length, Length) else None
    return Ask(topic="plan", when=clause.when, nights=nights, percent=percent, subject=errand(clause))


@rule("QWORD QMARK LEFT AUX ROOM ROOMQ ENOUGH MAKEIT")
def _showers(clause: Clause) -> Ask | None:
    if activity(clause) != "shower" or did(clause) or q(clause, "who") or was(clause) or clause.has("AVERAGE"):
        return None
    may = any(tok.text in ("can", "may", "should", "could", "must") for tok in clause.words("AUX"))
    if q(clause, "howlong") and may and not clause.has("NEG", "WAIT"):
        return Ask(topic="showers", until=until_of(clause), subject="minutes")  # "how long can each shower be"
    if clause.pieces[-1].has("QMARK") and only(clause, "ACTS"):
        return Ask(topic="showers")  # "showers?"
    if clause.get("amount") is not None and not q(clause, "howmany"):
        return None
    left = clause.has("LEFT") and any(tok.senses["ACT"].form == "plural" for tok in clause.words("ACT"))
    if clause.pieces[0].has("AUX") and clause.pieces[0].toks[0].text == "is" and clause.has("AGAIN", "ONEMORE", "MORE"):
        return Ask(topic="showers")  # "is another shower ok"
    room = clause.has("ROOM", "ROOMQ", "ENOUGH", "MAKEIT") and (
        clause.has("AUX", "BE", "THEREARE", "QWORD", "LEFT", "QMARK") or _begins_enough(clause)
    )
    if not q(clause, "howmany") and room:
        return Ask(topic="showers", until=until_of(clause), count=_so_many(clause), subject=of_all(clause))
    return Ask(topic="showers", until=until_of(clause)) if q(clause, "howmany") or left else None


@rule("QWORD ROOM ROOMQ MAKEIT")
def _as_often(clause: Clause) -> Ask | None:
    """ "how many loads of laundry can we still do", "is there enough water for a bath": as of showers, of whatever is named."""
    name = activity(clause)
    if (
        name is None
        or did(clause)
        or q(clause, "who", "howlong", "when")
        or was(clause)
        or clause.has("NEG", "PERDAY", "AVERAGE")
    ):
        return None
    may = any(tok.text in ("can", "may", "could") for tok in clause.words("AUX"))
    room = clause.has("ROOM", "ROOMQ") or any(
        not _ENOUGH.isdisjoint(tok.text.split()) for tok in clause.words("MAKEIT")
    )
    if q(clause, "howmany"):
        return Ask(topic="showers", activity=name) if may or room or clause.has("LEFT", "LEFTOVER") else None
    opens = clause.pieces[0].has("LEFT", "THEREARE", "BE", "AUX", "ROOM", "ROOMQ") or clause.pieces[-1].has("QMARK")
    if not room or not opens or q(clause, "howmuch", "what", "how") or clause.get("amount") is not None:
        return None
    return Ask(topic="showers", activity=name, count=_so_many(clause) or 1, subject=of_all(clause))


_ENOUGH = frozenset(("enough", "enuf", "enuff", "sufficient"))


def _begins_enough(clause: Clause) -> bool:
    """ "enough for a shower", said short."""
    return clause.pieces[0].has("MAKEIT") and clause.pieces[0].toks[0].text.startswith("enough")


def _so_many(clause: Clause) -> int | None:
    """How many are asked about: "three loads", "another shower"; None where no number is said."""
    counted, amount = clause.get("counted"), clause.get("amount")
    if counted is not None:
        return int(counted.count)
    if amount is not None and amount.unit is None and amount.value:
        return int(amount.value)
    plural = any(tok.senses["ACT"].form == "plural" for tok in clause.words("ACT"))
    return None if plural or of_all(clause) else 1


@rule("STATUS WALK LEVELWORD ROOM ROOMQ LEFTOVER QMARK QWORD SHOW KNOWABOUT UNIT")
def _status(clause: Clause) -> Ask | None:
    bare_unit = clause.value("UNIT")
    if bare_unit == "percent" and one_tank(clause) and only_tanks(_without(clause, "UNIT")):
        return Ask(topic="status", tank=one_tank(clause))  # "black %?"
    if bare_unit in VOLUMES and clause.pieces[0].has("UNIT") and clause.has("LEFT", "LEFTOVER", "ROOM"):
        return Ask(topic="status", tank=one_tank(clause) or "fresh")  # "litres left to drink"
    if clause.has("SHOW", "QWORD"):
        amount = clause.get("amount")
        if amount is not None and amount.unit == "percent" and clause.tanks and not clause.has("ACT", "BLEACH"):
            return Ask(topic="status", tank=one_tank(clause))  # "what percent is grey at"
    if clause.has("WALK") and clause.value("WALK") == "left" and one_tank(clause):
        return Ask(topic="status", tank=one_tank(clause))
    end = clause.get("until") or (clause.when if clause.has("FOR") else None)
    if clause.has("STATUS") and end is not None and not end.now and not is_over(end) and not clause.has("NEG", "ACT"):
        return Ask(topic="make_it", tank=one_tank(clause), until=until_of(clause))  # "where do we stand for Thursday"
    level = clause.has("LEVELWORD", "ROOM", "ROOMQ") and clause.get("amount") is None  # "grey level", "room left grey"
    if (
        clause.has("ROOM", "ROOMQ", "LEFTOVER")
        and clause.pieces[0].has("AUX", "BE", "THEREARE", "LEFT")
        and clause.get("amount") is None
        and one_tank(clause)
    ):
        return Ask(topic="status", tank=one_tank(clause))
    if clause.pieces[-1].has("QMARK") and only(clause, "WATER", "WATERHERE"):
        return Ask(topic="status", tank="fresh")  # "water?"
    if clause.tanks and only_tanks(without_today(clause)) and (clause.pieces[-1].has("QMARK") or level):
        return Ask(topic="status", tank=one_tank(clause))
    if (
        only(without_today(clause), "ROOM", "ROOMQ", "LEVELWORD")
        or (clause.has("STATUS") and only(without_today(clause), "STATUS", "LEFT"))
        or (q(clause, "howfull"))
        or (clause.has("STATUS") and clause.has("QWORD", "SHOW"))
    ):
        return Ask(topic="status", tank=one_tank(clause))
    if clause.has("KNOWABOUT") and one_tank(clause) and clause.pieces[0].has("KNOWABOUT"):
        return Ask(topic="status", tank=one_tank(clause))  # "tell me about the grey tank"
    if _water_left(clause):
        return Ask(topic="status", tank="fresh")
    if clause.has("STATUS") and clause.has("TANK", "TANKS", "WATERHERE"):
        return Ask(topic="status", tank=one_tank(clause))
    if (
        (q(clause, "howmuch", "what", "where", "how") or clause.has("SHOW"))
        and clause.has("ROOMQ", "ROOM", "LEFT", "TANK", "TANKS", "LEVELWORD", "TANKWORD")
        and not clause.has("DUMP", "RESET")
    ):
        return Ask(topic="status", tank=one_tank(clause))
    if q(clause, "howmuch") and clause.has("WATERHERE", "LEFTOVER"):
        return Ask(topic="status", tank=one_tank(clause) or "fresh")
    if clause.has("STATUS") and clause.has("TANKWORD"):
        return Ask(topic="status")
    return None


def _water_left(clause: Clause) -> bool:
    """ "how much water have I got", "how much water is left": what can be drawn, not what the waste tanks hold."""
    asked = next(
        (tok.text for tok in clause.words("QWORD") if tok.senses["QWORD"].value in ("howmuch", "howmany", "what")), None
    )
    if (
        asked is None
        or clause.tanks
        or clause.has("TANKWORD", "TANKS", "ROOM", "ROOMQ", "ACT", "USE")
        or clause.when is not None
    ):
        return False
    named = asked.endswith(" water") or clause.has("WATER", "WATERHERE")
    return named and clause.has("LEFT", "LEFTOVER")


def _without(clause: Clause, cls: str) -> Clause:
    return Clause([piece for piece in clause.pieces if not piece.has(cls)])


@rule("AUX BE")
def _polar(clause: Clause) -> Ask | None:
    """ "is grey half full?": the level as believed."""
    first = next((piece for piece in clause.pieces if not piece.has("FILLER", "ART")), None)
    low = any(tok.text.startswith(("low", "short", "running", "getting")) for tok in clause.words("REMARK"))
    if low and first is not None and first.has("AUX", "BE") and clause.has("WATER", "WATERHERE"):
        return Ask(topic="status", tank=one_tank(clause) or "fresh")  # "are we low on water"
    if first is None or not first.has("AUX", "BE") or one_tank(clause) is None or clause.has("ACT", "NEG"):
        return None
    if first.toks[0].text in ("is", "are") and only_tanks(
        Clause([piece for piece in clause.pieces if piece is not first])
    ):
        return Ask(topic="status", tank=one_tank(clause))  # "is grey ok"
    held = clause.get("amount") is not None or clause.has("FULLNESS", "VAGUELY", "NEARLY")
    held = held or any(
        tok.text.startswith(("low", "short", "running", "down", "getting")) for tok in clause.words("REMARK")
    )
    return Ask(topic="status", tank=one_tank(clause)) if held else None


TOPICS = Rules(
    "NEWACT OTHER",
    about, _explain, _help, _misses, left_undone,
    budget, _dose, _drinkable, _weight, _in_order, _due, _rinse_limit, _plan, checklist, _showers, _as_often,
    stood, last_ten, once_more, meter_said, so_often_ahead, uses_now, history,
    stays_on, make_it, runway, _polar, uses, _status,
)  # fmt: skip


def ask(clause: Clause) -> Ask | None:
    """The question that a clause asks, if it is one of ours."""
    return TOPICS.first(clause)
