"""What is stated as settled with "will" and a day: "we'll be away Saturday", "there will be four of us from Friday", "we'll leave on Friday".

May import: household, intents, mood, statements, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from grammar import intents as say
from grammar.hearing.tokens import Tok, sense
from grammar.intents import Intent
from grammar.lexicon import lexicon
from grammar.lightclass import replace
from grammar.telling.household import household, is_one_of_us
from grammar.telling.mood import mood
from grammar.telling.statements import pieces_of, statements

_THERE_WILL = ("there will be", "there is going to be", "there are going to be")


def _at_present(toks: Sequence[Tok], will: int) -> list[Tok]:
    """ "We will be four" as "we are four", "we will leave" as "we leave": the plan in the words of a statement."""
    rest = [*toks[:will], *toks[will + 1 :]]
    if will >= len(rest):
        return rest
    verb, who = rest[will], rest[will - 1] if will else None
    if toks[will].text in _THERE_WILL:
        return [*toks[:will], replace(toks[will], text="there are", senses=sense("THEREARE")), *toks[will + 1 :]]
    if verb.text == "be":
        rest[will] = replace(verb, text="are", senses=sense("BE") | sense("AUX"))
    elif verb.has("LEAVE", "DEPART") and who is not None and who.text in ("we", "i"):
        rest[will - 1 : will + 1] = [replace(verb, text=f"{who.text} {verb.text}", start=who.start)]
    return rest


def to_come(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """ "we'll be away Saturday": an absence or a party to come, stated as settled with "will" and a day."""
    will = [tok for tok in toks if tok.has("FUTURE")]
    if (
        len(will) != 1
        or will[0].text not in ("will", "shall", "going to", *_THERE_WILL)
        or any(tok.has("NEG", "ABOUT") for tok in toks)
    ):
        return None
    made = statements(text, _at_present(toks, toks.index(will[0])))
    if not made or len(made) != 1:
        return None
    one = made[0]
    if isinstance(one, say.Away) and (one.when is not None or one.until is not None):
        return [say.Expect(what="absence", start=one.when, until=one.until, text=text.strip())]
    if isinstance(one, say.Party) and (one.when is not None or one.until is not None) and one.people:
        return [say.Expect(what="party", start=one.when, until=one.until, people=one.people, text=text.strip())]
    if isinstance(one, say.Stay) and (one.until is not None or one.longer):
        return [replace(one, text=text.strip())]
    return [replace(one, text=text.strip())] if isinstance(one, say.Expect | say.Stop) else None


_MAKES = frozenset(("that makes", "so that makes", "which makes", "makes", "that is", "so that is"))
_MOVES = frozenset("left gone home joined here back arrived came landed turned showed flew drove".split())
_CLOSED = (
    "NEG",
    "FUTURE",
    "IF",
    "QMARK",
    "QWORD",
    "REPORTED",
    "TANK",
    "TANKS",
    "METER",
    "UNIT",
    "FRACTION",
    "HABIT",
    "SITE",
    "ACT",
    "UNTIL",
    "SINCE",
)
_PLAIN_WORDS = (
    "AND COMMA ART A POSS BE HAVE AUX FILLER COMING ARRIVE BACK NUMBER DAY PART WITH PREP STOP SELF SWITCH DEPART LEFT SCENE PARTICLE DO ADJ"
).split()


_LONGEST = 24  # tokens


def with_company(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """ "Sarah and her two arrived so we're five", "the wife's gone home, just me now": how many that makes, said after who came or went."""
    if len(toks) > _LONGEST or not any(_somebody(tok) for tok in toks):
        return None
    for i in range(2, len(toks)):
        begins = toks[i].text.startswith("we") or toks[i].has("NUMBER", "ALONE", "THEREARE") or toks[i].text in _MAKES
        head = [tok for tok in toks[:i] if not tok.has("FILLER") or tok.text == "here"]
        if (
            not begins
            or not (toks[i - 1].has("COMMA", "STOP", "FILLER", "AND") or toks[i].text in _MAKES)
            or not _of_people(head)
        ):
            continue
        made = _so_many(text, toks[i:])
        if made is not None:
            return [replace(made, text=text.strip())]
    return None


def _of_people(head: Sequence[Tok]) -> bool:
    """Whether the words tell of somebody who came or went, and of nothing else."""
    if any(tok.has(*_CLOSED) for tok in head):
        return False
    somebody = any(_somebody(tok) for tok in head)
    moved = any(tok.has("COMING", "ARRIVE", "BACK") or not _MOVES.isdisjoint(tok.text.split()) for tok in head)
    moved = moved or any(tok.text == "with" and other.text == "us" for tok, other in pairwise(head))
    plain = all(tok.has(*_PLAIN_WORDS) or _somebody(tok) or not _MOVES.isdisjoint(tok.text.split()) for tok in head)
    return somebody and moved and plain


def _somebody(tok: Tok) -> bool:
    """One of the household, or a relation or a friend of somebody's, whatever the neighbours have made of the word since."""
    if is_one_of_us(tok) or tok.has("VISITOR", "GUESTS", "GROUP", "OTHER"):
        return True
    return not lexicon().senses(tuple(tok.text.split())).keys().isdisjoint(("VISITOR", "OTHER"))


def aboard_till(text: str, toks: Sequence[Tok]) -> say.Party | None:
    """ "Two adults and two kids till Sunday": who is aboard, and until when."""
    place = next((n for n, tok in enumerate(toks) if n and tok.has("UNTIL", "THROUGH")), 0)
    aboard = household(toks[:place]) if place else None
    if not isinstance(aboard, say.Party):
        return None
    parts = [piece for piece in pieces_of(text, toks[place:]) if not piece.has("STOP")]
    return replace(aboard, until=parts[0].value) if len(parts) == 1 and parts[0].kind == "until" else None


def _so_many(text: str, tail: Sequence[Tok]) -> say.Party | None:
    """ "we're five", "that makes three", "just me now", "five of us till Monday"."""
    if mood(tail) is not None:
        return None
    core = [
        tok
        for tok in tail
        if not tok.has("COMMA", "STOP", "DAY") and not (tok.has("FILLER") and tok.text not in _MAKES)
    ]
    makes = bool(core) and core[0].text in _MAKES
    rest = [tok for tok in core[makes:] if tok.text not in ("us", "of us", "people", "aboard", "on board")]
    counted = len(rest) == 1 and rest[0].number is not None and rest[0].number == int(rest[0].number)
    if counted and (makes or len(core) == 1 or core[-1].text == "of us"):
        return say.Party(people=rest[0].number)
    told = household(tail)
    made = [told] if told is not None else statements(text, tail)
    return made[0] if made and len(made) == 1 and isinstance(made[0], say.Party) and made[0].people else None


_PLANNED = frozenset(("booked", "planned", "scheduled", "arranged", "pencilled in", "reserved"))
_DAYS = ("WEEKDAY", "DAY", "MONTH", "ISODATE", "ORD")


def booked_for(text: str, toks: Sequence[Tok]) -> list[Intent] | None:
    """ "laundry booked for Friday, 50 litres": a use to come, settled by that word; a stay that is booked names no use."""
    for i in range(1, min(len(toks) - 1, _LONGEST)):
        rest = [tok for tok in toks[i + 1 : i + 4] if not tok.has("FOR", "ON", "PREP", "WHICH", "ART")]
        use = toks[i - 1].has("ACT") and toks[i - 1].senses["ACT"].form == "noun"
        opens = all(tok.has("ACT", "ART", "FILLER", "A") for tok in toks[:i])
        if toks[i].text not in _PLANNED or not rest or not rest[0].has(*_DAYS) or not use or not opens:
            continue
        told = [*toks[:i], *toks[i + 2 if toks[i + 1].has("FOR") else i + 1 :]]
        made = statements(text, told) if mood(told) is None else None
        one = made[0] if made and len(made) == 1 else None
        if (
            isinstance(one, say.Use)
            and one.when is not None
            and one.when.which != "last"
            and one.before is None
            and not one.people
        ):
            amount, count = one.amount, one.count
            return [
                say.Expect(
                    what="use", start=one.when, activity=one.activity, amount=amount, count=count, text=text.strip()
                )
            ]
    return None
