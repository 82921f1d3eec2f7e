"""Events made short, for tests of the fold: `Story` collects them, `hour(x)` is x hours after Monday 8 June 2026, 18:00, six hours west."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from typing import Any

from state.entry import Entry
from state.log import history
from state.log.rows import DEFAULTS
from state.water import belief, fold
from state.water.ledger import Book
from state.world import World

GALLON = 3.785411784  # NIST Handbook 44, appendix C
START = datetime(2026, 6, 8, 18, tzinfo=timezone(timedelta(hours=-6)))


def hour(hours: float) -> datetime:
    return START + timedelta(hours=hours)


def event(kind: str, hours: float, seq: int, **fields: Any) -> Entry:
    """An entry of that kind so many hours after the start, defaults filled in."""
    own = {**DEFAULTS[kind], **fields, "id": f"e{seq:010d}", "kind": kind, "at": hour(hours), "heard_at": hour(hours)}
    return Entry({"heard": "", "said": (), **own}, seq, seq)


class Story:
    """Events in the order told. Volumes in litres."""

    def __init__(self, *, rigged: bool = True, grey: float = 136.0, black: float = 113.0, fresh: float = 151.0) -> None:
        self.entries: list[Entry] = []
        if rigged:
            for kind, litres in (("fresh", fresh), ("grey", grey), ("black", black)):
                if litres:
                    self.tell("rig", 0, what="tank", tank=kind, tank_kind=kind, litres=litres)
            self.tell("party", 0, people=2)
            self.tell("arrive", 0, site="Heron Bend", water=True, sewer=False)
            self.tell("dump", 0, tank="grey")
            if black:
                self.tell("dump", 0, tank="black")
            self.tell("meter_reset", 0)

    def tell(self, kind: str, hours: float, **fields: Any) -> Entry:
        entry = event(kind, hours, len(self.entries) + 1, **fields)
        self.entries.append(entry)
        return entry

    def use(self, hours: float, litres: float, activity: str = "shower", **fields: Any) -> Entry:
        return self.tell("use", hours, litres=litres, activity=activity, **fields)

    def meter(self, hours: float, litres: float, **fields: Any) -> Entry:
        return self.tell("meter", hours, litres=litres, **fields)

    def world(self, book: Book = None) -> World:
        return fold.fold(history.effective(self.entries), book=book)

    def level(self, tank: str, hours: float) -> float:
        """The middle of the belief, as the ledger has it. [litres]"""
        own = belief.at_moment(self.world(), hour(hours))
        return own.balances[tank]

    def believed(self, tank: str, hours: float) -> belief.TankBelief:
        return belief.believe(self.world(), hour(hours)).tanks[tank]
