"""Conversations written down: Markdown whose fenced `chat` blocks hold lines said (`> …`) and, under each, the answer exactly.

The said lines can be piped as they stand: sed -n 's/^> //p' FILE | ullage --db demo.db. May import: the standard library only.
"""

from __future__ import annotations

from collections.abc import Sequence

from state.lightclass import dataclass


@dataclass(frozen=True)
class Exchange:
    """`said`: the line without its mark. `answer`: what stands under it. `number`: the line's place in the file, from 1."""

    number: int
    said: str
    answer: tuple[str, ...]


def exchanges(text: str) -> list[Exchange]:
    """All exchanges of a file, in order. Blank lines around an answer do not belong to it."""
    return [Exchange(number, part[0][2:], _trimmed(part[1:])) for number, part in _parts(text) if number]


def rewritten(text: str, answers: Sequence[str]) -> str:
    """The file with each answer replaced, in order; prose, said lines and the blank lines after an answer stay."""
    kept: list[str] = []
    waiting = iter(answers)
    for number, part in _parts(text):
        if not number:
            kept += part
            continue
        after = len(part) - len("\n".join(part).rstrip().split("\n"))
        kept += [part[0], *next(waiting).splitlines(), *[""] * after]
    return "\n".join(kept) + "\n"


def _parts(text: str) -> list[tuple[int, list[str]]]:
    """The file cut up: (number of the said line, it and what follows it in the block), and (0, lines) for all else."""
    parts: list[tuple[int, list[str]]] = [(0, [])]
    inside = False
    for number, line in enumerate(text.splitlines(), start=1):
        if line.startswith("```"):
            inside = not inside and line.strip() == "```chat"
            parts.append((0, [line]))
        elif inside and line.startswith("> "):
            parts.append((number, [line]))
        else:
            parts[-1][1].append(line)
    return parts


def _trimmed(lines: Sequence[str]) -> tuple[str, ...]:
    return tuple("\n".join(lines).strip("\n").splitlines()) if any(line.strip() for line in lines) else ()
