"""The ghost of a phrase: what this household usually says at this time of day, offered while a line is empty or half typed.

Learned from the turns of the log alone. A figure is never suggested: how much it was is for the person to say. Pure.
May import: the standard library only.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime

from state.lightclass import dataclass

FADES_DAYS = 14.0
NEAR_HOURS = 1.5
FAR_WEIGHT = 0.2
"""What a phrase said at quite another hour counts for, beside one said at this hour."""

LEAST_TIMES = 2
DONE_HOURS = 4.0
"""What was said so shortly ago has been done: an empty line does not propose it again."""

REPLIES = frozenset(
    ["yes", "no", "y", "n", "ok", "okay", "undo", "redo", "next", "done", "skip", "back", "stop", "both", "left"]
)

# What is a figure, or leads over to one.
_FIGURE = re.compile(
    r"\b(?:\d|half\b|quarter\b|one\b|two\b|three\b|four\b|five\b|six\b|seven\b|eight\b|nine\b|ten\b|eleven\b|twelve\b|\w+teen\b|"
    r"twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety|hundred|yesterday|today|this morning|last night)",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Said:
    """A phrase that was recorded or answered, and when it was heard."""

    at: datetime
    text: str


def ghost(typed: str, said: Sequence[Said], now: datetime) -> str:
    """What to show behind the cursor: the rest of the likeliest phrase, up to the first figure; "" where nothing is usual.

    An empty line needs a phrase said at this time of day on two days at least.
    """
    if typed and not typed.strip():
        return ""
    weights: dict[str, float] = {}
    days: dict[str, set[object]] = {}
    for one in said:
        rest = _rest(typed, one.text)
        if rest and one.text.strip().casefold() not in REPLIES:
            near = _near(one.at, now)
            weights[rest] = weights.get(rest, 0.0) + 0.5 ** (_age(one.at, now) / FADES_DAYS) * (
                1.0 if near else FAR_WEIGHT
            )
            if near:
                days.setdefault(rest, set()).add(one.at.date())
    if not typed.strip():
        done = {_rest(typed, one.text) for one in said if _age(one.at, now) * 24 < DONE_HOURS}
        weights = {
            rest: weight
            for rest, weight in weights.items()
            if len(days.get(rest, ())) >= LEAST_TIMES and rest not in done
        }
    return max(weights, key=lambda rest: (weights[rest], rest)) if weights else ""


def _rest(typed: str, phrase: str) -> str:
    """What the phrase adds to what was typed, up to its next figure."""
    if not phrase.casefold().startswith(typed.casefold()) or "\n" in phrase:
        return ""
    rest = phrase[len(typed) :]
    if typed[-1:].isdigit():  # a figure is being typed: another one's digits are no help
        rest = rest if rest[:1] == " " else ""
    figure = _FIGURE.search(rest)
    rest = rest[: figure.start()] if figure else rest
    return rest if rest.strip(" ,.;:") else ""


def _age(at: datetime, now: datetime) -> float:
    return max(0.0, (now - at).total_seconds() / 86400)


def _near(at: datetime, now: datetime) -> bool:
    """Said at about this time of day, by the clock of the place where it was said."""
    apart = abs((at.hour + at.minute / 60) - (now.hour + now.minute / 60))
    return min(apart, 24 - apart) <= NEAR_HOURS
