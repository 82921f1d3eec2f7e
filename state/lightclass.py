"""Dataclasses that are quick to define: the standard library's `dataclass`, `field`, `fields`, `replace`, without generated code.

The standard decorator writes, compiles and runs source text for every class while its module loads, and brings `inspect` along; for the
classes of this program that took four times as long as it takes Python to start. Here all classes share a few ready methods. To a type
checker the names are the standard library's own, so its checks are too; a test holds both against each other at run time.

As there: frozen, defaults, default_factory, kw_only, init, repr, __post_init__, an __init__ of its own, inheritance, equality by
class and fields, a hash of the fields if frozen, TypeError for missing, unknown or doubled arguments. Not here: ordering, slots, and
making an object costs a microsecond more. `Any`, `Literal` and TYPE_CHECKING stand here too, since `typing` takes a quarter as long
to load as Python itself. The same file stands in `state` and in `grammar`, since neither may import the other; a test holds the two
equal. May import: nothing.
"""

from __future__ import annotations

__all__ = [
    "TYPE_CHECKING",
    "Any",
    "FrozenInstanceError",
    "Literal",
    "asdict",
    "dataclass",
    "field",
    "fields",
    "is_dataclass",
    "replace",
]

TYPE_CHECKING = False
if TYPE_CHECKING:
    from dataclasses import FrozenInstanceError, asdict, dataclass, field, fields, is_dataclass, replace
    from typing import Any, Literal
else:

    class _ForTheCheckerOnly:
        """A name that annotations speak of and that nothing looks at while the program runs."""

        def __getitem__(self, choices):
            return self

    Any = Literal = _ForTheCheckerOnly()
    _MISSING = object()

    class FrozenInstanceError(AttributeError):
        """Somebody tried to change what never changes."""

    class _Field:
        """What is said about one field of a class."""

        __slots__ = ("default", "factory", "init", "kw_only", "name", "repr")

        def __init__(self, default=_MISSING, factory=None, init=True, repr=True, kw_only=False):
            self.name, self.default, self.factory = "", default, factory
            self.init, self.repr, self.kw_only = init, repr, kw_only

    def field(*, default=_MISSING, default_factory=None, init=True, repr=True, kw_only=False):
        """A field of which there is more to say than its default."""
        return _Field(default, default_factory, init, repr, kw_only)

    def dataclass(cls=None, /, *, frozen=False):
        """Gives a class its methods, by the annotations in its body."""
        return _equipped(cls, frozen) if cls is not None else lambda cls: _equipped(cls, frozen)

    def fields(thing):
        """The fields of a class or an object, each with its `name`, in order."""
        return tuple(thing.__light_fields__.values())

    def is_dataclass(thing):
        """Whether this is such a class, or an object of one."""
        return hasattr(thing, "__light_fields__")

    def replace(thing, /, **changes):
        """A copy with some fields changed."""
        kind, own = type(thing), thing.__dict__
        plain = kind.__light_plain__ and len(own) == len(kind.__light_fields__)
        if plain and changes.keys() <= own.keys():  # nothing to work out: the copy is made as it lies
            made = object.__new__(kind)
            made.__dict__.update(own)
            made.__dict__.update(changes)
            return made
        kept = {name: own[name] for name, one in thing.__light_fields__.items() if one.init}
        return kind(**kept | changes)

    def asdict(thing):
        """The fields as a dict, those inside it too."""
        if is_dataclass(thing):
            return {name: asdict(getattr(thing, name)) for name in thing.__light_fields__}
        if isinstance(thing, dict):
            return {asdict(name): asdict(value) for name, value in thing.items()}
        return type(thing)([asdict(one) for one in thing]) if isinstance(thing, (list, tuple)) else thing

    def _equipped(cls, frozen):
        own = cls.__dict__
        known = dict(getattr(cls, "__light_fields__", ()))
        for name in cls.__annotations__:
            given = own.get(name, _MISSING)
            known[name] = one = given if type(given) is _Field else _Field(given)
            one.name = name
            if given is one:  # the class keeps the default as its attribute, as the standard library's do
                delattr(cls, name) if one.default is _MISSING else setattr(cls, name, one.default)
        cls.__light_fields__ = known
        goes_on = hasattr(cls, "__post_init__")
        cls.__light_plain__ = not goes_on and all(one.init for one in known.values())
        if "__init__" not in own:
            cls.__init__ = _init(known, goes_on)
        if "__repr__" not in own:
            cls.__repr__ = _repr
        if "__eq__" not in own:
            cls.__eq__, cls.__hash__ = _equal, _hash if frozen else None
        if frozen:
            cls.__setattr__ = cls.__delattr__ = _refuse
        return cls

    def _init(known, goes_on):
        positional = tuple(one.name for one in known.values() if one.init and not one.kw_only)
        accepted = {one.name for one in known.values() if one.init}
        needed = {one.name for one in known.values() if one.init and one.default is _MISSING and one.factory is None}
        defaults = {one.name: one.default for one in known.values() if one.init and one.default is not _MISSING}
        factories = tuple((one.name, one.factory) for one in known.values() if one.init and one.factory is not None)
        most, size = len(positional), len(accepted)

        def __init__(self, *given, **told):
            own = self.__dict__
            if not told and len(given) == most == size:  # all of them, in order
                own.update(zip(positional, given))  # noqa: B905  (strict would cost)
            else:
                own.update(defaults)
                if given:
                    own.update(zip(positional, given))  # noqa: B905  (the lengths are looked at below)
                if told:
                    own.update(told)
                for name, make in factories:
                    if name not in own:
                        own[name] = make()
                told_twice = given and told and not told.keys().isdisjoint(positional[: len(given)])
                if len(own) != size or len(given) > most or told_twice or not told.keys() <= accepted:
                    raise TypeError(_complaint(type(self).__name__, positional, accepted, needed, given, told))
            if goes_on:
                self.__post_init__()

        return __init__

    def _complaint(name, positional, accepted, needed, given, told):
        got = positional[: len(given)]
        if len(given) > len(positional):
            return f"{name}() takes {len(positional)} values in order but {len(given)} were given"
        if doubled := sorted(told.keys() & set(got)):
            return f"{name}() got two values for {', '.join(doubled)}"
        if unknown := sorted(told.keys() - accepted):
            return f"{name}() has no field {', '.join(unknown)}"
        return f"{name}() needs {', '.join(sorted(needed - told.keys() - set(got)))}"

    def _repr(self):
        shown = (f"{name}={getattr(self, name)!r}" for name, one in self.__light_fields__.items() if one.repr)
        return f"{type(self).__qualname__}({', '.join(shown)})"

    def _equal(self, other):
        return self.__dict__ == other.__dict__ if type(self) is type(other) else NotImplemented

    def _hash(self):
        own = self.__dict__
        return hash(tuple([own[name] for name in self.__light_fields__]))

    def _refuse(self, name, value=None):
        raise FrozenInstanceError(f"cannot change {name!r} of a {type(self).__name__}")
