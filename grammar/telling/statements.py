"""Statements of a phrase: its pieces divided into clauses, each read whole by a frame, in the cheapest way that leaves nothing over.

May import: chunks, clause, intents, the frames.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from grammar import intents as say
from grammar.frames import (  # noqa: F401  (they enter their frames)
    change_frames,
    fill_frames,
    flow_frames,
    guest_frames,
    meter_frames,
    rig_frames,
    rig_lists,
    round_frames,
    shared_uses,
    supply_frames,
    tank_frames,
    trip_frames,
    use_frames,
    valve_frames,
)
from grammar.hearing.tokens import Tok
from grammar.intents import Intent
from grammar.lightclass import Any, replace
from grammar.pieces.chunks import Piece, pieces
from grammar.pieces.clause import PRESSURES, VOLUMES, Calls, Clause, Growing, calls_of
from grammar.telling.joined import is_empty, joined

LONGEST_CLAUSE = 24
_CLAUSE, _INSIDE, _COMMA, _UNJOINED, _JOINER, _SCENE = 10.0, 3.0, 1.0, 6.0, 0.01, 2.0

_MOST_RANK = 0.4
LONGEST_ELLIPSIS = 4


class Way:
    """The cheapest way to read the pieces up to a place: its cost, the way before it, what it adds, and the last meaning so far."""

    __slots__ = ("before", "cost", "last", "made")

    def __init__(self, cost: float, before: Way | None, made: tuple[Intent, ...], last: Intent | None) -> None:
        self.cost, self.before, self.made, self.last = cost, before, made, last

    def all(self) -> list[Intent]:
        """The meanings of the whole way, in order."""
        found: list[Intent] = []
        way: Way | None = self
        while way is not None:
            found.extend(reversed(way.made))
            way = way.before
        return found[::-1]


Best = list[Way | None]


def pieces_of(text: str, toks: Sequence[Tok]) -> list[Piece]:
    """The pieces of tokens without what carries nothing, self-corrections resolved."""
    return list(clause_of(text, toks).pieces)


def clause_of(text: str, toks: Sequence[Tok]) -> Clause:
    """All pieces of tokens as one clause, which is not to be changed."""
    key = (text, *map(id, toks))
    for known, _, clause in _latest:  # a sentence is looked at several times, as a question, a statement, a reply
        if known == key:
            return clause
    made = Clause(_self_corrected(pieces([tok for tok in toks if not _light(tok)], text)))
    _latest[:] = [(key, list(toks), made)]
    return made


_latest: list[tuple[tuple[object, ...], list[Tok], Clause]] = []
"""The key, the tokens (kept, so that their ids stay theirs) and the clause of the last sentence."""


def _light(tok: Tok) -> bool:
    return tok.known and tok.senses.keys() <= {"FILLER", "ART", "ADJ"}


def _self_corrected(found: list[Piece]) -> list[Piece]:
    """ "two no three gallons": of two pieces of one kind with a word of correction between them, the later counts."""
    kept: list[Piece] = []
    i = 0
    while i < len(found):
        piece = found[i]
        if piece.has("FIX") and kept and i + 1 < len(found):
            j = i + 1
            while j < len(found) and found[j].has("FIX", "COMMA", "IT", "BE"):
                j += 1
            back = next((k for k in range(len(kept) - 1, max(-1, len(kept) - 3), -1) if not kept[k].has("COMMA")), None)
            if j < len(found) and back is not None and _same_sort(kept[back], found[j]):
                del kept[back:]
                i = j
                continue
        kept.append(piece)
        i += 1
    return kept


def _same_sort(one: Piece, other: Piece) -> bool:
    if one.kind != other.kind:
        return False
    return one.kind != "word" or any(one.has(cls) and other.has(cls) for cls in ("ACT", "METER", "SERVICE", "SITE"))


# ---------------------------------------------------------------- the division into clauses


def statements(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """The meanings of the cheapest division of the tokens into clauses that frames read whole; None if there is none."""
    parts = pieces_of(text, toks)
    size = len(parts)
    if not size:
        return None
    joins, calls = [_joiner(part) for part in parts], [calls_of(part) for part in parts]
    best: Best = [None] * (size + 1)
    best[0] = Way(0.0, None, (), None)
    for i in range(size):
        here = best[i]
        if here is None:
            continue
        _pass_over(best, parts, i, here)
        if not joins[i] or parts[i].has("NEXTSTOP"):
            _clauses_from(best, parts, joins, calls, i, here, text)
    final = best[size]
    if final is None or final.last is None:
        return None
    made = final.all()
    return None if _of_whom(made) else joined(made, parts)


def _of_whom(made: Sequence[Intent]) -> bool:
    """ "Ana and Bo showered, he used 3 and she used 2": which of them that was is not said."""
    return any(
        isinstance(one, say.Use) and isinstance(other, say.Use) and len(one.people) > 1 and not other.people
        and other.amount is not None and other.text.casefold().startswith(("he ", "she "))
        for one, other in itertools.pairwise(made)
    )  # fmt: skip


def _of_the_site(parts: Sequence[Piece], i: int) -> bool:
    """ "sewer and water": what the site gives, and no word without weight."""
    return parts[i].has("WATERHERE") and any(part.has("SEWERHERE", "NOSEWER") for part in parts[max(0, i - 3) : i])


def _pass_over(best: Best, parts: Sequence[Piece], i: int, here: Way) -> None:
    """Joiners, words without weight and the scenery round a report need no clause."""
    piece = parts[i]
    if _joiner(piece) or (is_empty(piece) and not _of_the_site(parts, i)):
        _better(best, i + 1, Way(here.cost + _JOINER, here, (), here.last))
    elif piece.has("SCENE"):
        _better(best, i + 1, Way(here.cost + _SCENE, here, (), here.last))


def _clauses_from(
    best: Best, parts: Sequence[Piece], joins: Sequence[bool], calls: Sequence[Calls], i: int, here: Way, text: str
) -> None:
    """All clauses that begin at piece `i`. joins: which pieces are joiners; calls: the frames that each piece calls up."""
    joined = i == 0 or parts[i - 1].has("AND", "THEN", "COMMA", "BUT", "SCENE") or is_empty(parts[i - 1])
    if not joined and parts[i].kind == "word" and parts[i].toks[0].text.split()[0] in _HANGS_ON:
        return  # "reset the counter on the hose meter": a place, no clause of its own
    if not joined and parts[i].has("FULLNESS", "SENSOR") and parts[i - 1].kind == "amount":
        return  # "grey 1/2 full black too": the fullness is grey's
    base = here.cost + _CLAUSE + (0 if joined else _UNJOINED)
    growing = Growing()
    alive = joined or here.last is None or _weighty(here.last)  # else no clause follows without a joiner
    goes_on = _GOES_ON.get(type(here.last)) if here.last is not None and i else None
    listed = goes_on is not None and parts[i - 1].has("COMMA", "AND", "BUT")
    for j in range(i, min(len(parts), i + LONGEST_CLAUSE)):
        piece = parts[j]
        alive = growing.add(piece, calls[j]) and alive
        if goes_on is not None and j - i < LONGEST_ELLIPSIS and (listed or piece.has("TOO")):
            again = goes_on(here.last, growing.clause)
            if again is not None:
                _better(best, j + 1, Way(here.cost + _CLAUSE + 1, here, (again,), again))
        if (not alive and (goes_on is None or j - i >= LONGEST_ELLIPSIS)) or _did_too(parts, i, j):
            return
        known = best[j + 1]
        if alive and not joins[j] and (known is None or known.cost > base - _MOST_RANK):
            made = growing.readings()
            if made and not (len(made) > 1 and made[1][0] == made[0][0] and made[1][1] != made[0][1]):
                rank, meanings = made[0]
                meanings = tuple(replace(one, text=text[parts[i].start : piece.end]) for one in meanings)
                if joined or _weighty(meanings[0]):
                    _better(best, j + 1, Way(base - 0.1 * rank, here, meanings, meanings[-1]))
        if j > i and joins[j]:
            base += _INSIDE if piece.has("AND", "THEN", "BUT") else _COMMA if piece.has("COMMA") else 0.0


def _did_too(parts: Sequence[Piece], i: int, j: int) -> bool:
    """ "Joss too", "I did too": who did the same did nothing else in that clause."""
    if not parts[j].has("TOO"):
        return False
    who = next((parts[n] for n in range(j - 1, i - 1, -1) if not parts[n].has("AUX", "DO")), None)
    return who is not None and (who.kind == "people" or who.toks[0].text in ("i", "me"))


_HANGS_ON = frozenset("on at in under of for by with from inside".split())


def _weighty(meaning: Intent) -> bool:
    """Whether a meaning says enough to stand beside another without a joiner ("dishes a gallon coffee a quart")."""
    if isinstance(meaning, say.Use):
        told = meaning.amount is not None or meaning.count is not None or meaning.before is not None
        return told or (meaning.done and bool(meaning.people))
    if isinstance(meaning, say.Fill | say.Level | say.Rinse):
        return meaning.tank is not None and (meaning.amount is not None or isinstance(meaning, say.Fill))
    if isinstance(meaning, say.Dump):
        return bool(meaning.tanks) or meaning.every
    if isinstance(meaning, say.Back) and meaning.to_come:
        return True
    if (
        isinstance(meaning, say.Away)
        and meaning.until is not None
        and meaning.text.casefold().startswith(("back", "home"))
    ):
        return True  # "heading into town now back for supper"
    if isinstance(meaning, say.Back | say.Away | say.Depart | say.Party):
        return meaning.text.casefold().startswith(("we", "i ", "i'm", "just", "heading", "headed"))
    return not isinstance(meaning, say.ResetSomething)


def _joiner(piece: Piece) -> bool:
    return piece.has("AND", "THEN", "COMMA", "BUT", "COLON")


def _better(best: Best, place: int, way: Way) -> None:
    now = best[place]
    if now is None or way.cost < now.cost:
        best[place] = way


def _another_use(last: say.Use, clause: Clause) -> Intent | None:
    """ "Ana showered with 2, Joss with 3": the same thing by somebody else, of another amount; "had a tea and a shower": done as well."""
    amount = clause.get("amount")
    act = clause.word("ACT", "noun")
    if act is not None and last.done and _only(clause, "", "ACT A ART FILLER") and len(clause.words("ACT")) == 1:
        return say.Use(activity=act.senses["ACT"].value, people=last.people, done=True, when=last.when)
    if act is not None and _beside_measured(last, act) and _only(clause, "", "ACT FILLER"):
        return say.Use(activity=act.senses["ACT"].value, people=last.people, when=last.when)  # "shower 2 gal, teeth"
    if act is not None and last.count and " x" in f" {last.text.casefold()}" and _only(clause, "", "ACT FILLER"):
        return say.Use(activity=act.senses["ACT"].value, people=last.people, when=last.when)  # "teeth x2, face": once
    mine = bool(last.people) and any(
        tok.text in ("i", "me", "mine") for tok in (*clause.words("SELF"), *clause.words("PRONOUN"))
    )
    if (
        mine
        and amount is not None
        and amount.value is not None
        and _only(clause, "amount", "SELF PRONOUN BE PREP FILLER AT USE COST DO A ART ONE")
    ):
        unit = amount.unit or (last.amount.unit if last.amount else None)
        return replace(last, people=(), amount=replace(amount, unit=unit), count=None, minutes=None)
    if amount is None and last.people != clause.people and _the_same_for(clause, mine):
        return _as_well(last, clause.people)
    for_them = clause.pieces[-1].kind == "people" and clause.has("FOR")  # "shower 2 gal for Ines and 3 for Bo"
    again = _at_another_time(last, clause)
    if again is not None:
        return again
    named = clause.people and (clause.pieces[0].kind == "people" or for_them)
    if not named or amount is None or amount.value is None:
        return None
    if last.before is not None or not _only(clause, "people amount", "PREP FILLER USE COST AT TOO COMMA POSS BE FOR"):
        return None
    unit = amount.unit or (last.amount.unit if last.amount else None)
    return replace(last, people=clause.people, amount=replace(amount, unit=unit), count=None, minutes=None)


def _at_another_time(last: say.Use, clause: Clause) -> Intent | None:
    """ "dishes a gallon this morning and two tonight": once more, of another amount, where the first was told with its time and its unit."""
    first, amount = last.amount, clause.get("amount")
    if last.when is None or first is None or first.unit is None or last.count is not None or last.minutes is not None:
        return None
    if last.before is not None or last.like is not None or clause.when is None or not _only(clause, "amount when", ""):
        return None
    if amount is None or amount.value is None or amount.unit not in (None, *VOLUMES):
        return None
    return replace(last, amount=replace(amount, unit=amount.unit or first.unit), when=clause.when)


def _the_same_for(clause: Clause, mine: bool) -> bool:
    """ "…, same for Joss", "…, Joss too", "…, me too"."""
    if not clause.has("AGAIN", "TOO") or bool(clause.people) == mine:
        return False
    return _only(clause, "people", f"AGAIN FOR PREP FILLER TOO COMMA AUX DO{' SELF PRONOUN' if mine else ''}")


def _as_well(last: say.Use, people: tuple[str, ...]) -> Intent | None:
    """The same by others, so much for each of them; nothing where it is not clear how much each had."""
    amount = last.amount
    if amount is None or amount.value is None or amount.each or (len(people) < 2 and len(last.people) < 2):
        return replace(last, people=people)
    if len(last.people) > 1 or last.count is not None:
        return None  # "Ana and Bo showered, 4 gal, Joss too"
    return replace(last, people=people, amount=replace(amount, each=True))


_SMALL = ("teeth", "face", "handwash", "toilet", "shave")


def _beside_measured(last: say.Use, act: Tok) -> bool:
    """Whether a small use named at the end of a list was done as the one before it, whose amount was told."""
    amount = last.amount
    if amount is None or amount.value is None or amount.unit is None or amount.each:
        return False
    return act.senses["ACT"].value in _SMALL and act.senses["ACT"].value != last.activity


def _another_size(last: say.SetTank, clause: Clause) -> Intent | None:
    """ "fresh tank 45 gal, grey 40 and 32 black": the sizes of the other tanks."""
    amount, tanks = clause.volume(), clause.tanks
    if len(tanks) != 1 or tanks == ("*",) or amount is None or amount.value is None or last.gone:
        return None
    if not _only(clause, "tanks amount", "FILLER HOLDS IS BE A ART"):
        return None
    unit = amount.unit or (last.amount.unit if last.amount else None)
    return replace(last, tank=tanks[0], kind=say.KINDS.get(tanks[0]), amount=replace(amount, unit=unit), second=False)


def _only(clause: Clause, kinds: str, classes: str) -> bool:
    """Whether the clause has no other pieces than these."""
    able, named = kinds.split(), classes.split()
    return all(piece.kind in able or piece.has(*named) for piece in clause.pieces)


def _another_dump(last: say.Dump, clause: Clause) -> Intent | None:
    """ "emptied grey at noon and black at one"; "dumped black and rinsed it with 5 gal"."""
    rinsed = clause.word("RINSE", "past") is not None and clause.volume() is not None
    if rinsed and len(last.tanks) == 1 and _only(clause, "amount", "RINSE IT WITH PREP PARTICLE SELF"):
        return say.Rinse(tank=last.tanks[0], amount=clause.volume())
    if not clause.tanks or clause.tanks == ("*",) or not _only(clause, "tanks when", "TANKWORD TOO"):
        return None
    if clause.when is None and clause.word("TOO") is None:
        return None
    return replace(last, tanks=clause.tanks, every=False, when=clause.when or last.when)


def _another_item(last: say.Service, clause: Clause) -> Intent | None:
    """ "put in a new filter and new washers on the hose": a second thing that was changed."""
    items = [piece.toks[0].senses["SERVICE"].value for piece in clause.pieces if piece.has("SERVICE")]
    if (
        not items
        or not clause.pieces[0].has("NEW")
        or not _only(clause, "", "NEW SERVICE OUTON ON IN FOR OF TO FILLER ART PREP GEAR")
    ):
        return None
    return say.Service(item=items[0], when=last.when)


def _at_pressure(last: say.Gear, clause: Clause) -> Intent | None:
    """ "regulator on, now it's 48": what the gauge says with it in place."""
    amount = clause.get("amount")
    if not any("regulator" in item for item in last.items) or last.where != "out":
        return None
    if amount is None or amount.value is None or amount.unit not in (*PRESSURES, None) or amount.high or amount.bound:
        return None
    told = (amount.unit is not None or clause.has("BE", "IT", "SAYS", "ISAT")) and (
        clause.when is None or clause.when.now
    )
    return say.Pressure(amount=amount) if told and _only(clause, "amount when", "IT BE FILLER SAYS ISAT AT") else None


def _as_full(last: say.Level, clause: Clause) -> Intent | None:
    """ "grey is empty and black too": the other tank stands at the same."""
    if len(clause.tanks) != 1 or clause.tanks == ("*",) or not _only(clause, "tanks", "TANKWORD TOO FILLER ART A"):
        return None
    besides = any(
        tok.has("TOO") or tok.text in ("too", "as well", "also") for piece in clause.pieces for tok in piece.toks
    )
    return replace(last, tank=clause.tanks[0], every=False) if besides else None


# What goes on from the meaning before it without saying again what was done.
_GOES_ON: dict[type[Intent], Callable[[Any, Clause], Intent | None]] = {
    say.Use: _another_use,
    say.SetTank: _another_size,
    say.Dump: _another_dump,
    say.Level: _as_full,
    say.Gear: _at_pressure,
    say.Service: _another_item,
}
