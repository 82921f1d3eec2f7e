"""What may be a slip of the finger and what is rather something else: judged of one word, by what was typed and what it was taken for.

May import: intents, lexicon, numbers, repair, reading.
"""

from __future__ import annotations

from grammar import intents as say
from grammar.hearing.numbers import NUMBER_WORDS
from grammar.hearing.repair import SOUND_ALIKE, beside, candidates, far_candidates, near, slips, unlike
from grammar.intents import Intent
from grammar.lexicon import lexicon
from grammar.reading import Repair

_SHORT_WORD = 5
SHORT = 4
LONGEST_NAME = 5
_SURE_WITH_TWO, _LONG_AND_UNLIKE = 1.7, 2.0
_UNSAYS = frozenset("NEG NEARLY FUTURE IF HABIT OTHER REPORTED WITHOUT INSTEAD".split())
_THEIRS = frozenset(("their", "theirs"))
_TURNING = frozenset(
    "AMEND FIX UNDO NO YES CANCEL AGAIN IF NEXTSTOP FUTURE NEG HABIT REMARK OTHER REPORTED ONE".split()
)


def far_fetched(one: Repair) -> bool:
    """ "threw" is hardly "three", nor "Tove" a tote: a short word with a letter that neither the finger nor the ear takes for the other."""
    if one.taken in NUMBER_WORDS and one.taken not in slips(one.heard):
        return not _by_the_finger(one)
    if len(one.heard) != len(one.taken) or len(one.heard) > _SHORT_WORD or one.taken in SOUND_ALIKE.get(one.heard, ()):
        return False
    wrong = [pair for pair in zip(one.heard, one.taken, strict=True) if pair[0] != pair[1]]
    return len(wrong) == 1 and not near(*wrong[0])


_MUCH = 0.3


def rather_another(one: Repair) -> bool:
    """Whether a word was mended to one though another was much likelier, and made no sense ("two weesk of socks" are no wees), or to one of
    no tank and no use, by no slip of the finger, where one of these is nearly as likely ("shoare" may be "share", and "shower")."""
    weighs = unlike(one.heard, one.taken)
    if any(unlike(one.heard, meant) < weighs - _MUCH for meant, _ in candidates(one.heard)):
        return True
    if weighs < 1 or names_ours(one.taken):
        return False
    return any(names_ours(meant) and unlike(one.heard, meant) < weighs + 1 for meant in far_candidates(one.heard))


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


def by_one_key(heard: str, taken: str) -> bool:
    """Whether the key beside the right one was hit, once ("uhdo")."""
    wrong = [pair for pair in zip(heard, taken, strict=False) if pair[0] != pair[1]]
    return len(heard) == len(taken) and len(wrong) == 1 and beside(*wrong[0])


def idle_guess(one: Repair) -> bool:
    """Whether a word was taken for one that says nothing where it may well say something: "sven" may be "even" but is rather a name,
    "12 gal a fime" may be "fine" as well as "time"."""
    if not says_nothing(one.taken):
        return False
    others = [meant for meant, cost in candidates(one.heard) if cost == 1 and not says_nothing(meant)]
    near = unlike(one.heard, one.taken)
    return len(one.heard) <= SHORT or any(unlike(one.heard, meant) <= near for meant in others)


def doubtful_with_two(one: Repair) -> bool:
    """Whether a word with two wrong letters may well be another: a letter of it is no slip of the finger, a word one letter away made no
    sense ("shold" is no "showed"), it was taken for one that says nothing, or it is so short that two are much of it ("ckoed" may be cooked
    and closed)."""
    costs = dict(candidates(one.heard))
    if costs.get(one.taken) == 1:
        return False
    dated = costs.get(one.taken) == 2 and any(map(_vowel, one.heard)) and of_a_day(one.taken)
    if not dated and one.taken not in far_candidates(one.heard):
        return False
    weighs = unlike(one.heard, one.taken)
    short = len(one.heard) <= LONGEST_NAME
    return short or weighs > _SURE_WITH_TWO or 1 in costs.values() or says_nothing(one.taken)


def _vowel(letter: str) -> bool:
    return letter in "aeiou"


def may_turn(word: str) -> bool:
    """Whether a strange word may be one, misspelt, that makes something else of a report ("almowt dumped", "shuold have")."""
    told = lexicon().spellings
    most = _SURE_WITH_TWO if len(word) <= LONGEST_NAME else _LONG_AND_UNLIKE
    return any(
        len(meant) > SHORT and unlike(word, meant) <= most and one.cls in _UNSAYS
        for meant in (*[meant for meant, _ in candidates(word)], *far_candidates(word))
        for one in told.get((meant,), ())
    ) or any(meant in _THEIRS for meant, _ in candidates(word))


def may_be_slip(word: str) -> bool:
    """Whether a strange word is like one of ours, and none of English: not to be passed over before it was tried to mend it."""
    return not well_spelled(word) and bool(candidates(word) or far_candidates(word))


def surely_ours(word: str) -> bool:
    """Whether a word is none of English and so like one of ours that it may not be passed over ("the kids join us gomorrwo")."""
    meant = [one for one in (*[one for one, _ in candidates(word)], *far_candidates(word)) if not says_nothing(one)]
    return not lexicon().ordinary(word) and any(unlike(word, one) < _LONG_AND_UNLIKE for one in meant)


def near_ours(word: str) -> bool:
    """Whether a strange word is long and one letter away from a word of ours ("outsdie"), or from a day ("todya"): rather a slip than a name."""
    near = [meant for meant, cost in candidates(word) if cost == 1]
    if len(word) <= SHORT:
        return False
    return any(map(of_a_day, near)) or (bool(near) and len(word) > LONGEST_NAME)


def of_a_day(word: str) -> bool:
    """Whether a word is a day, or may be one."""
    return any(one.cls in ("DAY", "WEEKDAY") for one in lexicon().spellings.get((word,), ()))


def loses_a_day(heard: str, taken: str) -> bool:
    """ "friday to ugday": what may well be a day, taken for a word that says nothing of one."""
    return heard.endswith("day") and says_nothing(taken)


def well_spelled(word: str) -> bool:
    """Whether a word is one of English, or stands in a spelling of several of ours ("threw together"): no slip for another."""
    return lexicon().frequent(word) or word in lexicon().single or word in NUMBER_WORDS


def thing(word: str) -> bool:
    """Whether a word names only what is washed or cooked: less likely said alone than the activity itself."""
    senses = lexicon().spellings.get((word,), ())
    return bool(senses) and all(one.cls == "ACT" and one.form == "thing" for one in senses)


def names_ours(word: str) -> bool:
    """Whether a word names what a use or a level is told of: an activity, a tank, the meter."""
    spellings = lexicon().spellings.get((word,), ())
    return any(one.cls in ("ACT", "TANK", "METER") and one.form != "thing" for one in spellings)


def says_nothing(word: str) -> bool:
    """Whether a word is passed over wherever it stands."""
    senses = lexicon().spellings.get((word,), ())
    return bool(senses) and all(one.cls in ("FILLER", "ADJ") for one in senses)


def turning(word: str) -> bool:
    """Whether a word turns what follows into something else than a report."""
    return any(one.cls in _TURNING for one in lexicon().spellings.get((word,), ()))


def denying(word: str) -> bool:
    """ "nobosy did the dishes": nobody did."""
    return any(one.cls == "NEG" for one in lexicon().spellings.get((word,), ()))


def others(word: str) -> bool:
    """Whether a word makes a phrase speak of somebody else's water."""
    return any(one.cls in ("OTHER", "ELSEWHERE") for one in lexicon().spellings.get((word,), ()))


def part_of_day(word: str) -> bool:
    senses = lexicon().spellings.get((word,), ())
    return any(one.cls in ("PART", "CLOCK") for one in senses)


def big(meaning: Intent) -> bool:
    """Whether a mistaken record of this would change much."""
    return isinstance(
        meaning, say.Dump | say.Haul | say.ResetMeter | say.Fill | say.SetTank | say.SetRig | say.Arrive | say.Depart
    )
