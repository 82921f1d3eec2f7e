"""Short replies and corrections: yes, no, undo, again, "make that 3", and the fragments that answer a question.

May import: clause, intents, parts, rejoinders.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.frames.deeds import activity
from grammar.frames.tank_frames import before_tote, is_an_order
from grammar.frames.trip_frames import hookups
from grammar.hearing.parts import verdict
from grammar.hearing.tokens import Tok, classes
from grammar.intents import Intent
from grammar.lightclass import replace
from grammar.pieces.chunks import Piece
from grammar.pieces.clause import PRESSURES, VOLUMES, Clause
from grammar.rejoinders import Fragment
from grammar.telling.called_off import of_a_thing

_SKIP = frozenset(["FILLER", "COMMA", "STOP", "SEMI", "ART"])


def _core(toks: Sequence[Tok]) -> list[Tok]:
    """The tokens without fillers and marks; a filler that is also a reply counts as one."""
    return [
        tok
        for tok in toks
        if not tok.has(*_SKIP)
        or tok.has("YES", "NO", "CANCEL", "UNDO", "REDO", "AGAIN", "WALK", "HELPQ", "EXPLAIN", "GREETING")
    ]


_TOLD = ("NUMBER", "FRACTION", "UNIT", "FULLNESS", "UNDO", "REDO", "AMEND", "QMARK")


def _past(tok: Tok) -> bool:
    return any(one.form == "past" for one in tok.senses.values())


def _set_off(toks: Sequence[Tok], last: Tok) -> bool:
    """Whether a mark or a "so" stands before the last word."""
    before = toks[toks.index(last) - 1]
    return before.has("COMMA", "STOP", "SEMI", "BUT", "AND") or before.text in ("so", "please")


def _reason(toks: Sequence[Tok], undone: Tok) -> bool:
    """ "delete that, I was reading you a letter": why, and nothing that could be booked."""
    rest = [tok for tok in toks[toks.index(undone) + 1 :] if not tok.has("COMMA", "STOP")]
    if len(rest) > 1 and any(tok.has("FUTURE") for tok in rest) and not any(tok.has(*_TOLD, "NEG") for tok in rest):
        return rest[0].text in (
            "i",
            "we",
            "i will",
            "we will",
            "will",
            "she",
            "he",
            "she will",
            "he will",
        )  # "… I'll do it later"
    if len(rest) < 3 or any(
        tok.has(*_TOLD, "ACT", "ACTS", "TANK", "TANKS", "METER", "NEG", "DUMP", "FILL") for tok in rest
    ):
        return False
    return rest[0].text in (
        "i",
        "we",
        "she",
        "he",
        "it",
        "that",
        "because",
        "i am",
        "we are",
        "it is",
        "it was",
        "that was",
        "wrong",
    )


def _denied(toks: Sequence[Tok]) -> bool:
    """ "I didn't dump, delete that": it did not happen, so what was booked goes."""
    return (
        toks[0].has("SELF", "NEG", "IT")
        and toks[-1].text != "not"
        and any(tok.has("NEG") for tok in toks)
        and not any(tok.has("NUMBER", "UNIT") for tok in toks)
    )


def only_why(toks: Sequence[Tok]) -> bool:
    """Whether what follows a yes only tells how it came about ("that's right, we left the tap running"): nothing to book or to change."""
    rest = [tok for tok in toks if not tok.has("COMMA", "STOP") and not tok.has("YES")]
    if not rest or rest[0].text.split()[0] not in _HOW_COME:
        return False
    washed = any(tok.has("WASH") for tok in rest)
    changes = ("PERSON", "NAMEWORD", "FUTURE", "IF", "BUT", "OTHER", "CANCEL", "NO", "FIX", "METER", "TANK", "TANKS")
    return not any(
        tok.has(*_TOLD, *changes, "NEG", "DUMP", "FILL", "HAUL", "ARRIVE", "DEPART", "DAY", "WEEKDAY", "CLOCK", "PART")
        or (tok.has("ACT", "ACTS", "USE") and not tok.has("FILLER", "GEAR") and not (_by_the_way(tok) and not washed))
        or tok.text.split()[0] in _DOUBTFUL
        for tok in rest
    )


def _by_the_way(tok: Tok) -> bool:
    """ "… while I chased the cat", "I left the tap running": a thing that nobody washed, or how so much ran away."""
    one = tok.senses.get("ACT")
    return one is not None and (one.form == "thing" or one.value == "other")


_DOUBTFUL = frozenset("seems seem looks sounds must might think thought guess lot much".split())
_HOW_COME = frozenset("i we she he it that somebody someone kids because long had left hose tap the".split())


_EARLY = 6  # tokens
_REPLIES = frozenset(("GREETING", "UNDO", "REDO", "CANCEL", "YES", "NO", "WALK"))


def whole_reply(toks: Sequence[Tok]) -> Intent | None:
    """A phrase that is nothing but a reply."""
    if any(tok.has("NEG") for tok in toks[:_EARLY]) and verdict("kept", _core(toks)) == "forbidden":
        return say.NotAReport(why="kept")
    if classes(toks).isdisjoint(_REPLIES):
        return None
    core = _core(toks)
    if not core or len(core) > 8:
        return None
    if all(tok.has("GREETING") for tok in core):
        return say.NotAReport(why=core[-1].senses["GREETING"].value)
    core = [tok for tok in core if not tok.has("GREETING")]  # "yes, thanks"
    table: tuple[tuple[str, Callable[[], Intent]], ...] = (
        ("UNDO", back.Undo), ("REDO", back.Redo), ("CANCEL", lambda: back.No(cancel=True)), ("YES", back.Yes), ("NO", back.No),
    )  # fmt: skip
    if " ".join(tok.text for tok in toks) in ("undo everything", "undo it all", "undo all"):
        return back.Undo(several=True)  # how much of it is asked
    strong = [tok for tok in core if not tok.has("FILLER")] or core
    if len(strong) > 2 and strong[0].has("NO") and strong[1].has("CANCEL"):
        strong = strong[1:]  # "no, forget it, I'll look later"
    if (
        len(strong) > 1
        and strong[-1].has("UNDO")
        and strong[-1].senses["UNDO"].value == "undo"
        and _set_off(toks, strong[-1])
        and _denied(strong[:-1])
    ):
        return back.Undo()
    if strong[0].has("UNDO") and verdict("kept", strong[1:]) == "halted":
        return say.NotAReport(why="kept")
    if strong[0].has("UNDO") and _reason(toks, strong[0]):
        return back.Undo()
    taken_back = next((n for n, tok in enumerate(strong) if not tok.has("AMEND", "FIX", "NO") or tok.has("UNDO")), 0)
    why = strong[taken_back + 1 :]
    if strong[taken_back].has("UNDO") and why and why[0].has("SELF") and _denied(why):
        return back.Undo()  # "take that back, we have not dumped"
    if strong[0].has("CANCEL") and any(tok.has("NEG") for tok in strong) and any(tok.has("COMING") for tok in strong):
        return None  # "cancel that, she isn't coming": the guest who was expected
    if strong[0].has("CANCEL") and not any(tok.has(*_TOLD) or _past(tok) for tok in strong[1:]):
        return None if of_a_thing(toks) else back.No(cancel=True)  # "never mind, I'll check"; not "cancel the pizza"
    for kind, make in table:
        if all(
            tok.has(kind)
            or (kind == "UNDO" and tok.has("NO", "AMEND", "FIX", "YES", "CANCEL", "TWICETOLD"))
            or (kind == "REDO" and tok.has("NO", "AMEND", "FIX", "CANCEL"))
            or (kind == "CANCEL" and tok.has("NO"))
            for tok in strong
        ) and any(tok.has(kind) for tok in strong):
            return make()
    if len(strong) == 1 and strong[0].has("WALK"):
        return back.Walk(word=strong[0].senses["WALK"].value)  # type: ignore[arg-type]
    if (
        len(strong) == 2
        and strong[0].has("WALK")
        and strong[1].has("QMARK")
        and strong[0].senses["WALK"].value == "left"
    ):
        return back.Walk(word="left")  # "what comes after that?"
    return None


def again(clause: Clause) -> Intent | None:
    """ "same again", "the same for Joss", "and another"."""
    if not any(piece.has("AGAIN") for piece in clause.pieces):
        return None
    act = _for_what(clause)
    for piece in clause.pieces:
        if (
            piece.kind not in ("people", "when", "amount", "tanks")
            and not (act is not None and piece.has("ACT"))
            and not piece.has("AGAIN", "FOR", "AND", "BUT", "WITH", "PREP", "FILLER", "COMMA", "STOP", "ONE", "TOO")
        ):
            return None
    named = clause.pieces[0].has("FOR") or clause.pieces[0].kind == "people"
    for_them = named and bool(clause.people)  # "for Ana also, the same", "Ana the same"
    if not (clause.pieces[0].has("AGAIN", "AND", "FILLER", "ONE") or for_them):
        return None
    amount = clause.get("amount")
    if amount is not None and amount.unit is None and not clause.has("BUT", "WITH"):
        return None  # "another two": of what?
    if clause.tanks == ("*",) or (clause.tanks and (amount is not None or clause.people)):
        return None
    repeat = any(tok.text.startswith("repeat") for tok in clause.pieces[0].toks)
    return back.Again(
        people=clause.people, tanks=clause.tanks, amount=amount, when=clause.when, activity=act, repeat=repeat
    )


def _for_what(clause: Clause) -> str | None:
    """ "the same for the dishes": what took as much."""
    acts = [n for n, piece in enumerate(clause.pieces) if piece.has("ACT")]
    if len(acts) != 1 or not acts[0] or not clause.pieces[acts[0] - 1].has("FOR") or clause.get("amount") is not None:
        return None
    return activity(clause)


def as_well(toks: Sequence[Tok], clause: Clause) -> Intent | None:
    """ "grey too", "and Ana as well", "and one for Ana": what was said last, of another tank or of somebody else."""
    if _me_too(toks):
        return back.Again(people=("",))
    did_too = " ".join(tok.text for tok in toks[-2:]) in ("did too", "did also", "did as well", "had too")
    besides = any(tok.text in BESIDES for tok in toks) and not any(tok.has("QMARK") for tok in toks)
    if not clause.pieces:
        return None
    one_for = clause.pieces[0].has("AND") and clause.people and _just_one(clause)
    if not (besides or one_for) or not (clause.tanks or clause.people) or (clause.tanks and clause.people):
        return None
    if any(
        piece.kind not in ("tanks", "people", "amount")
        and not (did_too and piece.has("DO", "AUX"))
        and not piece.has("AND", "COMMA", "FOR", "PREP", "TANKWORD", "ONE", "TOO")
        and not (besides and clause.tanks and (piece.has("SELF") or piece.toks[0].text in ("did", "done", "do")))
        for piece in clause.pieces
    ):
        return None
    if clause.get("amount") is not None and not one_for:
        return None
    so_much = clause.all("amount")[1:]  # "and one for Ana, 3"
    if len(so_much) > 1 or clause.tanks == ("*",):
        return None
    return back.Again(people=clause.people, tanks=clause.tanks, amount=so_much[0] if so_much else None)


def _me_too(toks: Sequence[Tok]) -> bool:
    """ "me too", "so did I", "same for me": done by the one who speaks as well."""
    said = " ".join(tok.text for tok in toks if not tok.has("COMMA", "STOP"))
    return said == "and me" or said.removeprefix("and ") in _ME_TOO


_ME_TOO = frozenset(
    (
        "me too|me as well|so did i|same for me|the same for me|i did too|i did as well|me the same|me same|same for me too|"
        "same again for me|same again for me please|same again here|and again for me"
    ).split("|")
)
BESIDES = ("too", "as well", "also", "as well as", "and also")


def _just_one(clause: Clause) -> bool:
    amount = clause.get("amount")
    return amount is not None and amount.value == 1 and amount.unit is None


def fragment(clause: Clause) -> Fragment | None:
    """A bare part of a meaning; None if something in the clause is no part of one."""
    allowed = frozenset(
        (
            "ACT TANKWORD METER CHOICE ONE SERVICE GEAR SITE OPEN SHUT PUMP HOOKUP STOW OUTON FULLNESS ALONE "
            "ABOUT MORE TOTAL NEARLY LAST IT TOTE VALVE UNIT"
        ).split()
    ) | frozenset(
        (
            "FILLER PREP SELF ART A AND COMMA STOP COLON OF AT ON IN FOR TO BE EACH WATERHERE SEWERHERE FULLHOOK "
            "NOHOOK PARTHOOK SEWERONLY NOSEWER NOWATER POSS BY SENSOR"
        ).split()
    )
    kinds = {"amount", "when", "until", "tanks", "people", "counted", "repeat", "duration"}
    seen: list[str] = []
    asks = clause.tanks == ("*",) and clause.pieces[0].has("AUX")  # "is everything stowed"
    if (_says_more(clause) and not _all_in(clause)) or is_an_order(clause) or asks:
        return None
    if hookups(clause) != (None, None):  # "there's a tap but no drain"
        allowed |= {"BUT", "THEREARE", "HAVE", "SITEWORD"}
    for piece in clause.pieces:
        if piece.kind == "word":
            if not piece.has(*allowed):
                return None
        elif piece.kind in kinds:
            seen.append(piece.kind)
        else:
            return None
    if len(seen) != len(set(seen)):
        return None
    words = [piece for piece in clause.pieces if piece.kind == "word"]
    if clause.word("UNIT") is not None and ("amount" in seen or len(clause.words("UNIT")) > 1):
        return None
    if not seen and all(_empty(piece) for piece in words):
        return None
    return _fragment(clause)


def _says_more(clause: Clause) -> bool:
    """Whether the words make a statement or a remark of their own rather than a part of one ("we are full", "black coffee")."""
    acts = clause.words("ACT")
    if len({tok.senses["ACT"].value for tok in acts}) > 1 or any(
        tok.senses["ACT"].form in ("ing", "thing") for tok in acts
    ):
        return True
    if len(acts) > 1 and len({tok.text for tok in acts}) == 1:
        return True
    amount = clause.get("amount")
    share = clause.word("FULLNESS") is not None or (amount is not None and amount.unit in ("fraction", "percent"))
    if acts and (clause.tanks or clause.word("OPEN") or clause.word("SHUT") or (share and not amount)):
        return True
    if clause.word("SELF") is not None and (share or clause.word("FULLNESS")):
        return True
    if clause.tanks and amount is not None and not share and not clause.people:
        return False  # "grey tank is 36 gal": its size or what is in it, to be asked
    return clause.place("BE") > 0 and not clause.pieces[0].has("IT", "CHOICE", "SELF", "METER")


def _empty(piece: Piece) -> bool:
    return not piece.has(
        "ACT",
        "TANKWORD",
        "METER",
        "CHOICE",
        "SERVICE",
        "GEAR",
        "SITE",
        "OPEN",
        "SHUT",
        "PUMP",
        "HOOKUP",
        "STOW",
        "OUTON",
        "FULLNESS",
        "ALONE",
        "UNIT",
    ) and not piece.has("WATERHERE", "SEWERHERE", "FULLHOOK", "NOHOOK", "PARTHOOK", "SEWERONLY", "NOSEWER", "NOWATER")


def _all_in(clause: Clause) -> bool:
    """ "Everything is in", "everything's packed away": nothing is left outside the rig."""
    said = clause.pieces[-1].toks[-1].text
    away = clause.has("STOW") or said in ("in", "inside", "aboard", "away", "on board")
    return (
        away
        and clause.pieces[0].kind == "tanks"
        and clause.tanks == ("*",)
        and not clause.has("NEG", "FULLNESS", "ROOM")
    )


def _fragment(clause: Clause) -> Fragment | None:
    counted, length, tanks = clause.get("counted"), clause.get("duration"), clause.tanks
    amount = clause.get("amount")
    full = clause.value("FULLNESS")
    if full is not None and amount is None:
        amount = say.Amount(float(full), "fraction", text=full)
    elif full == "0" and amount is not None and amount.unit == "fraction" and amount.value is not None:
        amount = say.Amount(1 - amount.value, "fraction", text=amount.text)
    water, sewer = hookups(clause)
    choice = clause.value("CHOICE")
    pump = clause.value("PUMP") or clause.value("HOOKUP")
    opened, shut = clause.word("OPEN"), clause.word("SHUT")
    repeat = clause.get("repeat")
    unit = clause.value("UNIT")
    totes = amount is not None and amount.unit is None and before_tote(clause)
    if amount is not None and totes:
        amount = replace(amount, unit="tote")
    return Fragment(
        unit=unit if unit in VOLUMES | PRESSURES else None,
        amount=counted.amount if counted and counted.amount else amount,
        tanks=() if tanks == ("*",) else tanks,
        every=tanks == ("*",),
        activity=activity(clause),
        people=tuple(name for name in clause.people if name),
        meter=clause.value("METER"),  # type: ignore[arg-type]
        count=int(counted.count) if counted else int(repeat) if repeat else None,
        minutes=length.seconds / 60 if length else None,
        longer=length is not None and length.more,
        choice=int(choice) if choice else None,
        site=clause.value("SITE"),
        water=water,
        sewer=sewer,
        until=clause.get("until") if clause.index("until") >= 0 else None,
        where="stowed" if clause.word("STOW") or _all_in(clause) else "out" if clause.word("OUTON") else None,
        open=True if opened else False if shut else None,
        source=pump if pump in ("tank", "hookup") else None,  # type: ignore[arg-type]
        item=clause.value("SERVICE") or (clause.word("GEAR").text if clause.word("GEAR") and not totes else None),  # type: ignore[union-attr]
        basis="sensor" if clause.word("SENSOR") else None,
        when=clause.when,
    )
