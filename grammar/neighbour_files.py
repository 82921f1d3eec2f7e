"""The rules of neighbours as people edit them, neighbours/*.txt, read into lines for prepared.json. Only `python -m grammar.prepare` and
the tests use it.

A rule is written so, with a line that says why, and phrases on which it works (`e.g.`) or must not (`not:`):

    # Nobody has come back.
    e.g. the chocks are back in the locker
    GEAR ... [BACK] STOW => BE:is

Left of `=>` stands what the tokens must be, the part that changes in brackets; right of it, what becomes of each element in the brackets.

    word, two_words     the word itself (`_` for a blank; quotes where a sign means something here: "+");  flush~, ~self: its beginning, its end
    ACT  ACT.past  ACT.noun:shower  TANK:black      a class of words, its form, its value
    @number @whole @several (whole, more than one) @one @13-31 (whole, within) @ordinal @known @unknown
    @ordinary @frequent (unknown, but an English word) @unsure (of several classes) @capital @letters @past (any past form) @any
    @ended              an unknown word in "ed"
    @hour @date         a number written like an hour (10.40), a share like a day of a month (14/6)
    @name @named        an unknown word that is no ordinary word of the language either, so perhaps somebody's name; one with a capital
    a|B  a&B  !a        either, both, not (`|` binds closer than `&`)
    x?  x*  x+  x{0,3}  so many of them, as many as possible;   ...   up to 12 of any, as few as possible
    (x y / z)           either sequence; outside the brackets only, may be repeated
    ^  $                the beginning, the end of the phrase
    @loads              a set of the file: `let loads = pot|pan|SINK`; it may be sequences, and use sets told before it

    =  -  <             keep it; leave it out; it becomes part of what stands before it
    BE:is  DUMP.past    it is that and nothing else (form and value are those it has, if none is told); FILLER counts nothing any more
    =ACT  -ACT  +ACTS   of its classes only that one; all but that one; that one besides
    +ACTS<ACT           of the form and value of that other class it has
    .past               all of its classes in that form
    none                an unknown word;      "too"TOO:too  the text too;     NUMBER#1  what it counts (#- nothing any more)
    PAIR:#              its number as the value;    ORD:  counts which one it is, no longer how many
    CLOCK ISODATE       of the hour or day that its figures tell
    $2 $1TOO            all that stands in the brackets written anew: the second element, then the first, changed

Conditions follow, as many as there are: `if X`, `unless X` (some token of the phrase), `if before X`, `unless after X` (left or right of the
brackets). `once` at the end: only the first place. A rule is called up by words or classes one of which every phrase must have on which
it could work; they are found out here.

Rules of grammar/parts/*.txt are written alike and judge a whole part of a phrase, from its beginning to its end: what stands between two
commas, say. They have no brackets, and right of `=>` stands the verdict; the first line of each file tells which there are. The first rule
of a file that fits gives it, the others are not asked. `if X`, `unless X` look at the part; a word is also found inside a spelling of
several, "looking" in "was looking", unless it stands in quotes. Sets of parts/common.txt may be used in all of them.

    # What soaks takes no water.
    e.g. sanitised the fresh tank, left it to soak overnight
    @any* @let ... @stands @any* => after
    unless TANK

May import: nothing.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "neighbours"
PARTS = Path(__file__).parent / "parts"
COMMON = "common"
"""The file of sets that all files of parts may use."""
FARTHEST = 12
"""How many tokens "..." may pass over."""

MARKS = frozenset(
    "any number whole several one hour date ordinal known unknown unsure ordinary frequent name named capital letters past ended".split()
)
_COMMON = (
    "FILLER",
    "ART",
    "A",
    "COMMA",
    "SELF",
    "AND",
    "NUMBER",
    "UNIT",
    "ACT",
    "BE",
    "PREP",
    "FOR",
    "OF",
    "TO",
    "TANK",
    "STOP",
)
"""Classes that most phrases have: another calls a rule up less often for nothing."""


class Unreadable(ValueError):
    """A rule that is not written as rules are; the message names its file and line."""


@dataclass
class Told:
    """A rule as it stands in a file. `examples`: it changes something on each; `others`: on none."""

    name: str
    why: str
    text: str
    examples: list[str] = field(default_factory=list)
    others: list[str] = field(default_factory=list)
    sets: dict[str, str] = field(default_factory=dict)
    whole: bool = False

    def compiled(self) -> dict[str, Any]:
        """The rule as neighbours.py takes it, or parts.py where it judges a `whole` part.

        Raises: Unreadable.
        """
        try:
            return _Reader(self).judges() if self.whole else _Reader(self).rule()
        except (ValueError, IndexError, KeyError) as wrong:
            raise Unreadable(f"{self.name}: {wrong}") from wrong


def told(room: str, folder: Path = FOLDER) -> list[Told]:
    """The rules of a file, in order.

    Raises: Unreadable, if a line is no part of a rule.
    """
    return _told(room, folder, _told(COMMON, folder, {})[1] if folder == PARTS else {})[0]


def _told(room: str, folder: Path, sets: dict[str, str]) -> tuple[list[Told], dict[str, str]]:
    """The rules of a file and its sets, those that it is given among them."""
    found: list[Told] = []
    why: list[str] = []
    examples: list[str] = []
    others: list[str] = []
    for place, line in enumerate((folder / f"{room}.txt").read_text(encoding="utf-8").splitlines(), 1):
        line = line.strip()
        if line.startswith("#"):
            why.append(line[1:].strip())
        elif line.startswith("let "):
            name, _, what = line[4:].partition("=")
            sets[name.strip()] = _with_sets(what.strip(), sets)
            why = []
        elif line.startswith("e.g. "):
            examples.append(line[5:])
        elif line.startswith("not: "):
            others.append(line[5:])
        elif line.startswith(("if ", "unless ")) and found:
            found[-1].text += f" {line}"
        elif "=>" in line:
            found.append(Told(f"{room} {place}", " ".join(why), line, examples, others, sets, folder == PARTS))
            examples, others = [], []
        elif not line:
            why = []
        else:
            raise Unreadable(f"{room} {place}: {line}")
    return found, sets


def compiled(folder: Path = FOLDER) -> dict[str, list[tuple[str, list[str], str]]]:
    """For each file, in order: name, what calls it up, the rule as a line of JSON.

    Raises: Unreadable.
    """
    found: dict[str, list[tuple[str, list[str], str]]] = {}
    for path in sorted(folder.glob("*.txt")):
        found[path.stem] = []
        for rule in told(path.stem, folder):
            made = rule.compiled()
            calls = sorted(made.pop("calls"))
            found[path.stem].append((rule.name, calls, json.dumps(made, ensure_ascii=False, separators=(",", ":"))))
    return found


def shared() -> dict[str, str]:
    """The sets that all files of parts may use.

    Raises: Unreadable.
    """
    return _told(COMMON, PARTS, {})[1]


_TOKEN = re.compile(r'\.\.\.|=>|[\[\]()/^]|\$(?!\d)|\{\d+,\d+\}|(?:"[^"]*"|[^\s\[\](){}?*+"])+|[?*+]')


def _with_sets(text: str, sets: dict[str, str]) -> str:
    """The text with what each set stands for in the place of its name."""
    for name in sorted(sets, key=len, reverse=True):
        text = re.sub(rf"@{name}\b", sets[name].replace("\\", "\\\\"), text)
    return text


class _Reader:
    """One rule taken apart."""

    def __init__(self, rule: Told) -> None:
        text = _with_sets(rule.text, rule.sets)
        head, _, tail = text.partition("=>")
        self.parts: list[str] = _TOKEN.findall(head)
        if "".join(self.parts) != re.sub(r'\s+(?=(?:[^"]*"[^"]*")*[^"]*$)', "", head):
            raise ValueError(f"cannot be read: {head}")
        does, *guards = re.split(r"\s+(?=(?:if|unless|once)\b)", " " + tail.strip())
        self.once = "once" in guards
        self.guards = [_guard(one, rule.whole) for one in guards if one != "once"]
        self.does = does.split()
        self.exact = rule.whole
        self.at = 0

    def rule(self) -> dict[str, Any]:
        before = self._sequence("[")
        self._past("[")
        inside = self._sequence("]")
        self._past("]")
        after = self._sequence("")
        if self.at < len(self.parts):
            raise ValueError(f"left over: {self.parts[self.at]}")
        if not inside or any(one == "edge" or one[0] == "ways" for one in inside):
            raise ValueError("in the brackets stand tokens, no choices and no edges")
        if all(one[2] == 0 for one in inside):
            raise ValueError("something in the brackets must be there")
        return {
            "before": _backwards(before), "inside": inside, "after": after, "does": self._changes(len(inside)),
            "guards": self.guards, "once": self.once, "calls": _calls([*before, *inside, *after], self.guards),
        }  # fmt: skip

    def judges(self) -> dict[str, Any]:
        whole = self._sequence("")
        if self.at < len(self.parts) or not whole or "edge" in whole:
            raise ValueError("a part is judged from its beginning to its end, without brackets")
        if len(self.does) != 1 or not self.does[0].isalpha() or self.once:
            raise ValueError("right of => stands one verdict")
        guards = [(wanted, test) for where, wanted, test in self.guards if where == "any"]
        if len(guards) < len(self.guards):
            raise ValueError("conditions look at the whole part")
        return {"whole": whole, "says": self.does[0], "guards": guards, "calls": _calls(whole, self.guards)}

    def _past(self, sign: str) -> None:
        if self.at >= len(self.parts) or self.parts[self.at] != sign:
            raise ValueError(f"{sign} is missing")
        self.at += 1

    def _sequence(self, ends: str) -> list[Any]:
        """Elements up to one of the signs, or to the end."""
        found: list[Any] = []
        while self.at < len(self.parts) and (self.parts[self.at] not in tuple(ends)):
            part = self.parts[self.at]
            self.at += 1
            if part in ("^", "$"):
                found.append("edge")
            elif part == "...":
                found.append(["lazy", [[0, [], [], [], ["any"]]], 0, FARTHEST])
            elif part == "(":
                ways = [self._sequence("/)")]
                while self.parts[self.at] == "/":
                    self.at += 1
                    ways.append(self._sequence("/)"))
                self._past(")")
                found.append(["ways", ways, *self._times()])
            elif part in "[])/?*+" or part.startswith("{"):
                raise ValueError(f"{part} stands where a token should")
            else:
                found.append(["some", _tested(part, self.exact), *self._times()])
        return found

    def _times(self) -> tuple[int, int]:
        sign = self.parts[self.at] if self.at < len(self.parts) else ""
        bounds = re.fullmatch(r"\{(\d+),(\d+)\}", sign)
        if bounds is None and sign not in ("?", "*", "+"):
            return 1, 1
        self.at += 1
        if bounds is not None:
            return int(bounds[1]), int(bounds[2])
        return {"?": (0, 1), "*": (0, 99), "+": (1, 99)}[sign]

    def _changes(self, inside: int) -> list[tuple[int, Any]]:
        if any(one.startswith("$") for one in self.does):
            found = []
            for one in self.does:
                numbered = re.fullmatch(r"\$(\d+)(.*)", one)
                if numbered is None or not 1 <= int(numbered[1]) <= inside:
                    raise ValueError(f"{one}: which element?")
                found.append((int(numbered[1]) - 1, _changed(numbered[2] or "=")))
            return found
        if len(self.does) != inside:
            raise ValueError(f"{inside} elements in the brackets, {len(self.does)} changes")
        return [(place, _changed(one)) for place, one in enumerate(self.does)]


def _guard(text: str, exact: bool) -> tuple[str, bool, Any]:
    words = text.split()
    where = words[1] if len(words) == 3 else "any"
    if len(words) not in (2, 3) or where not in ("any", "before", "after"):
        raise ValueError(f"no condition: {text}")
    return where, words[0] == "if", _tested(words[-1], exact)


def _tested(text: str, exact: bool) -> list[Any]:
    """A test of one token: the parts that must all hold. `exact`: words in quotes keep them."""
    found = []
    for part in _split(text, "&"):
        negated = part.startswith("!")
        texts: list[str] = []
        classes: list[str] = []
        senses: list[tuple[str, str, str]] = []
        marks: list[str] = []
        for one in _split(part.removeprefix("!"), "|"):
            named = re.fullmatch(r"([A-Z]+)(?:\.([a-z]+))?(?::(\S+))?", one)
            if named is not None and (named[2] or named[3]):
                senses.append((named[1], named[2] or "", (named[3] or "").replace("_", " ")))
            elif named is not None:
                classes.append(named[1])
            elif one.startswith("@"):
                if one[1:] not in MARKS and not re.fullmatch(r"@\d+-\d+", one):
                    raise ValueError(f"{one}: no such set")
                marks.append(one[1:])
            elif one.startswith("~") or one.endswith("~"):
                marks.append(one.replace("_", " "))
            elif one:
                texts.append((one if exact else one.replace('"', "")).replace("_", " "))
            else:
                raise ValueError(f"nothing beside a sign in {text}")
        found.append([int(negated), texts, classes, senses, marks])
    return found


def _split(text: str, sign: str) -> list[str]:
    return re.split(rf'{re.escape(sign)}(?=(?:[^"]*"[^"]*")*[^"]*$)', text)


def _changed(text: str) -> Any:
    """[text, how, class, form, value, number, like which class]; None where the token is left out."""
    if text == "-":
        return None
    if text == "<":
        return ["", "join", "", "", "", None, ""]
    said = re.fullmatch(r'(?:"([^"]*)")?(.*)', text)
    assert said is not None
    new, rest = (said[1] or "").replace("_", " "), said[2]
    if rest in ("", "="):
        return [new, "keep", "", "", "", None, ""]
    if re.fullmatch(r"\.[a-z]+", rest):
        return [new, "form", "", rest[1:], "", None, ""]
    made = re.fullmatch(r"([=+-]?)([A-Z]+)(?:\.([a-z]+))?(?::([^#<\s]+|#))?(?:<([A-Z]+))?(?:#(\d+(?:\.\d+)?|-))?", rest)
    number = (
        float(made[6]) if made is not None and made[6] not in (None, "-") else made[6] if made is not None else None
    )
    if rest == "none":
        return [new, "none", "", "", "", None, ""]
    if made is None:
        raise ValueError(f"{text}: no change")
    how = {"": "be", "=": "only", "-": "less", "+": "more"}[made[1]]
    return [new, how, made[2], made[3] or "", (made[4] or "").replace("_", " "), number, made[5] or ""]


def _backwards(elements: list[Any]) -> list[Any]:
    """For a walk to the left."""
    return [
        [one[0], [_backwards(way) for way in one[1]], *one[2:]] if one != "edge" and one[0] == "ways" else one
        for one in reversed(elements)
    ]


def _calls(elements: list[Any], guards: list[tuple[str, bool, Any]]) -> list[str]:
    """Words and classes one of which every phrase has on which the rule could work; the rarest that can be told."""
    needed = [one[1] for one in elements if one != "edge" and one[0] == "some" and one[2] > 0]
    needed += [test for _, wanted, test in guards if wanted]
    choices = [
        [*(one.strip('"') for one in texts), *classes, *[cls for cls, _, _ in senses]]
        for test in needed
        for negated, texts, classes, senses, marks in test
        if not negated and not marks
    ]
    return min(choices, key=_how_common, default=[""])


def _how_common(names: list[str]) -> tuple[int, int]:
    return max(_COMMON.index(name) + 1 if name in _COMMON else 0 for name in names), sum(
        name.isupper() for name in names
    )
