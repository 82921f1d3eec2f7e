"""Odds in words: one table, used for every chance that is said. The number always stands beside the words.

May import: `amounts`.
"""

from __future__ import annotations

from assistant.say import amounts

WORDS: tuple[tuple[float, str], ...] = (
    (0.985, "almost certainly"),
    (0.90, "very likely"),
    (0.70, "likely"),
    (0.55, "more likely than not"),
    (0.45, "it could go either way"),
    (0.30, "probably not"),
    (0.10, "unlikely"),
    (0.015, "very unlikely"),
    (0.0, "almost certainly not"),
)
"""From this chance on, these words. Our own scale, no source."""


def words(p: float) -> str:
    """The words for a chance, without the number."""
    shown = round(p, 2) if 0.015 <= p < 0.985 else p  # the words go with the number that is said
    return next(text for least, text in WORDS if shown >= least)


def said(p: float) -> str:
    """ "likely, 82 %"."""
    return f"{words(p)}, {amounts.percent(p)}"
