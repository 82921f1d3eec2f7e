"""Steps taken one after the other over the tokens of a phrase, each only where something calls it up. May import: tokens."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from grammar.hearing.tokens import Tok

Step = Callable[[list[Tok]], list[Tok]]


def each(rule: Callable[[Sequence[Tok], int], Tok]) -> Step:
    """A rule for one token among its neighbours, applied to all."""
    return lambda toks: [rule(toks, i) for i in range(len(toks))]


class Steps:
    """Steps in order, found by what calls them up ("": any phrase does): a phrase calls up a few of the many."""

    def __init__(
        self,
        table: Sequence[tuple[frozenset[str], Step] | range],
        calls: Mapping[str, str] | None = None,
        rule: Callable[[int], Step] | None = None,
    ) -> None:
        """`table`: a step with what calls it up, or the numbers of prepared rules. `calls`: the numbers of the rules that a word or class
        calls up, with blanks between. `rule`: makes one ready."""
        self._calls, self._rule = calls or {}, rule
        self._own: dict[str, list[int]] = {}
        self._steps: list[Step | int] = []
        self._place_of: dict[int, int] = {}
        for one in table:
            if isinstance(one, range):
                self._place_of.update(zip(one, range(len(self._steps), len(self._steps) + len(one)), strict=True))
                self._steps += one
                continue
            for call in one[0]:
                self._own.setdefault(call, []).append(len(self._steps))
            self._steps.append(one[1])
        self._places: dict[str, Iterable[int] | None] = dict.fromkeys((*self._calls, *self._own))

    def called_up(self, said: set[str]) -> list[Step]:
        """Those that words or classes of a phrase call up, in order."""
        places: set[int] = set()
        for call in self._places.keys() & {"", *said}:
            some = self._places[call]
            if some is None:
                some = self._places[call] = self._called_by(call)
            places.update(some)
        return [self._at(place) for place in sorted(places)]

    def _called_by(self, call: str) -> list[int]:
        """The places of the steps that a word or class calls up."""
        numbers = map(int, self._calls.get(call, "").split())
        return [*self._own.get(call, ()), *(self._place_of[one] for one in numbers if one in self._place_of)]

    def _at(self, place: int) -> Step:
        step = self._steps[place]
        if isinstance(step, int):
            assert self._rule is not None
            step = self._steps[place] = self._rule(step)
        return step
