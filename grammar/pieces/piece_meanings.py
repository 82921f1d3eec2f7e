"""What each rule of phrases.lark means: amounts, times, lists, from the tokens that the parser took.

May import: intents, when, tokens.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.hearing.tokens import Tok
from grammar.intents import Amount
from grammar.lightclass import Any, dataclass, replace
from grammar.when import When, step


class Fed:
    """A token as the parser takes it: `type` is the class chosen at this place."""

    __slots__ = ("tok", "type")

    def __init__(self, kind: str, tok: Tok | None) -> None:
        self.type, self.tok = kind, tok


class NoPiece(Exception):
    """The tokens have the form of a piece but cannot be one ("at 41.5" is no time)."""


_SECONDS = {
    "second": 1, "minute": 60, "hour": 3600, "day": 86400, "night": 86400, "week": 604800, "fortnight": 1209600, "month": 2629800,
}  # fmt: skip


@dataclass(frozen=True)
class Length:
    """A length of time. `unit`: second … year. `more`: on top of what was planned ("two nights longer")."""

    number: float
    unit: str
    more: bool = False

    @property
    def seconds(self) -> float:
        return self.number * _SECONDS.get(self.unit, 31557600)

    @property
    def days(self) -> float:
        return self.seconds / 86400


@dataclass(frozen=True)
class Counted:
    """ "two showers", "two 3 gallon showers", "two five minute showers"."""

    activity: str
    count: float
    amount: Amount | None = None
    minutes: float | None = None


def _of(fed: Fed, kind: str) -> str:
    assert fed.tok is not None
    return fed.tok.senses[kind].value


def _number(fed: Fed) -> float:
    assert fed.tok is not None and fed.tok.number is not None
    return fed.tok.number


def _fraction(fed: Fed) -> float:
    assert fed.tok is not None and fed.tok.fraction is not None
    return fed.tok.fraction


def _find(items: Sequence[Any], kind: str) -> Fed | None:
    return next((item for item in items if isinstance(item, Fed) and item.type == kind), None)


def _which(fed: Fed) -> dict[str, Any]:
    """ "last", "last/further": the one before last."""
    which, _, further = _of(fed, "WHICH").partition("/")
    return {"which": which} | ({"further": True} if further else {})


class Meaning:
    """What each rule of phrases.lark means; one method a rule."""

    # amounts
    def unit(self, items: list[Any]) -> str:
        return _of(items[0], items[0].type)

    def number(self, items: list[Any]) -> float:
        return _number(items[0])

    def minus(self, items: list[Any]) -> float:
        return -_number(items[1])

    def measured(self, items: list[Any]) -> Amount:
        if isinstance(items[0], Fed):
            return Amount(_fraction(items[0]), "fraction")
        return Amount(items[0], items[1] if len(items) > 1 else None)

    def part_of(self, items: list[Any]) -> Amount:
        return Amount(_fraction(items[0]), items[-1])

    def vessels_of(self, items: list[Any]) -> Amount:
        """ "two jugs of 6 gallons", "two totes of ten": so many times what one holds."""
        count, vessel = items[0], items[1]
        size, unit = [item for item in items[2:] if isinstance(item, float)], items[-1]
        if isinstance(vessel, str) and vessel != "tote":
            raise NoPiece
        return _times(count, size[0], unit if isinstance(unit, str) else None)

    def vessels(self, items: list[Any]) -> Amount:
        if isinstance(items[-1], str) and items[-1] != "tote":
            raise NoPiece
        return _times(items[0], items[1], items[2])

    def vessels_by(self, items: list[Any]) -> Amount:
        """ "3 x 5 gal", "2 x 20 litre containers"."""
        if items[1].tok.text not in ("x", "×", "*", "times"):
            raise NoPiece
        return _times(items[0], items[2], items[3])

    def vessel(self, items: list[Any]) -> Amount:
        if isinstance(items[-1], str) and items[-1] != "tote":
            raise NoPiece
        number = next(item for item in items if isinstance(item, float))
        return Amount(number, next(item for item in items if isinstance(item, str)))

    def more_of(self, items: list[Any]) -> Amount:
        return Amount(items[0], items[-1])

    def one(self, items: list[Any]) -> Amount:
        return Amount(1.0, items[1])

    def one_and(self, items: list[Any]) -> Amount:
        return Amount(1.0 + _fraction(items[-1]), items[1])

    def and_part(self, items: list[Any]) -> Amount:
        return Amount(items[0] + _fraction(items[-1]), items[1])

    def range(self, items: list[Any]) -> Amount:
        numbers = [item for item in items if isinstance(item, float)]
        units = [item for item in items if isinstance(item, str)]
        if numbers[1] <= numbers[0]:
            raise NoPiece
        return Amount(numbers[0], units[0] if units else None, high=numbers[1])

    def vague(self, items: list[Any]) -> Amount:
        return Amount(None, items[-1] if isinstance(items[-1], str) else None)

    def lead(self, items: list[Any]) -> Fed:
        return items[0]  # type: ignore[no-any-return]

    tail = lead

    def amount(self, items: list[Any]) -> Amount:
        found: Amount = next(item for item in items if isinstance(item, Amount))
        marks = [item for item in items if isinstance(item, Fed)]
        if (bound := _find(marks, "BOUND")) is not None and found.high is None:
            found = replace(found, bound=_of(bound, "BOUND").replace(" ", "_"))  # type: ignore[arg-type]
        if _find(marks, "ABOUT") is not None:
            found = replace(found, approx=True)
        return replace(found, each=True) if _find(marks, "EACH") is not None else found

    def between(self, items: list[Any]) -> tuple[Amount, Amount]:
        numbers = [item for item in items if isinstance(item, float)]
        unit = next((item for item in items if isinstance(item, str)), None)
        return Amount(numbers[0], unit), Amount(numbers[1], unit)

    # times
    def day(self, items: list[Any]) -> dict[str, Any]:
        day, _, part = _of(items[0], "DAY").partition("/")
        if day == "now":
            return {"now": True}
        return {"day_offset": int(day)} | ({"part": part} if part else {})

    def part(self, items: list[Any]) -> dict[str, Any]:
        found: dict[str, Any] = {"part": _of(items[-1], "PART")}
        which = _find(items, "WHICH")
        if which is not None:
            found["day_offset"] = step(When(**_which(which)))
        return found

    def part_of_day(self, items: list[Any]) -> dict[str, Any]:
        return {**items[-1], **(items[0] if isinstance(items[0], dict) else self.half_day(items))}

    def weekday(self, items: list[Any]) -> dict[str, Any]:
        which = _find(items, "WHICH")
        return {"weekday": int(_of(items[-1], "WEEKDAY"))} | (_which(which) if which else {})

    def week_after(self, items: list[Any]) -> dict[str, Any]:
        """ "Friday week": the Friday to come and seven days."""
        if items[-1].tok.text != "week":
            raise NoPiece
        weekday = _find(items, "WEEKDAY")
        assert weekday is not None
        return {"weekday": int(_of(weekday, "WEEKDAY")), "which": "week after"}

    def half_day(self, items: list[Any]) -> dict[str, Any]:
        """ "yesterday in the evening"; a bare "pm" is no part of a day."""
        part = items[0].tok.text.split()[-1]
        if part not in ("morning", "afternoon", "evening", "night"):
            raise NoPiece
        return {"part": part}

    def at(self, items: list[Any]) -> None:
        return None

    def _clock(self, hour: float, minute: float, items: list[Any]) -> dict[str, Any]:
        half = _find(items, "AMPM")
        if hour != int(hour) or not 0 <= hour <= 24 or minute != int(minute) or not 0 <= minute < 60:
            raise NoPiece
        if half is not None and not 1 <= hour <= 12:
            raise NoPiece
        return {"hour": int(hour), "minute": int(minute)} | ({"half": _of(half, "AMPM")} if half else {})

    def oclock(self, items: list[Any]) -> dict[str, Any]:
        hour = next(_number(item) for item in items if isinstance(item, Fed) and item.type == "NUMBER")
        minute = round((hour - int(hour)) * 100) if hour != int(hour) and _find(items, "AMPM") else 0
        return self._clock(int(hour) if minute else hour, minute, items)

    def near(self, items: list[Any]) -> dict[str, Any]:
        """ "around nine": an hour only beside a part of a day, or after a day ("last night around nine")."""
        said = items[0].tok.text if items[0].tok is not None else ""
        return self._clock(self._hour_of(items), 0, []) | ({} if said.startswith("at ") else {"near": True})

    def digits(self, items: list[Any]) -> dict[str, Any]:
        clock = _find(items, "CLOCK")
        assert clock is not None and clock.tok is not None
        found = self._clock(clock.tok.parts[0], clock.tok.parts[1], items)
        return {"half": "am", **found} if clock.tok.text.startswith("0") and found["hour"] else found  # "07:40"

    def _hour_of(self, items: list[Any]) -> float:
        return [_number(item) for item in items if isinstance(item, Fed) and item.type == "NUMBER"][-1]

    def half_past(self, items: list[Any]) -> dict[str, Any]:
        return self._clock(self._hour_of(items), 30, items)

    def quarter_past(self, items: list[Any]) -> dict[str, Any]:
        return self._clock(self._hour_of(items), 15, items)

    def quarter_to(self, items: list[Any]) -> dict[str, Any]:
        return self._clock((self._hour_of(items) - 1) % 12 or 12, 45, items)

    def past_hour(self, items: list[Any]) -> dict[str, Any]:
        minutes = next(_number(item) for item in items if isinstance(item, Fed) and item.type == "NUMBER")
        return self._clock(self._hour_of(items), minutes, items)

    def to_hour(self, items: list[Any]) -> dict[str, Any]:
        minutes = next(_number(item) for item in items if isinstance(item, Fed) and item.type == "NUMBER")
        return self._clock((self._hour_of(items) - 1) % 12 or 12, 60 - minutes, items)

    def date(self, items: list[Any]) -> dict[str, Any]:
        iso, month, order, number = (_find(items, kind) for kind in ("ISODATE", "MONTH", "ORD", "NUMBER"))
        if iso is not None and iso.tok is not None:
            names = ("year", "month", "day")[-len(iso.tok.parts) :]
            return dict(zip(names, iso.tok.parts, strict=True), strokes="/" in iso.tok.text)
        found: dict[str, Any] = {"month": int(_of(month, "MONTH"))} if month else {}
        year = _find(items, "YEAR")
        if year is not None:
            found["year"] = int(_number(year))
        day = float(order.tok.ordinal or 0) if order and order.tok else _number(number) if number else None
        if day is not None and (day != int(day) or not 1 <= day <= 99):  # "June 35" is no such date, and is told so
            raise NoPiece
        return found | ({"day": int(day)} if day is not None else {})

    def length(self, items: list[Any]) -> Length:
        number = _number(items[0]) if items[0].type == "NUMBER" else 1.0
        return Length(number, _of(items[-1], "TIMEUNIT"))

    def part_length(self, items: list[Any]) -> Length:
        return Length(_fraction(items[0]), _of(items[-1], "TIMEUNIT"))

    def length_and(self, items: list[Any]) -> Length:
        return Length(1 + _fraction(items[-1]), _of(items[1], "TIMEUNIT"))

    def _away(self, length: Length, sign: int) -> dict[str, Any]:
        if length.unit in ("day", "night", "week", "fortnight", "month", "year"):
            return {"whole_days": sign * min(round(length.days), 40000)}
        return {"seconds": sign * min(length.seconds, 1e9)}

    def ago(self, items: list[Any]) -> dict[str, Any]:
        return self._away(next(item for item in items if isinstance(item, Length)), -1)

    def ahead(self, items: list[Any]) -> dict[str, Any]:
        return self._away(items[-1], 1)

    def period(self, items: list[Any]) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for item in items:
            if item.type == "WHICH":
                found |= _which(item)
            elif item.type == "EDGE":
                found["edge"] = _of(item, "EDGE")
            elif item.type in ("TIMEUNIT", "PERIOD"):
                found["period"] = _of(item, item.type)
            elif item.type == "MONTH":
                found |= {"period": "month", "month": int(_of(item, "MONTH"))}
        if found["period"] in ("second", "minute", "hour"):
            raise NoPiece
        return found

    def last_few(self, items: list[Any]) -> dict[str, Any]:
        return {**_which(items[0]), "count": _number(items[1]), "period": _of(items[2], "TIMEUNIT")}

    def end_of_stay(self, items: list[Any]) -> dict[str, Any]:
        return {"arrival" if items[0].type == "ARRIVAL" else "stay_end": True}

    def when(self, items: list[Any]) -> When:
        fields: dict[str, Any] = {}
        if items[0].get("near") and not any("part" in bit for bit in items):
            raise NoPiece
        for bit in items:
            if bit.keys() == {"now"} and len(items) > 1:
                continue  # "until the 17th now"
            for name, value in bit.items():
                if name in fields and fields[name] != value and not (name == "day_offset" and "part" in bit):
                    raise NoPiece
                if not (name in fields and name == "day_offset"):
                    fields[name] = value
        fields.pop("near", None)
        return When(**fields)

    def until(self, items: list[Any]) -> When:
        found: When = items[-1]
        return replace(found, through=True) if items[0].type == "THROUGH" else found

    def until_hour(self, items: list[Any]) -> When:
        return When(**self._clock(_number(items[1]), 0, []))

    def until_leave(self, items: list[Any]) -> When:
        return When(stay_end=True)

    def since(self, items: list[Any]) -> When:
        return replace(items[-1], since=True)  # type: ignore[no-any-return]

    def duration(self, items: list[Any]) -> Length:
        length = next((item for item in items if isinstance(item, Length)), None)
        number, later = _find(items, "NUMBER"), _find(items, "LATER")
        if length is None:
            length = Length(_number(number) if number else 1.0, _of(items[-1], "TIMEUNIT"))
        if later is not None and _of(later, "LATER") == "early":
            length = replace(length, number=-length.number)
        more = later is not None or any(_find(items, kind) is not None for kind in ("MORE", "ONEMORE"))
        return replace(length, more=True) if more else length

    def two_lengths(self, items: list[Any]) -> Length:
        units = [_of(item, "TIMEUNIT") for item in items if isinstance(item, Fed) and item.type == "TIMEUNIT"]
        numbers = [_number(item) for item in items if isinstance(item, Fed) and item.type == "NUMBER"]
        return Length(sum(Length(*one).seconds for one in zip(numbers, units, strict=True)), "second")

    def every(self, items: list[Any]) -> Length:
        return Length(_number(items[1]) if len(items) > 2 else 1.0, _of(items[-1], "TIMEUNIT"))

    def every_amount(self, items: list[Any]) -> Amount:
        return Amount(_number(items[1]), _of(items[2], "UNIT"))

    # lists
    sep = at

    def tanks(self, items: list[Any]) -> tuple[str, ...]:
        if items[0].type == "TANKS":
            return ("*",)
        return tuple(dict.fromkeys(_of(item, "TANK") for item in items if item is not None))

    def people(self, items: list[Any]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(_of(item, "PERSON") for item in items if item is not None))

    def repeat(self, items: list[Any]) -> float:
        return _number(number) if (number := _find(items, "NUMBER")) else float(_of(items[0], "TIMES"))

    def counted(self, items: list[Any]) -> Counted:
        return Counted(_of(items[-1], "ACTS"), _whole(items[0]))

    def counted_amount(self, items: list[Any]) -> Counted:
        return Counted(
            _of(items[-1], "ACTS"), _whole(items[0]), Amount(_number(items[1]), _of(items[2], "UNIT"), each=True)
        )

    def counted_minutes(self, items: list[Any]) -> Counted:
        length = Length(_number(items[1]), _of(items[2], "TIMEUNIT"))
        return Counted(_of(items[-1], "ACTS"), _whole(items[0]), minutes=length.seconds / 60)


def _times(count: float, size: float, unit: str | None) -> Amount:
    """So many vessels of one size, in all."""
    if count != int(count) or not 1 <= count <= 100 or unit == "tote":
        raise NoPiece
    return Amount(count * size, unit)


def _whole(fed: Fed) -> float:
    value = _number(fed)
    if value != int(value) or not 1 <= value <= 1000:
        raise NoPiece
    return value
