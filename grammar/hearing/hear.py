"""Text into words with their places: case, apostrophes, fractions and run-together numbers evened out; nothing understood yet.

Every word keeps its place in the original text, so that what was not understood can be shown. Never raises.
May import: the standard library only.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache

from grammar.lightclass import dataclass, replace

LONGEST = 4000


@dataclass(frozen=True)
class Word:
    """A word as heard. `kind`: `word`, `number` (digits; `value` holds it), `clock` ("19:15"), `date` (ISO), `mark` (punctuation)."""

    text: str
    start: int
    end: int
    kind: str = "word"
    value: float | tuple[int, ...] | None = None
    capital: bool = False

    def __init__(
        self, text: str, start: int, end: int, kind: str = "word", value: float | tuple[int, ...] | None = None,
        capital: bool = False,
    ) -> None:  # written out: a phrase makes many of them  # fmt: skip
        own = self.__dict__
        own["text"], own["start"], own["end"] = text, start, end
        own["kind"], own["value"], own["capital"] = kind, value, capital


_FRACTIONS = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅕": "1/5",
}
_QUOTES = str.maketrans(
    {"’": "'", "‘": "'", "ʼ": "'", "`": "'", "“": '"', "”": '"', "–": "-", "—": ";", "−": "-", "…": "."}
)

_PIECES = r"""
    (?P<vulgar>[½¼¾⅓⅔⅛⅜⅝⅞⅕])
  | (?P<date>\d{4}-\d{1,2}-\d{1,2})(?![\d-])
  | (?P<clock>\d{1,2}:\d{2}(?!\d))
  | (?P<mixed>\d+(?:\s+|-)\d{1,2}/\d{1,2}(?:(?:ths?|rds?|nds?)\b)?(?![\d/]))
  | (?P<fraction>\d{1,3}/\d{1,3}(?:(?:ths?|rds?|nds?)\b)?(?![\d/]))
  | (?P<number>(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:[.,]\d+)?|[.]\d+))
  | (?P<halfday>(?<![^\W_])[apAP]\.\s?[mM]\b(?:\.(?!\s+[A-Z]))?)
  | (?P<without>\bw/o\b)
  | (?P<numberof>\#\s?(?=of\b))
  | (?P<with>\bw/\s?)
  | (?P<word>[^\W\d_]+(?:'[^\W\d_]+)*'?(?:-(?=[^\W\d_]))?)
  | (?P<arrow>-+>|=+>|→)
  | (?P<degree>°\s?(?=[CFcf]\b))
  | (?P<joint>(?<=\d)-(?=[^\W\d_]))
  | (?P<per>/\s?(?=(?:min|sec|hour|hr|day|m|s|h|d)\b))
  | (?P<mark>[,.;:!?()"%+=*×@&°#/-])
  | (?P<other>\S)
"""

# Written with or without the apostrophe. "were", "well", "its", "shed" are words of their own and are left alone.
_NOT = ("did does do have has had was were is are would could should wo ca ai must need").split()
CONTRACTIONS: dict[str, str] = {
    "i'm": "i am", "im": "i am", "i've": "i have", "ive": "i have", "i'll": "i will", "i'd": "i would",
    "we're": "we are", "we've": "we have", "weve": "we have", "we'll": "we will", "we'd": "we would",
    "you're": "you are", "you've": "you have", "you'll": "you will", "they're": "they are", "they've": "they have",
    "they'll": "they will", "he's": "he is", "she's": "she is", "it's": "it is", "that's": "that is", "thats": "that is",
    "there's": "there is", "theres": "there is", "there're": "there are", "there'll": "there will", "there'd": "there would", "here's": "here is",
    "what's": "what is", "whats": "what is", "who's": "who is", "who'd": "who would", "whos": "who is",
    "where's": "where is", "when's": "when is", "whens": "when is", "wheres": "where is",
    "how's": "how is", "hows": "how is", "why's": "why is", "let's": "let us",
    "lets": "let us", "it'll": "it will", "that'll": "that will", "gonna": "going to", "gotta": "have to", "wanna": "want to",
    "gimme": "give me", "outta": "out of", "lemme": "let me", "dunno": "do not know",
    "cannot": "can not", "he'll": "he will", "she'll": "she will", "shan't": "shall not", "o'clock": "o'clock", "oclock": "o'clock",
    "shoulda": "should have", "coulda": "could have", "woulda": "would have", "mighta": "might have", "musta": "must have",
    "em": "them", "'em": "them", "everybody's": "everybody is", "everything's": "everything is", "must've": "must have", "mustve": "must have",
    "should've": "should have", "shouldve": "should have", "could've": "could have", "would've": "would have", "might've": "might have",
    "this'll": "this will", "when'd": "when did", "where'd": "where did", "why'd": "why did",
    "what've": "what have", "d'you": "do you", "d'ya": "do you", "d'ye": "do you", "whatever's": "what is",
     "where've": "where have", "how've": "how have", "who've": "who have", "how'd": "how did", "what're": "what are",
    "how're": "how are", "where're": "where are", "what'll": "what will", "how'll": "how will", "when'll": "when will",
    "nobody's": "nobody is", "everyone's": "everyone is", "y'all": "you", "howmuch": "how much",
    "howmany": "how many", "howlong": "how long", "howfull": "how full", "whatabout": "what about", "makeit": "make it",
}  # fmt: skip
for _verb in _NOT:
    _full = {"wo": "will", "ca": "can", "ai": "is"}.get(_verb, _verb)
    CONTRACTIONS[_verb + "n't"] = f"{_full} not"
    CONTRACTIONS[_verb + "nt"] = f"{_full} not"
for _same in ("aint", "neednt", "mustnt"):
    CONTRACTIONS.setdefault(_same, "is not")


def hear(text: str) -> list[Word]:
    """The words and marks of a text, in order."""
    even = _even(text)
    words = at_sight(even)
    return _hours(piece_by_piece(even) if words is None else words)


def piece_by_piece(text: str) -> list[Word]:
    """The words and marks of any text."""
    return [word for piece in _pieces().finditer(text) for word in _words_of(piece)]


@cache
def _pieces() -> re.Pattern[str]:
    """Compiled for the first text that needs it: that takes ten times as long as to read one that does not."""
    return re.compile(_PIECES, re.VERBOSE)


def at_sight(text: str) -> list[Word] | None:
    """The same, of a text of nothing but letters and plain numbers, with a mark behind some of them; None for any other."""
    if not text.isascii():
        return None
    words: list[Word] = []
    end = 0
    for said in text.split():
        start = text.index(said, end)
        end = start + len(said)
        mark = said[-1] if said[-1] in ",.?!" else ""
        core = said[:-1] if mark else said
        whole, dot, part = core.partition(".")
        if core.isalpha() and not (mark == "." and len(core) == 1):  # "a." may be half of "a. m."
            words += _plain(core, start, start + len(core))
        elif whole.isdigit() and (part.isdigit() or not dot):
            words.append(Word(core, start, start + len(core), "number", _number(core)))
        else:
            return None
        if mark:
            words.append(Word(mark, end - 1, end, "mark"))
    return words


_HOUR_AFTER = frozenset(
    "departed arrived left pulled out in back by from till until around about off home gone".split()
)
"""Words after which "0900" is an hour."""


def _hours(words: list[Word]) -> list[Word]:
    """ "a m" and "p m" as one word; "at 0730" as a time of day."""
    found: list[Word] = []
    for word in words:
        last = found[-1] if found else None
        if last is not None and word.text == "m" and last.text in ("a", "p") and len(found) > 1:
            found[-1] = replace(last, text=last.text + "m", end=word.end)
        elif (
            last is not None
            and (last.text == "at" or (word.text.startswith("0") and last.text in _HOUR_AFTER))
            and re.fullmatch(r"[01]\d[0-5]\d|2[0-3][0-5]\d", word.text)
        ):
            found.append(replace(word, kind="clock", value=(int(word.text[:2]), int(word.text[2:]))))
        else:
            found.append(word)
    return found


def _even(text: str) -> str:
    """The text with look-alike characters replaced one for one, so that places stay true."""
    if text.isascii():
        return text.replace("`", "'")
    even = []
    for char in text.translate(_QUOTES):
        if char in _FRACTIONS or char == "×":
            even.append(char)
            continue
        plain = unicodedata.normalize("NFKC", char)
        even.append(plain if len(plain) == 1 else char)
    return "".join(even)


_WRITTEN = {"with": "with", "arrow": "to", "without": "without", "numberof": "number"}


def _words_of(piece: re.Match[str]) -> list[Word]:
    kind, said, start, end = piece.lastgroup or "other", piece.group(), piece.start(), piece.end()
    if kind == "vulgar":
        over, under = _FRACTIONS[said].split("/")
        return [Word(said, start, end, "fraction", int(over) / int(under))]
    if kind in ("degree", "joint"):  # "a 6-gallon jug" is one of 6 gallons
        return []
    if kind == "per":
        return [Word("per", start, end)]
    if kind == "halfday":
        return [Word(said[0].lower() + "m", start, end)]
    if kind in _WRITTEN:
        return [Word(_WRITTEN[kind], start, end)]
    if kind == "other" and said not in _AGAINST and unicodedata.category(said) in _PICTURES:
        return [Word(",", start, end, "mark")] if unicodedata.category(said) == "So" and start else []
    if kind == "other":
        return [Word(said, start, end, "mark")]
    if kind == "number":
        return [Word(said, start, end, "number", _number(said))]
    if kind in ("fraction", "mixed"):
        return _fraction(said, start, end)
    if kind == "clock":
        hour, minute = said.split(":")
        return [Word(said, start, end, "clock", (int(hour), int(minute)))]
    if kind == "date":
        return [Word(said, start, end, "date", tuple(int(part) for part in said.split("-")))]
    if kind == "mark":
        return [Word("at", start, end) if said == "@" else Word(said, start, end, "mark")]
    return _plain(said, start, end)


_PICTURES = ("So", "Sk", "Mn", "Me", "Cf", "Cs")
"""Pictures among the words ("grey dumped ✅"), and the invisible marks that shape them: a picture parts what stands beside it."""
_AGAINST = frozenset("❌❎✖🚫⛔👎🙅❓❔")
"""Pictures that say no: they are kept, and are not understood."""


def _number(said: str) -> float:
    if "," in said and re.fullmatch(r"\d{1,3}(?:,\d{3})+(?:\.\d+)?", said) and not said.startswith("0"):
        return float(said.replace(",", ""))
    return float(said.replace(",", "."))


def _fraction(said: str, start: int, end: int) -> list[Word]:
    said = said.rstrip("thrdns")
    *whole, part = said.replace("-", " ").split()
    over, under = (int(number) for number in part.split("/"))
    if under == 0:
        return [Word(said, start, end, "mark")]
    if whole:
        return [Word(said, start, end, "number", int(whole[0]) + over / under)]
    return [Word(said, start, end, "fraction", over / under, capital=False)]


_DAYS = frozenset(
    "mon tue tues wed weds thu thur thurs fri sat sun monday tuesday wednesday thursday friday saturday sunday".split()
)


_VERBS = (("'ll", "will"), ("'ve", "have"), ("'re", "are"))
"""What stands behind a noun as it is spoken ("the tanks'll", "Nell've")."""


def _plain(said: str, start: int, end: int) -> list[Word]:
    """One word, or the two of a contraction, or a word and its possessive."""
    low, capital = said.rstrip("-").casefold(), said[0].isupper()
    if low in CONTRACTIONS:
        return [
            Word(word, start, end, "word", None, capital and n == 0) for n, word in enumerate(CONTRACTIONS[low].split())
        ]
    if said.endswith("-") and low in _DAYS:  # "sun-thurs"
        return [Word(low, start, end - 1, "word", None, capital), Word("-", end - 1, end, "mark")]
    if low.startswith("t'") and len(low) > len("t'") + 1:
        return [
            Word(low[2:], start + 2, end, "word", None, capital)
        ]  # "t'grey", as the north of England says "the grey"
    for ending, verb in _VERBS:
        if low.endswith(ending) and len(low) > len(ending) + 1:
            stem = low[: -len(ending)]
            return [Word(stem, start, end, "word", None, capital), Word(verb, end - 1, end)]
    for ending in ("'s", "'"):
        if low.endswith(ending) and len(low) > len(ending):
            stem = low[: -len(ending)]
            cut = start + len(stem)
            return [Word(stem, start, cut, "word", None, capital), Word("'s", cut, end)]
    return [Word(low, start, start + len(said.rstrip("-")), "word", None, capital)]
