"""A conversation on a log of its own, for tests: `rigged(path)` tells the usual rig; `at("09T08:00")` is a moment of June 2026."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from assistant import Conversation, Reply, open_conversation

RIG = (
    "fresh tank 40 gal",
    "grey tank 36 gal",
    "black tank 30 gal",
    "the tote holds 15 gal",
    "two people",
    "at Heron Bend till Sunday, water but no sewer",
    "dumped grey and black",
    "reset the meter",
    "filled the fresh tank",
)

GALLON = 3.785411784  # NIST Handbook 44, appendix C


def at(moment: str) -> datetime:
    """ "09T08:00" → 9 June 2026, 8:00, six hours west."""
    return datetime.fromisoformat(f"2026-06-{moment}-06:00")


class Talk:
    """Says phrases at a moment of one's choosing and keeps the replies."""

    def __init__(self, path: Path, rigged: bool = True) -> None:
        self.path = path
        self.now = at("08T18:00")
        self.conversation: Conversation = open_conversation(path)
        self.conversation.strict = True
        self.replies: list[Reply] = []
        for phrase in RIG if rigged else ():
            assert self.say(phrase).outcome == "recorded", phrase
        self.now = at("09T08:00")

    def say(self, text: str, now: datetime | None = None) -> Reply:
        if now is not None:
            self.now = now
        reply = self.conversation.say(text, now=self.now)
        self.replies.append(reply)
        return reply

    def reopened(self) -> Talk:
        """The same log in a conversation that knows nothing of this one: as the next one-shot call."""
        self.conversation.close()
        self.conversation = open_conversation(self.path)
        self.conversation.strict = True
        return self

    def close(self) -> None:
        self.conversation.close()


def told(path: Path, *phrases: str) -> Reply:
    """The reply to the last of these phrases."""
    talk = Talk(path / "w.db")
    replies = [talk.say(phrase) for phrase in phrases]
    talk.close()
    return replies[-1]
