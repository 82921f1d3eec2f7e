"""Misspelt words mended: a candidate is kept only if a whole reading follows from it, and only one meaning may follow.

May import: repair, tokens, intents, rejoinders, reading, lexicon.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence

from grammar import intents as say
from grammar import rejoinders as back
from grammar.hearing.hear import Word
from grammar.hearing.heard import even_out
from grammar.hearing.numbers import NUMBER_WORDS
from grammar.hearing.repair import SOUND_ALIKE, beside, candidates, far_candidates, near, slips, unlike
from grammar.hearing.sounds import ONWARD
from grammar.hearing.tokens import tokens
from grammar.intents import Intent, NotAReport
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
        if reading is None or _left_unused(reading, [mended[i].text for i in changed]):
            continue
        if kept and not _of_somebody(reading, [words[i] for i in kept]):
            continue
        repairs = tuple(Repair(words[i].text, mended[i].text) for i in changed)
        if any(_far_fetched(one) or _idle_guess(one) for one in repairs) or (
            far and any(_doubtful_with_two(one) for one in repairs)
        ):
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
    alike = () if named else tuple((one, 1) for one in SOUND_ALIKE.get(words[i].text, ()))
    spelled = () if _well_spelled(words[i].text) else _meant(words, i)
    found = (*alike, *[pair for pair in spelled if pair[0] not in SOUND_ALIKE.get(words[i].text, ())])
    if not far or named or _well_spelled(words[i].text):
        return found
    told = {text for text, _ in found}
    return (*found, *[(one, 2) for one in far_candidates(words[i].text)[:MOST_FAR] if one not in told])


_SHORT_WORD = 5


def _far_fetched(one: Repair) -> bool:
    """ "threw" is hardly "three", nor "Tove" a tote: a short word with a letter that neither the finger nor the ear takes for the other."""
    if one.taken in NUMBER_WORDS and one.taken not in slips(one.heard):
        return not _by_the_finger(one)
    if len(one.heard) != len(one.taken) or len(one.heard) > _SHORT_WORD or one.taken in SOUND_ALIKE.get(one.heard, ()):
        return False
    wrong = [pair for pair in zip(one.heard, one.taken, strict=True) if pair[0] != pair[1]]
    return len(wrong) == 1 and not near(*wrong[0])


def _idle_guess(one: Repair) -> bool:
    """Whether a word was taken for one that says nothing where it may well say something: "sven" may be "even" but is rather a name,
    "12 gal a fime" may be "fine" as well as "time"."""
    if not _says_nothing(one.taken):
        return False
    others = [meant for meant, cost in candidates(one.heard) if cost == 1 and not _says_nothing(meant)]
    near = unlike(one.heard, one.taken)
    return len(one.heard) <= SHORT or any(unlike(one.heard, meant) <= near for meant in others)


_SURE_WITH_TWO = 1.7


def _doubtful_with_two(one: Repair) -> bool:
    """Whether a word with two wrong letters may well be another: a letter of it is no slip of the finger, a word one letter away made no
    sense ("shold" is no "showed"), or it was taken for one that says nothing."""
    if one.taken not in far_candidates(one.heard):
        return False
    return unlike(one.heard, one.taken) > _SURE_WITH_TWO or bool(candidates(one.heard)) or _says_nothing(one.taken)


def _by_the_finger(one: Repair) -> bool:
    """ "sevenn", "thdee": a letter typed twice, or in a longer word the key beside it, makes no other word of a number."""
    doubled = any(
        one.heard[i] == one.heard[i - 1] and one.heard[:i] + one.heard[i + 1 :] == one.taken
        for i in range(1, len(one.heard))
    )
    if doubled or len(one.heard) != len(one.taken) or len(one.heard) < _SHORT_WORD:
        return doubled
    wrong = [pair for pair in zip(one.heard, one.taken, strict=True) if pair[0] != pair[1]]
    return len(wrong) == 1 and beside(*wrong[0])


def _left_unused(reading: Reading, taken: Sequence[str]) -> bool:
    """ "shower 2 gal, tove": what a word was mended to is nothing that the reading tells of, no more than a stove is."""
    told = {one.activity for one in reading.meanings if isinstance(one, say.Use)}
    things = [one.value for word in taken if _thing(word) for one in lexicon().spellings.get((word,), ())]
    return bool(told) and any(value not in told for value in things)


def _well_spelled(word: str) -> bool:
    """Whether a word is one of English, or stands in a spelling of several of ours ("threw together"): no slip for another."""
    return word in lexicon().english or word in lexicon().single or word in NUMBER_WORDS


def _of_somebody(reading: Reading, kept: Sequence[Word]) -> bool:
    """Whether a reading in which words were left as the names of people tells of something done; "Showr used 2 gal" is about nobody."""
    if any(isinstance(one, say.Ask | back.Fragment | NotAReport) for one in reading.meanings):
        return False
    if all(isinstance(one, say.Use) and one.activity is None for one in reading.meanings):
        return not any(
            _names_ours(pair[0]) for word in kept for pair in candidates(word.text) if pair[0] in slips(word.text)
        )
    return True


def _names_ours(word: str) -> bool:
    """Whether a word names what a use or a level is told of: an activity, a tank, the meter."""
    spellings = lexicon().spellings.get((word,), ())
    return any(one.cls in ("ACT", "TANK", "METER") and one.form != "thing" for one in spellings)


def _may_be_name(word: Word) -> bool:
    """Whether an unknown word with a capital is rather a name than a slip: none that is long and one letter away, and no day."""
    if not word.capital or not word.text.isalpha() or len(word.text) < 2:
        return False
    return not near_ours(word.text)


def near_ours(word: str) -> bool:
    """Whether a strange word is long and one letter away from a word of ours ("outsdie"), or from a day ("todya"): rather a slip than a name."""
    near = [meant for meant, cost in candidates(word) if cost == 1]
    if len(word) <= SHORT:
        return False
    dated = any(one.cls in ("DAY", "WEEKDAY") for meant in near for one in lexicon().spellings.get((meant,), ()))
    return dated or (bool(near) and len(word) > LONGEST_NAME)


LONGEST_NAME = 5


def _meant(words: Sequence[Word], i: int) -> tuple[tuple[str, int], ...]:
    """What word `i` may be a misspelling of: before a verb of the past stands whoever did it, and no word of correction ("Walt used 2 gal")."""
    found = candidates(words[i].text)
    if words[i].capital and i and words[i - 1].text not in _SENTENCE_ENDS:
        found = tuple(pair for pair in found if not _thing(pair[0]))  # "Ana showered, Milo too": a name, no miso
    if words[i].capital:
        found = tuple(pair for pair in found if not _says_nothing(pair[0]))  # "Sven: shower 2 gal" is not even a shower
    if len(words[i].text) <= SHORT:  # "theo" is no "then" and no "they", "Walt" no "wait"
        found = tuple(
            pair
            for pair in found
            if pair[0] in slips(words[i].text)
            or _by_one_key(words[i].text, pair[0])
            or not (_turning(pair[0]) or _others(pair[0]))
        )
    if _past_follows(words, i):
        long = len(words[i].text) > SHORT
        found = tuple(
            pair for pair in found if not _thing(pair[0]) and (not _turning(pair[0]) or (long and _denying(pair[0])))
        )
        if len(words[i].text) <= SHORT:
            found = tuple(pair for pair in found if not _part_of_day(pair[0]))  # "Noor brewed coffee", not at noon
        if not found or not (near_ours(words[i].text) or may_turn(words[i].text)):
            found = (*found, (words[i].text, 0))  # "joss just did the dshes"
    return ((words[i].text, 0), *found) if _may_be_name(words[i]) and found[:1] != ((words[i].text, 0),) else found


def _by_one_key(heard: str, taken: str) -> bool:
    """Whether the key beside the right one was hit, once ("uhdo")."""
    wrong = [pair for pair in zip(heard, taken, strict=False) if pair[0] != pair[1]]
    return len(heard) == len(taken) and len(wrong) == 1 and beside(*wrong[0])


def _past_follows(words: Sequence[Word], i: int) -> bool:
    """Whether a verb of the past comes next, perhaps misspelt."""
    at = next((n for n in range(i + 1, len(words)) if words[n].text not in _BEFORE_VERBS), len(words))
    if at == len(words):
        return False
    spellings, after = lexicon().spellings, words[at].text
    meant = [after] if (after,) in spellings else [one for one, cost in candidates(after) if cost == 1]
    return any(sense.form == "past" for one in meant for sense in spellings.get((one,), ()))


_BEFORE_VERBS = frozenset(("just", "also", "already", "then"))


def may_turn(word: str) -> bool:
    """Whether a strange word may be one, misspelt, that makes something else of a report ("almowt dumped", "shuold have")."""
    told = lexicon().spellings
    return any(
        len(meant) > SHORT and unlike(word, meant) <= _SURE_WITH_TWO and one.cls in _UNSAYS
        for meant in (*[meant for meant, _ in candidates(word)], *far_candidates(word))
        for one in told.get((meant,), ())
    )


def may_be_slip(word: str) -> bool:
    """Whether a strange word is like one of ours, and none of English: not to be passed over before it was tried to mend it."""
    return not _well_spelled(word) and bool(candidates(word) or far_candidates(word))


_UNSAYS = frozenset("NEG NEARLY FUTURE IF HABIT OTHER REPORTED WITHOUT INSTEAD".split())


def _turning(word: str) -> bool:
    """Whether a word turns what follows into something else than a report."""
    return any(one.cls in _TURNING for one in lexicon().spellings.get((word,), ()))


def _denying(word: str) -> bool:
    """ "nobosy did the dishes": nobody did."""
    return any(one.cls == "NEG" for one in lexicon().spellings.get((word,), ()))


def _others(word: str) -> bool:
    """Whether a word makes a phrase speak of somebody else's water."""
    return any(one.cls in ("OTHER", "ELSEWHERE") for one in lexicon().spellings.get((word,), ()))


def _part_of_day(word: str) -> bool:
    senses = lexicon().spellings.get((word,), ())
    return any(one.cls in ("PART", "CLOCK") for one in senses)


SHORT = 4


def _says_nothing(word: str) -> bool:
    """Whether a word is passed over wherever it stands."""
    senses = lexicon().spellings.get((word,), ())
    return bool(senses) and all(one.cls in ("FILLER", "ADJ") for one in senses)


_SENTENCE_ENDS = frozenset((".", "!", "?", '"'))
_TURNING = frozenset(
    "AMEND FIX UNDO NO YES CANCEL AGAIN IF NEXTSTOP FUTURE NEG HABIT REMARK OTHER REPORTED ONE".split()
)


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
                if reading is not None and not any(isinstance(one, back.Fragment) for one in reading.meanings):
                    lost = any((words[i].text in NUMBER_WORDS) != (other[i].text in NUMBER_WORDS) for i in chosen)
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
        done = [pair for pair in firm if not any(_thing(one.taken) for one in pair[0].repairs)]
        firm = done if len(done) == 1 else firm
        asks = all(isinstance(one, say.Ask) for pair in found for one in pair[0].meanings)
        doubtful = len(firm) != 1 and not asks
        likeliest = min(_unlikely(pair[0]) for pair in found)
        found = sorted(firm or found, key=lambda pair: _unlikely(pair[0]))
        doubtful = doubtful or (not asks and _unlikely(found[0][0]) > likeliest)  # "2 peets aboard" are rather pets
    reading, cost = found[0]
    guessed = any(isinstance(one, say.Use) and one.amount is None and one.before is None for one in reading.meanings)
    things = [one for one in reading.repairs if _thing(one.taken)]
    # "drank two beers" might be beets: the thing and how much of it would be guesses; a "shoef" may be a shower as well as a shoe
    guessed = bool(things) and (guessed or any(far_candidates(one.heard) for one in things))
    far = cost >= FAR and any(big(one) for one in reading.meanings)
    if cost < FAR and all(isinstance(one, say.Ask) for one in reading.meanings):
        return replace(reading, confirm=False)  # an answer harms nobody
    return replace(reading, confirm=reading.confirm or doubtful or guessed or far)


def _unlikely(reading: Reading) -> tuple[bool, float]:
    """What a mended reading is ranked by: whether a word means nothing but a thing, or nothing at all, and how far off what was typed is;
    what this is all about, a tank or a shower, is a little likelier than other words."""
    idle = any(_thing(one.taken) or _says_nothing(one.taken) for one in reading.repairs)
    return idle, sum(unlike(one.heard, one.taken) - _LIKELIER * _names_ours(one.taken) for one in reading.repairs)


_LIKELIER = 0.1


def _thing(word: str) -> bool:
    """Whether a word names only what is washed or cooked: less likely said alone than the activity itself."""
    senses = lexicon().spellings.get((word,), ())
    return bool(senses) and all(one.cls == "ACT" and one.form == "thing" for one in senses)


def big(meaning: Intent) -> bool:
    """Whether a mistaken record of this would change much."""
    return isinstance(
        meaning, say.Dump | say.Haul | say.ResetMeter | say.Fill | say.SetTank | say.SetRig | say.Arrive | say.Depart
    )


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
