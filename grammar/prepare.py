"""Writes prepared.json and prepared_words.txt: `python -m grammar.prepare`, after every change to phrases.lark, words/*.txt or neighbours/*.txt.

The only importer of lark, and nothing imports this module but the tests. May import: lark, chunks, lexicon.
"""

from __future__ import annotations

import json
from pathlib import Path

from lark import Lark
from lark.parsers.lalr_analysis import Shift

from grammar import neighbour_files, word_files
from grammar.lightclass import Any
from grammar.prepared import PLACE, WORDS

RULES = Path(__file__).with_name("phrases.lark")


def built(starts: tuple[str, ...]) -> Lark:
    """lark's own parser of phrases.lark; the tests hold the prepared one against it."""
    return Lark(RULES.read_text(encoding="utf-8"), parser="lalr", start=list(starts))


def table(starts: tuple[str, ...]) -> dict[str, Any]:
    """lark's table of states in the form that chunks.py reads."""
    made: Any = built(starts)
    found = made.parser.parser._parse_table
    order = _numbered(found, starts)
    goals = {goal for row in found.states.values() for action, goal in row.values() if action is not Shift}
    rules = {goal: place for place, goal in enumerate(sorted(goals, key=_in_words))}
    rows = [
        {
            kind: order[goal] if action is Shift else -1 - rules[goal]
            for kind, (action, goal) in sorted(found.states[state].items())
        }
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
    return [line for line in RULES.read_text(encoding="utf-8").splitlines() if line.startswith("%declare")]


def content() -> tuple[str, bytes]:
    """All of prepared.json, and of prepared_words.txt."""
    from grammar.lexicon import Spellings, single_words
    from grammar.pieces.chunks import STARTS

    words, places = _lines_of(word_files.spellings())
    single = " ".join(single_words(Spellings(words, places)))
    made = table(STARTS) | {"places": places, "single": single, "english": word_files.english()}
    made |= {"neighbours": neighbour_files.compiled()}
    lines = [
        f'"{name}": {json.dumps(value, ensure_ascii=False, separators=(",", ":"))}' for name, value in made.items()
    ]
    return "{\n" + ",\n".join(lines) + "\n}\n", words


def _lines_of(spellings: dict[str, str]) -> tuple[bytes, dict[str, int]]:
    """A line for each first word, with what follows it and its senses; and where each begins."""
    by_first: dict[str, list[str]] = {}
    for spelling, senses in spellings.items():
        first, _, rest = spelling.partition(" ")
        by_first.setdefault(first, []).extend((rest, senses))
    lines, places, place = [], {}, 0
    for first, told in by_first.items():
        line = ("\t".join((first, *told)) + "\n").encode()
        assert line.count(b"\t") == len(told) and line.count(b"\n") == 1, first
        lines.append(line)
        places[first] = place
        place += len(line)
    return b"".join(lines), places


def main() -> None:
    table_, words = content()
    Path(PLACE).write_text(table_, encoding="utf-8")
    Path(WORDS).write_bytes(words)


if __name__ == "__main__":
    main()
