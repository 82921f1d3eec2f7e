"""Words as they are spoken, put into the spelling of the vocabulary: "dumpin" for "dumping", "Rays" for "Ray's" where Ray is known.

May import: hear, lexicon.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.hear import Word
from grammar.lexicon import Own, lexicon
from grammar.lightclass import replace

SHORTEST = 5  # letters: "basin" is a word, "goin" is mended as any other slip is


def as_spelled(words: Sequence[Word], own: Own) -> list[Word]:
    """The words with their endings written out, where the word as it stands is none of ours."""
    found: list[Word] = []
    for i, word in enumerate(words):
        before = found[-1] if found else None
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
    return word + "g" in lexicon().single or word + "g" in lexicon().english


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
    spellings, english = lexicon().spellings, lexicon().english
    known = any(one.cls in ("KIN", "NAMEWORD") for one in spellings.get((base,), ()))
    if not known and (word in english or base in english or (base,) in spellings):
        return False
    after = words[i + 1].text
    return any(one.cls == "ACT" and one.form == "noun" for one in spellings.get((after,), ()))
