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
from grammar.hearing.repair import SOUND_ALIKE, candidates, slips
from grammar.hearing.sounds import ONWARD
from grammar.hearing.tokens import tokens
from grammar.intents import Intent, NotAReport
from grammar.lexicon import Own, lexicon
from grammar.lightclass import Any, fields, is_dataclass, replace
from grammar.reading import NotUnderstood, Reading, Repair

MOST_REPAIRS, MOST_TRIES, LONG_PHRASE = 4, 24, 60
Attempt = Callable[[Sequence[Word], frozenset[str], bool], "Reading | None"]
"""Reads words; of which those were mended; and whether unknown words among them may be names."""


def repaired(words: Sequence[Word], own: Own, attempt: Attempt) -> Reading | NotUnderstood | None:
    """The reading after mending unknown words; a question back where two meanings could follow; None where none does."""
    toks = tokens(words, lexicon(), own)
    strange = {tok.text for tok in toks if not tok.known and tok.text.isalpha()}
    places = [(i, options) for i, word in enumerate(words) if word.text in strange and (options := _options(words, i))]
    if len(places) > MOST_REPAIRS:
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
        if any(_far_fetched(one) for one in repairs):
            reading = replace(reading, confirm=True)
        if kept:
            return replace(reading, repairs=repairs)
        _enter(found, replace(reading, repairs=repairs), max(cost for _, cost in choice))
    return _one_of(found) or _sounding_alike(words, attempt, places)


Options = tuple[tuple[str, int], ...]


def _options(words: Sequence[Word], i: int) -> Options:
    """What a strange word may stand for: what sounds like it, and, unless it is a word of English, what is spelled like it.
    "fifths" without its number is no slip for "fifth"."""
    named = words[i].capital and i and words[i - 1].text not in _SENTENCE_ENDS  # "at Pine Hollow" is at no pint
    alike = () if named else tuple((one, 1) for one in SOUND_ALIKE.get(words[i].text, ()))
    spelled = () if _well_spelled(words[i].text) else _meant(words, i)
    return (*alike, *[pair for pair in spelled if pair[0] not in SOUND_ALIKE.get(words[i].text, ())])


_KEYS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_SPELLED_ALIKE = ("aeiouy", "ck", "sc", "sz", "fv", "mn", "td", "bp", "gj", "vw", "uw", "hk", "iy", "lr")
_SHORT_WORD = 5


def _far_fetched(one: Repair) -> bool:
    """ "threw" is hardly "three", nor "Tove" a tote: a short word with a letter that neither the finger nor the ear takes for the other."""
    if one.taken in NUMBER_WORDS and one.taken not in slips(one.heard):
        return True
    if len(one.heard) != len(one.taken) or len(one.heard) > _SHORT_WORD or one.taken in SOUND_ALIKE.get(one.heard, ()):
        return False
    wrong = [pair for pair in zip(one.heard, one.taken, strict=True) if pair[0] != pair[1]]
    return len(wrong) == 1 and not _near(*wrong[0])


def _near(one: str, other: str) -> bool:
    """Whether two letters lie side by side on the keys, or sound alike."""
    if any(one in alike and other in alike for alike in _SPELLED_ALIKE):
        return True
    places = {
        letter: (row, column + row / 2) for row, letters in enumerate(_KEYS) for column, letter in enumerate(letters)
    }
    if one not in places or other not in places:
        return False
    (row, column), (other_row, other_column) = places[one], places[other]
    return abs(row - other_row) <= 1 and abs(column - other_column) <= 1


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
    if any(isinstance(one, say.Ask | back.Fragment) for one in reading.meanings):
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
    voiced = not set("aeiouy").isdisjoint(words[i].text)
    if words[i].capital or (len(words[i].text) <= SHORT and voiced):
        found = tuple(pair for pair in found if not _says_nothing(pair[0]))  # "Sven: shower 2 gal" is not even a shower
    if len(words[i].text) <= SHORT:  # "theo" is no "then", "Walt" no "wait"
        found = tuple(pair for pair in found if pair[0] in slips(words[i].text) or not _turning(pair[0]))
    if len(words[i].text) <= SHORT:  # "theo" is no "they"
        found = tuple(pair for pair in found if pair[0] in slips(words[i].text) or not _others(pair[0]))
    if _past_follows(words, i):
        long = len(words[i].text) > SHORT
        found = tuple(
            pair for pair in found if not _thing(pair[0]) and (not _turning(pair[0]) or (long and _denying(pair[0])))
        )
        if len(words[i].text) <= SHORT:
            found = tuple(pair for pair in found if not _part_of_day(pair[0]))  # "Noor brewed coffee", not at noon
        found = found or ((words[i].text, 0),)
    return ((words[i].text, 0), *found) if _may_be_name(words[i]) and found[:1] != ((words[i].text, 0),) else found


def _past_follows(words: Sequence[Word], i: int) -> bool:
    """Whether a verb of the past comes next, perhaps misspelt."""
    if i + 1 >= len(words):
        return False
    spellings, after = lexicon().spellings, words[i + 1].text
    meant = [after] if (after,) in spellings else [one for one, cost in candidates(after) if cost == 1]
    return any(sense.form == "past" for one in meant for sense in spellings.get((one,), ()))


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


def _sounding_alike(
    words: Sequence[Word], attempt: Attempt, strange: Sequence[tuple[int, Options]]
) -> Reading | NotUnderstood | None:
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


def _one_of(found: list[tuple[Reading, int]]) -> Reading | NotUnderstood | None:
    if len(found) > 1:
        firm = [
            pair for pair in found if not any(isinstance(one, back.Fragment | NotAReport) for one in pair[0].meanings)
        ]
        told = [pair for pair in firm if not any(isinstance(one, say.Ask) for one in pair[0].meanings)]
        firm = told if len(told) == 1 else firm
        done = [pair for pair in firm if not any(_thing(one.taken) for one in pair[0].repairs)]
        firm = done if len(done) == 1 else firm
        if len(firm) != 1:
            options = " or ".join(f'"{pair[0].as_read}"' for pair in found[:3])
            return NotUnderstood(
                "two-readings", f"That could be {options}, so nothing was recorded.", hint=found[0][0].as_read
            )
        found = firm
    if not found:
        return None
    reading, cost = found[0]
    guessed = any(isinstance(one, say.Use) and one.amount is None and one.before is None for one in reading.meanings)
    if guessed and any(_thing(one.taken) for one in reading.repairs):
        reading = replace(
            reading, confirm=True
        )  # "drank two beers" might be beets: the thing and how much of it would be guesses
    return replace(reading, confirm=reading.confirm or (cost > 1 and any(big(one) for one in reading.meanings)))


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
    """Add a mended reading unless its meaning is there; of two that differ only in telling of something done, that one stays."""
    for place, (other, _) in enumerate(found):
        if _meaning(other) == _meaning(reading):
            if all(getattr(one, "done", True) for one in reading.meanings):
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
