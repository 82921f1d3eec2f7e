"""Typing noise: a word of a phrase with one wrong letter, or a longer one with two. Seeded, so that a phrase and a seed give one.

Honest in this sense: a person who reads the mistyped phrase sees what was meant. So the word is one that the program or English knows, no
name; a short word gets one slip at most; and what comes of it is no other word ("dump" never becomes "damp"), since nobody could see that.
The shares of the slips are guesses, no source: neighbouring keys twice as often as each of the others.
"""

from __future__ import annotations

import json
import random
import re
from typing import Any

from grammar.hearing.numbers import NUMBER_WORDS
from grammar.lexicon import lexicon
from tests.noise import fair

Case = dict[str, Any]

KEYS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
SLIPS = ("missing", "doubled", "swapped", "neighbour", "neighbour", "wrong")
LETTERS = "abcdefghijklmnopqrstuvwxyz"
SHORTEST, SHORTEST_WITH_TWO = 4, 6  # letters
TRIES = 20


def neighbours(letter: str) -> str:
    """The keys around a key."""
    places = {one: (row, col + row / 2) for row, keys in enumerate(KEYS) for col, one in enumerate(keys)}
    row, col = places[letter]
    return "".join(one for one, (r, c) in places.items() if one != letter and abs(r - row) <= 1 and abs(c - col) <= 1)


def slipped(word: str, chance: random.Random) -> str:
    """A word with one slip; the first letter is seldom the wrong one."""
    at = chance.randrange(len(word)) if chance.random() < 0.2 else chance.randrange(1, len(word))
    kind, letter = chance.choice(SLIPS), word[at].lower()
    if kind == "missing":
        return word[:at] + word[at + 1 :]
    if kind == "doubled":
        return word[:at] + word[at] + word[at:]
    if kind == "swapped":
        at = min(at, len(word) - 2)
        return word[:at] + word[at + 1] + word[at] + word[at + 2 :]
    return word[:at] + chance.choice(neighbours(letter) if kind == "neighbour" else LETTERS) + word[at + 1 :]


def known(word: str) -> bool:
    return word in lexicon().single or lexicon().frequent(word) or word in NUMBER_WORDS


def mistyped(case: Case, seed: int, slips: int = 1) -> str | None:
    """The phrase of a case with one word mistyped; None where no word is fit for it, or the phrase has slips of its own."""
    if not fair(case) or "typo" in case["tags"]:
        return None
    chance = random.Random(f"{seed}/{case['id']}/{slips}")
    words = case["say"].split(" ")
    kept = json.dumps(case["expect"]).casefold()  # the names of people and sites are told there
    shortest = SHORTEST if slips == 1 else SHORTEST_WITH_TWO
    fit = [
        place
        for place, word in enumerate(words)
        if word.isascii() and word.isalpha() and len(word) >= shortest and word[1:].islower() and known(word.lower())
        if place == 0 or word.islower()
        if not re.search(rf'"[^"]*\b{word.casefold()}\b[^"]*"', kept) or (word.casefold(),) in lexicon().spellings
    ]
    for _ in range(TRIES if fit else 0):
        place = chance.choice(fit)
        word = words[place]
        for _ in range(slips):
            word = slipped(word, chance)
        if word.lower() != words[place].lower() and not known(word.lower()):
            return " ".join([*words[:place], word, *words[place + 1 :]])
    return None
