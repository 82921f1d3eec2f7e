"""Until when a question about the time to come is: as said, or until a planned stop is reached, or left again.

May import: `scene`, state's outlook.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.say import times
from assistant.scene import AskBack, Scene
from grammar import when as calendar
from grammar.intents import Ask
from grammar.when import When
from state.ahead.outlook import stops_ahead
from state.lightclass import dataclass

ABOUT_THE_LAST = frozenset({"ways", "others", "runs", "budget"})
"""Subjects of a question about making it that lean on the end asked about just before."""


def end_of(ask: Ask, scene: Scene) -> datetime:
    """The moment asked about: as said; so many nights on at 10:00, or from the end of the stay ("another night here"); for a what-if or
    the other ways that of the question before it; or the end of the stay. Raises AskBack if none is known or it has passed."""
    stop = stop_of(ask, scene)
    if stop is not None:
        return _end_at(stop, ask, scene)
    if ask.nights is not None and ask.subject == "longer" and scene.stay_until is not None:
        return max(scene.now, scene.stay_until) + timedelta(days=round(ask.nights))
    if ask.nights is not None:
        return (scene.now + timedelta(days=round(ask.nights))).replace(hour=10, minute=0, second=0, microsecond=0)
    if ask.until is None and ask.when is None and (ask.topic == "what_if" or ask.subject in ABOUT_THE_LAST):
        before = asked_before(scene)
        if before is not None:
            return before
    if ask.until is None and ask.when is None and (scene.stay_until is None or scene.stay_until <= scene.now):
        ahead = [at for at, _, _ in stops_ahead(scene.world, scene.now) if at > scene.now]
        if ahead:  # nobody told until when they stay, but when they are to be elsewhere
            return ahead[0]
    end = scene.until(ask.until or ask.when)
    if end < scene.now:
        raise AskBack(f"{times.begun(scene.exactly(end))} has passed. Until when?", "until")
    return end


THERE, NEXT = "there", "next"
"""Places without a name: the one spoken of, else the next to come; and the next to come."""


@dataclass(frozen=True)
class PlannedStop:
    """A stop to come. until: None if nobody told."""

    site: str | None
    arrive: datetime
    until: datetime | None

    @property
    def name(self) -> str:
        return self.site or "the next stop"


def stop_of(ask: Ask, scene: Scene) -> PlannedStop | None:
    """The stop to come that a question is of; None if it is of none, or of the place where the rig is. Raises AskBack for a place that is
    not planned."""
    if ask.site is None or ask.topic not in ("make_it", "status"):
        return None
    stops = [PlannedStop(told["site"], start, until) for start, until, told in stops_ahead(scene.world, scene.now)]
    stops = [one for one in stops if one.arrive > scene.now]
    if ask.site in (THERE, NEXT):
        last = str(scene.last.get("site") or "").casefold()
        spoken_of = [one for one in stops if ask.site == THERE and last and (one.site or "").casefold() == last]
        found = next(iter(spoken_of or stops), None)
        if found is None and ask.site == NEXT:
            raise AskBack(
                "I know of no stop to come. Tell me of it: next Cedar Flat from Sunday till Wednesday, no hookups.",
                "statement",
            )
        return found
    if (scene.world.stay.site or "").casefold() == ask.site.casefold():
        return None
    found = next((one for one in stops if (one.site or "").casefold() == ask.site.casefold()), None)
    if found is None and _day_of(ask) is None:
        raise AskBack(
            f"When do you get to {ask.site}? Say a day, or tell me the stop: next {ask.site} from Sunday.", "until"
        )
    return found


def _day_of(ask: Ask) -> When | None:
    """The day that is said, if it is more than the end of a stay."""
    day = ask.until or ask.when
    return None if day is None or day.stay_end else day


def _end_at(stop: PlannedStop, ask: Ask, scene: Scene) -> datetime:
    """The day that is said, after arriving there; arriving; so many nights on; or leaving. Raises AskBack if nobody told until when."""
    day = _day_of(ask)
    if day is not None:
        at = scene.until(day)
        then = calendar.future(day, stop.arrive, stop.until).at
        return then if at < stop.arrive and then is not None else at
    if ask.nights is not None:
        return (stop.arrive + timedelta(days=round(ask.nights))).replace(hour=11, minute=0)
    if ask.until is None:
        return stop.arrive
    if stop.until is None:
        raise AskBack(f"Until when do you stay at {stop.name}?", "until")
    return stop.until


def opening_of(ask: Ask, until: datetime, scene: Scene) -> str:
    """The end that an answer is for, where another could have been meant: "Through Cedar Flat, until Wednesday 17 June at 11:00"."""
    stop = stop_of(ask, scene) if _day_of(ask) is None else None
    if stop is not None and (ask.until is not None or ask.nights is not None):
        return f"Through {stop.name}, until {scene.exactly(until)}"
    if stop is not None:
        return f"Until you get to {stop.name}, {scene.exactly(until)}"
    if ask.site is not None and _day_of(ask) is not None:
        return f"Until {scene.exactly(until)}"
    dated = scene.dated(ask.until or ask.when, until) if ask.nights is None else ""
    return f"Until {dated}" if dated else ""


def asked_before(scene: Scene) -> datetime | None:
    """The end of the question that a bare "what if we skip showers" leans on, as long as it is still to come."""
    told = scene.last.get("until") if scene.last.get("topic") in ("make_it", "what_if") else None
    until = datetime.fromisoformat(str(told)) if told else None
    return until if until is not None and until > scene.now else None
