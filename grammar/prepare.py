"""Writes prepared.json and prepared_*.txt: `python -m grammar.prepare`, after every change to phrases.lark, words/*.txt, neighbours/*.txt or
parts/*.txt.

The only importer of lark, and nothing imports this module but the tests. May import: lark, chunks, lexicon.
"""

from __future__ import annotations

import json
from pathlib import Path

from lark import Lark
from lark.parsers.lalr_analysis import Shift

from grammar import neighbour_files, word_files
from grammar.lightclass import Any
from grammar.prepared import ENGLISH, PARTS, PLACE, RULES, WORDS

LARK = Path(__file__).with_name("phrases.lark")


def built(starts: tuple[str, ...]) -> Lark:
    """lark's own parser of phrases.lark; the tests hold the prepared one against it."""
    return Lark(LARK.read_text(encoding="utf-8"), parser="lalr", start=list(starts))


def table(starts: tuple[str, ...]) -> dict[str, Any]:
    """lark's table of states in the form that chunks.py reads."""
    made: Any = built(starts)
    found = made.parser.parser._parse_table
    order = _numbered(found, starts)
    goals = {goal for row in found.states.values() for action, goal in row.values() if action is not Shift}
    rules = {goal: place for place, goal in enumerate(sorted(goals, key=_in_words))}
    rows = [
        " ".join(
            f"{kind} {order[goal] if action is Shift else -1 - rules[goal]}"
            for kind, (action, goal) in sorted(found.states[state].items())
        )
        for state in order
    ]
    return {
        "rows": rows,
        "starts": {start: order[found.start_states[start]] for start in starts},
        "ends": {start: order[found.end_states[start]] for start in starts},
        "rules": [_rule(rule) for rule in rules],
        "classes": sorted({name for line in _declared() for name in line.split()[1:]}),
    }


def _numbered(found: Any, starts: tuple[str, ...]) -> dict[Any, int]:
    """The states in the order in which one meets them from the start rules; lark's own numbers differ from run to run."""
    order: dict[Any, int] = {}
    waiting = [found.start_states[start] for start in starts]
    while waiting:
        state = waiting.pop(0)
        if state not in order:
            order[state] = len(order)
            waiting += [
                goal for _, (action, goal) in sorted(found.states[state].items(), key=_first) if action is Shift
            ]
    return order


def _first(pair: tuple[str, Any]) -> str:
    return pair[0]


def _in_words(rule: Any) -> str:
    return f"{rule.origin.name} -> {' '.join(symbol.name for symbol in rule.expansion)} {rule.alias}"


def _rule(rule: Any) -> tuple[str, int, str, bool]:
    origin = str(rule.origin.name)
    single = bool(rule.options and rule.options.expand1 and not rule.alias)
    return origin, len(rule.expansion), str(rule.alias or origin), single


def _declared() -> list[str]:
    return [line for line in LARK.read_text(encoding="utf-8").splitlines() if line.startswith("%declare")]


def content() -> tuple[str, bytes, bytes, str, str]:
    """All of prepared.json, of prepared_words.txt, of prepared_english.txt, of prepared_rules.txt, and of prepared_parts.txt."""
    from grammar.lexicon import Spellings, single_words
    from grammar.pieces.chunks import STARTS

    spellings = word_files.spellings()
    words, firsts = _lines_of(spellings), " ".join(dict.fromkeys(one.partition(" ")[0] for one in spellings))
    single = " ".join(single_words(Spellings(words, firsts)))
    rules, rooms, calls = _neighbours()
    made = table(STARTS) | {"rooms": rooms, "calls": calls}
    made |= {"firsts": firsts, "single": single}
    told = [f'"{name}": {json.dumps(value, ensure_ascii=False, separators=(",", ":"))}' for name, value in made.items()]
    assert all(line.count("\t") == 1 and len(line.splitlines()) == 1 for line in rules)
    return "{\n" + ",\n".join(told) + "\n}\n", words, _english(), "\n".join(rules) + "\n", _parts()


def _parts() -> str:
    """The rules of parts, a line each: the file, the name, what calls it up, and the rule as JSON, with tabs between; and the shared sets."""
    lines = [
        (neighbour_files.COMMON, name, "", words.replace("_", " ")) for name, words in neighbour_files.shared().items()
    ]
    for question, rules in neighbour_files.compiled(neighbour_files.PARTS).items():
        lines += [(question, name, "|".join(calls), rule) for name, calls, rule in rules]
    return "".join("\t".join(line) + "\n" for line in lines)


def _english() -> bytes:
    """A line for each ordinary word, in the order of the bytes: the word, a tab, and whether it is one of the rarer."""
    common, rarer = word_files.english(word_files.COMMON), word_files.english(word_files.RARER)
    return "".join(f"{word}\t{'' if word in common else 'rarer'}\n" for word in sorted(common | rarer)).encode()


def _neighbours() -> tuple[list[str], dict[str, tuple[int, int]], dict[str, str]]:
    """The rules of all files as lines, the numbers of those of each file, and of those that a word or class calls up."""
    lines: list[str] = []
    rooms: dict[str, tuple[int, int]] = {}
    called: dict[str, list[str]] = {}
    for room, rules in neighbour_files.compiled().items():
        rooms[room] = len(lines), len(lines) + len(rules)
        for name, calls, rule in rules:
            for call in calls:
                called.setdefault(call, []).append(str(len(lines)))
            lines.append(f"{name}\t{rule}")
    return lines, rooms, {call: " ".join(called[call]) for call in sorted(called)}


def _lines_of(spellings: dict[str, str]) -> bytes:
    """A line for each first word, with the lengths of its spellings in words, longest first, what follows it and its senses, in the order of
    the bytes of that word."""
    by_first: dict[bytes, list[str]] = {}
    for spelling, senses in spellings.items():
        first, _, rest = spelling.partition(" ")
        by_first.setdefault(first.encode(), []).extend((rest, senses))
    lines = []
    for word, told in sorted(by_first.items()):
        lengths = sorted({rest.count(" ") + 2 if rest else 1 for rest in told[::2]}, reverse=True)
        head = " ".join(map(str, lengths))
        lines.append(b"\t".join((word, head.encode(), *(one.encode() for one in told))) + b"\t\n")
        assert lines[-1].count(b"\t") == len(told) + 2 and lines[-1].count(b"\n") == 1, word
    return b"".join(lines)


def main() -> None:
    table_, words, english, rules, parts = content()
    for place, what in (
        (PLACE, table_.encode()), (WORDS, words), (ENGLISH, english), (RULES, rules.encode()), (PARTS, parts.encode())
    ):  # fmt: skip
        fresh = Path(f"{place}.new")
        fresh.write_bytes(what)
        fresh.replace(place)  # a running process has the words mapped: they must not change under it


if __name__ == "__main__":
    main()
