"""The quick dataclasses do as the standard library's, which is the reference here: the same classes are made with both."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest

from grammar import intents
from state import lightclass


def family(maker: ModuleType) -> dict[str, Any]:
    """A frozen base with keyword-only fields, a child, a changeable class, one that works out a field, one with its own __init__."""

    @maker.dataclass(frozen=True)
    class Base:
        text: str = maker.field(default="", kw_only=True)

    @maker.dataclass(frozen=True)
    class Child(Base):
        name: str
        count: int = 1
        hidden: tuple[int, ...] = maker.field(default=(), repr=False)

    @maker.dataclass
    class Heap:
        things: list[Any] = maker.field(default_factory=list)
        inside: Any = None

    @maker.dataclass(frozen=True)
    class Square:
        side: float
        area: float = maker.field(init=False)

        def __post_init__(self) -> None:
            if self.side < 0:
                raise ValueError("a side is not negative")
            object.__setattr__(self, "area", self.side**2)

    @maker.dataclass(frozen=True)
    class Quick:
        name: str
        count: int = 1

        def __init__(self, name: str, count: int = 7) -> None:
            self.__dict__.update(name=name, count=count)

    return {"Base": Base, "Child": Child, "Heap": Heap, "Square": Square, "Quick": Quick}


def outcome(act: Callable[[], Any]) -> Any:
    """What comes of it: the value as shown, or the kind of error."""
    try:
        return repr(act()).replace("family.<locals>.", "")
    except Exception as error:
        return "Frozen" if "Frozen" in type(error).__name__ else type(error).__name__


ACTS: dict[str, Callable[[ModuleType, dict[str, Any]], Any]] = {
    "in order": lambda m, c: c["Child"]("a", 2, (3,)),
    "by name": lambda m, c: c["Child"](count=2, name="a", text="t"),
    "mixed": lambda m, c: c["Child"]("a", text="t"),
    "left out": lambda m, c: c["Child"](),
    "left out, others there": lambda m, c: c["Child"](count=2, text="x"),
    "unknown": lambda m, c: c["Child"]("a", colour="red"),
    "unknown in the place of one left out": lambda m, c: c["Child"](colour="red"),
    "doubled": lambda m, c: c["Child"]("a", name="b"),
    "too many": lambda m, c: c["Child"]("a", 2, (), "t"),
    "keyword only in order": lambda m, c: c["Base"]("t"),
    "set a frozen one": lambda m, c: setattr(c["Child"]("a"), "name", "b"),
    "set a new attribute of a frozen one": lambda m, c: setattr(c["Child"]("a"), "colour", "b"),
    "delete of a frozen one": lambda m, c: delattr(c["Child"]("a"), "name"),
    "set another": lambda m, c: setattr(c["Heap"](), "inside", 3),
    "fresh lists": lambda m, c: c["Heap"]().things is c["Heap"]().things,
    "equal": lambda m, c: c["Child"]("a") == c["Child"]("a", 1, text=""),
    "unequal": lambda m, c: c["Child"]("a") == c["Child"]("b"),
    "another class": lambda m, c: c["Child"]("a") == c["Base"](),
    "hash": lambda m, c: hash(c["Child"]("a")) == hash(c["Child"]("a")),
    "hash of a changeable one": lambda m, c: hash(c["Heap"]()),
    "in a set": lambda m, c: len({c["Child"]("a"), c["Child"]("a"), c["Child"]("b")}),
    "worked out": lambda m, c: c["Square"](3.0),
    "worked out and refused": lambda m, c: c["Square"](-3.0),
    "not to be given": lambda m, c: c["Square"](3.0, area=2.0),
    "default on the class": lambda m, c: c["Child"].count,
    "no default on the class": lambda m, c: c["Heap"].things,
    "fields": lambda m, c: [one.name for one in m.fields(c["Child"]("a"))],
    "fields of the class": lambda m, c: [one.name for one in m.fields(c["Square"])],
    "replace": lambda m, c: m.replace(c["Child"]("a", text="t"), count=5),
    "replace what is worked out": lambda m, c: m.replace(c["Square"](3.0), side=4.0),
    "replace leaves the old one": lambda m, c: [one := c["Child"]("a"), m.replace(one, name="b"), one],
    "replace a changeable one": lambda m, c: m.replace(c["Heap"]([1], 2), inside=3),
    "an __init__ of its own": lambda m, c: [
        c["Quick"]("a"),
        m.replace(c["Quick"]("a"), name="b"),
        c["Quick"]("a", 7) == c["Quick"]("a"),
    ],
    "replace nothing known": lambda m, c: m.replace(c["Child"]("a"), colour="red"),
    "as dict": lambda m, c: m.asdict(c["Heap"]([c["Child"]("a"), (1, 2)], {"k": c["Heap"]()})),
    "is one": lambda m, c: [m.is_dataclass(c["Heap"]), m.is_dataclass(c["Heap"]()), m.is_dataclass(3)],
    "copied": lambda m, c: copy.deepcopy(c["Heap"]([c["Child"]("a")])) == c["Heap"]([c["Child"]("a")]),
}


@pytest.mark.parametrize("name", ACTS)
def test_it_does_as_the_standard_library_does(name: str) -> None:
    """The same value shown, or the same kind of error."""
    act = ACTS[name]
    light, standard = (outcome(lambda m=m: act(m, family(m))) for m in (lightclass, dataclasses))  # type: ignore[misc]
    assert light == standard


def test_a_meaning_can_be_pickled() -> None:
    """Objects of classes that can be found by name go through pickle."""
    meaning = intents.Use(activity="shower", amount=intents.Amount(2, "gallon"), text="shower 2 gal")
    assert pickle.loads(pickle.dumps(meaning)) == meaning


def test_an_error_says_what_is_wrong() -> None:
    """The names of the fields stand in the message."""
    with pytest.raises(TypeError, match=r"Amount.* needs value"):
        intents.Amount()  # type: ignore[call-arg]
    with pytest.raises(TypeError, match="no field colour"):
        intents.Amount(2, colour="red")  # type: ignore[call-arg]
