"""What is kept of a question that waits for its answer: the phrase, the place of the doubtful meaning in it, the slot asked for, and the
replies so far. Words only, so that a later process can go on.

May import: the standard library, state's lightclass.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from state.lightclass import Any, dataclass

LAPSE = timedelta(hours=2)
AS_READ, ALONG, BEHIND, TAKE_BACK = "as-read", "along", "left-behind", "take-back"
"""Slots of the questions whether a phrase was read right, whether gear came along from the last place, whether it is lost then, and whether
to take back the last entry."""


@dataclass
class Pending:
    """phrase: what was said. said_at: when it was. place, slot, choices: what was asked. confirmed: guards passed so far.
    fills: (place, slot, words) of earlier replies. question: as it was asked."""

    phrase: str
    said_at: datetime
    place: int = 0
    slot: str = ""
    choices: tuple[str, ...] = ()
    confirmed: frozenset[str] = frozenset()
    fills: tuple[tuple[int, str, str], ...] = ()
    question: str = ""

    def to_memo(self) -> dict[str, Any]:
        return {
            "phrase": self.phrase, "said_at": self.said_at.isoformat(), "place": self.place, "slot": self.slot, "choices": list(self.choices),
            "confirmed": sorted(self.confirmed), "fills": [list(fill) for fill in self.fills], "question": self.question,
        }  # fmt: skip

    @staticmethod
    def from_memo(memo: dict[str, Any]) -> Pending:
        return Pending(
            memo["phrase"], datetime.fromisoformat(memo["said_at"]), memo["place"], memo["slot"], tuple(memo["choices"]),
            frozenset(memo["confirmed"]), tuple((one[0], one[1], one[2]) for one in memo["fills"]), memo["question"],
        )  # fmt: skip

    def of_mine(self) -> bool:
        """Whether the phrase is mine and not what the person said: the statement that a yes to my question makes."""
        return self.slot.partition("?")[0] in (ALONG, BEHIND, TAKE_BACK)

    def lapsed(self, now: datetime) -> bool:
        return not timedelta(minutes=-5) <= now - self.said_at <= LAPSE


def mine(now: datetime, slot: str, phrase: str, question: str) -> Pending:
    """A question of my own accord: what a yes to it says."""
    return Pending(phrase, now, slot=f"{slot}?{slot}:0", question=question)
