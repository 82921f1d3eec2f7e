"""Writes prepared.json from phrases.lark and words/*.txt: `python -m grammar.prepare`, after every change to either.

The only importer of lark, and nothing imports this module but the tests. May import: lark, chunks, lexicon.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from lark import Lark
from lark.parsers.lalr_analysis import Shift

from grammar import word_files
from grammar.prepared import PLACE

RULES = Path(__file__).with_name("phrases.lark")


def built(starts: tuple[str, ...]) -> Lark:
    """lark's own parser of phrases.lark; the tests hold the prepared one against it."""
    return Lark(RULES.read_text(encoding="utf-8"), parser="lalr", start=list(starts))


def table(starts: tuple[str, ...]) -> dict[str, Any]:
    """lark's table of states in the form that chunks.py reads."""
    made: Any = built(starts)
    found = made.parser.parser._parse_table
    rules: dict[Any, int] = {}
    rows: list[dict[str, int]] = []
    names = {state: place for place, state in enumerate(sorted(found.states))}
    for state in sorted(found.states):
        row: dict[str, int] = {}
        for kind, (action, goal) in sorted(found.states[state].items()):
            row[kind] = names[goal] if action is Shift else -1 - rules.setdefault(goal, len(rules))
        rows.append(row)
    return {
        "rows": rows,
        "starts": {start: names[found.start_states[start]] for start in starts},
        "ends": {start: names[found.end_states[start]] for start in starts},
        "rules": [_rule(rule) for rule in rules],
        "classes": sorted({name for line in _declared() for name in line.split()[1:]}),
    }


def _rule(rule: Any) -> tuple[str, int, str, bool]:
    origin = str(rule.origin.name)
    single = bool(rule.options and rule.options.expand1 and not rule.alias)
    return origin, len(rule.expansion), str(rule.alias or origin), single


def _declared() -> list[str]:
    return [line for line in RULES.read_text(encoding="utf-8").splitlines() if line.startswith("%declare")]


def content() -> str:
    """All of prepared.json."""
    from grammar.chunks import STARTS

    made = table(STARTS) | {"words": word_files.spellings(), "english": word_files.english()}
    lines = [
        f'"{name}": {json.dumps(value, ensure_ascii=False, separators=(",", ":"))}' for name, value in made.items()
    ]
    return "{\n" + ",\n".join(lines) + "\n}\n"


def main() -> None:
    PLACE.write_text(content(), encoding="utf-8")


if __name__ == "__main__":
    main()
