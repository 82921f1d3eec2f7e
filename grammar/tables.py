"""Reading by a prepared table: what lark makes of phrases.lark, written down once, and the few lines that walk it.

lark takes longer to load, and to work out its table, than all the rest of a turn. So `python -m grammar.tables` lets it do that work
beforehand and writes phrases_table.py; a test holds that file against lark, and this walk against lark's own. The walk is the usual one of
an LALR parser (A. V. Aho, M. S. Lam, R. Sethi, J. D. Ullman, Compilers, 2nd ed., 2006, section 4.5.3), one token at a time.
May import: phrases_table; lark only to prepare.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from grammar.phrases_table import ENDS, RULES, STARTS, STATES

END = "$END"
SOURCE = Path(__file__).with_name("phrases.lark")
ROOTS = ("amount", "between", "when", "until", "since", "duration", "every", "tanks", "people", "repeat", "counted")


class NoWay(Exception):
    """The table has no step for this token here."""


class Walk:
    """One reading under way. `methods`: what each rule means, called with the values of its parts.

    start: the rule to be read, one of ROOTS.
    """

    __slots__ = ("_end", "_methods", "_states", "_values")

    def __init__(self, start: str, methods: Mapping[str, Callable[[list[Any]], Any]]) -> None:
        self._methods, self._end = methods, ENDS[start]
        self._states: list[int] = [STARTS[start]]
        self._values: list[Any] = []

    def choices(self) -> Mapping[str, int]:
        """What may come next; among it END if the reading may stop here."""
        return STATES[self._states[-1]]

    def feed(self, kind: str, value: Any) -> Any:
        """Takes a token of this class; with END gives the meaning of all that was read.

        Raises: NoWay if it cannot stand here, and whatever a rule's method raises.
        """
        states, values = self._states, self._values
        while True:
            step = STATES[states[-1]].get(kind)
            if step is None:
                raise NoWay(kind)
            if step >= 0:
                states.append(step)
                values.append(value)
                return None
            origin, size, method, lone, spread = RULES[-step - 1]
            parts = values[len(values) - size :] if size else []
            if size:
                del states[-size:], values[-size:]
            if spread:
                parts = [one for place, part in enumerate(parts) for one in (part if place in spread else [part])]
            if lone and len(parts) == 1:
                made = parts[0]
            else:
                made = self._methods[method](parts) if method else parts
            states.append(STATES[states[-1]][origin])
            values.append(made)
            if kind == END and states[-1] == self._end:
                return made


def prepare() -> str:
    """The text of phrases_table.py, from lark's own table for phrases.lark."""
    from lark import Lark

    built = Lark(SOURCE.read_text(encoding="utf-8"), parser="lalr", start=list(ROOTS))
    table = built.parser.parser._parse_table  # type: ignore[attr-defined]
    order = _in_order(table)  # lark numbers its states anew in every run
    numbers = {state: place for place, state in enumerate(order)}
    rules = sorted({_rule(what) for state in order for action, what in table.states[state].values() if action.name != "Shift"})
    states = [
        {
            name: numbers[what] if action.name == "Shift" else -rules.index(_rule(what)) - 1
            for name, (action, what) in sorted(table.states[state].items())
        }
        for state in order
    ]
    return "\n".join(
        [
            '"""Prepared by `python -m grammar.tables` from phrases.lark, with lark: the steps of its parser.\n\n'
            'Not to be edited by hand. May import: nothing."""\n',
            "# where each rule that may be read begins, and the state in which it is read",
            f"STARTS: dict[str, int] = {dict((one, numbers[table.start_states[one]]) for one in ROOTS)!r}",
            f"ENDS: dict[str, int] = {dict((one, numbers[table.end_states[one]]) for one in ROOTS)!r}\n",
            "# (rule, how many parts, what makes its meaning, stands for its only part, places whose parts are its own)",
            "RULES: list[tuple[str, int, str, bool, tuple[int, ...]]] = [",
            *(f"    {rule!r}," for rule in rules),
            "]\n",
            "# a step for each class of word: the next state, or below 0 the rule that is complete",
            "STATES: list[dict[str, int]] = [",
            *(f"    {row!r}," for row in states),
            "]\n",
        ]
    )


def _in_order(table: Any) -> list[int]:
    """The states as they are reached from the roots, by the names of the steps."""
    order = [table.start_states[root] for root in ROOTS]
    for state in order:  # grows on the way
        for _, (action, what) in sorted(table.states[state].items()):
            if action.name == "Shift" and what not in order:
                order.append(what)
    return order


def _rule(rule: Any) -> tuple[str, int, str, bool, tuple[int, ...]]:
    origin = str(rule.origin.name)
    inner = origin.startswith("_")
    spread = tuple(place for place, part in enumerate(rule.expansion) if not part.is_term and part.name.startswith("_"))
    method = "" if inner else str(rule.alias or origin)
    return origin, len(rule.expansion), method, bool(rule.options.expand1 and not rule.alias), spread


if __name__ == "__main__":
    SOURCE.with_name("phrases_table.py").write_text(prepare(), encoding="utf-8")
