"""Water booked like money: every posting takes litres from one account and puts them in another, so the sum never changes.

Accounts: `hookup` (the site's tap, and whatever else water is brought from), the tanks by name, `outside`, `sewer`, and `unexplained`
for what a stated level contradicts. The balance of a tank is the middle of what is believed to be in it: belief and ledger never part.
May import: `world`.
"""

from __future__ import annotations

from datetime import datetime

from state.world import Posting, World

HOOKUP, OUTSIDE, SEWER, UNEXPLAINED = "hookup", "outside", "sewer", "unexplained"

Book = list[Posting] | None
"""Where postings are collected, or None if nobody asks for them."""


def post(world: World, book: Book, source: str, target: str, litres: float, at: datetime, event: str, why: str) -> None:
    """Move litres from source to target; a negative amount is moved the other way. Zero, or a move in place, is not booked."""
    if litres == 0.0 or source == target:
        return
    if litres < 0.0:
        source, target, litres = target, source, -litres
    balances = world.balances
    balances[source] = balances.get(source, 0.0) - litres
    balances[target] = balances.get(target, 0.0) + litres
    if book is not None:
        book.append(Posting(source, target, litres, at, event, why))


def total(world: World) -> float:
    """Sum over all accounts: zero but for rounding. [litres]"""
    return sum(world.balances.values())
