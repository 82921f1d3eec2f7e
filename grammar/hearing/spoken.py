"""Words as they are spoken, put into the spelling of the vocabulary: "dumpin" for "dumping", "Rays" for "Ray's" where Ray is known.

May import: hear, numbers, repair, lexicon.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.hear import Word
from grammar.hearing.numbers import NUMBER_WORDS
from grammar.hearing.repair import candidates
from grammar.lexicon import Own, lexicon
from grammar.lightclass import replace

SHORTEST = 5  # letters: "basin" is a word, "goin" is mended as any other slip is


def as_spelled(words: Sequence[Word], own: Own) -> list[Word]:
    """The words with their endings written out, where the word as it stands is none of ours."""
    found: list[Word] = []
    for i, word in enumerate(words):
        before = found[-1] if found else None
        meant = _somebody_known(word, own)
        if meant is not None:
            found.append(replace(word, text=meant))
            continue
        apart = _run_together(words, i, own)
        if apart:
            found += apart
            continue
        if word.text == "'s" and before is not None and word.end - word.start == 1 and before.text.endswith("ing"):
            continue  # the apostrophe of "dumpin'" stands for the letter
        if word.kind != "word" or len(word.text) < SHORTEST - 1 or not word.text.endswith(("in", "s")):
            found.append(word)
        elif _drops_the_g(words, i, own):
            found.append(replace(word, text=word.text + "g"))
        elif _whose(words, i, own):
            cut = word.end - 1
            found += [replace(word, text=word.text[:-1], end=cut), Word("'s", cut, word.end)]
        else:
            found.append(word)
    return found


_JOINED = frozenset(
    (
        "the a an my our his her its their this that to at of in on for with and i we it is was are no not from by used use took did had "
        "has have half one two three four five six seven eight nine ten twelve about just some all both then now last till until gal gallon "
        "gallons litre litres quart quarts before after each per point and"
    ).split()
)
"""Little words that are often run together with the next."""
_LEAST_LETTERS = 2
_SURELY = 3
_ITS_OWN = frozenset("the my our his her".split())
_NAMED = ("ACT", "TANK", "METER", "TANKS")


def _somebody_known(word: Word, own: Own) -> str | None:
    """ "jooss", "Josss": somebody known to the log, with a letter too many or two that have changed places."""
    if word.kind != "word" or len(word.text) < SHORTEST - 1 or word.text in own.first or word.text in lexicon().single:
        return None
    if lexicon().ordinary(word.text) or (word.text,) in lexicon().spellings:
        return None
    cuts = range(1, len(word.text))
    fewer = {word.text[:i] + word.text[i + 1 :] for i in cuts}
    swapped = {
        word.text[:i] + word.text[i + 1] + word.text[i] + word.text[i + 2 :] for i in cuts if i + 1 < len(word.text)
    }
    near = [one for one in fewer | swapped if any(sense.cls == "PERSON" for sense in own.spellings.get((one,), ()))]
    return near[0] if len(near) == 1 else None


def _run_together(words: Sequence[Word], i: int, own: Own) -> list[Word]:
    """ "theshower", "dumpedgrey", "tooktwo": a word that is none of ours nor of English, made of two that are; empty if it is not.

    A word with a capital may be a name, unless it opens the phrase; so may one before a verb of the past ("tobin showered")."""
    word = words[i]
    known = word.text in own.first or word.text in lexicon().single or lexicon().frequent(word.text)
    if word.kind != "word" or len(word.text) < SHORTEST - 1 or known or (word.text,) in lexicon().spellings:
        return []
    if word.capital and i:
        return []
    if any(_written_once(word.text, meant) for meant, _ in candidates(word.text)):
        return []  # "galon" is a gallon
    done = i + 1 < len(words) and any(one.form == "past" for one in lexicon().spellings.get((words[i + 1].text,), ()))
    slip = done or any(cost == 1 for _, cost in candidates(word.text))
    measured = i + 1 < len(words) and any(
        one.cls == "UNIT" for one in lexicon().spellings.get((words[i + 1].text,), ())
    )
    best: tuple[int, int, str, str] | None = None
    for cut in range(1, len(word.text)):
        one, other = word.text[:cut], word.text[cut:]
        score = _two_words(one, other, own)
        if other == "a" and not measured:
            continue
        if one in _ITS_OWN and done and any(sense.cls in _NAMED for sense in lexicon().spellings.get((other,), ())):
            score = _SURELY  # "theshower used 2 gal"
        if (slip and score < _SURELY and not (other == "a" and not done)) or (
            len(word.text) < SHORTEST and score < _SURELY
        ):
            continue
        if score and (best is None or (score, len(one)) > best[:2]):
            best = (score, len(one), one, other)
    if best is None:
        return []
    middle = word.start + best[1]
    if word.end - word.start != len(word.text):
        middle = word.end
    return [replace(word, text=best[2], end=middle), replace(word, text=best[3], start=middle, capital=False)]


def _written_once(said: str, meant: str) -> bool:
    """Whether `said` is `meant` but for a letter that stands twice in it."""
    return any(meant[i] == meant[i - 1] and meant[:i] + meant[i + 1 :] == said for i in range(1, len(meant)))


def _two_words(one: str, other: str, own: Own) -> int:
    """How likely two words were run together: 3 if both are little words, 2 if one is, 1 if both are ours, 0 if they are not."""
    if other == "a":
        return 1 if (one,) in lexicon().spellings and len(one) > _LEAST_LETTERS else 0
    if min(len(one), len(other)) < _LEAST_LETTERS:
        return 0
    ours = [
        (word,) in lexicon().spellings or word in own.first or word in NUMBER_WORDS or word in _JOINED
        for word in (one, other)
    ]
    if not all(ours):
        return 0
    little = (one in _JOINED) + (other in _JOINED)
    return 1 + little if little else 1 if min(len(one), len(other)) > SHORTEST - 2 else 0


def _drops_the_g(words: Sequence[Word], i: int, own: Own) -> bool:
    """ "dumpin", "cleanin": the -ing form is ours, the word is not; before a verb of the past it may be a name ("dustin showered")."""
    word, spellings = words[i].text, lexicon().spellings
    if len(word) < SHORTEST or not word.endswith("in") or word in own.first or word in lexicon().single:
        return False
    if words[i].capital and i and words[i - 1].kind == "word":
        return False
    after = spellings.get((words[i + 1].text,), ()) if i + 1 < len(words) else ()
    if any(one.form == "past" for one in after):
        return False
    return word + "g" in lexicon().single or lexicon().ordinary(word + "g")


def _whose(words: Sequence[Word], i: int, own: Own) -> bool:
    """ "Rays shower", "thats tuckers": somebody known to the log, and no word of ours."""
    word = words[i].text
    if not word.endswith("s") or word in own.first or (word,) in lexicon().spellings:
        return False
    if i + 1 < len(words) and words[i + 1].text == "'s":
        return False
    senses = own.spellings.get((word[:-1],), ())
    return any(one.cls == "PERSON" for one in senses) or _somebodys(words, i)


# Given names that end in an s of their own, so that "Lars shower" is no shower of Lar.
_OWN_S = frozenset(
    (
        "agnes alexis amos anders andreas angus ares argus atlas avis boris brooks bas carlos chris christos claus columbus cornelis cornelius "
        "cosmas cris curtis cyrus damaris damocles dennis denis dimitris doris elias elis ennis eris ernests frances francis gladys glynis gus "
        "hans hannes hercules hollis ines inis iris isis jacobus janis jens jesus jonas joris jules julius julis justus kans kris klaas klaus "
        "kostas lars laurens lois lotus louis lous lucas lukas luis magnus mantas marcos marcus marius markus mathias mats mattias matthias "
        "mavis mays miles milos moses myles nicholas nicolas niklas nikolas nikos nils oles otis pavlos paris phyllis rasmus rhys rufus rupertus "
        "silas spyros stavros stelios tadas tess texas thaddeus thomas titus tobias tomas tonis travis venus wes willis yanis yannis yves zeus"
    ).split()
)
SHORTEST_NAME = 3


def _somebodys(words: Sequence[Word], i: int) -> bool:
    """ "Anas shower 2 gal", "dads bath": a strange word right before what he or she did, that is no other word and no name with its own s."""
    word = words[i].text
    base = word[:-1]
    if word.endswith("ss") or word in _OWN_S or len(base) < SHORTEST_NAME or i + 1 >= len(words):
        return False
    spellings, ordinary = lexicon().spellings, lexicon().ordinary
    known = any(one.cls in ("KIN", "NAMEWORD") for one in spellings.get((base,), ()))
    if not known and (ordinary(word) or ordinary(base) or (base,) in spellings):
        return False
    after = words[i + 1].text
    return any(one.cls == "ACT" and one.form == "noun" for one in spellings.get((after,), ()))
