"""Misspelt words mended: a candidate is kept only if a whole reading follows from it, and only one meaning may follow.

May import: likely, repair, tokens, intents, rejoinders, reading, lexicon.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.hear import Word
from grammar.hearing.heard import even_out
from grammar.hearing.likely import (
    SHORT,
    big,
    by_one_key,
    denying,
    doubtful_with_two,
    far_fetched,
    idle_guess,
    loses_a_day,
    may_turn,
    names_ours,
    near_ours,
    others,
    part_of_day,
    rather_another,
    says_nothing,
    thing,
    turning,
    well_spelled,
)
from grammar.hearing.numbers import NUMBER_WORDS
from grammar.hearing.repair import SOUND_ALIKE, candidates, far_candidates, slips, unlike
from grammar.hearing.sounds import ONWARD
from grammar.hearing.tokens import tokens
from grammar.intents import NotAReport
from grammar.lexicon import Own, lexicon
from grammar.lightclass import Any, fields, is_dataclass, replace
from grammar.reading import Reading, Repair

MOST_REPAIRS, MOST_TRIES, LONG_PHRASE = 4, 24, 60
Attempt = Callable[[Sequence[Word], frozenset[str], bool], "Reading | None"]
"""Reads words; of which those were mended; and whether unknown words among them may be names."""


def repaired(words: Sequence[Word], own: Own, attempt: Attempt, far: bool = False) -> Reading | None:
    """The reading after mending unknown words; the likeliest, to be asked about, where several could follow; None where none does.
    `far`: a word of six letters or more may have two wrong ones, which is tried where one is not enough."""
    toks = tokens(words, lexicon(), own)
    strange = {tok.text for tok in toks if not tok.known and tok.text.isalpha()}
    places = [
        (i, options) for i, word in enumerate(words) if word.text in strange and (options := _options(words, i, far))
    ]
    if len(places) > MOST_REPAIRS or (far and not any(cost > 1 for _, options in places for _, cost in options)):
        return None
    tries = MOST_TRIES if len(words) < LONG_PHRASE else 4
    choices = list(itertools.islice(itertools.product(*[options for _, options in places]), tries)) if places else []
    found: list[tuple[Reading, int]] = []
    for choice in choices:
        mended = list(words)
        for (i, _), (spelled, _) in zip(places, choice, strict=True):
            mended[i] = replace(words[i], text=spelled)
        changed = [i for i, _ in places if mended[i] is not words[i] and mended[i].text != words[i].text]
        kept = [i for i, _ in places if i not in changed]
        reading = attempt(even_out(mended), frozenset(mended[i].text for i in changed), bool(kept))
        if reading is not None and (named := [i for i in changed if _in_a_place_name(reading, mended[i].text)]):
            for i in named:
                mended[i] = words[i]
            changed = [i for i in changed if i not in named]
            reading = attempt(even_out(mended), frozenset(mended[i].text for i in changed), True) if changed else None
        if reading is None or _left_unused(reading, [mended[i].text for i in changed]):
            continue
        if kept and not _of_somebody(reading, [words[i] for i in kept]):
            continue
        repairs = tuple(Repair(words[i].text, mended[i].text) for i in changed)
        doubts = (far_fetched, idle_guess, rather_another, doubtful_with_two)
        if any(doubt(one) for one in repairs for doubt in doubts) or any(_unit_alone(mended, i) for i in changed):
            reading = replace(reading, confirm=True)
        if kept and (changed or any(words[i].capital for i in kept)):
            return replace(reading, repairs=repairs)
        if kept:
            continue
        _enter(found, replace(reading, repairs=repairs), max(cost for _, cost in choice))
    return _one_of(found) or (None if far else _sounding_alike(words, attempt, places))


Options = tuple[tuple[str, int], ...]
MOST_FAR, FAR = 8, 2


def _options(words: Sequence[Word], i: int, far: bool = False) -> Options:
    """What a strange word may stand for: what sounds like it, and, unless it is a word of English, what is spelled like it.
    "fifths" without its number is no slip for "fifth"."""
    named = words[i].capital and i and words[i - 1].text not in _SENTENCE_ENDS  # "at Pine Hollow" is at no pint
    alike = () if named or _next_in_turn(words, i) else tuple((one, 1) for one in SOUND_ALIKE.get(words[i].text, ()))
    meant = () if well_spelled(words[i].text) else _meant(words, i)
    spelled = [pair for pair in meant if not loses_a_day(words[i].text, pair[0])]
    found = (*alike, *[pair for pair in spelled if pair[0] not in SOUND_ALIKE.get(words[i].text, ())])
    if not far or named or well_spelled(words[i].text):
        return found
    told = {text for text, _ in found}
    return (*found, *[(one, 2) for one in far_candidates(words[i].text)[:MOST_FAR] if one not in told])


def _next_in_turn(words: Sequence[Word], i: int) -> bool:
    """ "max showered then lou", "she got out, phil just got in": who came after somebody, and nothing that sounds like their name."""
    if "NAMEWORD" not in lexicon().senses((words[i].text,)) or i < 2 or words[i - 1].text not in _IN_TURN:
        return False
    after = words[i + 1] if i + 1 < len(words) else None
    if after is None or after.kind == "mark" or _past_follows(words, i):
        heads = [word for word in words[: i - 1] if word.text not in _BEFORE_VERBS]
        senses = lexicon().senses((heads[0].text,)) if heads else {}
        return bool(heads) and (not senses or not senses.keys().isdisjoint(_SOMEBODY))
    return False


_IN_TURN = frozenset((",", ";", ".", "and", "then", "&"))
_SOMEBODY = ("SELF", "PERSON", "NAMEWORD", "KIN", "OTHER")


def _in_a_place_name(reading: Reading, taken: str) -> bool:
    """ "next stlp Quill Point" is at no Stop Quill Point: names of places are as they were typed."""
    places = [getattr(one, "site", None) for one in reading.meanings]
    return any(taken in str(place).casefold().split() for place in places if place)


def _unit_alone(words: Sequence[Word], i: int) -> bool:
    """ "laundry lter": a unit of which no number says how many may be some other word ("later")."""
    counted = i and (words[i - 1].kind in ("number", "fraction") or words[i - 1].text in NUMBER_WORDS | _COUNTING)
    return not counted and any(one.cls == "UNIT" for one in lexicon().spellings.get((words[i].text,), ()))


_COUNTING = frozenset("a an of per in use to into many".split())


def _left_unused(reading: Reading, taken: Sequence[str]) -> bool:
    """ "shower 2 gal, tove": what a word was mended to is nothing that the reading tells of, no more than a stove is."""
    told = {one.activity for one in reading.meanings if isinstance(one, say.Use)}
    things = [one.value for word in taken if thing(word) for one in lexicon().spellings.get((word,), ())]
    return bool(told) and any(value not in told for value in things)


def _of_somebody(reading: Reading, kept: Sequence[Word]) -> bool:
    """Whether a reading in which words were left as the names of people tells of something done; "Showr used 2 gal" is about nobody."""
    if any(isinstance(one, say.Ask | back.Fragment | NotAReport) for one in reading.meanings):
        return False
    if all(isinstance(one, say.Use) and one.activity is None for one in reading.meanings):
        return not any(
            names_ours(pair[0]) for word in kept for pair in candidates(word.text) if pair[0] in slips(word.text)
        )
    return True


def _may_be_name(word: Word) -> bool:
    """Whether an unknown word with a capital is rather a name than a slip: none that is long and one letter away, and no day."""
    if not word.capital or not word.text.isalpha() or len(word.text) < 2:
        return False
    return not near_ours(word.text)


def _meant(words: Sequence[Word], i: int) -> tuple[tuple[str, int], ...]:
    """What word `i` may be a misspelling of: before a verb of the past stands whoever did it, and no word of correction ("Walt used 2 gal")."""
    found = candidates(words[i].text)
    if words[i].capital and i and words[i - 1].text not in _SENTENCE_ENDS:
        found = tuple(pair for pair in found if not thing(pair[0]))  # "Ana showered, Milo too": a name, no miso
    if words[i].capital:
        found = tuple(pair for pair in found if not says_nothing(pair[0]))  # "Sven: shower 2 gal" is not even a shower
    if len(words[i].text) <= SHORT:  # "theo" is no "then" and no "they", "Walt" no "wait"
        found = tuple(
            pair
            for pair in found
            if pair[0] in slips(words[i].text)
            or by_one_key(words[i].text, pair[0])
            or not (turning(pair[0]) or others(pair[0]))
        )
    if _past_follows(words, i):
        long = len(words[i].text) > SHORT
        found = tuple(
            pair for pair in found if not thing(pair[0]) and (not turning(pair[0]) or (long and denying(pair[0])))
        )
        if len(words[i].text) <= SHORT:
            found = tuple(pair for pair in found if not part_of_day(pair[0]))  # "Noor brewed coffee", not at noon
        if not found or not (near_ours(words[i].text) or may_turn(words[i].text)):
            found = (*found, (words[i].text, 0))  # "joss just did the dshes"
    return ((words[i].text, 0), *found) if _may_be_name(words[i]) and found[:1] != ((words[i].text, 0),) else found


def _past_follows(words: Sequence[Word], i: int) -> bool:
    """Whether a verb of the past comes next, perhaps misspelt."""
    at = next((n for n in range(i + 1, len(words)) if words[n].text not in _BEFORE_VERBS), len(words))
    if at == len(words):
        return False
    spellings, after = lexicon().spellings, words[at].text
    meant = [after] if (after,) in spellings else [one for one, cost in candidates(after) if cost == 1]
    return any(sense.form == "past" for one in meant for sense in spellings.get((one,), ()))


_BEFORE_VERBS = frozenset(("just", "also", "already", "then"))


_SENTENCE_ENDS = frozenset((".", "!", "?", '"'))


_SHARED_BY = frozenset(("both", "all", "each", "two", "everybody"))
"""Before these "for" tells for whom it was."""


def _sounding_alike(words: Sequence[Word], attempt: Attempt, strange: Sequence[tuple[int, Options]]) -> Reading | None:
    """The one reading that follows when one or two known words are taken for what sounds like them, and the strange ones are mended too.
    strange: the places of these, and what each may stand for."""
    if any(len(options) > 1 for _, options in strange):
        return None
    mended = list(words)
    for i, options in strange:
        mended[i] = replace(words[i], text=options[0][0])
    changed = [i for i, _ in strange]
    places = [
        i
        for i, word in enumerate(words)
        if SOUND_ALIKE.get(word.text)
        and i not in changed
        and not _next_in_turn(words, i)
        and not (word.capital and i and words[i - 1].text not in _SENTENCE_ENDS)
        and not (word.text in ("to", "for", "too") and i + 1 < len(words) and words[i + 1].text in ONWARD | _SHARED_BY)
    ]
    if not places or len(places) > MOST_REPAIRS or len(words) > LONG_PHRASE:
        return None
    for size in (1, 2):
        found: list[tuple[Reading, int]] = []
        for chosen in itertools.combinations(places, size):
            for meant in itertools.product(*[SOUND_ALIKE[words[i].text] for i in chosen]):
                other = list(mended)
                for i, text in zip(chosen, meant, strict=True):
                    other[i] = replace(words[i], text=text)
                reading = attempt(even_out(other) if changed else other, frozenset(), False)
                if reading is not None and any(_in_a_place_name(reading, other[i].text) for i in changed):
                    continue
                if reading is not None and not any(isinstance(one, back.Fragment) for one in reading.meanings):
                    lost = any((words[i].text in NUMBER_WORDS) != (other[i].text in NUMBER_WORDS) for i in chosen)
                    gone = any(words[i].text in NUMBER_WORDS and other[i].text not in NUMBER_WORDS for i in chosen)
                    if gone and all(isinstance(one, NotAReport) and one.why != "negation" for one in reading.meanings):
                        continue  # "we're for for dinner": with the number all that was said would be gone
                    repairs = tuple(Repair(words[i].text, other[i].text) for i in sorted((*chosen, *changed)))
                    doubtful = reading.confirm or lost or bool(changed)
                    _enter(found, replace(reading, repairs=repairs, confirm=doubtful), 1)
        if found:
            return _one_of(found)
    return None


def _one_of(found: list[tuple[Reading, int]]) -> Reading | None:
    """The one reading of those found; where several are as good, the likeliest: an answer harms nobody, anything else is asked about."""
    if not found:
        return None
    doubtful = False
    if len(found) > 1:
        firm = [
            pair for pair in found if not any(isinstance(one, back.Fragment | NotAReport) for one in pair[0].meanings)
        ]
        told = [pair for pair in firm if not any(isinstance(one, say.Ask) for one in pair[0].meanings)]
        firm = told if len(told) == 1 else firm
        done = [pair for pair in firm if not any(thing(one.taken) for one in pair[0].repairs)]
        firm = done if len(done) == 1 else firm
        asks = all(isinstance(one, say.Ask) for pair in found for one in pair[0].meanings)
        doubtful = len(firm) != 1 and not asks
        dropped = [_unlikely(pair[0]) for pair in found if pair not in firm]
        found = sorted(firm or found, key=lambda pair: _unlikely(pair[0]))
        # "2 peets aboard" are rather pets, and "woud you" is no wound
        doubtful = doubtful or (not asks and any(one <= _unlikely(found[0][0]) for one in dropped))
    reading, cost = found[0]
    guessed = any(isinstance(one, say.Use) and one.amount is None and one.before is None for one in reading.meanings)
    things = [one for one in reading.repairs if thing(one.taken)]
    # "drank two beers" might be beets: the thing and how much of it would be guesses; a "shoef" may be a shower as well as a shoe
    guessed = bool(things) and (guessed or any(far_candidates(one.heard) for one in things))
    far = cost >= FAR and any(big(one) for one in reading.meanings)
    if cost < FAR and all(isinstance(one, say.Ask) for one in reading.meanings):
        return replace(reading, confirm=False)  # an answer harms nobody
    return replace(reading, confirm=reading.confirm or doubtful or guessed or far)


def _unlikely(reading: Reading) -> tuple[bool, float]:
    """What a mended reading is ranked by: whether a word means nothing but a thing, or nothing at all, and how far off what was typed is;
    what this is all about, a tank or a shower, is a little likelier than other words."""
    idle = any(thing(one.taken) or says_nothing(one.taken) for one in reading.repairs)
    return idle, sum(unlike(one.heard, one.taken) - _LIKELIER * names_ours(one.taken) for one in reading.repairs)


_LIKELIER = 0.1


def _enter(found: list[tuple[Reading, int]], reading: Reading, cost: int) -> None:
    """Add a mended reading unless its meaning is there; of two that differ only in telling of something done, or in the word that was
    taken for another, the likelier one stays."""
    for place, (other, _) in enumerate(found):
        if _meaning(other) == _meaning(reading):
            done, their = ([getattr(one, "done", True) for one in each.meanings] for each in (reading, other))
            if done > their or (
                done == their and (reading.confirm, _unlikely(reading)) < (other.confirm, _unlikely(other))
            ):
                found[place] = (reading, cost)
            return
    found.append((reading, cost))


def _meaning(reading: Reading) -> tuple[Any, ...]:
    return tuple(_bare_meaning(one) for one in reading.meanings)


def _bare_meaning(value: Any) -> Any:
    """A meaning without the words that it came from."""
    if is_dataclass(value) and not isinstance(value, type):
        kept = [one.name for one in fields(value) if one.name not in ("text", "done")]
        return type(value).__name__, tuple((name, _bare_meaning(getattr(value, name))) for name in kept)
    return tuple(_bare_meaning(one) for one in value) if isinstance(value, tuple) else value
