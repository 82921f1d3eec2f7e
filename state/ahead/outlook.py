"""What is known of the future, laid out in time: who is aboard, on which supply, where waste runs off, what is planned.

Reads the world's stay, stops, parties and expected facts, and the changes of a what-if, and gives stretches of time without a break
in them, beside the happenings (a dump, a tote run, laundry) at their moments. Says nothing of litres that nobody planned: that is
pace.py. Pure. May import: `world`, `pace`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from itertools import pairwise

from state.lightclass import Any, Literal, dataclass, field
from state.world import World


@dataclass(frozen=True)
class Change:
    """One altered habit or plan of a what-if; it applies to the forecast only, nothing is booked.

    what: `skip` (an activity; by `people` of those aboard, or by the guests: `more`), `minutes` (of an activity, each time), `amount`
    (litres each time), `party` (people; `more`: on top), `absence`, `haul`, `dump`, `use` (litres of an activity at `start`), `late`
    (leaving later: `until`), `fill`, `often` (`count` times a day, by `people` of those aboard, None for each), `share` (`count`: the
    part of all use that is left; `litres`: a day, if people will hold to so much).
    start, until: None for now and for the whole of the forecast.
    """

    what: str
    activity: str | None = None
    litres: float | None = None
    minutes: float | None = None
    count: float | None = None
    people: float | None = None
    more: bool = False
    tank: str | None = None
    start: datetime | None = None
    until: datetime | None = None


@dataclass(frozen=True)
class Piece:
    """A stretch in which nothing known changes. `running_off`: waste leaves through an open sewer, all of it (`all`) or nothing.
    `habits`: indices of the habit changes in force."""

    start: datetime
    end: datetime
    people: float
    supply: Literal["hookup", "tank"]
    running_off: bool
    site: str | None = None
    habits: tuple[Change, ...] = ()


@dataclass(frozen=True)
class Happening:
    """Something at a moment. `what`: `dump`, `haul`, `fill`, `use`. `assumed`: nobody planned it, but anybody would (a dump where
    there is a sewer)."""

    at: datetime
    what: str
    tank: str | None = None
    litres: float | None = None
    activity: str | None = None
    assumed: bool = False
    site: str | None = None


@dataclass
class Outlook:
    """The future from now to the horizon: pieces in order without gaps, happenings in order."""

    now: datetime
    horizon: datetime
    pieces: list[Piece] = field(default_factory=list)
    happenings: list[Happening] = field(default_factory=list)


@dataclass(frozen=True)
class _Place:
    """Where the rig is from `start` on."""

    start: datetime
    end: datetime | None
    site: str | None
    supply: Literal["hookup", "tank"]
    sewer: bool


A_DAY = timedelta(days=1)

HABIT_CHANGES = frozenset({"skip", "minutes", "amount", "often", "share"})


def look_ahead(
    world: World, now: datetime, horizon: datetime, changes: Sequence[Change] = (), assume: bool = True
) -> Outlook:
    """The known future of a world from now to the horizon, with the changes of a what-if taken in.

    `assume`: take dumps for granted where there is a sewer; a plan decides on them itself.
    """
    places = _places(world, now, changes)
    planned = [*_happenings(world, now, changes), *(_assumed(places, world, now) if assume else ())]
    outlook = Outlook(now, horizon)
    outlook.happenings = sorted((h for h in planned if now <= h.at <= horizon), key=lambda h: h.at)
    people = _people_spans(world, now, changes)
    habits = [change for change in changes if change.what in HABIT_CHANGES]
    moments = {now, horizon}
    for place in places:
        moments.update(t for t in (place.start, place.end) if t is not None)
    for start, end, _, _ in people:
        moments.update(t for t in (start, end) if t is not None)
    for change in habits:
        moments.update(t for t in (change.start, change.until) if t is not None)
    moments.update(h.at for h in outlook.happenings)
    ordered = sorted(t for t in moments if now <= t <= horizon)
    for start, end in pairwise(ordered):
        place = _place_at(places, start)
        outlook.pieces.append(
            Piece(
                start,
                end,
                _people_at(world, people, start),
                place.supply,
                place.sewer,
                place.site,
                tuple(c for c in habits if _covers(c.start, c.until, start)),
            )
        )
    return outlook


def _covers(start: datetime | None, until: datetime | None, at: datetime) -> bool:
    return (start is None or start <= at) and (until is None or at < until)


def told(thing: Any, name: str) -> Any:
    """A field of an event, an entry or a mapping; None where it has none."""
    if isinstance(thing, dict):
        return thing.get(name, thing.get("from") if name == "start" else None)
    return getattr(thing, name, None)


def has_water(stop: Any) -> bool:
    """Water at a stop: as told; where only a sewer was told of, there is a tap beside it (common practice, no source)."""
    water = told(stop, "water")
    return bool(told(stop, "sewer")) if water is None else bool(water)


def stops_ahead(world: World, now: datetime) -> list[tuple[datetime, datetime | None, Any]]:
    """The stops to come as (from, until, stop), in order; one without a start follows the one before it."""
    found: list[tuple[datetime, datetime | None, Any]] = []
    last = world.stay.until
    for stop in world.stops:
        start = told(stop, "start") or told(stop, "since") or last
        until = told(stop, "until")
        if start is not None and (until is None or until > now):
            found.append((max(start, now), until, stop))
        last = until or start
    return sorted(found, key=lambda item: item[0])


def _places(world: World, now: datetime, changes: Sequence[Change]) -> list[_Place]:
    late = next((c for c in changes if c.what == "late" and c.until is not None), None)
    stops = stops_ahead(world, now)
    here_until = world.stay.until if stops else None
    if late is not None and late.until is not None:
        shift = late.until - world.stay.until if world.stay.until else None
        here_until = late.until if stops else None
        if shift is not None and stops:
            # the next stop is reached when this one is left, be it later or sooner; the stops after it begin as told
            follows = [
                i == 0 and abs(start - (world.stay.until or start)) <= A_DAY for i, (start, _, _) in enumerate(stops)
            ]
            stops = [
                (late.until if next_one else max(start, late.until), until, stop)
                for next_one, (start, until, stop) in zip(follows, stops, strict=True)
                if not until or until > late.until
            ]
    if stops and (here_until is None or here_until > stops[0][0]):
        here_until = stops[0][0]
    if here_until is not None and here_until < now:
        here_until = now
    places = [_Place(now, here_until, world.stay.site, world.supply, False)]
    for i, (start, until, stop) in enumerate(stops):
        if places[-1].end is not None and places[-1].end < start:
            places.append(_Place(places[-1].end, start, None, "tank", False))
        end = until
        if i + 1 < len(stops) and (end is None or end > stops[i + 1][0]):
            end = stops[i + 1][0]
        supply: Literal["hookup", "tank"] = "hookup" if has_water(stop) else "tank"
        places.append(_Place(start, end, told(stop, "site"), supply, bool(told(stop, "sewer"))))
    if places[-1].end is not None:
        places.append(_Place(places[-1].end, None, None, "tank", False))
    return places


def _place_at(places: Sequence[_Place], at: datetime) -> _Place:
    return next(place for place in reversed(places) if place.start <= at)


def _assumed(places: Sequence[_Place], world: World, now: datetime) -> Iterable[Happening]:
    """Where there is a sewer, waste is dumped on arriving and again on leaving; nobody drives past one with full tanks."""
    for place in places:
        here = place.start == now and place is places[0]
        if place.sewer and not here:
            yield Happening(place.start, "dump", assumed=True, site=place.site)
        if place.end is not None and (place.sewer or (here and world.stay.sewer)):
            yield Happening(place.end, "dump", assumed=True, site=place.site)


def _happenings(world: World, now: datetime, changes: Sequence[Change]) -> Iterable[Happening]:
    for expected in world.expected:
        what, at = told(expected, "what"), told(expected, "start") or now
        if what == "use" and _is_skipped(told(expected, "activity"), at, changes):
            continue
        if what in ("haul", "dump", "use") and at >= now:
            yield _planned(
                world, what, at, told(expected, "tank"), told(expected, "litres"), told(expected, "activity")
            )
    for change in changes:
        if change.what in ("haul", "dump", "use", "fill"):
            yield _planned(
                world, change.what, max(change.start or now, now), change.tank, change.litres, change.activity
            )


def _is_skipped(activity: str | None, at: datetime, changes: Sequence[Change]) -> bool:
    """ "What if we skip the laundry": the one that was planned as well."""
    return any(
        change.what == "skip" and change.activity == (activity or "other") and _covers(change.start, change.until, at)
        for change in changes
    )


def _planned(
    world: World, what: str, at: datetime, tank: str | None, litres: float | None, activity: str | None
) -> Happening:
    """A tote run is a full tote of grey unless more was told."""
    if what == "haul":
        litres = world.rig.tote_litres if litres is None else litres
        waste = world.rig.of_kind("grey") or world.rig.waste()
        tank = waste[0].name if tank is None and waste else tank
    return Happening(at, what, tank, litres, activity)


Span = tuple[datetime | None, datetime | None, float | None, float]
"""From, until, people in all (None: keep), people on top."""


def _people_spans(world: World, now: datetime, changes: Sequence[Change]) -> list[Span]:
    spans: list[Span] = []
    if world.away_since is not None and world.away_until is not None and world.away_until > now:
        spans.append((None, world.away_until, 0.0, 0.0))
    if world.party_until is not None and world.party_until > now:
        spans.append((world.party_until, None, float(world.party_base), 0.0))
    for expected in world.expected:
        what = told(expected, "what")
        start, until = told(expected, "start"), told(expected, "until")
        if until is not None and until <= now:
            continue
        if what == "party" and told(expected, "people") is not None:
            spans.append((start, until, float(told(expected, "people")), 0.0))
        elif what == "absence":
            spans.append((start, until, 0.0, 0.0))
    for change in changes:
        if change.what == "party" and change.people is not None:
            more = change.more
            spans.append((change.start, change.until, None if more else change.people, change.people if more else 0.0))
        elif change.what == "absence":
            spans.append((change.start, change.until, 0.0, 0.0))
    return spans


def _people_at(world: World, spans: Sequence[Span], at: datetime) -> float:
    """The latest span that covers the moment counts; an absence of all outdoes the rest."""
    people, extra, absent = float(world.aboard(at)), 0.0, False
    for start, until, whole, more in spans:
        if not _covers(start, until, at):
            continue
        if whole == 0.0:
            absent = True
        elif whole is not None:
            people = whole
        extra += more
    return 0.0 if absent else people + extra
