"""What a reading is, as a whole: whether it asks, denies, tells of somebody whose name is new, or stands by itself.

May import: intents, rejoinders, reading, hear, likely, repair, tokens, lexicon.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.hear import Word
from grammar.hearing.likely import near_ours
from grammar.hearing.repair import candidates
from grammar.hearing.tokens import Tok
from grammar.lexicon import Own, lexicon
from grammar.reading import Reading


def asks(found: Reading) -> bool:
    return all(isinstance(one, say.Ask | say.NotAReport) for one in found.meanings)


def denies(found: Reading) -> bool:
    return all(isinstance(one, say.NotAReport) for one in found.meanings)


def by_somebody(made: Sequence[say.Intent]) -> bool:
    """Whether the unknown words are surely names: nothing but uses whose activity is told, corrections, and questions beside them, one of
    them by somebody."""
    plain = all(
        isinstance(one, say.Ask) or (isinstance(one, back.Amend | say.Use) and (_somebody_did(one) or _is_use(one)))
        for one in made
    )
    return plain and any(_somebody_did(one) for one in made)


def _is_use(meaning: say.Intent) -> bool:
    return isinstance(meaning, say.Use) and meaning.activity is not None


def _somebody_did(meaning: say.Intent) -> bool:
    """A use by somebody, its activity named besides: the unknown word is surely a name ("Tove brushed her teeth", "it was Tove")."""
    if isinstance(meaning, back.Amend):
        return bool(meaning.change.people)
    return isinstance(meaning, say.Use) and meaning.activity is not None and bool(meaning.people)


def misspelt(named: Reading) -> bool:
    """Whether a name taken from a phrase is rather a word of ours."""
    told = [one.change if isinstance(one, back.Amend) else one for one in named.meanings]
    people = {name.casefold() for one in told if isinstance(one, say.Use | back.Fragment) for name in one.people}
    return any(near_ours(name) for name in people)


def by_a_slip(found: Reading, words: Sequence[Word], own: Own) -> bool:
    """ "coffwwe used thirty gallons": a strange word without a capital, and no activity besides, is rather that than a name."""
    told = {
        word.text for word in words if word.capital or word.text in own.first or (word.text,) in lexicon().spellings
    }
    bare = [one for one in found.meanings if isinstance(one, say.Use) and one.activity is None and one.people]
    return any(not set(name.casefold().split()) <= told for one in bare for name in one.people)


def taken_in(found: Reading, slips: Sequence[str], words: Sequence[Word]) -> bool:
    """Whether a word that looks like one of ours was taken into a question, a name of a place or a correction: it is tried first to mend it
    ("camping at Loch View tonught", "no, it was dshes"). Whoever bathed may be called whatever he is called."""
    if not slips:
        return False
    named = any(word.text in slips and words[i - 1].capital and i > 1 for i, word in enumerate(words))
    return named or asks(found) or not all(isinstance(one, say.Use) for one in found.meanings)


def plain_report(meaning: say.Intent, named: frozenset[str]) -> bool:
    """A report so explicit that talk beside it cannot have changed it. `named`: activities named in the talk."""
    if named and (not isinstance(meaning, say.Use) or named != {meaning.activity}):
        return False
    if isinstance(meaning, say.Use):
        told = meaning.amount is not None and meaning.amount.unit is not None
        return meaning.activity is not None and (told or meaning.count is not None or meaning.before is not None)
    if isinstance(meaning, say.Dump):
        return bool(meaning.tanks) or meaning.every
    if isinstance(meaning, say.Fill | say.Valve):
        return meaning.tank is not None
    if isinstance(meaning, say.ReadMeter):
        return meaning.reading is not None and meaning.moment is None
    if isinstance(meaning, say.Pressure):
        return meaning.amount is not None and meaning.amount.unit is not None
    if isinstance(meaning, say.Stay):
        return meaning.until is not None
    if isinstance(meaning, say.Arrive):
        return meaning.site is not None  # "we have arrived at …": what was passed over may be the name
    if isinstance(meaning, say.Stop):
        return meaning.site is not None and meaning.start is not None
    if isinstance(meaning, say.Expect):
        return meaning.start is not None and (meaning.people is not None or meaning.what == "absence")
    if isinstance(meaning, say.Party):
        return meaning.people is not None
    if isinstance(meaning, say.Back):
        return meaning.when is None or meaning.when.hour is not None  # "back tonight" may be to come
    if isinstance(meaning, say.Depart):
        return meaning.when is not None or " " in meaning.text.strip()  # "left the light on"
    if isinstance(meaning, say.Away):
        return meaning.until is not None or meaning.hours is not None or not meaning.bare
    if isinstance(meaning, say.Supply | say.Service | say.Gear | say.ResetMeter | say.Flow | say.Frost):
        return True
    if isinstance(meaning, say.Level | say.Rinse | say.Haul):
        return meaning.tank is not None and meaning.amount is not None
    if isinstance(meaning, back.Amend):  # "I have pressed too fast. It should be 13.8"
        return meaning.sure and meaning.whole is None
    if isinstance(meaning, back.Fragment | back.Yes | back.No):
        return True
    return isinstance(meaning, say.NotAReport)


def stands(found: Reading) -> bool:
    """Whether a reading is nothing but reports so explicit that words before it, which only gain time, cannot have changed them ("let me
    see, Walt showered, two gallons"; but "let me see the showers" asks)."""
    told = all(
        (plain_report(one, frozenset()) or (_is_use(one) and isinstance(one, say.Use) and one.done))
        and not isinstance(one, say.NotAReport)
        for one in found.meanings
    )
    return told and not found.confirm


def only_at(told: say.Intent) -> bool:
    """ "At thsi rate when is grey full": no arrival, unless the place has its capital."""
    return isinstance(told, say.Arrive) and told.text[:3].casefold() == "at " and told.text[3:].islower()


def hangs_on_talk(report: Sequence[Word], words: Sequence[Word]) -> bool:
    """ "we had lunch | at Pine Hollow": where that was, and nothing by itself."""
    n = next((n for n, word in enumerate(words) if word.start == report[0].start), 0)
    before = words[n - 1] if n else None
    return report[0].text in _WHERE and before is not None and before.kind != "mark" and before.text not in _JOINS


_WHERE = ("at", "in", "near", "by")
_JOINS = ("and", "then", "but", "so")


def held_back(toks: Sequence[Tok]) -> set[str]:
    """The unknown words that may be misspellings."""
    return {tok.text for tok in toks if not tok.known and candidates(tok.text)}


def as_read(words: Sequence[Word]) -> str:
    return " ".join(word.text for word in words).replace(" 's", "'s").replace(" ,", ",")
