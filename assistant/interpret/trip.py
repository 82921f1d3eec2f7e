"""Where the rig is and will be, who is aboard, and which water it runs on."""

from __future__ import annotations

from datetime import datetime, timedelta

from assistant.interpret.context import LATELY, Context, Draft, draft
from assistant.interpret.other_guests import beside_other_guests
from assistant.interpret.outings import guard_going, the_same_day
from assistant.interpret.places import of_the_place
from assistant.say import amounts, times
from assistant.scene import AskBack, CannotBe
from grammar.intents import Arrive, Away, Back, Depart, Expect, Party, Stay, Supply
from grammar.spans import span
from grammar.when import When
from state.care import checklist
from state.habits import typical
from state.lightclass import replace

MOST_PEOPLE = 16
NOON = 12


def arrive(meaning: Arrive, context: Context) -> list[Draft]:
    of_it = of_the_place(meaning, context) if meaning.named else []
    if of_it:
        return of_it
    when, length = meaning.when, meaning.nights
    if when is not None and when.part in ("evening", "night") and not when.day_offset and context.now.hour >= NOON:
        when, length = (
            None,
            length or (None if meaning.until is not None else 1.0),
        )  # "at Mill Farm tonight": there, for the night
    at = context.happened(when)
    _guard_drive(meaning, at, context)
    site = meaning.site or _planned_now(at, context)
    ends = meaning.until
    if ends is not None and ends.stay_end and not ends.has_day and (site or "").casefold() != _site_now(context):
        ends = None  # "at Mill Farm till we leave": no word of when, and what is known is the end of another stay
    until = context.end_of_stay(ends, length, at)
    if meaning.loose and site is None and not context.world.stay.on_the_road:
        context.guard("come-here", "Have you come to another place? Say where: at Cedar Flat, for example.", "site")
    return [draft("arrive", at, site=site, water=meaning.water, sewer=meaning.sewer, until=until)]


def _site_now(context: Context) -> str:
    return (context.world.stay.site or "").casefold()


def _guard_drive(meaning: Arrive, at: datetime, context: Context) -> None:
    """ "Left at 8 yesterday and got there at 4": asked where the hour is before the departure, or the other half of the day fits better."""
    before = context.booked_before("depart")
    left = before["at"] if before is not None else None
    when = meaning.when
    if left is None or when is None or when.hour is None:
        return
    if at < left:
        raise AskBack(f"You left {times.exactly(left, context.now)}: when did you get there?", "when")
    if not when.has_day and when.half is None and at.date() != left.date() and at - HALF_A_DAY > left:
        context.guard("drive", f"Did you get there {times.exactly(at, context.now)}? If not, say when.", "when")


LATE = 21
"""Few break camp after this hour. Our own choice, no source."""
HALF_A_DAY = timedelta(hours=12)
EARLY = timedelta(hours=18)
"""So long before its hour an arrival that names no place may be at the stop that is planned. Our own choice, no source."""


def _planned_now(at: datetime, context: Context) -> str | None:
    """ "Arrived", where one stop is planned for about then: that one, most likely, with all that was told of it. Asked, not assumed."""
    due = [
        stop
        for stop in context.world.stops
        if stop["site"] and stop["start"] and stop["start"] - EARLY <= at and (stop["until"] or at + EARLY) > at
    ]
    if len(due) != 1:
        return None
    site = str(due[0]["site"])
    context.guard("as-planned", f"At {site}, as planned? If not, say where you are.", "site")
    return site


def stay(meaning: Stay, context: Context) -> list[Draft]:
    if meaning.until is not None and _bare_number(meaning.until):
        number = meaning.until.hour
        raise AskBack(f"The {number}th, or {number}:00 today? Say for example: staying till the {number}th.", "until")
    if meaning.left and meaning.until is not None:
        at = context.scene.future(meaning.until).at
        if at is not None and at <= context.now:
            return depart(Depart(when=meaning.until, text=meaning.text), context)
    _guard_stay(meaning, context)
    if meaning.longer and meaning.nights is not None:
        until = context.stay_longer(meaning.nights)
    else:
        until = context.end_of_stay(meaning.until, meaning.nights)
    if until is None:
        raise AskBack("Until when do you stay?", "until")
    hour_alone = meaning.until is not None and meaning.until.half is None and not meaning.until.has_day
    if (
        hour_alone and until.hour >= LATE and until.date() == context.now.date()
    ):  # "leaving at ten", said at eight in the evening
        context.guard("leave-late", f"{times.begun(times.exactly(until, context.now))}? If not, say when.", "until")
    return [draft("stay", context.now, until=until)]


def _guard_stay(meaning: Stay, context: Context) -> None:
    """ "Staying there four nights", said of a stop to come; "out Saturday", for the day or for good."""
    said = meaning.text.casefold().split()
    ahead = [one for one in context.world.stops if one["site"] and one["start"] and one["start"] > context.now]
    if "there" in said and ahead:
        site = ahead[-1]["site"]
        raise AskBack(f"At {site}? Say it with the place, for example: next {site} for four nights.", "statement")
    if (
        said[:1] == ["out"]
        and meaning.until is not None
        and meaning.until.hour is None
        and not context.drafts
        and "on" not in said
    ):
        day = meaning.until.text
        raise AskBack(f"Out for a while, or do you leave then? Say: away {day}, or: leaving {day}.", "statement")


def _bare_number(when: When) -> bool:
    """ "stay till 18": an hour or a day of the month."""
    return (
        not when.has_day
        and when.hour is not None
        and 12 < when.hour < 21
        and when.text.casefold().split()[-1] in (str(when.hour), _SPELLED[when.hour - 13])
    )


_SPELLED = tuple("thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty".split())


def depart(meaning: Depart, context: Context) -> list[Draft]:
    at = context.happened(meaning.when)
    hour_alone = meaning.when is not None and meaning.when.hour is not None and not meaning.when.has_day
    if hour_alone and at.date() != context.now.date():  # "we set off at ten", said at eight: hardly told a day late
        context.guard("left-before-today", f"Did you leave {times.exactly(at, context.now)}?", "departure")
    for obstacle in checklist.departure_obstacles(context.so_far(), at):
        context.guard(f"departure-{obstacle.reference}", departure_question(obstacle, context), "departure")
    return [draft("depart", at)]


def _steps_open(context: Context) -> list[str]:
    """What a packing list that was begun still has open: one may drive off over it, but not unawares."""
    if not _packing_up(context):
        return []
    left = [one for one in checklist.steps(context.world, "leaving", context.now) if one.state == "open"]
    if not left:
        return []
    verb = "are" if len(left) > 1 else "is"
    return [f"Of the leaving list {amounts.counted(len(left), 'step')} {verb} still open, the next: {left[0].text}."]


def _still_out(context: Context) -> list[str]:
    """What stands outside when somebody is off without saying for how long or where to."""
    still = sorted(context.so_far().gear_out)
    out = times.listed([f"the {item}" for item in still])
    verb, those = ("are", "them") if len(still) > 1 else ("is", "it")
    return (
        [f"{out[:1].upper()}{out[1:]} {verb} still outside: if you are leaving for good, stow {those} first."]
        if out
        else []
    )


def departure_question(obstacle: checklist.Obstacle, context: Context) -> str:
    """What is still out, open or running, and whether the rig left all the same."""
    if obstacle.reference == "gear-out":
        items = times.listed([f"the {item}" for item in obstacle.items])
        verb = "are" if len(obstacle.items) > 1 else "is"
        return f"As far as I know {items} {verb} still outside. Did you leave with everything aboard?"
    if obstacle.reference == "valve-open":
        items = times.listed([f"the {item} valve" for item in obstacle.items])
        verb = "are" if len(obstacle.items) > 1 else "is"
        return f"As far as I know {items} {verb} still open. Closed before you left?"
    if obstacle.reference == "rinse-running":
        return "As far as I know the rinse is still running. Was it shut off before you left?"
    return f"As far as I know {obstacle.reference.replace('-', ' ')}. Did you leave all the same?"


def supply(meaning: Supply, context: Context) -> list[Draft]:
    if meaning.loose and "pump" in meaning.text.casefold():
        context.guard("pump-off", "Is the pump off because you are on the site's water now?", "yes", ["yes", "no"])
    elif meaning.loose and meaning.source == "hookup" and not _water_here(context):
        context.guard("hooked-up", "Hooked up to the site's water, so that it runs from the tap?", "yes", ["yes", "no"])
    return [{"kind": "supply", "at": context.happened(meaning.when), "from": meaning.source}]


def _water_here(context: Context) -> bool:
    """Whether the site is known to have water, or is told in this phrase to have it."""
    return bool(context.so_far().stay.water)


def party(meaning: Party, context: Context) -> list[Draft]:
    people = meaning.people
    if people is None:
        people = _without_guests(context)
    if people != int(people) or people < 0:
        raise CannotBe("That is no number of people, so nothing was recorded.")
    if people > MOST_PEOPLE:
        context.guard("many-people", f"{int(people)} people aboard: is it right?", "count")
    last = context.latest(lambda entry: entry.kind in ("use", "away", "back")) if meaning.bare else None
    if last is not None and context.now - last.heard_at <= LATELY:  # "just me" after "Ana showered", "heading out"
        context.guard(
            "party-or-use", f'One person aboard now? If it is about "{last.heard}", say no, and correct that.'
        )
    if _this_weekend(meaning.when):
        told = Expect(what="party", start=meaning.when, until=meaning.until, people=people, text=meaning.text)
        return expect(told, context)  # "we are six this weekend"
    return [draft("party", context.happened(meaning.when), people=int(people), until=context.to_come(meaning.until))]


def _without_guests(context: Context) -> float:
    """ "The guests have gone": those who live aboard, which is asked; where no guests were told of, how many they are."""
    from state.ahead.altered import guests_ahead, own_party

    if not guests_ahead(context.world, context.now):
        raise AskBack("How many are aboard now?", "count")
    own = own_party(context.world)
    context.guard("guests-gone", f"Then it is {amounts.people(own)} aboard again?", "count")
    return float(own)


def _whole_week(when: When) -> bool:
    """ "Two guests next week", "we'll be away this week": all of it, or what is left."""
    return when.period in ("week", "month") and when.edge is None and not when.since and when.count is None


SATURDAY = 5


def _this_weekend(when: When | None) -> bool:
    """ "We are six this weekend", "away this weekend": what is to come, even where no verb says so."""
    return when is not None and when.period == "weekend" and when.which != "last"


def away(meaning: Away, context: Context) -> list[Draft]:
    """Out for a while. "We're off" in the middle of packing up is the departure, with all that is looked at before one."""
    context.warnings.extend(_steps_open(context))
    if meaning.bare and (_packing_up(context) or _last_day(meaning, context)):
        return depart(Depart(when=meaning.when, text=meaning.text), context)
    if _this_weekend(meaning.when):
        return expect(Expect(what="absence", start=meaning.when, until=meaning.until, text=meaning.text), context)
    guard_going(meaning, context)
    at = context.happened(meaning.when)
    if (
        meaning.when is not None
        and meaning.when.hour is not None
        and not meaning.when.has_day
        and at.date() != context.now.date()
    ):
        context.guard("out-before-today", f"Did you go out {times.exactly(at, context.now)}?", "when")
    context.warnings.extend(_still_out(context) if meaning.bare else [])
    until = context.to_come(meaning.until)  # "for 3 hours, back at 5": when they mean to be back counts
    return [draft("away", at, until=until or _length_of_absence(meaning, context, at))]


def _last_day(meaning: Away, context: Context) -> bool:
    """ "We're off" on the day on which the stay ends, with no word of when they are back: whether for good, is asked."""
    ends = context.scene.stay_until
    if meaning.until is not None or meaning.hours is not None or ends is None or ends.date() != context.now.date():
        return False
    context.guard(
        "off-for-good",
        "Do you leave for good? If you will be back, say for example: away till noon.",
        "departure",
        ["yes", "no"],
    )
    return True


def _length_of_absence(meaning: Away, context: Context, at: datetime) -> datetime | None:
    """The end of an absence of so many hours; asks if it has passed."""
    if meaning.hours is None:
        return None
    known = context.world.away_until if meaning.longer else None
    until = (known if known is not None and known > at else at) + timedelta(hours=meaning.hours)
    if until <= context.now:
        raise AskBack(f"{times.begun(times.exactly(until, context.now))} has passed. Until when?", "until")
    return until


def _packing_up(context: Context) -> bool:
    shown = context.scene.last
    told = shown.get("topic") == "checklist" and shown.get("list") == "leaving"
    return told or checklist.walked_of_late(context.world, "leaving", context.now)


def back(meaning: Back, context: Context) -> list[Draft]:
    """ "Back 16:15" said in the morning is when they mean to return, if they are away; else it is asked what was meant."""
    when = meaning.when
    same_day = the_same_day(when, context)
    if same_day is not None:
        return [draft("back", same_day)]
    by_hour = when is not None and not when.has_day and when.has_hour
    if by_hour and _still_out_until(when, context):
        return [draft("away", context.now, until=context.to_come(when))]
    at = context.happened(when)
    if not by_hour or at.date() == context.now.date():
        return [draft("back", at)]
    context.guard(
        "back-before", f"{times.begun(context.scene.exactly(at))} is what I take: were you back then?", "when"
    )
    return [draft("back", at)]


def _still_out_until(when: When | None, context: Context) -> bool:
    """Whether they went out after that hour, and it comes once more today: "we're back at five", told in the morning."""
    since, at = context.world.away_since, context.happened(when, of_today=False)
    if since is None or at > since:
        return False
    again = context.to_come(when)
    return at.date() != context.now.date() or (again is not None and again.date() == context.now.date())


def _since(meaning: Expect, start: When, context: Context) -> list[Draft]:
    """ "Four people since Friday", "we've been away since Sunday": so from a day behind us until now."""
    at, until = context.happened(replace(start, since=False)), context.to_come(meaning.until)
    if meaning.what == "absence":
        return [draft("away", at, until=until)]
    people = int(meaning.people or 0) + (context.scene.people if meaning.more else 0)
    return [draft("party", at, people=people, until=until)]


def expect(meaning: Expect, context: Context) -> list[Draft]:
    begins, ends = meaning.start, meaning.until
    if meaning.what == "party" and meaning.people is None:
        raise AskBack("How many is that? Say for example: two guests from Friday to Sunday.", "statement")
    if begins is not None and begins.text.casefold().startswith("since ") and meaning.what in ("party", "absence"):
        return _since(meaning, begins, context)
    if ends is None and meaning.nights is None and begins is not None and _this_weekend(begins):
        ends = replace(begins, through=True)  # all of the weekend; once it is here, what is left of it
        begins = None if context.now.weekday() >= SATURDAY and begins.which != "next" else begins
    start, until = _stretch(begins, ends, meaning.nights, context)
    begins_then = meaning.start is not None and (
        meaning.start.hour is not None or meaning.start.part in ("morning", "dawn")
    )
    if meaning.what == "absence" and until is None and begins_then:
        leave = times.exactly(start, context.now) if start is not None else "Friday at ten"
        raise AskBack(f"Until when will you be away? If you leave for good, say: we leave {leave}.", "until")
    if (
        meaning.what == "absence"
        and start is not None
        and until is None
        and not (meaning.start and meaning.start.since)
    ):
        until = start.replace(hour=23, minute=59)  # a day out, as "away on Saturday" means
    own: Draft = {"kind": "expect", "at": context.now, "what": meaning.what, "from": start, "until": until}
    if meaning.what == "party":
        people = int(meaning.people or 0)
        own["people"] = people
        parts = beside_other_guests(own, people, context) if meaning.more else [own]
        most = max(one["people"] for one in parts)
        if most > MOST_PEOPLE:
            context.guard("many-people", f"{most} people aboard: is it right?", "count")
        return parts
    if meaning.what == "use":
        activity = meaning.activity or "other"
        own |= {"activity": activity, "count": meaning.count}
        if meaning.amount is not None:
            volume = context.volume(meaning.amount)
            often = (meaning.count or 1) if meaning.amount.each else 1
            own |= {"litres": volume.litres * often, "estimated": volume.estimated}
        elif activity == "other":
            raise AskBack("How much water will that take?", "amount")
        else:
            own |= {"litres": typical.typical(context.world, activity).mean * (meaning.count or 1), "estimated": True}
    elif meaning.what in ("haul", "dump"):
        own["tank"] = context.tank(meaning.tank, ("grey", "black")).name
        if meaning.what == "haul":
            if meaning.amount is None:
                raise AskBack("How much will the tote take away?", "amount")
            own["litres"] = context.volume(meaning.amount).litres
    return [own]


def _stretch(
    start: When | None, until: When | None, nights: float | None, context: Context
) -> tuple[datetime | None, datetime | None]:
    if start is not None and until is None and nights is None and _whole_week(start):
        first, last = span(start, context.now)
        return context.now if first <= context.now else first.replace(hour=10), last - timedelta(minutes=1)
    begins = context.begins(start)
    ends: datetime | None = None
    if nights is not None:
        ends = (begins or context.now) + timedelta(days=nights)
    elif until is not None:
        ends = context.to_come(until)
        if begins is not None and ends is not None and ends <= begins and until.weekday is not None and not until.which:
            ends += timedelta(days=7)  # "from Tuesday to Sunday", said on a Tuesday: the Sunday after it
    if begins is not None and ends is not None and ends <= begins:
        raise CannotBe("That would end before it begins, so nothing was recorded.")
    return begins, ends
