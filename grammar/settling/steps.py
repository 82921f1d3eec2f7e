"""Steps taken one after the other over the tokens of a phrase, each only where something calls it up. May import: tokens."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from grammar.hearing.tokens import Tok

Step = Callable[[list[Tok]], list[Tok]]


def each(rule: Callable[[Sequence[Tok], int], Tok]) -> Step:
    """A rule for one token among its neighbours, applied to all."""
    return lambda toks: [rule(toks, i) for i in range(len(toks))]


class Steps:
    """Steps in order, found by what calls them up ("": any phrase does): a phrase calls up a few of the many."""

    def __init__(self, table: Sequence[tuple[frozenset[str], Step]]) -> None:
        self.steps = [step for _, step in table]
        self.places: dict[str, list[int]] = {}
        for place, (calls, _) in enumerate(table):
            for call in calls:
                self.places.setdefault(call, []).append(place)

    def called_up(self, said: set[str]) -> list[Step]:
        """Those that words or classes of a phrase call up, in order."""
        called = self.places.keys() & {"", *said}
        return [self.steps[place] for place in sorted({place for call in called for place in self.places[call]})]
