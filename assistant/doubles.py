"""Happenings that two devices may have told twice, as found by an import: asked about one after the other, in so many words.

Is not the finding of them (twins.py). What is still open lies in the memo of the last turn and is carried from turn to turn; what was
said to be two is asked no more. Nothing is dropped by itself: both count until somebody says "one".
May import: `reply`, `scene`, say, interpret's drafts, grammar's intents, state's history and twins.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import datetime, timedelta

from assistant.scene import Scene
from grammar.intents import Use
from grammar.reading import Reading
from grammar.rejoinders import Again, Amend, Fragment, No, Yes
from state.entry import Entry
from state.lightclass import Any, dataclass
from state.log.store import Turn

OPEN, ASKED = "twins", "twins_asked"
AGAIN = timedelta(days=1)
"""After a question that was passed over it is asked anew a day later."""

LAPSE = timedelta(hours=2)
"""So long a bare number is still the reply, when only other things were said since and nothing else was asked."""

Found = Callable[[Collection[str]], Sequence[Entry]]
"""Those of some events that count (recall.found)."""


@dataclass(frozen=True)
class Doubles:
    """pairs: ids of what was here and what came in, still open. asked: when it was last asked, as ISO time. now_asked: by the last turn."""

    pairs: tuple[tuple[str, str], ...] = ()
    asked: str = ""
    now_asked: bool = False

    def to_memo(self, asked: str | None = None) -> dict[str, Any]:
        """What the next turn needs to know. asked: if this turn asks."""
        if not self.pairs:
            return {}
        return {OPEN: [list(pair) for pair in self.pairs], ASKED: [asked or self.asked, asked is not None]}


def open_in(turns: Sequence[Turn]) -> Doubles:
    """What is still open after these turns."""
    memo: Mapping[str, Any] = turns[-1].memo if turns else {}
    if not memo.get(OPEN):
        return Doubles()
    asked, by_the_last = memo.get(ASKED, ["", False])
    return Doubles(tuple((one[0], one[1]) for one in memo[OPEN]), asked, by_the_last)


def still_open(doubles: Doubles, found: Found) -> tuple[Doubles, tuple[Entry, Entry] | None]:
    """Without the pairs of which one has been taken back since, here or elsewhere; and the first of the others."""
    if not doubles.pairs:
        return doubles, None
    there = {entry.id: entry for entry in found({id for pair in doubles.pairs for id in pair})}
    pairs = tuple(pair for pair in doubles.pairs if there.keys() >= set(pair))
    first = (there[pairs[0][0]], there[pairs[0][1]]) if pairs else None
    return Doubles(pairs, doubles.asked, doubles.now_asked), first


def settled(doubles: Doubles) -> Doubles:
    """Without the first pair."""
    return Doubles(doubles.pairs[1:], doubles.asked, doubles.now_asked)


def is_due(doubles: Doubles, now: datetime) -> bool:
    """Whether to ask (again)."""
    return bool(doubles.pairs) and (not doubles.asked or abs(now - datetime.fromisoformat(doubles.asked)) >= AGAIN)


def question(pair: tuple[Entry, Entry], more: int, scene: Scene) -> str:
    """The question about a pair. more: how many others are open beside it."""
    from assistant.say import echo, times

    first, second = sorted(pair, key=lambda entry: (entry.at, entry.id))
    words, other = echo.words_of(first, scene), echo.words_of(second, scene)
    then, later = times.exactly(first.at, scene.now), times.clock(second.at.astimezone(scene.now.tzinfo))
    told = f"{words} {then} and {later}" if words == other else f"{words} {then} and {other} at {later}"
    rest = f" ({more} more like it.)" if more else ""
    return f"Told on both devices: {told[:1].lower() + told[1:]}. One or two?{rest}"


def reply(
    reading: object, doubles: Doubles, pair: tuple[Entry, Entry] | None, turns: Sequence[Turn], now: datetime
) -> str:
    """What the words say to the question, if it was asked last, or lately and nothing else was since; see `verdict`."""
    if pair is None or not doubles.asked:
        return ""
    said = verdict(reading, pair)
    if doubles.now_asked or said in ("", "which"):
        return said if doubles.now_asked else ""
    lately = timedelta(0) <= now - datetime.fromisoformat(doubles.asked) <= LAPSE
    bare = isinstance(reading, Reading) and isinstance(reading.meanings[0], Fragment)
    return said if lately and bare and "pending" not in turns[-1].memo else ""


def verdict(reading: object, pair: tuple[Entry, Entry]) -> str:
    """What a reply to the question says: "one", "two", "which" (a bare yes or no), or "" where it is about something else."""
    if not isinstance(reading, Reading) or reading.confirm:
        return ""
    meanings = [meaning for meaning in reading.meanings if not isinstance(meaning, (Yes, No))]
    if not meanings:
        return "which"
    said = meanings[0]
    if isinstance(said, Amend) and said.whole is None:
        said = said.change
    if len(meanings) != 1 or said.when is not None:
        return ""
    if isinstance(said, Again):  # "the same", which must not be "the same again"
        return "one" if said.text.casefold().strip(" .!").endswith("same") and not said.people else ""
    if isinstance(said, Fragment):
        return _number(said)
    if isinstance(said, Use) and said.activity is not None and said.activity == pair[0].get("activity"):
        says_more = said.amount or said.people or said.minutes or said.before or said.after or said.done
        return "" if says_more else {1: "one", 2: "two"}.get(said.count or 0, "")
    return ""


def _number(said: Fragment) -> str:
    bare = said.amount is not None and said.amount.unit is None and not said.amount.bound
    number = said.amount.value if bare and said.amount is not None else said.count
    if said.activity is not None or said.tanks or said.people or said.meter or said.until is not None:
        return ""
    return "two" if said.every or number == 2 else "one" if number == 1 else ""
